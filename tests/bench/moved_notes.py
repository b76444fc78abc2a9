#!/usr/bin/env python3
"""Measures annotated takes in which one note was moved by an octave, and says whether the result tells it.

  moved_notes.py FIRMUS DATA WORK [SHARE...]

DATA holds takes/ID.flac, takes.csv, melodies/ and truth/ID.csv. In each take the sung note nearest to each SHARE of its
length (default: 0.5) is cut out from its annotated onset to its annotated end, moved by `sox pitch`, and put back;
everything else is left as it was. What sounds then is twice or half of what firmus measures in the take as it is. A note
is a candidate where it is annotated once, lasts 0.35 s or more, and is judged and within a fourth of its written pitch in
the take as it is, so that moving it is the only change. Another note is disturbed where its status changes, its verdict
changes to or from `other_note`, or its pitch changes by more than 20 cents; an extra note more or less counts too.
"""
import array
import csv
import json
import math
import os
import subprocess
import sys
import tempfile
import wave
from concurrent.futures import ThreadPoolExecutor

SHIFTS = {"up": 1200, "down": -1200}
PITCH_WITHIN_CENTS = 20
SHORTEST_S = 0.35  # sox moves pitch in segments of 82 ms: of shorter notes little is left as it was
FADE_S = 0.005  # between what is put back and what was there
FAR_CENTS = 500


def measure(firmus, sound, melody):
    run = subprocess.run([firmus, "check", sound, "--melody", melody, "--format", "json", "--quiet"],
                         capture_output=True, text=True, check=False)
    return json.loads(run.stdout)


def cents(hz, reference):
    return 1200 * math.log2(hz / reference)


def read_wav(path):
    with wave.open(path) as sound:
        return sound.getframerate(), array.array("h", sound.readframes(sound.getnframes()))


def write_wav(path, rate, samples):
    with wave.open(path, "wb") as sound:
        sound.setnchannels(1)
        sound.setsampwidth(2)
        sound.setframerate(rate)
        sound.writeframes(samples.tobytes())


def sung_notes(result):
    return {note["index"]: note for note in result["notes"] if note["index"] is not None}


def candidates(truth_csv, result):
    with open(truth_csv, newline="", encoding="utf-8") as table:
        rows = [row for row in csv.DictReader(table) if row["score_index"].isdigit()]
    indices = [int(row["score_index"]) for row in rows]
    notes = sung_notes(result)
    found = []
    for row, index in zip(rows, indices):
        note = notes.get(index)
        onset, end = float(row["onset_s"]), float(row["offset_s"])
        if (indices.count(index) == 1 and end - onset >= SHORTEST_S and note and note["status"] == "sung"
                and note["verdict"] not in (None, "unclear") and abs(note["error_cents"]["own"]) < FAR_CENTS
                and abs(note["onset_s"] - onset) < 0.1):
            found.append((index, onset, end))
    return found


def move(sound, begin_s, end_s, shift, work):
    """A copy of the sound, with begin_s to end_s moved by `shift` cents."""
    rate, samples = read_wav(sound)
    begin, end = int(begin_s * rate), int(end_s * rate)
    part, moved = os.path.join(work, "part.wav"), os.path.join(work, "moved.wav")
    write_wav(part, rate, samples[begin:end])
    subprocess.run(["sox", "-D", part, moved, "pitch", str(shift)], check=True, capture_output=True)
    new = read_wav(moved)[1]
    fade = int(FADE_S * rate)
    for i in range(min(end - begin, len(new))):
        share = min(1.0, (i + 1) / fade, (end - begin - i) / fade)
        samples[begin + i] = round(share * new[i] + (1 - share) * samples[begin + i])
    path = os.path.join(work, "take.wav")
    write_wav(path, rate, samples)
    return path


def disturbed(before, after, moved_index):
    """The other notes whose result changed."""
    found = []
    old, new = sung_notes(before), sung_notes(after)
    for index, note in old.items():
        now = new[index]
        if index == moved_index:
            continue
        far = (note["sung_hz"] and now["sung_hz"]
               and abs(cents(now["sung_hz"], note["sung_hz"])) > PITCH_WITHIN_CENTS)
        other = (note["verdict"] == "other_note") != (now["verdict"] == "other_note")
        if note["status"] != now["status"] or far or other:
            found.append(index)
    extras = [sum(note["index"] is None for note in result["notes"]) for result in (before, after)]
    return found + (["extra"] if extras[0] != extras[1] else [])


def try_one(firmus, flac, melody, truth_csv, share):
    with tempfile.TemporaryDirectory() as work:
        plain = os.path.join(work, "plain.wav")
        subprocess.run(["sox", "-D", flac, "-b", "16", "-c", "1", plain], check=True, capture_output=True)
        before = measure(firmus, plain, melody)
        notes = candidates(truth_csv, before)
        if not notes:
            return {}
        middle_s = share * before["take"]["duration_s"]
        index, onset_s, end_s = min(notes, key=lambda note: abs(note[1] - middle_s))
        tried = {}
        for name, shift in SHIFTS.items():
            after = measure(firmus, move(plain, onset_s, end_s, shift, work), melody)
            note = sung_notes(after)[index]
            sounds_hz = sung_notes(before)[index]["sung_hz"] * 2 ** (shift / 1200)
            off = cents(note["sung_hz"], sounds_hz) if note["sung_hz"] else None
            tried[name] = {"index": index, "at": onset_s, "off": off, "verdict": note["verdict"] or note["status"],
                           "disturbed": disturbed(before, after, index)}
        return tried


def main():
    firmus, data, work = sys.argv[1:4]
    shares = [float(share) for share in sys.argv[4:]] or [0.5]
    os.makedirs(work, exist_ok=True)
    tempfile.tempdir = work
    with open(os.path.join(data, "takes.csv"), newline="", encoding="utf-8") as table:
        takes = [(row["take"], row["melody"]) for row in csv.DictReader(table)]
    jobs = [(take, share, [firmus, f"{data}/takes/{take}.flac", f"{data}/melodies/{melody}.melody",
                           f"{data}/truth/{take}.csv", share]) for take, melody in takes for share in shares]
    with ThreadPoolExecutor(os.cpu_count()) as pool:
        tried = list(pool.map(lambda job: try_one(*job[2]), jobs))
    for name in SHIFTS:
        count = {"right": 0, "other_note": 0, "undisturbed": 0}
        wrong = []
        for (take, _, _), result in zip(jobs, tried):
            if name not in result:
                wrong.append(f"  {take}: no note to move")
                continue
            one = result[name]
            good = {"right": one["off"] is not None and abs(one["off"]) <= PITCH_WITHIN_CENTS,
                    "other_note": one["verdict"] == "other_note", "undisturbed": not one["disturbed"]}
            for key, value in good.items():
                count[key] += value
            if not all(good.values()):
                off = "no pitch" if one["off"] is None else f"{one['off']:+.0f} cents"
                wrong.append(f"  {take}: note {one['index']} at {one['at']:.2f} s: {off} from what sounds, "
                             f"{one['verdict']}; disturbed: {one['disturbed'] or 'none'}")
        print(f"one note an octave {name}, {len(jobs)} takes: pitch within {PITCH_WITHIN_CENTS} cents of what sounds "
              f"{count['right']}, told as other_note {count['other_note']}, no other note disturbed "
              f"{count['undisturbed']}")
        print("\n".join(wrong))


if __name__ == "__main__":
    main()
