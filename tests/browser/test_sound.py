#!/usr/bin/python3
"""Hearing a note on the page, in headless Chromium: the written pitch within a cent, the note as sung from the reader's own file,
by mouse and by keyboard; and the page without scripts. Usage: test_sound.py FIRMUS SOURCE_DIR"""
import os
import pathlib
import subprocess
import sys
import tempfile
import unittest

import browser

PROGRAM, SOURCE = None, None
# The phase of the tone against a sine of the wanted frequency, half a second apart: its error in Hz, converted to cents.
CENTS_OFF = """(async hz => {
  const rate = 48000, audio = new OfflineAudioContext(1, 1.2 * rate, rate);
  firmus.tone(audio, hz, 0, 1.1);
  const data = (await audio.startRendering()).getChannelData(0);
  const phase = from => {
    let re = 0, im = 0;
    const length = 0.2 * rate;
    for (let i = 0; i < length; i++) {
      const at = Math.round(from * rate) + i, weight = Math.sin(Math.PI * i / length) ** 2 * data[at];
      re += weight * Math.cos(2 * Math.PI * hz * at / rate);
      im -= weight * Math.sin(2 * Math.PI * hz * at / rate);
    }
    return [Math.atan2(im, re), Math.hypot(re, im) / length];
  };
  const [early, loud] = phase(0.3), [late] = phase(0.8);
  const turned = Math.atan2(Math.sin(late - early), Math.cos(late - early));
  return {cents: 1200 * Math.log2(1 + turned / (2 * Math.PI * 0.5) / hz), loud};
})"""
AS_SUNG = """(async () => {
  const {recording, row} = firmus.controls[0], rate = recording.sampleRate;
  const audio = new OfflineAudioContext(1, rate, rate);
  firmus.sung(audio, recording, parseFloat(row.dataset.onsetS), 0, 0.4);
  const heard = (await audio.startRendering()).getChannelData(0), file = recording.getChannelData(0);
  const from = Math.round(parseFloat(row.dataset.onsetS) * rate), middle = Math.round(0.2 * rate);
  let worst = 0, loud = 0;
  for (let i = middle; i < middle + 500; i++) {
    worst = Math.max(worst, Math.abs(heard[i] - file[from + i]));
    loud = Math.max(loud, Math.abs(file[from + i]));
  }
  return {worst, loud};
})()"""
CHOSEN = "[...document.querySelectorAll('[data-chosen]')].map(e => e.id)"


class Sound(browser.PageCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory(prefix="firmus-sound-")
        studio = SOURCE / "examples" / "studio"
        cls.take = studio / "takes/s01-kite.flac"
        subprocess.run([PROGRAM, "check", cls.take, "--melody", studio / "kite.melody", "--out", cls.folder.name], check=True,
                       stdout=subprocess.DEVNULL)
        cls.page = pathlib.Path(cls.folder.name, "s01-kite.html")
        cls.browser = browser.Browser(browser.find_chromium())

    @classmethod
    def tearDownClass(cls):
        cls.browser.close()
        cls.folder.cleanup()

    def said(self):
        return self.browser.value_of("document.querySelector('.sound output').textContent")

    def test_the_written_pitch_is_within_a_cent(self):
        for hz in (65.406, 220.0, 261.626, 440.0, 443.21, 1046.502):  # C2, A3, C4, A4, A4 a little high, C6
            heard = self.browser.value_of(f"{CENTS_OFF}({hz})")
            self.assertGreater(heard["loud"], 0.01)
            self.assertLess(abs(heard["cents"]), 0.1, hz)

    def test_the_pitch_of_a_row_is_that_of_its_note(self):
        row = self.browser.value_of("({...document.getElementById('row-1').dataset})")
        # A4; it comes from the sung pitch and its error, which is rounded to 0.1 cents: within 0.05 cents, 0.0127 Hz.
        self.assertAlmostEqual(float(row["writtenHz"]), 440.0, delta=0.014)
        your_a = "[...document.querySelectorAll('dt')].find(d => d.textContent === 'Your A').nextElementSibling.textContent"
        hz, unit = self.browser.value_of(your_a).split()[:2]
        self.assertEqual(unit, "Hz")
        self.assertAlmostEqual(float(row["ownHz"]), float(hz), delta=2)

    def test_a_note_is_chosen_by_keyboard(self):
        self.assertEqual(self.said(), "C4, bar 1 beat 1")
        self.browser.value_of("document.querySelector('[data-do=next]').focus()")
        self.browser.press("ArrowRight", 39)
        self.assertEqual(self.said(), "A4, bar 1 beat 3")
        self.assertEqual(set(self.browser.value_of(CHOSEN)), {"row-1", "note-1"})
        self.browser.press("ArrowLeft", 37)
        self.browser.press("ArrowLeft", 37)
        self.assertEqual(self.said(), "C4, bar 12 beat 1")  # around the end
        self.assertEqual(self.browser.value_of("firmus.controls[0].playing.length"), 1)

    def test_a_note_is_chosen_in_the_picture(self):
        self.browser.click("#note-4 rect")
        self.assertEqual(set(self.browser.value_of(CHOSEN)), {"row-4", "note-4"})

    def test_the_readers_own_recording_is_heard_note_by_note(self):
        self.assertTrue(self.browser.value_of("document.querySelector('[data-do=own]').disabled"))
        self.choose_file(".sound input", self.take, "firmus.controls[0].recording !== null")
        self.assertEqual(self.said(), "Your recording is ready.")
        self.assertFalse(self.browser.value_of("document.querySelector('[data-do=own]').disabled"))
        heard = self.browser.value_of(AS_SUNG)
        self.assertGreater(heard["loud"], 0.02)
        self.assertLess(heard["worst"], 0.001)
        self.browser.click("[data-do=both]")
        self.assertEqual(self.browser.value_of("firmus.controls[0].playing.length"), 2)

    def test_without_scripts_the_page_reads_as_before(self):
        self.browser.call("Emulation.setScriptExecutionDisabled", value=True)
        self.browser.open(self.page.as_uri())
        shown = self.browser.call("Runtime.evaluate", expression="[document.querySelector('.sound').offsetHeight, document.body.innerText]",
                                  returnByValue=True)["result"]["value"]
        self.assertEqual(shown[0], 0)
        self.assertIn("26 of 30 notes in tune", shown[1])


def main():
    global PROGRAM, SOURCE
    PROGRAM, SOURCE = os.path.abspath(sys.argv[1]), pathlib.Path(sys.argv[2]).resolve()
    if not browser.find_chromium():
        print("not run: hearing a note on the page: there is no chromium")
        return
    unittest.main(argv=sys.argv[:1], verbosity=2)


if __name__ == "__main__":
    main()
