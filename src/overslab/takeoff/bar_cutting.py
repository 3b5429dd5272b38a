"""Pieces of bar cut from stock bars: the cutting-stock programme, ways of cutting priced in.

After Gilmore and Gomory: the programme begins with one sort of piece to a bar; a knapsack finds the
way of cutting that would pay most at the prices of the pieces, until none pays. Its least cost,
rounded up, is a proven bound on the bars that these pieces take. The whole-number programme is
asked only where filling bars by size does not reach the bound already: over every way of cutting
where these are few, so that its answer is the least there is, else over the ways found.
"""

from __future__ import annotations

from math import ceil, floor

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from overslab.ground.programme import Programme, solve

Floats = NDArray[np.float64]
Places = NDArray[np.intp]
_SAME_M = 1e-6
_MOST_ROUNDS = 400
_MOST_SIZES = 30  # beyond them the programme seldom gains and takes long
_MOST_WAYS = 200  # full ones, and
_MOST_BEGUN = 2_000  # begun ones, beyond which not every way of cutting is looked at


def cut_pieces(lengths_m: Floats, *, stock_m: float) -> tuple[list[list[int]], int]:
    """Bars as lists of places in ``lengths_m`` (n,), and the proven least number of bars.

    Every length is at most ``stock_m``.
    """
    sizes, of_piece = np.unique(np.round(lengths_m, 6), return_inverse=True)
    wanted = np.bincount(of_piece, minlength=len(sizes))
    ways = [
        np.where(np.arange(len(sizes)) == k, _fit(sizes[k], stock_m), 0) for k in range(len(sizes))
    ]
    bars = _by_size(lengths_m, stock_m=stock_m)
    if len(sizes) > _MOST_SIZES:
        return bars, _least_by_size(lengths_m / stock_m)
    bound = 0.0
    for _ in range(_MOST_ROUNDS):
        answer = solve(_programme(ways, wanted, whole=False))
        bound = answer.cost
        way, worth = _best_way(sizes, wanted, np.asarray(answer.duals), stock_m)
        if worth <= 1 + 1e-7:
            break
        ways.append(way)
    else:
        # Prices that have not settled still bound: no bar is worth more than the best way is.
        bound = bound / worth
    least = ceil(bound - 1e-6)
    if len(bars) <= least:
        return bars, least
    ways = _every_way(sizes, wanted, stock_m=stock_m) or ways
    best = solve(_programme(ways, wanted, whole=True), priced=False)
    if best.cost > len(bars) - 1 + 1e-6:
        return bars, least
    waiting = [list(np.flatnonzero(of_piece == k)) for k in range(len(sizes))]
    bars = []
    for way, count in zip(ways, np.round(best.x).astype(int), strict=True):
        for _ in range(count):
            bar = [
                int(waiting[k].pop())
                for k in range(len(sizes))
                for _ in range(min(int(way[k]), len(waiting[k])))
            ]
            if bar:
                bars.append(bar)
    return bars, least


def _every_way(sizes: Floats, wanted: Places, *, stock_m: float) -> list[Places]:
    """Every way of cutting a bar that leaves room for no piece more; none when they are many."""
    begun: list[tuple[tuple[int, ...], float]] = [((), stock_m)]
    for size, most in zip(sizes[::-1], wanted[::-1], strict=True):
        begun = [
            ((count, *way), room - count * float(size))
            for way, room in begun
            for count in range(min(int(most), floor((room + _SAME_M) / float(size))) + 1)
        ]
        if len(begun) > _MOST_BEGUN:
            return []
    ways = []
    for way, room in begun:
        counts = np.array(way, dtype=np.intp)
        if not (sizes[counts < wanted] <= room + _SAME_M).any():
            ways.append(counts)
    return ways if len(ways) <= _MOST_WAYS else []


def _least_by_size(share: Floats) -> int:
    """A least number of bars by dual feasible functions, after Martello and Toth.

    A piece longer than the rest of the bar beside a short one counts whole, shorter ones not.
    """
    best = float(share.sum())
    for below in np.unique(share[share <= 0.5]):
        counted = np.where(share > 1 - below, 1.0, np.where(share < below, 0.0, share))
        best = max(best, float(counted.sum()))
    return ceil(best - 1e-6)


def _by_size(lengths_m: Floats, *, stock_m: float) -> list[list[int]]:
    """The longest first, each into the first bar that has room for it."""
    bars: list[list[int]] = []
    room: list[float] = []
    for place in np.argsort(-lengths_m, kind="stable"):
        size = float(lengths_m[place])
        bar = next((k for k, left in enumerate(room) if left >= size - _SAME_M), len(bars))
        if bar == len(bars):
            bars.append([])
            room.append(stock_m)
        bars[bar].append(int(place))
        room[bar] -= size
    return bars


def _fit(size: float, stock_m: float) -> int:
    return max(1, floor(stock_m / size + _SAME_M))


def _programme(ways: list[Places], wanted: Places, *, whole: bool) -> Programme:
    count = len(ways)
    return Programme(
        cost=np.ones(count),
        low=np.zeros(count),
        high=np.full(count, np.inf),
        rows=sparse.csr_array(np.array(ways, dtype=np.float64).T),
        row_low=wanted.astype(np.float64),
        row_high=np.full(len(wanted), np.inf),
        whole=np.full(count, whole),
    )


def _best_way(sizes: Floats, wanted: Places, worth: Floats, stock_m: float) -> tuple[Places, float]:
    """The pieces that together are worth most on one bar: a knapsack in whole numbers."""
    answer = solve(
        Programme(
            cost=-worth,
            low=np.zeros(len(sizes)),
            high=wanted.astype(np.float64),
            rows=sparse.csr_array(sizes[None, :]),
            row_low=np.zeros(1),
            row_high=np.full(1, stock_m + _SAME_M),
            whole=np.full(len(sizes), True),
        ),
        priced=False,
    )
    way = np.round(answer.x).astype(np.intp)
    return way, float(worth @ way)
