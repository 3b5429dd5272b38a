"""Fresh concrete: yield, air, what a little too thick costs, sacks and water for a volume.

Yield and relative yield stand in the chapter on ordering.
"""

from __future__ import annotations

from math import ceil

from overslab.ground.units import to_customary, to_si
from overslab.handbook.limits import Advice, Limit, declare
from overslab.handbook.publications import (
    ARMY_EN5466A,
    CONCRETE_CONSTRUCTION,
    NAVEDTRA_14071,
    NRMCA_CIP_8,
)
from overslab.handbook.ranges import hold, within
from overslab.handbook.working import formula

_YIELD = f"{CONCRETE_CONSTRUCTION}, What yield can do for you"
_NOISE = 1e-9

YIELD_LIMITS = declare(
    Limit(
        name="share by which hardened concrete is smaller than fresh",
        quantity="shrunk_share",
        value=0.02,
        source=NRMCA_CIP_8,
        edition="",
        known="read",
        topic="hardened volume",
        bound="is",
    ),
    Limit(
        name="trucks whose unit weight is taken for a yield test",
        quantity="trucks_count",
        value=3.0,
        source=NRMCA_CIP_8,
        edition="",
        known="read",
        topic="yield test",
    ),
)
YIELD_ADVICE = declare(
    Advice(
        topic="yield",
        says="yield is the weight of the batch over the unit weight of the fresh concrete, the mean"
        " of three loads from three trucks",
        source=NRMCA_CIP_8,
        edition="",
        known="read",
    )
)[0]


@formula(
    equation="D = W / Q",
    symbols={"batch_kg": "W", "ordered_m3": "Q"},
    result=("density_kg_per_m3", "D"),
    source=f"{_YIELD}: 3944 lb for a yd3",
    known="read",
    valid="both above 0; a heavier concrete fills less than was ordered",
    # 3944 / 27 = 146.07.
    example={"batch_kg": 3944.0, "ordered_m3": 27.0},
    example_result=146.07,
    printed_in={"batch_kg": "lb", "ordered_m3": "ft3", "density_kg_per_m3": "lb/ft3"},
)
def density_for_exact_yield(*, batch_kg: float, ordered_m3: float) -> float:
    """Unit weight at which a batch fills the volume ordered."""
    hold(
        within("batch_kg", batch_kg, above=0.0, unit="lb"),
        within("ordered_m3", ordered_m3, above=0.0, unit="ft3"),
        source=_YIELD,
    )
    return batch_kg / ordered_m3


@formula(
    equation="v = V a",
    symbols={"volume_m3": "V", "air_share": "a"},
    result=("air_volume_m3", "v"),
    source=f"{_YIELD}: 1 % air is 0.27 ft3 in a yd3",
    known="read",
    valid="air 0 to 20 %",
    example={"volume_m3": 27.0, "air_share": 1.0},
    example_result=0.27,
    printed_in={"volume_m3": "ft3", "air_share": "%", "air_volume_m3": "ft3"},
)
def air_volume(*, volume_m3: float, air_share: float) -> float:
    """Volume that air takes up in concrete."""
    hold(
        within("volume_m3", volume_m3, least=0.0, unit="ft3"),
        within("air_share", air_share, least=0.0, most=0.20, unit="%"),
        source=_YIELD,
    )
    return volume_m3 * air_share


@formula(
    equation="q = e / h",
    symbols={"extra_thickness_m": "e", "thickness_m": "h"},
    result=("extra_share", "q"),
    source=f"{NRMCA_CIP_8}: 1/8 in too thick on 4 in is 3 % short, 1 yd3 in 32",
    known="read",
    valid="h above 0; thickness is the mean over the slab",
    # 0.125 / 4; the page rounds to 3 %.
    example={"extra_thickness_m": 0.125, "thickness_m": 4.0},
    example_result=3.125,
    printed_in={"extra_thickness_m": "in", "thickness_m": "in", "extra_share": "%"},
)
def concrete_for_extra_thickness(*, extra_thickness_m: float, thickness_m: float) -> float:
    """Share of concrete that a slab struck too thick uses beyond the order."""
    hold(
        within("extra_thickness_m", extra_thickness_m, least=0.0, unit="in"),
        within("thickness_m", thickness_m, above=0.0, unit="in"),
        source=NRMCA_CIP_8,
    )
    return extra_thickness_m / thickness_m


@formula(
    equation="n = next whole of V s",
    symbols={"volume_m3": "V", "sacks_per_yd3": "s"},
    result=("sacks_count", "n"),
    source=f"{ARMY_EN5466A}, p. 54: 70.1 yd3 at 7.05 sacks are 494.2, so 495",
    known="read",
    valid="V in yd3; sacks of 94 lb",
    example={"volume_m3": 70.1, "sacks_per_yd3": 7.05},
    example_result=495,
    printed_in={"volume_m3": "yd3"},
)
def sacks_needed(*, volume_m3: float, sacks_per_yd3: float) -> int:
    """Whole sacks of cement for a volume of concrete."""
    hold(
        within("volume_m3", volume_m3, least=0.0, unit="yd3"),
        within("sacks_per_yd3", sacks_per_yd3, least=0.0, most=20.0),
        source=ARMY_EN5466A,
    )
    return ceil(to_customary(volume_m3, "yd3") * sacks_per_yd3 - _NOISE)


@formula(
    equation="W = n g",
    symbols={"sacks_count": "n", "sack_water_m3": "g"},
    result=("water_m3", "W"),
    source=f"{ARMY_EN5466A}, p. 54: 495 sacks at 8 gal, cleaning included, are 3960 gal",
    known="read",
    valid="water by the sack, with what cleaning takes",
    example={"sacks_count": 495, "sack_water_m3": 8.0},
    example_result=3960.0,
    printed_in={"sack_water_m3": "gal", "water_m3": "gal"},
)
def water_for_sacks(*, sacks_count: int, sack_water_m3: float) -> float:
    """Water to have on site for a number of sacks."""
    hold(
        within("sacks_count", float(sacks_count), least=0.0),
        within("sack_water_m3", sack_water_m3, least=0.0, most=to_si(20.0, "gal"), unit="gal"),
        source=ARMY_EN5466A,
    )
    return sacks_count * sack_water_m3


@formula(
    equation="M = V m",
    symbols={"volume_m3": "V", "mass_kg_per_m3": "m"},
    result=("material_kg", "M"),
    source=f"{NAVEDTRA_14071}: 70.07 yd3 at 1735 lb of stone are 60.8 short tons of 2000 lb",
    known="read",
    valid="V at least 0",
    example={"volume_m3": 70.07, "mass_kg_per_m3": 1735.0},
    example_result=121_600.0,
    example_within=0.1 / 60.8,  # printed to a tenth of a ton
    printed_in={"volume_m3": "yd3", "mass_kg_per_m3": "lb/yd3", "material_kg": "lb"},
)
def material_needed(*, volume_m3: float, mass_kg_per_m3: float) -> float:
    """Mass of one material for a volume of concrete."""
    hold(
        within("volume_m3", volume_m3, least=0.0, unit="yd3"),
        within("mass_kg_per_m3", mass_kg_per_m3, least=0.0, unit="lb/yd3"),
        source=NAVEDTRA_14071,
    )
    return volume_m3 * mass_kg_per_m3
