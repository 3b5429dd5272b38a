"""Falls: slopes of a floor and what follows from them. Slopes are m/m, everything else SI."""

from __future__ import annotations

import math

from overslab.handbook.working import formula

# Range of floors that are struck by hand with an ordinary mix: one maker's reference gives a 6 %
# ceiling for a straightedge; beyond it a stiffer mix is needed (trade reference, read second hand).
STRUCK_BY_HAND_LIMIT = 0.06


@formula(
    equation="s = d / L",
    symbols={"drop_m": "d", "run_m": "L"},
    result=("slope", "s"),
    source="definition; Concrete International, Concrete Patio Slope: 1/4 in per ft is 1:48",
    known="read",
    valid="run above zero",
    example={"drop_m": 0.00635, "run_m": 0.3048},
    example_result=1 / 48,
)
def slope_of_drop(*, drop_m: float, run_m: float) -> float:
    """Slope from a drop over a run."""
    return drop_m / run_m


@formula(
    equation="d = s * L",
    symbols={"slope": "s", "run_m": "L"},
    result=("drop_m", "d"),
    source="Concrete Construction, How much should concrete fall?: 1/8 in/ft, 1-1/4 in in 10 ft",
    known="read",
    valid="any slope and run",
    example={"slope": 1 / 96, "run_m": 3.048},
    example_result=0.03175,
)
def drop_over_run(*, slope: float, run_m: float) -> float:
    """How far a floor falls over a run."""
    return slope * run_m


@formula(
    equation="s = sqrt(a^2 + c^2)",
    symbols={"along": "a", "across": "c"},
    result=("slope", "s"),
    source="Concrete Construction, 1/2 plus 1/2 doesn't equal 1: 0.5 % and 0.5 % make 0.71 %",
    known="read",
    valid="two slopes at right angles",
    example={"along": 0.005, "across": 0.005},
    example_result=0.0070710678,
)
def resultant_fall(*, along: float, across: float) -> float:
    """True slope of a plane from its slopes in two directions at right angles; they never add."""
    return math.hypot(along, across)


@formula(
    equation="w = (a + c) - (b + d)",
    symbols={
        "first_corner_m": "a",
        "second_corner_m": "b",
        "third_corner_m": "c",
        "fourth_corner_m": "d",
    },
    result=("twist_m", "w"),
    source="trade practice for warped bays; corners 0, 1/2, 2, 1/2 in in round twist by 1 in",
    known="common practice",
    valid="four corners taken in order round the bay",
    example={
        "first_corner_m": 0.0,
        "second_corner_m": 0.0127,
        "third_corner_m": 0.0508,
        "fourth_corner_m": 0.0127,
    },
    example_result=0.0254,
)
def twist_of_bay(
    *,
    first_corner_m: float,
    second_corner_m: float,
    third_corner_m: float,
    fourth_corner_m: float,
) -> float:
    """How far four corners of a bay are from lying in one plane."""
    return (first_corner_m + third_corner_m) - (second_corner_m + fourth_corner_m)


@formula(
    equation="e = |w| / 4",
    symbols={"twist_m": "w"},
    result=("difference_m", "e"),
    source="trade practice: twist of 1 in leaves 1/4 in between a ruled middle and either fold",
    known="derived",
    valid="a ruled surface against the fold along one diagonal, at the middle of the bay",
    example={"twist_m": 0.0254},
    example_result=0.00635,
)
def doubt_in_middle(*, twist_m: float) -> float:
    """How far two workmen may differ in the middle of a twisted bay."""
    return abs(twist_m) / 4


@formula(
    equation="s = pi * g / L",
    symbols={"gap_m": "g", "wave_m": "L"},
    result=("slope", "s"),
    source="derivative of z = (g / 2) * sin(2 * pi * x / L), whose hollow is g deep",
    known="derived",
    valid="a sine wave of length L, hollow g deep from crest to trough",
    example={"gap_m": 0.003175, "wave_m": 3.048},
    example_result=0.0032724923,
)
def slope_of_wave(*, gap_m: float, wave_m: float) -> float:
    """Steepest slope hidden in a wave that a straightedge allows; a fall below it can pond."""
    return math.pi * gap_m / wave_m


@formula(
    equation="e = m / L",
    symbols={"mark_m": "m", "spacing_m": "L"},
    result=("slope", "e"),
    source="two pads, each rounded by at most half a mark, a spacing apart",
    known="derived",
    valid="neighbouring pads on one line",
    example={"mark_m": 0.003175, "spacing_m": 3.048},
    example_result=1 / 960,
)
def slope_of_rounding(*, mark_m: float, spacing_m: float) -> float:
    """How much slope rounding to settable marks can give or take between two pads."""
    return mark_m / spacing_m


@formula(
    equation="t = t0 + L * (p + q)",
    symbols={"least_thickness_m": "t0", "run_m": "L", "old_slope": "p", "new_slope": "q"},
    result=("thickness_m", "t"),
    source="trade practice: 20 ft with 1/8 in/ft the wrong way and 1/8 in/ft wanted is 5 in extra",
    known="common practice",
    valid="an old floor that falls away from the outlet by p, a new one toward it by q",
    example={
        "least_thickness_m": 0.0,
        "run_m": 6.096,
        "old_slope": 1 / 96,
        "new_slope": 1 / 96,
    },
    example_result=0.127,
)
def thickness_at_back(
    *, least_thickness_m: float, run_m: float, old_slope: float, new_slope: float
) -> float:
    """Thickness at the far wall over an old floor that runs the wrong way."""
    return least_thickness_m + run_m * (old_slope + new_slope)


@formula(
    equation="G = C0 - C1",
    symbols={"optimum_cost": "C0", "relaxed_cost": "C1"},
    result=("saved_cost", "G"),
    source="two linear programmes that differ in one limit",
    known="derived",
    valid="same choices of what is moved; at most the dual value times the step (convexity)",
    example={"optimum_cost": 864.0, "relaxed_cost": 835.2},
    example_result=28.8,
)
def saving_of_giving_way(*, optimum_cost: float, relaxed_cost: float) -> float:
    """Money saved when one rule gives way by one step and the top is solved again."""
    return optimum_cost - relaxed_cost
