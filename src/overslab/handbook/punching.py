"""Punching: a post, a jack or a lift foot on a slab; shear through it, bearing under it.

Strength design of the American code, pound and inch coefficients inside. Plain concrete holds about
half of what the same geometry holds with steel in it. Editions give 0.55 or 0.60 as the strength
factor of plain concrete, so the factor is asked for. An engineer designs anything that people stand
under or rely on.
"""

from __future__ import annotations

from math import sqrt

from overslab.ground.units import to_customary, to_si
from overslab.handbook.limits import Row, declare_rows
from overslab.handbook.publications import ACI_318, WIGHT_MACGREGOR
from overslab.handbook.ranges import hold, within
from overslab.handbook.working import formula

_BOOK = f"{WIGHT_MACGREGOR}, example 15-2 (second hand)"
_POST = "web article, Investigation of a post punching an old 4 in slab"
# What is taken off a plain slab cast on soil before its shear is counted.
LOST_TO_SOIL_M = to_si(2.0, "in")
_MOST_BEARING_RATIO = 2.0

STRENGTH_FACTORS = declare_rows(
    Row("plain concrete, older codes", 0.55, _POST, "older codes", "read"),
    Row("plain concrete, ACI 318-08 and later", 0.60, ACI_318, "2008 and later", "memory"),
    topic="strength factor of plain concrete",
    quantity="strength_factor",
    bound="is",
)
SHEAR_FACTORS = declare_rows(
    Row("shear, reinforced", 0.75, ACI_318, "", "memory"),
    Row("bearing", 0.65, ACI_318, "", "memory"),
    topic="strength factor",
    quantity="strength_factor",
    bound="is",
)


@formula(
    equation="bo = 4*(c + d)",
    symbols={"side_m": "c", "depth_m": "d"},
    result=("perimeter_m", "bo"),
    source=f"{_BOOK}: side 46 in for a column of 18 in and d 28 in",
    known="read",
    valid="square plate or post away from edges; d to the steel, or the plain slab's thickness less"
    " what is lost to soil",
    example={"side_m": 18.0, "depth_m": 28.0},
    example_result=184.0,
    printed_in={"side_m": "in", "depth_m": "in", "perimeter_m": "in"},
)
def punching_perimeter(*, side_m: float, depth_m: float) -> float:
    """Length of the line round a square plate along which a slab would be punched."""
    hold(
        within("side_m", side_m, above=0, unit="in"),
        within("depth_m", depth_m, above=0, unit="in"),
        source=WIGHT_MACGREGOR,
    )
    return 4 * (side_m + depth_m)


@formula(
    equation="h = t - 2 in",
    symbols={"slab_thickness_m": "t"},
    result=("depth_m", "h"),
    source=_POST,
    known="read",
    valid="plain concrete cast on soil, thicker than 2 in",
    example={"slab_thickness_m": 4.0},
    example_result=2.0,
    printed_in={"slab_thickness_m": "in", "depth_m": "in"},
)
def plain_depth_on_soil(*, slab_thickness_m: float) -> float:
    """Thickness of a plain slab that counts against punching when it was cast on soil."""
    hold(
        within("slab_thickness_m", slab_thickness_m, above=LOST_TO_SOIL_M, unit="in"), source=_POST
    )
    return slab_thickness_m - LOST_TO_SOIL_M


@formula(
    equation="Pu = 1.2*D + 1.6*L",
    symbols={"dead_n": "D", "live_n": "L"},
    result=("load_n", "Pu"),
    source=f"{_POST}: 4440 lb",
    known="read",
    valid="strength design, weight that stays and load that comes and goes",
    example={"dead_n": 900.0, "live_n": 2100.0},
    example_result=4440.0,
    printed_in={"dead_n": "lbf", "live_n": "lbf", "load_n": "lbf"},
)
def factored_load(*, dead_n: float, live_n: float) -> float:
    """Load that strength is held against."""
    hold(
        within("dead_n", dead_n, least=0, unit="lbf"),
        within("live_n", live_n, least=0, unit="lbf"),
        source=_POST,
    )
    return 1.2 * dead_n + 1.6 * live_n


_SHEAR_PRINT = {"strength_pa": "psi", "perimeter_m": "in", "depth_m": "in", "shear_n": "kip"}


def _shear(*, factor: float, strength_pa: float, along_m: float, depth_m: float) -> float:
    """Strength factor and coefficient times the root of the strength times the area cut through."""
    area = to_customary(along_m, "in") * to_customary(depth_m, "in")
    return to_si(factor * sqrt(to_customary(strength_pa, "psi")) * area, "lbf")


def _hold(*, strength_pa: float, strength_factor: float = 0.75, **length_m: float) -> None:
    hold(
        within("strength_pa", strength_pa, above=0, unit="psi"),
        within("strength_factor", strength_factor, above=0, most=1),
        *(within(name, value, above=0, unit="in") for name, value in length_m.items()),
        source=ACI_318,
    )


@formula(
    equation="V = 0.75*4*sqrt(fc)*bo*d",
    symbols={"strength_pa": "fc", "perimeter_m": "bo", "depth_m": "d"},
    result=("shear_n", "V"),
    source=f"{_BOOK}: 847 kip",
    known="read",
    valid="reinforced slab, square plate away from edges",
    example={"strength_pa": 3000.0, "perimeter_m": 184.0, "depth_m": 28.0},
    example_result=847.0,
    # Print has whole kips after rounding on the way: 846.6.
    example_within=0.002,
    printed_in=_SHEAR_PRINT,
)
def punching_strength_reinforced(
    *, strength_pa: float, perimeter_m: float, depth_m: float
) -> float:
    """Punching shear that a reinforced slab holds."""
    _hold(strength_pa=strength_pa, perimeter_m=perimeter_m, depth_m=depth_m)
    return _shear(factor=0.75 * 4, strength_pa=strength_pa, along_m=perimeter_m, depth_m=depth_m)


@formula(
    equation="V = 0.75*2*sqrt(fc)*b*d",
    symbols={"strength_pa": "fc", "width_m": "b", "depth_m": "d"},
    result=("shear_n", "V"),
    source=f"{_BOOK}: 308 kip; formula from memory",
    known="read",
    valid="reinforced slab, cut straight across its width",
    example={"strength_pa": 3000.0, "width_m": 134.0, "depth_m": 28.0},
    example_result=308.0,
    # Print has whole kips: 308.3.
    example_within=0.002,
    printed_in={"strength_pa": "psi", "width_m": "in", "depth_m": "in", "shear_n": "kip"},
)
def straight_shear_strength_reinforced(
    *, strength_pa: float, width_m: float, depth_m: float
) -> float:
    """Shear that a reinforced slab holds along a straight line across it."""
    _hold(strength_pa=strength_pa, width_m=width_m, depth_m=depth_m)
    return _shear(factor=0.75 * 2, strength_pa=strength_pa, along_m=width_m, depth_m=depth_m)


@formula(
    equation="V = F*(8/3)*sqrt(fc)*bo*h",
    symbols={
        "strength_factor": "F",
        "strength_pa": "fc",
        "perimeter_m": "bo",
        "depth_m": "h",
    },
    result=("shear_n", "V"),
    source=f"{_POST}: 3227 lb",
    known="read",
    valid="plain concrete, square post away from edges; F 0.55 in older codes, 0.60 later",
    example={
        "strength_factor": 0.55,
        "strength_pa": 2500.0,
        "perimeter_m": 22.0,
        "depth_m": 2.0,
    },
    example_result=3227.0,
    # Print has whole pounds.
    example_within=0.0002,
    printed_in={**_SHEAR_PRINT, "shear_n": "lbf"},
)
def punching_strength_plain(
    *, strength_factor: float, strength_pa: float, perimeter_m: float, depth_m: float
) -> float:
    """Punching shear that a plain slab holds."""
    _hold(
        strength_pa=strength_pa,
        strength_factor=strength_factor,
        perimeter_m=perimeter_m,
        depth_m=depth_m,
    )
    return _shear(
        factor=strength_factor * 8 / 3,
        strength_pa=strength_pa,
        along_m=perimeter_m,
        depth_m=depth_m,
    )


@formula(
    equation="B = 0.65*0.85*fc*A1*min(2, sqrt(A2/A1))",
    symbols={"strength_pa": "fc", "loaded_m2": "A1", "spread_m2": "A2"},
    result=("bearing_n", "B"),
    source=f"{_BOOK}: 1070 kip on the footing, 895 kip in the column",
    known="read",
    valid="A2 is the greatest area of the same shape below, at least A1",
    # 18 in column of 5000 psi; the footing's 1070 is rounded from 1074.
    example={"strength_pa": 5000.0, "loaded_m2": 324.0, "spread_m2": 324.0},
    example_result=895.0,
    printed_in={
        "strength_pa": "psi",
        "loaded_m2": "in2",
        "spread_m2": "in2",
        "bearing_n": "kip",
    },
)
def bearing_strength(*, strength_pa: float, loaded_m2: float, spread_m2: float) -> float:
    """Load that concrete bears under a plate."""
    hold(
        within("strength_pa", strength_pa, above=0, unit="psi"),
        within("loaded_m2", loaded_m2, above=0, unit="in2"),
        within("spread_m2", spread_m2, least=loaded_m2, unit="in2"),
        source=ACI_318,
    )
    spread = min(_MOST_BEARING_RATIO, sqrt(spread_m2 / loaded_m2))
    return 0.65 * 0.85 * strength_pa * loaded_m2 * spread


@formula(
    equation="q = Pu/B^2",
    symbols={"load_n": "Pu", "side_m": "B"},
    result=("pressure_pa", "q"),
    source=f"{_BOOK}: 7.31 ksf",
    known="read",
    valid="square base, load in its middle, even pressure",
    example={"load_n": 912.0, "side_m": 11.17},
    example_result=7.31,
    printed_in={"load_n": "kip", "side_m": "ft", "pressure_pa": "ksf"},
)
def pressure_under_base(*, load_n: float, side_m: float) -> float:
    """Pressure under a square base."""
    hold(
        within("load_n", load_n, least=0, unit="lbf"),
        within("side_m", side_m, above=0, unit="ft"),
        source=WIGHT_MACGREGOR,
    )
    return load_n / side_m**2


@formula(
    equation="Vu = q*(B^2 - s^2)",
    symbols={"pressure_pa": "q", "side_m": "B", "cut_side_m": "s"},
    result=("shear_n", "Vu"),
    source=f"{_BOOK}: 805 kip",
    known="read",
    valid="square base; s is the side of the punched square, at most B",
    example={"pressure_pa": 7.31, "side_m": 11.17, "cut_side_m": 46 / 12},
    example_result=805.0,
    # Print has whole kips: 804.6.
    example_within=0.003,
    printed_in={
        "pressure_pa": "ksf",
        "side_m": "ft",
        "cut_side_m": "ft",
        "shear_n": "kip",
    },
)
def punching_demand(*, pressure_pa: float, side_m: float, cut_side_m: float) -> float:
    """Shear round a column from the pressure outside the punched square."""
    hold(
        within("pressure_pa", pressure_pa, least=0, unit="ksf"),
        within("side_m", side_m, above=0, unit="ft"),
        within("cut_side_m", cut_side_m, above=0, most=side_m, unit="ft"),
        source=WIGHT_MACGREGOR,
    )
    return pressure_pa * (side_m**2 - cut_side_m**2)


@formula(
    equation="Vu = q*B*((B - c)/2 - d)",
    symbols={"pressure_pa": "q", "side_m": "B", "column_m": "c", "depth_m": "d"},
    result=("shear_n", "Vu"),
    source=f"{_BOOK}: 204 kip",
    known="read",
    valid="square base; the line of the cut lies d away from the column and on the base",
    example={"pressure_pa": 7.31, "side_m": 11.17, "column_m": 1.5, "depth_m": 28 / 12},
    example_result=204.0,
    # Print has whole kips: 204.3.
    example_within=0.002,
    printed_in={
        "pressure_pa": "ksf",
        "side_m": "ft",
        "column_m": "ft",
        "depth_m": "ft",
        "shear_n": "kip",
    },
)
def straight_shear_demand(
    *, pressure_pa: float, side_m: float, column_m: float, depth_m: float
) -> float:
    """Shear across a base beside a column."""
    hold(
        within("pressure_pa", pressure_pa, least=0, unit="ksf"),
        within("side_m", side_m, above=0, unit="ft"),
        within("column_m", column_m, above=0, most=side_m, unit="ft"),
        within("depth_m", depth_m, above=0, most=(side_m - column_m) / 2, unit="ft"),
        source=WIGHT_MACGREGOR,
    )
    return pressure_pa * side_m * ((side_m - column_m) / 2 - depth_m)


@formula(
    equation="Ld = fy*D/(20*sqrt(fc))",
    symbols={"yield_pa": "fy", "diameter_m": "D", "strength_pa": "fc"},
    result=("length_m", "Ld"),
    source=f"{_BOOK}: 54.8 in for a 1 in bar; formula from memory, {ACI_318} for #7 and larger",
    known="read",
    valid="uncoated deformed bar of #7 or larger near the bottom, well spaced and covered",
    example={"yield_pa": 60_000.0, "diameter_m": 1.0, "strength_pa": 3000.0},
    example_result=54.8,
    printed_in={
        "yield_pa": "psi",
        "diameter_m": "in",
        "strength_pa": "psi",
        "length_m": "in",
    },
)
def bar_development_length(*, yield_pa: float, diameter_m: float, strength_pa: float) -> float:
    """Length over which a thick bar takes hold in concrete."""
    hold(
        within("yield_pa", yield_pa, above=0, unit="psi"),
        within("diameter_m", diameter_m, above=0, unit="in"),
        within("strength_pa", strength_pa, above=0, unit="psi"),
        source=ACI_318,
    )
    ratio = to_customary(yield_pa, "psi") / (20 * sqrt(to_customary(strength_pa, "psi")))
    return ratio * diameter_m
