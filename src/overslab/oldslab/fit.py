"""Length, roughness and texture by marginal likelihood with priors, and how sure they are.

The parameters are not known exactly, and a surface that pretended so would be too sure of itself.
The posterior of their logarithms is taken by its peak and curvature and then sampled at the
fifteen points of a central composite design, each reweighted by the true posterior there (Rue,
Martino and Chopin, Journal of the Royal Statistical Society B 71 (2009), section 6.5).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import product

import numpy as np
import scipy.optimize
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from overslab.oldslab.panels import Piece
from overslab.oldslab.process import Data, Likelihood, Parameters
from overslab.oldslab.thinning import farthest

Floats = NDArray[np.float64]
Climb = Callable[[Floats], tuple[float, Floats]]

NAMES = ("length_m", "roughness_m", "texture_m")
# Above this many places the parameters are sure enough for their peak alone, and they are fitted
# on a spread-out part of the places.
MANY = 250
_LENGTH_SHARE = 0.4  # of the floor's side: where the prior of the length stands
_LENGTH_SPREAD = 0.8
_ROUGHNESS_M, _ROUGHNESS_SPREAD = 0.010, 1.2
_TEXTURE_M, _TEXTURE_SPREAD = 0.001, 0.7
_SPHERE = 1.1  # radius of the design in units of the root of its dimension, as in the paper
_LEAST_SHARE = 1e-3
_AT_BOUND = 1e-3  # nearer to a bound than this, in logarithm, is on it


@dataclass(frozen=True, slots=True, eq=False)
class Prior:
    """Independent normal priors of the log parameters, and the box they are looked for in."""

    middle: Floats  # (3,) logarithms
    spread: Floats  # (3,)
    low: Floats  # (3,)
    high: Floats  # (3,)

    def __call__(self, log: Floats) -> tuple[float, Floats]:
        off = (log - self.middle) / self.spread
        return float(-0.5 * off @ off), -off / self.spread


@dataclass(frozen=True, slots=True, eq=False)
class Fitted:
    """The peak, the parameter sets that stand for the posterior, and what sits on a bound."""

    peak: Parameters
    nodes: tuple[tuple[float, Parameters], ...]  # share, parameters; the shares add up to one
    on_bound: tuple[str, ...]
    at_least: tuple[str, ...]  # those of them that sit on the lower bound


def prior_for(data: Data, pieces: tuple[Piece, ...]) -> Prior:
    """Weak priors: the length goes by the size of the floor, the rest by what floors are.

    Settled floors depart from a plane by millimetres to a few centimetres, and trowelled or
    broomed concrete has a texture of about a millimetre under a rod (common practice).
    """
    floor = shapely.union_all([piece.polygon for piece in pieces])
    side_m = float(np.sqrt(floor.area))
    gap_m = 0.05 * side_m
    if len(data.xy_m) > 1:
        gaps, _ = cKDTree(data.xy_m).query(data.xy_m, k=2)
        gap_m = min(gap_m, float(np.median(gaps[:, 1])))
    west, south, east, north = floor.bounds
    middle = np.log([_LENGTH_SHARE * side_m, _ROUGHNESS_M, _TEXTURE_M])
    return Prior(
        middle=middle,
        spread=np.array([_LENGTH_SPREAD, _ROUGHNESS_SPREAD, _TEXTURE_SPREAD]),
        low=np.log([max(0.5 * gap_m, 0.05), 2e-4, 1e-4]),
        high=np.log([4 * float(np.hypot(east - west, north - south)), 0.3, 0.01]),
    )


def fit(data: Data, prior: Prior) -> Fitted:
    """Peak by L-BFGS-B from three starts; the surface's own likelihood and slope throughout."""
    likelihood = Likelihood(_spread_out(data))

    def climb(log: Floats) -> tuple[float, Floats]:
        value, slope = likelihood(log)
        more, more_slope = prior(log)
        return -(value + more), -(slope + more_slope)

    box = scipy.optimize.Bounds(prior.low, prior.high)
    # From the middle, from short and gentle over a smooth floor, from long and strong over a rough.
    aside = np.array([[0.0, 0.0, 0.0], [-0.9, -0.8, -0.7], [0.7, 0.8, 0.7]])
    best = min(
        (
            scipy.optimize.minimize(
                climb,
                np.clip(prior.middle + off, prior.low, prior.high),
                jac=True,
                method="L-BFGS-B",
                bounds=box,
                options={"ftol": 1e-8, "gtol": 1e-3, "maxiter": 60},
            )
            for off in aside
        ),
        key=lambda found: float(found.fun),
    )
    peak = np.asarray(best.x, dtype=np.float64)
    at_least = tuple(np.array(NAMES)[peak - prior.low < _AT_BOUND].tolist())
    at_most = tuple(np.array(NAMES)[prior.high - peak < _AT_BOUND].tolist())
    many = len(data.height_m) > MANY
    nodes = (
        ((1.0, Parameters.of_log(peak)),)
        if many
        else _design(climb, peak, prior, height=float(best.fun))
    )
    return Fitted(
        peak=Parameters.of_log(peak),
        nodes=nodes,
        on_bound=(*at_least, *at_most),
        at_least=at_least,
    )


def _design(
    climb: Climb, peak: Floats, prior: Prior, *, height: float
) -> tuple[tuple[float, Parameters], ...]:
    """Share and parameters at the points of the design round the peak."""
    curve = _curvature(climb, peak)
    strength, axes = np.linalg.eigh(curve)
    # Where the likelihood says nothing, or less than nothing, the prior's own curvature is the
    # least there is.
    strength = np.maximum(strength, 0.5 / np.max(prior.spread) ** 2)
    scale = axes / np.sqrt(strength)
    count = len(peak)
    radius = _SPHERE * np.sqrt(count)
    sphere = [
        *(sign * radius * np.eye(count)[axis] for axis in range(count) for sign in (-1, 1)),
        *(np.array(corner) * _SPHERE for corner in product((-1.0, 1.0), repeat=count)),
    ]
    # Shares that give a normal posterior its true mean and variance.
    on_sphere = 1 / _SPHERE**2 / len(sphere)
    points = [(1 - 1 / _SPHERE**2, np.zeros(count)), *((on_sphere, z) for z in sphere)]
    nodes = []
    for share, z in points:
        log = np.clip(peak + scale @ z, prior.low, prior.high)
        fallen = climb(log)[0] - height
        nodes.append((share * np.exp(np.clip(0.5 * z @ z - fallen, -20, 3)), log))
    total = sum(share for share, _ in nodes)
    kept = [(share, log) for share, log in nodes if share >= _LEAST_SHARE * total]
    total = sum(share for share, _ in kept)
    return tuple((float(share / total), Parameters.of_log(log)) for share, log in kept)


def _curvature(climb: Climb, peak: Floats) -> Floats:
    """Second derivatives by differences of the slope."""
    step = 0.02
    rows = []
    for axis in np.eye(len(peak)):
        rows.append((climb(peak + step * axis)[1] - climb(peak - step * axis)[1]) / (2 * step))
    curve = np.array(rows)
    return (curve + curve.T) / 2


def _spread_out(data: Data) -> Data:
    if len(data.height_m) <= MANY:
        return data
    kept = farthest(data.xy_m, count=MANY)
    return Data(
        xy_m=data.xy_m[kept],
        panel=data.panel[kept],
        height_m=data.height_m[kept],
        covariance_m2=data.covariance_m2[np.ix_(kept, kept)],
        centre_m=data.centre_m,
        base_m=data.base_m,
    )
