#!/usr/bin/python3
"""What is told is what was sung: figures are those of the notes they name, wrong notes are named, keys are told."""
import re

from program import *
from sixths import measure_weeks


def json_of(take, melody, *options):
    status, out, err = run("check", take, "--melody", melody, "--format", "json", *options)
    assert status in (0, 1), err
    return json.loads(out)


class OwnFigures(Case):
    """Flat by 40 cents after four of 25 notes: the size told is the mean of these four."""

    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        measure_weeks(["2026-09-07"], -40)
        cls.result = json.loads(pathlib.Path("term/week0/ana.json").read_text())

    def test_a_size_is_the_mean_error_of_the_notes_named_with_its_interval(self):
        own = {note["index"]: note["error_cents"]["own"] for note in self.result["notes"]}
        told = [row for row in self.result["chronic"] if row["decision"]]
        self.assertTrue(told)
        for row in self.result["chronic"]:
            errors = [own[index] for index in row["indices"]]
            self.assertAlmostEqual(row["mean_cents"], sum(errors) / len(errors), delta=0.051)
            self.assertEqual(row["count"], len(errors))
        for row in told:
            self.assertGreaterEqual(2 * row["same_way"], row["count"])
            self.assertLess(row["ci95_cents"][0], row["mean_cents"])
            self.assertGreater(row["ci95_cents"][1], row["mean_cents"])
            self.assertIsNotNone(row["contrast_cents"])
            self.assertEqual(len(row["contrast_ci95_cents"]), 2)

    def test_check_trend_and_drill_say_the_same_of_the_same_take(self):
        text = pathlib.Path("term/week0/ana.txt").read_text()
        words = re.search(r"ising major sixths are \d+ cents flat \((all \d|\d of \d)", text)
        self.assertIsNotNone(words, text)
        self.assertIn(words.group(), run("trend", "term")[1].decode())
        status, out, err = run("drill", "term", "--out", "drills")
        self.assertEqual(status, 0, err)
        self.assertIn(words.group(), " ".join(out.decode().split()))

    def test_figures_of_older_results_are_computed_anew(self):
        older = json.loads(json.dumps(self.result))
        for row in older["chronic"]:
            row["mean_cents"], row["ci95_cents"] = -99.9, [-120.0, -80.0]
            for key in ("contrast_cents", "contrast_ci95_cents", "out_of_tune"):
                del row[key]
        pathlib.Path("older").mkdir()
        pathlib.Path("older/ana.json").write_text(json.dumps(older))
        self.assertEqual(run("trend", "older/ana.json")[1].replace(b"older/ana.json", b"term/week0/ana.json"),
                         run("trend", "term/week0/ana.json")[1])
        self.assertEqual(run("drill", "older/ana.json", "--out", "drills-older")[1].replace(b"drills-older", b"d"),
                         run("drill", "term/week0/ana.json", "--out", "drills-new")[1].replace(b"drills-new", b"d"))

    def test_notes_that_are_all_in_tune_are_no_fault(self):
        write_wav("near.wav", samples_of(*self.near()))
        result = json_of("near.wav", "sixths.melody")
        self.assertEqual(result["summary"]["flat"], 0)
        self.assertEqual([row for row in result["chronic"] if row["decision"] == "chronic"], [])
        text = run("check", "near.wav", "--melody", "sixths.melody")[1].decode()
        self.assertNotIn("Recurring", text)
        self.assertIn("In tune, but all a little low: rising major sixths", text)

    @staticmethod
    def near():
        from sixths import AFTER_SIXTH, KEYS
        return KEYS, [-18 if note in AFTER_SIXTH else note % 3 - 1 for note in range(len(KEYS))], 0.3


RAISED = """title: Raised
key: D minor
meter: 4/4

D5 C#5 D5 A4 | F4 A4 C#5 D5 | Bb4 A4 G4 E4 , | E4 C#5 D5 F4 | G4 A4 Bb4 C#5 | D5 A4 F4 C#5 | D5 E5 C#5 D5 |
"""
RAISED_KEYS = [74, 73, 74, 69, 65, 69, 73, 74, 70, 69, 67, 64, 64, 73, 74, 65, 67, 69, 70, 73, 74, 69, 65, 73, 74, 76, 73, 74]
RAISED_AT = [place for place, key in enumerate(RAISED_KEYS) if key == 73]


class WrongNotes(Case):
    """Six takes that sing C for the raised C sharp, off by 85 to 115 cents, and one that is 60 cents flat on it."""

    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        pathlib.Path("raised.melody").write_text(RAISED)
        offs = [-85, -115, -96, -104, -90, -110]
        for take in range(6):
            cls.sing(f"take{take}.wav", [offs[(place + take) % 6] for place in range(6)])
            run("check", f"take{take}.wav", "--melody", "raised.melody", "--student", "bo", "--date", f"2026-10-0{take + 1}",
                "--out", f"all/{take}", "--quiet")
        cls.sing("flat.wav", [-60, -47, -70, -58, -66, -59])

    @staticmethod
    def sing(name, of_c_sharp):
        cents = [(7 * place) % 11 - 5 for place in range(len(RAISED_KEYS))]
        for place, off in zip(RAISED_AT, of_c_sharp):
            cents[place] = off
        write_wav(name, samples_of([(key, 1) for key in RAISED_KEYS], cents, 0.3))

    def test_the_same_mistake_gets_the_same_verdict_in_all_its_places_and_is_told_by_name(self):
        for take in range(6):
            with self.subTest(take):
                result = json_of(f"take{take}.wav", "raised.melody")
                verdicts = [result["notes"][place]["verdict"] for place in RAISED_AT]
                self.assertEqual(verdicts, ["other_note"] * 6)
                self.assertEqual(result["summary"]["other_note"], 6)
                told = [row for row in result["chronic"] if row["decision"]]
                self.assertEqual([(row["group"], row["name"], row["indices"], row["count"], row["same_way"]) for row in told],
                                 [("substitution", "C#5>C5", RAISED_AT, 6, 6)])
                self.assertEqual(result["summary"]["in_tune"], len(RAISED_KEYS) - 6)
                text = run("check", f"take{take}.wav", "--melody", "raised.melody")[1].decode()
                self.assertIn("C instead of C sharp (all 6: bars 1, 2, 4, 5, 6, 7)", text)
                self.assertNotRegex(text, "cents flat")

    def test_trend_and_drill_name_it_too(self):
        self.assertIn("C instead of C sharp (all 36) in 6 recordings", run("trend", "all")[1].decode())
        status, out, err = run("drill", "all", "--out", "practise")
        self.assertEqual(status, 0, err)
        # Drills are made from the takes of the last three dates.
        self.assertIn("C instead of C sharp (all 18)", " ".join(out.decode().split()))
        for drill in pathlib.Path("practise").rglob("*.melody"):
            self.assertEqual(run("melody", drill)[0], 0, drill)
            self.assertRegex(drill.read_text(), r"(?m)^drill: flat by \d+ on note C#5;")

    def test_a_habit_of_60_cents_stays_flat_in_all_its_places(self):
        result = json_of("flat.wav", "raised.melody")
        self.assertEqual([result["notes"][place]["verdict"] for place in RAISED_AT], ["flat"] * 6)
        self.assertEqual(result["summary"]["other_note"], 0)
        row = result["chronic"][0]
        self.assertEqual((row["decision"], row["indices"]), ("chronic", RAISED_AT))
        self.assertAlmostEqual(row["mean_cents"], -60, delta=4)


TWO_KEYS = """title: Two keys
key: C minor
meter: 4/4

C4 Eb4 G4 C5 | Bb4 Ab4 G4 F4 | G4 Eb4 C4 D4 | Eb4 D4 C4 G4 | C5 G4 Eb4 C4 | F4 Ab4 C5 F4 | G4 D4 B3 G4 | C4 D4 Eb4 G4 |
key: Eb major
Eb4 G4 Bb4 Eb5 | D5 C5 Bb4 Ab4 | Bb4 G4 Eb4 F4 | G4 F4 Eb4 Eb4 |
"""
TWO_KEYS_KEYS = [60, 63, 67, 72, 70, 68, 67, 65, 67, 63, 60, 62, 63, 62, 60, 67, 72, 67, 63, 60, 65, 68, 72, 65, 67, 62, 59, 67, 60, 62,
                 63, 67, 63, 67, 70, 75, 74, 72, 70, 68, 70, 67, 63, 65, 67, 65, 63, 63]
FALLING = """title: Falling
key: G major
meter: 4/4

G4 B4 D5 B4 , | C5 A4 F#4 A4 , | B4 G4 D4 G4 , | A4 C5 B4 A4 , | G4 D4 B3 G3 |
"""
FALLING_KEYS = [67, 71, 74, 71, 72, 69, 66, 69, 71, 67, 62, 67, 69, 72, 71, 69, 67, 62, 59, 55]


class KeysAndDrift(Case):
    """A semitone up from bar 9 on, a semitone down with each phrase, a drift of 60 cents, and a steady take."""

    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        pathlib.Path("two.melody").write_text(TWO_KEYS)
        pathlib.Path("falling.melody").write_text(FALLING)
        off = lambda note: (note * 7) % 9 - 4
        whole = range(len(TWO_KEYS_KEYS))
        for name, cents in (("up", lambda note: 100 if note >= 32 else 0), ("sinking", lambda note: 30 - 60 * note / 47),
                            ("steady", lambda note: 0), ("far", lambda note: -1100)):
            cls.sing(f"class/{name}.wav", TWO_KEYS_KEYS, [cents(note) + off(note) for note in whole], 0.4)
        cls.sing("phrases.wav", FALLING_KEYS, [-100 * (note // 4) + off(note) for note in range(20)], 0.5)

    @staticmethod
    def sing(name, keys, cents, beat_s):
        pathlib.Path(name).parent.mkdir(exist_ok=True)
        write_wav(name, samples_of([(key, 1) for key in keys], cents, beat_s))

    @staticmethod
    def text_of(take, melody):
        return " ".join(run("check", take, "--melody", melody)[1].decode().split())

    def test_a_change_of_key_stands_in_the_headline_with_the_key_written_there(self):
        text = self.text_of("class/up.wav", "two.melody")
        self.assertRegex(text, r"48 of 48 notes in tune[^.]*settled on\) You went up a semitone at bar 9\. ")
        self.assertIn("from bar 1 C minor, as written; from bar 9 E major, a semitone higher", text)
        self.assertRegex(self.text_of("class/sinking.wav", "two.melody"), r"Your pitch sank (5[5-9]|6[0-5]) cents from start to end\. ")
        steady = self.text_of("class/steady.wav", "two.melody")
        self.assertIn("Key C minor, as written", steady)
        self.assertNotIn("You went", steady)
        self.assertNotIn("Your pitch", steady)

    def test_a_transposition_is_said_the_short_way(self):
        self.assertIn("Key C sharp minor, a semitone higher, an octave down", self.text_of("class/far.wav", "two.melody"))

    def test_a_semitone_lower_from_phrase_to_phrase_is_told_as_that(self):
        result = json_of("phrases.wav", "falling.melody")
        self.assertEqual([part["transposition_semitones"] for part in result["stretches"]], [0, -1, -2, -3, -4])
        self.assertEqual((result["summary"]["in_tune"], result["summary"]["judged"]), (20, 20))
        text = self.text_of("phrases.wav", "falling.melody")
        self.assertIn("You went down a semitone from phrase to phrase: at bar 2, bar 3, bar 4 and bar 5.", text)
        self.assertNotIn("Your pitch sank", text)

    def test_the_students_sheet_and_the_class_page_say_so(self):
        status, out, err = run("grade", "class", "--melody", "two.melody", "--out", "graded")
        self.assertEqual(status, 0, err)
        pages = {path.name: path.read_text() for path in pathlib.Path("graded").rglob("*.html")}
        sheet = [text for name, text in pages.items() if "You went up a semitone at bar 9." in text]
        self.assertEqual(len(sheet), 1, pages.keys())
        of_class, = [text for text in pages.values() if "up: Went up a semitone at bar 9." in text]
        self.assertRegex(of_class, r"sinking: The pitch sank \d+ cents from start to end\.")
        self.assertNotIn("steady: ", of_class)
        self.assertIn("up: Went up a semitone at bar 9.", " ".join(out.decode().split()))


if __name__ == "__main__":
    main()
