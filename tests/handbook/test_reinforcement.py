"""Steel against shrinkage: drag, bars, ratio."""

from __future__ import annotations

from math import pi

import pytest
from as_printed import answer
from hypothesis import given
from hypothesis import strategies as st

from overslab.ground.faults import Faulty
from overslab.ground.units import to_customary
from overslab.handbook import reinforcement as steel

# CRSI Engineering Data Report 37: 8 in slab, friction 1.5, 100 psf, 2/3 of 60 000 psi.
CRSI = {"friction": 1.5, "weight_pa": 100.0, "steel_stress_pa": 40_000.0}


def test_d1_drag_steel():
    got = answer(steel.subgrade_drag_steel, **CRSI, length_m=24.0)
    assert got == pytest.approx(0.045, abs=0.0005)


def test_d4_twice_as_long_recomputed():
    # Not in the readable part of the report: recomputed only.
    assert answer(steel.subgrade_drag_steel, **CRSI, length_m=48.0) == pytest.approx(0.090)


def test_two_thirds_of_the_yield():
    assert answer(steel.working_steel_stress, yield_pa=60_000.0) == pytest.approx(40_000)


@pytest.mark.parametrize(("spacing", "printed"), [(29.0, 0.046), (18.0, 0.073)])
def test_d3_bars(spacing, printed):
    # CRSI: #3 at 29 in and, for the 18 in limit, at 18 in.
    area = next(row["area_m2"] for row in steel.BARS.si_rows if row["bar"] == "#3")
    got = answer(steel.bar_steel, bar_m2=to_customary(area, "in2"), spacing_m=spacing)
    assert got == pytest.approx(printed, abs=0.0006)
    passes = steel.BAR_SPACING[0].check(found=spacing * 0.0254).passes
    assert passes == (spacing <= 18)


def test_d5_ratio():
    # UFC 3-260-03 ch. 6: two #3 in 12 by 12 in, 0.221 in2, 144 in2, 0.153 %.
    two_bars = 2 * pi / 4 * (3 / 8) ** 2
    assert two_bars == pytest.approx(0.221, abs=0.0005)
    got = answer(steel.steel_ratio, steel_m2=two_bars, concrete_m2=144.0)
    assert got == pytest.approx(0.153, rel=0.003)


def test_ratio_asked_of_a_four_inch_slab():
    # Recomputed: 0.15 % of 4 in.
    got = answer(steel.steel_of_ratio, steel_share=0.15, slab_thickness_m=4.0)
    assert got == pytest.approx(0.072)


@given(
    friction=st.floats(0.1, 50), length=st.floats(1, 60), weight=st.floats(500, 10_000),
    stress=st.floats(1e8, 4e8),
)  # fmt: skip
def test_the_steel_holds_the_drag_of_half_a_panel(friction, length, weight, stress):
    """Force in the steel is friction times the weight of half the panel, a width of 1 m."""
    area = steel.subgrade_drag_steel(
        friction=friction, length_m=length, weight_pa=weight, steel_stress_pa=stress
    )
    assert area * stress == pytest.approx(friction * weight * length / 2)


def test_a_spacing_of_nothing_is_refused():
    with pytest.raises(Faulty):
        steel.bar_steel(bar_m2=7e-5, spacing_m=0.0)
