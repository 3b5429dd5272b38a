"""Water run over a lattice: ponds, shares and drawn paths against closed forms and brute force."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from overslab.ground.lattice import Lattice, lattice_over
from overslab.ground.runoff import Flow, drains_to_outlet, run_off, trace
from overslab.ground.terrain import Bools, Floats

STEP = 0.05
FILM = 1e-4


def sheet(width: float, depth: float) -> tuple[Lattice, Floats, Floats]:
    lattice = lattice_over(shapely.box(0, 0, width, depth), step_m=STEP)
    x, y = np.meshgrid(lattice.x_m, lattice.y_m)
    return lattice, x, y


def run(lattice: Lattice, heights: Floats, outlets: Bools) -> Flow:
    return run_off(heights, inside=lattice.inside, outlets=outlets, step_m=STEP, film_m=FILM)


def test_a_plane_to_an_open_edge_drains_whole_and_its_path_is_straight() -> None:
    lattice, x, y = sheet(4.0, 3.0)
    outlets = np.zeros_like(lattice.inside)
    outlets[0] = True
    fallen = np.arctan2(0.02, 0.006)
    flow = run(lattice, 0.02 * y + 0.006 * x, outlets)
    assert drains_to_outlet(flow) == pytest.approx(1.0)
    path, leaves = trace(flow, lattice=lattice, start_m=(3.0, 2.5))
    assert leaves
    # Straight down the fall line: from (3, 2.5) it leaves at x = 3 - 2.5 * 0.006 / 0.02.
    assert path[-1][0] == pytest.approx(3.0 - 2.5 / np.tan(fallen), abs=STEP)
    straight = shapely.LineString([path[0], path[-1]])
    assert shapely.LineString(path).hausdorff_distance(straight) < STEP


def test_a_drop_beside_a_wall_follows_it_to_the_opening() -> None:
    lattice, x, y = sheet(4.0, 3.0)
    outlets = np.zeros_like(lattice.inside)
    outlets[0, :10] = True  # the mouth is the first half metre of the bottom wall
    flow = run(lattice, 0.02 * y + 0.005 * x, outlets)
    path, leaves = trace(flow, lattice=lattice, start_m=(3.5, 2.0))
    assert leaves
    assert path[-1][0] < 0.5
    assert drains_to_outlet(flow) == pytest.approx(1.0)


def test_water_over_a_hollow_stops_there() -> None:
    lattice, x, y = sheet(4.0, 4.0)
    outlets = np.zeros_like(lattice.inside)
    outlets[0] = True
    # A square pit across the way: everything straight above it runs in, nothing else does.
    pit = (abs(x - 2.0) < 0.5) & (y > 1.0) & (y < 1.5)
    flow = run(lattice, 0.02 * y - 0.05 * pit, outlets)
    assert (flow.standing == pit).all()
    caught = (abs(x - 2.0) < 0.5) & (y > 1.0)
    assert drains_to_outlet(flow) == pytest.approx(1 - caught.mean(), abs=2 * STEP / 4.0)
    path, leaves = trace(flow, lattice=lattice, start_m=(2.0, 3.0))
    assert not leaves
    assert 1.0 < path[-1][1] < 1.5


def test_share_equals_following_single_drops_by_hand() -> None:
    rng = np.random.default_rng(5)
    lattice, x, y = sheet(1.0, 1.0)
    heights = 0.02 * y + 0.003 * np.sin(7 * x) * np.cos(9 * y) + rng.normal(0, 4e-4, x.shape)
    outlets = np.zeros_like(lattice.inside)
    outlets[0, 5:12] = True
    flow = run_off(heights, inside=lattice.inside, outlets=outlets, step_m=STEP, film_m=2e-4)
    assert 0.05 < drains_to_outlet(flow) < 0.95
    # Many drops sent down by chance, each at each cell to one of the two receivers.
    square, corner = flow.fall.square.ravel(), flow.fall.corner.ravel()
    part = flow.fall.corner_share.ravel()
    ends = (outlets | flow.standing).ravel()
    start = np.repeat(np.arange(heights.size), 400)
    at = start.copy()
    for _ in range(3 * heights.size):
        moving = ~ends[at]
        if not moving.any():
            break
        here = at[moving]
        to_corner = (rng.random(here.size) < part[here]) & (corner[here] >= 0)
        at[moving] = np.where(to_corner | (square[here] < 0), corner[here], square[here])
    assert ends[at].all()
    left = outlets.ravel()[at].reshape(-1, 400).mean(axis=1).reshape(heights.shape)
    np.testing.assert_allclose(left, flow.share, atol=5 * 0.5 / np.sqrt(400))
    assert left.mean() == pytest.approx(drains_to_outlet(flow), abs=0.01)


def test_grain_thinner_than_the_film_is_crossed() -> None:
    lattice, x, y = sheet(3.0, 3.0)
    outlets = np.zeros_like(lattice.inside)
    outlets[0] = True
    hollow = (abs(x - 1.5) < 0.3) & (abs(y - 1.5) < 0.3)
    dent = np.where(hollow, 0.5 * FILM + 0.02 * (y - 1.175), 0.0)
    flow = run(lattice, 0.02 * y - dent, outlets)
    assert flow.filled.depth_m.max() > 0
    assert not flow.standing.any()
    assert drains_to_outlet(flow) == pytest.approx(1.0)
    _, leaves = trace(flow, lattice=lattice, start_m=(1.5, 1.5))
    assert leaves


def test_a_level_floor_runs_off_and_a_walled_floor_does_not() -> None:
    lattice, x, _ = sheet(1.0, 1.0)
    outlets = np.zeros_like(lattice.inside)
    outlets[:, 0] = True
    level = run(lattice, np.zeros_like(x), outlets)
    assert drains_to_outlet(level) == pytest.approx(1.0)
    assert trace(level, lattice=lattice, start_m=(0.9, 0.5))[1]
    walled = run(lattice, 0.02 * x, np.zeros_like(outlets))
    assert walled.filled.unreachable.all()
    assert drains_to_outlet(walled) == 0.0
    assert not trace(walled, lattice=lattice, start_m=(0.9, 0.5))[1]
