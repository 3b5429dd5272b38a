"""What job.toml says of doors, stairs, walls and the like, as the room of touches gets it."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from small_job import JOB, PutDown

from overslab.ground.faults import Faulty
from overslab.job import read_job
from overslab.job.touchfacts import touch_facts_for
from overslab.shots import reduce
from overslab.touches import TouchFacts

INCH, FOOT = 0.0254, 0.3048
# The beam stands at 104 ft: the benchmark at 100 ft is read 4 ft 0 in.
MORE = """
[[door]]
name = "man door"
kind = "side"
ends = [["20 ft", "2 ft"], ["20 ft", "5 ft"]]
sill = "shot F2 + 5 in"
may_rise = "1 in"
may_drop = "4 in"
lets_water_out_today = false
swings = "over"
gap_under = "5/8 in"
egress = true
floor_outdoors = false

[[threshold]]
name = "house door"
ends = [["0 ft", "2 ft"], ["0 ft", "5 ft"]]
sill = "100 ft 3 in"
at_least_below = "1 in"
move_cost = "$75"
move_up = "2 in"

[[stair]]
name = "stair"
ends = [["0 ft", "7 ft"], ["0 ft", "9 ft"]]
tread = "shot F3 + 9 in"
riser = "7 in"
riser_slack = "3/8 in"
risers = ["9 in", "7 1/2 in"]
headroom = "7 ft"

[[stair]]
name = "garden step"
goes = "down"
ends = [["16 ft", "0 ft"], ["19 ft", "0 ft"]]
tread = "99 ft 3 in"
riser = "7 in"
riser_slack = "1 in"

[[wall]]
name = "wall"
ends = [["0 ft", "10 ft"], ["20 ft", "10 ft"]]
siding = "shots F3, F4 + 6 in"
curb = "100 ft 4 in"
curb_least = "4 in"

[[burner]]
name = "heater"
at = ["18 ft", "8 ft"]
flame = "shot F4 + 19 in"
stands_on_floor = true

[[drain]]
name = "drain"
at = ["10 ft", "5 ft"]
rim = "shot F1"
plan = "bury"
takes_water_today = true
may_be_abandoned = "no"

[[post]]
name = "post"
at = ["4 ft", "5 ft"]
size = "6 in"
base = "wood"
base_top = "shot F1 + 2 in"

[[outside]]
name = "drive"
door = "door"
height = "99 ft 11 in"
falls_away = true
"""


def facts(put_down: PutDown, text: str = MORE) -> TouchFacts:
    job = read_job(put_down({"job.toml": JOB.replace("[wishes]", text + "\n[wishes]")}))
    found, _ = touch_facts_for(job, reduce(job.survey))
    return found


def test_every_key_reaches_the_room(put_down: PutDown) -> None:
    found = facts(put_down)
    datum = 100 * FOOT
    man_door, house_door = found.side_doors
    assert man_door.threshold_m == pytest.approx(datum - 4.25 * INCH + 5 * INCH)
    assert (man_door.swings, man_door.egress, man_door.floor_is_outside) == ("over", True, "no")
    assert man_door.gap_under_m == pytest.approx(0.625 * INCH)
    assert house_door.threshold_m == pytest.approx(datum + 3 * INCH)
    assert (house_door.swings, house_door.move_cost) == ("not known", 75.0)
    stair, step = found.stairs
    assert stair.tread_m == pytest.approx(datum - 4.5 * INCH + 9 * INCH)
    assert stair.risers_m == pytest.approx((9 * INCH, 7.5 * INCH))
    assert (stair.goes, step.goes, step.risers_m) == ("up", "down", ())
    assert step.riser_wanted_m == pytest.approx(7 * INCH)
    (wall,) = found.walls
    assert wall.siding_m == pytest.approx(datum - 4.625 * INCH + 6 * INCH)
    assert (wall.curb_least_m, wall.receptacle_m) == (pytest.approx(4 * INCH), None)
    (heater,) = found.burners
    assert heater.flame_m == pytest.approx(datum - 4.75 * INCH + 19 * INCH)
    assert heater.at == pytest.approx((18 * FOOT, 8 * FOOT))
    (drain,) = found.drains
    assert (drain.plan, drain.may_be_abandoned, drain.takes_water) == ("bury", "no", True)
    (post,) = found.posts
    assert post.at == pytest.approx((4 * FOOT, 5 * FOOT))
    assert (post.base, post.base_top_m) == ("wood", pytest.approx(datum - 2 * INCH))
    (ground,) = found.outside
    assert (ground.door, ground.falls_away) == ("door", "yes")
    assert ground.height_m == pytest.approx(datum - INCH)
    (door,) = found.overhead_doors
    assert (door.sill_m, door.lets_water_out) == (pytest.approx(datum), True)
    assert door.head_m is None


def test_a_door_of_no_kind_is_taken_for_an_overhead_door_and_told(put_down: PutDown) -> None:
    (taken,) = facts(put_down, "").taken
    assert "door" in taken.about
    said = JOB.replace('name = "door"', 'name = "door"\nkind = "overhead"')
    job = read_job(put_down({"job.toml": said}))
    assert job.touches.facts.taken == ()


def test_heights_are_not_known_before_the_shots_are_reduced(put_down: PutDown) -> None:
    job = read_job(put_down())
    (door,) = job.touches.facts.overhead_doors
    assert math.isnan(door.sill_m)


def test_a_step_down_wants_the_top_a_riser_above_its_tread(put_down: PutDown) -> None:
    job = read_job(put_down({"job.toml": JOB.replace("[wishes]", MORE + "\n[wishes]")}))
    foot = {edge.name: edge.meets.height_m for edge in job.asked.edges}
    assert foot["garden step"] == pytest.approx(99 * FOOT + 10 * INCH)


@pytest.mark.parametrize(
    ("was", "then", "code"),
    [
        ('door = "door"', 'door = "north door"', "outside-door-unknown"),
        ('flame = "shot F4 + 19 in"', 'flame = "shot X9"', "shot-unknown"),
        ('at = ["18 ft", "8 ft"]', 'at = ["28 ft", "8 ft"]', "touch-outside"),
        ('ends = [["0 ft", "10 ft"], ["20 ft", "10 ft"]]', 'ends = [["0 ft", "10 ft"], '
         '["0 ft", "10 ft"]]', "line-too-short"),
        ('name = "heater"', 'name = "wall"', "name-twice"),
        ('base = "wood"', 'base = "straw"', "key-wrong"),
        ('curb_least = "4 in"', 'curb_least = "0 in"', "length-sign"),
        ("stands_on_floor = true", "", "key-missing"),
    ],
)  # fmt: skip
def test_slips_are_told(put_down: PutDown, was: str, then: str, code: str) -> None:
    assert was in MORE
    with pytest.raises(Faulty) as caught:
        facts(put_down, MORE.replace(was, then))
    assert [fault.code for fault in caught.value.faults] == [code]
    assert caught.value.faults[0].place.startswith("job.toml")


def test_a_shot_without_a_height_is_told(put_down: PutDown) -> None:
    job = read_job(put_down({"job.toml": JOB.replace("[wishes]", MORE + "\n[wishes]")}))
    heights = reduce(job.survey)
    fewer = replace(heights, points=tuple(p for p in heights.points if p.point != "F4"))
    with pytest.raises(Faulty) as caught:
        touch_facts_for(job, fewer)
    assert {fault.code for fault in caught.value.faults} == {"shot-unknown"}
    assert {fault.place for fault in caught.value.faults} == {"wall", "heater"}
