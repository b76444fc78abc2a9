#!/usr/bin/python3
"""Recordings in the formats of phones, read through ffmpeg: a program of that name made here, and the real one where it is."""
import json
import pathlib
import shutil
import signal
import subprocess
import time

import program
from program import *

M4A_HEAD = b"\0\0\0\x1cftypM4A \0\0\0\0"
FAKE = """#!/bin/sh
printf '%s\\n' "$@" > "$FAKE_WORDS"
[ -z "$FAKE_FAILS" ] || { echo 'moov atom not found' >&2; exit 1; }
cat ana.wav
"""


def is_running(process):
    """A process that has ended and that nobody has waited for yet does not run."""
    try:
        return pathlib.Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except (FileNotFoundError, ProcessLookupError):
        return False


def measured(path, **options):
    status, out, err = run("check", path, "--melody", "lantern.melody", "--format", "json", **options)
    return status, json.loads(out), err.decode()


class ThroughFfmpeg(Case):
    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        pathlib.Path("bin").mkdir()
        pathlib.Path("bin/ffmpeg").write_text(FAKE)
        pathlib.Path("bin/ffmpeg").chmod(0o755)
        cls.env = {"PATH": f"{pathlib.Path('bin').resolve()}:/usr/bin:/bin", "FAKE_WORDS": str(pathlib.Path("words").resolve())}
        for name, head in (("voice: it's $(x).m4a", M4A_HEAD), ("b.amr", b"#!AMR\n"), ("c.webm", b"\x1a\x45\xdf\xa3")):
            pathlib.Path(name).write_bytes(head + bytes(2000))

    def test_it_is_run_without_a_shell_and_told_the_container(self):
        usual = measured("ana.wav")[1]
        for name, container in (("voice: it's $(x).m4a", "mov"), ("b.amr", "amr"), ("c.webm", "matroska")):
            status, result, err = measured(name, env=self.env)
            self.assertEqual((status, err), (0, f"firmus: {name} is read through ffmpeg\n"))
            self.assertEqual(result["notes"], usual["notes"])
            words = pathlib.Path("words").read_text().splitlines()
            self.assertEqual(words[words.index("-i") + 1], "file:" + name)
            self.assertEqual(words[words.index("-f") + 1], container)
            self.assertEqual(words[words.index("-protocol_whitelist") + 1], "file,pipe")

    def test_it_is_said_once_and_not_with_quiet(self):
        takes = ["b.amr", "c.webm"]
        status, out, err = run("check", *takes, "--melody", "lantern.melody", env=self.env)
        self.assertEqual((status, err), (0, b"firmus: b.amr is read through ffmpeg\n"))
        self.assertEqual(run("check", *takes, "--melody", "lantern.melody", "--quiet", env=self.env)[2], b"")

    def test_what_it_says_of_a_damaged_file_is_passed_on(self):
        status, result, err = measured("b.amr", env={**self.env, "FAKE_FAILS": "1"})
        self.assertEqual((status, result["error"]["kind"]), (1, "unreadable"))
        self.assertIn("moov atom not found", err)

    def test_without_it_one_line_says_how_to_get_it(self):
        status, result, err = measured("b.amr", env={"PATH": "/nowhere"})
        self.assertEqual((status, result["error"]["kind"]), (1, "phone_format"))
        self.assertIn("apt-get install ffmpeg", err)
        status, out, err = run("check", "b.amr", "--melody", "lantern.melody", "--decoder", "none", env=self.env)
        self.assertEqual(status, 1)
        self.assertNotIn(b"is read through", err)

    def started_with_a_slow_ffmpeg(self, script):
        """A run whose ffmpeg, this script, has begun; and the process number of that ffmpeg."""
        os.makedirs("slow", exist_ok=True)
        pathlib.Path("slow/ffmpeg").write_text(f"#!/bin/sh\necho $$ > began.tmp\nmv began.tmp began\n{script}\n")
        pathlib.Path("slow/ffmpeg").chmod(0o755)
        pathlib.Path("began").unlink(missing_ok=True)
        running = subprocess.Popen([program.PROGRAM, "check", "b.amr", "--melody", "lantern.melody", "--out", "slow-out"],
                                   stdout=subprocess.PIPE, stderr=subprocess.PIPE, start_new_session=True,
                                   env={"PATH": f"{pathlib.Path('slow').resolve()}:/usr/bin:/bin"})
        until = time.monotonic() + 20
        while not os.path.exists("began") and time.monotonic() < until:
            time.sleep(0.01)
        return running, int(pathlib.Path("began").read_text())

    def test_it_ends_when_the_program_is_ended(self):
        for number in (signal.SIGTERM, signal.SIGKILL):
            running, decoder = self.started_with_a_slow_ffmpeg("exec sleep 60")
            running.send_signal(number)
            running.communicate(timeout=20)
            until = time.monotonic() + 5
            while is_running(decoder) and time.monotonic() < until:
                time.sleep(0.01)
            self.assertFalse(is_running(decoder), number)

    def test_ctrl_c_is_not_taken_for_a_recording_that_cannot_be_read(self):
        running, _ = self.started_with_a_slow_ffmpeg("exec sleep 60")
        os.killpg(running.pid, signal.SIGINT)  # as a terminal does: to all of the group
        out, err = running.communicate(timeout=20)
        self.assertEqual((running.returncode, out, err), (130, b"", b"firmus: b.amr is read through ffmpeg\n"))
        self.assertEqual([name for name in os.listdir("slow-out") if name.startswith("b.")], [])

    def test_the_real_one_moves_no_note(self):
        if not shutil.which("ffmpeg"):
            self.skipTest("ffmpeg is not installed")
        subprocess.run(["ffmpeg", "-v", "error", "-i", "ana.wav", "-c:a", "aac", "-b:a", "64k", "-y", "real.m4a"], check=True)
        status, result, err = measured("real.m4a")
        self.assertEqual(status, 0, err)
        for now, before in zip(result["notes"], measured("ana.wav")[1]["notes"]):
            self.assertAlmostEqual(now["onset_s"], before["onset_s"], delta=0.03)
            self.assertAlmostEqual(now["error_cents"]["concert"], before["error_cents"]["concert"], delta=1)


if __name__ == "__main__":
    main()
