"""The chance of a birdbath: the marked top with the crew's own finishing error on it, many times.

The error is a stationary Gaussian field with covariance d^2 exp(-(h/l)^2): standard deviation d,
and l the distance over which two places still err mostly together (their correlation there is 1/e).
Fields are drawn exactly, by circulant embedding (Dietrich and Newsam, SIAM Journal on Scientific
Computing 18, 1997) on a ring long enough that its far sides do not correlate.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import scipy.fft
import scipy.ndimage
import shapely
from numpy.typing import NDArray

from overslab.ground.terrain import fill
from overslab.newtop.records import TopSurface, Wishes
from overslab.newtop.wetsheet import WetSheet, sample

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

MOST_CELLS = 6_000
# Where the correlation is exp(-9): nothing comes back round the ring.
_RING_LENGTHS = 3.0
_AT_ONCE = 50  # tries filled at one time: bounds the memory


def birdbaths(
    surface: TopSurface,
    *,
    polygon: shapely.Polygon,
    wishes: Wishes,
    tries: int = 200,
    step_m: float | None = None,
) -> tuple[float, float, int]:
    """Chance of a puddle deeper than ``wishes.birdbath_m``, its mean area in m2, and the tries.

    The area is the whole puddle of every puddle that deep, averaged over the tries that had one; 0
    when none had. The same seed gives the same answer, and puts the same errors on every top of a
    floor, so that tops can be compared. The chance is a count over tries: its
    standard error is sqrt(p (1 - p) / tries).
    """
    sheet = sample(
        surface, polygon=polygon, outlets=wishes.outlets, most_cells=MOST_CELLS, step_m=step_m
    )
    base = _without_grain(sheet, deep_m=wishes.birdbath_m)
    found: list[float] = []
    for first in range(0, tries, _AT_ONCE):
        errors = _errors(
            (base.shape[0], base.shape[1]),
            step_m=sheet.lattice.step_m,
            deviation_m=wishes.finish_deviation_m,
            length_m=wishes.finish_length_m,
            seed=(wishes.seed, first),
        )[: tries - first]
        found.extend(_puddled_m2(base + errors, sheet=sheet, deep_m=wishes.birdbath_m))
    areas = np.asarray(found)
    had = areas > 0.0
    mean_m2 = float(areas[had].mean()) if had.any() else 0.0
    return float(had.mean()) if tries else 0.0, mean_m2, tries


def _without_grain(sheet: WetSheet, *, deep_m: float) -> Floats:
    """The sheet with pits shallower than a birdbath filled in.

    On the clean top such pits are the lattice's own, where a valley crosses it aslant; left in,
    they would add to the depth of every puddle there.
    """
    filled = fill(sheet.heights_m, inside=sheet.lattice.inside, outlets=sheet.outlets)
    return np.where(_pools_deeper(filled.depth_m, deep_m), sheet.heights_m, filled.level_m)


@lru_cache(maxsize=8)
def _errors(
    shape: tuple[int, int],
    *,
    step_m: float,
    deviation_m: float,
    length_m: float,
    seed: tuple[int, int],
) -> Floats:
    """``_AT_ONCE`` fields of finishing error, kept for the next top of the same floor."""
    fields = finishing_errors(
        np.random.default_rng(seed),
        shape=shape,
        step_m=step_m,
        deviation_m=deviation_m,
        length_m=length_m,
        count=_AT_ONCE,
    )
    fields.setflags(write=False)
    return fields


def finishing_errors(
    rng: np.random.Generator,
    *,
    shape: tuple[int, int],
    step_m: float,
    deviation_m: float,
    length_m: float,
    count: int,
) -> Floats:
    """(count, ny, nx) independent fields of finishing error, metres."""
    spare = int(np.ceil(_RING_LENGTHS * length_m / step_m))
    ring = [scipy.fft.next_fast_len(n + spare) for n in shape]
    away = [np.minimum(np.arange(n), n - np.arange(n)) * step_m for n in ring]
    square = away[0][:, None] ** 2 + away[1][None, :] ** 2
    covariance = deviation_m**2 * np.exp(-square / max(length_m, 1e-9) ** 2)
    # Rounding, and the last of the tail cut by the ring, leave eigenvalues a hair below zero.
    power = np.maximum(scipy.fft.fft2(covariance).real, 0.0)
    root = np.sqrt(power / (ring[0] * ring[1]))
    pairs = (count + 1) // 2
    fields = np.empty((2 * pairs, *shape))
    for pair in range(pairs):
        noise = rng.standard_normal((2, *ring))
        wave = scipy.fft.fft2(root * (noise[0] + 1j * noise[1]))[: shape[0], : shape[1]]
        fields[2 * pair], fields[2 * pair + 1] = wave.real, wave.imag
    return fields[:count]


def _puddled_m2(tops: Floats, *, sheet: WetSheet, deep_m: float) -> list[float]:
    """Area of the puddles deeper than ``deep_m`` in each of the (count, ny, nx) tops."""
    count, rows, columns = tops.shape
    # All tries stand above each other on one tall sheet with a row of wall between.
    tall = (count * (rows + 1), columns)

    def stack(mask: Bools) -> Bools:
        one = np.zeros((rows + 1, columns), dtype=bool)
        one[:-1] = mask
        return np.tile(one, (count, 1))

    heights = np.zeros((count, rows + 1, columns))
    heights[:, :-1] = np.where(sheet.lattice.inside, tops, 0.0)
    filled = fill(
        heights.reshape(tall), inside=stack(sheet.lattice.inside), outlets=stack(sheet.outlets)
    )
    wet = _pools_deeper(filled.depth_m, deep_m).reshape(count, rows + 1, columns)[:, :-1]
    return [float(area) for area in (wet * sheet.areas_m2).sum(axis=(1, 2))]


def _pools_deeper(depth_m: Floats, deep_m: float) -> Bools:
    """Cells of every pool whose deepest cell stands more than ``deep_m``."""
    pools, number = scipy.ndimage.label(depth_m > 0.0, structure=np.ones((3, 3)))
    deepest = np.zeros(number + 1)
    np.maximum.at(deepest, pools.ravel(), depth_m.ravel())
    deepest[0] = 0.0
    wet: Bools = (deepest > deep_m)[pools] & (pools > 0)
    return wet
