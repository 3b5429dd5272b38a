"""The floor as steel sees it: inside its edges, the longest wall turned along x."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, cos, sin

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from overslab.ground.faults import Fault, Faulty
from overslab.takeoff import steel_faults

Floats = NDArray[np.float64]
Box = tuple[float, float, float, float]  # west, south, east, north
Point = tuple[float, float]
_STRAIGHT = 1e-9


@dataclass(frozen=True, slots=True)
class Turn:
    """From the sheet to the courses and back: turned by an angle, then x and y swapped if asked."""

    angle: float
    swapped: bool = False

    def there(self, shape: BaseGeometry) -> BaseGeometry:
        return shapely.transform(shape, self._forward)

    def back(self, box: Box) -> tuple[Point, ...]:
        """The corners on the sheet of a box that lies along the courses."""
        west, south, east, north = box
        xy = np.array([(west, south), (east, south), (east, north), (west, north)])
        return self.points_back(xy)

    def points_back(self, xy: Floats) -> tuple[Point, ...]:
        if self.swapped:
            xy = xy[:, ::-1]
        c, s = cos(self.angle), sin(self.angle)
        return tuple((float(x), float(y)) for x, y in xy @ np.array([[c, s], [-s, c]]))

    def _forward(self, xy: Floats) -> Floats:
        c, s = cos(self.angle), sin(self.angle)
        turned: Floats = xy @ np.array([[c, -s], [s, c]])
        return turned[:, ::-1] if self.swapped else turned


def inside_edges(floor: shapely.Polygon, *, edge_m: float) -> BaseGeometry:
    """The floor that keeps ``edge_m`` from outline and posts. Raises ``Faulty`` when none does."""
    inner = floor.buffer(-edge_m, join_style="mitre") if edge_m > 0 else floor
    if inner.is_empty:
        raise Faulty(steel_faults.STEEL_NO_FLOOR.met(value=f"{edge_m:.3f} m from every edge"))
    return inner


def along_longest(floor: shapely.Polygon) -> Turn:
    """The turn that brings the longest wall along x."""
    sides = np.diff(np.asarray(floor.exterior.coords), axis=0)
    longest = sides[int(np.hypot(sides[:, 0], sides[:, 1]).argmax())]
    angle = atan2(longest[1], longest[0])
    square = np.round(angle / (np.pi / 2)) * np.pi / 2
    return Turn(0.0 if abs(angle - square) < _STRAIGHT else float(angle))


def rings_of_steel(inner: BaseGeometry) -> tuple[tuple[Point, ...], ...]:
    """The rings of the floor inside the edges, outlines before posts."""
    return tuple(
        tuple((float(x), float(y)) for x, y in ring.coords[:-1])
        for part in shapely.get_parts(inner)
        for ring in (part.exterior, *part.interiors)
    )


def steel_of_rings(rings: tuple[tuple[Point, ...], ...]) -> BaseGeometry:
    """The floor inside the edges from its rings: what an odd number of them encloses."""
    shape: BaseGeometry = shapely.Polygon()
    for ring in rings:
        shape = shape.symmetric_difference(shapely.Polygon(ring))
    return shape


def not_positive(values: dict[str, float], *, or_zero: tuple[str, ...] = ()) -> list[Fault]:
    """A fault for every named value that is not more than nothing, or less than it."""
    return [
        steel_faults.STEEL_NOT_POSITIVE.met(value=value, what=name)
        for name, value in values.items()
        if not (value >= 0 if name in or_zero else value > 0) or not np.isfinite(value)
    ]
