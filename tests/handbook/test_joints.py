"""Joint spacing and shape by every source."""

from __future__ import annotations

import pytest
from as_printed import answer
from hypothesis import given
from hypothesis import strategies as st

from overslab.ground.faults import Faulty
from overslab.ground.units import to_customary, to_si
from overslab.handbook import joints
from overslab.handbook.limits import limits_for, practice_for

INCH, FOOT = to_si(1, "in"), to_si(1, "ft")


@pytest.mark.parametrize("row", joints.PCA_TABLE.rows, ids=lambda row: f"{row[0]} in")
@pytest.mark.parametrize(("column", "times"), [(1, 24.0), (2, 30.0), (3, 36.0)])
def test_j1_j3_every_cell_of_the_table(row, column, times):
    # PCA, Concrete Floors on Ground, 2nd ed. 1983 (second hand).
    got = answer(
        joints.joint_spacing_pca_1983, slab_thickness_m=float(row[0]), times_thickness=times
    )
    assert got == pytest.approx(row[column], abs=1e-9)


def test_j4_window_with_a_cap():
    # The Concrete Producer, citing ACI 302.1R-96: 4 in gives 8 to 12 ft; cap 18 ft.
    def spacing(inches, times):
        return answer(
            joints.joint_spacing, slab_thickness_m=inches, times_thickness=times, cap_m=18.0
        )

    assert (spacing(4.0, 24), spacing(4.0, 36)) == pytest.approx((8, 12))
    assert spacing(8.0, 36) == pytest.approx(18)


def test_j5_the_case_of_the_cracked_floor():
    """4 in plain, joints at 15 and at 30 ft: both too far by the rule, and both cracked."""
    aci = next(
        limit
        for limit in joints.panel_limits(slab_thickness_m=4 * INCH)
        if limit.name == "ACI 302, high"
    )
    assert not aci.check(found=15 * FOOT).passes
    assert not aci.check(found=30 * FOOT).passes
    assert aci.check(found=12 * FOOT).passes


def test_j7_a_panel_twice_as_long_as_wide():
    # Concrete Construction, Elongated slabs are likely to crack: over 1.5.
    checks = joints.panel_checks(
        length_m=10 * FOOT, width_m=20 * FOOT, slab_thickness_m=6 * INCH, where="panel A"
    )
    shape = [check for check in checks if check.quantity == "aspect"]
    assert [check.passes for check in shape] == [False, False]
    assert {check.allowed for check in shape} == {1.5, 1.25}
    assert all(check.found == pytest.approx(2.0) for check in shape)
    square = joints.panel_checks(length_m=8 * FOOT, width_m=8 * FOOT, slab_thickness_m=6 * INCH)
    assert all(check.passes for check in square)


def test_every_source_stands_beside_the_others_at_one_thickness():
    allowed = {
        limit.name: to_customary(limit.value, "ft")
        for limit in joints.panel_limits(slab_thickness_m=5 * INCH)
    }
    # By hand from each rule at 5 in.
    assert allowed["ACI 302, high"] == pytest.approx(15)
    assert allowed["CSA, low"] == pytest.approx(10)
    assert allowed["CSA, high"] == pytest.approx(15)
    assert allowed["15 ft whatever the depth"] == pytest.approx(15)
    assert allowed["parking pavement of 4 to 6 in"] == pytest.approx(12)  # 12.5, down
    assert allowed["thin unbonded overlays"] == pytest.approx(7.5)
    thick = {limit.name for limit in joints.panel_limits(slab_thickness_m=6 * INCH)}
    assert "plain pavement under 6 in" in set(allowed) - thick


def test_the_caps_disagree_and_are_all_kept():
    # 15 ft, 18 ft, 5 m; the owner's default is the least of them.
    caps = {round(to_customary(limit.value, "ft"), 2) for limit in limits_for(joints.SPACING_CAP)}
    assert caps == {15.0, 18.0, 16.4}
    assert practice_for(joints.SPACING_CAP).value == min(
        limit.value for limit in limits_for(joints.SPACING_CAP)
    )


@given(thickness=st.floats(0.03, 0.4), times=st.sampled_from([18, 24, 30, 36]), cap=st.floats(2, 8))
def test_spacing_grows_with_thickness_up_to_the_cap(thickness, times, cap):
    thin, thick = (
        joints.joint_spacing(slab_thickness_m=t, times_thickness=times, cap_m=cap)
        for t in (thickness, thickness * 1.1)
    )
    assert 0 < thin <= thick <= cap
    if thick < cap:
        assert thick == pytest.approx(1.1 * thin)


def test_the_table_ends_at_its_ends():
    for inches in (3.0, 11.0):
        with pytest.raises(Faulty):
            answer(joints.joint_spacing_pca_1983, slab_thickness_m=inches, times_thickness=24.0)
    with pytest.raises(Faulty):
        joints.joint_spacing(slab_thickness_m=0.0, times_thickness=24.0, cap_m=5.0)
