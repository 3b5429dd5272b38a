"""Reads a job, walks it, and prints the answer."""

from __future__ import annotations

from pathlib import Path

import typer

from overslab.faces.cli.answers import answer, summary
from overslab.faces.cli.outcome import ExitCode, print_json, say
from overslab.faces.cli.progress import progress
from overslab.job import as_json as plain
from overslab.job import copy_job, read_job, sample_folder, start_job, walk, walk_to
from overslab.job.repricing import with_each_wish
from overslab.job.steps import STEPS
from overslab.newtop.records import NewTop


def answer_of(room: str, *, folder: Path, as_json: bool, each_wish: bool = False) -> None:
    """Run the rooms up to ``room`` and print what it answers."""
    with progress() as tell:
        rooms = walk_to(read_job(folder), last=room, tell=tell)
        if each_wish:
            tell("price: designing again for each wish")
            rooms = with_each_wish(rooms)
    if as_json:
        names = [step.room for step in STEPS]
        reached = names[: names.index(room) + 1]
        print_json({name: plain(getattr(rooms, name)) for name in reached})
    else:
        say(answer(room, rooms))
    _end(rooms.newtop)


def whole_walk(folder: Path, *, out: Path | None, paper: bool, as_json: bool) -> None:
    """Every room, the packet, and the summary."""
    with progress() as tell:
        walked = walk(read_job(folder), tell=tell)
        files: tuple[Path, ...] = ()
        if paper:
            from overslab.faces.documents import write_packet

            tell("paper: drawing the sheets")
            files = write_packet(walked, out if out is not None else folder / "packet")
    if as_json:
        told = plain(walked)
        told["packet"] = [str(file) for file in files]
        print_json(told)
    else:
        say(summary(walked))
        if files:
            say(
                f"\nThe packet is {files[0]}: for the office, with its prices. What hangs on the "
                "wall is crew.pdf beside it; each sheet lies there alone as PDF and SVG."
            )
    _end(walked.newtop)


def walk_sample(name: str, *, out: Path | None, as_json: bool) -> None:
    """Put a sample job down, unless it lies there unchanged already, and walk it."""
    source = sample_folder(name)
    folder = out if out is not None else Path("demo") / name
    if not _is_that_sample(folder, source):
        copy_job(source, folder)
    if not as_json:
        say(f"The sample job lies in {folder}: open its job.toml, it is all explained there.\n")
    whole_walk(folder, out=None, paper=True, as_json=as_json)


def _is_that_sample(folder: Path, source: Path) -> bool:
    """Ours to leave as it is: every file of the job is there and no one has changed a byte."""
    try:
        return all(
            (folder / file.name).read_bytes() == file.read_bytes() for file in source.iterdir()
        )
    except OSError:
        return False


def begin(folder: Path, *, as_json: bool) -> None:
    """Write the starter job."""
    files = start_job(folder)
    if as_json:
        print_json({"new": {"files": [str(file) for file in files]}})
        return
    say("\n".join(["Written:", *(f"  {file}" for file in files)]))
    say(f"\nFill them in (every line is explained), then: overslab plan {folder}")


def _end(newtop: NewTop | None) -> None:
    if newtop is not None and newtop.chosen is None:
        raise typer.Exit(ExitCode.NO_TOP)
