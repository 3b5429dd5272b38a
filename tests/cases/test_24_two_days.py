"""Case 24: half the pour today, half tomorrow. Day 2 starts from what was built, not from what was
drawn. Bulkheads, split orders and curing wait for the pour day.
"""

from __future__ import annotations

import numpy as np
import pytest
from case_jobs import FOOT_M, INCH_M, inches_up, walked, yards


def test_both_halves_are_known() -> None:
    """A bulkhead in the middle, at a strip's edge: 288/324*5.5 yd3 on either side."""
    found = walked(24)
    assert found.takeoff is not None
    edge = 12 * FOOT_M
    today = {
        strip.name
        for strip in found.newtop.strips
        if max(x for x, _ in strip.corners) <= edge + 1e-9
    }
    halves = [0.0, 0.0]
    for portion in found.takeoff.strips:
        halves[portion.name not in today] += yards(portion.volume_m3.mean)
    assert halves == pytest.approx([288 / 324 * 5.5] * 2, abs=0.01)


def test_the_edge_as_built_is_stored_beside_the_drawing() -> None:
    """Shot 1 5/8 in up where 1 1/2 in was drawn: 1/8 in high. The old floor does not know it."""
    found = walked(24)
    built = {point.point: point for point in found.shots.points if point.kind == "asbuilt"}
    assert set(built) == {"E0_25", "E12", "E23_75"}
    middle = built["E12"]
    assert inches_up(middle.height_m) == pytest.approx(1.625, abs=1e-6)
    top = found.newtop.top
    assert top is not None
    assert top.surface is not None
    assert middle.x_m is not None
    assert middle.y_m is not None
    (drawn,) = top.surface.height_m(np.array([[middle.x_m, middle.y_m]]))
    assert (middle.height_m - float(drawn)) / INCH_M == pytest.approx(1 / 8, abs=0.01)
    assert len(found.oldslab.shots_m) == 25


def test_a_benchmark_stands_outside_both_pours() -> None:
    found = walked(24)
    assert [mark.name for mark in found.job.survey.benchmarks] == ["BM1", "BM2"]
    assert "outside every pour" in found.job.survey.benchmarks[1].where
