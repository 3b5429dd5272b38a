"""Water run over a lattice of heights: where it stands, where it leaves, the path of one drop.

Sheets and masks as in ``ground.terrain``. Directions are Tarboton's (D-infinity); a drawn path
follows them by least transversal deviation (Orlandini et al., "Path-based methods for the
determination of nondispersive drainage directions", Water Resources Research 39, 2003).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import scipy.ndimage
import scipy.sparse
import scipy.sparse.linalg
import shapely
from numpy.typing import NDArray

from overslab.ground.lattice import Lattice
from overslab.ground.terrain import Fall, Filled, fill, steepest_fall

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Places = NDArray[np.intp]

_EIGHT = np.ones((3, 3), dtype=bool)


@dataclass(frozen=True, slots=True, eq=False)
class Flow:
    """Where water stands and runs. ``standing`` marks ponds deeper than the film at their deepest.

    ``share`` is the part of the water falling on each cell that reaches an outlet without entering
    a pond; ``order`` lists the inside cells so that each comes after every cell it gives water to.
    """

    filled: Filled
    standing: Bools
    fall: Fall  # on the floor with everything thinner than the film filled in
    share: Floats
    order: Places
    inside: Bools
    outlets: Bools


def run_off(
    heights_m: Floats, *, inside: Bools, outlets: Bools, step_m: float, film_m: float
) -> Flow:
    """Fill, tell ponds from the lattice's own grain, and run water over the rest.

    A pond whose deepest cell stands less than ``film_m`` is taken as grain: it is filled in and
    water runs across it.
    """
    outlets = outlets & inside
    filled = fill(heights_m, inside=inside, outlets=outlets)
    pools, count = scipy.ndimage.label(filled.depth_m > 0.0, structure=_EIGHT)
    deepest = scipy.ndimage.maximum(filled.depth_m, pools, np.arange(count + 1))
    deep_enough = np.asarray(deepest > film_m)
    deep_enough[0] = False
    standing = deep_enough[pools]
    running = np.where(standing, heights_m, filled.level_m)
    fall = steepest_fall(running, inside=inside, step_m=step_m)
    rank = _cross_flats(running, fall, inside=inside, outlets=outlets, standing=standing)
    places = np.flatnonzero(inside)
    order = places[np.lexsort([rank.ravel()[places], running.ravel()[places]])]
    share = _share_leaving(fall, order=order, outlets=outlets, stops=standing | filled.unreachable)
    return Flow(
        filled=filled,
        standing=standing,
        fall=fall,
        share=np.where(inside, share, np.nan),
        order=order,
        inside=inside,
        outlets=outlets,
    )


def _cross_flats(
    running: Floats, fall: Fall, *, inside: Bools, outlets: Bools, standing: Bools
) -> Places:
    """Give level cells a neighbour of the same height that is nearer to where the level stretch
    falls.

    Writes ``square`` of those cells and gives each cell its count of steps across its flat, 0 off
    it.
    """
    rows, columns = inside.shape
    level = inside & (fall.slope <= 0.0) & ~outlets & ~standing
    rank = np.zeros(inside.shape, dtype=np.intp)
    done = inside & ~level
    front = scipy.ndimage.binary_dilation(level, structure=_EIGHT) & done
    count = 0
    while front.any():
        count += 1
        fresh = np.zeros(inside.shape, dtype=bool)
        row, column = np.nonzero(front)
        for up, right in ((0, 1), (1, 0), (0, -1), (-1, 0), (1, 1), (1, -1), (-1, -1), (-1, 1)):
            r, c = row + up, column + right
            on = (r >= 0) & (r < rows) & (c >= 0) & (c < columns)
            r, c, r0, c0 = r[on], c[on], row[on], column[on]
            take = level[r, c] & ~done[r, c] & (running[r, c] == running[r0, c0])
            r, c, r0, c0 = r[take], c[take], r0[take], c0[take]
            fall.square[r, c] = r0 * columns + c0
            rank[r, c] = count
            done[r, c] = True
            fresh[r, c] = True
        front = fresh
    return rank


def _share_leaving(fall: Fall, *, order: Places, outlets: Bools, stops: Bools) -> Floats:
    """Solve share = its receivers' shares, mixed as the water parts; one triangular system."""
    size = outlets.size
    at = np.full(size, -1, dtype=np.intp)
    at[order] = np.arange(order.size)
    ends = (outlets | stops).ravel()[order]
    pieces = []
    corner_share = np.where(fall.corner < 0, 0.0, fall.corner_share)
    for receiver, part in (
        (fall.square, np.where(fall.square < 0, 0.0, 1.0 - corner_share)),
        (fall.corner, corner_share),
    ):
        to, weight = receiver.ravel()[order], part.ravel()[order]
        gives = (to >= 0) & ~ends & (weight > 0.0)
        pieces.append((np.flatnonzero(gives), at[to[gives]], -weight[gives]))
    own = np.arange(order.size)
    matrix = scipy.sparse.csr_array(
        (
            np.concatenate([np.ones(order.size), *(piece[2] for piece in pieces)]),
            (
                np.concatenate([own, *(piece[0] for piece in pieces)]),
                np.concatenate([own, *(piece[1] for piece in pieces)]),
            ),
        ),
        shape=(order.size, order.size),
    )
    leaves = (outlets & ~stops).ravel()[order].astype(np.float64)
    solved = scipy.sparse.linalg.spsolve_triangular(matrix, leaves, lower=True)
    share = np.zeros(size)
    share[order] = np.clip(solved, 0.0, 1.0)
    return share.reshape(outlets.shape)


def drains_to_outlet(flow: Flow) -> float:
    """Share of the floor's water that reaches an outlet without entering a pond."""
    return float(flow.share[flow.inside].mean()) if flow.inside.any() else 0.0


def trace(
    flow: Flow,
    *,
    lattice: Lattice,
    start_m: tuple[float, float],
    places: tuple[Floats, Floats] | None = None,
) -> tuple[tuple[tuple[float, float], ...], bool]:
    """Path of a drop from the inside cell nearest ``start_m``, in metres, and whether it leaves.

    The drop runs on into a pond to the bottom it finds there. The path is thinned to within one
    step of the lattice. ``places`` are sheets of x and y where the cells stand, by default their
    centres.
    """
    return traces(flow, lattice=lattice, starts_m=np.array([start_m]), places=places)[0]


def traces(
    flow: Flow,
    *,
    lattice: Lattice,
    starts_m: Floats,
    places: tuple[Floats, Floats] | None = None,
) -> list[tuple[tuple[tuple[float, float], ...], bool]]:
    """``trace`` from each of ``starts_m`` (n, 2), all drops moved at once."""
    x_m, y_m = (sheet.ravel() for sheet in places or _centres(lattice))
    cells = np.flatnonzero(flow.inside)
    starts = np.array(
        [cells[int(np.argmin(np.hypot(x_m[cells] - x, y_m[cells] - y)))] for x, y in starts_m],
        dtype=np.intp,
    )
    leaves = flow.outlets.ravel()
    drops = _Drops(flow, x_m=x_m, y_m=y_m, starts=starts)
    visited = [[int(start)] for start in starts]
    moving = np.flatnonzero(~leaves[starts])
    while moving.size:
        moving = moving[drops.advance(moving)]
        for number in moving:
            visited[number].append(int(drops.at[number]))
        moving = moving[~leaves[drops.at[moving]]]
    return [
        (_thinned(np.column_stack([x_m[way], y_m[way]]), lattice.step_m), bool(leaves[way[-1]]))
        for way in visited
    ]


def _thinned(points: Floats, step_m: float) -> tuple[tuple[float, float], ...]:
    if len(points) > 2:
        points = np.asarray(shapely.LineString(points).simplify(step_m).coords)
    return tuple((float(x), float(y)) for x, y in points)


@dataclass(frozen=True, slots=True, eq=False)
class PathFalls:
    """Fall over the first stretch of each drop's path; ``starts`` are flat cell places."""

    starts: Places
    falls: Floats
    lengths_m: Floats


def falls_along(
    flow: Flow,
    *,
    heights_m: Floats,
    places: tuple[Floats, Floats],
    stops: Bools,
    window_m: float,
) -> PathFalls:
    """One drop from every dry cell off ``stops``: how steeply it runs over ``window_m`` of its
    path.

    Fall is drop over length. The length is the sum of the steps laid along the flow, or the
    straight way from start to end when that is longer, as in a valley that zigzags between cells. A
    drop ends early at ``stops``, at an outlet, at a pond, and where it finds no way on.
    """
    x_m, y_m = places
    ends = (stops | flow.outlets | flow.standing).ravel()
    drops = _Drops(flow, x_m=x_m, y_m=y_m, starts=np.flatnonzero(flow.inside.ravel() & ~ends))
    moving = np.ones(drops.at.size, dtype=bool)
    lengths = np.zeros(drops.at.size)
    while moving.any():
        who = np.flatnonzero(moving)
        went = drops.advance(who)
        lengths[who] = np.maximum(drops.run_m[who], drops.straight_m(who))
        moving[who] = went & ~ends[drops.at[who]] & (lengths[who] < window_m)
    level = np.where(flow.standing, heights_m, flow.filled.level_m).ravel()
    dropped = level[drops.starts] - level[drops.at]
    falls = np.divide(dropped, lengths, out=np.zeros(lengths.size), where=lengths > 0.0)
    return PathFalls(starts=drops.starts, falls=falls, lengths_m=lengths)


def _centres(lattice: Lattice) -> tuple[Floats, Floats]:
    x_m, y_m = np.meshgrid(lattice.x_m, lattice.y_m)
    return x_m, y_m


@dataclass(frozen=True, slots=True, eq=False)
class _Way:
    """From cells to one of their receivers: how far along the true direction, how far off it."""

    to: Places
    open: Bools  # whether there is such a receiver
    ahead_m: Floats
    aside_m: Floats  # to the left

    def of(self, cells: Places) -> _Way:
        return _Way(self.to[cells], self.open[cells], self.ahead_m[cells], self.aside_m[cells])


class _Drops:
    """Drops on their way, all moved at once.

    At each cell a drop takes whichever of the two receivers keeps it nearer to the true direction
    of fall so far, so that on a plane it runs straight (least transversal deviation).
    """

    def __init__(self, flow: Flow, *, x_m: Floats, y_m: Floats, starts: Places) -> None:
        self._x_m, self._y_m = x_m.ravel(), y_m.ravel()
        toward = flow.fall.bearing_rad.ravel()
        level = np.isnan(toward)  # on a level stretch there is no direction to stray from
        along, aside = np.cos(toward), np.sin(toward)

        def way(receivers: Places) -> _Way:
            dx, dy = self._x_m[receivers] - self._x_m, self._y_m[receivers] - self._y_m
            ahead_m = np.where(level, np.hypot(dx, dy), dx * along + dy * aside)
            aside_m = np.where(level, 0.0, dy * along - dx * aside)
            return _Way(receivers, receivers >= 0, np.maximum(ahead_m, 0.0), aside_m)

        self._square = way(flow.fall.square.ravel())
        self._corner = way(flow.fall.corner.ravel())
        self.starts = starts
        self.at = starts.copy()
        self.run_m = np.zeros(starts.size)  # along the true direction
        self._astray_m = np.zeros(starts.size)  # off it, to the left

    def advance(self, who: Places) -> Bools:
        """Move the drops numbered ``who`` by one cell; tells which found a way on."""
        here, so_far = self.at[who], self._astray_m[who]
        square, corner = self._square.of(here), self._corner.of(here)
        off = np.where(square.open, abs(so_far + square.aside_m), np.inf)
        turns = corner.open & (abs(so_far + corner.aside_m) < off)
        found: Bools = square.open | turns
        to = np.where(turns, corner.to, square.to)
        ahead = np.where(turns, corner.ahead_m, square.ahead_m)
        aside = np.where(turns, corner.aside_m, square.aside_m)
        self.at[who] = np.where(found, to, here)
        self.run_m[who] += np.where(found, ahead, 0.0)
        self._astray_m[who] = so_far + np.where(found, aside, 0.0)
        return found

    def straight_m(self, who: Places) -> Floats:
        """Straight way from each drop's start, less what it stands aside of the true direction."""
        dx = self._x_m[self.at[who]] - self._x_m[self.starts[who]]
        dy = self._y_m[self.at[who]] - self._y_m[self.starts[who]]
        square: Floats = np.maximum(dx**2 + dy**2 - self._astray_m[who] ** 2, 0.0)
        return np.sqrt(square)
