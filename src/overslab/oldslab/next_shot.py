"""Where one more shot would shrink the plus-or-minus of the volume most."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from overslab.handbook.surfaces import deviation_after_shot
from overslab.handbook.working import Working, show
from overslab.oldslab.records import NextShot
from overslab.oldslab.sums import Sums
from overslab.oldslab.surface import MixedSurface

Floats = NDArray[np.float64]

_CANDIDATES = 400
_SHOT_ALREADY_M = 0.15  # nearer to a shot than this it has been shot
_WORTH = 0.01  # a shot that takes off less than this share is not worth the walk


def best_next_shot(
    surface: MixedSurface, volume: Sums, candidates_m: Floats, *, texture_m: float
) -> tuple[NextShot, Working] | None:
    """The best of the candidate places (m, 2), or None when no shot helps.

    ``volume`` is the integral of the floor's height. What a shot takes off is the closed form of
    the conditional normal distribution; its error is the texture and the middle one of the errors
    of the shots there are.
    """
    data = surface.data
    gap, _ = cKDTree(data.xy_m).query(candidates_m)
    open_ = candidates_m[gap > _SHOT_ALREADY_M]
    if not len(open_):
        return None
    coarse = open_[:: max(1, len(open_) // _CANDIDATES)]
    shot_m = float(np.hypot(texture_m, np.sqrt(np.median(np.diag(data.covariance_m2)))))

    def judged(places_m: Floats) -> tuple[float, int, Floats, Floats]:
        covariance, deviation, across = surface.sums_and_places(volume, places_m)
        gains = across[:, 0] ** 2 / (deviation**2 + shot_m**2)
        return float(np.sqrt(covariance[0, 0])), int(np.argmax(gains)), deviation, across[:, 0]

    _, best, _, _ = judged(coarse)
    # The neighbourhood again, now every candidate of it.
    reach = 2 * np.sqrt(np.prod(np.ptp(open_, axis=0) + 1e-9) / len(coarse))
    near = open_[np.linalg.norm(open_ - coarse[best], axis=1) <= reach]
    now, best, deviation, across = judged(near)
    then, working = show(
        deviation_after_shot,
        about="volume after the best next shot",
        deviation_m3=now,
        covariance_m4=float(across[best]),
        place_deviation_m=float(deviation[best]),
        shot_deviation_m=shot_m,
    )
    if then > (1 - _WORTH) * now:
        return None
    at = (float(near[best, 0]), float(near[best, 1]))
    return NextShot(at=at, deviation_now_m3=now, deviation_then_m3=then), working
