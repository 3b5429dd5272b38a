"""What goes with a layout of joints: the plain grid, depth classes, items, remarks."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely

from overslab.ground.notes import Remark
from overslab.handbook.checks import Check
from overslab.newtop.records import NewTop
from overslab.oldslab.records import OldSlab
from overslab.takeoff.asked import JointsAsked
from overslab.takeoff.items import Item
from overslab.takeoff.joint_check import EARLY_CHECK
from overslab.takeoff.joint_records import (
    DepthClass,
    JointKind,
    JointLine,
    JointProof,
    Point,
)
from overslab.takeoff.joint_rules import PanelRule

_HAIR_M = 1e-5
_AT_M = 0.02
# Along less wall than this share one way is no main way.
_MAIN_SHARE = 0.5


def plain_lines(
    solid: shapely.Polygon, *, limit_m: float, step_m: float
) -> list[shapely.LineString]:
    """Equal parts of the floor's bounds, none longer than the limit rounded down to whole steps."""
    rounded = math.floor(limit_m / step_m + 1e-9) * step_m or limit_m
    west, south, east, north = solid.bounds
    inner = solid.buffer(-_HAIR_M, join_style="mitre")
    found = []
    for low, high, axis in ((west, east, 1), (south, north, 0)):
        parts = max(1, math.ceil((high - low) / rounded - 1e-9))
        for place in np.linspace(low, high, parts + 1)[1:-1].tolist():
            ends = (
                [(place, south - 1), (place, north + 1)]
                if axis
                else [(west - 1, place), (east + 1, place)]
            )
            for part in shapely.get_parts(shapely.LineString(ends).intersection(inner)):
                found.append(_carried_on(part))
    return found


def _carried_on(part: shapely.LineString) -> shapely.LineString:
    """The hair that keeps lines off walls, given back."""
    a, b = shapely.get_coordinates(part)[[0, -1]]
    way = (b - a) / np.hypot(*(b - a)) * _HAIR_M
    return shapely.LineString([a - way, b + way])


def depth_classes(lines: Sequence[JointLine], *, mark_m: float) -> tuple[DepthClass, ...]:
    """Lines by depth, rounded up to whole marks: the blade is set once for each."""
    classes: dict[int, list[JointLine]] = {}
    for line in lines:
        classes.setdefault(math.ceil(line.depth_m / mark_m - 1e-6), []).append(line)
    return tuple(
        DepthClass(
            depth_m=marks * mark_m,
            length_m=sum(line.length_m for line in held),
            lines=tuple(line.name for line in held),
        )
        for marks, held in sorted(classes.items())
    )


def isolated(oldslab: OldSlab, newtop: NewTop) -> tuple[tuple[Point, ...], ...]:
    """Walls and posts the top is kept apart from; not at doors and open edges."""
    openings = [shapely.LineString(line) for line in oldslab.plan.openings]
    openings += [
        shapely.LineString([edge.a, edge.b])
        for edge in newtop.wishes.edges
        if edge.kind in ("door", "threshold", "apron")
    ]
    boundary = oldslab.plan.polygon().boundary
    walls = boundary.difference(shapely.union_all(openings).buffer(_AT_M)) if openings else boundary
    return tuple(
        tuple((float(x), float(y)) for x, y in shapely.get_coordinates(part))
        for part in shapely.get_parts(shapely.line_merge(walls))
        if part.length > _AT_M
    )


def joint_items(length_m: float, *, kind: JointKind, asked: JointsAsked) -> tuple[Item, ...]:
    """What is cut or tooled, and what is filled."""
    if length_m <= 0.0:
        return ()
    tooled = kind == "tooled"
    found = [
        _by_length(
            "tool-joints" if tooled else "cut-joints",
            "tool the joints" if tooled else "saw the joints",
            "work",
            length_m,
            "all joints as drawn, without the posts they run through",
        )
    ]
    if asked.filler:
        why = "every joint, as drawn; the width of the cut says how much a running length takes"
        found += [
            _by_length("joint-filler", "joint filler", "material", length_m, why),
            _by_length("fill-joints", "fill the joints", "work", length_m, "every joint, as drawn"),
        ]
    return tuple(found)


def _by_length(code: str, what: str, kind: str, length_m: float, why: str) -> Item:
    return Item(
        code=code,
        what=what,
        kind="material" if kind == "material" else "work",
        quantity="length_m",
        net=length_m,
        gross=length_m,
        order_unit="m",
        ordered=length_m,
        why=why,
    )


def _shape(aspect: float) -> str:
    return f"{aspect:.3g} to 1 was asked" if math.isfinite(aspect) else "none was asked in the end"


def joint_remarks(
    proof: JointProof,
    asked: JointsAsked,
    *,
    kind: JointKind,
    system: str | None,
    walls_share: float,
    matched: Sequence[str],
    unmatched: Sequence[str],
    no_drilling: Sequence[str],
    on_strips: bool,
    checks: Sequence[Check],
    rule: PanelRule,
) -> tuple[Remark, ...]:
    """What the reader must know of the layout."""
    found: list[Remark] = []
    if no_drilling:
        was = "" if asked.kind == "tooled" else f", not {asked.kind} as asked"
        found.append(
            Remark(
                "warn",
                f"No sawing here ({'; '.join(no_drilling)}): every joint is tooled into the wet "
                f"top{was}.",
            )
        )
    if kind != "tooled":
        found.append(
            Remark(
                "note",
                "The blade is set for the thickest place along each line. A place much thinner is "
                "cut deeper than its share there; the sheet tells both.",
            )
        )
    if matched:
        names = ", ".join(dict.fromkeys(matched))
        found.append(
            Remark(
                "warn",
                f"Joint right over {names}, through the full depth of the top. Mark its ends on "
                "the walls before the pour: it cannot be seen afterwards.",
            )
        )
    if system == "bonded":
        found.append(
            Remark(
                "note",
                "A bonded top works as one with the old slab. Our own panels go by the thickness "
                "of the top alone, which is the safe side; the owner may give a greatest panel.",
            )
        )
    if unmatched:
        found.append(
            Remark(
                "ask",
                f"Not jointed over: {', '.join(unmatched)}. The top is not bonded; the sources "
                "disagree whether it needs a joint there. Decide before the pour.",
            )
        )
    if walls_share < _MAIN_SHARE:
        found.append(
            Remark(
                "note",
                "The walls of this floor have no main way; joints run along and square to the "
                "longest edge.",
            )
        )
    if on_strips:
        found.append(
            Remark(
                "note",
                "Where a joint lies on the edge of a pour strip a bulkhead makes the joint, and "
                "nothing need be cut there. The length told counts it as cut.",
            )
        )
    if proof.given_up:
        found.append(
            Remark(
                "warn",
                f"No joint laid at: {', '.join(proof.given_up)}. It would take more cutting than "
                "it is said to be worth, or another rule forbids it. Where an inside corner is "
                "left, put two short bars across it (common practice).",
            )
        )
    if proof.aspect > rule.aspect + 1e-9:
        found.append(
            Remark(
                "warn",
                "No layout of the lines considered was found that has all panels as near to square "
                f"as asked ({rule.aspect:g} to 1): {_shape(proof.aspect)}. Another step, or a "
                "greater length over width, may help.",
            )
        )
    if proof.stopped:
        found.append(
            Remark(
                "note",
                "The search was ended before everything was proven. Every rule was measured again "
                "on this layout, but one nearer to what was asked, with less to cut, fewer lines "
                "or evener panels may be there.",
            )
        )
    told: tuple[str, ...] = (EARLY_CHECK,)
    if proof.given_up:
        told = (*told, "posts", "doors")
    for check in checks:
        if check.name == EARLY_CHECK and not check.passes:
            found.append(
                Remark(
                    "warn",
                    f"The new top is thicker along {check.where} than the least early-entry cut is "
                    "told for. Ask the maker of the saw how deep it must go there, or give a depth "
                    "under [joints].",
                )
            )
    broken = [
        check.name for check in checks if not check.passes and not check.name.startswith(told)
    ]
    if broken:
        found.append(
            Remark("warn", f"Measured again on the drawing, not met: {', '.join(broken)}.")
        )
    return tuple(found)
