"""Case 1: an L-shaped floor. Nothing is measured, poured or drawn across the missing quarter."""

from __future__ import annotations

import numpy as np
import pytest
from case_jobs import FOOT_M, walked, yards
from shapely import Polygon

AREA_FT2 = 24 * 24 - 12 * 12


def test_area_and_volume_are_those_of_the_l() -> None:
    """Top 1/8 in/ft up from the door, floor 4 in down, centroid of the L 10 ft in: 5.25 in mean."""
    found = walked(1)
    assert found.takeoff is not None
    assert found.oldslab.area_m2 == pytest.approx(AREA_FT2 * FOOT_M**2)
    by_hand = AREA_FT2 / 324 * (4 + 10 / 8)  # 324 ft2 an inch deep are a cubic yard
    assert by_hand == 7.0
    assert yards(found.takeoff.total.volume_m3.mean) == pytest.approx(by_hand, abs=0.01)
    assert yards(found.takeoff.triangulated_m3) == pytest.approx(by_hand, abs=0.01)
    box = 576 / 324 * (4 + 12 / 8)
    assert abs(yards(found.takeoff.total.volume_m3.mean) - box) > 2.5


def test_the_legs_have_their_own_strips_and_volumes() -> None:
    """East leg 12 by 12 ft, centroid 6 ft in: 144/324*(4 + 6/8); the other 24 ft deep: 12 ft in."""
    found = walked(1)
    assert found.takeoff is not None
    floor = Polygon(found.job.plan.outline)
    for strip in found.newtop.strips:
        assert Polygon(strip.corners).difference(floor.buffer(1e-6)).area < 1e-9
    east = {
        strip.name
        for strip in found.newtop.strips
        if min(x for x, _ in strip.corners) >= 12 * FOOT_M - 1e-9
    }
    legs = [0.0, 0.0]
    for portion in found.takeoff.strips:
        legs[portion.name in east] += yards(portion.volume_m3.mean)
    assert legs[1] == pytest.approx(144 / 324 * 4.75, abs=0.005)
    assert legs[0] == pytest.approx(288 / 324 * 5.5, abs=0.01)


def test_there_is_no_floor_in_the_missing_quarter() -> None:
    found = walked(1)
    missing = (found.oldslab.lattice.x_m > 12.5 * FOOT_M)[None, :] & (
        found.oldslab.lattice.y_m > 12.5 * FOOT_M
    )[:, None]
    assert missing.any()
    assert np.isnan(found.oldslab.heights_m[missing]).all()


def test_a_joint_starts_at_the_inside_corner_both_ways() -> None:
    """4 in at the door allows 12 ft: lines of 12 ft from the corner make three squares of 12 ft.

    Neither can be left out: 24 ft of one leg would stay whole. The jambs at 6 and 18 ft ask for a
    third line of 12 ft or more, and one is worth 3 m, less than 10 ft.
    """
    takeoff = walked(1).takeoff
    assert takeoff is not None
    joints = takeoff.joints
    assert joints is not None
    assert joints.length_m == pytest.approx(24 * FOOT_M)
    corner = (12 * FOOT_M, 12 * FOOT_M)
    ends = {end for line in joints.lines for end in (line.path[0], line.path[-1])}
    assert len(joints.lines) == 2
    assert any(np.allclose(end, corner) for end in ends)
    assert all("inside corner" in line.why for line in joints.lines)
    squares = [(panel.length_m, panel.width_m) for panel in joints.panels]
    assert squares == [pytest.approx((12 * FOOT_M, 12 * FOOT_M))] * 3
    bare = next(check for check in joints.checks if check.name.startswith("inside corners"))
    assert bare.passes
    assert joints.proof.given_up == ("door",)
    assert joints.proof.gap == pytest.approx(0.0, abs=1e-9)
    cut = next(item for item in takeoff.items if item.code == "cut-joints")
    assert cut.net == pytest.approx(24 * FOOT_M)
