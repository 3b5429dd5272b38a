"""The job made ready for the solver: floor, wishes and old surface as seen along the walls."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations, pairwise, product

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from overslab.newtop.frame import Frame, frame_along_walls, straightened
from overslab.newtop.oldfloor import old_floor_at
from overslab.newtop.paths import Paths
from overslab.newtop.records import Drain, Edge, Outlet, Wishes, Zone
from overslab.newtop.validity import ON_OUTLINE_M
from overslab.oldslab.records import OldSlab

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

# A straightedge rides about a foot on the work at each end (common practice).
RIDE_M = 0.6096
# How far to either side of a break or a pit's edge the old floor is looked at.
_ASIDE_M = 0.01
# Walls are looked at no closer together than this.
_WALL_STEP_M = 0.2


@dataclass(frozen=True, slots=True, eq=False)
class Mouth:
    """An outlet: ``target`` is where water may arrive, ``mouth`` where it leaves."""

    outlet: Outlet
    target: Floats  # (1, 2) or (2, 2)
    mouth: Floats  # (1, 2) or (2, 2)
    wall_run: bool


@dataclass(frozen=True, slots=True, eq=False)
class Places:
    """Where thickness is asked for: n places with the old floor below them, heights from base."""

    at_m: Floats  # (n, 2)
    old_m: Floats  # (n,)
    deviation_m: Floats  # (n,)
    sunk: Bools  # (n,) inside a pit or trench, where greatest thickness is not asked


@dataclass(eq=False)
class Site:
    """Everything the solver needs to know, along the walls, heights counted from ``base_m``."""

    oldslab: OldSlab
    wishes: Wishes
    frame: Frame
    polygon: shapely.Polygon
    base_m: float
    mouths: tuple[Mouth, ...]
    edges: tuple[tuple[Edge, Floats], ...]  # with its line (2, 2)
    drains: tuple[tuple[Drain, Floats], ...]  # with its place (2,)
    zones: tuple[tuple[Zone, BaseGeometry], ...]

    @property
    def pad_limit_m(self) -> float:
        """Greatest distance between pad lines that the straightedge can span."""
        reach = self.wishes.straightedge_m
        return max(reach - RIDE_M, reach / 2)

    @property
    def old_volume_m3(self) -> float:
        """Integral of the old mean surface above base."""
        return (self.oldslab.mean_height_m.mean - self.base_m) * float(self.polygon.area)

    @cached_property
    def paths(self) -> Paths:
        return Paths(self.polygon, [mouth.target for mouth in self.mouths])

    @cached_property
    def places(self) -> Places:
        return _places(self)

    def old_mean_m(self, at_m: Floats) -> Floats:
        """Old mean surface above base at places along the walls."""
        heights: Floats = self.oldslab.surface.height_m(self.frame.to_sheet(at_m)) - self.base_m
        return heights


def prepare(oldslab: OldSlab, wishes: Wishes) -> Site:
    """The site of one job; the wishes have been found free of faults."""
    sheet = oldslab.plan.polygon()
    frame = frame_along_walls(sheet)
    polygon = shapely.remove_repeated_points(frame.shape_to_walls(sheet), 1e-4)
    return Site(
        oldslab=oldslab,
        wishes=wishes,
        frame=frame,
        polygon=polygon,
        base_m=oldslab.mean_height_m.mean,
        mouths=tuple(_mouth(outlet, frame, polygon) for outlet in wishes.outlets),
        edges=tuple((edge, _edge_line(edge, frame, polygon)) for edge in wishes.edges),
        drains=tuple((drain, frame.to_walls(np.array([drain.at]))[0]) for drain in wishes.drains),
        zones=tuple(
            (
                zone,
                frame.shape_to_walls(shapely.Polygon(zone.corners)).intersection(polygon),
            )
            for zone in wishes.zones
        ),
    )


def meeting_corners(site: Site) -> list[tuple[Floats, Floats]]:
    """Corners (2,) where two gathering walls meet, and the way (2,) half between them.

    There water parts: either wall wants it, and along both it must run away from the corner.
    """
    found = []
    walls = [mouth.target for mouth in site.mouths if mouth.wall_run]
    for one, other in combinations(walls, 2):
        for a, b in product(one, other):
            if np.hypot(*(a - b)) < 1e-3:
                ways = [wall.sum(axis=0) - 2 * corner for wall, corner in ((one, a), (other, b))]
                along, across = (way / np.hypot(*way) for way in ways)
                half = along + across
                # Two openings in one wall meet at its ends as well, but in no corner.
                if abs(along[0] * across[1] - along[1] * across[0]) > 1e-3:
                    found.append((a, half / np.hypot(*half)))
    return found


def wall_feet(site: Site, mouth: Mouth) -> list[Floats]:
    """Stretches (2, 2) of a gathering wall's foot, each ending at the opening that it runs to.

    Between two openings in one wall water parts half way, or runs on to the lower one when the
    other can only lie higher.
    """
    if not mouth.wall_run:
        return []
    way = mouth.target[1] - mouth.target[0]

    def shares(line: Floats) -> Floats:
        return np.sort((line - mouth.target[0]) @ way / (way @ way))

    low, high = shares(mouth.mouth)
    ends = [0.0, 1.0]
    wall = shapely.LineString(mouth.target)
    for other in site.mouths:
        here = all(wall.distance(shapely.Point(end)) <= 2e-3 for end in other.mouth)
        if other is mouth or not here or len(other.mouth) == 1:
            continue
        near, far = shares(other.mouth)
        above = _stands_above(site, mouth, other)
        if far <= low:
            ends[0] = max(ends[0], far + above * (low - far))
        elif near >= high:
            ends[1] = min(ends[1], near - above * (near - high))
    length = float(np.hypot(*way))
    return [
        np.array([mouth.target[0] + end * way, mouth.target[0] + share * way])
        for end, share in zip(ends, (low, high), strict=True)
        if abs(share - end) * length >= 1e-3
    ]


def _stands_above(site: Site, mouth: Mouth, other: Mouth) -> float:
    """1 when the opening can only lie above the other, 0 when only below it, else a half."""
    edges = {edge.name: edge for edge, _ in site.edges}
    one, two = edges.get(mouth.outlet.name), edges.get(other.outlet.name)
    if one is None or two is None:
        return 0.5
    if _lowest(one) > _highest(two):
        return 1.0
    return 0.0 if _lowest(two) > _highest(one) else 0.5


def _lowest(edge: Edge) -> float:
    down = edge.move.down_m if edge.move is not None else 0.0
    return -np.inf if edge.lowest_m is None else edge.lowest_m - down


def _highest(edge: Edge) -> float:
    up = edge.move.up_m if edge.move is not None else 0.0
    return np.inf if edge.highest_m is None else edge.highest_m + up


def _snapped(places: Floats, polygon: shapely.Polygon) -> Floats:
    """Places near the outline moved onto it; others left where they are."""
    boundary = polygon.boundary
    moved = places.copy()
    for row, place in enumerate(places):
        point = shapely.Point(place)
        if boundary.distance(point) <= ON_OUTLINE_M:
            foot = boundary.interpolate(boundary.project(point))
            moved[row] = (foot.x, foot.y)
    return moved


def _edge_line(edge: Edge, frame: Frame, polygon: shapely.Polygon) -> Floats:
    return _snapped(frame.to_walls(np.array([edge.a, edge.b])), polygon)


def _mouth(outlet: Outlet, frame: Frame, polygon: shapely.Polygon) -> Mouth:
    line = _snapped(frame.to_walls(np.array(outlet.line)), polygon)
    run = _wall_of(line, polygon) if len(line) == 2 and outlet.gather == "wall" else None
    if run is None:
        return Mouth(outlet=outlet, target=line, mouth=line, wall_run=False)
    return Mouth(outlet=outlet, target=run, mouth=line, wall_run=True)


def _wall_of(line: Floats, polygon: shapely.Polygon) -> Floats | None:
    """The straight run of wall that holds ``line``; None for a slot within the floor."""
    simple = straightened(polygon)
    for ring in (simple.exterior, *simple.interiors):
        corners = np.asarray(ring.coords)
        for a, b in pairwise(corners):
            wall = shapely.LineString([a, b])
            if all(wall.distance(shapely.Point(place)) <= 2e-3 for place in line):
                return np.array([a, b])
    return None


def _places(site: Site) -> Places:
    """Shots, walls, drains, both sides of breaks and pit edges, and every lattice point."""
    oldslab, frame, polygon = site.oldslab, site.frame, site.polygon
    lattice = frame.to_walls(oldslab.lattice.points_m)
    named: list[Floats] = [frame.to_walls(oldslab.shots_xy_m)]
    named += [
        np.asarray(shapely.segmentize(ring, max(oldslab.lattice.step_m, _WALL_STEP_M)).coords)[:-1]
        for ring in (polygon.exterior, *polygon.interiors)
    ]
    named += [mouth.mouth for mouth in site.mouths]
    sunk: BaseGeometry = shapely.Polygon()
    for line in oldslab.plan.breaks:
        named.append(_both_sides(line.line, frame, oldslab.lattice.step_m))
    for feature in oldslab.plan.features:
        closed = (*feature.corners, feature.corners[0])
        named.append(_both_sides(closed, frame, oldslab.lattice.step_m))
        if feature.kind in ("pit", "trench"):
            shape = frame.shape_to_walls(shapely.Polygon(feature.corners))
            sunk = sunk.union(shape.buffer(_ASIDE_M / 2))
    extra = np.concatenate(named)
    extra = extra[shapely.intersects_xy(polygon.buffer(1e-6), extra[:, 0], extra[:, 1])]
    on_sheet = frame.to_sheet(extra)
    inside = oldslab.lattice.inside
    at_m = np.concatenate([extra, lattice])
    old_m, deviation_m = (
        np.concatenate([told, sheet[inside]])
        for told, sheet in zip(
            old_floor_at(oldslab, on_sheet),
            (oldslab.heights_m, oldslab.deviations_m),
            strict=True,
        )
    )
    shapely.prepare(sunk)
    return Places(
        at_m=at_m,
        old_m=old_m - site.base_m,
        deviation_m=deviation_m,
        sunk=np.asarray(shapely.intersects_xy(sunk, at_m[:, 0], at_m[:, 1]), dtype=bool),
    )


def _both_sides(line: Sequence[tuple[float, float]], frame: Frame, step_m: float) -> Floats:
    walked = shapely.segmentize(shapely.LineString(line), max(step_m, 4 * _ASIDE_M))
    corners = frame.to_walls(np.asarray(walked.coords))
    along = np.diff(corners, axis=0)
    across = np.column_stack([-along[:, 1], along[:, 0]])
    across *= _ASIDE_M / np.maximum(np.hypot(across[:, 0], across[:, 1]), 1e-12)[:, None]
    ends = np.concatenate([corners[:-1], corners[1:]])
    aside = np.concatenate([across, across])
    return np.concatenate([ends + aside, ends - aside])
