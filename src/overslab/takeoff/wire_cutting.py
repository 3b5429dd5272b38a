"""A sheet cut into strips: in which ways, how many sheets in each, and the fewest for given pieces.

A sheet is cut into strips of the heights that the runs have: some across its width, some along the
rest of its length, or some along and some across the rest. A strip carries a chain on by its length
less one lap. How many sheets are cut in which way, so that every chain is long enough, is a small
programme with whole numbers, with the ways of cutting priced in as they are needed.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from overslab.ground.programme import Programme, solve
from overslab.takeoff.wire_courses import Run, Stock

Floats = NDArray[np.float64]
# Runs whose heights differ by less than this are cut alike: about the width of a cutter's jaw.
ALIKE_M = 0.005
_SAME_M = 1e-6
_MOST_HEIGHTS = 6
_MOST_WAYS = 240
_FREED = 2.0  # of each way of cutting, sheets that the last programme may decide anew


@dataclass(frozen=True, slots=True)
class Strip:
    """Part of a sheet: ``cut_from`` along, across, along, across; ``turned``: it runs across."""

    sheet: int
    cut_from: tuple[float, float, float, float]
    turned: bool

    @property
    def long_m(self) -> float:
        a, b, c, d = self.cut_from
        return d - b if self.turned else c - a

    def part(self, start: float, end: float) -> Strip:
        a, b, c, d = self.cut_from
        if self.turned:
            return Strip(self.sheet, (a, b + start, c, b + end), True)
        return Strip(self.sheet, (a + start, b, a + end, d), False)

    def lower(self, high_m: float) -> Strip:
        """The strip ripped down to ``high_m``; the rest lies on the far side."""
        a, b, c, d = self.cut_from
        if self.turned:
            return Strip(self.sheet, (a, b, min(c, a + high_m), d), True)
        return Strip(self.sheet, (a, b, c, min(d, b + high_m)), False)


@dataclass(frozen=True, slots=True, eq=False)
class Ways:
    """Ways of cutting a sheet, k of them over c heights: counts and lengths of strips."""

    across: NDArray[np.intp]  # (k, c)
    along: NDArray[np.intp]  # (k, c)
    across_long: Floats  # (k,) length of strips that run across
    along_long: Floats  # (k,)
    across_first: NDArray[np.bool_]
    gains: Floats  # (k, c) metres of chain


def cut_heights(runs: tuple[Run, ...]) -> tuple[Floats, list[list[int]]]:
    """Heights that strips are cut to, greatest first, and the runs cut to each."""
    order = sorted(range(len(runs)), key=lambda k: -runs[k].high_m)
    tall: list[float] = []
    group: list[list[int]] = []
    for k in order:
        if not tall or tall[-1] - runs[k].high_m > ALIKE_M:
            tall.append(runs[k].high_m)
            group.append([])
        group[-1].append(k)
    while len(tall) > _MOST_HEIGHTS:
        loss = [
            (tall[p - 1] - tall[p]) * sum(runs[k].long_m for k in group[p])
            for p in range(1, len(tall))
        ]
        cheapest = int(np.argmin(loss)) + 1
        group[cheapest - 1] += group.pop(cheapest)
        tall.pop(cheapest)
    return np.array(tall), group


def _counts_up_to(heights: Floats, room: float) -> NDArray[np.intp]:
    """Counts of strips of at most two heights that find room side by side."""
    found = {(0,) * len(heights)}
    for one, first in enumerate(heights):
        for n in range(1, floor(room / first + _SAME_M) + 1):
            for two in range(one, len(heights)):
                rest = floor((room - n * first) / heights[two] + _SAME_M) if two > one else 0
                for m in range(rest + 1):
                    row = [0] * len(heights)
                    row[one] = n
                    if two > one:
                        row[two] = m
                    found.add(tuple(row))
    return np.array(sorted(found), dtype=np.intp)


def ways_to_cut(heights: Floats, stock: Stock) -> Ways:
    """All ways of cutting; chain metres of a strip are its length less a lap."""
    length, width = stock.length_m, stock.width_m
    none = np.zeros((1, len(heights)), dtype=np.intp)
    across = _counts_up_to(heights, length) if stock.turn else none
    along = _counts_up_to(heights, width)
    p, q = (x.ravel() for x in np.meshgrid(range(len(across)), range(len(along)), indexing="ij"))
    d, a = across[p], along[q]
    taken_across, taken_along = d @ heights, a @ heights
    parts = []
    for first in (True, False) if stock.turn else (False,):
        if first:
            across_long = np.full(len(d), width)
            along_long = length - taken_across
        else:
            across_long = width - taken_along
            along_long = np.full(len(d), length)
        least = max(stock.least_m, stock.lap_m + stock.least_m / 4)
        good = ((along_long >= least) | (a.sum(axis=1) == 0)) & (
            (across_long >= least) | (d.sum(axis=1) == 0)
        )
        good &= (taken_across <= length + _SAME_M) & (a.sum(axis=1) + d.sum(axis=1) > 0)
        gains = d * (across_long - stock.lap_m)[:, None] + a * (along_long - stock.lap_m)[:, None]
        parts.append((d[good], a[good], across_long[good], along_long[good], first, gains[good]))
    return Ways(
        np.concatenate([part[0] for part in parts]),
        np.concatenate([part[1] for part in parts]),
        np.concatenate([part[2] for part in parts]),
        np.concatenate([part[3] for part in parts]),
        np.concatenate([np.full(len(part[0]), part[4]) for part in parts]),
        np.concatenate([part[5] for part in parts]),
    )


def sheets_by_way(ways: Ways, demand: Floats, *, most: int | None) -> list[int] | None:
    """How many sheets are cut in each way so that the fewest are needed; None beyond ``most``."""
    taken = list(dict.fromkeys(int(k) for k in ways.gains.argmax(axis=0)))
    share = np.ones(len(taken))
    duals = np.zeros(len(demand))
    while True:
        answer = solve(_programme(ways.gains[taken], demand, whole=False, low=None))
        share, duals = answer.x, np.asarray(answer.duals)
        worth = ways.gains @ duals
        best = np.argsort(-worth)[:4]
        joining = [int(k) for k in best if worth[k] > 1 + 1e-7 and int(k) not in taken]
        if not joining or len(taken) > _MOST_WAYS:
            break
        taken += joining
    if most is not None and ceil(answer.cost - 1e-6) > most:
        return None
    near = np.argsort(-worth)[: _MOST_WAYS // 4]
    more = [int(k) for k in near if int(k) not in taken]
    low = np.concatenate([np.maximum(np.floor(share - _FREED), 0), np.zeros(len(more))])
    taken += more
    answer = solve(_programme(ways.gains[taken], demand, whole=True, low=low), priced=False)
    counts = np.zeros(len(ways.gains), dtype=int)
    counts[taken] = np.round(answer.x).astype(int)
    return [int(n) for n in counts]


def _programme(gains: Floats, demand: Floats, *, whole: bool, low: Floats | None) -> Programme:
    count = len(gains)
    return Programme(
        cost=np.ones(count),
        low=np.zeros(count) if low is None else low,
        high=np.full(count, np.inf),
        rows=sparse.csr_array(gains.T),
        row_low=demand,
        row_high=np.full(len(demand), np.inf),
        whole=np.full(count, whole),
    )


def strips_of(
    ways: Ways, way: int, heights: Floats, stock: Stock, sheet: int
) -> list[tuple[int, Strip]]:
    """The strips of a sheet cut in one way, with the height each is for."""
    found: list[tuple[int, Strip]] = []
    first = bool(ways.across_first[way])
    left_along = 0.0 if not first else float(ways.across[way] @ heights)
    low_across = float(ways.along[way] @ heights) if not first else 0.0
    at = 0.0
    for place, count in enumerate(ways.across[way]):
        for _ in range(count):
            end = at + float(heights[place])
            cut = (at, low_across, min(end, stock.length_m), stock.width_m)
            found.append((place, Strip(sheet, cut, True)))
            at = end
    at = 0.0
    for place, count in enumerate(ways.along[way]):
        for _ in range(count):
            end = at + float(heights[place])
            cut = (left_along, at, stock.length_m, min(end, stock.width_m))
            found.append((place, Strip(sheet, cut, False)))
            at = end
    return found


def fewest_sheets(sizes_m: Floats, stock: Stock) -> int:
    """No way of cutting gives pieces of these sizes (n, 2) from fewer sheets.

    Dual feasible functions of both sides, after Fekete and Schepers: what they give adds up to at
    most one a sheet. A piece that may be turned counts as the smaller of its two ways.
    """
    best = 0.0
    for p in (0.0, 0.1, 0.2, 0.25, 1 / 3, 0.4, 0.5):
        for q in (0.0, 0.1, 0.2, 0.25, 1 / 3, 0.4, 0.5):
            straight = _weighed(sizes_m[:, 0] / stock.length_m, p) * _weighed(
                sizes_m[:, 1] / stock.width_m, q
            )
            if stock.turn:
                turned = _weighed(sizes_m[:, 1] / stock.length_m, p) * _weighed(
                    sizes_m[:, 0] / stock.width_m, q
                )
                straight = np.fmin(straight, turned)
            best = max(best, float(np.nansum(straight)))
    return ceil(best - 1e-6)


def _weighed(share: Floats, below: float) -> Floats:
    """Nothing below a share, all above the rest of it, itself between; nan where it is no room."""
    weighed = np.where(share > 1 - below + _SAME_M, 1.0, np.where(share < below, 0.0, share))
    return np.where(share > 1 + _SAME_M, np.nan, weighed)
