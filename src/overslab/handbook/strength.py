"""Strength and maturity: how strength grows with age, what warm and cold days are worth, traffic.

Time to traffic is better taken from strength by maturity; the days of the guides are a default for
concrete at about 70 F.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, fsum, log10, sqrt
from typing import Literal

from overslab.ground.units import to_si
from overslab.handbook.limits import Limit, declare
from overslab.handbook.publications import ACI_209_1992, ASTM_C1074, EN_1992, MODEL_CODE_90
from overslab.handbook.ranges import hold, within
from overslab.handbook.working import formula

Curing = Literal["moist", "steam"]
Cement = Literal["Type I", "Type III"]
CementClass = Literal["R", "N", "S"]

_ACI_209_GROWTH = f"{ACI_209_1992}, strength with age"
# (a in days, b) of t / (a + b t), ACI 209R (memory).
ACI_209_CONSTANTS: dict[tuple[Curing, Cement], tuple[float, float]] = {
    ("moist", "Type I"): (4.0, 0.85),
    ("moist", "Type III"): (2.3, 0.92),
    ("steam", "Type I"): (1.0, 0.95),
    ("steam", "Type III"): (0.70, 0.98),
}
# s of EN 1992-1-1:2004, 3.1.2.
EN_1992_CONSTANTS: dict[CementClass, float] = {"R": 0.20, "N": 0.25, "S": 0.38}
_ACI_209_CURING = "kept moist or steam cured, near 70 F; a and b: " + ", ".join(
    f"{curing} {cement} {a:g} and {b:g}" for (curing, cement), (a, b) in ACI_209_CONSTANTS.items()
)
_ZERO_K = 273.15
_OLDEST_DAYS = 36_500.0
_WEB_GUIDES = "general web guides to concrete slabs"

TRAFFIC_LIMITS = declare(
    *(
        Limit(
            name=name,
            quantity="age_days",
            value=days,
            source=source,
            edition="",
            known="read",
            note=note,
            topic=topic,
            practice=practice,
        )
        for name, days, source, note, topic, practice in (
            ("age for foot traffic", 1.0, _WEB_GUIDES, "24 to 48 h, about 20 % of strength",
             "foot traffic", True),
            ("age for foot traffic, upper", 2.0, _WEB_GUIDES, "24 to 48 h", "foot traffic", False),
            ("age for foot traffic, one guide", 3.0, "one web guide to concrete slabs", "",
             "foot traffic", False),
            ("age for cars", 7.0, _WEB_GUIDES, "about 70 % of strength", "car traffic", True),
            ("age for cars, contractors' pages", 5.0, "pages of contractors", "", "car traffic",
             False),
            ("age for heavy vehicles", 28.0, _WEB_GUIDES, "", "heavy traffic", True),
        )
    )
)  # fmt: skip
TRAFFIC_STRENGTHS = declare(
    *(
        Limit(
            name=f"share of the 28-day strength for {what}",
            quantity="strength_share",
            value=share,
            source=_WEB_GUIDES,
            edition="",
            known="read",
            topic=f"{what} strength",
        )
        for what, share in (("foot traffic", 0.20), ("car traffic", 0.70))
    )
)


@formula(
    equation="R = t / (a + b t), a and b of (curing, cement)",
    symbols={"age_days": "t", "curing": "curing", "cement": "cement"},
    result=("strength_share", "R"),
    source=f"{_ACI_209_GROWTH}: moist cured Type I at 7 days 0.70",
    known="memory",
    valid=f"{_ACI_209_CURING}; at 28 days it gives 1.007 and not 1.000",
    example={"age_days": 7.0, "curing": "moist", "cement": "Type I"},
    example_result=0.70,
)
def strength_share_aci_209(
    *, age_days: float, curing: Curing = "moist", cement: Cement = "Type I"
) -> float:
    """Strength at an age as a share of the strength at 28 days, ACI 209R."""
    _hold_age(age_days, source=_ACI_209_GROWTH)
    a, b = ACI_209_CONSTANTS[curing, cement]
    return age_days / (a + b * age_days)


@formula(
    equation="t = a R / (1 - b R), a and b of (curing, cement)",
    symbols={"strength_share": "R", "curing": "curing", "cement": "cement"},
    result=("age_days", "t"),
    source=f"{_ACI_209_GROWTH}, turned round: 70 % at 7 days, moist cured Type I",
    known="memory",
    valid=f"{_ACI_209_CURING}; a share below 1 / b, which is never reached",
    example={"strength_share": 0.70, "curing": "moist", "cement": "Type I"},
    example_result=7.0,
    example_within=0.02,  # 0.70 stands for 0.704
)
def age_for_strength_aci_209(
    *, strength_share: float, curing: Curing = "moist", cement: Cement = "Type I"
) -> float:
    """Age at which a share of the strength at 28 days is reached, ACI 209R."""
    a, b = ACI_209_CONSTANTS[curing, cement]
    hold(
        within("strength_share", strength_share, above=0.0, below=1.0 / b, unit="%"),
        source=_ACI_209_GROWTH,
    )
    return a * strength_share / (1.0 - b * strength_share)


@formula(
    equation="B = exp(s (1 - sqrt(28 / t))), s of class",
    symbols={"age_days": "t", "cement_class": "class"},
    result=("strength_share", "B"),
    source=f"{EN_1992}, 3.1.2 (read in a copy); class N at 7 days 0.78 in handbooks (memory)",
    known="read",
    valid="near 20 C, cured as the standard asks; class R 0.20, N 0.25, S 0.38; mean strength",
    example={"age_days": 7.0, "cement_class": "N"},
    example_result=0.78,
)
def strength_share_en_1992(*, age_days: float, cement_class: CementClass = "N") -> float:
    """Mean strength at an age as a share of the mean strength at 28 days, EN 1992-1-1:2004."""
    _hold_age(age_days, source=EN_1992)
    return exp(EN_1992_CONSTANTS[cement_class] * (1.0 - sqrt(28.0 / age_days)))


def _hold_age(age_days: float, *, source: str) -> None:
    hold(within("age_days", age_days, above=0.0, most=_OLDEST_DAYS, unit=""), source=source)


def _hold_spells(temperature_c: Sequence[float], spell_hours: Sequence[float], source: str) -> None:
    spells = len(temperature_c)
    hold(
        within("temperature_c, number of spells", float(spells), least=1.0),
        within("spell_hours, number of spells", float(len(spell_hours)), least=spells, most=spells),
        *(within("temperature_c", one, least=-30.0, most=90.0, unit="C") for one in temperature_c),
        *(within("spell_hours", one, least=0.0) for one in spell_hours),
        source=source,
    )


@formula(
    equation="M = sum((T - T0) dt)",
    symbols={"temperature_c": "T", "spell_hours": "dt", "datum_c": "T0"},
    result=("maturity_c_hours", "M"),
    source="web article on concrete maturity: 28 days at 15 C from a datum of -11 C is 728 C days;"
    f" law of {ASTM_C1074}",
    known="read",
    valid="temperature of the concrete in each spell; a spell below the datum counts as nothing;"
    " the datum belongs to the mix",
    # 28 days are 672 h; 728 C days are 17472 C h.
    example={"temperature_c": (15.0,), "spell_hours": (672.0,), "datum_c": -11.0},
    example_result=17472.0,
)
def maturity_nurse_saul(
    *, temperature_c: Sequence[float], spell_hours: Sequence[float], datum_c: float
) -> float:
    """Maturity as temperature above a datum times time, Nurse and Saul."""
    _hold_spells(temperature_c, spell_hours, ASTM_C1074)
    return fsum(
        max(temperature - datum_c, 0.0) * hours
        for temperature, hours in zip(temperature_c, spell_hours, strict=True)
    )


@formula(
    equation="te = sum(exp(-Q (1 / (T + 273.15) - 1 / (Tr + 273.15))) dt)",
    symbols={
        "temperature_c": "T",
        "spell_hours": "dt",
        "activation_k": "Q",
        "reference_c": "Tr",
    },
    result=("equivalent_hours", "te"),
    source=f"{ASTM_C1074}; Q 5000 K and 20 C are often taken (some take 23 C)",
    known="memory",
    valid="temperature of the concrete in each spell; Q belongs to the cement; no published worked"
    " sheet was found",
    # One hour at 10 C with Q 5000 K by hand: exp(-0.60238) = 0.5475.
    example={
        "temperature_c": (10.0,),
        "spell_hours": (1.0,),
        "activation_k": 5000.0,
        "reference_c": 20.0,
    },
    example_result=0.5475,
)
def equivalent_age_arrhenius(
    *,
    temperature_c: Sequence[float],
    spell_hours: Sequence[float],
    activation_k: float = 5000.0,
    reference_c: float = 20.0,
) -> float:
    """Age at the reference temperature that has hardened concrete as much, Arrhenius's law."""
    _hold_spells(temperature_c, spell_hours, ASTM_C1074)
    hold(
        within("activation_k", activation_k, above=0.0, most=10_000.0),
        within("reference_c", reference_c, least=0.0, most=40.0, unit="C"),
        source=ASTM_C1074,
    )
    return fsum(
        hours
        * exp(
            -activation_k * (1.0 / (temperature + _ZERO_K) - 1.0 / (reference_c + _ZERO_K)),
        )
        for temperature, hours in zip(temperature_c, spell_hours, strict=True)
    )


@formula(
    equation="te = sum(exp(13.65 - 4000 / (273 + T)) dt)",
    symbols={"temperature_c": "T", "spell_hours": "dt"},
    result=("equivalent_hours", "te"),
    source=f"{MODEL_CODE_90}, as reproduced in a materials manual of a finite-element program;"
    " second hand",
    known="read",
    valid="0 to 80 C; reference 20 C",
    # At the reference temperature an hour is an hour; 13.65 is rounded.
    example={"temperature_c": (20.0,), "spell_hours": (1.0,)},
    example_result=1.0,
    example_within=0.005,
)
def equivalent_age_model_code_90(
    *, temperature_c: Sequence[float], spell_hours: Sequence[float]
) -> float:
    """Age at 20 C that has hardened concrete as much, CEB-FIP Model Code 1990."""
    _hold_spells(temperature_c, spell_hours, MODEL_CODE_90)
    hold(
        *(within("temperature_c", one, least=0.0, most=80.0, unit="C") for one in temperature_c),
        source=MODEL_CODE_90,
    )
    return fsum(
        hours * exp(13.65 - 4000.0 / (273.0 + temperature))
        for temperature, hours in zip(temperature_c, spell_hours, strict=True)
    )


@formula(
    equation="R = A + B log10(M / 1000)",
    symbols={"maturity_c_hours": "M", "constant_a": "A", "constant_b": "B"},
    result=("strength_share", "R"),
    source="Plowman's law, textbook example: 4368 C h, A 32, B 54 is 66.5 %",
    known="memory",
    valid="maturity in C h above -11 C, at least 100; A and B in percent belong to the strength",
    example={"maturity_c_hours": 4368.0, "constant_a": 32.0, "constant_b": 54.0},
    example_result=66.5,
    example_within=0.2 / 66.5,  # the page works with a logarithm of three places
    printed_in={"strength_share": "%"},
)
def strength_share_plowman(
    *, maturity_c_hours: float, constant_a: float, constant_b: float
) -> float:
    """Strength by maturity as a share of the strength at 28 days, Plowman."""
    hold(
        within("maturity_c_hours", maturity_c_hours, least=100.0, most=1e6, unit=""),
        source="Plowman's law",
    )
    return to_si(max(constant_a + constant_b * log10(maturity_c_hours / 1000.0), 0.0), "%")
