"""Joints over the new top against hand layouts, and what goes with them."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from joint_floors import FOOT, INCH, Points, box_feet, feet, floor
from shapely import ops

from overslab.ground.faults import Faulty
from overslab.oldslab.records import Break, Hole
from overslab.takeoff import JointLayout, joint_programme, lay_joints
from overslab.takeoff.asked import JointsAsked

SAWN = JointsAsked("sawn")


def thick(inches: float):  # a formula of x and y
    return lambda x, _y: inches * INCH + 0 * x


def places(found: JointLayout) -> set[tuple[str, float]]:
    """Which way each of our joints runs, and where, in feet."""
    told = set()
    for line in found.lines:
        if not line.over:
            (x, y), (to_x, _) = line.path[0], line.path[-1]
            told.add(
                ("x", round(x / FOOT, 2)) if abs(x - to_x) < 1e-6 else ("y", round(y / FOOT, 2))
            )
    return told


def test_four_inches_give_panels_of_twelve_feet() -> None:
    """ACI 302 as told by the trade paper: 4 in gives 8 to 12 ft; 24 x 24 ft is four panels."""
    found = lay_joints(*floor(box_feet(24, 24), thick(4)), SAWN, system="unbonded")
    assert places(found) == {("x", 12.0), ("y", 12.0)}
    assert found.length_m / FOOT == pytest.approx(48)
    assert found.crossings == 1
    assert [round(p.length_m / FOOT, 3) for p in found.panels] == [12.0] * 4
    assert all(check.passes for check in found.checks)
    low = next(limit for limit in found.published if limit.name == "ACI 302, low")
    assert low.value / FOOT == pytest.approx(8)


def test_the_cap_holds_where_it_is_thick() -> None:
    """36 x 8 in is 24 ft, over the cap of 15: 30 ft wants one joint, 20 ft one."""
    found = lay_joints(*floor(box_feet(30, 20), thick(8)), SAWN, system="unbonded")
    assert places(found) == {("x", 15.0), ("y", 10.0)}


def test_only_panels_that_are_thin_are_short() -> None:
    """24 x 7 ft, 2 1/2 in over the first 6 ft (7 1/2 ft allowed) and 4 in beyond (12 ft).

    A line at 7 ft at the farthest, then 17 ft that 1.5 times 7 ft parts in two: two lines of 7 ft.
    The plain grid takes 7 ft for all: four panels, three lines.
    """
    here = floor(box_feet(24, 7), lambda x, _y: np.where(x < 6 * FOOT, 2.5, 4.0) * INCH)
    found = lay_joints(*here, SAWN, system="unbonded")
    assert found.length_m / FOOT == pytest.approx(2 * 7)
    assert found.plain.length_m / FOOT == pytest.approx(3 * 7)
    assert all(check.passes for check in found.checks)


def test_metric_floors_stand_on_metric_steps() -> None:
    """100 mm allow 3.6 m; 7.2 x 7.2 m on steps of 300 mm is four panels of 3.6 m."""
    outline = ((0.0, 0.0), (7.2, 0.0), (7.2, 7.2), (0.0, 7.2))
    asked = replace(SAWN, step_m=0.3, least_strip_m=0.6)
    found = lay_joints(*floor(outline, lambda x, _y: 0.1 + 0 * x), asked, system="unbonded")
    assert found.length_m == pytest.approx(14.4)
    assert sorted(round(line.from_wall_m or 0.0, 6) for line in found.lines) == [3.6, 3.6]


def test_a_joint_runs_from_the_inside_corner() -> None:
    outline = feet((0, 0), (20, 0), (20, 9), (11, 9), (11, 18), (0, 18))
    found = lay_joints(*floor(outline, thick(5)), SAWN, system="unbonded")
    corner = shapely.Point(feet((11, 9))[0])
    meeting = [
        line for line in found.lines if shapely.LineString(line.path).distance(corner) < 1e-6
    ]
    assert meeting
    assert all("inside corner" in line.why for line in meeting)
    assert any(np.allclose(end, corner.coords[0]) for line in meeting for end in line.path)


def test_posts_have_joints_through_them_and_are_not_cut() -> None:
    """A 6 in post in the middle of 24 x 24 ft: both joints run through it, 6 in less each."""
    post = Hole("post", feet((11.75, 11.75), (12.25, 11.75), (12.25, 12.25), (11.75, 12.25)))
    found = lay_joints(*floor(box_feet(24, 24), thick(4), holes=(post,)), SAWN, system="unbonded")
    assert places(found) == {("x", 12.0), ("y", 12.0)}
    assert found.length_m / FOOT == pytest.approx(2 * 23.5)
    assert all(len(line.parts) == 2 and "post" in line.why for line in found.lines)


def test_both_jambs_can_be_asked_for() -> None:
    """24 x 16 ft, 6 in: jambs at 8 and 16 ft part it into 8 ft columns, halved across at 8 ft."""
    doors = (("door", feet((8, 0), (16, 0))),)
    asked = replace(SAWN, jambs="both", door_worth_m=100.0)
    found = lay_joints(*floor(box_feet(24, 16), thick(6), doors=doors), asked, system="unbonded")
    assert {("x", 8.0), ("x", 16.0)} <= places(found)
    assert found.proof.given_up == ()


@settings(max_examples=6, deadline=None)
@given(st.floats(-1.5, 1.5), st.sampled_from([3.0, 3.7, 4.4]))
def test_a_turned_floor_has_the_same_joints(angle: float, inches: float) -> None:
    c, s = math.cos(angle), math.sin(angle)
    corners = feet((0, 0), (21, 0), (21, 10), (12, 10), (12, 17), (0, 17))
    turned = tuple((x * c - y * s, x * s + y * c) for x, y in corners)
    straight = lay_joints(*floor(corners, thick(inches)), SAWN, system="unbonded")
    found = lay_joints(*floor(turned, thick(inches)), SAWN, system="unbonded")
    assert len(found.panels) == len(straight.panels)
    assert found.length_m == pytest.approx(straight.length_m, abs=1e-3)
    assert all(check.passes for check in found.checks)


def test_a_floor_without_a_main_way_says_so() -> None:
    outline = feet((0, 0), (14, 3), (17, 13), (6, 18), (-3, 9))
    found = lay_joints(*floor(outline, thick(4)), SAWN, system="unbonded")
    assert any("no main way" in remark.text for remark in found.remarks)
    sides = np.diff(np.array([*outline, outline[0]]), axis=0)
    longest = sides[np.hypot(*sides.T).argmax()]
    lean = (math.atan2(longest[1], longest[0]) - found.angle_rad) % (math.pi / 2)
    assert min(lean, math.pi / 2 - lean) < 1e-9


CRACK = Break("crack K", feet((10, 0), (9, 7), (11, 14)), "crack")
JOINT = Break("old joint", feet((10, 0), (10, 14)), "joint")


@pytest.mark.parametrize("over", [CRACK, JOINT])
def test_a_bonded_top_joints_right_over_what_it_must_match(over: Break) -> None:
    here = floor(box_feet(20, 14), lambda x, _y: (4 + x / FOOT / 20) * INCH, breaks=(over,))
    found = lay_joints(*here, SAWN, system="bonded", to_match=(over.name,))
    line = next(line for line in found.lines if line.over == over.name)
    assert shapely.LineString(line.path).equals(shapely.LineString(over.line))
    # Full depth at its thickest: an inch more for 20 ft, at most 1 cm to the side of the line.
    reach = max(x for x, _ in over.line) / FOOT
    assert (4 + reach / 20) * INCH - 1e-6 <= line.depth_m <= (4 + (reach + 0.05) / 20) * INCH
    # Nothing of ours runs across it.
    for other in found.lines:
        if not other.over:
            assert not shapely.LineString(other.path).crosses(shapely.LineString(over.line))
    match = next(check for check in found.checks if check.name.startswith("old joint without"))
    assert match.found == pytest.approx(0.0, abs=1e-6)
    assert match.passes


def test_an_unbonded_top_asks_what_to_do_over_an_old_joint() -> None:
    here = floor(box_feet(20, 14), thick(4), breaks=(JOINT,))
    found = lay_joints(*here, SAWN, system="unbonded", to_match=("old joint",))
    assert not any(line.over for line in found.lines)
    assert any(r.weight == "ask" and "old joint" in r.text for r in found.remarks)


def test_heating_pipes_make_sawn_joints_tooled_ones() -> None:
    here = floor(box_feet(24, 24), thick(4))
    found = lay_joints(*here, SAWN, system="unbonded", no_drilling=("heating pipes",))
    assert found.kind == "tooled"
    assert [item.code for item in found.items] == ["tool-joints"]
    assert any("heating pipes" in r.text and r.weight == "warn" for r in found.remarks)


def test_what_is_cut_and_filled_is_what_is_drawn() -> None:
    asked = replace(SAWN, filler=True)
    found = lay_joints(*floor(box_feet(24, 24), thick(4)), asked, system="unbonded")
    assert {item.code: round(item.net / FOOT, 6) for item in found.items} == {
        "cut-joints": 48.0,
        "joint-filler": 48.0,
        "fill-joints": 48.0,
    }
    assert sum(one.length_m for one in found.depths) == pytest.approx(found.length_m)


def test_the_cut_is_as_deep_as_its_thickest_place_asks() -> None:
    """4 in at the west wall, 8 in at the east: across the floor 8/4 = 2 in, at 12 ft 6/4 in."""
    here = floor(box_feet(24, 20), lambda x, _y: (4 + x / FOOT / 6) * INCH)
    asked = replace(SAWN, greatest_panel_m=12 * FOOT, at_doors=False)
    found = lay_joints(*here, asked, system="unbonded")
    depth = {line.path[0][0] / FOOT: line.depth_m / INCH for line in found.lines}
    assert depth[0.0] == pytest.approx(2.0, abs=0.01)
    assert depth[12.0] == pytest.approx(1.5, abs=0.01)
    third = lay_joints(*here, replace(asked, depth_share=1 / 3), system="unbonded")
    across = next(line for line in third.lines if line.path[0][0] == pytest.approx(0.0))
    assert across.depth_m / INCH == pytest.approx(8 / 3, abs=0.01)
    early = lay_joints(*here, replace(asked, kind="early-entry"), system="unbonded")
    assert {round(line.depth_m / INCH, 6) for line in early.lines} == {1.0}
    assert any("early-entry" in one.about for one in early.assumptions)


def test_an_early_entry_cut_is_not_trusted_in_a_thick_slab() -> None:
    """ACI 302.1R, from memory: 1 in early for slabs up to 9 in. 10 in warns, 9 in does not."""
    name = "thickest place under an early-entry cut"
    asked = replace(SAWN, kind="early-entry")
    for inches, passes in ((10.0, False), (8.9, True)):
        found = lay_joints(*floor(box_feet(24, 12), thick(inches)), asked, system="unbonded")
        check = next(check for check in found.checks if check.name == name)
        assert check.found == pytest.approx(inches * INCH)
        assert check.passes is passes
        assert any("maker of the saw" in r.text for r in found.remarks) is not passes
    deep = replace(asked, depth_share=0.25)
    found = lay_joints(*floor(box_feet(24, 12), thick(10)), deep, system="unbonded")
    assert {round(line.depth_m / INCH, 6) for line in found.lines} == {2.5}
    assert all(check.name != name for check in found.checks)


@pytest.mark.parametrize("aspect", [1.0, 1.2])
def test_nearly_square_panels_end_in_a_layout_that_says_what_it_is(aspect: float) -> None:
    """31 x 17 ft on whole feet part into squares of 1 ft alone, less than the least strip."""
    asked = replace(SAWN, greatest_aspect=aspect)
    found = lay_joints(*floor(box_feet(31, 17), thick(4)), asked, system="unbonded")
    assert sum(panel.area_m2 for panel in found.panels) == pytest.approx(31 * 17 * FOOT**2)
    assert all(panel.length_m <= 12 * FOOT + 1e-3 for panel in found.panels)
    slender = next(c for c in found.checks if c.name == "length over width of a panel")
    asked_for = found.proof.aspect <= aspect
    assert slender.passes or not asked_for
    assert asked_for or aspect == 1.0
    assert asked_for is not any("near to square" in r.text for r in found.remarks)


def test_a_search_that_is_cut_off_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """With one round for whole lines the shapes cannot all be looked at."""
    monkeypatch.setattr(joint_programme, "_ROUNDS", 0)
    monkeypatch.setattr(joint_programme, "_AT_ONCE", 0)
    asked = replace(SAWN, greatest_aspect=1.2)
    found = lay_joints(*floor(box_feet(31, 17), thick(4)), asked, system="unbonded")
    assert found.proof.stopped
    assert any("ended before everything was proven" in r.text for r in found.remarks)
    assert found.proof.bound_m <= found.proof.sought_m + 1e-6
    assert all(panel.length_m <= 12 * FOOT + 1e-3 for panel in found.panels)
    assert next(c for c in found.checks if c.name.startswith("cut length told")).passes


@pytest.mark.parametrize(
    "outline",
    [
        feet((0, 0), (20, 0), (0, 15)),
        feet((0, 0), (30, 2), (26, 19), (3, 16)),
        feet((0, 0), (30, 0), (24, 16), (0, 12)),
    ],
)
def test_lines_part_a_floor_at_slanted_walls_too(outline: Points) -> None:
    """Cut one line after the other with shapely's split, each drawn far past the walls."""
    found = lay_joints(*floor(outline, thick(4)), SAWN, system="unbonded")
    whole = shapely.Polygon(outline)
    pieces = [whole]
    for line in found.lines:
        a, b = np.array(line.path[0]), np.array(line.path[-1])
        far = shapely.LineString([a - (b - a), b + (b - a)])
        pieces = [part for piece in pieces for part in ops.split(piece, far).geoms]
    assert len(found.panels) == len(pieces)
    assert sorted(p.area_m2 for p in found.panels) == pytest.approx(
        sorted(piece.area for piece in pieces), abs=1e-3
    )
    assert sum(p.area_m2 for p in found.panels) == pytest.approx(whole.area, abs=1e-4)


def test_the_owner_may_set_the_panel() -> None:
    """8 ft asked where 4 in would allow 12: 24 x 24 ft is nine panels."""
    asked = replace(SAWN, greatest_panel_m=8 * FOOT)
    found = lay_joints(*floor(box_feet(24, 24), thick(4)), asked, system="unbonded")
    assert len(found.panels) == 9
    assert found.checks[0].allowed == pytest.approx(8 * FOOT)


def test_the_plain_grid_heeds_nothing() -> None:
    """20 x 18 ft L, 5 in: the limit of 15 ft halves it both ways, at 10 and at 9 ft."""
    outline = feet((0, 0), (20, 0), (20, 9), (11, 9), (11, 18), (0, 18))
    found = lay_joints(*floor(outline, thick(5)), SAWN, system="unbonded")
    # At 10 ft 18 ft long; at 9 ft it ends in the corner at 11 ft. A foot is left beside the wall.
    assert found.plain.length_m / FOOT == pytest.approx(18 + 11)
    assert found.plain.panels == 4
    assert {c.name for c in found.plain.checks if not c.passes} == {
        "length over width of a panel",
        "narrowest panel",
    }


def test_joints_lie_on_strip_edges_when_that_costs_nothing() -> None:
    """24 x 10 ft, 5 in: one line anywhere from 9 to 15 ft will do; the strip's edge is at 14."""
    strips = (feet((0, 0), (14, 0), (14, 10), (0, 10)), feet((14, 0), (24, 0), (24, 10), (14, 10)))
    here = floor(box_feet(24, 10), thick(5), strips=strips)
    found = lay_joints(*here, SAWN, system="unbonded")
    assert places(found) == {("x", 14.0)}
    assert found.on_strips_m / FOOT == pytest.approx(10, abs=0.01)
    assert any("pour strip" in remark.text for remark in found.remarks)


def test_without_a_top_there_are_no_joints() -> None:
    oldslab, newtop = floor(box_feet(8, 8), thick(4))
    with pytest.raises(Faulty, match="no new top"):
        lay_joints(oldslab, replace(newtop, options=(), chosen=None), SAWN, system=None)
