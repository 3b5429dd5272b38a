"""Every number's working of a walk, and how it is written: for the sheet and for the page."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from overslab.faces.documents.words import laser_as_shot
from overslab.ground.units import write_by_suffix
from overslab.ground.units.systems import MARKS
from overslab.handbook.levelling import height_of_instrument
from overslab.handbook.marking import grade_rod
from overslab.handbook.working import Working, show
from overslab.job.records import Job, Walk

_PRINTED = (("sqrt(", "√("), ("^2", "²"), ("^3", "³"), (" * ", "·"), (" - ", " − "))


def all_workings(walk: Walk) -> list[tuple[str, str, tuple[Working, ...]]]:
    """Title, room and workings, in the order of work."""
    return [
        ("Shots", "shots", walk.shots.workings),
        ("Old slab", "oldslab", walk.oldslab.workings),
        ("Verdict", "verdict", walk.verdict.workings),
        ("New top", "newtop", walk.newtop.workings),
        ("Pad marks", "pads", _pad_workings(walk)),
        ("Touches", "touches", walk.touches.workings if walk.touches else ()),
        ("Takeoff", "takeoff", walk.takeoff.workings if walk.takeoff else ()),
        ("Order", "order", walk.order.workings if walk.order else ()),
        ("Price", "price", walk.price.workings if walk.price else ()),
    ]


def _pad_workings(walk: Walk) -> tuple[Working, ...]:
    """The beam, and the first pad; every other pad is worked alike."""
    laser, top = laser_as_shot(walk), walk.newtop.top
    if laser is None or top is None or not top.pads:
        return ()
    bench = next(m for m in walk.job.survey.benchmarks if m.name == laser.benchmark)
    _, beam = show(
        height_of_instrument,
        about=f"beam of set-up {laser.setup}",
        benchmark_height_m=bench.height_m,
        backsight_m=laser.reading_m,
    )
    pad = top.pads[0]
    _, rod = show(
        grade_rod,
        about=f"rod reading on pad {pad.name}, and so for every pad",
        instrument_m=laser.beam_m,
        finished_height_m=pad.height_m,
    )
    return (beam, rod)


def fine(job: Job, name: str, value: Any) -> str:
    """A number in the job's units; what is too small for the job's mark is written finer."""
    units, currency = job.units, job.plant.currency
    told = write_by_suffix(name, value, units, currency=currency)
    if not isinstance(value, float) or not value or told != write_by_suffix(name, 0.0, units):
        return told
    finest = replace(units, mark_m=float(MARKS[units.system][-1]))
    finer = write_by_suffix(name, value, finest)
    return told if finer == write_by_suffix(name, 0.0, finest) else finer


def typeset(equation: str) -> str:
    """Plain typing turned into the signs of print."""
    for typed, printed in _PRINTED:
        equation = equation.replace(typed, printed)
    return equation


def filled(job: Job, working: Working) -> str:
    """The equation with this job's numbers, in its own units."""
    return typeset(working.filled(lambda name, value: fine(job, name, value)))


def known_words(working: Working) -> str:
    """How the formula is known."""
    return {
        "read": "read in print",
        "memory": "from memory",
        "common practice": "common practice",
        "derived": "derived here",
    }[working.known]
