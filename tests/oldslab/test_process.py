"""The surface against other libraries, printed kriging numbers, and brute force."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from made_up_floors import data_of, grid
from scipy.spatial.distance import cdist
from scipy.stats import multivariate_normal
from sklearn.gaussian_process import GaussianProcessRegressor
from sklearn.gaussian_process.kernels import ConstantKernel, DotProduct, Matern

from overslab.ground.plan import clipped_cells
from overslab.oldslab import process, sums
from overslab.oldslab.panels import Piece, side_of
from overslab.oldslab.process import (
    OFFSET_DEVIATION_M,
    TILT_DEVIATION,
    Data,
    Likelihood,
    Parameters,
    Process,
)
from overslab.oldslab.sums import Sums, moments
from overslab.oldslab.surface import MixedSurface

ONE = (Piece("A", "panel", shapely.box(0, 0, 6, 4)),)
TWO = (
    Piece("A", "panel", shapely.box(0, 0, 2.5, 4)),
    Piece("B", "panel", shapely.box(2.5, 0, 6, 4)),
)
FIXED = Parameters(length_m=1.7, roughness_m=0.009, texture_m=0.0012)
OTHER = Parameters(length_m=3.1, roughness_m=0.015, texture_m=0.0007)


def shot_floor(pieces: tuple[Piece, ...], *, common_m: float = 0.0) -> Data:
    rng = np.random.default_rng(11)
    xy = grid(width_m=6, depth_m=4, columns=7, rows=5, margin_m=0.2)
    xy += rng.normal(0, 0.08, xy.shape)
    height = 100 + xy @ [0.004, -0.007] + 0.01 * np.sin(xy[:, 0]) + rng.normal(0, 0.002, len(xy))
    return data_of(xy, height, np.eye(len(xy)) * 0.0015**2 + common_m**2, pieces)


def by_hand(data: Data, parameters: Parameters, xy: np.ndarray, panel: np.ndarray) -> np.ndarray:
    """Prior covariance of the surface at places with itself, written out from the definition."""
    distance = cdist(xy, xy)
    scaled = np.sqrt(3) * distance / parameters.length_m
    off = xy - data.centre_m[panel]
    covariance = parameters.roughness_m**2 * (1 + scaled) * np.exp(-scaled)
    covariance += OFFSET_DEVIATION_M**2 + TILT_DEVIATION**2 * off @ off.T
    return np.where(panel[:, None] == panel[None, :], covariance, 0.0)


def posterior(
    data: Data, parameters: Parameters, xy: np.ndarray, panel: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Mean and full covariance at places by one dense matrix."""
    count = len(data.xy_m)
    both = by_hand(
        data, parameters, np.vstack([data.xy_m, xy]), np.concatenate([data.panel, panel])
    )
    noise = data.covariance_m2 + parameters.texture_m**2 * np.eye(count)
    gain = np.linalg.solve(both[:count, :count] + noise, both[:count, count:]).T
    mean = data.base_m + gain @ (data.height_m - data.base_m)
    return mean, both[count:, count:] - gain @ both[:count, count:]


def test_equals_scikit_learn_at_fixed_parameters() -> None:
    data = shot_floor(ONE)
    centre = data.centre_m[0]
    kernel = (
        ConstantKernel(OFFSET_DEVIATION_M**2)
        + ConstantKernel(TILT_DEVIATION**2) * DotProduct(sigma_0=0.0, sigma_0_bounds="fixed")
        + ConstantKernel(FIXED.roughness_m**2) * Matern(length_scale=FIXED.length_m, nu=1.5)
    )
    theirs = GaussianProcessRegressor(
        kernel=kernel,
        optimizer=None,
        alpha=np.diag(data.covariance_m2) + FIXED.texture_m**2,
    ).fit(data.xy_m - centre, data.height_m - data.base_m)
    xy = np.random.default_rng(3).uniform(0, 4, (60, 2))
    mean, deviation = theirs.predict(xy - centre, return_std=True)
    ours = MixedSurface(data, ONE, [(1.0, FIXED)])
    assert ours.height_m(xy) - data.base_m == pytest.approx(mean, abs=1e-9)
    assert ours.deviation_m(xy) == pytest.approx(deviation, rel=1e-5)
    likelihood, _ = Likelihood(data)(FIXED.log)
    assert likelihood == pytest.approx(theirs.log_marginal_likelihood_value_, rel=1e-9)


def test_likelihood_is_the_normal_density_and_its_slope_is_right() -> None:
    data = shot_floor(TWO, common_m=0.001)
    count = len(data.xy_m)
    covariance = by_hand(data, FIXED, data.xy_m, data.panel) + data.covariance_m2
    covariance += FIXED.texture_m**2 * np.eye(count)
    expected = multivariate_normal.logpdf(
        data.height_m, mean=np.full(count, data.base_m), cov=covariance
    )
    likelihood = Likelihood(data)
    value, slope = likelihood(FIXED.log)
    assert value == pytest.approx(expected, rel=1e-9)
    for axis in range(3):
        step = 1e-4 * np.eye(3)[axis]
        by_difference = (likelihood(FIXED.log + step)[0] - likelihood(FIXED.log - step)[0]) / 2e-4
        assert slope[axis] == pytest.approx(by_difference, rel=1e-4, abs=1e-4)


# Isaaks and Srivastava, An Introduction to Applied Geostatistics (1989), chapter 12: seven samples,
# C(h) = 10 exp(-0.3 h), estimated at (65, 137).
SEVEN = np.array(
    [
        (61, 139, 477),
        (63, 140, 696),
        (64, 129, 227),
        (68, 128, 646),
        (71, 140, 606),
        (73, 141, 791),
        (75, 128, 783),
    ],
    dtype=float,
)


@pytest.mark.parametrize(
    ("offset", "estimate", "variance", "tolerance"),
    [
        # Simple kriging about the mean 603.714, recomputed by hand and by scikit-learn.
        (0.0, 592.16942, 8.579037, 1e-5),
        # Ordinary kriging is the limit of an unknown mean; the book prints 592.7 and 8.96,
        # PyKrige and GSTools gave 592.72894 and 8.956053.
        (1e3, 592.72894, 8.956053, 1e-4),
    ],
)
def test_printed_kriging_numbers(
    monkeypatch: pytest.MonkeyPatch,
    offset: float,
    estimate: float,
    variance: float,
    tolerance: float,
) -> None:
    monkeypatch.setattr(process, "matern_correlation", exponential)
    monkeypatch.setattr(process, "OFFSET_DEVIATION_M", offset)
    monkeypatch.setattr(process, "TILT_DEVIATION", 0.0)
    pieces = (Piece("A", "panel", shapely.box(50, 120, 80, 150)),)
    data = data_of(SEVEN[:, :2], SEVEN[:, 2], np.zeros((7, 7)), pieces)
    assert data.base_m == pytest.approx(603.714, abs=5e-4)
    surface = Process(
        Likelihood(data),
        Parameters(length_m=1 / 0.3, roughness_m=np.sqrt(10), texture_m=1e-6),
    )
    mean, found = surface.at(np.array([[65.0, 137.0]]), np.zeros(1, dtype=np.intp))
    assert mean[0] == pytest.approx(estimate, abs=tolerance * 10)
    assert found is not None
    assert found[0] == pytest.approx(variance, abs=tolerance)


def exponential(*, distance_m: np.ndarray, length_m: float) -> np.ndarray:
    return np.exp(-np.asarray(distance_m) / length_m)


@pytest.mark.parametrize(
    ("polygon", "step_m", "constant"),
    [
        # Mean of the distance between two places of a unit square: (2 + sqrt 2 + 5 asinh 1) / 15;
        # Journel and Huijbregts, Mining Geostatistics, block constants of the variogram |h|.
        (shapely.box(0, 0, 1, 1), 1 / 40, 0.521405),
        # And of a line of unit length: one third.
        (shapely.box(0, 0, 1, 1e-9), 1 / 400, 1 / 3),
    ],
)
def test_block_constants_come_out_of_the_weighted_sums(
    monkeypatch: pytest.MonkeyPatch, polygon: shapely.Polygon, step_m: float, constant: float
) -> None:
    monkeypatch.setattr(sums, "matern_correlation", exponential)
    monkeypatch.setattr(sums, "FEW", 10_000)
    monkeypatch.setattr(process, "OFFSET_DEVIATION_M", 0.0)
    monkeypatch.setattr(process, "TILT_DEVIATION", 0.0)
    if polygon.area > 0.5:
        xy, areas = clipped_cells(polygon, step_m=step_m)
    else:
        xy = np.column_stack([(np.arange(400) + 0.5) / 400, np.zeros(400)])
        areas = np.ones(400)
    pieces = (Piece("A", "panel", polygon),)
    data = data_of(xy[:3], np.zeros(3), np.eye(3), pieces)
    # 1 - exp(-h / L) times L is h when L is large; cells of 1/40 are good to 2e-4.
    long = 1e5
    block = Sums(xy, side_of(pieces, xy), (areas / areas.sum())[None, :])
    held = moments(data, [Parameters(length_m=long, roughness_m=1.0, texture_m=1.0)], block)
    assert long * (1 - held[0].prior[0, 0]) == pytest.approx(constant, abs=2e-4)


@pytest.mark.parametrize("step_m", [0.5, 0.09], ids=["pair by pair", "by grid"])
@pytest.mark.parametrize("pieces", [ONE, TWO], ids=["one panel", "two panels"])
def test_weigh_is_the_dense_sum(pieces: tuple[Piece, ...], step_m: float) -> None:
    data = shot_floor(pieces, common_m=0.0008)
    xy, areas = clipped_cells(shapely.box(0, 0, 6, 4), step_m=step_m)
    xy = xy + np.array([0.003, -0.002])  # off any lattice
    assert (len(xy) > 2 * sums.FEW) == (step_m < 0.2)
    panel = side_of(pieces, xy)
    weights = np.stack([areas / 24, areas * (xy[:, 0] > 4), areas * (xy[:, 1] - 2)])
    nodes = [(0.6, FIXED), (0.4, OTHER)]
    mean, covariance = MixedSurface(data, pieces, nodes).weigh(xy, weights)
    means, covariances = [], []
    for _, parameters in nodes:
        height, full = posterior(data, parameters, xy, panel)
        means.append(weights @ (height - data.base_m))
        covariances.append(weights @ full @ weights.T)
    mixed = 0.6 * means[0] + 0.4 * means[1]
    gap = means[0] - means[1]
    expected = 0.6 * covariances[0] + 0.4 * covariances[1] + 0.24 * np.outer(gap, gap)
    assert mean - data.base_m * weights.sum(axis=1) == pytest.approx(mixed, abs=2e-7)
    scale = np.sqrt(np.outer(np.diag(expected), np.diag(expected)))
    assert np.abs(covariance - expected).max() < 2e-3 * scale.max()
    assert np.sqrt(np.diag(covariance)) == pytest.approx(np.sqrt(np.diag(expected)), rel=1e-3)


def test_cells_taken_as_independent_would_be_far_too_sure() -> None:
    data = shot_floor(ONE)
    xy, areas = clipped_cells(ONE[0].polygon, step_m=0.1)
    surface = MixedSurface(data, ONE, [(1.0, FIXED)])
    _, covariance = surface.weigh(xy, areas[None, :] / areas.sum())
    independent = np.sqrt(np.sum((areas / areas.sum() * surface.deviation_m(xy)) ** 2))
    assert np.sqrt(covariance[0, 0]) > 5 * independent


def test_place_by_place_variance_is_that_of_weigh() -> None:
    data = shot_floor(TWO, common_m=0.001)
    surface = MixedSurface(data, TWO, [(0.5, FIXED), (0.5, OTHER)])
    xy = np.array([[0.4, 0.3], [2.4, 3.0], [2.6, 3.0], [5.9, 3.9]])
    mean, covariance = surface.weigh(xy, np.eye(4))
    assert surface.height_m(xy) == pytest.approx(mean, abs=1e-9)
    assert surface.deviation_m(xy) == pytest.approx(np.sqrt(np.diag(covariance)), rel=1e-6)
    # The common error of the set-up ties the two panels together, nothing else does.
    apart = MixedSurface(shot_floor(TWO), TWO, [(1.0, FIXED)]).weigh(xy, np.eye(4))[1]
    assert apart[1, 2] == pytest.approx(0.0, abs=1e-12)
    assert covariance[1, 2] > 5e-7


def test_nothing_reaches_across_a_break() -> None:
    data = shot_floor(TWO)
    raised = data.height_m + 0.05 * (data.panel == 1)
    moved = Data(data.xy_m, data.panel, raised, data.covariance_m2, data.centre_m, data.base_m)
    left = np.array([[0.3, 0.3], [2.49, 2.0]])
    before = MixedSurface(data, TWO, [(1.0, FIXED)]).height_m(left)
    after = MixedSurface(moved, TWO, [(1.0, FIXED)]).height_m(left)
    assert after == pytest.approx(before, abs=1e-9)
    joined = data_of(data.xy_m, raised, data.covariance_m2, ONE)
    smeared = MixedSurface(joined, ONE, [(1.0, FIXED)]).height_m(left[1:])
    assert abs(smeared[0] - before[1]) > 0.005


def test_another_linear_way_is_judged_as_the_dense_sum_judges_it() -> None:
    data = shot_floor(ONE, common_m=0.001)
    xy, areas = clipped_cells(ONE[0].polygon, step_m=0.4)
    panel = side_of(ONE, xy)
    weights = areas / areas.sum()
    plain = np.full(len(data.xy_m), 1 / len(data.xy_m))
    surface = MixedSurface(data, ONE, [(1.0, FIXED)])
    found = surface.deviation_of_estimate(Sums(xy, panel, weights[None, :]), shot_weights=plain)
    both = by_hand(
        data, FIXED, np.vstack([xy, data.xy_m]), np.zeros(len(xy) + len(plain), dtype=int)
    )
    signed = np.concatenate([weights, -plain])
    noise = data.covariance_m2 + FIXED.texture_m**2 * np.eye(len(plain))
    assert found == pytest.approx(np.sqrt(signed @ both @ signed + plain @ noise @ plain), rel=1e-6)
    # No linear way beats the surface's own.
    own = np.sqrt(surface.weigh(xy, weights[None, :])[1][0, 0])
    assert found > own
