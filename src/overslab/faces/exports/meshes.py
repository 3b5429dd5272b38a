"""The old floor and the new top on one net of triangles, for every file that holds a surface.

Both surfaces stand on the same triangles, so the volume between them is a plain sum of prisms. The
sides of the floor, its holes, breaks, pits, the pad lines and the folds of the top are sides of
triangles. Where no concrete goes, in the pit of a drain that is kept, neither surface is drawn.
Where a break has a step the old floor has two heights at one place: the triangles of either panel
have corners of their own there.

Between its pad lines the top is bilinear and the old floor is bent; flat triangles cut across
both. With about two thousand cells to a floor that is far less than the plus-or-minus of the
volume, which the tests hold against the takeoff.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import pythoncdt
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from overslab.faces.exports import faults
from overslab.ground.faults import Faulty
from overslab.job.records import Walk
from overslab.newtop.records import TopOption
from overslab.takeoff import pits_of_drains

Floats = NDArray[np.float64]
Places = NDArray[np.intp]

_CELLS = 2000
# Lines are noded on this grid, so that what meets on paper meets here.
_GRID_M = 1e-6
# Places inside keep this share of a cell from every line.
_CLEAR = 0.45
_LEAST_M2 = 1e-9
# Heights at a break are taken this far on the side they belong to.
_ASIDE_M = 1e-3
_MISSING = 1e-4  # share of the floor that may be lost to seams between drawn lines


@dataclass(frozen=True, eq=False)
class Mesh:
    """``at_m`` (v, 2) corners, ``old_m`` and ``new_m`` (v,) heights, ``triangles`` (t, 3).

    Triangles run counter-clockwise seen from above.
    """

    at_m: Floats
    old_m: Floats
    new_m: Floats
    triangles: Places

    @cached_property
    def areas_m2(self) -> Floats:
        """(t,) areas seen from above."""
        return _twice(self.at_m, self.triangles) / 2

    @property
    def area_m2(self) -> float:
        return float(self.areas_m2.sum())

    @property
    def volume_m3(self) -> float:
        """Between the two surfaces, by prisms."""
        thick = (self.new_m - self.old_m)[self.triangles].mean(axis=1)
        return float(self.areas_m2 @ thick)


def top_of(walk: Walk) -> TopOption:
    """The chosen top; raises ``Faulty`` when no kind of top meets the wishes."""
    top = walk.newtop.top
    if top is None or top.surface is None:
        raise Faulty(faults.NO_TOP.met(value=walk.job.name))
    return top


def mesh_of(walk: Walk) -> Mesh:
    """The net of the floor. Raises ``Faulty`` without a top, or when the lines make no net."""
    top, old = top_of(walk), walk.oldslab
    assert top.surface is not None
    panels = [panel.polygon for panel in old.panels]
    pits = [pit for _, pit in pits_of_drains(walk.newtop)]
    floor = shapely.union_all(panels, grid_size=_GRID_M).difference(shapely.union_all(pits))
    step_m = float(np.sqrt(floor.area / _CELLS))
    lines = _lines(floor, panels, top, step_m=step_m)
    corners, links = _linked(lines)
    corners = np.concatenate([corners, _inner(floor, lines, step_m=step_m)])
    try:
        triangles = _triangles(corners, links)
    except (RuntimeError, ValueError, IndexError) as trouble:
        raise _not_meshed(str(trouble)[:80]) from None
    middles = corners[triangles].mean(axis=1)
    shapely.prepare(floor)
    kept = shapely.contains_xy(floor, middles[:, 0], middles[:, 1])
    triangles, middles = triangles[kept], middles[kept]
    panel = shapely.STRtree(panels).nearest(shapely.points(middles))
    pairs, inverse = np.unique(
        np.column_stack([triangles.ravel(), np.repeat(panel, 3)]), axis=0, return_inverse=True
    )
    at_m = corners[pairs[:, 0]]
    numbered = inverse.reshape(-1, 3)
    made = Mesh(
        at_m=at_m,
        old_m=old.surface.height_m(_own_side(at_m, pairs[:, 0], numbered)),
        new_m=top.surface.height_m(at_m),
        triangles=numbered,
    )
    _look_over(made, floor)
    return made


def _lines(
    floor: BaseGeometry, panels: list[shapely.Polygon], top: TopOption, *, step_m: float
) -> shapely.MultiLineString:
    """Every line that must be a side of triangles, noded and cut into steps."""
    shape: list[shapely.LineString] = [
        shapely.LinearRing(ring) for ring in top.facets if len(ring) > 2
    ]
    shape += [shapely.LineString(fold) for fold in top.folds]
    inside = shapely.intersection(shapely.union_all(shape), floor)
    edges = [floor.boundary, *(panel.boundary for panel in panels)]
    noded = shapely.union_all([*edges, inside], grid_size=_GRID_M)
    lines = [part for part in shapely.get_parts(noded) if part.geom_type == "LineString"]
    return shapely.MultiLineString(shapely.segmentize(lines, step_m).tolist())


def _linked(lines: shapely.MultiLineString) -> tuple[Floats, NDArray[np.uint32]]:
    """Distinct corners of noded lines, and the links between neighbours."""
    walked, line = shapely.get_coordinates(shapely.get_parts(lines), return_index=True)
    _, first, number = np.unique(
        np.round(walked / (10 * _GRID_M)).astype(np.int64),
        axis=0,
        return_index=True,
        return_inverse=True,
    )
    number = number.reshape(-1)
    pairs = np.column_stack([number[:-1], number[1:]])[line[:-1] == line[1:]]
    pairs = np.unique(np.sort(pairs[pairs[:, 0] != pairs[:, 1]], axis=1), axis=0)
    return walked[first], pairs.astype(np.uint32)


def _inner(floor: BaseGeometry, lines: shapely.MultiLineString, *, step_m: float) -> Floats:
    """Places on a square net inside the floor, clear of every line."""
    west, south, east, north = floor.bounds
    x, y = np.meshgrid(
        np.arange(west + step_m / 2, east, step_m), np.arange(south + step_m / 2, north, step_m)
    )
    places = np.column_stack([x.ravel(), y.ravel()])
    shapely.prepare(floor)
    places = places[shapely.contains_xy(floor, places[:, 0], places[:, 1])]
    tree = shapely.STRtree(shapely.get_parts(lines))
    near, _ = tree.query(shapely.points(places), predicate="dwithin", distance=_CLEAR * step_m)
    clear = np.ones(len(places), dtype=bool)
    clear[near] = False
    return places[clear]


def _triangles(at_m: Floats, links: NDArray[np.uint32]) -> Places:
    made = pythoncdt.Triangulation(
        pythoncdt.VertexInsertionOrder.AUTO,
        pythoncdt.IntersectingConstraintEdges.NOT_ALLOWED,
        0.0,
    )
    made.insert_vertices([pythoncdt.V2d(float(x), float(y)) for x, y in at_m])
    made.insert_edges([pythoncdt.Edge(int(a), int(b)) for a, b in links])
    made.erase_super_triangle()
    found = np.array([list(one.vertices) for one in made.triangles], dtype=np.intp).reshape(-1, 3)
    twice = _twice(at_m, found)
    found[twice < 0] = found[twice < 0][:, ::-1]
    return found[np.abs(twice) > 2 * _LEAST_M2]


def _twice(at_m: Floats, triangles: Places) -> Floats:
    a, b, c = (at_m[triangles[:, k]] for k in range(3))
    one, two = b - a, c - a
    return np.asarray(one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0])


def _own_side(at_m: Floats, corner: Places, triangles: Places) -> Floats:
    """Places to ask for the old height: a corner that panels share is moved into its own panel."""
    counts = np.bincount(corner)
    shared = np.flatnonzero(counts[corner] > 1)
    owner = np.empty(len(at_m), dtype=np.intp)
    owner[triangles] = np.arange(len(triangles))[:, None]
    way = at_m[triangles[owner[shared]]].mean(axis=1) - at_m[shared]
    far = np.hypot(way[:, 0], way[:, 1])
    asked = at_m.copy()
    asked[shared] += way * np.minimum(0.5, _ASIDE_M / far)[:, None]
    return asked


def _look_over(mesh: Mesh, floor: BaseGeometry) -> None:
    """The net covers the floor, or nothing is written."""
    lost = abs(mesh.area_m2 / floor.area - 1.0)
    if not lost <= _MISSING:
        raise _not_meshed(f"{lost:.2%} of the floor")


def _not_meshed(value: str) -> Faulty:
    return Faulty(faults.NOT_MESHED.met(value=value, most=_MISSING))
