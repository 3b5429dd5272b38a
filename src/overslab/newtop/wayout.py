"""Which way out is shortest, found on a lattice: the recheck's own answer, not the solver's.

Lengths come from a shortest-path search over lattice cells. Directions do not: a shortest way
inside the walls starts either straight at the outlet or straight at a corner that sticks into the
floor, so the direction is taken to that foot or corner itself and has no lattice error. The lattice
only picks between them; where two ways are as long as each other to within what a lattice can tell,
both count.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.sparse import coo_array, csgraph

from overslab.ground.lattice import Lattice, lattice_over
from overslab.newtop.paths import NARROW_POST_M
from overslab.newtop.records import Outlet
from overslab.newtop.wetsheet import outlet_shape, wall_run

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Places = NDArray[np.intp]

# Steps to sixteen neighbours make a straight way seem at most 2.8 % too long: 1 / cos(13.3 deg).
_LONGER = 0.028
_MOVES = ((0, 1), (1, 0), (1, 1), (1, -1), (1, 2), (2, 1), (1, -2), (2, -1))
_GRAZE_M = 1e-3
_AT_DRAIN_M = 0.05
_MOST_CELLS = 5_000


class WayOut:
    """Shortest ways to each outlet, or to the wall run that gathers water to it.

    A place may send its water to any outlet that is at most ``either_m`` farther than the nearest:
    the fold where water parts need not lie exactly half way.
    """

    def __init__(
        self, polygon: shapely.Polygon, outlets: tuple[Outlet, ...], *, either_m: float = 0.0
    ) -> None:
        floor = _without_narrow_posts(polygon)
        self._sight = floor.buffer(_GRAZE_M, join_style="mitre")
        shapely.prepare(self._sight)
        self._targets = [_target(outlet, polygon=polygon) for outlet in outlets]
        self._either_m = either_m
        self._bends, self._round_m = _corners_in(floor)
        self.step_m = max(0.05, float(np.sqrt(polygon.area / _MOST_CELLS)))
        self._onward_m = self._from_bends(floor)

    def bearings(self, places_m: Floats) -> Floats:
        """Unit vectors (n, c, 2) of every way that water may take from each place.

        NaN where one of the c ways is none of them, and within a hand of a drain.
        """
        starts = shapely.points(places_m)
        to_bend = self._bends[None, :, :] - places_m[:, None, :]
        lines = np.stack(
            [np.broadcast_to(places_m[:, None, :], to_bend.shape), places_m[:, None, :] + to_bend],
            axis=2,
        )
        sees = np.asarray(shapely.covers(self._sight, shapely.linestrings(lines)))
        far = np.where(sees, np.hypot(to_bend[..., 0], to_bend[..., 1]), np.inf)
        legs, lengths, margins = [], [], []
        for target, onward_m in zip(self._targets, self._onward_m, strict=True):
            straight = shapely.shortest_line(starts, target)
            leg = shapely.get_coordinates(straight)[1::2] - places_m
            reach = np.hypot(leg[:, 0], leg[:, 1])
            seen = np.asarray(shapely.covers(self._sight, straight))
            legs.append(np.concatenate([leg[:, None, :], to_bend], axis=1))
            length = np.column_stack([np.where(seen, reach, np.inf), far + onward_m])
            lengths.append(
                np.where((reach > _AT_DRAIN_M)[:, None], length, np.inf)
                if isinstance(target, shapely.Point)
                else length
            )
            # A straight way is exact and beats all others; a way round a corner is known no better
            # than the lattice knows it.
            unsure = np.concatenate([[0.0], self._round_m + _LONGER * onward_m + self.step_m])
            pick = np.argmin(length, axis=1)
            margin = np.maximum(unsure, unsure[pick][:, None])
            margins.append(np.where(pick[:, None] == 0, 0.0, margin))
        if not legs:
            return np.full((len(places_m), 0, 2), np.nan)
        best = np.stack([length.min(axis=1) for length in lengths], axis=1)
        nearest = best.min(axis=1)
        takes = [
            np.isfinite(length)
            & (length <= best[:, [number]] + margin)
            & (best[:, number] <= nearest + self._either_m)[:, None]
            for number, (length, margin) in enumerate(zip(lengths, margins, strict=True))
        ]
        leg = np.concatenate(legs, axis=1)
        reach = np.hypot(leg[..., 0], leg[..., 1])
        size = np.where(np.concatenate(takes, axis=1) & (reach > 1e-6), reach, np.nan)
        toward: Floats = leg / size[..., None]
        return toward

    def _from_bends(self, floor: shapely.Polygon) -> Floats:
        """(targets, bends) length of the way from each inward corner on, over the lattice."""
        if not len(self._bends):
            return np.zeros((len(self._targets), 0))
        lattice = lattice_over(floor, step_m=self.step_m)
        cells = lattice.points_m
        size = len(cells)
        places = shapely.points(cells)
        rows, columns, lengths = _neighbours(lattice)
        # One more node a target: cells near it step out to it.
        for number, target in enumerate(self._targets):
            gap = np.asarray(shapely.distance(places, target))
            near = np.flatnonzero(gap <= max(1.5 * self.step_m, float(gap.min()) + self.step_m))
            rows = np.concatenate([rows, np.full(len(near), size + number)])
            columns = np.concatenate([columns, near])
            lengths = np.concatenate([lengths, gap[near] + 1e-9])
        nodes = size + len(self._targets)
        # A step from a target to its cells only: no way leads through another outlet.
        graph = coo_array((lengths, (rows, columns)), shape=(nodes, nodes)).tocsr()
        far = csgraph.dijkstra(graph, directed=True, indices=np.arange(size, nodes))[:, :size]
        to_cell = np.hypot(*(cells[None, :, :] - self._bends[:, None, :]).transpose(2, 0, 1))
        to_cell = np.where(to_cell <= 1.5 * self.step_m, to_cell, np.inf)
        return np.array([(each[None, :] + to_cell).min(axis=1) for each in far])


def _target(outlet: Outlet, *, polygon: shapely.Polygon) -> shapely.Geometry:
    run = wall_run(outlet, polygon=polygon) if outlet.gather == "wall" else None
    return run if run is not None else outlet_shape(outlet, polygon=polygon)


def _without_narrow_posts(polygon: shapely.Polygon) -> shapely.Polygon:
    """Water parts round a narrow post and its way is not turned by it."""
    wide = [
        ring
        for ring in polygon.interiors
        if 2 * shapely.minimum_bounding_radius(shapely.Polygon(ring)) >= NARROW_POST_M
    ]
    return shapely.Polygon(polygon.exterior, wide)


def _corners_in(polygon: shapely.Polygon) -> tuple[Floats, Floats]:
    """Corners that stick into the floor, and how wide the post is that each belongs to (0: wall).

    Behind a post water may part up to the post's width away from where the ways are equally long.
    """
    found, round_m = [], []
    for number, ring in enumerate((polygon.exterior, *polygon.interiors)):
        wide = 2 * shapely.minimum_bounding_radius(ring) if number else 0.0
        for corner in np.asarray(ring.coords)[:-1]:
            disc = shapely.Point(corner).buffer(1e-3, quad_segs=16)
            # There the floor takes up more than half a turn.
            if disc.intersection(polygon).area > 0.52 * disc.area:
                found.append(corner)
                round_m.append(wide)
    return np.asarray(found, dtype=np.float64).reshape(-1, 2), np.asarray(round_m)


def _neighbours(lattice: Lattice) -> tuple[Places, Places, Floats]:
    """Steps between inside cells, both ways; a long one needs the cells it passes between too."""
    inside = lattice.inside
    number = np.full(inside.shape, -1, dtype=np.intp)
    number[inside] = np.arange(int(inside.sum()))
    rows, columns = np.nonzero(inside)
    starts, ends, lengths = [], [], []

    def is_in(up: Places, right: Places) -> Bools:
        on = (up >= 0) & (up < inside.shape[0]) & (right >= 0) & (right < inside.shape[1])
        there = np.zeros(len(up), dtype=bool)
        there[on] = inside[up[on], right[on]]
        return there

    for up, right in _MOVES:
        passes: list[tuple[int, int]] = []
        if abs(up) + abs(right) == 3:
            one = int(np.sign(up)), int(np.sign(right))
            passes = [one, (up - one[0], right - one[1])]
        elif abs(up) == abs(right):
            passes = [(up, 0), (0, right)]
        good = is_in(rows + up, columns + right)
        for over in passes:
            good &= is_in(rows + over[0], columns + over[1])
        starts.append(number[rows[good], columns[good]])
        ends.append(number[rows[good] + up, columns[good] + right])
        lengths.append(np.full(int(good.sum()), lattice.step_m * float(np.hypot(up, right))))
    return (
        np.concatenate([*starts, *ends]),
        np.concatenate([*ends, *starts]),
        np.tile(np.concatenate(lengths), 2),
    )
