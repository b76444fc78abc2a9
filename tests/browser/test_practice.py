#!/usr/bin/python3
"""The practice page in headless Chromium: its drills heard, whole and note by note, at the written pitch; by mouse and by keyboard;
no finding of axe-core; and the page without scripts. Usage: test_practice.py FIRMUS SOURCE_DIR [AXE_MIN_JS]"""
import os
import pathlib
import sys
import tempfile
import unittest

import browser
import test_pages
from test_sound import CENTS_OFF, CHOSEN

PROGRAM, SOURCE, AXE = None, None, None
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


class Practice(browser.PageCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory(prefix="firmus-practice-")
        cls.page = test_pages.make_practice(SOURCE / "examples" / "studio", pathlib.Path(cls.folder.name))
        cls.browser = browser.Browser(browser.find_chromium())

    @classmethod
    def tearDownClass(cls):
        cls.browser.close()
        cls.folder.cleanup()

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
        for words in ("What to practise", "rising major sixths", "Hold ", "| rest:", "Track: 1-1-hold.flac", "Stop singing at pain"):
            self.assertIn(words, shown[1])


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
