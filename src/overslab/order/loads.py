"""An amount cut into truckloads: firm ones first, the last one held until the floor is measured."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from overslab.ground.estimate import Estimate
from overslab.order.records import Load, Plant
from overslab.takeoff.records import Portion

# Volumes are multiples of the plant's step, so a billionth of a step is a rounding error.
_SPECK = 1e-9


@dataclass(frozen=True, slots=True)
class Division:
    """Loads in whole plant steps; those after ``firm`` are held."""

    steps: tuple[int, ...]
    firm: int
    short_loads: int  # loads below the least load


def steps_up_to(volume_m3: float, *, step_m3: float) -> int:
    """Whole steps that fit into a volume, never below 0."""
    return max(0, math.floor(volume_m3 / step_m3 + _SPECK))


def steps_to_reach(volume_m3: float, *, step_m3: float) -> int:
    """Whole steps that hold a volume, never below 0."""
    return max(0, math.ceil(volume_m3 / step_m3 - _SPECK))


def divide(*, amount: int, full: int, least: int, sure: int) -> Division:
    """Cut ``amount`` steps into the fewest loads of at most ``full`` steps; the last one is held.

    ``sure`` is the part that is needed almost surely. In this order of weight: as few loads below
    ``least`` as can be, nothing firm above ``sure``, as much firm as can be. Where the spread is so
    wide that the firm loads must pass ``sure``, the loads past it are held as well; the first load
    is always firm, for without it nothing can be measured.
    """
    count = -(-amount // full)
    if count == 1:
        return Division(steps=(amount,), firm=1, short_loads=int(amount < least))

    firm_loads = count - 1

    def loads_with(firm_total: int) -> tuple[int, ...]:
        # Full trucks first, keeping enough back that no later firm load falls short.
        reserve = max(1, least) if firm_total >= firm_loads * least else 1
        loads, rest = [], firm_total
        for later in range(firm_loads - 1, -1, -1):
            loads.append(min(full, rest - reserve * later))
            rest -= loads[-1]
        return (*loads, amount - firm_total)

    fewest_firm = max(firm_loads, amount - full)
    most_firm = min(firm_loads * full, amount - 1)

    def weight(firm_total: int) -> tuple[int, int, int]:
        short = sum(load < least for load in loads_with(firm_total))
        return short, max(0, firm_total - sure), -firm_total

    steps = loads_with(min(range(fewest_firm, most_firm + 1), key=weight))
    firm = 1
    while firm < count - 1 and sum(steps[: firm + 1]) <= sure:
        firm += 1
    return Division(steps=steps, firm=firm, short_loads=sum(load < least for load in steps))


def held_range(division: Division, *, needed_m3: Estimate, plant: Plant) -> tuple[float, float]:
    """Least and most that the held loads may come to, in whole steps; zeros when none is held."""
    held = len(division.steps) - division.firm
    if not held:
        return 0.0, 0.0
    step_m3 = plant.order_step_m3
    firm_m3 = sum(division.steps[: division.firm]) * step_m3
    full = steps_up_to(plant.truck_m3, step_m3=step_m3)
    least = steps_up_to(needed_m3.low - firm_m3, step_m3=step_m3)
    most = min(steps_to_reach(needed_m3.high - firm_m3, step_m3=step_m3), held * full)
    return least * step_m3, most * step_m3


def load_up(
    division: Division, *, plant: Plant, strips: Sequence[Portion], needed_m3: float
) -> tuple[Load, ...]:
    """Loads with their volumes and the strips they are meant for, in the order of the pour.

    Strip volumes are scaled to the need, losses in; the margin of the order goes to the last strip.
    """
    in_place_m3 = sum(strip.volume_m3.mean for strip in strips)
    scale = needed_m3 / in_place_m3 if in_place_m3 > 0 else 0.0
    ends_m3: list[float] = []
    reached_m3 = 0.0
    for strip in strips:
        reached_m3 += strip.volume_m3.mean * scale
        ends_m3.append(reached_m3)
    if ends_m3:
        ends_m3[-1] = math.inf
    starts_m3 = [0.0, *ends_m3][: len(ends_m3)]
    loads = []
    poured_m3 = 0.0
    speck_m3 = _SPECK * plant.order_step_m3
    for place, steps in enumerate(division.steps):
        volume_m3 = steps * plant.order_step_m3
        until_m3 = poured_m3 + volume_m3
        meant_for = tuple(
            strip.name
            for strip, start_m3, end_m3 in zip(strips, starts_m3, ends_m3, strict=True)
            if start_m3 < until_m3 - speck_m3 and end_m3 > poured_m3 + speck_m3
        )
        loads.append(
            Load(
                number=place + 1,
                volume_m3=volume_m3,
                firm=place < division.firm,
                strips=meant_for,
            )
        )
        poured_m3 = until_m3
    return tuple(loads)
