"""Strips for the pour: few, even, none too wide, and nobody is left behind in a corner."""

from __future__ import annotations

from itertools import combinations, pairwise

import numpy as np
import pytest
import shapely
from floors_for_tops import L_SHAPE, box, door, old_floor, wishes_of
from hypothesis import given, settings
from hypothesis import strategies as st

from overslab.newtop.padlines import grid_pads, strip_cuts
from overslab.newtop.pourstrips import pour_strips
from overslab.newtop.records import Outlet, Strip, Wishes
from overslab.newtop.site import prepare
from overslab.oldslab.records import FloorPlan, Hole

RIDE_M = 0.6096
SLANTED = ((0.0, 0.0), (7.0, 0.0), (9.0, 4.0), (6.5, 8.0), (0.0, 6.0))
U_SHAPE = ((0, 0), (9, 0), (9, 9), (6, 9), (6, 3), (3, 3), (3, 9), (0, 9))
T_SHAPE = ((0, 0), (12, 0), (12, 4), (8, 4), (8, 9), (4, 9), (4, 4), (0, 4))
POST = Hole("post", ((2.0, 2.0), (2.2, 2.0), (2.2, 2.2), (2.0, 2.2)))


def poured(outline, wishes: Wishes, *, holes=(), folds=()) -> tuple[Strip, ...]:
    site = prepare(old_floor(FloorPlan(outline=outline, holes=holes)), wishes)
    return pour_strips(site, grid_pads(site), folds=folds)


def rings(strips: tuple[Strip, ...]) -> list[shapely.Polygon]:
    return [shapely.Polygon(strip.corners, strip.holes) for strip in strips]


@pytest.mark.parametrize("outline", [box(6, 8), L_SHAPE, SLANTED, U_SHAPE, T_SHAPE, box(20, 3)])
@pytest.mark.parametrize("holes", [(), (POST,)])
def test_strips_cover_the_floor_and_none_is_too_wide(outline, holes) -> None:
    strips = rings(poured(outline, wishes_of(), holes=holes))
    floor = shapely.Polygon(outline, [hole.corners for hole in holes])
    assert sum(strip.area for strip in strips) == pytest.approx(floor.area)
    assert shapely.union_all(strips).symmetric_difference(floor).area == pytest.approx(0, abs=1e-6)
    for strip in strips:
        assert strip.bounds[2] - strip.bounds[0] <= 3.0 - RIDE_M + 1e-9


def test_as_few_as_can_be_and_even() -> None:
    # 12 m in spans of 2.39 m: six strips of 2 m on either side of the inside corner.
    widths = [ring.bounds[2] - ring.bounds[0] for ring in rings(poured(L_SHAPE, wishes_of()))]
    assert widths == pytest.approx([2.0] * 6)
    assert len(poured(box(4.7, 8), wishes_of())) == 2


@given(
    st.lists(st.floats(0.05, 11.95), max_size=9),
    st.floats(1.5, 4.0),
)
@settings(max_examples=60, deadline=None)
def test_no_other_choice_of_lines_makes_fewer_or_more_even_strips(lines, limit_m) -> None:
    every = [0.0, *sorted({round(line, 2) for line in lines}), 12.0]
    cuts = strip_cuts(every, must=(), limit_m=limit_m)
    widths = np.diff([0.0, *cuts, 12.0])
    inner = every[1:-1]
    ways = [
        np.diff([0.0, *chosen, 12.0])
        for count in range(len(inner) + 1)
        for chosen in combinations(inner, count)
    ]
    ways = [way for way in ways if way.max() <= limit_m + 1e-9]
    if ways:
        fewest = min(len(way) for way in ways)
        best = min(float(way @ way) for way in ways if len(way) == fewest)
        assert len(widths) == fewest
        assert float(widths @ widths) == pytest.approx(best)


def test_a_fold_is_cut_at_and_so_is_an_inside_corner() -> None:
    fold = ((2.5, 0.0), (2.5, 8.0))
    strips = rings(poured(box(6, 8), wishes_of(), folds=(fold,)))
    assert any(strip.bounds[2] == pytest.approx(2.5) for strip in strips)
    sides = {round(ring.bounds[0], 6) for ring in rings(poured(L_SHAPE, wishes_of()))}
    assert 6.0 in sides
    # A fold that runs across the strips does not part them.
    across = ((0.0, 4.0), (6.0, 4.0))
    assert poured(box(6, 8), wishes_of(), folds=(across,)) == poured(box(6, 8), wishes_of())


FRONT = Outlet("front", ((1.0, 0.0), (4.0, 0.0)))
CASES = [
    (box(12, 8), (FRONT,), ()),
    (box(12, 8), (Outlet("middle", ((5.0, 0.0), (7.0, 0.0))),), ()),
    (L_SHAPE, (FRONT,), ()),
    (L_SHAPE, (Outlet("end", ((12.0, 7.0), (12.0, 10.0))),), ()),
    (U_SHAPE, (Outlet("arm", ((0.5, 9.0), (2.5, 9.0))),), ()),
    (T_SHAPE, (Outlet("foot", ((5.0, 9.0), (7.0, 9.0))),), ()),
    (box(12, 8), (Outlet("drain", ((6.0, 4.0),)),), (door(0.0, 1.0, name="gate"),)),
]


@pytest.mark.parametrize(("outline", "outlets", "edges"), CASES)
def test_there_is_always_a_way_out(outline, outlets, edges) -> None:
    """By another route: what is not yet poured is one piece and reaches the door."""
    strips = rings(poured(outline, wishes_of(outlets=outlets, edges=edges)))
    doors = [shapely.LineString(outlet.line) for outlet in outlets if len(outlet.line) == 2]
    doors += [shapely.LineString([edge.a, edge.b]) for edge in edges]
    for number in range(1, len(strips)):
        left = shapely.union_all([ring.buffer(1e-6) for ring in strips[number:]])
        assert left.geom_type == "Polygon"
        assert any(left.buffer(1e-3).intersection(line).length > 0.6 for line in doors)


def test_one_sweep_where_the_door_is_at_an_end_and_the_far_leg_first() -> None:
    strips = rings(poured(L_SHAPE, wishes_of(outlets=(FRONT,))))
    assert strips[0].bounds[2] == pytest.approx(12.0)
    assert all(one.distance(other) < 1e-6 for one, other in pairwise(strips))
    assert strips[-1].bounds[0] == pytest.approx(0.0)
