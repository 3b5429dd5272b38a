"""The mix by ACI 211.1 beside the one that the plant offers: a check on both, no mix to pour."""

from __future__ import annotations

from typing import Any

from overslab.ground.faults import Faulty
from overslab.ground.notes import Assumption
from overslab.handbook.checks import Check
from overslab.handbook.limits import NOISE
from overslab.handbook.mix_procedure import Aggregates, MixWanted, Paste, paste, proportion
from overslab.handbook.mix_proportions import CEMENT_GRAVITY, solid_volume
from overslab.handbook.mix_tables import (
    AIR,
    AirExposure,
    air_aci_211,
    strength_for_ratio_us,
)
from overslab.handbook.working import Working, show
from overslab.order.frost import AIR_EXPOSURE
from overslab.order.holding import told
from overslab.order.records import ByMethod, Compared, FrostClass, MixAsked, PlantMix

_AGGREGATES = {
    "fineness_modulus": "fineness modulus of the sand",
    "dry_rodded_kg_per_m3": "dry-rodded weight of the stone",
    "coarse_gravity": "specific gravity of the stone",
    "fine_gravity": "specific gravity of the sand",
}
ASSUMED = Assumption(
    about="mix by ACI 211.1",
    taken="made for the strength asked itself, not for more",
    because="how much higher a plant must aim is told by its own records; so its cement may well "
    "be more than the method's",
)


def by_method(
    mix: MixAsked, *, frost: tuple[FrostClass, ...], ratio: float | None
) -> tuple[ByMethod | None, tuple[str, ...], tuple[Working, ...]]:
    """Proportions as far as what is known allows, and what is missing for the rest.

    ``ratio`` is the greatest that exposure or the owner allows.
    """
    missing = [
        name
        for name, value in (
            ("strength", mix.strength_pa),
            ("largest stone", mix.stone_m),
            ("slump", mix.slump_m),
        )
        if value is None
    ]
    if mix.air is None and len(frost) > 1:
        missing.append("air or whether it freezes")
    if missing or mix.strength_pa is None or mix.stone_m is None or mix.slump_m is None:
        return None, (f"it needs {'; '.join(missing)}",), ()
    try:
        wanted = MixWanted(
            strength_pa=mix.strength_pa,
            slump_m=mix.slump_m,
            stone_m=mix.stone_m,
            air_exposure=_column(mix.air, mix.stone_m, frost),
            exposure_ratio=ratio,
            reduction_share=mix.water_cut or 0.0,
            tables=mix.tables,
        )
        bound = paste(wanted=wanted)
    except Faulty as trouble:
        return None, told(trouble), ()
    unknown = [words for name, words in _AGGREGATES.items() if getattr(mix.plant, name) is None]
    if unknown:
        needs = f"stone and sand need, from the plant: {', '.join(unknown)}"
        return _only(bound), (needs,), bound.workings
    try:
        whole = proportion(wanted=wanted, aggregates=_aggregates(mix.plant))
    except Faulty as trouble:
        return _only(bound), told(trouble), bound.workings
    return (
        ByMethod(
            water_kg_per_m3=whole.water_kg_per_m3,
            air_share=whole.air_share,
            water_cement_ratio=whole.water_cement_ratio,
            cement_kg_per_m3=whole.cement_kg_per_m3,
            coarse_kg_per_m3=whole.dry_coarse_kg_per_m3,
            fine_kg_per_m3=whole.dry_fine_kg_per_m3,
        ),
        (),
        # Moisture of the heaps is not known here, so those last steps say nothing.
        tuple(one for one in whole.workings if one.result.name in _STEPS),
    )


_STEPS = frozenset(
    {"water_kg_per_m3", "reduced_water_kg_per_m3", "air_share", "water_cement_ratio"}
    | {"cement_kg_per_m3", "coarse_share", "dry_coarse_kg_per_m3", "solid_share"}
    | {"dry_fine_kg_per_m3"}
)


def _column(air: float | None, stone_m: float, frost: tuple[FrostClass, ...]) -> AirExposure:
    """The column of the air table nearest to the air asked; by the class where none is asked."""
    if air is None:
        return AIR_EXPOSURE[frost[0]]
    return min(AIR, key=lambda one: abs(air_aci_211(stone_m=stone_m, exposure=one) - air))


def _only(bound: Paste) -> ByMethod:
    return ByMethod(
        water_kg_per_m3=bound.water_kg_per_m3,
        air_share=bound.air_share,
        water_cement_ratio=bound.water_cement_ratio,
        cement_kg_per_m3=bound.cement_kg_per_m3,
    )


def _aggregates(plant: PlantMix) -> Aggregates:
    given: dict[str, Any] = {name: getattr(plant, name) for name in _AGGREGATES}
    return Aggregates(**given)


def plants_ratio(plant: PlantMix) -> float | None:
    """Water over cement of the plant's mix; None while it has not given both."""
    if plant.water_kg_per_m3 is None or plant.cement_kg_per_m3 is None:
        return None
    return plant.water_kg_per_m3 / plant.cement_kg_per_m3


def compared(plant: PlantMix, method: ByMethod | None) -> tuple[Compared, ...]:
    """Every figure that both know, side by side."""
    if method is None:
        return ()
    rows = (
        ("water", "water_kg_per_m3", plant.water_kg_per_m3, method.water_kg_per_m3),
        ("cement", "cement_kg_per_m3", plant.cement_kg_per_m3, method.cement_kg_per_m3),
        ("water over cement", "water_cement_ratio", plants_ratio(plant), method.water_cement_ratio),
        ("air", "air_share", plant.air_share, method.air_share),
        ("stone, dry", "coarse_kg_per_m3", plant.coarse_kg_per_m3, method.coarse_kg_per_m3),
        ("sand, dry", "fine_kg_per_m3", plant.fine_kg_per_m3, method.fine_kg_per_m3),
    )
    return tuple(
        Compared(name, quantity, ours, theirs)
        for name, quantity, ours, theirs in rows
        if ours is not None and theirs is not None
    )


def fills(plant: PlantMix) -> tuple[Compared | None, tuple[Working, ...]]:
    """The volume that the plant's weights fill, beside the unit volume they are sold as."""
    parts = (
        ("water", plant.water_kg_per_m3, 1.0),
        ("cement", plant.cement_kg_per_m3, CEMENT_GRAVITY),
        ("stone", plant.coarse_kg_per_m3, plant.coarse_gravity),
        ("sand", plant.fine_kg_per_m3, plant.fine_gravity),
    )
    if plant.air_share is None:
        return None, ()
    filled, workings = plant.air_share, []
    for what, mass, gravity in parts:
        if mass is None or gravity is None:
            return None, ()
        share, opened = show(
            solid_volume,
            about=f"volume of the plant's {what}",
            mass_kg_per_m3=mass,
            specific_gravity=gravity,
        )
        filled += share
        workings.append(opened)
    row = Compared("volume that the plant's weights fill", "filled_share", filled, 1.0)
    return row, tuple(workings)


def ratio_check(plant: PlantMix, *, ratio: float | None, by: str) -> tuple[Check, ...]:
    """The plant's water over its cement against the greatest that is allowed."""
    found = plants_ratio(plant)
    if found is None or ratio is None:
        return ()
    return (
        Check(
            name="water-cement ratio of the plant's mix",
            quantity="water_cement_ratio",
            found=found,
            comparison="at most",
            allowed=ratio,
            source=by,
            slack=NOISE,
        ),
    )


def strength_beside(
    mix: MixAsked, *, entrained: bool
) -> tuple[tuple[Compared, ...], tuple[Working, ...]]:
    """The strength that the table gives for the plant's ratio, beside the strength asked."""
    found = plants_ratio(mix.plant)
    if found is None or mix.strength_pa is None:
        return (), ()
    try:
        strength_pa, opened = show(
            strength_for_ratio_us,
            about="strength by the plant's ratio",
            water_cement_ratio=found,
            air_entrained=entrained,
        )
    except Faulty:
        return (), ()  # the table ends there; the ratio itself is checked
    name = "strength by the table at the plant's ratio; asked"
    return (Compared(name, "strength_pa", strength_pa, mix.strength_pa),), (opened,)
