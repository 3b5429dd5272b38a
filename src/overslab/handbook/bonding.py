"""Bonded, unbonded, or neither: least thicknesses, surface, cracks, bond; limits and advice only.

The sources disagree about the least thickness by a factor of two, so all of them stand here with
their editions and the owner's practice picks: unbonded where it is 3 in or more everywhere, bonded
from 1-1/2 to 3 in, nothing below 1-1/2 in.
"""

from __future__ import annotations

from overslab.handbook.limits import Advice, Row, Table, declare, declare_practice, declare_rows
from overslab.handbook.publications import (
    CONCRETE_CONSTRUCTION,
    CP_TECH_2007,
    CP_TECH_GUIDES,
    UFC_DISTRESS,
    UFC_PAVEMENT,
)

UNBONDED = "unbonded thickness"
MOST_UNBONDED = "greatest unbonded thickness"
BONDED = "bonded thickness"
MOST_BONDED = "greatest bonded thickness"
LEAST_POUR = "least thickness poured"

_UNBONDED_TOPPING = f"{CONCRETE_CONSTRUCTION}, Unbonded topping"
_PLYWOOD = f"{CONCRETE_CONSTRUCTION}, Unbonded topping for plywood (second hand)"
_CLASS_6 = f"{CONCRETE_CONSTRUCTION}, Class 6 floors (second hand)"
_PREPARING = f"{CONCRETE_CONSTRUCTION}, Preparing for a topping"
_NEWSLETTER = "contractors' society troubleshooting newsletter 34, reprinted in a trade journal"
_REPAIR_GUIDES = "ICRI and ACI repair guidance"

UNBONDED_PRACTICE = declare_practice(
    "least thickness of an unbonded topping, everywhere",
    3.0,
    unit="in",
    topic=UNBONDED,
    quantity="thickness_m",
)
BONDED_PRACTICE = declare_practice(
    "least thickness of a bonded topping",
    1.5,
    unit="in",
    topic=BONDED,
    quantity="thickness_m",
)
MOST_BONDED_PRACTICE = declare_practice(
    "thickness up to which a topping is bonded",
    3.0,
    unit="in",
    topic=MOST_BONDED,
    quantity="thickness_m",
    bound="at most",
    note="from 3 in on it may lie unbonded",
)
LEAST_POUR_PRACTICE = declare_practice(
    "thickness below which nothing is poured",
    1.5,
    unit="in",
    topic=LEAST_POUR,
    quantity="thickness_m",
)

UNBONDED_LEAST = declare_rows(
    Row(
        "unbonded floor over an old cracked, settled floor",
        2.5,
        _UNBONDED_TOPPING,
        "citing ACI 302.1R-80",
        "read",
        "the case this software is for; a sand layer may break the bond if it covers the high"
        " spots and is compacted",
    ),
    Row("unbonded topping, ACI 302-69", 2.5, _PLYWOOD, "citing ACI 302-69", "read"),
    Row(
        "unbonded topping, PCA",
        2.0,
        _PLYWOOD,
        "citing PCA IS144.03T",
        "read",
        "wire of about 30 lb/100 ft2, a joint over each joint of the base",
    ),
    Row("unbonded topping, floor classes 7 and 8", 3.0, "ACI 302.1R", "1996 and later", "memory"),
    Row("unbonded resurfacing of concrete pavement", 4.0, CP_TECH_GUIDES, "", "memory"),
    Row(
        "reinforced overlay on an airfield",
        6.0,
        f"{UFC_PAVEMENT}, chapter 17",
        "2001",
        "read",
        "aircraft, not floors",
    ),
    topic=UNBONDED,
    quantity="thickness_m",
    unit="in",
)
UNBONDED_MOST = declare_rows(
    Row("unbonded resurfacing of concrete pavement", 11.0, CP_TECH_GUIDES, "", "memory"),
    topic=MOST_UNBONDED,
    quantity="thickness_m",
    unit="in",
    bound="at most",
)
BONDED_LEAST = (
    *declare_rows(
        Row(
            "bonded topping, floor class 6 heavy duty",
            0.75,
            _CLASS_6,
            "citing the 1968 draft of ACI 302",
            "read",
            "not counted as structural",
        ),
        Row("bonded resurfacing of concrete pavement", 2.0, CP_TECH_2007, "2007", "read"),
        topic=BONDED,
        quantity="thickness_m",
        unit="in",
    ),
    *declare_rows(
        Row(
            "concrete topping course, code minimum",
            20.0,
            "Ontario Building Code, Topping Course",
            "",
            "read",
            "0.79 in",
        ),
        topic=BONDED,
        quantity="thickness_m",
        unit="mm",
    ),
)
BONDED_MOST = declare_rows(
    Row(
        "bonded topping, floor class 6 heavy duty",
        1.5,
        _CLASS_6,
        "citing the 1968 draft of ACI 302",
        "read",
    ),
    Row("bonded resurfacing of concrete pavement", 5.0, CP_TECH_2007, "2007", "read"),
    topic=MOST_BONDED,
    quantity="thickness_m",
    unit="in",
    bound="at most",
)
BASE_LEAST = declare_rows(
    Row(
        "base slab under a bonded topping of floor class 6",
        6.0,
        _CLASS_6,
        "citing the 1968 draft of ACI 302",
        "read",
    ),
    topic="base thickness",
    quantity="old_thickness_m",
    unit="in",
)

SURFACE_PROFILE = declare_rows(
    Row(
        "profile of the base under a bonded topping (ICRI concrete surface profile)",
        7.0,
        _PREPARING,
        "",
        "read",
        "coarse aggregate exposed, free of dust",
    ),
    topic="surface profile",
    quantity="profile_number",
)
RIDGES = declare_rows(
    Row(
        "ridges of the base under a fully bonded topping",
        0.25,
        _NEWSLETTER,
        "",
        "read",
        "abrasive blasting alone will not reach that",
    ),
    topic="surface profile",
    quantity="ridges_m",
    unit="in",
)
TOPPING_SHRINKAGE = declare_rows(
    Row(
        "drying shrinkage of the mix of a bonded topping (ASTM C157, 7 days wet)",
        0.04,
        "The Construction Specifier, Specifying floor finishes: polished concrete topping slabs",
        "29 May 2020",
        "read",
        "recommended by the authors; the value itself is outside, below it is asked",
    ),
    topic="topping shrinkage",
    quantity="shrinkage_strain",
    unit="%",
    bound="at most",
)
PULL_OFF = declare_rows(
    Row("pull-off strength, floor", 100.0, _REPAIR_GUIDES, "", "memory"),
    Row("pull-off strength, commonly specified, low", 150.0, _REPAIR_GUIDES, "", "memory"),
    Row("pull-off strength, commonly specified, high", 200.0, _REPAIR_GUIDES, "", "memory"),
    topic="pull-off strength",
    quantity="bond_strength_pa",
    unit="psi",
)
PULL_OFF_IN_BASE = declare_rows(
    Row("pull-off above which the base usually fails first", 250.0, _REPAIR_GUIDES, "", "memory"),
    topic="pull-off in the base",
    quantity="bond_strength_pa",
    unit="psi",
    bound="is",
)
STEP_WITHOUT_LEVELING = declare_rows(
    Row(
        "step across a crack or joint without a leveling layer", 0.375, CP_TECH_GUIDES, "", "memory"
    ),
    topic="step across a crack",
    quantity="step_m",
    unit="in",
    bound="at most",
)
FILL_WIDTH = declare_rows(
    Row(
        "width of a joint or crack that sealant fills; wider ones take a mixture",
        1.0,
        f"{UFC_PAVEMENT}, chapter 17",
        "2001",
        "read",
        "under a flexible overlay",
    ),
    topic="crack fill",
    quantity="crack_m",
    unit="in",
    bound="at most",
)
# UFC 3-270-05 chapter 5, rating of cracks of a concrete airfield pavement by mean width.
CRACK_RATING = declare(
    Table(
        name="rating of cracks by mean width",
        topic="crack rating",
        columns=("rating", "least_width_m", "most_width_m"),
        rows=(("low", 0.0, 0.125), ("medium", 0.125, 1.0), ("high", 1.0, float("inf"))),
        source=f"{UFC_DISTRESS}, chapter 5",
        edition="2001",
        known="read",
        printed_in={"least_width_m": "in", "most_width_m": "in"},
        note="a slab in three pieces rates medium, in four or more it is shattered; airfields",
    )
)[0]

ADVICE = declare(
    Advice(
        "bond",
        "There are bonded and unbonded toppings; a partly bonded one is a bonded one that failed"
        " and is likely to crack and spall.",
        _PREPARING,
        "",
        "read",
    ),
    Advice(
        "cracks",
        "Moving cracks must be made still before a bonded topping (filled with a rigid polymer, or"
        " cross-stitched), or they come through.",
        _PREPARING,
        "",
        "read",
    ),
    Advice(
        "unbonded preparation",
        "Sweep; fill worn areas, spalls and holes with cement-sand mortar to a reasonably flat"
        " plane; then lay the bond breaker: plastic sheet, roofing felt, waterproof building paper"
        " or wax curing compound.",
        _NEWSLETTER,
        "",
        "read",
    ),
    Advice(
        "bonded preparation",
        "Mill or shotblast, then sandblast with air and water; cement grout only 10 to 13 ft ahead"
        " of placing; dried grout must be removed.",
        f"{UFC_PAVEMENT}, chapter 17 paragraph 4",
        "2001",
        "read",
    ),
    Advice(
        "bonded preparation",
        "Keep the base damp overnight, then remove free water; scrub in a 1:1 cement-sand grout"
        " just ahead of the concrete.",
        f"{CONCRETE_CONSTRUCTION}, Toppings for two-course floors",
        "",
        "read",
    ),
    Advice(
        "pull-off strength",
        "The plane of failure of a pull-off test must be written down, and results are averaged"
        " only within one way of failing.",
        "ASTM C1583/C1583M, significance and use",
        "2013",
        "read",
    ),
    Advice(
        "hollow spots",
        "Hollow area is found by chain drag or hammer; the share that is allowed is set by whoever"
        " specifies the work.",
        "ASTM D4580",
        "",
        "memory",
    ),
    Advice(
        "reject",
        "Frost heave, moving ground, pumping, a slab that still settles, alkali-silica reaction:"
        " reject the old slab or rebuild it.",
        CP_TECH_GUIDES,
        "",
        "memory",
    ),
    Advice(
        "old slab as a base",
        "No published subgrade stiffness for a new slab on an old one was found: treat the old slab"
        " by the overlay equations and do not raise the stiffness of the ground for it.",
        "derived: absence of a published value",
        "",
        "derived",
    ),
)
