"""Water on a lattice of heights: what fills, and how steeply it falls. ``ground.runoff`` runs it.

All sheets are (ny, nx), row 0 at the least y as in ``ground.lattice``. ``inside`` marks cells that
hold floor; every other cell is a wall that holds water. ``outlets`` marks inside cells where water
leaves.

Sources: Barnes, Lehman and Mulla, "Priority-flood", Computers & Geosciences 62 (2014), for what a
filled surface is; Tarboton, "A new method for the determination of flow directions", Water
Resources Research 33 (1997), for the fall and its direction.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Places = NDArray[np.intp]

# The eight facets of Tarboton's figure 2 as (cardinal step, diagonal step) in (rows, columns).
_FACETS: tuple[tuple[tuple[int, int], tuple[int, int]], ...] = (
    ((0, 1), (1, 1)),
    ((1, 0), (1, 1)),
    ((1, 0), (1, -1)),
    ((0, -1), (1, -1)),
    ((0, -1), (-1, -1)),
    ((-1, 0), (-1, -1)),
    ((-1, 0), (-1, 1)),
    ((0, 1), (-1, 1)),
)


@dataclass(frozen=True, slots=True, eq=False)
class Filled:
    """The surface after all the water that can stand does stand.

    ``level_m`` equals the height wherever it is dry, outside, or unreachable. ``unreachable`` marks
    inside cells from which no outlet can be reached at any depth: no standing depth is told there.
    """

    level_m: Floats
    depth_m: Floats
    unreachable: Bools


def fill(heights_m: Floats, *, inside: Bools, outlets: Bools) -> Filled:
    """Lowest surface over ``heights_m`` with a path to an outlet that never climbs (8 neighbours).

    Exactly the priority flood's answer, found without its queue: every cell slides to the bottom of
    its basin, then whole basins are joined across their lowest passes, round by round (Boruvka's
    spanning tree; a fill level is the highest pass on the way out). A cell stands at the higher of
    its own height and its basin's level.
    """
    heights_m = np.asarray(heights_m, dtype=np.float64)
    outlets = outlets & inside
    if not np.isfinite(heights_m[inside]).all():
        raise ValueError("heights inside must be finite")
    padded = _walled(heights_m, inside)
    bottom_of = _bottoms(padded, inside=inside, outlets=outlets)
    flat = padded.ravel()
    own = np.arange(flat.size)
    bottoms = np.flatnonzero((bottom_of == own) & np.isfinite(flat))
    basin_at = np.zeros(flat.size, dtype=np.intp)
    basin_at[bottoms] = np.arange(1, bottoms.size + 1)
    # Basin 0 is the world outside: every outlet cell is its own bottom and belongs to it.
    leaving = np.zeros(padded.shape, dtype=bool)
    leaving[1:-1, 1:-1] = outlets
    basin_at[leaving.ravel()] = 0
    basins = basin_at[bottom_of].reshape(padded.shape)
    spill_m = _spill_levels(padded, basins=basins, count=bottoms.size + 1)
    need_m = spill_m[basins[1:-1, 1:-1]]
    unreachable = inside & np.isposinf(need_m)
    level_m = np.where(inside & ~unreachable, np.maximum(heights_m, need_m), heights_m)
    depth_m = np.where(inside, level_m - np.where(inside, heights_m, 0.0), 0.0)
    return Filled(level_m=level_m, depth_m=depth_m, unreachable=unreachable)


def _walled(sheet: Floats, inside: Bools) -> Floats:
    """The sheet with infinite walls outside and one ring of wall around it."""
    padded = np.full((sheet.shape[0] + 2, sheet.shape[1] + 2), np.inf)
    np.copyto(padded[1:-1, 1:-1], sheet, where=inside)
    return padded


def _bottoms(padded: Floats, *, inside: Bools, outlets: Bools) -> Places:
    """For each padded cell the flat place of the bottom it slides to, always to the lowest
    neighbour.
    """
    rows, columns = inside.shape
    width = columns + 2
    core = padded[1:-1, 1:-1]
    best = core.copy()
    step = np.zeros(core.shape, dtype=np.intp)
    # Cells are ordered by (height, place), so that a level stretch slides one way and never in a
    # ring.
    for up, right in ((-1, -1), (-1, 0), (-1, 1), (0, -1), (0, 1), (1, -1), (1, 0), (1, 1)):
        neighbour = padded[1 + up : 1 + up + rows, 1 + right : 1 + right + columns]
        earlier = (up, right) < (0, 0)
        lower = neighbour <= best if earlier else neighbour < best
        np.copyto(best, neighbour, where=lower)
        np.copyto(step, up * width + right, where=lower)
    step[outlets | ~inside] = 0
    to = np.arange(padded.size)
    to.reshape(padded.shape)[1:-1, 1:-1] += step
    while True:
        further = to[to]
        if np.array_equal(further, to):
            return to
        to = further


def _spill_levels(padded: Floats, *, basins: Places, count: int) -> Floats:
    """Level to which each basin fills before it spills out to basin 0; +inf if it never can."""
    rows, columns = padded.shape[0] - 2, padded.shape[1] - 2
    ends_a, ends_b, passes = [], [], []
    here = np.s_[1:-1, 1:-1]
    for up, right in ((0, 1), (1, -1), (1, 0), (1, 1)):
        there = np.s_[1 + up : 1 + up + rows, 1 + right : 1 + right + columns]
        height = np.maximum(padded[here], padded[there])
        meets = (basins[here] != basins[there]) & (height < np.inf)
        ends_a.append(basins[here][meets])
        ends_b.append(basins[there][meets])
        passes.append(height[meets])
    a, b, height = np.concatenate(ends_a), np.concatenate(ends_b), np.concatenate(passes)
    rounds: list[tuple[Floats, Places]] = []
    while a.size:
        climb, joined = _join(a, b, height, count=count)
        rounds.append((climb, joined))
        a, b = joined[a], joined[b]
        apart = a != b
        a, b, height = a[apart], b[apart], height[apart]
        count = int(joined.max()) + 1
    level = np.full(count, np.inf)
    level[0] = -np.inf
    for climb, joined in reversed(rounds):
        level = np.maximum(climb, level[joined])
    return level


def _join(a: Places, b: Places, height: Floats, *, count: int) -> tuple[Floats, Places]:
    """One round: each basin but 0 joins across its lowest pass.

    Gives the highest pass between each basin and the one that stands for its group, and the number
    of the group. Equal passes are told apart by their place in the list, so that no ring longer
    than two can form.
    """
    lowest = np.full(count, np.inf)
    np.minimum.at(lowest, a, height)
    np.minimum.at(lowest, b, height)
    chosen = np.full(count, a.size)
    for ends in (a, b):
        at_lowest = np.flatnonzero(height == lowest[ends])
        np.minimum.at(chosen, ends[at_lowest], at_lowest)
    own = np.arange(count)
    joins = chosen < a.size
    joins[0] = False
    basin = np.flatnonzero(joins)
    to = own.copy()
    to[basin] = a[chosen[basin]] + b[chosen[basin]] - basin
    stands = (to[to] == own) & (own < to)  # of two that chose each other the first stands for both
    to[stands] = own[stands]
    climb = np.where(to == own, -np.inf, lowest)
    while True:
        further = to[to]
        if np.array_equal(further, to):
            break
        climb = np.maximum(climb, climb[to])
        to = further
    number = np.cumsum(to == own) - 1
    return climb, number[to]


@dataclass(frozen=True, slots=True, eq=False)
class Fall:
    """Steepest fall of every cell (D-infinity). Flat cell places index ``sheet.ravel()``.

    ``slope`` is zero where nothing lower is near. ``bearing_rad`` is counter-clockwise from +x, NaN
    where there is no fall. ``square`` and ``corner`` are the two cells the water parts to, -1 for
    none; ``corner_share`` goes to ``corner`` and the rest to ``square``.
    """

    slope: Floats
    bearing_rad: Floats
    square: Places
    corner: Places
    corner_share: Floats


def steepest_fall(heights_m: Floats, *, inside: Bools, step_m: float) -> Fall:
    """True slope along the flow and its direction by Tarboton's eight triangular facets.

    Beside a wall a facet shrinks to its one open side, so that water runs along the wall. Of
    equally steep facets the first counter-clockwise from +x is taken.
    """
    rows, columns = inside.shape
    padded = _walled(np.asarray(heights_m, dtype=np.float64), inside)
    open_ = np.isfinite(padded)
    own = np.arange(rows * columns).reshape(rows, columns)
    slope = np.zeros(inside.shape)
    bearing = np.full(inside.shape, np.nan)
    square = np.full(inside.shape, -1, dtype=np.intp)
    corner = np.full(inside.shape, -1, dtype=np.intp)
    share = np.zeros(inside.shape)
    centre = np.where(inside, heights_m, 0.0)
    for side, across in _FACETS:
        at_side = np.s_[1 + side[0] : 1 + side[0] + rows, 1 + side[1] : 1 + side[1] + columns]
        at_across = np.s_[
            1 + across[0] : 1 + across[0] + rows, 1 + across[1] : 1 + across[1] + columns
        ]
        side_open, across_open = open_[at_side], open_[at_across]
        beside = np.where(side_open, padded[at_side], 0.0)
        beyond = np.where(across_open, padded[at_across], 0.0)
        along = (centre - beside) / step_m
        sideways = (beside - beyond) / step_m
        turn = np.clip(np.arctan2(sideways, along), 0.0, np.pi / 4)
        turn = np.where(across_open, turn, 0.0)
        turn = np.where(side_open, turn, np.pi / 4)
        steep = np.hypot(along, sideways)
        steep = np.where(turn <= 0.0, along, steep)
        steep = np.where(turn >= np.pi / 4, (centre - beyond) / (step_m * np.sqrt(2.0)), steep)
        better = inside & (side_open | across_open) & (steep > slope)
        ahead = np.arctan2(side[0], side[1])
        # +1 when the diagonal lies counter-clockwise of the cardinal side.
        hand = side[1] * across[0] - side[0] * across[1]
        np.copyto(slope, steep, where=better)
        np.copyto(bearing, ahead + hand * turn, where=better)
        np.copyto(share, turn / (np.pi / 4), where=better)
        reach = own + side[0] * columns + side[1]
        np.copyto(square, np.where(turn < np.pi / 4, reach, -1), where=better)
        reach = own + across[0] * columns + across[1]
        np.copyto(corner, np.where(turn > 0.0, reach, -1), where=better)
    bearing = np.mod(bearing, 2 * np.pi)
    return Fall(slope=slope, bearing_rad=bearing, square=square, corner=corner, corner_share=share)
