"""Raising the whole top by t takes t from every clearance, whatever the floors look like."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from made_up_meeting import FRONT, WIDE, Shape, new_top, old_slab

from overslab.newtop.records import Outlet
from overslab.touches import (
    Burner,
    FloorDrain,
    Outside,
    OverheadDoor,
    Post,
    SideDoor,
    Stair,
    TouchFacts,
    Wall,
    meet,
)

# A word of the check's name, and what raising the top by one does to its margin.
CHANGES = {
    "taken up by the seal of": -1,
    "out of level": 0,
    "opening left": -1,
    "where water shall leave": +1,
    "ground outside": +1,
    "change of level": -1,
    "threshold above": -1,
    "drop": +1,
    "leaf of a door": -1,
    "headroom over a stair": -1,
    "riser of a stair": +1,
    "siding": -1,
    "curb left": -1,
    "outlet box above": -1,
    "garage receptacle": +1,
    "flame": -1,
    "wood of a post": -1,
    "rim of a drain": +1,
}
BACK = ((3.0, 6.0), (4.0, 6.0))
SIDE = ((0.0, 1.0), (0.0, 5.0))
FACTS = TouchFacts(
    overhead_doors=(
        OverheadDoor("big", *FRONT, sill_m=-1.0, head_m=4.0, clear_least_m=3.0),
        OverheadDoor("low", *FRONT, sill_m=5.0),
    ),
    # The leaf is too high above the floor to matter but for its clearance.
    side_doors=(SideDoor("back", *BACK, threshold_m=5.0, swings="over", gap_under_m=0.2),),
    stairs=(Stair("up", *SIDE, risers_m=(2.0, 0.18, 0.18), headroom_m=2.4),),
    walls=(Wall("wall", *SIDE, siding_m=2.0, curb_m=1.0, curb_least_m=0.1, receptacle_m=3.0),),
    burners=(Burner("hung", (4.0, 3.0), flame_m=2.0, stands_on_floor=False),),
    drains=(FloorDrain("drain", (2.0, 2.0), rim_m=0.0, plan="keep"),),
    posts=(Post("post", (6.0, 4.0), base="wood", base_top_m=0.5, size_m=0.15),),
    outside=(Outside("drive", "big", height_m=-0.5, falls_away="yes"),),
)
SLOPES = st.floats(-0.03, 0.03)


def margins(old: Shape, top: Shape) -> dict[tuple[str, str], float]:
    outlets = (Outlet("big", FRONT), Outlet("low", FRONT))
    touches = meet(old_slab(old), new_top(top, outlets=outlets), FACTS)
    return {
        (touch.name, check.name): check.margin
        for touch in touches.touches
        for check in touch.checks
    }


@settings(max_examples=40, deadline=None)
@given(
    slopes=st.tuples(SLOPES, SLOPES, SLOPES, SLOPES),
    bump=st.floats(-0.05, 0.05),
    by=st.floats(0.001, 0.2),
)
def test_raising_the_top_takes_as_much_from_every_clearance(
    slopes: tuple[float, ...], bump: float, by: float
) -> None:
    a, b, c, d = slopes

    def below(x: Any, y: Any) -> Any:
        return a * x + b * y + bump * np.sin(x) * np.cos(y)

    def above(x: Any, y: Any) -> Any:
        return 0.4 + c * (x - WIDE) + d * y

    old = Shape(below)
    before = margins(old, Shape(above))
    after = margins(old, Shape(lambda x, y: above(x, y) + by))
    assert set(before) == set(after)
    seen = set()
    for key, margin in before.items():
        words = [word for word in CHANGES if word in key[1]]
        if "greatest less smallest" in key[1] or "floor before the door" in key[1]:
            continue  # the one has a turning point, told below; the other asks for length
        assert len(words) == 1, key
        seen.add(words[0])
        assert after[key] == pytest.approx(margin + CHANGES[words[0]] * by, abs=1e-9), key
    assert seen == set(CHANGES)


@settings(max_examples=60, deadline=None)
@given(rise=st.floats(0.0, 0.3), first=st.floats(0.1, 0.4), other=st.floats(0.1, 0.25))
def test_a_flight_is_uneven_by_what_its_first_riser_differs(
    rise: float, first: float, other: float
) -> None:
    top = Shape(lambda x, _y: rise + 0 * x)
    facts = TouchFacts(stairs=(Stair("up", *FRONT, risers_m=(first, other, other)),))
    (touch,) = meet(old_slab(Shape(lambda x, _y: 0 * x)), new_top(top), facts).touches
    uneven = next(check for check in touch.checks if "less smallest" in check.name)
    assert uneven.found == pytest.approx(abs(first - rise - other), abs=1e-12)


@settings(max_examples=60, deadline=None)
@given(rise=st.floats(0.0, 0.6), risers=st.lists(st.floats(0.12, 0.22), min_size=3, max_size=12))
def test_evened_risers_climb_what_is_left_and_keep_the_code(
    rise: float, risers: list[float]
) -> None:
    top = Shape(lambda x, _y: rise + 0 * x)
    facts = TouchFacts(stairs=(Stair("up", *FRONT, risers_m=tuple(risers)),))
    (touch,) = meet(old_slab(Shape(lambda x, _y: 0 * x)), new_top(top), facts).touches
    for remedy in touch.remedies:
        if remedy.says.startswith("Even the risers") and remedy.size_m is not None:
            count = remedy.sizes[0].value
            assert remedy.size_m <= 0.19685 + 1e-6  # 7-3/4 in
            climbs = risers[0] - rise + math.fsum(risers[1:])
            assert count * remedy.size_m == pytest.approx(climbs)
