"""Ways to lay a floor out in planes that meet at ridges and valleys; each is tried, none is sure.

A floor is cut by straight lines that a crew would snap: through the middle or the ends of an
opening, from corners that stick into the floor, half way between two outlets; and round a drain it
is fanned out to the corners.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations, pairwise, product

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import ops

from overslab.newtop.frame import straightened
from overslab.newtop.site import Site, meeting_corners

Floats = NDArray[np.float64]
Line = tuple[tuple[float, float], tuple[float, float]]

_FAR_M = 1e4
_SPECK_M2 = 1e-2
_SAME_M = 1e-3
# More layouts than this are not tried (our choice; each costs a solve).
MOST_LAYOUTS = 24


@dataclass(frozen=True, slots=True, eq=False)
class Layout:
    """Regions that cover the outline (holes not yet taken out), and what they were cut by."""

    regions: tuple[shapely.Polygon, ...]
    drains: tuple[str, ...]  # it is fanned out from
    cuts: tuple[Cut, ...]

    def title(self, folds: Iterable[Line] | None = None) -> str:
        """What the crew calls it; given the ``folds`` of a top, by the cuts that are folds in it.

        A cut whose two sides come to lie in one plane is no fold and is not told.
        """
        cuts = list(self.cuts)
        if folds is not None:
            lines = [shapely.LineString(fold) for fold in folds]
            cuts = [cut for cut in cuts if any(cut.carries(line) for line in lines)]
        told = [f"fanned to {' and '.join(self.drains)}"] if self.drains else []
        for how in dict.fromkeys(cut.how for cut in cuts):
            places = Counter(cut.where for cut in cuts if cut.how == how)
            told.append(f"{how} {' and '.join(_counted(*place) for place in places.items())}")
        return f"planes {', '.join(told)}" if told else "planes that come to lie in one"


@dataclass(frozen=True, slots=True, eq=False)
class Cut:
    """A line that a crew would snap: ``folded`` ``at a jamb of east door``."""

    how: str
    where: str
    line: shapely.LineString

    def carries(self, fold: shapely.LineString) -> bool:
        return all(self.line.distance(shapely.Point(end)) < _SAME_M for end in fold.coords)


def _counted(where: str, times: int) -> str:
    if times == 1:
        return where
    if where.startswith("at a jamb of"):
        return where.replace("at a jamb", "at both jambs", 1)
    return where.replace("at an inside corner", "at inside corners", 1)


def layouts(site: Site) -> list[Layout]:
    """Different layouts in planes, at least two planes each, along the walls."""
    outline = straightened(shapely.Polygon(site.polygon.exterior))
    drains = [mouth.mouth[0] for mouth in site.mouths if len(mouth.mouth) == 1]
    names = [mouth.outlet.name for mouth in site.mouths if len(mouth.mouth) == 1]
    cuts = list(_cuts(site, outline))
    plans: list[tuple[tuple[Cut, ...], list[shapely.Polygon]]] = []
    between = _between_drains(drains)
    whole = _split([outline], between)
    if drains:
        plans.append(((), whole))
    plans += [((cut,), _split([outline], [cut.line])) for cut in cuts]
    pairs = [*_facing(site, cuts), *_pairs(cuts)]
    plans += [(pair, _split([outline], [cut.line for cut in pair])) for pair in pairs]
    if drains:
        plans += [((cut,), _split(whole, [cut.line])) for cut in cuts]
    found: list[Layout] = []
    seen: set[tuple[tuple[float, float, float], ...]] = set()
    for taken, pieces in plans:
        regions = [part for piece in pieces for part in _fanned(piece, drains)]
        print_ = tuple(
            sorted(
                (round(r.centroid.x, 3), round(r.centroid.y, 3), round(r.area, 3)) for r in regions
            )
        )
        if len(regions) > 1 and print_ not in seen:
            seen.add(print_)
            found.append(Layout(tuple(regions), drains=tuple(names), cuts=taken))
    return found[:MOST_LAYOUTS]


def _cuts(site: Site, outline: shapely.Polygon) -> Iterator[Cut]:
    for one, other in combinations([m for m in site.mouths if len(m.target) == 2], 2):
        for axis in (0, 1):
            low, high = sorted(
                (m.target[:, axis].min(), m.target[:, axis].max()) for m in (one, other)
            )
            if high[0] > low[1]:
                place = np.zeros(2)
                place[axis] = (low[1] + high[0]) / 2
                way = np.array([0.0, 1.0]) if axis == 0 else np.array([1.0, 0.0])
                where = f"between {one.outlet.name} and {other.outlet.name}"
                yield Cut("parted", where, _line(place, way))
    for corner, way in meeting_corners(site):
        if outline.buffer(_SAME_M).covers(shapely.Point(corner + 0.1 * way)):
            where = "from the corner where two doors' walls meet"
            yield Cut("parted", where, _ray(corner, way, outline))
            # Or beside it, as far as the two doors differ in height, from an inside corner.
            for inside, _, _ in _inward(outline):
                if outline.buffer(_SAME_M).covers(shapely.Point(inside - 0.1 * way)):
                    yield Cut("parted", "from an inside corner", _ray(inside, -way, outline))
    for corner, ways, opposite in _inward(outline):
        for way in ways:
            yield Cut("folded", "at an inside corner", _ray(corner, way, outline))
        yield Cut("folded", "corner to corner", _ray(corner, opposite, outline))
    for mouth in site.mouths:
        if len(mouth.mouth) == 2:
            along = mouth.mouth[1] - mouth.mouth[0]
            across = np.array([-along[1], along[0]]) / np.hypot(*along)
            name = mouth.outlet.name
            if outline.exterior.distance(shapely.Point(mouth.mouth.mean(axis=0))) > _SAME_M:
                way = along / np.hypot(*along)
                yield Cut("folded", f"along {name}", _line(mouth.mouth[0], way))
                continue
            middle = mouth.mouth.mean(axis=0)
            yield Cut("folded", f"through the middle of {name}", _line(middle, across))
            for end in mouth.mouth:
                yield Cut("folded", f"at a jamb of {name}", _line(end, across))


def _pairs(cuts: list[Cut]) -> Iterator[tuple[Cut, Cut]]:
    """Pairs that belong together: both jambs of a door, both cuts of a corner."""
    for one, other in combinations(cuts, 2):
        same = (one.how, one.where) == (other.how, other.where)
        if same or "inside corner" in one.where + other.where or "parted" in (one.how, other.how):
            yield one, other


def _facing(site: Site, cuts: list[Cut]) -> Iterator[tuple[Cut, Cut]]:
    """The jambs that two doors in one wall turn to each other: the floor may slope between them."""
    doors = [mouth for mouth in site.mouths if mouth.wall_run]
    for one, other in combinations(doors, 2):
        if np.array_equal(one.target, other.target):
            jambs = min(
                product(one.mouth, other.mouth),
                key=lambda ends: float(np.hypot(*(ends[0] - ends[1]))),
            )
            found = [
                cut
                for jamb, mouth in zip(jambs, (one, other), strict=True)
                for cut in cuts
                if cut.where == f"at a jamb of {mouth.outlet.name}"
                and cut.line.distance(shapely.Point(jamb)) < _SAME_M
            ]
            if len(found) == 2:
                yield found[0], found[1]


def _inward(outline: shapely.Polygon) -> Iterator[tuple[Floats, tuple[Floats, Floats], Floats]]:
    """Corners that stick into the floor, the ways their two walls run on, and the way between."""
    corners = np.asarray(shapely.orient_polygons(outline).exterior.coords)[:-1]
    before, after = np.roll(corners, 1, axis=0), np.roll(corners, -1, axis=0)
    for a, corner, b in zip(before, corners, after, strict=True):
        come = (corner - a) / np.hypot(*(corner - a))
        leave = (b - corner) / np.hypot(*(b - corner))
        if come[0] * leave[1] - come[1] * leave[0] < -1e-6:
            middle = come - leave
            yield corner, (come, -leave), middle / np.hypot(*middle)


def _line(place: Floats, way: Floats) -> shapely.LineString:
    return shapely.LineString([place - _FAR_M * way, place + _FAR_M * way])


def _ray(place: Floats, way: Floats, outline: shapely.Polygon) -> shapely.LineString:
    """From a corner into the floor, as far as the first wall."""
    line = shapely.LineString([place - 1e-6 * way, place + _FAR_M * way])
    inside = [
        part for part in shapely.get_parts(line.intersection(outline)) if part.length > _SAME_M
    ]
    nearest = min(inside, key=lambda part: float(part.distance(shapely.Point(place))))
    end = max(np.asarray(nearest.coords), key=lambda corner: float(np.hypot(*(corner - place))))
    return shapely.LineString([place - 1e-6 * way, end + 1e-6 * way])


def _split(pieces: list[shapely.Polygon], lines: list[shapely.LineString]) -> list[shapely.Polygon]:
    for line in lines:
        pieces = [
            part
            for piece in pieces
            for part in ops.split(piece, line).geoms
            if isinstance(part, shapely.Polygon) and part.area > _SPECK_M2
        ]
    return pieces


def _between_drains(drains: list[Floats]) -> list[shapely.LineString]:
    """Lines half way between neighbouring drains, where water parts."""
    lines = []
    for one, other in combinations(drains, 2):
        way = other - one
        if np.hypot(*way) > _SAME_M:
            across = np.array([-way[1], way[0]]) / np.hypot(*way)
            lines.append(_line((one + other) / 2, across))
    return lines


def _fanned(piece: shapely.Polygon, drains: list[Floats]) -> list[shapely.Polygon]:
    """A piece with one drain cut from the drain to its corners, if the drain sees them all."""
    inside = [drain for drain in drains if piece.distance(shapely.Point(drain)) <= _SAME_M]
    if len(inside) != 1:
        return [piece]
    drain = inside[0]
    corners = np.asarray(shapely.orient_polygons(straightened(piece)).exterior.coords)
    fan = []
    for a, b in pairwise(corners):
        twice = (a - drain)[0] * (b - drain)[1] - (a - drain)[1] * (b - drain)[0]
        if twice < -_SPECK_M2:
            return [piece]
        if twice > _SPECK_M2:
            fan.append(shapely.Polygon([drain, a, b]))
    return fan
