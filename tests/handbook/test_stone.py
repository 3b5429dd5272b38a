"""Largest stone against both sources."""

from __future__ import annotations

import pytest
from as_printed import answer
from hypothesis import given
from hypothesis import strategies as st

from overslab.ground.faults import Faulty
from overslab.ground.units import to_si
from overslab.handbook.stone import largest_stone_aci_318, largest_stone_ufgs_03700

inches = st.floats(0.5, 24.0).map(lambda inch: to_si(inch, "in"))


def test_a_third_of_the_slab():
    # ACI FAQ 754 quoting ACI 318-19, 26.4.2.1(a)(5): 4 in -> 1.33 in; 3 in -> 1.0 in.
    assert answer(largest_stone_aci_318, slab_thickness_m=4.0) == pytest.approx(1.33, abs=0.005)
    assert answer(largest_stone_aci_318, slab_thickness_m=3.0) == pytest.approx(1.0)


def test_the_federal_guide_is_stricter_to_4_in():
    # UFGS 03700: slabs 4 in or thinner 3/4 in.
    assert answer(largest_stone_ufgs_03700, slab_thickness_m=4.0) == pytest.approx(0.75)
    assert answer(largest_stone_ufgs_03700, slab_thickness_m=4.5) == pytest.approx(1.5)
    # At the thin end of a wedge the third governs.
    assert answer(largest_stone_ufgs_03700, slab_thickness_m=1.5) == pytest.approx(0.5)
    typed = 4 * 254 / 10_000
    assert largest_stone_ufgs_03700(slab_thickness_m=typed) == pytest.approx(0.01905)


@given(form=inches, slab=inches, gap=inches)
def test_the_least_of_three(form, slab, gap):
    got = largest_stone_aci_318(
        narrowest_form_m=form, slab_thickness_m=slab, clear_bar_spacing_m=gap
    )
    assert got == pytest.approx(sorted([form / 5, slab / 3, gap * 0.75])[0])
    assert largest_stone_ufgs_03700(slab_thickness_m=slab) <= slab / 3 * 1.000001


def test_nothing_given_and_nothing_there_are_refused():
    with pytest.raises(Faulty):
        largest_stone_aci_318()
    with pytest.raises(Faulty) as caught:
        largest_stone_aci_318(narrowest_form_m=0.0, slab_thickness_m=-0.1)
    assert len(caught.value.faults) == 2
