"""What the tests of `firmus grade` share: folders of takes, and folders of results compared byte for byte."""
import pathlib

from program import NOTES, samples_of, write_wav

ROSTER = "name,student\nAna A.,ana\nBen B.,ben\nCleo C.,cleo\nDan D.,dan\n"


def make_class(folder, takes):
    """`takes`: name -> cents for samples_of, or ready samples."""
    folder = pathlib.Path(folder)
    folder.mkdir(exist_ok=True)
    for name, cents in takes.items():
        write_wav(folder / name, cents if hasattr(cents, "tobytes") else samples_of(NOTES, cents=cents, beat_s=0.3))
    (folder.parent / "class.csv").write_text(ROSTER)


def tree(folder):
    """Every file's bytes by its path; locks are gone when nothing runs."""
    folder = pathlib.Path(folder)
    return {str(path.relative_to(folder)): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()}


def different(one, two):
    """Names of files that differ between two trees."""
    return sorted(name for name in one.keys() | two.keys() if one.get(name) != two.get(name))


def stamps(folder, ending):
    return {path.name: path.stat().st_mtime_ns for path in (pathlib.Path(folder) / "results").glob("*" + ending)}
