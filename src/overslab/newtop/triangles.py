"""Planes that meet at folds: marks at corners, along folds and between, triangles on them.

While the solver works every region is one plane; only the rounding of the marks makes triangles of
it, so the same elements serve both.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import numpy as np
import pythoncdt
import shapely
from numpy.typing import NDArray
from scipy.linalg import null_space
from shapely.geometry.base import BaseGeometry

from overslab.newtop.pads import Samples, Stencil
from overslab.newtop.paths import without_narrow_posts

Floats = NDArray[np.float64]
Places = NDArray[np.intp]

# Marks inside a plane keep this share of the span from its sides: nearer ones say nothing new.
_CLEAR_SHARE = 0.45
_SAME_M = 1e-6
_SAME_SHARE = 1e-9
_FEW = 100  # places that are held against every triangle at once
_INSIDE = 0.02
_SPECK_M2 = 1e-3


class RegionsCross(ValueError):
    """The sides of the regions cross where no corner is."""


class TrianglePads:
    """Marks on regions that each lie in one plane.

    ``regions`` cover the floor and may reach beyond it; ``inner_m`` are places such as pad-line
    crossings that may serve as marks where no fold is near. ``shape`` (n, k) gives mark heights
    from the k free numbers that keep the planes joined along every fold.
    """

    def __init__(
        self,
        polygon: shapely.Polygon,
        regions: Sequence[shapely.Polygon],
        *,
        inner_m: Floats,
        limit_m: float,
    ) -> None:
        self.polygon, self.spacing_m = polygon, limit_m
        # No marks are set round a narrow post: the planes run through under it.
        floor = without_narrow_posts(polygon)
        self.regions = regions = [
            part
            for region in regions
            for part in shapely.get_parts(region.intersection(floor))
            if part.geom_type == "Polygon" and part.area > _SPECK_M2
        ]
        # On a micrometre grid, so that lines that meet do meet.
        lines = [floor.boundary, *(region.boundary for region in regions)]
        sides = shapely.union_all(lines, grid_size=_SAME_M)
        sides = shapely.intersection(sides, floor.buffer(_SAME_M * 10))
        sides = shapely.segmentize(shapely.line_merge(sides), limit_m)
        shapely.prepare(sides)
        far = shapely.distance(sides, shapely.points(inner_m)) >= _CLEAR_SHARE * limit_m
        inside = shapely.contains_xy(polygon, inner_m[:, 0], inner_m[:, 1])
        corners, links = _linked(sides)
        self.at_m = np.concatenate([corners, inner_m[far & inside]])
        triangles = _triangulated(self.at_m, links)
        middle = self.at_m[triangles].mean(axis=1)
        kept = shapely.contains_xy(floor, middle[:, 0], middle[:, 1])
        used, numbered = np.unique(triangles[kept], return_inverse=True)
        self.at_m, middle = self.at_m[used], middle[kept]
        self.on_sides = int((used < len(corners)).sum())
        self.triangles = numbered.reshape(-1, 3)
        tree = shapely.STRtree(list(regions))
        self.region_of = tree.nearest(shapely.points(middle))
        a, b, c = (self.at_m[self.triangles[:, k]] for k in range(3))
        twice = (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]
        # Rise per metre of the weight of each corner, (t, 3) for each direction.
        self._du = np.column_stack([b[:, 1] - c[:, 1], c[:, 1] - a[:, 1], a[:, 1] - b[:, 1]])
        self._dv = np.column_stack([c[:, 0] - b[:, 0], a[:, 0] - c[:, 0], b[:, 0] - a[:, 0]])
        self._du /= twice[:, None]
        self._dv /= twice[:, None]
        self._middle = middle
        self.integral_m2 = np.zeros(len(self.at_m))
        np.add.at(self.integral_m2, self.triangles, (np.abs(twice) / 6)[:, None])
        self._ends = self.at_m[self.triangles].min(axis=1), self.at_m[self.triangles].max(axis=1)
        self._leave_out(shapely.difference(floor, polygon))
        self.shape = self._joined()

    def _leave_out(self, posts: BaseGeometry) -> None:
        """Take what stands under narrow posts out of the volume."""
        if posts.is_empty:
            return
        for element, corners in enumerate(self.at_m[self.triangles]):
            under = shapely.intersection(posts, shapely.Polygon(corners))
            if under.area > 0.0:
                # A plane's integral is its height at the middle times the area.
                at = np.array(under.centroid.coords)
                stencil = self.height(at, np.array([element]))
                self.integral_m2[stencil.index[0]] -= under.area * stencil.value[0]

    def locate(self, at_m: Floats) -> Places:
        """The triangle each place lies in, the nearest for places off the floor."""
        found = self._few(at_m) if len(at_m) < _FEW else self._many(at_m)
        off = np.flatnonzero(found < 0)
        if len(off):
            found[off] = self._tree.nearest(shapely.points(at_m[off]))
        return found

    def _few(self, at_m: Floats) -> Places:
        """Every place against every triangle; -1 off them all."""
        away = at_m[:, None, :] - self._middle[None, :, :]
        share = self._du * away[..., :1] + self._dv * away[..., 1:]
        within = (share >= -1 / 3 - _SAME_SHARE).all(axis=2)
        return np.where(within.any(axis=1), within.argmax(axis=1), -1)

    def _many(self, at_m: Floats) -> Places:
        """Triangle by triangle, each against the places within its bounds; -1 off them all."""
        found = np.full(len(at_m), -1, dtype=np.intp)
        order = np.argsort(at_m[:, 0], kind="stable")
        across, up = at_m[order, 0], at_m[order, 1]
        low, high = (end + side * _SAME_M for end, side in zip(self._ends, (-1, 1), strict=True))
        first = np.searchsorted(across, low[:, 0], "left")
        last = np.searchsorted(across, high[:, 0], "right")
        for number in range(len(self.triangles)):
            among = slice(first[number], last[number])
            x, y = across[among] - self._middle[number, 0], up[among] - self._middle[number, 1]
            near = (up[among] >= low[number, 1]) & (up[among] <= high[number, 1])
            for rise_x, rise_y in zip(self._du[number], self._dv[number], strict=True):
                near &= rise_x * x + rise_y * y >= -1 / 3 - _SAME_SHARE
            found[order[among][near]] = number
        return found

    @cached_property
    def _tree(self) -> shapely.STRtree:
        return shapely.STRtree([shapely.Polygon(self.at_m[one]) for one in self.triangles])

    def height(self, at_m: Floats, element: Places) -> Stencil:
        away = at_m - self._middle[element]
        value = 1 / 3 + self._du[element] * away[:, :1] + self._dv[element] * away[:, 1:]
        return Stencil(index=self.triangles[element], value=value)

    def slope(self, at_m: Floats, element: Places) -> tuple[Stencil, Stencil]:  # noqa: ARG002
        index = self.triangles[element]
        return Stencil(index, self._du[element]), Stencil(index, self._dv[element])

    def samples(self) -> Samples:
        corners = self.at_m[self.triangles]
        within = corners + _INSIDE * (self._middle[:, None, :] - corners)
        at = np.concatenate([within.reshape(-1, 2), self._middle])
        count = len(self.triangles)
        element = np.concatenate([np.repeat(np.arange(count), 3), np.arange(count)])
        return Samples(at_m=at, element=element, slope_at_m=at)

    def along(self, line_m: Floats) -> Floats:
        line = shapely.LineString(line_m)
        near = shapely.dwithin(line, shapely.points(self.at_m), 1e-3)
        way = line_m[1] - line_m[0]
        shares = (self.at_m[near] - line_m[0]) @ way / (way @ way)
        ordered = np.unique(np.round([0.0, 1.0, *np.clip(shares, 0, 1)], 6))
        return np.asarray(line_m[0] + ordered[:, None] * way)

    def bends(self) -> tuple[Stencil, Floats]:
        """None: folds are where planes meet by design."""
        return Stencil(np.empty((0, 3), dtype=np.intp), np.empty((0, 3))), np.empty((0, 2))

    def cells(self) -> list[shapely.Polygon]:
        return self.regions

    def plane_of(self, element: Places) -> Places:
        return np.asarray(self.region_of[element], dtype=np.intp)

    def _joined(self) -> Floats:
        count = len(self.regions)
        centre = self.at_m.mean(axis=0)
        size = float(np.abs(self.at_m - centre).max())

        def plane(at_m: Floats, region: Places) -> Floats:
            rows = np.zeros((len(at_m), 3 * count))
            place = np.arange(len(at_m))
            rows[place, 3 * region] = 1.0
            rows[place, 3 * region + 1] = (at_m[:, 0] - centre[0]) / size
            rows[place, 3 * region + 2] = (at_m[:, 1] - centre[1]) / size
            return rows

        # Every mark that two regions share gets the same height from both.
        pairs = np.unique(
            np.column_stack([self.triangles.ravel(), np.repeat(self.region_of, 3)]), axis=0
        )
        heights = plane(self.at_m[pairs[:, 0]], pairs[:, 1])
        same = pairs[1:, 0] == pairs[:-1, 0]
        joints = heights[1:][same] - heights[:-1][same]
        free = null_space(joints, rcond=1e-9) if len(joints) else np.eye(3 * count)
        first = np.unique(pairs[:, 0], return_index=True)[1]
        return np.asarray(heights[first] @ free)

    def gradients(self, heights_m: Floats) -> Floats:
        """(regions, 2) slope of each region, the mean of its triangles."""
        at = heights_m[self.triangles]
        slopes = np.column_stack([(self._du * at).sum(axis=1), (self._dv * at).sum(axis=1)])
        total = np.zeros((len(self.regions), 2))
        np.add.at(total, self.region_of, slopes)
        count = np.bincount(self.region_of, minlength=len(self.regions))
        return total / np.maximum(count, 1)[:, None]


def _linked(sides: shapely.Geometry) -> tuple[Floats, NDArray[np.uint32]]:
    """Distinct corners of noded lines and the links between neighbours."""
    starts, ends = [], []
    for line in shapely.get_parts(sides):
        walked = np.asarray(line.coords)
        if line.length > _SAME_M:
            starts.append(walked[:-1])
            ends.append(walked[1:])
    both = np.concatenate([*starts, *ends])
    _, first, inverse = np.unique(
        np.round(both / 1e-5).astype(np.int64), axis=0, return_index=True, return_inverse=True
    )
    pairs = inverse.reshape(2, -1).T
    pairs = np.unique(np.sort(pairs[pairs[:, 0] != pairs[:, 1]], axis=1), axis=0)
    return both[first], pairs.astype(np.uint32)


def _triangulated(at_m: Floats, links: NDArray[np.uint32]) -> Places:
    mesh = pythoncdt.Triangulation(
        pythoncdt.VertexInsertionOrder.AUTO,
        pythoncdt.IntersectingConstraintEdges.TRY_RESOLVE,
        0.0,
    )
    mesh.insert_vertices([pythoncdt.V2d(float(x), float(y)) for x, y in at_m])
    mesh.insert_edges([pythoncdt.Edge(int(a), int(b)) for a, b in links])
    mesh.erase_super_triangle()
    triangles = np.array([list(triangle.vertices) for triangle in mesh.triangles], dtype=np.intp)
    if len(triangles) == 0 or triangles.max() >= len(at_m):
        raise RegionsCross
    a, b, c = (at_m[triangles[:, k]] for k in range(3))
    twice = (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]
    return triangles[twice > 1e-9]
