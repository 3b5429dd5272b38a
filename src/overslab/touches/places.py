"""Old floor and new top at the places where a touch meets them: along a line, round a point."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray

from overslab.newtop.records import TopSurface
from overslab.oldslab.records import OldSlab

Floats = NDArray[np.float64]
Point = tuple[float, float]

# How close together a line is looked at; a top that bends between two places is struck there.
_APART_M = 0.15
# The floor round an appliance or a drain, as far as its own footprint reaches.
_ROUND_M = 0.3
# How far into the room a way from a door is followed, and what side of a line is looked at.
_FAR_M = 50.0
_INSIDE_M = 0.01


@dataclass(frozen=True, slots=True)
class Place:
    """One place: old floor below, new top above."""

    at: Point
    before_m: float
    after_m: float

    @property
    def rise_m(self) -> float:
        return self.after_m - self.before_m


@dataclass(frozen=True, slots=True, eq=False)
class Met:
    """Every place that was looked at for one touch, and the worst of them."""

    at_m: Floats  # (n, 2)
    before_m: Floats  # (n,)
    after_m: Floats  # (n,)

    def place(self, row: int) -> Place:
        """One of the places, in the order in which they were looked at."""
        x, y = self.at_m[row].tolist()
        return Place((x, y), float(self.before_m[row]), float(self.after_m[row]))

    @property
    def highest(self) -> Place:
        """Where the new top stands highest."""
        return self.place(int(np.argmax(self.after_m)))

    @property
    def lowest(self) -> Place:
        """Where the new top stands lowest."""
        return self.place(int(np.argmin(self.after_m)))

    @property
    def risen_most(self) -> Place:
        return self.place(int(np.argmax(self.after_m - self.before_m)))

    @property
    def risen_least(self) -> Place:
        return self.place(int(np.argmin(self.after_m - self.before_m)))

    @property
    def highest_before_m(self) -> float:
        return float(self.before_m.max())


@dataclass(eq=False)
class Floor:
    """The two surfaces over one plan."""

    oldslab: OldSlab
    top: TopSurface

    @cached_property
    def polygon(self) -> shapely.Polygon:
        return self.oldslab.plan.polygon()

    def met(self, at_m: Floats) -> Met:
        return Met(
            at_m, self.oldslab.surface.height_m(at_m), np.asarray(self.top.height_m(at_m), float)
        )

    def along(self, a: Point, b: Point) -> Met:
        """A line from end to end, its ends among the places."""
        pieces = max(4, math.ceil(math.dist(a, b) / _APART_M))
        shares = np.linspace(0.0, 1.0, pieces + 1)[:, None]
        return self.met((1 - shares) * np.array(a) + shares * np.array(b))

    def round(self, at: Point, *, reach_m: float = _ROUND_M) -> Met:
        """A point and a ring about it, as far as the ring lies on the floor.

        The point itself comes first, for a post stands in a hole of the floor.
        """
        angles = np.linspace(0.0, 2 * np.pi, 12, endpoint=False)
        ring = np.array(at) + reach_m * np.column_stack([np.cos(angles), np.sin(angles)])
        return self.met(np.concatenate([[at], self._kept(ring)]))

    def swing(self, a: Point, b: Point) -> Met:
        """The floor under a leaf that swings in, whichever jamb it is hung on, and its line."""
        wide = math.dist(a, b)
        door = shapely.LineString([a, b])
        # Flat caps keep the strip before the door; a leaf never reaches beyond its own jambs.
        strip = door.buffer(wide, cap_style="flat")
        arcs = shapely.union_all([shapely.Point(end).buffer(wide) for end in (a, b)])
        under = strip.intersection(arcs).intersection(self.polygon)
        line = self.along(a, b).at_m
        if under.is_empty:
            return self.met(line)
        west, south, east, north = under.bounds
        x, y = np.meshgrid(
            np.arange(west, east + _APART_M, _APART_M), np.arange(south, north + _APART_M, _APART_M)
        )
        inside = shapely.intersects_xy(under, x, y)
        rims = [
            np.asarray(shapely.segmentize(part.exterior, _APART_M).coords)
            for part in shapely.get_parts(under)
            if part.geom_type == "Polygon"
        ]
        return self.met(np.concatenate([line, np.column_stack([x[inside], y[inside]]), *rims]))

    def run_before(self, a: Point, b: Point) -> float:
        """How far one can go straight in from the middle of a line before the floor ends."""
        middle, along = np.add(a, b) / 2, np.subtract(b, a)
        across = np.array([-along[1], along[0]]) / np.hypot(*along)
        longest = 0.0
        for way in (across, -across):
            start = middle + _INSIDE_M * way
            if not shapely.intersects_xy(self.polygon, *start):
                continue
            ray = shapely.LineString([start, middle + _FAR_M * way]).intersection(self.polygon)
            first = min(
                shapely.get_parts(ray), key=lambda part: part.distance(shapely.Point(start))
            )
            longest = max(longest, float(first.length) + _INSIDE_M)
        return longest

    def _kept(self, at_m: Floats) -> Floats:
        kept: Floats = at_m[shapely.intersects_xy(self.polygon, at_m[:, 0], at_m[:, 1])]
        return kept
