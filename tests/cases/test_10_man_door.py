"""Case 10: the step at the man-door. Risers are stored one by one; the leaf that drags is cut."""

from __future__ import annotations

import pytest
from case_jobs import INCH_M, walked


def test_the_stair_no_longer_is_even() -> None:
    """Four risers of 7 in; the floor comes up 4 + 15/8 in at the foot: 1 1/8 in are left of one.

    The usual US rule allows 3/8 in between risers of a flight (trade notes, read).
    """
    found = walked(10)
    assert found.touches is not None
    (flight,) = found.job.touches.facts.stairs
    assert [round(riser / INCH_M, 6) for riser in flight.risers_m] == [7.0] * 4
    (stair,) = [one for one in found.touches.touches if one.kind == "stair"]
    differ = next(check for check in stair.checks if check.quantity == "difference_m")
    assert differ.found / INCH_M == pytest.approx(4 + 15 / 8, abs=0.01)
    assert differ.allowed / INCH_M == pytest.approx(3 / 8)
    assert not stair.passes
    (even,) = [one for one in stair.remedies if "Even the risers" in one.says]
    # 22 1/8 in to climb: three risers of 7 3/8 in, within 7 3/4 in and nearest to what was there.
    assert even.size_m == pytest.approx((28 - 5.875) / 3 * INCH_M, abs=1e-4)


def test_the_leaf_that_swings_in_drags() -> None:
    """Under its swing the floor reaches 19 ft in: up 4 + 19/8 in, the gap was 5/8 in."""
    touches = walked(10).touches
    assert touches is not None
    (door,) = [one for one in touches.touches if one.kind == "side door"]
    leaf = next(check for check in door.checks if "leaf" in check.name)
    assert leaf.found / INCH_M == pytest.approx(5 / 8 - (4 + 19 / 8), abs=0.01)
    (cut,) = [one for one in door.remedies if "Cut the leaf" in one.says]
    assert cut.trade == "carpenter"
    assert cut.size_m is not None
    assert cut.size_m / INCH_M == pytest.approx(5.75, abs=0.01)


def test_a_drop_too_high_gets_a_landing_and_a_ramp() -> None:
    """12 in of sill less 2 in of floor at 16 ft: 10 in, over the 7 3/4 in of one step."""
    touches = walked(10).touches
    assert touches is not None
    (door,) = [one for one in touches.touches if one.kind == "side door"]
    drop = next(check for check in door.checks if check.quantity == "drop_m")
    assert drop.found / INCH_M == pytest.approx(10.0, abs=0.01)
    assert not drop.passes
    assert any("landing and a ramp" in one.says for one in door.remedies)
