"""Black-box tests of scores as melodies: MusicXML wherever a melody is read, the table, and a set of scores with truth."""
import csv
import io
import json
import pathlib
import subprocess
import sys
import unittest
import zipfile

import program
from program import NOTES, Case, run, samples_of, write_wav

DIVISIONS = 4
SHARED = pathlib.Path(__file__).resolve().parents[2].parent / "shared"
SYLLABLES = "Light the lan- tern, walk the long way home".split()


def musicxml(extra_part=""):
    """The melody of `program.NOTES` as a score: bars of three quarters."""
    names = {62: ("D", 0), 64: ("E", 0), 66: ("F", 1), 67: ("G", 0), 69: ("A", 0), 71: ("B", 0)}
    bars, filled = [[]], 0
    for (key, beats), syllable in zip(NOTES, SYLLABLES):
        step, alter = names[key]
        bars[-1].append(f"<note><pitch><step>{step}</step><alter>{alter}</alter><octave>4</octave></pitch>"
                        f"<duration>{beats * DIVISIONS}</duration><voice>1</voice><lyric><text>{syllable}</text></lyric></note>")
        filled += beats
        if filled % 3 == 0:
            bars.append([])
    begin = (f"<attributes><divisions>{DIVISIONS}</divisions><key><fifths>2</fifths></key>"
             "<time><beats>3</beats><beat-type>4</beat-type></time></attributes>")
    measures = "".join(f'<measure number="{n}">{begin if n == 1 else ""}{"".join(bar)}</measure>' for n, bar in enumerate(bars, 1) if bar)
    return ('<?xml version="1.0"?><score-partwise><work><work-title>Lantern Walk</work-title></work><part-list>'
            '<score-part id="P1"><part-name>Voice</part-name></score-part><score-part id="P2"><part-name>Piano</part-name></score-part>'
            f'</part-list><part id="P1">{measures}</part>{extra_part}</score-partwise>')


class Scores(Case):
    def setUp(self):
        super().setUp()
        with zipfile.ZipFile("lantern.mxl", "w", zipfile.ZIP_DEFLATED) as archive:
            archive.writestr("META-INF/container.xml", '<container><rootfiles><rootfile full-path="s.xml"/></rootfiles></container>')
            archive.writestr("s.xml", musicxml())

    def test_the_table_has_a_row_for_each_note(self):
        status, out, err = run("melody", "lantern.mxl", "--format", "csv")
        self.assertEqual((status, err), (0, b""))
        rows = list(csv.DictReader(io.StringIO(out.decode())))
        self.assertEqual([int(row["sounding_midi"]) for row in rows], [key for key, _ in NOTES])
        self.assertEqual([float(row["beats"]) for row in rows], [beats for _, beats in NOTES])
        self.assertEqual([row["bar"] for row in rows], ["1", "1", "1", "2", "2", "3", "3", "3", "4"])
        self.assertEqual([row["word"] for row in rows], SYLLABLES)

    def test_the_text_and_the_table_of_a_score_read_back_the_same(self):
        table = run("melody", "lantern.mxl", "--format", "csv")[1]
        for form in ("text", "csv"):
            pathlib.Path("again." + form).write_bytes(run("melody", "lantern.mxl", "--format", form)[1])
            self.assertEqual(run("melody", "again." + form, "--format", "csv"), (0, table, b""))

    def test_a_score_is_written_as_melody_text(self):
        status, out, err = run("melody", "lantern.mxl", "--to", "lantern.melody")
        self.assertEqual((status, out, err), (0, b"", b""))
        self.assertEqual(pathlib.Path("lantern.melody").read_bytes(), run("melody", "lantern.mxl", "--format", "text")[1])
        self.assertIn(b"would be right", run("melody", "lantern.mxl", "--to", "lantern.csv")[2])

    def test_a_line_is_chosen_wherever_a_melody_is_read(self):
        write_wav("ana.wav", samples_of(NOTES))
        wrong = b'firmus: lantern.mxl: has no part "Oboe"; its parts are 1 "Voice"\n'
        for line in (["check", "ana.wav", "--melody", "lantern.mxl"], ["tone", "lantern.mxl", "--to", "t.wav"],
                     ["grade", ".", "--melody", "lantern.mxl", "--out", "out"]):
            self.assertEqual(run(*line, "--part", "Oboe"), (2, b"", wrong))

    def test_a_take_is_measured_against_a_score_as_against_its_text(self):
        write_wav("ana.wav", samples_of(NOTES))
        pathlib.Path("lantern.melody").write_bytes(run("melody", "lantern.mxl", "--format", "text")[1])
        results = [run("check", "ana.wav", "--melody", melody, "--format", "json") for melody in ("lantern.mxl", "lantern.melody")]
        self.assertEqual(results[0], results[1])
        result = json.loads(results[0][1])
        self.assertEqual(result["alignment"]["decision"], "sure")
        self.assertEqual(len(result["notes"]), len(NOTES))

    def test_what_cannot_be_chosen_is_one_line(self):
        status, out, err = run("melody", "lantern.mxl", "--part", "Oboe")
        self.assertEqual((status, out), (2, b""))
        self.assertEqual(err, b'firmus: lantern.mxl: has no part "Oboe"; its parts are 1 "Voice"\n')
        pathlib.Path("drum.xml").write_text("<score-partwise><part><measure><note><unpitched/><duration>1</duration></note></measure></part></score-partwise>")
        status, out, err = run("melody", "drum.xml")
        self.assertEqual((status, out, err.count(b"\n")), (2, b"", 1))
        self.assertIn(b"percussion", err)


class SharedScores(unittest.TestCase):
    def test_every_line_of_the_set_is_right(self):
        scorer, scores = SHARED / "eval" / "score_scores.py", SHARED / "data" / "scores"
        if not scorer.is_file() or not (scores / "list.csv").is_file():
            print("not run: scores of others with their truth: ../shared/data/scores is not there")
            return
        only = ""
        printed = subprocess.run([sys.executable, "-B", str(scorer), str(scores), "--run", program.PROGRAM, "--only", only],
                                 stdout=subprocess.PIPE, text=True, timeout=600).stdout
        figures = {line[:28].strip(): line[28:].split() for line in printed.splitlines() if len(line) > 28}
        for row in ("files right whole", "notes right", "refused clearly, as due"):
            self.assertGreater(int(figures[row][2]), 0, printed)
            self.assertEqual(figures[row][0], figures[row][2], printed)


if __name__ == "__main__":
    program.main()
