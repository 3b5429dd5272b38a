"""The floor turned so that its main walls run along the axes, which is how pads are laid out."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

Floats = NDArray[np.float64]

# Walls within this of each other count as one direction.
_SAME_DIRECTION_RAD = math.radians(0.5)
# A floor turned by less than this is drawn as not turned at all.
_NOT_TURNED_RAD = 1e-6


@dataclass(frozen=True, slots=True)
class Frame:
    """A turn about the origin: ``angle_rad`` counter-clockwise from the sheet to the walls."""

    angle_rad: float

    def to_walls(self, xy_m: Floats) -> Floats:
        """Sheet places or directions (n, 2) as seen along the walls."""
        return self._turned(xy_m, -self.angle_rad)

    def to_sheet(self, uv_m: Floats) -> Floats:
        """Places or directions (n, 2) along the walls back on the sheet."""
        return self._turned(uv_m, self.angle_rad)

    def shape_to_walls(self, shape: shapely.Polygon) -> shapely.Polygon:
        turned: shapely.Polygon = shapely.transform(shape, self.to_walls)
        return turned

    def shape_to_sheet(self, shape: shapely.Polygon) -> shapely.Polygon:
        turned: shapely.Polygon = shapely.transform(shape, self.to_sheet)
        return turned

    @staticmethod
    def _turned(places: Floats, angle: float) -> Floats:
        places = np.asarray(places, dtype=np.float64).reshape(-1, 2)
        if angle == 0.0:
            return places
        turn = np.array([[math.cos(angle), math.sin(angle)], [-math.sin(angle), math.cos(angle)]])
        turned: Floats = places @ turn
        return turned


def straightened(polygon: shapely.Polygon) -> shapely.Polygon:
    """The polygon without corners that lie on a straight wall, to a millimetre."""
    simple = polygon.simplify(1e-3)
    return simple if isinstance(simple, shapely.Polygon) else polygon


def frame_along_walls(polygon: shapely.Polygon) -> Frame:
    """The direction, modulo a right angle, that has the most length of wall."""
    corners = np.asarray(polygon.exterior.coords)
    sides = np.diff(corners, axis=0)
    lengths = np.hypot(sides[:, 0], sides[:, 1])
    quarter = math.pi / 2
    angles = np.mod(np.arctan2(sides[:, 1], sides[:, 0]), quarter)
    apart = np.abs(angles[:, None] - angles[None, :])
    apart = np.minimum(apart, quarter - apart)
    support = (apart <= _SAME_DIRECTION_RAD) @ lengths
    # Among equals the longest single wall decides, then the first drawn.
    best = int(np.lexsort((-lengths, -np.round(support, 6)))[0])
    angle = float(angles[best])
    if angle > quarter / 2:
        angle -= quarter
    return Frame(angle_rad=0.0 if abs(angle) < _NOT_TURNED_RAD else angle)
