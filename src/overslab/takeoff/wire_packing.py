"""Runs of wire cut from the fewest sheets, each run carried on with what the one before left.

Strips of one height (``wire_cutting``) are laid end to end, from run to run; a strip that is cut at
the end of a run begins the next. Strips of total length ``S``, ``n`` of them, can fill runs of
total length ``R`` in such a chain when ``S - n*lap >= R - lap``: every strip and every run but the
first costs one lap.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from math import ceil

import numpy as np

from overslab.takeoff.wire_courses import Run, Stock
from overslab.takeoff.wire_cutting import (
    ALIKE_M,
    Strip,
    cut_heights,
    sheets_by_way,
    strips_of,
    ways_to_cut,
)

_SAME_M = 1e-6


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
            if any(run not in rest for run in fit) or fit[0].high_m - fit[-1].high_m > ALIKE_M:
                continue
            high, low = max(run.high_m for run in fit), min(run.high_m for run in fit)
            full = stock.width_m if high <= stock.width_m + _SAME_M else stock.length_m
            long = stock.length_m + stock.width_m - full
            if low <= full / 2 or high - low > ALIKE_M:
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
    heights, group = cut_heights(runs)
    demand = np.array(
        [sum(runs[k].long_m for k in members) - stock.lap_m for members in group]
    ).clip(min=stock.least_m)
    ways = ways_to_cut(heights, stock)
    counts = sheets_by_way(ways, demand, most=None if most is None else most - first)
    if counts is None:
        return None
    strips: list[list[Strip]] = [[] for _ in heights]
    sheet = first
    for way, count in enumerate(counts):
        for _ in range(count):
            for place, strip in strips_of(ways, way, heights, stock, sheet):
                strips[place].append(strip)
            sheet += 1
    best = ways.gains.argmax(axis=0)
    laid: list[Laid] = []
    left: list[Strip] = []
    for place, members in enumerate(group):
        chain = _Chain(stock, strips[place])
        while not chain.fill([runs[k] for k in members]):
            for other, strip in strips_of(ways, int(best[place]), heights, stock, sheet):
                (chain.strips if other == place else left).append(strip)
            sheet += 1
        laid += chain.laid
        left += chain.left
    return laid, left


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
