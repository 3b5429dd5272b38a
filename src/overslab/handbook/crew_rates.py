"""Crew rates: how fast floors are finished and trucks emptied, what is allowed for waste.

Figures of books and suppliers, for a first sketch; the crew's own closed jobs are better.
"""

from __future__ import annotations

from overslab.handbook.limits import Advice, Row, declare, declare_rows
from overslab.handbook.publications import CONCRETE_CONSTRUCTION
from overslab.handbook.ranges import hold, within
from overslab.handbook.working import formula

_ESTIMATING = "Estimating in Building Construction, chapter 10 figure 10.30"
_BIG = f"{CONCRETE_CONSTRUCTION}, Let's talk about really big slab-on-grade placements"
_WASTE = f"{CONCRETE_CONSTRUCTION}, Yield problems and waste allowance"
_WEB = "general web article (low grade)"

PLANT_RATES = declare_rows(
    Row("practical limit of a plant for big pours, low", 125.0, _BIG, "", "read", "an hour"),
    Row("practical limit of a plant for big pours, high", 150.0, _BIG, "", "read", "an hour"),
    topic="plant rate",
    quantity="hourly_m3",
    unit="yd3",
    bound="at most",
)
WASTE = declare_rows(
    Row("waste, on the ground", 3.0, _WASTE, "", "read"),
    Row("waste, in forms", 0.0, _WASTE, "", "read"),
    Row("waste, foundations", 5.0, "another text", "", "read"),
    Row("waste, superstructure", 2.0, "another text", "", "read"),
    topic="waste",
    quantity="loss_share",
    unit="%",
    bound="is",
)
UNLOADING = declare_rows(
    Row("free unloading for each cubic yard, a Midwest supplier", 7.0,
        "Suppliers' public terms", "", "read", "then an hourly charge"),
    Row("free unloading for each cubic yard, another supplier", 6.0,
        "Suppliers' public terms", "", "read", "then 1.00 a minute"),
    Row("discharge after batching", 90.0, "ASTM C94, older editions", "", "memory"),
    topic="unloading",
    quantity="allowance_s",
    unit="min",
    bound="at most",
)  # fmt: skip
LOADS = (
    *declare_rows(
        Row("least order, one supplier", 4.0, "Suppliers' public terms", "", "read"),
        Row("least order, low", 3.0, _WEB, "", "read"),
        Row("least order, high", 5.0, _WEB, "", "read"),
        topic="load",
        quantity="load_m3",
        unit="yd3",
    ),
    *declare_rows(
        Row("full truck", 10.0, _WEB, "", "read"),
        topic="load",
        quantity="load_m3",
        unit="yd3",
        bound="at most",
    ),
)
REACH = declare_rows(
    Row("reach of a chute, low", 12.0, "trade", "", "common practice"),
    Row("reach of a chute, high", 16.0, "trade", "", "common practice"),
    Row("strip with a hand screed, low", 10.0, "trade", "", "common practice"),
    Row("strip with a hand screed, high", 16.0, "trade", "", "common practice"),
    topic="reach",
    quantity="reach_m",
    unit="ft",
    bound="at most",
)
PLACING = declare_rows(
    Row("place and strike by hand, low", 150.0, "trade", "", "common practice",
        "for each person and hour; less with a steel trowel"),
    Row("place and strike by hand, high", 300.0, "trade", "", "common practice",
        "for each person and hour"),
    topic="placing rate",
    quantity="hourly_m2",
    unit="ft2",
    bound="is",
)  # fmt: skip
ADVICE = declare(
    Advice(
        "waste",
        "Over an uneven old slab the volume comes from the survey first, waste after.",
        "common practice of the trade",
        "",
        "common practice",
    ),
)


# The printed rate: 1 labour hour for 100 ft2.
(MACHINE_TROWEL,) = declare_rows(
    Row("floor finished in a labour hour, machine trowel", 100.0, _ESTIMATING, "", "read"),
    topic="finishing rate",
    quantity="each_hour_m2",
    unit="ft2",
    bound="is",
)


@formula(
    equation="t = A/r",
    symbols={"floor_m2": "A", "each_hour_m2": "r"},
    result=("labour_hours", "t"),
    source=f"{_ESTIMATING}: 1 labour hour for 100 ft2 by machine trowel",
    known="read",
    valid="any rate of a book or of the crew's own",
    # Rate read; 600 ft2 by hand.
    example={"floor_m2": 600.0, "each_hour_m2": 100.0},
    example_result=6.0,
    printed_in={"floor_m2": "ft2", "each_hour_m2": "ft2"},
)
def finishing_hours(*, floor_m2: float, each_hour_m2: float) -> float:
    """Labour to finish a floor."""
    hold(
        within("floor_m2", floor_m2, least=0, unit="ft2"),
        within("each_hour_m2", each_hour_m2, above=0, unit="ft2"),
        source=_ESTIMATING,
    )
    return floor_m2 / each_hour_m2
