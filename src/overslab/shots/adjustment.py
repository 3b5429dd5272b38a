"""Weighted least squares of a levelling book.

One unknown per set-up (height of instrument) and one per point without a given height:

    HI(set-up) − height(point) = reading + residual,   weight 1/σ²

Every reading touches one point and one set-up, so the points' block of the normal matrix is
diagonal: it is eliminated by hand and only a small dense matrix over the set-ups is left. The
method is ordinary; see P. Wolf and C. Ghilani, Adjustment Computations, 4th ed. 2006, chapter 12.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import cho_factor, cho_solve
from scipy.sparse import csr_array

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

# A reading whose redundancy number is under this is checked by nothing; rounding leaves 1e-12.
UNCHECKED = 1e-7


@dataclass(frozen=True, slots=True, eq=False)
class Adjustment:
    """Heights with everything needed to judge them."""

    instrument_m: Floats  # (s,)
    instrument_variance_m2: Floats  # (s,)
    height_m: Floats  # (p,) given heights stay as given
    variance_m2: Floats  # (p,) zero for given heights
    misfit_m: Floats  # (n,) reading less the reading that the heights ask for
    redundancy_number: Floats  # (n,) zero for readings left out
    redundancy: int
    weighted_squares: float
    covariance: Callable[[], Floats]  # (p, p), made when asked for


def adjust(
    *,
    setup_of: Ints,
    point_of: Ints,
    reading_m: Floats,
    deviation_m: Floats,
    known_m: Floats,
    setups: int,
    use: Bools | None = None,
) -> Adjustment:
    """Adjust (n,) readings of (p,) points; ``known_m`` is nan where the height is asked for.

    ``use`` leaves readings out without renumbering. Every set-up and every point must be tied to a
    known height by the readings in use; the caller has made sure of it.
    """
    points = known_m.size
    used = np.ones(reading_m.size, dtype=bool) if use is None else use
    weight = np.where(used, deviation_m**-2.0, 0.0)
    free = np.isnan(known_m)
    # Heights are counted from a known one: the sums keep their digits at any datum.
    origin = float(known_m[~free][0])
    given = np.where(free, 0.0, known_m - origin)

    on_free = free[point_of]
    per_point = np.bincount(point_of, weights=weight, minlength=points)
    per_setup = np.bincount(setup_of, weights=weight, minlength=setups)
    point_pull = np.bincount(point_of, weights=weight * reading_m, minlength=points)
    asked = reading_m + given[point_of]
    setup_pull = np.bincount(setup_of, weights=weight * asked, minlength=setups)
    # Row p of ``lean``: how a free point's height leans on the heights of instrument.
    share = np.zeros(points)
    np.divide(1.0, per_point, out=share, where=free & (per_point > 0))
    cross = csr_array(
        (weight[on_free], (point_of[on_free], setup_of[on_free])), shape=(points, setups)
    )
    lean = csr_array(cross.multiply(share[:, None]))

    normal = np.diag(per_setup) - np.asarray((cross.T @ lean).todense())
    factor = cho_factor(normal)
    instrument = cho_solve(factor, setup_pull - lean.T @ point_pull)
    instrument_covariance = cho_solve(factor, np.eye(setups))
    height = np.where(free, lean @ instrument - share * point_pull, given)

    carried = np.asarray(lean @ instrument_covariance)  # covariance of points with set-ups
    variance = share + np.asarray(lean.multiply(carried).sum(axis=1)).ravel()
    misfit = reading_m - (instrument[setup_of] - height[point_of])
    fitted_variance = (
        instrument_covariance[setup_of, setup_of]
        + variance[point_of]
        - 2.0 * carried[point_of, setup_of]
    )
    number = np.where(used, np.clip(1.0 - weight * fitted_variance, 0.0, 1.0), 0.0)
    number[number < UNCHECKED] = 0.0

    def covariance() -> Floats:
        full: Floats = np.asarray(lean @ carried.T)
        full = (full + full.T) / 2.0
        full[np.diag_indices(points)] += share
        return full

    return Adjustment(
        instrument_m=instrument + origin,
        instrument_variance_m2=np.diag(instrument_covariance).copy(),
        height_m=np.where(free, height + origin, known_m),
        variance_m2=variance,
        misfit_m=misfit,
        redundancy_number=number,
        redundancy=int(used.sum()) - setups - int(free.sum()),
        weighted_squares=float(np.sum(weight * misfit**2)),
        covariance=covariance,
    )


@dataclass(frozen=True, slots=True)
class Outlier:
    """Readings that do not fit the rest; several when the book cannot tell which of them it is."""

    readings: tuple[int, ...]
    misfit_m: tuple[float, ...]  # each reading less what the others ask of it
    deviation_m: tuple[float, ...]
    score: tuple[float, ...]


def snoop(
    *,
    fit: Callable[[Bools], Adjustment],
    deviation_m: Floats,
    critical: float,
    most: int,
) -> tuple[tuple[Outlier, ...], Bools]:
    """Largest standardized residual first, adjust without it, look again (data snooping).

    Returns what was found and which readings were left in at the end. Taking out every large
    residual at once would be wrong: one spoiled line lifts the residuals of its neighbours.
    """
    use = np.ones(deviation_m.size, dtype=bool)
    found: list[Outlier] = []
    now = fit(use)
    while len(found) < most and now.redundancy > 0:
        root = np.sqrt(now.redundancy_number)
        score = np.zeros_like(root)
        np.divide(now.misfit_m, deviation_m * root, out=score, where=root > 0)
        worst = int(np.argmax(np.abs(score)))
        if abs(score[worst]) <= critical:
            break
        use[worst] = False
        after = fit(use)
        # A reading that only the worst one checked is as likely the wrong one: equal score before,
        # unchecked after.
        equal = np.isclose(np.abs(score), abs(score[worst]), rtol=1e-6, atol=0.0)
        twins = np.flatnonzero(equal & use & (after.redundancy_number == 0.0))
        group = (worst, *(int(twin) for twin in twins))
        found.append(
            Outlier(
                readings=group,
                misfit_m=tuple(float(now.misfit_m[i] / now.redundancy_number[i]) for i in group),
                deviation_m=tuple(float(deviation_m[i] / root[i]) for i in group),
                score=tuple(float(score[i]) for i in group),
            )
        )
        now = after
    return tuple(found), use
