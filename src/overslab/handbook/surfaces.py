"""Surfaces through shots: likeness of heights, plus-or-minus, what one more shot brings."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from overslab.ground.estimate import NORMAL_95
from overslab.handbook.working import formula

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]


@formula(
    equation="r = (1 + sqrt(3) * d / l) * exp(-sqrt(3) * d / l)",
    symbols={"distance_m": "d", "length_m": "l"},
    result=("correlation", "r"),
    source="Rasmussen and Williams, Gaussian Processes for Machine Learning (2006), equation 4.17",
    known="memory",
    valid="distance zero or more, length above zero; one number or many",
    example={"distance_m": 1.0, "length_m": 2.0},
    # By the general Matern form of their equation 4.14 with the Bessel function of order 3/2.
    example_result=0.78488765396,
)
def matern_correlation(*, distance_m: float | Floats, length_m: float) -> Floats:
    """Likeness of the departures from a plane at two places a distance apart (Matern, 3/2)."""
    import numpy as np  # only here: it is slow to load

    scaled = np.asarray(distance_m) * (math.sqrt(3.0) / length_m)
    return np.asarray((1.0 + scaled) * np.exp(-scaled))


@formula(
    equation="U = 1.96 * s",
    symbols={"deviation_m": "s"},
    result=("plus_or_minus_m", "U"),
    source="NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.1: two-sided 95 % is 1.96",
    known="memory",
    valid="errors near to normal",
    example={"deviation_m": 0.002},
    example_result=0.00392,
)
def plus_or_minus(*, deviation_m: float) -> float:
    """Half the width of the interval that holds the truth 95 times in 100."""
    return NORMAL_95 * deviation_m


@formula(
    equation="s = sqrt(a^2 + b^2)",
    symbols={"first_m": "a", "second_m": "b"},
    result=("deviation_m", "s"),
    source="JCGM 100:2008 (guide to uncertainty in measurement), equation 10",
    known="memory",
    valid="two errors that have nothing to do with each other",
    example={"first_m": 0.003, "second_m": 0.004},
    example_result=0.005,
)
def combined_deviation(*, first_m: float, second_m: float) -> float:
    """Two independent errors together."""
    return math.hypot(first_m, second_m)


@formula(
    equation="b = abs(q) / 4",
    symbols={"departure_m": "q"},
    result=("miss_m", "b"),
    source="derived: a floor of even curvature shot on a square grid, departure from the eight "
    "neighbours weighted by inverse squared distance",
    known="derived",
    valid="shots about as far apart along the floor as across it",
    # Height x^2 on a unit grid: its neighbours stand 2/3 higher; chords over it miss the integral
    # of x^2 - x over 0 to 1, which is 1/6.
    example={"departure_m": -2 / 3},
    example_result=1 / 6,
)
def missed_by_flat_triangles(*, departure_m: float) -> float:
    """How far the mean height by flat triangles misses a floor that is dished all one way."""
    return abs(departure_m) / 4


@formula(
    equation="t = sqrt(s^2 - c^2 / (v^2 + e^2))",
    symbols={
        "deviation_m3": "s",
        "covariance_m4": "c",
        "place_deviation_m": "v",
        "shot_deviation_m": "e",
    },
    result=("deviation_then_m3", "t"),
    source="conditional normal distribution, Rasmussen and Williams (2006), equation A.6",
    known="memory",
    valid="a volume and a height that are normal together",
    # Two normals of unit variance and correlation 0.6, one of them seen exactly: 1 - 0.36.
    example={
        "deviation_m3": 1.0,
        "covariance_m4": 0.6,
        "place_deviation_m": 1.0,
        "shot_deviation_m": 0.0,
    },
    example_result=0.8,
)
def deviation_after_shot(
    *,
    deviation_m3: float,
    covariance_m4: float,
    place_deviation_m: float,
    shot_deviation_m: float,
) -> float:
    """What is left of a volume's deviation after one more shot at a place."""
    gained = covariance_m4**2 / (place_deviation_m**2 + shot_deviation_m**2)
    return math.sqrt(max(deviation_m3**2 - gained, 0.0))
