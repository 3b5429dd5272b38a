"""The floor cut into small pieces, each with its area and its own panel and strip.

All sums of the takeoff run over the same pieces, so that strips and panels add up to the whole.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from overslab.ground.plan import clipped_cells

Floats = NDArray[np.float64]
Places = NDArray[np.intp]

# Pieces smaller than a hand are seams between drawn lines and no part of their own.
_SEAM_M2 = 0.01
_EDGE_M = 0.002  # places along edges are looked at this far inside
_EDGE_STEP_M = 0.3


@dataclass(frozen=True, slots=True, eq=False)
class Pieces:
    """n pieces of floor. Sums of ``areas_m2`` times a value at ``at_m`` are exact for planes."""

    at_m: Floats  # (n, 2) centroids
    areas_m2: Floats  # (n,)
    panel: Places  # (n,) which panel, -1 for a seam between panels
    strip: Places  # (n,) which strip, -1 for floor outside every strip
    edge_m: Floats  # (e, 2) places along edges, where thickness may be least or greatest
    edge_panel: Places
    edge_strip: Places


def cut_pieces(
    floor: shapely.Polygon,
    *,
    panels: Sequence[BaseGeometry],
    strips: Sequence[BaseGeometry],
    step_m: float,
) -> Pieces:
    """Cut ``floor`` by panels, strips and a lattice of ``step_m``.

    Where shapes overlap by a hair the first one keeps the floor.
    """
    at, areas, edges = [], [], []
    marks: list[tuple[int, int, int, int]] = []  # pieces, edge places, panel, strip
    for panel, of_panel in _shared_out(floor, panels):
        for strip, part in _shared_out(of_panel, strips):
            for polygon in _polygons(part):
                here, area = clipped_cells(polygon, step_m=step_m)
                here = _onto(polygon, here)
                edge = _edge_places(polygon)
                at.append(here)
                areas.append(area)
                edges.append(edge)
                marks.append((len(here), len(edge), panel, strip))
    counts, edge_counts, panel_of, strip_of = np.asarray(marks, dtype=np.intp).T
    return Pieces(
        at_m=np.concatenate(at),
        areas_m2=np.concatenate(areas),
        panel=np.repeat(panel_of, counts),
        strip=np.repeat(strip_of, counts),
        edge_m=np.concatenate(edges),
        edge_panel=np.repeat(panel_of, edge_counts),
        edge_strip=np.repeat(strip_of, edge_counts),
    )


def _shared_out(
    floor: BaseGeometry, shapes: Sequence[BaseGeometry]
) -> list[tuple[int, BaseGeometry]]:
    """The floor shared out among the shapes; what none covers comes last under -1."""
    shares: list[tuple[int, BaseGeometry]] = []
    left = floor
    for number, shape in enumerate(shapes):
        shares.append((number, left.intersection(shape)))
        left = left.difference(shape)
    shares.append((-1, left))
    return [(number, share) for number, share in shares if share.area > 0.0]


def _polygons(shape: BaseGeometry) -> list[shapely.Polygon]:
    parts = shapely.get_parts(shape)
    return [part for part in parts if isinstance(part, shapely.Polygon) and part.area > 0.0]


def _onto(polygon: shapely.Polygon, places_m: Floats) -> Floats:
    """Centroids of cells cut by an inside corner may fall off the polygon: put them on its edge."""
    shapely.prepare(polygon)
    off = ~np.asarray(shapely.intersects_xy(polygon, places_m[:, 0], places_m[:, 1]))
    if off.any():
        # A little inside, so that the place belongs to this polygon and not to its neighbour.
        inner = polygon.buffer(-_EDGE_M)
        lines = shapely.shortest_line(
            shapely.points(places_m[off]), polygon if inner.is_empty else inner
        )
        places_m = places_m.copy()
        places_m[off] = shapely.get_coordinates(lines)[1::2]
    return places_m


def _edge_places(polygon: shapely.Polygon) -> Floats:
    inner = polygon.buffer(-_EDGE_M, join_style="mitre")
    return shapely.get_coordinates(shapely.segmentize(inner.boundary, _EDGE_STEP_M))


def is_seam(area_m2: float) -> bool:
    """Whether floor outside every strip or panel is only the seam between drawn lines."""
    return area_m2 < _SEAM_M2
