"""Where the pad lines run: through corners, drains and door ends, never too far to span.

The lines that part the floor into pour strips are among them: a strip needs pads along its sides.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations, pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from overslab.newtop.frame import straightened
from overslab.newtop.pads import GridPads
from overslab.newtop.paths import without_narrow_posts
from overslab.newtop.site import Mouth, Site, meeting_corners

Floats = NDArray[np.float64]

# A line through a drain or an inside corner must be there, so it may come this near to another, as
# a share of the span (our choice). Other lines nearer than about two feet to one that is there
# already are not worth setting: the surface between is known without them.
_NEAREST_NEEDED_SHARE = 0.05
_NEAREST_M = 0.6
# A strip narrower than about four feet is not worth a cut at a fold or an inside corner (our
# choice).
NARROWEST_M = 1.2
# What a line for a strip alone costs, as unevenness of the strips: two feet, squared.
_NEW_LINE_M2 = 0.37
# Ways that differ less than this from a true diagonal are one.
_SQUARE = 0.02


def grid_pads(site: Site) -> GridPads:
    """Pads on lines along the walls, no farther apart than the straightedge spans."""
    west, south, east, north = site.polygon.bounds
    limit_m = site.pad_limit_m
    needed, liked = _wanted(site, 0)
    corners = [float(corner[0]) for corner in inward_corners(site.polygon)]
    cuts = strip_cuts([west, *needed, *liked, east], must=corners, limit_m=limit_m, more=True)
    u_m = _lines(west, east, [*needed, *cuts], liked, limit_m=limit_m)
    v_m = _lines(south, north, *_wanted(site, 1), limit_m=limit_m)
    hips = [
        (corner, way)
        for corner, way in meeting_corners(site)
        if abs(abs(way[0]) - abs(way[1])) < _SQUARE
    ]
    for corner, way in hips:
        u_m, v_m = _squared(u_m, v_m, corner, way, nearest_m=_NEAREST_NEEDED_SHARE * limit_m)
    return GridPads(site.polygon, u_m=u_m, v_m=v_m, hips=hips)


def _squared(
    u_m: Floats, v_m: Floats, corner: Floats, way: Floats, *, nearest_m: float
) -> tuple[Floats, Floats]:
    """Pad lines with one more, so that the cell in a corner is square and its hip halves it."""
    sides = []
    for lines, place, sign in ((u_m, corner[0], way[0]), (v_m, corner[1], way[1])):
        ahead = (lines - place) * np.sign(sign)
        sides.append(float(ahead[ahead > 1e-6].min()))
    side = min(sides)
    if max(sides) - side < nearest_m:
        return u_m, v_m
    if sides[0] > side:
        return np.sort(np.append(u_m, corner[0] + np.sign(way[0]) * side)), v_m
    return u_m, np.sort(np.append(v_m, corner[1] + np.sign(way[1]) * side))


def _wanted(site: Site, axis: int) -> tuple[list[float], list[float]]:
    """Places a pad line must pass through, and places it would like to, the most needed first.

    Along an edge that need not be level the heights are known from the pads beside it, and at a
    narrow post from those around it: neither wants a line of its own.
    """
    drains = [mouth.mouth[0][axis] for mouth in site.mouths if len(mouth.mouth) == 1]
    parting = [place for pair in combinations(site.mouths, 2) for place in _parting(pair, axis)]
    floor = without_narrow_posts(site.polygon)
    corners = np.asarray(straightened(floor).exterior.coords)[:-1]
    mouths = [end[axis] for mouth in site.mouths if len(mouth.mouth) == 2 for end in mouth.mouth]
    edges = [end[axis] for edge, line in site.edges if edge.level for end in line]
    kept = [place[axis] for drain, place in site.drains if drain.plan != "bury"]
    holes = [corner[axis] for ring in floor.interiors for corner in np.asarray(ring.coords)[:-1]]
    zones = [corner[axis] for _, shape in site.zones for corner in shapely.get_coordinates(shape)]
    needed = (*drains, *inward_corners(site.polygon)[:, axis], *parting)
    liked = (*kept, *corners[:, axis], *zones, *mouths, *edges, *holes)
    return [float(value) for value in needed], [float(value) for value in liked]


def inward_corners(polygon: shapely.Polygon) -> Floats:
    """Corners (n, 2) of the outline that stick into the floor."""
    corners = np.asarray(straightened(polygon).exterior.coords)[:-1]
    turn = np.roll(corners, 1, axis=0) - corners, np.roll(corners, -1, axis=0) - corners
    inward = turn[0][:, 0] * turn[1][:, 1] - turn[0][:, 1] * turn[1][:, 0]
    if not polygon.exterior.is_ccw:
        inward = -inward
    return np.asarray(corners[inward > 0])


def _parting(pair: tuple[Mouth, Mouth], axis: int) -> list[float]:
    """Half way between two outlets that face each other along this axis: water parts there."""
    low, high = sorted((mouth.target[:, axis].min(), mouth.target[:, axis].max()) for mouth in pair)
    return [(low[1] + high[0]) / 2] if high[0] > low[1] else []


def _lines(
    start: float, end: float, needed: list[float], liked: list[float], *, limit_m: float
) -> Floats:
    lines = [start, end]
    for values, clear_m in (
        (needed, _NEAREST_NEEDED_SHARE * limit_m),
        (liked, min(_NEAREST_M, 0.3 * limit_m)),
    ):
        clear = min(clear_m, (end - start) / 2) - 1e-9
        for value in values:
            if start < value < end and min(abs(value - line) for line in lines) >= clear:
                lines.append(value)
    lines.sort()
    filled = [
        np.linspace(a, b, int(np.ceil((b - a) / limit_m - 1e-9)) + 1)[:-1]
        for a, b in pairwise(lines)
    ]
    return np.concatenate([*filled, [end]])


def strip_cuts(
    lines: Sequence[float], *, must: Sequence[float], limit_m: float, more: bool = False
) -> list[float]:
    """Which lines part the floor into as few strips as can be, and those as even as can be.

    ``lines`` hold both ends; no strip is wider than ``limit_m``. ``must`` are lines that are cut
    along, the first before the others, unless that leaves a strip narrower than ``NARROWEST_M``.
    With ``more`` new lines are drawn where they make the strips fewer or more even by two feet.
    """
    start, end = min(lines), max(lines)
    held = [start, end]
    for line in must:
        if min(abs(line - other) for other in held) >= NARROWEST_M:
            held.append(line)
    cuts: list[float] = []
    for a, b in pairwise(sorted(held)):
        known = [line for line in lines if a < line < b]
        count = max(1, int(np.ceil((b - a) / limit_m - 1e-9)))
        even = [float(line) for line in np.linspace(a, b, count + 1)[1:-1]] if more else []
        apart = [
            line
            for line in even
            if min((abs(line - k) for k in known), default=np.inf) >= _NEAREST_M - 1e-3
        ]
        for extra in (apart, even):
            found = _fewest(a, b, known, extra, limit_m=limit_m)
            if len(found) <= count - 1:
                break
        cuts += [*found, b]
    return cuts[:-1]


def _fewest(
    start: float, end: float, known: Sequence[float], extra: Sequence[float], *, limit_m: float
) -> list[float]:
    """Fewest lines with no gap over the limit; of those the evenest, by a dynamic programme.

    Unevenness is the sum of squares of the widths: at one count it is least when all are alike. A
    line of ``extra`` counts ``_NEW_LINE_M2`` on top. Where no lines will do, gaps stay too wide.
    """
    places = [start, *sorted({*known, *extra} - {start, end}), end]
    price = [_NEW_LINE_M2 if place in extra and place not in known else 0.0 for place in places]
    best: list[tuple[int, float, int]] = [(0, 0.0, -1)]
    for here in range(1, len(places)):
        ways = []
        for before in range(here):
            width = places[here] - places[before]
            # A gap too wide is taken only between neighbours, where there is nothing to cut at.
            if width <= limit_m + 1e-9 or before == here - 1:
                strips, uneven, _ = best[before]
                ways.append((strips + 1, uneven + width**2 + price[here], before))
        best.append(min(ways))
    cuts: list[float] = []
    here = best[-1][2]
    while here > 0:
        cuts.append(places[here])
        here = best[here][2]
    return cuts[::-1]
