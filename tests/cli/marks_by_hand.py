"""Marks made from the tables of notes alone, as README tells it: nothing of the program is used."""
import csv
import io
from fractions import Fraction

DEFAULT = {"bands": [(25, 1), (50, 0.5)], "missing": 0, "extra": 0, "other_note": 0}


def exact(text):
    return Fraction(text) if text else Fraction(0)


def rows_of(content):
    return list(csv.DictReader(io.StringIO(content.decode(), newline="")))


def mark_of(rows, rubric=DEFAULT, reference="own"):
    """points, possible, percent (None when nothing is possible), counts by name."""
    written = [row for row in rows if row["index"] and row["status"] in ("sung", "missing") and float(row["written_beats"] or 1) != 0]
    onsets = [float(row["onset_s"]) for row in written if row["status"] == "sung"]
    counts = {"judged": 0, "missing": 0, "other_note": 0, "extra": 0, "beyond": 0, "unclear": 0, "bands": [0] * len(rubric["bands"])}
    for row in written:
        if row["status"] == "missing":
            counts["missing"] += 1
        elif row["verdict"] in ("", "unclear"):
            counts["unclear"] += 1
        else:
            counts["judged"] += 1
            if row["verdict"] == "other_note":
                counts["other_note"] += 1
                continue
            off = abs(exact(row[f"error_{reference}_cents"])) - exact(row["se_cents"])
            for place, (within, _) in enumerate(rubric["bands"]):
                if off <= within:
                    counts["bands"][place] += 1
                    break
            else:
                counts["beyond"] += 1
    for row in rows:
        if row["status"] == "extra" and onsets and min(onsets) < float(row["onset_s"]) < max(onsets):
            counts["extra"] += exact(row["end_s"]) - exact(row["onset_s"]) >= Fraction("0.12")
    points = sum(number * Fraction(str(points)) for number, (_, points) in zip(counts["bands"], rubric["bands"]))
    points += sum(counts[name] * Fraction(str(rubric[name])) for name in ("missing", "extra", "other_note"))
    possible = (counts["judged"] + counts["missing"]) * Fraction(str(rubric["bands"][0][1]))
    percent = None if possible == 0 else max(0.0, min(100.0, float(100 * points / possible)))
    return float(points), float(possible), percent, counts


def most_in_a_row(rows):
    most = run = 0
    for row in rows:
        if not row["index"] or row["status"] not in ("sung", "missing") or float(row["written_beats"] or 1) == 0:
            continue
        if row["verdict"] == "in_tune":
            run += 1
            most = max(most, run)
        elif row["status"] == "missing" or row["verdict"] in ("sharp", "flat", "other_note"):
            run = 0
    return most
