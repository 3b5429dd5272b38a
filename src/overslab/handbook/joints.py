"""Joints: how far apart, how deep, when; every rule with its edition.

Sources cap the spacing at 15 ft, 18 ft or 5 m, saw a fourth, a fifth or a third deep, and disagree
whether an unbonded topping needs a joint over each old one. ``panel_limits`` gives what each allows
at a thickness, ``panel_checks`` holds a panel against all of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import floor, inf, isfinite

from overslab.ground.units import to_customary, to_si
from overslab.handbook.checks import Check
from overslab.handbook.limits import Limit, Row, Table, declare, declare_practice, declare_rows
from overslab.handbook.publications import (
    ACI_302_1980,
    ACI_302_1996,
    CONCRETE_CONSTRUCTION,
    CONCRETE_PRODUCER,
    CP_TECH_GUIDES,
    PCA_1983,
    READY_MIX_JOINTING,
)
from overslab.handbook.ranges import hold, within
from overslab.handbook.working import Known, formula

SPACING = "joint spacing"
SPACING_CAP = "greatest joint spacing"
ASPECT = "panel aspect"
STRIP = "least strip beside a joint"

_ELONGATED = f"{CONCRETE_CONSTRUCTION}, Elongated slabs are likely to crack"
_DILEMMA = f"{CONCRETE_CONSTRUCTION}, The drying shrinkage dilemma"
_GUIDE = f"{CONCRETE_CONSTRUCTION}, Guide to jointing unreinforced pavements"
_PRODUCER = f"{CONCRETE_PRODUCER}, questions and answers on floor cracks (second hand)"
_CSA = "CSA A23.1-94, as quoted in an engineering forum (second hand)"

# PCA, Concrete Floors on Ground, 2nd ed. 1983: spacing in ft by slump and stone; second hand in
# three places. One book prints the first two columns for slump 3 to 5 in.
PCA_TABLE = declare(
    Table(
        name="spacing of joints by slab, slump and stone",
        topic=SPACING,
        columns=("slab_thickness_m", "wet_small_stone_m", "wet_large_stone_m", "stiff_m"),
        rows=(
            (4, 8, 10, 12),
            (5, 10, 13, 15),
            (6, 12, 15, 18),
            (7, 14, 18, 21),
            (8, 16, 20, 24),
            (9, 18, 23, 27),
            (10, 20, 25, 30),
        ),
        source=f"{PCA_1983} (second hand)",
        edition="1983",
        known="read",
        printed_in={
            "slab_thickness_m": "in",
            "wet_small_stone_m": "ft",
            "wet_large_stone_m": "ft",
            "stiff_m": "ft",
        },
        note="slump 4 to 6 in with stone under 3/4 in, the same with larger stone, slump under 4"
        " in: 24, 30 and 36 thicknesses to a whole foot",
    )
)[0]


@dataclass(frozen=True, slots=True)
class SpacingRule:
    """A panel is at most ``times`` the thickness long, and at most ``cap_m``."""

    name: str
    times: float
    cap_m: float
    source: str
    edition: str
    known: Known
    note: str = ""
    whole_foot: bool = False  # rounded down to a whole foot

    def limit(self, *, slab_thickness_m: float) -> Limit:
        """What the rule allows at a thickness."""
        longest = joint_spacing(
            slab_thickness_m=slab_thickness_m, times_thickness=self.times, cap_m=self.cap_m
        )
        if self.whole_foot:
            longest = to_si(floor(to_customary(longest, "ft") + 1e-9), "ft")
        return Limit(
            name=self.name,
            quantity="panel_m",
            value=longest,
            source=self.source,
            edition=self.edition,
            known=self.known,
            note=self.note,
            topic=SPACING,
            bound="at most",
        )


_LIMIT = "a panel at the top of the range or at 1.5:1 is at the limit; hot dry weather asks less"
SPACING_RULES: tuple[SpacingRule, ...] = (
    SpacingRule(
        "ACI 302, low", 24, to_si(18, "ft"), f"{_PRODUCER}, citing {ACI_302_1996}", "", "read"
    ),
    SpacingRule(
        "ACI 302, high",
        36,
        to_si(18, "ft"),
        f"{_PRODUCER}, citing {ACI_302_1996}",
        "",
        "read",
        "0 to 3 % of panels crack anyway",
    ),
    SpacingRule("PCA, slump 4 to 6 in, stone under 3/4 in", 24, inf, PCA_1983, "1983", "read"),
    SpacingRule("PCA, slump 4 to 6 in, larger stone", 30, inf, PCA_1983, "1983", "read"),
    SpacingRule("PCA, slump under 4 in", 36, inf, PCA_1983, "1983", "read"),
    SpacingRule("feet as 2 times inches", 24, inf, _ELONGATED, "", "read", _LIMIT),
    SpacingRule("feet as 3 times inches", 36, inf, _ELONGATED, "", "read", _LIMIT),
    SpacingRule("15 ft whatever the depth", inf, to_si(15, "ft"), _DILEMMA, "", "read"),
    SpacingRule("CSA, low", 24, 5.0, _CSA, "", "read"),
    SpacingRule("CSA, high", 36, 5.0, _CSA, "", "read"),
    SpacingRule(
        "plain pavement under 6 in", inf, to_si(15, "ft"), _GUIDE, "", "read", "thinner than 6 in"
    ),
    SpacingRule(
        "parking pavement of 4 to 6 in",
        30,
        inf,
        READY_MIX_JOINTING,
        "",
        "read",
        "values read, rule recomputed from them",
        whole_foot=True,
    ),
    SpacingRule("thin unbonded overlays", 18, inf, CP_TECH_GUIDES, "", "memory"),
)
SPACING_PRACTICE = declare_practice(
    "length of a panel in thicknesses",
    36.0,
    topic=SPACING,
    quantity="times_thickness",
    bound="at most",
    known="read",
    source=_PRODUCER,
    edition=f"citing {ACI_302_1996}",
    note="the owner's default is the top of the range, with the cap",
)
CAP_PRACTICE = declare_practice(
    "length of a panel, whatever its thickness",
    15.0,
    unit="ft",
    topic=SPACING_CAP,
    quantity="panel_m",
    bound="at most",
    known="read",
    source=_DILEMMA,
)
RULES_AS_LIMITS = declare(
    *(
        Limit(
            name=rule.name,
            quantity="times_thickness",
            value=rule.times,
            source=rule.source,
            edition=rule.edition,
            known=rule.known,
            note=rule.note,
            topic=SPACING,
            bound="at most",
        )
        for rule in SPACING_RULES
        if isfinite(rule.times)
    ),
    *(
        Limit(
            name=rule.name,
            quantity="panel_m",
            value=rule.cap_m,
            source=rule.source,
            edition=rule.edition,
            known=rule.known,
            note=rule.note,
            topic=SPACING_CAP,
            bound="at most",
        )
        for rule in SPACING_RULES
        if isfinite(rule.cap_m)
    ),
)
ASPECT_PRACTICE = declare_practice(
    "length over width of a panel",
    1.5,
    topic=ASPECT,
    quantity="aspect",
    bound="at most",
    known="read",
    source=f"{_ELONGATED} (second hand)",
    edition=f"citing {ACI_302_1980} section 2.3.2",
)
ASPECTS = declare_rows(
    Row("length over width of a pavement panel", 1.25, "ACPA and CP Tech Center", "", "memory"),
    topic=ASPECT,
    quantity="aspect",
    bound="at most",
)

LEAST_STRIP = declare_practice(
    "strip between a joint and the next one or a wall",
    2.0,
    unit="ft",
    topic=STRIP,
    quantity="strip_m",
    note="narrower strips break up; the shape of panels mostly asks for more",
)


def panel_limits(*, slab_thickness_m: float) -> tuple[Limit, ...]:
    """What every source allows as the length of a panel at this thickness."""
    return tuple(
        rule.limit(slab_thickness_m=slab_thickness_m)
        for rule in SPACING_RULES
        if not (rule.source == _GUIDE and slab_thickness_m >= to_si(6, "in"))
    )


def panel_checks(
    *, length_m: float, width_m: float, slab_thickness_m: float, where: str = ""
) -> tuple[Check, ...]:
    """A panel against every source: its longer side, then its shape."""
    longer, shorter = max(length_m, width_m), min(length_m, width_m)
    hold(within("width_m", shorter, above=0, unit="ft"), source=_ELONGATED)
    return (
        *(
            limit.check(found=longer, where=where)
            for limit in panel_limits(slab_thickness_m=slab_thickness_m)
        ),
        *(
            limit.check(found=longer / shorter, where=where)
            for limit in (ASPECT_PRACTICE, *ASPECTS)
        ),
    )


@formula(
    equation="L = min(n*t, m)",
    symbols={"slab_thickness_m": "t", "times_thickness": "n", "cap_m": "m"},
    result=("panel_m", "L"),
    source=f"{_PRODUCER}, citing {ACI_302_1996}: 4 in gives 8 to 12 ft, at most 18 ft",
    known="read",
    valid="plain slab on the ground; n 24 to 36 by slump, stone and drying, 18 for thin unbonded"
    " overlays",
    example={"slab_thickness_m": 4.0, "times_thickness": 36.0, "cap_m": 18.0},
    example_result=12.0,
    printed_in={"slab_thickness_m": "in", "cap_m": "ft", "panel_m": "ft"},
)
def joint_spacing(*, slab_thickness_m: float, times_thickness: float, cap_m: float) -> float:
    """Greatest length of a panel between joints."""
    hold(within("slab_thickness_m", slab_thickness_m, above=0, unit="in"), source=_PRODUCER)
    return min(times_thickness * slab_thickness_m, cap_m)


@formula(
    equation="L = n*t, half up to a whole foot",
    symbols={"slab_thickness_m": "t", "times_thickness": "n"},
    result=("panel_m", "L"),
    source=f"{PCA_1983} (second hand): 5 in, slump 4 to 6 in, stone from 3/4 in, 13 ft",
    known="read",
    valid="4 to 10 in; n 24, 30 or 36 by slump and stone",
    example={"slab_thickness_m": 5.0, "times_thickness": 30.0},
    example_result=13.0,
    printed_in={"slab_thickness_m": "in", "panel_m": "ft"},
)
def joint_spacing_pca_1983(*, slab_thickness_m: float, times_thickness: float) -> float:
    """Greatest length of a panel by the table of the Portland Cement Association."""
    hold(
        within(
            "slab_thickness_m",
            slab_thickness_m,
            least=to_si(4, "in"),
            most=to_si(10, "in"),
            unit="in",
        ),
        within("times_thickness", times_thickness, least=24, most=36),
        source=PCA_1983,
    )
    feet = to_customary(times_thickness * slab_thickness_m, "ft")
    # A tie such as 12.5 must be one after the way through metres and back.
    return to_si(floor(feet + 0.5 + 1e-9), "ft")
