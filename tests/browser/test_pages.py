#!/usr/bin/python3
"""Pages of the bundled example in headless Chromium: no complaint, nothing fetched, pictures visible with no label over another
or cut off, usable by keyboard, no finding of axe-core. Usage: test_pages.py FIRMUS SOURCE_DIR [AXE_MIN_JS]"""
import hashlib
import os
import pathlib
import subprocess
import sys
import tempfile
import time
import unittest

import browser
import png

PROGRAM, SOURCE, AXE = None, None, None
AXE_SHA256 = "29348999450cdf2849a8e70b7912fc2da85a849da39c0d0d5394f51d4a9ed95c"  # axe.min.js of axe-core 4.14.1
TEXT_BOXES = """[...document.querySelectorAll('svg')].map(svg => {
  const view = svg.viewBox.baseVal;
  const texts = [...svg.querySelectorAll('text')].map(t => ({words: t.textContent, size: parseFloat(t.getAttribute('font-size')), box: t.getBBox()}));
  // A box is as high as a line; letters fill it from the cap height to the baseline.
  const room = texts.map(t => ({words: t.words, left: t.box.x + 0.5, right: t.box.x + t.box.width - 0.5,
                                bottom: t.box.y + 0.8 * t.box.height, top: t.box.y + 0.2 * t.box.height}));
  const faults = [];
  room.forEach((a, i) => {
    if (a.left < view.x || a.right > view.x + view.width || a.top < view.y || a.bottom > view.y + view.height) faults.push('cut off: ' + a.words);
    room.slice(i + 1).forEach(b => {
      if (a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom) faults.push('overlap: ' + a.words + ' / ' + b.words);
    });
  });
  return faults;
}).flat()"""
PICTURES = """[...document.querySelectorAll('svg')].map(svg => {
  const r = svg.getBoundingClientRect(); return {x: r.x + scrollX, y: r.y + scrollY, width: r.width, height: r.height}})"""
TO_REACH = """[...document.querySelectorAll('a[href], button, input, select, summary, [tabindex="0"]')].filter(
  e => e.checkVisibility() && !e.disabled)"""
RUN_AXE = """axe.run(document, {resultTypes: ['violations']}).then(r => r.violations.map(
  v => v.id + ': ' + v.help + ' at ' + v.nodes.slice(0, 3).map(n => n.target.join(' ')).join(', ')))"""


def make_pages(folder):
    """The example's takes and what they make; the pages by name."""
    studio = SOURCE / "examples" / "studio"
    for melody in ("kite", "harbour", "mill"):
        takes = sorted((studio / "takes").glob(f"*-{melody}.flac"))
        subprocess.run([PROGRAM, "check", *takes, "--melody", studio / f"{melody}.melody", "--out", folder / "takes"], check=True,
                       stdout=subprocess.DEVNULL)
    subprocess.run([PROGRAM, "check", studio / "takes/s07-harbour.flac", "--out", folder / "no-melody"], check=True,
                   stdout=subprocess.DEVNULL)
    subprocess.run([PROGRAM, "check", "gone.wav", "--out", folder / "gone"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    make_practice(studio, folder)
    make_weeks(studio, folder)
    make_assignment(studio, folder)
    return sorted(folder.rglob("*.html"))


def make_weeks(studio, folder):
    """Four Mondays of one student, a take of a drill, and one of another student, and their trend."""
    for week, take in enumerate(("s02-harbour", "s04-harbour", "s07-harbour", "s09-harbour")):
        subprocess.run([PROGRAM, "check", studio / f"takes/{take}.flac", "--melody", studio / "harbour.melody", "--student", "anemone",
                        "--date", f"2031-05-{5 + 7 * week:02}", "--out", folder / f"weeks/{week}"], check=True, stdout=subprocess.DEVNULL)
    subprocess.run([PROGRAM, "check", studio / "takes/s01-kite.flac", "--melody", studio / "kite.melody", "--student", "bell",
                    "--date", "2031-05-05", "--out", folder / "weeks/other"], check=True, stdout=subprocess.DEVNULL)
    subprocess.run([PROGRAM, "check", folder / "practice/1-1-hold.flac", "--melody", folder / "practice/1-1-hold.melody", "--student",
                    "anemone", "--date", "2031-05-27", "--out", folder / "weeks/drill"], check=True, stdout=subprocess.DEVNULL)
    subprocess.run([PROGRAM, "trend", folder / "weeks", "--out", folder / "trend"], check=True, stdout=subprocess.DEVNULL)


def make_assignment(studio, folder):
    """A class of six, one of whom hands nothing in; files that belong to nobody; the pages of students and class."""
    roster = folder / "roster.csv"
    roster.write_text("student\ns02\ns04\ns06\ns07\ns09\ns11\n")
    subprocess.run([PROGRAM, "grade", studio / "takes", "--melody", studio / "harbour.melody", "--roster", roster, "--match",
                    "{student}-harbour", "--out", folder / "assignment"], check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def make_practice(studio, folder):
    """What a student who is flat on rising sixths is to practise; the page."""
    subprocess.run([PROGRAM, "check", studio / "takes/s01-kite.flac", "--melody", studio / "kite.melody", "--out", folder / "faulty"],
                   check=True, stdout=subprocess.DEVNULL)
    subprocess.run([PROGRAM, "drill", folder / "faulty", "--out", folder / "practice"], check=True, stdout=subprocess.DEVNULL)
    return folder / "practice/practice.html"


def axe_source(path):
    source = path.read_bytes()
    assert hashlib.sha256(source).hexdigest() == AXE_SHA256, "this is another axe-core"
    return source.decode()


class Pages(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory(prefix="firmus-pages-")
        cls.pages = make_pages(pathlib.Path(cls.folder.name))
        cls.browser = browser.Browser(browser.find_chromium())

    @classmethod
    def tearDownClass(cls):
        cls.browser.close()
        cls.folder.cleanup()

    def on_each_page(self, check, **size):
        self.assertGreaterEqual(len(self.pages), 30)
        for page in self.pages:
            with self.subTest(page=f"{page.parent.name}/{page.name}"):
                self.browser.open(page.as_uri(), **size)
                check(page)

    def test_nothing_is_complained_of_and_nothing_is_fetched(self):
        def check(page):
            self.assertEqual(self.browser.complaints(), [])
            self.assertEqual(self.browser.asked_for(), [page.as_uri()])
        self.on_each_page(check)

    def test_pictures_are_visible_and_no_label_is_over_another_or_cut_off(self):
        seen = []

        def check(page):
            self.assertEqual(self.browser.value_of(TEXT_BOXES), [])
            for picture in self.browser.value_of(PICTURES)[:1]:  # looking at pixels takes long here
                self.assertGreater(picture["width"], 600)
                self.assertGreater(picture["height"], 60)
                self.assertGreater(png.dark_share(self.browser.screenshot(picture)), 0.003)
                seen.append(page)
        self.on_each_page(check)
        self.assertGreater(len(seen), 20)

    def test_everything_is_reached_by_keyboard(self):
        def check(_):
            count = self.browser.value_of(TO_REACH + ".length")
            reached = set()
            for _ in range(count + 2):
                self.browser.press("Tab", 9)
                reached.add(self.browser.value_of(TO_REACH + ".indexOf(document.activeElement)"))
            self.assertEqual(reached - {-1}, set(range(count)))
        self.on_each_page(check, width=420)

    def test_a_wide_picture_scrolls_by_keyboard_and_the_page_itself_does_not(self):
        self.browser.open(next(page for page in self.pages if page.name == "s01-kite.html").as_uri(), width=420)
        self.assertLessEqual(self.browser.value_of("document.documentElement.scrollWidth"), 420)
        self.browser.value_of("document.querySelector('figure .wide').focus()")
        deadline = time.monotonic() + 60
        moved = 0
        while not moved and time.monotonic() < deadline:  # a key is lost where the page is not yet painted
            self.browser.press("ArrowRight", 39)
            time.sleep(0.1)
            moved = self.browser.value_of("document.querySelector('figure .wide').scrollLeft")
        self.assertGreater(moved, 0)

    def test_axe_core_finds_nothing(self):
        if not AXE or not AXE.is_file():
            print("\nnot run: axe-core on the pages: axe.min.js is not there (npm pack axe-core@4.14.1)")
            return
        source = axe_source(AXE)

        def check(_):
            self.browser.value_of(source + "; 0")
            self.assertEqual(self.browser.value_of(RUN_AXE), [])
        self.on_each_page(check)

    def test_axe_core_would_find_something(self):
        if not AXE or not AXE.is_file():
            return
        self.browser.open("data:text/html,<p style='color:%23ccc'>pale</p><img src=''>")
        self.browser.value_of(AXE.read_text() + "; 0")
        found = " ".join(self.browser.value_of(RUN_AXE))
        for rule in ("color-contrast", "image-alt", "html-has-lang"):
            self.assertIn(rule, found)


def main():
    global PROGRAM, SOURCE, AXE
    PROGRAM, SOURCE = os.path.abspath(sys.argv[1]), pathlib.Path(sys.argv[2]).resolve()
    AXE = pathlib.Path(sys.argv[3]) if len(sys.argv) > 3 else None
    if not browser.find_chromium():
        print("not run: pages in a browser: there is no chromium")
        return
    unittest.main(argv=sys.argv[:1], verbosity=2)


if __name__ == "__main__":
    main()
