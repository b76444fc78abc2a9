#!/usr/bin/python3
"""Reference tones as files: measured by the program itself and by aubio, written whole or not at all."""
import math
import shutil
import statistics
import subprocess
import wave

import program
from program import *

TARGETS_HZ = [440 * 2 ** ((key - 69) / 12) for key, _ in NOTES]


def errors(tones, melody="lantern.melody"):
    result = json.loads(run("check", tones, "--melody", melody, "--reference", "concert", "--format", "json")[1])
    return [note["error_cents"]["concert"] for note in result["notes"]], result


class Tone(Case):
    def test_the_program_itself_finds_every_note_in_place_within_half_a_cent(self):
        self.assertEqual(run("tone", "lantern.melody", "--to", "deep/er/lantern.wav"), (0, b"", b""))
        off, result = errors("deep/er/lantern.wav")
        self.assertEqual(len(off), 9)
        self.assertLess(max(map(abs, off)), 0.5)
        self.assertEqual(result["take"]["sample_rate_hz"], 48000)
        self.assertEqual(result["recording"]["warnings"], [])

    def test_tuning_and_concert_pitch_of_the_melody_hold(self):
        pathlib.Path("just.melody").write_text(MELODY.replace("meter:", "tuning: just\na4: 415\nmeter:"))
        run("tone", "just.melody", "--to", "just.flac")
        self.assertLess(max(map(abs, errors("just.flac", "just.melody")[0])), 0.5)
        self.assertGreater(min(map(abs, errors("just.flac")[0])), 80)  # 415 Hz is 101 cents below 440 Hz

    def test_a_contrast_is_heard_off_by_just_that(self):
        self.assertEqual(run("tone", "lantern.melody", "--contrast", "-20", "--count-in", "2", "--to", "twenty.wav"), (0, b"", b""))
        names = ["D4", "F#4", "A4", "B4", "A4", "G4", "F#4", "E4", "D4"]
        pathlib.Path("thrice.melody").write_text(" ".join(f"{name}:{beats} " * 3 for name, (_, beats) in zip(names, NOTES)) + "\n")
        off, _ = errors("twenty.wav", "thrice.melody")
        self.assertEqual(len(off), 27)
        for place, cents in enumerate(off):
            self.assertLess(abs(cents - (-20 if place % 3 == 1 else 0)), 0.5, place)

    def test_a_count_in_moves_the_notes_and_counts_as_none(self):
        run("tone", "lantern.melody", "--tempo", "60", "--to", "plain.wav")
        run("tone", "lantern.melody", "--tempo", "60", "--count-in", "3", "--to", "counted.wav")
        (_, plain), (off, counted) = errors("plain.wav"), errors("counted.wav")
        self.assertLess(max(map(abs, off)), 0.5)
        self.assertEqual(counted["summary"]["extra"], 0)
        for before, after in zip(plain["notes"], counted["notes"]):
            self.assertAlmostEqual(after["onset_s"] - before["onset_s"], 3, delta=0.011)
        # A click is where it should be: 0.2, 1.2 and 2.2 s, 15 ms long, with silence around it.
        with wave.open("counted.wav") as sound:
            samples = sound.readframes(int(3.1 * 48000))
        loud = [at for at in range(0, len(samples), 3) if int.from_bytes(samples[at:at + 3], "little", signed=True)]
        times = [at / 3 / 48000 for at in loud]
        for click in range(3):
            inside = [time for time in times if click + 0.1 < time < click + 0.9]
            self.assertAlmostEqual(min(inside), click + 0.2, delta=0.001)
            self.assertAlmostEqual(max(inside), click + 0.215, delta=0.001)

    def test_tuning_and_concert_pitch_may_be_asked_for(self):
        run("tone", "lantern.melody", "--a4", "415", "--tuning", "just", "--to", "asked.wav")
        pathlib.Path("asked.melody").write_text(MELODY.replace("meter:", "tuning: just\na4: 415\nmeter:"))
        self.assertLess(max(map(abs, errors("asked.wav", "asked.melody")[0])), 0.5)

    def test_standard_output_has_the_bytes_of_the_file(self):
        line = ["tone", "lantern.melody", "--count-in", "3", "--contrast", "15", "--gain", "-6", "--drone", "D3", "--to"]
        self.assertEqual(run(*line, "same.wav"), (0, b"", b""))
        status, out, err = run(*line, "-")
        self.assertEqual((status, err), (0, b""))
        self.assertEqual(out, pathlib.Path("same.wav").read_bytes())
        self.assertEqual(out[:4] + out[8:12], b"RIFFWAVE")

    def test_a_terminal_gets_no_sound(self):
        ours, theirs = pseudo_terminal(self, "tones to a terminal")
        done = subprocess.run([program.PROGRAM, "tone", "lantern.melody", "--to", "-"], stdout=theirs, stderr=subprocess.PIPE)
        os.close(theirs)
        os.close(ours)
        self.assertEqual(done.returncode, 2)
        self.assertEqual(done.stderr, b"firmus: --to -: standard output is a terminal; send it to a file or a player: "
                                      b"firmus tone MELODY --to - > FILE.wav\n")

    def test_closed_output_and_a_folder_for_temporary_files_that_is_not_there_are_told(self):
        with open("/dev/full", "wb") as full:
            done = subprocess.run([program.PROGRAM, "tone", "lantern.melody", "--to", "-"], stdout=full, stderr=subprocess.PIPE)
        self.assertEqual((done.returncode, done.stderr.count(b"\n")), (4, 1))
        self.complains(4, "tone", "lantern.melody", "--to", "-", starts="the temporary file: cannot be written",
                       env={"TMPDIR": "/nowhere"})

    @unittest.skipUnless(shutil.which("aubiopitch"), "not run: tones against aubio: the program is not installed (aubio-tools)")
    def test_aubio_hears_the_same_notes_within_half_a_cent(self):
        run("tone", "lantern.melody", "--tempo", "20", "--contrast", "-20", "--to", "slow.wav")
        # yin (de Cheveigne and Kawahara 2002) as aubio has it: its own means over steady tones lie 0.1 cents off at most.
        lines = subprocess.run(["aubiopitch", "-i", "slow.wav", "-p", "yin", "-B", "4096", "-H", "2048"], stdout=subprocess.PIPE,
                               check=True).stdout.decode().splitlines()
        heard = [tuple(map(float, line.split())) for line in lines]
        begin = 0.2
        for (_, beats), hz in zip(NOTES, TARGETS_HZ):
            for off in (0, -20, 0):
                inside = [found for time, found in heard if begin + 0.5 < time < begin + 3 * beats - 0.5]
                self.assertLess(abs(1200 * math.log2(statistics.fmean(inside) / hz) - off), 0.5)
                begin += 3 * beats

    def test_a_file_is_replaced_and_nothing_half_written_stays(self):
        pathlib.Path("old.wav").write_bytes(b"old")
        self.assertEqual(run("tone", "lantern.melody", "--to", "old.wav", "--drone", "D3", "--transpose", "-2")[0], 0)
        self.assertGreater(os.path.getsize("old.wav"), 100000)
        os.mkdir("shut")
        os.mkdir("shut/tones.wav")
        self.complains(2, "tone", "lantern.melody", "--to", "shut/tones.wav", starts="--to")
        self.assertEqual(os.listdir("shut"), ["tones.wav"])
        self.assertEqual([name for name in os.listdir(".") if name.endswith(".part")], [])

    def test_what_a_killed_run_left_is_cleared_away(self):
        gone = subprocess.Popen(["true"])
        gone.wait()
        os.mkdir("killed")
        for name in ("tones.wav", "other.wav"):
            pathlib.Path(f"killed/{name}.{gone.pid}.part").write_text("x")
        self.assertEqual(run("tone", "lantern.melody", "--to", "killed/tones.wav")[0], 0)
        self.assertEqual(sorted(os.listdir("killed")), [f"other.wav.{gone.pid}.part", "tones.wav"])

    def test_a_place_that_cannot_be_written_is_told(self):
        self.complains(4, "tone", "lantern.melody", "--to", "/proc/tones.wav", starts="/proc/tones.wav: cannot be written")

    def test_wrong_lines_are_named(self):
        self.complains(2, "tone", line="--to is missing; write firmus tone MELODY --to FILE.wav")
        self.complains(2, "tone", "lantern.melody", "--to", "tones.mp3",
                       line='--to is "tones.mp3"; a name that ends in .wav or .flac, or -, would be right')
        self.complains(2, "tone", "--to", "t.wav", starts="no melody is given")
        self.complains(2, "tone", "lantern.melody", "--to", "t.wav", "--drone", "H3", starts="--drone: ")
        self.complains(2, "tone", "lantern.melody", "--to", "t.wav", "--tempo", "fast", starts="--tempo")
        self.complains(2, "tone", "lantern.melody", "--to", "t.wav", "--transpose", "0.5", starts="--transpose")
        for option, value, words in (
            ("--count-in", "65", '--count-in: "65" is out of range; give a number from 0 to 64'),
            ("--count-in", "2.5", '--count-in: "2.5" is not a whole number; give one from 0 to 64'),
            ("--contrast", "0", "--contrast: 0 cents are no contrast; give how far off, such as -20 for 20 cents flat"),
            ("--contrast", "-120", '--contrast: "-120" is out of range; give a number from -100 to 100'),
            ("--contrast", "flat", '--contrast: "flat" is not a number; give a number from -100 to 100'),
            ("--gain", "11", '--gain: "11" is out of range; give a number from -60 to 10'),
            ("--gain", "-61", '--gain: "-61" is out of range; give a number from -60 to 10'),
            ("--gain", "loud", '--gain: "loud" is not a number; give a number from -60 to 10'),
            ("--a4", "200", '--a4: "200" is out of range; give a number from 300 to 600'),
            ("--tuning", "odd", '--tuning: "odd" is not a tuning; write equal, just, pythagorean, meantone, or twelve cents from equal, '
                                "C to B, in quotes"),
        ):
            self.complains(2, "tone", "lantern.melody", "--to", "t.wav", option, value, line=words)
        self.complains(2, "tone", "lantern.melody", "--to", "t.wav", "--drone", "C9", "--transpose", "12",
                       line="the drone would sound at 16744 Hz; stay between 16 and 16000 Hz")
        pathlib.Path("long.melody").write_text("C4:9999\n" * 3)
        self.complains(2, "tone", "long.melody", "--to", "t.wav", starts="the tones would last over an hour")
        self.assertFalse(os.path.exists("t.wav"))


if __name__ == "__main__":
    main()
