"""Sentences on every sheet: what job it is, how the rod was read, where heights start."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from overslab.ground.notes import Assumption
from overslab.ground.units import write_height, write_length
from overslab.handbook.levelling import height_of_instrument
from overslab.job.records import Walk

_RODS = {
    "feet-inches": "Rod read in feet, inches and fractions of an inch",
    "tenths": "Rod read in feet, tenths and hundredths of a foot (not inches)",
    "metric": "Rod read in metres",
}
_LENGTHS = {
    "feet-inches": "lengths on this sheet in feet and inches",
    "tenths": "lengths on this sheet in feet, tenths and hundredths",
    "metric": "lengths on this sheet metric",
}
MADE_UP = "Made-up sample: no real place, people or prices."
SAWING = (
    "Sawing frees silica dust that scars the lungs: water or a shroud with a fine-filter vacuum, a "
    "fitted respirator where the local table asks for one. An engine saw indoors makes carbon "
    "monoxide that open doors do not carry away. Local rules govern."
)
STEEL = (
    "Cut wire and bars spring back and their ends pierce: eye protection, gloves, caps on ends "
    "that stand up. A sheet of wire is carried by two. Local rules govern."
)
STRUCTURE = (
    "Whether the old slab and the ground carry the new weight is for a licensed engineer; "
    "local codes govern and win over this sheet."
)


def convention(walk: Walk) -> str:
    """How the rod was read and in what lengths the sheet speaks."""
    survey, units = walk.job.survey, walk.job.units
    step = write_length(survey.resolution_m, units)
    return (
        f"{_RODS[survey.convention]}, to {step}; {_LENGTHS[units.system]}. "
        "A bigger reading is a lower point."
    )


def datum(walk: Walk) -> str:
    """Where heights are counted from."""
    marks = walk.job.survey.benchmarks
    told = "; ".join(
        f"{mark.name} ({mark.where}) = {write_height(mark.height_m, walk.job.units)}"
        if mark.where
        else f"{mark.name} = {write_height(mark.height_m, walk.job.units)}"
        for mark in marks
    )
    word = "benchmark" if len(marks) == 1 else "benchmarks"
    return f"Heights from {word} {told}."


@dataclass(frozen=True, slots=True)
class LaserSet:
    """The laser as it stood for the first set-up that saw a benchmark."""

    setup: str
    benchmark: str
    where: str
    reading_m: float  # on the benchmark
    beam_m: float  # height of the beam above datum


def laser_as_shot(walk: Walk) -> LaserSet | None:
    """The set-up whose beam the pad readings are given for; None when no set-up saw a benchmark."""
    marks = {mark.name: mark for mark in walk.job.survey.benchmarks}
    for setup in walk.shots.setups:
        if setup.benchmark_reading_m is None:
            continue
        seen = next(
            (
                r.point
                for r in walk.job.survey.readings
                if r.setup == setup.setup and r.point in marks
            ),
            None,
        )
        if seen is None:
            continue
        beam = height_of_instrument(
            benchmark_height_m=marks[seen].height_m, backsight_m=setup.benchmark_reading_m
        )
        return LaserSet(setup.setup, seen, marks[seen].where, setup.benchmark_reading_m, beam)
    return None


def rests_on(walk: Walk, *, room: str) -> tuple[Assumption, ...]:
    """Every assumption made by the job and by the rooms up to and including ``room``."""
    records: dict[str, Iterable[Assumption]] = {
        "job": walk.job.assumptions,
        "shots": walk.shots.assumptions,
        "oldslab": walk.oldslab.assumptions,
        "verdict": walk.verdict.assumptions,
        "newtop": walk.newtop.assumptions,
        "touches": walk.touches.assumptions if walk.touches else (),
        "takeoff": walk.takeoff.assumptions if walk.takeoff else (),
        "order": walk.order.assumptions if walk.order else (),
        "price": walk.price.assumptions if walk.price else (),
    }
    found: list[Assumption] = []
    for name, assumptions in records.items():
        found += [one for one in assumptions if one not in found]
        if name == room:
            break
    return tuple(found)


def assumption_line(walk: Walk, *, room: str) -> str:
    """The stated assumptions a sheet leans on, in one line; empty when there are none."""
    taken = rests_on(walk, room=room)
    if not taken:
        return ""
    told = "; ".join(f"{one.about}: {one.taken}" for one in taken)
    return f"Taken where nothing was given (reasons on the assumptions sheet): {told}."


def counted(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}"
