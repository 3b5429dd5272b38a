"""The sheet of the pad marks: where each pad lies and what the rod must read on it, in large."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from overslab.faces.documents import signs
from overslab.faces.documents.blocks import Bullets, Column, Heading, Para, Table
from overslab.faces.documents.drawing import Drawing
from overslab.faces.documents.labels import Box, Label, Place
from overslab.faces.documents.lettering import CAP_HEIGHT, MM_PER_PT
from overslab.faces.documents.new_top import draw_folds
from overslab.faces.documents.paper import Layout, drawn
from overslab.faces.documents.plan_sheet import BODY, LARGE, PlanSheet, Room
from overslab.faces.documents.plan_start import plan_sheet
from overslab.faces.documents.words import LaserSet, assumption_line, laser_as_shot
from overslab.ground.units import write_height, write_reading, write_thickness
from overslab.handbook.marking import grade_rod
from overslab.job.records import Walk
from overslab.newtop.records import TopOption

# Figures about 5 mm tall: one 300th of the way from a standing man's eye to the slab, a usual
# measure for signs read at that distance (common practice).
READING_PT = 22.0
_CAUTIONS = (
    "Keep the beam above or below eye height; use the laser as its label says.",
    "Wet concrete burns: boots and gloves, and wash at once.",
    "Trip edges: mark pads and strings that stay overnight.",
)


def pads(walk: Walk, top: TopOption) -> Layout:
    """The plan of the pads and the table of rod readings."""
    laser = laser_as_shot(walk)
    above = [Para(line, "strong") for line in _setting(walk, laser)]
    plan = drawn(
        walk,
        lambda room: draw_pads(walk, top, room),
        above=above,
        below=[Para(assumption_line(walk, room="newtop"), "small")],
        landscape=False,
    )
    cap = READING_PT * MM_PER_PT * CAP_HEIGHT
    blocks = (
        *plan.blocks,
        Heading("Rod readings" if laser else "Heights to set", fresh_page=True),
        *above,
        Table(
            columns=_columns(with_rod=laser is not None) * 2,
            rows=_rows(walk, top, laser),
            size=READING_PT,
            split=3,
        ),
        Para(
            f"Readings are set in {READING_PT:g} pt, figures {cap:.0f} mm tall, to be read by a "
            "standing man with the sheet on the floor. The thickness is that at the pad.",
            "small",
        ),
        Bullets(_CAUTIONS),
    )
    return Layout(blocks, plan.landscape, plan.drawing)


def _setting(walk: Walk, laser: LaserSet | None) -> list[str]:
    units = walk.job.units
    if laser is None:
        return [
            "No set-up saw a benchmark, so no rod reading can be given; the heights to set are "
            "below."
        ]
    where = f" ({laser.where})" if laser.where else ""
    read = write_reading(laser.reading_m, units)
    return [
        f"Rod reading = beam height minus pad height. Check the benchmark reads {read} first.",
        f"Benchmark {laser.benchmark}{where}; beam at {write_height(laser.beam_m, units)} as in "
        f"set-up {laser.setup}. If the benchmark reads more or less, every reading below is more "
        "or "
        "less by the same.",
    ]


def _columns(*, with_rod: bool) -> tuple[Column, ...]:
    return (
        Column("pad", bold=True),
        Column("rod reads" if with_rod else "height", "right", share=1.0, bold=True),
        Column("thick", "right", size=13.0),
    )


def _rows(walk: Walk, top: TopOption, laser: LaserSet | None) -> tuple[tuple[str, ...], ...]:
    """Pads down the left half of the page, then down the right half."""
    units = walk.job.units
    cells: list[tuple[str, ...]] = []
    for pad in top.pads:
        if laser is None:
            told = write_height(pad.height_m, units)
        else:
            told = write_reading(
                grade_rod(instrument_m=laser.beam_m, finished_height_m=pad.height_m), units
            )
        cells.append((pad.name, told, write_thickness(pad.thickness_m, units)))
    half = (len(cells) + 1) // 2
    blank = ("", "", "")
    return tuple(
        left + (cells[half + row] if half + row < len(cells) else blank)
        for row, left in enumerate(cells[:half])
    )


def draw_pads(walk: Walk, top: TopOption, room: Room) -> tuple[Drawing, list[Label]]:
    """The pads with their names, and the strips."""
    title = f"Pad marks, {walk.job.name}"
    told = f"Plan of {len(top.pads)} pads with their names; the readings stand in the table."
    sheet = plan_sheet(walk, room, title=title, told=told)
    draw_folds(sheet, top)
    for line in _strip_lines(walk):
        sheet.drawing.line("floor", sheet.view.spots(line), pen="strip", kind="strip")
    for strip in walk.newtop.strips:
        spots = sheet.view.spots(strip.corners)
        x = sum(spot[0] for spot in spots) / len(spots)
        y = sum(spot[1] for spot in spots) / len(spots)
        near = tuple(Place((x + dx, y + dy), "middle") for dx in (0, -8, 8) for dy in (0, -5, 5))
        sheet.placer.ask(Label((strip.name,), BODY, near, "labels", 9, "strip-label", strip.name))
    if walk.newtop.strips:
        sheet.key_line("strip, struck in one go", "strip")
    draw_pad_marks(sheet, top)
    return sheet.finish(), sheet.placer.left_out


def draw_pad_marks(sheet: PlanSheet, top: TopOption) -> None:
    """Every pad with its name."""
    for pad in top.pads:
        spot = sheet.view.spot(pad.at)
        signs.pad_mark(sheet.drawing, spot, name=pad.name, radius=1.3)
        sheet.placer.block(Box(spot, 2.8, 2.8))
        sheet.point_label(
            (pad.name,),
            spot,
            layer="labels",
            rank=2,
            size=LARGE,
            gap=1.7,
            bold=True,
            must=True,
            kind="pad-label",
            name=pad.name,
        )
    sheet.key("pad, with its name", lambda d, x, y: signs.pad_mark(d, (x + 5, y), radius=1.3))


def _strip_lines(walk: Walk) -> list[NDArray[np.float64]]:
    """Edges of the strips inside the floor, each once: two strokes of dashes would look solid."""
    rings = [shapely.LinearRing(strip.corners) for strip in walk.newtop.strips]
    inside = shapely.buffer(walk.job.plan.polygon(), -0.02)
    edges = shapely.intersection(shapely.union_all(rings), inside)
    merged = shapely.line_merge(edges) if edges.geom_type == "MultiLineString" else edges
    return [
        shapely.get_coordinates(part)
        for part in shapely.get_parts(merged)
        if part.geom_type == "LineString"
    ]
