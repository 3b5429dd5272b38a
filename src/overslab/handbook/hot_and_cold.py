"""Hot and cold weather: what counts as either, how warm concrete must be, how long kept so."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from overslab.ground.units import to_customary, to_si
from overslab.handbook.limits import Advice, Limit, Table, declare
from overslab.handbook.publications import (
    ACI_301_2020,
    ACI_305_1_2014,
    ACI_306R,
    ACI_306R_1988,
    CONCRETE_CONSTRUCTION,
    PCA_EB001,
)
from overslab.handbook.ranges import hold, within
from overslab.handbook.working import formula

Stage = Literal["as placed", "as mixed"]

_TABLE_306 = f"{ACI_306R}, table 3.1"
# Rows: least dimension of the section; columns: as placed and kept, as mixed with the air above
# 30 F, 0 to 30 F, below 0 F, and the greatest drop in the first day after protection ends.
COLD_TABLE = declare(
    Table(
        name="cold weather: temperature of concrete by section",
        topic="cold weather concrete",
        columns=(
            "section_from_m",
            "section_to_m",
            "placed_c",
            "mixed_above_30_f_c",
            "mixed_0_to_30_f_c",
            "mixed_below_0_f_c",
            "most_drop_c",
        ),
        rows=(
            (0.0, 12.0, 55.0, 60.0, 65.0, 70.0, 50.0),
            (12.0, 36.0, 50.0, 55.0, 60.0, 65.0, 40.0),
            (36.0, 72.0, 45.0, 50.0, 55.0, 60.0, 30.0),
            (72.0, 1200.0, 40.0, 45.0, 50.0, 55.0, 20.0),
        ),
        source=_TABLE_306,
        edition="",
        known="memory",
        printed_in={
            "section_from_m": "in",
            "section_to_m": "in",
            "placed_c": "F",
            "mixed_above_30_f_c": "F",
            "mixed_0_to_30_f_c": "F",
            "mixed_below_0_f_c": "F",
            "most_drop_c": "F difference",
        },
        note="the last row has no upper end in print; 55 F for sections under 12 in is read in"
        " Concrete Construction",
    )
)[0]
# A limit typed as it is printed may miss its SI value by the last binary digit.
_NOISE = 1e-9
_THICKEST_M = to_si(1200.0, "in")

HOT_LIMITS = declare(
    *(
        Limit(
            name="temperature of concrete at discharge",
            quantity="concrete_c",
            value=to_si(95.0, "F"),
            source=source,
            edition=edition,
            known="read",
            note="read on a secondary page",
            topic="hot weather",
            bound="at most",
            practice=source == ACI_305_1_2014,
        )
        for source, edition in ((ACI_305_1_2014, "2014"), (ACI_301_2020, "2020"))
    )
)
FREEZING_LIMITS = declare(
    Limit(
        name="strength at which concrete withstands being frozen once",
        quantity="strength_pa",
        value=to_si(500.0, "psi"),
        source=f"{PCA_EB001}, chapter 14",
        edition="",
        known="read",
        note="normally reached within 24 h at ordinary temperature with w/c below 0.60",
        topic="freezing of young concrete",
        practice=True,
    ),
    Limit(
        name="strength that may be lost when concrete freezes within hours of placing",
        quantity="loss_share",
        value=0.50,
        source=f"{PCA_EB001}, chapter 14: up to about 50 %",
        edition="",
        known="read",
        topic="loss by freezing",
        bound="is",
    ),
)
PLACING_LIMITS = declare(
    Limit(
        name="temperature of the concrete, as placed and kept, sections under 12 in",
        quantity="concrete_c",
        value=to_si(55.0, "F"),
        source=f"{CONCRETE_CONSTRUCTION}, Cold weather, correction",
        edition="",
        known="read",
        note="it is the concrete, not the air; no air temperature for placing is set",
        topic="cold weather",
        practice=True,
    )
)
PROTECTION_DAYS = declare(
    *(
        Limit(
            name=f"days of protection, {what}",
            quantity="protection_days",
            value=float(days),
            source=ACI_306R,
            edition="",
            known="memory",
            note="about a day less with a mix that gains strength fast",
            topic="cold weather protection",
        )
        for what, days in (
            ("no load, not exposed", 2),
            ("no load, exposed", 3),
            ("some load, exposed", 6),
        )
    )
)
COLD_ADVICE = declare(
    Advice(
        topic="cold weather",
        says="the concrete's temperature counts, not the air's; no least air temperature is set",
        source=f"{CONCRETE_CONSTRUCTION}, Cold weather, correction",
        edition="",
        known="read",
    )
)[0]


def _row(section_m: float) -> tuple[float, ...]:
    """The row of the cold-weather table, in the units of print."""
    hold(within("section_m", section_m, above=0.0, most=_THICKEST_M, unit="in"), source=_TABLE_306)
    rows = [tuple(float(cell) for cell in row) for row in COLD_TABLE.rows]
    inches = to_customary(section_m, "in")
    return next(row for row in rows if inches < row[1] - _NOISE or row is rows[-1])


@formula(
    equation="T = table(section s, stage, air Ta)",
    symbols={"section_m": "s", "stage": "stage", "air_c": "Ta"},
    result=("concrete_c", "T"),
    source=f"{_TABLE_306}; 55 F for sections under 12 in also read in {CONCRETE_CONSTRUCTION}",
    known="memory",
    valid="least dimension of the section; the air counts only for concrete as mixed: above 30 F,"
    " from 0 to 30 F, below 0 F; a dimension that is an end of two rows takes the thicker",
    example={"section_m": 4.0, "stage": "as placed", "air_c": 20.0},
    example_result=55.0,
    printed_in={"section_m": "in", "air_c": "F", "concrete_c": "F"},
)
def least_concrete_temperature_306(*, section_m: float, stage: Stage, air_c: float) -> float:
    """Least temperature of concrete in cold weather, by the thickness of the section."""
    row = _row(section_m)
    if stage == "as placed":
        return to_si(row[2], "F")
    air = to_customary(air_c, "F")
    column = 3 if air > 30.0 + _NOISE else 4 if air >= -_NOISE else 5
    return to_si(row[column], "F")


@formula(
    equation="d = table(section s)",
    symbols={"section_m": "s"},
    result=("most_drop_c", "d"),
    source=_TABLE_306,
    known="memory",
    valid="in the first 24 h after protection ends; least dimension of the section",
    example={"section_m": 4.0},
    example_result=50.0,
    printed_in={"section_m": "in", "most_drop_c": "F difference"},
)
def most_drop_after_protection_306(*, section_m: float) -> float:
    """How far concrete may cool in the first day after protection is taken off."""
    return to_si(_row(section_m)[6], "F difference")


@formula(
    equation="cold = (mean air Tm < 40 F and hours above 50 F h <= 12) on more than 3 days running",
    symbols={"mean_air_c": "Tm", "warm_hours": "h"},
    result=("cold", "cold"),
    source=f"{ACI_306R_1988}, definition, as given in {PCA_EB001}, chapter 14; second hand",
    known="read",
    valid="one mean and one count of hours above 50 F for each day, days in order",
    # Four such days by the words of the definition; temperatures made up.
    example={"mean_air_c": (1.0, 2.0, 0.0, 3.0), "warm_hours": (0.0, 2.0, 0.0, 0.0)},
    example_result=True,
)
def cold_weather_306_1988(*, mean_air_c: Sequence[float], warm_hours: Sequence[float]) -> bool:
    """Whether it is cold weather by the definition of 1988."""
    days = len(mean_air_c)
    hold(
        within("mean_air_c, number of days", float(days), least=1.0),
        within("warm_hours, number of days", float(len(warm_hours)), least=days, most=days),
        *(within("warm_hours", hours, least=0.0, most=24.0, unit="") for hours in warm_hours),
        source=ACI_306R_1988,
    )
    limit_c = to_si(40.0, "F")
    run = longest = 0
    for mean, hours in zip(mean_air_c, warm_hours, strict=True):
        run = run + 1 if mean < limit_c - _NOISE and hours <= 12.0 else 0
        longest = max(longest, run)
    return longest > 3


@formula(
    equation="cold = (least air Tl < 40 F)",
    symbols={"least_air_c": "Tl"},
    result=("cold", "cold"),
    source=f"{ACI_306R}, newer editions: air at or expected below 40 F while protection is needed",
    known="memory",
    valid="the lowest air temperature forecast for the time of protection",
    # By the words of the definition.
    example={"least_air_c": 35.0},
    example_result=True,
    printed_in={"least_air_c": "F"},
)
def cold_weather_306_newer(*, least_air_c: float) -> bool:
    """Whether it is cold weather by the newer definition."""
    return least_air_c < to_si(40.0, "F") - _NOISE
