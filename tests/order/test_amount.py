"""The amount ordered, against brute force with scipy and against throwing dice."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from made_up_order import MIX, PLANT, YARD3_M3, plant, takeoff
from scipy import stats

from overslab.ground.estimate import Estimate
from overslab.order import Order, Plant, order

MEANS = st.floats(1.0, 60.0)
SPREADS = st.floats(0.005, 0.12)


def cost_by_scipy(amount_m3: float, *, need: stats.rv_continuous, terms: Plant) -> float:
    """Expected cost without load charges: every expectation by scipy's own integral."""
    missing = need.expect(lambda x: x - amount_m3, lb=amount_m3)
    left = need.expect(lambda x: amount_m3 - x, ub=amount_m3)
    return float(
        terms.concrete_cost_per_m3 * (amount_m3 + missing)
        + terms.short_cost * need.sf(amount_m3)
        + terms.leftover_cost_per_m3 * left
    )


@pytest.mark.parametrize(
    ("mean_m3", "deviation_m3", "short_cost"),
    [(7.0, 0.25, 850.0), (7.0, 0.25, 120.0), (14.3, 0.9, 1500.0), (3.1, 0.4, 300.0)],
)
def test_amount_is_the_best_of_all_steps_by_scipy(
    mean_m3: float, deviation_m3: float, short_cost: float
) -> None:
    terms = plant(short_load_charge=0.0, short_cost=short_cost)
    found = order(takeoff(mean_m3=mean_m3, deviation_m3=deviation_m3), terms, MIX)
    need = stats.norm(found.needed_m3.mean, found.needed_m3.deviation)
    steps = range(1, int(2 * mean_m3 / terms.order_step_m3))
    costs = {k: cost_by_scipy(k * terms.order_step_m3, need=need, terms=terms) for k in steps}
    best = min(costs, key=lambda k: costs[k])
    assert found.amount_m3 == pytest.approx(best * terms.order_step_m3)
    assert found.expected_cost == pytest.approx(costs[best], rel=1e-6)


def test_figures_by_throwing_dice() -> None:
    """A million floors: volume and loss drawn apart and multiplied."""
    found = order(takeoff(mean_m3=12.0, deviation_m3=0.5), PLANT, MIX)
    dice = np.random.default_rng(20261105)
    need = dice.normal(12.0, 0.5, 1_000_000) * (1 + dice.normal(0.05, 0.02, 1_000_000))
    assert found.needed_m3.mean == pytest.approx(need.mean(), abs=4 * 0.6 / 1000)
    assert found.needed_m3.deviation == pytest.approx(need.std(), rel=0.005)
    for choice in found.choices:
        short = (need > choice.volume_m3).mean()
        assert choice.chance_short == pytest.approx(short, abs=0.004)
        left = np.maximum(choice.volume_m3 - need, 0).mean()
        assert choice.expected_left_m3 == pytest.approx(left, abs=0.004)
    bought = np.maximum(need, found.amount_m3).mean()
    cost = (
        PLANT.concrete_cost_per_m3 * bought
        + found.short_load_charge
        + PLANT.short_cost * (need > found.amount_m3).mean()
        + PLANT.leftover_cost_per_m3 * np.maximum(found.amount_m3 - need, 0).mean()
    )
    assert found.expected_cost == pytest.approx(cost, rel=0.002)


@settings(max_examples=40, deadline=None)
@given(mean=MEANS, spread=SPREADS, low=st.floats(20, 1500), more=st.floats(1, 10))
def test_a_dearer_shortage_never_lowers_the_amount(
    mean: float, spread: float, low: float, more: float
) -> None:
    floor = takeoff(mean_m3=mean, deviation_m3=mean * spread)
    cheap = order(floor, plant(short_cost=low), MIX)
    dear = order(floor, plant(short_cost=low * more), MIX)
    assert dear.amount_m3 >= cheap.amount_m3 - 1e-9
    assert dear.chance_short <= cheap.chance_short + 1e-12


@settings(max_examples=40, deadline=None)
@given(mean=MEANS, spread=SPREADS, low=st.floats(0, 200), more=st.floats(1, 500))
def test_dearer_left_overs_never_raise_the_amount(
    mean: float, spread: float, low: float, more: float
) -> None:
    floor = takeoff(mean_m3=mean, deviation_m3=mean * spread)
    cheap = order(floor, plant(leftover_cost_per_m3=low), MIX)
    dear = order(floor, plant(leftover_cost_per_m3=low + more), MIX)
    assert dear.amount_m3 <= cheap.amount_m3 + 1e-9


@settings(max_examples=60, deadline=None)
@given(mean=MEANS, spread=st.floats(0.03, 0.12), factor=st.floats(0.2, 20))
def test_when_the_amount_stays_above_the_likeliest_need(
    mean: float, spread: float, factor: float
) -> None:
    """Cost falls at the median while K phi(0) / s > (c + h) / 2: K > sqrt(pi / 2) (c + h) s.

    The step is fine here, a tenth of the spread; one step is granted for the rounding.
    """
    deviation = mean * spread * 1.05
    terms = plant(
        short_load_charge=0.0,
        loss=Estimate(0.05, 0.0),
        order_step_m3=deviation / 10,
        truck_m3=mean,
        least_load_m3=0.0,
    )
    turning = np.sqrt(np.pi / 2) * deviation
    turning *= terms.concrete_cost_per_m3 + terms.leftover_cost_per_m3
    terms = replace(terms, short_cost=factor * turning)
    found = order(takeoff(mean_m3=mean, deviation_m3=mean * spread), terms, MIX)
    if factor > 1:
        assert found.amount_m3 > found.needed_m3.mean - terms.order_step_m3
    else:
        assert found.amount_m3 < found.needed_m3.mean + terms.order_step_m3


def test_the_critical_ratio_of_the_working_is_the_chance_of_enough() -> None:
    """With a fine step the marginal rule and the search meet."""
    terms = plant(short_load_charge=0.0, order_step_m3=0.02, truck_m3=7.6)
    found = order(takeoff(mean_m3=6.0, deviation_m3=0.3), terms, MIX)
    ratio = next(w for w in found.workings if w.formula == "critical_ratio")
    assert ratio.result.value == pytest.approx(1 - found.chance_short, abs=0.01)


def test_a_sure_need_is_ordered_to_the_next_step() -> None:
    terms = plant(loss=Estimate(0.0, 0.0), short_load_charge=0.0)
    found = order(takeoff(mean_m3=5.1 * YARD3_M3, deviation_m3=0.0), terms, MIX)
    assert found.amount_m3 == pytest.approx(5.25 * YARD3_M3)
    assert found.chance_short == 0
    assert found.expected_left_m3 == pytest.approx(0.15 * YARD3_M3)


def test_a_shortage_that_costs_next_to_nothing_still_orders_what_is_needed() -> None:
    """Far below the need every amount costs alike; the order must not wander off down there."""
    terms = plant(short_cost=1.0, short_load_charge=0.0)
    found = order(takeoff(mean_m3=9.0, deviation_m3=0.1), terms, MIX)
    assert found.chance_short > 0.5
    assert found.amount_m3 > found.needed_m3.mean - 6 * found.needed_m3.deviation


def test_choices_lie_around_the_amount_and_cost_more() -> None:
    found = order(takeoff(mean_m3=9.0, deviation_m3=0.35), PLANT, MIX)
    volumes = [choice.volume_m3 for choice in found.choices]
    assert len(volumes) == 9
    assert volumes[4] == found.amount_m3
    assert np.allclose(np.diff(volumes), PLANT.order_step_m3)
    cheapest = min(choice.expected_cost for choice in found.choices)
    assert cheapest <= found.expected_cost <= cheapest + 0.01
    shorts = [choice.chance_short for choice in found.choices]
    assert shorts == sorted(shorts, reverse=True)


def test_workings_can_be_computed_again() -> None:
    found = order(takeoff(mean_m3=9.0, deviation_m3=0.35), PLANT, MIX)
    assert len(found.workings) == 8 + len(found.mix_check.workings)
    for working in found.workings:
        assert working.recompute() == working.result.value


def says(found: Order, words: str) -> list[str]:
    return [remark.weight for remark in found.remarks if words in remark.text]


def test_remarks_say_what_the_figures_do_not() -> None:
    floor = takeoff(mean_m3=19.0, deviation_m3=0.6)
    usual = order(floor, PLANT, MIX)
    assert says(usual, "share hides") == ["note"]
    assert says(usual, "One named person calls") == ["warn"]
    assert says(usual, "next planned joint") == ["warn"]
    assert says(usual, "held (will-call)") == ["ask"]
    assert not says(usual, "cheaper to run short")
    assert not says(usual, "Not written on the mix")
    rash = order(floor, plant(short_cost=1.0), MIX)
    assert says(rash, "cheaper to run short") == ["ask"]
    coarse = order(floor, PLANT, replace(MIX, stone_m=0.05, air=None))
    assert says(coarse, "a third of the thinnest place: 50 mm, at most 30 mm") == ["warn"]
    assert says(coarse, "Not written on the mix: air, or none") == ["ask"]
    poor = order(takeoff(mean_m3=5.0, deviation_m3=2.0), PLANT, MIX)
    assert says(poor, "shoot more of the old floor") == ["ask"]
    one_load = order(takeoff(mean_m3=4.0, deviation_m3=0.1), PLANT, MIX)
    assert says(one_load, "Everything comes in one load") == ["note"]
