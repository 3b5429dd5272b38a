"""Mean height with its deviation: our surface against scikit-learn on the same shots, in one run.

Both lay a Gaussian process with a plane and a Matern 3/2 departure through the same shots and give
the mean height over the floor and its standard deviation. First with the same fixed parameters,
where the answers must be equal; then with the parameters looked for as well, where ours also
carries how unsure they are. scikit-learn has no integral: its full covariance is asked for and
weighed, which is what a person would do. Times are the least of several runs, taken turn about,
by one thread each: matrices this small lose more by waiting for a second one than they gain.
"""

from __future__ import annotations

import time
import warnings
from collections.abc import Callable

import numpy as np
import shapely
from numpy.typing import NDArray
from sklearn.exceptions import ConvergenceWarning
from sklearn.gaussian_process import GaussianProcessRegressor
from sklearn.gaussian_process.kernels import ConstantKernel, DotProduct, Matern, WhiteKernel
from threadpoolctl import threadpool_limits

from overslab.ground.plan import clipped_cells
from overslab.oldslab.fit import fit, prior_for
from overslab.oldslab.panels import Piece, side_of
from overslab.oldslab.process import OFFSET_DEVIATION_M, TILT_DEVIATION, Data, Parameters
from overslab.oldslab.surface import MixedSurface

Floats = NDArray[np.float64]
Answer = tuple[float, float]  # mean height and its deviation

FLOOR = shapely.Polygon([(0, 0), (12, 0), (12, 6), (6, 6), (6, 10), (0, 10)])
PIECES = (Piece("A", "panel", FLOOR),)
CELLS = 3000
SHOTS = (36, 64, 100, 200)
RUNS = 3
ERROR_M = 0.0015
FIXED = Parameters(length_m=3.0, roughness_m=0.012, texture_m=0.001)


def made_up_shots(count: int) -> Data:
    """A tilted, dished L with finishing waves, shot on a shaken grid."""
    rng = np.random.default_rng(count)
    x, y = np.meshgrid(np.linspace(0.1, 11.9, 60), np.linspace(0.1, 9.9, 50))
    places = np.column_stack([x.ravel(), y.ravel()])
    places = places[shapely.contains_xy(FLOOR, places)]
    kept = [0]
    gap = ((places - places[0]) ** 2).sum(axis=1)
    while len(kept) < count:
        kept.append(int(np.argmax(gap)))
        gap = np.minimum(gap, ((places - places[kept[-1]]) ** 2).sum(axis=1))
    xy = places[kept] + rng.normal(0, 0.03, (count, 2))
    height = 0.004 * xy[:, 0] - 0.02 * np.exp(-((xy - [4, 3]) ** 2).sum(axis=1) / 6)
    height += 0.003 * np.sin(2 * xy[:, 0]) * np.cos(1.5 * xy[:, 1])
    height += rng.normal(0, np.hypot(ERROR_M, 0.001), count)
    return Data(
        xy_m=xy,
        panel=np.zeros(count, dtype=np.intp),
        height_m=height,
        covariance_m2=np.eye(count) * ERROR_M**2,
        centre_m=np.array([FLOOR.centroid.coords[0]]),
        base_m=float(height.mean()),
    )


def kernel(*, free: bool) -> object:
    plane = ConstantKernel(OFFSET_DEVIATION_M**2, "fixed") + ConstantKernel(
        TILT_DEVIATION**2, "fixed"
    ) * DotProduct(0.0, "fixed")
    strength = ConstantKernel(FIXED.roughness_m**2, (1e-8, 1e-1) if free else "fixed")
    departure = Matern(FIXED.length_m, (0.1, 60.0) if free else "fixed", nu=1.5)
    texture = WhiteKernel(FIXED.texture_m**2, (1e-8, 1e-4) if free else "fixed")
    return plane + strength * departure + texture


def by_scikit_learn(data: Data, xy: Floats, weights: Floats, *, free: bool) -> Answer:
    centre = data.centre_m[0]
    process = GaussianProcessRegressor(
        kernel=kernel(free=free),
        alpha=np.diag(data.covariance_m2),
        optimizer="fmin_l_bfgs_b" if free else None,
        n_restarts_optimizer=2 if free else 0,
        random_state=0,
    )
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", ConvergenceWarning)
        process.fit(data.xy_m - centre, data.height_m - data.base_m)
    height, covariance = process.predict(xy - centre, return_cov=True)
    # The texture is the shots', not the surface's.
    texture = process.kernel_.k2.noise_level
    covariance[np.diag_indices_from(covariance)] -= texture
    return data.base_m + float(weights @ height), float(np.sqrt(weights @ covariance @ weights))


def by_ours(data: Data, xy: Floats, weights: Floats, *, free: bool) -> Answer:
    nodes = fit(data, prior_for(data, PIECES)).nodes if free else ((1.0, FIXED),)
    mean, covariance = MixedSurface(data, PIECES, nodes).weigh(xy, weights[None, :])
    return float(mean[0]), float(np.sqrt(covariance[0, 0]))


def timed(run: Callable[[], Answer]) -> tuple[float, Answer]:
    start = time.perf_counter()
    answer = run()
    return time.perf_counter() - start, answer


def compared(data: Data, xy: Floats, weights: Floats, *, free: bool) -> None:
    ours: list[float] = []
    theirs: list[float] = []
    for _ in range(RUNS):
        seconds, mine = timed(lambda: by_ours(data, xy, weights, free=free))
        ours.append(seconds)
        seconds, other = timed(lambda: by_scikit_learn(data, xy, weights, free=free))
        theirs.append(seconds)
    apart = abs(mine[0] - other[0])
    if not free and (apart > 1e-6 or abs(mine[1] / other[1] - 1) > 2e-3):
        raise SystemExit(f"{len(data.height_m)} shots: the two answers differ")
    print(
        f"{len(data.height_m):6}{min(ours):10.3f}{min(theirs):16.3f}"
        f"{min(ours) / min(theirs):8.3f}{1e3 * apart:14.5f}"
        f"{1e3 * mine[1]:12.4f}{1e3 * other[1]:16.4f}"
    )


def main() -> None:
    xy, areas = clipped_cells(FLOOR, step_m=float(np.sqrt(FLOOR.area / CELLS)))
    assert not side_of(PIECES, xy).any()
    for free, title in ((False, "parameters given"), (True, "parameters looked for")):
        print(f"mean height and deviation over {len(xy):,} cells, {title}, least of {RUNS} runs")
        print(
            f"{'shots':>6}{'ours s':>10}{'scikit-learn s':>16}{'ratio':>8}{'apart mm':>14}"
            f"{'ours ± mm':>12}{'scikit-learn':>16}"
        )
        for count in SHOTS:
            compared(made_up_shots(count), xy, areas / areas.sum(), free=free)
    print("ours ± holds the doubt about the parameters too where they were looked for")


if __name__ == "__main__":
    with threadpool_limits(1):
        main()
