#!/usr/bin/python3
"""firmus grade: parts of a job array, several runs at once, runs that are ended in the middle."""
import shutil
import signal
import socket
import time

import program
from class_folder import *
from program import *

STUDENTS = [f"s{i:02}" for i in range(8)]


def grade(*arguments, **options):
    return run("grade", *arguments, **options)


def started(*arguments):
    return subprocess.Popen([program.PROGRAM, "grade", *arguments], stdout=subprocess.PIPE, stderr=subprocess.PIPE)


class Runs(Case):
    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        make_class("in", {f"{student}.wav": 4 * place for place, student in enumerate(STUDENTS)})
        pathlib.Path("class.csv").write_text("student\n" + "\n".join([*STUDENTS, "absent"]) + "\n")
        cls.input = ["in", "--melody", "lantern.melody", "--roster", "class.csv"]
        cls.done = grade(*cls.input, "--out", "whole")
        cls.whole = tree("whole")

    def slow_input(self, folder, takes=20):
        """A class that takes a while, by one thread."""
        write_wav("long.wav", samples_of(NOTES * 4, beat_s=0.3))
        os.makedirs(folder, exist_ok=True)
        for i in range(takes):
            if not os.path.exists(f"{folder}/t{i:03}.wav"):
                os.link("long.wav", f"{folder}/t{i:03}.wav")
        return [folder, "--melody", "lantern.melody", "--jobs", "1"]

    def wait_for(self, condition):
        for _ in range(2000):
            if condition():
                return
            time.sleep(0.01)
        self.fail("nothing happened")

    def test_parts_side_by_side_and_the_joining_run_give_the_same_bytes(self):
        parts = [started(*self.input, "--out", "parts", "--shard", f"{i}/3", "--jobs", "1") for i in (1, 2, 3)]
        for part in parts:
            out, err = part.communicate(timeout=100)
            self.assertEqual((part.returncode, err), (0, b""), out)
            self.assertRegex(out.decode(), r"^Part \d of 3: \d+ of 8 takes\. The same line without --shard joins the parts\.\n$")
        self.assertFalse(os.path.exists("parts/gradebook.csv"))
        before = stamps("parts", ".svg")
        self.assertEqual(len(before), 8)
        self.assertEqual(grade(*self.input, "--out", "parts"), self.done)
        self.assertEqual(stamps("parts", ".svg"), before)
        self.assertEqual(different(self.whole, tree("parts")), [])

    def test_joining_measures_what_is_missing(self):
        self.assertEqual(grade(*self.input, "--out", "one", "--shard", "2/3")[0], 0)
        self.assertEqual(grade(*self.input, "--out", "one"), self.done)
        self.assertEqual(different(self.whole, tree("one")), [])

    def test_two_runs_at_once_exclude_each_other_and_the_second_names_the_first(self):
        line = [*self.slow_input("slow"), "--out", "busy"]
        first = started(*line)
        self.wait_for(lambda: os.path.exists("busy/private/locks/whole.lock"))
        for other in ([], ["--shard", "1/2"]):
            self.complains(2, "grade", *line, *other,
                           line=f"another run works in this folder: process {first.pid} on {socket.gethostname()}; wait until it has ended")
        self.assertEqual(first.wait(timeout=120), 0)
        first.communicate()
        second = grade(*line)
        self.assertEqual((second[0], second[2]), (0, b""))

    def test_a_part_excludes_itself_and_the_joining_run_but_no_other_part(self):
        line = [*self.slow_input("slow"), "--out", "shared"]
        first = started(*line, "--shard", "1/2")
        self.wait_for(lambda: os.path.exists("shared/private/locks/1-of-2.lock"))
        for other in ([], ["--shard", "1/2"], ["--shard", "1/3"]):
            self.complains(2, "grade", *line, *other, starts=f"another run works in this folder: process {first.pid} on ")
        self.assertEqual(grade(*line, "--shard", "2/2")[0], 0)
        self.assertEqual(first.wait(timeout=120), 0)
        first.communicate()

    def test_a_lock_whose_process_is_gone_is_taken_over_on_this_host_alone(self):
        shutil.copytree("whole", "stale")
        gone = subprocess.Popen(["true"])
        gone.wait()
        lock = pathlib.Path("stale/private/locks/whole.lock")
        lock.write_text(f"{socket.gethostname()} {gone.pid} 1\n")
        self.assertEqual(grade(*self.input, "--out", "stale"), self.done)
        lock.write_text(f"{socket.gethostname()} {os.getpid()} 1\n")  # this process began at another time
        self.assertEqual(grade(*self.input, "--out", "stale"), self.done)
        lock.write_text(f"elsewhere {gone.pid} 1\n")
        self.complains(2, "grade", *self.input, "--out", "stale", starts=f"another run works in this folder: process {gone.pid} on elsewhere; ")
        lock.unlink()
        self.assertEqual(different(self.whole, tree("stale")), [])

    def test_what_a_killed_run_had_half_written_is_cleared_away(self):
        shutil.copytree("whole", "half")
        gone = subprocess.Popen(["true"])
        gone.wait()
        for name in ("gradebook.csv", "private/reuse.csv", "private/locks/whole.lock"):
            pathlib.Path(f"half/{name}.{gone.pid}.part").write_text("x")
        pathlib.Path(f"half/mine.csv.{gone.pid}.part").write_text("x")  # of no file of ours
        self.assertEqual(grade(*self.input, "--out", "half"), self.done)
        self.assertEqual(different(self.whole, tree("half")), [f"mine.csv.{gone.pid}.part"])

    def test_a_signal_keeps_what_is_finished_and_the_same_line_ends_with_the_same_bytes(self):
        line = self.slow_input("slow")
        expected = grade(*line, "--out", "unbroken")
        for number, status in ((signal.SIGINT, 130), (signal.SIGTERM, 143), (signal.SIGKILL, -signal.SIGKILL)):
            folder = f"broken-{status}"
            running = started(*line, "--out", folder)
            self.wait_for(lambda: os.path.isdir(f"{folder}/results") and len(stamps(folder, ".html")) >= 5)
            running.send_signal(number)
            running.communicate(timeout=60)
            self.assertEqual(running.returncode, status)
            finished = stamps(folder, ".html")
            self.assertLess(len(finished), 20)
            self.assertFalse(os.path.exists(f"{folder}/gradebook.csv"))
            self.assertEqual(grade(*line, "--out", folder), expected)
            again = stamps(folder, ".html")
            self.assertLessEqual(sum(again[name] != stamp for name, stamp in finished.items()), 1)
            self.assertEqual(different(tree("unbroken"), tree(folder)), [])


if __name__ == "__main__":
    program.main()
