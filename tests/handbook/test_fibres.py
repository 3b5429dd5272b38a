"""Doses of fibre against the association's number and arithmetic."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from overslab.ground.faults import Faulty
from overslab.ground.units import to_customary
from overslab.handbook.fibres import FIBRE_ADVICE, fibre_dose
from overslab.handbook.limits import limits_for


def test_fibrillated_fibre_for_light_wire():
    # Fiber Reinforced Concrete Association: 1.5 lb/yd3 (0.9 kg/m3).
    (limit,) = limits_for("fibrillated fibre")
    assert to_customary(limit.value, "lb/yd3") == pytest.approx(1.5)
    assert limit.value == pytest.approx(0.9, abs=0.02)


def test_dose_by_volume():
    # By hand: 0.2 % of polypropylene of 0.91 is 1.82 kg/m3 or 3.07 lb/yd3.
    got = fibre_dose(fibre_share=0.002, specific_gravity=0.91)
    assert got == pytest.approx(1.82)
    assert to_customary(got, "lb/yd3") == pytest.approx(3.07, abs=0.02)


def test_usual_doses_are_marked_as_remembered():
    for kind, ends in (
        ("micro fibre", (0.5, 1.5)),
        ("macro fibre", (3.0, 8.0)),
        ("steel fibre", (20.0, 60.0)),
    ):
        found = limits_for(kind)
        pounds = [to_customary(limit.value, "lb/yd3") for limit in found]
        assert pounds == pytest.approx(ends)
        assert {limit.known for limit in found} == {"memory"}
        assert [limit.bound for limit in found] == ["at least", "at most"]


def test_thin_fibre_against_plastic_cracks():
    # Literature statement: 0.2 to 0.4 % by volume.
    found = limits_for("plastic cracking and fibre")
    assert [limit.value for limit in found] == [0.002, 0.004]


@given(share=st.floats(0.0, 0.03), gravity=st.floats(0.5, 8.0))
def test_the_dose_is_in_step_with_volume_and_gravity(share, gravity):
    dose = fibre_dose(fibre_share=share, specific_gravity=gravity)
    assert dose >= 0
    assert fibre_dose(fibre_share=share / 2, specific_gravity=gravity) == pytest.approx(dose / 2)


def test_ten_percent_of_fibre_is_a_slip():
    with pytest.raises(Faulty):
        fibre_dose(fibre_share=0.10)


def test_what_fibres_do_not_do_is_said():
    told = " ".join(advice.says for advice in FIBRE_ADVICE)
    assert "do not replace joints" in told
    assert "little or no strength" in told
