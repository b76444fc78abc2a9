#!/usr/bin/python3
"""Weeks of results: which files are read, what is said of them, what is written, and how it ends."""
import csv
import datetime
import io
import re

from program import *
from sixths import measure_weeks

DATES = [str(datetime.date(2026, 9, 7) + datetime.timedelta(days=7 * week)) for week in range(6)]


class Trend(Case):
    """Six weeks of one singer, flat on the notes after a rising major sixth, made by `check`."""

    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        measure_weeks(DATES, -40)

    def test_the_habit_that_keeps_coming_is_told_in_a_sentence(self):
        status, out, err = run("trend", "term")
        self.assertEqual((status, err), (0, b""))
        lines = out.decode().splitlines()
        self.assertEqual(lines[0], "Student     ana, 6 recordings on 6 dates, 2026-09-07 to 2026-10-12")
        keeps = lines.index("Recurring problems")
        self.assertRegex(lines[keeps + 1], r"^  Rising major sixths are (3[5-9]|4[0-5]) cents flat \(all 24\) in 6 recordings")
        self.assertNotIn("What has gone", lines)
        self.assertLessEqual(max(map(len, lines)), 78)

    def test_files_in_any_order_say_the_same_as_their_folder(self):
        files = [f"term/week{week}/ana.json" for week in (3, 0, 5, 1, 4, 2)]
        self.assertEqual(run("trend", *files)[1], run("trend", "term")[1])
        self.assertEqual(run("trend", "term", "term/week2", "term/week2/ana.json")[1], run("trend", "term")[1])

    def test_json_and_csv_hold_the_weeks(self):
        status, out, err = run("trend", "term", "--format", "json")
        self.assertEqual((status, err), (0, b""))
        student, = json.loads(out)["students"]
        self.assertEqual([point["date"] for point in student["points"]], DATES)
        self.assertEqual([habit["fate"] for habit in student["habits"]], ["stays"])
        rows = list(csv.DictReader(io.StringIO(run("trend", "term", "--format", "csv")[1].decode())))
        self.assertEqual([row["date"] for row in rows], DATES)
        for row, point in zip(rows, student["points"]):
            self.assertEqual(row["student"], "ana")
            self.assertEqual(float(row["mean_abs_cents"]), point["mean_abs_cents"])
            result = json.loads(pathlib.Path(f"term/week{DATES.index(row['date'])}/ana.json").read_text())
            self.assertAlmostEqual(float(row["mean_abs_cents"]), result["summary"]["mean_abs_cents"], delta=0.11)
            self.assertAlmostEqual(float(row["precision_cents"]), result["summary"]["precision_cents"], delta=0.11)
            self.assertEqual(int(row["judged"]), result["summary"]["judged"])

    def test_every_kind_of_trend_keeps_to_the_schema(self):
        validator = schema_validator("trend")
        if not validator:
            return
        # Not a take of its melody, one without a date, and a student without takes that could be measured.
        text = pathlib.Path("term/week0/ana.json").read_text()
        pathlib.Path("undated.json").write_text(re.sub(r'"date":"[^"]*"', '"date":null', text))
        run("check", "gone.wav", "--melody", "sixths.melody", "--student", "dot", "--out", "gone", "--quiet")
        for arguments in (["term"], ["term/week0"], ["term", "undated.json"], ["term", "gone/gone.json"], ["gone/gone.json"]):
            with self.subTest(arguments):
                status, out, err = run("trend", *arguments, "--format", "json")
                self.assertEqual((status, err), (0, b""))
                self.assertEqual(faults_by(validator, json.loads(out)), [])
        whole = json.loads(run("trend", "term", "--format", "json")[1])
        for damage in (lambda s: s.pop("points"), lambda s: s["points"][0].update(judged=-1), lambda s: s["points"][0].update(date="May"),
                       lambda s: s["habits"][0].update(fate="over"), lambda s: s["figures"][0].update(ci95=[1]),
                       lambda s: s["habits"][0].pop("later_cents"), lambda s: s["figures"][0].update(p=1.5)):
            copy = json.loads(json.dumps(whole))
            damage(copy["students"][0])
            self.assertFalse(validator.is_valid(copy))

    def test_what_is_no_result_in_a_folder_is_passed_over_and_a_damaged_one_is_named(self):
        folder = pathlib.Path("mixed")
        (folder / "private").mkdir(parents=True)
        good = pathlib.Path("term/week0/ana.json").read_text()
        (folder / "ana.json").write_text(good)
        (folder / "notes.txt").write_text("call the choir")
        (folder / "written.json").write_text('{"schema": "firmus.written/1"}')
        (folder / "broken-but-not-ours.json").write_text("{")
        (folder / "take.schema.json").write_bytes(run("check", "--schema")[1])
        (folder / "private" / "other.json").write_text(good.replace('"ana"', '"someone"'))
        status, out, err = run("trend", "mixed")
        self.assertEqual((status, err), (0, b""))
        self.assertIn(b"ana, 1 recording, 2026-09-07", out)
        sorted_keys = json.dumps({**json.loads(good), "context": {"student": "ana", "date": "2026-09-14"}}, sort_keys=True,
                                 indent=2)
        (folder / "by-another-tool.json").write_text(sorted_keys)
        self.assertIn(b"ana, 2 recordings on 2 dates, 2026-09-07 to 2026-09-14", run("trend", "mixed")[1])
        (folder / "by-another-tool.json").unlink()
        (folder / "torn.json").write_text(good[:900])
        status, out, err = run("trend", "mixed")
        self.assertEqual(status, 1)
        self.assertTrue(err.startswith(b"firmus: mixed/torn.json:1:901: the JSON ends too early; "), err)
        self.assertEqual(err.count(b"\n"), 1)
        self.assertIn(b"ana, 1 recording, 2026-09-07", out)

    def test_students_of_a_class_stand_in_one_table(self):
        for name in ("ben", "cem"):
            text = pathlib.Path("term/week0/ana.json").read_text().replace('"student":"ana"', f'"student":"{name}"')
            pathlib.Path(f"{name}.json").write_text(text)
        status, out, _ = run("trend", "term", "ben.json", "cem.json")
        self.assertEqual(status, 0)
        self.assertTrue(out.startswith(b"Class       3 students, 8 takes\n"))

    def test_out_writes_the_files_and_no_file_that_is_not_its_own_is_lost(self):
        status, out, err = run("trend", "term", "--out", "deep/trend")
        self.assertEqual((status, err), (0, b""))
        folder = pathlib.Path("deep/trend")
        self.assertTrue({"trend.txt", "trend.json", "trend.csv", "trend.habits.csv", "written.json"} <=
                        set(os.listdir(folder)))
        self.assertEqual((folder / "trend.txt").read_bytes(), out)
        self.assertEqual((folder / "trend.json").read_bytes(), run("trend", "term", "--format", "json")[1])
        self.assertEqual((folder / "trend.csv").read_bytes(), run("trend", "term", "--format", "csv")[1])
        self.assertEqual(run("trend", "term", "--out", "deep/trend")[0], 0)
        pathlib.Path("taken").mkdir()
        pathlib.Path("taken/trend.txt").write_text("mine")
        self.complains(2, "trend", "term", "--out", "taken")
        self.assertEqual(pathlib.Path("taken/trend.txt").read_text(), "mine")

    def test_wrong_lines_are_named(self):
        self.complains(2, "trend", line="no result is given; write firmus trend RESULT..., files or folders")
        self.complains(2, "trend", "nowhere.json", starts="nowhere.json: cannot be read")
        self.complains(1, "trend", "sixths.melody", starts="sixths.melody:1:1: this is no JSON")
        self.complains(2, "trend", "term", "--format", "svg", starts="--format")
        pathlib.Path("empty").mkdir()
        self.complains(2, "trend", "empty",
                       line="no result is in what was given; give results of \"firmus check --out\"")
        os.mkfifo("pipe")
        self.complains(2, "trend", "pipe", starts="pipe: is a pipe")


if __name__ == "__main__":
    main()
