"""What a hand method would have said from the same shots, beside the volume of record."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from overslab.handbook import volumes
from overslab.handbook.working import Working, show
from overslab.takeoff.records import NotebookAnswer

Floats = NDArray[np.float64]

# A shot this near to a corner of the floor was meant for it: about two feet.
_AT_CORNER_M = 0.6
# Shots this near to a common line stand on it: a hand's breadth and a half.
_ON_LINE_M = 0.15
# A row or column of the grid holds at least this share of the shots that the fullest one holds.
_FULL_SHARE = 0.5
# With less of the floor under whole cells the method has nothing to say.
_COVERED_SHARE = 0.6


@dataclass(frozen=True, slots=True, eq=False)
class HandShots:
    """The floor and its shots as the notebook sees them: a thickness at each shot."""

    floor: shapely.Polygon
    at_m: Floats  # (n, 2)
    thickness_m: Floats  # (n,)
    nominal_m: float  # the one thickness a quick estimate would take


def by_hand(
    shots: HandShots, *, volume_m3: float
) -> tuple[tuple[NotebookAnswer, ...], tuple[Working, ...]]:
    """Every hand method, its difference from ``volume_m3``, and workings of those that apply."""
    answers, workings = [], []
    for method, (found, why) in (
        ("corner average", _corners(shots)),
        ("mean of all shots", _mean(shots)),
        ("half way between thickest and thinnest", _middle(shots)),
        ("cells of four corners", _cells(shots)),
        ("least thickness plus a tenth", _flat(shots)),
    ):
        value = None
        if found is not None:
            value, working = found
            workings.append(working)
        answers.append(
            NotebookAnswer(
                method=method,
                volume_m3=value,
                difference_m3=None if value is None else value - volume_m3,
                why=why,
            )
        )
    return tuple(answers), tuple(workings)


_Found = tuple[tuple[float, Working] | None, str]


def _corners(shots: HandShots) -> _Found:
    outline = shapely.Polygon(shots.floor.exterior).simplify(0.01)
    ring = shapely.get_coordinates(outline)[:-1]
    gap = np.hypot(*(shots.at_m[None, :, :] - ring[:, None, :]).transpose(2, 0, 1))
    missing = int((gap.min(axis=1, initial=np.inf) > _AT_CORNER_M).sum())
    if missing:
        return None, f"no shot near {missing} of the {len(ring)} corners of the floor"
    nearest = tuple(float(t) for t in shots.thickness_m[gap.argmin(axis=1)])
    return show(
        volumes.mean_thickness_volume_m3,
        about="by the corners of the floor",
        area_m2=float(shots.floor.area),
        thicknesses_m=nearest,
    ), "the corners tell nothing of a dish or a crown between them"


def _mean(shots: HandShots) -> _Found:
    if not len(shots.thickness_m):
        return None, "no shots on the floor"
    return show(
        volumes.mean_thickness_volume_m3,
        about="by the mean of all shots",
        area_m2=float(shots.floor.area),
        thicknesses_m=tuple(float(t) for t in shots.thickness_m),
    ), "counts shots at the edge, and wherever they stand close, too heavily"


def _middle(shots: HandShots) -> _Found:
    if not len(shots.thickness_m):
        return None, "no shots on the floor"
    return show(
        volumes.middle_thickness_volume_m3,
        about="by the thickest and the thinnest shot",
        area_m2=float(shots.floor.area),
        thickest_m=float(shots.thickness_m.max()),
        thinnest_m=float(shots.thickness_m.min()),
    ), "right only where thickness runs evenly from one to the other"


def _flat(shots: HandShots) -> _Found:
    return show(
        volumes.flat_volume_m3,
        about="by the least thickness asked and a tenth",
        area_m2=float(shots.floor.area),
        thickness_m=shots.nominal_m,
        allowance_share=volumes.NOTEBOOK_ALLOWANCE,
    ), "needs no shots, and knows nothing of the old floor"


def _cells(shots: HandShots) -> _Found:
    turned, places = _along_walls(shots.floor, shots.at_m)
    columns, rows = _lines(places[:, 0]), _lines(places[:, 1])
    if len(columns) < 2 or len(rows) < 2:
        return None, "the shots do not stand in rows and columns"
    node = np.full((len(columns), len(rows)), np.nan)
    for i, x in enumerate(columns):
        for j, y in enumerate(rows):
            gap = np.maximum(abs(places[:, 0] - x), abs(places[:, 1] - y))
            if gap.min() <= _ON_LINE_M:
                node[i, j] = shots.thickness_m[int(gap.argmin())]
    west, east = np.meshgrid(columns[:-1], rows[:-1], indexing="ij")
    right, upper = np.meshgrid(columns[1:], rows[1:], indexing="ij")
    mean = (node[:-1, :-1] + node[1:, :-1] + node[:-1, 1:] + node[1:, 1:]) / 4
    area = shapely.area(turned.intersection(shapely.box(west, east, right, upper)))
    whole = np.isfinite(mean) & (area > 0.0)
    covered = float(area[whole].sum()) / float(turned.area)
    if covered < _COVERED_SHARE:
        return None, f"whole cells of four shots cover only {covered:.0%} of the floor"
    reach = "" if covered > 0.995 else f"; {covered:.0%} of the floor lies under whole cells"
    return show(
        volumes.cells_volume_m3,
        about="cell by cell between shots on crossing lines",
        area_m2=float(shots.floor.area),
        cell_areas_m2=tuple(float(a) for a in area[whole]),
        cell_thicknesses_m=tuple(float(t) for t in mean[whole]),
    ), f"low over a dish and high over a crown{reach}"


def _along_walls(floor: shapely.Polygon, at_m: Floats) -> tuple[shapely.Polygon, Floats]:
    """Floor and shots turned so that the longest wall runs across: grids follow walls."""
    sides = np.diff(np.asarray(floor.exterior.coords), axis=0)
    longest = sides[int(np.hypot(sides[:, 0], sides[:, 1]).argmax())]
    angle = np.arctan2(longest[1], longest[0])
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    turned: shapely.Polygon = shapely.transform(floor, lambda xy: xy @ turn)
    return turned, at_m @ turn


def _lines(along_m: Floats) -> list[float]:
    """Rows or columns: places that many shots share, to within a hand."""
    if not len(along_m):
        return []
    ordered = np.sort(along_m)
    groups = np.split(ordered, np.flatnonzero(np.diff(ordered) > _ON_LINE_M) + 1)
    fullest = max(len(group) for group in groups)
    return [
        float(group.mean())
        for group in groups
        if len(group) >= max(2.0, _FULL_SHARE * fullest) and np.ptp(group) <= 2 * _ON_LINE_M
    ]
