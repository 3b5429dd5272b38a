"""Joint cuts: depth, the hours in which to saw, isolation, corners, old joints; by source."""

from __future__ import annotations

from overslab.ground.units import to_si
from overslab.handbook.limits import Advice, Row, declare, declare_practice, declare_rows
from overslab.handbook.publications import (
    CONCRETE_CONSTRUCTION,
    CP_TECH_GUIDES,
    HARRINGTON_FICK,
    READY_MIX_JOINTING,
    UFC_PAVEMENT,
)
from overslab.handbook.ranges import hold, within
from overslab.handbook.working import formula

DEPTH = "joint depth"
DEPTH_LEAST = "least joint depth"
EARLY_ENTRY = "slab under an early-entry cut"
SAW_FROM = "sawing, earliest"
SAW_UNTIL = "sawing, latest"

_DEPTH = f"{CONCRETE_CONSTRUCTION}, Recommended depth for control joints"
_WHEN = f"{CONCRETE_CONSTRUCTION}, When to saw control joints"
_GUIDE = f"{CONCRETE_CONSTRUCTION}, Guide to jointing unreinforced pavements"
_CSA = "CSA A23.1-94, as quoted in an engineering forum (second hand)"
_LESSON = f"{HARRINGTON_FICK}, quoted in a course lesson (second hand)"
_WEB = "general web article (low grade)"
_ACI_FIGURES = "ACI 302.1R"
_UNBONDED_OLD = f"{CONCRETE_CONSTRUCTION}, Unbonded topping for plywood (second hand)"

DEPTH_PRACTICE = declare_practice(
    "depth of a joint over thickness",
    0.25,
    topic=DEPTH,
    quantity="depth_over_thickness",
    known="read",
    source=_DEPTH,
)
DEPTHS = declare_rows(
    Row("depth over thickness, also found", 0.2, _DEPTH, "", "read"),
    Row("depth over thickness, low", 0.25, _CSA, "", "read"),
    Row("depth over thickness, high", 1 / 3, _CSA, "", "read"),
    Row("depth over thickness, unbonded overlay, low", 0.25, _LESSON, "2014", "read"),
    Row("depth over thickness, unbonded overlay, high", 1 / 3, _LESSON, "2014", "read"),
    Row("depth over thickness, bonded, along the lane", 0.5, _LESSON, "2014", "read"),
    topic=DEPTH,
    quantity="depth_over_thickness",
)
DEEPEST = declare_rows(
    Row(
        "depth over thickness that serves no purpose",
        1 / 3,
        _DEPTH,
        "",
        "read",
        "a deeper cut can lose the interlock of the crack below",
    ),
    topic=DEPTH,
    quantity="depth_over_thickness",
    bound="at most",
)
LEAST_DEPTH = (
    declare_practice(
        "least depth of a joint",
        1.0,
        unit="in",
        topic=DEPTH_LEAST,
        quantity="depth_m",
        known="read",
        source=_DEPTH,
    ),
    *declare_rows(
        Row("least depth of an early-entry cut", 1.0, _ACI_FIGURES, "", "memory"),
        topic=DEPTH_LEAST,
        quantity="depth_m",
        unit="in",
    ),
)
EARLY_ENTRY_THICKEST = declare_practice(
    "thickest slab that the least depth of an early-entry cut is told for",
    9.0,
    unit="in",
    topic=EARLY_ENTRY,
    quantity="thickness_m",
    known="memory",
    source=_ACI_FIGURES,
    bound="at most",
)
EARLIEST = declare_rows(
    Row("conventional saw, hot", 4.0, _WHEN, "", "read", "after finishing; trial cut first"),
    Row("conventional saw", 4.0, _WEB, "", "read", "after finishing"),
    Row("conventional saw, hot, ACI", 4.0, _ACI_FIGURES, "", "memory"),
    Row("early-entry saw", 1.0, _WEB, "", "read", "after finishing; shallower cuts"),
    Row("early-entry saw, hot, ACI", 1.0, _ACI_FIGURES, "", "memory"),
    Row("saw, CSA", 6.0, _CSA, "", "read"),
    Row("transverse joints of pavement", 4.0, _GUIDE, "", "read"),
    topic=SAW_FROM,
    quantity="after_finishing_hours",
)
LATEST = declare_rows(
    Row("conventional saw, cold", 72.0, _WHEN, "", "read", "three days after finishing"),
    Row("conventional saw", 12.0, _WEB, "", "read"),
    Row("conventional saw, cold, ACI", 12.0, _ACI_FIGURES, "", "memory"),
    Row("early-entry saw", 4.0, _WEB, "", "read"),
    Row("early-entry saw, cold, ACI", 4.0, _ACI_FIGURES, "", "memory"),
    Row("saw, CSA", 18.0, _CSA, "", "read"),
    Row("transverse joints of pavement", 24.0, _GUIDE, "", "read"),
    topic=SAW_UNTIL,
    quantity="after_finishing_hours",
    bound="at most",
)
ISOLATION = declare_practice(
    "isolation strip round every fixed thing, full depth",
    0.5,
    unit="in",
    topic="isolation joint",
    quantity="strip_m",
    known="read",
    source=READY_MIX_JOINTING,
)
ADVICE = declare(
    Advice(
        "saw time",
        "Cut when a trial cut ravels only slightly along its edges.",
        _WHEN,
        "",
        "read",
    ),
    Advice(
        "re-entrant corner",
        "Cracks start at re-entrant corners: put a joint there.",
        "plans of a web page on slabs",
        "",
        "read",
    ),
    Advice(
        "re-entrant corner",
        "Or two short bars across the corner near the top, such as two #4 of 3 to 4 ft.",
        "common practice of the trade",
        "",
        "common practice",
    ),
    Advice(
        "joints run through",
        "A joint runs on to a wall, a post or a full-depth joint: where it stops at another joint,"
        " a crack goes on from there.",
        "common practice of the trade",
        "",
        "common practice",
    ),
    Advice(
        "joint matching, bonded",
        "Over a bonded base the place of each joint must match the old one.",
        _LESSON,
        "2014",
        "read",
    ),
    Advice(
        "joint matching, pavement",
        "Construction joints along the lane match the old ones whenever possible, partly bonded or"
        " not bonded.",
        f"{UFC_PAVEMENT}, chapter 17",
        "2001",
        "read",
    ),
    Advice(
        "joint matching, unbonded",
        "An unbonded topping on a floor still has a joint over each joint of the base.",
        _UNBONDED_OLD,
        "citing ACI 302-69 and PCA IS144.03T",
        "read",
    ),
    Advice(
        "joint matching, unbonded",
        "In unbonded highway overlays joints may be set off from the old ones on purpose, by about"
        " 3 ft.",
        CP_TECH_GUIDES,
        "",
        "memory",
    ),
)


@formula(
    equation="d = max(t*q, m)",
    symbols={"slab_thickness_m": "t", "part": "q", "least_m": "m"},
    result=("depth_m", "d"),
    source=f"{_DEPTH}: a fourth, at least 1 in",
    known="read",
    valid="conventional saw or groove; a fifth is found too, a third serves no purpose",
    # Rule read; 6 in by hand.
    example={"slab_thickness_m": 6.0, "part": 0.25, "least_m": 1.0},
    example_result=1.5,
    printed_in={"slab_thickness_m": "in", "least_m": "in", "depth_m": "in"},
)
def joint_depth(*, slab_thickness_m: float, part: float = 0.25, least_m: float = 0.0254) -> float:
    """How deep a joint is cut so that the crack forms under it."""
    hold(
        within("slab_thickness_m", slab_thickness_m, above=0, unit="in"),
        within("part", part, above=0, most=1),
        within("least_m", least_m, least=0, unit="in"),
        source=_DEPTH,
    )
    return max(slab_thickness_m * part, least_m)


@formula(
    equation="d = t + 1/2 in",
    symbols={"thickness_m": "t"},
    result=("depth_m", "d"),
    source=_LESSON,
    known="read",
    valid="bonded overlay of concrete, joints across the lane; the cut goes into the old slab",
    # Rule read second hand; 2 in by hand.
    example={"thickness_m": 2.0},
    example_result=2.5,
    printed_in={"thickness_m": "in", "depth_m": "in"},
)
def joint_depth_bonded_across(*, thickness_m: float) -> float:
    """How deep a joint across the lane is cut in a bonded overlay."""
    hold(within("thickness_m", thickness_m, above=0, unit="in"), source=HARRINGTON_FICK)
    return thickness_m + to_si(0.5, "in")


@formula(
    equation="d = t/2",
    symbols={"thickness_m": "t"},
    result=("depth_m", "d"),
    source=_LESSON,
    known="read",
    valid="bonded overlay of concrete, joints along the lane; at least",
    # Rule read second hand; 2 in by hand.
    example={"thickness_m": 2.0},
    example_result=1.0,
    printed_in={"thickness_m": "in", "depth_m": "in"},
)
def joint_depth_bonded_along(*, thickness_m: float) -> float:
    """How deep a joint along the lane is cut in a bonded overlay."""
    hold(within("thickness_m", thickness_m, above=0, unit="in"), source=HARRINGTON_FICK)
    return thickness_m / 2
