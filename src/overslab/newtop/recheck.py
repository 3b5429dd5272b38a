"""Every named rule looked at again on the finished, marked top, by code that shares no model.

Heights are read off the top as built, slopes are differences of those heights over two millimetres,
and the way to the outlet is found on a lattice (``wayout``). Slack is half a mark for heights and
one mark over the straightedge for slopes: what rounding to marks can do. It stands in every check.
"""

from __future__ import annotations

import numpy as np
import shapely

from overslab.handbook.checks import Check
from overslab.newtop import words
from overslab.newtop.lookagain import CLEAR_M, SOURCE, Look
from overslab.newtop.oldfloor import old_floor_at
from overslab.newtop.records import Drain, Edge, Point, TopSurface, Wishes
from overslab.newtop.slopecheck import bend, falls, wall_run_falls
from overslab.oldslab.records import OldSlab

_ALONG_M = 0.05  # spacing of places along a door


def recheck(
    surface: TopSurface,
    *,
    oldslab: OldSlab,
    wishes: Wishes,
    moved: tuple[str, ...] = (),
    folds: tuple[tuple[Point, Point], ...] = (),
) -> tuple[Check, ...]:
    """One check for each named rule, at the worst place found.

    ``moved`` names touches that are moved: they may be met anywhere inside their range and the
    move. ``folds`` are ridges and valleys of the design: strips end there, so no bend is asked
    across them.

    A zone's own least thickness and least fall stand in place of the floor's within it; its
    greatest fall, in any direction, is asked as well. A zone that is to stay more level than the
    floor's least fall is let off the least fall, and one that is to fall more than the floor's
    greatest off that.
    """
    look = Look(surface, oldslab=oldslab, wishes=wishes)
    checks = _thickness(look) + falls(look, folds=folds) + bend(look, folds=folds) + _levels(look)
    for edge in wishes.edges:
        checks += _edge(look, edge, moved=edge.name in moved)
    for drain in wishes.drains:
        if drain.plan != "bury":
            checks.append(_drain(look, drain, moved=drain.name in moved))
    for outlet in wishes.outlets:
        checks += wall_run_falls(look, outlet)
    return tuple(checks)


def _thickness(look: Look) -> list[Check]:
    """Thickness everywhere against the least asked there and the old surface's own error."""
    wishes, at_m = look.wishes, look.places_m
    old_m, deviation_m = old_floor_at(look.oldslab, at_m)
    thick_m = look.surface.height_m(at_m) - old_m
    spare_m = wishes.surety * deviation_m
    general = np.ones(len(at_m), dtype=bool)
    in_zones: list[Check] = []
    for zone, shape in look.zones:
        if zone.least_thickness_m is not None:
            here = look.within(shape, at_m)
            general &= ~here
            in_zones += look.worst(
                f"{zone.name} least thickness", quantity="thickness_m", found=thick_m,
                comparison="at least", allowed=zone.least_thickness_m + spare_m, at_m=at_m,
                among=here,
            )  # fmt: skip
    checks = look.worst(
        words.LEAST_THICKNESS, quantity="thickness_m", found=thick_m, comparison="at least",
        allowed=wishes.least_thickness_m + spare_m, at_m=at_m, among=general,
    )  # fmt: skip
    if wishes.greatest_thickness_m is not None:
        # A pit or a trench is there to be filled, however deep.
        level = np.ones(len(at_m), dtype=bool)
        for feature in look.oldslab.plan.features:
            if feature.kind in ("pit", "trench"):
                level &= ~look.within(shapely.Polygon(feature.corners).buffer(CLEAR_M / 2), at_m)
        checks += look.worst(
            words.GREATEST_THICKNESS, quantity="thickness_m", found=thick_m, comparison="at most",
            allowed=wishes.greatest_thickness_m, at_m=at_m, among=level,
        )  # fmt: skip
    return checks + in_zones


def _levels(look: Look) -> list[Check]:
    """Highest levels, of the floor and of zones."""
    at_m = look.places_m
    top_m = look.surface.height_m(at_m)
    checks: list[Check] = []
    if look.wishes.highest_m is not None:
        checks += look.worst(
            words.HIGHEST, quantity="height_m", found=top_m, comparison="at most",
            allowed=look.wishes.highest_m, at_m=at_m,
        )  # fmt: skip
    for zone, shape in look.zones:
        if zone.highest_m is not None:
            checks += look.worst(
                f"{zone.name} highest level", quantity="height_m", found=top_m,
                comparison="at most", allowed=zone.highest_m, at_m=at_m,
                among=look.within(shape, at_m),
            )  # fmt: skip
    return checks


def _edge(look: Look, edge: Edge, *, moved: bool) -> list[Check]:
    """A line that the top must meet: its two limits, and whether it is level."""
    line = shapely.segmentize(shapely.LineString([edge.a, edge.b]), _ALONG_M)
    at_m = look.onto_floor(shapely.get_coordinates(line))
    top_m = look.surface.height_m(at_m)
    least_m, greatest_m = float(top_m.min()), float(top_m.max())
    up_m, down_m = (edge.move.up_m, edge.move.down_m) if moved and edge.move else (0.0, 0.0)
    checks: list[Check] = []
    if edge.lowest_m is not None:
        needs = least_m < edge.lowest_m - look.height_slack_m
        checks += look.worst(
            f"{edge.name} lowest", quantity="height_m", found=top_m, comparison="at least",
            allowed=edge.lowest_m - (down_m if needs else 0.0), at_m=at_m,
        )  # fmt: skip
    if edge.highest_m is not None:
        needs = greatest_m > edge.highest_m + look.height_slack_m
        checks += look.worst(
            f"{edge.name} highest", quantity="height_m", found=top_m, comparison="at most",
            allowed=edge.highest_m + (up_m if needs else 0.0), at_m=at_m,
        )  # fmt: skip
    if edge.level:
        checks += look.worst(
            f"{edge.name} level", quantity="rise_m", found=top_m - least_m, comparison="at most",
            allowed=0.0, at_m=at_m,
        )  # fmt: skip
    return checks


def _drain(look: Look, drain: Drain, *, moved: bool) -> Check:
    """How far the top stands from where it may meet the rim.

    A drain that is to be raised may be met as far up as its move goes when it is moved, or at any
    greater height when no move is told.
    """
    top_m = float(look.surface.height_m(look.onto_floor(np.array([drain.at])))[0])
    low_m = high_m = drain.rim_m + drain.drop_m
    if drain.move is not None and moved:
        low_m, high_m = low_m - drain.move.down_m, high_m + drain.move.up_m
    elif drain.move is None and drain.plan == "raise":
        high_m = np.inf
    return Check(
        name=f"{drain.name} rim",
        quantity="gap_m",
        found=max(low_m - top_m, top_m - high_m, 0.0),
        comparison="at most",
        allowed=0.0,
        source=SOURCE,
        slack=look.height_slack_m,
        where=f"at {drain.name}",
        at=drain.at,
    )
