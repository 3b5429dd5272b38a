"""Dimension strings along the outline, and over all."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from overslab.faces.documents.drawing import Spot
from overslab.faces.documents.labels import Label, Place
from overslab.faces.documents.lettering import width_mm
from overslab.faces.documents.plan_sheet import BODY, CHAIN, OVERALL, PlanSheet, Point
from overslab.ground.units import write_length

Floats = NDArray[np.float64]


def _straight_sides(outline: tuple[Point, ...]) -> list[tuple[Floats, Floats]]:
    """Sides of the outline, anticlockwise, with corners that lie on a straight side left out."""
    ring = shapely.orient_polygons(shapely.Polygon(outline)).exterior
    corners = shapely.get_coordinates(shapely.simplify(ring, 1e-4))[:-1]
    before, after = np.roll(corners, 1, axis=0), np.roll(corners, -1, axis=0)
    one, two = corners - before, after - corners
    turn = one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0]
    kept = corners[np.abs(turn) > 1e-6]
    return [(kept[k], kept[(k + 1) % len(kept)]) for k in range(len(kept))]


def draw_dimensions(sheet: PlanSheet) -> None:
    sides = _straight_sides(sheet.walk.job.plan.outline)
    for a, b in sides:
        _dimension(sheet, sheet.view.spot((a[0], a[1])), sheet.view.spot((b[0], b[1])), off=CHAIN)
    west, south, east, north = sheet.floor.bounds
    overall = (((west, south), (east, south)), ((west, north), (west, south)))
    for first, last in overall:
        # A side that runs the whole way has said it already.
        if not any(np.allclose(first, p) and np.allclose(last, q) for p, q in sides):
            view = sheet.view
            _dimension(sheet, view.spot(first), view.spot(last), off=OVERALL)


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
        ext = [(float(x), float(y)) for x, y in (foot + out * 2.0, head + out * 1.5)]
        sheet.drawing.line(layer, ext, pen="dimension")
        sheet.placer.avoid(ext)
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
