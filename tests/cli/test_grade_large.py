#!/usr/bin/python3
"""firmus grade where it takes long: killed at any moment, 5000 takes, real takes. Slow."""
import csv
import random
import re
import resource
import time

import program
from class_folder import *
from marks_by_hand import *
from program import *

SHARED = pathlib.Path(__file__).resolve().parents[3] / "shared" / "data"


def table(path):
    with open(path, newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def timed(*arguments):
    begun = time.monotonic()
    done = subprocess.run([program.PROGRAM, "grade", *arguments], stdout=subprocess.PIPE, stderr=subprocess.PIPE, timeout=3000)
    return done, time.monotonic() - begun


class Large(Case):
    def test_killed_at_20_moments_it_ends_with_the_bytes_of_an_uninterrupted_run(self):
        make_class("in", {f"s{i:02}.wav": 3 * i for i in range(12)})
        line = ["in", "--melody", "lantern.melody", "--jobs", "2"]
        done, seconds = timed(*line, "--out", "unbroken")
        expected = tree("unbroken")
        moments = random.Random(20)
        for number in range(20):
            folder = f"killed-{number}"
            for part in range(moments.choice((1, 1, 2))):  # at times killed twice
                running = subprocess.Popen([program.PROGRAM, "grade", *line, "--out", folder], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
                time.sleep(moments.uniform(0.01, seconds))
                running.kill()
                running.wait()
            again, _ = timed(*line, "--out", folder)
            self.assertEqual((again.returncode, again.stdout, again.stderr), (done.returncode, done.stdout, done.stderr))
            self.assertEqual(different(expected, tree(folder)), [], f"killed {folder}")

    def usage(self, *arguments):
        """What a run took, by /usr/bin/time's way: the rusage of a child of its own (most memory in KiB, new pages)."""
        script = ("import resource,subprocess,sys;"
                  "code=subprocess.run(sys.argv[1:],stdout=subprocess.DEVNULL).returncode;"
                  "used=resource.getrusage(resource.RUSAGE_CHILDREN);"
                  "print(code,used.ru_maxrss,used.ru_minflt)")
        out = subprocess.run([sys.executable, "-c", script, program.PROGRAM, *arguments], stdout=subprocess.PIPE, timeout=3000).stdout
        code, kib, pages = map(int, out.split())
        self.assertEqual(code, 0)
        return kib, pages

    def peak_kib(self, folder):
        return self.usage("grade", folder, "--melody", "short.melody", "--out", f"{folder}-out")[0]

    def test_the_memory_of_one_take_serves_the_next(self):
        write_wav("long.wav", samples_of(NOTES * 4))
        pages = {}
        for count in (2, 8):
            names = [f"long{count}-{i}.wav" for i in range(count)]
            for name in names:
                os.link("long.wav", name)
            _, pages[count] = self.usage("check", *names, "--melody", "lantern.melody", "--jobs", "1", "--quiet")
        a_take = (pages[8] - pages[2]) / 6
        print(f"\n{a_take:.0f} new pages a take more")
        self.assertLess(a_take, 250)  # 690 where it goes back to the kernel in between

    def test_5000_takes_in_flat_memory(self):
        pathlib.Path("short.melody").write_text("D4 F#4 A4 B4\n")
        write_wav("short.wav", samples_of(NOTES[:3] + [(71, 1)], beat_s=0.25))
        peaks = {}
        for count in (250, 5000):
            os.mkdir(f"takes{count}")
            for i in range(count):
                os.link("short.wav", f"takes{count}/s{i:04}.wav")
            begun = time.monotonic()
            peaks[count] = self.peak_kib(f"takes{count}")
            first = time.monotonic() - begun
            begun = time.monotonic()
            self.peak_kib(f"takes{count}")
            print(f"\n{count} takes: {first:.1f} s, again {time.monotonic() - begun:.1f} s, {peaks[count] / 1024:.0f} MiB")
        rows = table("takes5000-out/gradebook.csv")
        self.assertEqual([row["student"] for row in rows], [f"s{i:04}" for i in range(5000)])
        self.assertEqual({row["status"] for row in rows}, {"marked"})
        self.assertEqual(len({row["mark_percent"] for row in rows}), 1)
        # A take more costs what its rows in the gradebook and names cost: some KiB, not its notes and sound.
        self.assertLess(peaks[5000] - peaks[250], 4750 * 16)

    def test_real_takes_as_one_assignment(self):
        if not SHARED.is_dir():
            print("\nnot run: grade on real takes: ../shared/data is not there")
            return
        takes = table(SHARED / "takes.csv")
        pieces = sorted({row["melody"] for row in takes})
        os.mkdir("real")
        for row in takes:  # student s<take>, piece <melody>
            os.symlink(SHARED / "takes" / f"{row['take']}.flac", f"real/s{row['take']}-{row['melody']}.flac")
        absent = ["s1", "s2", "s3"]
        roster = sorted({f"s{row['take']}" for row in takes}) + absent
        pathlib.Path("real/class.csv").write_text("student\n" + "\n".join(roster) + "\n")
        pathlib.Path("real/a.json").write_text(json.dumps(
            {"title": "Sight singing", "roster": "class.csv", "pieces": [{"id": piece, "melody": str(SHARED / "melodies" / f"{piece}.melody")}
                                                                         for piece in pieces]}))
        done, by_two = timed("real/a.json", "--out", "two", "--jobs", "2")
        self.assertIn(done.returncode, (0, 1), done.stderr)
        _, again = timed("real/a.json", "--out", "two", "--jobs", "2")
        one, by_one = timed("real/a.json", "--out", "one", "--jobs", "1")
        print(f"\n{len(takes)} takes, {len(pieces)} pieces: {by_one:.1f} s by one thread, {by_two:.1f} s by two ({by_two / by_one:.2f}), "
              f"{again:.1f} s the second time ({again / by_two:.2f})")
        self.assertEqual(one.stdout, done.stdout)
        self.assertEqual(different(tree("one"), tree("two")), [])
        rows = table("two/gradebook.csv")
        self.assertEqual([row["student"] for row in rows], roster)
        marks = [row for row in table("two/marks.csv") if row["take"]]
        self.assertEqual(sorted(row["take"] for row in marks), sorted(f"s{row['take']}.{row['melody']}" for row in takes))
        by_student = {row["student"]: row for row in rows}
        for student in absent:
            self.assertEqual(by_student[student]["status"], "not handed in")
        marked = 0
        for row in marks:
            result = json.loads(pathlib.Path(f"two/results/{row['take']}.json").read_text())
            self.assertNotIn("error", result)
            notes = rows_of(pathlib.Path(f"two/results/{row['take']}.notes.csv").read_bytes())
            points, possible, percent, _ = mark_of(notes)
            self.assertEqual((float(row["points"]), float(row["possible"])), (points, possible))
            written = [note for note in notes if note["index"]]
            judged = [note for note in written if note["verdict"] in ("in_tune", "sharp", "flat", "other_note")]
            right = result["alignment"]["decision"] == "sure" and len(judged) >= 0.6 * len(written)
            why = row["why"]
            if right and why.startswith("the mark depends on the key"):
                changed, unchanged = (float(mark) for mark in re.findall(r"([\d.]+) %", why))
                self.assertGreater(abs(changed - unchanged), 5)
                right = False
            self.assertEqual(row["status"], "marked" if right else "needs a listen")
            self.assertEqual(row["mark_percent"], f"{percent:.1f}" if right else "")
            self.assertEqual(by_student[row["student"]]["final_percent"], row["mark_percent"])
            marked += right
        print(f"{marked} marked, {len(marks) - marked} need a listen")


if __name__ == "__main__":
    program.main()
