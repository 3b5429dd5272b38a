"""Reinforcement: steel against shrinkage by drag over the ground, bars, ratios, cover.

Steel in the middle of a thin slab does not stop cracks, it holds them shut.
"""

from __future__ import annotations

from overslab.handbook.limits import Row, Table, declare, declare_practice, declare_rows
from overslab.handbook.publications import (
    ACI_318,
    ACI_360,
    CONCRETE_CONSTRUCTION,
    CRSI_37,
    UFC_EVALUATION,
)
from overslab.handbook.ranges import hold, within
from overslab.handbook.working import formula

FRICTION = "friction under a slab"
RATIO = "steel ratio"

_FRICTION = f"{CONCRETE_CONSTRUCTION}, Author explains crack control formula"
_YTTERBERG = f"{CONCRETE_CONSTRUCTION}, Control of shrinkage and curling in slabs on grade"

FRICTION_PRACTICE = declare_practice(
    "friction of a slab on the ground",
    1.5,
    topic=FRICTION,
    quantity="friction",
    bound="at most",
    known="read",
    source=_FRICTION,
    note="the one most used; CRSI report 37 and a structural engineers' mail archive (1998) too",
)
FRICTIONS = declare_rows(
    Row("friction, 6 in slab of 20 to 100 ft, low", 1.06, _FRICTION, "", "read"),
    Row("friction, 6 in slab of 20 to 100 ft, high", 2.10, _FRICTION, "", "read"),
    Row("friction on a cement-treated base, as high as", 50.0, _FRICTION, "", "read"),
    Row("friction of a topping on plastic sheet, low", 0.5, "trade texts", "", "memory"),
    Row("friction of a topping on plastic sheet, high", 1.0, "trade texts", "", "memory"),
    topic=FRICTION,
    quantity="friction",
    bound="is",
)
RATIOS = declare_rows(
    Row("steel where joints are farther apart than usual", 0.15, _YTTERBERG, "", "read",
        "in the upper half"),
    Row("steel, nominal", 0.1, ACI_360, "", "memory"),
    Row("steel to do without joints", 0.5, ACI_360, "", "memory"),
    topic=RATIO,
    quantity="steel_share",
    unit="%",
)  # fmt: skip
COVERS = declare_rows(
    Row("concrete over wire or bars, low", 1.5, "trade texts", "", "memory"),
    Row("concrete over wire or bars, high", 2.0, "trade texts", "", "memory",
        "upper third or mid-depth; in slabs of 5 in or less mid-depth (common practice)"),
    topic="cover over steel",
    quantity="cover_m",
    unit="in",
)  # fmt: skip
BAR_SPACING = declare_rows(
    Row("spacing of bars", 18.0, CRSI_37, "", "read"),
    topic="bar spacing",
    quantity="spacing_m",
    unit="in",
    bound="at most",
)
LAP_OF_BARS = declare_rows(
    Row("lap of bars in tension, however small they are", 12.0, f"{ACI_318}, section 25.5.2", "",
        "memory", "more by the size of the bar, the concrete and the cover: a licensed engineer"),
    topic="lap of bars",
    quantity="lap_m",
    unit="in",
)  # fmt: skip
# Nominal areas of bars; #3 is confirmed by the printed areas of CRSI report 37.
BARS = declare(
    Table(
        name="bars: size, diameter and area",
        topic="bars",
        columns=("bar", "diameter_m", "area_m2"),
        rows=(("#3", 0.375, 0.11), ("#4", 0.5, 0.20), ("#5", 0.625, 0.31), ("#6", 0.75, 0.44)),
        source="ASTM A615",
        edition="",
        known="memory",
        printed_in={"diameter_m": "in", "area_m2": "in2"},
    )
)[0]


@formula(
    equation="As = F*L*w/(2*fs)",
    symbols={"friction": "F", "length_m": "L", "weight_pa": "w", "steel_stress_pa": "fs"},
    result=("steel_m2_per_m", "As"),
    source=f"{CRSI_37}: 0.045 in2/ft",
    known="read",
    valid="L between joints that are free to open; fs 2/3 or 3/4 of the yield",
    example={
        "friction": 1.5,
        "length_m": 24.0,
        "weight_pa": 100.0,
        "steel_stress_pa": 40_000.0,
    },
    example_result=0.045,
    printed_in={
        "length_m": "ft",
        "weight_pa": "psf",
        "steel_stress_pa": "psi",
        "steel_m2_per_m": "in2/ft",
    },
)
def subgrade_drag_steel(
    *, friction: float, length_m: float, weight_pa: float, steel_stress_pa: float
) -> float:
    """Steel across each width of slab that drags half a panel over its ground."""
    hold(
        within("friction", friction, least=0),
        within("length_m", length_m, least=0, unit="ft"),
        within("weight_pa", weight_pa, least=0, unit="psf"),
        within("steel_stress_pa", steel_stress_pa, above=0, unit="psi"),
        source=CRSI_37,
    )
    return friction * length_m * weight_pa / (2 * steel_stress_pa)


@formula(
    equation="fs = (2/3)*fy",
    symbols={"yield_pa": "fy"},
    result=("steel_stress_pa", "fs"),
    source=f"{CRSI_37}: 40 000 psi for Grade 60",
    known="read",
    valid="subgrade drag; some take 3/4",
    example={"yield_pa": 60_000.0},
    example_result=40_000.0,
    printed_in={"yield_pa": "psi", "steel_stress_pa": "psi"},
)
def working_steel_stress(*, yield_pa: float) -> float:
    """Stress that drag steel may work at."""
    hold(within("yield_pa", yield_pa, above=0, unit="psi"), source=CRSI_37)
    return yield_pa * 2 / 3


@formula(
    equation="As = A/s",
    symbols={"bar_m2": "A", "spacing_m": "s"},
    result=("steel_m2_per_m", "As"),
    source=f"{CRSI_37}: #3 at 18 in is 0.073 in2/ft",
    known="read",
    valid="bars at even spacing",
    example={"bar_m2": 0.11, "spacing_m": 18.0},
    example_result=0.073,
    printed_in={"bar_m2": "in2", "spacing_m": "in", "steel_m2_per_m": "in2/ft"},
)
def bar_steel(*, bar_m2: float, spacing_m: float) -> float:
    """Steel of bars at a spacing, across each width of slab."""
    hold(
        within("bar_m2", bar_m2, above=0, unit="in2"),
        within("spacing_m", spacing_m, above=0, unit="in"),
        source=CRSI_37,
    )
    return bar_m2 / spacing_m


@formula(
    equation="S = As/Ap",
    symbols={"steel_m2": "As", "concrete_m2": "Ap"},
    result=("steel_share", "S"),
    source=f"{UFC_EVALUATION}, chapter 6: two #3 in 12 by 12 in, 0.153 %",
    known="read",
    valid="areas of one cross-section",
    example={"steel_m2": 0.221, "concrete_m2": 144.0},
    example_result=0.153,
    # Print has S in percent.
    printed_in={"steel_m2": "in2", "concrete_m2": "in2", "steel_share": "%"},
)
def steel_ratio(*, steel_m2: float, concrete_m2: float) -> float:
    """Share of steel in a cross-section."""
    hold(
        within("steel_m2", steel_m2, least=0, unit="in2"),
        within("concrete_m2", concrete_m2, above=0, unit="in2"),
        source=UFC_EVALUATION,
    )
    return steel_m2 / concrete_m2


@formula(
    equation="As = S*t",
    symbols={"steel_share": "S", "slab_thickness_m": "t"},
    result=("steel_m2_per_m", "As"),
    source=f"{_YTTERBERG}: 0.15 %",
    known="read",
    valid="ratio asked of the whole thickness",
    # Recomputed: 4 in.
    example={"steel_share": 0.15, "slab_thickness_m": 4.0},
    example_result=0.072,
    printed_in={"steel_share": "%", "slab_thickness_m": "in", "steel_m2_per_m": "in2/ft"},
)
def steel_of_ratio(*, steel_share: float, slab_thickness_m: float) -> float:
    """Steel across each width of slab for a ratio."""
    hold(
        within("steel_share", steel_share, least=0, most=1),
        within("slab_thickness_m", slab_thickness_m, above=0, unit="in"),
        source=CONCRETE_CONSTRUCTION,
    )
    return steel_share * slab_thickness_m
