"""The floor as the joints see it: turned to its walls, cut into cells by every line considered.

A ``Chord`` is one line from wall to wall: joints run through, for a crack goes on from where one
stops at another. Only a full-depth joint over an old one ends others as a wall does, so that each
region between such joints is laid out by itself.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

SAME_M = 1e-3
# Walls within this of each other run one way.
_SAME_WAY_RAD = math.radians(0.5)
# A post no wider than this stands in a panel; what is wider bounds panels as walls do.
POST_M = 0.75
# An inside corner turns by more than this; flatter ones start no crack (our choice).
_CORNER_RAD = math.radians(20.0)
# A joint that is not meant for a post keeps this far from it.
_SKIM_M = 0.3
_HAIR_M = 1e-5
_MOST_PLACES = 90


@dataclass(frozen=True, slots=True)
class Want:
    """A place something asks a joint at: one of ``chords`` of each group shall be laid."""

    name: str
    kind: str  # "corner", "post", "door"
    groups: tuple[tuple[int, ...], ...]


@dataclass(frozen=True, slots=True)
class Chord:
    """A line along ``axis`` (0: u runs, 1: v runs) at ``place`` from ``low`` to ``high``."""

    axis: int
    place: float
    low: float
    high: float
    length_m: float  # what is cut: without posts it runs through
    on_strip_m: float
    why: tuple[str, ...]

    @property
    def ends(self) -> tuple[tuple[float, float], tuple[float, float]]:
        if self.axis == 0:
            return (self.low, self.place), (self.high, self.place)
        return (self.place, self.low), (self.place, self.high)

    def crosses(self, other: Chord) -> bool:
        return (
            self.axis != other.axis
            and self.low + SAME_M < other.place < self.high - SAME_M
            and other.low + SAME_M < self.place < other.high - SAME_M
        )


@dataclass(frozen=True, slots=True, eq=False)
class Field:
    """One region: cells between ``u_m`` and ``v_m`` (nv, nu), and the chords over them.

    ``across`` (nv + 1, nu) and ``upright`` (nv, nu + 1) say which chord runs along the side of a
    cell, -1 where none can; ``wall_across`` and ``wall_upright`` where the floor ends there.
    """

    region: shapely.Polygon
    solid: shapely.Polygon  # without narrow posts
    u_m: Floats
    v_m: Floats
    inside: Bools
    thinnest_m: Floats  # (nv, nu), of each cell; infinite outside
    chords: tuple[Chord, ...]
    across: NDArray[np.intp]
    upright: NDArray[np.intp]
    wall_across: Bools
    wall_upright: Bools
    wants: tuple[Want, ...]


@dataclass(frozen=True, slots=True)
class Asking:
    """What asks for joints, all in the frame of the walls."""

    step_m: float
    least_strip_m: float
    doors: tuple[tuple[str, Floats], ...]  # name and line (2, 2)
    both_jambs: bool
    posts: tuple[tuple[str, shapely.Polygon], ...]
    strip_edges: BaseGeometry


def main_way(polygon: shapely.Polygon) -> tuple[float, float]:
    """Direction of most length of wall, modulo a right angle, and its share of all wall."""
    sides = np.diff(np.asarray(polygon.exterior.coords), axis=0)
    lengths = np.hypot(sides[:, 0], sides[:, 1])
    quarter = math.pi / 2
    angles = np.mod(np.arctan2(sides[:, 1], sides[:, 0]), quarter)
    apart = np.abs(angles[:, None] - angles[None, :])
    support = (np.minimum(apart, quarter - apart) <= _SAME_WAY_RAD) @ lengths
    best = int(np.lexsort((-lengths, -np.round(support, 6)))[0])
    share = float(support[best] / lengths.sum())
    if share < 0.5:
        best = int(lengths.argmax())
    angle = float(angles[best])
    if angle > quarter / 2:
        angle -= quarter
    return (0.0 if abs(angle) < 1e-6 else angle), share


def turned(places: Floats, angle_rad: float) -> Floats:
    """Places (n, 2) turned counter-clockwise about the origin."""
    places = np.asarray(places, dtype=np.float64).reshape(-1, 2)
    if angle_rad == 0.0:
        return places
    c, s = math.cos(angle_rad), math.sin(angle_rad)
    found: Floats = places @ np.array([[c, s], [-s, c]])
    return found


def without_posts(region: shapely.Polygon) -> shapely.Polygon:
    """The region with narrow posts filled in."""
    wide = [
        ring
        for ring in region.interiors
        if max(ring.bounds[2] - ring.bounds[0], ring.bounds[3] - ring.bounds[1]) > POST_M
    ]
    return shapely.Polygon(region.exterior, wide)


def inside_corners(region: shapely.Polygon) -> Floats:
    """Corners (n, 2) that stick into the region, of its outline and of what stands in it."""
    found: list[Floats] = []
    # So the floor is on the left of the way on every ring, and a turn to the right sticks into it.
    region = shapely.orient_polygons(region)
    for ring in (region.exterior, *region.interiors):
        corners = shapely.get_coordinates(shapely.simplify(ring, SAME_M))[:-1]
        one = corners - np.roll(corners, 1, axis=0)
        two = np.roll(corners, -1, axis=0) - corners
        turn = np.arctan2(one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0], (one * two).sum(axis=1))
        found.append(corners[turn < -_CORNER_RAD])
    return np.concatenate(found)


def lay_field(
    region: shapely.Polygon, asking: Asking, thinnest: Callable[[Floats, Floats], Floats]
) -> Field:
    """Cells and chords of one region; ``thinnest(u, v)`` gives the thinnest of each cell."""
    solid = without_posts(region)
    corners = inside_corners(solid)
    places = [_places(solid, asking, corners, axis=axis) for axis in (0, 1)]
    raw = [
        chord
        for axis in (0, 1)
        for place, why in places[1 - axis]
        for chord in _chords(solid, region, asking, axis=axis, place=place, why=why)
    ]
    ring = shapely.get_coordinates(solid.simplify(SAME_M))
    lines = [
        _merged([*(c.place for c in raw if c.axis == 1 - axis), *ring[:, axis]]) for axis in (0, 1)
    ]
    u_m, v_m = lines
    west, south = np.meshgrid(u_m[:-1], v_m[:-1])
    east, north = np.meshgrid(u_m[1:], v_m[1:])
    cells = shapely.box(west, south, east, north)
    shapely.prepare(solid)
    share = shapely.area(shapely.intersection(cells, solid)) / shapely.area(cells)
    inside = share > 0.5
    across, upright = _sides(raw, u_m, v_m)
    padded = np.pad(inside, 1)
    return Field(
        region=region,
        solid=solid,
        u_m=u_m,
        v_m=v_m,
        inside=inside,
        thinnest_m=np.where(inside, thinnest(u_m, v_m), np.inf),
        chords=tuple(raw),
        across=across,
        upright=upright,
        wall_across=(padded[1:, 1:-1] != padded[:-1, 1:-1]),
        wall_upright=(padded[1:-1, 1:] != padded[1:-1, :-1]),
        wants=_wants(raw, region, solid, asking, corners),
    )


def _merged(values: Sequence[float]) -> Floats:
    ordered = np.unique(np.asarray(values))
    kept = np.concatenate([[True], np.diff(ordered) > SAME_M])
    return np.asarray(ordered[kept])


def _places(
    solid: shapely.Polygon, asking: Asking, corners: Floats, *, axis: int
) -> list[tuple[float, tuple[str, ...]]]:
    """Places along ``axis`` where a line square to it may stand, each with what asks for it."""
    low, high = solid.bounds[axis], solid.bounds[axis + 2]
    asked: list[tuple[float, str]] = [(float(corner[axis]), "inside corner") for corner in corners]
    for name, post in asking.posts:
        if shapely.intersects(post, solid):
            asked.append(((post.bounds[axis] + post.bounds[axis + 2]) / 2, name))
    for name, line in asking.doors:
        if np.ptp(line[:, 1 - axis]) < 0.05 and shapely.LineString(line).distance(solid) < 0.05:
            asked += [(float(end[axis]), f"jamb of {name}") for end in line]
    step = asking.step_m
    while (high - low) / step > _MOST_PLACES:
        step *= 2
    count = int((high - low) / step + 1e-9)
    plain = [low + k * step for k in range(1, count + 1)]
    strips = shapely.get_coordinates(asking.strip_edges).reshape(-1, 2, 2)
    plain += [float(a[axis]) for a, b in strips if abs(a[axis] - b[axis]) < SAME_M]
    found: list[tuple[float, list[str]]] = []
    for value, why in sorted([*asked, *((value, "") for value in plain)]):
        if not low + SAME_M < value < high - SAME_M:
            continue
        if found and value - found[-1][0] <= SAME_M:
            found[-1][1].append(why)
        else:
            found.append((value, [why]))
    return [(value, tuple(dict.fromkeys(w for w in why if w))) for value, why in found]


def _chords(
    solid: shapely.Polygon,
    region: shapely.Polygon,
    asking: Asking,
    *,
    axis: int,
    place: float,
    why: tuple[str, ...],
) -> list[Chord]:
    """The pieces from wall to wall of the line at ``place``, without those in a narrow strip."""
    west, south, east, north = solid.bounds
    line = (
        shapely.LineString([(west - 1, place), (east + 1, place)])
        if axis == 0
        else shapely.LineString([(place, south - 1), (place, north + 1)])
    )
    inner = solid.buffer(-_HAIR_M, join_style="mitre")
    found = []
    for part in shapely.get_parts(line.intersection(inner)):
        ends = shapely.get_coordinates(part)[:, axis]
        low, high = float(ends.min()) - _HAIR_M, float(ends.max()) + _HAIR_M
        if high - low < 10 * SAME_M or _too_near(
            solid, asking, axis=axis, place=place, low=low, high=high, meant=why
        ):
            continue
        whole = [(low, place), (high, place)] if axis == 0 else [(place, low), (place, high)]
        cut = shapely.intersection(shapely.LineString(whole), region)
        near = shapely.intersection(asking.strip_edges, part.buffer(SAME_M, cap_style="flat"))
        touching = tuple(
            reason for reason in why if _meets(reason, solid, axis=axis, place=place, part=part)
        )
        found.append(Chord(axis, place, low, high, float(cut.length), _run(near), touching))
    return found


def _run(near: BaseGeometry) -> float:
    """Length that runs along; where lines only cross is none."""
    parts = [float(part.length) for part in shapely.get_parts(near)]
    return sum(length for length in parts if length > 10 * SAME_M)


def _meets(
    reason: str, solid: shapely.Polygon, *, axis: int, place: float, part: BaseGeometry
) -> bool:
    """Whether this piece of the line starts at the corner that asks for the line."""
    if reason != "inside corner":
        return True
    corners = inside_corners(solid)
    here = corners[np.abs(corners[:, 1 - axis] - place) < SAME_M]
    return bool(len(here)) and bool(
        (shapely.distance(part, shapely.points(here)) < 10 * SAME_M).any()
    )


def _too_near(
    solid: shapely.Polygon,
    asking: Asking,
    *,
    axis: int,
    place: float,
    low: float,
    high: float,
    meant: tuple[str, ...],
) -> bool:
    """Beside a parallel wall nearer than the least strip, or skimming past a post."""
    for ring in (solid.exterior, *solid.interiors):
        at = shapely.get_coordinates(ring)
        a, b = at[:-1], at[1:]
        parallel = np.abs(a[:, 1 - axis] - b[:, 1 - axis]) < SAME_M
        off = np.abs(a[:, 1 - axis] - place)
        over = np.minimum(high, np.maximum(a[:, axis], b[:, axis])) - np.maximum(
            low, np.minimum(a[:, axis], b[:, axis])
        )
        near = parallel & (off > SAME_M) & (off < asking.least_strip_m - SAME_M) & (over > SAME_M)
        if near.any():
            return True
    for name, post in asking.posts:
        if name in meant:
            continue
        least, most = post.bounds[1 - axis], post.bounds[3 - axis]
        beside = post.bounds[axis + 2] > low and post.bounds[axis] < high
        if beside and least - _SKIM_M < place < most + _SKIM_M:
            return True
    return False


def _sides(
    chords: Sequence[Chord], u_m: Floats, v_m: Floats
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    across = np.full((len(v_m), len(u_m) - 1), -1, dtype=np.intp)
    upright = np.full((len(v_m) - 1, len(u_m)), -1, dtype=np.intp)
    u_mid, v_mid = (u_m[:-1] + u_m[1:]) / 2, (v_m[:-1] + v_m[1:]) / 2
    for number, chord in enumerate(chords):
        if chord.axis == 0:
            row = int(np.abs(v_m - chord.place).argmin())
            across[row, (u_mid > chord.low) & (u_mid < chord.high)] = number
        else:
            column = int(np.abs(u_m - chord.place).argmin())
            upright[(v_mid > chord.low) & (v_mid < chord.high), column] = number
    return across, upright


def _wants(
    chords: Sequence[Chord],
    region: shapely.Polygon,
    solid: shapely.Polygon,
    asking: Asking,
    corners: Floats,
) -> tuple[Want, ...]:
    found = []
    segments = [shapely.LineString(chord.ends) for chord in chords]

    def at(place: Floats, *, why: str) -> tuple[int, ...]:
        spot = shapely.Point(place)
        return tuple(
            number
            for number, segment in enumerate(segments)
            if why in chords[number].why and segment.distance(spot) < 10 * SAME_M
        )

    for number, corner in enumerate(corners, start=1):
        found.append(Want(f"inside corner {number}", "corner", (at(corner, why="inside corner"),)))
    for name, post in asking.posts:
        if post.intersects(region):
            found.append(Want(name, "post", (at(np.array(post.centroid.coords[0]), why=name),)))
    for name, line in asking.doors:
        if shapely.LineString(line).distance(solid) > 0.05:
            continue
        feet = [_onto(end, solid) for end in line if solid.distance(shapely.Point(end)) < 0.05]
        if not feet:
            continue
        jambs = [at(foot, why=f"jamb of {name}") for foot in feet]
        groups = tuple(jambs) if asking.both_jambs else (tuple(n for jamb in jambs for n in jamb),)
        found.append(Want(name, "door", groups))
    return tuple(found)


def _onto(place: Floats, solid: shapely.Polygon) -> Floats:
    foot = shapely.shortest_line(shapely.Point(place), solid.boundary)
    return np.asarray(shapely.get_coordinates(foot)[1])
