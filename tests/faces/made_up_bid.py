"""A bid of round made-up numbers for the faces: 1,500 of cost, a fifth of the price as profit."""

from __future__ import annotations

from decimal import Decimal

from overslab.ground.notes import Assumption, Remark
from overslab.price.records import (
    Alternative,
    Bid,
    BidLine,
    ClosedJob,
    Outcome,
    Rates,
    WishPrice,
    WorkRate,
)

ZERO = Decimal(0)


def made_up_bid(*, word: str = "") -> Bid:
    wage = Decimal(40)
    rates = Rates(
        currency="$",
        date="2026-04-01",
        made_up=True,
        wage_per_hour=wage,
        hands=3,
        hours_per_day=8.0,
        work=(
            WorkRate(
                "finish",
                f"float and finish{word}",
                0.2,
                "area_m2",
                0.1,
                jobs=2,
                closed=(ClosedJob("2025-06-13", 90.0, 18.0), ClosedJob("2025-08-21", 60.0, 12.0)),
                own_hours_per=0.15,
            ),
        ),
        margin=Decimal("0.20"),
    )
    lines = (
        BidLine("concrete", "concrete, delivered", "concrete", Decimal("5.5"), "yd3", Decimal(200),
                Decimal(1100), f"the amount ordered{word}"),
        BidLine("finish", f"float and finish{word}", "labour", Decimal(10), "hour", wage,
                Decimal(400), "538 sq ft"),
    )  # fmt: skip
    return Bid(
        currency="$",
        price_date="2026-04-01",
        made_up=True,
        lines=lines,
        direct_cost=Decimal(1500),
        overhead=ZERO,
        cost=Decimal(1500),
        profit=Decimal(375),
        margin=Decimal("0.20"),
        markup=Decimal("0.25"),
        before_tax=Decimal(1875),
        tax=ZERO,
        price=Decimal(1880),
        rounding=Decimal(5),
        extra_concrete_price=Decimal("287.50"),
        extra_concrete_unit="yd3",
        outcome=Outcome(Decimal("371.25"), Decimal(80), 0.02, tuple(range(-20, 580)), "600 tries"),
        wishes=(WishPrice("fall", f"the fall{word} adds this much", Decimal("312.00")),),
        alternatives=(
            Alternative(
                "tear-out", "Tear out and pour anew", True, Decimal(4800), (), 11.0, (), (), ""
            ),
            Alternative(
                "lift", "Lift the old slab", True, None, (), None, (), (), "", ("a lift rate",)
            ),
        ),
        missing=(f'[[material]] "stake"{word}',),
        rates=rates,
        assumptions=(Assumption("pours", "one", "not planned"),),
        remarks=(Remark("warn", "These rates are made up: no air was asked for either."),),
    )
