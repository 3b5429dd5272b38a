"""Slopes of the finished top looked at again: falls on the way out, bends, wall runs."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray

from overslab.ground.lattice import lattice_over
from overslab.handbook.checks import Check
from overslab.newtop import words
from overslab.newtop.lookagain import CLEAR_M, SOURCE, Look
from overslab.newtop.records import Outlet, Point, Zone
from overslab.newtop.wayout import WayOut
from overslab.newtop.wetsheet import outlet_shape, wall_run

Floats = NDArray[np.float64]
Places = NDArray[np.intp]

_ALONG_M = 0.05  # spacing of places along a wall
_BEND_STEP_M = 0.12
_BEND_PLACES = 6_000
_BEND_PAIRS = 400
_HALVINGS = 6
_BESIDE_M = 1e-6  # nearer to the opening than this is the opening


def falls(look: Look, *, folds: tuple[tuple[Point, Point], ...] = ()) -> list[Check]:
    """Fall along the shortest way out, fall across it, and the falls that zones ask.

    Where water may take more than one way (see ``WayOut``) the kinder counts. On a fold itself a
    difference of heights mixes the two planes, so no slope is taken there.
    """
    wishes = look.wishes
    clear = look.polygon.buffer(-CLEAR_M / 2, join_style="mitre")
    at_m = look.places_m[look.within(clear, look.places_m)]
    # A fold where water parts may lie up to one span of the straightedge off the half-way line.
    toward = _bearings(
        look.polygon, wishes.outlets, at_m.tobytes(), either_m=2 * wishes.straightedge_m
    )
    told = np.isfinite(toward[..., 0]).any(axis=1)
    if folds:
        lines = shapely.union_all([shapely.LineString(fold) for fold in folds])
        told &= ~np.asarray(shapely.dwithin(lines, shapely.points(at_m), CLEAR_M))
    at_m, toward = at_m[told], toward[told]
    if not len(at_m):
        return []
    rise = look.rise(at_m)
    along = -np.einsum("nk,nck->nc", rise, toward)
    across = abs(rise[:, :1] * toward[..., 1] - rise[:, 1:] * toward[..., 0])
    best, gentlest = np.nanmax(along, axis=1), np.nanmin(along, axis=1)
    sideways = np.nanmin(across, axis=1)
    general_least, general_greatest = (np.ones(len(at_m), dtype=bool) for _ in range(2))
    checks: list[Check] = []
    for zone, shape in look.zones:
        here = look.within(shape, at_m)
        if replaces_least_fall(zone, least_fall=wishes.least_fall):
            general_least &= ~here
        if zone.least_fall is not None and zone.least_fall >= wishes.greatest_fall:
            general_greatest &= ~here
        if zone.least_fall is not None:
            checks += look.worst(
                f"{zone.name} least fall", quantity="fall", found=best, comparison="at least",
                allowed=zone.least_fall, at_m=at_m, among=here,
            )  # fmt: skip
        if zone.greatest_fall is not None:
            checks += look.worst(
                f"{zone.name} greatest fall", quantity="fall", found=np.hypot(*rise.T),
                comparison="at most", allowed=zone.greatest_fall, at_m=at_m, among=here,
            )  # fmt: skip
    general = look.worst(
        words.LEAST_FALL, quantity="fall", found=best, comparison="at least",
        allowed=wishes.least_fall, at_m=at_m, among=general_least,
    )  # fmt: skip
    general += look.worst(
        words.GREATEST_FALL, quantity="fall", found=gentlest, comparison="at most",
        allowed=wishes.greatest_fall, at_m=at_m, among=general_greatest,
    )  # fmt: skip
    general += look.worst(
        words.CROSS_FALL, quantity="fall", found=sideways, comparison="at most",
        allowed=wishes.cross_fall, at_m=at_m,
    )  # fmt: skip
    return general + checks


@lru_cache(maxsize=2)
def _bearings(
    polygon: shapely.Polygon, outlets: tuple[Outlet, ...], places: bytes, *, either_m: float
) -> Floats:
    """Ways out from the places, kept for the next kind of top over the same floor."""
    ways = WayOut(polygon, outlets, either_m=either_m)
    return ways.bearings(np.frombuffer(places).reshape(-1, 2))


def replaces_least_fall(zone: Zone, *, least_fall: float) -> bool:
    """A zone has its own least fall, or is to stay more level than the floor's least fall."""
    return zone.least_fall is not None or (
        zone.greatest_fall is not None and zone.greatest_fall < least_fall
    )


def bend(look: Look, *, folds: tuple[tuple[Point, Point], ...]) -> list[Check]:
    """Greatest sudden change of slope, except across ``folds``.

    Slopes are compared between neighbouring places; where they differ most the change is hunted
    down by halving to a few millimetres, so that a gentle twist between pad lines does not count.
    """
    places, pairs = _neighbours(look.polygon)
    if not len(pairs):
        return []
    rise = look.rise(places)
    change = np.hypot(*(rise[pairs[:, 1]] - rise[pairs[:, 0]]).T)
    largest = pairs[np.argsort(change)[::-1][:_BEND_PAIRS]]
    start, end = places[largest[:, 0]], places[largest[:, 1]]
    low, high = rise[largest[:, 0]], rise[largest[:, 1]]
    for _ in range(_HALVINGS):
        middle = (start + end) / 2
        rise = look.rise(middle)
        first = np.hypot(*(rise - low).T) >= np.hypot(*(high - rise).T)
        pick = first[:, None]
        start, end = np.where(pick, start, middle), np.where(pick, middle, end)
        low, high = np.where(pick, low, rise), np.where(pick, rise, high)
    # Step off the fold to both sides, so that no slope is taken across it.
    off = end - start
    off *= 0.003 / np.hypot(off[:, 0], off[:, 1])[:, None]
    change = np.hypot(*(look.rise(end + off) - look.rise(start - off)).T)
    at_m = (start + end) / 2
    among = np.ones(len(at_m), dtype=bool)
    if folds:
        lines = shapely.union_all([shapely.LineString(fold) for fold in folds])
        among = ~np.asarray(shapely.dwithin(lines, shapely.points(at_m), 2 * CLEAR_M))
        if not among.any():
            change, among = np.zeros(len(at_m)), ~among
    return look.worst(
        words.BEND, quantity="fall", found=change, comparison="at most",
        allowed=look.wishes.bend, at_m=at_m, among=among,
    )  # fmt: skip


@lru_cache(maxsize=2)
def _neighbours(polygon: shapely.Polygon) -> tuple[Floats, Places]:
    """Places on a lattice, and pairs of them (p, 2) side by side with only floor between."""
    clear = polygon.buffer(-1.5 * CLEAR_M, join_style="mitre")
    spacing = max(_BEND_STEP_M, float(np.sqrt(polygon.area / _BEND_PLACES)))
    lattice = lattice_over(clear, step_m=spacing)
    number = np.full(lattice.inside.shape, -1, dtype=np.intp)
    number[lattice.inside] = np.arange(int(lattice.inside.sum()))
    beside = np.stack([number[:, :-1].ravel(), number[:, 1:].ravel()], axis=1)
    above = np.stack([number[:-1].ravel(), number[1:].ravel()], axis=1)
    pairs = np.concatenate([beside, above])
    pairs = pairs[(pairs >= 0).all(axis=1)]
    places = lattice.points_m
    shapely.prepare(clear)
    return places, pairs[shapely.covers(clear, shapely.linestrings(places[pairs]))]


def wall_run_falls(look: Look, outlet: Outlet) -> list[Check]:
    """Fall along the foot of the wall toward the opening that it gathers water to.

    Where the foot has somewhere else to run to (another opening in the wall, a corner where another
    gathering wall begins), only the part up to its highest place runs to this one.
    """
    run = wall_run(outlet, polygon=look.polygon) if outlet.gather == "wall" else None
    if run is None:
        return []
    name = f"wall run to {outlet.name}"
    opening = outlet_shape(outlet, polygon=look.polygon)
    line = shapely.segmentize(run, _ALONG_M)
    at_m = look.onto_floor(shapely.get_coordinates(line))
    away = np.asarray(shapely.distance(shapely.points(at_m), opening))
    top_m = look.surface.height_m(at_m)
    far, near = np.maximum(away[:-1], away[1:]), np.minimum(away[:-1], away[1:])
    outer_m = np.where(away[:-1] > away[1:], top_m[:-1], top_m[1:])
    inner_m = np.where(away[:-1] > away[1:], top_m[1:], top_m[:-1])
    beside = (near > _BESIDE_M) & _own_part(look, outlet, run, at_m=at_m, top_m=top_m)
    if not beside.any():
        return [
            Check(
                name=name, quantity="fall", found=0.0, comparison="at least", allowed=0.0,
                source=SOURCE, slack=look.slope_slack,
                where=f"{outlet.name} takes all of it",
            )
        ]  # fmt: skip
    fall = np.divide(outer_m - inner_m, far - near, out=np.zeros(len(far)), where=far > near)
    return look.worst(
        name, quantity="fall", found=fall, comparison="at least", allowed=0.0,
        at_m=(at_m[:-1] + at_m[1:]) / 2, among=beside,
    )  # fmt: skip


def _own_part(
    look: Look, outlet: Outlet, run: shapely.LineString, *, at_m: Floats, top_m: Floats
) -> NDArray[np.bool_]:
    """Steps (n - 1,) along the foot of the wall whose water runs to this opening."""
    along = np.asarray(shapely.line_locate_point(run, shapely.points(at_m)))
    middle = (along[1:] + along[:-1]) / 2

    def between(shape: shapely.Geometry) -> tuple[float, float]:
        ends = shapely.line_locate_point(run, shapely.points(shapely.get_coordinates(shape)))
        return float(ends.min()), float(ends.max())

    low, high = between(outlet_shape(outlet, polygon=look.polygon))
    takers: list[tuple[float, float]] = []
    for other in look.wishes.outlets:
        if other is outlet:
            continue
        opening = outlet_shape(other, polygon=look.polygon)
        if run.distance(opening) < _ALONG_M and run.buffer(_ALONG_M).covers(opening):
            takers.append(between(opening))
            continue
        wall = wall_run(other, polygon=look.polygon) if other.gather == "wall" else None
        if wall is not None and run.distance(wall) < _ALONG_M:
            takers.append(between(run.intersection(wall.buffer(_ALONG_M))))
    own = np.ones(len(middle), dtype=bool)
    before = max((taker[1] for taker in takers if taker[1] <= low), default=None)
    after = min((taker[0] for taker in takers if taker[0] >= high), default=None)

    def highest(start: float, stop: float) -> float:
        gap = np.flatnonzero((along >= start - _BESIDE_M) & (along <= stop + _BESIDE_M))
        return float(along[gap[np.argmax(top_m[gap])]]) if len(gap) else start

    if before is not None:
        own &= middle > highest(before, low)
    if after is not None:
        own &= middle < highest(high, after)
    return own
