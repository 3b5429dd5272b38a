"""The other ways on floors of two panels, an invented step apart; all by hand."""

from __future__ import annotations

import sys
from functools import cache
from pathlib import Path
from typing import Any

import pytest

sys.path.append(str(Path(__file__).resolve().parents[1] / "cases"))

from case_jobs import DOOR, FOOT_M, INCH_M, Book, Inches, job, read_again

from overslab.job import walk_to
from overslab.job.records import Rooms
from overslab.newtop.records import NewTop
from overslab.price.grinding import take_off_grinding
from overslab.price.lifting import take_off_lift

NEAR = (0.25, 6, 11.5, 12.5, 18, 23.75)


@cache
def settled(where: str) -> Rooms:
    """A floor 4 in below the datum, half of it (right) or a quarter of it (back) 2 in lower."""
    right = where == "right"
    low: Inches = lambda x, y: -6.0 if (x > 12 if right else y > 18) else -4.0  # noqa: E731
    line = [["12 ft", "0 ft"], ["12 ft", "24 ft"]]
    if not right:
        line = [["0 ft", "18 ft"], ["24 ft", "18 ft"]]
    book = Book()
    book.marks()
    if right:
        book.grid(low, xs=NEAR)
    else:
        book.grid(low, ys=(0.25, 6, 12, 17.5, 18.5, 23.75))
    book.marks()
    crack: dict[str, Any] = {"name": "joint", "kind": "joint", "line": line}
    texts = job("Two panels", book, story="One has sunk.",
                touches=(("[[door]]", DOOR), ("[[break]]", crack)))  # fmt: skip
    return walk_to(read_again(texts), last="newtop")


def top_of(rooms: Rooms) -> NewTop:
    assert rooms.newtop is not None
    return rooms.newtop


def test_a_sunk_half_is_lifted_with_the_rest() -> None:
    """To 1/8 in per ft over 24 ft: 1 1/2 in on one half and 3 1/2 in on the other, 120 ft3."""
    rooms = settled("right")
    assert rooms.oldslab is not None
    lift = take_off_lift(rooms.oldslab, top_of(rooms))
    assert lift.volume_m3 / FOOT_M**3 == pytest.approx(120, rel=0.01)
    assert lift.most_m / INCH_M == pytest.approx(5, rel=0.01)
    assert len(lift.panels) == 2
    assert lift.water.low_spots == ()


def test_a_step_is_ground_to_a_ramp() -> None:
    """2 in along 24 ft at 1:12 run out over 2 ft: 48 ft2, 24 x 1/6 x 2 / 2 = 4 ft3."""
    rooms = settled("right")
    assert rooms.oldslab is not None
    found = take_off_grinding(rooms.oldslab, step_most_m=INCH_M / 4)
    assert found.heaved == ()
    (ramp,) = found.ramps
    assert ramp.length_m / FOOT_M == pytest.approx(24)
    assert ramp.step_m / INCH_M == pytest.approx(2, abs=0.03)
    assert found.area_m2 / FOOT_M**2 == pytest.approx(48, rel=0.02)
    assert found.volume_m3 / FOOT_M**3 == pytest.approx(4, rel=0.04)
    assert take_off_grinding(rooms.oldslab, step_most_m=3 * INCH_M).area_m2 == 0.0


def test_a_puddle_is_filled_to_where_it_spills() -> None:
    """6 ft by 24 ft, 2 in below the rest: 24 ft3 of water, and as much patch."""
    rooms = settled("back")
    assert rooms.oldslab is not None
    found = take_off_grinding(rooms.oldslab, step_most_m=3 * INCH_M)
    assert found.patch_m3 / FOOT_M**3 == pytest.approx(24, rel=0.03)
    assert found.patch_m2 / FOOT_M**2 == pytest.approx(144, rel=0.03)
    today = sum(spot.volume_m3 for spot in rooms.oldslab.low_spots)
    assert found.patch_m3 == pytest.approx(today)  # nothing was ground


def test_without_a_drawn_plane_the_least_filling_is_taken() -> None:
    """The back quarter up by 2 in and nothing else: 24 ft3; a level plane needs no more."""
    from dataclasses import replace

    rooms = settled("back")
    assert rooms.oldslab is not None
    lift = take_off_lift(rooms.oldslab, replace(top_of(rooms), options=()))
    assert not lift.drains
    # The lowest plane over both panels' corners: level over the front, 24 ft3 below the back.
    assert lift.volume_m3 / FOOT_M**3 == pytest.approx(24, rel=0.03)


def test_a_door_that_cannot_take_it_is_named() -> None:
    """With the door's limit 1 in lower than the old floor the lifted one stands over it."""
    from dataclasses import replace

    rooms = settled("right")
    assert rooms.oldslab is not None
    top = top_of(rooms)
    edges = tuple(replace(edge, highest_m=100 * FOOT_M - 5 * INCH_M) for edge in top.wishes.edges)
    lift = take_off_lift(rooms.oldslab, replace(top, wishes=replace(top.wishes, edges=edges)))
    (door,) = lift.too_high
    assert door.name == "door"
    assert door.over_m / INCH_M == pytest.approx(1, abs=0.05)
