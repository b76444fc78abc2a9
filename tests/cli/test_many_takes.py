#!/usr/bin/python3
"""Several takes: order, lists, jobs, the share required, signals."""
import resource
import signal

import program
from program import *


class Several(Case):
    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        cls.names = []
        for i in range(8):
            name = f"take{i}.wav"
            write_wav(name, samples_of(NOTES[: 4 + i % 5], cents=5 * i))
            cls.names.append(name)

    def test_the_bytes_are_the_same_whatever_the_jobs(self):
        for form in ("text", "json", "csv"):
            arguments = ["check", *self.names, "none.wav", "--melody", "lantern.melody", "--format", form]
            one = run(*arguments, "--jobs", "1")
            self.assertEqual(one[0], 1)
            for jobs in ("2", "4", "32"):
                self.assertEqual(run(*arguments, "--jobs", jobs), one)

    def test_one_take_is_the_same_whatever_the_jobs(self):
        write_wav("long.wav", samples_of(NOTES * 4))
        arguments = ["check", "long.wav", "--melody", "lantern.melody", "--format", "json"]
        one = run(*arguments, "--jobs", "1")
        for jobs in ("2", "5"):
            self.assertEqual(run(*arguments, "--jobs", jobs), one)

    def test_results_come_in_the_order_of_the_arguments(self):
        names = list(reversed(self.names))
        _, out, _ = run("check", *names, "--melody", "lantern.melody", "--format", "json")
        self.assertEqual([json.loads(line)["take"]["name"] for line in out.decode().splitlines()], names)
        _, out, _ = run("check", *names, "--melody", "lantern.melody", "--format", "csv")
        takes = [line.split(",")[0] for line in out.decode().split("\r\n")[1:-1]]
        self.assertEqual(list(dict.fromkeys(takes)), names)
        self.assertEqual(out.count(b"take,index,"), 1)

    def test_takes_from_a_list_or_from_standard_input(self):
        listed = "\n".join(self.names[1:3]).encode()
        pathlib.Path("list.txt").write_bytes(listed)
        arguments = ["check", self.names[0], "--melody", "lantern.melody", "--format", "json"]
        named = run("check", *self.names[:3], "--melody", "lantern.melody", "--format", "json")
        self.assertEqual(run(*arguments, "--takes-from", "list.txt"), named)
        self.assertEqual(run(*arguments, "--takes-from", "-", stdin=listed.replace(b"\n", b"\r\n")), named)

    def test_the_share_required(self):
        write_wav("off.wav", samples_of(NOTES, cents=[0, 0, 0, 60, 0, 0, -60, 0, 0]))
        check = ["check", "off.wav", "--melody", "lantern.melody", "--quiet"]
        self.assertEqual(run(*check, "--require", "50")[0], 0)
        status, out, err = run(*check, "--require", "95")
        self.assertEqual(status, 3)
        self.assertRegex(err.decode(), r"^firmus: off\.wav: [\d.]+ % of the judged notes are in tune, 95 % are required\n$")
        self.assertIn(b"notes in tune", out)
        self.assertEqual(run(*check, "none.wav", "--require", "95")[0], 1)

    def test_another_melody_is_status_1_and_named(self):
        pathlib.Path("other.melody").write_text("meter: 4/4\nC4 B3 C5:2 | Ab3 Eb5 G3 Bb4 | C4 B4 Db4 A4 | C5:2 F3:2 | Eb4 C5 B3 E5\n")
        status, out, err = run("check", "ana.wav", "--melody", "other.melody", "--format", "json")
        decision = json.loads(out)["alignment"]["decision"]
        self.assertIn(decision, ("listen", "not this melody"))
        if decision == "not this melody":
            self.assertEqual(status, 1)
            self.assertTrue(err.startswith(b"firmus: ana.wav: not this melody: "), err)

    def test_quiet_says_nothing_but_errors(self):
        loud = samples_of(NOTES)
        clipped = array.array("h", (max(-4000, min(4000, 3 * s)) for s in loud))
        write_wav("clipped.wav", array.array("h", (8 * s for s in clipped)))
        check = ["check", "clipped.wav", "--melody", "lantern.melody"]
        status, _, err = run(*check)
        self.assertEqual(status, 0)
        self.assertRegex(err.decode(), r"^firmus: clipped\.wav: warning: ")
        self.assertEqual(run(*check, "--quiet")[2], b"")
        self.assertEqual(run("check", "none.wav", "--quiet")[2].count(b"\n"), 1)

    def test_a_signal_that_is_ignored_stays_so(self):
        running = subprocess.Popen([program.PROGRAM, "check", *self.names, "--melody", "lantern.melody", "--jobs", "1", "--format", "json"],
                                   stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                                   preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_IGN))
        first = running.stdout.readline()
        running.send_signal(signal.SIGINT)
        rest, _ = running.communicate(timeout=60)
        self.assertEqual((running.returncode, (first + rest).count(b"\n")), (0, len(self.names)))

    def test_a_signal_keeps_what_is_finished(self):
        write_wav("long.wav", samples_of(NOTES * 12))
        for number, status in ((signal.SIGINT, 130), (signal.SIGTERM, 143)):
            folder = f"stopped-{number}"
            takes = [*self.names[:2], *(f"link{i}.wav" for i in range(60))]
            for name in takes[2:]:
                if not os.path.exists(name):
                    os.link("long.wav", name)
            running = subprocess.Popen([program.PROGRAM, "check", *takes, "--melody", "lantern.melody", "--jobs", "1", "--format", "json",
                                        "--out", folder], stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                                       preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL))
            first = running.stdout.readline()
            self.assertEqual(json.loads(first)["take"]["name"], "take0.wav")
            running.send_signal(number)
            rest, err = running.communicate(timeout=60)
            self.assertEqual(running.returncode, status)
            self.assertEqual(err, b"")
            finished = [json.loads(line)["take"]["name"] for line in (first + rest).decode().splitlines()]
            self.assertEqual(finished, takes[: len(finished)])
            self.assertLess(len(finished), len(takes))
            present = sorted(os.listdir(folder))
            self.assertEqual(sorted(name[:-4] + ".json" for name in finished),
                             [name for name in present if name.endswith(".json") and name != "written.json"])
            self.assertEqual(json.loads(pathlib.Path(folder, "written.json").read_text())["files"],
                             [name for name in present if name != "written.json"])


class Limits(Case):
    def limited(self, mebibytes, *words):
        limit = mebibytes << 20
        return run(*words, preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_AS, (limit, limit)))

    def test_too_little_memory_is_never_blamed_on_the_take(self):
        if self.limited(80, "--version")[0] != 0:
            print("\nnot run: too little memory: this build does not start in 80 MiB (sanitizers)")
            self.skipTest("no start")
        told = 0
        for mebibytes in range(20, 48, 2):
            status, out, err = self.limited(mebibytes, "check", "ana.wav", "--melody", "lantern.melody", "--jobs", "1", "--quiet")
            if b"fftw: " in err or b"error while loading" in err:  # FFTW ends the program by itself; the loader has no room
                continue
            self.assertIn(status, (0, 5), (mebibytes, err))
            if status == 5:
                told += 1
                self.assertRegex(err.decode(), r"^firmus: (out of memory|no thread can be started); ")
                self.assertEqual(err.count(b"\n"), 1)
        self.assertGreater(told, 0)


if __name__ == "__main__":
    program.main()
