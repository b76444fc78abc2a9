#!/usr/bin/python3
"""check --since RESULT: better than last time, what is solved and what is new; and results that cannot be compared."""
from program import *
from sixths import AFTER_SIXTH, KEYS, measure_weeks

LAST_TIME = "term/week0/ana.json"
AGAIN = ("check", "ana.wav", "--melody", "sixths.melody", "--since", LAST_TIME)


class Since(Case):
    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        measure_weeks(["2026-09-07"], -45)
        cls.flat_take = pathlib.Path("ana.wav").read_bytes()

    def sing(self, sixth_cents):
        unsteady = [6 * ((note * 5 + 9) % 7 - 3) / 3 for note in range(len(KEYS))]
        cents = [(sixth_cents if note in AFTER_SIXTH else 0) + off for note, off in enumerate(unsteady)]
        write_wav("ana.wav", samples_of(KEYS, cents, beat_s=0.3))

    def since_of(self, *arguments):
        status, out, err = run(*AGAIN, "--format", "json", *arguments)
        self.assertEqual((status, err), (0, b""))
        return json.loads(out)["since"]

    def test_a_take_whose_notes_are_all_nearer_is_better_and_the_other_way_round_worse(self):
        far = [21 if note % 2 else -21 for note in range(len(KEYS))]
        for name, share in (("far", 1), ("near", 0.2)):
            write_wav(f"{name}.wav", samples_of(KEYS, [share * off for off in far], beat_s=0.3))
            self.assertEqual(run("check", f"{name}.wav", "--melody", "sixths.melody", "--out", "both", "--quiet")[0], 0)
        for now, then, verdict, sign in (("near", "far", "better", -1), ("far", "near", "worse", 1)):
            since = json.loads(run("check", f"{now}.wav", "--melody", "sixths.melody", "--since", f"both/{then}.json", "--format",
                                   "json")[1])["since"]
            self.assertEqual(since["verdict"], verdict)
            self.assertGreater(min(sign * end for end in since["change_ci95_cents"]), 0)
            text = run("check", f"{now}.wav", "--melody", "sixths.melody", "--since", f"both/{then}.json")[1].decode()
            self.assertRegex(text, rf"(?m)^Since +average error \d+ cents then, \d+ now: {verdict} by \d+ \(")

    def test_a_fault_that_is_gone_is_solved(self):
        self.sing(0)
        since = self.since_of()
        self.assertEqual((since["take"], since["date"], since["notes"]), ("ana.wav", "2026-09-07", 25))
        solved = {tuple(finding["indices"]) for finding in since["solved"]}
        self.assertIn((1, 9, 13, 21), solved)
        self.assertEqual(since["new"], [])
        lines = run(*AGAIN)[1].decode().splitlines()
        self.assertIn("compared with ana.wav of 2026-09-07", lines[0])
        self.assertTrue(any(line.startswith("Since       average error ") for line in lines), lines)
        self.assertTrue(any(line.startswith("Solved      rising major sixths") for line in lines), lines)
        self.assertTrue(any(line.startswith("New         nothing") for line in lines), lines)

    def test_the_same_take_again_is_no_change(self):
        pathlib.Path("ana.wav").write_bytes(self.flat_take)
        since = self.since_of()
        self.assertEqual((since["verdict"], since["change_cents"], since["solved"], since["new"]), ("not clear", 0, [], []))

    def test_the_page_has_the_three_lines(self):
        self.sing(0)
        self.assertEqual(run(*AGAIN, "--out", "with-page", "--quiet")[0], 0)
        page = pathlib.Path("with-page/ana.html").read_text()
        for word in ("<dt>Since</dt>", "<dt>Solved</dt>", "<dt>New</dt>"):
            self.assertIn(word, page)

    def test_it_keeps_to_the_schema(self):
        validator = schema_validator("check")
        if not validator:
            return
        self.sing(0)
        result = json.loads(run(*AGAIN, "--format", "json")[1])
        self.assertEqual(faults_by(validator, result), [])
        result["since"]["verdict"] = "splendid"
        self.assertNotEqual(faults_by(validator, result), [])

    def test_what_cannot_be_compared_is_one_line_and_status_2(self):
        self.complains(2, "check", "ana.wav", "--melody", "lantern.melody", "--since", LAST_TIME,
                       line=f"{LAST_TIME}: is the result of a melody without a title, not of \"Lantern Walk\"; "
                            "give a result of the same melody, or that melody with --melody")
        self.complains(2, *AGAIN, "--tolerance", "10",
                       line=f"{LAST_TIME}: was measured with --tolerance 25; measure both takes with the same settings")
        self.complains(2, "check", "ana.wav", "--since", LAST_TIME,
                       line="--since needs --melody; give the melody that both takes are of")
        self.complains(2, "check", "ana.wav", "--melody", "sixths.melody", "--since", "gone.json", starts="gone.json: ")
        self.complains(2, "check", "ana.wav", "--melody", "sixths.melody", "--since", "sixths.melody",
                       starts="sixths.melody:1:")
        self.complains(2, "check", "ana.wav", "--melody", "sixths.melody", "--since", "term", starts="term: ")


if __name__ == "__main__":
    main()
