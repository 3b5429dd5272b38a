"""Setting: when concrete stiffens, and how temperature hurries or holds it.

Initial and final set are defined by penetration (ASTM C403); finishing lies between. Three routes
give the hours by temperature: the rule of 20 F, a table of approximate times, and Arrhenius's law.
They agree within about 13 percent from 50 to 90 F and part outside, so the rule is taken at plus or
minus 25 percent and refused below 40 F and above 95 F. The mix's own record beats all of them.
"""

from __future__ import annotations

from itertools import pairwise
from math import exp, pow
from typing import Literal

from overslab.ground.units import to_customary, to_si
from overslab.handbook.limits import Advice, Limit, Table, declare
from overslab.handbook.publications import NFBA_2020, SCHINDLER_2003, SLAG_IS_03
from overslab.handbook.ranges import hold, within
from overslab.handbook.working import formula

Set = Literal["initial", "final"]

_TABLE_SOURCE = "table of approximate setting times of ready-mixed concrete"
_LEAST_C, _MOST_C = to_si(40.0, "F"), to_si(95.0, "F")
_AT_70_HOURS = 6.0  # the table's row at 70 F
_GAS_J_PER_MOL_K = 8.314
_ZERO_K = 273.15

SET_LIMITS = declare(
    *(
        Limit(
            name=f"{stage} set: resistance to penetration",
            quantity="penetration_pa",
            value=to_si(psi, "psi"),
            source=f"{SLAG_IS_03}, on ASTM C403",
            edition="",
            known="read",
            topic=f"{stage} set",
            bound="is",
        )
        for stage, psi in (("initial", 500.0), ("final", 4000.0))
    )
)
RULE_SPREAD = declare(
    Limit(
        name="plus-or-minus of the rule of 20 F, as a share of the time",
        quantity="spread_share",
        value=0.25,
        source="own comparison of the rule with the table of setting times",
        edition="",
        known="derived",
        topic="setting time spread",
        bound="is",
    )
)[0]
# No row below 30 F holds hours: at 20 F the table says that it does not set.
SETTING_TABLE = declare(
    Table(
        name="approximate setting time by temperature",
        topic="setting time",
        columns=("concrete_c", "setting_hours"),
        rows=(
            (30.0, 19.0),
            (40.0, 14 + 2 / 3),
            (50.0, 10 + 2 / 3),
            (60.0, 8.0),
            (70.0, 6.0),
            (80.0, 4.0),
            (90.0, 2 + 2 / 3),
            (100.0, 1 + 2 / 3),
        ),
        source=_TABLE_SOURCE,
        edition="",
        known="memory",
        printed_in={"concrete_c": "F"},
        note="20 F: no set",
    )
)[0]
OTHER_TIMES = declare(
    *(
        Limit(
            name=f"setting time {where}",
            quantity="setting_hours",
            value=hours,
            source=source,
            edition="",
            known="read",
            note=note,
            topic="setting time",
            bound="is",
        )
        for where, hours, source, note in (
            ("just above freezing", 19.0, "general web article", "below freezing may not set"),
            ("at 70 F", 5.0, "trade blog", ""),
            ("at 30 F", 20.0, "trade blog", "up to"),
        )
    )
)
FOOTPRINT = declare(
    Limit(
        name="depth of a footprint near initial set",
        quantity="footprint_m",
        value=to_si(0.25, "in"),
        source="newsletter of a concrete producer, on the window of finishability",
        edition="",
        known="read",
        topic="footprint",
        bound="is",
    )
)[0]
FINISHING_ADVICE = declare(
    Advice(
        topic="finishing",
        says="finishing beyond the bull float comes after initial set and is done before final set",
        source="newsletter of a concrete producer; window of finishability, term of ACI 302",
        edition="",
        known="read",
    )
)[0]


@formula(
    equation="t = t70 * 2^((70 - F) / 20)",
    symbols={"concrete_c": "F", "at_70_f_hours": "t70"},
    result=("setting_hours", "t"),
    source=f"{NFBA_2020}: time halves for 20 F more and doubles for 20 F less;"
    " 6 h at 70 F is the table's (memory)",
    known="read",
    valid="40 to 95 F; within 25 percent; t70 is best the mix's own time at 70 F",
    # 20 F below 70 F doubles.
    example={"concrete_c": 50.0, "at_70_f_hours": 6.0},
    example_result=12.0,
    printed_in={"concrete_c": "F"},
)
def setting_time_by_20_f(*, concrete_c: float, at_70_f_hours: float = _AT_70_HOURS) -> float:
    """Hours to set by the rule of 20 F."""
    hold(
        within("concrete_c", concrete_c, least=_LEAST_C, most=_MOST_C, unit="F"),
        within("at_70_f_hours", at_70_f_hours, above=0.0, most=72.0),
        source=f"{NFBA_2020}; range by own comparison",
    )
    return at_70_f_hours * pow(2.0, (70.0 - to_customary(concrete_c, "F")) / 20.0)


@formula(
    equation="t = table(F)",
    symbols={"concrete_c": "F"},
    result=("setting_hours", "t"),
    source=_TABLE_SOURCE,
    known="memory",
    valid="30 to 100 F, a straight line between rows; at 20 F it does not set",
    example={"concrete_c": 50.0},
    example_result=10.67,
    printed_in={"concrete_c": "F"},
)
def setting_time_by_table(*, concrete_c: float) -> float:
    """Hours to set by the table of approximate times."""
    hold(
        within("concrete_c", concrete_c, least=to_si(30.0, "F"), most=to_si(100.0, "F"), unit="F"),
        source=f"{_TABLE_SOURCE}; at 20 F it says: no set",
    )
    rows = [(float(row[0]), float(row[1])) for row in SETTING_TABLE.rows]
    fahrenheit = to_customary(concrete_c, "F")
    for (low, slow), (high, quick) in pairwise(rows):
        if fahrenheit <= high:
            return slow + (quick - slow) * (fahrenheit - low) / (high - low)
    return rows[-1][1]


@formula(
    equation="q = rule(F) / table(F)",
    symbols={"concrete_c": "F"},
    result=("rule_to_table", "q"),
    source="rule of 20 F over the table of approximate times",
    known="derived",
    valid="40 to 95 F",
    # 12 h by the rule over 10-2/3 h by the table.
    example={"concrete_c": 50.0},
    example_result=1.125,
    printed_in={"concrete_c": "F"},
)
def setting_rule_to_table(*, concrete_c: float) -> float:
    """How many times the table's setting time the rule of 20 F gives."""
    return setting_time_by_20_f(concrete_c=concrete_c) / setting_time_by_table(
        concrete_c=concrete_c
    )


@formula(
    equation="t = t70 exp(Ea / 8.314 (1 / (T + 273.15) - 1 / 294.261))",
    symbols={"concrete_c": "T", "at_70_f_hours": "t70", "activation_j_per_mol": "Ea"},
    result=("setting_hours", "t"),
    source="Arrhenius's law from 70 F (294.261 K); 40 kJ/mol is a customary value (memory)",
    known="derived",
    valid="30 to 100 F; a comparison for the rule of 20 F, as no published constants were found",
    # By hand: 40000 / 8.314 (1 / 283.15 - 1 / 294.261) = 0.6416; 6 exp(0.6416) = 11.4.
    example={"concrete_c": 10.0, "at_70_f_hours": 6.0, "activation_j_per_mol": 40000.0},
    example_result=11.4,
)
def setting_time_by_arrhenius(
    *,
    concrete_c: float,
    at_70_f_hours: float = _AT_70_HOURS,
    activation_j_per_mol: float = 40000.0,
) -> float:
    """Hours to set by Arrhenius's law, from the time at 70 F."""
    hold(
        within("concrete_c", concrete_c, least=to_si(30.0, "F"), most=to_si(100.0, "F"), unit="F"),
        within("at_70_f_hours", at_70_f_hours, above=0.0, most=72.0),
        within("activation_j_per_mol", activation_j_per_mol, above=0.0, most=1e5),
        source="own comparison",
    )
    slower = 1.0 / (concrete_c + _ZERO_K) - 1.0 / (to_si(70.0, "F") + _ZERO_K)
    return at_70_f_hours * exp(activation_j_per_mol / _GAS_J_PER_MOL_K * slower)


# Degree of hydration at set, as a multiple of the water-cement ratio.
_HYDRATION_AT_SET: dict[Set, float] = {"initial": 0.15, "final": 0.26}


@formula(
    equation="a = k(stage) w, k 0.15 initial, 0.26 final",
    symbols={"stage": "stage", "water_cement_ratio": "w"},
    result=("hydration_share", "a"),
    source=f"{SCHINDLER_2003}: it depends on w/cm and not on temperature (abstract read);"
    " constants from memory",
    known="memory",
    valid="w/cm from 0.30 to 0.70, any curing temperature",
    # By hand.
    example={"stage": "initial", "water_cement_ratio": 0.50},
    example_result=0.075,
)
def hydration_at_set(*, stage: Set, water_cement_ratio: float) -> float:
    """Share of the cement that has hydrated when concrete sets."""
    hold(
        within("water_cement_ratio", water_cement_ratio, least=0.30, most=0.70),
        source=SCHINDLER_2003,
    )
    return _HYDRATION_AT_SET[stage] * water_cement_ratio
