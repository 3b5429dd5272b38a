"""Runs of wire cut from the fewest sheets, each run carried on with what the one before left.

A sheet is cut into strips of the heights that the runs have: some across its width, some along the
rest of its length, or some along and some across the rest. Strips of one height are laid end to
end, from run to run; a strip that is cut at the end of a run begins the next. Strips of total
length ``S``, ``n`` of them, can fill runs of total length ``R`` in such a chain when
``S - n*lap >= R - lap``: every strip and every run but the first costs one lap. How many sheets are
cut in which way is then a small programme with whole numbers, with the ways of cutting priced in as
they are needed.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from overslab.ground.programme import Programme, solve
from overslab.takeoff.wire_courses import Run, Stock

Floats = NDArray[np.float64]
_SAME_M = 1e-6
# Runs whose heights differ by less than this are cut alike: about the width of a cutter's jaw.
_ALIKE_M = 0.005
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


@dataclass(frozen=True, slots=True)
class Laid:
    """A strip laid in a run, from ``west`` to ``east``."""

    run: Run
    west: float
    east: float
    strip: Strip


@dataclass(frozen=True, slots=True)
class Packing:
    laid: tuple[Laid, ...]
    left: tuple[Strip, ...]  # strips nothing was cut from, and their ends
    sheets: int


@dataclass(frozen=True, slots=True, eq=False)
class _Ways:
    """Ways of cutting a sheet, k of them over c heights: counts and lengths of strips."""

    across: NDArray[np.intp]  # (k, c)
    along: NDArray[np.intp]  # (k, c)
    across_long: Floats  # (k,) length of strips that run across
    along_long: Floats  # (k,)
    across_first: NDArray[np.bool_]
    gains: Floats  # (k, c) metres of chain


def pack(runs: tuple[Run, ...], stock: Stock, *, most: int | None = None) -> Packing | None:
    """Cut all runs from few sheets; None where that surely takes more than ``most``.

    Tried with good fits apart from the chains: all of them, some, none.
    """
    apart, _ = _good_fits(runs, stock)
    best: Packing | None = None
    for count in sorted({len(apart), len(apart) // 2, min(1, len(apart)), 0}, reverse=True):
        limit = most if best is None else best.sheets - 1
        found = _with_apart(runs, apart[:count], stock, most=limit)
        if found is not None and (best is None or found.sheets < best.sheets):
            best = found
    return best


def _with_apart(
    runs: tuple[Run, ...], apart: list[tuple[Run, ...]], stock: Stock, *, most: int | None
) -> Packing | None:
    laid: list[Laid] = []
    left: list[Strip] = []
    sheet = 0
    for fit in apart:
        strips = [_whole(fit[0], stock, sheet + k) for k in range(_fit_count(fit, stock))]
        chain = _Chain(stock, strips)
        if not chain.fill(list(fit)):
            return None
        laid += chain.laid
        left += chain.left
        sheet += len(chain.strips)
    gone = {run for fit in apart for run in fit}
    rest = tuple(run for run in runs if run not in gone)
    if rest:
        more = _cut(rest, stock, first=sheet, most=most)
        if more is None:
            return None
        laid, left = laid + more[0], left + more[1]
    return _renumbered(laid, left)


def _whole(run: Run, stock: Stock, sheet: int) -> Strip:
    """The one strip for this height that takes a sheet to itself."""
    if run.high_m <= stock.width_m + _SAME_M:
        cut = (0.0, 0.0, stock.length_m, min(run.high_m, stock.width_m))
        return Strip(sheet, cut, False)
    return Strip(sheet, (0.0, 0.0, min(run.high_m, stock.length_m), stock.width_m), True)


def _fit_count(fit: tuple[Run, ...], stock: Stock) -> int:
    """Sheets that fill these runs in a chain of their own."""
    long = stock.length_m if fit[0].high_m <= stock.width_m + _SAME_M else stock.width_m
    need = sum(run.long_m for run in fit) - stock.lap_m
    return max(1, ceil(need / (long - stock.lap_m) - _SAME_M))


def _good_fits(
    runs: tuple[Run, ...], stock: Stock
) -> tuple[list[tuple[Run, ...]], tuple[Run, ...]]:
    """Runs, or pairs of them, that whole sheets fill with less than a lap to spare; the rest.

    In a chain with others each would cost a lap more than it does alone.
    """
    fits: list[tuple[Run, ...]] = []
    rest = list(runs)
    for size in (1, 2):
        for fit in list(combinations(rest, size)):
            if any(run not in rest for run in fit) or fit[0].high_m - fit[-1].high_m > _ALIKE_M:
                continue
            high, low = max(run.high_m for run in fit), min(run.high_m for run in fit)
            full = stock.width_m if high <= stock.width_m + _SAME_M else stock.length_m
            long = stock.length_m + stock.width_m - full
            if low <= full / 2 or high - low > _ALIKE_M:
                continue
            spare = _fit_count(fit, stock) * (long - stock.lap_m) + stock.lap_m
            spare -= sum(run.long_m for run in fit)
            if spare < stock.lap_m - _SAME_M:
                fits.append(tuple(sorted(fit, key=lambda run: -run.high_m)))
                for run in fit:
                    rest.remove(run)
    return fits, tuple(rest)


def _cut(
    runs: tuple[Run, ...], stock: Stock, *, first: int, most: int | None
) -> tuple[list[Laid], list[Strip]] | None:
    """Runs cut in chains, sheets numbered from ``first``."""
    heights, group = _heights(runs)
    demand = np.array(
        [sum(runs[k].long_m for k in members) - stock.lap_m for members in group]
    ).clip(min=stock.least_m)
    ways = _ways(heights, stock)
    counts = _count(ways, demand, most=None if most is None else most - first)
    if counts is None:
        return None
    strips: list[list[Strip]] = [[] for _ in heights]
    sheet = first
    for way, count in enumerate(counts):
        for _ in range(count):
            for place, strip in _strips_of(ways, way, heights, stock, sheet):
                strips[place].append(strip)
            sheet += 1
    best = ways.gains.argmax(axis=0)
    laid: list[Laid] = []
    left: list[Strip] = []
    for place, members in enumerate(group):
        chain = _Chain(stock, strips[place])
        while not chain.fill([runs[k] for k in members]):
            for other, strip in _strips_of(ways, int(best[place]), heights, stock, sheet):
                (chain.strips if other == place else left).append(strip)
            sheet += 1
        laid += chain.laid
        left += chain.left
    return laid, left


def _heights(runs: tuple[Run, ...]) -> tuple[Floats, list[list[int]]]:
    """Heights that strips are cut to, greatest first, and the runs cut to each."""
    order = sorted(range(len(runs)), key=lambda k: -runs[k].high_m)
    tall: list[float] = []
    group: list[list[int]] = []
    for k in order:
        if not tall or tall[-1] - runs[k].high_m > _ALIKE_M:
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


def _ways(heights: Floats, stock: Stock) -> _Ways:
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
    return _Ways(
        np.concatenate([part[0] for part in parts]),
        np.concatenate([part[1] for part in parts]),
        np.concatenate([part[2] for part in parts]),
        np.concatenate([part[3] for part in parts]),
        np.concatenate([np.full(len(part[0]), part[4]) for part in parts]),
        np.concatenate([part[5] for part in parts]),
    )


def _count(ways: _Ways, demand: Floats, *, most: int | None) -> list[int] | None:
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


def _strips_of(
    ways: _Ways, way: int, heights: Floats, stock: Stock, sheet: int
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


class _Chain:
    """Strips of one height laid end to end, from run to run."""

    def __init__(self, stock: Stock, strips: list[Strip]) -> None:
        self.stock = stock
        self.strips = strips
        self.laid: list[Laid] = []
        self.left: list[Strip] = []

    def fill(self, runs: list[Run]) -> bool:
        """Lay all runs; False when the strips do not suffice, in one order or the other."""
        for order in _orders(runs):
            self.laid, self.left = [], []
            if self._try(order):
                return True
        return False

    def _try(self, runs: list[Run]) -> bool:
        fresh = sorted(self.strips, key=lambda strip: strip.long_m)
        ends: list[Strip] = []  # what is left of cut strips
        lap, least = self.stock.lap_m, self.stock.least_m
        for run in runs:
            at = run.west
            while True:
                need = run.east - at
                strip = _pick(ends, fresh, need=need, least=least, lap=lap)
                if strip is None:
                    return False
                if strip.long_m >= need - _SAME_M:
                    take = min(need, strip.long_m)
                else:
                    take = strip.long_m
                    # The last piece of a run is no scrap: the one before it gives way.
                    if need - take + lap < least:
                        take = max(need + lap - least, lap + _SAME_M)
                self.laid.append(Laid(run, at, at + take, strip.part(0, take)))
                rest = strip.part(take, strip.long_m)
                if rest.long_m >= least:
                    ends.append(rest)
                elif rest.long_m > _SAME_M:
                    self.left.append(rest)
                at += take
                if at >= run.east - _SAME_M:
                    break
                at -= lap
        self.left += ends + fresh
        return True


def _pick(
    ends: list[Strip], fresh: list[Strip], *, need: float, least: float, lap: float
) -> Strip | None:
    """The strip to lay next: an end that just suffices, else the longest end, else a fresh one."""
    enough = [strip for strip in ends if strip.long_m >= need - _SAME_M]
    if enough:
        best = min(enough, key=lambda strip: strip.long_m)
        ends.remove(best)
        return best
    whole = [strip for strip in fresh if abs(strip.long_m - need) < least / 2]
    exact = [strip for strip in whole if strip.long_m >= need - _SAME_M]
    if exact:
        fresh.remove(exact[0])
        return exact[0]
    longest = max(ends, key=lambda strip: strip.long_m, default=None)
    # An end no longer than a lap would carry the run no farther.
    if longest is not None and longest.long_m > lap + least / 4:
        ends.remove(longest)
        return longest
    return fresh.pop() if fresh else None


def _orders(runs: list[Run]) -> tuple[list[Run], ...]:
    by_length = sorted(runs, key=lambda run: -run.long_m)
    return (runs, by_length, by_length[::-1])


def _renumbered(laid: list[Laid], left: list[Strip]) -> Packing:
    """Sheets numbered in the order in which they are met, those not cut at all left out."""
    order = sorted(laid, key=lambda one: (one.run.south, one.run.west, one.west))
    numbers: dict[int, int] = {}
    for one in order:
        numbers.setdefault(one.strip.sheet, len(numbers) + 1)
    return Packing(
        tuple(
            Laid(
                one.run,
                one.west,
                one.east,
                Strip(numbers[one.strip.sheet], one.strip.cut_from, one.strip.turned),
            )
            for one in order
        ),
        tuple(
            Strip(numbers[strip.sheet], strip.cut_from, strip.turned)
            for strip in left
            if strip.sheet in numbers
        ),
        len(numbers),
    )


def letter(number: int) -> str:
    """What tells pieces of one sheet apart: a to z, then aa."""
    letters = ""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("a") + rest) + letters
    return letters


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
