"""The plan that every drawn sheet starts from: outline, openings, doors, drains, dimensions, key.

A sheet adds its own lines and labels and then calls ``finish``.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from overslab.faces.documents.drawing import INK, PAPER, Drawing, Spot, Text
from overslab.faces.documents.hatching import hatch, rings_of
from overslab.faces.documents.labels import Box, Label, Place, Placer, around
from overslab.faces.documents.lettering import width_mm, wrap
from overslab.faces.documents.scales import Scale, View, bar_length_m, fitting_scale
from overslab.ground.units import Units, write_length
from overslab.job.records import Walk

Floats = NDArray[np.float64]
Point = tuple[float, float]
SMALL, BODY, LARGE = 2.0, 2.5, 3.2  # sizes of lettering on drawings, mm (5.7, 7 and 9 pt)
_KEY_WIDE, _KEY_HIGH = 47.0, 36.0
_CHAIN, _OVERALL = 9.0, 16.0  # how far dimension strings stand off the outline, mm
Sample = Callable[[Drawing, float, float], None]


@dataclass(frozen=True, slots=True)
class Room:
    """The part of the page a drawing may fill, mm."""

    wide: float
    high: float


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
    left, top, right, bottom = _zone(room)
    return fitting_scale(
        east - west,
        north - south,
        room_wide=right - left - _OVERALL - _CHAIN - 8,
        room_high=bottom - top - _OVERALL - _CHAIN - 8,
        system=walk.job.units.system,
    )


def plan_sheet(walk: Walk, room: Room, *, title: str, told: str) -> PlanSheet:
    """The floor drawn to scale in the room, with all that every plan shows."""
    scale = scale_for(walk, room)
    west, south, east, north = walk.job.plan.polygon().bounds
    left, top, right, bottom = zone = _zone(room)
    k = 1000 / scale.ratio
    spare_x = right - left - _OVERALL - _CHAIN - 8 - (east - west) * k
    spare_y = bottom - top - _OVERALL - _CHAIN - 8 - (north - south) * k
    view = View(
        scale,
        west,
        north,
        left + _OVERALL + 4 + max(0.0, spare_x) / 2,
        top + _CHAIN + 4 + max(0.0, spare_y) / 2,
    )
    middle = ((left + right) / 2, (top + bottom) / 2)
    placer = Placer(Box(middle, right - left, bottom - top))
    sheet = PlanSheet(walk, Drawing(room.wide, room.high, title, told), view, placer, zone)
    # Layers are named here so that they lie in this order whatever a sheet draws first.
    for layer in ("hatching", "contours", "water", "floor", "marks", "dimensions", "labels", "key"):
        sheet.drawing.layers[layer] = []
    _outline(sheet)
    _doors(sheet)
    _drains(sheet)
    _dimensions(sheet)
    _foot(sheet)
    return sheet


def _zone(room: Room) -> tuple[float, float, float, float]:
    if room.wide >= room.high:
        return (0.0, 0.0, room.wide - _KEY_WIDE - 4, room.high - 13)
    return (0.0, 0.0, room.wide, room.high - 13 - _KEY_HIGH)


def _outline(sheet: PlanSheet) -> None:
    plan, view, drawing = sheet.walk.job.plan, sheet.view, sheet.drawing
    ring = view.spots(plan.outline)
    drawing.ring("floor", ring, pen="outline", kind="outline", name="floor")
    sheet.placer.avoid([*ring, ring[0]], weight=4.0)
    for hole in plan.holes:
        spots = view.spots(hole.corners)
        drawing.ring("floor", spots, pen="hole", fill=PAPER, kind="hole", name=hole.name)
        shape = shapely.Polygon(spots)
        hatch(drawing, "floor", shape, spacing=1.0, angle=45)
        middle = shape.representative_point()
        half = max(abs(x - middle.x) for x, _ in spots)
        sheet.point_label(
            (hole.name,),
            (middle.x, middle.y),
            layer="labels",
            rank=20,
            gap=half + 1,
            size=SMALL,
            kind="hole-label",
        )
    for a, b in plan.openings:
        _opening(sheet, view.spot(a), view.spot(b))
    if plan.openings:
        sheet.key("door or open edge", lambda d, x, y: _opening_sample(d, x, y))


def _opening(sheet: PlanSheet, a: Spot, b: Spot) -> None:
    start, end = np.array(a), np.array(b)
    length = float(np.hypot(*(end - start)))
    if length == 0:
        return
    across = np.array([-(end - start)[1], (end - start)[0]]) / length * 0.8
    corners = [start + across, end + across, end - across, start - across]
    sheet.drawing.ring("floor", [(float(x), float(y)) for x, y in corners], pen=None, fill=PAPER)
    for side in (across, -across):
        sheet.drawing.line(
            "floor",
            [(float(p[0]), float(p[1])) for p in (start + side, end + side)],
            pen="opening",
            kind="opening",
        )


def _opening_sample(drawing: Drawing, x: float, y: float) -> None:
    for part in ((x, x + 2), (x + 8, x + 10)):
        drawing.line("key", [(part[0], y), (part[1], y)], pen="outline")
    for side in (-0.8, 0.8):
        drawing.line("key", [(x + 2, y + side), (x + 8, y + side)], pen="opening")


def _doors(sheet: PlanSheet) -> None:
    for edge in sheet.walk.newtop.wishes.edges:
        a, b = np.array(sheet.view.spot(edge.a)), np.array(sheet.view.spot(edge.b))
        out = _outward(sheet, a, b)
        if edge.kind in ("door", "threshold") and _on_outline(sheet, edge.a, edge.b):
            _opening(sheet, sheet.view.spot(edge.a), sheet.view.spot(edge.b))
        if edge.kind == "stair":
            for step in (1.2, 2.4, 3.6):
                tread = [(float(p[0]), float(p[1])) for p in (a + out * step, b + out * step)]
                sheet.drawing.line("floor", tread, pen="opening", kind="stair")
            sheet.placer.block(_flat_box([a, b, a + out * 3.8, b + out * 3.8]))
        middle = (a + b) / 2
        places: list[Place] = []
        for off in (2.8, -3.2, 5.0, -5.6):
            for slide in (0.0, 0.3, -0.3):
                spot = middle + (b - a) * slide + out * off
                places += _beside(spot, out * np.sign(off))
        sheet.placer.ask(
            Label(
                (edge.name,),
                BODY,
                tuple(places),
                "labels",
                3,
                "door-label",
                edge.name,
                bold=True,
                must=True,
                target=(float(middle[0]), float(middle[1])),
            )
        )


def _on_outline(sheet: PlanSheet, a: Point, b: Point) -> bool:
    return bool(sheet.floor.exterior.distance(shapely.LineString([a, b]).centroid) < 0.05)


def _beside(spot: Floats, out: Floats) -> list[Place]:
    """Lettering on one side of a line: along it, or level."""
    level = float(spot[1]) + BODY * 0.33
    if abs(out[0]) > abs(out[1]):
        turned = Place((float(spot[0]) + BODY * 0.33, float(spot[1])), "middle", -90.0)
        flat = Place((float(spot[0]), level), "start" if out[0] > 0 else "end")
        return [turned, flat]
    return [Place((float(spot[0]), level), "middle")]


def _outward(sheet: PlanSheet, a: Floats, b: Floats) -> Floats:
    """Unit vector on the sheet that points off the floor at an edge."""
    length = float(np.hypot(*(b - a)))
    across = np.array([-(b - a)[1], (b - a)[0]]) / (length or 1.0)
    inside = sheet.view.shape(sheet.floor).contains(shapely.Point(*((a + b) / 2 + across * 0.5)))
    return -across if inside else across


def _flat_box(points: list[Floats]) -> Box:
    spots = np.array(points)
    low, high = spots.min(axis=0), spots.max(axis=0)
    middle = (low + high) / 2
    return Box((float(middle[0]), float(middle[1])), *(float(s) for s in high - low))


def _drains(sheet: PlanSheet) -> None:
    wished = {drain.at: drain for drain in sheet.walk.newtop.wishes.drains}
    places = [*wished, *(at for at in sheet.walk.job.plan.drains if at not in wished)]
    for at in places:
        spot = sheet.view.spot(at)
        drain_sign(sheet.drawing, "marks", spot)
        sheet.placer.block(Box(spot, 3.4, 3.4))
        drain = wished.get(at)
        lines = (f"{drain.name} ({drain.plan})",) if drain else ("drain",)
        sheet.point_label(
            lines,
            spot,
            layer="labels",
            rank=4,
            gap=2.2,
            bold=True,
            must=True,
            kind="drain-label",
            name=drain.name if drain else "",
        )


def drain_sign(drawing: Drawing, layer: str, spot: Spot) -> None:
    x, y = spot
    drawing.circle(layer, spot, radius=1.6, pen="mark", fill=PAPER, kind="drain")
    drawing.line(layer, [(x - 1.1, y - 1.1), (x + 1.1, y + 1.1)], pen="mark")
    drawing.line(layer, [(x - 1.1, y + 1.1), (x + 1.1, y - 1.1)], pen="mark")


def _straight_sides(outline: tuple[Point, ...]) -> list[tuple[Floats, Floats]]:
    """Sides of the outline, anticlockwise, with corners that lie on a straight side left out."""
    ring = shapely.orient_polygons(shapely.Polygon(outline)).exterior
    corners = shapely.get_coordinates(shapely.simplify(ring, 1e-4))[:-1]
    before, after = np.roll(corners, 1, axis=0), np.roll(corners, -1, axis=0)
    one, two = corners - before, after - corners
    turn = one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0]
    kept = corners[np.abs(turn) > 1e-6]
    return [(kept[k], kept[(k + 1) % len(kept)]) for k in range(len(kept))]


def _dimensions(sheet: PlanSheet) -> None:
    sides = _straight_sides(sheet.walk.job.plan.outline)
    for a, b in sides:
        _dimension(sheet, sheet.view.spot((a[0], a[1])), sheet.view.spot((b[0], b[1])), off=_CHAIN)
    west, south, east, north = sheet.floor.bounds
    overall = (((west, south), (east, south)), ((west, north), (west, south)))
    for first, last in overall:
        # A side that runs the whole way has said it already.
        if not any(np.allclose(first, p) and np.allclose(last, q) for p, q in sides):
            view = sheet.view
            _dimension(sheet, view.spot(first), view.spot(last), off=_OVERALL)


def _dimension(sheet: PlanSheet, a: Spot, b: Spot, *, off: float) -> None:
    """A dimension string: extension lines, slanted ticks, the length above the line.

    Sides run anticlockwise in plan, so on the sheet the outside lies to the right of the way.
    """
    start, end = np.array(a), np.array(b)
    length = float(np.hypot(*(end - start)))
    if length < 2.5:
        return
    along = (end - start) / length
    out = np.array([-along[1], along[0]])
    p, q = start + out * off, end + out * off
    slant = (along + out) / np.sqrt(2) * 1.2
    layer = "dimensions"
    for foot, head in ((start, p), (end, q)):
        ext = [foot + out * 2.0, head + out * 1.5]
        sheet.drawing.line(layer, [(float(x), float(y)) for x, y in ext], pen="dimension")
        tick = [head - slant, head + slant]
        sheet.drawing.line(layer, [(float(x), float(y)) for x, y in tick], pen="tick")
    bar = [(float(p[0]), float(p[1])), (float(q[0]), float(q[1]))]
    sheet.drawing.line(layer, bar, pen="dimension", kind="dimension")
    sheet.placer.avoid(bar)
    metres = sheet.view.metres(length)
    words = write_length(metres, sheet.units)
    angle = float(np.degrees(np.arctan2(along[1], along[0])))
    if angle > 90 - 1e-6:
        angle -= 180
    elif angle <= -90 - 1e-6:
        angle += 180
    turn = np.radians(angle)
    up = np.array([np.sin(turn), -np.cos(turn)])  # towards the tops of the letters
    reach = length / 2 + width_mm(words, size_mm=BODY) / 2 + 2
    fits = width_mm(words, size_mm=BODY) < length - 2
    slides = (0.0,) if fits else (reach, -reach, 0.0)
    places = []
    for lift in (1.2, -BODY * 0.66 - 1.2):
        for slide in slides:
            spot = (p + q) / 2 + along * slide + up * lift
            places.append(Place((float(spot[0]), float(spot[1])), "middle", angle))
    middle = (p + q) / 2
    sheet.placer.ask(
        Label(
            (words,),
            BODY,
            tuple(places),
            layer,
            1,
            "dimension-text",
            must=length > 6,
            target=(float(middle[0]), float(middle[1])),
        )
    )


def _foot(sheet: PlanSheet) -> None:
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
    drawing.put("key", Text(f"scale {view.scale}", (x, y + 5), BODY, bold=True, kind="scale"))
    ax = x + max(4 * quarter, width_mm(f"scale {view.scale}", size_mm=BODY, bold=True)) + 18
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
            x, y = x + _KEY_WIDE + 10, top + 6.5
        sample(drawing, x, y + 1.6)
        for row, line in enumerate(lines):
            drawing.put("key", Text(line, (x + 13, y + 2.5 + 3.2 * row), BODY, halo=False))
        y += 3.2 * len(lines) + 1.8


def shape_rings(sheet: PlanSheet, shape: BaseGeometry) -> list[tuple[tuple[Spot, ...], ...]]:
    """The rings on the sheet of a shape in plan metres."""
    return rings_of(sheet.view.shape(shape))
