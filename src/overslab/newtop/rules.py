"""The wishes as rows over pad heights, each row holding the name of the rule it belongs to."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from overslab.newtop import words
from overslab.newtop.pads import Pads, Samples, Stencil
from overslab.newtop.paths import Ways
from overslab.newtop.records import Move, TopKind
from overslab.newtop.rows import NO_RULE, Book, RuleRows
from overslab.newtop.site import Site, wall_feet

Floats = NDArray[np.float64]
Places = NDArray[np.intp]
Bools = NDArray[np.bool_]

# A zone's resultant is held inside a polygon of this many sides drawn within the circle.
_SIDES = 16
# Legs of one element farther apart than this mean that water parts inside it.
_PARTS_COS = -0.17
# No margin for rounding on a fall is taken beyond this many marks per span: short sides of odd
# triangles would ask for more slope than a straightedge could show.
_MOST_MARKS = 2.0
# Where a drain takes over, within a hand of it, no fall is asked.
_AT_DRAIN_M = 0.05
# How far beyond a zone that lies flatter than the floor the fall of the floor begins.
_ZONE_RIM_M = 0.1
# A drain to be raised without a stated limit may come up this far.
RAISE_FREELY_M = 0.5


def write_rules(site: Site, pads: Pads, *, kind: TopKind) -> RuleRows:
    """Every rule of the wishes as rows over the heights of ``pads`` (from base).

    A level top is asked for no fall: it is shown beside the others for its price.
    """
    names = list(words.known_rules(site.wishes))
    book = Book(names=names, half_mark_m=site.wishes.mark_m / 2)
    _thickness(book, site, pads)
    _levels(book, site, pads)
    if kind != "level":
        outlets = _falls(book, site, pads)
        _wall_runs(book, site, pads, outlets=outlets)
    if kind == "strips":
        stencil, _ = pads.bends()
        bend = site.wishes.bend
        book.add(stencil, low=-bend, high=bend, low_rule=words.BEND, high_rule=words.BEND)
    _edges(book, site, pads)
    _drains(book, site, pads)
    return book.written(len(pads.at_m))


def _thickness(book: Book, site: Site, pads: Pads) -> None:
    wishes, places = site.wishes, site.places
    least = np.full(len(places.at_m), wishes.least_thickness_m)
    rule = np.full(len(places.at_m), book.place(words.LEAST_THICKNESS))
    for zone, shape in site.zones:
        if zone.least_thickness_m is not None:
            inside = _within(shape, places.at_m)
            least[inside] = zone.least_thickness_m
            rule[inside] = book.place(f"{zone.name} least thickness")
    greatest = wishes.greatest_thickness_m
    high: Floats | float = np.inf
    if greatest is not None:
        high = np.where(places.sunk, np.inf, places.old_m + greatest)
    book.add(
        pads.height(places.at_m, pads.locate(places.at_m)),
        low=places.old_m + least + wishes.surety * places.deviation_m,
        high=high,
        low_rule=rule,
        high_rule=None if greatest is None else words.GREATEST_THICKNESS,
    )


def _levels(book: Book, site: Site, pads: Pads) -> None:
    corners = shapely.get_coordinates(site.polygon)
    on_floor = pads.at_m[_within(site.polygon, pads.at_m)]
    walls = [
        pads.along(np.asarray(ring.coords)[side : side + 2])
        for ring in (site.polygon.exterior, *site.polygon.interiors)
        for side in range(len(ring.coords) - 1)
    ]
    everywhere = np.concatenate([corners, on_floor, *walls])
    if site.wishes.highest_m is not None:
        stencil = pads.height(everywhere, pads.locate(everywhere))
        book.add(stencil, high=site.wishes.highest_m - site.base_m, high_rule=words.HIGHEST)
    for zone, shape in site.zones:
        if zone.highest_m is not None:
            rim = [
                pads.along(side)
                for part in shapely.get_parts(shape)
                if part.geom_type == "Polygon"
                for side in _sides(np.asarray(part.exterior.coords))
            ]
            at = np.concatenate([*rim, everywhere[_within(shape, everywhere)]])
            book.add(
                pads.height(at, pads.locate(at)),
                high=zone.highest_m - site.base_m,
                high_rule=f"{zone.name} highest level",
            )


def _falls(book: Book, site: Site, pads: Pads) -> dict[int, int]:
    """Rows of falls; gives the outlet of each plane."""
    wishes = site.wishes
    samples = _with_zone_samples(site, pads)
    ways = site.paths.ways(samples.at_m)
    drains = np.array([len(mouth.target) == 1 for mouth in site.mouths])
    plane = pads.plane_of(samples.element)
    outlets = _outlets_of(plane, ways, either_m=2 * wishes.straightedge_m)
    leg, asked = _legs(samples, ways, _taken(plane, outlets, ways), drains=drains)
    along, up = pads.slope(samples.slope_at_m, samples.element)
    least = np.full(len(leg), wishes.least_fall)
    greatest = np.full(len(leg), wishes.greatest_fall)
    least_rule = np.full(len(leg), book.place(words.LEAST_FALL))
    greatest_rule = np.full(len(leg), book.place(words.GREATEST_FALL))
    most_margin = _MOST_MARKS * wishes.mark_m / pads.spacing_m
    for zone, shape in site.zones:
        inside = _within(shape, samples.at_m)
        if zone.least_fall is not None:
            least[inside] = zone.least_fall
            least_rule[inside] = book.place(f"{zone.name} least fall")
            if zone.least_fall >= wishes.greatest_fall:
                greatest[inside], greatest_rule[inside] = np.inf, NO_RULE
        if zone.greatest_fall is not None:
            if zone.least_fall is None and zone.greatest_fall < wishes.least_fall:
                # A zone that shall lie flatter than the floor is not asked for the floor's fall,
                # nor is its rim: the line between them cannot have both slopes.
                rim = _within(shape.buffer(_ZONE_RIM_M), samples.at_m)
                least[rim], least_rule[rim] = -np.inf, NO_RULE
            _resultants(
                book,
                _rows(along, inside),
                _rows(up, inside),
                limit=zone.greatest_fall,
                rule=f"{zone.name} greatest fall",
                most_margin=most_margin,
            )
    leg, along, up = leg[asked], _rows(along, asked), _rows(up, asked)
    fall = _mixed(along, up, -leg[:, 0], -leg[:, 1])
    one = _distinct(
        fall, len(pads.at_m), least[asked], greatest[asked], least_rule[asked], greatest_rule[asked]
    )
    book.add(
        _rows(fall, one),
        low=least[asked][one],
        high=greatest[asked][one],
        low_rule=least_rule[asked][one],
        high_rule=greatest_rule[asked][one],
        most_margin=most_margin,
    )
    aside = _mixed(along, up, -leg[:, 1], leg[:, 0])
    book.add(
        _rows(aside, _distinct(aside, len(pads.at_m))),
        low=-wishes.cross_fall,
        high=wishes.cross_fall,
        low_rule=words.CROSS_FALL,
        high_rule=words.CROSS_FALL,
        most_margin=most_margin,
    )
    return outlets


def _outlets_of(plane: Places | None, ways: Ways, *, either_m: float) -> dict[int, int]:
    """The outlet that each plane as a whole runs to: the one that is nearer on average.

    Where two walls that gather water meet in a corner, or two doors face each other, water need not
    part exactly half way; but no place is sent farther than ``either_m`` past its nearest outlet.
    """
    if plane is None or ways.length_m.shape[1] < 2:
        return {}
    found: dict[int, int] = {}
    farther = ways.length_m - ways.length_m.min(axis=1, keepdims=True)
    for number in np.unique(plane):
        here = plane == number
        order = np.argsort(ways.length_m[here].mean(axis=0))
        fits = [int(outlet) for outlet in order if (farther[here, outlet] <= either_m).all()]
        if fits:
            found[int(number)] = fits[0]
    return found


def _taken(plane: Places | None, outlets: dict[int, int], ways: Ways) -> Places:
    """The outlet that each sample's water goes to: its plane's, else the nearest."""
    taken = ways.nearest.copy()
    if plane is not None:
        for number, outlet in outlets.items():
            taken[plane == number] = outlet
    return taken


def _distinct(stencil: Stencil, pads: int, *beside: Floats | Places) -> Places:
    """Places of rows that say something new: neighbouring cells share the slope of their side.

    Rows are told apart by what they make of three fixed random sets of heights, and by ``beside``.
    """
    told = [stencil.of(np.random.default_rng(seed).normal(size=pads)) for seed in range(3)]
    columns = [np.round(column, 9) for column in (*told, *beside)]
    order = np.lexsort(columns)
    new = np.ones(len(order), dtype=bool)
    if len(order):
        sorted_by = [column[order] for column in columns]
        new[1:] = np.any([column[1:] != column[:-1] for column in sorted_by], axis=0)
    return np.sort(order[new])


def _with_zone_samples(site: Site, pads: Pads) -> Samples:
    """The pads' own samples, and corners and middle of every piece of a zone in an element."""
    samples = pads.samples()
    extra = []
    for _, shape in site.zones:
        for piece in (cell.intersection(shape) for cell in pads.cells()):
            for part in shapely.get_parts(piece):
                if part.geom_type == "Polygon" and part.area > 1e-3:
                    middle = np.asarray(part.representative_point().coords)
                    corners = np.asarray(part.exterior.coords)[:-1]
                    extra += [middle, corners + 0.02 * (middle - corners)]
    if not extra:
        return samples
    at = np.concatenate(extra)
    return Samples(
        at_m=np.concatenate([samples.at_m, at]),
        element=np.concatenate([samples.element, pads.locate(at)]),
        slope_at_m=np.concatenate([samples.slope_at_m, at]),
    )


def _legs(samples: Samples, ways: Ways, taken: Places, *, drains: Bools) -> tuple[Floats, Bools]:
    """The way water has to take at each sample, and whether a fall is asked there.

    Each sample goes to the outlet it is ``taken`` to; at a drain itself there is no way and no fall
    is asked. An element in which the ways point apart holds the line where water parts (half way
    between two doors, behind a wide post): there only the samples that agree with the element as a
    whole are asked, for no plane falls both ways.
    """
    rows = np.arange(len(taken))
    leg, away = ways.leg[rows, taken], ways.length_m[rows, taken]
    asked = np.isfinite(leg).all(axis=1) & np.isfinite(away)
    asked &= ~(drains[taken] & (away < _AT_DRAIN_M))
    total = np.zeros((int(samples.element.max()) + 1, 2))
    np.add.at(total, samples.element[asked], leg[asked])
    general = total[samples.element]
    size = np.maximum(np.hypot(general[:, 0], general[:, 1]), 1e-12)
    agrees = np.einsum("kd,kd->k", leg, general) >= _PARTS_COS * size
    return leg, asked & agrees


def _resultants(
    book: Book, along: Stencil, up: Stencil, *, limit: float, rule: str, most_margin: float
) -> None:
    inner = float(np.cos(np.pi / _SIDES))
    for side in range(_SIDES // 2):
        angle = 2 * np.pi * side / _SIDES
        count = len(along.index)
        book.add(
            _mixed(along, up, np.full(count, np.cos(angle)), np.full(count, np.sin(angle))),
            low=-limit * inner,
            high=limit * inner,
            low_rule=rule,
            high_rule=rule,
            ease=inner,
            most_margin=most_margin,
        )


def _wall_runs(book: Book, site: Site, pads: Pads, *, outlets: dict[int, int]) -> None:
    """The foot of a gathering wall falls toward its opening.

    A plane that runs to another wall's outlet takes the foot of this wall with it.
    """
    for mouth in site.mouths:
        for line in wall_feet(site, mouth):
            at = pads.along(line)
            plane = pads.plane_of(pads.locate((at[1:] + at[:-1]) / 2))
            own = np.ones(len(at) - 1, dtype=bool)
            if plane is not None:
                other = {
                    number
                    for number, outlet in outlets.items()
                    if not np.array_equal(site.mouths[outlet].target, mouth.target)
                }
                own = ~np.isin(plane, list(other))
            if not own.any():
                continue
            stencil = pads.height(at, pads.locate(at))
            drop = _rows(stencil, slice(None, -1)).minus(_rows(stencil, slice(1, None)))
            drop = _rows(drop, own)
            run = np.hypot(*np.diff(at, axis=0).T)[own]
            # Rounding never turns "no lower than" round, so no margin is needed.
            book.add(
                Stencil(drop.index, drop.value / run[:, None]),
                low=0.0,
                low_rule=f"wall run to {mouth.outlet.name}",
                margin=0.0,
            )


def _edges(book: Book, site: Site, pads: Pads) -> None:
    for edge, line in site.edges:
        at = pads.along(line)
        stencil = pads.height(at, pads.locate(at))
        column = _movable(book, edge.name, edge.move)
        width = np.inf
        if edge.lowest_m is not None and edge.highest_m is not None:
            width = edge.highest_m - edge.lowest_m
        # Between limits nearer than a mark there is no room to keep clear of both.
        margin = 1.0 if width >= 2 * book.half_mark_m else 0.0
        if edge.lowest_m is not None:
            book.add(
                stencil,
                low=edge.lowest_m - site.base_m,
                low_rule=f"{edge.name} lowest",
                margin=margin,
                move=None if column is None or edge.move is None else (column, edge.move.down_m),
            )
        if edge.highest_m is not None:
            book.add(
                stencil,
                high=edge.highest_m - site.base_m,
                high_rule=f"{edge.name} highest",
                margin=margin,
                move=None if column is None or edge.move is None else (column, -edge.move.up_m),
            )
        if edge.level and len(at) > 1:
            first = Stencil(
                np.repeat(stencil.index[:1], len(at) - 1, axis=0),
                np.repeat(stencil.value[:1], len(at) - 1, axis=0),
            )
            name = f"{edge.name} level"
            book.add(
                _rows(stencil, slice(1, None)).minus(first),
                low=0.0, high=0.0, low_rule=name, high_rule=name, margin=0.0,
            )  # fmt: skip


def _drains(book: Book, site: Site, pads: Pads) -> None:
    for drain, place in site.drains:
        if drain.plan == "bury":
            continue
        stencil = pads.height(place[None, :], pads.locate(place[None, :]))
        rim = drain.rim_m + drain.drop_m - site.base_m
        name = f"{drain.name} rim"
        move = drain.move
        if drain.plan == "raise" and move is None:
            move = Move(cost=0.0, up_m=RAISE_FREELY_M)
        column = _movable(book, drain.name, move) if drain.plan == "raise" else None
        book.add(stencil, low=rim, low_rule=name, margin=0.0)
        book.add(
            stencil,
            high=rim,
            high_rule=name,
            margin=0.0,
            move=None if column is None or move is None else (column, -move.up_m),
        )


def _movable(book: Book, name: str, move: Move | None) -> int | None:
    if move is None:
        return None
    book.movable.append((name, move.cost))
    return len(book.movable) - 1


def _mixed(along: Stencil, up: Stencil, a: Floats, b: Floats) -> Stencil:
    return Stencil(along.index, a[:, None] * along.value + b[:, None] * up.value)


def _rows(stencil: Stencil, pick: Bools | Places | slice) -> Stencil:
    return Stencil(stencil.index[pick], stencil.value[pick])


def _within(shape: BaseGeometry, at_m: Floats) -> Bools:
    grown = shape.buffer(1e-6)
    shapely.prepare(grown)
    return np.asarray(shapely.intersects_xy(grown, at_m[:, 0], at_m[:, 1]), dtype=bool)


def _sides(corners: Floats) -> list[Floats]:
    return [corners[side : side + 2] for side in range(len(corners) - 1)]
