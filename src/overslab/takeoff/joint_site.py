"""What joints are laid over: the floor, how thick its new top is, what stands and runs in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from overslab.ground.faults import Faulty
from overslab.newtop.records import NewTop
from overslab.oldslab.records import OldSlab
from overslab.takeoff import faults
from overslab.takeoff.joint_field import turned, without_posts
from overslab.takeoff.joint_records import Point

Floats = NDArray[np.float64]

_ALONG_M = 0.1
_ASIDE_M = 0.01  # to either side of a line, where the old floor may step
_REACH_M = 0.05  # an old joint that ends this near a wall is carried on to it
_SPECK_M2 = 0.02


@dataclass(frozen=True, slots=True, eq=False)
class JointSite:
    """The floor, its thickness, and the way its joints run."""

    oldslab: OldSlab
    newtop: NewTop
    floor: shapely.Polygon
    angle_rad: float

    def thickness_m(self, xy_m: Floats) -> Floats:
        top = self.newtop.top
        if top is None or top.surface is None:
            raise Faulty(faults.NO_TOP.met(value="no kind of top chosen"))
        found: Floats = top.surface.height_m(xy_m) - self.oldslab.surface.height_m(xy_m)
        return found

    def thinnest(self, u_m: Floats, v_m: Floats) -> Floats:
        """Thinnest of each cell (nv, nu): on a grid twice as fine, and on the drawn lattice."""
        halves = [np.sort(np.concatenate([x, (x[:-1] + x[1:]) / 2])) for x in (u_m, v_m)]
        across, up = np.meshgrid(*halves)
        at = turned(np.column_stack([across.ravel(), up.ravel()]), self.angle_rad)
        shapely.prepare(self.floor)
        inside = shapely.intersects_xy(self.floor, at[:, 0], at[:, 1])
        values = np.full(len(at), np.inf)
        values[inside] = self.thickness_m(at[inside])
        fine = values.reshape(across.shape)
        rows, columns = len(v_m) - 1, len(u_m) - 1
        least = np.full((rows, columns), np.inf)
        for i in range(3):
            for j in range(3):
                part = fine[i : i + 2 * rows - 1 : 2, j : j + 2 * columns - 1 : 2]
                least = np.minimum(least, part)
        lattice = self.newtop.lattice
        seen = self.newtop.thickness_m[lattice.inside]
        places = turned(lattice.points_m, -self.angle_rad)
        column = np.searchsorted(u_m, places[:, 0]) - 1
        row = np.searchsorted(v_m, places[:, 1]) - 1
        known = np.isfinite(seen) & (column >= 0) & (column < columns) & (row >= 0) & (row < rows)
        np.minimum.at(least, (row[known], column[known]), seen[known])
        return least

    def along(self, path: Sequence[Point]) -> tuple[float, float]:
        """Thinnest and thickest along a line, seen on either side of it."""
        line = shapely.LineString(path)
        sides = [line, line.offset_curve(_ASIDE_M), line.offset_curve(-_ASIDE_M)]
        at = shapely.get_coordinates([shapely.segmentize(side, _ALONG_M) for side in sides])
        inside = shapely.intersects_xy(self.floor, at[:, 0], at[:, 1])
        here = self.thickness_m(at[inside] if inside.any() else at)
        return float(here.min()), float(here.max())


def old_lines(
    oldslab: OldSlab, floor: shapely.Polygon, names: Sequence[str]
) -> list[tuple[str, tuple[Point, ...]]]:
    """The old joints and cracks to joint over, carried on to the walls they all but reach."""
    found = []
    for line in oldslab.plan.breaks:
        if line.name not in names:
            continue
        path = np.asarray(line.line, dtype=np.float64)
        for end, before in ((0, 1), (-1, -2)):
            gap = shapely.Point(path[end]).distance(floor.boundary)
            if 0.0 < gap <= _REACH_M:
                way = path[end] - path[before]
                path[end] += way / np.hypot(*way) * 2 * _REACH_M
        inside = shapely.intersection(shapely.LineString(path), without_posts(floor))
        for part in shapely.get_parts(shapely.line_merge(inside)):
            if part.length > _REACH_M:
                found.append((line.name, points_of(part)))
    return found


def jambs_of(newtop: NewTop) -> tuple[tuple[str, tuple[Point, Point]], ...]:
    return tuple(
        (edge.name, (edge.a, edge.b))
        for edge in newtop.wishes.edges
        if edge.kind in ("door", "threshold")
    )


def points_of(shape: BaseGeometry) -> tuple[Point, ...]:
    return tuple((float(x), float(y)) for x, y in shapely.get_coordinates(shape))


def segments(line: BaseGeometry) -> list[shapely.LineString]:
    at = shapely.get_coordinates(line)
    return [shapely.LineString(at[k : k + 2]) for k in range(len(at) - 1)]


def regions_of(floor: shapely.Polygon, cuts: Sequence[shapely.LineString]) -> list[shapely.Polygon]:
    if not cuts:
        return [floor]
    net = shapely.union_all([floor.boundary, *cuts], grid_size=1e-6)
    faces = [
        face
        for face in shapely.get_parts(shapely.polygonize([net]))
        if face.area > _SPECK_M2 and floor.contains(face.representative_point())
    ]
    return sorted(faces, key=lambda face: (face.centroid.x, face.centroid.y))
