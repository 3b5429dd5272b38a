"""The new top as it is to be struck: heights to set, folds, falls, the way of the water."""

from __future__ import annotations

import numpy as np
import shapely

from overslab.faces.documents import signs
from overslab.faces.documents.blocks import Para
from overslab.faces.documents.drawing import Drawing
from overslab.faces.documents.labels import Box, Label, Place
from overslab.faces.documents.old_floor import draw_contours
from overslab.faces.documents.paper import Layout, drawn
from overslab.faces.documents.plan_sheet import BODY, SMALL, PlanSheet, Room
from overslab.faces.documents.plan_start import plan_sheet
from overslab.faces.documents.words import STRUCTURE, assumption_line, counted
from overslab.ground.units import write_area, write_height, write_slope, write_thickness
from overslab.job.records import Walk
from overslab.newtop.records import Drainage, TopOption

# Contours are drawn as well when there are too few pads to show the shape by.
_PADS_THAT_TELL = 12
_ARROW_ROOM = 26.0  # sheet mm between fall arrows


def new_top(walk: Walk, top: TopOption) -> Layout:
    """The sheet of the new top."""
    return drawn(
        walk,
        lambda room: draw_new_top(walk, top, room),
        above=[Para(_story(walk, top))],
        below=[
            Para(f"Mind: {STRUCTURE}", "mind"),
            Para(assumption_line(walk, room="newtop"), "small"),
        ],
    )


def _story(walk: Walk, top: TopOption) -> str:
    units, drainage = walk.job.units, top.drainage
    told = f"{top.title}: {counted(len(top.pads), 'height', 'heights')} to set"
    if top.folds:
        told += f", {counted(len(top.folds), 'fold', 'folds')}"
    told += ". "
    if drainage is not None:
        told += f"Least true fall along the water's way {write_slope(drainage.least_fall, units)}. "
        if drainage.ponded_area_m2 > 0:
            told += (
                f"Water stands on {write_area(drainage.ponded_area_m2, units)}, at the deepest "
                f"{write_thickness(drainage.deepest_m, units)}."
            )
        else:
            told += "No water stands on the top as drawn."
    return told


def draw_new_top(walk: Walk, top: TopOption, room: Room) -> tuple[Drawing, list[Label]]:
    """The new top as it is to be struck."""
    title = f"New top, {walk.job.name}"
    sheet = plan_sheet(walk, room, title=title, told=f"Plan of the new top. {_story(walk, top)}")
    if len(top.pads) < _PADS_THAT_TELL:
        draw_contours(sheet, walk.newtop.top_m, of_old=False)
    _cells(sheet, top)
    if top.drainage is not None:
        draw_ways(sheet, top.drainage)
    for pad in top.pads:
        spot = sheet.view.spot(pad.at)
        signs.pad_mark(sheet.drawing, spot, name=pad.name)
        sheet.placer.block(Box(spot, 2.2, 2.2))
        sheet.point_label(
            (write_height(pad.height_m, sheet.units),),
            spot,
            layer="labels",
            rank=5,
            gap=1.4,
            size=SMALL if len(top.pads) > 40 else BODY,
            must=True,
            kind="height-label",
            name=pad.name,
        )
    sheet.key("pad, with the height of the new top", lambda d, x, y: signs.pad_mark(d, (x + 5, y)))
    draw_falls(sheet, top)
    _outlets(sheet)
    _zones(sheet)
    return sheet.finish(), sheet.placer.left_out


def draw_ways(sheet: PlanSheet, drainage: Drainage) -> None:
    """The ways water takes over the new top."""
    for path in signs.thinned(sheet, drainage.paths):
        signs.flow_arrow(sheet, path, leaves=True)
    if drainage.paths:
        sheet.key("water runs this way", signs.flow_sample)


def _cells(sheet: PlanSheet, top: TopOption) -> None:
    """Edges of the planes or pad-grid cells, and the folds between them."""
    rings = [shapely.LinearRing(sheet.view.spots(facet)) for facet in top.facets]
    # Neighbours share their edges: drawn once, or the dashes of the two fill one another's gaps.
    for edge in shapely.get_parts(shapely.line_merge(shapely.unary_union(rings))):
        spots = [(float(x), float(y)) for x, y in edge.coords]
        sheet.drawing.line("floor", spots, pen="facet", kind="facet")
        sheet.placer.avoid(spots)
    if top.facets:
        sheet.key_line("line of pads or edge of a plane", "facet")
    draw_folds(sheet, top)


def draw_folds(sheet: PlanSheet, top: TopOption) -> None:
    """The lines between planes, which are set first."""
    for a, b in top.folds:
        sheet.line("floor", [a, b], pen="fold", kind="fold")
    if top.folds:
        sheet.key_line("fold: ridge or valley, set first", "fold")


def _zones(sheet: PlanSheet) -> None:
    """Parts of the floor with wishes of their own."""
    for zone in sheet.walk.newtop.wishes.zones:
        ring = [*zone.corners, zone.corners[0]]
        sheet.line("floor", ring, pen="zone", kind="zone", name=zone.name)
        shape = sheet.view.shape(shapely.Polygon(zone.corners))
        west, north, east, south = (float(side) for side in shapely.bounds(shape))
        places = tuple(
            Place((x, y), "middle")
            for y in (north + 3.2, south - 1.4, (north + south) / 2)
            for x in ((west + east) / 2, (2 * west + east) / 3, (west + 2 * east) / 3)
        )
        target = ((west + east) / 2, (north + south) / 2)
        sheet.placer.ask(
            Label((zone.name,), BODY, places, "labels", 5, "zone-label", must=True, target=target)
        )
    if sheet.walk.newtop.wishes.zones:
        sheet.key_line("zone with wishes of its own", "zone")


def _outlets(sheet: PlanSheet) -> None:
    for outlet in sheet.walk.newtop.wishes.outlets:
        spots = sheet.view.spots(outlet.line)
        x, y = (float(part) for part in np.mean(np.array(spots), axis=0))
        known = {edge.name for edge in sheet.walk.newtop.wishes.edges}
        known |= {drain.name for drain in sheet.walk.newtop.wishes.drains}
        if outlet.name in known:
            continue
        sheet.point_label(
            (f"water out: {outlet.name}",),
            (x, y),
            layer="labels",
            rank=4,
            gap=2.5,
            bold=True,
            must=True,
            kind="outlet-label",
            name=outlet.name,
        )


def draw_falls(sheet: PlanSheet, top: TopOption) -> None:
    """Fall arrows, one to a plane; on a pad grid as many as there is room for."""
    surface = top.surface
    if surface is None or not top.facets:
        return
    shapes = [shapely.Polygon(facet).intersection(sheet.floor) for facet in top.facets]
    shapes = [
        part
        for shape in shapes
        for part in shapely.get_parts(shape)
        if part.geom_type == "Polygon" and part.area > 0
    ]
    drawn_at: list[tuple[float, float]] = []
    for shape in sorted(shapes, key=lambda one: -one.area):
        middle = shape.centroid if shape.contains(shape.centroid) else shape.representative_point()
        at = sheet.view.spot((middle.x, middle.y))
        if any(np.hypot(at[0] - x, at[1] - y) < _ARROW_ROOM for x, y in drawn_at):
            continue
        rise = np.asarray(surface.gradient(np.array([[middle.x, middle.y]])))[0]
        fall = float(np.hypot(*rise))
        if fall < 1e-6:
            continue
        drawn_at.append(at)
        way = (float(-rise[0] / fall), float(rise[1] / fall))
        signs.fall_arrow(sheet, shape, way, words=write_slope(fall, sheet.units), rank=6)
    if drawn_at:
        sheet.key("the top falls this way, with its slope", signs.fall_sample)


def option_words(walk: Walk, top: TopOption) -> str:
    """Thinnest and thickest of a top in words."""
    units = walk.job.units
    return (
        f"thinnest {write_thickness(top.thinnest_m, units)}, "
        f"thickest {write_thickness(top.thickest_m, units)}, "
        f"mean {write_thickness(top.mean_thickness_m, units)}"
    )
