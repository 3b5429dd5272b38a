"""The old floor as it lies: contours, shots, breaks with steps, where water stands and runs."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from overslab.faces.documents import signs
from overslab.faces.documents.blocks import Para
from overslab.faces.documents.contours import band, levels_m, step_m, straight_places
from overslab.faces.documents.drawing import Drawing, Path
from overslab.faces.documents.hatching import hatch
from overslab.faces.documents.labels import Box, Label, Place
from overslab.faces.documents.lettering import CAP_HEIGHT, width_mm
from overslab.faces.documents.paper import Layout, drawn
from overslab.faces.documents.plan_sheet import BODY, SMALL, PlanSheet, Room, shape_rings
from overslab.faces.documents.plan_start import plan_sheet
from overslab.faces.documents.words import STRUCTURE, assumption_line, counted
from overslab.ground.units import (
    write_area,
    write_height,
    write_length,
    write_slope,
    write_thickness,
)
from overslab.job.records import Walk
from overslab.oldslab import contours
from overslab.oldslab.records import Step

Floats = NDArray[np.float64]
_MOST_LINES = 16
_TINY = 1.75  # lettering beside shots, mm (5 pt)


def old_floor(walk: Walk) -> Layout:
    """The sheet of the old floor."""
    return drawn(
        walk,
        lambda room: draw_old_floor(walk, room),
        above=[Para(_story(walk))],
        below=[
            Para(f"Mind: {STRUCTURE}", "mind"),
            Para(assumption_line(walk, room="oldslab"), "small"),
        ],
        elsewhere="; all heights are on the workings sheet",
    )


def _story(walk: Walk) -> str:
    old, units = walk.oldslab, walk.job.units
    told = (
        f"The old floor lies between {write_height(old.lowest_m, units)} and "
        f"{write_height(old.highest_m, units)}; {write_area(old.area_m2, units)} in all, "
        f"{counted(len(old.shots_m), 'floor shot', 'floor shots')}. "
    )
    if old.low_spots:
        deepest = max(old.low_spots, key=lambda spot: spot.depth_m)
        told += (
            f"Water stands in {counted(len(old.low_spots), 'place', 'places')}, at the deepest "
            f"{write_thickness(deepest.depth_m, units)}."
        )
    else:
        told += "No place holds standing water deeper than the surface is known."
    return told


def draw_old_floor(walk: Walk, room: Room) -> tuple[Drawing, list[Label]]:
    """The old floor as it lies."""
    title = f"Old floor, {walk.job.name}"
    sheet = plan_sheet(walk, room, title=title, told=f"Plan of the old floor. {_story(walk)}")
    draw_water(sheet)
    draw_contours(sheet, walk.oldslab.heights_m, of_old=True)
    draw_breaks(sheet, steps=True)
    draw_features(sheet)
    draw_flow(sheet)
    draw_shots(sheet)
    _panels(sheet)
    return sheet.finish(), sheet.placer.left_out


def draw_contours(sheet: PlanSheet, heights_m: Floats, *, of_old: bool) -> None:
    """Contours with every fourth one heavier and labelled, on its straightest stretch."""
    old, units = sheet.walk.oldslab, sheet.units
    step = step_m(heights_m, most=_MOST_LINES, system=units.system)
    levels = levels_m(heights_m, step=step)
    # A flat floor may have no heavy contour at all; then the light ones are labelled.
    heavy = [level for level in levels if round(level / step) % 4 == 0]
    told = heavy if len(heavy) > 1 else levels
    if of_old:
        lines = contours(old, levels)
    else:
        lines = contours((old.lattice, heights_m), levels, within=sheet.floor)
    for contour in lines:
        spots = sheet.view.spots(contour.line)
        pen = "contour-main" if contour.level_m in heavy else "contour"
        sheet.drawing.line("contours", spots, pen=pen, kind="contour")
        if contour.level_m not in told:
            continue
        words = write_height(contour.level_m, units)
        length = width_mm(words, size_mm=SMALL) + 1
        places = straight_places(spots, length=length, drop=SMALL * CAP_HEIGHT / 2)
        sheet.placer.ask(Label((words,), SMALL, places, "labels", 8, "contour-label"))
    if lines:
        sheet.key_line(f"contour, every {write_length(step, units)} of height", "contour")


def draw_breaks(sheet: PlanSheet, *, steps: bool) -> None:
    """Cracks and joints with their names, and how much the floor steps across them."""
    for line in sheet.walk.job.plan.breaks:
        sheet.line("floor", line.line, pen="break", kind=line.kind, name=line.name)
        spots = sheet.view.spots(line.line)
        length = width_mm(line.name, size_mm=BODY, bold=True) + 2
        off = 1.0
        places = straight_places(spots, length=length, drop=-off)
        places += straight_places(spots, length=length, drop=off + BODY * CAP_HEIGHT)
        middle = shapely.LineString(spots).interpolate(0.5, normalized=True)
        sheet.placer.ask(
            Label(
                (line.name,),
                BODY,
                places,
                "labels",
                5,
                "break-label",
                line.name,
                bold=True,
                must=True,
                target=(middle.x, middle.y),
            )
        )
    if sheet.walk.job.plan.breaks:
        sheet.key_line("crack or joint", "break")
    if not steps:
        return
    for step in sheet.walk.oldslab.steps:
        spot = sheet.view.spot(step.at)
        words = f"step {write_thickness(abs(step.step_m.mean), sheet.units)}"
        signs.step_mark(sheet.drawing, spot, _to_low_side(sheet, step))
        sheet.placer.block(Box(spot, 4.4, 2.0))
        sheet.point_label(
            (words,), spot, layer="labels", rank=6, size=SMALL, gap=2.6, kind="step-label"
        )
    if sheet.walk.oldslab.steps:
        sheet.key(
            "step across it; the arrow points to the lower side",
            lambda d, x, y: signs.step_mark(d, (x + 5, y), (1.0, 0.0)),
        )


def _to_low_side(sheet: PlanSheet, step: Step) -> tuple[float, float]:
    """Unit vector on the sheet across the break, towards the side that lies lower."""
    lines = [b.line for b in sheet.walk.job.plan.breaks if b.name == step.break_name]
    if not lines:
        return (1.0, 0.0)
    path = shapely.LineString(sheet.view.spots(lines[0]))
    along = path.project(shapely.Point(sheet.view.spot(step.at)))
    a = path.interpolate(max(0.0, along - 0.5))
    b = path.interpolate(min(path.length, along + 0.5))
    length = float(np.hypot(b.x - a.x, b.y - a.y)) or 1.0
    # On the sheet, where y runs down, the right-hand side of a way (x, y) lies at (-y, x).
    right = (-(b.y - a.y) / length, (b.x - a.x) / length)
    return right if step.step_m.mean < 0 else (-right[0], -right[1])


def draw_features(sheet: PlanSheet) -> None:
    """Pits, trenches and pads that were shot for themselves."""
    for feature in sheet.walk.job.plan.features:
        ring = [*feature.corners, feature.corners[0]]
        sheet.line("floor", ring, pen="feature", kind=feature.kind, name=feature.name)
        shape = sheet.view.shape(shapely.Polygon(feature.corners))
        middle = shape.representative_point()
        inside = Place((middle.x, middle.y + SMALL * CAP_HEIGHT / 2), "middle")
        west, north, east, south = shape.bounds
        level = (north + south) / 2 + SMALL * CAP_HEIGHT / 2
        sheet.placer.ask(
            Label(
                (feature.name,),
                SMALL,
                (
                    inside,
                    Place((east + 1, level), "start"),
                    Place((west - 1, level), "end"),
                    Place(((east + west) / 2, north - 1.2), "middle"),
                    Place(((east + west) / 2, south + 2.4), "middle"),
                ),
                "labels",
                5,
                "feature-label",
                feature.name,
                must=True,
                target=(middle.x, middle.y),
            )
        )
        sheet.key_line("pit, trench or pad with a level of its own", "feature")


def draw_water(sheet: PlanSheet) -> None:
    """Where water stands on the old floor, and how deep."""
    old = sheet.walk.oldslab
    if not old.low_spots:
        return
    depths = np.where(np.isfinite(old.pond_depth_m), old.pond_depth_m, 0.0)
    shallow = min(spot.depth_m for spot in old.low_spots)
    shore = min(0.0015, shallow / 2)  # drawn where the water is deeper than a millimetre and a half
    wet = band(old.lattice, depths, low=shore, high=1e3, floor=sheet.floor)
    hatch(sheet.drawing, "water", sheet.view.shape(wet), spacing=1.5, angle=0, pen="hatch-water")
    for rings in shape_rings(sheet, wet):
        sheet.drawing.put("water", Path(rings, "shore", closed=True, kind="low-spot"))
    for spot in old.low_spots:
        words = f"{write_thickness(spot.depth_m, sheet.units)} deep"
        at = sheet.view.spot(spot.deepest)
        signs.low_mark(sheet.drawing, at)
        sheet.placer.block(Box(at, 2.0, 2.0))
        sheet.point_label(
            (words,),
            at,
            layer="labels",
            rank=4,
            gap=1.8,
            bold=True,
            must=True,
            kind="depth-label",
        )
    sheet.key("water stands here; deepest place and depth", signs.water_sample)


def draw_flow(sheet: PlanSheet) -> None:
    """The ways water takes over the old floor."""
    leaves = {flow.path: flow.leaves for flow in sheet.walk.oldslab.flow}
    for path in signs.thinned(sheet, leaves):
        signs.flow_arrow(sheet, path, leaves=leaves[path])
    if sheet.walk.oldslab.flow:
        sheet.key("water runs this way", signs.flow_sample)


def _panels(sheet: PlanSheet) -> None:
    told = [panel for panel in sheet.walk.oldslab.panels if panel.kind == "panel"]
    for panel in told:
        turn = np.radians(panel.falls_toward_deg)
        way = (float(np.sin(turn)), float(-np.cos(turn)))
        signs.fall_arrow(
            sheet,
            panel.polygon,
            way,
            words=f"{panel.name} falls {write_slope(panel.fall, sheet.units)}",
            rank=7,
            bold=True,
            must=True,
        )
    if told:
        sheet.key("panel falls this way, steepest slope of its plane", signs.fall_sample)


def draw_shots(sheet: PlanSheet) -> None:
    """Every floor shot with its name and height, and the best place for one more."""
    old = sheet.walk.oldslab
    for name, place, height in zip(old.shot_names, old.shots_xy_m, old.shots_m, strict=True):
        spot = sheet.view.spot((place[0], place[1]))
        signs.shot_mark(sheet.drawing, spot, name=name)
        sheet.placer.block(Box(spot, 1.0, 1.0))
        sheet.point_label(
            (name, write_height(float(height), sheet.units)),
            spot,
            layer="labels",
            rank=12,
            size=_TINY,
            gap=0.9,
            kind="shot-label",
            name=name,
        )
    sheet.key("shot, with its name and height", lambda d, x, y: signs.shot_mark(d, (x + 5, y)))
    if old.next_shot is not None:
        at = sheet.view.spot(old.next_shot.at)
        signs.next_mark(sheet.drawing, at)
        sheet.placer.block(Box(at, 3.2, 3.2))
        sheet.key("best place for one more shot", lambda d, x, y: signs.next_mark(d, (x + 5, y)))
