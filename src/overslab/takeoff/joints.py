"""Contraction joints laid out over the new top, with the plain grid beside them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from overslab.ground.faults import Faulty
from overslab.ground.notes import Assumption
from overslab.handbook import joint_cuts
from overslab.handbook.joints import panel_limits
from overslab.handbook.working import Working
from overslab.newtop.records import NewTop
from overslab.oldslab.records import OldSlab
from overslab.takeoff import faults
from overslab.takeoff.asked import JointsAsked
from overslab.takeoff.joint_check import (
    Drawn,
    Ground,
    check_layout,
    early_check,
    measure_panels,
)
from overslab.takeoff.joint_field import (
    SAME_M,
    Asking,
    Field,
    lay_field,
    main_way,
    turned,
    without_posts,
)
from overslab.takeoff.joint_parts import (
    depth_classes,
    isolated,
    joint_items,
    joint_remarks,
    plain_lines,
)
from overslab.takeoff.joint_programme import Chosen, Worth, choose, crossings
from overslab.takeoff.joint_records import (
    JointKind,
    JointLayout,
    JointLine,
    JointProof,
    PlainGrid,
    Point,
)
from overslab.takeoff.joint_rules import PanelRule, cut_depth, panel_rule
from overslab.takeoff.joint_site import (
    JointSite,
    jambs_of,
    old_lines,
    points_of,
    regions_of,
    segments,
)

Floats = NDArray[np.float64]
Shape = TypeVar("Shape", bound=BaseGeometry)

_ASIDE_M = 0.01
_FULL = "full depth, right over the old one"


def lay_joints(
    oldslab: OldSlab,
    newtop: NewTop,
    asked: JointsAsked,
    *,
    system: str | None,
    to_match: Sequence[str] = (),
    no_drilling: Sequence[str] = (),
) -> JointLayout:
    """Least to cut, then fewest lines and crossings, then evenest panels, each proven.

    ``to_match`` are names of breaks that a bonded top must joint over; ``no_drilling`` says why
    nobody saws, and makes every joint a tooled one. Raises ``Faulty`` when there is no top.
    """
    if newtop.top is None or newtop.top.surface is None:
        raise Faulty(faults.NO_TOP.met(value="no kind of top chosen"))
    floor = shapely.orient_polygons(oldslab.plan.polygon())
    angle, share = main_way(floor)
    site = JointSite(oldslab, newtop, floor, angle)
    kind: JointKind = "tooled" if no_drilling else asked.kind
    seen = newtop.thickness_m[newtop.lattice.inside]
    thinnest_m = min(float(np.nanmin(seen)), newtop.top.thinnest_m or np.inf)
    rule, assumptions, workings = panel_rule(asked, thinnest_m=thinnest_m)
    over = old_lines(oldslab, floor, to_match if system == "bonded" else ())
    doors = jambs_of(newtop) if asked.at_doors else ()
    fields, chosen = _solved(site, asked, rule, over, doors)
    lines, deep = _lines(site, asked, fields, chosen, over, kind)
    early = kind == "early-entry" and asked.depth_share is None
    share_asked = asked.depth_share or joint_cuts.DEPTH_PRACTICE.value
    ground = Ground(
        floor=floor,
        lattice_m=newtop.lattice.points_m,
        lattice_thickness_m=seen,
        thickness_m=site.thickness_m,
        to_match=tuple((name, line) for name, line in over),
        doors=tuple(doors),
        both_jambs=asked.jambs == "both",
        depth_share=None if early else share_asked,
        least_depth_m=joint_cuts.LEAST_DEPTH[kind == "early-entry"].value,
    )
    panels = measure_panels([line.path for line in lines], ground, rule)
    length_m = sum(line.length_m for line in lines)
    drawn = [Drawn(line.name, line.path, line.over, line.depth_m) for line in lines]
    checks = check_layout(drawn, ground, rule, panels=panels, length_m=length_m)
    picked = [
        [field.chords[n] for n in one.chords] for field, one in zip(fields, chosen, strict=True)
    ]
    proof = _proof(fields, chosen)
    if early:
        deepest = early_check([(line.name, line.thickest_m) for line in lines if not line.over])
        checks = checks if deepest is None else (*checks, deepest)
        assumptions += (
            Assumption(
                about="depth of early-entry cuts",
                taken="the least depth, whatever the thickness",
                because="no depth was given; the figure is from memory of ACI 302.1R: follow the "
                "maker of the saw",
            ),
        )
    return JointLayout(
        kind=kind,
        lines=lines,
        panels=panels,
        length_m=length_m,
        crossings=sum(crossings(one) for one in picked),
        depths=depth_classes(lines, mark_m=newtop.wishes.mark_m),
        isolation=isolated(oldslab, newtop),
        on_strips_m=sum(chord.on_strip_m for one in picked for chord in one),
        plain=_plain(site, asked, ground, rule, thinnest_m),
        proof=proof,
        published=panel_limits(slab_thickness_m=max(thinnest_m, 1e-3)),
        angle_rad=angle,
        items=joint_items(length_m, kind=kind, asked=asked),
        checks=checks,
        remarks=joint_remarks(
            proof,
            asked,
            kind=kind,
            system=system,
            walls_share=share,
            matched=[name for name, _ in over],
            unmatched=[name for name in to_match if name not in dict(over)],
            no_drilling=no_drilling,
            on_strips=any(chord.on_strip_m > 0 for one in picked for chord in one),
            checks=checks,
            rule=rule,
        ),
        assumptions=assumptions,
        workings=(*workings, *deep),
    )


def _solved(
    site: JointSite,
    asked: JointsAsked,
    rule: PanelRule,
    over: Sequence[tuple[str, tuple[Point, ...]]],
    doors: Sequence[tuple[str, tuple[Point, Point]]],
) -> tuple[list[Field], list[Chosen]]:
    """Each region between full-depth joints by itself: nothing runs on through such a joint."""

    def to_walls(shape: Shape) -> Shape:
        found: Shape = shapely.transform(shape, lambda xy: turned(xy, -site.angle_rad))
        return found

    cuts = [shapely.LineString(path) for _, path in over]
    regions = regions_of(site.floor, cuts)
    edges = [
        shapely.LineString(pair)
        for strip in site.newtop.strips
        for pair in zip(strip.corners, (*strip.corners[1:], strip.corners[0]), strict=True)
    ]
    inner = shapely.union_all(edges).difference(site.floor.boundary.buffer(SAME_M))
    straight = [
        shapely.LineString(np.round(shapely.get_coordinates(part), 6))
        for whole in shapely.get_parts(to_walls(inner))
        for part in segments(whole)
    ]
    asking = Asking(
        step_m=asked.step_m,
        least_strip_m=rule.least_strip_m,
        doors=tuple((name, turned(np.array(line), -site.angle_rad)) for name, line in doors),
        both_jambs=asked.jambs == "both",
        posts=tuple(
            (hole.name, to_walls(shapely.Polygon(hole.corners)))
            for hole in site.oldslab.plan.holes
            if not len(
                without_posts(shapely.Polygon(site.floor.exterior, [hole.corners])).interiors
            )
        ),
        strip_edges=shapely.MultiLineString(straight),
    )
    fields, chosen = [], []
    for region in regions:
        field = lay_field(to_walls(region), asking, site.thinnest)
        limit = np.vectorize(rule.longest_m, otypes=[float])(
            np.where(field.inside, field.thinnest_m, 1.0)
        )
        # Where there is next to no thickness no cutting helps: the check tells of it.
        limit = np.maximum(limit, rule.least_strip_m)
        fields.append(field)
        chosen.append(
            choose(
                field,
                limit_m=limit,
                aspect=rule.aspect,
                least_strip_m=rule.least_strip_m,
                worth=Worth(asked.post_worth_m, asked.door_worth_m),
            )
        )
    return fields, chosen


def _lines(
    site: JointSite,
    asked: JointsAsked,
    fields: Sequence[Field],
    chosen: Sequence[Chosen],
    over: Sequence[tuple[str, tuple[Point, ...]]],
    kind: JointKind,
) -> tuple[tuple[JointLine, ...], tuple[Working, ...]]:
    """Old joints first, then ours: those that run up the sheet, then those across."""
    made: list[tuple[tuple[Point, ...], str, tuple[str, ...], float | None, Point | None]] = [
        (path, name, (_FULL,), None, None) for name, path in over
    ]
    ours = sorted(
        (
            (chord, field)
            for field, one in zip(fields, chosen, strict=True)
            for chord in (field.chords[n] for n in one.chords)
        ),
        key=lambda pair: (-pair[0].axis, pair[0].place, pair[0].low),
    )
    for chord, field in ours:
        ends = np.array(chord.ends)
        foot, gap = _taped(field, chord.axis, ends)
        path = points_of(shapely.LineString(turned(ends, site.angle_rad)))
        wall = None if foot is None else _point(turned(foot[None], site.angle_rad)[0])
        made.append((path, "", chord.why, gap, wall))
    lines, workings = [], []
    for number, (path, name, why, gap, wall) in enumerate(made, start=1):
        thin, thick = site.along(path)
        label = f"J{number}"
        if name:
            depth_m = thick
        else:
            depth_m, working = cut_depth(
                asked, kind=kind, thickest_m=thick, about=f"depth of joint {label}"
            )
            if working is not None:
                workings.append(working)
        cut = shapely.intersection(shapely.LineString(path), site.floor)
        parts = tuple(points_of(part) for part in shapely.get_parts(cut) if part.length > _ASIDE_M)
        lines.append(
            JointLine(
                name=label,
                path=path,
                parts=parts,
                over=name,
                why=why,
                length_m=float(cut.length),
                thinnest_m=thin,
                thickest_m=thick,
                depth_m=depth_m,
                from_wall_m=gap,
                taped_from=wall,
            )
        )
    return tuple(lines), tuple(workings)


def _point(place: Floats) -> Point:
    return float(place[0]), float(place[1])


def _taped(field: Field, axis: int, ends: Floats) -> tuple[Floats | None, float | None]:
    """From the wall (or full-depth joint) to the left or below, square to the line at its foot."""
    start = ends[0] + (ends[1] - ends[0]) * min(0.25, 0.3 / float(np.hypot(*(ends[1] - ends[0]))))
    far = start.copy()
    far[1 - axis] = field.solid.bounds[1 - axis] - 1.0
    met = shapely.intersection(shapely.LineString([start, far]), field.solid.boundary)
    places = shapely.get_coordinates(met)
    gaps = np.hypot(*(places - start).T) if len(places) else np.empty(0)
    if not len(gaps):
        return None, None
    nearest = int(gaps.argmin())
    return places[nearest], float(gaps[nearest])


def _proof(fields: Sequence[Field], chosen: Sequence[Chosen]) -> JointProof:
    return JointProof(
        sought_m=sum(one.length_m for one in chosen),
        bound_m=sum(one.bound_m for one in chosen),
        lines_considered=sum(len(field.chords) for field in fields),
        rules=sum(one.rules for one in chosen),
        fewest=sum(one.fewest for one in chosen),
        fewest_bound=sum(one.fewest_bound for one in chosen),
        reserve=max((one.reserve for one in chosen), default=0.0),
        reserve_step=max((one.reserve_step for one in chosen), default=0.0),
        given_up=_given_up(fields, chosen),
        aspect=max((one.aspect for one in chosen), default=0.0),
        stopped=any(one.stopped for one in chosen),
    )


def _given_up(fields: Sequence[Field], chosen: Sequence[Chosen]) -> tuple[str, ...]:
    """Wishes met in none of the regions that they reach into."""
    kept = {
        want.name
        for field, one in zip(fields, chosen, strict=True)
        for want in field.wants
        if want.kind != "corner" and want.name not in one.given_up
    }
    return tuple(dict.fromkeys(name for one in chosen for name in one.given_up if name not in kept))


def _plain(
    site: JointSite, asked: JointsAsked, ground: Ground, rule: PanelRule, thinnest_m: float
) -> PlainGrid:
    solid = without_posts(site.floor)
    limit_m = max(rule.longest_m(thinnest_m), rule.least_strip_m)
    paths = [
        points_of(shapely.transform(line, lambda xy: turned(xy, site.angle_rad)))
        for line in plain_lines(
            shapely.transform(solid, lambda xy: turned(xy, -site.angle_rad)),
            limit_m=limit_m,
            step_m=asked.step_m,
        )
    ]
    panels = measure_panels(paths, ground, rule)
    length_m = sum(
        float(shapely.LineString(path).intersection(site.floor).length) for path in paths
    )
    drawn = []
    for number, path in enumerate(paths, start=1):
        _, thick = site.along(path)
        depth_m, _ = cut_depth(asked, kind=asked.kind, thickest_m=thick, about="plain grid")
        drawn.append(Drawn(f"G{number}", path, "", depth_m))
    return PlainGrid(
        lines=tuple(paths),
        length_m=length_m,
        panels=len(panels),
        checks=check_layout(drawn, ground, rule, panels=panels, length_m=length_m),
    )
