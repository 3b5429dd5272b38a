"""Wire sheets on the real outline: fewest sheets, offcuts used again, the bound proven."""

from __future__ import annotations

import re
from itertools import pairwise
from math import ceil

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from overslab.ground.faults import Fault, Faulty
from overslab.ground.notes import Assumption, Remark
from overslab.handbook import wire as book
from overslab.handbook.checks import Check
from overslab.handbook.working import Working, show
from overslab.takeoff import steel_faults
from overslab.takeoff.asked import WireAsked
from overslab.takeoff.cover import room_for_steel, stack_m
from overslab.takeoff.items import Item
from overslab.takeoff.steel_floor import (
    Turn,
    along_longest,
    inside_edges,
    not_positive,
    rings_of_steel,
)
from overslab.takeoff.wire_courses import Stock, courses
from overslab.takeoff.wire_cutting import Strip, fewest_sheets
from overslab.takeoff.wire_grid import grid_as_packing, plain_grid
from overslab.takeoff.wire_packing import Packing, letter, pack
from overslab.takeoff.wire_recheck import look_again
from overslab.takeoff.wire_records import Offcut, PlainGrid, WireLayout, WirePiece

_SAME_M = 1e-6
_HAIR_M = 1e-4

CUT_BESIDE_WIRE = Assumption(
    about="wire: cut edges in a lap",
    taken="cut just outside a wire, so that the lap counts from that wire",
    because="a cut between wires would leave a lap short by as much as one spacing",
)
NO_OVERHANG = Assumption(
    about="wire: overhang of the stock sheets",
    taken="none: sheets end on their outermost wires",
    because="not given; where wires stand out beyond the last cross wire, give how far and the "
    "sheets lap so much more",
)


def lay_wire(floor: shapely.Polygon, asked: WireAsked, *, thinnest_m: float | None) -> WireLayout:
    """Place wire sheets over ``floor`` (m, on the sheet), so that the fewest have to be bought.

    A layout covers the floor inside ``edge_m``; sheets and pieces lie square to the longest wall
    and lap each other. Raises ``Faulty``.
    """
    stock = _stock(asked)
    inner = inside_edges(floor, edge_m=asked.edge_m)
    turn = along_longest(floor)
    level = turn.there(inner)
    bound = _fewest_anyhow(level, stock)
    ways = (turn, Turn(turn.angle, True))
    grid, grid_way = min(
        ((plain_grid(way.there(inner), stock), way) for way in ways), key=lambda one: len(one[0])
    )
    # The plain grid is a layout like others, if it too holds: nothing drawn takes more than it.
    as_drawn = grid_as_packing(grid, stock), grid_way
    held = _seen(inner, _pieces(*as_drawn, inner=inner, floor=floor, stock=stock), stock)
    best = as_drawn if grid and all(check.passes for check in held) else None
    tried = 0
    for way in ways:
        for runs in courses(way.there(inner), stock):
            if best is not None and best[0].sheets == bound:
                break
            packing = pack(runs, stock, most=None if best is None else best[0].sheets)
            tried += 1
            # Of layouts with as few sheets the one with the fewest cuts.
            if packing is not None and (best is None or _worth(packing) < _worth(best[0])):
                best = (packing, way)
    if best is None:
        raise Faulty(steel_faults.STEEL_NO_FLOOR.met(value=f"{inner.area:.4f} m2"))
    pieces = _pieces(*best, inner=inner, floor=floor, stock=stock)
    sizes = np.array(
        [(c - a, d - b) for a, b, c, d in (piece.cut_from for piece in pieces)], dtype=np.float64
    )
    lap_checks, workings = _by_the_book(asked)
    remarks = _remarks(pieces)
    sheets = best[0].sheets
    return WireLayout(
        asked=asked,
        pieces=pieces,
        sheets=sheets,
        bound=bound,
        cutting_bound=max(bound, fewest_sheets(sizes, stock)),
        plain=PlainGrid(len(grid), grid_way.swapped, tuple(grid_way.back(box) for box in grid)),
        offcuts=tuple(
            Offcut(strip.sheet, strip.cut_from)
            for strip in best[0].left
            if min(_sides(strip.cut_from)) >= asked.least_offcut_m
        ),
        area_m2=float(inner.area),
        courses_tried=tried,
        thinnest_m=thinnest_m,
        inner=rings_of_steel(inner),
        items=_items(asked, sheets=sheets, pieces=pieces, inner=inner),
        checks=(
            *lap_checks,
            *room_for_steel(
                thinnest_m=thinnest_m,
                stack_m=stack_m(asked),
                cover_top_m=asked.cover_top_m,
                cover_bottom_m=asked.cover_bottom_m,
            ),
            *_seen(inner, pieces, stock),
        ),
        remarks=remarks,
        workings=workings,
        assumptions=(CUT_BESIDE_WIRE, *(() if asked.overhang_m else (NO_OVERHANG,))),
    )


def _worth(packing: Packing) -> tuple[int, int]:
    return packing.sheets, len(packing.laid)


def _stock(asked: WireAsked) -> Stock:
    faults: list[Fault] = not_positive(
        {
            "sheet length": asked.sheet_length_m,
            "sheet width": asked.sheet_width_m,
            "spacing of the wires": asked.spacing_m,
            "diameter of the wires": asked.wire_diameter_m,
            "lap of the wire": asked.lap_m,
            "distance of the wire from the edges": asked.edge_m,
            "cover over the wire": asked.cover_top_m,
            "cover under the wire": asked.cover_bottom_m,
            "least offcut": asked.least_offcut_m,
            "overhang of the wire": asked.overhang_m,
        },
        or_zero=(
            "lap of the wire",
            "distance of the wire from the edges",
            "cover over the wire",
            "cover under the wire",
            "overhang of the wire",
        ),
    )
    lap = asked.lap_m + 2 * asked.overhang_m
    long, wide = asked.sheet_length_m, asked.sheet_width_m
    if not faults and lap >= min(long, wide) / 2:
        faults.append(
            steel_faults.STEEL_LAP_TOO_LONG.met(
                value=f"{lap:.3f} m from edge to edge",
                what="a sheet's shorter side",
                limit=f"{min(long, wide):.3f} m",
            )
        )
    if faults:
        raise Faulty(faults)
    return Stock(max(long, wide), min(long, wide), lap, asked.least_offcut_m, asked.alike_both_ways)


def _fewest_anyhow(level: BaseGeometry, stock: Stock) -> int:
    """A number of sheets that no layout square to the longest wall can go below.

    Where a square as wide as a lap fits in the floor, laps mean that one piece holds all of it.
    The middles of such squares in a piece of ``a`` by ``b`` fill ``(a - lap) * (b - lap)`` at most;
    for all pieces of one sheet together that is no more than for the sheet uncut.
    """
    half = stock.lap_m / 2
    corner = np.array([(-half, -half), (half, -half), (half, half), (-half, half)])
    edges = []
    for part in shapely.get_parts(level):
        for ring in (part.exterior, *part.interiors):
            xy = np.asarray(ring.coords)
            for a, b in pairwise(xy):
                edges.append(shapely.MultiPoint(np.vstack([a + corner, b + corner])).convex_hull)
    middles = level.difference(shapely.union_all(edges)) if stock.lap_m > 0 else level
    return max(1, ceil(middles.area / stock.net_m2 - 1e-6))


def _pieces(
    packing: Packing,
    way: Turn,
    *,
    inner: BaseGeometry,
    floor: shapely.Polygon,
    stock: Stock,
) -> tuple[WirePiece, ...]:
    posts = [shapely.Polygon(ring) for ring in floor.interiors]
    parts = shapely.get_parts(inner)
    filled = shapely.union_all([shapely.Polygon(part.exterior) for part in parts])
    room = filled.buffer(_HAIR_M, join_style="mitre")
    count: dict[int, int] = {}
    for laid in packing.laid:
        count[laid.strip.sheet] = count.get(laid.strip.sheet, 0) + 1
    met: dict[int, int] = {}
    pieces = []
    for laid in packing.laid:
        corners = way.back((laid.west, laid.run.south, laid.east, laid.run.north))
        strip = laid.strip.lower(laid.run.high_m)
        sheet = strip.sheet
        met[sheet] = met.get(sheet, 0) + 1
        shape = shapely.Polygon(corners)
        trimmed = not room.covers(shape)
        round_posts = sum(1 for post in posts if post.intersection(shape).area > _SAME_M)
        pieces.append(
            WirePiece(
                label=f"{sheet}{letter(met[sheet])}" if count[sheet] > 1 else str(sheet),
                sheet=sheet,
                corners=corners,
                cut_from=strip.cut_from,
                turned=strip.turned,
                whole=not round_posts and not trimmed and _uncut(strip, stock),
                posts=round_posts,
                trimmed=trimmed,
            )
        )
    return tuple(pieces)


def _seen(inner: BaseGeometry, pieces: tuple[WirePiece, ...], stock: Stock) -> tuple[Check, ...]:
    return look_again(
        inner,
        pieces,
        lap_m=stock.lap_m,
        sheet_length_m=stock.length_m,
        sheet_width_m=stock.width_m,
    )


def _uncut(strip: Strip, stock: Stock) -> bool:
    long, wide = _sides(strip.cut_from)
    return long > stock.length_m - _SAME_M and wide > stock.width_m - _SAME_M


def _sides(cut: tuple[float, float, float, float]) -> tuple[float, float]:
    return cut[2] - cut[0], cut[3] - cut[1]


def _by_the_book(asked: WireAsked) -> tuple[tuple[Check, ...], tuple[Working, ...]]:
    """The lap beside the published rule, and the steel of the style."""
    workings = []
    deformed = re.search(r"\bD ?\d", asked.style.upper()) is not None
    if deformed:
        least, lap = show(
            book.lap_of_deformed_wire, about="least lap of the wire", development_m=0.0
        )
    else:
        least, lap = show(
            book.lap_of_plain_wire, about="least lap of the wire", spacing_m=asked.spacing_m
        )
    workings.append(lap)
    number = re.search(r"[WD] ?(\d+(?:\.\d+)?)", asked.style.upper())
    if number is not None:
        _, steel = show(
            book.wire_steel,
            about="steel of the wire, each way",
            wire_number=float(number.group(1)),
            spacing_m=asked.spacing_m,
        )
        workings.append(steel)
    check = Check(
        name=f"lap of {'deformed' if deformed else 'plain'} wire, between outermost wires",
        quantity="lap_m",
        found=asked.lap_m,
        comparison="at least",
        allowed=float(least),
        source=f"{lap.source} ({lap.known}); by spacing alone, the wire not at its full strength",
        slack=1e-9,
    )
    return (check,), tuple(workings)


def _remarks(pieces: tuple[WirePiece, ...]) -> tuple[Remark, ...]:
    found = [
        Remark("note", f"{advice.says} ({advice.source})")
        for advice in book.ADVICE
        if "pull it up" in advice.says
    ]
    posts = [piece.label for piece in pieces if piece.posts]
    if posts:
        found.append(
            Remark(
                "note",
                "A sheet that goes round a post is cut open from its nearest edge to the post, and "
                f"the cut is tied over with a strip a lap wide on both sides: {', '.join(posts)}.",
            )
        )
    trimmed = [piece.label for piece in pieces if piece.trimmed]
    if trimmed:
        found.append(
            Remark(
                "note",
                "A piece that reaches past a wall or round a corner is cut off there, at the line "
                f"that the steel keeps: {', '.join(trimmed)}.",
            )
        )
    return tuple(found)


def _items(
    asked: WireAsked, *, sheets: int, pieces: tuple[WirePiece, ...], inner: BaseGeometry
) -> tuple[Item, ...]:
    each = asked.sheet_length_m * asked.sheet_width_m
    area = float(inner.area)
    laid = float(sum(piece.polygon().intersection(inner).area for piece in pieces))
    whole = sum(piece.whole for piece in pieces)
    items = [
        Item(
            code="wire-sheet",
            what=f"welded wire sheets, {asked.style}",
            kind="material",
            quantity="area_m2",
            net=area,
            gross=laid,
            order_unit="sheet",
            ordered=float(sheets),
            why=f"counted on the drawn layout: {whole} sheets lie uncut, "
            f"{len(pieces) - whole} pieces are cut from {sheets - whole} others",
            unit_holds=each,
        )
    ]
    if asked.tie_spacing_m:
        seams_m = sum(piece.polygon().length for piece in pieces) / 2
        seams_m -= shapely.length(inner.boundary) / 2
        ties = float(ceil(seams_m / asked.tie_spacing_m))
        items.append(
            Item(
                code="wire-tie",
                what="wire ties along the laps",
                kind="material",
                quantity="count",
                net=ties,
                gross=ties,
                order_unit="tie",
                ordered=ties,
                why="length of all laps on the drawn layout by the spacing of the ties",
            )
        )
    items.append(
        Item(
            code="lay-wire",
            what="lay, cut, lap and tie wire sheets",
            kind="work",
            quantity="area_m2",
            net=area,
            gross=area,
            order_unit="as measured",
            ordered=area,
            why="floor inside the edges",
        )
    )
    return tuple(items)
