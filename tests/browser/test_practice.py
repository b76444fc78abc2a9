#!/usr/bin/python3
"""The practice page in headless Chromium: drills play as a whole and note by note at the written pitch; notes that were off play
as written and, from the chosen recordings, as sung; by mouse and by keyboard; axe-core finds nothing; the page reads without
scripts. Usage: test_practice.py FIRMUS SOURCE_DIR [AXE_MIN_JS]"""
import json
import os
import pathlib
import subprocess
import sys
import tempfile
import unittest

import browser
import test_pages
from test_sound import AS_SUNG, CENTS_OFF, CHOSEN

PROGRAM, SOURCE, AXE = None, None, None
SHORT_WAV = (b"RIFF" + (36 + 1600).to_bytes(4, "little") + b"WAVEfmt " + (16).to_bytes(4, "little")  # a tenth of a second of silence
             + b"\1\0\1\0" + (8000).to_bytes(4, "little") + (16000).to_bytes(4, "little") + b"\2\0\x10\0data"
             + (1600).to_bytes(4, "little") + bytes(1600))
# A whole drill, rendered offline: how loud it is in the middle of each note, and between them.
LEVELS = """(async drill => {
  const rate = 8000, audio = new OfflineAudioContext(1, Math.ceil((drill.seconds + 0.5) * rate), rate);
  drill.play(audio, 0);
  const data = (await audio.startRendering()).getChannelData(0);
  const level = (from, to) => {
    let sum = 0;
    for (let i = Math.round(from * rate); i < to * rate; i++) sum += data[i] * data[i];
    return Math.sqrt(sum / ((to - from) * rate));
  };
  const times = drill.notes.map(note => [parseFloat(note.dataset.fromS), parseFloat(note.dataset.lengthS)]);
  return {inside: times.map(([from, length]) => level(from + 0.3 * length, from + 0.7 * length)),
          after: level(drill.seconds + 0.1, drill.seconds + 0.4), peak: data.reduce((most, x) => Math.max(most, Math.abs(x)), 0)};
})"""


def make_practice(folder, *takes):
    """The practice page of takes of one melody, each a name and a date."""
    studio = SOURCE / "examples" / "studio"
    for take, date in takes:
        subprocess.run([PROGRAM, "check", studio / f"takes/{take}.flac", "--melody", studio / "kite.melody", "--date", date, "--out",
                        folder / "term" / date], check=True, stdout=subprocess.DEVNULL)
    subprocess.run([PROGRAM, "drill", folder / "term", "--out", folder / "practice"], check=True, stdout=subprocess.DEVNULL)
    return folder / "practice/practice.html"


def make_two_faults(folder):
    """The practice page of a take with flat rising sixths, in whose result every G4 is made sharp too."""
    studio = SOURCE / "examples" / "studio"
    subprocess.run([PROGRAM, "check", studio / "takes/s01-kite.flac", "--melody", studio / "kite.melody", "--out", folder / "term"],
                   check=True, stdout=subprocess.DEVNULL)
    saved = folder / "term/s01-kite.json"
    result = json.loads(saved.read_text())
    for note in result["notes"]:
        if note["written"] == "G4":
            note["verdict"] = "sharp"
            for reference in ("concert", "own"):
                note["error_cents"][reference] += 45
    saved.write_text(json.dumps(result))
    subprocess.run([PROGRAM, "drill", folder / "term", "--out", folder / "practice"], check=True, stdout=subprocess.DEVNULL)
    return folder / "practice/practice.html"


class PracticeCase(browser.PageCase):
    """Tests of a page that `make_page` makes in a folder."""

    @classmethod
    def setUpClass(cls):
        cls.take = SOURCE / "examples/studio/takes/s01-kite.flac"
        cls.folder = tempfile.TemporaryDirectory(prefix="firmus-practice-")
        cls.page = cls.make_page(pathlib.Path(cls.folder.name))
        cls.browser = browser.Browser(browser.find_chromium())

    @classmethod
    def tearDownClass(cls):
        cls.browser.close()
        cls.folder.cleanup()

    def usable(self):
        """Of each box of controls, whether a note can be heard as sung, and both in turn."""
        return self.browser.value_of("[...document.querySelectorAll('.sound')].map(box => ['own', 'both'].map("
                                     "name => !box.querySelector('[data-do=' + name + ']').disabled))")

    def said(self):
        return self.browser.value_of("document.querySelector('.sound output').textContent")


class Practice(PracticeCase):
    @classmethod
    def make_page(cls, folder):
        return test_pages.make_practice(SOURCE / "examples" / "studio", folder)

    def drills(self):
        return self.browser.value_of("firmus.drills.length")

    def test_each_note_has_the_frequency_that_its_name_asks_for_and_sounds_within_a_cent_of_it(self):
        self.assertGreaterEqual(self.drills(), 4)
        notes = self.browser.value_of("firmus.drills.flatMap(drill => drill.notes.map(note => ({...note.dataset})))")
        self.assertGreater(len(notes), 30)
        keys = {"C": -9, "D": -7, "E": -5, "F": -4, "G": -2, "A": 0, "B": 2}  # semitones from A
        for note in notes:
            name = note["name"].split(",")[0]
            plain, sign, cents = name.partition("+") if "+" in name else name.partition("-")
            semitones = keys[plain[0]] + plain.count("#") - plain[1:].count("b") + 12 * (int(plain[-1]) - 4)
            off = float(sign + cents) if cents else 0
            self.assertAlmostEqual(float(note["hz"]), 440 * 2 ** ((semitones + off / 100) / 12), delta=0.01)
        for hz in sorted({float(note["hz"]) for note in notes}):
            heard = self.browser.value_of(f"{CENTS_OFF}({hz})")
            self.assertGreater(heard["loud"], 0.01)
            self.assertLess(abs(heard["cents"]), 1, hz)

    def test_a_whole_drill_sounds_note_after_note_and_then_is_still(self):
        for place in range(self.drills()):
            heard = self.browser.value_of(f"{LEVELS}(firmus.drills[{place}])")
            self.assertGreater(min(heard["inside"]), 0.05)
            self.assertLess(heard["after"], 1e-6)
            self.assertLess(heard["peak"], 0.6)

    def test_a_note_is_chosen_by_mouse_and_by_keyboard(self):
        first = self.browser.value_of("firmus.drills[0].notes.map(note => note.id)")
        self.browser.click("#" + first[1])
        self.assertIn(first[1], self.browser.value_of(CHOSEN))
        self.assertEqual(self.browser.value_of("firmus.drills[0].playing.length"), 1)
        self.browser.value_of("document.querySelector('.drill [data-do=next]').focus()")
        self.browser.press("ArrowLeft", 37)
        self.assertIn(first[0], self.browser.value_of(CHOSEN))
        self.assertNotIn(first[1], self.browser.value_of(CHOSEN))
        self.assertIn("bar 1 beat 1", self.browser.value_of("document.querySelector('.drill output').textContent"))
        self.browser.click(".drill [data-do=whole]")
        self.assertEqual(self.browser.value_of("firmus.drills[0].playing.length"), len(first))
        self.browser.click(".drill [data-do=stop]")
        self.assertEqual(self.browser.value_of("firmus.drills[0].playing.length"), 0)

    def test_only_one_drill_sounds_at_a_time(self):
        first, second = self.browser.value_of("firmus.drills.slice(0, 2).map(drill => drill.box.dataset.prefix)")
        self.browser.click(f"[data-prefix={first}] [data-do=whole]")
        self.assertGreater(self.browser.value_of("firmus.drills[0].playing.length"), 0)
        self.browser.click(f"[data-prefix={second}] [data-do=whole]")
        self.assertEqual(self.browser.value_of("firmus.drills[0].playing.length"), 0)
        self.assertGreater(self.browser.value_of("firmus.drills[1].playing.length"), 0)
        self.browser.click(f"[data-prefix={second}] [data-do=stop]")

    def test_where_it_happened_is_heard_as_written_and_from_ones_own_recording_as_sung(self):
        self.assertEqual(self.browser.value_of("firmus.controls[0].rows.length"), 6)
        self.assertEqual(self.usable(), [[False, False]])
        self.browser.click("#fault-1-row-2 td")
        self.assertEqual(self.said(), "D5, bar 5 beat 3")
        self.assertIn("fault-1-row-2", self.browser.value_of(CHOSEN))
        self.assertEqual(self.browser.value_of("firmus.controls[0].playing.length"), 1)
        self.choose_file(".sound input", self.take, "firmus.controls[0].recording !== null")
        self.assertEqual(self.said(), "Your recording is ready.")
        heard = self.browser.value_of(AS_SUNG)
        self.assertGreater(heard["loud"], 0.02)
        self.assertLess(heard["worst"], 0.001)
        self.browser.click("[data-do=both]")
        self.assertEqual(self.browser.value_of("firmus.controls[0].playing.length"), 2)

    def test_axe_core_finds_nothing(self):
        if not AXE or not AXE.is_file():
            print("\nnot run: axe-core on the practice page: axe.min.js is not there (npm pack axe-core@4.14.1)")
            return
        self.browser.value_of(test_pages.axe_source(AXE) + "; 0")
        self.assertEqual(self.browser.value_of(test_pages.RUN_AXE), [])

    def test_without_scripts_the_page_holds_the_text(self):
        self.browser.call("Emulation.setScriptExecutionDisabled", value=True)
        self.browser.open(self.page.as_uri())
        shown = self.browser.call("Runtime.evaluate", expression="[document.querySelector('.drill').offsetHeight, document.body.innerText]",
                                  returnByValue=True)["result"]["value"]
        self.assertEqual(shown[0], 0)
        for words in ("What to practise", "rising major sixths", "Hold ", "| rest:", "Track: 1-1-hold.flac", "Stop singing at pain",
                      "Where it happened", "The notes most out of tune, correct and as they were in s01-kite.flac", "bar 5 beat 3\t34 cents flat\t0:08.9"):
            self.assertIn(words, shown[1])
        self.assertNotIn("Hear a note", shown[1])


class TwoTakes(PracticeCase):
    """One fault in two takes, each with a recording of its own."""

    @classmethod
    def make_page(cls, folder):
        return make_practice(folder, ("s01-kite", "2031-05-05"), ("s01-kite", "2031-05-12"))

    def test_a_note_can_be_heard_as_sung_once_the_recording_of_its_own_take_is_there(self):
        self.assertEqual(self.browser.value_of("[...document.querySelectorAll('.sound label')].slice(0, 2).map(l => l.textContent.trim())"),
                         [f"Your recording of s01-kite.flac, {date} (stays on this computer):" for date in ("2031-05-05", "2031-05-12")])
        takes = self.browser.value_of("firmus.controls[0].rows.map(row => row.dataset.take)")
        self.assertEqual(takes, sorted(takes))
        second = takes.index("2")
        self.browser.click(f"#fault-1-row-{second} td")
        self.choose_file(".sound input[data-take='2']", self.take, "firmus.controls[0].recording !== null")
        self.assertEqual(self.usable(), [[True, True]])
        # By keyboard to a note of the other take: its recording is not there, and the keys still work.
        self.browser.value_of("document.querySelector('[data-do=own]').focus()")
        self.browser.press("ArrowLeft", 37)
        self.assertEqual(self.usable(), [[False, False]])
        self.browser.press("ArrowRight", 39)
        self.assertEqual(self.usable(), [[True, True]])

    def test_a_file_that_is_no_recording_is_refused_and_one_that_is_too_short_is_doubted(self):
        self.choose_file(".sound input", self.page, "document.querySelector('.sound output').textContent.startsWith('This')")
        self.assertEqual(self.said(), "This browser cannot play that file.")
        self.assertEqual(self.usable(), [[False, False]])
        track = self.page.with_name("short.wav")
        track.write_bytes(SHORT_WAV)
        self.choose_file(".sound input", track, "firmus.controls[0].recording !== null")
        self.assertEqual(self.said(), "This recording is shorter than the take: is it the right one?")


class TwoFaults(PracticeCase):
    """Two faults met in one take: its recording is chosen once."""

    @classmethod
    def make_page(cls, folder):
        return make_two_faults(folder)

    def test_a_recording_chosen_for_one_fault_is_there_for_the_other(self):
        self.assertEqual(self.usable(), [[False, False]] * 2)
        self.choose_file("[data-prefix=fault-2-] input", self.take, "firmus.controls[1].recording !== null")
        self.assertEqual(self.usable(), [[True, True]] * 2)
        self.assertEqual(self.browser.value_of("[...document.querySelectorAll('.sound input')].map(input => input.files[0].name)"),
                         ["s01-kite.flac"] * 2)
        self.assertLess(self.browser.value_of(AS_SUNG)["worst"], 0.001)
        self.browser.click("[data-prefix=fault-1-] [data-do=own]")
        self.browser.click("[data-prefix=fault-2-] [data-do=written]")
        self.assertEqual(self.browser.value_of("firmus.controls.map(box => box.playing.length)"), [0, 1])


def main():
    global PROGRAM, SOURCE, AXE
    PROGRAM, SOURCE = os.path.abspath(sys.argv[1]), pathlib.Path(sys.argv[2]).resolve()
    test_pages.PROGRAM = PROGRAM
    AXE = pathlib.Path(sys.argv[3]) if len(sys.argv) > 3 else None
    if not browser.find_chromium():
        print("not run: the practice page in a browser: there is no chromium")
        return
    unittest.main(argv=sys.argv[:1], verbosity=2)


if __name__ == "__main__":
    main()
