"""Depression filling and the steepest fall against print, closed forms and another library."""

from __future__ import annotations

import heapq

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from skimage.morphology import reconstruction

from overslab.ground.terrain import Bools, Floats, fill, steepest_fall

WALL = 1e6


def by_reconstruction(heights: Floats, *, inside: Bools, outlets: Bools) -> Floats:
    """The same question put to scikit-image: erosion from the outlets, walls very high."""
    mask = np.pad(np.where(inside, heights, WALL), 1, constant_values=WALL)
    seed = np.full(mask.shape, WALL)
    seed[1:-1, 1:-1][outlets & inside] = heights[outlets & inside]
    grown = reconstruction(seed, mask, method="erosion", footprint=np.ones((3, 3)))
    return np.asarray(grown[1:-1, 1:-1])


def by_queue(heights: Floats, *, inside: Bools, outlets: Bools) -> Floats:
    """Barnes, Lehman and Mulla (2014), algorithm 1, word for word."""
    level = np.full(heights.shape, np.inf)
    queue: list[tuple[float, int, int]] = []
    for r, c in zip(*np.nonzero(outlets & inside), strict=True):
        level[r, c] = heights[r, c]
        heapq.heappush(queue, (heights[r, c], int(r), int(c)))
    while queue:
        z, r, c = heapq.heappop(queue)
        for up in (-1, 0, 1):
            for right in (-1, 0, 1):
                rr, cc = r + up, c + right
                on = 0 <= rr < heights.shape[0] and 0 <= cc < heights.shape[1]
                if on and inside[rr, cc] and np.isinf(level[rr, cc]):
                    level[rr, cc] = max(z, heights[rr, cc])
                    heapq.heappush(queue, (level[rr, cc], rr, cc))
    return level


@st.composite
def floors(draw: st.DrawFn) -> tuple[Floats, Bools, Bools]:
    shape = draw(st.tuples(st.integers(1, 12), st.integers(1, 12)))
    # Few different heights, so that level stretches and equal passes are met often.
    steps = draw(
        arrays(np.int64, shape, elements=st.integers(0, draw(st.sampled_from([1, 4, 99]))))
    )
    inside = draw(arrays(np.bool_, shape, elements=st.sampled_from([True, True, True, False])))
    outlets = draw(arrays(np.bool_, shape, elements=st.sampled_from([False] * 6 + [True])))
    return steps / 16.0, inside, outlets


@given(floors())
@settings(max_examples=300, deadline=None)
def test_fill_equals_the_priority_flood(floor: tuple[Floats, Bools, Bools]) -> None:
    heights, inside, outlets = floor
    filled = fill(heights, inside=inside, outlets=outlets)
    wanted = by_queue(heights, inside=inside, outlets=outlets)
    np.testing.assert_array_equal(filled.unreachable, inside & np.isinf(wanted))
    told = inside & ~filled.unreachable
    np.testing.assert_array_equal(filled.level_m[told], wanted[told])
    np.testing.assert_array_equal(filled.level_m[~told], heights[~told])


@given(floors())
@settings(max_examples=100, deadline=None)
def test_filling_never_lowers_and_filling_twice_changes_nothing(
    floor: tuple[Floats, Bools, Bools],
) -> None:
    heights, inside, outlets = floor
    once = fill(heights, inside=inside, outlets=outlets)
    twice = fill(once.level_m, inside=inside, outlets=outlets)
    assert (once.level_m >= heights).all()
    np.testing.assert_array_equal(once.level_m, twice.level_m)
    np.testing.assert_allclose(once.depth_m[inside], (once.level_m - heights)[inside])


@pytest.mark.parametrize("roughness_m", [0.0003, 0.003])
@pytest.mark.parametrize("tilt", [0.0, 0.01])
def test_fill_equals_scikit_image_reconstruction(roughness_m: float, tilt: float) -> None:
    rng = np.random.default_rng(3)
    rows, columns = np.mgrid[:120, :90]
    heights = tilt * 0.05 * rows + rng.normal(scale=roughness_m, size=rows.shape)
    inside = (rows - 60) ** 2 / 59**2 + (columns - 45) ** 2 / 44**2 < 1
    outlets = (rows < 8) & inside
    filled = fill(heights, inside=inside, outlets=outlets)
    wanted = by_reconstruction(heights, inside=inside, outlets=outlets)
    assert not filled.unreachable.any()
    np.testing.assert_array_equal(filled.level_m[inside], wanted[inside])


def test_published_fill_of_a_small_grid() -> None:
    # published/survey.md 5.3 D-2, from the SinkFillerBarnes documentation of landlab 2.11.0 (after
    # Barnes, Lehman and Mulla 2014), printed for 4 neighbours; the answer is the same for 8.
    closed = 9.0
    heights = np.full((5, 6), closed)
    heights[1:4, 1:5] = [[2.1, 1.1, 0.6, 1.6], [2.0, 1.0, 0.5, 1.5], [2.2, 1.2, 0.7, 1.7]]
    heights[:, 5] = 0.0
    inside = np.zeros((5, 6), dtype=bool)
    inside[1:4, 1:] = True
    outlets = np.zeros((5, 6), dtype=bool)
    outlets[1:4, 5] = True
    filled = fill(heights, inside=inside, outlets=outlets)
    np.testing.assert_array_equal(
        filled.level_m[1:4, 1:5],
        [[2.1, 1.5, 1.5, 1.6], [2.0, 1.5, 1.5, 1.5], [2.2, 1.5, 1.5, 1.7]],
    )


def test_a_bowl_fills_to_its_rim_and_a_plane_holds_nothing() -> None:
    y, x = np.mgrid[-1:1:81j, -1:1:81j]
    radius = np.hypot(x, y)
    bowl = 10.0 + 0.02 * np.minimum(radius / 0.6, 1.0) ** 2
    edge = np.ones_like(radius, dtype=bool)
    edge[1:-1, 1:-1] = False
    everywhere = np.ones_like(edge)
    filled = fill(bowl, inside=everywhere, outlets=edge)
    np.testing.assert_allclose(filled.level_m, 10.02, atol=1e-12)
    # Paraboloid: volume = pi r^2 depth / 2.
    step = 2 / 80
    assert filled.depth_m.sum() * step**2 == pytest.approx(np.pi * 0.36 * 0.02 / 2, rel=2e-3)
    plane = 3.0 - 0.011 * x + 0.007 * y
    np.testing.assert_array_equal(fill(plane, inside=everywhere, outlets=edge).depth_m, 0.0)


def test_cells_walled_off_from_every_outlet_are_marked_and_not_filled() -> None:
    heights = np.array([[0.0, 5.0, 1.0], [0.0, 5.0, 2.0]])
    inside = np.array([[True, False, True], [True, False, True]])
    outlets = np.array([[True, False, False], [False, False, False]])
    filled = fill(heights, inside=inside, outlets=outlets)
    np.testing.assert_array_equal(filled.unreachable, [[False, False, True], [False, False, True]])
    np.testing.assert_array_equal(filled.depth_m, 0.0)


def test_heights_inside_must_be_numbers() -> None:
    heights = np.array([[0.0, np.nan]])
    mask = np.array([[True, True]])
    with pytest.raises(ValueError, match="finite"):
        fill(heights, inside=mask, outlets=mask)


def test_published_parting_of_water_between_two_cells() -> None:
    # published/survey.md 5.3 D-1, from the FlowDirectorDINF documentation of landlab 2.11.0 (after
    # Tarboton 1997): 4 x 4, z = x^2 + y^2, node (2, 1).
    y, x = np.mgrid[:4, :4].astype(float)
    fall = steepest_fall(x**2 + y**2, inside=np.ones((4, 4), dtype=bool), step_m=1.0)
    assert divmod(int(fall.square[1, 2]), 4) == (1, 1)
    assert divmod(int(fall.corner[1, 2]), 4) == (0, 1)
    assert fall.corner_share[1, 2] == pytest.approx(0.40966553, abs=5e-9)
    assert 1 - fall.corner_share[1, 2] == pytest.approx(0.59033447, abs=5e-9)


@given(bearing=st.floats(0.0, 2 * np.pi, exclude_max=True), slope=st.floats(1e-3, 0.2))
@settings(max_examples=60, deadline=None)
def test_fall_of_a_plane_is_its_resultant(bearing: float, slope: float) -> None:
    y, x = np.mgrid[:5, :5] * 0.05
    heights = 100.0 - slope * (np.cos(bearing) * x + np.sin(bearing) * y)
    fall = steepest_fall(heights, inside=np.ones((5, 5), dtype=bool), step_m=0.05)
    assert fall.slope[2, 2] == pytest.approx(slope, rel=1e-8)
    apart = (fall.bearing_rad[2, 2] - bearing + np.pi) % (2 * np.pi) - np.pi
    assert apart == pytest.approx(0.0, abs=1e-6)


def test_two_equal_falls_do_not_add() -> None:
    # "1/2 plus 1/2 doesn't equal 1", Concrete Construction (published/survey.md 5.1, S27):
    # 0.5 % and 0.5 % give 0.71 %.
    y, x = np.mgrid[:3, :3] * 0.3
    fall = steepest_fall(-0.005 * x - 0.005 * y, inside=np.ones((3, 3), dtype=bool), step_m=0.3)
    assert round(100 * fall.slope[1, 1], 2) == 0.71


def test_beside_a_wall_water_runs_along_it() -> None:
    y, x = np.mgrid[:4, :6].astype(float)
    inside = np.ones((4, 6), dtype=bool)
    # The plane falls mostly into the bottom wall; there it can only run to the right.
    fall = steepest_fall(0.03 * y - 0.01 * x, inside=inside, step_m=1.0)
    np.testing.assert_allclose(fall.slope[0, :-1], 0.01)
    np.testing.assert_allclose(fall.bearing_rad[0, :-1], 0.0, atol=1e-12)
    assert fall.slope[0, -1] == 0.0
    assert fall.square[0, -1] == fall.corner[0, -1] == -1
    assert np.isnan(fall.bearing_rad[0, -1])
