#!/usr/bin/python3
"""Wrong command lines and inputs: one line on standard error, the promised status, nothing half-written."""
import socket

import program
from program import *


class CommandLine(Case):
    def test_without_arguments_the_short_help_is_on_standard_error(self):
        status, out, err = run()
        self.assertEqual((status, out), (2, b""))
        self.assertIn(b"firmus check TAKE... --melody FILE", err)
        self.assertLess(err.count(b"\n"), 20)

    def test_help_and_version_are_on_standard_output(self):
        self.assertRegex(run("--version")[1].decode(), r"^firmus \d+\.\d+\.\d+\n$")
        for words in (("-V",), ("check", "--version"), ("grade", "-V"), ("tone", "-V")):
            self.assertEqual(run(*words), run("--version"), words)
        for arguments in (["--help"], ["check", "--help"], ["melody", "--help"], ["pitch", "--help"]):
            status, out, err = run(*arguments)
            self.assertEqual((status, err), (0, b""))
            self.assertIn(b"Example:\n  firmus ", out)

    def test_help_is_found_under_each_usual_name(self):
        self.assertEqual(run("-h"), run("--help"))
        self.assertEqual(run("help"), run("--help"))
        for command in ("check", "grade", "trend", "drill", "tone", "melody", "pitch"):
            with self.subTest(command):
                whole = run(command, "--help")
                self.assertEqual((whole[0], whole[2]), (0, b""))
                self.assertEqual(run(command, "-h"), whole)
                self.assertEqual(run("help", command), whole)
        self.complains(2, "help", "check", "grade", starts="help is of one command; ")

    def test_unknown_commands_and_options(self):
        self.complains(2, "analyse", line='"analyse" is not a command; the commands are check, grade, trend, drill, tone, melody and pitch')
        self.complains(2, "chek", line='"chek" is not a command; did you mean check?')
        self.complains(2, "help", "chek", line='"chek" is not a command; did you mean check?')
        self.complains(2, "check", "ana.wav", "-m", "x", line="-m is not an option of firmus check; did you mean --melody?")
        self.complains(2, "check", "ana.wav", "--melodie=x", line="--melodie=x is not an option of firmus check; did you mean --melody?")
        self.complains(2, "check", "ana.wav", "--color", starts="--color is not an option of firmus check; ")
        self.complains(2, "check", "-x.wav", starts="-x.wav is not an option of firmus check; ")
        self.complains(2, "pitch", "ana.wav", "--melody", "lantern.melody", starts="--melody is not an option of firmus pitch; ")

    def test_options_given_twice(self):
        self.complains(2, "check", "ana.wav", "--a4", "440", "--a4", "440", line="--a4 is given twice; give it once")
        self.complains(2, "check", "ana.wav", "--quiet", "--quiet", line="--quiet is given twice; give it once")

    def test_bad_values(self):
        for arguments in (["--tolerance", "12,5"], ["--tolerance", "nan"], ["--tolerance", "0"], ["--a4", "inf"], ["--a4", "44"],
                          ["--jobs", "0"], ["--jobs", "257"], ["--jobs", "1.5"], ["--require", "101"], ["--format", "xml"],
                          ["--reference", "piano"], ["--tuning", "well"], ["--date", "2031-02-30"], ["--student", "a/b"],
                          ["--longest", "0"], ["--melody", ""], ["--out", ""], ["--decoder", "sox"], ["--weights", "none"],
                          ["--takes-from", "none"]):
            with self.subTest(arguments):
                extra = [] if "--melody" in arguments else ["--melody", "lantern.melody"]
                self.complains(2, "check", "ana.wav", *extra, *arguments)
        self.complains(2, "check", "ana.wav", "--tolerance", "12,5", line='--tolerance: "12,5" is not a number; write 12.5')

    def test_no_takes(self):
        self.complains(2, "check", "--melody", "lantern.melody", starts="no recording is named; ")
        self.complains(2, "check", "", starts="TAKE: the name is empty; ")
        self.complains(2, "check", "--melody", "lantern.melody", "--takes-from", "-", starts="no recording is named; ")
        self.complains(2, "pitch", starts="no take is given; ")
        self.complains(2, "melody", starts="no melody is given; ")

    def test_what_needs_a_melody_says_so(self):
        self.complains(2, "check", "ana.wav", "--require", "80", starts="--require needs --melody; ")
        self.complains(2, "check", "ana.wav", "--reference", "own", starts="--reference needs --melody or --key; ")

    def test_standard_input_is_used_once(self):
        self.complains(2, "check", "-", "-", starts="standard input (-) is used more than once; ")
        self.complains(2, "check", "-", "--takes-from", "-", starts="standard input (-) is used more than once; ")


class Melodies(Case):
    def test_a_bad_melody_is_told_with_its_place_and_nothing_is_written(self):
        pathlib.Path("bad.melody").write_text("key: D major\nD4 H4 A4\n")
        text = self.complains(2, "check", "ana.wav", "--melody", "bad.melody", "--out", "bad-out", starts="bad.melody:2:4: ")
        self.assertIn("H4", text)
        self.assertFalse(os.path.exists("bad-out"))
        self.complains(2, "melody", "bad.melody", starts="bad.melody:2:4: ")

    def test_many_errors_are_twenty_and_how_many_more(self):
        pathlib.Path("worse.melody").write_text("H4 " * 30 + "\n")
        status, out, err = run("melody", "worse.melody")
        self.assertEqual((status, out), (2, b""))
        lines = err.decode().splitlines()
        self.assertEqual(len(lines), 21)
        self.assertIn("10 more", lines[-1])

    def test_melody_files_that_cannot_be_read(self):
        os.makedirs("folder", exist_ok=True)
        if not os.path.exists("pipe"):
            os.mkfifo("pipe")
        pathlib.Path("nothing.melody").write_bytes(b"")
        for name in ("none.melody", "folder", "pipe", "nothing.melody"):
            with self.subTest(name):
                self.complains(2, "check", "ana.wav", "--melody", name, starts=name)
                self.complains(2, "melody", name, starts=name)

    def test_a_good_melody_is_printed_and_reads_back_the_same(self):
        status, out, err = run("melody", "lantern.melody")
        self.assertEqual((status, err), (0, b""))
        self.assertIn(b"Lantern Walk", out)
        self.assertLessEqual(max(len(line) for line in out.decode().splitlines()), 78)
        for form in ("text", "csv"):
            first = run("melody", "lantern.melody", "--format", form)
            self.assertEqual(first[0], 0)
            pathlib.Path("again." + form).write_bytes(first[1])
            self.assertEqual(run("melody", "again." + form, "--format", form)[1], first[1])

    def test_warnings_are_told_once_in_each_form(self):
        pathlib.Path("odd.melody").write_text("meter: 3/4\nD4 E4 | D4 E4 F4 | G4 A4 B4 C5 | D4:3\n")
        status, out, err = run("melody", "odd.melody")
        self.assertEqual((status, err), (0, b""))
        status, out, err = run("melody", "odd.melody", "--format", "csv")
        self.assertEqual(status, 0)
        self.assertRegex(err.decode(), r"^firmus: odd\.melody:\d+:\d+: warning: ")
        self.assertEqual(run("melody", "odd.melody", "--format", "csv", "--quiet")[2], b"")


class Takes(Case):
    def setUp(self):
        pathlib.Path("empty.wav").write_bytes(b"")
        pathlib.Path("text.wav").write_text("This is no recording.\n")
        write_wav("silent.wav", array.array("h", [0] * 2 * RATE))
        os.makedirs("folder", exist_ok=True)
        if not os.path.exists("pipe"):
            os.mkfifo("pipe")
        if not os.path.exists("socket"):
            server = socket.socket(socket.AF_UNIX)
            server.bind("socket")
            server.close()

    BAD = ("none.wav", "empty.wav", "text.wav", "silent.wav", "folder", "pipe", "socket", "/dev/null", "/dev/zero")

    def test_each_is_one_line_naming_it_and_status_1(self):
        for name in self.BAD:
            with self.subTest(name):
                status, out, err = run("check", name, "--melody", "lantern.melody")
                self.assertEqual(status, 1)
                self.assertEqual(err.count(b"\n"), 1, err)
                self.assertTrue(err.decode().startswith(f"firmus: {name}: "), err)
                self.assertIn(b"Not measured: ", out)

    def test_the_melody_may_stand_among_the_takes(self):
        asked = run("check", "ana.wav", "--melody", "lantern.melody", "--format", "json")
        pathlib.Path("lantern.txt").write_text(MELODY)
        for arguments in (["ana.wav", "lantern.melody"], ["lantern.melody", "ana.wav"]):
            self.assertEqual(run("check", *arguments, "--format", "json"), asked)
        self.assertEqual(run("check", "ana.wav", "lantern.txt", "--format", "csv")[0], 0)
        pathlib.Path("broken.melody").write_text("D4 X9\n")
        self.complains(2, "check", "ana.wav", "broken.melody", starts="broken.melody:1:4: ")
        self.complains(2, "check", "ana.wav", "lantern.melody", "lantern.txt",
                       line='"lantern.melody" and "lantern.txt" are both melodies; give one melody')

    def test_a_folder_stands_for_its_recordings(self):
        os.makedirs("week", exist_ok=True)
        for name in ("b.wav", "a.wav"):
            write_wav("week/" + name, self.take_samples)
        for name in ("song.melody", "class.csv", ".hidden.wav"):
            pathlib.Path("week", name).write_text(MELODY)
        asked = run("check", "week/a.wav", "week/b.wav", "--melody", "week/song.melody", "--format", "json")
        self.assertEqual(asked[0], 0)
        self.assertEqual(run("check", "week", "--melody", "week/song.melody", "--format", "json"), asked)
        self.assertEqual(run("check", "week/", "week/song.melody", "--format", "json"), asked)

    def test_one_bad_take_never_stops_the_others_and_keeps_its_place(self):
        names = ["none.wav", "ana.wav", *self.BAD[1:5]]
        status, out, err = run("check", *names, "--melody", "lantern.melody", "--format", "json")
        self.assertEqual(status, 1)
        results = [json.loads(line) for line in out.decode().splitlines()]
        self.assertEqual([r["take"]["name"] for r in results], names)
        self.assertEqual(["error" in r for r in results], [name != "ana.wav" for name in names])
        self.assertEqual(results[0]["error"]["kind"], "missing")
        self.assertEqual(err.count(b"\n"), 5)

    def test_the_pitch_of_silence_is_empty_with_a_warning_and_status_0(self):
        status, out, err = run("pitch", "silent.wav")
        self.assertEqual(status, 0)
        self.assertRegex(err.decode(), r"^firmus: silent\.wav: warning: [^\n]*\n$")
        rows = out.decode().split("\r\n")
        self.assertEqual(rows[0], "time_s,f0_hz,periodicity,level_dbfs")
        self.assertGreater(len(rows), 390)
        self.assertTrue(all(row.split(",")[1] == "" for row in rows[1:-1]))
        self.assertEqual(run("pitch", "silent.wav", "--quiet")[2], b"")

    def test_pitch_of_what_is_no_take(self):
        for name in ("none.wav", "folder", "pipe", "text.wav"):
            with self.subTest(name):
                self.complains(1, "pitch", name, starts=name + ": ")

    def test_a_take_of_another_rate_or_too_long(self):
        write_wav("slow.wav", array.array("h", [100, -100] * 2000), rate=4000)
        self.complains_of_take("slow.wav", "4000")
        status, _, err = run("check", "ana.wav", "--melody", "lantern.melody", "--longest", "0.01")
        self.assertEqual(status, 1)
        self.assertIn(b"--longest", err)

    def complains_of_take(self, name, part):
        status, _, err = run("check", name, "--melody", "lantern.melody")
        self.assertEqual(status, 1)
        self.assertIn(part, err.decode())


if __name__ == "__main__":
    program.main()
