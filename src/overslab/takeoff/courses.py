"""Sheet off a roll laid in courses over the real outline: which way and from where takes least."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from overslab.takeoff.asked import RolledAsked
from overslab.takeoff.cutting import Cut, cut_off
from overslab.takeoff.records import Course

Floats = NDArray[np.float64]

_NONE_M = 1e-6
_MOST_STARTS = 24  # corners that courses are tried from


@dataclass(frozen=True, slots=True)
class Laid:
    """One layer of courses. ``sheet_m2`` is all that is cut off rolls, laps among it."""

    courses: tuple[Course, ...]
    cut: Cut
    sheet_m2: float
    laps_m: float  # length of the seams between courses and within them


def lay_courses(shape: shapely.Polygon, asked: RolledAsked) -> Laid:
    """Courses that cover ``shape``, the layout that takes the fewest rolls, then the least sheet.

    Tried along and across the longest side of the outline, with a course begun at every corner.
    Every course runs from edge to edge of the floor; what it spares across a notch is cut off.
    """
    found = [
        laid for turn_deg in _turns(shape) for laid in _laid(shape, turn_deg=turn_deg, asked=asked)
    ]
    return min(found, key=lambda laid: (laid.cut.rolls, round(laid.sheet_m2, 6), laid.laps_m))


def _turns(shape: shapely.Polygon) -> tuple[float, float]:
    """Degrees that bring the longest side onto the x axis, and across it."""
    corners = np.asarray(shape.exterior.coords)
    sides = np.diff(corners, axis=0)
    x, y = sides[np.argmax(np.hypot(sides[:, 0], sides[:, 1]))]
    along = float(np.degrees(np.arctan2(y, x)))
    return -along, 90.0 - along


def _laid(shape: shapely.Polygon, *, turn_deg: float, asked: RolledAsked) -> Iterator[Laid]:
    turned = affinity.rotate(shape, turn_deg, origin=(0.0, 0.0))
    north = turned.bounds[3]
    step_m = asked.roll_width_m - asked.lap_m
    for first_m in _starts(turned, step_m=step_m, width_m=asked.roll_width_m):
        rows = ceil((north - first_m - asked.lap_m) / step_m - 1e-9)
        lows = [first_m + row * step_m for row in range(max(rows, 1))]
        courses, seams_m = [], 0.0
        for row, low_m in enumerate(lows):
            for west, east in _reaches(turned, low_m, low_m + asked.roll_width_m):
                box = shapely.box(west, low_m, east, low_m + asked.roll_width_m)
                back = affinity.rotate(box, -turn_deg, origin=(0.0, 0.0))
                corners = tuple((x, y) for x, y in back.exterior.coords[:-1])
                courses.append(Course(corners, east - west))
            if row:
                seam = shapely.LineString([(-1e4, low_m), (1e4, low_m)])
                seams_m += turned.intersection(seam).length
        lengths = [course.length_m for course in courses]
        cut = cut_off(lengths, stock_m=asked.roll_length_m, lap_m=asked.lap_m)
        yield Laid(
            courses=tuple(courses),
            cut=cut,
            sheet_m2=cut.used_m * asked.roll_width_m,
            laps_m=seams_m + cut.laps * asked.roll_width_m,
        )


def _starts(turned: shapely.Polygon, *, step_m: float, width_m: float) -> list[float]:
    """Where the lowest course may begin: so that a course begins or ends at some corner."""
    levels = np.unique(np.asarray(turned.exterior.coords)[:, 1].round(6))
    south = float(levels[0])
    starts = {south}
    for level in levels[:_MOST_STARTS]:
        for begins in (float(level), float(level) - width_m):
            back = south - begins
            starts.add(round(south - back % step_m, 6) if back % step_m > _NONE_M else south)
    return sorted(starts, reverse=True)


def _reaches(turned: shapely.Polygon, low_m: float, high_m: float) -> Sequence[tuple[float, float]]:
    """From where to where the floor reaches within a band, piece by piece."""
    west, _, east, _ = turned.bounds
    band: BaseGeometry = shapely.box(west - 1.0, low_m, east + 1.0, high_m)
    parts = shapely.get_parts(turned.intersection(band))
    spans = sorted((p.bounds[0], p.bounds[2]) for p in parts if p.area > _NONE_M)
    joined: list[tuple[float, float]] = []
    for begin, end in spans:
        if joined and begin <= joined[-1][1] + _NONE_M:
            joined[-1] = (joined[-1][0], max(joined[-1][1], end))
        else:
            joined.append((begin, end))
    return joined
