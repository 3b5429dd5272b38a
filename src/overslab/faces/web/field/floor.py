"""What a phone of the crew needs to know of a job: rod, benchmarks, grid, the floor from above.

An allow list: each field is named here, and none of them can hold a price.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import shapely

from overslab.ground.faults import Faulty
from overslab.ground.units import System, Units, read_rod_m
from overslab.job.checking import Checked
from overslab.job.floorplan import Plotter
from overslab.job.jobfile import JobFile
from overslab.job.shotsfile import GRID_KINDS, place_length_m
from overslab.job.taped import Tape
from overslab.job.typed import LABEL, Speech

MOST_GRID_POINTS = 1_500
_MARK_M: dict[System, float] = {"feet-inches": 0.0254 / 16, "tenths": 0.003048, "metric": 0.001}
_LEANS_ON = re.compile(r"shots?\s+(?P<names>.+?)(?:\s+[-+]\s+.+)?", re.IGNORECASE)
# What kind of shot a height in job.toml leans on, by its key; what is not here is floor.
_KIND_OF_KEY = {"sill": "sill", "head": "sill", "tread": "step", "height": "drive"}

Point = tuple[float, float]


@dataclass(frozen=True, slots=True, eq=False)
class Floor:
    """The job file as far as the crew needs it; ``plotter`` is None while it has faults."""

    rod: System
    system: System
    step_m: float
    plotter: Plotter | None
    facts: JobFile | None
    tree: dict[str, Any]
    faults: int


def read_floor(job_toml: str) -> Floor:
    """The floor from ``job.toml``, as much of it as can be read; never raises.

    A job that the office has not finished still takes shots: the phone needs the rod, and the rest
    when it is there.
    """
    try:
        source = Checked(job_toml, file="job.toml")
    except Faulty as trouble:
        count = len(trouble.faults)
        return Floor("feet-inches", "feet-inches", _MARK_M["feet-inches"], None, None, {}, count)
    system, rod = source.system_at("job", "units"), source.system_at("survey", "rod")
    try:
        facts = source.validate(JobFile, speech=Speech(system=system, rod=rod))
    except Faulty as trouble:
        return Floor(rod, system, _MARK_M[rod], None, None, source.data, len(trouble.faults))
    spoken = Units(system=system, mark_m=_MARK_M[system])
    plotter = Plotter(facts, source=source, spoken=spoken)
    return Floor(
        rod, system, facts.survey.resolution.value, plotter, facts, source.data, len(plotter.found)
    )


def drawn(floor: Floor) -> dict[str, Any]:
    """The floor as lines, metres, x to the right and y up."""
    if floor.plotter is None or floor.facts is None:
        return {"outline": [], "holes": [], "breaks": [], "apart": [], "doors": []}
    plotter, facts = floor.plotter, floor.facts
    plan = plotter.plan(openings=(), drains=())
    doors = []
    for at, door in enumerate(facts.doors):
        line = plotter.door(door, at)
        if line is not None:
            doors.append({"name": door.name, "line": _round(line)})
    return {
        "outline": _round(plan.outline),
        "holes": [_round(hole.corners) for hole in plan.holes],
        "breaks": [{"name": one.name, "line": _round(one.line)} for one in plan.breaks],
        "apart": [_round(one.corners) for one in plan.features],
        "doors": doors,
    }


def grid_of(floor: Floor) -> list[dict[str, Any]]:
    """Every point of the taped grid that lies on the floor, in the order A1, A2 ... B1."""
    if floor.plotter is None or floor.plotter.tape is None or len(floor.plotter.outline) < 3:
        return []
    ground = shapely.Polygon(floor.plotter.outline)
    if not ground.is_valid:
        return []
    holes = [hole.corners for hole in floor.plotter.plan(openings=(), drains=()).holes]
    blocked = shapely.union_all([shapely.Polygon(ring) for ring in holes if len(ring) > 2])
    reach = ground.buffer(0.01)  # a point on the outline is on the floor
    tape, found = floor.plotter.tape, []
    for letter, number, at in _tape_points(tape, bounds=ground.bounds):
        spot = shapely.Point(at)
        if reach.covers(spot) and not blocked.contains(spot):
            label = f"{letters(letter)}{number + 1}"
            found.append(
                {
                    "label": label,
                    "letter": letter,
                    "number": number,
                    "x_m": round(at[0], 4),
                    "y_m": round(at[1], 4),
                }
            )
        if len(found) >= MOST_GRID_POINTS:
            break
    return found


def _tape_points(
    tape: Tape, *, bounds: tuple[float, float, float, float]
) -> Iterator[tuple[int, int, Point]]:
    """Labels until the tapes have left the floor's box, or have ended."""
    _, _, east, north = bounds
    for letter in range(200):
        start = _find(tape, letter, 0)
        if start is None or start[0] > east + 0.01 or start[1] > north + 0.01:
            return
        for number in range(200):
            at = _find(tape, letter, number)
            if at is None or at[0] > east + 0.01 or at[1] > north + 0.01:
                break
            yield letter, number, at


def _find(tape: Tape, letter: int, number: int) -> Point | None:
    try:
        return tape.find(f"{letters(letter)}{number + 1}")
    except Faulty:
        return None


def letters(place: int) -> str:
    """A for 0, Z for 25, AA for 26."""
    text = ""
    place += 1
    while place:
        place, rest = divmod(place - 1, 26)
        text = chr(ord("A") + rest) + text
    return text


def benchmarks_of(floor: Floor) -> list[dict[str, Any]]:
    if floor.facts is None:
        return []
    return [
        {"name": one.name, "where": one.where, "height_m": one.height.value}
        for one in floor.facts.survey.benchmarks
    ]


def wanted_of(floor: Floor) -> list[dict[str, str]]:
    """Points that heights in ``job.toml`` lean on: they must be shot, grid or no grid."""
    found: dict[str, dict[str, str]] = {}
    for about, key, text in _leaning(floor.tree, "", ""):
        match = _LEANS_ON.fullmatch(text.strip())
        for name in re.split(r",|\sand\s", match["names"]) if match else ():
            if name.strip():
                kind = _KIND_OF_KEY.get(key, "floor")
                entry = {"point": name.strip()[:40], "kind": kind, "about": about[:80]}
                found.setdefault(name.strip(), entry)
    return list(found.values())[:500]


def _leaning(inside: Any, about: str, key: str) -> Iterator[tuple[str, str, str]]:
    if isinstance(inside, dict):
        name = inside.get("name")
        about = name if isinstance(name, str) else about
        for inner_key, inner in inside.items():
            yield from _leaning(inner, about, inner_key)
    elif isinstance(inside, list):
        for inner in inside:
            yield from _leaning(inner, about, key)
    elif isinstance(inside, str) and inside.lower().startswith("shot"):
        yield about, key, inside


def reading_m(text: str, *, rod: System) -> float | None:
    """The reading, or None when it cannot be read: the phone then shows what was typed."""
    try:
        return round(read_rod_m(text, system=rod), 6)
    except Faulty:
        return None


def place_m(cells: dict[str, str], *, floor: Floor) -> Point | None:
    """Where a shot lies: by x and y, by its grid label, or by its name when that is a label."""
    x, y = cells.get("x", ""), cells.get("y", "")
    try:
        if x and y:
            return (
                round(place_length_m(x, system=floor.system), 4),
                round(place_length_m(y, system=floor.system), 4),
            )
        label = cells.get("grid", "")
        named = LABEL.fullmatch(cells.get("point", "")) and cells.get("kind") in GRID_KINDS
        label = label or (cells["point"] if named else "")
        tape = floor.plotter.tape if floor.plotter else None
        if not label or tape is None:
            return None
        at = tape.find(label)
        return round(at[0], 4), round(at[1], 4)
    except Faulty:
        return None


def _round(points: Any) -> list[list[float]]:
    return [[round(x, 4), round(y, 4)] for x, y in points]
