"""Case 11: an expansion joint in the old floor. A bonded top has its own over it."""

from __future__ import annotations

import numpy as np
import pytest
from case_jobs import FOOT_M, INCH_M, rooms_to, walked, yards
from shapely import LineString


def test_a_bonded_top_must_joint_right_over_it() -> None:
    verdict = walked(11).verdict
    assert verdict.system == "bonded"
    assert verdict.joints_to_match == ("expansion joint",)
    assert any(
        "right over expansion joint, full depth" in remark.text for remark in verdict.remarks
    )


def test_volume_splits_on_it() -> None:
    """8 ft of 24 lie on one side; 2 in at the door and 1/8 in/ft up: 3.5 in mean on both sides."""
    takeoff = walked(11).takeoff
    assert takeoff is not None
    parts = sorted(yards(panel.volume_m3.mean) for panel in takeoff.panels)
    assert parts == pytest.approx([8 * 24 / 324 * 3.5, 16 * 24 / 324 * 3.5], abs=0.01)


def test_no_height_is_carried_across_it() -> None:
    found = rooms_to(11, "oldslab").oldslab
    assert found is not None
    assert len(found.panels) == 2
    assert {step.break_name for step in found.steps} == {"expansion joint"}


def test_the_saw_plan_has_a_full_depth_joint_right_over_it() -> None:
    """3 in more for 24 ft of fall: 5 in at the far wall, and the joint goes right through."""
    takeoff = walked(11).takeoff
    assert takeoff is not None
    joints = takeoff.joints
    assert joints is not None
    over = [line for line in joints.lines if line.over]
    assert [line.over for line in over] == ["expansion joint"]
    assert np.allclose(over[0].path, [(8 * FOOT_M, 0.0), (8 * FOOT_M, 24 * FOOT_M)])
    assert over[0].depth_m == pytest.approx(5 * INCH_M, abs=1e-4)
    old = LineString(over[0].path)
    for line in joints.lines:
        if not line.over:
            assert not LineString(line.path).crosses(old)
    match = next(check for check in joints.checks if check.name.startswith("old joint without"))
    assert match.passes


def test_panels_follow_the_thin_edge_on_each_side_of_it() -> None:
    """2 in at the door allows 6 ft; 8 ft on one side want one line, 16 ft on the other two.

    At 1.5 to 1 the 4 ft columns are no longer than 6 ft: three across their 8 ft. On the other
    side one of three columns is at most 5 ft wide on whole feet, so its panels at most 7 1/2 ft,
    the first 6: three across the 16 ft as well.
    """
    takeoff = walked(11).takeoff
    assert takeoff is not None
    joints = takeoff.joints
    assert joints is not None
    assert joints.length_m == pytest.approx((24 + 3 * 24 + 3 * 8 + 3 * 16) * FOOT_M, abs=1e-3)
    assert len(joints.panels) == 2 * 4 + 3 * 4
    assert all(check.passes for check in joints.checks)
