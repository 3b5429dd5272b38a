"""Case 14: a sump pit. Its ring comes up, its sides are formed, its pump runs through the week."""

from __future__ import annotations

import pytest
from case_jobs import INCH_M, walked


def test_the_pit_is_formed_raised_and_kept_running() -> None:
    """At 21 ft in the top stands 21/8 in up over a rim 4 in down: up by 6 5/8 in."""
    touches = walked(14).touches
    assert touches is not None
    (pit,) = [one for one in touches.touches if one.kind == "drain"]
    raised = next(one for one in pit.remedies if "Raise the rim" in one.says)
    assert raised.size_m is not None
    assert raised.size_m / INCH_M == pytest.approx(4 + 21 / 8, abs=0.01)
    what = {one.what: one.trade for one in touches.readiness}
    assert what["the pump of sump has power for the week of the pour"] == "electrician"
    assert what["the sides of sump are formed and its ring is wrapped"] == "crew"
    told = " ".join(remark.text for remark in pit.remarks)
    assert "what height does its lid lie" in told
    assert "test the air" in told


def test_ground_water_with_a_drain_may_be_promised_dry() -> None:
    """The sheet was dry, and the water has a drain and a place to go; without one it is refused."""
    assert walked(14).verdict.dry_floor
