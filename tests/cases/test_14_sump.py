"""Case 14: a sump pit. Its ring comes up, its sides are formed, its pump runs through the week."""

from __future__ import annotations

import pytest
from case_jobs import FOOT_M, INCH_M, walked


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


def test_its_volume_is_off_and_its_ring_is_counted() -> None:
    """Mean 5.5 in over 576 ft2 is 264 ft3; the pit, 4 ft2 under 4 + 21/8 in, takes 2.208 off."""
    takeoff = walked(14).takeoff
    assert takeoff is not None
    assert takeoff.total.area_m2 / FOOT_M**2 == pytest.approx(576 - 4)
    assert takeoff.total.volume_m3.mean / FOOT_M**3 == pytest.approx(264 - 2.2083, abs=0.1)
    assert takeoff.isolation is not None
    ring = [run.length_m for run in takeoff.isolation.runs if run.name == "sump"]
    assert sum(ring) / FOOT_M == pytest.approx(8)
