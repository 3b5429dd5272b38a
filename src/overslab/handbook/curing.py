"""Curing: for how long, and how much compound it takes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from overslab.ground.units import to_si
from overslab.handbook.limits import Advice, Limit, declare
from overslab.handbook.publications import (
    ACI_308,
    CONCRETE_CONSTRUCTION,
    UFGS_03300N,
    UFGS_03301A,
    UFGS_03311,
)
from overslab.handbook.ranges import hold, within
from overslab.handbook.working import formula

Binder = Literal[
    "Type I, IS, IP or silica fume",
    "Type II",
    "fly ash or slag to 25 %",
    "fly ash or slag above 25 %",
]

# UFGS 03301A, p. 42.
CURING_DAYS_UFGS: Mapping[Binder, float] = {
    "Type I, IS, IP or silica fume": 7.0,
    "Type II": 14.0,
    "fly ash or slag to 25 %": 14.0,
    "fly ash or slag above 25 %": 21.0,
}
_TYPE_III = f"{UFGS_03300N}, p. 45"

CURING_LIMITS = declare(
    *(
        Limit(
            name=f"days of curing, {binder}",
            quantity="curing_days",
            value=days,
            source=f"{UFGS_03301A}, p. 42",
            edition="",
            known="read",
            topic="curing",
            practice=days == 7.0,
        )
        for binder, days in CURING_DAYS_UFGS.items()
    ),
    *(
        Limit(
            name=f"days of curing, {what}",
            quantity="curing_days",
            value=days,
            source=ACI_308,
            edition="",
            known="memory",
            note=note,
            topic="curing",
        )
        for what, days, note in (
            ("ordinary, above 40 F", 7.0, "or until 70 % of the strength"),
            ("Type III, above 40 F", 3.0, ""),
            ("Type II or blends, above 40 F", 14.0, ""),
        )
    ),
    Limit(
        name="days of curing, ponds and exposure to salt",
        quantity="curing_days",
        value=21.0,
        source=f"{UFGS_03300N}, p. 45",
        edition="",
        known="read",
        topic="curing with salt",
    ),
    Limit(
        name="share of wear resistance lost when curing stops at 7 days and not at 28",
        quantity="loss_share",
        value=0.20,
        source=f"{CONCRETE_CONSTRUCTION}, Curing and wear resistance",
        edition="",
        known="read",
        topic="curing and wear",
        bound="is",
    ),
    Limit(
        name="hours of protection from rain after placing",
        quantity="protection_hours",
        value=12.0,
        source=f"{UFGS_03301A}, p. 42",
        edition="",
        known="read",
        topic="rain",
        practice=True,
    ),
)
COMPOUND_LIMITS = declare(
    Limit(
        name="coverage of curing compound, each of two coats",
        quantity="coverage_m2_per_m3",
        value=to_si(400.0, "ft2/gal"),
        source=f"{UFGS_03301A}, p. 43",
        edition="",
        known="read",
        note="not thinner; 10 m2/L; second coat across the first",
        topic="curing compound, each coat",
        bound="at most",
    ),
    Limit(
        name="coverage of curing compound, both coats together",
        quantity="coverage_m2_per_m3",
        value=to_si(200.0, "ft2/gal"),
        source=f"{UFGS_03311}, p. 40",
        edition="",
        known="read",
        note="printed twin 5 m2/L; 4.91 exactly",
        topic="curing compound",
        bound="at most",
        practice=True,
    ),
    Limit(
        name="hours within which rain calls for spraying again",
        quantity="rain_hours",
        value=3.0,
        source=f"{UFGS_03301A}, p. 43",
        edition="",
        known="read",
        topic="curing compound and rain",
        bound="is",
    ),
    Limit(
        name="hours without traffic on curing compound",
        quantity="waiting_hours",
        value=72.0,
        source=f"{UFGS_03301A}, p. 43",
        edition="",
        known="read",
        topic="curing compound and traffic",
    ),
    Limit(
        name="days of shade for clear curing compound at 90 F or more",
        quantity="shade_days",
        value=3.0,
        source=f"{UFGS_03301A}, p. 43",
        edition="",
        known="read",
        topic="curing compound and sun",
    ),
)
CURING_ADVICE = declare(
    Advice(
        topic="curing compound",
        says="two coats, the second across the first; clear compound is shaded for 3 days at 90 F",
        source=f"{UFGS_03301A}, p. 43",
        edition="",
        known="read",
    )
)[0]


@formula(
    equation="d = table(binder)",
    symbols={"binder": "binder"},
    result=("curing_days", "d"),
    source=f"{UFGS_03301A}, p. 42",
    known="read",
    valid="binders of the list; protection from rain for the first 12 h besides",
    example={"binder": "fly ash or slag above 25 %"},
    example_result=21.0,
)
def curing_days_ufgs_03301a(*, binder: Binder) -> float:
    """Days of curing by binder, federal guide specification."""
    return CURING_DAYS_UFGS[binder]


@formula(
    equation="d = max(p / 4, 3)",
    symbols={"ordinary_days": "p"},
    result=("curing_days", "d"),
    source=f"{_TYPE_III}: Type III one-fourth of the period, not less than 72 h",
    known="read",
    valid="p the period of an ordinary binder, days",
    # A fourth of 7 days is less than 72 h.
    example={"ordinary_days": 7.0},
    example_result=3.0,
)
def curing_days_type_iii(*, ordinary_days: float) -> float:
    """Days of curing for high-early cement, federal guide specification."""
    hold(within("ordinary_days", ordinary_days, least=0.0, most=90.0), source=_TYPE_III)
    return max(ordinary_days / 4.0, 3.0)


@formula(
    equation="k = c / n",
    symbols={"coat_m2_per_m3": "c", "coats_count": "n"},
    result=("coverage_m2_per_m3", "k"),
    source=f"{UFGS_03301A}, p. 43, and {UFGS_03311}, p. 40: two coats of 400 make 200 ft2/gal",
    known="read",
    valid="coats of one coverage, one or more",
    example={"coat_m2_per_m3": 400.0, "coats_count": 2},
    example_result=200.0,
    printed_in={"coat_m2_per_m3": "ft2/gal", "coverage_m2_per_m3": "ft2/gal"},
)
def coverage_of_coats(*, coat_m2_per_m3: float, coats_count: int) -> float:
    """Area that a volume of compound covers in all its coats."""
    hold(
        within("coat_m2_per_m3", coat_m2_per_m3, above=0.0, unit="ft2/gal"),
        within("coats_count", float(coats_count), least=1.0, most=5.0),
        source=UFGS_03301A,
    )
    return coat_m2_per_m3 / coats_count


@formula(
    equation="L = A / k",
    symbols={"area_m2": "A", "coverage_m2_per_m3": "k"},
    result=("compound_liquid_m3", "L"),
    source=f"coverage of {UFGS_03311}, p. 40; 600 ft2 at 200 ft2/gal by hand",
    known="derived",
    valid="k the coverage of all coats together; a broomed surface takes more",
    example={"area_m2": 600.0, "coverage_m2_per_m3": 200.0},
    example_result=3.0,
    printed_in={
        "area_m2": "ft2",
        "coverage_m2_per_m3": "ft2/gal",
        "compound_liquid_m3": "gal",
    },
)
def curing_compound_needed(*, area_m2: float, coverage_m2_per_m3: float) -> float:
    """Curing compound for an area."""
    hold(
        within("area_m2", area_m2, least=0.0, unit="ft2"),
        within("coverage_m2_per_m3", coverage_m2_per_m3, above=0.0, unit="ft2/gal"),
        source=UFGS_03311,
    )
    return area_m2 / coverage_m2_per_m3
