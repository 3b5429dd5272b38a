"""Case 21: rain on pour day. What is poured and what is left is known at the end of every strip.

When to cancel and how to cover wait for the room of the pour day.
"""

from __future__ import annotations

import pytest
from case_jobs import FOOT_M, walked, yards


def test_poured_and_left_at_every_strip_end() -> None:
    """Strips run from the door back; one of width w takes w*24/324*5.5 yd3 on this floor."""
    takeoff = walked(21).takeoff
    assert takeoff is not None
    total = yards(takeoff.total.volume_m3.mean)
    poured_ft2 = poured = 0.0
    for strip in takeoff.strips:
        poured_ft2 += strip.area_m2 / FOOT_M**2
        poured += yards(strip.volume_m3.mean)
        assert poured == pytest.approx(poured_ft2 / 324 * 5.5, abs=0.01)
        assert total - poured == pytest.approx((576 - poured_ft2) / 324 * 5.5, abs=0.01)
    assert poured == pytest.approx(total)


def test_it_stops_at_a_planned_joint() -> None:
    order = walked(21).order
    assert order is not None
    assert any("stop at the next planned joint" in remark.text for remark in order.remarks)
