"""Hand-made floors: what each touch runs into, what puts it right, and by how much."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from made_up_meeting import (
    FRONT,
    INCH,
    Shape,
    check,
    level,
    new_top,
    old_slab,
    only,
    raised,
    tilted,
)

from overslab.ground.faults import Faulty
from overslab.newtop.records import Edge, Move, Outlet
from overslab.oldslab.records import Hole
from overslab.touches import (
    Burner,
    FloorDrain,
    Outside,
    OverheadDoor,
    Post,
    Remedy,
    SideDoor,
    Stair,
    Touch,
    TouchFacts,
    Wall,
    meet,
)

BIG = OverheadDoor(
    "big door", *FRONT, sill_m=0.0, head_m=2.2, headroom_left_m=0.10, clear_least_m=2.0,
    move_cost=640.0,
)  # fmt: skip
OUT = (Outlet("big door", FRONT),)


def work(touch: Touch, word: str) -> Remedy:
    (found,) = (one for one in touch.remedies if word in one.says)
    return found


def asked(touch: Touch) -> str:
    return " ".join(remark.text for remark in touch.remarks if remark.weight == "ask")


# Overhead doors


def test_a_seal_takes_half_an_inch_and_no_more() -> None:
    """Trade notes, step 10: rubber seals take up about 1/2 in."""
    small = only(raised(0.5 * INCH, overhead_doors=(BIG,)))
    assert small.passes
    assert work(small, "seal and the stop").size_m == pytest.approx(0.5 * INCH)
    great = only(raised(0.75 * INCH, overhead_doors=(BIG,)))
    assert not check(great, "seal of an overhead").passes
    tracks = work(great, "Raise the tracks")
    assert tracks.size_m == pytest.approx(0.75 * INCH)
    assert (tracks.trade, tracks.when, tracks.cost) == ("door technician", "after the pour", 640.0)
    assert any("Springs" in remark.text for remark in great.remarks)


def test_tracks_go_up_no_further_than_there_is_room_above_them() -> None:
    touch = only(raised(0.12, overhead_doors=(BIG,)))
    room = check(touch, "room above the tracks")
    assert (room.found, room.allowed) == (0.10, pytest.approx(0.12))
    assert work(touch, "low headroom").size_m == pytest.approx(0.02)
    assert check(touch, "opening left").found == pytest.approx(2.08)


def test_a_lower_opening_than_the_owner_needs_is_told() -> None:
    touch = only(raised(0.25, overhead_doors=(BIG,)))
    opening = check(touch, "opening left")
    assert not opening.passes
    assert opening.source == "as written down for this job"
    assert work(touch, "Raise the head").size_m == pytest.approx(0.05)
    assert any("licensed engineer" in remark.text for remark in touch.remarks)


def test_a_door_line_that_is_not_level_is_measured_end_to_end() -> None:
    """3 m wide, 1 in 60 along it: 50 mm, more than the seal takes."""
    touch = only(tilted(lambda x, _y: (x - 2.0) / 60 - 0.05, overhead_doors=(BIG,)))
    across = check(touch, "out of level")
    assert across.found == pytest.approx(0.05)
    assert not across.passes
    assert work(touch, "taper").size_m == pytest.approx(0.05)
    assert check(touch, "seal of an overhead").found == pytest.approx(0.0)


def test_water_that_shall_leave_by_a_door_does_not_stand_behind_its_sill() -> None:
    low = replace(BIG, sill_m=0.08)
    touch = only(raised(0.07, overhead_doors=(low,), outlets=OUT))
    assert not check(touch, "where water shall leave").passes
    cut = work(touch, "Cut the sill")
    assert (cut.size_m, cut.trade) == (pytest.approx(0.01), "crew")
    for other in (
        raised(0.07, overhead_doors=(replace(low, lets_water_out=True),), outlets=OUT),
        raised(0.07, overhead_doors=(low,)),
        raised(0.07, overhead_doors=(low,), outlets=OUT, moved=("big door",)),
    ):
        assert all("where water" not in one.name for one in only(other).checks)


def test_a_door_that_the_top_moves_keeps_its_price() -> None:
    """Moved by 10 mm, which the seal would have taken: the new top has chosen to move it."""
    for how in ({"moved": ("big door",)}, {}):
        touch = only(raised(0.01, overhead_doors=(BIG,), **how))
        assert touch.moved is bool(how)
        costs = [remedy.cost for remedy in touch.remedies]
        assert costs == ([640.0] if how else [None])
    by_word = meet(
        old_slab(level(0.0)), new_top(level(0.01)), TouchFacts((BIG,), moved=("big door",))
    )
    assert only(by_word).moved


def test_what_was_not_written_down_is_asked_for() -> None:
    bare = OverheadDoor("bare", *FRONT, sill_m=0.0)
    touch = only(raised(0.1, overhead_doors=(bare,)))
    for wanted in ("tracks can go up", "height of its head", "least opening"):
        assert wanted in asked(touch)
    names = {one.name for one in touch.checks}
    assert not any("opening" in name or "room above" in name for name in names)


# The drive outside


def drive(height_m: float, by_m: float, *, sill_m: float = 0.0, falls: str = "yes") -> Touch:
    door = OverheadDoor("big door", *FRONT, sill_m=sill_m, lets_water_out=True)
    ground = Outside("drive", "big door", height_m, falls_away=falls)
    touches = raised(by_m, overhead_doors=(door,), outside=(ground,))
    return next(one for one in touches.touches if one.name == "drive")


def test_the_top_outside_is_never_above_the_top_inside() -> None:
    assert check(drive(-0.02, 0.0), "ground outside").found == pytest.approx(0.02)
    flooded = drive(0.03, 0.01)
    assert not check(flooded, "ground outside").passes
    assert work(flooded, "channel drain").size_m == pytest.approx(0.02)


def test_only_a_step_that_the_pour_makes_is_held_against_it() -> None:
    """A sill that stood 100 mm over the drive and still does is left as it was."""
    assert all("change of level" not in one.name for one in drive(-0.1, 0.0).checks)
    higher = drive(-0.1, 0.02)
    assert check(higher, "change of level").found == pytest.approx(0.12)
    ramp = work(higher, "Ramp up")
    # By hand: 120 mm at 1:12 is 1.44 m.
    assert ramp.sizes[0].value == pytest.approx(1.44)


def test_a_drive_that_falls_to_the_door_is_a_warning() -> None:
    assert any(one.weight == "warn" for one in drive(-0.1, 0.0, falls="no").remarks)
    assert "falls away" in asked(drive(-0.1, 0.0, falls="not known"))


# Side doors

MAN_DOOR = SideDoor("man door", (3.0, 6.0), (4.0, 6.0), threshold_m=0.15, swings="away")


def test_a_threshold_under_the_new_floor_is_raised() -> None:
    touch = only(raised(0.18, side_doors=(replace(MAN_DOOR, move_cost=75.0),)))
    assert not check(touch, "threshold above").passes
    up = work(touch, "Raise the threshold")
    assert (up.size_m, up.trade, up.cost) == (pytest.approx(0.03), "carpenter", 75.0)
    assert check(touch, "drop").found == pytest.approx(0.0)


@pytest.mark.parametrize("hung_left", [True, False])
def test_a_leaf_is_held_against_all_the_floor_it_can_sweep(hung_left: bool) -> None:
    """A hump under one jamb's arc: by hand, 50 mm of hump less 40 mm of gap."""
    side = -1.0 if hung_left else 1.0
    a, b = (3.0, 0.0), (4.0, 0.0)
    at = np.array([3.5 + side * 0.35, 0.5])

    def hump(x: np.ndarray, y: np.ndarray) -> np.ndarray:
        near = np.hypot(x - at[0], y - at[1]) < 0.2
        return 0.1 + 0.05 * near

    door = SideDoor("door", a, b, threshold_m=0.3, swings="over", gap_under_m=0.14)
    touch = only(tilted(hump, side_doors=(door,)))
    leaf = check(touch, "leaf of a door")
    assert leaf.found == pytest.approx(-0.01)
    assert leaf.at is not None
    assert np.hypot(*(np.array(leaf.at) - at)) < 0.2
    assert work(touch, "Cut the leaf").size_m == pytest.approx(0.01)


def test_a_hump_beyond_the_reach_of_the_leaf_does_not_matter() -> None:
    door = SideDoor("door", (3.0, 0.0), (4.0, 0.0), 0.3, swings="over", gap_under_m=0.14)
    touch = only(tilted(lambda _x, y: 0.1 + 0.05 * (y > 1.05), side_doors=(door,)))
    assert check(touch, "leaf of a door").found == pytest.approx(0.04)


def test_a_leaf_of_which_too_little_is_known_is_asked_for() -> None:
    for door, word in (
        (replace(MAN_DOOR, swings="not known"), "which way its leaf swings"),
        (replace(MAN_DOOR, swings="over"), "gap between its leaf"),
    ):
        assert word in asked(only(raised(0.05, side_doors=(door,))))


def test_a_required_way_out_gets_a_landing_and_a_ramp_that_fit() -> None:
    """Threshold 100 mm over the new floor; 38.1 mm may stay, 61.9 mm at 1:12 is 742.8 mm."""
    door = replace(MAN_DOOR, threshold_m=0.2, egress=True, floor_is_outside="no")
    touch = only(raised(0.1, side_doors=(door,)))
    ramp = work(touch, "ramp down")
    assert ramp.size_m == pytest.approx(0.0619)
    sizes = {size.name: size.value for size in ramp.sizes}
    assert sizes["ramp, long"] == pytest.approx(0.0619 * 12)
    assert sizes["landing deep"] == pytest.approx(36 * INCH)
    assert sizes["and as wide as the door,"] == pytest.approx(1.0)
    run = check(touch, "floor before the door")
    assert (run.found, run.allowed) == (pytest.approx(6.0), pytest.approx(0.9144 + 0.7428))


def test_where_no_ramp_fits_there_are_steps_with_even_risers() -> None:
    """Threshold 0.9 m over a floor 6 m deep: a ramp of 8.4 m is too long."""
    door = replace(MAN_DOOR, threshold_m=1.0, floor_is_outside="no")
    touch = only(raised(0.1, side_doors=(door,)))
    assert not check(touch, "floor before the door").passes
    steps = work(touch, "A ramp does not fit")
    sizes = {size.name: size.value for size in steps.sizes}
    # By hand: 900 mm less 196.85 mm is 703.15 mm, in 4 risers of 175.8 mm.
    assert sizes["risers"] == 4
    assert sizes["each riser"] == pytest.approx(0.70315 / 4)


def test_the_way_in_from_a_door_stops_at_a_hole() -> None:
    pit = Hole("pit", ((3.2, 3.0), (3.8, 3.0), (3.8, 3.5), (3.2, 3.5)))
    door = replace(MAN_DOOR, threshold_m=1.0)
    touch = only(raised(0.1, holes=(pit,), side_doors=(door,)))
    assert check(touch, "floor before the door").found == pytest.approx(2.5)


def test_a_stair_that_leads_to_a_threshold_takes_its_drop() -> None:
    door = replace(MAN_DOOR, threshold_m=0.54)
    flight = Stair("steps", (3.0, 5.0), (4.0, 5.0), risers_m=(0.18, 0.18, 0.18))
    touches = raised(0.0, side_doors=(door,), stairs=(flight,)).touches
    assert touches[0].passes
    assert all("drop" not in one.name for one in touches[0].checks)
    elsewhere = replace(flight, a=(0.0, 1.0), b=(0.0, 2.0))
    assert not raised(0.0, side_doors=(door,), stairs=(elsewhere,)).touches[0].passes


# Stairs


def test_steps_down_from_a_patio_gain_what_stairs_up_lose() -> None:
    """By hand: one step of 150 mm down to the lawn becomes 210 mm, over 7-3/4 in."""
    down = Stair("lawn step", *FRONT, risers_m=(0.15,), goes="down", riser_wanted_m=0.18)
    touch = only(raised(0.06, stairs=(down,)))
    greatest = check(touch, "riser of a stair")
    assert greatest.found == pytest.approx(0.21)
    assert not greatest.passes
    assert work(touch, "Reset the tread").size_m == pytest.approx(0.03)
    assert all("wood" not in one.says for one in touch.remedies)


def test_the_shot_of_a_tread_goes_before_the_tape() -> None:
    """The tread stands at 0.30; the top falls along the foot from 0.13 to 0.10."""
    up = Stair("stair", *FRONT, risers_m=(0.30, 0.18, 0.18), tread_m=0.30)
    touch = only(tilted(lambda x, _y: 0.13 - (x - 2.0) * 0.01, stairs=(up,)))
    assert check(touch, "riser of a stair").found == pytest.approx(0.20)
    assert check(touch, "less smallest").found == pytest.approx(0.02)
    assert "do not agree" not in asked(touch)
    wrong = replace(up, risers_m=(0.33, 0.18, 0.18))
    assert "do not agree" in asked(only(raised(0.1, stairs=(wrong,))))


def test_a_stair_of_which_only_the_wanted_riser_is_known() -> None:
    flight = Stair("stair", *FRONT, tread_m=0.30, riser_wanted_m=0.18)
    touch = only(raised(0.12, stairs=(flight,)))
    assert check(touch, "less smallest").found == pytest.approx(0.0, abs=1e-12)
    assert "its risers, each measured" in asked(touch)
    assert work(touch, "feet").size_m == pytest.approx(0.12)


# Walls, burners, drains, posts


def test_a_wall_is_looked_at_where_the_top_is_highest() -> None:
    """Siding at 0.30, top from 0.10 to 0.27 along the wall: 30 mm, less than 2 in."""
    wall = Wall("wall", (0.0, 0.0), (0.0, 6.0), siding_m=0.30, curb_m=0.32, curb_least_m=0.1)
    touch = only(tilted(lambda _x, y: 0.10 + 0.17 * y / 6, walls=(wall,)))
    siding = check(touch, "siding")
    assert siding.found == pytest.approx(0.03)
    assert siding.at == pytest.approx((0.0, 6.0))
    assert work(touch, "curb").size_m == pytest.approx(0.05)
    assert touch.rise_m == pytest.approx(0.27)


def test_siding_below_the_floor_line_is_a_warning_and_a_bare_wall_a_question() -> None:
    buried = only(raised(0.1, walls=(Wall("wall", *FRONT, siding_m=0.05),)))
    assert any("rots" in remark.text for remark in buried.remarks)
    bare = only(raised(0.1, walls=(Wall("wall", *FRONT),)))
    assert bare.checks == ()
    assert "stay clear of the floor" in asked(bare)


def test_an_outlet_box_is_an_electricians() -> None:
    touch = only(raised(0.2, walls=(Wall("wall", *FRONT, receptacle_m=0.15),)))
    box = work(touch, "outlet box")
    assert (box.size_m, box.trade) == (pytest.approx(0.05), "electrician")


def test_a_heater_that_stands_on_the_floor_is_lifted_with_it() -> None:
    """18 in in a garage: 460 mm is enough for the one that is set again, not for the hung one."""
    standing = Burner("heater", (4.0, 3.0), flame_m=0.46, stands_on_floor=True)
    touch = only(raised(0.1, burners=(standing,)))
    assert check(touch, "flame").found == pytest.approx(0.46)
    assert [one.when for one in touch.remedies] == ["before the pour", "after the pour"]
    assert {one.trade for one in touch.remedies} == {"heating fitter"}
    hung = only(raised(0.1, burners=(replace(standing, stands_on_floor=False),)))
    assert work(hung, "Raise its flame").size_m == pytest.approx(18 * INCH - 0.36)


def test_a_drain_is_kept_raised_or_buried() -> None:
    kept = FloorDrain("drain", (4.0, 3.0), rim_m=0.02, plan="keep")
    proud = only(raised(0.0, drains=(kept,)))
    assert not check(proud, "rim of a drain").passes
    up = work(
        only(raised(0.1, drains=(replace(kept, plan="raise", drop_m=0.01),))), "Raise the rim"
    )
    assert (up.size_m, up.trade) == (pytest.approx(0.07), "plumber")
    deep = work(only(raised(0.1, drains=(kept,))), "would lie deep")
    assert deep.size_m == pytest.approx(0.08)


@pytest.mark.parametrize(("may", "settled"), [("yes", True), ("no", False), ("not known", False)])
def test_a_drain_is_buried_only_with_a_yes_in_writing(may: str, settled: bool) -> None:
    """Surprise case 5: who says it may be given up, and where does its water go."""
    gone = FloorDrain(
        "drain", (4.0, 3.0), 0.0, "bury", may_be_abandoned=may, takes_water=True, move_cost=210.0
    )
    touches = raised(0.1, drains=(gone,))
    touch = only(touches)
    assert touch.passes is settled
    assert work(touch, "Cap the pipe").cost == 210.0
    assert "where does that water go" in asked(touch)
    what = {one.what: one for one in touches.readiness}
    yes = "the local office has said in writing that drain may be given up"
    assert (yes in what) is not settled
    if not settled:
        assert yes in what["drain is capped and filled"].waits_for


def test_a_sump_keeps_its_pump_and_gets_its_ring() -> None:
    """Surprise case 14: ring raised, sides formed, pump running through the pour week."""
    pit = FloorDrain("sump", (4.0, 3.0), rim_m=0.0, plan="raise", sump=True)
    touches = raised(0.1, drains=(pit,))
    touch = only(touches)
    assert work(touch, "Raise the rim").size_m == pytest.approx(0.1)
    assert work(touch, "strip round its ring").size_m == pytest.approx(0.1)
    assert work(touch, "pump").trade == "electrician"
    assert any("pump of sump has power" in one.what for one in touches.readiness)
    assert "where does its pump send the water" in asked(touch)


def test_wood_does_not_stand_in_concrete() -> None:
    wooden = Post("post", (6.0, 4.0), base="wood", base_top_m=0.08, size_m=0.15)
    touch = only(raised(0.1, posts=(wooden,)))
    assert work(touch, "pedestal").size_m == pytest.approx(0.02)
    assert work(touch, "isolation").size_m == pytest.approx(0.1)
    unknown = only(raised(0.1, posts=(replace(wooden, base_top_m=None),)))
    assert not unknown.passes
    assert only(raised(0.1, posts=(replace(wooden, base="steel"),))).passes
    assert "foot is made of" in asked(only(raised(0.1, posts=(Post("post", (6.0, 4.0)),))))


# The room as a whole


def test_a_job_without_facts_still_meets_the_lines_of_its_wishes() -> None:
    edges = (
        Edge("front", "door", *FRONT, lowest_m=0.0, highest_m=0.1),
        Edge("apron", "apron", (0.0, 1.0), (0.0, 2.0), 0.0, 0.1, move=Move(cost=90.0, up_m=0.1)),
    )
    touches = raised(0.08, edges=edges, moved=("apron",))
    assert [(one.name, one.kind, one.checks) for one in touches.touches] == [
        ("front", "line", ()),
        ("apron", "line", ()),
    ]
    assert "all of this door" in asked(touches.touches[0])
    (move,) = touches.touches[1].remedies
    assert (move.cost, move.size_m) == (90.0, pytest.approx(0.08))
    nothing = raised(0.08)
    assert nothing.touches == nothing.readiness == nothing.trades == ()
    assert any("Look again" in remark.text for remark in nothing.remarks)


def test_walls_and_burners_that_nobody_wrote_down_are_asked_for() -> None:
    said = " ".join(one.text for one in raised(0.08, overhead_doors=(BIG,)).remarks)
    assert "No wall is written down" in said
    assert "No burner is written down" in said
    assert "Local codes govern" in said


def test_without_a_top_nothing_can_be_met() -> None:
    with pytest.raises(Faulty) as caught:
        meet(old_slab(level(0.0)), new_top(None), TouchFacts())
    assert [fault.code for fault in caught.value.faults] == ["touches-no-top"]


def test_ground_outside_a_door_that_is_not_there() -> None:
    lost = tuple(Outside(f"drive {n}", f"door {n}", 0.0) for n in (1, 2))
    with pytest.raises(Faulty) as caught:
        raised(0.1, outside=lost)
    assert [fault.code for fault in caught.value.faults] == ["touches-door-lost"] * 2


def test_every_working_can_be_computed_again() -> None:
    touches = raised(
        0.1,
        overhead_doors=(BIG,),
        side_doors=(replace(MAN_DOOR, threshold_m=1.0),),
        stairs=(Stair("stair", *FRONT, risers_m=(0.18,) * 9, headroom_m=2.2),),
    )
    assert len(touches.workings) > 4
    for working in touches.workings:
        assert working.recompute() == working.result.value


def test_the_old_floor_counts_at_every_place() -> None:
    """Old floor falling 60 mm along the door, top level: the rise is told where it is greatest."""
    old = Shape(lambda x, _y: -0.02 * (x - 2.0))
    touches = meet(old_slab(old), new_top(level(0.05)), TouchFacts((BIG,)))
    touch = only(touches)
    assert touch.at == pytest.approx((5.0, 0.0))
    assert (touch.before_m, touch.after_m) == (pytest.approx(-0.06), pytest.approx(0.05))
    assert touch.rise_m == pytest.approx(0.11)
