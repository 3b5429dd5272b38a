"""Reads a job, walks it, and prints the answer."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

import typer

from overslab.faces.cli.outcome import ExitCode, print_json, say
from overslab.faces.cli.progress import progress
from overslab.job import as_json as plain
from overslab.job import copy_job, read_job, sample_folder, start_job, walk, wishes_for
from overslab.job.records import Job, Walk
from overslab.job.steps import STEPS
from overslab.newtop.records import NewTop
from overslab.oldslab.records import OldSlab
from overslab.order.records import Order
from overslab.shots.records import Heights
from overslab.takeoff.records import Takeoff


class Rooms(NamedTuple):
    """What the rooms gave so far; None where the walk has not come, or could not."""

    shots: Heights | None = None
    oldslab: OldSlab | None = None
    newtop: NewTop | None = None
    takeoff: Takeoff | None = None
    order: Order | None = None


def walk_to(job: Job, *, last: str, tell: Callable[[str], None]) -> tuple[Job, Rooms]:
    """The rooms up to and including ``last``; fewer when no top can meet the wishes."""
    names = [step.room for step in STEPS]
    wanted = names[: names.index(last) + 1]
    questions = {step.room: f"{step.room}: {step.question}" for step in STEPS}

    from overslab.shots import reduce

    tell(questions["shots"])
    heights = reduce(job.survey)
    wishes, assumed = wishes_for(job, heights)
    job = replace(job, assumptions=(*job.assumptions, *assumed))
    rooms = Rooms(shots=heights)
    if "oldslab" in wanted:
        from overslab.oldslab import shape

        tell(questions["oldslab"])
        rooms = rooms._replace(oldslab=shape(job.plan, heights))
    if "newtop" in wanted and rooms.oldslab is not None:
        from overslab.newtop import design

        tell(questions["newtop"])
        rooms = rooms._replace(newtop=design(rooms.oldslab, wishes))
    if (
        "takeoff" in wanted
        and rooms.oldslab is not None
        and rooms.newtop is not None
        and rooms.newtop.chosen is not None
    ):
        from overslab.takeoff import measure

        tell(questions["takeoff"])
        rooms = rooms._replace(takeoff=measure(rooms.oldslab, rooms.newtop))
    if "order" in wanted and rooms.takeoff is not None:
        from overslab.order import order

        tell(questions["order"])
        rooms = rooms._replace(order=order(rooms.takeoff, job.plant, job.mix))
    return job, rooms


def answer_of(room: str, *, folder: Path, as_json: bool) -> None:
    """Run the rooms up to ``room`` and print what it answers."""
    from overslab.faces.cli.answers import answer

    with progress() as tell:
        job, rooms = walk_to(read_job(folder), last=room, tell=tell)
    if as_json:
        names = [step.room for step in STEPS]
        reached = names[: names.index(room) + 1]
        print_json({name: plain(getattr(rooms, name)) for name in reached})
    else:
        say(answer(room, job, rooms))
    _end(rooms.newtop)


def whole_walk(folder: Path, *, out: Path | None, paper: bool, as_json: bool) -> None:
    """Every room, the packet, and the summary."""
    from overslab.faces.cli.answers import summary

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
        say(summary(walked, rooms_of(walked)))
        if files:
            say(f"\nThe packet is {files[0]}; each of its sheets lies beside it as PDF and SVG.")
    _end(walked.newtop)


def rooms_of(walked: Walk) -> Rooms:
    return Rooms(walked.shots, walked.oldslab, walked.newtop, walked.takeoff, walked.order)


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
