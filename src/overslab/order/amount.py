"""The amount that costs least to order, found by trying every whole step the plant sells."""

from __future__ import annotations

from dataclasses import dataclass

from overslab.ground.estimate import Estimate
from overslab.handbook.ordering import (
    chance_short,
    expected_left_m3,
    expected_missing_m3,
    expected_order_cost,
)
from overslab.order.loads import Division, divide, steps_to_reach, steps_up_to
from overslab.order.records import AmountChoice, Plant

# Further than this above the need nothing is gained but a load charge saved, and a full truck saves
# every such charge: the chance of needing more is below 1e-18.
_FAR_DEVIATIONS = 9.0
_CENT = 0.01


@dataclass(frozen=True, slots=True)
class Weighed:
    """One amount with its loads and every term of its expected cost."""

    steps: int
    division: Division
    charge: float
    missing_m3: float
    choice: AmountChoice


def weigh(*, steps: int, needed_m3: Estimate, plant: Plant) -> Weighed:
    """Chance of running short, expected left over and expected cost of one amount."""
    step_m3 = plant.order_step_m3
    amount_m3 = steps * step_m3
    division = divide(
        amount=steps,
        full=steps_up_to(plant.truck_m3, step_m3=step_m3),
        least=steps_to_reach(plant.least_load_m3, step_m3=step_m3),
        sure=steps_up_to(needed_m3.low, step_m3=step_m3),
    )
    charge = plant.short_load_charge * division.short_loads
    short = chance_short(
        amount_m3=amount_m3, needed_m3=needed_m3.mean, deviation_m3=needed_m3.deviation
    )
    left_m3 = expected_left_m3(
        amount_m3=amount_m3, needed_m3=needed_m3.mean, deviation_m3=needed_m3.deviation
    )
    missing_m3 = expected_missing_m3(
        amount_m3=amount_m3, needed_m3=needed_m3.mean, deviation_m3=needed_m3.deviation
    )
    cost = expected_order_cost(
        concrete_cost_per_m3=plant.concrete_cost_per_m3,
        amount_m3=amount_m3,
        expected_missing_m3=missing_m3,
        short_load_charge=charge,
        short_cost=plant.short_cost,
        short_chance=short,
        leftover_cost_per_m3=plant.leftover_cost_per_m3,
        expected_left_m3=left_m3,
    )
    return Weighed(
        steps=steps,
        division=division,
        charge=charge,
        missing_m3=missing_m3,
        choice=AmountChoice(
            volume_m3=amount_m3,
            chance_short=short,
            expected_left_m3=left_m3,
            expected_cost=cost,
        ),
    )


def furthest_steps(*, needed_m3: Estimate, plant: Plant) -> int:
    """The largest amount worth trying, in plant steps."""
    step_m3 = plant.order_step_m3
    far_m3 = needed_m3.mean + _FAR_DEVIATIONS * needed_m3.deviation
    return steps_to_reach(far_m3, step_m3=step_m3) + steps_up_to(plant.truck_m3, step_m3=step_m3)


def cheapest(*, needed_m3: Estimate, plant: Plant) -> Weighed:
    """The amount of least expected cost; of those equal to a cent the largest, which is the surest.

    Equals are common: far below the need every amount runs short alike, at one lump cost.
    """
    tried = [
        weigh(steps=steps, needed_m3=needed_m3, plant=plant)
        for steps in range(1, furthest_steps(needed_m3=needed_m3, plant=plant) + 1)
    ]
    least = min(one.choice.expected_cost for one in tried)
    return max(
        (one for one in tried if one.choice.expected_cost <= least + _CENT),
        key=lambda one: one.steps,
    )
