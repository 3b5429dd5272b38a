"""Mix proportions by ACI 211.1: cement, stone, sand, moisture correction.

Volumes are shares of a unit volume of concrete. Aggregate weights are oven-dry unless the name says
SSD (saturated, surface dry); published examples mix the two, so each formula here says its base.
"""

from __future__ import annotations

from overslab.ground.units import to_si
from overslab.handbook.publications import (
    ACI_211,
    ARMY_EN5466A,
    CIVL_1112,
    NAVEDTRA_14070,
)
from overslab.handbook.ranges import hold, within
from overslab.handbook.working import formula

# The publications take 62.4 lb/ft3 for water, and 3.15 for the specific gravity of cement.
WATER_DENSITY = to_si(62.4, "lb/ft3")
CEMENT_GRAVITY = 3.15
SACK_KG = to_si(94.0, "lb")
_MIX = "lb/yd3"
_UNIVERSITY = "university handout on ACI 211.1, 4000 psi with 3/8 in stone; second hand"
_MOST_MIX = 3000.0


def _hold(source: str, **values: float) -> None:
    """Every value at least 0; shares at most 1; ratios and gravities in what concrete holds."""
    ranges = []
    for name, value in values.items():
        if name.endswith("_share"):
            ranges.append(within(name, value, least=0.0, most=1.0, unit="%"))
        elif name.endswith("_ratio"):
            ranges.append(within(name, value, least=0.20, most=1.0))
        elif name.endswith("_gravity"):
            ranges.append(within(name, value, least=1.0, most=5.0))
        else:
            ranges.append(within(name, value, least=0.0, most=_MOST_MIX, unit="kg/m3"))
    hold(*ranges, source=source)


@formula(
    equation="w = min(w1, w2)",
    symbols={"strength_ratio": "w1", "exposure_ratio": "w2"},
    result=("water_cement_ratio", "w"),
    source=f"{NAVEDTRA_14070}, chapter 17: 0.50 by exposure governs over 0.59 by strength",
    known="read",
    valid="both ratios by weight, 0.20 to 1.0",
    example={"strength_ratio": 0.59, "exposure_ratio": 0.50},
    example_result=0.50,
)
def governing_ratio(*, strength_ratio: float, exposure_ratio: float) -> float:
    """The water-cement ratio that governs: the lower of strength's and exposure's."""
    _hold(NAVEDTRA_14070, strength_ratio=strength_ratio, exposure_ratio=exposure_ratio)
    return min(strength_ratio, exposure_ratio)


@formula(
    equation="C = W / w",
    symbols={"water_kg_per_m3": "W", "water_cement_ratio": "w"},
    result=("cement_kg_per_m3", "C"),
    source=f"{NAVEDTRA_14070}, chapter 17: 305 lb at 0.50 is 6.49 sacks of 94 lb",
    known="read",
    valid="w 0.20 to 1.0 by weight; C is all cementitious material",
    example={"water_kg_per_m3": 305.0, "water_cement_ratio": 0.50},
    example_result=610.0,
    printed_in={"water_kg_per_m3": _MIX, "cement_kg_per_m3": _MIX},
)
def cement_for_ratio(*, water_kg_per_m3: float, water_cement_ratio: float) -> float:
    """Cement that the water asks for at a water-cement ratio."""
    _hold(NAVEDTRA_14070, water_kg_per_m3=water_kg_per_m3, water_cement_ratio=water_cement_ratio)
    return water_kg_per_m3 / water_cement_ratio


@formula(
    equation="n = C / 94",
    symbols={"cement_kg_per_m3": "C"},
    result=("sacks_per_yd3", "n"),
    source=f"{NAVEDTRA_14070}, chapter 17; a US sack holds 94 lb",
    known="read",
    valid="C in lb/yd3",
    example={"cement_kg_per_m3": 610.0},
    example_result=6.49,
    printed_in={"cement_kg_per_m3": _MIX},
)
def cement_sacks(*, cement_kg_per_m3: float) -> float:
    """Sacks of cement in a cubic yard."""
    _hold(NAVEDTRA_14070, cement_kg_per_m3=cement_kg_per_m3)
    return cement_kg_per_m3 / to_si(94.0, _MIX)


@formula(
    equation="K = 27 b d",
    symbols={"coarse_share": "b", "dry_rodded_kg_per_m3": "d"},
    result=("dry_coarse_kg_per_m3", "K"),
    source=f"{NAVEDTRA_14070}, chapter 17: 0.63 of 102 lb/ft3 is 17.01 ft3 or 1735 lb",
    known="read",
    valid="b from the table of coarse aggregate; oven-dry; 27 ft3 in a yd3",
    example={"coarse_share": 0.63, "dry_rodded_kg_per_m3": 102.0},
    example_result=1735.0,
    printed_in={"dry_rodded_kg_per_m3": "lb/ft3", "dry_coarse_kg_per_m3": _MIX},
    example_within=0.0005,  # printed to the pound
)
def coarse_aggregate(*, coarse_share: float, dry_rodded_kg_per_m3: float) -> float:
    """Oven-dry coarse aggregate in a unit volume of concrete."""
    _hold(NAVEDTRA_14070, coarse_share=coarse_share, dry_rodded_kg_per_m3=dry_rodded_kg_per_m3)
    return coarse_share * dry_rodded_kg_per_m3


@formula(
    equation="v = m / (G 62.4 lb/ft3)",
    symbols={"mass_kg_per_m3": "m", "specific_gravity": "G"},
    result=("solid_share", "v"),
    source=f"{_UNIVERSITY}: 1251 lb of 2.68 is 7.483 ft3 of 27",
    known="read",
    valid="specific gravity on the same base as the mass; water 62.4 lb/ft3",
    example={"mass_kg_per_m3": 1251.45, "specific_gravity": 2.68},
    example_result=0.2772,
    printed_in={"mass_kg_per_m3": _MIX},
)
def solid_volume(*, mass_kg_per_m3: float, specific_gravity: float) -> float:
    """Volume that a material takes up in a unit volume of concrete, without air between."""
    _hold(_UNIVERSITY, mass_kg_per_m3=mass_kg_per_m3, specific_gravity=specific_gravity)
    return mass_kg_per_m3 / (specific_gravity * WATER_DENSITY)


@formula(
    equation="S = (1 - v1 - v2 - v3 - a) Gs 62.4 lb/ft3",
    symbols={
        "water_share": "v1",
        "cement_share": "v2",
        "coarse_share": "v3",
        "air_share": "a",
        "fine_gravity": "Gs",
    },
    result=("dry_fine_kg_per_m3", "S"),
    source=f"{_UNIVERSITY}: 6.17, 3.44, 7.483 and 0.81 ft3 leave 9.1 ft3 or 1516 lb",
    known="read",
    valid="shares of a unit volume, together below 1",
    example={
        "water_share": 0.22851,
        "cement_share": 0.12726,
        "coarse_share": 0.27716,
        "air_share": 0.03,
        "fine_gravity": 2.67,
    },
    example_result=1516.0,
    example_within=0.003,  # the page rounds each volume to 0.01 ft3
    printed_in={"dry_fine_kg_per_m3": _MIX},
)
def fine_aggregate_by_volume(
    *,
    water_share: float,
    cement_share: float,
    coarse_share: float,
    air_share: float,
    fine_gravity: float,
) -> float:
    """Oven-dry sand: what the other materials and the air leave of the volume."""
    taken = water_share + cement_share + coarse_share + air_share
    _hold(
        ACI_211,
        water_share=water_share,
        cement_share=cement_share,
        coarse_share=coarse_share,
        air_share=air_share,
        fine_gravity=fine_gravity,
        all_but_sand_share=taken,
    )
    return (1.0 - taken) * fine_gravity * WATER_DENSITY


@formula(
    equation="S = U - W - C - K",
    symbols={
        "fresh_kg_per_m3": "U",
        "water_kg_per_m3": "W",
        "cement_kg_per_m3": "C",
        "dry_coarse_kg_per_m3": "K",
    },
    result=("dry_fine_kg_per_m3", "S"),
    source=f"{ACI_211}, example 1: 4070 lb/yd3 leave 1369 lb",
    known="memory",
    valid="U is the weight of fresh concrete, estimated or known from yield tests",
    example={
        "fresh_kg_per_m3": 4070.0,
        "water_kg_per_m3": 300.0,
        "cement_kg_per_m3": 484.0,
        "dry_coarse_kg_per_m3": 1917.0,
    },
    example_result=1369.0,
    printed_in={
        "fresh_kg_per_m3": _MIX,
        "water_kg_per_m3": _MIX,
        "cement_kg_per_m3": _MIX,
        "dry_coarse_kg_per_m3": _MIX,
        "dry_fine_kg_per_m3": _MIX,
    },
)
def fine_aggregate_by_weight(
    *,
    fresh_kg_per_m3: float,
    water_kg_per_m3: float,
    cement_kg_per_m3: float,
    dry_coarse_kg_per_m3: float,
) -> float:
    """Oven-dry sand: what the other materials leave of the weight of fresh concrete."""
    left = fresh_kg_per_m3 - water_kg_per_m3 - cement_kg_per_m3 - dry_coarse_kg_per_m3
    _hold(
        ACI_211,
        fresh_kg_per_m3=fresh_kg_per_m3,
        water_kg_per_m3=water_kg_per_m3,
        cement_kg_per_m3=cement_kg_per_m3,
        dry_coarse_kg_per_m3=dry_coarse_kg_per_m3,
        sand_left_kg_per_m3=left,
    )
    return left


@formula(
    equation="B = D (1 + m)",
    symbols={"dry_aggregate_kg_per_m3": "D", "total_moisture_share": "m"},
    result=("stockpile_aggregate_kg_per_m3", "B"),
    source=f"{CIVL_1112}: 1701 lb at 1.5 % total moisture is 1727 lb",
    known="read",
    valid="base oven-dry; total moisture: absorbed and on the surface",
    example={"dry_aggregate_kg_per_m3": 1701.0, "total_moisture_share": 1.5},
    example_result=1727.0,
    example_within=0.0005,  # printed to the pound
    printed_in={
        "dry_aggregate_kg_per_m3": _MIX,
        "total_moisture_share": "%",
        "stockpile_aggregate_kg_per_m3": _MIX,
    },
)
def stockpile_from_oven_dry(
    *, dry_aggregate_kg_per_m3: float, total_moisture_share: float
) -> float:
    """Aggregate as weighed from the stockpile, from its oven-dry weight."""
    _hold(
        CIVL_1112,
        dry_aggregate_kg_per_m3=dry_aggregate_kg_per_m3,
        total_moisture_share=total_moisture_share,
    )
    return dry_aggregate_kg_per_m3 * (1.0 + total_moisture_share)


@formula(
    equation="F = D (m - q)",
    symbols={
        "dry_aggregate_kg_per_m3": "D",
        "total_moisture_share": "m",
        "absorption_share": "q",
    },
    result=("free_water_kg_per_m3", "F"),
    source=f"{CIVL_1112}: 1701 lb with 1.5 % moisture and 0.5 % absorption bring 17 lb",
    known="read",
    valid="base oven-dry; below zero where dry aggregate drinks from the mix",
    # 17.01 lb by hand; the page prints the sum for stone and sand only.
    example={
        "dry_aggregate_kg_per_m3": 1701.0,
        "total_moisture_share": 1.5,
        "absorption_share": 0.5,
    },
    example_result=17.01,
    printed_in={
        "dry_aggregate_kg_per_m3": _MIX,
        "total_moisture_share": "%",
        "absorption_share": "%",
        "free_water_kg_per_m3": _MIX,
    },
)
def free_water_from_oven_dry(
    *, dry_aggregate_kg_per_m3: float, total_moisture_share: float, absorption_share: float
) -> float:
    """Water that aggregate brings to the mix, from its oven-dry weight."""
    _hold(
        CIVL_1112,
        dry_aggregate_kg_per_m3=dry_aggregate_kg_per_m3,
        total_moisture_share=total_moisture_share,
        absorption_share=absorption_share,
    )
    return dry_aggregate_kg_per_m3 * (total_moisture_share - absorption_share)


@formula(
    equation="F = D f",
    symbols={"ssd_aggregate_kg_per_m3": "D", "free_moisture_share": "f"},
    result=("free_water_kg_per_m3", "F"),
    source=f"{ARMY_EN5466A}, p. 51: 1768 lb at 2 % free moisture bring 35.36 lb",
    known="read",
    valid="base saturated, surface dry; free moisture is what lies on the surface",
    example={"ssd_aggregate_kg_per_m3": 1768.0, "free_moisture_share": 2.0},
    example_result=35.36,
    printed_in={
        "ssd_aggregate_kg_per_m3": _MIX,
        "free_moisture_share": "%",
        "free_water_kg_per_m3": _MIX,
    },
)
def free_water_from_ssd(*, ssd_aggregate_kg_per_m3: float, free_moisture_share: float) -> float:
    """Water that aggregate brings to the mix, from its saturated, surface-dry weight."""
    _hold(
        ARMY_EN5466A,
        ssd_aggregate_kg_per_m3=ssd_aggregate_kg_per_m3,
        free_moisture_share=free_moisture_share,
    )
    return ssd_aggregate_kg_per_m3 * free_moisture_share


@formula(
    equation="A = W - F1 - F2",
    symbols={
        "water_kg_per_m3": "W",
        "coarse_free_water_kg_per_m3": "F1",
        "fine_free_water_kg_per_m3": "F2",
    },
    result=("added_water_kg_per_m3", "A"),
    source=f"{CIVL_1112}: 340 lb less 17 and 26.7 lb leave 296 lb",
    known="read",
    valid="free water of stone and of sand, each by its own base; it may be below zero",
    example={
        "water_kg_per_m3": 340.0,
        "coarse_free_water_kg_per_m3": 17.01,
        "fine_free_water_kg_per_m3": 26.67,
    },
    example_result=296.0,
    example_within=1.0 / 296.0,  # printed to the pound
    printed_in={
        "water_kg_per_m3": _MIX,
        "coarse_free_water_kg_per_m3": _MIX,
        "fine_free_water_kg_per_m3": _MIX,
        "added_water_kg_per_m3": _MIX,
    },
)
def added_water(
    *,
    water_kg_per_m3: float,
    coarse_free_water_kg_per_m3: float,
    fine_free_water_kg_per_m3: float,
) -> float:
    """Water to batch: the mixing water less what the aggregate brings."""
    _hold(CIVL_1112, water_kg_per_m3=water_kg_per_m3)
    return water_kg_per_m3 - coarse_free_water_kg_per_m3 - fine_free_water_kg_per_m3
