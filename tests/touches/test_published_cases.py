"""Building-code cases as published, through the room.

Limits: International Residential Code 2018 as quoted, and the ADA Standards (2010), section 303;
cases BC-01, BC-03, BC-05, BC-06, BC-08 of the trade's check table and the worked examples beside
them, in inches. The arithmetic is exact: a topping of t takes t from what stands still above it.
"""

from __future__ import annotations

import pytest
from made_up_meeting import FRONT, INCH, check, only, raised

from overslab.touches import Burner, Outside, OverheadDoor, SideDoor, Stair, Wall

RISERS = (7.5 * INCH,) * 8


@pytest.mark.parametrize(("raised_by", "holds"), [(2.0, False), (0.375, True), (0.4375, False)])
def test_bc_01_risers_stay_even_to_three_eighths(raised_by: float, holds: bool) -> None:
    """R311.7.5.1: risers of 7-1/2 in, foot raised 2 in fails, 3/8 in passes."""
    touch = only(raised(raised_by * INCH, stairs=(Stair("stair", *FRONT, risers_m=RISERS),)))
    even = check(touch, "greatest less smallest riser")
    assert even.found == pytest.approx(raised_by * INCH)
    assert even.passes is holds
    assert "R311.7.5.1" in even.source


@pytest.mark.parametrize(
    ("flame", "raised_by", "left", "holds"),
    [(18.5, 0.625, 17.875, False), (18.0, 0.0, 18.0, True), (18.5, 0.5, 18.0, True)],
)
def test_bc_03_flame_above_the_floor(
    flame: float, raised_by: float, left: float, holds: bool
) -> None:
    """M1307.3: 18 in above a garage floor; 18-1/2 in less 5/8 in is 17-7/8 in and fails."""
    heater = Burner("heater", (4.0, 3.0), flame_m=flame * INCH, stands_on_floor=False)
    found = check(only(raised(raised_by * INCH, burners=(heater,))), "flame")
    assert found.found == pytest.approx(left * INCH)
    assert found.passes is holds
    assert "M1307.3" in found.source


@pytest.mark.parametrize(
    ("drop", "outside", "swings", "holds"),
    [
        (1.5, "no", "away", True),
        (1.5625, "no", "away", False),
        (7.75, "yes", "away", True),
        (7.75, "yes", "over", False),
        (7.8125, "yes", "away", False),
    ],
)
def test_bc_05_drop_at_the_required_way_out(
    drop: float, outside: str, swings: str, holds: bool
) -> None:
    """R311.3.1: 1-1/2 in; outside 7-3/4 in when the door does not swing over the landing."""
    door = SideDoor(
        "door", *FRONT, threshold_m=(drop + 2) * INCH, swings=swings, egress=True,
        floor_is_outside=outside,
    )  # fmt: skip
    found = check(only(raised(2 * INCH, side_doors=(door,))), "way out")
    assert found.found == pytest.approx(drop * INCH)
    assert found.passes is holds
    assert "R311.3.1" in found.source


@pytest.mark.parametrize(("left", "holds"), [(80.0, True), (79.875, False)])
def test_bc_06_headroom_over_a_stair(left: float, holds: bool) -> None:
    """R311.7.2: 6 ft 8 in."""
    flight = Stair("stair", *FRONT, risers_m=RISERS, headroom_m=(left + 4) * INCH)
    found = check(only(raised(4 * INCH, stairs=(flight,))), "headroom")
    assert found.found == pytest.approx(left * INCH)
    assert found.passes is holds


@pytest.mark.parametrize(
    ("step", "remedy", "length"),
    [(0.25, None, None), (0.375, "Bevel", 0.75), (0.5, "Bevel", 1.0), (0.625, "Ramp", 7.5)],
)
def test_bc_08_change_of_level(step: float, remedy: str | None, length: float | None) -> None:
    """ADA 303: 1/4 in upright; to 1/2 in bevelled 1:2; more is a ramp (1:12)."""
    door = OverheadDoor("door", *FRONT, sill_m=0.0, lets_water_out=True)
    drive = Outside("drive", "door", height_m=0.0, falls_away="yes")
    touches = raised(step * INCH, overhead_doors=(door,), outside=(drive,))
    touch = next(one for one in touches.touches if one.name == "drive")
    assert check(touch, "change of level").passes is (remedy is None)
    if remedy is None:
        assert touch.remedies == ()
        return
    (put_right,) = touch.remedies
    assert put_right.says.startswith(remedy)
    assert put_right.size_m == pytest.approx(step * INCH)
    assert put_right.sizes[0].value == pytest.approx(length * INCH)


@pytest.mark.parametrize(("gap", "holds"), [(2.0, True), (1.9375, False)])
def test_siding_exactly_two_inches_above_the_slab_is_allowed(gap: float, holds: bool) -> None:
    """R317.1 item 5 asks more of wood that is less than 2 in above a slab."""
    wall = Wall("wall", *FRONT, siding_m=(gap + 3) * INCH)
    touch = only(raised(3 * INCH, walls=(wall,)))
    assert check(touch, "siding").passes is holds
    if not holds:
        (trim,) = touch.remedies
        assert (trim.trade, trim.when) == ("carpenter", "before the pour")
        assert trim.size_m == pytest.approx(INCH / 16)


def test_a_topping_of_four_inches_at_the_foot_spoils_a_stair() -> None:
    """Trade notes, step 9: a 4 in overlay at the foot of a stair of legal risers fails."""
    touch = only(raised(4 * INCH, stairs=(Stair("stair", *FRONT, risers_m=RISERS),)))
    assert not touch.passes
    even = next(one for one in touch.remedies if one.says.startswith("Even the risers"))
    # By hand: 8 risers of 7-1/2 in climb 60 in; 56 in are left, 7 in each.
    assert even.size_m == pytest.approx(7 * INCH)
    assert even.sizes[0].value == 8
    # By hand: the first tread stands at 3-1/2 in and goes to 7 in, the second from 11 to 14 ...
    assert even.sizes[1].value == pytest.approx(3.5 * INCH)


def test_a_floor_that_swallows_a_riser_leaves_one_fewer() -> None:
    """By hand: 60 in less 7 in is 53 in; 7 of 7.571 in lie nearer to 7-1/2 than 8 of 6.625."""
    touch = only(raised(7 * INCH, stairs=(Stair("stair", *FRONT, risers_m=RISERS),)))
    even = next(one for one in touch.remedies if one.says.startswith("Even the risers"))
    assert even.size_m == pytest.approx(53 / 7 * INCH)
    # The first tread, 1/2 in over the floor, goes; the second moves from 8 in to 7.571 in.
    assert [size.value for size in even.sizes] == pytest.approx([7, 3 / 7 * INCH])
