"""Drainage of the finished top against planes, bowls, valleys and twisted bays of closed form."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from made_up_tops import Shape, plane, wishes

from overslab.newtop.drainage import BAND_M, drain
from overslab.newtop.records import Drainage, Outlet

BOX = shapely.box(0, 0, 6, 5)
DOOR = Outlet("door", ((1.5, 0.0), (4.5, 0.0)))
WHOLE = Outlet("open edge", ((0.0, 0.0), (6.0, 0.0)))


def run(surface: Shape, *outlets: Outlet, polygon: shapely.Polygon = BOX) -> Drainage:
    return drain(surface, polygon=polygon, wishes=wishes(*outlets), tries=0)


@pytest.mark.parametrize("fall", [0.0104, 0.0208])
def test_a_plane_to_a_door_drains_dry_at_its_own_fall(fall: float) -> None:
    found = run(plane(y=fall), DOOR)
    assert found.least_fall == pytest.approx(fall, rel=1e-6)
    assert found.deepest_m == 0.0
    assert found.deepest_at is None
    assert found.ponded_volume_m3 == 0.0
    assert found.ponded_area_m2 == 0.0
    assert found.reaches_outlet == pytest.approx(1.0)
    assert found.birdbath_chance is None
    assert found.birdbath_area_m2 is None
    assert found.tries == 0


@given(turn=st.floats(-0.6, 0.6), fall=st.floats(0.008, 0.03))
@settings(max_examples=8, deadline=None)
def test_fall_is_the_resultant_and_not_the_fall_along_an_axis(turn: float, fall: float) -> None:
    # The floor is open along its whole lower edge and its sides are far away, so water keeps to
    # the plane's own direction over most of it; the least is met where a side wall turns it.
    across, down = fall * math.sin(turn), fall * math.cos(turn)
    found = run(plane(x=across, y=down), WHOLE)
    along_the_wall = down
    assert found.least_fall == pytest.approx(along_the_wall, rel=0.02)
    assert found.least_fall <= fall * (1 + 1e-9)
    assert found.reaches_outlet == pytest.approx(1.0)


def test_no_fall_is_told_near_the_wall_that_gathers() -> None:
    # Steep over the floor, flat in the last 10 cm before the door wall.
    def bent(_x: np.ndarray, y: np.ndarray) -> np.ndarray:
        return np.where(y > 0.1, 0.015 * (y - 0.1), 0.0)

    assert BAND_M > 0.1
    wall = run(Shape(bent), DOOR)
    assert wall.least_fall == pytest.approx(0.015, rel=1e-6)
    mouth = run(Shape(bent), Outlet("door", DOOR.line, gather="mouth"))
    assert mouth.least_fall < 0.005
    assert mouth.least_fall_at[1] < 1.0


def test_a_bowl_holds_what_geometry_says() -> None:
    middle, radius, depth = np.array([3.0, 2.5]), 1.0, 0.012

    def bowl(x: np.ndarray, y: np.ndarray) -> np.ndarray:
        share = np.minimum(np.hypot(x - middle[0], y - middle[1]) / radius, 1.0)
        return depth * share**2

    found = run(Shape(bowl), WHOLE)
    assert found.deepest_m == pytest.approx(depth, rel=0.01)
    assert found.deepest_at == pytest.approx(tuple(middle), abs=0.05)
    assert found.ponded_area_m2 == pytest.approx(math.pi * radius**2, rel=0.03)
    assert found.ponded_volume_m3 == pytest.approx(math.pi * radius**2 * depth / 2, rel=0.01)
    assert found.reaches_outlet < 1 - 0.97 * math.pi / 30


def test_four_planes_to_a_drain_run_down_their_valleys() -> None:
    # Planes at 1 % meet in valleys at 45 degrees: along a valley 1 % / sqrt 2.
    def envelope(x: np.ndarray, y: np.ndarray) -> np.ndarray:
        return 0.01 * np.maximum(abs(x - 3.0), abs(y - 2.5))

    found = run(Shape(envelope), Outlet("drain", ((3.0, 2.5),)))
    assert found.reaches_outlet == pytest.approx(1.0)
    assert found.ponded_area_m2 == 0.0
    assert 0.92 * 0.01 / math.sqrt(2) < found.least_fall < 1.02 * 0.01 / math.sqrt(2)


def test_a_slanting_valley_and_slanting_walls_hold_no_water_of_the_lattice() -> None:
    angle = math.radians(22.0)
    floor = shapely.affinity.rotate(BOX, 22.0, origin=(0, 0))

    def turned(x: np.ndarray, y: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        return (
            math.cos(angle) * x + math.sin(angle) * y,
            -math.sin(angle) * x + math.cos(angle) * y,
        )

    def envelope(x: np.ndarray, y: np.ndarray) -> np.ndarray:
        u, v = turned(x, y)
        return 0.01 * np.maximum(abs(u - 3.0), 1.3 * abs(v - 2.5))

    def back(u: float, v: float) -> tuple[float, float]:
        return (
            math.cos(angle) * u - math.sin(angle) * v,
            math.sin(angle) * u + math.cos(angle) * v,
        )

    drained = run(Shape(envelope), Outlet("drain", (back(3.0, 2.5),)), polygon=floor)
    assert drained.ponded_area_m2 == 0.0
    assert drained.reaches_outlet == pytest.approx(1.0)
    # Along the valley the fall is 1.3 % / |(1.3, 1)|; slanting valleys may be told a little low.
    valley = 0.013 / math.hypot(1.3, 1.0)
    assert 0.85 * valley < drained.least_fall < 1.02 * valley

    def to_a_corner(x: np.ndarray, y: np.ndarray) -> np.ndarray:
        u, v = turned(x, y)
        return 0.02 * v + 0.004 * u

    walled = run(
        Shape(to_a_corner),
        Outlet("slot", (back(0.0, 0.0), back(0.5, 0.0)), gather="mouth"),
        polygon=floor,
    )
    assert walled.ponded_area_m2 == 0.0
    # All water runs to the low wall and along it, at 0.4 %.
    assert walled.least_fall == pytest.approx(0.004, rel=0.02)


def test_a_twisted_bay_falls_least_where_its_twist_leaves_least() -> None:
    # z = y (a + b x): straight along every straightedge laid along an axis. The slope is
    # (b y, a + b x), least along the low side at x = 0 where it is nearly a.
    least, twist = 0.008, 0.002
    found = run(Shape(lambda x, y: y * (least + twist * x)), WHOLE)
    assert found.least_fall == pytest.approx(least, rel=0.03)
    assert found.least_fall_at[0] < 0.5
    assert found.reaches_outlet == pytest.approx(1.0)


def test_a_level_top_has_no_fall() -> None:
    assert run(plane(), WHOLE).least_fall == 0.0


def test_water_that_falls_away_from_the_door_stands() -> None:
    slope = 0.01
    found = run(plane(y=-slope), DOOR)
    # It fills to the sill: a wedge, deepest at the far wall.
    assert found.deepest_m == pytest.approx(slope * 5.0, rel=0.01)
    assert found.ponded_volume_m3 == pytest.approx(slope * 5.0 / 2 * 30.0, rel=0.02)
    assert found.reaches_outlet < 0.02


def test_floor_with_a_post_and_a_notch_drains_round_them() -> None:
    floor = shapely.Polygon(
        [(0, 0), (6, 0), (6, 3), (4, 3), (4, 5), (0, 5)],
        [[(2.0, 2.0), (2.3, 2.0), (2.3, 2.3), (2.0, 2.3)]],
    )
    found = run(plane(y=0.015, x=0.002), WHOLE, polygon=floor)
    assert found.reaches_outlet == pytest.approx(1.0, abs=0.01)
    for path in found.paths:
        line = shapely.LineString(path)
        assert floor.buffer(0.08).covers(line)
        assert path[0][1] > path[-1][1]
    assert 10 <= len(found.paths) <= 30


def test_a_finer_lattice_may_be_asked_for() -> None:
    bowl = Shape(lambda x, y: 0.02 * np.minimum(np.hypot(x - 3, y - 2.5) / 0.5, 1.0) ** 2)
    coarse = drain(bowl, polygon=BOX, wishes=wishes(WHOLE), step_m=0.2, tries=0)
    fine = drain(bowl, polygon=BOX, wishes=wishes(WHOLE), step_m=0.04, tries=0)
    wanted = math.pi * 0.25 * 0.02 / 2
    assert abs(fine.ponded_volume_m3 - wanted) < abs(coarse.ponded_volume_m3 - wanted)
