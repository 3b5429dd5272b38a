"""Depth of joints and the hours in which they are sawn."""

from __future__ import annotations

import pytest
from as_printed import answer

from overslab.ground.faults import Faulty
from overslab.handbook import joint_cuts
from overslab.handbook.limits import advice_for, limits_for, practice_for


@pytest.mark.parametrize(("inches", "depth"), [(3.0, 1.0), (4.0, 1.0), (6.0, 1.5)])
def test_j8_a_fourth_but_at_least_an_inch(inches, depth):
    # Concrete Construction, Recommended depth for control joints.
    got = answer(joint_cuts.joint_depth, slab_thickness_m=inches, part=0.25, least_m=1.0)
    assert got == pytest.approx(depth, abs=0.01)


def test_jm1_over_a_bonded_overlay():
    # Harrington and Fick 2014 (second hand): thickness and half an inch across, half along.
    across = answer(joint_cuts.joint_depth_bonded_across, thickness_m=2.0)
    along = answer(joint_cuts.joint_depth_bonded_along, thickness_m=2.0)
    assert (across, along) == pytest.approx((2.5, 1.0), abs=0.01)


def test_depth_is_a_fourth_unless_the_owner_says_otherwise():
    assert practice_for(joint_cuts.DEPTH).value == 0.25
    parts = {limit.value for limit in limits_for(joint_cuts.DEPTH)}
    # t/5, t/4, t/3 and, bonded along the lane, t/2.
    assert parts == {0.2, 0.25, 1 / 3, 0.5}


def test_hours_as_the_sources_have_them():
    early = {limit.name: limit.value for limit in limits_for(joint_cuts.SAW_FROM)}
    late = {limit.name: limit.value for limit in limits_for(joint_cuts.SAW_UNTIL)}
    assert early["conventional saw, hot"] == 4.0
    assert late["conventional saw, cold"] == 72.0
    assert (early["saw, CSA"], late["saw, CSA"]) == (6.0, 18.0)
    assert (early["early-entry saw"], late["early-entry saw"]) == (1.0, 4.0)
    paving = "transverse joints of pavement"
    assert (early[paving], late[paving]) == (4.0, 24.0)


def test_the_sources_disagree_on_joints_over_old_joints():
    says = advice_for("joint matching, unbonded")
    assert len(says) == 2
    assert {advice.known for advice in says} == {"read", "memory"}


def test_a_joint_in_no_slab_is_refused():
    with pytest.raises(Faulty):
        joint_cuts.joint_depth(slab_thickness_m=0.0)
    with pytest.raises(Faulty):
        joint_cuts.joint_depth(slab_thickness_m=0.1, part=1.5)
