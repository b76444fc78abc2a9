#!/usr/bin/python3
"""The ten example takes, measured, against the results that are kept in this folder.

test_golden.py FIRMUS SOURCE_FOLDER           compares; exit status 1 where anything is beyond its tolerance
test_golden.py FIRMUS SOURCE_FOLDER --write   writes the kept results anew: look at their diff before committing them
test_golden.py FIRMUS SOURCE_FOLDER --release writes released.csv: the version, and a digest of its kept results

Kept results other than those of the last release need a later version: no two releases of one version differ.

Two files a take: STEM.notes.csv is what --format csv says of the notes; STEM.summary.csv is the rest of the JSON result,
one value a line ("pitch_centre.cents,-4.0"). Words, counts and empty cells must be equal. Numbers may drift by what
TOLERANCES says, so that another compiler or processor passes. Notes with another status or verdict are counted apart:
those are other findings, not drift.
"""
import csv
import hashlib
import io
import json
import os
import subprocess
import sys

GOLDEN = os.path.dirname(os.path.abspath(__file__))
FINDINGS = ("status", "verdict", "decision")  # another value is a flip
LEFT_OUT = {"notes", "schema", "program", "context", "melody.text"}  # of the JSON: elsewhere, or no measurement

# By the last name of a column or path: ("abs", most) in the column's own unit or ("rel", most).
TOLERANCES = {
    "onset_s": ("abs", 0.002), "end_s": ("abs", 0.002), "from_s": ("abs", 0.002), "to_s": ("abs", 0.002),
    "duration_s": ("abs", 0.002),
    "sung_hz": ("rel", 1e-4), "a4_hz": ("rel", 1e-4), "tempo_bpm": ("abs", 0.2),
    "vibrato_rate_hz": ("abs", 0.02), "level_dbfs": ("abs", 0.1), "snr_db": ("abs", 0.2), "clipped_share": ("abs", 1e-4),
    "slope_cents_per_s": ("abs", 0.5), "scoop_cents": ("abs", 0.5),
    "drift_cents_per_minute": ("abs", 0.5), "drift_ci95": ("abs", 1.0), "ci95_cents": ("abs", 0.4),
    "match_confidence": ("abs", 0.01), "confidence": ("abs", 0.01), "matched_share": ("abs", 0.002),
    "in_tune_share": ("abs", 1e-4), "judged_share": ("abs", 1e-4),
    "p": ("abs", 0.005), "p_adjusted": ("abs", 0.005),
}
CENTS = ("abs", 0.2)  # every other name that ends in "cents"


def tolerance_of(name):
    last = [part for part in name.split(".") if not part.isdigit()][-1]
    return TOLERANCES.get(last) or (CENTS if last.endswith("cents") else None)


def within(name, golden, now):
    if golden == now:
        return True
    tolerance = tolerance_of(name)
    if tolerance is None:
        return False
    try:
        a, b = float(golden), float(now)
    except ValueError:
        return False
    kind, most = tolerance
    return abs(a - b) <= (most * abs(a) if kind == "rel" else most) + 1e-9


def compare(golden, now):
    """Two lists of rows (name of the row, {column: text}) -> (flips, what is beyond its tolerance or another word)."""
    flips, faults = [], []
    if [name for name, _ in golden] != [name for name, _ in now]:
        a, b = {name for name, _ in golden}, {name for name, _ in now}
        faults.append(f"other rows: {len(golden)} before, {len(now)} now; gone: {sorted(a - b)[:5]}, new: {sorted(b - a)[:5]}")
    here = dict(now)
    for name, cells in golden:
        other = here.get(name)
        if other is None:
            continue
        if cells.keys() != other.keys():
            faults.append(f"{name}: other columns: {sorted(cells.keys() ^ other.keys())}")
            continue
        for column, value in cells.items():
            path = name if column == "value" else column
            if within(path, value, other[column]):
                continue
            text = f"{name} {column}: {value!r} before, {other[column]!r} now"
            (flips if path.split(".")[-1] in FINDINGS else faults).append(text)
    return flips, faults


def note_rows(text):
    """Notes by their place in the table: one more or less shows as other rows at its end, and as other cells."""
    return [(f"note {i}", cells) for i, cells in enumerate(csv.DictReader(io.StringIO(text, newline="")))]


def summary_rows(text):
    return [(row["name"], {"value": row["value"]}) for row in csv.DictReader(io.StringIO(text, newline=""))]


def flat(value, path=""):
    if path in LEFT_OUT or path.endswith("sha256"):
        return
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from flat(inner, f"{path}.{key}" if path else key)
    elif isinstance(value, list):
        yield f"{path}.count", str(len(value))
        for i, inner in enumerate(value):
            yield from flat(inner, f"{path}.{i}")
    else:
        yield path, value if isinstance(value, str) else json.dumps(value)


def summary_text(result):
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(("name", "value"))
    writer.writerows(flat(result))
    return out.getvalue()


def measure(firmus, studio, take):
    def run(form):
        words = [firmus, "check", f"takes/{take}", "--melody", take.split("-")[1].split(".")[0] + ".melody", "--format", form]
        return subprocess.run(words, cwd=studio, stdin=subprocess.DEVNULL, capture_output=True, check=True).stdout.decode()
    return {"notes": run("csv").replace("\r\n", "\n"), "summary": summary_text(json.loads(run("json")))}


def check_the_comparison():
    """A comparison that notices nothing would pass everything."""
    def row(**cells):
        return [("note 0", {"status": "sung", "verdict": "flat", "error_own_cents": "-30.0", "sung_hz": "440.0000", "word": "", **cells})]
    assert compare(row(), row()) == ([], [])
    assert compare(row(), row(error_own_cents="-29.8", sung_hz="440.0400")) == ([], [])
    assert len(compare(row(), row(error_own_cents="-29.7"))[1]) == 1
    assert len(compare(row(), row(error_own_cents=""))[1]) == 1
    assert len(compare(row(), row(sung_hz="440.1000"))[1]) == 1
    assert len(compare(row(), row(word="la"))[1]) == 1
    assert [len(found) for found in compare(row(), row(status="missing", verdict=""))] == [2, 0]
    assert len(compare(row(), [])[1]) == 1 and len(compare([], row())[1]) == 1
    decided = [("alignment.decision", {"value": "sure"})]
    assert len(compare(decided, [("alignment.decision", {"value": "listen"})])[0]) == 1
    centre = [("pitch_centre.cents", {"value": "-4.0"})]
    assert compare(centre, [("pitch_centre.cents", {"value": "-3.9"})]) == ([], [])
    assert len(compare(centre, [("pitch_centre.cents", {"value": "-3.0"})])[1]) == 1


def kept_digest():
    digest = hashlib.sha256()
    for name in sorted(name for name in os.listdir(GOLDEN) if name.endswith((".notes.csv", ".summary.csv"))):
        with open(os.path.join(GOLDEN, name), "rb") as file:
            digest.update(name.encode() + b"\n" + file.read())
    return digest.hexdigest()


def version_fault(version, digest, released_version, released_digest):
    """Why this version cannot have these results, or none. The second number rises with every change of results."""
    series, released = ([int(part) for part in text.split(".")[:2]] for text in (version, released_version))
    if digest == released_digest or series > released:
        return None
    return f"the results are not those of version {released_version}: raise the second number of the version in CMakeLists.txt"


def version_faults(firmus, release):
    version, digest = subprocess.run([firmus, "--version"], capture_output=True, check=True).stdout.decode().split()[1], kept_digest()
    path = os.path.join(GOLDEN, "released.csv")
    with open(path, encoding="utf-8", newline="") as file:
        last = list(csv.DictReader(file))[-1]
    fault = version_fault(version, digest, last["version"], last["sha256"])
    if release and not fault:
        with open(path, "w", encoding="utf-8", newline="") as file:
            file.write(f"version,sha256\n{version},{digest}\n")
    return [fault] if fault else []


def check_the_rule_of_versions():
    assert version_fault("0.2.0", "a", "0.2.0", "a") is None and version_fault("0.2.1", "a", "0.2.0", "a") is None
    assert version_fault("0.2.0", "b", "0.2.0", "a") and version_fault("0.2.1", "b", "0.2.0", "a")
    assert version_fault("0.10.0", "b", "0.9.3", "a") is None and version_fault("1.0.0", "b", "0.9.3", "a") is None


def main():
    firmus, studio = os.path.abspath(sys.argv[1]), os.path.join(sys.argv[2], "examples", "studio")
    write = sys.argv[3:] == ["--write"]
    check_the_comparison()
    check_the_rule_of_versions()
    takes = sorted(name for name in os.listdir(os.path.join(studio, "takes")) if name.endswith(".flac"))
    assert len(takes) == 10, f"{len(takes)} example takes"
    flips, faults = [], []
    for take in takes:
        for kind, text in measure(firmus, studio, take).items():
            path = os.path.join(GOLDEN, f"{take[:-5]}.{kind}.csv")
            if write:
                with open(path, "w", encoding="utf-8", newline="") as file:
                    file.write(text)
            elif not os.path.exists(path):
                faults.append(f"{os.path.basename(path)} is missing")
            else:
                rows = note_rows if kind == "notes" else summary_rows
                with open(path, encoding="utf-8", newline="") as file:
                    found = compare(rows(file.read()), rows(text))
                flips += [f"{take}: {line}" for line in found[0]]
                faults += [f"{take}: {line}" for line in found[1]]
    faults += version_faults(firmus, sys.argv[3:] == ["--release"])
    for title, lines in (("other findings (status, verdict, decision)", flips), ("beyond the tolerance, or another word", faults)):
        print(f"{title}: {len(lines)}")
        for line in lines[:40]:
            print("  " + line)
    return 1 if flips or faults else 0


if __name__ == "__main__":
    sys.exit(main())
