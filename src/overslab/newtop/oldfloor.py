"""The old floor looked up at places that every kind of top is held against, once for each slab."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from overslab.oldslab.records import OldSlab

Floats = NDArray[np.float64]


def old_floor_at(oldslab: OldSlab, xy_m: Floats) -> tuple[Floats, Floats]:
    """Mean height and standard deviation (n,) of the old floor at sheet places (n, 2).

    Kept for the next top over the same slab, and for the next wish: the same places are asked for
    again and again. For places that are asked for once, ask the surface.
    """
    return _kept(oldslab, np.ascontiguousarray(xy_m, dtype=np.float64).tobytes())


@lru_cache(maxsize=16)
def _kept(oldslab: OldSlab, places: bytes) -> tuple[Floats, Floats]:
    xy_m = np.frombuffer(places).reshape(-1, 2)
    found = oldslab.surface.height_m(xy_m), oldslab.surface.deviation_m(xy_m)
    for values in found:
        values.setflags(write=False)
    return found
