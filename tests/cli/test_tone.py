#!/usr/bin/python3
"""Reference tones as files: measured by the program itself and by aubio, written whole or not at all."""
import math
import shutil
import statistics

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

    @unittest.skipUnless(shutil.which("aubiopitch"), "not run: tones against aubio: the program is not installed (aubio-tools)")
    def test_aubio_hears_the_same_notes(self):
        run("tone", "lantern.melody", "--tempo", "60", "--to", "slow.wav")
        lines = subprocess.run(["aubiopitch", "-i", "slow.wav", "-p", "yinfft", "-B", "4096"], stdout=subprocess.PIPE,
                               check=True).stdout.decode().splitlines()
        heard = [tuple(map(float, line.split())) for line in lines]
        begin = 0.2
        for (_, beats), hz in zip(NOTES, TARGETS_HZ):
            inside = [found for time, found in heard if begin + 0.3 < time < begin + beats - 0.2]
            # aubio's own means over a steady note lie up to 3 cents from the truth (tests/reference/aubio_test.cpp).
            self.assertLess(abs(1200 * math.log2(statistics.median(inside) / hz)), 3)
            begin += beats

    def test_a_file_is_replaced_and_nothing_half_written_stays(self):
        pathlib.Path("old.wav").write_bytes(b"old")
        self.assertEqual(run("tone", "lantern.melody", "--to", "old.wav", "--drone", "D3", "--transpose", "-2")[0], 0)
        self.assertGreater(os.path.getsize("old.wav"), 100000)
        os.mkdir("shut")
        os.mkdir("shut/tones.wav")
        self.complains(2, "tone", "lantern.melody", "--to", "shut/tones.wav", starts="--to")
        self.assertEqual(os.listdir("shut"), ["tones.wav"])
        self.assertEqual([name for name in os.listdir(".") if name.endswith(".part")], [])

    def test_a_place_that_cannot_be_written_is_told(self):
        self.complains(4, "tone", "lantern.melody", "--to", "/proc/tones.wav", starts="/proc/tones.wav: cannot be written")

    def test_wrong_lines_are_named(self):
        self.complains(2, "tone", line="--to is missing; write firmus tone MELODY --to FILE.wav")
        self.complains(2, "tone", "lantern.melody", "--to", "tones.mp3",
                       line='--to is "tones.mp3"; a name that ends in .wav or .flac would be right')
        self.complains(2, "tone", "--to", "t.wav", starts="no melody is given")
        self.complains(2, "tone", "lantern.melody", "--to", "t.wav", "--drone", "H3", starts="--drone: ")
        self.complains(2, "tone", "lantern.melody", "--to", "t.wav", "--tempo", "fast", starts="--tempo")
        self.complains(2, "tone", "lantern.melody", "--to", "t.wav", "--transpose", "0.5", starts="--transpose")
        pathlib.Path("long.melody").write_text("C4:9999\n" * 3)
        self.complains(2, "tone", "long.melody", "--to", "t.wav", starts="the tones would last over an hour")
        self.assertFalse(os.path.exists("t.wav"))


if __name__ == "__main__":
    main()
