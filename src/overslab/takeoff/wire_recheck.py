"""Wire as it lies looked at again: from the finished pieces alone, by code of its own.

Three questions. Is all of the floor inside the edges under wire? Do other pieces lie over the last
lap of every piece, wherever it ends inside the floor? Can the pieces be cut from the sheets they
are said to be cut from?
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations, pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from overslab.handbook.checks import Check
from overslab.takeoff.wire_records import WirePiece

Floats = NDArray[np.float64]
_OWN = "asked for; looked at again on the finished layout"
# Slivers thinner than a wire, from sums of lengths in floating point.
_SLIVER_M = 1e-4


def look_again(
    inner: BaseGeometry,
    pieces: Sequence[WirePiece],
    *,
    lap_m: float,
    sheet_length_m: float,
    sheet_width_m: float,
) -> tuple[Check, ...]:
    """What is found on a finished layout. ``lap_m`` is counted from edge to edge."""
    shapes = [piece.polygon() for piece in pieces]
    bare = inner.difference(shapely.union_all(shapes)).buffer(-_SLIVER_M)
    spot = None if bare.is_empty else bare.representative_point()
    return (
        Check(
            name="floor inside the edges without wire",
            quantity="area_m2",
            found=float(bare.area),
            comparison="at most",
            allowed=0.0,
            source=_OWN,
            at=None if spot is None else (spot.x, spot.y),
        ),
        _laps(inner, shapes, lap_m=lap_m),
        _cuts(pieces, sheet_length_m=sheet_length_m, sheet_width_m=sheet_width_m),
    )


def _laps(inner: BaseGeometry, shapes: list[shapely.Polygon], *, lap_m: float) -> Check:
    """Along every edge that ends inside the floor, the last lap lies under other pieces too."""
    tree = shapely.STRtree(shapes)
    short_m2, worst, where = 0.0, 0.0, None
    for place, shape in enumerate(shapes):
        ring = np.asarray(shape.exterior.coords)
        centre = ring[:-1].mean(axis=0)
        others = None
        for a, b in pairwise(ring):
            if np.hypot(*(b - a)) < _SLIVER_M:
                continue
            along = (b - a) / np.hypot(*(b - a))
            inward = np.array([-along[1], along[0]])
            if inward @ (centre - a) < 0:
                inward = -inward
            open_side = _band(a, b, -inward * 10 * _SLIVER_M).intersection(inner)
            if open_side.is_empty:
                continue
            if others is None:
                near = [shapes[k] for k in tree.query(shape) if k != place]
                others = shapely.union_all(near).buffer(_SLIVER_M, join_style="mitre")
            for part in shapely.get_parts(open_side):
                # A hair's breadth of floor beyond a wall that the piece ends at is none.
                wide = part.buffer(-_SLIVER_M)
                if wide.is_empty:
                    continue
                reach = (shapely.get_coordinates(wide) - a) @ along
                start, end = a + along * reach.min(), a + along * reach.max()
                lapped = _band(start, end, inward * lap_m).intersection(shape).intersection(inner)
                single = lapped.difference(others).buffer(-_SLIVER_M)
                short_m2 += float(single.area)
                if single.area > worst:
                    worst, spot = float(single.area), single.representative_point()
                    where = (spot.x, spot.y)
    return Check(
        name="laps without a second sheet",
        quantity="area_m2",
        found=short_m2,
        comparison="at most",
        allowed=0.0,
        source=_OWN,
        at=where,
    )


def _band(a: Floats, b: Floats, reach: Floats) -> shapely.Polygon:
    return shapely.Polygon([a, b, b + reach, a + reach])


def _cuts(pieces: Sequence[WirePiece], *, sheet_length_m: float, sheet_width_m: float) -> Check:
    """Pieces that are larger than what they are cut from, leave their sheet, or share wire."""
    wrong = 0
    by_sheet: dict[int, list[shapely.Polygon]] = {}
    for piece in pieces:
        along, across, along_end, across_end = piece.cut_from
        cut = sorted((along_end - along, across_end - across))
        ring = np.asarray(piece.polygon().exterior.coords)
        sides = sorted(float(np.hypot(*side)) for side in np.diff(ring, axis=0)[:2])
        too_large = any(side > room + _SLIVER_M for side, room in zip(sides, cut, strict=True))
        outside = (
            min(along, across) < -_SLIVER_M
            or along_end > sheet_length_m + _SLIVER_M
            or across_end > sheet_width_m + _SLIVER_M
        )
        wrong += too_large or outside
        box = shapely.box(along, across, along_end, across_end).buffer(-_SLIVER_M)
        by_sheet.setdefault(piece.sheet, []).append(box)
    for cuts in by_sheet.values():
        wrong += sum(one.intersects(two) for one, two in combinations(cuts, 2))
    wrong += len(pieces) - len({piece.label for piece in pieces})
    return Check(
        name="pieces that cannot be cut as said",
        quantity="count",
        found=float(wrong),
        comparison="at most",
        allowed=0.0,
        source=_OWN,
    )
