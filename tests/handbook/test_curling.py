"""Bradbury's curling stresses against print and against their limits."""

from __future__ import annotations

from itertools import pairwise
from math import cos, cosh, sin, sinh, tan, tanh

import pytest
from as_printed import answer

from overslab.ground.faults import Faulty
from overslab.handbook import curling

# Huang, Pavement Analysis and Design, 2nd ed. 2004, example 4.1 (second hand).
HUANG = {"modulus_pa": 4e6, "expansion_per_c": 5e-6, "difference_c": 20.0}


def coefficient(ratio: float) -> float:
    return curling.bradbury_coefficient(length_m=ratio, stiffness_radius_m=1.0)


def test_c1a_curling_with_the_coefficients_of_the_chart():
    inside = answer(
        curling.curling_interior_stress,
        **HUANG,
        poisson=0.15,
        along_coefficient=1.07,
        across_coefficient=0.63,
    )
    assert inside == pytest.approx(238, rel=0.003)
    edge = answer(curling.curling_edge_stress, **HUANG, coefficient=1.07)
    assert edge == pytest.approx(214, rel=0.003)


def test_corner_stress_recomputed():
    # Inputs of a 9 in slab at 1 F an inch; no printed answer, recomputed only.
    got = answer(
        curling.curling_corner_stress,
        modulus_pa=5e6,
        expansion_per_c=5e-6,
        difference_c=9.0,
        poisson=0.15,
        contact_radius_m=5.9,
        stiffness_radius_m=35.3,
    )
    assert got == pytest.approx(36.1, abs=0.05)


@pytest.mark.parametrize(("ratio", "printed"), [(6.7, 1.0), (8.5, 1.084)])
def test_c2_landmarks_of_the_chart(ratio, printed):
    """The values are held, not the place of the maximum: print puts it at 8.5, it lies at 8.89."""
    assert coefficient(ratio) == pytest.approx(printed, rel=0.005)


def test_the_maximum_lies_beyond_where_print_puts_it():
    # Recomputed on the closed form: 1.0863 at L/l = 8.89.
    places = [8.0 + step / 100 for step in range(201)]
    best = max(places, key=coefficient)
    assert best == pytest.approx(8.89, abs=0.015)
    assert coefficient(best) == pytest.approx(1.0863, abs=0.00005)


@pytest.mark.parametrize("x", [0.2, 0.7, 1.3, 2.4, 4.1, 6.0])
def test_the_form_without_poles_is_the_form_as_written(x):
    written = 1 - 2 * cos(x) * cosh(x) * (tan(x) + tanh(x)) / (sin(2 * x) + sinh(2 * x))
    assert coefficient(x * 8**0.5) == pytest.approx(written, abs=1e-12)


def test_short_panels_are_free_and_long_ones_held():
    rising = [coefficient(ratio / 10) for ratio in range(5, 88)]
    assert all(one < other for one, other in pairwise(rising))
    assert coefficient(0.1) == pytest.approx(0.0, abs=1e-5)
    assert coefficient(40.0) == pytest.approx(1.0, abs=1e-4)
    assert all(0 <= coefficient(ratio / 4) < 1.087 for ratio in range(1, 160))


def test_a_night_turns_the_sign():
    day = answer(curling.curling_edge_stress, **HUANG, coefficient=0.8)
    night = answer(curling.curling_edge_stress, **{**HUANG, "difference_c": -20.0}, coefficient=0.8)
    assert day == pytest.approx(-night)
    assert day > 0


def test_a_panel_beyond_the_chart_is_refused():
    with pytest.raises(Faulty):
        coefficient(41.0)
