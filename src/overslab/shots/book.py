"""The field book looked through: every fault told at once, then names turned into arrays."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import hypot, isfinite
from typing import get_args

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from overslab.ground.faults import Fault, Faulty
from overslab.ground.notes import Assumption
from overslab.ground.units import SYSTEMS
from overslab.handbook.instrument import reading_deviation, rounding_deviation
from overslab.shots import faults
from overslab.shots.records import FLOOR_KINDS, Kind, Reading, Survey
from overslab.shots.wording import Wording, listed

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

# Kinds that say what a point is; check and turn only say why it was shot.
_LASTING = ("floor", "sill", "step", "drive", "asbuilt")
_Key = tuple[str, bool]  # name, and whether it is the new top: C4 before and after are two points


@dataclass(frozen=True, slots=True)
class Spot:
    """One point of the survey before its height is known."""

    name: str
    kind: Kind
    x_m: float | None
    y_m: float | None
    known_m: float | None  # the given height of a benchmark


@dataclass(frozen=True, slots=True, eq=False)
class Book:
    """A sound survey as arrays: reading i is of ``point_of[i]`` from ``setup_of[i]``."""

    survey: Survey
    readings: tuple[Reading, ...]
    spots: tuple[Spot, ...]
    setups: tuple[str, ...]
    point_of: Ints
    setup_of: Ints
    reading_m: Floats
    deviation_m: Floats
    known_m: Floats  # per point, nan where the height is asked for
    longest_sight_m: float
    assumptions: tuple[Assumption, ...]

    def resplit(self, setup_of: Ints, setups: tuple[str, ...]) -> Book:
        """The same readings under other set-ups."""
        return replace(self, setup_of=setup_of, setups=setups)


def open_book(survey: Survey) -> Book:
    """Look the survey through and index it. Raises ``Faulty`` with every fault found."""
    if survey.convention not in SYSTEMS:
        raise Faulty(faults.CONVENTION.met(value=survey.convention))  # nothing else can be worded
    found = [*_instrument_faults(survey), *_benchmark_faults(survey), *_reading_faults(survey)]
    spots, keys, point_faults = _spots(survey)
    found += point_faults
    if len(spots) > faults.MOST_POINTS:
        found.append(faults.TOO_MANY.met(value=len(spots), what="points", most=faults.MOST_POINTS))
    setups = tuple(dict.fromkeys(reading.setup for reading in survey.readings))
    if len(setups) > faults.MOST_SETUPS:
        found.append(
            faults.TOO_MANY.met(value=len(setups), what="set-ups", most=faults.MOST_SETUPS)
        )
    setup_place = {name: place for place, name in enumerate(setups)}
    point_of = np.array([keys[_key(r)] for r in survey.readings], dtype=np.int64)
    setup_of = np.array([setup_place[r.setup] for r in survey.readings], dtype=np.int64)
    known_m = np.array([np.nan if s.known_m is None else s.known_m for s in spots])
    found += _tie_faults(survey, setups, point_of, setup_of, known_m)
    if found:
        raise Faulty(found)
    distance_m, assumptions = _sights(survey, spots, setups, point_of, setup_of)
    rounding_m = rounding_deviation(step_m=survey.resolution_m)
    deviation_m = np.array(
        [
            reading_deviation(
                rounding_m=rounding_m,
                rod_deviation_m=survey.rod_deviation_m,
                laser_slope=survey.laser_slope,
                distance_m=float(distance),
            )
            for distance in distance_m
        ]
    )
    return Book(
        survey=survey,
        readings=survey.readings,
        spots=spots,
        setups=setups,
        point_of=point_of,
        setup_of=setup_of,
        reading_m=np.array([r.reading_m for r in survey.readings]),
        deviation_m=deviation_m,
        known_m=known_m,
        longest_sight_m=float(distance_m.max()),
        assumptions=assumptions,
    )


def _key(reading: Reading) -> _Key:
    return reading.point, reading.kind == "asbuilt"


def _at(reading: Reading) -> str:
    return f"shots.csv line {reading.line}"


def _within(most_m: float, *values_m: float) -> bool:
    return all(isfinite(value) and abs(value) <= most_m for value in values_m)


def _instrument_faults(survey: Survey) -> Iterator[Fault]:
    def bad(what: str, value: float, allowed: str) -> Fault:
        return faults.ROD.met(value=f"{value:g}", what=what, allowed=allowed)

    if not faults.FINEST_STEP_M <= survey.resolution_m <= faults.COARSEST_M:
        yield bad("smallest step read on the rod", survey.resolution_m, "0.01 mm to 1 m")
    if not 0 <= survey.rod_deviation_m <= faults.COARSEST_M:
        yield bad("deviation of a rod reading", survey.rod_deviation_m, "zero to 1 m")
    if not 0 <= survey.laser_slope <= faults.STEEPEST_BEAM:
        yield bad("slope deviation of the laser", survey.laser_slope, "zero to 10 mm per metre")
    limits = (
        ("misclosure allowed per set-up", survey.allowed_per_setup_m),
        ("tilt allowed in the two-stand check", survey.allowed_beam_slope),
    )
    for what, limit in limits:
        if limit is not None and not (isfinite(limit) and limit > 0):
            yield bad(what, limit, "above zero, or left out")
    for stand in survey.stands:
        if not _within(faults.FARTHEST_M, stand.x_m, stand.y_m):
            yield faults.PLACE_NOT_FINITE.met(
                value=f"x {stand.x_m:g}, y {stand.y_m:g}", point=f"the laser in {stand.setup}"
            )
    for setup, times in Counter(stand.setup for stand in survey.stands).items():
        if times > 1:
            yield faults.STAND_TWICE.met(value=f"{times} places", setup=setup)
    check = survey.two_stand
    if check is not None:
        numbers = (check.middle_a_m, check.middle_b_m, check.near_a_m, check.near_b_m)
        sights = (check.distance_to_a_m, check.distance_to_b_m)
        sound = (
            _within(faults.LONGEST_ROD_M, *numbers)
            and _within(faults.FARTHEST_M, *sights)
            and min(sights) >= 0
        )
        if not sound or sights[0] == sights[1]:
            yield faults.TWO_STAND_DISTANCES.met(
                value=f"sights {sights[0]:g} m and {sights[1]:g} m, "
                f"readings {', '.join(f'{n:g}' for n in numbers)} m"
            )


def _benchmark_faults(survey: Survey) -> Iterator[Fault]:
    if not survey.benchmarks:
        yield faults.NO_BENCHMARK.met(value="none")
    for name, times in Counter(mark.name for mark in survey.benchmarks).items():
        if times > 1:
            heights = ", ".join(f"{m.height_m:g} m" for m in survey.benchmarks if m.name == name)
            yield faults.BENCHMARK_TWICE.met(value=heights, point=name)
    for mark in survey.benchmarks:
        if not _within(faults.FARTHEST_M, mark.height_m):
            yield faults.BENCHMARK_NOT_FINITE.met(value=mark.height_m, point=mark.name)
    names = [mark.name for mark in survey.benchmarks]
    read = {reading.point for reading in survey.readings}
    if survey.readings and names and not read.intersection(names):
        yield faults.BENCHMARK_NOT_READ.met(
            value=f"points read: {listed(sorted(read))}", names=listed(names)
        )


def _reading_faults(survey: Survey) -> Iterator[Fault]:
    if not survey.readings:
        yield faults.NO_READINGS.met(value="no lines")
        return
    known = {mark.name for mark in survey.benchmarks}
    for reading in survey.readings:
        where = _at(reading)
        if not _within(faults.LONGEST_ROD_M, reading.reading_m):
            yield faults.READING_NOT_FINITE.met(
                value=reading.typed or reading.reading_m, place=where, point=reading.point
            )
        for missing, name in (("point", reading.point), ("set-up", reading.setup)):
            if not name.strip():
                yield faults.NO_NAME.met(value="blank", place=where, missing=missing)
        if reading.kind not in get_args(Kind):
            yield faults.KIND_UNKNOWN.met(value=reading.kind, place=where, point=reading.point)
        if known and reading.kind == "benchmark" and reading.point not in known:
            yield faults.BENCHMARK_UNKNOWN.met(
                value=reading.point,
                place=where,
                point=reading.point,
                names=listed(sorted(known)),
            )
    if not any(reading.kind in FLOOR_KINDS for reading in survey.readings):
        kinds = sorted({reading.kind for reading in survey.readings})
        yield faults.NO_FLOOR.met(value=f"kinds shot: {listed(kinds)}")


def _spots(survey: Survey) -> tuple[tuple[Spot, ...], dict[_Key, int], list[Fault]]:
    """One spot per name, in the order of the book."""
    heights = {mark.name: mark.height_m for mark in reversed(survey.benchmarks)}
    words = Wording(survey.convention)
    shot: dict[_Key, list[Reading]] = {}
    for reading in survey.readings:
        shot.setdefault(_key(reading), []).append(reading)
    spots: list[Spot] = []
    found: list[Fault] = []
    for (name, _), group in shot.items():
        kind = _kind_of(name, group, name in heights, found)
        x_m, y_m = _place_of(name, group, words, found)
        unplaced = all(reading.x_m is None and reading.y_m is None for reading in group)
        if unplaced and kind in _LASTING:
            found.append(
                faults.NO_PLACE.met(value="no x, y", place=_at(group[0]), point=name, kind=kind)
            )
        spots.append(Spot(name=name, kind=kind, x_m=x_m, y_m=y_m, known_m=heights.get(name)))
    return tuple(spots), {key: place for place, key in enumerate(shot)}, found


def _kind_of(name: str, group: list[Reading], is_benchmark: bool, found: list[Fault]) -> Kind:
    kinds: dict[Kind, Reading] = {}
    for reading in group:
        kinds.setdefault(reading.kind, reading)
    claims: list[Kind] = ["benchmark"] if is_benchmark else []
    claims += [kind for kind in kinds if kind in _LASTING]
    if len(claims) > 1:
        found.append(
            faults.TWO_KINDS.met(
                value=listed(claims),
                place=_at(kinds[claims[1]]),
                point=name,
                first=claims[0],
                second=claims[1],
            )
        )
    if claims:
        return claims[0]
    return "turn" if "turn" in kinds else group[0].kind


def _place_of(
    name: str, group: list[Reading], words: Wording, found: list[Fault]
) -> tuple[float | None, float | None]:
    first: tuple[float, float] | None = None
    for reading in group:
        x_m, y_m = reading.x_m, reading.y_m
        if x_m is None and y_m is None:
            continue
        if x_m is None or y_m is None or not _within(faults.FARTHEST_M, x_m, y_m):
            found.append(
                faults.PLACE_NOT_FINITE.met(
                    value=f"x {x_m}, y {y_m}", place=_at(reading), point=f"point {name}"
                )
            )
        elif first is None:
            first = x_m, y_m
        elif hypot(x_m - first[0], y_m - first[1]) > faults.SAME_PLACE_M:
            found.append(
                faults.TWO_PLACES.met(
                    value=words.place(x_m, y_m),
                    place=_at(reading),
                    point=name,
                    first=words.place(*first),
                )
            )
    return first if first is not None else (None, None)


def _tie_faults(
    survey: Survey, setups: tuple[str, ...], point_of: Ints, setup_of: Ints, known_m: Floats
) -> Iterator[Fault]:
    """Set-ups that hang together with no benchmark, each named."""
    if not survey.readings or not np.isfinite(known_m).any():
        return
    # Benchmarks share the node 0: their heights are all known.
    nodes = np.where(np.isfinite(known_m), 0, np.arange(1, known_m.size + 1))
    first_setup = known_m.size + 1
    size = first_setup + len(setups)
    pairs = (setup_of + first_setup, nodes[point_of])
    links = coo_array((np.ones(point_of.size), pairs), shape=(size, size))
    _, group = connected_components(links, directed=False)
    for place, setup in enumerate(setups):
        if group[first_setup + place] != group[0]:
            points = dict.fromkeys(r.point for r in survey.readings if r.setup == setup)
            yield faults.SETUP_NOT_TIED.met(value=f"shot {listed(list(points))}", setup=setup)


def _sights(
    survey: Survey,
    spots: tuple[Spot, ...],
    setups: tuple[str, ...],
    point_of: Ints,
    setup_of: Ints,
) -> tuple[Floats, tuple[Assumption, ...]]:
    """Length of every sight; where a place was not written down, what was taken for it."""
    xy_m = np.array(
        [(np.nan, np.nan) if s.x_m is None else (s.x_m, s.y_m) for s in spots], dtype=np.float64
    )
    placed = np.isfinite(xy_m[:, 0])
    across_m = float(np.hypot(*np.ptp(xy_m[placed], axis=0)))
    stands = {stand.setup: (stand.x_m, stand.y_m) for stand in survey.stands}
    distance_m = np.full(point_of.size, across_m / 2)
    assumptions: list[Assumption] = []
    no_stand: list[str] = []
    for place, setup in enumerate(setups):
        mine = np.flatnonzero(setup_of == place)
        seen = mine[placed[point_of[mine]]]
        if setup in stands:
            stand = np.array(stands[setup])
        elif seen.size:
            stand = xy_m[np.unique(point_of[seen])].mean(axis=0)
            no_stand.append(setup)
        else:
            no_stand.append(setup)
            continue
        if seen.size:
            distance_m[seen] = np.hypot(*(xy_m[point_of[seen]] - stand).T)
            # A benchmark off the plan is taken as far away as the farthest shot, to be safe.
            distance_m[np.setdiff1d(mine, seen)] = distance_m[seen].max()
    if survey.laser_slope > 0:
        if no_stand:
            assumptions.append(
                Assumption(
                    about=f"place of the laser, set-up {listed(no_stand)}",
                    taken="the middle of the points shot from it",
                    because="it was not written down; it only sets how far each sight is weighed",
                )
            )
        unplaced = [s.name for s, has in zip(spots, placed, strict=True) if not has]
        if unplaced:
            assumptions.append(
                Assumption(
                    about=f"sight to {listed(unplaced)}",
                    taken="as long as the longest other sight of the set-up",
                    because="the point has no place on the plan",
                )
            )
    return distance_m, tuple(assumptions)
