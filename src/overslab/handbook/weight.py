"""Weight: what a topping adds to the ground, and how the ground answers.

Bearing strength of the soil rarely governs; further settlement of loose or organic fill can, and
the stiffness of the ground says nothing about it.
"""

from __future__ import annotations

from math import log10

from overslab.handbook.limits import Advice, Row, declare, declare_rows
from overslab.handbook.publications import CRSI_37
from overslab.handbook.ranges import hold, within
from overslab.handbook.working import formula

# Standard acceleration of free fall, exact (NIST SP 811, 2008 edition, appendix B.8).
_FREE_FALL = 9.80665

BEARING = declare_rows(
    Row("presumptive bearing of soil", 1500.0, "building codes", "", "memory"),
    topic="bearing of soil",
    quantity="added_pa",
    unit="psf",
    bound="at most",
)
DENSITIES = declare_rows(
    Row("concrete with steel, for weight", 150.0, CRSI_37, "", "read", "12.5 psf an inch"),
    Row("plain concrete", 145.0, "trade", "", "common practice", "12.08 psf an inch"),
    topic="density of concrete",
    quantity="density_kg_per_m3",
    unit="lb/ft3",
    bound="is",
)
ADVICE = declare(
    Advice(
        "settlement",
        "Loads that stay call for a look at the overall settlement of soft soils.",
        "TM 5-809-12 as quoted on an engineering reference page",
        "",
        "read",
    ),
    Advice(
        "suspended slab",
        "Weight added to a slab that spans over a room or a void is a matter for a licensed"
        " engineer.",
        "common practice of the trade",
        "",
        "common practice",
    ),
)


@formula(
    equation="w = t*D*g",
    symbols={"thickness_m": "t", "density_kg_per_m3": "D"},
    result=("added_pa", "w"),
    source=f"{CRSI_37}: 8 in weigh 100 psf",
    known="read",
    valid="solid topping; g is the standard acceleration of free fall",
    example={"thickness_m": 8.0, "density_kg_per_m3": 150.0},
    example_result=100.0,
    printed_in={"thickness_m": "in", "density_kg_per_m3": "lb/ft3", "added_pa": "psf"},
)
def added_weight(*, thickness_m: float, density_kg_per_m3: float) -> float:
    """Weight that a thickness of concrete adds to each piece of floor."""
    hold(
        within("thickness_m", thickness_m, least=0, unit="in"),
        within("density_kg_per_m3", density_kg_per_m3, above=0, unit="lb/ft3"),
        source=CRSI_37,
    )
    return thickness_m * density_kg_per_m3 * _FREE_FALL


@formula(
    equation="d = w/k",
    symbols={"added_pa": "w", "subgrade_pa_per_m": "k"},
    result=("deflection_m", "d"),
    source="definition of the stiffness of the ground (Winkler)",
    known="derived",
    valid="at once and elastically, wide load; long-term settlement is not in k",
    # Recomputed: 3 in of topping on 100 pci.
    example={"added_pa": 37.5, "subgrade_pa_per_m": 100.0},
    example_result=0.0026,
    printed_in={"added_pa": "psf", "subgrade_pa_per_m": "pci", "deflection_m": "in"},
)
def settlement_at_once(*, added_pa: float, subgrade_pa_per_m: float) -> float:
    """How far the ground goes down at once under an even load."""
    hold(
        within("added_pa", added_pa, least=0, unit="psf"),
        within("subgrade_pa_per_m", subgrade_pa_per_m, above=0, unit="pci"),
        source="definition of the stiffness of the ground",
    )
    return added_pa / subgrade_pa_per_m


@formula(
    equation="S = Cc*H/(1 + e0)*log10((s0 + ds)/s0)",
    symbols={
        "compression_index": "Cc",
        "layer_m": "H",
        "void_ratio": "e0",
        "stress_pa": "s0",
        "added_pa": "ds",
    },
    result=("settlement_m", "S"),
    source="standard soil mechanics, normally consolidated clay",
    known="memory",
    valid="one layer of normally consolidated clay, numbers from a soil test; no example for"
    " flatwork was found",
    # Closed form: nine times the stress added makes ten, whose log is 1.
    example={
        "compression_index": 0.3,
        "layer_m": 3.0,
        "void_ratio": 0.5,
        "stress_pa": 1000.0,
        "added_pa": 9000.0,
    },
    example_result=0.6,
)
def consolidation_settlement(
    *,
    compression_index: float,
    layer_m: float,
    void_ratio: float,
    stress_pa: float,
    added_pa: float,
) -> float:
    """Settlement of a clay layer in the long run from load added on top."""
    hold(
        within("compression_index", compression_index, least=0),
        within("layer_m", layer_m, least=0, unit="ft"),
        within("void_ratio", void_ratio, above=0),
        within("stress_pa", stress_pa, above=0, unit="psf"),
        within("added_pa", added_pa, least=0, unit="psf"),
        source="standard soil mechanics",
    )
    rise = log10((stress_pa + added_pa) / stress_pa)
    return compression_index * layer_m / (1 + void_ratio) * rise
