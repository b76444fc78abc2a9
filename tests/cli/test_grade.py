#!/usr/bin/python3
"""firmus grade: the gradebook and its marks, what is private, bad input, running it again."""
import csv
import io
import stat

import program
from class_folder import *
from marks_by_hand import *
from program import *

WOBBLY = [0, 0, 40, 0, -45, 0, 0, 62, 0]


def grade(*arguments, **options):
    return run("grade", *arguments, **options)


def table(path):
    return list(csv.DictReader(io.StringIO(pathlib.Path(path).read_bytes().decode(), newline="")))


class Folder(Case):
    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        make_class("in", {"ana take 1.wav": 0, "ben.wav": WOBBLY, "cleo.wav": array.array("h", [0] * RATE), "stranger's.wav": 0})
        cls.line = ["in", "--melody", "lantern.melody", "--roster", "class.csv", "--out", "out"]
        cls.status, cls.out, cls.err = grade(*cls.line)
        cls.rows = {row["student"]: row for row in table("out/gradebook.csv")}

    def test_every_student_of_the_roster_has_one_row_in_order(self):
        self.assertEqual([row["student"] for row in table("out/gradebook.csv")], ["ana", "ben", "cleo", "dan"])
        self.assertEqual([self.rows[s]["status"] for s in ("ana", "ben", "cleo", "dan")],
                         ["marked", "marked", "could not be measured", "not handed in"])
        self.assertEqual(self.rows["ana"]["mark_percent"], "100.0")
        self.assertEqual(self.rows["dan"]["mark_percent"], "")

    def test_a_silent_take_is_status_1_and_named_and_strangers_are_told(self):
        self.assertEqual(self.status, 1, self.err)
        lines = self.err.decode().splitlines()
        self.assertEqual(len(lines), 2, lines)
        self.assertTrue(lines[0].startswith("firmus: in/stranger's.wav: warning: its name contains no student of the roster; write the student beside it in out/private/whose.csv"))
        self.assertTrue(lines[1].startswith("firmus: in/cleo.wav: "))
        self.assertEqual(grade(*self.line, "--quiet")[2].count(b"\n"), 1)

    def test_the_class_text_is_printed(self):
        self.assertEqual(self.out, pathlib.Path("out/class.txt").read_bytes())
        text = self.out.decode()
        for words in ("Handed in   3 of 4 students", "Missing     dan", "Could not be opened", "cleo: ", "For the next lesson", "100.0 %"):
            self.assertIn(words, text)
        self.assertLessEqual(max(map(len, text.splitlines())), 78)
        self.assertEqual(grade(*self.line, "--format", "csv")[1], pathlib.Path("out/gradebook.csv").read_bytes())
        self.assertEqual(grade(*self.line, "--format", "json")[1], pathlib.Path("out/gradebook.json").read_bytes())

    def test_marks_are_those_made_by_hand_from_the_tables(self):
        rows = {row["take"]: row for row in table("out/marks.csv") if row["take"]}
        self.assertEqual(sorted(rows), ["ana", "ben", "cleo"])
        for take in ("ana", "ben"):
            notes = rows_of(pathlib.Path(f"out/results/{take}.notes.csv").read_bytes())
            points, possible, percent, counts = mark_of(notes)
            row = rows[take]
            self.assertEqual((float(row["points"]), float(row["possible"]), row["mark_percent"]), (points, possible, f"{percent:.1f}"))
            self.assertEqual([int(row[name]) for name in ("within_25_cents", "within_50_cents", "beyond", "missing", "extra")],
                             [*counts["bands"], counts["beyond"], counts["missing"], counts["extra"]])
            self.assertEqual(int(row["most_in_a_row"]), most_in_a_row(notes))
        self.assertEqual(int(rows["ben"]["within_50_cents"]), 2)
        self.assertEqual(int(rows["ben"]["beyond"]), 1)

    def test_the_gradebook_says_the_same_as_csv_and_json(self):
        book = json.loads(pathlib.Path("out/gradebook.json").read_text())
        self.assertEqual(book["schema"], "firmus.gradebook/1")
        for student in book["students"]:
            row = self.rows[student["student"]]
            self.assertEqual(student["status"], row["status"])
            self.assertEqual("" if student["mark_percent"] is None else f"{student['mark_percent']:.1f}", row["mark_percent"])
            self.assertEqual(f"{student['points']:g}", row["points"])
        self.assertEqual(book["rubric"]["bands"], [{"within_cents": 25.0, "points": 1.0}, {"within_cents": 50.0, "points": 0.5}])

    def test_each_student_has_pages_and_the_tables_of_each_take(self):
        for student in ("ana", "ben", "cleo", "dan"):
            for ending in ("txt", "html"):
                page = pathlib.Path(f"out/{student}.{ending}").read_text()
                for other in {"ana", "ben", "cleo"} - {student}:
                    self.assertNotRegex(page, rf"\b{other}\b")
        for ending in ("json", "notes.csv", "habits.csv", "txt", "svg", "html"):
            self.assertTrue(pathlib.Path(f"out/results/ana.{ending}").is_file(), ending)
        ana = json.loads(pathlib.Path("out/results/ana.json").read_text())
        self.assertEqual((ana["take"]["name"], ana["context"]["student"], ana["context"]["piece"]), ("ana", "ana", "lantern"))
        text = pathlib.Path("out/ben.txt").read_text()
        self.assertLess(text.index("What went well"), text.index("What to work on"))
        self.assertLess(text.index("What to work on"), text.index("Your mark"))

    def test_original_names_and_other_columns_stand_in_no_result_and_the_folder_is_private(self):
        for name, content in tree("out").items():
            for word in (b"take 1", b"stranger", b"Ana A", b"in/"):
                # The teacher's own pages name the files that she has to match.
                if not name.startswith("private/") and not (word == b"stranger" and name.startswith("class.")):
                    self.assertNotIn(word, content, name)
        sources = table("out/private/sources.csv")
        self.assertEqual([(row["take"], row["file"]) for row in sources],
                         [("ana", "ana take 1.wav"), ("ben", "ben.wav"), ("cleo", "cleo.wav"), ("", "stranger's.wav")])
        self.assertEqual(stat.S_IMODE(os.stat("out").st_mode), 0o700)

    def test_what_was_written_is_listed_and_nothing_else_is_overwritten(self):
        listed = json.loads(pathlib.Path("out/written.json").read_text())["files"]
        self.assertEqual(sorted(listed), sorted(name for name in tree("out") if name not in ("written.json", "overrides.csv", "private/whose.csv")))
        os.makedirs("own/results")
        pathlib.Path("own/results/ben.json").write_text("mine")
        status, out, err = grade(*self.line[:-1], "own")
        self.assertEqual((status, out), (2, b""))
        self.assertIn(b"was not written by this program", err)
        self.assertEqual(tree("own"), {"results/ben.json": b"mine"})

    def test_the_bytes_are_the_same_whatever_the_jobs(self):
        for jobs in ("1", "3"):
            self.assertEqual(grade(*self.line[:-1], f"out{jobs}", "--jobs", jobs)[:2], (1, self.out))
            self.assertEqual(different(tree("out"), tree(f"out{jobs}")), [])

    def test_a_share_that_is_required_is_status_3(self):
        line = ["in2", "--melody", "lantern.melody", "--out", "out-required", "--require", "90"]
        make_class("in2", {"ana.wav": 0, "ben.wav": WOBBLY})
        status, _, err = grade(*line)
        self.assertEqual(status, 3)
        self.assertRegex(err.decode(), r"^firmus: in2/ben\.wav: [\d.]+ % of the judged notes are in tune, 90 % are required\n$")

    def test_without_a_roster_each_stem_is_a_student(self):
        make_class("in3", {"x-1.wav": 0})
        pathlib.Path("in3/notes.txt").write_text("no take")
        self.assertEqual(grade("in3", "--melody", "lantern.melody", "--out", "out3")[0], 0)
        self.assertEqual([row["student"] for row in table("out3/gradebook.csv")], ["x-1"])


class Again(Case):
    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        make_class("in", {"ana.wav": 0, "ben.wav": WOBBLY})
        cls.line = ["in", "--melody", "lantern.melody", "--roster", "class.csv", "--out", "out"]
        cls.first = grade(*cls.line)
        cls.bytes = tree("out")

    def measured_again(self, *arguments):
        """Which takes were measured anew by a run with these arguments."""
        before = stamps("out", ".svg")
        self.assertIn(grade(*(arguments or self.line))[0], (0, 1))
        return sorted(name for name, stamp in stamps("out", ".svg").items() if stamp != before.get(name))

    def test_a_second_run_measures_nothing_and_ends_with_the_same_bytes(self):
        self.assertEqual(self.measured_again(), [])
        self.assertEqual(different(self.bytes, tree("out")), [])
        self.assertEqual(grade(*self.line), self.first)
        self.assertEqual(self.measured_again(*self.line, "--fresh"), ["ana.svg", "ben.svg"])
        self.assertEqual(different(self.bytes, tree("out")), [])

    def test_a_take_that_changed_is_measured_again_alone(self):
        write_wav("in/ana.wav", samples_of(NOTES, cents=30, beat_s=0.3))
        self.assertEqual(self.measured_again(), ["ana.svg"])
        write_wav("in/ana.wav", samples_of(NOTES, beat_s=0.3))
        self.assertEqual(self.measured_again(), ["ana.svg"])
        self.assertEqual(different(self.bytes, tree("out")), [])

    def test_a_damaged_or_lost_file_of_a_result_is_made_again(self):
        for name, damage in (("ana.json", lambda b: b[:-20]), ("ana.json", lambda b: b.replace(b'"flat":0', b'"flat":1')),
                             ("ana.notes.csv", lambda b: b + b"x"), ("ana.txt", None)):
            path = pathlib.Path("out/results", name)
            if damage:
                path.write_bytes(damage(path.read_bytes()))
            else:
                path.unlink()
            self.assertEqual(self.measured_again(), ["ana.svg"], name)
            self.assertEqual(different(self.bytes, tree("out")), [])

    def test_settings_and_melody_measure_all_again_but_a_date_does_not(self):
        self.assertEqual(self.measured_again(*self.line, "--date", "2031-05-17"), [])
        self.assertEqual(json.loads(pathlib.Path("out/results/ana.json").read_text())["context"]["date"], "2031-05-17")
        self.assertEqual(self.measured_again(*self.line, "--tolerance", "10"), ["ana.svg", "ben.svg"])
        pathlib.Path("other.melody").write_text(MELODY.replace("Walk", "Run"))
        self.assertEqual(self.measured_again("in", "--melody", "other.melody", "--roster", "class.csv", "--out", "out"), ["ana.svg", "ben.svg"])
        self.assertEqual(self.measured_again(), ["ana.svg", "ben.svg"])
        self.assertEqual(different(self.bytes, tree("out")), [])


class FromAssignment(Case):
    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        make_class("week", {"ana-kite.wav": WOBBLY, "ana-kite-2.wav": 0, "ana-mill.wav": WOBBLY, "ben-kite.wav": WOBBLY})
        os.rename("class.csv", "week/class.csv")
        for piece in ("kite", "mill"):
            pathlib.Path(f"week/{piece}.melody").write_text(MELODY)
        cls.assignment = {"title": "Week 3", "date": "2031-05-17", "roster": "class.csv",
                          "pieces": [{"id": "kite", "melody": "kite.melody"}, {"id": "mill", "melody": "mill.melody", "weight": 3, "reference": "concert"}],
                          "rubric": {"bands": [{"within_cents": 10, "points": 2}, {"within_cents": 60, "points": 1}], "missing": -1,
                                     "pass_percent": 90, "round": {"points": True, "standings": True}},
                          "tries": "best", "overrides": "overrides.csv"}
        pathlib.Path("week/overrides.csv").write_text("student,piece,index,mark,reason\nben,kite,,50,\"a cold, poor Ben\"\nana,mill,7,2,\n")
        pathlib.Path("week/a.json").write_text(json.dumps(cls.assignment))
        cls.status, cls.out, cls.err = grade("week/a.json", "--out", "out")
        cls.rows = {row["student"]: row for row in table("out/gradebook.csv")}

    def test_marks_follow_rubric_tries_weights_and_overrides(self):
        self.assertEqual((self.status, self.err), (0, b""))
        rubric = {"bands": [(10, 2), (60, 1)], "missing": -1, "extra": 0, "other_note": 0}
        by_take = {}
        for take, reference in (("ana.kite", "own"), ("ana.kite.2", "own"), ("ana.mill", "concert"), ("ben.kite", "own")):
            by_take[take] = mark_of(rows_of(pathlib.Path(f"out/results/{take}.notes.csv").read_bytes()), rubric, reference)
        marks = {row["take"]: row for row in table("out/marks.csv")}
        for take, (points, possible, percent, _) in by_take.items():
            self.assertEqual((float(marks[take]["points"]), float(marks[take]["possible"]), marks[take]["mark_percent"]),
                             (points, possible, f"{percent:.1f}"))
        self.assertEqual([row["counts"] for row in table("out/marks.csv") if row["student"] == "ana" and row["piece"] == "kite"], ["yes", "no"]
                         if by_take["ana.kite"][2] >= by_take["ana.kite.2"][2] else ["no", "yes"])
        ana = (max(by_take["ana.kite"][2], by_take["ana.kite.2"][2]) + 3 * by_take["ana.mill"][2]) / 4
        self.assertAlmostEqual(float(self.rows["ana"]["mark_percent"]), ana, delta=0.051)
        self.assertGreater(float(self.rows["ana"]["teacher_percent"]), ana)
        self.assertEqual((self.rows["ben"]["final_percent"], self.rows["ben"]["passed"]), ("50.0", "no"))
        self.assertIn("a cold, poor Ben", self.rows["ben"]["teacher_reason"])
        self.assertEqual([self.rows[s]["standing"] for s in ("ana", "ben", "cleo")], ["1", "2", ""])
        self.assertEqual(self.rows["cleo"]["status"], "not handed in")

    def test_the_overrides_are_never_written(self):
        self.assertTrue(pathlib.Path("week/overrides.csv").read_text().startswith("student,piece,index,mark,reason\nben"))

    def test_a_new_rubric_marks_anew_without_measuring(self):
        before = stamps("out", ".json")
        os.mkdir("again")
        lenient = {key: value for key, value in self.assignment.items() if key != "overrides"}
        lenient.update(takes="../week", roster="../week/class.csv", rubric="rubric.json",
                       pieces=[{**piece, "melody": "../week/" + piece["melody"]} for piece in self.assignment["pieces"]])
        pathlib.Path("again/rubric.json").write_text('{"bands": [{"within_cents": 100, "points": 1}]}')
        pathlib.Path("again/b.json").write_text(json.dumps(lenient))
        self.assertEqual(grade("again/b.json", "--out", "out")[0], 0)
        self.assertEqual(stamps("out", ".json"), before)
        self.assertEqual({row["student"]: row["mark_percent"] for row in table("out/gradebook.csv")}["ana"], "100.0")
        self.assertEqual(grade("week/a.json", "--out", "out"), (self.status, self.out, self.err))

    def test_what_is_wrong_is_one_line_and_nothing_is_written(self):
        good = json.dumps(self.assignment)
        for change, starts in (
                (good.replace('"tries"', '"trys"'), "week/bad.json:1:"),
                (good.replace('"best"', '"worst"'), "week/bad.json:1:"),
                (good.replace("2031-05-17", "2031-02-30"), 'week/bad.json:1:'),
                ("{", "week/bad.json:1:2: the JSON ends too early"),
                (good.replace("class.csv", "none.csv"), "week/none.csv: cannot be read"),
                (good.replace("kite.melody", "none.melody"), "week/none.melody: cannot be read"),
                (good.replace('"roster"', '"takes": "nowhere", "roster"'), "week/nowhere: cannot be read as a folder")):
            pathlib.Path("week/bad.json").write_text(change)
            self.addCleanup(pathlib.Path("week/bad.json").unlink, missing_ok=True)
            self.complains(2, "grade", "week/bad.json", "--out", "none", starts=starts)
            self.assertFalse(os.path.exists("none"))
        pathlib.Path("bad.csv").write_text("student\nana\nAna\n")
        line = ["grade", "week", "--melody", "lantern.melody", "--out", "none"]
        self.complains(2, *line, "--roster", "bad.csv", starts='bad.csv:3:1: the id "Ana" is that of line 2 too')
        self.complains(2, *line, "--match", "{who}", starts='--match: the pattern has no "{who}"')
        self.complains(2, *line[:2], "--out", "none", starts="--melody is missing; ")
        self.complains(2, *line[:4], starts="--out is missing; ")
        self.complains(2, "grade", "nowhere", *line[2:], starts="nowhere: there is no such folder")
        self.complains(2, "grade", "week/a.json", *line[2:], starts='--melody goes with a folder; ')
        for shard in ("0/2", "3/2", "1", "1/", "a/b", "1/2/3", "-1/2"):
            self.complains(2, *line, "--shard", shard, starts="--shard: ")
        self.assertFalse(os.path.exists("none"))


class NotesThatMayBeLeftOut(Case):
    MELODY = ("title: Ornaments\nkey: D major\nmeter: 4/4\n\n"
              "D4 F#4:0 E4:1:maybe G4 A4 | B4 C#5:0 A4:1:maybe G4 E4 | F#4 D4:1:maybe A4 D4\n")
    REQUIRED = [(62, 1), (67, 1), (69, 1), (71, 1), (67, 1), (64, 1), (66, 1), (69, 1), (62, 1)]
    ALL = [(62, 1), (64, 1), (67, 1), (69, 1), (71, 1), (69, 1), (67, 1), (64, 1), (66, 1), (62, 1), (69, 1), (62, 1)]

    def test_they_are_in_no_share_and_cost_nothing_left_out_or_sung_badly(self):
        pathlib.Path("ornaments.melody").write_text(self.MELODY)
        off = [60 if place in (1, 5, 9) else 0 for place in range(len(self.ALL))]
        make_class("in", {"ana.wav": samples_of(self.REQUIRED), "ben.wav": samples_of(self.ALL, cents=off)})
        status, _, err = grade("in", "--melody", "ornaments.melody", "--roster", "class.csv", "--out", "out")
        self.assertEqual(status, 0, err)
        marks = {row["student"]: row for row in table("out/gradebook.csv")}
        for student in ("ana", "ben"):
            self.assertEqual((marks[student]["status"], marks[student]["mark_percent"]), ("marked", "100.0"), student)
            result = json.loads(pathlib.Path(f"out/results/{student}.json").read_text())
            self.assertEqual([result["summary"][key] for key in ("written", "judged", "in_tune", "missing")], [9, 9, 9, 0])
            self.assertEqual((result["summary"]["judged_share"], result["alignment"]["matched_share"]), (1.0, 1.0))
            self.assertEqual([note["index"] for note in result["notes"] if note["may_be_left_out"]], [1, 2, 6, 7, 11])


if __name__ == "__main__":
    program.main()
