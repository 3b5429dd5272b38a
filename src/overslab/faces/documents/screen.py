"""Drawings for a page: the same drawing code as for paper, in a room that suits a screen."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal, NamedTuple

from overslab.faces.documents.bid_sheet import profit_chart
from overslab.faces.documents.drawing import Drawing
from overslab.faces.documents.joint_plan import draw_joints
from overslab.faces.documents.labels import Label
from overslab.faces.documents.laying_plan import draw_laying, has_laying
from overslab.faces.documents.new_top import draw_new_top
from overslab.faces.documents.old_floor import draw_old_floor
from overslab.faces.documents.pads import draw_pads
from overslab.faces.documents.plan_sheet import CHAIN, OVERALL, Room, zone_of
from overslab.faces.documents.room_plans import (
    draw_loads,
    draw_shots,
    draw_small_top,
    draw_touches,
)
from overslab.faces.documents.sections import draw_sections
from overslab.faces.documents.steel_plan import draw_bars, draw_wire
from overslab.faces.documents.svg import write_svg
from overslab.faces.documents.thickness import draw_thickness
from overslab.faces.documents.verdict_map import draw_verdict_map
from overslab.job.records import Walk
from overslab.newtop.records import TopOption

Size = Literal["wide", "narrow"]
# Millimetres: lettering of 2.5 mm is then about 14 px high on a laptop and 10 px on a phone.
_WIDE, _NARROW = 190.0, 98.0
_SMALL = Room(84, 66, ruled=False)
_Drawn = tuple[Drawing, list[Label]]
_Draw = Callable[[Walk, Room], _Drawn | None]


class ScreenDrawing(NamedTuple):
    """A drawing as it is shown, sizes in millimetres: ``told`` is what it says in words."""

    svg: str
    title: str
    told: str
    wide: float
    high: float


def _of_top(draw: Callable[[Walk, TopOption, Room], _Drawn]) -> _Draw:
    def of_walk(walk: Walk, room: Room) -> _Drawn | None:
        top = walk.newtop.top
        return None if top is None or top.surface is None else draw(walk, top, room)

    return of_walk


def _touches(walk: Walk, room: Room) -> _Drawn | None:
    return None if walk.touches is None else draw_touches(walk, walk.touches, room)


def _steel(walk: Walk, room: Room) -> _Drawn | None:
    if walk.takeoff is None:
        return None
    if walk.takeoff.wire is not None:
        return draw_wire(walk, walk.takeoff.wire, room)
    return None if walk.takeoff.bars is None else draw_bars(walk, walk.takeoff.bars, room)


def _laying(walk: Walk, room: Room) -> _Drawn | None:
    if walk.takeoff is None or not has_laying(walk):
        return None
    return draw_laying(walk, walk.takeoff, room)


def _joints(walk: Walk, room: Room) -> _Drawn | None:
    if walk.takeoff is None or walk.takeoff.joints is None:
        return None
    return draw_joints(walk, walk.takeoff.joints, room)


def _loads(walk: Walk, room: Room) -> _Drawn | None:
    if walk.order is None or not walk.newtop.strips:
        return None
    return draw_loads(walk, walk.order, room)


_DRAWINGS: dict[str, tuple[str, _Draw]] = {
    "shots": ("Shots", draw_shots),
    "old-floor": ("Old floor", draw_old_floor),
    "verdict-map": ("Cracks, hollow places, room for a top", draw_verdict_map),
    "new-top": ("New top", _of_top(draw_new_top)),
    "thickness": ("Thickness", _of_top(draw_thickness)),
    "sections": ("Sections", _of_top(draw_sections)),
    "pads": ("Pads and strips", _of_top(draw_pads)),
    "touches": ("What the new top meets", _touches),
    "laying": ("Before the pour", _laying),
    "steel": ("Steel", _steel),
    "joints": ("Joints", _joints),
    "loads": ("Loads and strips", _loads),
}


def screen_codes() -> tuple[str, ...]:
    """Codes of all drawings a page can show."""
    return tuple(_DRAWINGS)


def room_for(walk: Walk, size: Size) -> Room:
    """The room of a drawing: as wide as the screen wants it, as high as the floor needs."""
    west, south, east, north = walk.job.plan.polygon().bounds
    aspect = (north - south) / (east - west)
    wide = _WIDE if size == "wide" else _NARROW
    # A room that is higher than wide has its key below, one that is wider beside the plan.
    least, most = (96.0, wide) if size == "wide" else (wide + 1, 160.0)
    left, top, right, bottom = zone_of(Room(wide, most if size == "narrow" else wide))
    around = OVERALL + CHAIN + 8
    beside, below = wide - (right - left), (most if size == "narrow" else wide) - (bottom - top)
    high = (wide - beside - around) * aspect + around + below
    return Room(wide, round(min(max(high, least), most), 1), ruled=False)


def draw_screen(walk: Walk, code: str, *, size: Size) -> ScreenDrawing | None:
    """A drawing by its code; None when the job has no such drawing. Raises ``KeyError``."""
    title, draw = _DRAWINGS[code]
    drawn = draw(walk, room_for(walk, size))
    if drawn is None:
        return None
    drawing, left_out = drawn
    named = "; ".join(" ".join(label.lines) for label in left_out if label.must)
    told = f"{drawing.told} No room here for: {named}." if named else drawing.told
    return ScreenDrawing(write_svg(drawing), title, told, drawing.width, drawing.height)


def draw_profit(walk: Walk, *, size: Size) -> ScreenDrawing | None:
    """What the job may leave, for the office alone; None where no tries were made."""
    bid = walk.price
    if bid is None or bid.outcome is None:
        return None
    drawing = profit_chart(bid.outcome, bid.currency, wide=_WIDE if size == "wide" else _NARROW)
    return ScreenDrawing(
        write_svg(drawing), drawing.title, drawing.told, drawing.width, drawing.height
    )


def draw_small(walk: Walk, kind: str) -> ScreenDrawing | None:
    """One kind of top in small, to be compared; None when it cannot be built."""
    top = next((one for one in walk.newtop.options if one.kind == kind), None)
    if top is None or top.surface is None:
        return None
    drawing, _ = draw_small_top(walk, top, _SMALL)
    return ScreenDrawing(
        write_svg(drawing), drawing.title, drawing.told, drawing.width, drawing.height
    )
