"""Which way water has to go: the first leg of the shortest way inside the floor to an outlet.

A shortest way inside a polygon is a taut string: it runs straight to the nearest point of the
outlet, or it bends, and then only at corners that stick into the floor. So a graph of those corners
and the lines of sight between them gives the exact answer (a visibility graph, as in de Berg et
al., Computational Geometry, chapter 15).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.sparse import csgraph

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

# Sight may graze a wall: the floor is taken this much larger when lines of sight are tried.
_GRAZE_M = 1e-4
_ON_IT_M = 1e-6
_CHUNK = 2_000_000
# A post narrower than this lets water part round it and does not turn the fall (common practice).
NARROW_POST_M = 0.6


@dataclass(frozen=True, slots=True, eq=False)
class Ways:
    """For n places and t outlets: length of the shortest way (n, t) and its first leg (n, t, 2).

    The leg is a unit vector; it is NaN at a drain itself, and the length is infinite where an
    outlet cannot be reached.
    """

    length_m: Floats
    leg: Floats

    @property
    def nearest(self) -> NDArray[np.intp]:
        return np.asarray(np.argmin(self.length_m, axis=1))


def without_narrow_posts(polygon: shapely.Polygon) -> shapely.Polygon:
    """The floor as water sees it: posts narrower than ``NARROW_POST_M`` left out."""
    kept = [
        ring
        for ring in polygon.interiors
        if shapely.minimum_bounding_radius(shapely.Polygon(ring)) * 2 >= NARROW_POST_M
    ]
    return shapely.Polygon(polygon.exterior, kept)


class Paths:
    """Shortest ways inside ``polygon`` to each of ``targets``, each (1, 2) or (2, 2) in metres."""

    def __init__(self, polygon: shapely.Polygon, targets: Sequence[Floats]) -> None:
        floor = without_narrow_posts(polygon)
        self._targets = [np.asarray(target, dtype=np.float64) for target in targets]
        self._outward = [_outward(floor, target) for target in self._targets]
        self._walls = _segments(floor.buffer(_GRAZE_M, join_style="mitre"))
        self._bends = _inward_corners(floor)
        self._from_bends = self._bend_lengths()

    def ways(self, places_m: Floats) -> Ways:
        places = np.asarray(places_m, dtype=np.float64).reshape(-1, 2)
        bends = len(self._bends)
        length = np.empty((len(places), len(self._targets)))
        leg = np.empty((len(places), len(self._targets), 2))
        to_bend = self._bends[None, :, :] - places[:, None, :]
        far = np.hypot(to_bend[..., 0], to_bend[..., 1])
        sees = self._sees(np.repeat(places, bends, axis=0), np.tile(self._bends, (len(places), 1)))
        usable = sees.reshape(len(places), bends) & (far > _ON_IT_M)
        for number, target in enumerate(self._targets):
            foot = _nearest_on(target, places)
            straight = foot - places
            reach = np.hypot(straight[:, 0], straight[:, 1])
            direct = np.where(self._sees(places, foot), reach, np.inf)
            around = np.where(usable, far + self._from_bends[None, :, number], np.inf)
            choices = np.column_stack([direct, around])
            pick = np.argmin(choices, axis=1)
            rows = np.arange(len(places))
            length[:, number] = choices[rows, pick]
            step = np.concatenate([straight[:, None, :], to_bend], axis=1)[rows, pick]
            size = np.hypot(step[:, 0], step[:, 1])
            there = size <= _ON_IT_M
            leg[:, number] = step / np.where(there, np.nan, size)[:, None]
            leg[there, number] = self._outward[number]
        return Ways(length_m=length, leg=leg)

    def _bend_lengths(self) -> Floats:
        bends = self._bends
        count = len(bends)
        if not count:
            return np.empty((0, len(self._targets)))
        between = np.hypot(*(bends[:, None, :] - bends[None, :, :]).transpose(2, 0, 1))
        sees = self._sees(np.repeat(bends, count, axis=0), np.tile(bends, (count, 1)))
        between = np.where(sees.reshape(count, count), between, np.inf)
        shortest = csgraph.floyd_warshall(between)
        direct = np.empty((count, len(self._targets)))
        for number, target in enumerate(self._targets):
            foot = _nearest_on(target, bends)
            reach = np.hypot(*(foot - bends).T)
            direct[:, number] = np.where(self._sees(bends, foot), reach, np.inf)
        best: Floats = (shortest[:, :, None] + direct[None, :, :]).min(axis=1)
        return best

    def _sees(self, start: Floats, end: Floats) -> Bools:
        """Whether the straight line between each pair of places stays on the floor."""
        clear = np.ones(len(start), dtype=bool)
        a, b = self._walls[:, 0], self._walls[:, 1]
        size = max(1, _CHUNK // max(1, len(a)))
        for first in range(0, len(start), size):
            p = start[first : first + size, None, :]
            q = end[first : first + size, None, :]
            apart = _side(p, q, a) * _side(p, q, b) <= 0
            apart &= _side(a, b, p) * _side(a, b, q) <= 0
            clear[first : first + size] = ~apart.any(axis=1)
        return clear


def _side(a: Floats, b: Floats, p: Floats) -> Floats:
    turn: Floats = (b[..., 0] - a[..., 0]) * (p[..., 1] - a[..., 1]) - (b[..., 1] - a[..., 1]) * (
        p[..., 0] - a[..., 0]
    )
    return turn


def _rings(polygon: shapely.Polygon) -> list[Floats]:
    """Corners of each ring without the repeated last, floor on the left hand."""
    oriented = shapely.orient_polygons(polygon)
    return [np.asarray(ring.coords)[:-1] for ring in (oriented.exterior, *oriented.interiors)]


def _segments(polygon: shapely.Polygon) -> Floats:
    return np.concatenate(
        [np.stack([ring, np.roll(ring, -1, axis=0)], axis=1) for ring in _rings(polygon)]
    )


def _inward_corners(polygon: shapely.Polygon) -> Floats:
    corners = []
    for ring in _rings(polygon):
        turn = _side(np.roll(ring, 1, axis=0), ring, np.roll(ring, -1, axis=0))
        corners.append(ring[turn < -1e-9])
    return np.concatenate(corners)


def _nearest_on(target: Floats, places: Floats) -> Floats:
    if len(target) == 1:
        return np.asarray(np.broadcast_to(target, places.shape))
    along = target[1] - target[0]
    share = np.clip((places - target[0]) @ along / (along @ along), 0.0, 1.0)
    nearest: Floats = target[0] + share[:, None] * along
    return nearest


def _outward(polygon: shapely.Polygon, target: Floats) -> Floats:
    """The way out across a target on a wall; NaN for a drain or a slot within the floor."""
    if len(target) == 1:
        return np.full(2, np.nan)
    along = target[1] - target[0]
    across = np.array([along[1], -along[0]]) / np.hypot(*along)
    middle = target.mean(axis=0)
    out = [not shapely.contains_xy(polygon, *(middle + side * 0.01 * across)) for side in (1, -1)]
    if out[0] == out[1]:
        return np.full(2, np.nan)
    return np.asarray(across if out[0] else -across)
