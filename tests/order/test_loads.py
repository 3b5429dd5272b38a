"""Loads: every division tried by hand, by brute force, and by property."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from made_up_order import MIX, PLANT, YARD3_M3, plant, takeoff

from overslab.order import order
from overslab.order.loads import divide


def test_full_trucks_first_and_the_rest_held() -> None:
    # 20 yd3 trucks of 8 with the low side at 17: two full, 4 held.
    found = divide(amount=20, full=8, least=3, sure=17)
    assert found.steps == (8, 8, 4)
    assert found.firm == 2
    assert found.short_loads == 0


def test_firm_loads_stay_under_the_low_side() -> None:
    # Need surely 13 of 17: two full trucks would already be 16, so the second one comes with 5.
    found = divide(amount=17, full=8, least=3, sure=13)
    assert found.steps == (8, 5, 4)
    assert found.firm == 2


def test_a_short_last_load_is_filled_up_from_the_one_before() -> None:
    found = divide(amount=17, full=8, least=3, sure=16)
    assert found.steps == (8, 6, 3)
    assert found.short_loads == 0


def test_a_charge_that_cannot_be_avoided_is_counted() -> None:
    # 9 in trucks of 8 with a least load of 5: one of the two is short however it is cut.
    assert divide(amount=9, full=8, least=5, sure=8).short_loads == 1
    assert divide(amount=2, full=8, least=3, sure=1).short_loads == 1


def test_a_wide_spread_holds_more_than_one_load() -> None:
    found = divide(amount=22, full=8, least=0, sure=6)
    assert sum(found.steps) == 22
    assert found.firm == 1


@settings(max_examples=200, deadline=None)
@given(
    amount=st.integers(1, 60),
    full=st.integers(2, 20),
    least=st.integers(0, 20),
    sure=st.integers(0, 60),
)
def test_every_division(amount: int, full: int, least: int, sure: int) -> None:
    least, sure = min(least, full), min(sure, amount)
    found = divide(amount=amount, full=full, least=least, sure=sure)
    assert sum(found.steps) == amount
    assert len(found.steps) == -(-amount // full)
    assert all(0 < load <= full for load in found.steps)
    assert found.short_loads == sum(load < least for load in found.steps)
    if len(found.steps) > 1:
        assert found.firm < len(found.steps)
        assert found.firm == 1 or sum(found.steps[: found.firm]) <= sure


@pytest.mark.parametrize("amount", range(9, 33))
@pytest.mark.parametrize(("full", "least"), [(8, 5), (8, 7), (8, 3)])
def test_no_other_cut_has_fewer_short_loads(amount: int, full: int, least: int) -> None:
    """Brute force over every cut into the same number of loads."""
    found = divide(amount=amount, full=full, least=least, sure=amount // 2)
    count = len(found.steps)
    fewest = min(
        sum(load < least for load in cut)
        for cut in itertools.product(range(1, full + 1), repeat=count)
        if sum(cut) == amount
    )
    assert found.short_loads == fewest


def test_loads_of_an_order_add_up_and_follow_the_strips() -> None:
    # Strips of 4 yd3 each in place, 5 % lost: 4.2, 8.4, 12.6, 16.8, 21 yd3 by the end of each.
    floor = takeoff(
        mean_m3=20 * YARD3_M3, deviation_m3=0.3 * YARD3_M3, strips_m3=(4 * YARD3_M3,) * 5
    )
    found = order(floor, PLANT, MIX)
    yards = [load.volume_m3 / YARD3_M3 for load in found.loads]
    assert sum(yards) == pytest.approx(found.amount_m3 / YARD3_M3)
    assert found.firm_m3 + found.will_call_m3 == pytest.approx(found.amount_m3)
    assert found.firm_m3 <= found.needed_m3.low
    assert found.short_load_charge == 0
    assert min(yards) >= 4
    assert [load.firm for load in found.loads] == [True, True, False]
    # First truck 10 yd3: strips 1, 2 and into 3. The cut of the rest depends on the amount.
    assert yards[0] == pytest.approx(10)
    assert found.loads[0].strips == ("strip 1", "strip 2", "strip 3")
    second_end = yards[0] + yards[1]
    expected = tuple(
        f"strip {place}"
        for place, (start, end) in enumerate(
            [(0, 4.2), (4.2, 8.4), (8.4, 12.6), (12.6, 16.8), (16.8, 99)], start=1
        )
        if start < second_end and end > 10
    )
    assert found.loads[1].strips == expected
    assert found.loads[2].strips[-1] == "strip 5"


def test_the_held_load_says_what_it_may_come_to() -> None:
    """Need 21 yd3, 95 % within the interval: the firm loads taken off its two ends."""
    floor = takeoff(mean_m3=20 * YARD3_M3, deviation_m3=0.3 * YARD3_M3)
    found = order(floor, PLANT, MIX)
    low, high = found.needed_m3.low - found.firm_m3, found.needed_m3.high - found.firm_m3
    step = PLANT.order_step_m3
    assert low - step < found.held_least_m3 <= low
    assert high <= found.held_most_m3 < high + step
    alone = order(takeoff(mean_m3=4.0, deviation_m3=0.1), PLANT, MIX)
    assert (alone.held_least_m3, alone.held_most_m3) == (0.0, 0.0)


def test_no_strips_no_names() -> None:
    found = order(takeoff(mean_m3=6.0, deviation_m3=0.2, strips_m3=()), PLANT, MIX)
    assert all(load.strips == () for load in found.loads)


def test_the_short_load_charge_can_be_worth_ordering_more() -> None:
    """A charge above the price of the concrete that avoids it lifts the order to the least load."""
    floor = takeoff(mean_m3=3.3 * YARD3_M3, deviation_m3=0.02)
    without = order(floor, plant(short_load_charge=0.0), MIX)
    small = order(floor, plant(short_load_charge=10.0), MIX)
    great = order(floor, plant(short_load_charge=500.0), MIX)
    assert without.amount_m3 < 4 * YARD3_M3 - 1e-9
    assert small.amount_m3 == without.amount_m3
    assert small.short_load_charge == 10.0
    assert great.amount_m3 == pytest.approx(4 * YARD3_M3)
    assert great.short_load_charge == 0
