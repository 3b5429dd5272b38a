"""From the solver's top to marks a person can set: round, check again, tighten, solve again."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np
import shapely
from numpy.typing import NDArray

from overslab.handbook.checks import Check
from overslab.newtop.model import Margins, Model, Solved
from overslab.newtop.pads import GridPads, PadSurface
from overslab.newtop.paths import without_narrow_posts
from overslab.newtop.recheck import recheck
from overslab.newtop.records import Pad, Point
from overslab.newtop.shaving import shave
from overslab.newtop.triangles import TrianglePads

Floats = NDArray[np.float64]

# How often a rule that fails on the marked top is tightened and the top solved again (our choice).
ROUNDS = 4
# A little more than what was missing, so that the next rounding does not land short again.
_MORE = 1.1
# Shares of the rounding allowance that are tried, on heights and on least falls: all of it always
# holds after rounding, less of it is cheaper and often holds as well.
_HEIGHT_SHARES = (1.0, 0.5, 0.0)
_FALL_SHARES = (1.0, 0.75, 0.5, 0.25, 0.0)
_HOLDS = 1e-7
_SAME_PLACE_M = 1e-3
# Planes whose slopes differ by less than this are one plane.
_NO_FOLD = 1e-5


@dataclass(frozen=True, slots=True, eq=False)
class Marked:
    """A top on settable marks: heights above datum at the pads, before and after rounding."""

    solved: Solved
    exact_m: Floats  # (pads,)
    marks_m: Floats  # (pads,)
    surface: PadSurface
    checks: tuple[Check, ...]

    @property
    def failing(self) -> tuple[Check, ...]:
        return tuple(check for check in self.checks if not check.passes)


def rounded(heights_m: Floats, *, mark_m: float) -> Floats:
    """Heights to the nearest whole mark above datum."""
    return np.asarray(np.round(heights_m / mark_m) * mark_m)


def mark(model: Model, optimum: Solved) -> Marked:
    """The best marked top: fewest rules that fail, then the least cost.

    ``optimum`` is the top without allowances; it serves when no allowance leaves a top.
    """
    margins, solved = _allowed(model, optimum)
    best = _marked(model, solved, margins)
    extra: dict[str, float] = {}
    for _ in range(ROUNDS):
        missing = {check.name: -check.margin for check in best.failing}
        missing = {name: gap for name, gap in missing.items() if name in model.rules.names}
        if not missing:
            break
        for name, gap in missing.items():
            extra[name] = extra.get(name, 0.0) + _MORE * gap
        tightened = replace(margins, extra=dict(extra))
        found = model.solve(tightened)
        if found is None:
            break
        again = _marked(model, found, tightened)
        if rank(model, again) < rank(model, best):
            best = again
    return best


def _allowed(model: Model, optimum: Solved) -> tuple[Margins, Solved]:
    """The cheapest share of the rounding allowance whose rounded top still holds every row.

    Thickness, heights and least falls have to hold outright, limits of workmanship to within one
    mark over the straightedge. When no share does, the one that misses by least.
    """
    site = model.site
    tried: list[tuple[bool, float, float, Margins, Solved]] = []
    ladder = [Margins(heights=h, falls=f) for h in _HEIGHT_SHARES for f in _FALL_SHARES]
    for margins, solved in zip(ladder, model.solve_each(ladder, optimum), strict=True):
        if solved is not None:
            heights = _marks(model, solved, margins) - site.base_m
            missing = model.missing(heights, solved.moved, margins)
            cost = float(model.pads.integral_m2 @ heights)
            tried.append(
                (missing > _HOLDS, missing if missing > _HOLDS else cost, cost, margins, solved)
            )
    if not tried:
        return Margins(), optimum
    *_, margins, solved = min(tried, key=lambda one: one[:3])
    return margins, solved


def rank(model: Model, marked: Marked) -> tuple[int, float]:
    """Rules that fail on the marked top, then what it costs: the least is the best."""
    costs = dict(model.rules.movable)
    moving = sum(costs[name] for name in marked.solved.moved)
    price = model.site.wishes.concrete_cost_per_m3
    volume = float(model.pads.integral_m2 @ (marked.marks_m - model.site.base_m))
    return len(marked.failing), moving + price * (volume - model.site.old_volume_m3)


def _marks(model: Model, solved: Solved, margins: Margins) -> Floats:
    """Settable heights above datum at the pads."""
    site = model.site
    nearest = rounded(solved.heights_m + site.base_m, mark_m=site.wishes.mark_m)
    shaved = shave(model, nearest - site.base_m, solved.moved, margins)
    return rounded(shaved + site.base_m, mark_m=site.wishes.mark_m)


def _marked(model: Model, solved: Solved, margins: Margins) -> Marked:
    site = model.site
    exact = solved.heights_m + site.base_m
    marks = _marks(model, solved, margins)
    surface = PadSurface(model.pads, marks, site.frame)
    checks = recheck(
        surface,
        oldslab=site.oldslab,
        wishes=site.wishes,
        moved=solved.moved,
        folds=folds_of(model, solved),
    )
    return Marked(solved=solved, exact_m=exact, marks_m=marks, surface=surface, checks=checks)


def folds_of(model: Model, solved: Solved) -> tuple[tuple[Point, Point], ...]:
    """Ridges and valleys on the sheet: lines where two planes of different slope meet."""
    pads = model.pads
    if isinstance(pads, GridPads):
        hips = [model.site.frame.to_sheet(hip) for hip in pads.hips]
        return tuple((_point(a), _point(b)) for a, b in hips)
    if not isinstance(pads, TrianglePads):
        return ()
    slopes = pads.gradients(solved.heights_m)
    folds: list[tuple[Point, Point]] = []
    for one, other in combinations(range(len(pads.regions)), 2):
        if np.hypot(*(slopes[one] - slopes[other])) < _NO_FOLD:
            continue
        shared = pads.regions[one].boundary.buffer(1e-5).intersection(pads.regions[other].boundary)
        shared = shared.intersection(pads.polygon)
        for line in shapely.get_parts(shapely.line_merge(_lines_of(shared)).simplify(1e-3)):
            if line.length > _SAME_PLACE_M:
                # The search reached a hair beyond the corners.
                ends = np.round(np.asarray(line.coords)[[0, -1]], 4) + 0.0
                ends = model.site.frame.to_sheet(ends)
                folds.append((_point(ends[0]), _point(ends[1])))
    return tuple(folds)


def pads_of(model: Model, marked: Marked) -> tuple[Pad, ...]:
    """Every place where a height is set: pads on the floor and marks on the walls."""
    site, pads = model.site, model.pads
    if isinstance(pads, GridPads):
        named = list(_grid_places(pads))
    elif isinstance(pads, TrianglePads):
        named = list(_plane_places(pads))
    else:
        raise TypeError("pads of an unknown sort")
    names, places, owners = zip(*named, strict=True)
    at_m = np.array(places)
    owner = np.array(owners)
    sheet = site.frame.to_sheet(at_m)
    element = pads.locate(at_m)
    exact = pads.height(at_m, element).of(marked.exact_m)
    marks = rounded(marked.surface.height_m(sheet), mark_m=site.wishes.mark_m)
    own = owner >= 0
    exact[own], marks[own] = marked.exact_m[owner[own]], marked.marks_m[owner[own]]
    old = site.old_mean_m(at_m) + site.base_m
    return tuple(
        Pad(
            name=name,
            at=_point(place),
            height_m=float(height),
            exact_m=float(wanted),
            thickness_m=float(height - below),
        )
        for name, place, height, wanted, below in zip(names, sheet, marks, exact, old, strict=True)
    )


def letters(number: int) -> str:
    """A, B, ... Z, AA, AB, ... for 0, 1, ..."""
    told = ""
    number += 1
    while number:
        number, place = divmod(number - 1, 26)
        told = chr(ord("A") + place) + told
    return told


def _grid_places(pads: GridPads) -> Iterator[tuple[str, tuple[float, float], int]]:
    """Pads by letter and number, then marks on walls where a pad line or a corner has no pad."""
    near = pads.polygon.buffer(_SAME_PLACE_M)
    settable = shapely.intersects_xy(near, pads.at_m[:, 0], pads.at_m[:, 1])
    rows, columns = np.nonzero(pads.number >= 0)
    for row, column in sorted(zip(rows, columns, strict=True), key=lambda place: place[::-1]):
        owner = int(pads.number[row, column])
        if settable[owner]:
            yield f"{letters(int(column))}{row + 1}", _point(pads.at_m[owner]), owner
    taken = pads.at_m[settable]
    count = 0
    floor = without_narrow_posts(pads.polygon)  # nobody sets a mark at each corner of a post
    for ring in (floor.exterior, *floor.interiors):
        corners = np.asarray(ring.coords)
        for side in range(len(corners) - 1):
            for place in pads.along(corners[side : side + 2])[:-1]:
                if np.hypot(*(taken - place).T).min(initial=np.inf) > _SAME_PLACE_M:
                    count += 1
                    taken = np.vstack([taken, place])
                    yield f"W{count}", _point(place), -1


def _plane_places(pads: TrianglePads) -> Iterator[tuple[str, tuple[float, float], int]]:
    """Corners and fold ends, marks along walls and folds, marks within planes."""
    ends = {
        (round(x, 4), round(y, 4))
        for region in pads.regions
        for x, y in shapely.get_coordinates(region)
    }
    counts = {"C": 0, "L": 0, "P": 0}
    for owner, place in enumerate(pads.at_m):
        corner = (round(place[0], 4), round(place[1], 4)) in ends
        sort = "C" if corner else "L" if owner < pads.on_sides else "P"
        counts[sort] += 1
        yield f"{sort}{counts[sort]}", _point(place), owner


def _lines_of(shape: shapely.Geometry) -> shapely.MultiLineString:
    parts = [
        part
        for part in shapely.get_parts(shape)
        if part.geom_type == "LineString" and not part.is_empty
    ]
    return shapely.MultiLineString(parts)


def _point(place: Floats) -> Point:
    return float(place[0]), float(place[1])
