"""Job folders that we ship: the starter and the samples; and how they are put down."""

from __future__ import annotations

from pathlib import Path

from overslab.ground.faults import Faulty
from overslab.job import faults

_HERE = Path(__file__).parent
FILES = ("job.toml", "shots.csv", "rates.toml")


def sample_names() -> tuple[str, ...]:
    """Names of the sample jobs, all of our own invention."""
    return tuple(sorted(path.parent.name for path in (_HERE / "samples").glob("*/job.toml")))


def sample_folder(name: str) -> Path:
    """The folder of a sample job; to be read, not written into."""
    known = sample_names()
    if name not in known:
        raise Faulty(faults.SAMPLE_UNKNOWN.met(value=name, known=", ".join(known)))
    return _HERE / "samples" / name


def start_job(folder: Path) -> tuple[Path, ...]:
    """Write a commented starter job into ``folder``; gives the paths written."""
    return copy_job(starter_folder(), folder)


def starter_folder() -> Path:
    """The folder of the starter job; to be read, not written into."""
    return _HERE / "starter"


def copy_job(source: Path, folder: Path) -> tuple[Path, ...]:
    """Copy the files of a job. Writes nothing at all when one of them is already there."""
    folder = Path(folder)
    if folder.exists() and not folder.is_dir():
        raise Faulty(faults.WOULD_OVERWRITE.met(value=folder, place=str(folder)))
    targets = [folder / file for file in FILES]
    there = [path.name for path in targets if path.exists() or path.is_symlink()]
    if there:
        raise Faulty(faults.WOULD_OVERWRITE.met(value=", ".join(there), place=str(folder)))
    written: list[Path] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for path in targets:
            # "x": should a file have come in between, it is still not written over.
            with path.open("xb") as file:
                written.append(path)
                file.write((source / path.name).read_bytes())
    except OSError as trouble:
        for path in written:
            path.unlink(missing_ok=True)
        why = trouble.strerror or "unknown"
        raise Faulty(faults.CANNOT_WRITE.met(value=folder, place=str(folder), why=why)) from None
    return tuple(written)
