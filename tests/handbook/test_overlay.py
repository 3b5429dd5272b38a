"""Overlay equations against print, closed forms, and each other."""

from __future__ import annotations

from itertools import pairwise

import pytest
from as_printed import answer
from hypothesis import given
from hypothesis import strategies as st

from overslab.ground.faults import Faulty
from overslab.ground.units import to_si
from overslab.handbook import overlay, overlay_others

CORPS = {
    "needed": (overlay.overlay_corps_2001_partly_bonded, overlay.overlay_corps_2001_unbonded),
    "turned": (
        overlay.equivalent_ufc_2001_partly_bonded,
        overlay.equivalent_ufc_2001_unbonded,
    ),
}
thickness = st.floats(0.05, 0.6)
condition = st.sampled_from([0.35, 0.5, 0.75, 1.0])


def test_o1_partly_bonded_overlay_of_a_shattered_airfield_slab():
    # UFC 3-260-02 ch. 17, reinforced-overlay example (a): 478 mm; the printed 19.0 in is rounded up
    # and is not what is held here.
    got = answer(
        overlay.overlay_corps_2001_partly_bonded,
        new_strength_thickness_m=20.5,
        old_strength_thickness_m=22.6,
        old_thickness_m=10.0,
        condition=0.35,
    )
    assert got * 25.4 == pytest.approx(478, rel=0.005)
    metric = overlay.overlay_corps_2001_partly_bonded(
        new_strength_thickness_m=0.521,
        old_strength_thickness_m=0.574,
        old_thickness_m=0.254,
        condition=0.35,
    )
    assert metric * 1000 == pytest.approx(478, rel=0.005)


@pytest.mark.parametrize(("factor", "inches"), [(1.00, 15.64), (0.75, 16.26), (0.35, 17.21)])
def test_unbonded_overlay_recomputed(factor, inches):
    # Inputs of the nonbonded example of UFC 3-260-02; its answer is lost, these are recomputed.
    got = answer(
        overlay.overlay_corps_2001_unbonded,
        new_strength_thickness_m=18.0,
        old_strength_thickness_m=19.2,
        old_thickness_m=9.5,
        condition=factor,
    )
    assert got == pytest.approx(inches, abs=0.005)


def test_o3_asphalt_over_concrete():
    # FAA AC 150/5320-6D: printed 3.82 in (97 mm).
    got = answer(
        overlay_others.asphalt_overlay_faa_1995,
        control=0.93,
        needed_thickness_m=13.9,
        condition=0.95,
        old_thickness_m=12.0,
    )
    assert got == pytest.approx(3.82, rel=0.003)
    assert round(got * 25.4) == 97


def test_o4_slab_under_asphalt():
    # UFC 3-260-03 equation 6-6: printed 9.2 in (234 mm).
    got = answer(
        overlay_others.equivalent_ufc_2001_under_asphalt,
        control=0.793,
        asphalt_thickness_m=4.0,
        condition=1.0,
        old_thickness_m=6.0,
    )
    assert got == pytest.approx(9.2, rel=0.005)
    assert round(got * 25.4) == 234


def test_aashto_recomputed():
    # No published example; recomputed from the inputs, checks of the algebra only.
    left = answer(
        overlay_others.effective_aashto_1993_unbonded, joints_factor=0.95, old_thickness_m=6.0
    )
    got = answer(
        overlay_others.overlay_aashto_1993_unbonded,
        needed_thickness_m=9.0,
        effective_thickness_m=left,
    )
    assert got == pytest.approx(6.96, abs=0.005)
    left = answer(
        overlay_others.effective_aashto_1993_bonded,
        joints_factor=0.95,
        durability_factor=0.98,
        fatigue_factor=1.0,
        old_thickness_m=6.0,
    )
    got = answer(
        overlay_others.overlay_aashto_1993_bonded,
        needed_thickness_m=9.0,
        effective_thickness_m=left,
    )
    assert got == pytest.approx(3.41, abs=0.005)


def test_of_a_thick_old_slab_only_ten_inches_count_when_unbonded():
    counted = [
        answer(
            overlay_others.effective_aashto_1993_unbonded, joints_factor=1.0, old_thickness_m=inches
        )
        for inches in (8.0, 10.0, 14.0)
    ]
    assert counted == pytest.approx([8.0, 10.0, 10.0])


@given(new=thickness, old=thickness, factor=condition)
@pytest.mark.parametrize("kind", [0, 1])
def test_turned_round_it_gives_the_needed_slab_back(kind, new, old, factor):
    """Equal strengths: what overlay and base are worth together is what was needed."""
    over = CORPS["needed"][kind](
        new_strength_thickness_m=new,
        old_strength_thickness_m=new,
        old_thickness_m=old,
        condition=factor,
    )
    worth = CORPS["turned"][kind](overlay_thickness_m=over, old_thickness_m=old, condition=factor)
    if over > 0:
        assert worth == pytest.approx(new, rel=1e-9)
    else:
        assert worth >= new * (1 - 1e-12)


@given(needed=thickness, old=thickness, factor=condition)
def test_the_aviation_rule_is_the_military_rule_at_equal_strengths(needed, old, factor):
    for military, aviation in zip(
        CORPS["needed"],
        (
            overlay_others.overlay_faa_1995_direct,
            overlay_others.overlay_faa_1995_over_leveling_course,
        ),
        strict=True,
    ):
        assert aviation(
            needed_thickness_m=needed, old_thickness_m=old, condition=factor
        ) == pytest.approx(
            military(
                new_strength_thickness_m=needed,
                old_strength_thickness_m=needed,
                old_thickness_m=old,
                condition=factor,
            ),
            abs=1e-12,
        )


@given(needed=thickness, old=thickness)
def test_the_better_it_is_bonded_the_thinner_it_may_be(needed, old):
    bonded = overlay.overlay_corps_2001_bonded(needed_thickness_m=needed, old_thickness_m=old)
    partly, loose = (
        rule(
            new_strength_thickness_m=needed,
            old_strength_thickness_m=needed,
            old_thickness_m=old,
            condition=1.0,
        )
        for rule in CORPS["needed"]
    )
    assert 0 <= bonded <= partly + 1e-12
    assert partly <= loose + 1e-12
    assert loose <= needed + 1e-12


@pytest.mark.parametrize("rule", CORPS["needed"])
def test_worse_old_slabs_and_thinner_ones_ask_for_more(rule):
    given_needs = {"new_strength_thickness_m": 0.2, "old_strength_thickness_m": 0.22}
    by_condition = [
        rule(**given_needs, old_thickness_m=0.1, condition=factor) for factor in (1.0, 0.75, 0.35)
    ]
    by_old = [
        rule(**given_needs, old_thickness_m=old, condition=0.75) for old in (0.3, 0.15, 0.1, 0.0)
    ]
    for values in (by_condition, by_old):
        assert all(earlier < later for earlier, later in pairwise(values))
    assert by_old[-1] == pytest.approx(0.2)


def test_a_topping_thinner_than_its_base_lies_outside_the_tests():
    inch = to_si(1, "in")
    assert not overlay.tested_sections(
        overlay_thickness_m=3 * inch, old_thickness_m=4 * inch
    ).passes
    assert overlay.tested_sections(overlay_thickness_m=6 * inch, old_thickness_m=6 * inch).passes


def test_all_that_is_wrong_is_told_at_once():
    with pytest.raises(Faulty) as told:
        overlay.overlay_corps_2001_unbonded(
            new_strength_thickness_m=-0.1,
            old_strength_thickness_m=0.1,
            old_thickness_m=float("nan"),
            condition=0.2,
        )
    assert {fault.place for fault in told.value.faults} == {
        "new_strength_thickness_m",
        "old_thickness_m",
        "condition",
    }
    assert "UFC 3-260-02" in str(told.value)
