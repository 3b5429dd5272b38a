"""One plan of chosen subjects, each in layers of its own, for a page that can be tapped.

The drawing code is that of the sheets. What a subject draws is put into layers named after the
subject ("contours water"), so that a page can hide it; labels are placed for the subjects shown.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass, replace
from typing import NamedTuple

from overslab.faces.documents.cuts import cut_between
from overslab.faces.documents.drawing import INK, Drawing
from overslab.faces.documents.new_top import draw_falls, draw_folds, draw_ways
from overslab.faces.documents.old_floor import (
    draw_breaks,
    draw_contours,
    draw_features,
    draw_flow,
    draw_shots,
    draw_water,
)
from overslab.faces.documents.pads import draw_pad_marks
from overslab.faces.documents.plan_sheet import PlanSheet, Room
from overslab.faces.documents.plan_start import plan_sheet
from overslab.faces.documents.sections import draw_sections
from overslab.faces.documents.svg import write_svg
from overslab.faces.documents.thickness import draw_bands, draw_figures
from overslab.faces.documents.verdict_map import draw_hollows
from overslab.job.records import Walk
from overslab.newtop.records import TopOption

Point = tuple[float, float]
# Letters are read at arm's length on a screen: about as wide as a page is on a laptop, and half of
# that for a phone held upright.
WIDE, TALL = Room(210.0, 132.0, ruled=False), Room(104.0, 150.0, ruled=False)
SECTION_WIDE, SECTION_TALL = Room(210.0, 78.0, ruled=False), Room(110.0, 78.0, ruled=False)


class Subject(NamedTuple):
    """Something a person may want to see on the plan, or not."""

    code: str
    title: str
    needs_top: bool
    draw: Callable[[PlanSheet, TopOption | None], None]


def _thickness(sheet: PlanSheet, _top: TopOption | None) -> None:
    draw_bands(sheet)
    draw_figures(sheet)


def _contours(sheet: PlanSheet, _top: TopOption | None) -> None:
    draw_contours(sheet, sheet.walk.oldslab.heights_m, of_old=True)


def _water(sheet: PlanSheet, _top: TopOption | None) -> None:
    draw_water(sheet)
    draw_flow(sheet)


def _falls(sheet: PlanSheet, top: TopOption | None) -> None:
    if top is None:
        return
    draw_folds(sheet, top)
    if top.drainage is not None:
        draw_ways(sheet, top.drainage)
    draw_falls(sheet, top)


def _pads(sheet: PlanSheet, top: TopOption | None) -> None:
    if top is not None:
        draw_pad_marks(sheet, top)


def _breaks(sheet: PlanSheet, _top: TopOption | None) -> None:
    draw_breaks(sheet, steps=True)
    draw_features(sheet)


# In the order they are laid down.
SUBJECTS: tuple[Subject, ...] = (
    Subject("thickness", "thickness bands", True, _thickness),
    Subject("contours", "contours of the old floor", False, _contours),
    Subject("water", "water on the old floor", False, _water),
    Subject("hollow", "hollow spots", False, lambda sheet, _: draw_hollows(sheet)),
    Subject("breaks", "breaks, pits and trenches", False, _breaks),
    Subject("falls", "falls of the new top", True, _falls),
    Subject("pads", "pads", True, _pads),
    Subject("shots", "shots", False, lambda sheet, _: draw_shots(sheet)),
)
AT_FIRST = ("contours", "water", "hollow", "breaks", "shots")


@dataclass(frozen=True, slots=True)
class LivePlan:
    """The drawing, and how its millimetres lie on the floor: x_m = west + (x - left) / per_m."""

    drawing: Drawing
    west_m: float
    north_m: float
    left: float
    top: float
    per_m: float  # sheet mm to a metre
    floor: tuple[float, float, float, float]  # left, top, wide, high of the outline on the sheet

    def svg(self, *, prefix: str) -> str:
        """The drawing with the way from sheet to floor in its ``data-`` attributes."""
        data = {
            "west": f"{self.west_m:.6f}",
            "north": f"{self.north_m:.6f}",
            "left": f"{self.left:.6f}",
            "top": f"{self.top:.6f}",
            "per-m": f"{self.per_m:.9f}",
            "floor": " ".join(f"{part:.3f}" for part in self.floor),
        }
        return write_svg(self.drawing, prefix=prefix, data=data)


def top_of(walk: Walk) -> TopOption | None:
    """The chosen top, where there is one that can be struck."""
    top = walk.newtop.top
    return None if top is None or top.surface is None else top


def subjects_of(walk: Walk) -> tuple[Subject, ...]:
    """What can be shown of this job."""
    has_top = top_of(walk) is not None
    return tuple(one for one in SUBJECTS if has_top or not one.needs_top)


def draw_live_plan(
    walk: Walk,
    *,
    show: Collection[str],
    room: Room = WIDE,
    asked: Point | None = None,
    line: tuple[Point, Point] | None = None,
) -> LivePlan:
    """The plan with the subjects named in ``show``; others, and unknown ones, are left out.

    ``asked`` is ringed and ``line`` drawn, for a page that works without a script.
    """
    shown = [one for one in subjects_of(walk) if one.code in show]
    told = "; ".join(one.title for one in shown) or "outline, doors and lengths"
    title = f"Plan, {walk.job.name}"
    sheet = plan_sheet(walk, room, title=title, told=f"Plan of the floor with {told}.")
    codes = {one.code for one in shown}
    sheet.placer.plates = bool(codes & {"thickness", "hollow"})  # over hatching none is read
    drawing, bases = sheet.drawing, tuple(sheet.drawing.layers)
    drawing.layers = {
        name: drawing.layers.get(name, [])
        for base in bases
        for name in (base, *(f"{base} {one.code}" for one in shown))
    }
    for one in shown:
        _draw_apart(sheet, one, bases)
    sheet.finish()
    if asked is not None:
        drawing.circle("asked", sheet.view.spot(asked), radius=2.4, pen="ring", kind="asked")
        drawing.circle("asked", sheet.view.spot(asked), radius=0.4, pen=None, fill=INK)
    if line is not None:
        drawing.line("asked", sheet.view.spots(line), pen="cut", kind="asked-line")
    drawing.layers = {name: things for name, things in drawing.layers.items() if things}
    west, south, east, north = walk.job.plan.polygon().bounds
    x, y = sheet.view.spot((west, north))
    per_m = sheet.view.mm(1.0)
    floor = (x, y, (east - west) * per_m, (north - south) * per_m)
    view = sheet.view
    return LivePlan(drawing, view.west_m, view.north_m, view.left, view.top, per_m, floor)


def _draw_apart(sheet: PlanSheet, one: Subject, bases: tuple[str, ...]) -> None:
    """Draw a subject and put what it drew, and the labels it asked for, into its own layers."""
    layers, placer = sheet.drawing.layers, sheet.placer
    before = {base: len(layers[base]) for base in bases}
    asked = len(placer.labels)
    one.draw(sheet, top_of(sheet.walk))
    for base, length in before.items():
        layers[f"{base} {one.code}"] += layers[base][length:]
        del layers[base][length:]
    placer.labels[asked:] = [
        replace(label, layer=f"{label.layer} {one.code}") for label in placer.labels[asked:]
    ]


def draw_section_between(
    walk: Walk, *, a: Point, b: Point, room: Room = SECTION_WIDE
) -> Drawing | None:
    """The section along any line, as on its sheet; None off the floor or without a new top."""
    top = top_of(walk)
    floor = walk.job.plan.polygon()
    cut = cut_between(floor, a=a, b=b, letter="X", through="the line drawn")
    if top is None or cut is None:
        return None
    drawing, _ = draw_sections(walk, top, room, cuts=(cut,))
    return drawing
