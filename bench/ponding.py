"""Ponding on a million cells: our fill against scikit-image's reconstruction, in one run.

Both answer the same question on the same sheets (erosion from the outlet with 8 neighbours); the
answers are compared cell by cell before any time is printed. Goal: ratio at most 1 on every sheet.
"""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np
import scipy.ndimage
from skimage.morphology import reconstruction

from overslab.ground.terrain import Bools, Floats, fill

SIDE = 1000
STEP_M = 0.01
RUNS = 5
WALL = 1e6


def made_up_floors() -> dict[str, Floats]:
    """A 10 m floor at 1 cm: broom texture, long waves, scans that are nearly flat, set marks."""
    rng = np.random.default_rng(7)
    away = np.arange(SIDE)[:, None] * STEP_M * np.ones(SIDE)
    grain = rng.normal(size=(SIDE, SIDE))
    waves = scipy.ndimage.gaussian_filter(rng.normal(size=(SIDE, SIDE)), 45)
    waves *= 0.0016 / waves.std()
    finished = 0.01 * away + waves + 1e-4 * grain
    return {
        "1 % fall, finishing waves": 0.01 * away + waves,
        "1 % fall, waves and grain 0.1 mm": finished,
        "1 % fall, grain 0.5 mm": 0.01 * away + 5e-4 * grain,
        "nearly flat, waves and grain 0.1 mm": 1e-4 * away + waves + 1e-4 * grain,
        "flat, grain 1 mm": 1e-3 * grain,
        "1 % fall, waves, whole 1/16 in": np.round(finished / 0.0015875) * 0.0015875,
    }


def by_scikit_image(heights: Floats, *, inside: Bools, outlets: Bools) -> Floats:
    mask = np.pad(np.where(inside, heights, WALL), 1, constant_values=WALL)
    seed = np.full(mask.shape, WALL)
    seed[1:-1, 1:-1][outlets] = heights[outlets]
    grown = reconstruction(seed, mask, method="erosion", footprint=np.ones((3, 3)))
    return np.asarray(grown[1:-1, 1:-1])


def timed(run: Callable[[], object]) -> float:
    start = time.perf_counter()
    run()
    return time.perf_counter() - start


def main() -> None:
    inside = np.ones((SIDE, SIDE), dtype=bool)
    outlets = np.zeros_like(inside)
    outlets[0, 300:600] = True
    print(f"ponding, {SIDE * SIDE:,} cells, least of {RUNS} runs, taken turn about")
    print(f"{'surface':38}{'ours s':>9}{'scikit-image s':>16}{'ratio':>8}")
    worst = 0.0
    for name, heights in made_up_floors().items():
        ours = fill(heights, inside=inside, outlets=outlets).level_m
        theirs = by_scikit_image(heights, inside=inside, outlets=outlets)
        if not np.array_equal(ours, theirs):
            raise SystemExit(f"{name}: the two answers differ")
        pairs = [
            (
                timed(lambda z=heights: fill(z, inside=inside, outlets=outlets)),
                timed(lambda z=heights: by_scikit_image(z, inside=inside, outlets=outlets)),
            )
            for _ in range(RUNS)
        ]
        mine, other = (min(times) for times in zip(*pairs, strict=True))
        worst = max(worst, mine / other)
        print(f"{name:38}{mine:9.3f}{other:16.3f}{mine / other:8.2f}")
    print(f"worst ratio {worst:.2f} (goal: at most 1.00)")


if __name__ == "__main__":
    main()
