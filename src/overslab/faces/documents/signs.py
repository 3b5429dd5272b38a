"""The small signs of the plans: shots, arrows, low places, rings, pads, and their key samples."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from overslab.faces.documents.drawing import INK, PAPER, WATER, Drawing, Spot
from overslab.faces.documents.hatching import hatch
from overslab.faces.documents.labels import Box, Label, Place, around
from overslab.faces.documents.plan_sheet import BODY, PlanSheet, Point

_FLOW_ROOM = 24.0  # sheet mm between the starts of two ways of the water


def shot_mark(drawing: Drawing, spot: Spot, *, name: str = "") -> None:
    x, y = spot
    drawing.line("marks", [(x - 0.8, y), (x + 0.8, y)], pen="mark", kind="shot", name=name)
    drawing.line("marks", [(x, y - 0.8), (x, y + 0.8)], pen="mark")


def next_mark(drawing: Drawing, spot: Spot) -> None:
    drawing.circle("marks", spot, radius=1.5, pen="mark", kind="next-shot")
    drawing.circle("marks", spot, radius=0.45, pen=None, fill=INK)


def step_mark(drawing: Drawing, spot: Spot, way: Spot) -> None:
    """A short arrow across a break, towards the lower side."""
    (x, y), (ux, uy) = spot, way
    tip = (x + ux * 2.2, y + uy * 2.2)
    drawing.line("marks", [(x - ux * 2.2, y - uy * 2.2), spot], pen="mark", kind="step")
    _head(drawing, tip, way, size=2.2, fill=INK, layer="marks", kind="step")


def low_mark(drawing: Drawing, spot: Spot) -> None:
    """A triangle standing on its point: the lowest place."""
    x, y = spot
    corners = [(x - 1, y - 0.8), (x + 1, y - 0.8), (x, y + 0.9)]
    drawing.ring("marks", corners, pen="mark", fill=PAPER, kind="low")


def water_sample(drawing: Drawing, x: float, y: float) -> None:
    shape = shapely.box(x, y - 1.8, x + 10, y + 1.8)
    hatch(drawing, "key", shape, spacing=1.5, angle=0, pen="hatch-water")
    ring = [(x, y - 1.8), (x + 10, y - 1.8), (x + 10, y + 1.8), (x, y + 1.8)]
    drawing.ring("key", ring, pen="shore")
    low_mark(drawing, (x + 5, y))


def _head(
    drawing: Drawing, tip: Spot, way: Spot, *, size: float, fill: str, layer: str, kind: str
) -> None:
    (x, y), (ux, uy) = tip, way
    back = (x - ux * size, y - uy * size)
    half = size * 0.32
    corners = [
        tip,
        (back[0] - uy * half, back[1] + ux * half),
        (back[0] + uy * half, back[1] - ux * half),
    ]
    drawing.ring(layer, corners, pen=None, fill=fill, kind=kind)


def flow_arrow(sheet: PlanSheet, path: tuple[Point, ...], *, leaves: bool) -> None:
    """A dashed way of the water with a head at its end; a dot where it stops and stands."""
    if len(path) < 2:
        return
    spots = shapely.simplify(shapely.LineString(sheet.view.spots(path)), 0.25)
    if spots.length < 4:
        return
    points = [(float(x), float(y)) for x, y in spots.coords]
    sheet.drawing.line("water", points, pen="flow", kind="flow")
    sheet.placer.avoid(points)
    if leaves:
        back = spots.interpolate(max(0.0, spots.length - 2.2))
        way = _unit((back.x, back.y), points[-1])
        _head(sheet.drawing, points[-1], way, size=2.2, fill=WATER, layer="water", kind="flow-head")
    else:
        sheet.drawing.circle("water", points[-1], radius=0.6, pen=None, fill=WATER, kind="stands")


def thinned(sheet: PlanSheet, paths: Iterable[tuple[Point, ...]]) -> list[tuple[Point, ...]]:
    """The longest ways of the water whose starts lie well apart on the sheet."""
    kept: list[tuple[Point, ...]] = []
    starts: list[Spot] = []
    for path in sorted(paths, key=len, reverse=True):
        if len(path) < 2:
            continue
        x, y = sheet.view.spot(path[0])
        if all(np.hypot(x - a, y - b) > _FLOW_ROOM for a, b in starts):
            kept.append(path)
            starts.append((x, y))
    return kept


def flow_sample(drawing: Drawing, x: float, y: float) -> None:
    drawing.line("key", [(x, y), (x + 9, y)], pen="flow")
    corners = [(x + 10, y), (x + 7.8, y - 0.7), (x + 7.8, y + 0.7)]
    drawing.ring("key", corners, pen=None, fill=WATER)


def fall_arrow(
    sheet: PlanSheet,
    part: BaseGeometry,
    way: Spot,
    *,
    words: str,
    rank: int,
    bold: bool = False,
    must: bool = False,
    long: float = 9.0,
) -> None:
    """A solid arrow down the slope of a part of the floor, with its fall written beside it.

    It stands as near the middle of the part as there is room.
    """
    ux, uy = way
    angle = float(np.degrees(np.arctan2(uy, ux)))
    x, y = _free_spot(sheet, sheet.view.shape(part), long=long, angle=angle)
    tail, tip = (x - ux * long / 2, y - uy * long / 2), (x + ux * long / 2, y + uy * long / 2)
    sheet.drawing.line("marks", [tail, (tip[0] - ux * 2, tip[1] - uy * 2)], pen="fall", kind="fall")
    _head(sheet.drawing, tip, way, size=2.6, fill=INK, layer="marks", kind="fall")
    sheet.placer.block(Box((x, y), long, 1.7, angle))
    if angle > 90 or angle <= -90:
        angle -= 180 if angle > 90 else -180
    turn = np.radians(angle)
    up = (float(np.sin(turn)), float(-np.cos(turn)))
    astride = tuple(
        Place((x + up[0] * lift, y + up[1] * lift), "middle", angle)
        for lift in (1.7, -1.7 - BODY * 0.66)
    )
    level = around((x, y), gap=abs(ux) * long / 2 + 1.2, size=BODY)
    sheet.placer.ask(
        Label(
            (words,),
            BODY,
            astride + level,
            "labels",
            rank,
            "fall-label",
            bold=bold,
            must=must,
            target=(x, y),
        )
    )


def _free_spot(sheet: PlanSheet, part: BaseGeometry, *, long: float, angle: float) -> Spot:
    """The free place for an arrow nearest the middle of a part; the middle when none is free."""
    middle = part.centroid if part.contains(part.centroid) else part.representative_point()
    west, north, east, south = part.bounds
    across, down = np.meshgrid(np.arange(west, east, 3.0), np.arange(north, south, 3.0))
    spots = np.column_stack([across.ravel(), down.ravel()])
    spots = spots[shapely.contains_xy(part, spots[:, 0], spots[:, 1])]
    far = np.hypot(spots[:, 0] - middle.x, spots[:, 1] - middle.y)
    tried = [(middle.x, middle.y), *((float(x), float(y)) for x, y in spots[np.argsort(far)])]
    for spot in tried:
        box = Box(spot, long + 1, 3.4, angle)
        if sheet.placer.free(box) and part.contains(shapely.Polygon(box.corners())):
            return spot
    return tried[0]


def fall_sample(drawing: Drawing, x: float, y: float) -> None:
    drawing.line("key", [(x, y), (x + 8, y)], pen="fall")
    drawing.ring("key", [(x + 10, y), (x + 7.4, y - 0.85), (x + 7.4, y + 0.85)], pen=None, fill=INK)


def ring_mark(drawing: Drawing, spot: Spot, *, double: bool = False, kind: str = "ring") -> None:
    """A ring about a place that matters; doubled for the second of a pair."""
    drawing.circle("marks", spot, radius=2.4, pen="ring", kind=kind)
    if double:
        drawing.circle("marks", spot, radius=3.3, pen="mark")
    drawing.circle("marks", spot, radius=0.4, pen=None, fill=INK)


def pad_mark(drawing: Drawing, spot: Spot, *, name: str = "", radius: float = 1.0) -> None:
    x, y = spot
    drawing.circle("marks", spot, radius=radius, pen="mark", fill=PAPER, kind="pad", name=name)
    drawing.line("marks", [(x - radius, y), (x + radius, y)], pen="dimension")
    drawing.line("marks", [(x, y - radius), (x, y + radius)], pen="dimension")


def _unit(a: Spot, b: Spot) -> Spot:
    length = float(np.hypot(b[0] - a[0], b[1] - a[1])) or 1.0
    return ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
