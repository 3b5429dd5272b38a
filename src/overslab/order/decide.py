"""How much concrete to order, in which loads, and why."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import fields

from overslab.ground.estimate import Estimate
from overslab.ground.faults import Fault, Faulty
from overslab.ground.notes import Assumption
from overslab.ground.units import Units
from overslab.handbook.ordering import (
    chance_short,
    critical_ratio,
    expected_left_m3,
    expected_missing_m3,
    expected_order_cost,
    needed_deviation_m3,
    needed_volume_m3,
    short_cost_per_m3,
)
from overslab.handbook.working import Working, show
from overslab.order import faults
from overslab.order.amount import Weighed, cheapest, furthest_steps, weigh
from overslab.order.loads import held_range, load_up
from overslab.order.mix_faults import mix_faults
from overslab.order.mixing import METRIC, NOT_ASKED, System, check_mix
from overslab.order.records import Exposure, MixAsked, Order, Plant
from overslab.order.remarks import remarks_on
from overslab.takeoff.records import Takeoff

# How many choices are shown on each side of the one taken.
NEIGHBOURS = 4
# An order of more steps than this is a mistyped step, not an order.
MOST_STEPS = 1000
_GREATEST_LOSS = 0.5


def order(
    takeoff: Takeoff,
    plant: Plant,
    mix: MixAsked,
    *,
    exposure: Exposure = NOT_ASKED,
    system: System | None = None,
    units: Units = METRIC,
) -> Order:
    """The amount of least expected cost in whole plant steps, its loads, and the mix looked at.

    ``exposure`` is what the finished floor meets, ``system`` how it lies on the old one; ``units``
    only choose how the words say their numbers. Raises ``Faulty`` with every fault of the plant's
    terms, the mix and the volume.
    """
    found = tuple(_faults(takeoff, plant, mix, units))
    if found:
        raise Faulty(found)
    in_place_m3 = takeoff.total.volume_m3
    needed_m3, need_workings = _need(in_place_m3, plant.loss)
    furthest = furthest_steps(needed_m3=needed_m3, plant=plant)
    if furthest > MOST_STEPS:
        raise Faulty(
            faults.TOO_MANY_STEPS.met(value=f"{furthest} steps to look through", most=MOST_STEPS)
        )
    best = cheapest(needed_m3=needed_m3, plant=plant)
    loads = load_up(best.division, plant=plant, strips=takeoff.strips, needed_m3=needed_m3.mean)
    firm_m3 = sum(load.volume_m3 for load in loads if load.firm)
    held_least_m3, held_most_m3 = held_range(best.division, needed_m3=needed_m3, plant=plant)
    first = max(1, best.steps - NEIGHBOURS)
    mixed = check_mix(
        mix,
        thinnest_m=takeoff.total.thinnest_m,
        truck_m3=plant.truck_m3,
        exposure=exposure,
        system=system,
        units=units,
    )
    return Order(
        in_place_m3=in_place_m3,
        needed_m3=needed_m3,
        amount_m3=best.choice.volume_m3,
        chance_short=best.choice.chance_short,
        expected_left_m3=best.choice.expected_left_m3,
        expected_cost=best.choice.expected_cost,
        choices=tuple(
            weigh(steps=steps, needed_m3=needed_m3, plant=plant).choice
            for steps in range(first, best.steps + NEIGHBOURS + 1)
        ),
        loads=loads,
        firm_m3=firm_m3,
        will_call_m3=best.choice.volume_m3 - firm_m3,
        short_load_charge=best.charge,
        mix=mix,
        mix_check=mixed,
        plant=plant,
        assumptions=(*_assumptions(), *mixed.assumptions),
        remarks=remarks_on(
            takeoff=takeoff, plant=plant, mixed=mixed, needed_m3=needed_m3, best=best
        ),
        workings=(*need_workings, *_cost_workings(best, needed_m3, plant), *mixed.workings),
        held_least_m3=held_least_m3,
        held_most_m3=held_most_m3,
    )


def _need(in_place_m3: Estimate, loss: Estimate) -> tuple[Estimate, tuple[Working, ...]]:
    mean_m3, mean_working = show(
        needed_volume_m3,
        about="concrete needed, losses in",
        in_place_m3=in_place_m3.mean,
        loss_share=loss.mean,
    )
    deviation_m3, deviation_working = show(
        needed_deviation_m3,
        about="spread of the concrete needed",
        in_place_m3=in_place_m3.mean,
        in_place_deviation_m3=in_place_m3.deviation,
        loss_share=loss.mean,
        loss_deviation_share=loss.deviation,
    )
    return Estimate(mean_m3, deviation_m3), (mean_working, deviation_working)


def _cost_workings(best: Weighed, needed_m3: Estimate, plant: Plant) -> tuple[Working, ...]:
    """The chosen amount opened, and beside it the marginal rule that it obeys."""
    need = {
        "amount_m3": best.choice.volume_m3,
        "needed_m3": needed_m3.mean,
        "deviation_m3": needed_m3.deviation,
    }
    short, short_working = show(chance_short, about="chance of running short", **need)
    missing_m3, missing_working = show(
        expected_missing_m3, about="what the order can be expected to lack", **need
    )
    left_m3, left_working = show(expected_left_m3, about="what can be expected left over", **need)
    _, cost_working = show(
        expected_order_cost,
        about="expected cost of the order",
        concrete_cost_per_m3=plant.concrete_cost_per_m3,
        amount_m3=best.choice.volume_m3,
        expected_missing_m3=missing_m3,
        short_load_charge=best.charge,
        short_cost=plant.short_cost,
        short_chance=short,
        leftover_cost_per_m3=plant.leftover_cost_per_m3,
        expected_left_m3=left_m3,
    )
    found = (short_working, missing_working, left_working, cost_working)
    if needed_m3.deviation == 0:
        return found
    under, under_working = show(
        short_cost_per_m3,
        about="cost of running short, per unit that one more step would supply",
        short_cost=plant.short_cost,
        **need,
    )
    _, ratio_working = show(
        critical_ratio,
        about="chance of enough at which one more step pays for itself",
        short_cost_per_m3=under,
        left_cost_per_m3=plant.concrete_cost_per_m3 + plant.leftover_cost_per_m3,
    )
    return (*found, under_working, ratio_working)


def _assumptions() -> tuple[Assumption, ...]:
    return (
        Assumption(
            about="concrete needed",
            taken="normal, with the mean and the spread of volume times one plus loss",
            because="the volume of a measured floor is normal and the loss shifts it only a little",
        ),
        Assumption(
            about="loss and volume",
            taken="independent of each other",
            because="a crew's spill does not depend on how well the floor was shot",
        ),
        Assumption(
            about="running short",
            taken="the missing concrete is bought in the end at the same price; the cost of running"
            " short comes on top of it",
            because="the floor has to be finished either way",
        ),
    )


def _faults(takeoff: Takeoff, plant: Plant, mix: MixAsked, units: Units) -> Iterator[Fault]:
    yield from mix_faults(mix, units)
    loose = tuple(_loose_numbers(takeoff, plant))
    for name, value in loose:
        yield faults.NOT_A_NUMBER.met(value=value, name=name)
    if loose:
        return  # comparisons with what is no number mean nothing
    yield from _plant_faults(plant)
    volume_m3 = takeoff.total.volume_m3
    if volume_m3.mean <= 0 or volume_m3.deviation < 0:
        yield faults.NO_CONCRETE.met(
            value=f"{volume_m3.mean:g} m3, standard deviation {volume_m3.deviation:g} m3"
        )


def _loose_numbers(takeoff: Takeoff, plant: Plant) -> Iterator[tuple[str, float]]:
    figures: list[tuple[str, float]] = [
        ("the volume in place", takeoff.total.volume_m3.mean),
        ("the plus-or-minus of the volume", takeoff.total.volume_m3.deviation),
        ("loss", plant.loss.mean),
        ("the plus-or-minus of the loss", plant.loss.deviation),
    ]
    for entry in fields(plant):
        value = getattr(plant, entry.name)
        if isinstance(value, (int, float)):
            figures.append((_words(entry.name), value))
    for name, value in figures:
        if not math.isfinite(value):
            yield name, value


def _words(name: str) -> str:
    for suffix in ("_per_m3", "_m3", "_pa", "_m", "_minutes"):
        name = name.removesuffix(suffix)
    return name.replace("_", " ")


def _plant_faults(plant: Plant) -> Iterator[Fault]:
    if plant.truck_m3 <= 0:
        yield faults.NO_TRUCK.met(value=f"{plant.truck_m3:g} m3")
    else:
        if not 0 < plant.order_step_m3 <= plant.truck_m3:
            yield faults.NO_STEP.met(value=f"{plant.order_step_m3:g} m3", truck_m3=plant.truck_m3)
        if not 0 <= plant.least_load_m3 <= plant.truck_m3:
            yield faults.LEAST_LOAD.met(
                value=f"{plant.least_load_m3:g} m3", truck_m3=plant.truck_m3
            )
    if plant.concrete_cost_per_m3 <= 0:
        yield faults.FREE_CONCRETE.met(value=f"{plant.concrete_cost_per_m3:g} per m3")
    costs = (
        ("the short-load charge", plant.short_load_charge),
        ("the cost of left-over concrete", plant.leftover_cost_per_m3),
    )
    for name, cost in costs:
        if cost < 0:
            yield faults.NEGATIVE_COST.met(value=f"{cost:g}", name=name)
    if plant.short_cost <= 0:
        yield faults.NO_SHORT_COST.met(value=f"{plant.short_cost:g}")
    if not 0 <= plant.loss.mean <= _GREATEST_LOSS or plant.loss.deviation < 0:
        yield faults.LOSS_OUT_OF_RANGE.met(
            value=f"{plant.loss.mean:.1%}, standard deviation {plant.loss.deviation:.1%}"
        )
    if plant.truck_minutes <= 0:
        yield faults.NO_SPACING.met(value=f"{plant.truck_minutes:g} minutes")
