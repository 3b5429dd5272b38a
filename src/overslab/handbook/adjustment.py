"""Least squares and gross errors: unit weight, standardized residuals, critical values.

Whatever is weighed and counted has no unit here unless its name says so.
"""

from __future__ import annotations

from math import sqrt
from statistics import NormalDist

from overslab.ground.quantiles import chi_square_quantile, student_quantile
from overslab.handbook.working import formula

_SNOOPING = "Data snooping as printed on a public survey help page; W. Baarda 1968"


@formula(
    equation="S0 = √(V/(m − n))",
    symbols={"weighted_squares": "V", "readings": "m", "unknowns": "n"},
    result=("unit_weight_deviation", "S0"),
    source=(
        "P. Wolf and C. Ghilani, Adjustment Computations, 4th ed. 2006, example 12.1: "
        "vᵀWv 1.26976 from rounded residuals; 1.27212 and S0 0.65118 recomputed"
    ),
    known="read",
    valid="m > n; near 1 when weights are 1/σ² and the σ are true",
    example={"weighted_squares": 1.27212, "readings": 6, "unknowns": 3},
    example_result=0.65118,
)
def unit_weight_deviation(*, weighted_squares: float, readings: int, unknowns: int) -> float:
    """How big the residuals are for what was expected of them: 1 is as expected."""
    return sqrt(weighted_squares / (readings - unknowns))


@formula(
    equation="S = √(χ²(P, f)/f)",
    symbols={"probability": "P", "redundancy": "f"},
    result=("unit_weight_limit", "S"),
    source="chi-square distribution; 5 degrees of freedom, 95 %: 0.408 to 1.602",
    known="derived",
    valid="residuals are normal; f at least 1",
    example={"probability": 0.975, "redundancy": 5},
    example_result=1.602,
)
def unit_weight_limit(*, probability: float, redundancy: int) -> float:
    """The value that the standard deviation of unit weight stays under with a probability."""
    return sqrt(chi_square_quantile(probability=probability, freedom=redundancy) / redundancy)


@formula(
    equation="w = v/(σ·√r)",
    symbols={"residual_m": "v", "deviation_m": "σ", "redundancy_number": "r"},
    result=("standardized_residual", "w"),
    source=(
        f"{_SNOOPING}; network levelled both ways in the sample output of GNU Gama 1.5.09: "
        "largest 1.68 at the sixth reading"
    ),
    known="read",
    valid="0 < r ≤ 1; a reading with r = 0 is checked by nothing",
    # Sixth reading of that network: 2 -> 3 read -1.335. Four lines each measured there and back, so
    # r = 1 - 3/8, and v is 6.625 mm in size by dense least squares.
    example={"residual_m": 0.006625, "deviation_m": 0.005, "redundancy_number": 0.625},
    example_result=1.676,
)
def standardized_residual(
    *, residual_m: float, deviation_m: float, redundancy_number: float
) -> float:
    """A residual measured in its own standard deviation."""
    return residual_m / (deviation_m * sqrt(redundancy_number))


@formula(
    equation="k = Φ⁻¹(1 − α/2)",
    symbols={"significance": "α"},
    result=("critical", "k"),
    source="W. Baarda, A testing procedure for use in geodetic networks, 1968: 3.29 at 0.001",
    known="memory",
    valid="0 < α < 1; two-sided test of one reading with a known standard deviation",
    example={"significance": 0.001},
    example_result=3.29,
)
def baarda_critical(*, significance: float) -> float:
    """The standardized residual above which a reading is questioned."""
    return NormalDist().inv_cdf(1.0 - significance / 2.0)


@formula(
    equation="δ = Φ⁻¹(1 − α/2) + Φ⁻¹(P)",
    symbols={"significance": "α", "power": "P"},
    result=("noncentrality", "δ"),
    source="W. Baarda 1968: 4.13 for a test at 0.001 with power 0.80",
    known="memory",
    valid="0 < α < 1, 0 < P < 1",
    example={"significance": 0.001, "power": 0.80},
    example_result=4.13,
)
def baarda_noncentrality(*, significance: float, power: float) -> float:
    """How many standard deviations a slip must measure to be found with a given power."""
    return baarda_critical(significance=significance) + NormalDist().inv_cdf(power)


@formula(
    equation="MDB = δ·σ/√r",
    symbols={"noncentrality": "δ", "deviation_m": "σ", "redundancy_number": "r"},
    result=("least_slip_m", "MDB"),
    source=_SNOOPING,
    known="read",
    valid="0 < r ≤ 1; where r = 0 no slip of any size can be found",
    # A point shot twice has r = 1/2; σ 1 mm and δ 4.13 by hand: 4.13·√2.
    example={"noncentrality": 4.13, "deviation_m": 0.001, "redundancy_number": 0.5},
    example_result=0.005841,
)
def least_detectable_slip(
    *, noncentrality: float, deviation_m: float, redundancy_number: float
) -> float:
    """The smallest slip in one reading that the other readings would show."""
    return noncentrality * deviation_m / sqrt(redundancy_number)


@formula(
    equation="τ = √f·t/√(f − 1 + t²), t = t(1 − α/2; f − 1)",
    symbols={"redundancy": "f", "significance": "α"},
    result=("critical", "τ"),
    source="A. J. Pope 1976, tau distribution; f 5, α 0.05: 1.8143 (recomputed)",
    known="memory",
    valid="f at least 2; t is Student's t at 1 − α/2 with f − 1 degrees; σ not known beforehand",
    example={"redundancy": 5, "significance": 0.05},
    example_result=1.8143,
)
def tau_critical(*, redundancy: int, significance: float) -> float:
    """The limit of a standardized residual whose σ was taken from the same residuals."""
    t = student_quantile(probability=1.0 - significance / 2.0, freedom=redundancy - 1)
    return sqrt(redundancy) * t / sqrt(redundancy - 1 + t * t)
