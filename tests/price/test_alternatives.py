"""The other ways with an old slab, on floors whose volumes follow by hand.

576 ft2 flat 4 in below the datum; the drawn plane starts 1/2 in above it at the door and rises
1/8 in per ft over 24 ft: from 4 1/2 to 7 1/2 in of concrete, 6 in on average, 288 ft3.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from functools import cache
from pathlib import Path

import pytest
import shapely

from overslab.ground.units import Units
from overslab.job import read_job, walk_to
from overslab.job.records import Rooms
from overslab.price.alternatives import CAR_DAYS, against
from overslab.price.chain import ask
from overslab.price.concreting import concrete_lines, loads_of
from overslab.price.grinding import cut_down_to, take_off_grinding
from overslab.price.lifting import stagger_holes, take_off_lift
from overslab.price.records import Alternative, BidLine, FlatRate, MaterialRate, Rates, WorkRate
from overslab.price.tearing_out import amount_for, take_off_tear_out

JOBS = Path(__file__).resolve().parents[1] / "jobs"
FOOT_M, INCH_M = 0.3048, 0.0254
FOOT2_M2, FOOT3_M3, YARD3_M3 = FOOT_M**2, FOOT_M**3, (3 * FOOT_M) ** 3
INCHES = Units("feet-inches", INCH_M / 16)
WORKS = (
    ("saw-out", "length_m", FOOT_M, 0.02),
    ("break-out", "volume_m3", YARD3_M3, 1.5),
    ("dig-out", "volume_m3", YARD3_M3, 0.5),
    ("spread-base", "volume_m3", YARD3_M3, 0.5),
    ("grade-base", "area_m2", FOOT2_M2, 0.01),
    ("place", "volume_m3", YARD3_M3, 1.0),
    ("drill-holes", "count", 1.0, 0.25),
    ("plug-holes", "count", 1.0, 0.1),
    ("pump-lift", "volume_m3", YARD3_M3, 3.0),
    ("grind", "volume_m3", FOOT3_M3, 2.0),
    ("patch-ponds", "area_m2", FOOT2_M2, 0.05),
)
RATES = Rates(
    currency="$",
    date="2026-01-05",
    made_up=True,
    wage_per_hour=Decimal(40),
    hands=4,
    hours_per_day=8.0,
    materials=(
        MaterialRate("haul-away", Decimal(250), "10 yd3"),
        MaterialRate("base-gravel", Decimal(30), "yd3"),
        MaterialRate("lift-fill", Decimal(400), "yd3"),
        MaterialRate("patch-mortar", Decimal(90), "ft3"),
    ),
    work=tuple(
        WorkRate(code, code, hours / size, quantity) for code, quantity, size, hours in WORKS
    ),
    flat=(
        FlatRate("saw", "slab saw", "equipment", Decimal(120), "day", "tear-out"),
        FlatRate("pump", "lifting pump", "equipment", Decimal(300), "job", "lift"),
        FlatRate("laser", "laser", "equipment", Decimal(10), "job"),
    ),
    overhead=Decimal("0.10"),
    markup=Decimal("0.20"),
)
FINISH = BidLine("finish", "finish", "labour", Decimal(8), "hour", Decimal(40), Decimal(320), "")
BREAKER = BidLine("breaker", "sheet", "material", Decimal(2), "roll", Decimal(50), Decimal(100), "")


@cache
def rooms(number: int) -> Rooms:
    (folder,) = JOBS.glob(f"case-{number:02d}-*")
    return walk_to(read_job(folder), last="order")


def ways(
    number: int, rates: Rates = RATES, *, units: Units = INCHES, **verdict: object
) -> dict[str, Alternative]:
    found = rooms(number)
    assert found.takeoff is not None
    assert found.order is not None
    assert found.oldslab is not None
    assert found.newtop is not None
    assert found.verdict is not None
    plant = found.order.plant
    every = against(
        found.takeoff,
        found.order,
        rates,
        oldslab=found.oldslab,
        newtop=found.newtop,
        verdict=replace(found.verdict, **verdict),  # type: ignore[arg-type]
        touches=found.touches,
        units=units,
        own_lines=(FINISH, BREAKER),
        own_price=Decimal(5000),
        price_of=lambda lines: ask(lines, rates).price,
        concrete_of=lambda amount_m3: (
            concrete_lines(loads_of(amount_m3, plant), plant, rates, units=units, why="").lines
        ),
    )
    assert [one.code for one in every] == ["overlay", "tear-out", "lift", "grind-patch", "nothing"]
    return {one.code: one for one in every}


def numbers(way: Alternative) -> dict[str, Decimal]:
    return {line.code: line.number for line in way.lines}


def test_what_tearing_out_takes_by_hand() -> None:
    found = rooms(25)
    assert found.oldslab is not None
    assert found.newtop is not None
    out = take_off_tear_out(found.oldslab, found.newtop, old_thickness_m=4 * INCH_M)
    assert out.sawn_m == pytest.approx(96 * FOOT_M)
    assert out.old_slab_m3 == pytest.approx(576 / 3 * FOOT3_M3)
    assert out.broken_loose_m3 == pytest.approx(576 / 2 * FOOT3_M3)
    # A new slab as thick as the old one: the gravel takes the place of the overlay.
    assert out.gravel_m3 == pytest.approx(288 * FOOT3_M3, rel=2e-3)
    assert out.gravel_loose_m3 == pytest.approx(345.6 * FOOT3_M3, rel=2e-3)
    assert out.dug_m3 == 0.0
    assert out.new_slab_m3 == pytest.approx(192 * FOOT3_M3)


def test_where_the_new_slab_is_thicker_than_the_room_the_ground_is_dug() -> None:
    """12 in where 4 in come out and 4 1/2 to 7 1/2 in lie above: 3 1/2 to 1/2 in too little."""
    found = rooms(25)
    assert found.oldslab is not None
    assert found.newtop is not None
    out = take_off_tear_out(
        found.oldslab,
        found.newtop,
        old_thickness_m=4 * INCH_M,
        new_thickness_m=12 * INCH_M,
    )
    assert out.gravel_m3 == 0.0
    assert out.dug_m3 == pytest.approx(96 * FOOT3_M3, rel=5e-3)
    assert out.dug_loose_m3 == pytest.approx(120 * FOOT3_M3, rel=5e-3)


def test_the_price_of_tearing_out_by_hand() -> None:
    """7.11 yd3 of slab: 7.40 with 4 % lost, ordered 7.5 at 165; nothing of the overlay but the
    finish stays. On trucks 10.67 yd3: two loads of 10.
    """
    way = ways(25)["tear-out"]
    got = numbers(way)
    assert got["saw-out"] == Decimal("1.92")
    assert got["break-out"] == Decimal("10.67")
    assert float(got["spread-base"]) == pytest.approx(288 / 27 / 2, abs=0.02)
    assert got["grade-base"] == Decimal("5.76")
    assert got["place"] == Decimal("7.11")
    assert got["haul-away"] == 2
    assert float(got["base-gravel"]) == pytest.approx(12.8, abs=0.03)
    assert got["concrete"] == Decimal("7.5")
    assert got["finish"] == 8
    assert "breaker" not in got
    assert "pump" not in got
    # 1.92 + 10.67 + 5.33 + 5.76 + 7.11 + 8 = 38.8 hours; four hands, 8 hours: 1.2 days, so two.
    assert got["saw"] == 2
    assert way.days_out_of_use == 2 + 7
    direct = sum((line.amount for line in way.lines), Decimal(0))
    by_hand = 38.79 * 40 + 2 * 250 + 12.8 * 30 + 7.5 * 165 + 2 * 120 + 10
    assert float(direct) == pytest.approx(by_hand, abs=2)
    assert way.price is not None
    assert float(way.price) == pytest.approx(float(direct) * 1.1 * 1.2, abs=0.02)


def test_the_same_from_the_plant_in_whole_steps() -> None:
    order = rooms(25).order
    assert order is not None
    plant = replace(order.plant, order_step_m3=0.5)
    assert amount_for(10.0, plant) == pytest.approx(10.5)  # 10.4 with 4 % lost
    assert amount_for(12.5 / 1.04, plant) == pytest.approx(12.5)


def test_days_of_cars_are_those_of_the_handbook() -> None:
    """General guides: cars at about 70 % of strength, 7 days."""
    assert CAR_DAYS.value == 7.0
    overlay = ways(25)["overlay"]
    assert overlay.price == Decimal(5000)
    assert overlay.days_out_of_use == 1 + 7  # 8 hours are a quarter of a day of four hands


def test_without_the_thickness_nothing_is_guessed() -> None:
    way = ways(25, old_thickness_m=None)["tear-out"]
    assert way.price is None
    assert way.lines == ()
    assert "thickness of the old slab" in way.missing[0]


def test_a_metric_job_buys_by_the_cubic_metre() -> None:
    """192 ft3 of slab are 5.437 m3 and half as much again on the truck: two loads of 7 m3.

    Ordered with 4 % lost by the plant's half yard: 7.5 yd3, 5.734 m3.
    """
    metric = replace(
        RATES,
        materials=(
            MaterialRate("haul-away", Decimal(250), "7 m3"),
            MaterialRate("base-gravel", Decimal(40), "m3"),
        ),
    )
    way = ways(25, metric, units=Units("metric", 0.001))["tear-out"]
    got = numbers(way)
    assert got["haul-away"] == 2
    assert float(got["base-gravel"]) == pytest.approx(345.6 * FOOT3_M3, rel=2e-3)
    assert got["concrete"] == Decimal("5.734")
    assert way.price is not None
    assert "mm" in way.why
    assert "yd3" not in way.why


def test_a_missing_rate_is_named_and_there_is_no_price() -> None:
    rates = replace(
        RATES,
        work=tuple(one for one in RATES.work if one.code != "break-out"),
        materials=(MaterialRate("base-gravel", Decimal(30), "ton"),),
    )
    way = ways(25, rates)["tear-out"]
    assert way.possible
    assert way.price is None
    assert any('"break-out"' in one for one in way.missing)
    assert any('"haul-away"' in one for one in way.missing)
    assert any('"base-gravel"' in one for one in way.missing)  # a ton is no volume


def test_lifting_to_the_drawn_fall_by_hand() -> None:
    """One panel, tilted from 0 to 3 in over 24 ft: 576 ft2 by 1 1/2 in are 72 ft3."""
    found = rooms(25)
    assert found.oldslab is not None
    assert found.newtop is not None
    lift = take_off_lift(found.oldslab, found.newtop)
    assert lift.volume_m3 == pytest.approx(72 * FOOT3_M3, rel=5e-3)
    assert lift.most_m == pytest.approx(3 * INCH_M, rel=5e-3)
    assert lift.lifted_m2 == pytest.approx(576 * FOOT2_M2)
    assert lift.drains
    assert lift.too_high == ()
    way = ways(25)["lift"]
    got = numbers(way)
    assert got["drill-holes"] == Decimal("5.75")
    assert float(got["pump-lift"]) == pytest.approx(8.0, abs=0.05)
    assert got["pump"] == 1
    assert "saw" not in got
    assert way.days_out_of_use == 1 + 2
    assert any("fine cracks may open" in text for text in way.leaves)
    assert "Cracks stay." not in way.leaves  # this floor has none
    assert "Cracks stay." in ways(6)["lift"].leaves


def test_holes_stand_in_staggered_rows() -> None:
    """24 ft square less 1 1/2 ft all round is 21 ft: five rows, of five and of four holes."""
    holes = stagger_holes(shapely.box(0, 0, 24 * FOOT_M, 24 * FOOT_M))
    assert len(holes) == 23
    inner = shapely.box(1.5, 1.5, 22.5, 22.5)
    assert all(inner.buffer(1e-9).covers(shapely.Point(x / FOOT_M, y / FOOT_M)) for x, y in holes)
    apart = min(
        shapely.Point(one).distance(shapely.Point(other))
        for n, one in enumerate(holes)
        for other in holes[:n]
    )
    assert apart == pytest.approx(5 * FOOT_M)
    assert len(stagger_holes(shapely.box(0, 0, 0.5, 3.0))) == 1


def test_a_floor_that_may_not_be_drilled_is_not_lifted() -> None:
    way = ways(25, no_drilling=("heating pipes",))["lift"]
    assert not way.possible
    assert way.price is None
    assert way.lines == ()
    assert "heating pipes" in way.why


def test_a_heaved_corner_is_cut_down_to_the_rest() -> None:
    """A corner of 6 ft legs, 18 ft2, stands 4 1/4 in over the flat rest: 6 3/8 ft3."""
    found = rooms(6)
    assert found.oldslab is not None
    grinding = take_off_grinding(found.oldslab, step_most_m=INCH_M / 4)
    ((_, cut),) = grinding.heaved
    assert cut.area_m2 == pytest.approx(18 * FOOT2_M2, rel=0.02)
    assert cut.deepest_m == pytest.approx(4.25 * INCH_M, rel=1e-3)
    assert cut.volume_m3 == pytest.approx(6.375 * FOOT3_M3, rel=0.02)
    assert grinding.ramps == ()  # its own crack goes with it
    way = ways(6, ruling="put these right first")["grind-patch"]
    assert not way.possible  # the slab is 4 in thick
    assert "4 in" in way.why
    thick = ways(6, old_thickness_m=8 * INCH_M)["grind-patch"]
    assert thick.possible
    assert float(numbers(thick)["grind"]) == pytest.approx(12.75, abs=0.3)


def test_where_the_old_floor_leaves_no_room_for_the_top() -> None:
    """The plane of case 25 less 8 in of concrete: the floor stands 3 1/2 to 1/2 in too high."""
    found = rooms(25)
    assert found.oldslab is not None
    assert found.newtop is not None
    top = found.newtop.top
    assert top is not None
    assert top.surface is not None
    cut = cut_down_to(found.oldslab, top.surface, below_m=8 * INCH_M)
    assert cut.area_m2 == pytest.approx(576 * FOOT2_M2)
    assert cut.deepest_m == pytest.approx(3.5 * INCH_M, abs=0.04 * INCH_M)
    assert cut.volume_m3 == pytest.approx(96 * FOOT3_M3, rel=5e-3)
    assert cut_down_to(found.oldslab, top.surface, below_m=4 * INCH_M).area_m2 == 0.0


def test_nothing_costs_nothing_and_cures_nothing() -> None:
    way = ways(6)["nothing"]
    assert way.price == 0
    assert way.days_out_of_use == 0
    assert way.solves == ()
    assert any("trip" in text for text in way.leaves)
    assert any("cracked" in text for text in way.leaves)
