"""Slab stress: Westergaard's stresses and deflections of a slab on the ground under a round load.

Plain elastic slab, full contact with the ground, one load. The equations are for pavements; a thin
topping on a separating layer over an old slab is not that, and the sheet has to say so. Symbols:
P load, h thickness, k stiffness of the ground, l radius of relative stiffness, a radius of contact,
b equivalent radius of contact. The forms with fixed coefficients hold for Poisson's ratio 0.15.
"""

from __future__ import annotations

from math import log, log10, pi, sqrt

from overslab.handbook.publications import HUANG, NPTEL_PAVEMENT
from overslab.handbook.ranges import Within, hold, within
from overslab.handbook.working import formula

HUANG_CHAPTER = f"{HUANG}, chapter 4; formula from memory, printed answer second hand"
_LOAD = {
    "load_n": "lbf",
    "slab_thickness_m": "in",
    "stiffness_radius_m": "in",
    "contact_radius_m": "in",
    "equivalent_radius_m": "in",
    "subgrade_pa_per_m": "pci",
    "stress_pa": "psi",
    "deflection_m": "in",
}


def _print_of(*names: str) -> dict[str, str]:
    return {name: _LOAD[name] for name in names}


STRESS_PRINT = _print_of(
    "load_n", "slab_thickness_m", "stiffness_radius_m", "contact_radius_m", "stress_pa"
)
DEFLECTION_PRINT = _print_of(
    "load_n", "subgrade_pa_per_m", "stiffness_radius_m", "contact_radius_m", "deflection_m"
)
STRESS_SYMBOLS = {
    "load_n": "P",
    "slab_thickness_m": "h",
    "stiffness_radius_m": "l",
    "contact_radius_m": "a",
}
DEFLECTION_SYMBOLS = {
    "load_n": "P",
    "subgrade_pa_per_m": "k",
    "stiffness_radius_m": "l",
    "contact_radius_m": "a",
}
# The printed examples of Huang: 10 kip on a circle of 6 in, slab of 10 in, l = 42.97 in, k = 100.
STRESS_EXAMPLE = {
    "load_n": 10_000.0,
    "slab_thickness_m": 10.0,
    "stiffness_radius_m": 42.97,
    "contact_radius_m": 6.0,
}
DEFLECTION_EXAMPLE = {
    "load_n": 10_000.0,
    "subgrade_pa_per_m": 100.0,
    "stiffness_radius_m": 42.97,
    "contact_radius_m": 6.0,
}
# Print rounds l and b before it goes on; 0.3 % covers that for stresses.
PRINT_ROUNDS = 0.003
VALID = (
    "one load on a round area, elastic slab in full contact with the ground, edges far away but for"
    " the one meant; "
)


def hold_load(*others: Within, load_n: float, stiffness_radius_m: float, **positive: float) -> None:
    """A load is at least 0; lengths and stiffnesses are above 0."""
    hold(
        within("load_n", load_n, least=0, unit="lbf"),
        within("stiffness_radius_m", stiffness_radius_m, above=0, unit="in"),
        *(within(name, value, above=0, unit=_LOAD[name]) for name, value in positive.items()),
        *others,
        source=HUANG,
    )


def small_load(*, a_m: float, l_m: float, share: float) -> Within:
    """The load must be small beside the stiffness radius, or the stress turns its sign."""
    return within(
        "contact_radius_m",
        a_m,
        above=0,
        below=share * l_m,
        unit="in",
    )


@formula(
    equation="l = (E*h^3 / (12*(1 - nu^2)*k))^0.25",
    symbols={
        "modulus_pa": "E",
        "slab_thickness_m": "h",
        "subgrade_pa_per_m": "k",
        "poisson": "nu",
    },
    result=("stiffness_radius_m", "l"),
    source=f"{HUANG_CHAPTER}: 42.97 in",
    known="read",
    valid="any single unit system; nu is 0.15 in the printed examples",
    example={
        "modulus_pa": 4e6,
        "slab_thickness_m": 10.0,
        "subgrade_pa_per_m": 100.0,
        "poisson": 0.15,
    },
    example_result=42.97,
    printed_in={
        "modulus_pa": "psi",
        "slab_thickness_m": "in",
        "subgrade_pa_per_m": "pci",
        "stiffness_radius_m": "in",
    },
)
def stiffness_radius(
    *,
    modulus_pa: float,
    slab_thickness_m: float,
    subgrade_pa_per_m: float,
    poisson: float = 0.15,
) -> float:
    """Radius of relative stiffness: how far a slab spreads a load over its ground."""
    hold(
        within("modulus_pa", modulus_pa, above=0, unit="psi"),
        within("slab_thickness_m", slab_thickness_m, above=0, unit="in"),
        within("subgrade_pa_per_m", subgrade_pa_per_m, above=0, unit="pci"),
        within("poisson", poisson, least=0, most=0.5),
        source=HUANG,
    )
    bending = modulus_pa * slab_thickness_m**3 / (12 * (1 - poisson**2))
    return sqrt(sqrt(bending / subgrade_pa_per_m))


@formula(
    equation="b = a where a >= 1.724*h, else sqrt(1.6*a^2 + h^2) - 0.675*h",
    symbols={"contact_radius_m": "a", "slab_thickness_m": "h"},
    result=("equivalent_radius_m", "b"),
    source=f"{NPTEL_PAVEMENT}, page 3; {HUANG}: 5.804 in",
    known="read",
    valid="a and h above 0",
    example={"contact_radius_m": 6.0, "slab_thickness_m": 10.0},
    example_result=5.804,
    printed_in=_print_of("contact_radius_m", "slab_thickness_m", "equivalent_radius_m"),
)
def equivalent_radius(*, contact_radius_m: float, slab_thickness_m: float) -> float:
    """Radius of contact corrected for the thickness of the slab, for interior stress."""
    hold(
        within("contact_radius_m", contact_radius_m, above=0, unit="in"),
        within("slab_thickness_m", slab_thickness_m, above=0, unit="in"),
        source=NPTEL_PAVEMENT,
    )
    if contact_radius_m >= 1.724 * slab_thickness_m:
        return contact_radius_m
    return sqrt(1.6 * contact_radius_m**2 + slab_thickness_m**2) - 0.675 * slab_thickness_m


_INTERIOR_SYMBOLS = {
    "load_n": "P",
    "slab_thickness_m": "h",
    "stiffness_radius_m": "l",
    "equivalent_radius_m": "b",
}
_INTERIOR_PRINT = _print_of(
    "load_n", "slab_thickness_m", "stiffness_radius_m", "equivalent_radius_m", "stress_pa"
)
_INTERIOR_EXAMPLE = {
    "load_n": 10_000.0,
    "slab_thickness_m": 10.0,
    "stiffness_radius_m": 42.97,
    "equivalent_radius_m": 5.804,
}


@formula(
    equation="s = 0.316*P/h^2 * (4*log10(l/b) + 1.069)",
    symbols=_INTERIOR_SYMBOLS,
    result=("stress_pa", "s"),
    source=f"{HUANG_CHAPTER}: example 4.3, 143.7 psi",
    known="read",
    valid=VALID + "Poisson's ratio 0.15, load far from edges, b below l",
    example=_INTERIOR_EXAMPLE,
    example_result=143.7,
    example_within=PRINT_ROUNDS,
    printed_in=_INTERIOR_PRINT,
)
def interior_stress(
    *,
    load_n: float,
    slab_thickness_m: float,
    stiffness_radius_m: float,
    equivalent_radius_m: float,
) -> float:
    """Bending stress under a load in the middle of a slab, Poisson's ratio 0.15."""
    hold_load(
        within("equivalent_radius_m", equivalent_radius_m, above=0, below=stiffness_radius_m),
        load_n=load_n,
        stiffness_radius_m=stiffness_radius_m,
        slab_thickness_m=slab_thickness_m,
    )
    ratio = log10(stiffness_radius_m / equivalent_radius_m)
    return 0.316 * load_n / slab_thickness_m**2 * (4 * ratio + 1.069)


@formula(
    equation="s = 3*(1 + nu)*P/(2*pi*h^2) * (ln(l/b) + 0.6159)",
    symbols={**_INTERIOR_SYMBOLS, "poisson": "nu"},
    result=("stress_pa", "s"),
    source=f"{HUANG_CHAPTER}: example 4.3, 143.7 psi",
    known="read",
    valid=VALID + "load far from edges, b below l",
    example={**_INTERIOR_EXAMPLE, "poisson": 0.15},
    example_result=143.7,
    example_within=PRINT_ROUNDS,
    printed_in=_INTERIOR_PRINT,
)
def interior_stress_any_poisson(
    *,
    load_n: float,
    slab_thickness_m: float,
    stiffness_radius_m: float,
    equivalent_radius_m: float,
    poisson: float,
) -> float:
    """Bending stress under a load in the middle of a slab, any Poisson's ratio."""
    hold_load(
        within("equivalent_radius_m", equivalent_radius_m, above=0, below=stiffness_radius_m),
        within("poisson", poisson, least=0, most=0.5),
        load_n=load_n,
        stiffness_radius_m=stiffness_radius_m,
        slab_thickness_m=slab_thickness_m,
    )
    ratio = log(stiffness_radius_m / equivalent_radius_m)
    return 3 * (1 + poisson) * load_n / (2 * pi * slab_thickness_m**2) * (ratio + 0.6159)


@formula(
    equation="d = P/(8*k*l^2) * (1 + (1/(2*pi))*(ln(a/(2*l)) - 0.673)*(a/l)^2)",
    symbols=DEFLECTION_SYMBOLS,
    result=("deflection_m", "d"),
    source=f"{HUANG_CHAPTER}: example 4.3, 0.0067 in",
    known="read",
    valid=VALID + "load far from edges, a below l",
    example=DEFLECTION_EXAMPLE,
    example_result=0.0067,
    printed_in=DEFLECTION_PRINT,
)
def interior_deflection(
    *,
    load_n: float,
    subgrade_pa_per_m: float,
    stiffness_radius_m: float,
    contact_radius_m: float,
) -> float:
    """How far a slab goes down under a load in its middle, at once and elastically."""
    hold_load(
        small_load(a_m=contact_radius_m, l_m=stiffness_radius_m, share=1.0),
        load_n=load_n,
        stiffness_radius_m=stiffness_radius_m,
        subgrade_pa_per_m=subgrade_pa_per_m,
    )
    share = contact_radius_m / stiffness_radius_m
    area = 1 + (log(share / 2) - 0.673) * share**2 / (2 * pi)
    return load_n / (8 * subgrade_pa_per_m * stiffness_radius_m**2) * area


@formula(
    equation="s = 0.803*P/h^2 * (4*log10(l/a) + 0.666*(a/l) - 0.034)",
    symbols=STRESS_SYMBOLS,
    result=("stress_pa", "s"),
    source=f"{HUANG_CHAPTER}: example 4.4, 279.4 psi",
    known="read",
    valid=VALID + "round load touching the edge, Poisson's ratio 0.15, a below l",
    example=STRESS_EXAMPLE,
    example_result=279.4,
    example_within=PRINT_ROUNDS,
    printed_in=STRESS_PRINT,
)
def edge_stress_circle(
    *,
    load_n: float,
    slab_thickness_m: float,
    stiffness_radius_m: float,
    contact_radius_m: float,
) -> float:
    """Bending stress at a free edge under a round load that touches it."""
    hold_load(
        small_load(a_m=contact_radius_m, l_m=stiffness_radius_m, share=1.0),
        load_n=load_n,
        stiffness_radius_m=stiffness_radius_m,
        slab_thickness_m=slab_thickness_m,
    )
    share = contact_radius_m / stiffness_radius_m
    bracket = -4 * log10(share) + 0.666 * share - 0.034
    return 0.803 * load_n / slab_thickness_m**2 * bracket


@formula(
    equation="s = 0.803*P/h^2 * (4*log10(l/a) + 0.282*(a/l) + 0.650)",
    symbols=STRESS_SYMBOLS,
    result=("stress_pa", "s"),
    source=f"{HUANG_CHAPTER}: example 4.4, 330.0 psi",
    known="read",
    valid=VALID + "half-round load with its flat side on the edge, Poisson's ratio 0.15, a below l",
    example=STRESS_EXAMPLE,
    example_result=330.0,
    example_within=PRINT_ROUNDS,
    printed_in=STRESS_PRINT,
)
def edge_stress_semicircle(
    *,
    load_n: float,
    slab_thickness_m: float,
    stiffness_radius_m: float,
    contact_radius_m: float,
) -> float:
    """Bending stress at a free edge under a half-round load set against it."""
    hold_load(
        small_load(a_m=contact_radius_m, l_m=stiffness_radius_m, share=1.0),
        load_n=load_n,
        stiffness_radius_m=stiffness_radius_m,
        slab_thickness_m=slab_thickness_m,
    )
    share = contact_radius_m / stiffness_radius_m
    bracket = -4 * log10(share) + 0.282 * share + 0.650
    return 0.803 * load_n / slab_thickness_m**2 * bracket


@formula(
    equation="d = 0.431*P/(k*l^2) * (1 - 0.82*(a/l))",
    symbols=DEFLECTION_SYMBOLS,
    result=("deflection_m", "d"),
    source=f"{HUANG_CHAPTER}: example 4.4, 0.0207 in",
    known="read",
    valid=VALID + "round load touching the edge, Poisson's ratio 0.15, a below l",
    example=DEFLECTION_EXAMPLE,
    example_result=0.0207,
    printed_in=DEFLECTION_PRINT,
)
def edge_deflection_circle(
    *,
    load_n: float,
    subgrade_pa_per_m: float,
    stiffness_radius_m: float,
    contact_radius_m: float,
) -> float:
    """How far a free edge goes down under a round load that touches it."""
    hold_load(
        small_load(a_m=contact_radius_m, l_m=stiffness_radius_m, share=1.0),
        load_n=load_n,
        stiffness_radius_m=stiffness_radius_m,
        subgrade_pa_per_m=subgrade_pa_per_m,
    )
    share = contact_radius_m / stiffness_radius_m
    return 0.431 * load_n / (subgrade_pa_per_m * stiffness_radius_m**2) * (1 - 0.82 * share)


@formula(
    equation="d = 0.431*P/(k*l^2) * (1 - 0.349*(a/l))",
    symbols=DEFLECTION_SYMBOLS,
    result=("deflection_m", "d"),
    source=f"{HUANG_CHAPTER}: example 4.4, 0.0222 in",
    known="read",
    valid=VALID + "half-round load with its flat side on the edge, Poisson's ratio 0.15, a below l",
    example=DEFLECTION_EXAMPLE,
    example_result=0.0222,
    printed_in=DEFLECTION_PRINT,
)
def edge_deflection_semicircle(
    *,
    load_n: float,
    subgrade_pa_per_m: float,
    stiffness_radius_m: float,
    contact_radius_m: float,
) -> float:
    """How far a free edge goes down under a half-round load set against it."""
    hold_load(
        small_load(a_m=contact_radius_m, l_m=stiffness_radius_m, share=1.0),
        load_n=load_n,
        stiffness_radius_m=stiffness_radius_m,
        subgrade_pa_per_m=subgrade_pa_per_m,
    )
    share = contact_radius_m / stiffness_radius_m
    return 0.431 * load_n / (subgrade_pa_per_m * stiffness_radius_m**2) * (1 - 0.349 * share)
