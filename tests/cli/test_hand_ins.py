#!/usr/bin/python3
"""A week's hand-ins as they arrive: names of files as people give them, several melodies, no JSON written by hand."""
import csv
import io
import json
import pathlib

from program import *

MILL = "title: Cold Mill\nkey: C major\nmeter: 4/4\n\nC4 E4 G4 E4 | F4 A4 G4:2 | E4 D4 C4 G4 | C4:4\n"
MILL_NOTES = [(60, 1), (64, 1), (67, 1), (64, 1), (65, 1), (69, 1), (67, 2), (64, 1), (62, 1), (60, 1), (67, 1), (60, 4)]
ROSTER = "Name,e-mail\nAna Roble,a@example.org\nBen Alder,b@example.org\nJos\u00e9 Marisma,j@example.org\ns1,\n"
KITE, OTHER = samples_of(NOTES, beat_s=0.25), samples_of(MILL_NOTES, beat_s=0.25)


def table(text):
    return list(csv.DictReader(io.StringIO(text, newline="")))


class Week(Case):
    """Two pieces, four students; one file whose names do not say whose it is."""

    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        pathlib.Path("mill.melody").write_text(MILL)
        pathlib.Path("class.csv").write_text(ROSTER)
        for name, samples in {"2031-05-17 Lantern Ana Roble.wav": KITE, "COLD_MILL_ana(2).WAV": OTHER,
                              "Ben Alder/lantern.wav": KITE, "Ben Alder/Cold Mill.wav": OTHER,
                              "lantern jose\u0301.wav": KITE, "s1-lantern.wav": KITE, "s1-mill.wav": OTHER,
                              "New Recording 12.wav": OTHER}.items():
            path = pathlib.Path("week", name)
            path.parent.mkdir(parents=True, exist_ok=True)
            write_wav(path, samples)
        cls.line = ["grade", "week", "--melody", "lantern.melody", "--melody", "mill.melody", "--roster", "class.csv"]
        cls.options = ["--title", "Week 3", "--weight", "mill=2", "--pass", "60", "--tries", "best"]
        cls.status, cls.out, cls.err = run(*cls.line, *cls.options, "--save-assignment", "week3.json", "--out", "out")

    def test_each_file_is_its_students_and_the_rest_is_listed_first(self):
        self.assertEqual(self.status, 0, self.err)
        sources = {row["file"]: (row["student"], row["piece"]) for row in table(pathlib.Path("out/private/sources.csv").read_text())}
        self.assertEqual(sources, {
            "2031-05-17 Lantern Ana Roble.wav": ("Ana Roble", "lantern"), "COLD_MILL_ana(2).WAV": ("Ana Roble", "mill"),
            "Ben Alder/lantern.wav": ("Ben Alder", "lantern"), "Ben Alder/Cold Mill.wav": ("Ben Alder", "mill"),
            "lantern jose\u0301.wav": ("Jos\u00e9 Marisma", "lantern"), "s1-lantern.wav": ("s1", "lantern"),
            "s1-mill.wav": ("s1", "mill"), "New Recording 12.wav": ("", "")})
        text = self.out.decode()
        self.assertLess(text.index("1 file could not be matched"), text.index("Handed in"))
        self.assertIn("New Recording 12.wav", text)
        page = pathlib.Path("out/class.html").read_text()
        self.assertLess(page.index("New Recording 12.wav"), page.index("Who handed in"))
        with_address = [path.name for path in pathlib.Path("out").rglob("*") if path.is_file() and "@example.org" in path.read_text(errors="replace")]
        self.assertEqual(with_address, ["send.csv"])
        send = table(pathlib.Path("out/private/send.csv").read_text())
        self.assertEqual([(row["student"], row["email"], row["file"]) for row in send],
                         [("Ana Roble", "a@example.org", "Ana Roble.html"), ("Ben Alder", "b@example.org", "Ben Alder.html"),
                          ("Jos\u00e9 Marisma", "j@example.org", "Jos\u00e9 Marisma.html"), ("s1", "", "s1.html")])
        self.assertIn("notes were in tune", send[0]["text"])

    def test_the_assignment_that_is_saved_says_the_same(self):
        saved = json.loads(pathlib.Path("week3.json").read_text())
        self.assertEqual([(piece["id"], piece.get("weight", 1)) for piece in saved["pieces"]], [("lantern", 1), ("mill", 2)])
        self.assertEqual((saved["title"], saved["tries"], saved["rubric"]["pass_percent"]), ("Week 3", "best", 60))
        status, out, err = run("grade", "week3.json", "--out", "again")
        self.assertEqual((status, out), (0, self.out), err)
        self.assertEqual(pathlib.Path("again/gradebook.csv").read_bytes(), pathlib.Path("out/gradebook.csv").read_bytes())

    def test_a_file_matched_by_hand_stays_matched(self):
        self.assertEqual(run(*self.line, "--out", "by-hand")[0], 0)
        whose = pathlib.Path("by-hand/private/whose.csv")
        self.assertEqual(table(whose.read_text()), [{"file": "New Recording 12.wav", "student": "", "piece": ""}])
        filled = "file,student,piece\r\nNew Recording 12.wav,Jos\u00e9 Marisma,mill\r\n"
        whose.write_bytes(filled.encode())
        status, out, err = run(*self.line, "--out", "by-hand")
        self.assertEqual((status, err), (0, b""))
        self.assertNotIn(b"could not be matched", out)
        self.assertEqual(whose.read_bytes(), filled.encode())
        for wrong, words in (("New Recording 12.wav,Nobody,mill", b"by-hand/private/whose.csv:2:22: \"Nobody\" is not a student"),
                             ("gone.wav,s1,mill", b"by-hand/private/whose.csv:2:1: there is no file"),
                             ("New Recording 12.wav,s1,hill", b"is not a piece of this assignment")):
            whose.write_text("file,student,piece\n" + wrong + "\n")
            status, out, err = run(*self.line, "--out", "by-hand")
            self.assertEqual((status, out), (2, b""))
            self.assertIn(words, err)

    def test_marks_of_the_teachers_own_go_into_the_table_made_once(self):
        self.assertEqual(run(*self.line, "--out", "marks")[0], 0)
        overrides = pathlib.Path("marks/overrides.csv")
        rows = table(overrides.read_bytes().decode())
        self.assertEqual(len(rows), 8)
        self.assertEqual(rows[1], {"student": "Ana Roble", "piece": "mill", "index": "", "mark": "", "reason": ""})
        text = overrides.read_text().replace("s1,mill,,,", "s1,mill,,55,hoarse")
        overrides.write_text(text)
        self.assertEqual(run(*self.line, "--out", "marks")[0], 0)
        self.assertEqual(overrides.read_text(), text)
        s1 = next(row for row in table(pathlib.Path("marks/gradebook.csv").read_text()) if row["student"] == "s1")
        self.assertEqual(float(s1["teacher_percent"]), (100 + 55) / 2)  # of two pieces that weigh the same

    def test_the_list_measures_and_writes_nothing(self):
        before = sorted(pathlib.Path(".").rglob("*"))
        status, out, err = run(*self.line, "--list", "--quiet")
        self.assertEqual((status, err), (0, b""))
        self.assertEqual(sorted(pathlib.Path(".").rglob("*")), before)
        rows = table(out.decode())
        self.assertEqual(len(rows), 9)
        self.assertIn({"file": "s1-mill.wav", "student": "s1", "piece": "mill", "try": "1", "missing": ""}, rows)
        self.assertIn({"file": "", "student": "Jos\u00e9 Marisma", "piece": "mill", "try": "", "missing": "not handed in"}, rows)

    def test_what_is_wrong_is_one_line(self):
        for more, words in ((["--weight", "hill=2"], "--weight: \"hill\" is not a piece"),
                            (["--weight", "mill"], "--weight: \"mill\" is not a weight"),
                            (["--tries", "first"], "--tries: \"first\" is not a rule; write last_full, best or mean"),
                            (["--melody", "mill.melody"], "have one name"),
                            (["--bars", "1-2"], "go with one melody")):
            status, out, err = run(*self.line, *more, "--out", "wrong")
            self.assertEqual((status, out, err.count(b"\n")), (2, b"", 1), err)
            self.assertIn(words, err.decode())
            self.assertFalse(pathlib.Path("wrong").exists())


class Newcomer(Case):
    """The order in which people type things."""

    def test_a_melody_among_the_takes_is_the_melody(self):
        usual = run("check", "ana.wav", "--melody", "lantern.melody", "--format", "json")
        self.assertEqual(usual[0], 0, usual[2])
        self.assertEqual(run("check", "ana.wav", "lantern.melody", "--format", "json"), usual)
        self.assertEqual(run("check", "lantern.melody", "ana.wav", "--format", "json"), usual)
        pathlib.Path("second.melody").write_text(MILL)
        status, out, err = run("check", "ana.wav", "lantern.melody", "second.melody")
        self.assertEqual((status, out), (2, b""))
        self.assertIn(b"are both melodies", err)

    def test_a_folder_is_its_recordings(self):
        folder = pathlib.Path("takes")
        folder.mkdir()
        for name in ("b.wav", "a.wav"):
            write_wav(folder / name, KITE)
        (folder / "notes.txt").write_text("not a take")
        status, out, err = run("check", "takes", "--melody", "lantern.melody", "--format", "csv")
        self.assertEqual(status, 0, err)
        self.assertEqual(sorted({row["take"] for row in table(out.decode())}), ["takes/a.wav", "takes/b.wav"])
        pathlib.Path("none").mkdir()
        self.assertEqual(run("check", "none", "--melody", "lantern.melody")[0], 1)

    def test_help_is_where_people_look_for_it(self):
        self.assertEqual(run("-h"), run("--help"))
        self.assertEqual(run("help"), run("--help"))
        for command in ("check", "grade", "trend", "drill", "tone", "melody", "pitch"):
            self.assertEqual(run("help", command), run(command, "--help"))
            self.assertEqual(run(command, "-h"), run(command, "--help"))
            self.assertLessEqual(max(map(len, run("help", command)[1].decode().splitlines())), 80, command)
        self.assertEqual(run("help", "trends")[2], b'firmus: "trends" is not a command; did you mean trend?\n')

    def test_what_was_probably_meant_is_said(self):
        self.assertIn(b"did you mean grade?", run("garde")[2])
        self.assertIn(b"did you mean --melody?", run("check", "ana.wav", "--melodie", "lantern.melody")[2])
        self.assertNotIn(b"did you mean", run("check", "ana.wav", "--xyzzy")[2])
        self.assertIn(b"--melody and --out are missing", run("grade", ".")[2])


if __name__ == "__main__":
    main()
