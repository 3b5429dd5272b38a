"""Lines of a bid worked by hand on round numbers, in yards and in metres."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from made_up_job import INCHES, ITEMS, METRIC, PLANT, RATES, YARD3_M3, made_order, made_takeoff

from overslab.ground.faults import Faulty
from overslab.job import read_job, walk_to
from overslab.price.bidding import bid
from overslab.price.chain import ask
from overslab.price.concreting import Costed, concrete_lines, loads_of
from overslab.price.costing import cost_lines
from overslab.price.records import MaterialRate, PlantRules, Rates, TradePrice, WorkRate
from overslab.takeoff.items import Item, work
from overslab.touches.records import Remedy, Touch, Touches


def costed(rates: Rates = RATES, *, touches: Touches | None = None, units=INCHES) -> Costed:  # type: ignore[no-untyped-def]
    return cost_lines(made_takeoff(), made_order(), rates, touches, units=units)


def amounts(made: Costed) -> dict[str, Decimal]:
    return {line.code: line.amount for line in made.lines}


def test_every_line_by_hand() -> None:
    """13 yd3 in loads of 10 and 3; 12 sheets; 10 lb; 15 h and 6 h of work: one day for four."""
    assert amounts(costed()) == {
        "concrete": Decimal("2145.00"),  # 13 x 165
        "short-load": Decimal("150.00"),  # 3 yd3 is less than 4
        "wire-sheet": Decimal("136.80"),  # 12 x 11.40
        "fibre": Decimal("95.00"),  # 4.536 kg are 10 lb, at 9.50
        "finish": Decimal("600.00"),  # 10 x 100 ft2 x 1.5 h x 40
        "place": Decimal("240.00"),  # 12 yd3 x 0.5 h x 40
        "tools": Decimal("60.00"),  # 21 h of 32 a day: one day; the lifting pump stays away
    }


def test_in_metres_the_same_concrete_is_sold_by_the_cubic_metre() -> None:
    plant = replace(PLANT, concrete_cost_per_m3=200.0)
    made = concrete_lines((6.0, 2.5), plant, RATES, units=METRIC, why="")
    (concrete, short) = made.lines
    assert (concrete.number, concrete.unit, concrete.amount) == (8.5, "m3", Decimal("1700.00"))
    assert short.code == "short-load"  # 2.5 m3 is less than 4 yd3


def test_the_bid_by_hand() -> None:
    """Direct 3426.80, overhead a tenth: cost 3769.48; a margin of a fifth: a quarter of that."""
    order = made_order()
    made = ask(costed().lines, RATES)
    assert made.direct_cost == Decimal("3426.80")
    assert made.overhead == Decimal("342.68")
    assert made.cost == Decimal("3769.48")
    assert made.profit == Decimal("942.37")
    assert made.before_tax == made.price == Decimal("4711.85")
    assert (made.margin, made.markup) == (Decimal("0.20"), Decimal("0.25"))
    assert order.plant is PLANT


PLANT_TERMS = PlantRules(
    waiting_free_minutes=30.0,
    waiting_per_minute=Decimal("2.50"),
    saturday_per_m3=Decimal("12") / Decimal(repr(YARD3_M3)),
    hot_water_per_m3=Decimal("6") / Decimal(repr(YARD3_M3)),
    washout_per_load=Decimal("25"),
    fuel_per_load=Decimal("18"),
    saturday=True,
)


def test_what_the_plant_charges_beside_concrete_by_hand() -> None:
    """Placing at 0.5 h a yard with four hands is 7.5 min a yard: 75 min for 10 yd3, 22.5 for 3.

    The first stands 75 min, 45 over its 30. The second comes at 30, begins at 75 and leaves at
    97.5: 67.5 min, 37.5 over. Together 82.5, of which each begun minute counts: 83.
    """
    made = amounts(costed(replace(RATES, plant=PLANT_TERMS)))
    assert made["saturday"] == Decimal("156.00")  # 13 x 12
    assert "hot-water" not in made  # it has a price and is not ordered
    assert made["washout"] == Decimal("50.00")
    assert made["fuel"] == Decimal("36.00")
    assert made["waiting"] == Decimal("207.50")


def test_free_time_by_what_a_truck_carries() -> None:
    """Ten minutes a yard is more than the crew takes for each: only the one in line waits.

    Free 100 and 30 min: the first stands 75, the second 67.5, 37.5 over: 38 begun minutes.
    """
    terms = PlantRules(
        waiting_free_minutes_per_m3=10.0 / YARD3_M3, waiting_per_minute=Decimal("1.00")
    )
    assert amounts(costed(replace(RATES, plant=terms)))["waiting"] == Decimal("38.00")


def test_waiting_cannot_be_told_without_hours_of_placing() -> None:
    rates = replace(RATES, plant=PLANT_TERMS, work=RATES.work[:1])
    made = costed(rates)
    assert "waiting" not in amounts(made)
    assert any("how long trucks wait" in one for one in made.missing)


def test_a_small_order_is_made_up_to_the_plants_least() -> None:
    terms = PlantRules(least_order=Decimal("600"))
    rates = replace(RATES, plant=terms)
    made = concrete_lines((2 * YARD3_M3,), PLANT, rates, units=INCHES, why="")
    assert sum(line.amount for line in made.lines) == Decimal("600.00")  # 330 + 150 + 120
    whole = concrete_lines((5 * YARD3_M3,), PLANT, rates, units=INCHES, why="")
    assert [line.code for line in whole.lines] == ["concrete"]  # 825 is more already


def test_an_amount_is_cut_into_full_trucks_and_a_rest() -> None:
    assert loads_of(20 * YARD3_M3, PLANT) == pytest.approx([10 * YARD3_M3] * 2)
    assert loads_of(20.5 * YARD3_M3, PLANT)[2] == pytest.approx(0.5 * YARD3_M3)


def test_what_has_no_rate_is_named_and_not_in_the_price() -> None:
    made = costed(replace(RATES, materials=(), work=()))
    assert set(amounts(made)) == {"concrete", "short-load"}  # no hours, so no day of tools
    told = "\n".join(made.missing)
    for words in (
        '[[material]] "wire-sheet", by the sheet: wire, 12',
        '"fibre"',
        "finish",
        "place",
    ):
        assert words in told


def test_a_rate_by_another_unit_is_a_fault_that_says_both_and_all_are_told() -> None:
    rates = replace(
        RATES,
        materials=(
            MaterialRate("wire-sheet", Decimal(1), "roll"),
            MaterialRate("fibre", Decimal(1), "ft"),
        ),
        work=(WorkRate("finish", "finish", 0.1, "length_m"), RATES.work[1]),
    )
    made = costed(rates)
    assert [fault.code for fault in made.found] == [
        "rate-unit-differs",
        "rate-unit-differs",
        "rate-quantity-differs",
    ]
    assert "by the roll" in made.found[0].what
    assert "by the sheet" in made.found[0].what
    assert "by length" in made.found[2].what
    assert "by area" in made.found[2].what


def test_a_bid_is_not_made_with_such_a_rate() -> None:
    rates = replace(RATES, materials=(MaterialRate("wire-sheet", Decimal(1), "roll"),))
    with pytest.raises(Faulty, match="by the roll"):
        bid(
            made_takeoff(),
            made_order(),
            rates,
            newtop=None,  # type: ignore[arg-type]
            touches=None,
            oldslab=None,  # type: ignore[arg-type]
            verdict=None,  # type: ignore[arg-type]
        )


def test_a_size_finds_its_own_price_and_else_that_of_every_size() -> None:
    strips = tuple(
        Item("isolation-strip", "strip", "material", "length_m", 3.0, 3.0, "roll", 2.0, "", 3.0, m)
        for m in (0.1016, 0.1524)
    )
    rates = replace(
        RATES,
        materials=(
            MaterialRate("isolation-strip", Decimal("9.00"), "roll"),
            MaterialRate("isolation-strip", Decimal("12.00"), "roll", 0.1524),
        ),
    )
    made = cost_lines(made_takeoff(items=strips), made_order(), rates, None, units=INCHES)
    lines = [line for line in made.lines if line.code == "isolation-strip"]
    assert [line.amount for line in lines] == [Decimal("18.00"), Decimal("24.00")]
    assert lines[1].what == 'strip, 6" high'


def test_trades_with_a_price_are_in_and_those_without_are_named() -> None:
    remedies = (
        Remedy("Raise the tracks by", 0.05, "door technician", "after the pour", cost=240.0),
        Remedy("Set the seal", None, "door technician", "after the pour"),
    )
    touch = Touch("north door", "overhead door", (0, 0), 30.0, 30.1, 0.1, (), True, remedies)
    made = costed(touches=Touches((touch,), ("door technician",), ()))
    assert amounts(made)["trade-door-technician"] == Decimal("240.00")
    assert "door technician, north door: Set the seal" in made.missing


def test_a_trade_is_priced_once_for_all_its_work_at_one_thing() -> None:
    remedies = (
        Remedy("Take it out", None, "heating fitter", "before the pour"),
        Remedy("Set it again", None, "heating fitter", "after the pour"),
        Remedy("Move the box", None, "electrician", "before the pour"),
    )
    touch = Touch("heater", "burner", (0, 0), 30.0, 30.1, 0.1, (), True, remedies)
    asked = (
        TradePrice("reset", "heating fitter", "heater", Decimal("380.00")),
        TradePrice("other", "carpenter", "stair", Decimal("90.00")),
    )
    made = costed(replace(RATES, trades=asked), touches=Touches((touch,), ("heating fitter",), ()))
    lines = [line for line in made.lines if line.group == "trade"]
    assert [(line.amount, line.why) for line in lines] == [
        (Decimal("380.00"), "Take it out; Set it again")
    ]
    assert "electrician, heater: Move the box" in made.missing
    assert not any("heating fitter" in one for one in made.missing)
    assert any("carpenter at stair" in remark.text for remark in made.remarks)


def test_what_the_takeoff_buys_is_not_asked_for_twice() -> None:
    ring = Remedy("Set a strip", 0.1, "crew", "before the pour", item="isolation-strip")
    touch = Touch("post", "post", (0, 0), 30.0, 30.1, 0.1, (), True, (ring,))
    met = Touches((touch,), ("crew",), ())
    strip = Item("isolation-strip", "strip", "material", "length_m", 3.0, 3.0, "roll", 1, "", 15.0)
    for items, named in (((strip,), False), ((), True)):
        made = cost_lines(made_takeoff(items=items), made_order(), RATES, met, units=INCHES)
        assert any("Set a strip" in one for one in made.missing) is named


def test_short_and_over_is_what_the_order_expects_beyond_what_is_bought() -> None:
    bought = 13 * 165.0 + 150.0
    order = made_order(expected_cost=bought + 83.456)
    made = cost_lines(made_takeoff(), order, RATES, None, units=INCHES)
    assert amounts(made)["short-and-over"] == Decimal("83.46")
    assert "short-and-over" not in amounts(costed())


def test_charges_by_the_day_and_the_hour() -> None:
    """66 hours of four hands at eight hours are 2.06 days: three; 16.5 crew hours."""
    items = (work("finish", "finish", "area_m2", ITEMS[2].gross * 4.4, ""),)
    flat = tuple(replace(RATES.flat[0], code=per, per=per) for per in ("day", "hour", "load"))
    made = cost_lines(
        made_takeoff(items=items), made_order(), replace(RATES, flat=flat), None, units=INCHES
    )
    numbers = {line.code: line.number for line in made.lines}
    assert (numbers["day"], numbers["hour"], numbers["load"]) == (3, Decimal("16.50"), 2)


@pytest.mark.parametrize(
    ("ruling", "words"),
    [
        ("do not pour over this", "this price is no offer"),
        ("put these right first", "what they cost is not in the price"),
        ("over it, unbonded", ""),
    ],
)
def test_a_price_beside_a_verdict_against_pouring_says_so(ruling: str, words: str) -> None:
    found = _case_25()
    made = bid(
        found.takeoff,
        found.order,
        replace(RATES, made_up=False),
        newtop=found.newtop,
        touches=found.touches,
        oldslab=found.oldslab,
        verdict=replace(found.verdict, ruling=ruling),
        units=INCHES,
    )
    told = [remark.text for remark in made.remarks if "verdict" in remark.text]
    assert len(told) == bool(words)
    assert all(words in text for text in told)
    # The record adds up, and the price is what the alternatives call ours.
    assert sum(line.amount for line in made.lines) == made.direct_cost
    assert made.price == made.before_tax + made.rounding + made.tax
    (own,) = [one for one in made.alternatives if one.code == "overlay"]
    assert own.price == (made.price if own.possible else None)
    assert own.possible == (ruling != "do not pour over this")


@cache
def _case_25() -> Any:
    (folder,) = (Path(__file__).resolve().parents[1] / "jobs").glob("case-25-*")
    return walk_to(read_job(folder), last="order")
