"""The chapter on surfaces against scikit-learn, scipy and sums worked another way."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm
from sklearn.gaussian_process.kernels import Matern

from overslab.handbook.surfaces import (
    combined_deviation,
    deviation_after_shot,
    matern_correlation,
    missed_by_flat_triangles,
    plus_or_minus,
)


def test_matern_is_scikit_learns_over_the_whole_range() -> None:
    distance = np.concatenate([[0.0], np.geomspace(1e-6, 200, 60)])
    for length in (0.05, 1.7, 40.0):
        kernel = Matern(length_scale=length, nu=1.5)
        theirs = kernel(np.zeros((1, 1)), distance[:, None])[0]
        ours = matern_correlation(distance_m=distance, length_m=length)
        assert ours == pytest.approx(theirs, rel=1e-9, abs=1e-300)
        assert ours[0] == 1
        assert (np.diff(ours) <= 0).all()


def test_ninety_five_in_a_hundred() -> None:
    half = plus_or_minus(deviation_m=0.003)
    assert norm.cdf(half, scale=0.003) - norm.cdf(-half, scale=0.003) == pytest.approx(0.95)


@given(
    first=st.floats(0.1, 10),
    second=st.floats(0.1, 10),
    likeness=st.floats(-0.99, 0.99),
    shot=st.floats(0, 5),
)
def test_one_more_shot_is_the_conditional_normal(
    first: float, second: float, likeness: float, shot: float
) -> None:
    crossed = likeness * first * second
    both = np.array([[first**2, crossed], [crossed, second**2 + shot**2]])
    # The conditional variance is one over the first entry of the inverse.
    expected = 1 / np.sqrt(np.linalg.inv(both)[0, 0])
    found = deviation_after_shot(
        deviation_m3=first,
        covariance_m4=crossed,
        place_deviation_m=second,
        shot_deviation_m=shot,
    )
    assert found == pytest.approx(expected, rel=1e-6)
    assert found <= first
    assert combined_deviation(first_m=first, second_m=second) >= max(first, second)


def test_flat_triangles_over_an_even_dish_miss_a_quarter_of_the_departure() -> None:
    # x^2 + y^2 / 2 on a unit grid: triangles over a cell, and the eight neighbours weighted by
    # inverse squared distance, both summed by hand.
    def dish(x: float, y: float) -> float:
        return x**2 + y**2 / 2

    corners = [dish(0, 0), dish(1, 0), dish(1, 1), dish(0, 1)]
    by_triangles = (corners[0] + corners[1] + corners[2]) / 6
    by_triangles += (corners[0] + corners[2] + corners[3]) / 6
    exact = 1 / 3 + 1 / 6
    around = [(x, y) for x in (-1, 0, 1) for y in (-1, 0, 1) if (x, y) != (0, 0)]
    pull = np.array([1 / (x**2 + y**2) for x, y in around])
    departure = 0 - np.average([dish(x, y) for x, y in around], weights=pull)
    found = missed_by_flat_triangles(departure_m=float(departure))
    assert found == pytest.approx(by_triangles - exact)
