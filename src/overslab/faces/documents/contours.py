"""Contours on a plan: steps a person counts in, bands, labels on the straightest stretch."""

from __future__ import annotations

from itertools import pairwise
from math import atan2, ceil, degrees, floor
from typing import cast

import numpy as np
import shapely
from contourpy import FillType, contour_generator
from numpy.typing import NDArray
from scipy.ndimage import distance_transform_edt
from shapely.geometry.base import BaseGeometry

from overslab.faces.documents.drawing import Spot
from overslab.faces.documents.labels import Place
from overslab.ground.lattice import Lattice
from overslab.ground.units import System, read_length_m

Floats = NDArray[np.float64]

_STEPS: dict[System, tuple[str, ...]] = {
    "feet-inches": ("1/8 in", "1/4 in", "1/2 in", "1 in", "2 in", "3 in", "6 in", "1 ft"),
    "tenths": ("0.01 ft", "0.02 ft", "0.05 ft", "0.1 ft", "0.2 ft", "0.5 ft", "1 ft"),
    "metric": ("2 mm", "5 mm", "10 mm", "20 mm", "25 mm", "50 mm", "100 mm", "200 mm"),
}


def step_m(values: Floats, *, most: int, system: System) -> float:
    """The finest step of the trade that gives no more than ``most`` lines."""
    known = values[np.isfinite(values)]
    spread = float(known.max() - known.min()) if known.size else 0.0
    steps = [read_length_m(text, system=system) for text in _STEPS[system]]
    return next((step for step in steps if spread / step <= most), max(steps[-1], spread / most))


def levels_m(values: Floats, *, step: float) -> list[float]:
    """Whole steps inside the range of the values."""
    known = values[np.isfinite(values)]
    if not known.size:
        return []
    first, last = ceil(known.min() / step - 1e-9), floor(known.max() / step + 1e-9)
    return [k * step for k in range(first, last + 1)]


def band(
    lattice: Lattice, values: Floats, *, low: float, high: float, floor: BaseGeometry
) -> BaseGeometry:
    """The part of the floor, in plan metres, where the values lie between two levels."""
    x_m, y_m, sheet = _carried_out(lattice, values)
    generator = contour_generator(x_m, y_m, sheet, fill_type=FillType.OuterOffset)
    points, offsets = cast(tuple[list[Floats], list[Floats]], generator.filled(low, high))
    shapes = []
    for ring_points, ring_offsets in zip(points, offsets, strict=True):
        rings = [ring_points[start:stop] for start, stop in pairwise(ring_offsets)]
        shapes.append(shapely.make_valid(shapely.Polygon(rings[0], rings[1:])))
    cut = shapely.intersection(shapely.union_all(shapes), floor)
    return shapely.MultiPolygon(
        [part for part in shapely.get_parts(cut) if part.geom_type == "Polygon"]
    )


def _carried_out(lattice: Lattice, values: Floats) -> tuple[Floats, Floats, Floats]:
    """The sheet with one more ring of cells and no gaps, each filled by its nearest known value, so
    that bands reach the edge of the floor and are cut there."""
    sheet = np.pad(np.asarray(values, dtype=float), 1, constant_values=np.nan)
    gone = ~np.isfinite(sheet)
    if gone.all():
        sheet = np.zeros_like(sheet)
    elif gone.any():
        nearest = distance_transform_edt(gone, return_distances=False, return_indices=True)
        sheet = sheet[tuple(nearest)]
    x_m, y_m = (
        np.concatenate([[line[0] - lattice.step_m], line, [line[-1] + lattice.step_m]])
        for line in (lattice.x_m, lattice.y_m)
    )
    return x_m, y_m, sheet


def straight_places(
    line: list[Spot], *, length: float, drop: float, most: int = 8
) -> tuple[Place, ...]:
    """Where on a sheet line a label of ``length`` mm can lie, the straightest stretch first.

    ``drop`` is how far below the line the baseline lies, so that the letters stand astride it.
    """
    path = shapely.LineString(line)
    if path.length < length * 1.4:
        return ()
    starts = np.arange(1.0, path.length - length - 1.0, max(1.0, path.length / 60))
    ends = shapely.get_coordinates(path.interpolate(np.concatenate([starts, starts + length])))
    a, b = ends[: len(starts)], ends[len(starts) :]
    chord = np.hypot(*(b - a).T)
    # Straightness first; among equally straight stretches the one nearest the middle of the line.
    middle = np.abs(starts + length / 2 - path.length / 2) / path.length
    order = np.argsort(-np.round(chord / length, 2) + 0.05 * middle, kind="stable")
    places: list[Place] = []
    for k in order:
        if len(places) == most or chord[k] < 0.85 * length:
            break
        spot = (a[k] + b[k]) / 2
        angle = degrees(atan2(b[k][1] - a[k][1], b[k][0] - a[k][0]))
        if angle > 90 or angle <= -90:
            angle -= 180 if angle > 90 else -180
        turn = np.radians(angle)
        at = spot + drop * np.array([-np.sin(turn), np.cos(turn)])
        if any(np.hypot(at[0] - p.at[0], at[1] - p.at[1]) < length / 2 for p in places):
            continue
        places.append(Place((float(at[0]), float(at[1])), "middle", float(angle)))
    return tuple(places)
