#!/usr/bin/python3
"""What comes out: formats, the schema, streams that fail, colour, names, folders of results."""
import csv
import io
import re
import signal
import stat

import program
from program import *

COLUMNS = ("take,index,section,pass,bar,beat,phrase,word,written,written_beats,status,verdict,unclear_reason,sung,onset_s,end_s,"
           "sung_hz,error_concert_cents,error_own_cents,error_interval_cents,interval,direction,se_cents,spread_cents,"
           "slope_cents_per_s,scoop_cents,vibrato_rate_hz,vibrato_extent_cents,level_dbfs,match_confidence")
CHECK = ("check", "ana.wav", "--melody", "lantern.melody")


def result_of(*arguments, **options):
    return json.loads(run(*arguments, "--format", "json", **options)[1])


class Formats(Case):
    def test_the_summary_has_headline_and_next_command_and_fits(self):
        status, out, err = run(*CHECK)
        self.assertEqual((status, err), (0, b""))
        lines = out.decode().splitlines()
        self.assertEqual(lines[0].split()[:2], ["Take", "ana.wav,"])
        self.assertTrue(any(re.match(r"^\d+ of \d+ notes in tune \(within 25 cents of the pitch you settled on\)$", line) for line in lines))
        self.assertEqual(lines[-1].split(None, 1)[1], "firmus check ana.wav --melody lantern.melody --out results")
        self.assertLessEqual(max(map(len, lines)), 78)

    def test_a_take_of_another_melody_has_no_recurring_problems(self):
        names, keys = "C4 D4 E4 F4 G4 A4 B4 C5".split(), [60, 62, 64, 65, 67, 69, 71, 72]
        sung, written = ([(step * i + i // 8) % 8 for i in range(32)] for step in (1, 2))
        write_wav("another.wav", samples_of([(keys[k], 1) for k in sung]))
        pathlib.Path("another.melody").write_text(" ".join(names[k] for k in written) + "\n")
        result = result_of("check", "another.wav", "--melody", "another.melody")
        self.assertEqual(result["alignment"]["decision"], "not this melody")
        self.assertGreaterEqual(result["summary"]["judged"], 10)
        self.assertEqual(result["chronic"], [])
        self.assertNotEqual(result_of(*CHECK)["chronic"], [])

    def test_two_notes_sung_as_one_are_both_sung_and_the_second_is_not_judged(self):
        notes = [(62, 1), (66, 1), (69, 1), (71, 1), (69, 2), (67, 1), (66, 1), (64, 1), (62, 3)]
        write_wav("held.wav", samples_of(notes))
        pathlib.Path("held.melody").write_text("D4 F#4 A4 B4 A4 A4 G4 F#4 E4 D4:3\n")
        written = result_of("check", "held.wav", "--melody", "held.melody")["notes"]
        self.assertEqual([note["status"] for note in written], ["sung"] * 10)
        self.assertEqual([(note["verdict"], note["unclear_reason"]) for note in written[4:6]],
                         [("in_tune", None), ("unclear", "joined")])
        text = " ".join(run("check", "held.wav", "--melody", "held.melody")[1].decode().split())
        self.assertIn("Not judged 1 of 10 notes: 1 sung as one with the note before", text)

    def test_the_interval_into_a_note_leaves_a_grace_note_before_it_out(self):
        text = pathlib.Path("lantern.melody").read_text()
        self.assertEqual(text.count("F#4 A4 |"), 1)
        pathlib.Path("grace.melody").write_text(text.replace("F#4 A4 |", "E4:0 F#4 A4 |"))
        notes = [n for n in result_of("check", "ana.wav", "--melody", "grace.melody")["notes"] if n["index"] is not None]
        self.assertEqual([n["written"] for n in notes[:4]], ["D4", "E4", "F#4", "A4"])
        self.assertIsNone(notes[1]["interval"]["name"])
        self.assertEqual(notes[2]["interval"], {"name": "M3", "direction": "up", "written_cents": 400.0})

    def test_a_clean_take_is_measured_right(self):
        result = result_of(*CHECK)
        self.assertEqual(result["alignment"]["decision"], "sure")
        self.assertEqual([n["written"] for n in result["notes"] if n["index"] is not None],
                         ["D4", "F#4", "A4", "B4", "A4", "G4", "F#4", "E4", "D4"])
        self.assertEqual(result["summary"]["written"], 9)
        self.assertGreaterEqual(result["summary"]["in_tune"], 8)
        for note in result["notes"]:
            if note["verdict"] == "in_tune":
                self.assertLess(abs(note["error_cents"]["concert"]), 3)

    def test_options_reach_the_result(self):
        result = result_of(*CHECK, "--reference", "concert", "--tolerance", "10", "--a4", "442", "--tuning", "just", "--student", "s-01",
                           "--date", "2031-05-17")
        self.assertEqual(result["settings"], {"reference": "concert", "tolerance_cents": 10.0, "a4_hz": 442.0, "tuning": "just"})
        self.assertEqual((result["context"]["student"], result["context"]["date"]), ("s-01", "2031-05-17"))

    def test_csv_is_rfc_4180_with_the_promised_header(self):
        status, out, _ = run(*CHECK, "--format", "csv")
        text = out.decode()
        self.assertEqual(status, 0)
        self.assertEqual(text.split("\r\n")[0], COLUMNS)
        self.assertEqual(text.count("\n"), text.count("\r\n"))
        rows = list(csv.reader(io.StringIO(text, newline="")))
        self.assertEqual({len(row) for row in rows}, {30})

    def test_csv_and_json_say_the_same(self):
        rows = list(csv.DictReader(io.StringIO(run(*CHECK, "--format", "csv")[1].decode(), newline="")))
        notes = result_of(*CHECK)["notes"]
        self.assertEqual(len(rows), len(notes))
        for row, note in zip(rows, notes):
            pairs = [(row["sung_hz"], note["sung_hz"]), (row["error_own_cents"], note["error_cents"]["own"]),
                     (row["onset_s"], note["onset_s"]), (row["vibrato_rate_hz"], note["vibrato"]["rate_hz"]),
                     (row["beat"], note["beat"])]
            for cell, value in pairs:
                self.assertEqual(None if cell == "" else float(cell), value)
            self.assertEqual(row["status"], note["status"])

    def test_a_take_from_standard_input_is_the_same_take(self):
        piped = result_of("check", "-", "--melody", "lantern.melody", stdin=pathlib.Path("ana.wav").read_bytes())
        named = result_of(*CHECK)
        self.assertEqual(piped["take"]["sha256"], named["take"]["sha256"])
        self.assertEqual(piped["notes"], named["notes"])

    def test_the_pitch_track_is_5_ms_apart(self):
        status, out, err = run("pitch", "ana.wav")
        self.assertEqual((status, err), (0, b""))
        rows = list(csv.DictReader(io.StringIO(out.decode(), newline="")))
        self.assertEqual([row["time_s"] for row in rows[:3]], ["0.000", "0.005", "0.010"])
        third_note = [float(row["f0_hz"]) for row in rows if 1.15 < float(row["time_s"]) < 1.35]  # A4
        self.assertTrue(third_note)
        self.assertTrue(all(abs(hz - 440) < 2 for hz in third_note), third_note)


class Schema(Case):
    def test_every_kind_of_result_keeps_to_the_schema(self):
        validator = schema_validator("check")
        if not validator:
            return
        write_wav("silent.wav", array.array("h", [0] * RATE))
        write_wav("twice.wav", self.take_samples[: 3 * RATE] + self.take_samples)
        write_wav("other.wav", samples_of([(60, 1), (59, 0.5), (72, 2), (61, 1), (64, 0.3), (55, 1)]))
        kinds = set()
        for arguments in ([*CHECK], ["check", "ana.wav"], ["check", "silent.wav"], ["check", "none.wav", "--melody", "lantern.melody"],
                          ["check", "twice.wav", "--melody", "lantern.melody"], ["check", "other.wav", "--melody", "lantern.melody"],
                          [*CHECK, "--reference", "interval", "--date", "2031-05-17"]):
            with self.subTest(arguments):
                result = result_of(*arguments)
                kinds.add("error" in result)
                self.assertEqual(faults_by(validator, result), [])
        self.assertEqual(kinds, {True, False})
        broken = result_of(*CHECK)
        for damage in (lambda r: r.pop("notes"), lambda r: r["summary"].update(judged=-1), lambda r: r.update(schema="firmus.take/2"),
                       lambda r: r["notes"][0].update(verdict="good")):
            copy = json.loads(json.dumps(broken))
            damage(copy)
            self.assertFalse(validator.is_valid(copy))

    def test_the_reference_of_fields_is_printed(self):
        out = run("check", "--fields")[1].decode()
        for column in COLUMNS.split(","):
            self.assertIn(f"| {column} |", out)


class Streams(Case):
    def test_a_full_disk_is_status_4(self):
        for arguments in (CHECK, (*CHECK, "--format", "json"), (*CHECK, "--format", "csv"), ("pitch", "ana.wav"),
                          ("melody", "lantern.melody"), ("--version",), ("check", "--schema"), ("trend", "--schema")):
            with self.subTest(arguments), open("/dev/full", "wb") as full:
                done = subprocess.run([program.PROGRAM, *arguments], stdout=full, stderr=subprocess.PIPE)
                self.assertEqual(done.returncode, 4)
                self.assertEqual(done.stderr, b"firmus: standard output: cannot be written: No space left on device\n")

    def test_closed_output_is_status_4_and_a_wrong_command_line_still_2(self):
        def closed(*arguments):
            words = " ".join([program.PROGRAM, *arguments])
            return subprocess.run(["sh", "-c", words + " >&-"], stderr=subprocess.PIPE)
        done = closed(*CHECK, "--out", "closed-out")
        self.assertEqual((done.returncode, done.stderr), (4, b"firmus: standard output: cannot be written: Bad file descriptor\n"))
        self.assertFalse(os.path.exists("closed-out"))
        self.assertEqual(closed("--help").returncode, 4)
        self.assertEqual(closed("check", "ana.wav", "--a4", "x").returncode, 2)

    def test_closed_diagnostics_and_input_do_no_harm(self):
        done = subprocess.run(["sh", "-c", f"{program.PROGRAM} check ana.wav none.wav --melody lantern.melody 2>&- <&-"],
                              stdout=subprocess.PIPE)
        self.assertEqual(done.returncode, 1)
        self.assertIn(b"in tune", done.stdout)

    def test_a_reader_that_goes_away_ends_it_quietly(self):
        writer = subprocess.Popen([program.PROGRAM, "pitch", "ana.wav"], stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                                  preexec_fn=lambda: signal.signal(signal.SIGPIPE, signal.SIG_IGN))
        writer.stdout.close()
        self.assertEqual(writer.wait(60), -signal.SIGPIPE)
        self.assertEqual(writer.stderr.read(), b"")
        writer.stderr.close()

    def on_terminal(self, *arguments, **environment):
        master, slave = pseudo_terminal(self, "what a terminal is shown")
        env = {**os.environ, "TERM": "xterm", "NO_COLOR": "", **environment}
        done = subprocess.run([program.PROGRAM, *arguments], stdout=slave, stderr=subprocess.DEVNULL, env=env)
        os.close(slave)
        text = b""
        while True:
            try:
                block = os.read(master, 65536)
            except OSError:
                break
            if not block:
                break
            text += block
        os.close(master)
        self.assertEqual(done.returncode, 0)
        return text

    def test_colour_only_on_a_terminal_that_wants_it(self):
        self.assertIn(b"\x1b[38;5;245m", self.on_terminal(*CHECK))
        self.assertNotIn(b"\x1b", self.on_terminal(*CHECK, NO_COLOR="1"))
        self.assertNotIn(b"\x1b", self.on_terminal(*CHECK, TERM="dumb"))
        self.assertNotIn(b"\x1b", self.on_terminal(*CHECK, "--format", "json"))
        self.assertNotIn(b"\x1b", run(*CHECK)[1])


class Names(Case):
    def test_names_that_are_not_utf8_or_look_odd(self):
        names = [b"caf\xe9.wav", b"new\nline.wav", b"[a,b]", b"a,b.wav", b"=1+1.wav", b"melody", b"++"]
        for name in names:
            with open(name, "wb") as file:
                write_wav(file, self.take_samples)
        status, out, err = run("check", *names, "--melody", "lantern.melody", "--format", "json")
        self.assertEqual((status, err), (0, b""))
        shown = [json.loads(line)["take"]["name"] for line in out.decode("utf-8").splitlines()]
        self.assertEqual(shown, ["caf\\xE9.wav", "new\nline.wav", "[a,b]", "a,b.wav", "=1+1.wav", "melody", "++"])
        text = run("check", names[0], names[1], "--melody", "lantern.melody")[1].decode("utf-8")
        self.assertIn("firmus check $'caf\\351.wav' --melody lantern.melody", text)
        self.assertIn("Take        new\\x0Aline.wav", text)
        rows = list(csv.reader(io.StringIO(run("check", b"=1+1.wav", b"a,b.wav", "--format", "csv")[1].decode(), newline="")))
        self.assertEqual({row[0] for row in rows}, {"take", "'=1+1.wav", "a,b.wav"})

    def test_a_name_that_is_not_utf8_has_its_results_in_a_folder(self):
        with open(b"h\xe9.wav", "wb") as file:
            write_wav(file, self.take_samples)
        for _ in range(2):
            self.assertEqual(run("check", b"h\xe9.wav", "--melody", "lantern.melody", "--out", "odd-out")[0], 0)
            self.assertEqual(sorted(os.listdir(b"odd-out")),
                             [b"h\xe9.habits.csv", b"h\xe9.html", b"h\xe9.json", b"h\xe9.notes.csv", b"h\xe9.svg", b"h\xe9.txt", b"written.json"])
        self.assertEqual(json.loads(pathlib.Path("odd-out/written.json").read_text())["files"][2], "h\\xE9.json")

    def test_a_missing_name_that_is_not_utf8_is_told_in_utf8(self):
        status, _, err = run("check", b"gone\xff\x1b.wav", "--melody", "lantern.melody")
        self.assertEqual(status, 1)
        self.assertTrue(err.decode("utf-8").startswith("firmus: gone\\xFF\\x1B.wav: "))

    def test_a_name_like_an_option_goes_after_two_dashes(self):
        write_wav("-x.wav", self.take_samples)
        status, out, _ = run("check", "--melody", "lantern.melody", "--", "-x.wav")
        self.assertEqual(status, 0)
        self.assertIn(b"firmus check ./-x.wav --melody", out)


class Folder(Case):
    def files(self, folder):
        return {name: pathlib.Path(folder, name).read_bytes() for name in sorted(os.listdir(folder))}

    def test_out_holds_what_is_promised_and_a_second_run_writes_the_same(self):
        status, out, err = run(*CHECK, "--out", "deep/results")
        self.assertEqual((status, err), (0, b""))
        first = self.files("deep/results")
        self.assertEqual(list(first), ["ana.habits.csv", "ana.html", "ana.json", "ana.notes.csv", "ana.svg", "ana.txt", "written.json"])
        self.assertEqual(stat.S_IMODE(os.stat("deep/results").st_mode), 0o700)
        self.assertEqual(first["ana.txt"], out)
        self.assertEqual(first["ana.json"], run(*CHECK, "--format", "json")[1])
        self.assertEqual(first["ana.notes.csv"], run(*CHECK, "--format", "csv")[1])
        self.assertEqual(json.loads(first["written.json"])["files"], ["ana.habits.csv", "ana.html", "ana.json", "ana.notes.csv", "ana.svg", "ana.txt"])
        self.assertEqual(run(*CHECK, "--out", "deep/results")[0], 0)
        self.assertEqual(self.files("deep/results"), first)

    def test_a_take_that_was_not_measured_is_in_the_folder_too(self):
        self.assertEqual(run("check", "none.wav", "--melody", "lantern.melody", "--out", "none-out")[0], 1)
        files = self.files("none-out")
        self.assertEqual(json.loads(files["none.json"])["error"]["kind"], "missing")
        self.assertIn(b"Not measured: there is no such file", files["none.svg"])
        self.assertIn(b"there is no such file", files["none.html"])
        self.assertEqual(files["none.notes.csv"].decode(), COLUMNS + "\r\n" + "none.wav,,,,,,,,,,not_measured" + "," * 19 + "\r\n")

    def test_foreign_files_stay(self):
        os.makedirs("foreign")
        pathlib.Path("foreign/ana.txt").write_text("mine")
        self.complains(2, *CHECK, "--out", "foreign", starts="foreign/ana.txt: is there already and was not written by this program; ")
        self.assertEqual(self.files("foreign"), {"ana.txt": b"mine"})

    def test_a_file_in_its_place_is_2_and_what_cannot_be_made_4(self):
        pathlib.Path("plain").write_text("")
        self.complains(2, *CHECK, "--out", "plain", starts='--out: "plain" is a file; ')
        self.complains(4, *CHECK, "--out", "/proc/none/out", starts="/proc/none/out: cannot be made: ")

    def test_one_stem_for_two_takes_is_told_before_any_work(self):
        os.makedirs("b", exist_ok=True)
        write_wav("b/ana.wav", self.take_samples)
        self.complains(2, "check", "ana.wav", "b/ana.wav", "--melody", "lantern.melody", "--out", "stems",
                       starts='"ana.wav" and "b/ana.wav" would both be written as ana.json; ')
        self.assertFalse(os.path.exists("stems"))

    def test_trace_shows_the_stages(self):
        self.assertEqual(run(*CHECK, "--trace", "trace")[0], 0)
        self.assertTrue(any(name.endswith(".csv") for name in os.listdir("trace/ana")))


if __name__ == "__main__":
    program.main()
