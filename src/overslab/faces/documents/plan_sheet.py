"""A plan being drawn: its place on the sheet, its labels, its key, scale bar and up arrow.

``plan_start`` draws what every plan shows; a sheet adds its own and then calls ``finish``.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from overslab.faces.documents.drawing import INK, PAPER, Drawing, Spot, Text
from overslab.faces.documents.hatching import rings_of
from overslab.faces.documents.labels import Label, Placer, around
from overslab.faces.documents.lettering import width_mm, wrap
from overslab.faces.documents.scales import Scale, View, bar_length_m, fitting_scale
from overslab.ground.units import Units, write_length
from overslab.job.records import Walk

Floats = NDArray[np.float64]
Point = tuple[float, float]
SMALL, BODY, LARGE = 2.0, 2.5, 3.2  # sizes of lettering on drawings, mm (5.7, 7 and 9 pt)
_KEY_WIDE, _KEY_HIGH = 47.0, 36.0
CHAIN, OVERALL = 9.0, 16.0  # how far dimension strings stand off the outline, mm
Sample = Callable[[Drawing, float, float], None]


@dataclass(frozen=True, slots=True)
class Room:
    """The part of the page a drawing may fill, mm. A drawing for a screen is not ``ruled``."""

    wide: float
    high: float
    ruled: bool = True


@dataclass(slots=True)
class PlanSheet:
    walk: Walk
    drawing: Drawing
    view: View
    placer: Placer
    zone: tuple[float, float, float, float]  # left, top, right, bottom of the plan's part
    keys: list[tuple[str, Sample]] = field(default_factory=list)

    @property
    def units(self) -> Units:
        return self.walk.job.units

    @property
    def floor(self) -> shapely.Polygon:
        """The floor in plan metres."""
        return self.walk.job.plan.polygon()

    def key(self, words: str, sample: Sample) -> None:
        """Explain a sign once."""
        if all(words != known for known, _ in self.keys):
            self.keys.append((words, sample))

    def key_line(self, words: str, pen: str) -> None:
        self.key(words, lambda d, x, y: d.line("key", [(x, y), (x + 10, y)], pen=pen))

    def line(self, layer: str, points: object, *, pen: str, kind: str, name: str = "") -> None:
        """A line given in plan metres; labels keep off it where they can."""
        spots = self.view.spots(points)
        self.placer.avoid(spots, weight=2.0)
        self.drawing.line(layer, spots, pen=pen, kind=kind, name=name)

    def point_label(
        self,
        lines: tuple[str, ...],
        at: Spot,
        *,
        layer: str,
        rank: int,
        size: float = BODY,
        gap: float = 1.2,
        must: bool = False,
        bold: bool = False,
        kind: str = "",
        name: str = "",
    ) -> None:
        """A label that stands beside a place on the sheet."""
        near = around(at, gap=gap, size=size, lines=len(lines))
        more = around(at, gap=gap + (2.5 if must else 1.0), size=size, lines=len(lines))
        self.placer.ask(
            Label(
                lines,
                size,
                near + more,
                layer,
                rank,
                kind,
                name,
                bold=bold,
                must=must,
                target=at,
            )
        )

    def finish(self) -> Drawing:
        """Place the labels and draw what stands beside the plan."""
        self.placer.settle(self.drawing)
        _key_block(self)
        return self.drawing


def scale_for(walk: Walk, room: Room) -> Scale:
    """The scale at which the floor and its dimension strings fit the room."""
    west, south, east, north = walk.job.plan.polygon().bounds
    left, top, right, bottom = zone_of(room)
    return fitting_scale(
        east - west,
        north - south,
        room_wide=right - left - OVERALL - CHAIN - 8,
        room_high=bottom - top - OVERALL - CHAIN - 8,
        system=walk.job.units.system,
        ruled=room.ruled,
    )


def zone_of(room: Room) -> tuple[float, float, float, float]:
    if room.wide >= room.high:
        return (0.0, 0.0, room.wide - _KEY_WIDE - 4, room.high - 13)
    return (0.0, 0.0, room.wide, room.high - 13 - _KEY_HIGH)


def draw_foot(sheet: PlanSheet) -> None:
    """Scale bar with the scale in words, and the arrow that says which way is up."""
    view, drawing = sheet.view, sheet.drawing
    total_m = bar_length_m(view.scale, system=sheet.units.system)
    left, _, right, bottom = sheet.zone
    x, y = left + 2, bottom + 7
    quarter = view.mm(total_m) / 4
    for part in range(4):
        box = [
            (x + part * quarter, y),
            (x + (part + 1) * quarter, y),
            (x + (part + 1) * quarter, y + 1.4),
            (x + part * quarter, y + 1.4),
        ]
        fill = INK if part % 2 == 0 else PAPER
        drawing.ring("key", box, pen="dimension", fill=fill, kind="scale-bar")
    drawing.put("key", Text("0", (x, y - 1), SMALL, anchor="middle"))
    for share in (0.5, 1.0):
        words = write_length(total_m * share, sheet.units)
        drawing.put("key", Text(words, (x + share * 4 * quarter, y - 1), SMALL, anchor="middle"))
    scale = f"scale {view.scale}" if view.scale.ruled else ""
    if scale:
        drawing.put("key", Text(scale, (x, y + 5), BODY, bold=True, kind="scale"))
    ax = x + max(4 * quarter, width_mm(scale, size_mm=BODY, bold=True)) + 18
    ay = y + 4.6
    drawing.line("key", [(ax, ay), (ax, ay - 9.5)], pen="mark", kind="up-arrow")
    head = [(ax, ay - 11), (ax - 1.3, ay - 7.2), (ax, ay - 8.2), (ax + 1.3, ay - 7.2)]
    drawing.ring("key", head, pen="dimension", fill=INK)
    words = f"up the sheet is {sheet.walk.job.plan.up_is}"
    rows = wrap(words, width=max(30.0, right - ax - 6), size_mm=BODY)
    for row, line in enumerate(rows):
        drawing.put("key", Text(line, (ax + 3, ay - 4 + row * 3.2), BODY, kind="up"))


def _key_block(sheet: PlanSheet) -> None:
    """The signs used on this sheet, explained beside the plan."""
    if not sheet.keys:
        return
    drawing = sheet.drawing
    beside = drawing.width >= drawing.height
    x = sheet.zone[2] + 4 if beside else 2.0
    top = 2.0 if beside else sheet.zone[3] + 15
    y = top
    drawing.put("key", Text("Key", (x, y + 2.6), LARGE, bold=True))
    y += 6.5
    for words, sample in sheet.keys:
        lines = wrap(words, width=_KEY_WIDE - 14, size_mm=BODY)
        if y + 3.2 * len(lines) > drawing.height - 1 and not beside:
            x, y = x + min(_KEY_WIDE + 10, drawing.width / 2), top + 6.5
        sample(drawing, x, y + 1.6)
        for row, line in enumerate(lines):
            drawing.put("key", Text(line, (x + 13, y + 2.5 + 3.2 * row), BODY, halo=False))
        y += 3.2 * len(lines) + 1.8


def shape_rings(sheet: PlanSheet, shape: BaseGeometry) -> list[tuple[tuple[Spot, ...], ...]]:
    """The rings on the sheet of a shape in plan metres."""
    return rings_of(sheet.view.shape(shape))
