"""Fewer places, spread as evenly as they lie."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def farthest(
    xy_m: Floats, *, count: int, first: NDArray[np.intp] | None = None
) -> NDArray[np.intp]:
    """Places of ``count`` points, each the farthest from those before; ``first`` always stay."""
    centre = np.argmin(((xy_m - xy_m.mean(axis=0)) ** 2).sum(axis=1))
    kept = list(first) if first is not None and len(first) else [int(centre)]
    gap = np.full(len(xy_m), np.inf)
    for place in kept:
        gap = np.minimum(gap, ((xy_m - xy_m[place]) ** 2).sum(axis=1))
    while len(kept) < min(count, len(xy_m)):
        place = int(np.argmax(gap))
        kept.append(place)
        gap = np.minimum(gap, ((xy_m - xy_m[place]) ** 2).sum(axis=1))
    return np.sort(np.array(kept[:count], dtype=np.intp))
