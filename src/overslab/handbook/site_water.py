"""Water added on site: what a gallon does, by every source, and what the ticket still allows.

The sources disagree (150 to 200 psi lost, or 200 to 400 counting the air), so a range is shown and
never one number. Water may be added on arrival only, up to the specified slump and w/cm; more than
the design water shifts responsibility to the buyer.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from overslab.ground.units import to_customary, to_si
from overslab.handbook.limits import Advice, Limit, declare
from overslab.handbook.mix_tables import strength_for_ratio_us
from overslab.handbook.publications import (
    ACI_211,
    ACI_305_1_2006,
    ASTM_C94,
    CONCRETE_CONSTRUCTION,
    NRMCA_CIP_26,
)
from overslab.handbook.ranges import hold, within
from overslab.handbook.working import formula

Rule = Literal["slump article", "water article", "metric pages"]
End = Literal["least", "most"]

_POUND_PER_GALLON = 8.345
_GALLON = to_si(1.0, "gal/yd3")
_MOST_ADDED = to_si(10.0, "gal/yd3")


@dataclass(frozen=True, slots=True)
class SiteWaterRule:
    """What one source says of one unit of water, in that unit; SI, least and most."""

    per_m3_per_m3: float
    slump_m: float
    loss_pa: tuple[float, float]
    air_share: tuple[float, float]
    shrinkage_share: float
    source: str
    note: str


def _psi(least: float, most: float) -> tuple[float, float]:
    return to_si(least, "psi"), to_si(most, "psi")


SITE_WATER_RULES: Mapping[Rule, SiteWaterRule] = {
    "slump article": SiteWaterRule(
        per_m3_per_m3=_GALLON,
        slump_m=to_si(1.0, "in"),
        loss_pa=_psi(150.0, 200.0),
        air_share=(0.0, 0.0),
        shrinkage_share=0.10,
        source=f"{CONCRETE_CONSTRUCTION}, Adjusting slump in the field",
        note="wastes the effect of 1/4 bag of cement",
    ),
    "water article": SiteWaterRule(
        per_m3_per_m3=_GALLON,
        slump_m=to_si(1.0, "in"),
        loss_pa=_psi(200.0, 400.0),
        air_share=(0.005, 0.01),
        shrinkage_share=0.0,
        source=f"{CONCRETE_CONSTRUCTION}, Adding water",
        note="counts the air as well; says nothing of shrinkage",
    ),
    "metric pages": SiteWaterRule(
        per_m3_per_m3=to_si(4.0, "L/m3"),
        slump_m=0.025,
        loss_pa=(1.5e6, 2.0e6),
        air_share=(0.0, 0.0),
        shrinkage_share=0.10,
        source="web pages with the rule in metric units, of low quality",
        note="4 L/m3 is a rounded 4.95 L/m3",
    ),
}
SITE_WATER_LIMITS = declare(
    Limit(
        name="time from batching to discharge",
        quantity="discharge_minutes",
        value=90.0,
        source=f"{ACI_305_1_2006}, 3.4.2, quoting {ASTM_C94}",
        edition="2006",
        known="read",
        note="the older rule; newer editions let the buyer waive or change it (memory)",
        topic="discharge time",
        bound="at most",
        practice=True,
    ),
    Limit(
        name="drum revolutions from batching to discharge",
        quantity="revolutions_count",
        value=300.0,
        source=f"{ACI_305_1_2006}, 3.4.2, quoting {ASTM_C94}",
        edition="2006",
        known="read",
        note="the older rule, whichever comes first; dropped in newer editions (memory)",
        topic="drum revolutions",
        bound="at most",
    ),
    Limit(
        name="drum revolutions after water is added",
        quantity="revolutions_count",
        value=30.0,
        source=ASTM_C94,
        edition="",
        known="memory",
        topic="drum revolutions after water",
        practice=True,
    ),
    Limit(
        name="concrete on which the slump is first estimated",
        quantity="sample_m3",
        value=to_si(0.25, "yd3"),
        source=f"{NRMCA_CIP_26}, on {ASTM_C94}",
        edition="",
        known="read",
        topic="slump estimate",
        bound="is",
    ),
)
SITE_WATER_ADVICE = declare(
    Advice(
        topic="site water",
        says="water is added on arrival only, up to the specified slump and w/cm; more than the"
        " design water shifts responsibility to the buyer",
        source=f"{NRMCA_CIP_26}, on {ASTM_C94}",
        edition="",
        known="read",
    ),
    Advice(
        topic="site water",
        says="one addition only, and none after a significant part has been discharged",
        source=ASTM_C94,
        edition="",
        known="memory",
    ),
)


def _hold_added(added_m3_per_m3: float, source: str) -> None:
    hold(
        within("added_m3_per_m3", added_m3_per_m3, least=0.0, most=_MOST_ADDED, unit="gal/yd3"),
        source=source,
    )


def _hold_cementitious(cementitious_kg_per_m3: float) -> None:
    hold(
        within(
            "cementitious_kg_per_m3",
            cementitious_kg_per_m3,
            least=to_si(200.0, "lb/yd3"),
            most=to_si(1200.0, "lb/yd3"),
            unit="lb/yd3",
        ),
        source="range of ordinary mixes",
    )


@formula(
    equation="d = 8.345 g / C",
    symbols={"added_m3_per_m3": "g", "cementitious_kg_per_m3": "C"},
    result=("ratio_gain", "d"),
    source="identity: a gallon of water weighs 8.345 lb",
    known="derived",
    valid="g up to 10 gal/yd3; C all cementitious material, 200 to 1200 lb/yd3",
    # By hand.
    example={"added_m3_per_m3": 1.0, "cementitious_kg_per_m3": 564.0},
    example_result=0.0148,
    printed_in={"added_m3_per_m3": "gal/yd3", "cementitious_kg_per_m3": "lb/yd3"},
)
def ratio_gain_from_water(*, added_m3_per_m3: float, cementitious_kg_per_m3: float) -> float:
    """How much water added on site raises the ratio of water to cementitious material."""
    _hold_added(added_m3_per_m3, "identity")
    _hold_cementitious(cementitious_kg_per_m3)
    gallons = to_customary(added_m3_per_m3, "gal/yd3")
    return _POUND_PER_GALLON * gallons / to_customary(cementitious_kg_per_m3, "lb/yd3")


@formula(
    equation="g = (w C - W) / 8.345",
    symbols={
        "most_ratio": "w",
        "cementitious_kg_per_m3": "C",
        "batched_water_kg_per_m3": "W",
    },
    result=("allowed_m3_per_m3", "g"),
    source="definition of the ratio; a gallon of water weighs 8.345 lb",
    known="derived",
    valid="W all water in the drum, with what the aggregate brought; below zero: already over",
    # By hand: 0.50 of 564 lb is 282 lb, 12 lb more than 270, 1.438 gal.
    example={
        "most_ratio": 0.50,
        "cementitious_kg_per_m3": 564.0,
        "batched_water_kg_per_m3": 270.0,
    },
    example_result=1.438,
    printed_in={
        "cementitious_kg_per_m3": "lb/yd3",
        "batched_water_kg_per_m3": "lb/yd3",
        "allowed_m3_per_m3": "gal/yd3",
    },
)
def water_ticket_allows(
    *, most_ratio: float, cementitious_kg_per_m3: float, batched_water_kg_per_m3: float
) -> float:
    """Water that may still be added before the greatest ratio is reached."""
    _hold_cementitious(cementitious_kg_per_m3)
    hold(
        within("most_ratio", most_ratio, least=0.20, most=1.0),
        within("batched_water_kg_per_m3", batched_water_kg_per_m3, least=0.0, most=1000.0),
        source="definition of the ratio",
    )
    pounds = to_customary(most_ratio * cementitious_kg_per_m3 - batched_water_kg_per_m3, "lb/yd3")
    return to_si(pounds / _POUND_PER_GALLON, "gal/yd3")


@formula(
    equation="s = k(rule) g",
    symbols={"added_m3_per_m3": "g", "rule": "rule"},
    result=("slump_m", "s"),
    source=f"{CONCRETE_CONSTRUCTION}, Adjusting slump in the field: 1 gal/yd3 gives 1 in;"
    " so does Adding water; metric pages: 4 L/m3 gives 25 mm",
    known="read",
    valid="g up to 10 gal/yd3; within about half an inch for the first gallon",
    example={"added_m3_per_m3": 1.0, "rule": "slump article"},
    example_result=1.0,
    printed_in={"added_m3_per_m3": "gal/yd3", "slump_m": "in"},
)
def slump_gain_from_water(*, added_m3_per_m3: float, rule: Rule = "slump article") -> float:
    """How much slump water added on site gives, by one of the rules."""
    row = SITE_WATER_RULES[rule]
    _hold_added(added_m3_per_m3, row.source)
    return row.slump_m * added_m3_per_m3 / row.per_m3_per_m3


@formula(
    equation="g = (s2 - s1) / k(rule)",
    symbols={"slump_m": "s1", "asked_slump_m": "s2", "rule": "rule"},
    result=("added_m3_per_m3", "g"),
    source=f"{CONCRETE_CONSTRUCTION}, Adjusting slump in the field, turned round",
    known="read",
    valid="slumps up to 10 in; nothing where the slump is enough; the ticket must allow it too",
    # One inch short is one gallon.
    example={"slump_m": 4.0, "asked_slump_m": 5.0, "rule": "slump article"},
    example_result=1.0,
    printed_in={"slump_m": "in", "asked_slump_m": "in", "added_m3_per_m3": "gal/yd3"},
)
def water_for_slump(*, slump_m: float, asked_slump_m: float, rule: Rule = "slump article") -> float:
    """Water that brings concrete from its slump to the slump asked, by one of the rules."""
    row = SITE_WATER_RULES[rule]
    most = to_si(10.0, "in")
    hold(
        within("slump_m", slump_m, least=0.0, most=most, unit="in"),
        within("asked_slump_m", asked_slump_m, least=0.0, most=most, unit="in"),
        source=row.source,
    )
    return max(asked_slump_m - slump_m, 0.0) / row.slump_m * row.per_m3_per_m3


@formula(
    equation="f = k(rule, end) g",
    symbols={"added_m3_per_m3": "g", "rule": "rule", "end": "end"},
    result=("loss_pa", "f"),
    source=f"{CONCRETE_CONSTRUCTION}: 150 to 200 psi a gallon (Adjusting slump in the field), 200"
    " to 400 counting the air (Adding water); metric pages: 1.5 to 2.0 MPa for 4 L/m3",
    known="read",
    valid="g up to 10 gal/yd3; least or most of the rule; the sources disagree, show all",
    example={"added_m3_per_m3": 1.0, "rule": "slump article", "end": "most"},
    example_result=200.0,
    printed_in={"added_m3_per_m3": "gal/yd3", "loss_pa": "psi"},
)
def strength_loss_from_water(
    *, added_m3_per_m3: float, rule: Rule = "slump article", end: End = "most"
) -> float:
    """Strength lost to water added on site, least or most by one of the rules."""
    row = SITE_WATER_RULES[rule]
    _hold_added(added_m3_per_m3, row.source)
    return row.loss_pa[end == "most"] * added_m3_per_m3 / row.per_m3_per_m3


@formula(
    equation="f = table(w) - table(w + 8.345 g / C), air-entrained A",
    symbols={
        "added_m3_per_m3": "g",
        "cementitious_kg_per_m3": "C",
        "water_cement_ratio": "w",
        "air_entrained": "A",
    },
    result=("loss_pa", "f"),
    source=f"table of strength by ratio, {ACI_211}, on straight lines",
    known="derived",
    valid="both ratios inside the table; without the loss that more air brings",
    # Computed apart from this code: 4778 psi becomes 4613 psi.
    example={
        "added_m3_per_m3": 1.0,
        "cementitious_kg_per_m3": 564.0,
        "water_cement_ratio": 0.50,
        "air_entrained": False,
    },
    example_result=164.0,
    example_within=1.0 / 164.0,  # the two strengths are rounded to the psi
    printed_in={
        "added_m3_per_m3": "gal/yd3",
        "cementitious_kg_per_m3": "lb/yd3",
        "loss_pa": "psi",
    },
)
def strength_loss_by_ratio(
    *,
    added_m3_per_m3: float,
    cementitious_kg_per_m3: float,
    water_cement_ratio: float,
    air_entrained: bool = False,
) -> float:
    """Strength lost to water added on site, by the table of strength and ratio."""
    gain = ratio_gain_from_water(
        added_m3_per_m3=added_m3_per_m3, cementitious_kg_per_m3=cementitious_kg_per_m3
    )
    before, after = (
        strength_for_ratio_us(water_cement_ratio=ratio, air_entrained=air_entrained)
        for ratio in (water_cement_ratio, water_cement_ratio + gain)
    )
    return before - after


@dataclass(frozen=True, slots=True)
class SiteWaterEffect:
    """What one source expects of the water added; shares of shrinkage and air as it gives them."""

    slump_m: float
    loss_pa: tuple[float, float]
    air_share: tuple[float, float]
    shrinkage_share: float
    source: str
    note: str


def site_water_effects(*, added_m3_per_m3: float) -> tuple[SiteWaterEffect, ...]:
    """The effect of water added on site by every source, side by side.

    ``added_m3_per_m3`` is water by volume of concrete. Raises ``Faulty`` outside 0 to 10 gal/yd3.
    """
    _hold_added(added_m3_per_m3, "sources of this chapter")
    effects = []
    for row in SITE_WATER_RULES.values():
        times = added_m3_per_m3 / row.per_m3_per_m3
        effects.append(
            SiteWaterEffect(
                slump_m=row.slump_m * times,
                loss_pa=(row.loss_pa[0] * times, row.loss_pa[1] * times),
                air_share=(row.air_share[0] * times, row.air_share[1] * times),
                shrinkage_share=row.shrinkage_share * times,
                source=row.source,
                note=row.note,
            )
        )
    return tuple(effects)
