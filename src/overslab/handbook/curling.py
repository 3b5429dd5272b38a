"""Curling: stress from a slab that is warmer or drier on top than below, by Bradbury and others.

The difference runs straight from top to bottom; a slab that dries on top only bends more.
"""

from __future__ import annotations

from math import cos, cosh, sin, sinh, sqrt

from overslab.handbook.limits import Row, declare_rows
from overslab.handbook.publications import HUANG, NPTEL_PAVEMENT
from overslab.handbook.ranges import Within, hold, within
from overslab.handbook.working import formula

_PAGE = f"{NPTEL_PAVEMENT}, page 5"
_HUANG = f"{HUANG}, example 4.1 (second hand)"
# Beyond this the closed form stands at 1 to five digits; below it the chart is read.
_LONGEST_RATIO = 40.0
_PRINTED = {
    "modulus_pa": "psi",
    "expansion_per_c": "per F",
    "difference_c": "F difference",
    "stress_pa": "psi",
}

LOST_CONTACT = declare_rows(
    Row(
        "share of a panel off the ground by curl, joints that carry load across",
        10.0,
        "B. Suprenant, Concrete International",
        "March 2002",
        "read",
        "about; at the joints",
    ),
    Row(
        "share of a panel off the ground by curl, joints that carry none",
        20.0,
        "B. Suprenant, Concrete International",
        "March 2002",
        "read",
        "about; at the joints",
    ),
    topic="curl, lost contact",
    quantity="panel_share",
    unit="%",
    bound="is",
)


def _hold(*others: Within, modulus_pa: float, expansion_per_c: float, difference_c: float) -> None:
    hold(
        within("modulus_pa", modulus_pa, above=0, unit="psi"),
        within("expansion_per_c", expansion_per_c, above=0, unit="per F"),
        within("difference_c", difference_c, unit="F difference"),
        *others,
        source=NPTEL_PAVEMENT,
    )


@formula(
    equation="C = 1 - 2*cos(x)*cosh(x)*(tan(x) + tanh(x))/(sin(2*x) + sinh(2*x)),"
    " x = L/(l*sqrt(8))",
    symbols={"length_m": "L", "stiffness_radius_m": "l"},
    result=("bradbury_coefficient", "C"),
    source=f"closed form of Bradbury's chart, from memory; {HUANG} prints 1.084 at L/l = 8.5"
    " (second hand)",
    known="memory",
    valid="L/l from 0 to 40; the greatest value is 1.086 near 8.9, print puts it at 8.5",
    example={"length_m": 8.5, "stiffness_radius_m": 1.0},
    example_result=1.084,
    # Read off a chart in print.
    example_within=0.005,
)
def bradbury_coefficient(*, length_m: float, stiffness_radius_m: float) -> float:
    """How far a panel of this length is held flat by its own weight: 0 free, 1 held."""
    hold(
        within("stiffness_radius_m", stiffness_radius_m, above=0, unit="in"),
        within(
            "length_m",
            length_m,
            above=0,
            most=_LONGEST_RATIO * max(stiffness_radius_m, 0.0),
            unit="ft",
        ),
        source=HUANG,
    )
    x = length_m / (stiffness_radius_m * sqrt(8))
    # cos*cosh*(tan + tanh) without the poles of tan.
    top = 2 * (sin(x) * cosh(x) + cos(x) * sinh(x))
    return 1 - top / (sin(2 * x) + sinh(2 * x))


@formula(
    equation="s = E*alpha*dT/(2*(1 - nu^2)) * (Cx + nu*Cy)",
    symbols={
        "modulus_pa": "E",
        "expansion_per_c": "alpha",
        "difference_c": "dT",
        "poisson": "nu",
        "along_coefficient": "Cx",
        "across_coefficient": "Cy",
    },
    result=("stress_pa", "s"),
    source=f"{_PAGE}; {_HUANG}: 238 psi",
    known="read",
    valid="middle of a panel; dT top less bottom, by day above 0",
    example={
        "modulus_pa": 4e6,
        "expansion_per_c": 5e-6,
        "difference_c": 20.0,
        "poisson": 0.15,
        "along_coefficient": 1.07,
        "across_coefficient": 0.63,
    },
    example_result=238.0,
    # Print has whole psi.
    example_within=0.003,
    printed_in=_PRINTED,
)
def curling_interior_stress(
    *,
    modulus_pa: float,
    expansion_per_c: float,
    difference_c: float,
    poisson: float,
    along_coefficient: float,
    across_coefficient: float,
) -> float:
    """Curling stress in the middle of a panel, along the direction of ``along_coefficient``."""
    _hold(
        within("poisson", poisson, least=0, most=0.5),
        modulus_pa=modulus_pa,
        expansion_per_c=expansion_per_c,
        difference_c=difference_c,
    )
    held = modulus_pa * expansion_per_c * difference_c / (2 * (1 - poisson**2))
    return held * (along_coefficient + poisson * across_coefficient)


@formula(
    equation="s = C*E*alpha*dT/2",
    symbols={
        "coefficient": "C",
        "modulus_pa": "E",
        "expansion_per_c": "alpha",
        "difference_c": "dT",
    },
    result=("stress_pa", "s"),
    source=f"{_PAGE}; {_HUANG}: 214 psi",
    known="read",
    valid="middle of an edge; dT top less bottom, by day above 0",
    example={
        "coefficient": 1.07,
        "modulus_pa": 4e6,
        "expansion_per_c": 5e-6,
        "difference_c": 20.0,
    },
    example_result=214.0,
    printed_in=_PRINTED,
)
def curling_edge_stress(
    *, coefficient: float, modulus_pa: float, expansion_per_c: float, difference_c: float
) -> float:
    """Curling stress in the middle of an edge."""
    _hold(modulus_pa=modulus_pa, expansion_per_c=expansion_per_c, difference_c=difference_c)
    return coefficient * modulus_pa * expansion_per_c * difference_c / 2


@formula(
    equation="s = E*alpha*dT/(3*(1 - nu)) * sqrt(a/l)",
    symbols={
        "modulus_pa": "E",
        "expansion_per_c": "alpha",
        "difference_c": "dT",
        "poisson": "nu",
        "contact_radius_m": "a",
        "stiffness_radius_m": "l",
    },
    result=("stress_pa", "s"),
    source=_PAGE,
    known="read",
    valid="corner of a panel; dT top less bottom",
    # Recomputed, no printed answer: a 9 in slab at 1 F an inch.
    example={
        "modulus_pa": 5e6,
        "expansion_per_c": 5e-6,
        "difference_c": 9.0,
        "poisson": 0.15,
        "contact_radius_m": 5.9,
        "stiffness_radius_m": 35.3,
    },
    example_result=36.1,
    printed_in={**_PRINTED, "contact_radius_m": "in", "stiffness_radius_m": "in"},
)
def curling_corner_stress(
    *,
    modulus_pa: float,
    expansion_per_c: float,
    difference_c: float,
    poisson: float,
    contact_radius_m: float,
    stiffness_radius_m: float,
) -> float:
    """Curling stress near a corner, where a wheel of the given contact would add its own."""
    _hold(
        within("poisson", poisson, least=0, most=0.5),
        within("contact_radius_m", contact_radius_m, above=0, unit="in"),
        within("stiffness_radius_m", stiffness_radius_m, above=0, unit="in"),
        modulus_pa=modulus_pa,
        expansion_per_c=expansion_per_c,
        difference_c=difference_c,
    )
    held = modulus_pa * expansion_per_c * difference_c / (3 * (1 - poisson))
    return held * sqrt(contact_radius_m / stiffness_radius_m)
