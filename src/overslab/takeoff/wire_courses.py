"""Courses of wire sheets: which rows, laid along or across, cover the floor for the fewest sheets.

A floor is cut by seams half a lap inside every sheet's edge; the rows between seams are courses. A
course is as high as a sheet is wide, or as a sheet is long (sheets turned), or ends where the floor
does. Where the floor in a course changes its height, the course parts into runs, or runs on past
the notch in one: whichever takes less wire, and once more always in one, for wire by the metre does
not tell where whole sheets fit. Every choice of courses is a path from one side of the floor to the
other; the cheapest few paths are kept, and which of them takes the fewest sheets is found out by
cutting them (``wire_packing``).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from heapq import heappop, heappush
from itertools import pairwise, product

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from overslab.takeoff.steel_floor import Box

_SAME_M = 1e-6
_EMPTY_M2 = 1e-9
_PATHS_KEPT = 3  # at every height; more of them seldom cut better
_ALIKE = 1e-6  # sheets
# How far a ripped strip counts by its share of the sheet, from by what whole strips give.
_BLENDS = (0.0, 0.6, 0.95)


@dataclass(frozen=True, slots=True)
class Stock:
    """A stock sheet. ``lap_m`` is from edge to edge: that between outermost wires and overhangs."""

    length_m: float
    width_m: float
    lap_m: float
    least_m: float  # shorter pieces are neither laid nor kept
    turn: bool  # sheets and pieces may be turned

    @property
    def net_m2(self) -> float:
        """What a sheet covers at most once half a lap is off every side."""
        return (self.length_m - self.lap_m) * (self.width_m - self.lap_m)

    def sheets_a_metre(self, high_m: float, *, blend: float) -> float:
        """Sheets that a metre of a run takes once the laps are off."""
        length, width, lap = self.length_m, self.width_m, self.lap_m
        whole = share = np.inf
        if high_m <= width + _SAME_M:
            whole = 1 / (int(width / high_m + _SAME_M) * (length - lap))
            share = high_m / width / (length - lap)
        if self.turn:
            whole = min(whole, 1 / (int(length / high_m + _SAME_M) * (width - lap)))
            share = min(share, high_m / length / (width - lap))
        return float((1 - blend) * whole + blend * share)


@dataclass(frozen=True, slots=True)
class Run:
    """A row of wire: the box that its pieces fill, laps among themselves to come."""

    west: float
    south: float
    east: float
    north: float
    swapped: bool = False  # it runs up the floor; its box has x and y changed over

    @property
    def long_m(self) -> float:
        return self.east - self.west

    @property
    def high_m(self) -> float:
        return self.north - self.south

    @property
    def box(self) -> Box:
        return (self.west, self.south, self.east, self.north)


@dataclass(slots=True)
class _Courses:
    """One floor, one blend: courses from south to north."""

    shape: BaseGeometry
    stock: Stock
    blend: float
    mixed: bool  # courses as high as a sheet is long too
    in_one: bool = False  # runs of a course go on past every notch
    known: dict[tuple[float, float], tuple[tuple[Run, ...], float]] = field(default_factory=dict)

    def paths(self) -> list[tuple[float, tuple[Run, ...]]]:
        """The cheapest paths of courses, as runs, with what they are worth in sheets."""
        _, south, _, north = self.shape.bounds
        half = self.stock.lap_m / 2
        low, high = south + half, north - half
        if high <= low:
            runs = self._runs(low=(low + high) / 2, high=(low + high) / 2, every=True)
            return [(self._worth(runs), runs)]
        stops = self._stops(low=low, high=high)
        heights = [self.stock.width_m - self.stock.lap_m]
        if self.mixed:
            heights.append(self.stock.length_m - self.stock.lap_m)
        kept: dict[float, list[tuple[float, tuple[Run, ...]]]] = {}
        waiting: list[tuple[float, float, int, tuple[Run, ...]]] = [(low, 0.0, 0, ())]
        order = 0
        while waiting:
            at, cost, _, path = heappop(waiting)
            here = kept.setdefault(round(at, 6), [])
            # Paths that cost the same are as a rule the same courses in another order.
            if len(here) >= _PATHS_KEPT or any(abs(cost - one) < _ALIKE for one, _ in here):
                continue
            here.append((cost, path))
            if at >= high - _SAME_M:
                continue
            ends = {round(min(at + tall, high), 9) for tall in heights}
            ends |= {stop for stop in stops if at + _SAME_M < stop < at + max(heights)}
            for end in sorted(ends):
                runs, worth = self._course(low=at, high=end)
                order += 1
                heappush(waiting, (end, cost + worth, order, path + runs))
        return kept.get(round(high, 6), [])

    def _stops(self, *, low: float, high: float) -> list[float]:
        """Heights where a course may end short: half a lap inside the level sides of the floor."""
        half = self.stock.lap_m / 2
        found = {round(high, 9)}
        ring = shapely.get_coordinates(
            shapely.union_all([shapely.Polygon(p.exterior) for p in shapely.get_parts(self.shape)])
        )
        for (xa, ya), (xb, yb) in pairwise(ring):
            if abs(ya - yb) < _SAME_M and abs(xb - xa) > self.stock.lap_m:
                found |= {round(float(ya) + half, 9), round(float(ya) - half, 9)}
        return sorted(stop for stop in found if low + _SAME_M < stop <= high + _SAME_M)

    def _course(self, *, low: float, high: float) -> tuple[tuple[Run, ...], float]:
        key = (round(low, 6), round(high, 6))
        if key not in self.known:
            runs = self._runs(low=low, high=high)
            self.known[key] = (runs, self._worth(runs))
        return self.known[key]

    def _worth(self, runs: tuple[Run, ...]) -> float:
        return sum(self._sheets(run) for run in runs)

    def _sheets(self, run: Run) -> float:
        each = self.stock.sheets_a_metre(max(run.high_m, self.stock.least_m), blend=self.blend)
        # Half a lap on top: a run that is not filled by whole sheets has one joint more.
        return each * max(run.long_m - self.stock.lap_m / 2, self.stock.least_m)

    def _runs(self, *, low: float, high: float, every: bool = False) -> tuple[Run, ...]:
        half = self.stock.lap_m / 2
        west, south, east, north = self.shape.bounds
        bottom, top = max(low - half, south), min(high + half, north)
        part = shapely.clip_by_rect(self.shape, west - 1, bottom, east + 1, top)
        if part.is_empty:
            return ()
        xs = [float(x) for x in np.unique(np.round(shapely.get_coordinates(part)[:, 0], 6))]
        cells = shapely.intersection(
            part, shapely.box(xs[:-1], [bottom] * (len(xs) - 1), xs[1:], [top] * (len(xs) - 1))
        )
        runs: list[Run] = []
        joined: list[bool] = []  # to the run before
        touching = False
        for (xa, xb), cell in zip(pairwise(xs), cells, strict=True):
            wanted = cell.area > _EMPTY_M2
            if wanted:
                # A wall along the cell's side is part of the cut, and no floor.
                parts = [one for one in shapely.get_parts(cell) if one.area > 0]
                lower = min(one.bounds[1] for one in parts)
                upper = max(one.bounds[3] for one in parts)
                wanted = every or (upper - half > low + _SAME_M and lower + half < high - _SAME_M)
                if wanted:
                    runs.append(Run(xa, lower, xb, upper))
                    joined.append(touching)
            touching = wanted
        return self._lapped(self._merged(runs, joined))

    def _merged(self, runs: list[Run], joined: list[bool]) -> list[tuple[Run, bool]]:
        """Neighbours made one run wherever that takes no more wire, or always."""
        merged: list[tuple[Run, bool]] = []
        for run, touches in zip(runs, joined, strict=True):
            merged.append((run, touches))
            while len(merged) > 1 and merged[-1][1]:
                (one, first), (two, _) = merged[-2], merged[-1]
                both = Run(one.west, min(one.south, two.south), two.east, max(one.north, two.north))
                lap = self.stock.lap_m
                apart = self._sheets(one) + self._sheets(replace(two, east=two.east + lap))
                if self._sheets(both) > apart and not self.in_one:
                    break
                merged[-2:] = [(both, first)]
        return merged

    def _lapped(self, merged: list[tuple[Run, bool]]) -> tuple[Run, ...]:
        """Runs that touch lap each other; the lower one reaches in under the higher one."""
        runs = [run for run, _ in merged]
        lap = self.stock.lap_m
        for place in range(1, len(runs)):
            if not merged[place][1]:
                continue
            one, two = runs[place - 1], runs[place]
            if one.south <= two.south and one.north >= two.north:
                runs[place] = replace(two, west=two.west - lap)
            elif two.south <= one.south and two.north >= one.north:
                runs[place - 1] = replace(one, east=one.east + lap)
            else:
                runs[place - 1] = replace(one, east=one.east + lap / 2)
                runs[place] = replace(two, west=two.west - lap / 2)
        return tuple(runs)


def courses(shape: BaseGeometry, stock: Stock) -> Iterator[tuple[Run, ...]]:
    """Sets of runs that cover the floor with laps, the likeliest to be cheap first, none twice.

    Courses run along x, and are stacked from the south and from the north.
    """
    flipped = shapely.transform(shape, lambda xy: xy * np.array([1.0, -1.0]))
    found: list[tuple[float, tuple[Run, ...]]] = []
    for blend, mixed, in_one in product(_BLENDS, sorted({False, stock.turn}), (False, True)):
        found += _Courses(shape, stock, blend, mixed, in_one).paths()
        found += [
            (cost, tuple(replace(run, south=-run.north, north=-run.south) for run in runs))
            for cost, runs in _Courses(flipped, stock, blend, mixed, in_one).paths()
        ]
    seen = set()
    for _, runs in sorted(found, key=lambda one: one[0]):
        whole = runs + _missed(shape, runs, stock)
        sizes = tuple(sorted((round(run.long_m, 4), round(run.high_m, 4)) for run in whole))
        if sizes not in seen:
            seen.add(sizes)
            yield whole


def _missed(shape: BaseGeometry, runs: tuple[Run, ...], stock: Stock) -> tuple[Run, ...]:
    """Runs over tips and slivers thinner than a lap, which no course reaches."""
    covered = shapely.union_all([shapely.box(*run.box) for run in runs])
    left = shape.difference(covered.buffer(_SAME_M, join_style="mitre"))
    outer = shape.bounds
    extra = []
    for piece in shapely.get_parts(left):
        if piece.area <= _EMPTY_M2:
            continue
        west, south, east, north = piece.bounds
        reach = stock.lap_m
        box = shapely.box(west - reach, south - reach, east + reach, north + reach)
        box = box.intersection(shapely.box(*outer))
        west, south, east, north = box.bounds
        # A piece wider than a sheet is taken in rows that lap.
        rows = max(1, int(np.ceil((north - south - reach) / (stock.width_m - reach) - _SAME_M)))
        tall = (north - south - reach) / rows
        extra += [
            Run(west, south + row * tall, east, south + (row + 1) * tall + reach)
            for row in range(rows)
        ]
    return tuple(extra)
