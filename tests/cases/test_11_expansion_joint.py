"""Case 11: an expansion joint in the old floor. A bonded top has its own over it."""

from __future__ import annotations

import pytest
from case_jobs import rooms_to, walked, yards


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
