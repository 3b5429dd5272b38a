"""The lines of a floor as typed so far, before anything is worked out: a ground to draw upon."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from overslab.faces.documents.drawing import INK, PAPER, Drawing, Text
from overslab.faces.documents.labels import Box, Placer, around
from overslab.faces.documents.labels import Label as Lettering
from overslab.faces.documents.lettering import CAP_HEIGHT
from overslab.faces.documents.live_plan import WIDE, LivePlan
from overslab.faces.documents.plan_sheet import BODY, Room
from overslab.faces.documents.plan_start import draw_opening
from overslab.faces.documents.scales import Scale, View

Point = tuple[float, float]
_NAME = 3.6  # lettering, mm: read on a phone as well
_BLANK_M = (12.0, 8.0)  # how much ground is shown while there is no outline
_SPARE = 0.12  # of the floor's size, kept free about it to draw in


@dataclass(frozen=True, slots=True)
class FloorLine:
    """One thing of the floor; ``pen`` as in the drawings."""

    kind: str
    name: str
    points: tuple[Point, ...]
    closed: bool
    pen: str


def draw_floor_lines(
    lines: Sequence[FloorLine],
    *,
    title: str,
    edited: Sequence[Point] = (),
    closed: bool = False,
    room: Room = WIDE,
) -> LivePlan:
    """The lines with their names; ``edited`` are numbered corners of the thing being drawn."""
    west, south, east, north = _reach([p for line in lines for p in line.points] + list(edited))
    spare = _SPARE * max(east - west, north - south)
    west, south, east, north = west - spare, south - spare, east + spare, north + spare
    ratio = max(1, ceil(1000 * max((east - west) / room.wide, (north - south) / room.high)))
    k = 1000 / ratio
    left, top = (room.wide - (east - west) * k) / 2, (room.high - (north - south) * k) / 2
    view = View(Scale(ratio, "", ruled=False), west, north, left, top)
    told = "; ".join(line.name for line in lines) or "nothing is drawn yet"
    drawing = Drawing(room.wide, room.high, title, f"The floor as typed: {told}.")
    placer = Placer(Box((room.wide / 2, room.high / 2), room.wide, room.high))
    for layer in ("floor", "labels", "edited"):
        drawing.layers[layer] = []
    for line in lines:
        _draw(drawing, placer, view, line)
    placer.settle(drawing)
    if edited:
        spots = view.spots(edited)
        drawing.line("edited", [*spots, *spots[:1]] if closed else spots, pen="ring")
        for number, (x, y) in enumerate(spots, 1):
            drawing.circle("edited", (x, y), radius=2.2, pen="mark", fill=PAPER, kind="corner")
            at = (x, y + BODY * CAP_HEIGHT / 2)
            drawing.put("edited", Text(str(number), at, BODY, anchor="middle", halo=False))
    floor = (left, top, (east - west) * k, (north - south) * k)
    return LivePlan(drawing, west, north, left, top, k, floor)


def _reach(points: Sequence[Point]) -> tuple[float, float, float, float]:
    if not points:
        return (0.0, 0.0, *_BLANK_M)
    xs, ys = [x for x, _ in points], [y for _, y in points]
    wide, high = max(xs) - min(xs), max(ys) - min(ys)
    least = 1.0 if max(wide, high) > 1.0 else max(_BLANK_M)
    return (min(xs), min(ys), max(xs) + max(0.0, least - wide), max(ys) + max(0.0, least - high))


def _draw(drawing: Drawing, placer: Placer, view: View, line: FloorLine) -> None:
    spots = view.spots(line.points)
    if not spots:
        return
    ring = [*spots, spots[0]] if line.closed else spots
    if line.kind == "door" and len(spots) == 2:
        draw_opening(drawing, spots[0], spots[1])
    drawing.line("floor", ring, pen=line.pen, kind=line.kind, name=line.name)
    placer.avoid(ring, weight=2.0)
    if line.kind == "outline":
        return
    x, y = (sum(spot[axis] for spot in spots) / len(spots) for axis in (0, 1))
    placer.ask(
        Lettering(
            (line.name,),
            _NAME,
            around((x, y), gap=1.6, size=_NAME) + around((x, y), gap=5.0, size=_NAME),
            "labels",
            5,
            "line-label",
            line.name,
            must=True,
            tone=INK,
            target=(x, y),
        )
    )
