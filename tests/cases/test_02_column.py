"""Case 2: a column in the middle. Its area goes off, a strip goes round it, pads stand at it."""

from __future__ import annotations

import pytest
from case_jobs import FOOT_M, INCH_M, YARD3_M3, walked
from shapely import Point, Polygon

PRICE = 165.0  # per yd3, rates.toml


def test_its_area_is_no_concrete() -> None:
    """576 ft2 less 1 ft2, mean 5.5 in: 575/324*5.5 yd3 before the marks, a little more on them."""
    found = walked(2)
    assert found.takeoff is not None
    top = found.newtop.top
    assert top is not None
    assert found.oldslab.area_m2 == pytest.approx(575 * FOOT_M**2)
    assert top.optimum_cost / PRICE == pytest.approx(575 / 324 * 5.5, abs=1e-3)
    marked = found.takeoff.total.volume_m3.mean / YARD3_M3
    # Whole sixteenths on pad lines beside the column: the far line ends at most 1/8 in high.
    assert 575 / 324 * 5.5 - 1e-6 <= marked <= 575 / 324 * (5.5 + 1 / 8)


def test_strips_go_round_it() -> None:
    """Strips hold all of the floor and none of the column; their concrete is that of the floor."""
    found = walked(2)
    assert found.takeoff is not None
    column = Polygon(found.job.plan.holes[0].corners)
    strips = [Polygon(strip.corners, strip.holes) for strip in found.newtop.strips]
    assert max(strip.intersection(column).area for strip in strips) < 1e-6
    assert sum(portion.area_m2 for portion in found.takeoff.strips) == pytest.approx(
        575 * FOOT_M**2
    )


def test_it_gets_its_ring_and_is_not_poured_against() -> None:
    found = walked(2)
    assert found.touches is not None
    (touch,) = [one for one in found.touches.touches if one.kind == "post"]
    (ring,) = [one for one in touch.remedies if "isolation strip" in one.says]
    assert ring.when == "before the pour"
    assert any(one.what == "column is wrapped with its strip" for one in found.touches.readiness)
    near = {
        tuple(round(part / FOOT_M) for part in place)
        for place in found.oldslab.shots_xy_m
        if Point(place).distance(Point(12 * FOOT_M, 12 * FOOT_M)) < 1.01 * FOOT_M
    }
    assert near == {(11, 12), (13, 12), (12, 11), (12, 13)}  # shot on all four sides


def test_the_ring_in_running_feet() -> None:
    """12 in square: 4 ft of strip, as high as the slab at its far side, 4 + 12.5/8 = 5 9/16 in."""
    takeoff = walked(2).takeoff
    assert takeoff is not None
    assert takeoff.isolation is not None
    rings = [run for run in takeoff.isolation.runs if run.name == "column"]
    assert sum(run.length_m for run in rings) / FOOT_M == pytest.approx(4)
    assert [run.strip_m / INCH_M for run in rings] == pytest.approx([6] * len(rings))
    # Walls: 96 ft less the door of 12 ft.
    whole_m = sum(run.length_m for run in takeoff.isolation.runs)
    assert whole_m / FOOT_M == pytest.approx(84 + 4)
