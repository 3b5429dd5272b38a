"""The independent second answer: flat triangles between the shots, break lines kept.

Every panel is triangulated for itself, so that each break is an edge of triangles on both of its
sides and no triangle lies across it. Corners and edges of a panel that were not shot get their
height from the plane through the nearest shots of the same panel, weighted by inverse squared
distance (Shepard's weights, local plane). Nothing here knows the Gaussian process.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from pythoncdt import (
    Edge,
    IntersectingConstraintEdges,
    Triangulation,
    V2d,
    VertexInsertionOrder,
)

from overslab.oldslab.panels import Piece
from overslab.oldslab.process import Data

Floats = NDArray[np.float64]
Places = NDArray[np.intp]

_NEIGHBOURS = 8
_FEWEST = 5  # with fewer shots on a panel nothing is said of how it bends
_UNDER_ROD_M = 0.01  # keeps the weight of a shot at the very place finite
_TELLS = 0.25  # shots tell a tilt that is carried at most four times as far as they spread
_ON_EDGE_M = 0.005  # a shot this near the edge stands on it


class Triangles:
    """Flat triangles over one polygon, every side of it kept as edges of triangles.

    ``vertices_m`` (v, 2) are the shots first, then the corners and edge points that were not shot;
    ``triangles`` (t, 3) index them; ``edges`` (e, 2) are the sides of the polygon as given in.
    """

    def __init__(self, polygon: shapely.Polygon, shots_m: Floats, *, spacing_m: float) -> None:
        on_edge, rings = _edge_points(polygon, shots_m, spacing_m=spacing_m)
        self.vertices_m = shots_m.copy()
        unshot: list[tuple[float, float]] = []
        edges: list[tuple[int, int]] = []
        for ring in rings:
            numbers = []
            for x, y, shot in ring:
                if shot is None:
                    numbers.append(len(shots_m) + len(unshot))
                    unshot.append((x, y))
                else:
                    numbers.append(shot)
                    self.vertices_m[shot] = x, y
            edges += zip(numbers, [*numbers[1:], numbers[0]], strict=True)
        self.vertices_m = np.vstack([self.vertices_m, np.array(unshot).reshape(-1, 2)])
        self.edges = np.array(edges, dtype=np.intp)
        used = np.ones(len(self.vertices_m), dtype=bool)
        inner = np.setdiff1d(np.arange(len(shots_m)), on_edge)
        shapely.prepare(polygon)
        used[inner] = shapely.contains_xy(polygon, shots_m[inner])
        self.triangles = self._joined(used)
        corners = self.vertices_m[self.triangles]
        one, two = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
        self.areas_m2 = np.abs(one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0]) / 2

    def _joined(self, used: NDArray[np.bool_]) -> Places:
        given = np.flatnonzero(used)
        number = np.cumsum(used) - 1
        made = Triangulation(
            VertexInsertionOrder.AUTO, IntersectingConstraintEdges.NOT_ALLOWED, 0.0
        )
        made.insert_vertices([V2d(x, y) for x, y in self.vertices_m[given]])
        made.insert_edges([Edge(int(a), int(b)) for a, b in number[self.edges]])
        made.erase_outer_triangles_and_holes()
        found = [triangle.vertices for triangle in made.triangles]
        return given[np.array(found, dtype=np.intp).reshape(-1, 3)]

    @property
    def vertex_areas_m2(self) -> Floats:
        """(v,) weights whose sum of products with the heights is the integral."""
        shares = np.zeros(len(self.vertices_m))
        np.add.at(shares, self.triangles, self.areas_m2[:, None] / 3)
        return shares


@dataclass(frozen=True, slots=True, eq=False)
class SecondAnswer:
    """The mean height as a weighted sum of the shots; the weights (n,) add up to one.

    ``departure_m`` is the middle one of the shots' departures from the plane through their
    neighbours, averaged over the panels by area. It is near zero on a floor that bends up as much
    as down, and large on one that is dished all one way, which flat triangles cut across.
    """

    mean_m: float
    weights: Floats
    departure_m: float


def second_answer(data: Data, pieces: Sequence[Piece]) -> SecondAnswer:
    """Mean height of the floor by triangles, and the weight every place of ``data`` had in it."""
    weights = np.zeros(len(data.height_m))
    off = data.height_m - data.base_m
    bent = 0.0
    for number, here in data.panels_of(data.panel):
        polygon, shots_m = pieces[number].polygon, data.xy_m[here]
        # As many points on the edge as the shots are dense inside.
        spacing_m = float(np.sqrt(polygon.area / len(shots_m)))
        sheet = Triangles(polygon, shots_m, spacing_m=spacing_m)
        shares = sheet.vertex_areas_m2
        unshot = sheet.vertices_m[len(here) :]
        weights[here] = shares[: len(here)]
        weights[here] += shares[len(here) :] @ plane_weights(shots_m, unshot)
        if len(here) >= _FEWEST:
            bent += polygon.area * float(np.median(_departures(shots_m, off[here])))
    area_m2 = weights.sum()
    return SecondAnswer(
        mean_m=data.base_m + float(weights @ off / area_m2),
        weights=weights / area_m2,
        departure_m=float(bent / area_m2),
    )


def _departures(shots_m: Floats, height_m: Floats) -> Floats:
    """Height of each shot above the plane through its neighbours, itself left out."""
    found = np.empty(len(shots_m))
    for shot in range(len(shots_m)):
        others = np.arange(len(shots_m)) != shot
        weights = plane_weights(shots_m[others], shots_m[shot : shot + 1])[0]
        found[shot] = height_m[shot] - weights @ height_m[others]
    return found


def plane_weights(shots_m: Floats, at_m: Floats) -> Floats:
    """(m, n) weights of the shots in the height at m places by the plane through the nearest.

    Each row adds up to one. Where the shots do not tell a tilt (one shot, a row of shots) that
    tilt is level. A floor that is a plane comes out exactly.
    """
    weights = np.zeros((len(at_m), len(shots_m)))
    for row, place in enumerate(at_m):
        squared = ((shots_m - place) ** 2).sum(axis=1)
        near = np.argsort(squared, kind="stable")[:_NEIGHBOURS]
        pull = 1 / (squared[near] + _UNDER_ROD_M**2)
        pull /= pull.sum()
        middle = pull @ shots_m[near]
        off = shots_m[near] - middle
        spread, ways = np.linalg.eigh((off.T * pull) @ off)
        reach = ways.T @ (place - middle)
        told = np.sqrt(np.maximum(spread, 0.0)) > np.maximum(_TELLS * np.abs(reach), 1e-9)
        slope = np.divide(reach, spread, out=np.zeros(2), where=told)
        weights[row, near] = pull * (1 + off @ ways @ slope)
    return weights


Spot = tuple[float, float, int | None]


def _edge_points(
    polygon: shapely.Polygon, shots_m: Floats, *, spacing_m: float
) -> tuple[Places, list[list[Spot]]]:
    """Rings of the polygon as (x, y, shot or None), closed by their first point; shots on them."""
    rings: list[list[Spot]] = []
    taken: set[int] = set()
    points = [shapely.Point(place) for place in shots_m]
    for ring in (polygon.exterior, *polygon.interiors):
        near = [
            int(shot)
            for shot in np.flatnonzero(shapely.distance(ring, points) <= _ON_EDGE_M)
            if int(shot) not in taken
        ]
        corners = np.asarray(ring.coords)
        along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(corners, axis=0).T))])
        # Corners first: a shot at a corner is the corner.
        marks: list[tuple[float, float, float, int | None]] = [
            (float(at), float(x), float(y), None)
            for at, (x, y) in zip(along[:-1], corners[:-1], strict=True)
        ]
        for shot in near:
            at = float(ring.project(points[shot]))
            place = ring.interpolate(at)
            gaps = [min(abs(at - mark[0]), along[-1] - abs(at - mark[0])) for mark in marks]
            nearest = int(np.argmin(gaps))
            if gaps[nearest] > _ON_EDGE_M:
                marks.append((at, place.x, place.y, shot))
            elif marks[nearest][3] is None:
                marks[nearest] = (*marks[nearest][:3], shot)
            else:
                continue
            taken.add(shot)
        marks.sort(key=lambda mark: mark[0])
        spots: list[Spot] = []
        for mark, after in zip(marks, [*marks[1:], None], strict=True):
            start, x, y, given = mark
            spots.append((x, y, given))
            stop = after[0] if after else float(along[-1])
            pieces = max(1, round((stop - start) / spacing_m))
            for step in range(1, pieces):
                place = ring.interpolate(start + (stop - start) * step / pieces)
                spots.append((place.x, place.y, None))
        rings.append(spots)
    return np.array(sorted(taken), dtype=np.intp), rings
