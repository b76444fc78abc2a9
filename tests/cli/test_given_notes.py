#!/usr/bin/python3
"""A lesson in which an instrument gives each note before it is sung."""
from program import *
import math
import random

BEAT_S, ROOM_S = 0.5, 1.1


def lesson(path, with_instrument):
    """Each note of the melody sung with a voice's unsteadiness, after it was struck; the onsets of the sung notes."""
    chance = random.Random(5)
    out = array.array("h", [0] * (RATE // 4))
    onsets = []
    for key, beats in NOTES:
        hz = 440 * 2 ** ((key - 69) / 12)
        struck = int((ROOM_S - 0.3) * RATE)
        for i in range(struck if with_instrument else 0):
            t = i / RATE
            level = 9000 * 10 ** (-18 * t / 20) * min(1.0, i / 60, (struck - i) / 900)
            out.append(int(level * sum(math.sin(2 * math.pi * k * hz * t) / k for k in range(1, 5))))
        out.extend([0] * (int(ROOM_S * RATE) - (struck if with_instrument else 0)))
        onsets.append(len(out) / RATE)
        length, phase, off = int(beats * BEAT_S * RATE), 0.0, chance.gauss(0, 12)
        for i in range(length):
            t = i / RATE
            cents = off - 40 * math.exp(-t / 0.03) + 18 * math.sin(2 * math.pi * 5.6 * t) * min(1, t / 0.3)
            phase += 2 * math.pi * hz * 2 ** (cents / 1200) / RATE
            edge = min(1.0, i / 640, (length - i) / 960) * (1 + 0.1 * math.sin(2 * math.pi * 1.7 * t))
            out.append(int(5000 * edge * sum(math.sin(k * phase) / k for k in range(1, 6))))
    out.extend([0] * (RATE // 4))
    write_wav(path, out)
    return onsets


class GivenNotes(Case):
    def measured(self, path):
        status, out, err = run("check", path, "--melody", "lantern.melody", "--format", "json")
        self.assertEqual(status, 0, err)
        return json.loads(out)

    def warned(self, result):
        return "given_notes" in [warning["kind"] for warning in result["recording"]["warnings"]]

    def test_the_sung_notes_are_measured_and_the_given_ones_left_out(self):
        onsets = lesson("lesson.wav", True)
        result = self.measured("lesson.wav")
        self.assertTrue(self.warned(result))
        self.assertEqual(result["alignment"]["decision"], "sure")
        self.assertEqual([note["status"] for note in result["notes"]], ["sung"] * len(NOTES))
        for note, onset_s in zip(result["notes"], onsets):
            self.assertAlmostEqual(note["onset_s"], onset_s, delta=0.1)
            self.assertAlmostEqual(note["end_s"], onset_s + note["written_beats"] * BEAT_S, delta=0.1)
            self.assertNotIn(note["verdict"], ["unclear", "other_note"])
        validator = schema_validator("check")
        if validator:
            self.assertEqual(faults_by(validator, result), [])

    def test_the_text_says_that_they_were_left_out(self):
        lesson("lesson.wav", True)
        status, out, _ = run("check", "lesson.wav", "--melody", "lantern.melody")
        self.assertEqual(status, 0)
        self.assertIn("an instrument plays 9 of the notes before they are sung", " ".join(out.decode().split()))

    def test_the_same_lesson_without_the_instrument_has_no_such_warning(self):
        lesson("alone.wav", False)
        self.assertFalse(self.warned(self.measured("alone.wav")))


if __name__ == "__main__":
    main()
