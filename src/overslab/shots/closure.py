"""Misclosures: what loops, second benchmarks and check shots find, beside what is allowed."""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass
from math import sqrt

import numpy as np

from overslab.ground.estimate import NORMAL_95
from overslab.ground.notes import Assumption, Remark
from overslab.ground.units.factors import INCH_M
from overslab.handbook.checks import Check
from overslab.handbook.instrument import beam_slope_from_error, two_stand_slope
from overslab.handbook.levelling import allowable_by_setups
from overslab.handbook.working import Working, show
from overslab.shots.book import Book
from overslab.shots.wording import listed

# Benchmark shot again within 1/16 in: common practice of small crews. A coarser rod cannot show it,
# nor can readings whose own error is bigger: then the limit is what they can hold.
PRACTICE_M = float(INCH_M / 16)
PRACTICE = (
    "common practice: a benchmark shot again comes back within 1/16 in; never less than one step of"
    " the rod, nor than two readings differ by themselves in 95 of 100"
)
OWN_LIMIT = "the owner's own limit"
# Two-stand check: what one rotary laser's manual prints, ±2.0 mm at 30 m.
BEAM_ERROR_M, BEAM_DISTANCE_M = 0.002, 30.0
BEAM = "a rotary laser's manual: ±2.0 mm at 30 m"
# Common practice: the benchmark is shot again about every 20 shots and at the end.
SHOTS_BETWEEN_CHECKS = 20


_MARKS = ("benchmark", "check", "turn")


@dataclass(frozen=True, slots=True)
class Closures:
    checks: tuple[Check, ...]
    remarks: tuple[Remark, ...]
    assumptions: tuple[Assumption, ...]
    workings: tuple[Working, ...]


@dataclass(frozen=True, slots=True)
class _Edge:
    """One tie: the mean reading of one point from one set-up."""

    setup: int
    node: int  # 0 is the datum that all benchmarks share; else 1 + point
    point: int
    level_m: float  # reading, plus the given height on a benchmark
    readings: int


def close(book: Book) -> Closures:
    """Check shots, ties and loops, each against e·√n over the n set-ups it runs through."""
    survey = book.survey
    own = survey.allowed_per_setup_m
    candidates = {
        "1/16 in": PRACTICE_M,
        "one step of the rod": survey.resolution_m,
        "what two readings differ by in 95 of 100": NORMAL_95
        * sqrt(2.0)
        * float(np.median(book.deviation_m)),
    }
    taken = max(candidates, key=lambda words: candidates[words])
    per_setup_m = candidates[taken] if own is None else own
    source = PRACTICE if own is None else OWN_LIMIT
    assumptions: tuple[Assumption, ...] = ()
    if own is None:
        assumptions = (Assumption("misclosure allowed per set-up", taken, PRACTICE),)
    loops, working, hanging = _loops(book, per_setup_m, source)
    checks = (*_check_shots(book, per_setup_m, source), *loops)
    return Closures(
        checks=checks,
        remarks=(*_failed(checks), *hanging, *_asked_checks(book)),
        assumptions=assumptions,
        workings=(working,),
    )


def _failed(checks: tuple[Check, ...]) -> list[Remark]:
    bad = [check.name for check in checks if not check.passes]
    if not bad:
        return []
    return [
        Remark(
            "ask",
            f"More than allowed: {listed(bad)}. Is a reading or a given height wrong, or did the"
            " laser move? The heights lie between the two answers until it is put right.",
        )
    ]


def _check_shots(book: Book, per_setup_m: float, source: str) -> list[Check]:
    """Spread of the readings on a mark shot again, the worst of each set-up; floor if no mark."""
    checks = []
    for setup, name in enumerate(book.setups):
        worst: tuple[bool, float, int, int] | None = None
        mine = np.flatnonzero(book.setup_of == setup)
        order = mine[np.argsort(book.point_of[mine], kind="stable")]
        for again in np.split(order, np.flatnonzero(np.diff(book.point_of[order])) + 1):
            if again.size > 1:
                point = int(book.point_of[again[0]])
                is_mark = book.spots[point].kind in _MARKS
                spread = float(np.ptp(book.reading_m[again]))
                if worst is None or (is_mark, spread) > worst[:2]:
                    worst = is_mark, spread, point, again.size
        if worst is not None:
            _, spread, point, times = worst
            checks.append(
                Check(
                    name=f"set-up {name}: {book.spots[point].name} shot {times} times",
                    quantity="misclosure_m",
                    found=spread,
                    comparison="at most",
                    allowed=allowable_by_setups(per_setup_m=per_setup_m, setups=1),
                    source=source,
                    slack=1e-9,
                    where=book.spots[point].name,
                )
            )
    return checks


def _edges(book: Book) -> list[_Edge]:
    """Ties by set-up and point; side shots, which close nothing, are left out."""
    points = len(book.spots)
    pair = book.setup_of * points + book.point_of
    pairs, owner, times = np.unique(pair, return_inverse=True, return_counts=True)
    mean = np.bincount(owner, book.reading_m) / times
    seen_from = np.bincount(pairs % points, minlength=points)
    edges = []
    for place, key in enumerate(pairs):
        setup, point = divmod(int(key), points)
        known = book.known_m[point]
        given = bool(np.isfinite(known))
        if given or seen_from[point] > 1:
            level = float(mean[place]) + (float(known) if given else 0.0)
            node = 0 if given else 1 + point
            edges.append(_Edge(setup, node, point, level, int(times[place])))
    return edges


def _loops(
    book: Book, per_setup_m: float, source: str
) -> tuple[list[Check], Working, list[Remark]]:
    """Walk the ties out from the datum; every tie left over closes a loop."""
    edges = _edges(book)
    by_setup: dict[int, list[_Edge]] = {}
    by_node: dict[int, list[_Edge]] = {}
    for edge in edges:
        by_setup.setdefault(edge.setup, []).append(edge)
        by_node.setdefault(edge.node, []).append(edge)
    height = {0: 0.0}
    instrument: dict[int, float] = {}
    came_by: dict[int, _Edge] = {}  # set-up -> the tie it was reached by
    reached_from: dict[int, _Edge] = {}  # node -> the tie it was reached by
    queue = deque([0])
    tree: set[_Edge] = set()
    while queue:
        node = queue.popleft()
        for tie in by_node.get(node, []):
            if tie.setup in instrument:
                continue
            instrument[tie.setup] = height[node] + tie.level_m
            came_by[tie.setup] = tie
            tree.add(tie)
            for onward in by_setup[tie.setup]:
                if onward.node not in height:
                    height[onward.node] = instrument[tie.setup] - onward.level_m
                    reached_from[onward.node] = onward
                    tree.add(onward)
                    queue.append(onward.node)

    def road(node: int) -> list[tuple[str, int]]:
        """Everything passed from a node back to the datum."""
        way = [("node", node)]
        while node != 0:
            setup = reached_from[node].setup
            node = came_by[setup].node
            way += [("set-up", setup), ("node", node)]
        return way

    worst: dict[frozenset[int], tuple[float, _Edge]] = {}
    in_loop: set[int] = set()
    for edge in edges:
        if edge in tree:
            continue
        found = abs(instrument[edge.setup] - edge.level_m - height[edge.node])
        there = [("set-up", edge.setup), *road(came_by[edge.setup].node)]
        back = road(edge.node)
        meet = next(stop for stop in there if stop in back)
        run = frozenset(place for sort, place in {*there} ^ {*back} | {meet} if sort == "set-up")
        in_loop |= run
        if run not in worst or found > worst[run][0]:
            worst[run] = found, edge
    checks: list[Check] = []
    for run, (found, edge) in worst.items():
        names = list(dict.fromkeys(book.setups[setup] for setup in sorted(run)))
        checks.append(
            Check(
                name=f"set-up {listed(names)}: closes on {book.spots[edge.point].name}",
                quantity="misclosure_m",
                found=found,
                comparison="at most",
                allowed=allowable_by_setups(per_setup_m=per_setup_m, setups=len(run)),
                source=source,
                slack=1e-9,
                where=book.spots[edge.point].name,
            )
        )
    most = max((len(run) for run in worst), default=1)
    _, working = show(
        allowable_by_setups,
        about=f"misclosure allowed over {most} set-up{'s' if most > 1 else ''}",
        per_setup_m=per_setup_m,
        setups=most,
    )
    hanging = [
        Remark(
            "warn",
            f"Set-up {book.setups[setup]} hangs on one reading of {book.spots[tie.point].name}:"
            " a slip there moves every height of the set-up and nothing would show it. Shoot a"
            " second common point, or the same one again.",
        )
        for setup, tie in sorted(came_by.items())
        if setup not in in_loop and tie.readings == 1
    ]
    return checks, working, hanging


def _asked_checks(book: Book) -> list[Remark]:
    """Check shots at start, middle and end: what of them is missing, set-up by set-up."""
    remarks = []
    for setup, name in enumerate(book.setups):
        mine = np.flatnonzero(book.setup_of == setup)
        times = np.bincount(book.point_of[mine], minlength=len(book.spots))
        checks = np.flatnonzero(times[book.point_of[mine]] > 1)
        asked = "shoot the benchmark at the start, in the middle and at the end of a set-up"
        if checks.size == 0:
            remarks.append(
                Remark(
                    "ask",
                    f"Set-up {name}: no point was shot twice, so a laser that was knocked would not"
                    f" show. Was the benchmark shot again? If the laser still stands, {asked}.",
                )
            )
            continue
        last = mine[checks[-1]]
        unchecked = int((mine > last).sum())
        if unchecked:
            remarks.append(
                Remark(
                    "ask",
                    f"Set-up {name}: the last check is missing. {unchecked} shot"
                    f"{'s' if unchecked > 1 else ''} after line {book.readings[last].line} "
                    f"{'stand' if unchecked > 1 else 'stands'} unchecked; {asked}.",
                )
            )
        gaps = np.diff(checks) - 1
        if gaps.size and gaps.max() > SHOTS_BETWEEN_CHECKS:
            remarks.append(
                Remark(
                    "note",
                    f"Set-up {name}: {int(gaps.max())} shots stand between two checks; about every"
                    f" {SHOTS_BETWEEN_CHECKS} shots is common practice.",
                )
            )
    return remarks


def check_beam(book: Book, *, reading_deviation_m: float) -> tuple[Check, Working] | None:
    """The two-stand check against the tilt allowed; the deviation is that without the beam."""
    check = book.survey.two_stand
    if check is None:
        return None
    slope, working = show(
        two_stand_slope,
        about="tilt of the beam, two-stand check",
        middle_a_m=check.middle_a_m,
        middle_b_m=check.middle_b_m,
        near_a_m=check.near_a_m,
        near_b_m=check.near_b_m,
        distance_to_a_m=check.distance_to_a_m,
        distance_to_b_m=check.distance_to_b_m,
    )
    own = book.survey.allowed_beam_slope
    allowed = beam_slope_from_error(error_m=BEAM_ERROR_M, distance_m=BEAM_DISTANCE_M)
    apart_m = abs(check.distance_to_b_m - check.distance_to_a_m)
    return (
        Check(
            name="two-stand check of the laser",
            quantity="beam_slope",
            found=abs(slope),
            comparison="at most",
            allowed=allowed if own is None else own,
            source=BEAM if own is None else OWN_LIMIT,
            # Four readings make the check; what their own error can pretend is not held against it.
            slack=NORMAL_95 * 2.0 * reading_deviation_m / apart_m,
        ),
        working,
    )
