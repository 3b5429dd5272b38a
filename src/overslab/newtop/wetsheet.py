"""The finished top sampled on a fine lattice for water: heights, walls, outlets.

Knows only where the floor is, how high the top is at a place, and where water may leave. Drainage
and birdbaths are both run over such a sheet.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray

from overslab.ground.lattice import Lattice, lattice_over
from overslab.newtop.records import Outlet, Point, TopSurface
from overslab.newtop.validity import ON_OUTLINE_M

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

FINEST_M = 0.05  # about 2 in
# A cell with less floor than this share of it counts as wall.
_SLIVER = 0.02
# A cell this near to an outlet's line lets water out.
_TOUCHES_M = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class DrySheet:
    """One floor on one lattice. Sheets are (ny, nx); places are where each cell is sampled.

    A cell that a wall runs through is sampled on the wall itself. So the cells along a slanting
    wall carry the heights of that wall, in order, and water runs along it as it does on the floor
    instead of standing in the steps of the lattice.
    """

    lattice: Lattice  # ``inside`` marks every cell with floor in it
    x_m: Floats
    y_m: Floats
    areas_m2: Floats  # floor in each cell, 0 outside
    outlets: Bools


@dataclass(frozen=True, slots=True, eq=False)
class WetSheet(DrySheet):
    """One top on the lattice of its floor."""

    heights_m: Floats  # NaN outside

    def at(self, row: int, column: int) -> Point:
        """Where a cell was sampled."""
        return float(self.x_m[row, column]), float(self.y_m[row, column])


def sample(
    surface: TopSurface,
    *,
    polygon: shapely.Polygon,
    outlets: tuple[Outlet, ...],
    most_cells: int,
    step_m: float | None = None,
) -> WetSheet:
    """Sample ``surface`` over ``polygon``; ``step_m`` of None takes the finest within
    ``most_cells``.
    """
    if step_m is None:
        step_m = max(FINEST_M, float(np.sqrt(polygon.area / most_cells)))
    dry = dry_sheet(polygon, outlets, step_m=step_m)
    inside = dry.lattice.inside
    heights = np.full(inside.shape, np.nan)
    heights[inside] = surface.height_m(np.column_stack([dry.x_m[inside], dry.y_m[inside]]))
    return WetSheet(
        lattice=dry.lattice,
        x_m=dry.x_m,
        y_m=dry.y_m,
        areas_m2=dry.areas_m2,
        outlets=dry.outlets,
        heights_m=heights,
    )


@lru_cache(maxsize=6)
def dry_sheet(polygon: shapely.Polygon, outlets: tuple[Outlet, ...], *, step_m: float) -> DrySheet:
    """The lattice over a floor, the same for every kind of top, so kept for the next one."""
    cover = lattice_over(polygon, step_m=step_m)
    x_m, y_m = np.meshgrid(cover.x_m, cover.y_m)
    half = step_m / 2
    cells = shapely.box(x_m - half, y_m - half, x_m + half, y_m + half)
    shapely.prepare(polygon)
    whole = shapely.contains_properly(polygon, cells)
    cut = ~whole & shapely.intersects(polygon, cells)
    areas = np.where(whole, step_m**2, 0.0)
    areas[cut] = shapely.area(shapely.intersection(cells[cut], polygon))
    inside = whole | (areas > _SLIVER * step_m**2)
    cut &= inside
    walls = polygon.boundary
    shapely.prepare(walls)
    ends = shapely.get_coordinates(
        shapely.shortest_line(shapely.points(x_m[cut], y_m[cut]), walls)
    )[1::2]
    x_m[cut], y_m[cut] = ends[:, 0], ends[:, 1]
    leaves = np.zeros_like(inside)
    for outlet in outlets:
        shape = outlet_shape(outlet, polygon=polygon)
        leaves |= _cells_along(shape, cells=cells, inside=inside, x_m=x_m, y_m=y_m)
    return DrySheet(
        lattice=Lattice(x_m=cover.x_m, y_m=cover.y_m, inside=inside, step_m=step_m),
        x_m=x_m,
        y_m=y_m,
        areas_m2=np.where(inside, areas, 0.0),
        outlets=leaves,
    )


def _cells_along(
    shape: shapely.Geometry, *, cells: NDArray[np.object_], inside: Bools, x_m: Floats, y_m: Floats
) -> Bools:
    """Cells that the outlet's line or point touches; the nearest one when none does."""
    shapely.prepare(shape)
    touched = np.asarray(shapely.dwithin(shape, cells, _TOUCHES_M)) & inside
    if not touched.any() and inside.any():
        gap = np.asarray(shapely.distance(shapely.points(x_m, y_m), shape))
        touched = inside & (gap <= gap[inside].min() + _TOUCHES_M)
    return touched


def outlet_shape(outlet: Outlet, *, polygon: shapely.Polygon) -> shapely.Point | shapely.LineString:
    """The drain's point or the opening's line; what was drawn near a wall is put on it."""
    walls = polygon.boundary
    ends = []
    for drawn in outlet.line:
        point = shapely.Point(drawn)
        near = walls.distance(point) <= ON_OUTLINE_M
        ends.append(walls.interpolate(walls.project(point)) if near else point)
    return ends[0] if len(ends) == 1 else shapely.LineString(ends)


def wall_run(outlet: Outlet, *, polygon: shapely.Polygon) -> shapely.LineString | None:
    """The straight run of outline that holds the opening, end to end; None for a drain.

    Neighbouring sides that continue each other in one line count as one run. An opening that no
    side holds, such as a slot in the floor, is its own run.
    """
    opening = outlet_shape(outlet, polygon=polygon)
    if isinstance(opening, shapely.Point):
        return None
    sides: list[shapely.LineString] = []
    for ring in (polygon.exterior, *polygon.interiors):
        corners = _corners(np.asarray(ring.coords)[:-1])
        ends = np.stack([corners, np.roll(corners, -1, axis=0)], axis=1)
        sides.extend(shapely.LineString(end) for end in ends)
    holder = min(sides, key=lambda side: _apart(side, opening))
    return holder if _apart(holder, opening) <= 1e-3 else opening


def _corners(ring: Floats) -> Floats:
    """The ring's corners without those that lie on a straight side."""
    before = ring - np.roll(ring, 1, axis=0)
    after = np.roll(ring, -1, axis=0) - ring
    turn = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    reach = np.hypot(*before.T) * np.hypot(*after.T)
    kept: Floats = ring[abs(turn) > 1e-3 * np.maximum(reach, 1e-12)]
    return kept


def _apart(side: shapely.LineString, opening: shapely.LineString) -> float:
    """How far the opening's farthest point lies from the side."""
    return max(float(side.distance(shapely.Point(end))) for end in opening.coords)
