#!/usr/bin/python3
"""The version of the program and of its measurements: test_version.py FIRMUS"""
import json
import pathlib
import re
import shutil
import subprocess
import tempfile
import unittest

import program
from program import MELODY, NOTES, run, samples_of, write_wav

SOURCE = pathlib.Path(__file__).resolve().parents[2]


def declared_version():
    return re.search(r"^project\(firmus VERSION (\S+)", (SOURCE / "CMakeLists.txt").read_text(), re.M)[1]


def measurement_version_of(folder):
    """What the build rule writes for the sources in `folder`."""
    to = folder / "written.cpp"
    rule = folder / "src/take/measurement_version.cmake"
    subprocess.run(["cmake", f"-DSOURCE={folder}", f"-DVERSION={declared_version()}", f"-DTO={to}", "-P", rule], check=True)
    return re.search(r'return "(.*)";', to.read_text())[1]


class Version(unittest.TestCase):
    def test_the_version_is_the_one_declared_and_a_result_names_its_measurement_version(self):
        self.assertEqual(run("--version")[1].decode(), f"firmus {declared_version()}\n")
        self.assertGreaterEqual(tuple(map(int, declared_version().split("."))), (0, 2, 0))
        with tempfile.TemporaryDirectory() as name:
            folder = pathlib.Path(name)
            (folder / "lantern.melody").write_text(MELODY)
            write_wav(folder / "ana.wav", samples_of(NOTES))
            result = json.loads(run("check", folder / "ana.wav", "--melody", folder / "lantern.melody", "--format", "json")[1])
        self.assertEqual(result["program"]["version"], declared_version())
        series = ".".join(declared_version().split(".")[:2])
        self.assertRegex(result["program"]["measurement"], rf"^{re.escape(series)}\+[0-9a-f]{{12}}$")

    def test_the_measurement_version_changes_with_every_source_that_measures_and_with_no_other(self):
        with tempfile.TemporaryDirectory() as name:
            folder = pathlib.Path(name)
            for part in ("src", "include"):
                shutil.copytree(SOURCE / part, folder / part)
            first = measurement_version_of(folder)
            self.assertEqual(measurement_version_of(folder), first)
            seen = {first}
            for changed in ("src/base/statistics.cpp", "src/onsets/onset_weights.txt", "src/decode/new_file.cpp",
                            "src/habits/groups.cpp", "include/firmus/result.hpp", "src/report/note_fields.cpp"):
                with open(folder / changed, "a", encoding="utf-8") as file:
                    file.write("\n")
                now = measurement_version_of(folder)
                self.assertNotIn(now, seen, changed)
                seen.add(now)
            for changed in ("src/page/html.cpp", "src/report/mark_words.cpp", "src/studio/grade.cpp", "src/cli/check.cpp"):
                with open(folder / changed, "a", encoding="utf-8") as file:
                    file.write("\n")
                self.assertEqual(measurement_version_of(folder), now, changed)


if __name__ == "__main__":
    program.main()
