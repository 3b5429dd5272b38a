"""The whole procedure of ACI 211.1: from strength, slump and stone to the weights of a mix.

It is a check on a plant's mix and a first trial, not a mix to pour: a trial batch corrects it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from overslab.handbook.admixtures import water_with_reducer
from overslab.handbook.mix_proportions import (
    CEMENT_GRAVITY,
    added_water,
    cement_for_ratio,
    coarse_aggregate,
    fine_aggregate_by_volume,
    free_water_from_oven_dry,
    governing_ratio,
    solid_volume,
    stockpile_from_oven_dry,
)
from overslab.handbook.mix_tables import (
    AirExposure,
    air_aci_211,
    coarse_aggregate_share,
    mixing_water_metric,
    mixing_water_us,
    water_cement_ratio_metric,
    water_cement_ratio_us,
)
from overslab.handbook.working import Working, show


@dataclass(frozen=True, slots=True)
class MixWanted:
    """What the concrete shall do. ``exposure_ratio`` is the greatest w/c that exposure allows."""

    strength_pa: float
    slump_m: float
    stone_m: float
    air_exposure: AirExposure
    exposure_ratio: float | None = None
    reduction_share: float = 0.0
    tables: Literal["US", "metric"] = "US"


@dataclass(frozen=True, slots=True)
class Aggregates:
    """Stone and sand: gravities and weights are oven-dry, moisture is total, of the dry weight."""

    fineness_modulus: float
    dry_rodded_kg_per_m3: float
    coarse_gravity: float
    fine_gravity: float
    coarse_moisture_share: float = 0.0
    fine_moisture_share: float = 0.0
    coarse_absorption_share: float = 0.0
    fine_absorption_share: float = 0.0
    cement_gravity: float = CEMENT_GRAVITY


@dataclass(frozen=True, slots=True)
class Paste:
    """Water, air and cement in a unit volume of concrete; ``workings`` hold every step."""

    water_kg_per_m3: float
    air_share: float
    water_cement_ratio: float
    cement_kg_per_m3: float
    workings: tuple[Working, ...]


@dataclass(frozen=True, slots=True)
class Proportions:
    """Weights in a unit volume of concrete; aggregates oven-dry and as weighed from the stockpile.

    ``workings`` hold every step in order.
    """

    water_kg_per_m3: float
    air_share: float
    water_cement_ratio: float
    cement_kg_per_m3: float
    dry_coarse_kg_per_m3: float
    dry_fine_kg_per_m3: float
    stockpile_coarse_kg_per_m3: float
    stockpile_fine_kg_per_m3: float
    added_water_kg_per_m3: float
    workings: tuple[Working, ...]


class _Steps:
    """Formulas run one after the other, their workings kept in order."""

    def __init__(self) -> None:
        self.workings: list[Working] = []

    def __call__(self, function: Callable[..., float], about: str, **inputs: object) -> float:
        value, working = show(function, about=about, **inputs)
        self.workings.append(working)
        return float(value)


def paste(*, wanted: MixWanted) -> Paste:
    """Water, air, ratio and cement by ACI 211.1: all that needs no knowledge of the aggregates.

    Raises ``Faulty`` where the tables hold no answer (slump, stone, strength).
    """
    step = _Steps()
    metric = wanted.tables == "metric"
    entrained = wanted.air_exposure != "none"
    water = step(
        mixing_water_metric if metric else mixing_water_us,
        "mixing water",
        slump_m=wanted.slump_m,
        stone_m=wanted.stone_m,
        air_entrained=entrained,
    )
    if wanted.reduction_share:
        water = step(
            water_with_reducer,
            "mixing water with reducer",
            water_kg_per_m3=water,
            reduction_share=wanted.reduction_share,
        )
    air = step(air_aci_211, "air", stone_m=wanted.stone_m, exposure=wanted.air_exposure)
    ratio = step(
        water_cement_ratio_metric if metric else water_cement_ratio_us,
        "water-cement ratio for strength",
        strength_pa=wanted.strength_pa,
        air_entrained=entrained,
    )
    if wanted.exposure_ratio is not None:
        ratio = step(
            governing_ratio,
            "water-cement ratio",
            strength_ratio=ratio,
            exposure_ratio=wanted.exposure_ratio,
        )
    cement = step(cement_for_ratio, "cement", water_kg_per_m3=water, water_cement_ratio=ratio)
    return Paste(water, air, ratio, cement, tuple(step.workings))


def proportion(*, wanted: MixWanted, aggregates: Aggregates) -> Proportions:
    """First proportions by ACI 211.1, absolute-volume method.

    Raises ``Faulty`` where the tables hold no answer (slump, stone, strength, fineness).
    """
    bound = paste(wanted=wanted)
    water, air, cement = bound.water_kg_per_m3, bound.air_share, bound.cement_kg_per_m3
    step = _Steps()
    step.workings += bound.workings
    share = step(
        coarse_aggregate_share,
        "coarse aggregate, dry-rodded volume",
        stone_m=wanted.stone_m,
        fineness_modulus=aggregates.fineness_modulus,
    )
    coarse = step(
        coarse_aggregate,
        "coarse aggregate",
        coarse_share=share,
        dry_rodded_kg_per_m3=aggregates.dry_rodded_kg_per_m3,
    )
    volumes = [
        step(
            solid_volume,
            f"volume of {what}",
            mass_kg_per_m3=mass,
            specific_gravity=gravity,
        )
        for what, mass, gravity in (
            ("water", water, 1.0),
            ("cement", cement, aggregates.cement_gravity),
            ("coarse aggregate", coarse, aggregates.coarse_gravity),
        )
    ]
    fine = step(
        fine_aggregate_by_volume,
        "fine aggregate",
        water_share=volumes[0],
        cement_share=volumes[1],
        coarse_share=volumes[2],
        air_share=air,
        fine_gravity=aggregates.fine_gravity,
    )
    weighed, free = [], []
    for what, mass, moisture, absorption in (
        (
            "coarse aggregate",
            coarse,
            aggregates.coarse_moisture_share,
            aggregates.coarse_absorption_share,
        ),
        (
            "fine aggregate",
            fine,
            aggregates.fine_moisture_share,
            aggregates.fine_absorption_share,
        ),
    ):
        weighed.append(
            step(
                stockpile_from_oven_dry,
                f"{what} from the stockpile",
                dry_aggregate_kg_per_m3=mass,
                total_moisture_share=moisture,
            )
        )
        free.append(
            step(
                free_water_from_oven_dry,
                f"water that the {what} brings",
                dry_aggregate_kg_per_m3=mass,
                total_moisture_share=moisture,
                absorption_share=absorption,
            )
        )
    added = step(
        added_water,
        "water to batch",
        water_kg_per_m3=water,
        coarse_free_water_kg_per_m3=free[0],
        fine_free_water_kg_per_m3=free[1],
    )
    return Proportions(
        water_kg_per_m3=water,
        air_share=air,
        water_cement_ratio=bound.water_cement_ratio,
        cement_kg_per_m3=cement,
        dry_coarse_kg_per_m3=coarse,
        dry_fine_kg_per_m3=fine,
        stockpile_coarse_kg_per_m3=weighed[0],
        stockpile_fine_kg_per_m3=weighed[1],
        added_water_kg_per_m3=added,
        workings=tuple(step.workings),
    )
