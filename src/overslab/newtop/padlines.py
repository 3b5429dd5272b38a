"""Where the pad lines run: through corners, drains and door ends, never too far to span."""

from __future__ import annotations

from itertools import combinations, pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from overslab.newtop.frame import straightened
from overslab.newtop.pads import GridPads
from overslab.newtop.site import Mouth, Site, meeting_corners

Floats = NDArray[np.float64]

# Pad lines nearer to each other than this share of the span are not worth setting; a line through
# a drain or an inside corner must be there, so it may come nearer (our choices).
_NEAREST_SHARE = 0.2
_NEAREST_NEEDED_SHARE = 0.05
# Ways that differ less than this from a true diagonal are one.
_SQUARE = 0.02


def grid_pads(site: Site) -> GridPads:
    """Pads on lines along the walls, no farther apart than the straightedge spans."""
    west, south, east, north = site.polygon.bounds
    limit_m = site.pad_limit_m
    u_m = _lines(west, east, _wanted(site, 0), limit_m=limit_m)
    v_m = _lines(south, north, _wanted(site, 1), limit_m=limit_m)
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


def _wanted(site: Site, axis: int) -> list[tuple[float, float]]:
    """Places a pad line would like to pass through, the most needed first, each with the share of
    the span that it must keep from the lines before it."""
    drains = [mouth.mouth[0][axis] for mouth in site.mouths if len(mouth.mouth) == 1]
    parting = [place for pair in combinations(site.mouths, 2) for place in _parting(pair, axis)]
    corners = np.asarray(straightened(site.polygon).exterior.coords)[:-1]
    turn = np.roll(corners, 1, axis=0) - corners, np.roll(corners, -1, axis=0) - corners
    inward = turn[0][:, 0] * turn[1][:, 1] - turn[0][:, 1] * turn[1][:, 0]
    if not site.polygon.exterior.is_ccw:
        inward = -inward
    mouths = [end[axis] for mouth in site.mouths if len(mouth.mouth) == 2 for end in mouth.mouth]
    edges = [end[axis] for _, line in site.edges for end in line]
    kept = [place[axis] for drain, place in site.drains if drain.plan != "bury"]
    holes = [
        corner[axis] for ring in site.polygon.interiors for corner in np.asarray(ring.coords)[:-1]
    ]
    zones = [corner[axis] for _, shape in site.zones for corner in shapely.get_coordinates(shape)]
    needed = (*drains, *corners[inward > 0][:, axis], *parting)
    liked = (*kept, *corners[:, axis], *zones, *mouths, *edges, *holes)
    return [(float(value), _NEAREST_NEEDED_SHARE) for value in needed] + [
        (float(value), _NEAREST_SHARE) for value in liked
    ]


def _parting(pair: tuple[Mouth, Mouth], axis: int) -> list[float]:
    """Half way between two outlets that face each other along this axis: water parts there."""
    low, high = sorted((mouth.target[:, axis].min(), mouth.target[:, axis].max()) for mouth in pair)
    return [(low[1] + high[0]) / 2] if high[0] > low[1] else []


def _lines(
    start: float, end: float, wanted: list[tuple[float, float]], *, limit_m: float
) -> Floats:
    lines = [start, end]
    for value, share in wanted:
        clear = min(share * limit_m, (end - start) / 2) - 1e-9
        if start < value < end and min(abs(value - line) for line in lines) >= clear:
            lines.append(value)
    lines.sort()
    filled = [
        np.linspace(a, b, int(np.ceil((b - a) / limit_m - 1e-9)) + 1)[:-1]
        for a, b in pairwise(lines)
    ]
    return np.concatenate([*filled, [end]])


def strip_columns(pads: GridPads, polygon: shapely.Polygon) -> list[list[shapely.Polygon]]:
    """The floor between neighbouring pad lines, column by column, each piece by itself."""
    _, south, _, north = polygon.bounds
    columns: list[list[shapely.Polygon]] = []
    for a, b in pairwise(pads.u_m):
        band = shapely.intersection(polygon, shapely.box(a, south - 1, b, north + 1))
        pieces = [part for part in shapely.get_parts(band) if part.geom_type == "Polygon"]
        pieces = [piece for piece in pieces if piece.area > 1e-3]
        columns.append(sorted(pieces, key=lambda piece: float(piece.centroid.y)))
    return columns
