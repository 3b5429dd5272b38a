"""The chance of a birdbath against a slow simulation of another make, and the field behind it."""

from __future__ import annotations

import heapq
import math

import numpy as np
import pytest
import shapely
from made_up_tops import Shape, plane, wishes

from overslab.newtop.birdbath import birdbaths, finishing_errors
from overslab.newtop.drainage import drain
from overslab.newtop.records import Floats, Outlet

BOX = shapely.box(0, 0, 1.2, 0.9)
EDGE = Outlet("open edge", ((0.0, 0.0), (1.2, 0.0)))


def flood(heights: Floats, open_cells: list[tuple[int, int]]) -> Floats:
    """Depth of standing water by the priority flood of Barnes, Lehman and Mulla (2014)."""
    level = np.full(heights.shape, np.inf)
    queue = [(heights[cell], *cell) for cell in open_cells]
    for z, r, c in queue:
        level[r, c] = z
    heapq.heapify(queue)
    while queue:
        z, r, c = heapq.heappop(queue)
        for rr in range(max(r - 1, 0), min(r + 2, heights.shape[0])):
            for cc in range(max(c - 1, 0), min(c + 2, heights.shape[1])):
                if np.isinf(level[rr, cc]):
                    level[rr, cc] = max(z, heights[rr, cc])
                    heapq.heappush(queue, (level[rr, cc], rr, cc))
    return level - heights


def by_brute_force(
    *, fall: float, deviation: float, length: float, deep: float
) -> tuple[float, float]:
    """Chance and mean area by Cholesky draws on the same 8 x 6 cells of 15 cm."""
    rng = np.random.default_rng(99)
    step, shape = 0.15, (6, 8)
    row, column = np.indices(shape)
    at = np.column_stack([row.ravel(), column.ravel()]) * step
    square = ((at[:, None] - at[None]) ** 2).sum(axis=2)
    covariance = deviation**2 * np.exp(-square / length**2)
    root = np.linalg.cholesky(covariance + 1e-9 * deviation**2 * np.eye(len(at)))
    # Cells on a wall are sampled on it.
    y = np.clip(row * step + step / 2, 0, 0.9)
    y[0], y[-1] = 0.0, 0.9
    areas = []
    tries = 3000
    for _ in range(tries):
        error = (root @ rng.standard_normal(len(at))).reshape(shape)
        depth = flood(fall * y + error, [(0, c) for c in range(8)])
        wet = 0
        seen = np.zeros(shape, dtype=bool)
        for start in zip(*np.nonzero(depth > deep), strict=True):
            stack = [start]
            while stack:
                r, c = stack.pop()
                if seen[r, c]:
                    continue
                seen[r, c] = True
                wet += 1
                stack += [
                    (rr, cc)
                    for rr in range(max(r - 1, 0), min(r + 2, 6))
                    for cc in range(max(c - 1, 0), min(c + 2, 8))
                    if depth[rr, cc] > 0
                ]
        areas.append(wet * step**2)
    found = np.asarray(areas)
    return float((found > 0).mean()), float(found[found > 0].mean())


def test_chance_and_area_equal_a_brute_force_simulation() -> None:
    fall, deviation, length, deep = 0.004, 0.0016, 0.35, 0.001
    wanted, area = by_brute_force(fall=fall, deviation=deviation, length=length, deep=deep)
    assert 0.2 < wanted < 0.8
    chance, mean_m2, tries = birdbaths(
        plane(y=fall),
        polygon=BOX,
        wishes=wishes(
            EDGE, finish_deviation_m=deviation, finish_length_m=length, birdbath_m=deep, seed=4
        ),
        tries=3000,
        step_m=0.15,
    )
    assert tries == 3000
    spread = math.sqrt(2 * wanted * (1 - wanted) / 3000)
    assert chance == pytest.approx(wanted, abs=4 * spread)
    assert mean_m2 == pytest.approx(area, rel=0.08)


def test_finishing_errors_have_the_spread_and_reach_that_were_asked() -> None:
    fields = finishing_errors(
        np.random.default_rng(1), shape=(12, 9), step_m=0.2, deviation_m=0.002, length_m=0.5,
        count=20_001,
    )  # fmt: skip
    assert fields.shape == (20_001, 12, 9)
    assert fields.mean() == pytest.approx(0.0, abs=2e-5)
    np.testing.assert_allclose(fields.std(axis=0), 0.002, rtol=0.03)
    for steps in (1, 2, 3, 6):
        wanted = math.exp(-((steps * 0.2 / 0.5) ** 2))
        found = (fields[:, 0, 0] * fields[:, steps, 0]).mean() / 0.002**2
        assert found == pytest.approx(wanted, abs=0.04)
        found = (fields[:, 5, 8 - steps] * fields[:, 5, 8]).mean() / 0.002**2
        assert found == pytest.approx(wanted, abs=0.04)
    # The far corner does not come back round the ring, and neighbours in the list are independent.
    assert (fields[:, 0, 0] * fields[:, 11, 8]).mean() / 0.002**2 == pytest.approx(0.0, abs=0.04)
    assert (fields[:-1:2] * fields[1::2]).mean() / 0.002**2 == pytest.approx(0.0, abs=0.02)


def test_more_fall_less_error_and_a_deeper_limit_all_lower_the_chance() -> None:
    floor = shapely.box(0, 0, 5, 5)
    edge = Outlet("open edge", ((0.0, 0.0), (5.0, 0.0)))

    def chance(fall: float, **changes: float) -> float:
        return birdbaths(
            plane(y=fall), polygon=floor, wishes=wishes(edge, finish_length_m=0.6, **changes),
            tries=100,
        )[0]  # fmt: skip

    falls = [chance(fall) for fall in (0.0, 0.004, 0.006, 0.0104, 0.0208)]
    assert falls == sorted(falls, reverse=True)
    assert falls[0] == 1.0
    assert falls[-1] < 0.05
    assert chance(0.005, finish_deviation_m=0.0008) < chance(0.005, finish_deviation_m=0.0024)
    assert chance(0.005, birdbath_m=0.003) < chance(0.005, birdbath_m=0.0005)
    assert chance(0.005, finish_deviation_m=0.0) == 0.0


def test_a_true_hollow_is_a_birdbath_in_every_try() -> None:
    bowl = Shape(lambda x, y: 0.01 * np.minimum(np.hypot(x - 0.6, y - 0.45) / 0.3, 1.0) ** 2)
    chance, area_m2, _ = birdbaths(
        bowl, polygon=BOX, wishes=wishes(EDGE, finish_deviation_m=0.0), tries=7
    )
    assert chance == 1.0
    assert area_m2 == pytest.approx(math.pi * 0.09, rel=0.08)


def test_same_seed_same_answer_and_drain_tells_it() -> None:
    asked = wishes(EDGE, seed=11, finish_length_m=0.3, birdbath_m=0.0005)
    found = drain(plane(y=0.004), polygon=BOX, wishes=asked, tries=60)
    chance, area_m2, tries = birdbaths(plane(y=0.004), polygon=BOX, wishes=asked, tries=60)
    assert (found.birdbath_chance, found.birdbath_area_m2, found.tries) == (chance, area_m2, tries)
    assert 0.0 < chance < 1.0
    other = wishes(EDGE, seed=12, finish_length_m=0.3, birdbath_m=0.0005)
    assert birdbaths(plane(y=0.004), polygon=BOX, wishes=other, tries=60)[1] != area_m2
