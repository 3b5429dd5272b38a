"""Case 23: the crew is short a man. A shorter straightedge means narrower strips, and more of them.

Truck spacing, free minutes and what to call off wait for the pour day.
"""

from __future__ import annotations

from case_jobs import FOOT_M, walked


def widths_ft(number: int) -> list[float]:
    strips = walked(number).newtop.strips
    return [
        (max(x for x, _ in strip.corners) - min(x for x, _ in strip.corners)) / FOOT_M
        for strip in strips
    ]


def test_strips_are_no_wider_than_the_straightedge_rides() -> None:
    """Straightedge less a foot of ride at each end (trade notes, 3.4)."""
    assert max(widths_ft(23)) <= 8 - 2 + 1e-6
    assert max(widths_ft(21)) <= 12 - 2 + 1e-6


def test_there_are_more_strips_on_the_same_floor() -> None:
    assert len(widths_ft(23)) > len(widths_ft(21))
    assert abs(sum(widths_ft(23)) - 24) < 1e-6
    assert abs(sum(widths_ft(21)) - 24) < 1e-6
