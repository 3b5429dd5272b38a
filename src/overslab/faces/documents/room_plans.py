"""Plans that stand on a page and on no sheet: the shots, all touches, the loads, a top in small."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import shapely

from overslab.faces.documents import signs
from overslab.faces.documents.contours import band, levels_m, step_m
from overslab.faces.documents.drawing import Drawing, Path
from overslab.faces.documents.hatching import hatch
from overslab.faces.documents.labels import Box, Label, Place
from overslab.faces.documents.new_top import draw_folds
from overslab.faces.documents.old_floor import draw_breaks, draw_features
from overslab.faces.documents.plan_sheet import BODY, LARGE, SMALL, PlanSheet, Room, shape_rings
from overslab.faces.documents.plan_start import bare_sheet, plan_sheet
from overslab.faces.documents.touches_sheet import put_number
from overslab.faces.documents.words import counted
from overslab.ground.units import write_thickness
from overslab.job.records import Walk
from overslab.newtop.records import Strip, TopOption
from overslab.order.records import Order
from overslab.touches.records import Touches

_HATCHES: tuple[tuple[float, tuple[float, ...]] | None, ...] = (
    None,
    (4.0, (45,)),
    (2.0, (45,)),
    (2.4, (45, -45)),
    (1.4, (45, -45)),
)


def draw_shots(walk: Walk, room: Room) -> tuple[Drawing, list[Label]]:
    """Where the rod stood: every shot by name, those that do not fit ringed."""
    doubted = {suspect.point for suspect in walk.shots.suspects}
    placed = [walk.shots.points[n] for n in walk.shots.of_kind(*_PLACED)]
    told = f"Plan of {counted(len(placed), 'shot', 'shots')}"
    told += f"; ringed because they do not fit: {', '.join(sorted(doubted))}." if doubted else "."
    sheet = plan_sheet(walk, room, title=f"Shots, {walk.job.name}", told=told)
    draw_breaks(sheet, steps=False)
    draw_features(sheet)
    for point in placed:
        spot = sheet.view.spot((point.x_m or 0.0, point.y_m or 0.0))
        signs.shot_mark(sheet.drawing, spot, name=point.point)
        sheet.placer.block(Box(spot, 1.0, 1.0))
        wrong = point.point in doubted
        if wrong:
            signs.ring_mark(sheet.drawing, spot, kind="suspect")
        sheet.point_label(
            (point.point,),
            spot,
            layer="labels",
            rank=2 if wrong else 12,
            size=BODY if wrong else SMALL,
            gap=3.2 if wrong else 0.9,
            must=wrong,
            bold=wrong,
            kind="shot-label",
            name=point.point,
        )
    sheet.key("shot, with its name", lambda d, x, y: signs.shot_mark(d, (x + 5, y)))
    if doubted:
        sheet.key("does not fit: ask", lambda d, x, y: signs.ring_mark(d, (x + 5, y)))
    for stand in walk.job.survey.stands:
        spot = sheet.view.spot((stand.x_m, stand.y_m))
        corners = [
            (spot[0], spot[1] - 1.8),
            (spot[0] + 1.6, spot[1] + 1),
            (spot[0] - 1.6, spot[1] + 1),
        ]
        sheet.drawing.ring("marks", corners, pen="mark", kind="stand", name=stand.setup)
        sheet.placer.block(Box(spot, 3.4, 3.4))
        words = (f"laser {stand.setup}",)
        sheet.point_label(words, spot, layer="labels", rank=3, gap=2.2, must=True, bold=True)
    return sheet.finish(), sheet.placer.left_out


_PLACED = ("floor", "sill", "step", "drive", "check", "turn", "benchmark")


def draw_touches(walk: Walk, touches: Touches, room: Room) -> tuple[Drawing, list[Label]]:
    """Everything the new floor meets, by the numbers of the table."""
    told = "; ".join(f"{n} {touch.name}" for n, touch in enumerate(touches.touches, 1))
    sheet = plan_sheet(
        walk,
        room,
        title=f"Touches, {walk.job.name}",
        told=f"Plan of the floor with what the new top meets: {told}.",
    )
    for number, touch in enumerate(touches.touches, 1):
        put_number(sheet, number, touch)
    return sheet.finish(), sheet.placer.left_out


def draw_loads(walk: Walk, order: Order, room: Room) -> tuple[Drawing, list[Label]]:
    """Which load is meant for which strips."""
    sheet = plan_sheet(
        walk,
        room,
        title=f"Loads, {walk.job.name}",
        told="Plan of the strips with the numbers of the loads that are meant for them.",
    )
    for strip in walk.newtop.strips:
        numbers = [str(load.number) for load in order.loads if strip.name in load.strips]
        _strip(sheet, strip, numbers)
    if walk.newtop.strips:
        sheet.key_line("strip, struck in one go", "strip")
    return sheet.finish(), sheet.placer.left_out


def _strip(sheet: PlanSheet, strip: Strip, numbers: list[str]) -> None:
    ring = shapely.Polygon(strip.corners).intersection(sheet.floor)
    if ring.is_empty:
        return
    for rings in shape_rings(sheet, ring):
        sheet.drawing.put("floor", Path(rings, "strip", closed=True, kind="strip", name=strip.name))
    laid = sheet.view.shape(ring)
    middle = laid.representative_point()
    loads = f"load {' and '.join(numbers)}" if numbers else "no load named"
    west, north, east, south = laid.bounds
    angle = -90.0 if south - north > east - west else 0.0
    shift = BODY * 0.33
    spot = (middle.x + (shift if angle else 0.0), middle.y + (0.0 if angle else shift))
    label = Label((f"{strip.name}: {loads}",), BODY, (Place(spot, "middle", angle),), "labels", 2)
    sheet.placer.ask(replace(label, bold=True, must=True, target=spot, kind="load-label"))


def draw_small_top(walk: Walk, top: TopOption, room: Room) -> tuple[Drawing, list[Label]]:
    """One kind of top in small, without a key: thickness in hatching, folds, the water's way."""
    units = walk.job.units
    told = (
        f"{top.title}: from {write_thickness(top.thinnest_m, units)} to "
        f"{write_thickness(top.thickest_m, units)} thick, hatched denser as thicker."
    )
    sheet = bare_sheet(walk, room, title=top.title, told=told)
    _hatched(sheet, top)
    draw_folds(sheet, top)
    if top.drainage is not None:
        for path in signs.thinned(sheet, top.drainage.paths):
            signs.flow_arrow(sheet, path, leaves=True)
    for at, double in ((top.thinnest_at, False), (top.thickest_at, True)):
        spot = sheet.view.spot(at)
        signs.ring_mark(sheet.drawing, spot, double=double)
        sheet.placer.block(Box(spot, 6.0, 6.0))
        sheet.point_label(
            (write_thickness(top.thickest_m if double else top.thinnest_m, units),),
            spot,
            layer="labels",
            rank=1,
            size=LARGE,
            gap=3.6,
            must=True,
            bold=True,
        )
    sheet.placer.settle(sheet.drawing)
    return sheet.drawing, sheet.placer.left_out


def _hatched(sheet: PlanSheet, top: TopOption) -> None:
    """Bands of thickness, the same for every kind of top of this job so that they compare."""
    old, tops = sheet.walk.oldslab, sheet.walk.newtop.options
    if top.surface is None:
        return
    built = [one for one in tops if one.feasible]
    ends = np.array([min(o.thinnest_m for o in built), max(o.thickest_m for o in built)])
    step = step_m(ends, most=len(_HATCHES) - 1, system=sheet.units.system)
    levels = levels_m(ends, step=step)[: len(_HATCHES) - 1]
    points = old.lattice.points_m
    thick = old.lattice.spread(np.asarray(top.surface.height_m(points))) - old.heights_m
    for place, (low, high) in enumerate(pairwise([-1e3, *levels, 1e3])):
        ruling = _HATCHES[place]
        shape = band(old.lattice, thick, low=low, high=high, floor=sheet.floor)
        for angle in ruling[1] if ruling else ():
            laid = sheet.view.shape(shape)
            hatch(sheet.drawing, "hatching", laid, spacing=ruling[0] if ruling else 1, angle=angle)
        for rings in shape_rings(sheet, shape):
            sheet.drawing.put("contours", Path(rings, "contour", closed=True, kind="band"))
