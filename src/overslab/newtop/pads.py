"""Pads and the surface a straightedge makes between them, on a grid of pad lines.

A surface is a set of elements (grid cells here, triangles in ``triangles``), each a function of the
heights at its own few pads. A *stencil* says how: ``index`` (k, w) names the pads and ``value``
(k, w) their weights, so that any rule on heights or slopes becomes rows of a sparse matrix without
a loop over pads.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np
import shapely
from numpy.typing import NDArray

from overslab.newtop.frame import Frame

Floats = NDArray[np.float64]
Places = NDArray[np.intp]

# Pieces of floor smaller than this are left to their neighbour cell.
_SPECK_M2 = 1e-4
_CORNERS = np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0], [1.0, 1.0]])
# Directions are taken a little inside the cell, so that a corner belongs to one cell only.
_INSIDE = 0.01
# Above this many cells the middles of the sides are not looked at (corners decide a bilinear cell).
_MANY_CELLS = 3000
# Share by which places are moved off a hip.
_ASIDE = 0.02


@dataclass(frozen=True, slots=True, eq=False)
class Stencil:
    """Linear functions of pad heights: row r is ``sum(value[r] * heights[index[r]])``."""

    index: Places
    value: Floats

    def of(self, heights_m: Floats) -> Floats:
        return np.asarray(np.einsum("kw,kw->k", self.value, heights_m[self.index]))

    def minus(self, other: Stencil) -> Stencil:
        return Stencil(
            index=np.hstack([self.index, other.index]), value=np.hstack([self.value, -other.value])
        )


@dataclass(frozen=True, slots=True, eq=False)
class Samples:
    """Places where falls are looked at (k, 2), the element each belongs to, and the element's
    own place (k, 2) at which its slope is taken."""

    at_m: Floats
    element: Places
    slope_at_m: Floats


class Pads(Protocol):
    """Pads and elements; all places along the walls."""

    at_m: Floats  # (n, 2)
    integral_m2: Floats  # (n,) so that integral_m2 @ heights is the volume over the floor
    spacing_m: float

    def locate(self, at_m: Floats) -> Places: ...

    def height(self, at_m: Floats, element: Places) -> Stencil: ...

    def slope(self, at_m: Floats, element: Places) -> tuple[Stencil, Stencil]:
        """Rise per metre along the two wall directions."""
        ...

    def samples(self) -> Samples: ...

    def along(self, line_m: Floats) -> Floats:
        """Places (k, 2) on a line, both ends among them, between which the surface is plain."""
        ...

    def bends(self) -> tuple[Stencil, Floats]:
        """Changes of slope at inner pad lines, and where (k, 2)."""
        ...

    def cells(self) -> list[shapely.Polygon]: ...

    def plane_of(self, element: Places) -> Places | None:
        """The number of the plane that each element lies in; None where each is its own."""
        ...


class GridPads:
    """Bilinear cells between pad lines; cells that touch the floor are used.

    ``u_m`` and ``v_m`` are the pad lines along the two wall directions. Where a wall is slanted the
    corners of its cells may lie off the floor; such pads are virtual and their heights are read at
    marks on the wall. ``hips`` are corners (2,) with a way (2,) into the floor: the whole cell
    there is struck as two triangles that meet along its diagonal.
    """

    def __init__(
        self,
        polygon: shapely.Polygon,
        *,
        u_m: Floats,
        v_m: Floats,
        hips: Sequence[tuple[Floats, Floats]] = (),
    ) -> None:
        self.u_m, self.v_m = u_m, v_m
        self.polygon = polygon
        self.spacing_m = float(max(np.diff(u_m).max(), np.diff(v_m).max()))
        nu, nv = len(u_m), len(v_m)
        west, south = np.meshgrid(u_m[:-1], v_m[:-1])
        east, north = np.meshgrid(u_m[1:], v_m[1:])
        boxes = shapely.box(west.ravel(), south.ravel(), east.ravel(), north.ravel())
        shapely.prepare(polygon)
        full = np.asarray(shapely.covers(polygon, boxes), dtype=bool)
        parts = np.flatnonzero(~full)
        clipped = shapely.intersection(boxes[parts], polygon)
        keep = shapely.area(clipped) > _SPECK_M2
        self._boxes = boxes
        self._full = np.flatnonzero(full)
        self._partial = parts[keep]
        self._pieces = clipped[keep]
        active = full.copy()
        active[self._partial] = True
        self._active = active.reshape(nv - 1, nu - 1)
        used = np.zeros((nv, nu), dtype=bool)
        for down, right in ((0, 0), (0, 1), (1, 0), (1, 1)):
            used[down : nv - 1 + down, right : nu - 1 + right] |= self._active
        self.number = np.full((nv, nu), -1, dtype=np.intp)
        self.number[used] = np.arange(used.sum())
        rows, columns = np.nonzero(used)
        self.at_m = np.column_stack([u_m[columns], v_m[rows]])
        row, column = np.divmod(np.arange((nv - 1) * (nu - 1)), nu - 1)
        self._corner = np.column_stack(
            [
                self.number[row, column],
                self.number[row, column + 1],
                self.number[row + 1, column],
                self.number[row + 1, column + 1],
            ]
        )
        self._low = np.column_stack([u_m[column], v_m[row]])
        self._size = np.column_stack([np.diff(u_m)[column], np.diff(v_m)[row]])
        self._split = np.zeros(len(self._low), dtype=np.int8)
        self.hips: list[Floats] = []
        for corner, way in hips:
            cell = int(self.locate((corner + 1e-3 * way)[None, :])[0])
            if full[cell]:
                self._split[cell] = 1 if way[0] * way[1] > 0 else 2
                self.hips.append(np.array([corner, corner + np.sign(way) * self._size[cell]]))
        self.integral_m2 = self._integrate()

    @property
    def bays(self) -> Places:
        """Corners of the whole cells, taken round, (cells, 4)."""
        return self._corner[self._full][:, [0, 1, 3, 2]]

    def locate(self, at_m: Floats) -> Places:
        column = np.clip(np.searchsorted(self.u_m, at_m[:, 0], "right") - 1, 0, len(self.u_m) - 2)
        row = np.clip(np.searchsorted(self.v_m, at_m[:, 1], "right") - 1, 0, len(self.v_m) - 2)
        cell = row * (len(self.u_m) - 1) + column
        # A place on a wall that is a pad line, or beyond a wall, belongs to the nearest used cell.
        off = np.flatnonzero(~self._active.ravel()[cell])
        if len(off):
            used, tree = self._used
            cell[off] = used[tree.nearest(shapely.points(at_m[off]))]
        return np.asarray(cell, dtype=np.intp)

    @cached_property
    def _used(self) -> tuple[Places, shapely.STRtree]:
        used = np.flatnonzero(self._active)
        return used, shapely.STRtree(self._boxes[used])

    def _shares(self, at_m: Floats, element: Places) -> tuple[Floats, Floats]:
        share = (at_m - self._low[element]) / self._size[element]
        return share[:, 0], share[:, 1]

    def height(self, at_m: Floats, element: Places) -> Stencil:
        a, b = self._shares(at_m, element)
        value = np.column_stack([(1 - a) * (1 - b), a * (1 - b), (1 - a) * b, a * b])
        cut = np.flatnonzero(self._split[element])
        if len(cut):
            value[cut] = _hip_shares(a[cut], b[cut], self._split[element[cut]])[0]
        return Stencil(index=self._corner[element], value=value)

    def slope(self, at_m: Floats, element: Places) -> tuple[Stencil, Stencil]:
        a, b = self._shares(at_m, element)
        index, size = self._corner[element], self._size[element]
        along = np.column_stack([b - 1, 1 - b, -b, b])
        up = np.column_stack([a - 1, -a, 1 - a, a])
        cut = np.flatnonzero(self._split[element])
        if len(cut):
            _, along[cut], up[cut] = _hip_shares(a[cut], b[cut], self._split[element[cut]])
        return Stencil(index, along / size[:, :1]), Stencil(index, up / size[:, 1:])

    def samples(self) -> Samples:
        # With one way for the water a fall is linear over a cell, so corners decide; the middles
        # are for ways that turn.
        shares = np.vstack([_CORNERS, [[0.5, 0.5]]])
        if len(self._full) + len(self._partial) <= _MANY_CELLS:
            shares = np.array([[i / 2, j / 2] for j in range(3) for i in range(3)])
        element = np.repeat(self._full, len(shares))
        share = np.tile(shares, (len(self._full), 1))
        slope_at = self._low[element] + share * self._size[element]
        within = 0.5 + (share - 0.5) * (1 - 2 * _INSIDE)
        at = self._low[element] + within * self._size[element]
        # In a cell cut by a hip every place belongs to one of its two triangles.
        hipped = self._split[element] > 0
        at[hipped] += _ASIDE * (at[hipped] - self._flipped(at[hipped], element[hipped]))
        slope_at[hipped] = at[hipped]
        middles = shapely.get_coordinates(shapely.point_on_surface(self._pieces)).reshape(-1, 2)
        corners, owner = shapely.get_coordinates(self._pieces, return_index=True)
        inward = corners + _INSIDE * (middles[owner] - corners)
        seen = shapely.contains_xy(self.polygon, inward[:, 0], inward[:, 1])
        corners, inward, owner = corners[seen], inward[seen], owner[seen]
        return Samples(
            at_m=np.concatenate([at, inward, middles]),
            element=np.concatenate([element, self._partial[owner], self._partial]),
            slope_at_m=np.concatenate([slope_at, corners, middles]),
        )

    def _flipped(self, at_m: Floats, element: Places) -> Floats:
        """Places mirrored in the hip of their cell; on the hip itself, a little to one side."""
        a, b = self._shares(at_m, element)
        rising = self._split[element] == 1
        mirrored = np.where(rising[:, None], np.column_stack([b, a]), 1 - np.column_stack([b, a]))
        on_it = np.abs(mirrored - np.column_stack([a, b])).max(axis=1) < 1e-9
        mirrored[on_it, 0] -= 0.5
        return np.asarray(self._low[element] + mirrored * self._size[element])

    def along(self, line_m: Floats) -> Floats:
        start, end = line_m
        way = end - start
        shares = [0.0, 1.0]
        for axis, lines in ((0, self.u_m), (1, self.v_m)):
            if abs(way[axis]) > 1e-9:
                crossing = (lines - start[axis]) / way[axis]
                shares += [float(s) for s in crossing if 1e-6 < s < 1 - 1e-6]
        ordered = np.unique(np.round(shares, 9))
        return np.asarray(start + ordered[:, None] * way)

    def bends(self) -> tuple[Stencil, Floats]:
        parts: list[tuple[Places, Floats]] = []
        for number, lines, beside in (
            (self.number, self.u_m, self._active),
            (self.number.T, self.v_m, self._active.T),
        ):
            # A pad line is struck along where a used cell lies on either side of it.
            struck = np.zeros((number.shape[0], number.shape[1] - 1), dtype=bool)
            struck[:-1] |= beside
            struck[1:] |= beside
            rows, columns = np.nonzero(struck[:, :-1] & struck[:, 1:])
            gap = np.diff(lines)
            before, after = 1 / gap[columns], 1 / gap[columns + 1]
            index = np.column_stack([number[rows, columns + step] for step in range(3)])
            parts.append((index, np.column_stack([before, -before - after, after])))
        index = np.concatenate([part[0] for part in parts])
        value = np.concatenate([part[1] for part in parts])
        return Stencil(index=index, value=value), self.at_m[index[:, 1]]

    def cells(self) -> list[shapely.Polygon]:
        """The floor's part of each cell, cell by cell."""
        whole = [shapely.Polygon(box) for box in self._boxes[self._full]]
        pieces = shapely.get_parts(self._pieces)
        return whole + [piece for piece in pieces if piece.geom_type == "Polygon"]

    def plane_of(self, element: Places) -> None:  # noqa: ARG002
        return None

    def _integrate(self) -> Floats:
        weights = np.zeros(len(self.at_m))
        area = self._size[self._full].prod(axis=1)
        shares = np.array([[3, 3, 3, 3], [4, 2, 2, 4], [2, 4, 4, 2]])[self._split[self._full]] / 12
        np.add.at(weights, self._corner[self._full], shares * area[:, None])
        for cell, piece in zip(self._partial, self._pieces, strict=True):
            # Middles of the sides of triangles integrate a bilinear function exactly.
            corners = np.array(
                [
                    np.asarray(triangle.exterior.coords)[:3]
                    for part in shapely.get_parts(piece)
                    if part.geom_type == "Polygon"
                    for triangle in shapely.constrained_delaunay_triangles(part).geoms
                ]
            )
            middles = (corners + np.roll(corners, -1, axis=1)) / 2
            a, b, c = corners.transpose(1, 0, 2)
            third = np.abs((b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]) / 6
            places = middles.reshape(-1, 2)
            stencil = self.height(places, np.full(len(places), cell))
            np.add.at(weights, stencil.index, stencil.value * np.repeat(third, 3)[:, None])
        return weights


def _hip_shares(a: Floats, b: Floats, split: NDArray[np.int8]) -> tuple[Floats, Floats, Floats]:
    """Weights of the four corners, and their changes along either share, in a cell with a hip.

    ``split`` 1: the hip runs from the first corner to the last; 2: between the other two.
    """
    falling = split == 2
    a = np.where(falling, 1 - a, a)
    below = (a >= b)[:, None]
    nothing, whole = np.zeros_like(a), np.ones_like(a)
    value = np.where(
        below,
        np.column_stack([1 - a, a - b, nothing, b]),
        np.column_stack([1 - b, nothing, b - a, a]),
    )
    along = np.where(
        below,
        np.column_stack([-whole, whole, nothing, nothing]),
        np.column_stack([nothing, nothing, -whole, whole]),
    )
    up = np.where(
        below,
        np.column_stack([nothing, -whole, nothing, whole]),
        np.column_stack([-whole, nothing, whole, nothing]),
    )
    mirror = [1, 0, 3, 2]
    turned = falling[:, None]
    return (
        np.where(turned, value[:, mirror], value),
        np.where(turned, -along[:, mirror], along),
        np.where(turned, up[:, mirror], up),
    )


class PadSurface:
    """The top made by heights at pads, as the other rooms see it: sheet places, datum heights."""

    def __init__(self, pads: Pads, heights_m: Floats, frame: Frame) -> None:
        self.pads, self.pad_heights_m, self._frame = pads, heights_m, frame

    def height_m(self, xy_m: Floats) -> Floats:
        """Heights above datum at (n, 2) sheet places."""
        at = self._frame.to_walls(xy_m)
        return self.pads.height(at, self.pads.locate(at)).of(self.pad_heights_m)

    def gradient(self, xy_m: Floats) -> Floats:
        """(n, 2) rise per metre along the sheet's x and y."""
        at = self._frame.to_walls(xy_m)
        along, up = self.pads.slope(at, self.pads.locate(at))
        rise = np.column_stack([along.of(self.pad_heights_m), up.of(self.pad_heights_m)])
        return self._frame.to_sheet(rise)
