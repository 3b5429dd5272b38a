"""Every rule of the joints measured again on the lines as drawn, without the solver's cells.

Panels come from the lines and the outline by polygonizing, sides from the least rectangle round
each, thickness from the surfaces themselves. What is found stands beside what is allowed.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from overslab.handbook import joint_cuts
from overslab.handbook.checks import Check
from overslab.handbook.joints import ASPECT_PRACTICE, LEAST_STRIP
from overslab.takeoff.joint_records import JointPanel, Point
from overslab.takeoff.joint_rules import OVER_M, SET_OUT_M, PanelRule

Floats = NDArray[np.float64]

_SPECK_M2 = 0.01
_TOUCH_M = 0.01
_DISC_M = 0.005
# More than 200 of 360 degrees of floor about a corner: it sticks into the floor.
_INSIDE_SHARE = 200 / 360
_INSET_M = 0.002
_EDGE_STEP_M = 0.25
_ALONG_M = 0.07
# A line may end a hair short of a slanted wall; what is too long hangs loose and parts nothing.
_PAST_M = 1e-3
_NARROW_POST_M = 0.75
_CORNERS = next(a for a in joint_cuts.ADVICE if a.topic == "re-entrant corner").source
_MATCH = next(a for a in joint_cuts.ADVICE if a.topic == "joint matching, bonded").source
_THROUGH = next(a for a in joint_cuts.ADVICE if a.topic == "joints run through").source
EARLY_CHECK = "thickest place under an early-entry cut"
_DRAWN = "the layout as drawn, measured again"


@dataclass(frozen=True, slots=True)
class Drawn:
    """One line of a layout as drawn: its path, what it lies over, how deep it is."""

    name: str
    path: tuple[Point, ...]
    over: str
    depth_m: float


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """What the lines are held against. ``thickness_m`` takes places (n, 2) on the sheet."""

    floor: shapely.Polygon
    lattice_m: Floats  # (n, 2) places inside
    lattice_thickness_m: Floats  # (n,)
    thickness_m: Callable[[Floats], Floats]
    to_match: tuple[tuple[str, tuple[Point, ...]], ...]
    doors: tuple[tuple[str, tuple[Point, Point]], ...]  # whose jambs shall have joints
    both_jambs: bool
    depth_share: float | None  # None: the same depth whatever the thickness
    least_depth_m: float


def measure_panels(
    lines: Sequence[tuple[Point, ...]], ground: Ground, rule: PanelRule
) -> tuple[JointPanel, ...]:
    """The panels that the lines part the floor into, numbered from the lower left by rows."""
    holes = [h for h in ground.floor.interiors if _width(h) > _NARROW_POST_M]
    solid = shapely.Polygon(ground.floor.exterior, holes)
    drawn = [_carried_on(line) for line in lines]
    net = shapely.union_all([solid.boundary, *drawn], grid_size=1e-6)
    faces = [
        face
        for face in shapely.get_parts(shapely.polygonize([net]))
        if face.area > _SPECK_M2 and solid.contains(face.representative_point())
    ]
    faces.sort(key=lambda face: (round(face.centroid.y, 1), face.centroid.x))
    return tuple(
        _panel(f"{number}", face, ground, rule) for number, face in enumerate(faces, start=1)
    )


def _carried_on(path: tuple[Point, ...]) -> shapely.LineString:
    """The line with both its ends a millimetre further on."""
    at = np.asarray(path, dtype=np.float64)
    for end, before in ((0, 1), (-1, -2)):
        way = at[end] - at[before]
        at[end] += way / np.hypot(*way) * _PAST_M
    return shapely.LineString(at)


def _width(ring: BaseGeometry) -> float:
    west, south, east, north = ring.bounds
    return float(max(east - west, north - south))


def _panel(name: str, face: shapely.Polygon, ground: Ground, rule: PanelRule) -> JointPanel:
    # Its own rectangle or the least one: a slanted cut never makes a panel longer than it is.
    box = shapely.get_coordinates(shapely.minimum_rotated_rectangle(face))
    sides = np.hypot(*np.diff(box[:3], axis=0).T)
    own = face.difference(shapely.union_all([shapely.Polygon(h) for h in ground.floor.interiors]))
    shapely.prepare(face)
    inside = shapely.contains_xy(face, ground.lattice_m[:, 0], ground.lattice_m[:, 1])
    inner = face.buffer(-_INSET_M, join_style="mitre")
    edge = shapely.get_coordinates(shapely.segmentize(inner.boundary, _EDGE_STEP_M))
    here = np.concatenate([ground.lattice_thickness_m[inside], ground.thickness_m(edge)])
    thinnest_m = float(np.nanmin(here))
    at = face.representative_point() if not face.contains(face.centroid) else face.centroid
    return JointPanel(
        name=name,
        corners=tuple((float(x), float(y)) for x, y in face.exterior.coords[:-1]),
        at=(float(at.x), float(at.y)),
        length_m=float(sides.max()),
        width_m=float(sides.min()),
        area_m2=float(own.area),
        thinnest_m=thinnest_m,
        allowed_m=rule.longest_m(thinnest_m),
    )


def check_layout(
    lines: Sequence[Drawn],
    ground: Ground,
    rule: PanelRule,
    *,
    panels: Sequence[JointPanel],
    length_m: float,
) -> tuple[Check, ...]:
    """Every rule beside what the drawn lines come to."""
    paths = [shapely.LineString(line.path) for line in lines]
    return (
        *_panel_checks(panels, rule),
        _count("inside corners without a joint", _bare_corners(paths, ground), _CORNERS),
        *_match_checks(lines, ground),
        _count("joints that stop in the floor", _stopping(lines, ground), _THROUGH),
        _count("posts without a joint", _bare_posts(paths, ground), _CORNERS),
        *(
            [_count("doors without a joint at a jamb", _bare_doors(paths, ground), "the owner's")]
            if ground.doors
            else []
        ),
        _depth_check(lines, ground),
        _length_check(paths, ground, length_m),
    )


def _panel_checks(panels: Sequence[JointPanel], rule: PanelRule) -> list[Check]:
    longest = min(panels, key=lambda panel: panel.allowed_m - panel.length_m)
    slim = max(panels, key=lambda panel: panel.length_m / panel.width_m)
    narrow = min(panels, key=lambda panel: panel.width_m)
    return [
        Check(
            "longest side of a panel",
            "panel_m",
            longest.length_m,
            "at most",
            longest.allowed_m,
            rule.source,
            slack=SET_OUT_M,
            where=f"panel {longest.name}",
            at=longest.at,
        ),
        Check(
            "length over width of a panel",
            "aspect",
            slim.length_m / slim.width_m,
            "at most",
            rule.aspect,
            ASPECT_PRACTICE.cited,
            # What setting out may be off by, on the narrower side.
            slack=rule.aspect * SET_OUT_M / slim.width_m,
            where=f"panel {slim.name}",
            at=slim.at,
        ),
        Check(
            "narrowest panel",
            "strip_m",
            narrow.width_m,
            "at least",
            rule.least_strip_m,
            LEAST_STRIP.cited,
            slack=SET_OUT_M,
            where=f"panel {narrow.name}",
            at=narrow.at,
        ),
    ]


def _count(name: str, found: Sequence[tuple[str, Point]], source: str) -> Check:
    return Check(
        name,
        "count",
        float(len(found)),
        "at most",
        0.0,
        source,
        where=", ".join(where for where, _ in found),
        at=found[0][1] if found else None,
    )


def _bare_corners(paths: Sequence[shapely.LineString], ground: Ground) -> list[tuple[str, Point]]:
    """Corners that stick into the floor, told by how much floor lies about them."""
    found: list[tuple[str, Point]] = []
    holes = [h for h in ground.floor.interiors if _width(h) > _NARROW_POST_M]
    solid = shapely.Polygon(ground.floor.exterior, holes)
    for corner in shapely.get_coordinates(solid.simplify(1e-3)):
        spot = shapely.Point(corner)
        disc = spot.buffer(_DISC_M, quad_segs=32)
        if disc.intersection(solid).area / disc.area <= _INSIDE_SHARE:
            continue
        if not any(path.distance(spot) <= _TOUCH_M for path in paths):
            place = (float(corner[0]), float(corner[1]))
            if place not in [at for _, at in found]:
                found.append((f"inside corner {len(found) + 1}", place))
    return found


def _match_checks(lines: Sequence[Drawn], ground: Ground) -> list[Check]:
    """How much of every old joint to match has no full-depth joint right over it."""
    checks = []
    for name, line in ground.to_match:
        old = shapely.LineString(line).intersection(ground.floor)
        over = [shapely.LineString(drawn.path) for drawn in lines if drawn.over == name]
        bare = old.difference(shapely.union_all(over).buffer(OVER_M)) if over else old
        checks.append(
            Check(
                "old joint without a joint right over it",
                "length_m",
                float(bare.length),
                "at most",
                0.0,
                _MATCH,
                slack=2 * OVER_M,
                where=name,
            )
        )
    return checks


def _stopping(lines: Sequence[Drawn], ground: Ground) -> list[tuple[str, Point]]:
    found = []
    for line in lines:
        ends_at: list[BaseGeometry] = [ground.floor.boundary]
        ends_at += [shapely.LineString(o.path) for o in lines if o.over and o is not line]
        for end in (line.path[0], line.path[-1]):
            if min(shape.distance(shapely.Point(end)) for shape in ends_at) > _TOUCH_M:
                found.append((line.name, end))
    return found


def _bare_posts(paths: Sequence[shapely.LineString], ground: Ground) -> list[tuple[str, Point]]:
    found = []
    for number, hole in enumerate(ground.floor.interiors, start=1):
        post = shapely.Polygon(hole)
        if _width(hole) <= _NARROW_POST_M and not any(path.intersects(post) for path in paths):
            found.append((f"post {number}", (float(post.centroid.x), float(post.centroid.y))))
    return found


def _bare_doors(paths: Sequence[shapely.LineString], ground: Ground) -> list[tuple[str, Point]]:
    found = []
    for name, jambs in ground.doors:
        met = [
            any(path.distance(shapely.Point(jamb)) <= 5 * _TOUCH_M for path in paths)
            for jamb in jambs
        ]
        if not (all(met) if ground.both_jambs else any(met)):
            found.append((name, jambs[0]))
    return found


def _depth_check(lines: Sequence[Drawn], ground: Ground) -> Check:
    """The line that is shallowest against what its thickest place asks."""
    worst, needed, where = np.inf, 0.0, ""
    for line in lines:
        path = shapely.segmentize(shapely.LineString(line.path), _ALONG_M)
        thick = ground.thickness_m(shapely.get_coordinates(path))
        share = 1.0 if line.over else ground.depth_share
        least = 0.0 if line.over else ground.least_depth_m
        asks = max(least, 0.0 if share is None else share * float(np.nanmax(thick)))
        if line.depth_m - asks < worst:
            worst, needed, where = line.depth_m - asks, asks, line.name
    return Check(
        "depth of a joint at its thickest place",
        "depth_m",
        needed + worst if lines else 0.0,
        "at least",
        needed,
        joint_cuts.DEPTH_PRACTICE.cited,
        slack=0.001,
        where=where,
    )


def early_check(lines: Sequence[tuple[str, float]]) -> Check | None:
    """The thickest place along the ``lines`` (name, m) beside what the least cut is told for."""
    if not lines:
        return None
    name, thickest_m = max(lines, key=lambda line: line[1])
    told = joint_cuts.EARLY_ENTRY_THICKEST
    return Check(
        EARLY_CHECK,
        "thickness_m",
        thickest_m,
        "at most",
        told.value,
        f"{told.cited}, from memory",
        where=name,
    )


def _length_check(paths: Sequence[shapely.LineString], ground: Ground, length_m: float) -> Check:
    measured = sum(float(path.intersection(ground.floor).length) for path in paths)
    return Check(
        "cut length told and drawn, difference",
        "length_m",
        abs(measured - length_m),
        "at most",
        0.0,
        _DRAWN,
        slack=0.005,
    )
