"""A singer who is flat on the notes after a rising major sixth, week by week, measured by `check`."""
import pathlib

from program import run, samples_of, write_wav

SIXTHS = "C4 A4 G4 F4 | E4 C5 B4 A4 | F4 D5 C5 A4 | D4 B4 A4 G4 | E4 C5 G4 E4 | C4 A4 F4 D4 | C4:4"
KEYS = [(60, 1), (69, 1), (67, 1), (65, 1), (64, 1), (72, 1), (71, 1), (69, 1), (65, 1), (74, 1), (72, 1), (69, 1), (62, 1),
        (71, 1), (69, 1), (67, 1), (64, 1), (72, 1), (67, 1), (64, 1), (60, 1), (69, 1), (65, 1), (62, 1), (60, 4)]
AFTER_SIXTH = {1, 9, 13, 21}  # C4 A4, F4 D5, D4 B4, C4 A4: major sixths


def measure_weeks(dates, sixth_cents, headers=""):
    """A take of ana for each date, into term/weekN."""
    pathlib.Path("sixths.melody").write_text("key: C major\nmeter: 4/4\n" + headers + "\n" + SIXTHS + "\n")
    for week, date in enumerate(dates):
        unsteady = [6 * ((note * 5 + week * 3) % 7 - 3) / 3 for note in range(len(KEYS))]
        cents = [(sixth_cents if note in AFTER_SIXTH else 0) + off for note, off in enumerate(unsteady)]
        write_wav("ana.wav", samples_of(KEYS, cents, beat_s=0.3))
        status, _, err = run("check", "ana.wav", "--melody", "sixths.melody", "--student", "ana", "--date", date, "--out",
                             f"term/week{week}", "--quiet")
        assert status == 0, err
