"""The Gaussian process of the old floor: covariance by panel, likelihood, what it says.

A height is the panel's plane, a departure from it with a Matern covariance of smoothness 3/2, the
floor's texture and the error of the shot. Planes and departures of different panels are
independent beforehand; only the common error of the shots (one set-up, one benchmark) ties panels
together.
Rasmussen and Williams, Gaussian Processes for Machine Learning (2006), equations 2.25, 2.26 and
2.30; the plane is integrated out with a proper prior as in their section 2.7.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import scipy.linalg
from numpy.typing import NDArray
from scipy.spatial.distance import cdist

from overslab.handbook.surfaces import matern_correlation

Floats = NDArray[np.float64]
Places = NDArray[np.intp]

# What is held of a panel before it is shot: its height within about a metre of the mean of all
# shots, and its tilt within 6 % (two deviations), steeper than any floor that is left in use.
OFFSET_DEVIATION_M = 1.0
TILT_DEVIATION = 0.03

_CHUNK = 1 << 21  # numbers held at a time, about 16 MB


@dataclass(frozen=True, slots=True)
class Parameters:
    """Reach of the departure from the planes, its deviation, and the texture of the floor."""

    length_m: float
    roughness_m: float
    texture_m: float

    @property
    def log(self) -> Floats:
        return np.log([self.length_m, self.roughness_m, self.texture_m])

    @classmethod
    def of_log(cls, log: Floats) -> Parameters:
        length_m, roughness_m, texture_m = np.exp(log)
        return cls(
            length_m=float(length_m), roughness_m=float(roughness_m), texture_m=float(texture_m)
        )


@dataclass(frozen=True, slots=True, eq=False)
class Data:
    """Heights at n places, the panel each belongs to, the covariance of their errors."""

    xy_m: Floats  # (n, 2)
    panel: Places  # (n,)
    height_m: Floats  # (n,)
    covariance_m2: Floats  # (n, n)
    centre_m: Floats  # (panels, 2) where each panel's plane is hung
    base_m: float  # the height all planes are expected about

    def basis(self, xy_m: Floats, panel: int) -> Floats:
        """(n, 3) rows of the panel's plane, scaled so that each has unit prior deviation."""
        off = xy_m - self.centre_m[panel]
        return np.column_stack([np.full(len(xy_m), OFFSET_DEVIATION_M), TILT_DEVIATION * off])

    def panels_of(self, panel: Places) -> Iterator[tuple[int, Places]]:
        for number in range(len(self.centre_m)):
            here = np.flatnonzero(panel == number)
            if here.size:
                yield number, here


def _growth(distance_m: Floats, length_m: float) -> Floats:
    """Slope of the Matern correlation in the logarithm of its length."""
    scaled = distance_m * (np.sqrt(3.0) / length_m)
    return np.asarray(scaled**2 * np.exp(-scaled))


class Likelihood:
    """Log marginal likelihood of the heights and its slope in the logarithms of the parameters."""

    def __init__(self, data: Data) -> None:
        self.data = data
        count = len(data.height_m)
        self.fixed = data.covariance_m2.copy()
        self.distance = np.full((count, count), np.inf)
        for number, here in data.panels_of(data.panel):
            basis = data.basis(data.xy_m[here], number)
            at = np.ix_(here, here)
            self.fixed[at] += basis @ basis.T
            self.distance[at] = cdist(data.xy_m[here], data.xy_m[here])
        self.near = np.isfinite(self.distance)
        self.distance[~self.near] = 0.0
        self.residual = data.height_m - data.base_m

    def departure(self, parameters: Parameters) -> Floats:
        """(n, n) prior covariance of the departures from the planes."""
        grown = matern_correlation(distance_m=self.distance, length_m=parameters.length_m)
        return np.where(self.near, parameters.roughness_m**2 * grown, 0.0)

    def covariance(self, parameters: Parameters) -> Floats:
        """(n, n) covariance of the heights as shot."""
        total = self.fixed + self.departure(parameters)
        total[np.diag_indices_from(total)] += parameters.texture_m**2
        return total

    def __call__(self, log: Floats) -> tuple[float, Floats]:
        """Value and slope at logarithms of length, roughness, texture (R and W 2.30, 5.9)."""
        parameters = Parameters.of_log(log)
        total = self.covariance(parameters)
        factor = scipy.linalg.cholesky(total, lower=True, check_finite=False)
        solved = scipy.linalg.cho_solve((factor, True), self.residual, check_finite=False)
        value = (
            -0.5 * self.residual @ solved
            - np.log(np.diag(factor)).sum()
            - 0.5 * len(solved) * np.log(2 * np.pi)
        )
        inverse, _ = scipy.linalg.lapack.dpotri(factor, lower=1)
        inverse = np.tril(inverse) + np.tril(inverse, -1).T
        pull = np.outer(solved, solved) - inverse
        departure = self.departure(parameters)
        grown = _growth(self.distance, parameters.length_m)
        by_length = np.where(self.near, parameters.roughness_m**2 * grown, 0.0)
        slope = np.array(
            [
                0.5 * np.sum(pull * by_length),
                np.sum(pull * departure),
                parameters.texture_m**2 * np.trace(pull),
            ]
        )
        return float(value), slope


class Process:
    """The surface for one set of parameters, given the shots."""

    def __init__(self, likelihood: Likelihood, parameters: Parameters) -> None:
        self.data = data = likelihood.data
        self.parameters = parameters
        self.covariance_m2 = likelihood.covariance(parameters)
        self.factor = scipy.linalg.cholesky(self.covariance_m2, lower=True, check_finite=False)
        self.solved = self.solve(data.height_m - data.base_m)

    def solve(self, right: Floats) -> Floats:
        solved = scipy.linalg.cho_solve((self.factor, True), right, check_finite=False)
        return np.asarray(solved)

    def cross(self, xy_m: Floats, panel: Places) -> Floats:
        """(n, m) prior covariance between the shots and the surface at m places."""
        data = self.data
        across = np.zeros((len(data.height_m), len(xy_m)))
        for number, there in data.panels_of(panel):
            here = np.flatnonzero(data.panel == number)
            if not here.size:
                continue
            distance = cdist(data.xy_m[here], xy_m[there])
            block = self.parameters.roughness_m**2 * matern_correlation(
                distance_m=distance, length_m=self.parameters.length_m
            )
            block += data.basis(data.xy_m[here], number) @ data.basis(xy_m[there], number).T
            across[np.ix_(here, there)] = block
        return across

    def prior_variance(self, xy_m: Floats, panel: Places) -> Floats:
        """(m,) variance at each place before any shot."""
        variance = np.full(len(xy_m), self.parameters.roughness_m**2)
        for number, there in self.data.panels_of(panel):
            variance[there] += (self.data.basis(xy_m[there], number) ** 2).sum(axis=1)
        return variance

    def at(
        self, xy_m: Floats, panel: Places, *, variance: bool = True
    ) -> tuple[Floats, Floats | None]:
        """Mean and variance of the surface at m places."""
        means = np.empty(len(xy_m))
        variances = np.empty(len(xy_m)) if variance else None
        for part in chunks(len(xy_m), width=len(self.solved)):
            across = self.cross(xy_m[part], panel[part])
            means[part] = self.data.base_m + self.solved @ across
            if variances is not None:
                half = scipy.linalg.solve_triangular(
                    self.factor, across, lower=True, check_finite=False, overwrite_b=True
                )
                prior = self.prior_variance(xy_m[part], panel[part])
                variances[part] = np.maximum(prior - (half**2).sum(axis=0), 0.0)
        return means, variances


def chunks(count: int, *, width: int) -> Iterator[slice]:
    """Slices of ``count`` rows so that rows times ``width`` stays within the memory held."""
    size = max(1, _CHUNK // max(1, width))
    for first in range(0, count, size):
        yield slice(first, min(first + size, count))
