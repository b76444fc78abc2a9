#!/usr/bin/python3
"""What to practise: drills from results, their tracks, the page, and a drill checked in turn."""
from program import *
from sixths import measure_weeks


class Drills(Case):
    """Three weeks of one singer, flat on the notes after a rising major sixth."""

    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        measure_weeks(["2026-09-07", "2026-09-14", "2026-09-21"], -35, "tempo: 100\n")
        status, cls.text, err = run("drill", "term", "--out", "practice")
        assert (status, err) == (0, b""), err

    def melodies(self):
        return sorted(pathlib.Path("practice").glob("*.melody"))

    def test_the_text_says_what_keeps_coming_and_is_the_file(self):
        self.assertEqual(self.text, pathlib.Path("practice/practice.txt").read_bytes())
        text = self.text.decode()
        self.assertIn("1. What keeps coming flat: rising major sixths", text)
        self.assertIn("lies between C4 and D5", text)
        self.assertIn("Stop singing at pain or strain", text)
        self.assertLessEqual(max(map(len, text.splitlines())), 78)

    def test_every_drill_reads_without_a_warning_and_its_track_has_no_error(self):
        self.assertGreaterEqual(len(self.melodies()), 6)
        for melody in self.melodies():
            status, _, err = run("melody", str(melody))
            self.assertEqual((status, err), (0, b""), melody)
            track = melody.with_suffix(".flac")
            status, out, err = run("check", str(track), "--melody", str(melody), "--format", "json", "--reference", "concert")
            self.assertEqual(status, 0, err)
            result = json.loads(out)
            self.assertTrue(result["drill"]["done"], melody)
            sung = [note for note in result["notes"] if note["index"] is not None]
            self.assertTrue(all(note["status"] == "sung" for note in sung), melody)
            for note in sung:
                self.assertLess(abs(note["error_cents"]["concert"]), 0.5, (melody, note["index"]))

    def test_a_check_of_a_drill_says_whether_it_is_done(self):
        drill = next(melody for melody in self.melodies() if "steps" in melody.name)
        out = run("check", str(drill.with_suffix(".flac")), "--melody", str(drill))[1].decode()
        self.assertIn("This drill (flat on rising major sixths) is done.", out)

    def test_the_same_line_again_gives_the_same_bytes(self):
        before = {path.name: path.read_bytes() for path in pathlib.Path("practice").iterdir()}
        self.assertEqual(run("drill", "term", "--out", "practice")[0], 0)
        self.assertEqual(before, {path.name: path.read_bytes() for path in pathlib.Path("practice").iterdir()})

    def test_a_range_given_holds(self):
        status, out, err = run("drill", "term", "--out", "low", "--high", "A4")
        self.assertEqual((status, err), (0, b""))
        for melody in pathlib.Path("low").glob("*.melody"):
            for row in run("melody", str(melody), "--format", "csv")[1].decode().splitlines()[1:]:
                self.assertFalse(row[0] in "BC" and row[1:2] == "5", row)

    def test_what_is_wrong_is_one_line(self):
        for arguments, words in (
            (["drill", "term"], b"no folder is given for the drills; say --out DIR"),
            (["drill", "--out", "x"], b"no result is given"),
            (["drill", "term", "--out", "x", "--low", "H3"], b"--low: "),
            (["drill", "term", "--out", "x", "--low", "C5", "--high", "C4"], b"--low is above --high"),
            (["drill", "nowhere", "--out", "x"], b"nowhere"),
        ):
            status, out, err = run(*arguments)
            self.assertEqual((status, out, err.count(b"\n")), (2, b"", 1), err)
            self.assertIn(words, err)
        self.assertFalse(pathlib.Path("x").exists())

    def test_two_students_are_not_drilled_as_one(self):
        self.assertEqual(run("check", "ana.wav", "--melody", "sixths.melody", "--student", "ben", "--out", "ben", "--quiet")[0], 0)
        status, _, err = run("drill", "term", "ben", "--out", "both")
        self.assertEqual(status, 2)
        self.assertIn(b"more than one student", err)


if __name__ == "__main__":
    main()
