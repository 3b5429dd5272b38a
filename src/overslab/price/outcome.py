"""What the job may leave: many tries of the concrete used and of the hours taken."""

from __future__ import annotations

from decimal import Decimal

import numpy as np
from numpy.typing import NDArray

from overslab.order.records import Order
from overslab.price.chain import Asked
from overslab.price.concreting import rate_of
from overslab.price.costing import SHORT_AND_OVER
from overslab.price.records import BidLine, Outcome, Rates

Floats = NDArray[np.float64]
TRIES = 4000
SEED = 20_000
_HAIR_STEPS = 1e-5  # of a plant step: less is a sum's last digit


def outcome(
    lines: tuple[BidLine, ...],
    asked: Asked,
    order: Order,
    rates: Rates,
    *,
    tries: int = TRIES,
    seed: int = SEED,
) -> Outcome:
    """Profit over the doubt of concrete and hours; every other line as it stands in the bid.

    The concrete needed is normal, as in the order; what is held is called for in whole plant steps
    once the rest is placed, and short or over is paid as the owner's rates say. Hours of each task
    are lognormal about the bid's, each task by itself.
    """
    rng = np.random.default_rng(seed)
    sure = asked.before_tax + asked.rounding - asked.overhead
    hours = tuple(one for one in lines if one.group == "labour" and one.unit == "hour")
    doubtful = {id(one) for one in (*hours, *_bought(lines))}
    sure -= sum((one.amount for one in lines if id(one) not in doubtful), Decimal(0))
    profit = np.full(tries, float(sure))
    profit -= concrete_cost(order, rng.standard_normal(tries))
    for line in hours:
        rate = rate_of(line.code, rates)
        spread = 0.0 if rate is None else rate.deviation
        factor = np.exp(spread * rng.standard_normal(tries) - spread**2 / 2)
        profit -= float(line.amount) * factor
    profit.sort()
    losing = float(np.mean(profit < 0.0))
    return Outcome(
        expected_profit=Decimal(repr(round(float(profit.mean()), 2))).quantize(Decimal("0.01")),
        deviation=Decimal(repr(round(float(profit.std(ddof=1)), 2))).quantize(Decimal("0.01")),
        chance_of_loss=losing,
        profits=tuple(float(one) for one in np.round(profit, 2)),
        why=(
            f"{tries} tries with a fixed seed: concrete needed as the order takes it, what is held "
            "called for as needed, hours of each task by its own give-or-take. Overhead is taken "
            "as spent. Prices, weather and what is not in the price are not in it."
        ),
    )


def _bought(lines: tuple[BidLine, ...]) -> tuple[BidLine, ...]:
    """Lines that the tries work out anew: concrete, and what short and over cost on average."""
    return tuple(one for one in lines if one.code in ("concrete", SHORT_AND_OVER))


def concrete_cost(order: Order, z: Floats) -> Floats:
    """What concrete comes to where the need lies ``z`` deviations from its mean.

    The amount ordered is bought; where a part of it is held, whole plant steps of that part are
    called for, as many as are needed within what the held loads may come to.
    """
    plant = order.plant
    needed = order.needed_m3.mean + order.needed_m3.deviation * z
    bought = np.full_like(needed, order.amount_m3)
    if order.will_call_m3 > 0.0 and order.held_most_m3 > 0.0:
        steps = np.ceil((needed - order.firm_m3) / plant.order_step_m3 - _HAIR_STEPS / 2)
        called = np.clip(steps * plant.order_step_m3, order.held_least_m3, order.held_most_m3)
        bought = order.firm_m3 + called
    lacking = np.maximum(needed - bought, 0.0)
    left = np.maximum(bought - needed, 0.0)
    cost: Floats = (
        (bought + lacking) * plant.concrete_cost_per_m3
        + np.where(lacking > _HAIR_STEPS * plant.order_step_m3, plant.short_cost, 0.0)
        + left * plant.leftover_cost_per_m3
    )
    return cost
