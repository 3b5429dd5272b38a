"""Room under fixed heights, worked out by hand on floors of known shape."""

from __future__ import annotations

import numpy as np
import pytest
from slabs_to_judge import INCH_M, PRACTICE, SOUND, cracked, found, slab

from overslab.ground.faults import Faulty
from overslab.verdict import HeightLimit, judge

DOOR = HeightLimit("door", (1.0, 0.0), (5.0, 0.0), 0.12)


def rooms(verdict):
    return {room.system: room for room in verdict.systems}


def test_room_is_the_limit_less_the_floor_at_its_highest() -> None:
    """The floor climbs 5 mm a metre along the door: at its far end, x = 5, it stands 25 mm high."""
    floor = slab(lambda x, y: 0.005 * x + 0.01 * y)
    room = rooms(judge(floor, found(cracks=()), PRACTICE, limits=(DOOR,)))["unbonded"]
    assert room.thinnest_possible_m == pytest.approx(0.12 - 0.025)
    assert room.tightest_at == "door"
    assert room.allowed


def test_room_is_taken_short_by_what_is_not_sure() -> None:
    floor = slab(deviation_m=0.004)
    told = judge(floor, found(cracks=()), PRACTICE, limits=(DOOR,), surety=2.0)
    assert rooms(told)["unbonded"].thinnest_possible_m == pytest.approx(0.12 - 2 * 0.004)


def test_a_place_is_a_line_without_length() -> None:
    drain = HeightLimit("drain", (2.0, 3.0), (2.0, 3.0), 0.1)
    floor = slab(lambda x, y: 0.01 * x * y)
    told = judge(floor, found(cracks=()), PRACTICE, limits=(drain,))
    assert rooms(told)["bonded"].thinnest_possible_m == pytest.approx(0.1 - 0.06)


def test_an_area_is_looked_at_all_over_and_a_tiny_one_in_its_corners() -> None:
    floor = slab(lambda x, _y: 0.01 * x, lattice_step_m=0.5)
    zone = HeightLimit(
        "bay", (1.0, 1.0), (1.0, 1.0), 0.1, corners=((1.0, 1.0), (3.0, 1.0), (3.0, 3.0), (1.0, 3.0))
    )
    # The last column of cells inside has its centre at x = 2.75.
    told = judge(floor, found(cracks=()), PRACTICE, limits=(zone,))
    assert rooms(told)["bonded"].thinnest_possible_m == pytest.approx(0.1 - 0.0275)
    tiny = HeightLimit(
        "sump", (4.0, 1.0), (4.0, 1.0), 0.1, corners=((4.0, 1.0), (4.1, 1.0), (4.1, 1.1))
    )
    told = judge(floor, found(cracks=()), PRACTICE, limits=(tiny,))
    assert rooms(told)["bonded"].thinnest_possible_m == pytest.approx(0.1 - 0.041)


# Common practice: unbonded from 3 in, bonded from 1-1/2 in, nothing below (the design's own rule).
@pytest.mark.parametrize(
    ("room_in", "unbonded", "bonded", "system"),
    [
        (3.5, True, True, "unbonded"),
        (3.0, True, True, "unbonded"),
        (2.9, False, True, "bonded"),
        (1.5, False, True, "bonded"),
        (1.4, False, False, None),
        (-1.0, False, False, None),
    ],
)
def test_thickness_decides_first(room_in, unbonded, bonded, system) -> None:
    door = HeightLimit("door", (1.0, 0.0), (5.0, 0.0), room_in * INCH_M)
    told = judge(cracked(), SOUND, PRACTICE, limits=(door,))
    assert rooms(told)["unbonded"].allowed is unbonded
    assert rooms(told)["bonded"].allowed is bonded
    assert told.system == system
    if system is None:
        assert told.ruling == "put these right first"
        assert any("cut out the old floor" in text for text in told.put_right)
    else:
        assert told.ruling == f"over it, {system}"
        assert (
            told.least_thickness_m
            == {
                "unbonded": PRACTICE.unbonded_least_m,
                "bonded": PRACTICE.bonded_least_m,
            }[system]
        )


def test_without_a_fixed_height_there_is_room() -> None:
    told = judge(cracked(), SOUND, PRACTICE)
    assert told.ruling == "over it, unbonded"
    assert told.room_m is None
    assert rooms(told)["unbonded"].thinnest_possible_m is None


def test_what_may_be_moved_counts_as_moved_and_is_named() -> None:
    door = HeightLimit("door", (1.0, 0.0), (5.0, 0.0), 2.5 * INCH_M, can_move_up_m=1.0 * INCH_M)
    told = judge(cracked(), SOUND, PRACTICE, limits=(door,), wished="unbonded")
    assert rooms(told)["unbonded"].needs_moved == ("door",)
    assert told.ruling == "over it, unbonded"
    assert any("door" in text for text in told.put_right)
    # Not asked for, the system that needs nothing moved is taken.
    assert judge(cracked(), SOUND, PRACTICE, limits=(door,)).ruling == "over it, bonded"
    short = HeightLimit("door", (1.0, 0.0), (5.0, 0.0), 1.5 * INCH_M, can_move_up_m=1.0 * INCH_M)
    assert not rooms(judge(cracked(), SOUND, PRACTICE, limits=(short,)))["unbonded"].allowed


def test_a_floor_with_no_room_over_most_of_it_is_not_poured_over() -> None:
    whole = ((0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0))

    def under(share_short: float):
        """The floor stands too high left of ``share_short`` of its length."""
        floor = slab(lambda x, _y: np.where(x < 6 * share_short, 0.09, 0.0))
        limit = HeightLimit("highest level", (0.0, 0.0), (0.0, 0.0), 0.1, corners=whole)
        return judge(floor, found(cracks=()), PRACTICE, limits=(limit,))

    assert under(0.8).ruling == "do not pour over this"
    assert under(0.2).ruling == "put these right first"


def test_the_map_is_the_room_under_a_level_through_the_lowest_limit() -> None:
    floor = slab(lambda x, _y: 0.01 * x, deviation_m=0.002)
    high = HeightLimit("sill", (6.0, 0.0), (6.0, 4.0), 0.2)
    told = judge(floor, found(cracks=()), PRACTICE, limits=(high, DOOR), surety=1.0)
    across = np.broadcast_to(floor.lattice.x_m, floor.lattice.inside.shape)
    assert told.room_m == pytest.approx(0.12 - 0.01 * across - 0.002)


def test_the_owners_least_thickness_is_asked_room_for() -> None:
    told = judge(cracked(), SOUND, PRACTICE, limits=(DOOR,), least_thickness_m=0.1)
    assert (told.ruling, told.least_thickness_m) == ("over it, unbonded", 0.1)
    told = judge(cracked(), SOUND, PRACTICE, limits=(DOOR,), least_thickness_m=0.13)
    assert told.ruling == "put these right first"
    assert told.system is None
    assert told.least_thickness_m == 0.13


def test_a_least_thickness_below_the_unbonded_practice_means_bonded() -> None:
    told = judge(cracked(), SOUND, PRACTICE, limits=(DOOR,), least_thickness_m=2 * INCH_M)
    assert (told.system, told.least_thickness_m) == ("bonded", 2 * INCH_M)
    oily = judge(
        cracked(), found(surface=("oil",)), PRACTICE, limits=(DOOR,), least_thickness_m=2 * INCH_M
    )
    assert oily.ruling == "put these right first"


@pytest.mark.parametrize(("wished", "least_in"), [("unbonded", 2.0), ("bonded", 1.0), (None, 1.0)])
def test_a_least_thickness_against_the_owners_own_practice_is_a_fault(wished, least_in) -> None:
    with pytest.raises(Faulty) as trouble:
        judge(cracked(), SOUND, PRACTICE, wished=wished, least_thickness_m=least_in * INCH_M)
    assert [fault.code for fault in trouble.value.faults] == ["verdict-thinner-than-practice"]


def test_published_limits_stand_beside_the_practice_and_disagree() -> None:
    """2-1/2 in unbonded passes the rules of 1969 and 1980 and fails the later one of 3 in."""
    told = judge(cracked(), SOUND, PRACTICE, limits=(DOOR,))
    finding = next(
        one for one in told.findings if one.topic == "thickness" and "unbonded" in one.for_systems
    )
    verdicts = {
        limit.edition: limit.check(found=2.5 * INCH_M, slack=1e-9).passes
        for limit in finding.published
    }
    assert verdicts["citing ACI 302.1R-80"]
    assert verdicts["citing ACI 302-69"]
    assert not verdicts["1996 and later"]
    assert not any(limit.practice for limit in finding.published)
