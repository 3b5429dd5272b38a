"""Points of chi-square and Student's t against scipy, and against their printed tables."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from overslab.ground.quantiles import chi_square_quantile, student_quantile


@pytest.mark.parametrize(
    ("probability", "freedom", "printed"),
    # NIST/SEMATECH e-Handbook of Statistical Methods, section 1.3.6.7.4, upper critical values
    # and lower critical values of the chi-square distribution (from memory).
    [
        (0.95, 1, 3.841),
        (0.99, 10, 23.209),
        (0.975, 5, 12.833),
        (0.025, 5, 0.831),
        (0.95, 30, 43.773),
    ],
)
def test_chi_square_as_printed(probability: float, freedom: int, printed: float) -> None:
    ours = chi_square_quantile(probability=probability, freedom=freedom)
    assert ours == pytest.approx(printed, abs=0.0006)


@pytest.mark.parametrize(
    ("probability", "freedom", "printed"),
    # The same, section 1.3.6.7.2, upper critical values of Student's t (from memory).
    [(0.975, 1, 12.706), (0.95, 2, 2.920), (0.975, 10, 2.228), (0.995, 30, 2.750)],
)
def test_student_as_printed(probability: float, freedom: int, printed: float) -> None:
    ours = student_quantile(probability=probability, freedom=freedom)
    assert ours == pytest.approx(printed, abs=0.0006)


@given(freedom=st.integers(1, 4000), probability=st.floats(1e-6, 1.0 - 1e-6))
def test_chi_square_against_scipy(freedom: int, probability: float) -> None:
    ours = chi_square_quantile(probability=probability, freedom=freedom)
    assert ours == pytest.approx(float(stats.chi2.ppf(probability, freedom)), rel=1e-6)


@given(freedom=st.integers(1, 4000), probability=st.floats(0.501, 1.0 - 1e-6))
def test_student_against_scipy(freedom: int, probability: float) -> None:
    ours = student_quantile(probability=probability, freedom=freedom)
    assert ours == pytest.approx(float(stats.t.ppf(probability, freedom)), rel=1e-6)
