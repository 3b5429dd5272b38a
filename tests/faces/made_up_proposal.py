"""A bid and the words of a proposal, made up; every cost in it is a number found nowhere else."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal

from overslab.order.records import Plant
from overslab.price.promises import LegalTexts, OptionOffered, ProposalTexts, UnitRate
from overslab.price.records import (
    Alternative,
    Bid,
    BidLine,
    FlatRate,
    MaterialRate,
    Outcome,
    Rates,
    WishPrice,
    WorkRate,
)

# What the firm knows and the customer never: amounts and shares that stand nowhere else.
COSTS = {
    "line": "7913.17", "each": "659.431", "direct": "8117.23", "overhead": "1217.59",
    "cost": "9334.82", "profit": "2003.71", "margin": "0.17669", "markup": "0.21463",
    "before_tax": "11338.53", "rounding": "3.19", "wage": "47.83", "material": "13.37",
    "hours": "0.23719", "flat": "311.47", "rate_overhead": "0.14983", "rate_margin": "0.19171",
    "expected": "1911.37", "deviation": "613.91", "loss": "0.04337", "wish": "271.43",
    "way": "3607.29", "truck": "173.57", "plant": "193.29",
}  # fmt: skip
SECRET = "spare wages of the crew"
_D = {name: Decimal(value) for name, value in COSTS.items()}


def secret_bid(**more: object) -> Bid:
    """A bid of 11,500 whose every other figure is one of ``COSTS``."""
    line = BidLine(
        "finish", SECRET, "labour", Decimal("12"), "hour", _D["each"], _D["line"], SECRET
    )
    way = BidLine("haul", SECRET, "haul", Decimal("1"), "load", _D["way"], _D["way"], SECRET)
    rates = Rates(
        currency="$",
        date="2026-04-01",
        made_up=True,
        wage_per_hour=_D["wage"],
        hands=3,
        hours_per_day=8.0,
        materials=(MaterialRate("wire-sheet", _D["material"], "sheet"),),
        work=(WorkRate("finish", SECRET, float(COSTS["hours"]), "area_m2"),),
        flat=(FlatRate("trowel", SECRET, "equipment", _D["flat"], "job"),),
        overhead=_D["rate_overhead"],
        margin=_D["rate_margin"],
        tax=Decimal("0.05"),
        taxed="materials",
    )
    told = ("Water leaves.",)
    ways = (
        Alternative(
            "overlay", "x", True, Decimal("11500"), (line,), 9.0, told, ("Weight",), SECRET
        ),
        Alternative(
            "tear-out", "x", True, Decimal("28750"), (way,), 21.0, told, ("Dust.",), COSTS["way"]
        ),
        Alternative("lift", "x", False, None, (way,), None, (), ("Cracks stay.",), SECRET),
        Alternative("grind-patch", "x", True, None, (way,), 2.0, (), (), SECRET, (SECRET,)),
        Alternative("nothing", "x", True, Decimal(0), (), 0.0, (), ("Ice.",), SECRET),
    )
    bid = Bid(
        currency="$",
        price_date="2026-04-01",
        made_up=True,
        lines=(line,),
        direct_cost=_D["direct"],
        overhead=_D["overhead"],
        cost=_D["cost"],
        profit=_D["profit"],
        margin=_D["margin"],
        markup=_D["markup"],
        before_tax=_D["before_tax"],
        tax=Decimal("158.28"),
        price=Decimal("11500"),
        rounding=_D["rounding"],
        extra_concrete_price=Decimal("285"),
        extra_concrete_unit="yd3",
        outcome=Outcome(_D["expected"], _D["deviation"], 0.04337, (1911.37,), SECRET),
        wishes=(WishPrice("fall", SECRET, _D["wish"]),),
        alternatives=ways,
        missing=('[[material]] "sealer", by the can: 3 in this job',),
        rates=rates,
    )
    return replace(bid, **more)  # type: ignore[arg-type]


def secret_plant(plant: Plant) -> Plant:
    """The plant with prices that are found nowhere else."""
    return replace(plant, concrete_cost_per_m3=193.29, short_load_charge=173.57)


LAW = LegalTexts(
    deposit="Invented deposit sentence.",
    cancellation="Invented cancelling sentence.",
    licence="Invented number 000.",
    insurance="Invented cover.",
    warranty="Invented warranty sentence.",
    other="Invented further sentence.",
)


def made_up_texts(*, word: str = "", law: LegalTexts | None = None) -> ProposalTexts:
    return ProposalTexts(
        firm=f"Invented Flatwork{word}",
        contact="Nowhere Lane",
        customer="Makebelieve",
        date="2026-04-27",
        valid_until="2026-05-27",
        problem=f"First paragraph{word}.\n\nSecond paragraph.",
        scope=(f"Sweep the floor{word}", "Pour it"),
        not_in_scope=("Moving the lathe",),
        may_change=("A larger hollow place",),
        cracks="Hairlines are ours to call normal.",
        puddles="A film that dries is normal.",
        local_rule="Invented County rule 7",
        schedule="Three days in May.",
        weather="Rain moves it.",
        care=("Sand, no salt",),
        payment="Half and half.",
        agreement="We looked at it together.",
        options=(OptionOffered("Sealer", "One coat", Decimal("460")),),
        unit_rates=(UnitRate("Waiting", Decimal("240"), "hour of the crew"),),
        law=law or LegalTexts(),
    )


# Where a line runs is no figure that anyone reads.
GEOMETRY = re.compile(
    r"\b(?:d|x|y|transform|font-size|width|height|viewBox|stroke-\w+)=\\?\"[^\"\\]*\\?\""
)


def secrets_in(text: str) -> set[str]:
    """Names of the costs that stand in a text as a person or a program would write them."""
    text, found = GEOMETRY.sub("", text), set()
    for name, cost in COSTS.items():
        value = float(cost)
        forms = [re.escape(cost)]
        if value >= 1:
            forms.append(re.escape(f"{value:,.2f}"))
        if value >= 1000:
            forms += [f"{value:,.0f}", f"{int(value):,}", str(int(value))]
        if value < 1:
            forms += [rf"{value * 100:.{places}f} ?%" for places in (1, 2)]
        if re.search(rf"(?<![\d.,])(?:{'|'.join(forms)})", text):
            found.add(name)
    return found
