"""The sheet of the steel: wire and bars by number, what each is cut from, and the supports."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil

import shapely
from shapely.geometry.base import BaseGeometry

from overslab.faces.documents.blocks import Block, Bullets, Column, Facts, Figure, Heading, Para
from overslab.faces.documents.blocks import Table as Rows
from overslab.faces.documents.drawing import INK, Drawing, Spot, Text
from overslab.faces.documents.hatching import hatch
from overslab.faces.documents.labels import Label, Place
from overslab.faces.documents.paper import Layout, drawn, page_of
from overslab.faces.documents.plan_sheet import BODY, SMALL, PlanSheet, Room
from overslab.faces.documents.plan_start import bare_sheet, plan_sheet
from overslab.faces.documents.words import STEEL, assumption_line, counted
from overslab.ground.units import write_area, write_by_suffix, write_length, write_share
from overslab.handbook.checks import Check
from overslab.job.records import Walk
from overslab.takeoff import BarLayout, SupportLayout, WireLayout

_SMALL_HIGH = 95.0  # mm, of plans that follow the first one
_CUTS_WIDE = 34.0  # mm, of a stock sheet in the picture of the cuts
_AIR = 6.0


def steel_plan(walk: Walk) -> Layout | None:
    """The layouts with their cutting lists; None when no steel is asked for."""
    takeoff = walk.takeoff
    if takeoff is None or (takeoff.wire is None and takeoff.bars is None):
        return None
    blocks: list[Block] = []
    first: Layout | None = None
    if takeoff.wire is not None:
        wire = takeoff.wire
        first = drawn(
            walk,
            lambda room: draw_wire(walk, wire, room),
            above=[Para(_told_wire(wire), "strong")],
            landscape=False,
        )
        blocks += [*first.blocks, *_wire_blocks(walk, wire)]
    if takeoff.bars is not None:
        bars = takeoff.bars
        plan = drawn(
            walk,
            lambda room: draw_bars(walk, bars, room),
            above=[Para(_told_bars(bars), "strong")],
            landscape=False,
        )
        if first is None:
            first = plan
        else:
            blocks.append(Heading("Bars", fresh_page=True))
        blocks += [*plan.blocks, *_bar_blocks(walk, bars)]
    if takeoff.supports is not None:
        blocks += _support_blocks(walk, takeoff.supports)
    parts = (takeoff.wire, takeoff.bars, takeoff.supports)
    checks = [check for part in parts if part is not None for check in part.checks]
    notes = dict.fromkeys(
        remark.text for part in parts if part is not None for remark in part.remarks
    )
    blocks += [Heading("Found and allowed"), _checks(walk, checks), Bullets(tuple(notes))]
    blocks.append(Para(f"Mind: {STEEL}", "mind"))
    blocks.append(Para(assumption_line(walk, room="takeoff"), "small"))
    kept = tuple(block for block in blocks if not isinstance(block, Para) or block.text)
    return None if first is None else Layout(kept, first.landscape, first.drawing)


def _told_wire(wire: WireLayout) -> str:
    least = (
        "no layout takes fewer"
        if wire.sheets == wire.bound
        else f"no layout takes fewer than {wire.bound}"
    )
    return (
        f"{counted(wire.sheets, 'sheet', 'sheets')} of wire {wire.asked.style}; {least}. A plain "
        f"grid from a corner takes {wire.plain.sheets}."
    )


def _told_bars(bars: BarLayout) -> str:
    return (
        f"{counted(bars.bars, 'bar', 'bars')} {bars.asked.size} in "
        f"{counted(bars.rows, 'row', 'rows')}; these pieces cannot be cut from fewer than "
        f"{bars.cutting_bound}, and no splicing takes fewer than {bars.bound}. Without using "
        f"offcuts it would be {bars.plain_bars}."
    )


def draw_wire(walk: Walk, wire: WireLayout, room: Room) -> tuple[Drawing, list[Label]]:
    """Every piece of wire by its number; pieces that are cut are hatched."""
    told = (
        f"Plan of {counted(len(wire.pieces), 'piece', 'pieces')} of wire cut from "
        f"{counted(wire.sheets, 'sheet', 'sheets')}, by number; cut pieces are hatched."
    )
    sheet = plan_sheet(walk, room, title=f"Wire, {walk.job.name}", told=told)
    inside = wire.inside()
    for piece in wire.pieces:
        for part in shapely.get_parts(piece.polygon().intersection(inside)):
            if part.geom_type != "Polygon" or part.area < 1e-6:
                continue
            on_sheet = sheet.view.shape(part)
            if not piece.whole:
                hatch(sheet.drawing, "hatching", on_sheet, spacing=2.6, angle=45)
            outer = shapely.get_coordinates(shapely.get_exterior_ring(on_sheet))
            ring = [(float(x), float(y)) for x, y in outer[:-1]]
            sheet.drawing.ring("marks", ring, pen="mark", kind="wire", name=piece.label)
        _number(sheet, piece.label, piece.polygon().intersection(inside))
    sheet.key("sheet of wire, uncut", lambda d, x, y: _sample(d, x, y, cut=False))
    sheet.key("piece cut from a sheet: see the list", lambda d, x, y: _sample(d, x, y, cut=True))
    sheet.key("two lines side by side: the lap", _lap_sample)
    return sheet.finish(), sheet.placer.left_out


def _number(sheet: PlanSheet, label: str, shape: BaseGeometry) -> None:
    """The number of a piece in its middle, or near it where that is taken."""
    if shape.is_empty:
        return
    on_sheet = sheet.view.shape(shape)
    middle = on_sheet.centroid if on_sheet.contains(on_sheet.centroid) else None
    middle = middle or on_sheet.representative_point()
    west, north, east, south = on_sheet.bounds
    size = BODY if min(east - west, south - north) > 5 else SMALL
    turned = south - north > 1.5 * (east - west) and east - west < 8
    places = []
    for share in (0.0, 0.25, -0.25, 0.4, -0.4):
        x = middle.x + (0.0 if turned else share * (east - west))
        y = middle.y + (share * (south - north) if turned else 0.0)
        if turned:
            places.append(Place((x + size * 0.35, y), "middle", -90.0))
        else:
            places.append(Place((x, y + size * 0.35), "middle"))
    sheet.placer.ask(
        Label(
            (label,),
            size,
            tuple(places),
            "labels",
            6,
            "wire-number",
            label,
            bold=True,
            must=True,
            target=(float(middle.x), float(middle.y)),
        )
    )


def _sample(drawing: Drawing, x: float, y: float, *, cut: bool) -> None:
    box = shapely.box(x, y - 1.6, x + 10, y + 1.6)
    if cut:
        hatch(drawing, "key", box, spacing=1.6, angle=45)
    drawing.ring("key", _ring(box), pen="mark")


def _lap_sample(drawing: Drawing, x: float, y: float) -> None:
    for off in (4.0, 6.0):
        drawing.line("key", [(x + off, y - 1.6), (x + off, y + 1.6)], pen="mark")


def _ring(box: shapely.Polygon) -> list[Spot]:
    return [(float(x), float(y)) for x, y in box.exterior.coords[:-1]]


def _size(walk: Walk, cut: tuple[float, float, float, float]) -> str:
    units = walk.job.units
    return f"{write_length(cut[2] - cut[0], units)} by {write_length(cut[3] - cut[1], units)}"


def _wire_blocks(walk: Walk, wire: WireLayout) -> list[Block]:
    units, asked = walk.job.units, wire.asked
    cuts = wire.cut_list()
    rows = []
    for sheet, pieces in cuts:
        told = "; ".join(
            f"{piece.label}: {_size(walk, piece.cut_from)}"
            + (f", cut open for {counted(piece.posts, 'post', 'posts')}" if piece.posts else "")
            + (", cut off at the wall" if piece.trimmed else "")
            for piece in pieces
        )
        left = [offcut for offcut in wire.offcuts if offcut.sheet == sheet]
        rest = "; ".join(_size(walk, offcut.cut_from) for offcut in left) or "scrap only"
        rows.append((str(sheet), told, rest))
    blocks: list[Block] = [
        Heading("Wire", fresh_page=True),
        Facts(
            (
                ("sheets to buy", str(wire.sheets)),
                ("sheet", _size(walk, (0.0, 0.0, asked.sheet_length_m, asked.sheet_width_m))),
                ("lap between outermost wires", write_length(asked.lap_m, units)),
                ("from edges, walls and posts", write_length(asked.edge_m, units)),
                ("floor under wire", write_area(wire.area_m2, units)),
                ("bought beyond that, for laps, cuts and scrap", write_share(wire.items[0].waste)),
                ("pieces cut from what another left", str(wire.reused)),
                ("sheets of a plain grid, no offcut used", str(wire.plain.sheets)),
                ("no layout takes fewer than", str(wire.bound)),
                ("these pieces cannot be cut from fewer than", str(wire.cutting_bound)),
            )
        ),
    ]
    if rows:
        blocks += [
            Heading("Cutting list"),
            Rows(
                (Column("sheet", bold=True), Column("pieces", share=3), Column("left", share=1)),
                tuple(rows),
                name="Sheets not named here lie uncut",
            ),
            Figure(_draw_cuts(walk, wire)),
        ]
    blocks += [
        Heading("The plain grid, to compare"),
        Figure(_draw_plain(walk, wire)),
    ]
    return blocks


def _draw_cuts(walk: Walk, wire: WireLayout) -> Drawing:
    """Every sheet that is cut, with its cuts."""
    wide = page_of(walk).wide(landscape=False)
    long, across = wire.asked.sheet_length_m, wire.asked.sheet_width_m
    if long < across:
        long, across = across, long
    k = _CUTS_WIDE / long
    columns = max(1, int(wide // (_CUTS_WIDE + _AIR)))
    cuts = [(n, pieces) for n, pieces in wire.cut_list() if len(pieces) > 1 or _short(wire, pieces)]
    step = across * k + 2 * _AIR
    drawing = Drawing(
        wide,
        max(1, ceil(len(cuts) / columns)) * step + 2,
        "Cuts",
        f"The cuts in {counted(len(cuts), 'sheet', 'sheets')}, each with the pieces of its number.",
    )
    for place, (number, pieces) in enumerate(cuts):
        x = (place % columns) * (_CUTS_WIDE + _AIR) + 2
        y = (place // columns) * step + _AIR
        drawing.put("labels", Text(f"sheet {number}", (x, y - 1.2), SMALL, bold=True))
        whole = shapely.box(x, y, x + long * k, y + across * k)
        used = []
        for piece in pieces:
            a, b, c, d = piece.cut_from
            box = shapely.box(x + a * k, y + b * k, x + c * k, y + d * k)
            used.append(box)
            drawing.ring("marks", _ring(box), pen="mark", kind="cut-piece", name=piece.label)
            middle = ((a + c) / 2 * k + x, (b + d) / 2 * k + y)
            narrow = (c - a) * k < 6 and (d - b) > (c - a)
            at = (middle[0] + 0.7, middle[1]) if narrow else (middle[0], middle[1] + 0.7)
            angle = -90.0 if narrow else 0.0
            drawing.put("labels", Text(piece.label, at, SMALL, anchor="middle", angle=angle))
        rest = whole.difference(shapely.union_all(used).buffer(0.05, join_style="mitre"))
        if not rest.is_empty:
            hatch(drawing, "hatching", rest, spacing=1.4, angle=45)
        drawing.ring("marks", _ring(whole), pen="hole", kind="stock-sheet", name=str(number))
    return drawing


def _short(wire: WireLayout, pieces: Iterable[object]) -> bool:
    """Whether the one piece of a sheet is really cut, and not only round a post."""
    full = wire.asked.sheet_length_m * wire.asked.sheet_width_m
    area = sum(
        (c - a) * (d - b)
        for piece in pieces
        for a, b, c, d in [getattr(piece, "cut_from", (0.0, 0.0, 0.0, 0.0))]
    )
    return bool(area < full - 1e-6)


def _draw_plain(walk: Walk, wire: WireLayout) -> Drawing:
    """The plain grid in small."""
    told = f"Plan of a plain grid of {wire.plain.sheets} sheets from one corner."
    room = Room(page_of(walk).wide(landscape=False) * 0.6, _SMALL_HIGH * 0.75, ruled=False)
    sheet = bare_sheet(walk, room, title="Plain grid", told=told)
    for corners in wire.plain.corners:
        sheet.drawing.ring("marks", sheet.view.spots(corners), pen="hatch", kind="plain-sheet")
    return sheet.finish()


def draw_bars(walk: Walk, bars: BarLayout, room: Room) -> tuple[Drawing, list[Label]]:
    """Every piece of bar by its number, spliced pieces side by side."""
    told = (
        f"Plan of {counted(len(bars.pieces), 'piece', 'pieces')} of bar cut from "
        f"{counted(bars.bars, 'bar', 'bars')}."
    )
    sheet = plan_sheet(walk, room, title=f"Bars, {walk.job.name}", told=told)
    for piece in bars.pieces:
        a, b = sheet.view.spots(piece.ends)
        sheet.line("marks", piece.ends, pen="mark", kind="bar", name=piece.label)
        middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        sheet.point_label(
            (piece.label,), middle, layer="labels", rank=14, size=SMALL, gap=0.6, kind="bar-number"
        )
    sheet.key_line("bar, with its number", "mark")
    return sheet.finish(), sheet.placer.left_out


def _bar_blocks(walk: Walk, bars: BarLayout) -> list[Block]:
    units, asked = walk.job.units, bars.asked
    rows = tuple(
        (
            str(bar),
            "; ".join(
                f"{piece.label}: {write_length(piece.cut_from[1] - piece.cut_from[0], units)}"
                for piece in pieces
            ),
        )
        for bar, pieces in bars.cut_list()
    )
    blocks: list[Block] = [
        Heading("Bars and their cuts", fresh_page=True),
        Facts(
            (
                ("bars to buy", str(bars.bars)),
                ("stock length", write_length(asked.stock_length_m, units)),
                ("spacing, at most", write_length(asked.spacing_m, units)),
                ("lap", write_length(asked.lap_m, units)),
                ("length of all rows", write_length(bars.length_m, units)),
            )
        ),
    ]
    if rows:
        half = (len(rows) + 1) // 2
        blank = ("", "")
        blocks.append(
            Rows(
                (Column("bar", bold=True), Column("pieces", share=1)) * 2,
                tuple(
                    left + (rows[half + n] if half + n < len(rows) else blank)
                    for n, left in enumerate(rows[:half])
                ),
                size=8.0,
                split=2,
                name="Bars not named here lie uncut",
            )
        )
    return blocks


def _support_blocks(walk: Walk, supports: SupportLayout) -> list[Block]:
    units, asked = walk.job.units, supports.asked
    many = {"bolster": "bolsters", "chair": "chairs"}[asked.kind]
    pairs = [
        (f"{many} in all", str(supports.count)),
        ("spacing, at most", write_length(asked.spacing_m, units)),
        ("height", write_length(asked.height_m, units)),
    ]
    if asked.stock_length_m is not None:
        pairs.append(("length of one", write_length(asked.stock_length_m, units)))
    if asked.box_of > 1:
        pairs.append((f"boxes of {asked.box_of}", str(supports.boxes)))
    told = f"Plan of {counted(supports.count, asked.kind, many)} under the steel."
    room = Room(page_of(walk).wide(landscape=False), _SMALL_HIGH)
    sheet = plan_sheet(walk, room, title="Supports", told=told)
    for ends in supports.lines:
        sheet.line("marks", ends, pen="strip", kind="bolster")
    for spot in supports.chairs:
        sheet.drawing.circle("marks", sheet.view.spot(spot), radius=0.5, pen=None, fill=INK)
    if supports.lines:
        sheet.key_line("line of bolsters", "strip")
    else:
        sheet.key("chair", _chair_sample)
    return [
        Heading("Supports", fresh_page=True),
        Facts(tuple(pairs)),
        Figure(sheet.finish()),
    ]


def _chair_sample(drawing: Drawing, x: float, y: float) -> None:
    drawing.circle("key", (x + 5, y), radius=0.5, pen=None, fill=INK)


def _checks(walk: Walk, checks: list[Check]) -> Rows:
    units = walk.job.units
    return Rows(
        (
            Column("rule", share=1.4),
            Column("found", "right"),
            Column("allowed", "right"),
            Column("holds"),
            Column("by", share=1.2),
        ),
        tuple(
            (
                check.name,
                write_by_suffix(check.quantity, check.found, units),
                f"{check.comparison} {write_by_suffix(check.quantity, check.allowed, units)}",
                "yes" if check.passes else "NO",
                check.source,
            )
            for check in checks
        ),
        size=8.0,
        strong=tuple(row for row, check in enumerate(checks) if not check.passes),
    )
