"""Slab corner: Westergaard's corner stresses, the older edge form, two wheels as one, contacts.

Symbols and validity as in the chapter on slab stress.
"""

from __future__ import annotations

from math import log10, pi, sqrt

from overslab.handbook.publications import HUANG, NPTEL_PAVEMENT
from overslab.handbook.ranges import hold, within
from overslab.handbook.slab_stress import (
    DEFLECTION_EXAMPLE,
    DEFLECTION_PRINT,
    DEFLECTION_SYMBOLS,
    HUANG_CHAPTER,
    PRINT_ROUNDS,
    STRESS_EXAMPLE,
    STRESS_PRINT,
    STRESS_SYMBOLS,
    VALID,
    hold_load,
    small_load,
)
from overslab.handbook.working import formula

_EXAMPLE = f"{HUANG_CHAPTER}: example 4.2"


@formula(
    equation="s = 3*P/h^2 * (1 - (a*sqrt(2)/l)^0.6)",
    symbols=STRESS_SYMBOLS,
    result=("stress_pa", "s"),
    source=f"{_EXAMPLE}, 186.6 psi",
    known="read",
    valid=VALID + "load in a free corner, a*sqrt(2) below l",
    example=STRESS_EXAMPLE,
    example_result=186.6,
    example_within=PRINT_ROUNDS,
    printed_in=STRESS_PRINT,
)
def corner_stress_westergaard(
    *,
    load_n: float,
    slab_thickness_m: float,
    stiffness_radius_m: float,
    contact_radius_m: float,
) -> float:
    """Bending stress on top of a slab from a load in its free corner, Westergaard's own form."""
    hold_load(
        small_load(a_m=contact_radius_m, l_m=stiffness_radius_m, share=1 / sqrt(2)),
        load_n=load_n,
        stiffness_radius_m=stiffness_radius_m,
        slab_thickness_m=slab_thickness_m,
    )
    share = contact_radius_m * sqrt(2) / stiffness_radius_m
    return float(3 * load_n / slab_thickness_m**2 * (1 - share**0.6))


@formula(
    equation="d = P/(k*l^2) * (1.1 - 0.88*a*sqrt(2)/l)",
    symbols=DEFLECTION_SYMBOLS,
    result=("deflection_m", "d"),
    source=f"{_EXAMPLE}, 0.0502 in",
    known="read",
    valid=VALID + "load in a free corner, a*sqrt(2) below l",
    example=DEFLECTION_EXAMPLE,
    example_result=0.0502,
    printed_in=DEFLECTION_PRINT,
)
def corner_deflection_westergaard(
    *,
    load_n: float,
    subgrade_pa_per_m: float,
    stiffness_radius_m: float,
    contact_radius_m: float,
) -> float:
    """How far a free corner goes down under a load, Westergaard's own form."""
    hold_load(
        small_load(a_m=contact_radius_m, l_m=stiffness_radius_m, share=1 / sqrt(2)),
        load_n=load_n,
        stiffness_radius_m=stiffness_radius_m,
        subgrade_pa_per_m=subgrade_pa_per_m,
    )
    share = contact_radius_m * sqrt(2) / stiffness_radius_m
    return load_n / (subgrade_pa_per_m * stiffness_radius_m**2) * (1.1 - 0.88 * share)


@formula(
    equation="s = 3*P/h^2 * (1 - (1.772*a/l)^0.72)",
    symbols=STRESS_SYMBOLS,
    result=("stress_pa", "s"),
    source=f"{_EXAMPLE}, 190.3 psi; correction of Ioannides and others",
    known="read",
    valid=VALID + "load in a free corner, 1.772*a below l",
    example=STRESS_EXAMPLE,
    example_result=190.3,
    example_within=PRINT_ROUNDS,
    printed_in=STRESS_PRINT,
)
def corner_stress_ioannides(
    *,
    load_n: float,
    slab_thickness_m: float,
    stiffness_radius_m: float,
    contact_radius_m: float,
) -> float:
    """Bending stress on top of a slab from a load in its free corner, as corrected later."""
    hold_load(
        small_load(a_m=contact_radius_m, l_m=stiffness_radius_m, share=1 / 1.772),
        load_n=load_n,
        stiffness_radius_m=stiffness_radius_m,
        slab_thickness_m=slab_thickness_m,
    )
    share = 1.772 * contact_radius_m / stiffness_radius_m
    return float(3 * load_n / slab_thickness_m**2 * (1 - share**0.72))


@formula(
    equation="d = P/(k*l^2) * (1.205 - 0.69*1.772*a/l)",
    symbols=DEFLECTION_SYMBOLS,
    result=("deflection_m", "d"),
    source=f"{_EXAMPLE}, 0.0560 in; correction of Ioannides and others",
    known="read",
    valid=VALID + "load in a free corner, 1.772*a below l",
    example=DEFLECTION_EXAMPLE,
    example_result=0.0560,
    printed_in=DEFLECTION_PRINT,
)
def corner_deflection_ioannides(
    *,
    load_n: float,
    subgrade_pa_per_m: float,
    stiffness_radius_m: float,
    contact_radius_m: float,
) -> float:
    """How far a free corner goes down under a load, as corrected later."""
    hold_load(
        small_load(a_m=contact_radius_m, l_m=stiffness_radius_m, share=1 / 1.772),
        load_n=load_n,
        stiffness_radius_m=stiffness_radius_m,
        subgrade_pa_per_m=subgrade_pa_per_m,
    )
    share = 1.772 * contact_radius_m / stiffness_radius_m
    return load_n / (subgrade_pa_per_m * stiffness_radius_m**2) * (1.205 - 0.69 * share)


@formula(
    equation="x = 2.58*sqrt(a*l)",
    symbols={"contact_radius_m": "a", "stiffness_radius_m": "l"},
    result=("distance_m", "x"),
    source=f"{NPTEL_PAVEMENT} and Indian textbooks: 83.97 cm for a = 15 cm, answer from memory",
    known="memory",
    valid="load in a free corner, a below l",
    # a 15 cm; l of the textbook's slab is 70.62 cm (E 3e5 kg/cm2, h 18 cm, k 6 kg/cm3, nu 0.15).
    example={"contact_radius_m": 15.0, "stiffness_radius_m": 70.62},
    example_result=83.97,
    printed_in={"contact_radius_m": "cm", "stiffness_radius_m": "cm", "distance_m": "cm"},
)
def corner_crack_distance(*, contact_radius_m: float, stiffness_radius_m: float) -> float:
    """How far from a loaded corner the stress is greatest, where the corner would break off."""
    hold(
        within("stiffness_radius_m", stiffness_radius_m, above=0, unit="in"),
        small_load(a_m=contact_radius_m, l_m=stiffness_radius_m, share=1.0),
        source=NPTEL_PAVEMENT,
    )
    return 2.58 * sqrt(contact_radius_m * stiffness_radius_m)


@formula(
    equation="s = 0.572*P/h^2 * (4*log10(l/b) + 0.359)",
    symbols={
        "load_n": "P",
        "slab_thickness_m": "h",
        "stiffness_radius_m": "l",
        "equivalent_radius_m": "b",
    },
    result=("stress_pa", "s"),
    source=f"{NPTEL_PAVEMENT} and Indian textbooks: 28.54 kg/cm2, answer from memory",
    known="memory",
    valid=VALID + "load at a free edge, Poisson's ratio 0.15, b below l",
    # The textbook's slab: P 5100 kg = 50.014 kN, h 18 cm, l 70.62 cm, b 14.02 cm; 28.54 kg/cm2 is
    # 2.7988 MPa.
    example={
        "load_n": 50.014,
        "slab_thickness_m": 18.0,
        "stiffness_radius_m": 70.62,
        "equivalent_radius_m": 14.02,
    },
    example_result=2.7988,
    # l and b are written here with four digits only.
    example_within=PRINT_ROUNDS,
    printed_in={
        "load_n": "kN",
        "slab_thickness_m": "cm",
        "stiffness_radius_m": "cm",
        "equivalent_radius_m": "cm",
        "stress_pa": "MPa",
    },
)
def edge_stress_older(
    *,
    load_n: float,
    slab_thickness_m: float,
    stiffness_radius_m: float,
    equivalent_radius_m: float,
) -> float:
    """Bending stress at a free edge by the older form that Indian texts carry."""
    hold_load(
        within("equivalent_radius_m", equivalent_radius_m, above=0, below=stiffness_radius_m),
        load_n=load_n,
        stiffness_radius_m=stiffness_radius_m,
        slab_thickness_m=slab_thickness_m,
    )
    ratio = log10(stiffness_radius_m / equivalent_radius_m)
    return 0.572 * load_n / slab_thickness_m**2 * (4 * ratio + 0.359)


@formula(
    equation="a = sqrt(0.8521*Pd/(q*pi) + (Sd/pi)*sqrt(Pd/(0.5227*q)))",
    symbols={"wheel_load_n": "Pd", "tire_pressure_pa": "q", "spacing_m": "Sd"},
    result=("contact_radius_m", "a"),
    source=f"{HUANG_CHAPTER}: example 4.5, 7.85 in",
    known="read",
    valid="two tires side by side, spacing Sd between their middles; Pd is the load on one of them",
    example={"wheel_load_n": 5000.0, "tire_pressure_pa": 88.42, "spacing_m": 14.0},
    example_result=7.85,
    printed_in={
        "wheel_load_n": "lbf",
        "tire_pressure_pa": "psi",
        "spacing_m": "in",
        "contact_radius_m": "in",
    },
)
def contact_radius_of_duals(
    *, wheel_load_n: float, tire_pressure_pa: float, spacing_m: float
) -> float:
    """Radius of one round load that stands for two tires side by side."""
    hold(
        within("wheel_load_n", wheel_load_n, above=0, unit="lbf"),
        within("tire_pressure_pa", tire_pressure_pa, above=0, unit="psi"),
        within("spacing_m", spacing_m, least=0, unit="in"),
        source=HUANG,
    )
    per_pressure = wheel_load_n / tire_pressure_pa
    return sqrt(0.8521 * per_pressure / pi + spacing_m / pi * sqrt(per_pressure / 0.5227))


@formula(
    equation="a = sqrt(P/(pi*q))",
    symbols={"load_n": "P", "tire_pressure_pa": "q"},
    result=("contact_radius_m", "a"),
    source="geometry: a circle that carries the load at the tire's pressure",
    known="derived",
    valid="load and pressure above 0; the tire presses on the floor about as hard as it is pumped",
    # By hand: pi * 1000 N at 1000 Pa needs a circle of 1 m.
    example={"load_n": 3141.592654, "tire_pressure_pa": 1000.0},
    example_result=1.0,
)
def contact_radius_of_tire(*, load_n: float, tire_pressure_pa: float) -> float:
    """Radius of contact of one tire from its load and pressure."""
    hold(
        within("load_n", load_n, above=0, unit="lbf"),
        within("tire_pressure_pa", tire_pressure_pa, above=0, unit="psi"),
        source="geometry",
    )
    return sqrt(load_n / (pi * tire_pressure_pa))


@formula(
    equation="a = c/sqrt(pi)",
    symbols={"side_m": "c"},
    result=("contact_radius_m", "a"),
    source="geometry: a circle of the same area",
    known="derived",
    valid="square plate",
    # The garage plate of 4.5 in: 2.539 in, recomputed.
    example={"side_m": 4.5},
    example_result=2.539,
    printed_in={"side_m": "in", "contact_radius_m": "in"},
)
def contact_radius_of_plate(*, side_m: float) -> float:
    """Radius of the circle that stands for a square plate or post."""
    hold(within("side_m", side_m, above=0, unit="in"), source="geometry")
    return side_m / sqrt(pi)
