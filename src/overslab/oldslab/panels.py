"""The floor cut into panels: by its breaks, and round every pit, trench and pad."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, Protocol, TypeVar

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from overslab.ground.plan import SNAP_M, carry_ends, distinct
from overslab.oldslab.records import FloorPlan

Floats = NDArray[np.float64]
Places = NDArray[np.intp]
Kind = Literal["panel", "pit", "trench", "pad"]

# Lines are noded on a grid this fine, so that what meets on paper meets in the sums. Corners are
# rounded finer than that first: 1/16 in is a whole number of these.
_GRID_M = 1e-6
_DIGITS = 7


@dataclass(frozen=True, slots=True, eq=False)
class Piece:
    """One panel before anything is known of its height."""

    name: str
    kind: Kind
    polygon: shapely.Polygon


def cut_panels(plan: FloorPlan) -> tuple[Piece, ...]:
    """Panels of a plan that ``ground.plan.check_plan`` found good; together they are the floor.

    Panels are lettered from the top of the sheet down, and from left to right; a pit, trench or pad
    keeps its own name. A piece narrower than a break can be drawn (``SNAP_M``) joins the neighbour
    it shares most edge with.
    """
    floor = _rounded(
        shapely.Polygon(distinct(plan.outline), [distinct(hole.corners) for hole in plan.holes])
    )
    features = {f.name: _rounded(shapely.Polygon(distinct(f.corners))) for f in plan.features}
    base: BaseGeometry = floor
    sunk: list[Piece] = []
    for feature in plan.features:
        shape = shapely.intersection(features[feature.name], base, grid_size=_GRID_M)
        base = shapely.difference(base, features[feature.name], grid_size=_GRID_M)
        parts = _polygons(shape)
        for number, part in enumerate(parts, start=1):
            name = feature.name if len(parts) == 1 else f"{feature.name}, part {number}"
            sunk.append(Piece(name=name, kind=feature.kind, polygon=part))
    lines = {crack.name: _rounded(shapely.LineString(crack.line)) for crack in plan.breaks}
    carried, _ = carry_ends(floor, breaks=lines, features=features)
    cuts = [_rounded(line) for line in carried.values()]
    noded = shapely.union_all([base.boundary, *cuts], grid_size=_GRID_M)
    faces = [
        face
        for face in shapely.get_parts(shapely.polygonize(shapely.get_parts(noded)))
        if base.contains(shapely.point_on_surface(face))
    ]
    faces = _without_slivers(faces)
    faces.sort(key=lambda face: (-round(face.centroid.y, 2), round(face.centroid.x, 2)))
    taken = {piece.name for piece in sunk}
    letters = _letters(len(faces) + len(taken))
    free = [letter for letter in letters if letter not in taken]
    panels = [
        Piece(name=name, kind="panel", polygon=face)
        for name, face in zip(free, faces, strict=False)
    ]
    return (*panels, *sunk)


class HasPolygon(Protocol):
    """A piece or a panel of the record."""

    @property
    def polygon(self) -> shapely.Polygon: ...


def side_of(pieces: Sequence[HasPolygon], xy_m: Floats) -> Places:
    """Which piece each of (n, 2) places belongs to: the one it lies in, else the nearest."""
    found = np.full(len(xy_m), -1, dtype=np.intp)
    if len(pieces) == 1:
        return np.zeros(len(xy_m), dtype=np.intp)
    for number, piece in enumerate(pieces):
        open_ = np.flatnonzero(found < 0)
        shapely.prepare(piece.polygon)
        found[open_[shapely.contains_xy(piece.polygon, xy_m[open_])]] = number
    stray = np.flatnonzero(found < 0)
    if stray.size:
        found[stray] = np.argmin(distances(pieces, xy_m[stray]), axis=1)
    return found


def distances(pieces: Sequence[HasPolygon], xy_m: Floats) -> Floats:
    """(n, pieces) distance of each place from each piece, zero inside."""
    points = shapely.points(xy_m)
    return np.column_stack([shapely.distance(piece.polygon, points) for piece in pieces])


Shape = TypeVar("Shape", bound=BaseGeometry)


def _rounded(shape: Shape) -> Shape:
    # Adding zero turns minus zero into zero.
    return shapely.transform(shape, lambda corners: np.round(corners, _DIGITS) + 0.0)


def _polygons(shape: shapely.Geometry) -> list[shapely.Polygon]:
    return [
        part
        for part in shapely.get_parts(shape)
        if isinstance(part, shapely.Polygon) and part.area > SNAP_M**2
    ]


def _without_slivers(faces: list[shapely.Polygon]) -> list[shapely.Polygon]:
    faces = sorted(faces, key=lambda face: -face.area)
    kept = [face for face in faces if _width(face) > SNAP_M]
    for sliver in faces:
        if _width(sliver) > SNAP_M:
            continue
        shared = [face.intersection(sliver).length for face in kept]
        if kept and max(shared) > 0:
            at = int(np.argmax(shared))
            joined = kept[at].union(sliver)
            if isinstance(joined, shapely.Polygon):
                kept[at] = joined
                continue
        kept.append(sliver)
    return kept


def _width(face: shapely.Polygon) -> float:
    return float(2 * face.area / face.length)


def _letters(count: int) -> list[str]:
    """A to Z, then AA, AB and so on."""
    names = []
    for number in range(count):
        name = ""
        number += 1
        while number:
            number, letter = divmod(number - 1, 26)
            name = chr(ord("A") + letter) + name
        names.append(name)
    return names
