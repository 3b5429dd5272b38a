"""What the order takes and gives."""

from __future__ import annotations

from dataclasses import dataclass

from overslab.ground.estimate import Estimate
from overslab.ground.notes import Assumption, Remark
from overslab.handbook.working import Working


@dataclass(frozen=True, slots=True)
class Plant:
    """The ready-mix plant's terms and the crew's own record. Money in the job's currency."""

    concrete_cost_per_m3: float
    currency: str
    truck_m3: float  # a full load
    least_load_m3: float  # below this a short-load charge falls due
    short_load_charge: float
    order_step_m3: float  # the plant sells in whole steps of this
    short_cost: float  # running short once: the extra truck, the wait, the joint to make good
    leftover_cost_per_m3: float  # concrete bought, not used, and got rid of, beyond its price
    loss: Estimate  # spill, pump, base and form losses as a share of volume
    price_date: str
    truck_minutes: float = 30.0  # spacing asked for


@dataclass(frozen=True, slots=True)
class MixAsked:
    """What the owner writes on the order; printed as written, never filled by guess."""

    strength_pa: float | None = None
    stone_m: float | None = None
    slump_m: float | None = None
    air: float | None = None  # share, such as 0.06
    notes: str = ""


@dataclass(frozen=True, slots=True)
class Load:
    number: int
    volume_m3: float
    firm: bool  # False: will-call, called in when the last strips are measured
    strips: tuple[str, ...]  # strips this load is meant for


@dataclass(frozen=True, slots=True)
class AmountChoice:
    """One amount that could be ordered, and what it can be expected to cost."""

    volume_m3: float
    chance_short: float
    expected_left_m3: float
    expected_cost: float  # concrete, short-load charge, running short, left over


@dataclass(frozen=True, slots=True)
class Order:
    """How much to order, in which loads, and why."""

    in_place_m3: Estimate
    needed_m3: Estimate  # with losses
    amount_m3: float
    chance_short: float
    expected_left_m3: float
    expected_cost: float
    choices: tuple[AmountChoice, ...]
    loads: tuple[Load, ...]
    firm_m3: float
    will_call_m3: float
    short_load_charge: float
    mix: MixAsked
    plant: Plant
    assumptions: tuple[Assumption, ...]
    remarks: tuple[Remark, ...]
    workings: tuple[Working, ...]
    # What the held loads may come to, over the 95 % interval of the need; 0 when nothing is held.
    held_least_m3: float = 0.0
    held_most_m3: float = 0.0
