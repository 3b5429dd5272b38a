"""Hatching by ruled lines, clipped to the shape: it copies and prints in black and white."""

from __future__ import annotations

from math import cos, radians, sin

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from overslab.faces.documents.drawing import Drawing, Path, Spot


def hatch_lines(shape: BaseGeometry, *, spacing: float, angle: float) -> list[tuple[Spot, ...]]:
    """Lines ``spacing`` mm apart at ``angle`` degrees (rising to the right), inside a sheet shape.

    The lines of one spacing and angle lie on one ruling of the whole sheet, so that shapes which
    touch are hatched as one.
    """
    if shape.is_empty:
        return []
    turn = radians(-angle)
    along, across = np.array([cos(turn), sin(turn)]), np.array([-sin(turn), cos(turn)])
    west, north, east, south = shape.bounds
    corners = np.array([[west, north], [east, north], [east, south], [west, south]])
    low, high = (corners @ across).min(), (corners @ across).max()
    start, end = (corners @ along).min() - 1, (corners @ along).max() + 1
    first = int(np.ceil(low / spacing))
    rules = [
        shapely.LineString(
            [across * (k * spacing) + along * start, across * (k * spacing) + along * end]
        )
        for k in range(first, int(np.floor(high / spacing)) + 1)
    ]
    if not rules:
        return []
    cut = shapely.intersection(shapely.MultiLineString(rules), shape)
    return [
        tuple((float(x), float(y)) for x, y in part.coords)
        for part in shapely.get_parts(cut)
        if part.geom_type == "LineString" and part.length > 0.05
    ]


def hatch(
    drawing: Drawing,
    layer: str,
    shape: BaseGeometry,
    *,
    spacing: float,
    angle: float,
    pen: str = "hatch",
    kind: str = "hatch",
) -> None:
    """Rule a shape on the sheet."""
    lines = hatch_lines(shape, spacing=spacing, angle=angle)
    if lines:
        drawing.put(layer, Path(tuple(lines), pen, kind=kind))


def rings_of(shape: BaseGeometry) -> list[tuple[tuple[Spot, ...], ...]]:
    """The rings of each polygon in a shape: outer first, then holes."""
    return [
        tuple(
            tuple((float(x), float(y)) for x, y in ring.coords[:-1])
            for ring in (part.exterior, *part.interiors)
        )
        for part in shapely.get_parts(shape)
        if part.geom_type == "Polygon"
    ]
