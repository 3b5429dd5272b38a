"""Case 9: stem wall and curb. What is left of the curb is told; wood below the floor is refused."""

from __future__ import annotations

import pytest
from case_jobs import INCH_M, walked


def test_curb_left_and_wood_below_the_floor() -> None:
    """Back line 3 in up (24 ft at 1/8): 3 in of curb left of 6, plate 1 in under the floor."""
    touches = walked(9).touches
    assert touches is not None
    (wall,) = [one for one in touches.touches if one.kind == "wall"]
    assert not wall.passes
    checks = {check.quantity: check for check in wall.checks}
    curb, plate = checks["above_floor_m"], checks["gap_m"]
    assert curb.found / INCH_M == pytest.approx(3.0, abs=0.01)
    assert curb.allowed / INCH_M == pytest.approx(4.0)
    assert plate.found / INCH_M == pytest.approx(-1.0, abs=0.01)
    sizes = {remedy.says: remedy.size_m for remedy in wall.remedies}
    assert sizes["Build the curb up by"] == pytest.approx(1 * INCH_M, abs=1e-4)
    assert any(
        remark.weight == "warn" and "below the floor line rots" in remark.text
        for remark in wall.remarks
    )


def test_what_fails_holds_the_pour_date_and_sends_to_the_office() -> None:
    touches = walked(9).touches
    assert touches is not None
    what = [one.what for one in touches.readiness]
    assert "the curb of house wall is built up" in what
    assert any("local office" in text for text in what)
