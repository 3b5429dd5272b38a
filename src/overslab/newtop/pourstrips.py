"""The floor parted into strips for the pour, in an order that leaves a way out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.sparse import csgraph

from overslab.newtop.padlines import inward_corners, strip_cuts
from overslab.newtop.pads import GridPads
from overslab.newtop.records import Point, Strip
from overslab.newtop.site import Site

Floats = NDArray[np.float64]
Places = NDArray[np.intp]

# A person with a barrow of tools gets through here: about 2 ft (our choice).
_PASSAGE_M = 0.6
_SAME_M = 1e-3


def pour_strips(
    site: Site, pads: GridPads, *, folds: Sequence[tuple[Point, Point]]
) -> tuple[Strip, ...]:
    """Strips between pad lines or along ``folds`` (on the sheet), in the order of the pour.

    As few as the straightedge spans, and as even as the lines allow; a fold that runs their way and
    an inside corner are cut at. Every strip is poured while what is left still reaches the strip
    that is poured last, and that one has a door or an open edge.
    """
    along = [site.frame.to_walls(np.array(fold))[:, 0] for fold in folds]
    level = [_onto(float(ends.mean()), pads.u_m) for ends in along if np.ptp(ends) < _SAME_M]
    corners = [float(corner[0]) for corner in inward_corners(site.polygon)]
    lines = [*pads.u_m.tolist(), *level]
    cuts = strip_cuts(lines, must=[*level, *corners], limit_m=site.pad_limit_m)
    pieces = strip_pieces(site.polygon, [*pads.u_m[[0, -1]].tolist(), *cuts])
    return tuple(
        Strip(
            name=f"S{number}",
            corners=_ring(site, pieces[piece].exterior),
            holes=tuple(_ring(site, ring) for ring in pieces[piece].interiors),
        )
        for number, piece in enumerate(_order(site, pieces), start=1)
    )


def _onto(place: float, lines: Floats) -> float:
    """The pad line that is all but there, else the place itself."""
    near = float(lines[np.argmin(np.abs(lines - place))])
    return near if abs(near - place) < 2 * _SAME_M else place


def strip_pieces(polygon: shapely.Polygon, lines: Sequence[float]) -> list[shapely.Polygon]:
    """The floor between neighbouring lines, each piece by itself, from west to east."""
    _, south, _, north = polygon.bounds
    pieces: list[shapely.Polygon] = []
    for a, b in pairwise(sorted(lines)):
        band = shapely.intersection(polygon, shapely.box(a, south - 1, b, north + 1))
        parts = [part for part in shapely.get_parts(band) if part.geom_type == "Polygon"]
        parts = [part for part in parts if part.area > _SAME_M]
        pieces += sorted(parts, key=lambda part: float(part.centroid.y))
    return pieces


@dataclass(frozen=True, slots=True)
class _Way:
    """One order of the pour, and what speaks against it."""

    jumps: int  # strips that do not lie beside the one before
    rank: int  # of the door that is left by, the first outlet first
    reach_m: float  # how much of it the last strip has
    order: tuple[int, ...]


def _order(site: Site, pieces: Sequence[shapely.Polygon]) -> tuple[int, ...]:
    """The order with the fewest jumps that ends at a door, the first outlet's before others."""
    beside = _beside(pieces)
    ways = []
    for rank, line in enumerate(_doors(site)):
        reach = [float(line.intersection(piece.buffer(_SAME_M)).length) for piece in pieces]
        for last in range(len(pieces)):
            if reach[last] >= min(_PASSAGE_M, max(reach)) > _SAME_M:
                order = _outward(pieces, beside, last)
                jumps = sum(not beside[a, b] for a, b in pairwise(order))
                ways.append(_Way(jumps, rank, reach[last], order))
    if not ways:
        mouth = shapely.MultiPoint(site.mouths[0].mouth)
        last = int(np.argmin([piece.distance(mouth) for piece in pieces]))
        return _outward(pieces, beside, last)
    return min(ways, key=lambda way: (way.jumps, way.rank, -way.reach_m)).order


def _doors(site: Site) -> list[shapely.LineString]:
    """Outlets that a person can leave by, then the other openings in the walls."""
    lines = [mouth.mouth for mouth in site.mouths if len(mouth.mouth) == 2]
    lines += [line for edge, line in site.edges if edge.kind in ("door", "threshold", "apron")]
    found = [shapely.LineString(line) for line in lines]
    walls = site.polygon.boundary.buffer(_SAME_M)
    return [line for line in found if walls.covers(line)]


def _beside(pieces: Sequence[shapely.Polygon]) -> NDArray[np.bool_]:
    """Which pieces a person can step over to from which; narrow ways count if there is no other."""
    shared = np.zeros((len(pieces), len(pieces)))
    for one, other in combinations(range(len(pieces)), 2):
        if pieces[one].distance(pieces[other]) < _SAME_M:
            meets = pieces[one].buffer(_SAME_M).intersection(pieces[other].boundary)
            shared[one, other] = shared[other, one] = meets.length
    wide = shared >= _PASSAGE_M
    if csgraph.connected_components(wide)[0] == 1:
        return np.asarray(wide)
    return np.asarray(shared > 10 * _SAME_M)


def _outward(
    pieces: Sequence[shapely.Polygon], beside: NDArray[np.bool_], last: int
) -> tuple[int, ...]:
    """Every piece after all those that are left over it, the farthest leg first."""
    middles = np.array([piece.centroid.coords[0] for piece in pieces])
    apart = np.hypot(*(middles[:, None, :] - middles[None, :, :]).transpose(2, 0, 1))
    far, over = csgraph.dijkstra(
        np.where(beside, apart, 0.0), indices=last, return_predecessors=True
    )

    def poured(piece: int) -> tuple[float, list[int]]:
        """How far the farthest piece behind this one is, and the order up to this one."""
        legs = [poured(int(next_)) for next_ in np.flatnonzero(over == piece)]
        legs.sort(key=lambda leg: -leg[0])
        return max([float(far[piece]), *(leg[0] for leg in legs)]), [
            *(each for leg in legs for each in leg[1]),
            piece,
        ]

    order = poured(last)[1]
    return (*(piece for piece in range(len(pieces)) if piece not in order), *order)


def _ring(site: Site, ring: shapely.LinearRing) -> tuple[Point, ...]:
    corners = site.frame.to_sheet(np.asarray(ring.coords)[:-1])
    return tuple((float(x), float(y)) for x, y in corners)
