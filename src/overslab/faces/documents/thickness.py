"""How thick the new concrete is: bands hatched denser as thicker, the extremes ringed."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import shapely

from overslab.faces.documents import signs
from overslab.faces.documents.blocks import Para
from overslab.faces.documents.contours import band, levels_m, step_m, straight_places
from overslab.faces.documents.cuts import cuts_of, draw_cut_marks
from overslab.faces.documents.drawing import INK, Drawing
from overslab.faces.documents.hatching import hatch
from overslab.faces.documents.labels import Box, Label
from overslab.faces.documents.lettering import CAP_HEIGHT, width_mm
from overslab.faces.documents.new_top import option_words
from overslab.faces.documents.old_floor import draw_breaks, draw_features
from overslab.faces.documents.paper import Layout, drawn
from overslab.faces.documents.plan_sheet import BODY, PlanSheet, Room, Sample
from overslab.faces.documents.plan_start import plan_sheet
from overslab.faces.documents.words import STRUCTURE, assumption_line
from overslab.ground.units import write_thickness, write_volume
from overslab.job.records import Walk
from overslab.newtop.records import TopOption
from overslab.oldslab import contours

# From the thinnest band to the thickest: (spacing mm, angles). None is left blank.
_HATCHES: tuple[tuple[float, tuple[float, ...]] | None, ...] = (
    None,
    (5.0, (45,)),
    (2.6, (45,)),
    (1.3, (45,)),
    (3.0, (45, -45)),
    (1.8, (45, -45)),
    (1.1, (45, -45)),
)


def thickness(walk: Walk, top: TopOption) -> Layout:
    """The sheet of the thickness."""
    return drawn(
        walk,
        lambda room: draw_thickness(walk, top, room),
        above=[Para(_story(walk, top))],
        below=[
            Para(f"Mind: {STRUCTURE}", "mind"),
            Para(assumption_line(walk, room="newtop"), "small"),
        ],
    )


def _story(walk: Walk, top: TopOption) -> str:
    told = f"New concrete: {option_words(walk, top)}."
    if walk.takeoff is not None:
        volume, units = walk.takeoff.total.volume_m3, walk.job.units
        told += (
            f" In place {write_volume(volume.mean, units)}, plus or minus "
            f"{write_volume(volume.plus_or_minus, units)} (95 in 100)."
        )
    return told


def draw_thickness(walk: Walk, top: TopOption, room: Room) -> tuple[Drawing, list[Label]]:
    """How thick the new concrete is."""
    title = f"Thickness, {walk.job.name}"
    told = f"Plan of thickness. {_story(walk, top)}"
    sheet = plan_sheet(walk, room, title=title, told=told)
    sheet.placer.plates = True  # lettering over hatching would not be read
    draw_bands(sheet)
    draw_breaks(sheet, steps=False)
    draw_features(sheet)
    for name, at, double in (
        ("thinnest", top.thinnest_at, False),
        ("thickest", top.thickest_at, True),
    ):
        spot = sheet.view.spot(at)
        signs.ring_mark(sheet.drawing, spot, double=double, kind=name)
        sheet.placer.block(Box(spot, 6.8 if double else 5.2, 6.8 if double else 5.2))
        value = top.thickest_m if double else top.thinnest_m
        sheet.point_label(
            (f"{name} {write_thickness(value, sheet.units)}",),
            spot,
            layer="labels",
            rank=2,
            gap=4.2,
            bold=True,
            must=True,
            kind=f"{name}-label",
        )
    draw_cut_marks(sheet, cuts_of(walk, top))
    draw_figures(sheet)
    return sheet.finish(), sheet.placer.left_out


def draw_bands(sheet: PlanSheet) -> None:
    """Bands of thickness, hatched denser as thicker, with their contours."""
    lattice, values = sheet.walk.newtop.lattice, sheet.walk.newtop.thickness_m
    units, floor = sheet.units, sheet.floor
    step = step_m(values, most=len(_HATCHES) - 2, system=units.system)
    levels = levels_m(values, step=step)
    known = values[np.isfinite(values)]
    if not known.size:
        return
    edges = [float(known.min()) - 1.0, *levels, float(known.max()) + 1.0]
    for place, (low, high) in enumerate(pairwise(edges)):
        shape = band(lattice, values, low=low, high=high, floor=floor)
        if shape.is_empty:
            continue
        ruling = _HATCHES[min(place, len(_HATCHES) - 1)]
        if ruling is not None:
            laid = sheet.view.shape(shape)
            for angle in ruling[1]:
                hatch(sheet.drawing, "hatching", laid, spacing=ruling[0], angle=angle)
        sheet.key(_band_words(sheet, low, high, levels), _band_sample(ruling))
    for contour in contours((lattice, values), levels, within=floor):
        spots = sheet.view.spots(contour.line)
        sheet.drawing.line("contours", spots, pen="contour-main", kind="contour")
        sheet.placer.avoid(spots)
        words = write_thickness(contour.level_m, units)
        length = width_mm(words, size_mm=BODY) + 1
        places = straight_places(spots, length=length, drop=BODY * CAP_HEIGHT / 2)
        sheet.placer.ask(Label((words,), BODY, places, "labels", 6, "contour-label"))


def _band_words(sheet: PlanSheet, low: float, high: float, levels: list[float]) -> str:
    write = write_thickness
    if not levels:
        return "new concrete"
    if low < levels[0] - 0.5 or high <= levels[0]:
        return f"under {write(levels[0], sheet.units)}"
    if high > levels[-1] + 0.5:
        return f"over {write(levels[-1], sheet.units)}"
    return f"{write(low, sheet.units)} to {write(high, sheet.units)}"


def _band_sample(ruling: tuple[float, tuple[float, ...]] | None) -> Sample:
    def draw(drawing: Drawing, x: float, y: float) -> None:
        shape = shapely.box(x, y - 1.8, x + 10, y + 1.8)
        if ruling is not None:
            for angle in ruling[1]:
                hatch(drawing, "key", shape, spacing=ruling[0], angle=angle)
        ring = [(x, y - 1.8), (x + 10, y - 1.8), (x + 10, y + 1.8), (x, y + 1.8)]
        drawing.ring("key", ring, pen="frame")

    return draw


def draw_figures(sheet: PlanSheet) -> None:
    """Thickness figures on a grid, where there is room between the contours."""
    lattice, values = sheet.walk.newtop.lattice, sheet.walk.newtop.thickness_m
    gap = max(1, round(sheet.view.metres(24.0) / lattice.step_m))
    rows, columns = np.nonzero(np.isfinite(values) & lattice.inside)
    for row, column in zip(rows, columns, strict=True):
        if row % gap != gap // 2 or column % gap != gap // 2:
            continue
        spot = sheet.view.spot((lattice.x_m[column], lattice.y_m[row]))
        sheet.drawing.circle("marks", spot, radius=0.4, pen=None, fill=INK, kind="figure")
        sheet.point_label(
            (write_thickness(float(values[row, column]), sheet.units),),
            spot,
            layer="labels",
            rank=15,
            size=BODY,
            gap=0.8,
            kind="thickness-label",
        )
    sheet.key(
        "thickness at a point",
        lambda d, x, y: d.circle("key", (x + 5, y), radius=0.4, pen=None, fill=INK),
    )
