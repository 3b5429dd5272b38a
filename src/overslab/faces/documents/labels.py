"""Places labels so that none lies on another: each label brings places it may stand, best first.

Labels are gathered while a sheet is drawn and placed together at the end, the most needed first. A
label that finds no free place is left out and named in the report; a label that must stand is taken
further off and tied to its place by a thin leader.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import atan2, cos, degrees, hypot, radians, sin

import numpy as np
import shapely
from numpy.typing import NDArray

from overslab.faces.documents.drawing import INK, PAPER, Anchor, Drawing, Spot, Text
from overslab.faces.documents.lettering import CAP_HEIGHT, DESCENT, width_mm

_AIR = 0.25  # clear space round a label, mm
_CROSSING_COST = 0.8  # of one step down the list of places, for each mm of line under a label


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on the sheet, turned by ``angle`` degrees about its middle."""

    middle: Spot
    wide: float
    high: float
    angle: float = 0.0

    def corners(self) -> NDArray[np.float64]:
        turn, half = radians(self.angle), np.array([self.wide, self.high]) / 2
        along, across = np.array([cos(turn), sin(turn)]), np.array([-sin(turn), cos(turn)])
        signs = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]], dtype=float)
        corners: NDArray[np.float64] = np.array(self.middle) + (signs * half) @ np.vstack(
            [along, across]
        )
        return corners

    def overlaps(self, other: Box) -> bool:
        """Whether two boxes share more than a hair (separating axes of the two rectangles)."""
        reach = (hypot(self.wide, self.high) + hypot(other.wide, other.high)) / 2
        if hypot(self.middle[0] - other.middle[0], self.middle[1] - other.middle[1]) > reach:
            return False
        mine, theirs = self.corners(), other.corners()
        for turn in {self.angle % 90, other.angle % 90}:
            way = radians(turn)
            for axis in (np.array([cos(way), sin(way)]), np.array([-sin(way), cos(way)])):
                a, b = mine @ axis, theirs @ axis
                if a.max() <= b.min() + 1e-6 or b.max() <= a.min() + 1e-6:
                    return False
        return True

    def within(self, other: Box) -> bool:
        """Whether this box lies wholly in another that stands level."""
        low, high = other.corners().min(axis=0), other.corners().max(axis=0)
        mine = self.corners()
        return bool((mine >= low - 1e-6).all() and (mine <= high + 1e-6).all())


@dataclass(frozen=True, slots=True)
class Place:
    """A place on the baseline where a label may stand."""

    at: Spot
    anchor: Anchor = "middle"
    angle: float = 0.0


@dataclass(frozen=True, slots=True)
class Label:
    """Lettering that looks for a place. Several ``lines`` stand under each other, unturned."""

    lines: tuple[str, ...]
    size: float
    places: tuple[Place, ...]
    layer: str
    rank: int  # the least number is placed first
    kind: str = ""
    name: str = ""
    bold: bool = False
    must: bool = False
    tone: str = INK
    target: Spot | None = None  # where a leader points when the label must stand further off


def text_box(
    lines: Sequence[str], *, size: float, bold: bool, place: Place, air: float = _AIR
) -> Box:
    """The room that lettering takes up at a place."""
    wide = max(width_mm(line, size_mm=size, bold=bold) for line in lines)
    lead = size * 1.1 * (len(lines) - 1)
    high = size * (CAP_HEIGHT + DESCENT) + lead
    shift = {"start": wide / 2, "middle": 0.0, "end": -wide / 2}[place.anchor]
    drop = lead + size * DESCENT - high / 2  # from the first baseline down to the middle of the box
    turn = radians(place.angle)
    x = place.at[0] + shift * cos(turn) - drop * sin(turn)
    y = place.at[1] + shift * sin(turn) + drop * cos(turn)
    return Box((x, y), wide + 2 * air, high + 2 * air, place.angle)


def around(spot: Spot, *, gap: float, size: float, lines: int = 1) -> tuple[Place, ...]:
    """Eight places about a point, beside it first, as letters are read."""
    x, y = spot
    lead = size * 1.1 * (lines - 1)
    level = y + size * CAP_HEIGHT / 2 - lead / 2
    above, below = y - gap - size * DESCENT - lead, y + gap + size * CAP_HEIGHT
    slant = gap * 0.6
    return (
        Place((x + gap, level), "start"),
        Place((x - gap, level), "end"),
        Place((x, above), "middle"),
        Place((x, below), "middle"),
        Place((x + slant, above + gap - slant), "start"),
        Place((x + slant, below - gap + slant), "start"),
        Place((x - slant, above + gap - slant), "end"),
        Place((x - slant, below - gap + slant), "end"),
    )


@dataclass(slots=True)
class Placer:
    """Keeps the boxes that are taken and puts labels where none is."""

    bounds: Box
    plates: bool = False  # each label stands on a blank plate, for hatched ground
    taken: list[Box] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)
    placed: list[tuple[Label, Box]] = field(default_factory=list)
    left_out: list[Label] = field(default_factory=list)
    _lines: list[shapely.LineString] = field(default_factory=list)
    _weights: list[float] = field(default_factory=list)

    def free(self, box: Box) -> bool:
        """Whether nothing stands there yet."""
        return box.within(self.bounds) and not self._hits(box)

    def block(self, box: Box) -> None:
        """Take up room that no label may use."""
        self.taken.append(box)

    def avoid(self, points: Iterable[Spot], *, weight: float = 1.0) -> None:
        """A line that labels had better not cross (they may, with a halo); heavier lines less."""
        spots = list(points)
        if len(spots) > 1:
            self._lines.append(shapely.LineString(spots))
            self._weights.append(weight)

    def ask(self, *labels: Label) -> None:
        self.labels.extend(labels)

    def settle(self, drawing: Drawing) -> None:
        """Place every label asked for and draw it."""
        tree = shapely.STRtree(self._lines)
        for label in sorted(self.labels, key=lambda one: one.rank):
            place = self._best(label, label.places, tree)
            far = place is None and label.must
            if far:
                place = self._best(label, _further(label), tree, leader=True)
            if place is None:
                self.left_out.append(label)
                continue
            box = text_box(label.lines, size=label.size, bold=label.bold, place=place)
            self.taken.append(box)
            self.placed.append((label, box))
            if far and label.target is not None:
                leader = (label.target, _edge(box, label.target))
                self.taken.append(_along(leader))
                drawing.line(label.layer, leader, pen="leader", kind="leader")
            if self.plates:
                corners = [(float(x), float(y)) for x, y in box.corners()]
                drawing.ring(label.layer, corners, pen=None, fill=PAPER, kind="plate")
            drawing.put(label.layer, *_lettering(label, place))
        self.labels.clear()

    def _best(
        self,
        label: Label,
        places: Sequence[Place],
        tree: shapely.STRtree,
        *,
        leader: bool = False,
    ) -> Place | None:
        best: tuple[float, Place] | None = None
        for order, place in enumerate(places):
            if best is not None and order >= best[0]:
                break
            box = text_box(label.lines, size=label.size, bold=label.bold, place=place)
            if not box.within(self.bounds) or self._hits(box):
                continue
            if leader and label.target is not None:
                # The target's own mark is in the way of every leader and does not count.
                way, mark = (
                    _along((label.target, _edge(box, label.target))),
                    Box(label.target, 0, 0),
                )
                if any(way.overlaps(other) and not mark.within(other) for other in self.taken):
                    continue
            cost = order + _CROSSING_COST * self._crossed(box, tree)
            if best is None or cost < best[0]:
                best = (cost, place)
        return None if best is None else best[1]

    def _hits(self, box: Box) -> bool:
        return any(box.overlaps(other) for other in self.taken)

    def _crossed(self, box: Box, tree: shapely.STRtree) -> float:
        shape = shapely.Polygon(box.corners())
        found = tree.query(shape, predicate="intersects")
        return float(
            sum(self._weights[k] * self._lines[k].intersection(shape).length for k in found)
        )


def _further(label: Label) -> tuple[Place, ...]:
    """Places in widening rings about the target."""
    if label.target is None:
        return ()
    x, y = label.target
    return tuple(
        Place(
            (x + reach * cos(radians(turn)), y + reach * sin(radians(turn))),
            "start" if cos(radians(turn)) >= 0 else "end",
        )
        for reach in (4.0, 6.0, 8.0, 11.0, 14.0, 18.0, 23.0, 29.0, 36.0, 45.0)
        for turn in (-30, 30, -150, 150, -60, 60, -120, 120, 0, 180, -85, 85, -95, 95)
    )


def _edge(box: Box, target: Spot) -> Spot:
    """Where a leader from the target meets the box."""
    near = shapely.Polygon(box.corners()).exterior
    spot = near.interpolate(near.project(shapely.Point(target)))
    return (spot.x, spot.y)


def _along(leader: tuple[Spot, Spot]) -> Box:
    """The thin room of a leader."""
    (x0, y0), (x1, y1) = leader
    length = hypot(x1 - x0, y1 - y0)
    return Box(((x0 + x1) / 2, (y0 + y1) / 2), length, 0.2, degrees(atan2(y1 - y0, x1 - x0)))


def _lettering(label: Label, place: Place) -> list[Text]:
    turn, lead = radians(place.angle), label.size * 1.1
    return [
        Text(
            line,
            (place.at[0] - row * lead * sin(turn), place.at[1] + row * lead * cos(turn)),
            label.size,
            anchor=place.anchor,
            bold=label.bold,
            angle=place.angle,
            tone=label.tone,
            kind=label.kind,
            name=label.name if row == 0 else "",
        )
        for row, line in enumerate(label.lines)
    ]
