"""The floor as the takeoff sees it: its thickness anywhere, its walls, what stands in it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from overslab.newtop.records import NewTop, TopSurface
from overslab.oldslab.records import OldSlab
from overslab.touches.records import Touches

Floats = NDArray[np.float64]
Point = tuple[float, float]

# A line drawn this near to an edge runs along it: about the width of a thumb (our choice).
_ALONG_M = 0.03
_SHORTEST_M = 0.01  # shorter pieces are slips of drawn corners
_LOOK_M = 0.15  # thickness is looked at this often along a line
_INSIDE_M = 0.002


@dataclass(frozen=True, slots=True)
class Stretch:
    """A straight piece of the edge of the new slab, or of something that stands in it."""

    name: str
    a: Point
    b: Point

    @property
    def line(self) -> shapely.LineString:
        return shapely.LineString([self.a, self.b])

    @property
    def length_m(self) -> float:
        return math.dist(self.a, self.b)


@dataclass(frozen=True, slots=True, eq=False)
class Place:
    """``floor`` is where concrete goes: without posts, other holes and the pits of drains."""

    floor: shapely.Polygon
    oldslab: OldSlab
    newtop: NewTop
    surface: TopSurface
    named: tuple[Stretch, ...] = ()  # walls that the owner gave a name

    def thickness_m(self, xy_m: Floats) -> Floats:
        """Of the new slab at (n, 2) places; never less than none."""
        old_m = self.oldslab.surface.height_m(xy_m)
        return np.maximum(self.surface.height_m(xy_m) - old_m, 0.0)

    def greatest_m(self, line: BaseGeometry) -> float:
        """Greatest thickness along a line on the floor or its edge."""
        points = shapely.get_coordinates(shapely.segmentize(line, _LOOK_M))
        # A place on the edge may fall off it by a rounding: look from just inside.
        inner = self.floor.buffer(-_INSIDE_M)
        near = shapely.get_coordinates(shapely.shortest_line(shapely.points(points), inner))[1::2]
        return float(self.thickness_m(near).max())

    def doors(self) -> tuple[shapely.LineString, ...]:
        """Doors and aprons: the new slab ends there at a sill and not at a wall."""
        edges = self.newtop.wishes.edges
        return tuple(
            shapely.LineString([edge.a, edge.b]) for edge in edges if edge.kind in ("door", "apron")
        )

    def open_edges(self) -> tuple[Stretch, ...]:
        """What of the outline has neither wall nor door."""
        doors = self.doors()
        opened = [shapely.LineString(ends) for ends in self.oldslab.plan.openings]
        return tuple(
            Stretch(name, *ends)
            for name, line in self._edges()
            for ends in _between(line, _within(line, opened), without=_within(line, doors))
        )

    def walls(self, *, with_doors: bool = False) -> tuple[Stretch, ...]:
        """The outline against walls; with ``with_doors`` also across doors and open edges."""
        gaps: list[shapely.LineString] = []
        if not with_doors:
            gaps = [*map(shapely.LineString, self.oldslab.plan.openings), *self.doors()]
        return tuple(
            Stretch(self._name_at(ends, name), *ends)
            for name, line in self._edges()
            for ends in _between(line, [(0.0, line.length)], without=_within(line, gaps))
        )

    def _name_at(self, ends: tuple[Point, Point], name: str) -> str:
        """The owner's name for the wall that stands along it."""
        (x0, y0), (x1, y1) = ends
        middle = shapely.Point((x0 + x1) / 2, (y0 + y1) / 2)
        near = (wall.name for wall in self.named if wall.line.distance(middle) < _ALONG_M)
        return next(near, name)

    def standing(self) -> tuple[tuple[str, shapely.Polygon], ...]:
        """What the concrete goes round: posts, other holes, the pits of drains."""
        holes = [(hole.name, shapely.Polygon(hole.corners)) for hole in self.oldslab.plan.holes]
        return (*holes, *pits_of_drains(self.newtop))

    def steps(self) -> tuple[Stretch, ...]:
        """Feet of stairs that stand on the floor and not on its edge."""
        edge = self.floor.exterior.buffer(_ALONG_M)
        found = [
            Stretch(one.name, one.a, one.b)
            for one in self.newtop.wishes.edges
            if one.kind == "stair"
        ]
        return tuple(one for one in found if not edge.contains(one.line))

    def _edges(self) -> Iterable[tuple[str, shapely.LineString]]:
        corners = self.oldslab.plan.outline
        for number, (a, b) in enumerate(zip(corners, (*corners[1:], corners[0]), strict=True), 1):
            yield f"edge {number}", shapely.LineString([a, b])


def place_of(
    oldslab: OldSlab, newtop: NewTop, surface: TopSurface, *, touches: Touches | None = None
) -> Place:
    """The floor without what takes no concrete; ``touches`` lend walls their names."""
    walls = [one for one in touches.touches if one.kind == "wall"] if touches else []
    pits = shapely.union_all([pit for _, pit in pits_of_drains(newtop)])
    whole = oldslab.plan.polygon()
    parts = shapely.get_parts(whole.difference(pits))
    # A pit in a corner may cut off a sliver; the floor is the greatest piece.
    floor = max(
        (part for part in parts if isinstance(part, shapely.Polygon)),
        key=lambda part: part.area,
        default=whole,
    )
    named = tuple(Stretch(one.name, *one.line) for one in walls if len(one.line) == 2)
    return Place(floor, oldslab, newtop, surface, named)


def pits_of_drains(newtop: NewTop) -> tuple[tuple[str, shapely.Polygon], ...]:
    """The squares that pits of drains take up; a buried drain is poured over."""
    return tuple(
        (drain.name, shapely.Point(drain.at).buffer(drain.size_m / 2, cap_style="square"))
        for drain in newtop.wishes.drains
        if drain.size_m > 0.0 and drain.plan != "bury"
    )


def _within(
    edge: shapely.LineString, lines: Iterable[shapely.LineString]
) -> list[tuple[float, float]]:
    """From where to where along a straight edge the lines that lie on it run."""
    found = []
    for line in lines:
        ends = shapely.points(np.asarray(line.coords)[[0, -1]])
        if np.max(shapely.distance(edge, ends)) <= _ALONG_M:
            begin, end = np.sort(shapely.line_locate_point(edge, ends))
            found.append((float(begin), float(end)))
    return sorted(found)


def _between(
    edge: shapely.LineString,
    spans: Sequence[tuple[float, float]],
    *,
    without: Sequence[tuple[float, float]],
) -> list[tuple[Point, Point]]:
    """The two ends of every piece of the spans that lies in none of the others."""
    marks = sorted({end for span in (*spans, *without) for end in span})
    pieces: list[tuple[float, float]] = []
    for begin, end in pairwise(marks):
        middle = (begin + end) / 2
        wanted = any(low < middle < high for low, high in spans)
        if not wanted or any(low < middle < high for low, high in without):
            continue
        if pieces and pieces[-1][1] == begin:
            pieces[-1] = (pieces[-1][0], end)
        else:
            pieces.append((begin, end))
    at = (
        tuple(shapely.line_interpolate_point(edge, list(piece)))
        for piece in pieces
        if piece[1] - piece[0] > _SHORTEST_M
    )
    return [((a.x, a.y), (b.x, b.y)) for a, b in at]
