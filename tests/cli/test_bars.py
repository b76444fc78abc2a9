#!/usr/bin/python3
"""A passage: with --bars only these bars are expected, judged, drawn and marked."""
from program import *

SONG = """title: Lantern Walk
key: D major
meter: 3/4

D4 F#4 A4 | B4:2 A4 | G4 F#4 E4 | D4:3 | A4 B4 C#5 | D5:2 A4 | B4 G4 E4 | D4:3 |
"""
PASSAGE = [(69, 1), (71, 1), (73, 1), (74, 2), (69, 1), (71, 1), (67, 1), (64, 1), (62, 3)]  # bars 5 to 8
CENTS = [0, 0, -45, 0, 0, 0, 0, 0, 0]


def check(*arguments):
    return run("check", "verse.wav", "--melody", "song.melody", *arguments)


class Passage(Case):
    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        pathlib.Path("song.melody").write_text(SONG)
        write_wav("verse.wav", samples_of(PASSAGE, CENTS))

    def test_only_its_notes_are_expected_and_judged(self):
        result = json.loads(check("--bars", "5-8", "--format", "json")[1])
        self.assertEqual([(note["bar"], note["status"]) for note in result["notes"]],
                         [(bar, "sung") for bar in (5, 5, 5, 6, 6, 7, 7, 7, 8)])
        self.assertEqual([note["verdict"] for note in result["notes"]], ["in_tune"] * 2 + ["flat"] + ["in_tune"] * 6)
        self.assertEqual((result["summary"]["missing"], result["alignment"]["decision"]), (0, "sure"))
        self.assertEqual((result["melody"]["bars"], result["melody"]["written_notes"]), ("5-8", 9))

    def test_without_it_the_other_bars_are_missing(self):
        result = json.loads(check("--format", "json")[1])
        self.assertGreaterEqual(result["summary"]["missing"], 9)
        self.assertIsNone(result["melody"]["bars"])

    def test_the_words_say_which_bars(self):
        text = check("--bars", "5-8")[1].decode()
        self.assertIn("Lantern Walk, bars 5 to 8, D major, 9 notes", text)
        self.assertIn("--bars 5-8 --out results", text)
        self.assertEqual(check("--bars", "5-8", "--out", "out", "--quiet")[0], 0)
        page = pathlib.Path("out/verse.html").read_text()
        self.assertIn("bars 5 to 8", page)

    def test_results_of_it_are_followed_as_what_they_are(self):
        for date in ("2031-05-01", "2031-05-08"):
            self.assertEqual(check("--bars", "5-8", "--student", "ana", "--date", date, "--out", f"term/{date}", "--quiet")[0], 0)
        status, out, err = run("trend", "term")
        self.assertEqual((status, err), (0, b""))
        self.assertIn("2 recordings", " ".join(out.decode().split()))
        self.assertEqual(run("drill", "term", "--out", "drills")[0], 0)
        earlier = check("--since", "term/2031-05-01/verse.json")
        self.assertEqual(earlier[0], 2)
        self.assertEqual(check("--bars", "5-8", "--since", "term/2031-05-01/verse.json")[0], 0)

    def test_a_class_is_marked_on_it(self):
        os.mkdir("week")
        write_wav("week/ana.wav", samples_of(PASSAGE, CENTS))
        self.assertEqual(run("grade", "week", "--melody", "song.melody", "--bars", "5-8", "--out", "marked")[0], 0)
        first = pathlib.Path("marked/gradebook.csv").read_text()
        self.assertIn("ana,marked", first)
        pathlib.Path("a.json").write_text(json.dumps(
            {"takes": "week", "pieces": [{"id": "song", "melody": "song.melody", "bars": "5-8", "match": "{student}"}]}))
        self.assertEqual(run("grade", "a.json", "--out", "again")[0], 0)
        of_folder, of_assignment = (json.loads(next(pathlib.Path(out, "results").glob("*.json")).read_text()) for out in ("marked", "again"))
        self.assertEqual(of_folder["summary"], of_assignment["summary"])
        self.assertEqual(of_folder["summary"]["judged"], 9)
        # The same folder marked on the whole song is measured anew.
        self.assertEqual(run("grade", "week", "--melody", "song.melody", "--out", "marked")[0], 0)
        self.assertGreaterEqual(json.loads(pathlib.Path("marked/results/ana.json").read_text())["summary"]["missing"], 9)

    def test_what_is_wrong_is_one_line(self):
        for arguments, says in ((("--bars", "8-5"), '--bars: "8-5" is not a range of bars; write the first and the last, such as 9-16'),
                                (("--bars", "20-30"), "song.melody: has no note in bars 20 to 30; it has bars 1 to 8")):
            status, out, err = check(*arguments)
            self.assertEqual((status, out, err.decode()), (2, b"", f"firmus: {says}\n"))
        self.assertEqual(run("check", "verse.wav", "--bars", "1-2")[0], 2)
        pathlib.Path("bad.json").write_text(json.dumps({"takes": ".", "pieces": [{"id": "a", "melody": "song.melody", "bars": "x"}]}))
        status, _, err = run("grade", "bad.json", "--out", "bad")
        self.assertEqual(status, 2)
        self.assertIn("is not a range of bars", err.decode())


if __name__ == "__main__":
    main()
