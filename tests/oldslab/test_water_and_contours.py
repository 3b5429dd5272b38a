"""Water on known floors, and contours where they can be worked out by hand."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from made_up_floors import grid, heights_of

from overslab.ground.lattice import Lattice, lattice_over
from overslab.oldslab import Break, FloorPlan, contours, shape
from overslab.oldslab.water import BIRDBATH_M, run_water

BOX = ((0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0))
DOOR = ((0.0, 1.0), (0.0, 3.0))


def sheet(plan: FloorPlan, height: object) -> tuple[Lattice, np.ndarray]:
    lattice = lattice_over(plan.polygon(), step_m=0.05)
    xy = lattice.points_m
    return lattice, lattice.spread(height(xy))  # type: ignore[operator]


def test_a_floor_that_falls_to_its_door_is_dry() -> None:
    plan = FloorPlan(outline=BOX, openings=(DOOR,))
    lattice, heights = sheet(plan, lambda xy: 0.01 * xy[:, 0] + 0.002 * np.abs(xy[:, 1] - 2))
    water = run_water(plan, lattice, heights)
    assert water.low_spots == ()
    assert np.nanmax(water.depth_m) == 0
    assert water.flow
    assert all(path.leaves for path in water.flow)
    assert all(path.path[-1][0] < 0.06 for path in water.flow)
    assert water.assumptions == ()


def test_a_floor_that_falls_from_its_door_holds_a_wedge() -> None:
    plan = FloorPlan(outline=BOX, openings=(DOOR,))
    lattice, heights = sheet(plan, lambda xy: -0.01 * xy[:, 0])
    water = run_water(plan, lattice, heights)
    (wedge,) = water.low_spots
    assert wedge.depth_m == pytest.approx(0.06, abs=0.0011)
    assert wedge.volume_m3 == pytest.approx(6 * 4 * 0.03, rel=0.02)
    assert wedge.deepest[0] > 5.9
    assert not any(path.leaves for path in water.flow)


def test_a_drain_takes_the_hollow_it_lies_in() -> None:
    def hollow(xy: np.ndarray) -> np.ndarray:
        return 0.02 * ((xy[:, 0] - 4) ** 2 + (xy[:, 1] - 2) ** 2)

    dry = FloorPlan(outline=BOX, drains=((4.0, 2.0),))
    lattice, heights = sheet(dry, hollow)
    assert run_water(dry, lattice, heights).low_spots == ()
    aside = FloorPlan(outline=BOX, drains=((5.025, 2.025),))
    (spot,) = run_water(aside, lattice, heights).low_spots
    # A bowl 0.02 r^2 drained at r holds 0.02 r^2 deep and pi / 2 * 0.02 r^4 by volume.
    squared = 1.025**2 + 0.025**2
    assert spot.depth_m == pytest.approx(0.02 * squared, abs=0.0001)
    assert spot.volume_m3 == pytest.approx(np.pi / 2 * 0.02 * squared**2, rel=0.01)


def test_without_a_way_out_the_edge_is_taken_and_stated() -> None:
    plan = FloorPlan(outline=BOX)
    lattice, heights = sheet(plan, lambda xy: -0.01 * xy[:, 0])
    water = run_water(plan, lattice, heights)
    assert water.low_spots == ()
    (assumption,) = water.assumptions
    assert "edge" in assumption.taken


def test_a_film_is_not_a_low_spot() -> None:
    def dent(xy: np.ndarray) -> np.ndarray:
        near = np.exp(-((xy - [3, 2]) ** 2).sum(axis=1) / 0.1)
        return np.asarray(-0.9 * BIRDBATH_M * near)

    plan = FloorPlan(outline=BOX, openings=(DOOR,))
    lattice, heights = sheet(plan, dent)
    assert run_water(plan, lattice, heights).low_spots == ()
    (spot,) = run_water(plan, lattice, 2 * heights).low_spots
    assert spot.depth_m == pytest.approx(1.8 * BIRDBATH_M, rel=0.05)


def test_contours_of_a_plane_are_straight_and_reach_the_edge() -> None:
    lattice, heights = sheet(FloorPlan(outline=BOX), lambda xy: 0.01 * xy[:, 0])
    found = contours((lattice, heights), [0.013, 0.0304], within=shapely.Polygon(BOX))
    assert [line.level_m for line in found] == [0.013, 0.0304]
    for line, x in zip(found, (1.3, 3.04), strict=True):
        points = np.array(line.line)
        assert points[:, 0] == pytest.approx(x, abs=1e-6)
        assert points[:, 1].min() == pytest.approx(0, abs=1e-9)
        assert points[:, 1].max() == pytest.approx(4, abs=1e-9)


def test_contours_end_at_a_break_and_never_cross_a_hole() -> None:
    plan = FloorPlan(outline=BOX, breaks=(Break("c", ((3, 0), (3, 4)), "crack"),))
    xy = grid(width_m=6, depth_m=4, columns=8, rows=5, margin_m=0.2)
    floor = shape(plan, heights_of(xy, 0.01 * xy[:, 1] + 0.015 * (xy[:, 0] > 3)))
    found = contours(floor, [0.025])
    ends = sorted(
        (np.array(line.line)[:, 0].min(), np.array(line.line)[:, 0].max()) for line in found
    )
    assert ends == [
        (pytest.approx(0, abs=1e-6), pytest.approx(3, abs=1e-5)),
        (pytest.approx(3, abs=1e-5), pytest.approx(6, abs=1e-6)),
    ]
    left = next(line for line in found if line.line[len(line.line) // 2][0] < 3)
    right = next(line for line in found if line.line[len(line.line) // 2][0] > 3)
    assert np.array(left.line)[:, 1] == pytest.approx(2.5, abs=0.1)
    assert np.array(right.line)[:, 1] == pytest.approx(1.0, abs=0.1)


def test_contours_of_a_bowl_are_closed_circles() -> None:
    lattice, heights = sheet(FloorPlan(outline=BOX), lambda xy: ((xy - [3, 2]) ** 2).sum(axis=1))
    (circle,) = contours((lattice, heights), [1.0])
    points = np.array(circle.line)
    assert circle.line[0] == circle.line[-1]
    assert np.hypot(*(points - [3, 2]).T) == pytest.approx(1.0, abs=0.001)


def test_an_empty_sheet_has_no_contours() -> None:
    lattice, heights = sheet(FloorPlan(outline=BOX), lambda xy: 0 * xy[:, 0])
    assert contours((lattice, heights * np.nan), [0.0]) == ()
    assert contours((lattice, heights), []) == ()
