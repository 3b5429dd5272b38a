"""Shortest ways inside the floor: worked by hand, and against a search over a fine lattice."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from floors_for_tops import L_SHAPE, box
from scipy.sparse import coo_array, csgraph

from overslab.newtop.paths import Paths, without_narrow_posts

FRONT = np.array([[0.0, 0.0], [6.0, 0.0]])


def test_a_wall_is_reached_straight() -> None:
    ways = Paths(shapely.Polygon(box(6, 8)), [FRONT]).ways(np.array([[2.0, 3.0], [5.9, 7.0]]))
    assert ways.length_m[:, 0] == pytest.approx([3.0, 7.0])
    assert ways.leg[:, 0] == pytest.approx(np.array([[0.0, -1.0], [0.0, -1.0]]))


def test_round_an_inside_corner_the_way_first_runs_to_it() -> None:
    # From (10, 9) the wall y = 0 hides behind the corner (6, 6): 5 m to the corner, 6 m on.
    ways = Paths(shapely.Polygon(L_SHAPE), [FRONT]).ways(np.array([[10.0, 9.0], [3.0, 9.0]]))
    assert ways.length_m[:, 0] == pytest.approx([11.0, 9.0])
    assert ways.leg[:, 0] == pytest.approx(np.array([[-0.8, -0.6], [0.0, -1.0]]))


def test_two_corners_in_a_row() -> None:
    # A U: from the right leg to a drain in the left one, round both inside corners.
    floor = shapely.Polygon([(0, 0), (9, 0), (9, 9), (6, 9), (6, 3), (3, 3), (3, 9), (0, 9)])
    ways = Paths(floor, [np.array([[0.0, 7.0]])]).ways(np.array([[9.0, 7.0]]))
    assert ways.length_m[0, 0] == pytest.approx(5 + 3 + 5)
    assert ways.leg[0, 0] == pytest.approx([-0.6, -0.8])


def test_each_outlet_has_its_own_way_and_the_nearest_is_told() -> None:
    back = np.array([[0.0, 8.0], [6.0, 8.0]])
    ways = Paths(shapely.Polygon(box(6, 8)), [FRONT, back]).ways(np.array([[1.0, 3.0], [1.0, 6.0]]))
    assert list(ways.nearest) == [0, 1]
    assert ways.leg[1, 1] == pytest.approx([0.0, 1.0])


def test_on_a_door_the_way_is_out_and_at_a_drain_there_is_none() -> None:
    paths = Paths(shapely.Polygon(box(6, 8)), [FRONT, np.array([[3.0, 4.0]])])
    ways = paths.ways(np.array([[3.0, 0.0], [3.0, 4.0]]))
    assert ways.leg[0, 0] == pytest.approx([0.0, -1.0])
    assert np.isnan(ways.leg[1, 1]).all()


def test_a_wide_post_turns_the_way_and_a_narrow_one_does_not() -> None:
    wide = shapely.Polygon(box(6, 8), [[(2, 3), (4, 3), (4, 5), (2, 5)]])
    narrow = shapely.Polygon(box(6, 8), [[(2.9, 3.9), (3.1, 3.9), (3.1, 4.1), (2.9, 4.1)]])
    behind = np.array([[2.5, 6.0]])
    turned = Paths(wide, [FRONT]).ways(behind)
    assert turned.length_m[0, 0] == pytest.approx(math.hypot(0.5, 1.0) + 5.0)
    assert Paths(narrow, [FRONT]).ways(behind).leg[0, 0] == pytest.approx([0.0, -1.0])
    assert len(without_narrow_posts(narrow).interiors) == 0


def lattice_lengths(floor: shapely.Polygon, drain: tuple[float, float], step_m: float):
    """Dijkstra to a drain over steps to 48 neighbours: at most 0.6 percent too long."""
    west, south, east, north = floor.bounds
    x, y = np.meshgrid(np.arange(west, east + 1e-9, step_m), np.arange(south, north + 1e-9, step_m))
    at = np.column_stack([x.ravel(), y.ravel()])
    grown = floor.buffer(1e-6)
    at = at[shapely.intersects_xy(grown, at[:, 0], at[:, 1])]
    place = {(round(a / step_m), round(b / step_m)): k for k, (a, b) in enumerate(at)}
    moves = [
        (i, j)
        for i in range(-5, 6)
        for j in range(-5, 6)
        if math.gcd(i, j) == 1 and (i, j) > (0, 0)
    ]
    starts, ends = [], []
    for (i, j), k in place.items():
        for di, dj in moves:
            other = place.get((i + di, j + dj))
            if other is not None:
                starts.append(k)
                ends.append(other)
    lines = shapely.linestrings(np.stack([at[starts], at[ends]], axis=1))
    shapely.prepare(grown)
    clear = shapely.covers(grown, lines)
    starts, ends = np.array(starts)[clear], np.array(ends)[clear]
    lengths = np.hypot(*(at[starts] - at[ends]).T)
    graph = coo_array((lengths, (starts, ends)), shape=(len(at), len(at))).tocsr()
    home = place[(round(drain[0] / step_m), round(drain[1] / step_m))]
    return at, csgraph.dijkstra(graph, directed=False, indices=home)


def test_lengths_agree_with_a_search_over_a_lattice() -> None:
    floor = shapely.Polygon(
        [(0, 0), (8, 0), (8, 3), (5, 3), (5, 5), (8, 5), (8, 9), (0, 9)],
        [[(1.5, 3), (3.5, 3), (3.5, 6.5), (1.5, 6.5)]],
    )
    drain = (7.5, 1.0)
    at, along_lattice = lattice_lengths(floor, drain, 0.5)
    exact = Paths(floor, [np.array([drain])]).ways(at).length_m[:, 0]
    assert (exact <= along_lattice + 1e-6).all()
    assert (along_lattice <= exact * 1.006 + 1e-6).all()


def test_walking_the_first_leg_shortens_the_way_by_as_much() -> None:
    floor = shapely.Polygon(L_SHAPE)
    paths = Paths(floor, [FRONT])
    rng = np.random.default_rng(3)
    at = rng.uniform(0.2, 11.8, size=(300, 2))
    at = at[shapely.contains_xy(floor.buffer(-0.15), at[:, 0], at[:, 1])]
    ways = paths.ways(at)
    moved = paths.ways(at + 0.05 * ways.leg[:, 0])
    assert moved.length_m[:, 0] == pytest.approx(ways.length_m[:, 0] - 0.05, abs=1e-6)
