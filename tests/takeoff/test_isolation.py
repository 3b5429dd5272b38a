"""Isolation strip by hand: running length of what stands still, height by the thickness there."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from test_measure import Shape, box, level, new_top, old_slab

from overslab.newtop.records import Drain, Edge
from overslab.oldslab.records import Hole
from overslab.takeoff import BuildUp, Takeoff, measure
from overslab.takeoff.asked import RolledAsked

POST = Hole("post", box(4.9, 1.9, 5.1, 2.1))
DOOR = Edge("door", "door", (1.0, 0.0), (3.0, 0.0), lowest_m=None, highest_m=None)
STAIR = Edge("stair", "stair", (0.0, 3.0), (0.9, 3.0), lowest_m=None, highest_m=None)
SUMP = Drain("sump", (3.0, 3.0), rim_m=0.1, plan="raise", size_m=0.5)
RISING = Shape(lambda x, y: 0.1 + 0.01 * y + 0 * x)  # 100 mm thick in the south, 140 in the north
STRIP = RolledAsked(
    roll_length_m=5.0, roll_width_m=0.15, what="foam strip", heights_m=(0.1, 0.125, 0.15)
)


def taken(
    asked: RolledAsked = STRIP,
    *,
    edges: tuple[Edge, ...] = (DOOR,),
    drains: tuple[Drain, ...] = (),
    top: Shape = RISING,
    **plan: Any,
) -> Takeoff:
    """A bay of 6 by 4 m on a level old floor, a post in it."""
    plan = {"holes": (POST,)} | plan
    newtop = new_top(top)
    newtop = replace(newtop, wishes=replace(newtop.wishes, edges=edges, drains=drains))
    old = old_slab(box(0, 0, 6, 4), level(0.0), **plan)
    return measure(old, newtop, BuildUp(isolation=asked))


def by_height(found: Takeoff) -> dict[Any, Any]:
    return {
        item.size_m: (item.net, item.ordered)
        for item in found.items
        if item.code == "isolation-strip"
    }


def test_walls_and_posts_without_the_door() -> None:
    """South 6 - 2 = 4 m at 100 mm; post 4 * 0.2 at 121; two sides and north 4 + 4 + 6 at 140."""
    found = taken()
    assert by_height(found) == {
        0.1: (pytest.approx(4.0), 1),
        0.125: (pytest.approx(0.8), 1),
        0.15: (pytest.approx(14.0), 3),
    }
    (work,) = [item for item in found.items if item.code == "set-isolation"]
    assert work.net == pytest.approx(18.8)
    assert found.isolation is not None
    runs = {run.name: run for run in found.isolation.runs if run.name != "edge 1"}
    assert runs["post"].height_m == pytest.approx(0.121, abs=1e-4)
    assert runs["edge 3"].height_m == pytest.approx(0.14, abs=1e-4)


def test_across_the_door_where_it_is_asked() -> None:
    found = taken(replace(STRIP, at_doors=True))
    assert sum(net for net, _ in by_height(found).values()) == pytest.approx(20.8)


def test_not_along_open_edges() -> None:
    """The north side, 6 m, is open."""
    found = taken(openings=(((0.0, 4.0), (6.0, 4.0)),))
    assert sum(net for net, _ in by_height(found).values()) == pytest.approx(12.8)


def test_at_the_foot_of_a_stair_and_round_the_pit_of_a_drain() -> None:
    """0.9 m of stair and 4 * 0.5 m of pit more."""
    found = taken(edges=(DOOR, STAIR), drains=(SUMP,))
    assert sum(net for net, _ in by_height(found).values()) == pytest.approx(18.8 + 0.9 + 2.0)
    assert found.total.area_m2 == pytest.approx(24 - 0.04 - 0.25)


def test_a_buried_drain_is_poured_over() -> None:
    found = taken(drains=(replace(SUMP, plan="bury"),))
    assert found.total.area_m2 == pytest.approx(24 - 0.04)
    assert sum(net for net, _ in by_height(found).values()) == pytest.approx(18.8)


def test_no_height_reaches_the_top() -> None:
    """240 mm everywhere: two of 150 over each other, and said so."""
    found = taken(top=level(0.24))
    assert by_height(found) == {0.15: (pytest.approx(2 * 18.8), 8)}
    (warning,) = [remark for remark in found.remarks if "height of strip" in remark.text]
    assert warning.weight == "warn"
    assert "post (240 mm)" in warning.text


def test_laps_cost_length() -> None:
    """14 m off 5 m rolls with 0.1 m laps, run by run: 4; 1 + 3.1; 1.9 + 4.2: two laps, 14.2 m."""
    found = taken(replace(STRIP, lap_m=0.1))
    (north,) = [i for i in found.items if i.code == "isolation-strip" and i.size_m == 0.15]
    assert north.gross == pytest.approx(14.2)
    assert north.ordered == 3
    assert north.waste == pytest.approx(15 / 14 - 1)
