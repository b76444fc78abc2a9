#!/usr/bin/python3
"""What to practise: drills from results, their tracks, the page, a drill checked in turn, and a round of drills."""
import csv
import re

from program import *
from sixths import measure_weeks


def with_cents(text, cents):
    """The drill with the notes that it is about written so far off."""
    head, notes = text.split("\n\n", 1)
    about = {int(number) for number in head.split("; notes ")[1].split("\n")[0].split()}
    count = 0

    def moved(match):
        nonlocal count
        count += 1
        return f"{match[1]}{int(match[2] or 0) + cents:+d}" if count in about else match[0]
    return head.replace("drill:", "# drill:") + "\n\n" + re.sub(r"\b([A-G][#b]?\d)([+-]\d+)?", moved, notes)


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
        self.assertIn("1. Recurring problem: rising major sixths are ", text)
        self.assertIn("stay between C4 and D5", text)
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
        self.assertIn("This drill (flat rising major sixths) is done.", out)

    def test_a_trend_tells_the_drills_apart_and_done_only_when_taken_twice(self):
        before = json.loads(run("trend", "term", "--format", "json")[1])["students"][0]
        hold, _, steps = self.melodies()[:3]
        for number, (melody, cents, day) in enumerate(((hold, -40, 22), (hold, -8, 23), (steps, -35, 23), (hold, -6, 24), (steps, -9, 24))):
            pathlib.Path("off.melody").write_text(with_cents(melody.read_text(), cents))
            run("tone", "off.melody", "--to", "answer.wav")
            status, _, err = run("check", "answer.wav", "--melody", str(melody), "--student", "ana", "--date", f"2026-09-{day}", "--out",
                                 f"drilled/{number}", "--quiet")
            self.assertEqual((status, err), (0, b""))
        again = run("drill", "term", "drilled", "--out", "again")[1]  # what keeps coming is not looked for in drills
        self.assertIn(b"rising major sixths are 33 cents flat (all 12)", again.replace(b"\n", b" "))
        status, out, err = run("trend", "term", "drilled", "--out", "drilled-trend", "--format", "json")
        self.assertEqual((status, err), (0, b""))
        student, = json.loads(out)["students"]
        if validator := schema_validator("trend"):
            self.assertEqual(faults_by(validator, json.loads(out)), [])
        for key in ("points", "figures", "habits", "melodies"):
            self.assertEqual(student[key], before[key])
        drills, = student["drills"]
        self.assertEqual((drills["off"], drills["name"], drills["direction"]), ("flat", "M6", "up"))
        self.assertEqual([(state["state"]) for state in drills["drills"]], ["done", "done once"])
        self.assertEqual([(point["date"][-2:], point["done"]) for point in drills["points"]],
                         [("22", False), ("23", True), ("23", False), ("24", True), ("24", True)])
        for point, cents in zip(drills["points"], (-40, -8, -35, -6, -9)):
            self.assertAlmostEqual(point["mean_cents"], cents, delta=0.5)
        text = pathlib.Path("drilled-trend/trend.txt").read_text()
        self.assertIn("Drills: flat rising major sixths", text)
        self.assertIn("done, on two days: Hold A4", text)
        self.assertLessEqual(max(map(len, text.splitlines())), 78)
        self.assertEqual(pathlib.Path("drilled-trend/trend.drills.csv").read_text().count("\n"), 6)
        self.assertIn("The drills date by date", pathlib.Path("drilled-trend/trend.html").read_text())

    def test_the_same_line_again_gives_the_same_bytes(self):
        before = {path.name: path.read_bytes() for path in pathlib.Path("practice").iterdir()}
        self.assertEqual(run("drill", "term", "--out", "practice")[0], 0)
        self.assertEqual(before, {path.name: path.read_bytes() for path in pathlib.Path("practice").iterdir()})

    def test_a_range_given_holds(self):
        status, out, err = run("drill", "term", "--out", "low", "--high", "A4")
        self.assertEqual((status, err), (0, b""))
        for melody in pathlib.Path("low").glob("*.melody"):
            for row in run("melody", str(melody), "--format", "csv")[1].decode().splitlines()[1:]:
                self.assertNotIn(row.split(",")[5], ("B5", "C5"), row)

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


class Round(Case):
    """A class answers two drills on rising sixths: points, the most in a row, and places when asked for."""

    ANSWERS = {"anemone": (-5, -30), "bell": (-5, -30), "clover": (-35, -60), "daisy": (-5, None), "elder": (None, None)}

    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        pathlib.Path("week/hand-ins").mkdir(parents=True)
        for name, line in (("hold", "A4:4 | A4:4 | A4:4 | A4:4"), ("leap", "C4 A4 C4 A4 | C4 A4 C4 A4 | C4 A4 C4 A4")):
            about = "1 2 3 4" if name == "hold" else "2 4 6 8 10 12"
            drill = f"title: {name}\ndrill: flat on interval M6 up; notes {about}\nmeter: 4/4\nreference: concert\n\n{line}\n"
            pathlib.Path(f"week/{name}.melody").write_text(drill)
        for student, answers in cls.ANSWERS.items():
            for name, cents in zip(("hold", "leap"), answers):
                if cents is not None:
                    pathlib.Path("off.melody").write_text(with_cents(pathlib.Path(f"week/{name}.melody").read_text(), cents))
                    run("tone", "off.melody", "--to", f"week/hand-ins/{student}-{name}.wav")
        pathlib.Path("week/class.csv").write_text("student\n" + "\n".join(cls.ANSWERS) + "\n")
        cls.graded(standings=True)

    @staticmethod
    def graded(standings, out="out"):
        pathlib.Path("week/a.json").write_text(json.dumps({
            "takes": "hand-ins", "roster": "class.csv", "pieces": [{"id": name, "melody": f"{name}.melody"} for name in ("hold", "leap")],
            "rubric": {"round": {"points": True, "standings": standings}}}))
        status, _, err = run("grade", "week/a.json", "--out", out)
        assert (status, err) == (0, b""), err

    def test_points_and_the_most_in_a_row_are_those_of_the_answers_and_equal_points_share_a_place(self):
        rows = {row["student"]: row for row in csv.DictReader(pathlib.Path("out/gradebook.csv").read_text().splitlines())}
        # hold: 4 notes, leap: 6 in tune and 6 as far off as asked; 1 point within 25 cents, 0.5 within 50, none beyond.
        told = {student: (row["points"], row["possible"], row["most_in_a_row"], row["standing"]) for student, row in rows.items()}
        self.assertEqual(told, {"anemone": ("13", "16", "4", "1"), "bell": ("13", "16", "4", "1"), "clover": ("8", "16", "1", "3"),
                                "daisy": ("4", "4", "4", "4"), "elder": ("0", "0", "0", "")})
        text = pathlib.Path("out/class.txt").read_text()
        places = text.index("Class round: points")
        self.assertEqual(re.findall(r"^ +(\d)  (\w+)", text[places:], re.M),
                         [("1", "anemone"), ("1", "bell"), ("3", "clover"), ("4", "daisy")])

    def test_a_student_is_told_whether_each_drill_is_done_and_nothing_of_places_or_others(self):
        for name in ("anemone.txt", "anemone.html"):
            page = pathlib.Path("out", name).read_text().replace("\n", " ")
            for state in ("done", "not done yet"):
                self.assertTrue(f"This drill (flat rising major sixths) is {state}." in page, (name, state))
            for words in ("bell", "clover", "place", "Place"):
                self.assertFalse(re.search(rf"\b{words}\b", re.sub(r"<(style|script)>.*?</\1>", "", page)), (name, words))

    def test_the_teacher_is_told_who_has_done_which_drill(self):
        text = pathlib.Path("out/class.txt").read_text()
        self.assertLessEqual(max(map(len, text.splitlines())), 78)
        drills = text[text.index("Drills: who has done which"):text.index("Marks")]
        for line in ("  hold, flat rising major sixths: done by 3 of 5 students", "  leap, flat rising major sixths: done by 0 of 5 students",
                     "  anemone: hold (done, 5 cents flat); leap (not yet, 30 cents flat)", "  clover: hold (not yet, 35 cents flat); leap (not yet, 60 cents flat)",
                     "  daisy: hold (done, 5 cents flat); leap (not handed in)", "  elder: hold (not handed in); leap (not handed in)"):
            self.assertIn(line + "\n", drills)
        page = pathlib.Path("out/class.html").read_text()
        self.assertIn("<td>done, 5 cents flat</td><td>not yet, 30 cents flat</td>", page)

    def test_places_are_told_only_when_asked_for(self):
        self.assertIn("<h2>The round</h2>", pathlib.Path("out/class.html").read_text())
        self.graded(standings=False, out="plain")
        self.assertNotIn("<h2>The round</h2>", pathlib.Path("plain/class.html").read_text())
        self.assertNotIn("standing", pathlib.Path("plain/gradebook.csv").read_text().splitlines()[0])
        self.assertEqual({student["standing"] for student in json.loads(pathlib.Path("plain/gradebook.json").read_text())["students"]}, {None})


if __name__ == "__main__":
    main()
