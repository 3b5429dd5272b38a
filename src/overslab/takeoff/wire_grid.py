"""The plain grid: whole sheets row by row from a corner, every cut piece a new sheet."""

from __future__ import annotations

from math import ceil

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from overslab.takeoff.steel_floor import Box
from overslab.takeoff.wire_courses import Run, Stock
from overslab.takeoff.wire_cutting import Strip
from overslab.takeoff.wire_packing import Laid, Packing

_SAME_M = 1e-6


def plain_grid(level: BaseGeometry, stock: Stock) -> tuple[Box, ...]:
    """Sheets from the south-west corner on, wherever there is floor, ending where the floor does.

    ``level`` is the floor inside the edges, its courses along x.
    """
    west, south, east, north = level.bounds
    lap = stock.lap_m
    across = max(1, ceil((east - west - lap) / (stock.length_m - lap) - _SAME_M))
    up = max(1, ceil((north - south - lap) / (stock.width_m - lap) - _SAME_M))
    x = west + np.arange(across) * (stock.length_m - lap)
    y = south + np.arange(up) * (stock.width_m - lap)
    grid_x, grid_y = (axis.ravel() for axis in np.meshgrid(x, y))
    # A cell that only a neighbour's lap reaches into needs no sheet of its own.
    first_x, first_y = grid_x > west + _SAME_M, grid_y > south + _SAME_M
    cells = shapely.box(
        grid_x + first_x * lap,
        grid_y + first_y * lap,
        grid_x + stock.length_m,
        grid_y + stock.width_m,
    )
    taken = shapely.area(shapely.intersection(cells, level)) > _SAME_M
    return tuple(
        (float(a), float(b), float(min(a + stock.length_m, east)), float(min(c, north)))
        for a, b, c in zip(grid_x[taken], grid_y[taken], grid_y[taken] + stock.width_m, strict=True)
    )


def grid_as_packing(grid: tuple[Box, ...], stock: Stock) -> Packing:
    """The grid as a layout of its own: one piece a sheet, the rest of each left over."""
    west = min((box[0] for box in grid), default=0.0)
    south = min((box[1] for box in grid), default=0.0)
    laid: list[Laid] = []
    left: list[Strip] = []
    for sheet, (a, b, c, d) in enumerate(grid, start=1):
        # Too small a piece at the end reaches back under its neighbour.
        run = Run(max(min(a, c - stock.least_m), west), max(min(b, d - stock.least_m), south), c, d)
        long, high = run.long_m, run.high_m
        piece = Strip(sheet, (0.0, 0.0, min(long, stock.length_m), stock.width_m), False)
        laid.append(Laid(run, run.west, run.east, piece))
        left.append(Strip(sheet, (long, 0.0, stock.length_m, stock.width_m), False))
        left.append(Strip(sheet, (0.0, high, long, stock.width_m), False))
    return Packing(tuple(laid), tuple(left), len(grid))
