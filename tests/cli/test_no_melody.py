#!/usr/bin/python3
"""Takes without a melody: notes named from the take's own centre and drift; with --key judged as degrees of the key."""
import csv
import io
import math
import re

from program import *

SCALE = [67, 69, 71, 72, 74, 76, 78, 79, 78, 76, 74, 72, 71, 69, 67]
NAMES = {67: "G4", 69: "A4", 71: "B4", 72: "C5", 74: "D5", 76: "E5", 78: "F#5", 79: "G5"}
CENTRE = 1200 * math.log2(452 / 440)


def sing(path, keys, cents, beat_s):
    write_wav(path, samples_of([(key, 1) for key in keys], cents, beat_s=beat_s))


def sinking(keys, cents_lost):
    """Cents of each note of a take at A4 = 452 Hz in its middle that sinks by so much."""
    return [CENTRE + cents_lost * (0.5 - note / (len(keys) - 1)) for note in range(len(keys))]


def measured(*arguments):
    status, out, err = run("check", *arguments, "--format", "json")
    assert (status, err) == (0, b""), err
    return json.loads(out)


class WithoutAMelody(Case):
    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        sing("scale.wav", SCALE, sinking(SCALE, 60), 0.8)
        cls.result = measured("scale.wav")

    def test_notes_are_named_from_the_centre_and_the_drift_of_the_take(self):
        self.assertEqual([note["written"] for note in self.result["notes"]], [NAMES[key] for key in SCALE])
        self.assertAlmostEqual(self.result["pitch_centre"]["cents"], CENTRE, delta=3)
        self.assertAlmostEqual(self.result["pitch_centre"]["a4_hz"], 452, delta=0.8)
        stretch, = self.result["stretches"]
        self.assertTrue(stretch["drift_significant"])
        self.assertAlmostEqual(stretch["drift_cents_per_minute"], -60 / (14 * 0.8) * 60, delta=15)
        for note in self.result["notes"]:
            self.assertLess(abs(note["error_cents"]["own"]), 5)

    def test_intervals_are_told_as_sung(self):
        third = self.result["notes"][3]  # B to C
        self.assertEqual((third["interval"]["name"], third["interval"]["direction"]), ("m2", "up"))
        self.assertAlmostEqual(third["error_cents"]["interval"], -60 / 14, delta=3)
        text = run("check", "scale.wav")[1].decode()
        self.assertRegex(text, r"rising major seconds: 19\d cents, \d narrow \(5 of them")
        self.assertRegex(text, r"Pitch drift dropped [56]\d cents")
        self.assertIn("Your A      45", text)
        self.assertLessEqual(max(map(len, text.splitlines())), 78)

    def test_nothing_is_judged_coloured_or_drawn_as_off(self):
        self.assertEqual({note["verdict"] for note in self.result["notes"]}, {None})
        self.assertEqual(self.result["summary"]["judged"], 0)
        self.assertEqual(self.result["chronic"], [])
        self.assertEqual(run("check", "scale.wav", "--out", "plain", "--quiet")[0], 0)
        rows = list(csv.DictReader(io.StringIO(pathlib.Path("plain/scale.notes.csv").read_text(), newline="")))
        self.assertEqual({row["verdict"] for row in rows}, {""})
        text, page = pathlib.Path("plain/scale.txt").read_text(), pathlib.Path("plain/scale.html").read_text()
        for words in (text, re.sub(r"<(style|script)[^>]*>.*?</\1>", "", page, flags=re.S)):
            self.assertIn("Give --melody or --key to have them checked.", words)
            self.assertNotRegex(words, r"\d cents (sharp|flat)|furthest off|in tune|\u25b2|\u25bc")

    def test_it_keeps_to_the_schema(self):
        validator = schema_validator("check")
        if validator:
            self.assertEqual(faults_by(validator, self.result), [])
            self.assertEqual(faults_by(validator, measured("scale.wav", "--key", "G major")), [])


class InAKey(Case):
    """Up and down G major three times: C5 is 38 cents sharp each time, and one F sharp is an F."""

    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        cls.keys = SCALE + 2 * SCALE[1:]
        cls.fourths = [note for note, key in enumerate(cls.keys) if key == 72]
        cls.wrong = [note for note, key in enumerate(cls.keys) if key == 78][2]
        cls.take(0, "run.wav")
        cls.result = measured("run.wav", "--key", "G major")

    @classmethod
    def take(cls, semitones, path):
        cents = [off + 100 * semitones + 4 * ((note * 5) % 7 - 3) / 3 for note, off in enumerate(sinking(cls.keys, 60))]
        for note in cls.fourths:
            cents[note] += 38
        cents[cls.wrong] -= 100
        sing(path, cls.keys, cents, 0.5)

    def test_notes_are_judged_as_degrees_of_the_key(self):
        notes = self.result["notes"]
        self.assertEqual([note["written"] for note in notes], [NAMES[key] for key in self.keys])
        self.assertEqual(notes[self.wrong]["verdict"], "other_note")
        for place, note in enumerate(notes):
            expected = "sharp" if place in self.fourths else "other_note" if place == self.wrong else "in_tune"
            self.assertEqual(note["verdict"], expected, place)
        self.assertTrue(self.result["melody_from_take"])
        self.assertEqual(self.result["melody"]["key"], "G major")
        self.assertEqual(self.result["transposition_semitones"], 0)

    def test_a_degree_that_is_off_each_time_is_a_habit(self):
        habit, = [row for row in self.result["chronic"] if row["decision"] == "chronic" and row["group"] != "substitution"]
        self.assertEqual(habit["indices"], self.fourths)
        self.assertIn("degree 4", [f"{habit['group']} {habit['name']}", *habit["same_as"]])

    def test_the_same_in_another_key_is_told_as_that(self):
        self.take(2, "higher.wav")
        higher = measured("higher.wav", "--key", "G major")
        self.assertEqual(higher["transposition_semitones"], 2)
        self.assertEqual([n["written"] for n in higher["notes"]], [n["written"] for n in self.result["notes"]])
        self.assertEqual([n["verdict"] for n in higher["notes"]], [n["verdict"] for n in self.result["notes"]])

    def test_trend_and_drill_take_such_results(self):
        for week, date in enumerate(("2026-09-07", "2026-09-14", "2026-09-21")):
            self.assertEqual(run("check", "run.wav", "--key", "G major", "--student", "ana", "--date", date, "--out",
                                 f"term/week{week}", "--quiet")[0], 0)
        trend = json.loads(run("trend", "term", "--format", "json")[1])["students"][0]
        self.assertEqual(trend["left_out"], [])
        self.assertEqual(len(trend["points"]), 3)
        status, out, err = run("drill", "term", "--out", "practice")
        self.assertEqual((status, err), (0, b""))
        drills = sorted(pathlib.Path("practice").glob("*.melody"))
        self.assertTrue(drills)
        for drill in drills:
            self.assertEqual(run("melody", os.fspath(drill))[0], 0)

    def test_many_notes_outside_the_key_are_doubted(self):
        chromatic = list(range(60, 73)) + list(range(71, 59, -1))
        sing("chromatic.wav", chromatic, 0, 0.35)
        text = run("check", "chromatic.wav", "--key", "G major")[1].decode()
        self.assertRegex(text, r"This may not be in G major: \d+ of 25 notes lie outside it")

    def test_a_wrong_line_says_what_would_be_right(self):
        self.complains(2, "check", "run.wav", "--key", "H",
                       line="--key: \"H\" is not a key; write a note and major, minor or a mode, such as \"G major\"")
        self.complains(2, "check", "run.wav", "--key", "G major", "--melody", "lantern.melody",
                       line="--key is for takes without a melody; write key: in the melody itself")


if __name__ == "__main__":
    main()
