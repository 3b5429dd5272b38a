"""What every plan shows before a sheet adds its own: outline, doors, drains, dimensions."""

from __future__ import annotations

from math import ceil

import numpy as np
import shapely
from numpy.typing import NDArray

from overslab.faces.documents.dimensions import draw_dimensions
from overslab.faces.documents.drawing import PAPER, Drawing, Spot
from overslab.faces.documents.hatching import hatch
from overslab.faces.documents.labels import Box, Label, Place, Placer
from overslab.faces.documents.plan_sheet import (
    BODY,
    CHAIN,
    OVERALL,
    SMALL,
    PlanSheet,
    Point,
    Room,
    draw_foot,
    scale_for,
    zone_of,
)
from overslab.faces.documents.scales import Scale, View
from overslab.job.records import Walk

Floats = NDArray[np.float64]
_MARGIN = 9.0  # round a bare floor, for the names of doors, mm


def plan_sheet(walk: Walk, room: Room, *, title: str, told: str) -> PlanSheet:
    """The floor drawn to scale in the room, with all that every plan shows."""
    scale = scale_for(walk, room)
    west, south, east, north = walk.job.plan.polygon().bounds
    left, top, right, bottom = zone = zone_of(room)
    k = 1000 / scale.ratio
    spare_x = right - left - OVERALL - CHAIN - 8 - (east - west) * k
    spare_y = bottom - top - OVERALL - CHAIN - 8 - (north - south) * k
    view = View(
        scale,
        west,
        north,
        left + OVERALL + 4 + max(0.0, spare_x) / 2,
        top + CHAIN + 4 + max(0.0, spare_y) / 2,
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
    draw_dimensions(sheet)
    draw_foot(sheet)
    return sheet


def bare_sheet(walk: Walk, room: Room, *, title: str, told: str) -> PlanSheet:
    """The floor as large as the room allows, without dimensions, scale bar and key."""
    west, south, east, north = walk.job.plan.polygon().bounds
    wide, high = room.wide - 2 * _MARGIN, room.high - 2 * _MARGIN
    ratio = max(1, ceil(1000 * max((east - west) / wide, (north - south) / high)))
    k = 1000 / ratio
    left = (room.wide - (east - west) * k) / 2
    top = (room.high - (north - south) * k) / 2
    view = View(Scale(ratio, ""), west, north, left, top)
    placer = Placer(Box((room.wide / 2, room.high / 2), room.wide, room.high))
    zone = (0.0, 0.0, room.wide, room.high)
    sheet = PlanSheet(walk, Drawing(room.wide, room.high, title, told), view, placer, zone)
    for layer in ("hatching", "contours", "water", "floor", "marks", "labels", "key"):
        sheet.drawing.layers[layer] = []
    _outline(sheet)
    _doors(sheet)
    _drains(sheet)
    return sheet


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
        draw_opening(drawing, view.spot(a), view.spot(b))
    if plan.openings:
        sheet.key("door or open edge", lambda d, x, y: _opening_sample(d, x, y))


def draw_opening(drawing: Drawing, a: Spot, b: Spot) -> None:
    """A gap in the outline between two thin lines."""
    start, end = np.array(a), np.array(b)
    length = float(np.hypot(*(end - start)))
    if length == 0:
        return
    across = np.array([-(end - start)[1], (end - start)[0]]) / length * 0.8
    corners = [start + across, end + across, end - across, start - across]
    drawing.ring("floor", [(float(x), float(y)) for x, y in corners], pen=None, fill=PAPER)
    for side in (across, -across):
        drawing.line(
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
            draw_opening(sheet.drawing, sheet.view.spot(edge.a), sheet.view.spot(edge.b))
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
