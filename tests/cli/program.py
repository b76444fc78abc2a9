"""What the black-box tests share: running the program and making small takes."""
import array
import json
import math
import os
import pathlib
import pty
import subprocess
import sys
import tempfile
import unittest
import wave

PROGRAM = None
MELODY = "title: Lantern Walk\nkey: D major\nmeter: 3/4\n\nD4 F#4 A4 | B4:2 A4 | G4 F#4 E4 | D4:3\nwords: Light the lan- tern, walk the long way home\n"
NOTES = [(62, 1), (66, 1), (69, 1), (71, 2), (69, 1), (67, 1), (66, 1), (64, 1), (62, 3)]  # MIDI key, beats
RATE = 16000


def run(*arguments, stdin=b"", **options):
    """The program's status, standard output and standard error, as bytes."""
    environment = {**os.environ, "TERM": "xterm", "LC_ALL": "C.UTF-8"}
    environment.update(options.pop("env", {}))
    done = subprocess.run([PROGRAM, *arguments], input=stdin, stdout=subprocess.PIPE, stderr=subprocess.PIPE, timeout=120,
                          env=environment, **options)
    return done.returncode, done.stdout, done.stderr


def samples_of(notes, cents=0.0, beat_s=0.4):
    """A voice-like tone with five harmonics; a short dip parts the notes. `cents`: a number, or one for each note."""
    out = array.array("h", [0] * (RATE // 4))
    for place, (key, beats) in enumerate(notes):
        off = cents[place] if isinstance(cents, (list, tuple)) else cents
        hz = 440 * 2 ** ((key - 69 + off / 100) / 12)
        length = int(beats * beat_s * RATE)
        for i in range(length):
            t = i / RATE
            edge = min(1.0, i / 480, (length - i) / 960)
            tone = sum(math.sin(2 * math.pi * k * hz * t) / k for k in range(1, 6))
            out.append(int(6000 * edge * tone))
    out.extend([0] * (RATE // 4))
    return out


def write_wav(path, samples, rate=RATE):
    with wave.open(os.fspath(path) if isinstance(path, (str, pathlib.Path)) else path, "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(rate)
        out.writeframes(samples.tobytes())


def schema_validator(command):
    """An independent validator of what COMMAND --schema prints; none, and a line that says so, where there is none."""
    try:
        import jsonschema
    except ImportError:
        print("\nnot run: JSON Schema: python3-jsonschema is not installed")
        return None
    schema = json.loads(run(command, "--schema")[1])
    jsonschema.Draft7Validator.check_schema(schema)
    return jsonschema.Draft7Validator(schema)


def faults_by(validator, value):
    return [f"{list(e.path)}: {e.message}" for e in validator.iter_errors(value)]


def pseudo_terminal(case, what):
    """Both ends of a pseudo-terminal; where none can be had, the test says that it did not run."""
    try:
        return pty.openpty()
    except OSError:
        print(f"\nnot run: {what}: no pseudo-terminal can be had here (/dev/pts)")
        case.skipTest("no pseudo-terminal")


class Case(unittest.TestCase):
    """A scratch folder as the working directory, with a melody and a take in it."""

    @classmethod
    def setUpClass(cls):
        cls.home = tempfile.TemporaryDirectory(prefix="firmus-cli-")
        cls.was = os.getcwd()
        os.chdir(cls.home.name)
        pathlib.Path("lantern.melody").write_text(MELODY)
        cls.take_samples = samples_of(NOTES)
        write_wav("ana.wav", cls.take_samples)

    @classmethod
    def tearDownClass(cls):
        os.chdir(cls.was)
        cls.home.cleanup()

    def complains(self, status, *arguments, line=None, starts=None, **options):
        """Ends with `status`, nothing on standard output, one line on standard error."""
        code, out, err = run(*arguments, **options)
        text = err.decode("utf-8", "surrogateescape")
        self.assertEqual(code, status, text)
        self.assertEqual(out, b"")
        self.assertEqual(text.count("\n"), 1, text)
        self.assertTrue(text.startswith("firmus: "), text)
        if line is not None:
            self.assertEqual(text, "firmus: " + line + "\n")
        if starts is not None:
            self.assertTrue(text.startswith("firmus: " + starts), text)
        return text


def main():
    global PROGRAM
    PROGRAM = os.path.abspath(sys.argv.pop(1))
    unittest.main(module="__main__", verbosity=2)


__all__ = ["Case", "MELODY", "NOTES", "RATE", "array", "faults_by", "json", "main", "os", "pathlib", "pseudo_terminal", "run", "samples_of",
           "schema_validator", "subprocess", "sys", "unittest", "write_wav"]
