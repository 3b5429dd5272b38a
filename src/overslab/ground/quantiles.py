"""Points of chi-square and of Student's t for whole degrees of freedom, by their finite sums.

One call of ``calc`` must not wait for a big library to load, and for whole degrees of freedom both
distributions are sums of a few terms: M. Abramowitz and I. Stegun, Handbook of Mathematical
Functions, 1964, sections 26.4.4, 26.4.5, 26.7.3 and 26.7.4 (from memory; the tests hold the results
against another library).
"""

from __future__ import annotations

from collections.abc import Callable
from math import atan, cos, erfc, exp, lgamma, log, log1p, pi, sin, sqrt
from statistics import NormalDist

_STEPS = 200


def chi_square_quantile(*, probability: float, freedom: int) -> float:
    """The value that chi-square with ``freedom`` degrees stays under with ``probability``."""
    half = freedom / 2.0

    def off(value: float) -> tuple[float, float]:
        density = exp((half - 1.0) * log(value / 2.0) - value / 2.0 - lgamma(half)) / 2.0
        return 1.0 - _chi_square_exceeded(value, freedom) - probability, density

    # Wilson and Hilferty's cube is near; where it fails, the lowest values, start at the mean.
    root = 1.0 - 2.0 / (9.0 * freedom)
    root += NormalDist().inv_cdf(probability) * sqrt(2.0 / (9.0 * freedom))
    return _root(off, start=freedom * root**3 if root > 0.0 else float(freedom))


def student_quantile(*, probability: float, freedom: int) -> float:
    """The value that Student's t with ``freedom`` degrees stays under; ``probability`` > 1/2."""
    scale = lgamma((freedom + 1) / 2.0) - lgamma(freedom / 2.0) - log(freedom * pi) / 2.0

    def off(value: float) -> tuple[float, float]:
        density = exp(scale - (freedom + 1) / 2.0 * log1p(value * value / freedom))
        return (1.0 + _student_within(value, freedom)) / 2.0 - probability, density

    return _root(off, start=NormalDist().inv_cdf(probability))


def _chi_square_exceeded(value: float, freedom: int) -> float:
    """From the last term of the sum down: the first ones vanish at many degrees of freedom."""
    half, power = value / 2.0, freedom / 2.0 - 1.0
    total = erfc(sqrt(half)) if freedom % 2 else 0.0
    if power < 0.0:
        return total
    term = exp(power * log(half) - half - lgamma(power + 1.0))
    while power > -0.25 and term > 0.0:
        total += term
        term *= power / half
        power -= 1.0
    return total


def _student_within(value: float, freedom: int) -> float:
    """The chance that t lies between ``-value`` and ``value``."""
    angle = atan(value / sqrt(freedom))
    square = cos(angle) ** 2
    if freedom % 2 == 0:
        term = total = 1.0
        for place in range(1, freedom // 2):
            term *= square * (2 * place - 1) / (2 * place)
            total += term
        return sin(angle) * total
    term = total = 0.0 if freedom == 1 else cos(angle)
    for place in range(1, (freedom - 1) // 2):
        term *= square * (2 * place) / (2 * place + 1)
        total += term
    return 2.0 / pi * (angle + sin(angle) * total)


def _root(off: Callable[[float], tuple[float, float]], *, start: float) -> float:
    """Newton's steps between bounds that close in, for a rising function of what is above zero."""
    low, high, value = 0.0, float("inf"), start
    for _ in range(_STEPS):
        wrong, density = off(value)
        low, high = (value, high) if wrong < 0.0 else (low, value)
        after = value - wrong / density if density > 0.0 else low
        if not low < after < high:
            after = (low + high) / 2.0 if high < float("inf") else 2.0 * value
        if abs(after - value) <= 1e-13 * value:
            return after
        value = after
    return value
