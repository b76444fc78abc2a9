#!/usr/bin/python3
"""Annotated takes, changed so that the right answer follows from the unchanged take.

changed_takes.py MODE FIRMUS DATA OUT [--each]
  MODE  cut     each take cut off within a sounding note, at 20, 40, 60 and 80 % of its sung notes
        stopped the same, with 2 s of digital silence behind
        padded  8 s of digital silence behind each take, and 8 s of noise at -60 dBFS
        spliced three bars of each take sung twice, from bar K on: (a) whole, a pause, and again; (b) broken off in their
                middle, a pause, and again
  DATA  takes/ID.flac, takes.csv, melodies/, truth/ID.csv
  OUT   folder for results; results of the unchanged takes are in OUT/whole
  --each  also a line for each verdict that is not right

A verdict on a cut take is false when it is on a note that had not begun when the take was cut, or is another one than on
the whole take because of another pitch. Where the pitch is the same (within 3 cents) and the verdict is not, the line
through the notes of the shorter take is another one; these are counted apart. Needs sox.
"""
import concurrent.futures
import csv
import json
import math
import os
import subprocess
import sys
import tempfile

SHARES = (0.2, 0.4, 0.6, 0.8)
CUT_AT = 0.6  # of the note
LEAST_NOTE_S = 0.2
LAST_NOTES = 4
SAME_PITCH_CENTS = 3
JUDGED = ("in_tune", "sharp", "flat", "other_note")


def sox(*arguments):
    subprocess.run(["sox", "-D", *map(str, arguments)], check=True, stderr=subprocess.DEVNULL)


class Take:
    def __init__(self, data, take, line):
        self.name, self.sound = take, f"{data}/takes/{take}.flac"
        self.melody = f"{data}/melodies/{line}.melody"
        with open(f"{data}/truth/{take}.csv", newline="") as file:
            rows = [(float(r["onset_s"]), float(r["offset_s"]), int(float(r["score_index"])))
                    for r in csv.DictReader(file) if r["offset_s"] not in ("", "nan")]
        self.sung = [row for row in rows if row[2] >= 0]


def measured(firmus, sound, melody, to):
    result = subprocess.run([firmus, "check", sound, "--melody", melody, "--format", "json", "--quiet"],
                            stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
    with open(to, "wb") as file:
        file.write(result.stdout)
    return json.loads(result.stdout)


def written(result):
    return {n["index"]: n for n in result["notes"] if n.get("index") is not None}


def truncated(result):
    return any(w["kind"] == "truncated" for w in result["recording"]["warnings"])


def cut(take, whole, work, run, silence_s=0):
    """For each cut: (name, number of false verdicts, unclear or missing ones, whether it warns, what was false)."""
    for share in SHARES:
        note = int(share * len(take.sung))
        while take.sung[note][1] - take.sung[note][0] < LEAST_NOTE_S and note + 1 < len(take.sung):
            note += 1
        onset, end, _ = take.sung[note]
        at = onset + CUT_AT * (end - onset)
        sound = f"{work}/cut.wav"
        sox(take.sound, sound, "trim", 0, at, *(("pad", 0, silence_s) if silence_s else ()))
        name = f"{take.name}.{share:g}{'.stopped' if silence_s else ''}"
        result = run(sound, name)
        before = written(whole)
        verdicts = [n for n in result["notes"] if n.get("index") is not None and n["status"] == "sung"]
        false, lost, by_line = [], 0, 0
        for n in verdicts[-LAST_NOTES:]:
            of_whole = before[n["index"]]
            if of_whole["status"] != "sung" or of_whole["onset_s"] > at or abs(of_whole["onset_s"] - n["onset_s"]) > 0.15:
                false.append(f"{n['index']} is {n['status']}, {n['verdict']} at {n['onset_s']:.2f}, not sung there")
            elif n["verdict"] not in (of_whole["verdict"], "unclear", None):
                error = [x["error_cents"]["own"] for x in (of_whole, n)]
                cents = 1200 * math.log2(n["sung_hz"] / of_whole["sung_hz"])
                by_line += abs(cents) <= SAME_PITCH_CENTS
                if abs(cents) > SAME_PITCH_CENTS:
                    false.append(f"{n['index']} {of_whole['verdict']} {error[0]} -> {n['verdict']} {error[1]}, {cents:+.1f}")
        heard = [n for n in before.values() if n["status"] == "sung" and n["onset_s"] < at][-LAST_NOTES:]
        after = written(result)
        lost = sum(after[n["index"]]["status"] != "sung" for n in heard)
        yield name, false, lost, truncated(result), by_line


def padded(take, whole, work, run):
    for kind in ("silence", "noise"):
        sound = f"{work}/padded.wav"
        if kind == "silence":
            sox(take.sound, sound, "pad", 0, 8)
        else:
            form = subprocess.run(["soxi", "-r", take.sound], stdout=subprocess.PIPE, check=True).stdout.decode().strip()
            channels = subprocess.run(["soxi", "-c", take.sound], stdout=subprocess.PIPE, check=True).stdout.decode().strip()
            # White noise of sox has an RMS of -4.8 dBFS.
            sox("-R", "-n", "-r", form, "-c", channels, "-b", 16, f"{work}/noise.wav", "synth", 8, "whitenoise", "gain", -55.2)
            sox(take.sound, f"{work}/noise.wav", sound)
        name = f"{take.name}.{kind}"
        result = run(sound, name)
        of = [[(n.get("index"), n["status"], n.get("verdict")) for n in r["notes"]] for r in (whole, result)]
        changed = [f"{a} -> {b}" for a, b in zip(of[0], of[1]) if a != b] if len(of[0]) == len(of[1]) else [
            f"{sorted(set(of[0]) ^ set(of[1]), key=str)}"]
        yield name, changed, 0, truncated(result) != truncated(whole)


def spliced(take, whole, work, run):
    """Bars are those of the written notes in the result of the whole take."""
    before = written(whole)
    onset = {i: s for s, _, i in reversed(take.sung)}
    bars = sorted({before[i]["bar"] for i in onset})
    for share in (0.3, 0.6):
        bar = bars[int(share * len(bars))]
        inside = [i for i in sorted(onset) if bar <= before[i]["bar"] < bar + 3]
        later = [i for i in sorted(onset) if before[i]["bar"] >= bar + 3]
        if len(inside) < 6 or not later:
            continue
        for kind in "ab":
            begin = onset[inside[0]] - 0.05
            end = onset[later[0] if kind == "a" else inside[2 * len(inside) // 3]] - 0.05
            pause = 0.8
            sox(take.sound, f"{work}/a.wav", "trim", 0, end, "fade", "t", 0, end, 0.02, "pad", 0, pause)
            sox(take.sound, f"{work}/b.wav", "trim", begin)
            sox(f"{work}/a.wav", f"{work}/b.wav", f"{work}/spliced.wav")
            name = f"{take.name}.{kind}{bar}"
            result = run(f"{work}/spliced.wav", name)
            after = written(result)
            wrong = []
            for i, n in before.items():
                if n["status"] != "sung":
                    continue
                expected = n["onset_s"] + (end + pause - begin if i >= inside[0] else 0)
                if after[i]["status"] != "sung" or abs(after[i]["onset_s"] - expected) > 0.15:
                    off = after[i]["onset_s"] - expected if after[i].get("onset_s") is not None else None
                    first = off is not None and abs(off + end + pause - begin) < 0.15
                    kind_of = "missing" if off is None else "first" if first else "other"
                    wrong.append(f"{i} {kind_of} {'inside' if i in inside else 'outside'} {off}")
            yield name, wrong, 0, False


MODES = {"cut": cut, "padded": padded, "spliced": spliced,
         "stopped": lambda *args: cut(*args, silence_s=2)}


def main(mode, firmus, data, out, each):
    with open(f"{data}/takes.csv", newline="") as file:
        takes = [Take(data, r["take"], r["melody"]) for r in csv.DictReader(file)]
    if os.environ.get("FIRMUS_TAKES"):
        takes = [t for t in takes if t.name in os.environ["FIRMUS_TAKES"].split()]
    for folder in ("whole", mode):
        os.makedirs(f"{out}/{folder}", exist_ok=True)

    def of_take(take):
        whole = measured(firmus, take.sound, take.melody, f"{out}/whole/{take.name}.json")
        with tempfile.TemporaryDirectory() as work:
            run = lambda sound, name: measured(firmus, sound, take.melody, f"{out}/{mode}/{name}.json")
            return truncated(whole), list(MODES[mode](take, whole, work, run))

    with concurrent.futures.ThreadPoolExecutor(max_workers=os.cpu_count()) as pool:
        found = list(pool.map(of_take, takes))
    rows = [row for _, of in found for row in of]
    if each:
        for name, false, lost, warns, *_ in rows:
            for line in false:
                print(f"  {name}: {line}")
            if mode in ("cut", "stopped") and (lost or not warns):
                print(f"  {name}: {lost} of the last notes heard not sung{'' if warns else ', no warning'}")
    right = sum(not row[1] for row in rows)
    print(f"{mode}: {len(rows)} takes; right in all that is compared: {right} ({100 * right / max(1, len(rows)):.1f} %); "
          f"{sum(len(row[1]) for row in rows)} notes not right")
    if mode == "spliced":
        kinds = [line.split()[1:3] for row in rows for line in row[1]]
        for kind in ("first", "missing", "other"):
            for where in ("inside", "outside"):
                print(f"  {where} the bars sung twice, {kind}: {kinds.count([kind, where])}")
    if mode in ("cut", "stopped"):
        print(f"  {sum(row[4] for row in rows)} more have another verdict at the same pitch, by the tuning line of the shorter take")
        print(f"  {sum(row[2] for row in rows)} of the last {LAST_NOTES} notes heard are called missing")
        print(f"  warned of truncation: {sum(row[3] for row in rows)} of {len(rows)}; "
              f"of the {len(found)} whole takes {sum(warned for warned, _ in found)}")


if __name__ == "__main__":
    if len(sys.argv) < 5 or sys.argv[1] not in MODES:
        sys.exit(__doc__)
    main(*sys.argv[1:5], each="--each" in sys.argv[5:])
