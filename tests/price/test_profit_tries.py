"""The spread of the profit, against closed forms and numerical integration."""

from __future__ import annotations

import math
from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest
from made_up_job import INCHES, PLANT, RATES, YARD3_M3, made_order, made_takeoff
from scipy.integrate import quad
from scipy.stats import norm

from overslab.ground.estimate import Estimate
from overslab.order.records import Order
from overslab.price.chain import Asked, ask
from overslab.price.costing import cost_lines
from overslab.price.outcome import concrete_cost, outcome
from overslab.price.records import BidLine, Rates

TRIES = 60_000


def tried(order: Order, rates: Rates) -> tuple[tuple[BidLine, ...], Asked, np.ndarray, float]:
    lines = tuple(cost_lines(made_takeoff(), order, rates, None, units=INCHES).lines)
    asked = ask(lines, rates)
    found = outcome(lines, asked, order, rates, tries=TRIES, seed=5)
    return lines, asked, np.array(found.profits), found.chance_of_loss


def sure(rates: Rates) -> Rates:
    return replace(rates, work=tuple(replace(one, deviation=0.0) for one in rates.work))


def test_with_no_doubt_the_profit_is_that_of_the_bid() -> None:
    """Needed is just what is ordered: nothing left, nothing short, no hour doubtful."""
    order = made_order(needed_m3=Estimate(13 * YARD3_M3, 0.0))
    _, asked, profits, losing = tried(order, sure(RATES))
    assert profits == pytest.approx(float(asked.profit), abs=0.02)
    assert losing == 0.0


def test_left_over_only_is_a_straight_line_so_the_profit_is_normal() -> None:
    """10 needed, give or take 1, 20 ordered: each yard less costs 40 more to get rid of."""
    order = made_order((10.0, 10.0), needed_m3=Estimate(10 * YARD3_M3, YARD3_M3))
    # A margin of a tenth leaves about as much as the left-over yards take.
    rates = replace(sure(RATES), margin=Decimal("0.08"))
    _, asked, profits, losing = tried(order, rates)
    mean, deviation = float(asked.profit) - 400.0, 40.0
    assert profits.mean() == pytest.approx(mean, abs=5 * deviation / math.sqrt(TRIES))
    assert profits.std() == pytest.approx(deviation, rel=0.02)
    wanted = norm.cdf(0.0, mean, deviation)
    assert losing == pytest.approx(wanted, abs=5 * math.sqrt(0.25 / TRIES))
    for share in (0.05, 0.5, 0.95):
        at = profits[int(share * TRIES)]
        assert at == pytest.approx(norm.ppf(share, mean, deviation), abs=1.5)


def test_short_and_over_against_numerical_integration() -> None:
    """The kinked cost of the concrete, integrated against the normal density."""
    order = replace(made_order(), needed_m3=Estimate(12.6 * YARD3_M3, 0.5 * YARD3_M3))

    def cost(needed_yd3: float) -> float:
        if needed_yd3 > 13.0:
            return needed_yd3 * 165.0 + 700.0
        return 13.0 * 165.0 + (13.0 - needed_yd3) * 40.0

    def moment(power: int) -> float:
        def inside(x: float) -> float:
            return float(cost(x) ** power * norm.pdf(x, 12.6, 0.5))

        return float(quad(inside, 8, 13)[0] + quad(inside, 13, 17)[0])

    wanted = moment(1)
    spread = math.sqrt(moment(2) - wanted**2)
    _, asked, profits, _ = tried(order, sure(RATES))
    mean = float(asked.profit) + 13.0 * 165.0 - wanted
    assert profits.mean() == pytest.approx(mean, abs=5 * spread / math.sqrt(TRIES))
    assert profits.std() == pytest.approx(spread, rel=0.03)


def test_the_orders_own_expectation_is_the_mean_of_the_tries() -> None:
    """With the risk of short and over in the cost, the mean profit is that of the bid."""
    from overslab.order import MixAsked
    from overslab.order import order as decide

    real = decide(made_takeoff(deviation_yd3=0.6), PLANT, MixAsked())
    fixed = replace(real, will_call_m3=0.0, held_most_m3=0.0, firm_m3=real.amount_m3)
    _, asked, profits, _ = tried(fixed, sure(RATES))
    error = 5 * profits.std() / math.sqrt(TRIES)
    assert profits.mean() == pytest.approx(float(asked.profit + asked.rounding), abs=error + 0.02)


def test_doubtful_hours_have_the_mean_and_the_spread_of_lognormals() -> None:
    """600 at a quarter and 240 at a fifth: exp(s^2) - 1 of each squared, independent."""
    order = made_order(needed_m3=Estimate(13 * YARD3_M3, 0.0))
    _, asked, profits, _ = tried(order, RATES)
    spread = math.sqrt(600**2 * math.expm1(0.25**2) + 240**2 * math.expm1(0.2**2))
    assert profits.mean() == pytest.approx(float(asked.profit), abs=5 * spread / math.sqrt(TRIES))
    assert profits.std() == pytest.approx(spread, rel=0.03)


def test_what_is_held_is_called_in_whole_steps_within_its_bounds() -> None:
    """10 firm and up to 4 held, least 1: for 9, 12.2, 12.5 and 15 needed, by hand."""
    order = made_order(
        firm_m3=10 * YARD3_M3, will_call_m3=3 * YARD3_M3,
        held_least_m3=1 * YARD3_M3, held_most_m3=4 * YARD3_M3,
        needed_m3=Estimate(12 * YARD3_M3, YARD3_M3),
    )  # fmt: skip
    needed = np.array([9.0, 12.2, 12.5, 15.0])
    wanted = [
        11 * 165 + 2 * 40,  # one yard must be taken: two left
        12.5 * 165 + 0.3 * 40,
        12.5 * 165,
        15 * 165 + 700,  # all four and one yard short
    ]
    assert concrete_cost(order, needed - 12.0) == pytest.approx(wanted)


def test_the_same_seed_gives_the_same_tries() -> None:
    order = made_order()
    lines = tuple(cost_lines(made_takeoff(), order, RATES, None, units=INCHES).lines)
    asked = ask(lines, RATES)
    one, other = (outcome(lines, asked, order, RATES) for _ in range(2))
    assert one == other
    assert one.profits == tuple(sorted(one.profits))
    assert "4000 tries" in one.why
