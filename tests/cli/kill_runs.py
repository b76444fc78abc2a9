#!/usr/bin/python3
"""Runs that are killed at any moment: kill_runs.py FIRMUS [KILLS]. Slow; scripts/release.sh runs it.

Each command is killed by SIGINT, SIGTERM and SIGKILL in turn, at moments spread over the time that it takes. After each
kill the same line must end with the same status and the same bytes as a run that nobody stopped, and leave no partial
file. Prints a row for each command and signal; the status is 1 where anything was found."""
import os
import pathlib
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time

from program import MELODY, NOTES, samples_of, write_wav

SIGNALS = (signal.SIGINT, signal.SIGTERM, signal.SIGKILL)
SEED = 16
STUDENTS = ("ana", "ben", "cleo", "dan", "eve", "fay")


def tree(folder):
    folder = pathlib.Path(folder)
    return {str(path.relative_to(folder)): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()}


def prepared():
    """A class: a melody, a take a student, a roster."""
    pathlib.Path("lantern.melody").write_text(MELODY)
    os.mkdir("takes")
    for number, student in enumerate(STUDENTS):
        write_wav(f"takes/{student}.wav", samples_of(NOTES, cents=5 * number - 15, beat_s=0.3))
    pathlib.Path("class.csv").write_text("name,student\n" + "".join(f"{student.title()},{student}\n" for student in STUDENTS))


def results(program):
    """Three results of one student with a fault, for `trend` and `drill`."""
    off = [0, -35, 0, 0, 0, 0, -35, 0, 0]
    for day in (1, 2, 3):
        write_wav(f"day{day}.wav", samples_of(NOTES, cents=off, beat_s=0.3))
        subprocess.run([program, "check", f"day{day}.wav", "--melody", "lantern.melody", "--out", "results",
                        "--student", "ana", "--date", f"2026-03-0{day}"], check=True, capture_output=True)
    return sorted(str(path.resolve()) for path in pathlib.Path("results").glob("day*.json"))


def lines(program):
    """Name of a command -> its words without the output."""
    melody = os.path.abspath("lantern.melody")
    takes = sorted(str(path.resolve()) for path in pathlib.Path("takes").iterdir())
    grade = ["grade", os.path.abspath("takes"), "--melody", melody, "--roster", os.path.abspath("class.csv")]
    saved = results(program)
    return {
        "check": (["check", *takes, "--melody", melody], "--out", "out"),
        "grade": (grade, "--out", "out"),
        "grade --shard": ([*grade, "--shard", "1/2"], "--out", "out"),
        "trend": (["trend", *saved], "--out", "out"),
        "drill": (["drill", *saved], "--out", "out"),
        "tone": (["tone", melody, "--tempo", "20"], "--to", "out/tone.flac"),
    }


def run(program, words, option, to, folder, kill_after=None, number=None):
    """The status of the run and what it said. It works in `folder`, since results name where they are."""
    # A shell starts what it leaves in the background with SIGINT ignored, and a program keeps that.
    process = subprocess.Popen([program, *words, option, to], cwd=folder, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                               preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL))
    if kill_after is not None:
        time.sleep(kill_after)
        process.send_signal(number)
    _, said = process.communicate(timeout=120)
    return process.returncode, said.decode(errors="replace").strip()


def faults_after(program, line, expected, number, moment):
    folder = tempfile.mkdtemp(dir=".")
    killed, _ = run(program, *line, folder, moment, number)
    stopped = killed in (128 + number, -number)
    status, said = run(program, *line, folder)
    found = []
    if status != expected[0]:
        found.append(f"status {status} instead of {expected[0]}: {said}")
    now = tree(folder)
    names = sorted(name for name in now.keys() | expected[1].keys() if now.get(name) != expected[1].get(name))
    if names:
        found.append("differs: " + ", ".join(names[:3]))
    shutil.rmtree(folder)
    return stopped, found


def main():
    program, kills = os.path.abspath(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 200
    chance = random.Random(SEED)
    faults = 0
    with tempfile.TemporaryDirectory(prefix="firmus-kills-") as home:
        os.chdir(home)
        prepared()
        for name, line in lines(program).items():
            begin = time.monotonic()
            folder = tempfile.mkdtemp(dir=".")
            status, said = run(program, *line, folder)
            took = time.monotonic() - begin
            expected = status, tree(folder)
            if not expected[1]:
                sys.exit(f"{name}: wrote nothing: {said}")
            for number in SIGNALS:
                stopped = 0
                found = []
                for _ in range(kills):
                    was_stopped, seen = faults_after(program, line, expected, number, chance.uniform(0, took))
                    stopped += was_stopped
                    found += seen
                if stopped == 0:
                    found.append("no run was stopped before its end: nothing is shown")
                print(f"{name:14} {number.name:8} {kills:4} kills, {stopped:4} before the end, {len(found):3} findings", flush=True)
                for text in found[:3]:
                    print("  " + text)
                faults += len(found)
        os.chdir("/")
    sys.exit(1 if faults else 0)


if __name__ == "__main__":
    main()
