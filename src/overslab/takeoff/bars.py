"""Bars both ways on the real outline, cut from stock lengths with the fewest bars."""

from __future__ import annotations

from dataclasses import replace
from math import ceil
from typing import NamedTuple

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from overslab.ground.faults import Faulty
from overslab.ground.notes import Assumption, Remark
from overslab.handbook import reinforcement
from overslab.handbook.checks import Check
from overslab.takeoff import steel_faults
from overslab.takeoff.asked import BarsAsked
from overslab.takeoff.bar_cutting import cut_pieces
from overslab.takeoff.cover import room_for_steel, stack_m
from overslab.takeoff.items import Item
from overslab.takeoff.steel_floor import (
    Turn,
    along_longest,
    inside_edges,
    not_positive,
    rings_of_steel,
)
from overslab.takeoff.steel_records import BarLayout, BarPiece
from overslab.takeoff.wire_courses import Run, Stock
from overslab.takeoff.wire_packing import letter, pack

_SAME_M = 1e-6
_BARE_M2 = 1e-6
_MOST_FILLED_IN = 200
_WHERE_TRIED = (0.5, 0.3, 0.7, 0.1, 0.9)  # across a bare part

NO_HOOKS = Assumption(
    about="bars",
    taken="straight, without hooks",
    because="not asked for; a plain slab seldom has them",
)
STAGGERED = Remark(
    "note",
    "Every second row starts from the other side, so that laps of neighbouring bars do not stand "
    "in one line.",
)


def lay_bars(floor: shapely.Polygon, asked: BarsAsked, *, thinnest_m: float | None) -> BarLayout:
    """Rows of bars along the longest wall and across it, cut from stock with the fewest bars.

    No part of the floor inside ``edge_m`` is farther than half the spacing from a bar, each way.
    Raises ``Faulty``.
    """
    stock = _stock(asked)
    inner = inside_edges(floor, edge_m=asked.edge_m)
    turn = along_longest(floor)
    ways = (turn, Turn(turn.angle, True)) if asked.across else (turn,)
    runs: list[Run] = []
    bare_m2 = 0.0
    for way in ways:
        lines, left_m2 = _rows(way.there(inner), asked)
        runs += [replace(line, swapped=way.swapped) for line in lines]
        bare_m2 += left_m2
    # All rows share the stock, whichever way they lie: only their lengths count in the cutting.
    laid, cutting_bound = _fewest(runs, stock)
    pieces = _pieces(laid, runs, angle=turn.angle, stock_m=asked.stock_length_m)
    bars = len({piece.bar for piece in pieces})
    net_m = asked.stock_length_m - asked.lap_m
    need = [max(run.long_m - asked.lap_m, 0.0) for run in runs]
    length_m = sum(run.long_m for run in runs)
    return BarLayout(
        asked=asked,
        pieces=pieces,
        bars=bars,
        bound=max(1, ceil(sum(need) / net_m - 1e-6)),
        cutting_bound=cutting_bound,
        plain_bars=sum(max(1, ceil(one / net_m - 1e-6)) for one in need),
        rows=len(runs),
        length_m=length_m,
        area_m2=float(inner.area),
        thinnest_m=thinnest_m,
        inner=rings_of_steel(inner),
        items=_items(asked, pieces=pieces, bars=bars, length_m=length_m),
        checks=(
            *_by_the_book(asked),
            *room_for_steel(
                thinnest_m=thinnest_m,
                stack_m=stack_m(asked),
                cover_top_m=asked.cover_top_m,
                cover_bottom_m=asked.cover_bottom_m,
            ),
            Check(
                name="floor farther than half the spacing from a bar",
                quantity="area_m2",
                found=bare_m2,
                comparison="at most",
                allowed=0.0,
                source="asked for",
                slack=_BARE_M2,
            ),
        ),
        remarks=(STAGGERED,),
        workings=(),
        assumptions=(NO_HOOKS,),
    )


def _stock(asked: BarsAsked) -> Stock:
    faults = not_positive(
        {
            "diameter of the bars": asked.diameter_m,
            "spacing of the bars": asked.spacing_m,
            "stock length of the bars": asked.stock_length_m,
            "lap of the bars": asked.lap_m,
            "distance of the bars from the edges": asked.edge_m,
            "cover over the bars": asked.cover_top_m,
            "cover under the bars": asked.cover_bottom_m,
            "least piece of bar": asked.least_piece_m,
        },
        or_zero=(
            "lap of the bars",
            "distance of the bars from the edges",
            "cover over the bars",
            "cover under the bars",
        ),
    )
    if not faults and asked.lap_m >= asked.stock_length_m / 2:
        faults.append(
            steel_faults.STEEL_LAP_TOO_LONG.met(
                value=f"{asked.lap_m:.3f} m",
                what="a stock bar",
                limit=f"{asked.stock_length_m:.3f} m",
            )
        )
    if faults:
        raise Faulty(faults)
    # A bar is a sheet as wide as the bar: one strip of it, cut in chains.
    return Stock(
        asked.stock_length_m, asked.diameter_m, asked.lap_m, asked.least_piece_m, turn=False
    )


class _Laid(NamedTuple):
    """From west to east in a row, cut from a bar from start to end."""

    run: Run
    west: float
    east: float
    bar: int
    start: float
    end: float


def _fewest(runs: list[Run], stock: Stock) -> tuple[list[_Laid], int]:
    """Rows cut in chains, or each in whole bars and a rest: whichever takes fewer bars.

    Also the proven least number for the pieces so cut.
    """
    packing = pack(tuple(runs), stock)
    whole, bound = _whole_and_rest(runs, stock)
    if packing is None or len({one.bar for one in whole}) <= packing.sheets:
        return whole, bound
    chained = [
        _Laid(one.run, one.west, one.east, one.strip.sheet, cut[0], cut[2])
        for one in packing.laid
        for cut in [one.strip.cut_from]
    ]
    filled_m = sum(one.end - one.start for one in chained)
    return chained, ceil(filled_m / stock.length_m - 1e-6)


def _whole_and_rest(runs: list[Run], stock: Stock) -> tuple[list[_Laid], int]:
    """Each row in whole bars and one rest; the rests cut together from few bars."""
    long, lap = stock.length_m, stock.lap_m
    laid: list[_Laid] = []
    rests: list[tuple[Run, float]] = []
    bar = 0
    for run in runs:
        at = run.west
        while run.east - at > long + _SAME_M:
            bar += 1
            laid.append(_Laid(run, at, at + long, bar, 0.0, long))
            at += long - lap
        # A rest too short to be laid laps farther over the bar before it.
        rests.append((run, max(run.east - at, min(stock.least_m, run.long_m))))
    cuts, bound = cut_pieces(np.array([rest for _, rest in rests]), stock_m=long)
    whole = bar
    for cut in cuts:
        bar += 1
        start = 0.0
        for place in cut:
            run, rest = rests[place]
            laid.append(_Laid(run, run.east - rest, run.east, bar, start, start + rest))
            start += rest
    return laid, whole + bound


def _pieces(
    laid: list[_Laid], runs: list[Run], *, angle: float, stock_m: float
) -> tuple[BarPiece, ...]:
    place_of = {run: place for place, run in enumerate(runs)}
    order = sorted(laid, key=lambda one: (place_of[one.run], one.west))
    numbers: dict[int, int] = {}
    count: dict[int, int] = {}
    for one in order:
        numbers.setdefault(one.bar, len(numbers) + 1)
        count[one.bar] = count.get(one.bar, 0) + 1
    met: dict[int, int] = {}
    pieces = []
    for one in order:
        run, west, east = one.run, one.west, one.east
        if place_of[run] % 2:
            west, east = run.west + run.east - east, run.west + run.east - west
        way = Turn(angle, run.swapped)
        a, b = way.points_back(np.array([(west, run.south), (east, run.south)]))
        met[one.bar] = met.get(one.bar, 0) + 1
        number = numbers[one.bar]
        pieces.append(
            BarPiece(
                label=f"{number}{letter(met[one.bar])}" if count[one.bar] > 1 else str(number),
                bar=number,
                ends=(a, b),
                cut_from=(one.start, one.end),
                whole=one.end - one.start > stock_m - _SAME_M,
            )
        )
    return tuple(pieces)


def _rows(level: BaseGeometry, asked: BarsAsked) -> tuple[list[Run], float]:
    """Rows along x, evenly spread, with more where an inside corner leaves floor without one.

    Also the area still bare of them: tips too short for a bar.
    """
    west, south, east, north = level.bounds
    half = asked.spacing_m / 2
    gaps = max(1, ceil((north - south) / asked.spacing_m - _SAME_M))
    rows: list[Run] = []
    for y in np.linspace(south, north, gaps + 1):
        rows += _on_line(level, float(y), west - 1, east + 1, asked)
    for _ in range(_MOST_FILLED_IN):
        near = shapely.union_all(
            [
                shapely.box(r.west - half, r.south - half, r.east + half, r.south + half)
                for r in rows
            ]
        )
        bare = level.difference(near.buffer(_SAME_M, join_style="mitre"))
        parts = [part for part in shapely.get_parts(bare) if part.area > _BARE_M2]
        more: list[Run] = []
        for part in sorted(parts, key=lambda part: -part.area):
            left, low, right, high = part.bounds
            middle = (left + right) / 2
            reach = max((right - left) / 2, asked.least_piece_m)
            for share in _WHERE_TRIED:
                y = low + share * (high - low)
                more = _on_line(level, y, middle - reach, middle + reach, asked)
                if more:
                    break
            if more:
                break
        # What is left then is shorter than any bar that would be laid.
        if not more:
            break
        rows += more
    return rows, float(sum(part.area for part in parts))


def _on_line(
    level: BaseGeometry, y: float, west: float, east: float, asked: BarsAsked
) -> list[Run]:
    line = shapely.LineString([(west, y), (east, y)]).intersection(level)
    found = []
    for part in shapely.get_parts(line):
        if part.geom_type == "LineString" and part.length >= asked.least_piece_m:
            left, _, right, _ = part.bounds
            found.append(Run(left, y, right, y + asked.diameter_m))
    return found


def _by_the_book(asked: BarsAsked) -> tuple[Check, ...]:
    return (
        *(limit.check(found=asked.spacing_m) for limit in reinforcement.BAR_SPACING),
        *(limit.check(found=asked.lap_m) for limit in reinforcement.LAP_OF_BARS),
    )


def _items(
    asked: BarsAsked, *, pieces: tuple[BarPiece, ...], bars: int, length_m: float
) -> tuple[Item, ...]:
    laid_m = sum(piece.cut_from[1] - piece.cut_from[0] for piece in pieces)
    whole = sum(piece.whole for piece in pieces)
    return (
        Item(
            code="bar",
            what=f"reinforcing bars, {asked.size}",
            kind="material",
            quantity="length_m",
            net=length_m,
            gross=laid_m,
            order_unit="bar",
            ordered=float(bars),
            why=f"counted on the drawn layout: {whole} bars lie uncut, {len(pieces) - whole} "
            f"pieces are cut from {bars - whole} others",
            unit_holds=asked.stock_length_m,
        ),
        Item(
            code="lay-bars",
            what="lay, cut, lap and tie bars",
            kind="work",
            quantity="length_m",
            net=length_m,
            gross=laid_m,
            order_unit="as measured",
            ordered=laid_m,
            why="length of all bars with their laps",
        ),
    )
