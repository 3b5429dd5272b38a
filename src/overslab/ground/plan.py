"""The floor seen from above: whether its lines can be a floor at all, and how it is cut in cells.

Everything here works on plain rings and lines in metres, so that the job can check what was written
down before any room runs.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from overslab.ground.faults import Fault, FaultKind

Point = tuple[float, float]
Line = Sequence[Point]
Floats = NDArray[np.float64]

# A line drawn this near to another is meant to meet it: about the width of a thumb (our choice).
SNAP_M = 0.025
# Corners nearer than this are one corner.
_SAME_M = 1e-4
# Nothing that a small crew pours over is longer than this; beyond it a unit has slipped.
LARGEST_M = 1000.0
_SMALLEST_M2 = 0.01

NOT_A_NUMBER = FaultKind(
    code="plan-not-a-number",
    what="A corner of {name} is not a number.",
    limit="Every x and y is a plain finite length.",
    remedy="Correct that corner of {name}.",
)
TOO_LARGE = FaultKind(
    code="plan-too-large",
    what="A corner of {name} lies farther out than any floor reaches.",
    limit="Within {most} of the origin (our limit: beyond it a unit has slipped).",
    remedy="Check the unit of the corners of {name}.",
)
TOO_FEW_CORNERS = FaultKind(
    code="plan-too-few-corners",
    what="The corners of {name} enclose no floor; {count} of them differ.",
    limit="At least three corners that do not lie on one line.",
    remedy="Give the missing corners of {name} in order round it.",
)
CROSSES_ITSELF = FaultKind(
    code="plan-crosses-itself",
    what="The line of {name} crosses or touches itself near {where}.",
    limit="The corners stand in order round the floor; no side meets another but at its ends.",
    remedy="Put the corners of {name} in order; look first at the two sides that meet there.",
)
HOLE_OUTSIDE = FaultKind(
    code="plan-hole-outside",
    what="The hole {name} is not wholly inside the outline.",
    limit="A hole lies inside the outline and clear of its sides.",
    remedy="Correct the corners of {name}; a hole that stands against a wall is drawn as a notch "
    "of the outline.",
)
HOLES_OVERLAP = FaultKind(
    code="plan-holes-overlap",
    what="The holes {name} and {other} overlap or share a side.",
    limit="Holes stand clear of each other.",
    remedy="Draw the two as one hole, or correct their corners.",
)
FEATURE_OUTSIDE = FaultKind(
    code="plan-feature-outside",
    what="A pit, trench or pad, {name}, reaches {distance} outside the floor or covers none.",
    limit="A pit, trench or pad lies on the floor; up to {snap} over its edge is trimmed.",
    remedy="Correct the corners of {name} or of the outline.",
)
FEATURES_OVERLAP = FaultKind(
    code="plan-features-overlap",
    what="Of the pits, trenches and pads, {name} and {other} lie on top of each other.",
    limit="Pits, trenches and pads may touch and do not overlap.",
    remedy="Correct the corners of one of them, or draw the two as one.",
)
BREAK_SHORT = FaultKind(
    code="plan-break-too-short",
    what="The break {name} has no length.",
    limit="A crack or joint is a line of at least two different points.",
    remedy="Give both ends of {name}.",
)
BREAK_OFF_FLOOR = FaultKind(
    code="plan-break-off-floor",
    what="The break {name} does not touch the floor.",
    limit="A crack or joint lies on the floor.",
    remedy="Correct the ends of {name}, or take it out.",
)
BREAK_FREE_END = FaultKind(
    code="plan-break-does-not-cross",
    what="The break {name} stops in the open floor at {where}, {distance} short of anything.",
    limit="A break runs from edge to edge; it may end on the outline, a hole, a pit, trench or "
    "pad, or another break, within {snap}.",
    remedy="Carry {name} on to the edge or to the crack it meets; a crack that does end in the "
    "open floor has no step there, so leave it out and shoot along it.",
)


def in_metres(value_m: float) -> str:
    """How lengths are told when the caller has no units of its own."""
    return f"{value_m:.3f} m"


def distinct(ring: Line) -> list[Point]:
    """The corners of a ring without repeats of the one before, the closing one among them."""
    kept: list[Point] = []
    for point in ring:
        if not kept or math.dist(point, kept[-1]) > _SAME_M:
            kept.append((float(point[0]), float(point[1])))
    while len(kept) > 1 and math.dist(kept[0], kept[-1]) <= _SAME_M:
        kept.pop()
    return kept


def check_plan(
    *,
    outline: Line,
    holes: Mapping[str, Line],
    features: Mapping[str, Line],
    breaks: Mapping[str, Line],
    place: str = "",
    write: Callable[[float], str] = in_metres,
) -> tuple[Fault, ...]:
    """Every fault in the lines of a floor plan; empty when it can be worked with.

    ``place`` is where it was written down, such as ``job.toml``; ``write`` tells a length in the
    units of the job. What cannot be judged because an outer line is bad is left for the next try.
    """
    look = _Look(place=place, write=write)
    outer = look.ring("the outline", outline)
    hole_shapes = look.rings(holes, title="the hole {}")
    feature_shapes = look.rings(features, title="{}")
    lines = look.lines(breaks)
    if outer is not None:
        look.holes_inside(outer, hole_shapes)
    if outer is None or look.faults:
        return tuple(look.faults)
    floor = outer.difference(shapely.union_all(list(hole_shapes.values())))
    look.features_inside(outer, floor, feature_shapes)
    look.breaks_cross(floor, feature_shapes, lines)
    return tuple(look.faults)


@dataclass(slots=True)
class _Look:
    """One look over a plan: what was found so far, and how it is told."""

    place: str
    write: Callable[[float], str]
    faults: list[Fault] = field(default_factory=list)

    def tell(self, kind: FaultKind, value: str, **facts: object) -> None:
        self.faults.append(kind.met(value=value, place=self.place, **facts))

    def at(self, point: Point) -> str:
        return f"x {self.write(point[0])}, y {self.write(point[1])}"

    def size(self, shape: shapely.Polygon) -> str:
        west, south, east, north = (self.write(value) for value in shape.bounds)
        return f"x {west} to {east}, y {south} to {north}"

    def course(self, line: shapely.LineString) -> str:
        return " to ".join(self.at(point) for point in _ends(line))

    def numbers_good(self, name: str, line: Line) -> bool:
        if not all(math.isfinite(value) for point in line for value in point):
            self.tell(NOT_A_NUMBER, ", ".join(str(tuple(point)) for point in line)[:200], name=name)
            return False
        far = [point for point in line if max(abs(point[0]), abs(point[1])) > LARGEST_M]
        if far:
            self.tell(TOO_LARGE, self.at(far[0]), name=name, most=self.write(LARGEST_M))
        return not far

    def ring(self, name: str, ring: Line) -> shapely.Polygon | None:
        if not self.numbers_good(name, ring):
            return None
        corners = distinct(ring)
        if len(corners) >= 3:
            polygon = shapely.Polygon(corners)
            if not polygon.is_valid:
                where = _trouble(polygon)
                told = "its corners" if where is None else self.at(where)
                self.tell(CROSSES_ITSELF, f"{len(corners)} corners", name=name, where=told)
                return None
            if polygon.area >= _SMALLEST_M2:
                return polygon
        self.tell(TOO_FEW_CORNERS, f"{len(ring)} corners", name=name, count=len(corners))
        return None

    def rings(self, rings: Mapping[str, Line], *, title: str) -> dict[str, shapely.Polygon]:
        found = {name: self.ring(title.format(name), ring) for name, ring in rings.items()}
        return {name: shape for name, shape in found.items() if shape is not None}

    def lines(self, breaks: Mapping[str, Line]) -> dict[str, shapely.LineString]:
        lines = {}
        for name, line in breaks.items():
            if not self.numbers_good(f"the break {name}", line):
                continue
            if len(line) > 1 and shapely.LineString(line).length > SNAP_M:
                lines[name] = shapely.LineString(line)
            else:
                self.tell(BREAK_SHORT, f"{len(line)} points", name=name)
        return lines

    def holes_inside(self, outer: shapely.Polygon, holes: Mapping[str, shapely.Polygon]) -> None:
        sound = {}
        for name, hole in holes.items():
            if hole.within(outer) and hole.boundary.intersection(outer.boundary).length == 0:
                sound[name] = hole
            else:
                self.tell(HOLE_OUTSIDE, self.size(hole), name=name)
        for (name, hole), (other, next_hole) in combinations(sound.items(), 2):
            if hole.intersection(next_hole).length > 0:
                self.tell(HOLES_OVERLAP, self.size(hole), name=name, other=other)

    def features_inside(
        self, outer: shapely.Polygon, floor: BaseGeometry, shapes: Mapping[str, shapely.Polygon]
    ) -> None:
        for name, shape in shapes.items():
            over = _reach_outside(shape, outer)
            if over > SNAP_M or shape.intersection(floor).area < _SMALLEST_M2:
                told = {"distance": self.write(over), "snap": self.write(SNAP_M)}
                self.tell(FEATURE_OUTSIDE, self.size(shape), name=name, **told)
        for (name, shape), (other, next_shape) in combinations(shapes.items(), 2):
            # Drawn edges that overlap by less than the snap only touch.
            if not shape.intersection(next_shape).buffer(-SNAP_M / 2).is_empty:
                self.tell(FEATURES_OVERLAP, self.size(shape), name=name, other=other)

    def breaks_cross(
        self,
        floor: BaseGeometry,
        shapes: Mapping[str, shapely.Polygon],
        lines: Mapping[str, shapely.LineString],
    ) -> None:
        _, free = carry_ends(floor, breaks=lines, features=shapes)
        for name, line in lines.items():
            if line.intersection(floor).length <= SNAP_M:
                self.tell(BREAK_OFF_FLOOR, self.course(line), name=name)
                continue
            for end, gap in free[name]:
                told = {"distance": self.write(gap), "snap": self.write(SNAP_M)}
                self.tell(BREAK_FREE_END, self.course(line), name=name, where=self.at(end), **told)


def carry_ends(
    floor: BaseGeometry,
    *,
    breaks: Mapping[str, shapely.LineString],
    features: Mapping[str, shapely.Polygon],
) -> tuple[dict[str, shapely.LineString], dict[str, list[tuple[Point, float]]]]:
    """Breaks carried on to what they meet within ``SNAP_M``, and the ends that meet nothing.

    A free end is told with its distance to the nearest thing it could have met. Ends outside the
    floor or in a pit, trench or pad are not free.
    """
    carried: dict[str, shapely.LineString] = {}
    free: dict[str, list[tuple[Point, float]]] = {}
    edges = [floor.boundary, *(shape.boundary for shape in features.values())]
    pits = shapely.union_all(list(features.values()))
    for name, line in breaks.items():
        free[name] = []
        first, last = _ends(line)
        if math.dist(first, last) <= _SAME_M:
            carried[name] = line
            continue
        others = [other for key, other in breaks.items() if key != name]
        meets = shapely.union_all([*edges, *others])
        points = list(line.coords)
        for end, put in ((first, 0), (last, len(points))):
            spot = shapely.Point(end)
            if not floor.contains(spot) or pits.contains(spot):
                continue
            gap = spot.distance(meets)
            if gap > SNAP_M:
                free[name].append((end, gap))
            elif gap > 0:
                near = shapely.get_point(shapely.shortest_line(spot, meets), 1)
                points.insert(put if put == 0 else len(points), (near.x, near.y))
        carried[name] = shapely.LineString(points)
    return carried, free


def clipped_cells(polygon: BaseGeometry, *, step_m: float) -> tuple[Floats, Floats]:
    """Square cells of side ``step_m`` cut at the polygon's edge: centroids (n, 2) and areas (n,).

    The areas add up to the polygon's own, and a sum of value times area is exact for any plane,
    because each cut cell stands at its own centroid.
    """
    west, south, east, north = polygon.bounds
    columns = max(1, math.ceil((east - west) / step_m - 1e-9))
    rows = max(1, math.ceil((north - south) / step_m - 1e-9))
    # Centred like ground.lattice, so that whole cells fall on the lattice of the same step.
    left = (west + east) / 2 - columns * step_m / 2
    low = (south + north) / 2 - rows * step_m / 2
    column, row = np.meshgrid(np.arange(columns), np.arange(rows))
    x, y = left + column.ravel() * step_m, low + row.ravel() * step_m
    cells = shapely.box(x, y, x + step_m, y + step_m)
    shapely.prepare(polygon)
    touched = shapely.intersects(polygon, cells)
    cells = cells[touched]
    cut = ~shapely.contains_properly(polygon, cells)
    cells[cut] = shapely.intersection(cells[cut], polygon)
    areas = shapely.area(cells)
    kept = areas > 1e-12
    centroids = shapely.centroid(cells[kept])
    return (
        np.column_stack([shapely.get_x(centroids), shapely.get_y(centroids)]),
        np.asarray(areas[kept], dtype=np.float64),
    )


def _ends(line: shapely.LineString) -> tuple[Point, Point]:
    points = line.coords
    return (points[0][0], points[0][1]), (points[-1][0], points[-1][1])


def _trouble(polygon: shapely.Polygon) -> Point | None:
    found = re.search(r"\[(\S+) (\S+)\]", shapely.is_valid_reason(polygon))
    return (float(found[1]), float(found[2])) if found else None


def _reach_outside(shape: shapely.Polygon, outer: shapely.Polygon) -> float:
    """How far the shape's farthest point lies outside."""
    corners = shapely.points(np.asarray(shape.exterior.coords))
    return float(np.max(shapely.distance(corners, outer)))
