"""Cracks and hollow places on the plan, and where there is thickness for which system."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from overslab.faces.documents import signs
from overslab.faces.documents.blocks import Para
from overslab.faces.documents.contours import band
from overslab.faces.documents.drawing import Drawing, Path
from overslab.faces.documents.hatching import hatch
from overslab.faces.documents.labels import Box, Label
from overslab.faces.documents.old_floor import draw_breaks, draw_features
from overslab.faces.documents.paper import Layout, drawn
from overslab.faces.documents.plan_sheet import BODY, SMALL, PlanSheet, Room, Sample, shape_rings
from overslab.faces.documents.plan_start import plan_sheet
from overslab.faces.documents.verdict_sheet import fine, ruling_words, written
from overslab.faces.documents.words import STRUCTURE, assumption_line, counted
from overslab.ground.units import write_area, write_thickness
from overslab.job.records import Walk
from overslab.oldslab.records import Break

Floats = NDArray[np.float64]

_HAIR_M = 1e-4  # a thickness held exactly at its least counts as held
_BONDED_ONLY = (3.0, (45,))
_NEITHER = (1.3, (45, -45))
_HOLLOW = (1.6, (-45,))


def verdict_map(walk: Walk) -> Layout:
    """The sheet of cracks, hollow places and thickness for either system."""
    story = _story(walk)
    drilling = walk.verdict.no_drilling
    warn = f"No drilling, sawing or chipping: {'; '.join(drilling)}." if drilling else ""
    return drawn(
        walk,
        lambda room: draw_verdict_map(walk, room),
        above=[Para(f"Ruling: {ruling_words(walk.verdict)}.", "strong"), Para(story)],
        below=[
            Para(warn, "strong"),
            Para(f"Mind: {STRUCTURE}", "mind"),
            Para(assumption_line(walk, room="verdict"), "small"),
        ],
        elsewhere="; the findings stand on the verdict sheet",
    )


def _story(walk: Walk) -> str:
    verdict, units = walk.verdict, walk.job.units
    cracks = sum(line.kind == "crack" for line in walk.job.plan.breaks)
    joints = len(walk.job.plan.breaks) - cracks
    told = f"{counted(cracks, 'crack', 'cracks')}, {counted(joints, 'joint', 'joints')}; "
    if verdict.hollows:
        places = counted(len(verdict.hollows), "hollow place", "hollow places")
        told += f"{places}, {write_area(verdict.hollow_m2, units)} in all. "
    else:
        told += "no hollow place was outlined. "
    return told + f"Hatching tells where {_ground(walk)[1]} is too little for a system."


def _ground(walk: Walk) -> tuple[Floats | None, str]:
    """What the hatching goes by: the new top as drawn, else room under the lowest fixed height."""
    if walk.newtop.top is not None and np.isfinite(walk.newtop.thickness_m).any():
        return walk.newtop.thickness_m, "the thickness of the new top as drawn"
    return walk.verdict.room_m, "the room under a level through the lowest fixed height"


def draw_verdict_map(walk: Walk, room: Room) -> tuple[Drawing, list[Label]]:
    """Cracks, hollow places, and where there is thickness for which system."""
    title = f"Verdict, {walk.job.name}"
    told = f"Plan of cracks and hollow places. {_story(walk)}"
    sheet = plan_sheet(walk, room, title=title, told=told)
    sheet.placer.plates = True  # lettering over hatching would not be read
    _systems(sheet)
    draw_hollows(sheet)
    draw_breaks(sheet, steps=True)
    draw_features(sheet)
    for line in walk.job.plan.breaks:
        _seen(sheet, line)
    _tightest(sheet)
    return sheet.finish(), sheet.placer.left_out


def _systems(sheet: PlanSheet) -> None:
    values, _ = _ground(sheet.walk)
    if values is None or not np.isfinite(values).any():
        return
    practice, units = sheet.walk.verdict.practice, sheet.units
    bonded_m, unbonded_m = practice.bonded_least_m, practice.unbonded_least_m
    bonded, unbonded = (write_thickness(value, units) for value in (bonded_m, unbonded_m))
    lattice = sheet.walk.oldslab.lattice
    for low, high, ruling, words in (
        (-1e3, bonded_m - _HAIR_M, _NEITHER, f"under {bonded}: too thin for any top"),
        (
            bonded_m - _HAIR_M,
            unbonded_m - _HAIR_M,
            _BONDED_ONLY,
            f"{bonded} to {unbonded}: bonded only",
        ),
    ):
        if high <= low:
            continue
        shape = band(lattice, values, low=low, high=high, floor=sheet.floor)
        for angle in ruling[1]:
            laid = sheet.view.shape(shape)
            hatch(sheet.drawing, "hatching", laid, spacing=ruling[0], angle=angle)
        for rings in shape_rings(sheet, shape):
            sheet.drawing.put("contours", Path(rings, "contour", closed=True, kind="system"))
        sheet.key(words, _patch(ruling))
    sheet.key(f"{unbonded} or more: unbonded or bonded", _patch(None))


def _patch(ruling: tuple[float, tuple[int, ...]] | None, *, pen: str = "frame") -> Sample:
    def draw(drawing: Drawing, x: float, y: float) -> None:
        shape = shapely.box(x, y - 1.8, x + 10, y + 1.8)
        if ruling is not None:
            for angle in ruling[1]:
                hatch(drawing, "key", shape, spacing=ruling[0], angle=angle)
        ring = [(x, y - 1.8), (x + 10, y - 1.8), (x + 10, y + 1.8), (x, y + 1.8)]
        drawing.ring("key", ring, pen=pen)

    return draw


def draw_hollows(sheet: PlanSheet) -> None:
    """The places that sound hollow, with their size."""
    for hollow in sheet.walk.verdict.hollows:
        shape = shapely.Polygon(hollow.corners).intersection(sheet.floor)
        laid = sheet.view.shape(shape)
        for angle in _HOLLOW[1]:
            hatch(sheet.drawing, "water", laid, spacing=_HOLLOW[0], angle=angle)
        for rings in shape_rings(sheet, shape):
            path = Path(rings, "feature", closed=True, kind="hollow", name=hollow.name)
            sheet.drawing.put("floor", path)
        middle = laid.representative_point()
        west, north, east, south = laid.bounds
        sheet.placer.block(
            Box(((west + east) / 2, (north + south) / 2), east - west, south - north)
        )
        sheet.point_label(
            (hollow.name, f"sounds hollow, {write_area(shape.area, sheet.units)}"),
            (middle.x, middle.y),
            layer="labels",
            rank=3,
            gap=max(east - west, south - north) / 2 + 1.2,
            must=True,
            bold=True,
            kind="hollow-label",
            name=hollow.name,
        )
    if sheet.walk.verdict.hollows:
        sheet.key("sounds hollow", _patch(_HOLLOW, pen="feature"))


def _seen(sheet: PlanSheet, line: Break) -> None:
    """How wide a break was at the last look, and whether it stood still."""
    looks = {crack.break_name: crack for crack in sheet.walk.job.findings.cracks}
    crack = looks.get(line.name)
    if crack is None or not crack.readings:
        words = "width not read" if line.kind == "crack" else ""
    else:
        last = crack.readings[-1]
        words = f"{write_thickness(last.width_m, fine(sheet.walk))} wide, {_rest(sheet, line.name)}"
    if not words:
        return
    path = shapely.LineString(sheet.view.spots(line.line))
    at = path.interpolate(0.35, normalized=True)
    sheet.point_label(
        (words,),
        (at.x, at.y),
        layer="labels",
        rank=5,
        size=BODY,
        gap=1.6,
        must=True,
        kind="crack-label",
        name=line.name,
    )


def _rest(sheet: PlanSheet, name: str) -> str:
    for one in sheet.walk.verdict.findings:
        if one.check is not None and one.check.quantity == "growth_m" and one.check.where == name:
            return "stood still" if one.check.passes else "MOVES"
    return "not proven still"


def _tightest(sheet: PlanSheet) -> None:
    """The place with least room under a fixed height, ringed once."""
    checks = [
        one.check
        for one in sheet.walk.verdict.findings
        if one.topic == "thickness" and one.check is not None and one.check.at is not None
    ]
    if not checks or checks[0].at is None:
        return
    spot = sheet.view.spot(checks[0].at)
    signs.ring_mark(sheet.drawing, spot, kind="tightest")
    sheet.placer.block(Box(spot, 5.2, 5.2))
    room = written(sheet.walk, "thickness_m", checks[0].found)
    sheet.point_label(
        (f"least room {room}", f"under {checks[0].where}"),
        spot,
        layer="labels",
        rank=2,
        size=SMALL,
        gap=3.4,
        must=True,
        kind="tightest-label",
    )
    sheet.key("least room under a fixed height", lambda d, x, y: signs.ring_mark(d, (x + 5, y)))
