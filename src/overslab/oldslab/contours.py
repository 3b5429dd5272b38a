"""Lines of equal height, cut at the edge of the floor and at every break."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import contourpy
import numpy as np
import scipy.ndimage
import shapely
from numpy.typing import NDArray

from overslab.ground.lattice import Lattice
from overslab.oldslab.panels import side_of
from overslab.oldslab.records import OldSlab, Point

Floats = NDArray[np.float64]
_SHORTEST_STEPS = 0.5  # clipped ends shorter than this many lattice steps are not lines


@dataclass(frozen=True, slots=True)
class Contour:
    """One line of equal height; a closed line repeats its first point at the end."""

    level_m: float
    line: tuple[Point, ...]


def contours(
    shown: OldSlab | tuple[Lattice, Floats],
    levels_m: Iterable[float],
    *,
    within: shapely.Geometry | None = None,
) -> tuple[Contour, ...]:
    """Contours of the old floor, or of any (ny, nx) sheet on a lattice (heights, thickness).

    The old floor is contoured panel by panel, so that a step across a break breaks the lines too. A
    sheet is carried on past its edge by its nearest value and slope and cut at ``within``, or at
    the edge of the inside cells when that is not given.
    """
    levels = sorted(float(level) for level in levels_m)
    if isinstance(shown, OldSlab):
        return _of_floor(shown, levels)
    lattice, sheet = shown
    if not np.isfinite(sheet).any():
        return ()
    edge = _cells(lattice) if within is None else within
    return tuple(_clipped(_grown(lattice, sheet), levels, edge, lattice.step_m))


def _of_floor(floor: OldSlab, levels: list[float]) -> tuple[Contour, ...]:
    found: list[Contour] = []
    lattice = floor.lattice
    side = side_of(floor.panels, lattice.points_m)
    for number, panel in enumerate(floor.panels):
        own = lattice.spread(np.where(side == number, 1.0, np.nan))
        if np.isfinite(own).any():
            grid = _grown(lattice, floor.heights_m * own)
            found += _clipped(grid, levels, panel.polygon, lattice.step_m)
    return tuple(found)


Grid = tuple[Floats, Floats, Floats]


def _grown(lattice: Lattice, sheet: Floats) -> Grid:
    """The sheet with one more ring of cells, every unknown cell filled from the nearest known one.

    The nearest cell's slope goes with it, so that lines run straight out to the edge.
    """
    padded = np.pad(np.asarray(sheet, dtype=np.float64), 1, constant_values=np.nan)
    known = np.isfinite(padded)
    rows, columns = np.indices(padded.shape)
    row, column = scipy.ndimage.distance_transform_edt(
        ~known, return_distances=False, return_indices=True
    )
    grown = padded[row, column]
    grown += _slope(padded, axis=0)[row, column] * (rows - row)
    grown += _slope(padded, axis=1)[row, column] * (columns - column)
    return _stretched(lattice.x_m, lattice.step_m), _stretched(lattice.y_m, lattice.step_m), grown


def _slope(padded: Floats, *, axis: int) -> Floats:
    """Rise per cell along an axis from the known neighbours, zero where there are none."""
    rises = np.diff(padded, axis=axis)
    ring = np.full_like(np.take(padded, [0], axis=axis), np.nan)
    before = np.concatenate([ring, rises], axis=axis)
    after = np.concatenate([rises, ring], axis=axis)
    has = np.isfinite(before).astype(float) + np.isfinite(after)
    return np.asarray((np.nan_to_num(before) + np.nan_to_num(after)) / np.maximum(has, 1.0))


def _stretched(line_m: Floats, step_m: float) -> Floats:
    return np.concatenate([[line_m[0] - step_m], line_m, [line_m[-1] + step_m]])


def _cells(lattice: Lattice) -> shapely.Geometry:
    half = lattice.step_m / 2 * (1 + 1e-6)  # a hair over, so that no seam is left between cells
    x, y = lattice.points_m.T
    return shapely.union_all(shapely.box(x - half, y - half, x + half, y + half))


def _clipped(
    grid: Grid, levels: list[float], edge: shapely.Geometry, step_m: float
) -> list[Contour]:
    x_m, y_m, sheet = grid
    maker = contourpy.contour_generator(x_m, y_m, sheet, line_type=contourpy.LineType.Separate)
    found = []
    for level in levels:
        lines = [
            shapely.LineString(np.asarray(line)) for line in maker.lines(level) if len(line) > 1
        ]
        if not lines:
            continue
        cut = shapely.intersection(shapely.multilinestrings(lines), edge)
        joined = shapely.line_merge(cut) if isinstance(cut, shapely.MultiLineString) else cut
        for part in shapely.get_parts(joined):
            if isinstance(part, shapely.LineString) and part.length > _SHORTEST_STEPS * step_m:
                line = tuple((float(x), float(y)) for x, y in part.coords)
                found.append(Contour(level_m=level, line=line))
    return found
