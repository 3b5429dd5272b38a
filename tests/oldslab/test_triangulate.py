"""The second answer: break lines kept, areas that add up, planes exact, no Gaussian process."""

from __future__ import annotations

import ast
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from made_up_floors import FOOT_M, INCH_M, YARD3_M3, data_of, grid
from scipy.spatial import Delaunay

from overslab.oldslab import triangulate
from overslab.oldslab.panels import Piece
from overslab.oldslab.triangulate import Triangles, plane_weights, second_answer

ELL = shapely.Polygon(
    [(0, 0), (8, 0), (8, 3), (3, 3), (3, 7), (0, 7)],
    [[(1, 1), (1.3, 1), (1.3, 1.3), (1, 1.3)]],
)


def sides(sheet: Triangles) -> set[tuple[int, int]]:
    found = set()
    for a, b, c in sheet.triangles:
        found |= {tuple(sorted(pair)) for pair in ((a, b), (b, c), (c, a))}
    return found


def test_every_side_is_kept_and_areas_add_up() -> None:
    shots = np.random.default_rng(5).uniform(0, 8, (200, 2))
    shots = shots[shapely.contains_xy(ELL, shots)]
    on_edge = np.array([[0, 0], [3, 3], [4.0, 0.001], [0.004, 5.0], [1.0, 1.15], [4.001, 0.0]])
    sheet = Triangles(ELL, np.vstack([shots, on_edge]), spacing_m=0.7)
    kept = sides(sheet)
    assert len(sheet.edges) > 30
    assert all(tuple(sorted(edge)) in kept for edge in sheet.edges)
    assert sheet.areas_m2.min() > 0
    assert sheet.areas_m2.sum() == pytest.approx(ELL.area, rel=1e-9)
    assert sheet.vertex_areas_m2.sum() == pytest.approx(ELL.area, rel=1e-9)
    # No triangle lies in the missing quarter or in the post.
    middles = sheet.vertices_m[sheet.triangles].mean(axis=1)
    assert shapely.contains_xy(ELL, middles).all()
    # The sides add up to the outline of the floor.
    ends = sheet.vertices_m[sheet.edges]
    assert np.linalg.norm(ends[:, 0] - ends[:, 1], axis=1).sum() == pytest.approx(ELL.length)


def test_over_its_own_hull_it_is_the_free_triangulation() -> None:
    shots = np.random.default_rng(2).uniform(0, 5, (40, 2))
    hull = shapely.MultiPoint(shots).convex_hull
    assert isinstance(hull, shapely.Polygon)
    height = np.sin(shots[:, 0]) + shots[:, 1] ** 2
    sheet = Triangles(hull, shots, spacing_m=1e9)
    free = Delaunay(shots)
    corners = shots[free.simplices]
    one, two = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    areas = np.abs(one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0]) / 2
    expected = areas @ height[free.simplices].mean(axis=1)
    assert sheet.vertex_areas_m2 @ height == pytest.approx(expected, rel=1e-12)


def test_a_plane_on_every_panel_comes_out_exactly() -> None:
    pieces = (
        Piece("A", "panel", shapely.box(0, 0, 3, 4)),
        Piece("B", "panel", shapely.box(3, 0, 7, 4)),
    )
    xy = grid(width_m=7, depth_m=4, columns=7, rows=4, margin_m=0.3)
    height = 50 + xy @ [0.01, 0.02] + (xy[:, 0] > 3) * (0.03 - 0.02 * xy[:, 1])
    answer = second_answer(data_of(xy, height, np.eye(len(xy)), pieces), pieces)
    # The whole plane at the middle of the floor, the tipped part at the middle of panel B.
    expected = 50 + 0.01 * 3.5 + 0.02 * 2 + (0.03 - 0.02 * 2) * 4 / 7
    assert answer.mean_m == pytest.approx(expected, abs=1e-9)
    assert answer.weights.sum() == pytest.approx(1)


def test_the_dish_of_the_notebook_comes_out_low_as_every_straight_method_does() -> None:
    # 24 x 24 ft, dished 3 (1 - u^2)(1 - v^2) in, new slab 4 in over its edge: exact 9.48 yd3. With
    # shots every 4 ft the cell method gives 9.35 (trade notes, section 4.2, recomputed there);
    # triangles through the same corners must fall between about there and the truth.
    side = 24 * FOOT_M
    pieces = (Piece("A", "panel", shapely.box(0, 0, side, side)),)
    xy = grid(width_m=side, depth_m=side, columns=7, rows=7, margin_m=0)
    u, v = (2 * xy / side - 1).T
    height = -3 * INCH_M * (1 - u**2) * (1 - v**2)
    answer = second_answer(data_of(xy, height, np.eye(49), pieces), pieces)
    volume = side**2 * (4 * INCH_M - answer.mean_m) / YARD3_M3
    assert 9.25 < volume < 9.48


@given(
    shots=st.lists(
        st.tuples(st.floats(0, 8), st.floats(0, 6)), min_size=1, max_size=12, unique=True
    ),
    at=st.tuples(st.floats(-1, 9), st.floats(-1, 7)),
)
def test_weights_add_up_to_one_and_are_tame(
    shots: list[tuple[float, float]], at: tuple[float, float]
) -> None:
    weights = plane_weights(np.array(shots), np.array([at]))
    assert weights.sum() == pytest.approx(1)
    # A tilt is carried at most four times as far as the shots spread, in each of two directions.
    assert np.abs(weights).max() < 40


def test_one_shot_or_a_row_of_shots_is_level_across() -> None:
    far = np.array([[2.0, 5.0]])
    assert plane_weights(np.array([[1.0, 1.0]]), far) == pytest.approx(np.array([[1.0]]))
    row = np.array([[0.0, 0.0], [1.0, 0.0], [2.0, 0.0], [3.0, 0.0]])
    assert (plane_weights(row, far) @ row[:, 0])[0] == pytest.approx(2.0, abs=1e-6)


def test_it_shares_nothing_with_the_gaussian_process() -> None:
    tree = ast.parse(Path(triangulate.__file__).read_text(encoding="utf-8"))
    names = {
        alias.name
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("overslab")
        for alias in node.names
    }
    assert names == {"Piece", "Data"}
