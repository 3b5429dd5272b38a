"""The drawings a customer is shown: today's water, the new floor, the cut through the door."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from overslab.faces.documents import signs
from overslab.faces.documents.cuts import Cut, cut_between
from overslab.faces.documents.drawing import Drawing
from overslab.faces.documents.labels import Box, Label
from overslab.faces.documents.new_top import draw_falls, draw_folds, draw_ways
from overslab.faces.documents.old_floor import draw_breaks, draw_flow, draw_water
from overslab.faces.documents.plan_sheet import LARGE, PlanSheet, Room
from overslab.faces.documents.plan_start import plan_sheet
from overslab.faces.documents.screen import Size, room_for
from overslab.faces.documents.sections import draw_sections
from overslab.faces.documents.svg import write_svg
from overslab.faces.documents.words import counted
from overslab.ground.units import write_area, write_thickness
from overslab.job.records import Walk
from overslab.newtop.records import TopOption

MOST_DOORS = 2  # cut through on the section of a proposal
_CUT_HIGH = 60.0  # of one cut with its key, mm
_PLAN_MOST = 110.0  # high, so that a plan and some words share a page
_Drawn = tuple[Drawing, list[Label]]


@dataclass(frozen=True, slots=True)
class Plate:
    """A drawing in the proposal: ``code`` names its files, ``drawing`` is the one for paper."""

    code: str
    caption: str
    drawing: Drawing


class _Kind(NamedTuple):
    caption: str
    draw: Callable[[Walk, Room], _Drawn | None]
    high: Callable[[Walk], float]  # on paper


def plate_codes() -> tuple[str, ...]:
    """Codes of all drawings that a proposal may have."""
    return tuple(_KINDS)


def plate(walk: Walk, code: str, *, wide: float) -> Plate | None:
    """A drawing for paper ``wide`` millimetres wide; None when the job has none such."""
    # No customer measures with a ruler: the drawing takes the room there is, at no round scale.
    kind = _KINDS[code]
    drawn = kind.draw(walk, Room(wide, kind.high(walk), ruled=False))
    return None if drawn is None else Plate(code, kind.caption, drawn[0])


def screen_svg(walk: Walk, code: str, *, size: Size) -> str:
    """The same drawing for a page. Raises ``LookupError`` when the job has none such."""
    room = room_for(walk, size)
    if code.startswith("door"):
        room = Room(room.wide, _KINDS[code].high(walk), ruled=False)
    drawn = _KINDS[code].draw(walk, room)
    if drawn is None:
        raise LookupError(code)
    return write_svg(drawn[0])


def _water(walk: Walk, room: Room) -> _Drawn:
    """Where water stands today and which way it runs, without the marks of the survey."""
    spots, units = walk.oldslab.low_spots, walk.job.units
    told = f"Plan of today's floor. Water stands in {counted(len(spots), 'place', 'places')}"
    if spots:
        area = write_area(sum(spot.area_m2 for spot in spots), units)
        deepest = write_thickness(max(spot.depth_m for spot in spots), units)
        told += f", on {area} in all, {deepest} deep at the deepest"
    sheet = plan_sheet(walk, room, title=f"Standing water, {walk.job.name}", told=f"{told}.")
    draw_water(sheet)
    draw_breaks(sheet, steps=False)
    draw_flow(sheet)
    return sheet.finish(), sheet.placer.left_out


def _top(walk: Walk, room: Room) -> _Drawn | None:
    """The new floor as the customer will use it: where it falls, where water leaves, how thick."""
    top = walk.newtop.top
    if top is None or top.surface is None:
        return None
    units = walk.job.units
    told = (
        f"Plan of the new floor, from {write_thickness(top.thinnest_m, units)} to "
        f"{write_thickness(top.thickest_m, units)} thick, with the way the water takes."
    )
    sheet = plan_sheet(walk, room, title=f"New floor, {walk.job.name}", told=told)
    draw_folds(sheet, top)
    if top.drainage is not None:
        draw_ways(sheet, top.drainage)
    draw_falls(sheet, top)
    _ends_of_thickness(sheet, top)
    return sheet.finish(), sheet.placer.left_out


def _ends_of_thickness(sheet: PlanSheet, top: TopOption) -> None:
    for at, thick, words in (
        (top.thinnest_at, top.thinnest_m, "thinnest"),
        (top.thickest_at, top.thickest_m, "thickest"),
    ):
        spot = sheet.view.spot(at)
        signs.ring_mark(sheet.drawing, spot, double=words == "thickest")
        sheet.placer.block(Box(spot, 6.0, 6.0))
        sheet.point_label(
            (f"{words} {write_thickness(thick, sheet.units)}",),
            spot,
            layer="labels",
            rank=1,
            size=LARGE,
            gap=3.6,
            must=True,
            bold=True,
        )
    sheet.key("thinnest place of the new concrete", lambda d, x, y: signs.ring_mark(d, (x + 5, y)))
    sheet.key(
        "thickest place of the new concrete",
        lambda d, x, y: signs.ring_mark(d, (x + 5, y), double=True),
    )


def door_cuts(walk: Walk) -> tuple[Cut, ...]:
    """Square through the doors, the widest first; none where the floor meets no door."""
    floor = walk.job.plan.polygon()
    west, south, east, north = floor.bounds
    reach = 2 * float(np.hypot(east - west, north - south))
    doors = [edge for edge in walk.newtop.wishes.edges if edge.kind in ("door", "threshold")]
    doors.sort(key=lambda edge: -float(np.hypot(edge.b[0] - edge.a[0], edge.b[1] - edge.a[1])))
    found: list[Cut] = []
    for edge in doors:
        a, b = np.array(edge.a), np.array(edge.b)
        length = float(np.hypot(*(b - a)))
        if length <= 0 or len(found) == MOST_DOORS:
            continue
        square = np.array([-(b - a)[1], (b - a)[0]]) / length
        if square[0] < -1e-9 or (abs(square[0]) <= 1e-9 and square[1] < 0):
            square = -square
        middle = (a + b) / 2
        start, end = middle - square * reach, middle + square * reach
        cut = cut_between(
            floor,
            a=(float(start[0]), float(start[1])),
            b=(float(end[0]), float(end[1])),
            letter=chr(ord("A") + len(found)),
            through=edge.name,
        )
        if cut is not None:
            found.append(cut)
    return tuple(found)


def _door(place: int) -> Callable[[Walk, Room], _Drawn | None]:
    def draw(walk: Walk, room: Room) -> _Drawn | None:
        top, cuts = walk.newtop.top, door_cuts(walk)
        if top is None or top.surface is None or len(cuts) <= place:
            return None
        return draw_sections(walk, top, room, cuts=(cuts[place],))

    return draw


def _plan_high(walk: Walk) -> float:
    return min(room_for(walk, "wide").high, _PLAN_MOST)


def _door_high(_: Walk) -> float:
    return _CUT_HIGH


_KINDS: dict[str, _Kind] = {
    "water": _Kind("Today: where water stands, and how deep", _water, _plan_high),
    "top": _Kind("The new floor: which way it falls, and how thick it is", _top, _plan_high),
    **{
        f"door-{place + 1}": _Kind(
            "Cut through the door: old floor and new. Heights are drawn larger than lengths; the "
            "figures are true.",
            _door(place),
            _door_high,
        )
        for place in range(MOST_DOORS)
    },
}
