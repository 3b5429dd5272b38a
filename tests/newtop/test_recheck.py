"""Every named rule looked at again: tops of closed form, good and spoiled, and the ways out."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from made_up_tops import Shape, old_floor, plane, wishes

from overslab.handbook.checks import Check
from overslab.newtop.recheck import recheck
from overslab.newtop.records import Drain, Edge, Move, Outlet, Wishes, Zone
from overslab.newtop.wayout import WayOut
from overslab.oldslab.records import Feature, Hole, OldSlab

BOX = ((0.0, 0.0), (8.0, 0.0), (8.0, 6.0), (0.0, 6.0))
DOOR = Outlet("door", ((2.5, 0.0), (5.5, 0.0)))
HALF_MARK = 0.00075
SLOPE_SLACK = 0.0015 / 3.0


def checks(
    surface: Shape, asked: Wishes, *, oldslab: OldSlab | None = None, **more: tuple[str, ...]
) -> dict[str, Check]:
    found = recheck(surface, oldslab=oldslab or old_floor(BOX), wishes=asked, **more)
    named = {check.name: check for check in found}
    assert len(named) == len(found)
    return named


def test_a_good_plane_passes_every_rule() -> None:
    asked = wishes(
        DOOR,
        edges=(Edge("front door", "door", *DOOR.line, lowest_m=0.09, highest_m=0.11),),
        highest_m=0.18,
        greatest_thickness_m=0.19,
    )
    found = checks(plane(y=0.0104, at_origin=0.1), asked)
    assert set(found) == {
        "least thickness", "greatest thickness", "least fall", "greatest fall", "cross fall",
        "bend", "highest level", "front door lowest", "front door highest", "front door level",
        "wall run to door",
    }  # fmt: skip
    assert all(check.passes for check in found.values())
    assert found["least fall"].found == pytest.approx(0.0104, abs=1e-9)
    assert found["cross fall"].found == pytest.approx(0.0, abs=1e-9)
    assert found["bend"].found == pytest.approx(0.0, abs=1e-9)
    assert found["least thickness"].found == pytest.approx(0.1, abs=2e-4)
    assert found["front door lowest"].where == "at front door"
    assert found["greatest thickness"].found == pytest.approx(0.1 + 0.0104 * 6, abs=2e-4)
    assert found["greatest thickness"].where == "in panel A"
    assert found["front door level"].found == pytest.approx(0.0, abs=1e-12)
    assert found["least fall"].slack == SLOPE_SLACK
    assert found["least thickness"].slack == HALF_MARK


def test_surety_is_kept_above_the_least_thickness() -> None:
    old = old_floor(BOX, surface=replace(plane(), deviation=0.004))
    least = checks(plane(y=0.0104, at_origin=0.083), wishes(DOOR), oldslab=old)["least thickness"]
    assert least.allowed == pytest.approx(0.075 + 2.0 * 0.004)
    assert least.passes
    thin = checks(plane(y=0.0104, at_origin=0.0821), wishes(DOOR), oldslab=old)["least thickness"]
    assert not thin.passes


def test_a_narrow_high_spot_between_lattice_points_is_seen_at_its_shot() -> None:
    hump = Shape(lambda x, y: 0.04 * (np.hypot(x - 3.3, y - 2.2) < 0.01))
    old = old_floor(BOX, surface=hump, shots=np.array([[3.3, 2.2], [1.0, 1.0]]))
    least = checks(plane(y=0.0104, at_origin=0.1), wishes(DOOR), oldslab=old)["least thickness"]
    assert least.found == pytest.approx(0.1 + 0.0104 * 2.2 - 0.04)
    assert least.at == (3.3, 2.2)


@given(turn=st.floats(0.0, 2 * math.pi), fall=st.floats(0.005, 0.04), u=st.floats(0.2, 7.8))
@settings(max_examples=15, deadline=None)
def test_fall_toward_a_door_wall_is_the_component_and_cross_fall_the_rest(
    turn: float, fall: float, u: float
) -> None:
    mouth = Outlet("door", ((max(0.0, u - 0.2), 0.0), (min(8.0, u + 0.2), 0.0)))
    down, across = fall * math.cos(turn), fall * math.sin(turn)
    found = checks(plane(x=across, y=down), wishes(mouth))
    assert found["least fall"].found == pytest.approx(down, abs=1e-9)
    assert found["greatest fall"].found == pytest.approx(down, abs=1e-9)
    assert found["cross fall"].found == pytest.approx(abs(across), abs=1e-9)


def test_straight_to_a_narrow_mouth_the_direction_turns_over_the_floor() -> None:
    mouth = Outlet("slot", ((3.9, 0.0), (4.1, 0.0)), gather="mouth")
    found = checks(plane(y=0.02), wishes(mouth))
    # From the corner (0, 0) the way lies along the wall: no fall at all; cross fall is all of it.
    assert found["least fall"].found == pytest.approx(0.0, abs=1e-4)
    assert not found["least fall"].passes
    assert found["cross fall"].found == pytest.approx(0.02, abs=1e-4)
    assert "wall run to slot" not in found


def test_wall_run_must_not_fall_away_from_the_door() -> None:
    # A saddle-free trough: the wall falls toward the door from both sides, or away from it.
    toward = Shape(lambda x, y: 0.015 * y + 0.003 * np.maximum(abs(x - 4.0) - 1.5, 0.0))
    away = Shape(lambda x, y: 0.015 * y - 0.003 * np.maximum(abs(x - 4.0) - 1.5, 0.0))
    assert checks(toward, wishes(DOOR))["wall run to door"].found == pytest.approx(0.003)
    bad = checks(away, wishes(DOOR))["wall run to door"]
    assert bad.found == pytest.approx(-0.003)
    assert not bad.passes
    whole = Outlet("open edge", (BOX[0], BOX[1]))
    assert checks(away, wishes(whole))["wall run to open edge"].passes


def test_the_door_wall_may_be_drawn_in_pieces() -> None:
    outline = (BOX[0], (2.0, 0.0), (6.5, 0.0), *BOX[1:])
    away = Shape(lambda x, y: 0.015 * y - 0.003 * np.maximum(abs(x - 4.0) - 1.5, 0.0))
    found = checks(away, wishes(DOOR), oldslab=old_floor(outline))["wall run to door"]
    assert found.found == pytest.approx(-0.003)


def test_a_sudden_bend_is_measured_and_a_gentle_twist_is_not() -> None:
    ridge = Shape(lambda x, y: 0.015 * y + 0.006 * abs(x - 3.37))
    assert checks(ridge, wishes(DOOR))["bend"].found == pytest.approx(0.012, abs=1e-6)
    fold = ((3.37, 0.0), (3.37, 6.0))
    assert checks(ridge, wishes(DOOR), folds=(fold,))["bend"].found < 1e-6
    slant = Shape(lambda x, y: 0.015 * y + 0.006 * abs(0.6 * (x - 3.3) + 0.8 * (y - 2.1)))
    assert checks(slant, wishes(DOOR))["bend"].found == pytest.approx(0.012, abs=1e-6)
    twisted = Shape(lambda x, y: y * (0.012 + 0.001 * x))
    assert checks(twisted, wishes(DOOR))["bend"].found < 2e-5


def test_doors_are_level_and_inside_their_range_unless_moved() -> None:
    edge = Edge(
        "side door", "door", (8.0, 1.0), (8.0, 2.0), lowest_m=0.10, highest_m=0.11,
        move=Move(cost=50.0, up_m=0.03, down_m=0.01),
    )  # fmt: skip
    asked = wishes(DOOR, edges=(edge,))
    tilted = checks(plane(y=0.0104, at_origin=0.095), asked)
    # Along the door the top rises from 0.1054 to 0.1158.
    assert tilted["side door level"].found == pytest.approx(0.0104)
    assert tilted["side door level"].quantity == "rise_m"
    assert not tilted["side door level"].passes
    assert tilted["side door highest"].found == pytest.approx(0.1158)
    assert not tilted["side door highest"].passes
    assert tilted["side door lowest"].passes
    moved = checks(plane(y=0.0104, at_origin=0.095), asked, moved=("side door",))
    assert moved["side door highest"].allowed == pytest.approx(0.14)
    assert moved["side door highest"].passes
    assert moved["side door lowest"].allowed == pytest.approx(0.10)
    low = checks(plane(y=0.0104, at_origin=0.085), asked, moved=("side door",))
    assert low["side door lowest"].allowed == pytest.approx(0.09)
    assert low["side door lowest"].passes


@pytest.mark.parametrize(
    ("plan", "move", "moved", "top", "gap"),
    [
        ("keep", None, False, 0.150, 0.0),
        ("keep", None, False, 0.153, 0.003),
        ("keep", None, False, 0.146, 0.004),
        ("raise", Move(cost=1.0, up_m=0.02), True, 0.165, 0.0),
        ("raise", Move(cost=1.0, up_m=0.02), True, 0.175, 0.005),
        ("raise", Move(cost=1.0, up_m=0.02), False, 0.165, 0.015),
        ("raise", None, False, 0.300, 0.0),
        ("raise", None, False, 0.140, 0.010),
    ],
)
def test_drains_meet_their_rim(
    plan: str, move: Move | None, moved: bool, top: float, gap: float
) -> None:
    drain = Drain("floor drain", (4.0, 3.0), rim_m=0.144, plan=plan, drop_m=0.006, move=move)
    asked = wishes(Outlet("floor drain", ((4.0, 3.0),)), drains=(drain,))
    names = ("floor drain",) if moved else ()
    check = checks(plane(at_origin=top), asked, moved=names)["floor drain rim"]
    assert check.found == pytest.approx(gap, abs=1e-12)
    assert check.passes == (gap <= HALF_MARK)


def test_a_buried_drain_puts_no_rule_on_the_top() -> None:
    drain = Drain("old drain", (4.0, 3.0), rim_m=0.0, plan="bury")
    assert "old drain rim" not in checks(
        plane(y=0.0104, at_origin=0.1), wishes(DOOR, drains=(drain,))
    )


def test_planes_to_a_drain_fall_toward_it_from_everywhere() -> None:
    envelope = Shape(lambda x, y: 0.1 + 0.015 * np.maximum(abs(x - 4.0), abs(y - 3.0)))
    found = checks(envelope, wishes(Outlet("drain", ((4.0, 3.0),))))
    # Toward the drain a plane gives fall x cos(angle): least on the valleys, at 45 degrees.
    assert found["least fall"].found == pytest.approx(0.015 / math.sqrt(2), rel=2e-3)
    assert found["greatest fall"].found == pytest.approx(0.015, rel=1e-3)
    assert found["cross fall"].found == pytest.approx(0.015 / math.sqrt(2), rel=2e-3)


def test_zones_have_wishes_of_their_own() -> None:
    def top(_x: np.ndarray, y: np.ndarray) -> np.ndarray:
        # Level from y = 2 to y = 4, else 1.5 %.
        return 0.1 + 0.015 * (y - np.clip(y - 2.0, 0.0, 2.0))

    corners = ((0.0, 2.0), (8.0, 2.0), (8.0, 4.0), (0.0, 4.0))
    bay = Zone("lift bay", corners, greatest_fall=0.005, least_thickness_m=0.12, highest_m=0.14)
    found = checks(Shape(top), wishes(DOOR, zones=(bay,)))
    assert found["least fall"].found == pytest.approx(0.015, abs=1e-6)
    assert found["lift bay greatest fall"].found == pytest.approx(0.0, abs=1e-6)
    assert found["lift bay least thickness"].found == pytest.approx(0.13)
    assert found["lift bay highest level"].passes
    assert "lift bay least fall" not in found
    wash = replace(
        bay, name="wash bay", least_fall=0.02, greatest_fall=None, least_thickness_m=0.14
    )
    found = checks(Shape(top), wishes(DOOR, zones=(wash,)))
    assert found["wash bay least fall"].found == pytest.approx(0.0, abs=1e-6)
    assert found["wash bay least fall"].where == "in wash bay"
    assert not found["wash bay least fall"].passes
    assert not found["wash bay least thickness"].passes
    assert found["least thickness"].passes
    plain = checks(Shape(top), wishes(DOOR))
    assert not plain["least fall"].passes


def test_a_pit_may_be_deeper_than_the_greatest_thickness() -> None:
    corners = ((5.0, 3.0), (6.0, 3.0), (6.0, 4.0), (5.0, 4.0))
    pit = Shape(lambda x, y: np.where((abs(x - 5.5) < 0.5) & (abs(y - 3.5) < 0.5), -0.4, 0.0))
    asked = wishes(DOOR, greatest_thickness_m=0.18)
    top = plane(y=0.0104, at_origin=0.1)
    sunk = old_floor(BOX, surface=pit, features=(Feature("pit", "pit", corners),))
    assert checks(top, asked, oldslab=sunk)["greatest thickness"].passes
    assert not checks(top, asked, oldslab=old_floor(BOX, surface=pit))["greatest thickness"].passes


def test_between_two_doors_water_may_part_a_little_off_the_middle() -> None:
    north = Outlet("north door", ((2.5, 6.0), (5.5, 6.0)))
    ridge = Shape(lambda _x, y: 0.1 - 0.012 * abs(y - 2.6))
    found = checks(ridge, wishes(DOOR, north))
    assert found["least fall"].found == pytest.approx(0.012, abs=1e-6)
    one_way = checks(
        plane(y=0.012, at_origin=0.1), wishes(DOOR, Outlet("far", ((8.0, 5.0), (8.0, 5.5))))
    )
    assert one_way["least fall"].found == pytest.approx(0.012, abs=1e-6)


# The way out, on its own.


def test_round_an_inside_corner_the_way_turns_at_the_corner() -> None:
    # An L: the way from the upper leg to a door at the right end bends at (3, 3).
    floor = shapely.Polygon([(0, 0), (9, 0), (9, 3), (3, 3), (3, 8), (0, 8)])
    way = WayOut(floor, (Outlet("door", ((9.0, 0.0), (9.0, 3.0))),))
    places = np.array([[1.0, 7.0], [2.0, 4.0], [5.0, 1.0], [1.0, 2.9]])
    found = way.bearings(places)
    wanted = np.array([[2.0, -4.0], [1.0, -1.0], [1.0, 0.0], [1.0, 0.0]])
    wanted /= np.hypot(*wanted.T)[:, None]
    for row, target in zip(found, wanted, strict=True):
        told = row[np.isfinite(row[:, 0])]
        assert len(told) == 1
        np.testing.assert_allclose(told[0], target, atol=1e-9)


def test_two_corners_in_a_row_lead_on_from_one_to_the_next() -> None:
    # A U: from the left leg round (3, 2) and (5, 2) up the right leg.
    floor = shapely.Polygon([(0, 0), (8, 0), (8, 6), (5, 6), (5, 2), (3, 2), (3, 6), (0, 6)])
    way = WayOut(floor, (Outlet("slot", ((5.0, 6.0), (8.0, 6.0))),))
    found = way.bearings(np.array([[1.0, 5.0], [4.0, 1.0], [1.0, 0.2]]))
    wanted = np.array([[2.0, -3.0], [1.0, 1.0], [4.0, 1.8]])
    wanted /= np.hypot(*wanted.T)[:, None]
    for row, target in zip(found, wanted, strict=True):
        np.testing.assert_allclose(row[np.isfinite(row[:, 0])], [target], atol=1e-9)


def test_a_narrow_post_does_not_turn_the_way_and_a_wide_one_does() -> None:
    def post(half: float) -> OldSlab:
        corners = ((4 - half, 2.5), (4 + half, 2.5), (4 + half, 2.6), (4 - half, 2.6))
        return old_floor(BOX, holes=(Hole("post", corners),))

    asked = wishes(DOOR)
    narrow = checks(plane(y=0.012, at_origin=0.1), asked, oldslab=post(0.2))
    assert narrow["cross fall"].found == pytest.approx(0.0, abs=1e-9)
    wide = checks(plane(y=0.012, at_origin=0.1), asked, oldslab=post(1.5))
    assert wide["cross fall"].found > 0.01


def test_the_nearest_outlet_counts_and_a_far_one_only_within_its_reach() -> None:
    floor = shapely.box(0, 0, 20, 4)
    outlets = (
        Outlet("west", ((0.0, 0.0), (0.0, 4.0))),
        Outlet("east", ((20.0, 0.0), (20.0, 4.0))),
    )
    places = np.array([[6.0, 2.0], [9.5, 2.0]])
    nearest = WayOut(floor, outlets).bearings(places)
    assert np.isfinite(nearest[..., 0]).sum(axis=1).tolist() == [1, 1]
    np.testing.assert_allclose(nearest[np.isfinite(nearest)].reshape(-1, 2), [[-1, 0], [-1, 0]])
    either = WayOut(floor, outlets, either_m=2.0).bearings(places)
    assert np.isfinite(either[..., 0]).sum(axis=1).tolist() == [1, 2]


def test_within_a_hand_of_a_drain_no_way_is_told() -> None:
    way = WayOut(shapely.box(0, 0, 4, 4), (Outlet("drain", ((2.0, 2.0),)),))
    found = way.bearings(np.array([[2.03, 2.0], [2.5, 2.0]]))
    assert np.isnan(found[0]).all()
    np.testing.assert_allclose(found[1], [[-1.0, 0.0]])
