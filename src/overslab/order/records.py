"""What the order takes and gives."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from overslab.ground.estimate import Estimate
from overslab.ground.notes import Assumption, Remark
from overslab.handbook.checks import Check
from overslab.handbook.limits import Advice, Limit
from overslab.handbook.site_water import SiteWaterEffect
from overslab.handbook.working import Known, Working

Said = Literal["yes", "no", "not known"]
# Frost by the words of ACI 318-19; "F3 plain" is salt on concrete without steel.
FrostClass = Literal["F0", "F2", "F3 plain", "F3"]
DurabilityEdition = Literal["318-19", "318-08", "PCA 9-1"]
Fibre = Literal["none", "micro fibre", "fibrillated fibre", "macro fibre", "steel fibre"]
Reducer = Literal["none", "Type A", "Type D", "mid-range", "Type F", "Type G"]


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
class PlantMix:
    """What the plant says of the mix it offers. Weights in a unit volume of concrete.

    ``cement`` is all cementitious material, ``water`` all water with what the aggregate brings;
    stone and sand are oven-dry. What the plant did not say is None.
    """

    code: str = ""
    cement_kg_per_m3: float | None = None
    water_kg_per_m3: float | None = None
    coarse_kg_per_m3: float | None = None
    fine_kg_per_m3: float | None = None
    air_share: float | None = None
    fineness_modulus: float | None = None  # of the sand
    dry_rodded_kg_per_m3: float | None = None  # of the stone
    coarse_gravity: float | None = None
    fine_gravity: float | None = None


@dataclass(frozen=True, slots=True)
class MixAsked:
    """What the owner writes on the order; printed as written, never filled by guess."""

    strength_pa: float | None = None
    stone_m: float | None = None
    slump_m: float | None = None
    air: float | None = None  # share, such as 0.06
    notes: str = ""
    water_cement_ratio: float | None = None  # greatest, by weight
    steel: Said = "not known"  # wire or bars in the new slab
    fibre: Fibre | None = None
    fibre_kg_per_m3: float | None = None
    reducer: Reducer | None = None
    water_cut: float | None = None  # share of the water that the maker says the reducer takes off
    discharge_minutes: float | None = None  # batching to discharge, as agreed with the plant
    edition: DurabilityEdition | None = None  # whose limits for frost and salt the owner holds to
    tables: Literal["US", "metric"] = "US"  # which print of ACI 211.1 the mix is held against
    plant: PlantMix = PlantMix()


@dataclass(frozen=True, slots=True)
class Exposure:
    """What the finished floor meets, as it was found; ``not known`` is asked, never taken as no."""

    freezes: Said = "not known"
    deicers: Said = "not known"


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
class Demand:
    """What one edition asks of concrete at one exposure."""

    edition: str
    exposure: str
    strength_pa: float
    water_cement_ratio: float | None  # None: the edition sets none
    source: str
    known: Known
    governs: bool = False  # the edition the owner holds to, for the class that is sure


@dataclass(frozen=True, slots=True)
class ByMethod:
    """The mix by ACI 211.1; aggregates oven-dry, None where the plant has not said what they are.

    A first trial and a check on the plant's mix, not a mix to pour.
    """

    water_kg_per_m3: float
    air_share: float
    water_cement_ratio: float
    cement_kg_per_m3: float
    coarse_kg_per_m3: float | None = None
    fine_kg_per_m3: float | None = None


@dataclass(frozen=True, slots=True)
class Compared:
    """One figure of the plant's mix beside the same by the published method."""

    name: str
    quantity: str
    plant: float
    method: float


@dataclass(frozen=True, slots=True)
class AllowedWater:
    """Water that may still be added before one ratio is reached; below 0 it is over already."""

    by: str
    water_cement_ratio: float
    allowed_m3_per_m3: float
    full_load_water_m3: float


@dataclass(frozen=True, slots=True)
class SiteWater:
    """Water added on site: what the design weights leave, and what it does by every source."""

    allowed: tuple[AllowedWater, ...] = ()  # strictest first; empty when the weights are not known
    added_m3_per_m3: float = 0.0  # the amount that ``effects`` are for
    effects: tuple[SiteWaterEffect, ...] = ()
    rules: tuple[Advice, ...] = ()


@dataclass(frozen=True, slots=True)
class MixCheck:
    """The mix asked for, held against what the floor needs; nothing in it changes the order."""

    frost: tuple[FrostClass, ...]  # what it may be; more than one while something is not known
    demands: tuple[Demand, ...] = ()
    checks: tuple[Check, ...] = ()
    asks: tuple[str, ...] = ()  # what nobody has said yet
    stone_third_m: float = 0.0  # largest stone for the thinnest place, a third of it
    stone_federal_m: float = 0.0  # the same by a stricter federal guide
    by_method: ByMethod | None = None
    not_worked: tuple[str, ...] = ()  # why the method gives nothing, or not all
    compared: tuple[Compared, ...] = ()
    site_water: SiteWater = SiteWater()
    discharge: tuple[Limit, ...] = ()
    published: tuple[Limit, ...] = ()  # limits that stand beside those of the checks
    advice: tuple[Advice, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    remarks: tuple[Remark, ...] = ()
    workings: tuple[Working, ...] = ()


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
    mix_check: MixCheck
    plant: Plant
    assumptions: tuple[Assumption, ...]
    remarks: tuple[Remark, ...]
    workings: tuple[Working, ...]
    # What the held loads may come to, over the 95 % interval of the need; 0 when nothing is held.
    held_least_m3: float = 0.0
    held_most_m3: float = 0.0
