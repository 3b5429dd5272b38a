"""The old floor as a random surface: the process over all parameter sets, with shares."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from overslab.oldslab.panels import Piece, side_of
from overslab.oldslab.process import Data, Likelihood, Parameters, Process
from overslab.oldslab.sums import Sums, moments

Floats = NDArray[np.float64]
Places = NDArray[np.intp]


class MixedSurface:
    """Height and plus-or-minus anywhere, and of any weighted sum of heights.

    Mean and covariance are those of the mixture: the mean of the sets' own covariances plus the
    covariance of their means. A place belongs to the panel it lies in, or the nearest.
    """

    def __init__(
        self,
        data: Data,
        pieces: Sequence[Piece],
        nodes: Sequence[tuple[float, Parameters]],
    ) -> None:
        self.data = data
        self.pieces = tuple(pieces)
        self.shares = np.array([share for share, _ in nodes])
        likelihood = Likelihood(data)
        self.processes = [Process(likelihood, parameters) for _, parameters in nodes]

    def height_m(self, xy_m: Floats) -> Floats:
        """Mean height at (n, 2) places."""
        xy_m = np.asarray(xy_m, dtype=np.float64)
        panel = side_of(self.pieces, xy_m)
        return self.height_on(xy_m, panel)

    def deviation_m(self, xy_m: Floats) -> Floats:
        """Standard deviation of the height at (n, 2) places."""
        xy_m = np.asarray(xy_m, dtype=np.float64)
        return self.look(xy_m, side_of(self.pieces, xy_m))[1]

    def weigh(self, xy_m: Floats, weights: Floats) -> tuple[Floats, Floats]:
        """Means (k,) and full covariance (k, k) of k weighted sums of heights; weights (k, n)."""
        xy_m = np.asarray(xy_m, dtype=np.float64)
        return self.sums(
            Sums(xy_m=xy_m, panel=side_of(self.pieces, xy_m), weights=np.atleast_2d(weights))
        )

    def height_on(self, xy_m: Floats, panel: Places) -> Floats:
        """Mean height at places taken to lie on the given panels, wherever they are."""
        heights = np.zeros(len(xy_m))
        for share, process in zip(self.shares, self.processes, strict=True):
            heights += share * process.at(xy_m, panel, variance=False)[0]
        return heights

    def look(self, xy_m: Floats, panel: Places) -> tuple[Floats, Floats]:
        """Mean and standard deviation at places on the given panels."""
        means, squares, variances = (np.zeros(len(xy_m)) for _ in range(3))
        # Taken about the expected height, so that no digits are lost on floors far above datum.
        base_m = self.data.base_m
        for share, process in zip(self.shares, self.processes, strict=True):
            mean, variance = process.at(xy_m, panel)
            assert variance is not None
            means += share * (mean - base_m)
            squares += share * (mean - base_m) ** 2
            variances += share * variance
        return base_m + means, np.sqrt(np.maximum(variances + squares - means**2, 0.0))

    def sums(self, sums: Sums) -> tuple[Floats, Floats]:
        """As ``weigh``, for places whose panel is given."""
        mean, covariance, _, _ = self._mixed(sums, None)
        return mean, covariance

    def sums_and_places(self, sums: Sums, places_m: Floats) -> tuple[Floats, Floats, Floats]:
        """Covariance (k, k) of the sums, and for p places their deviation and (p, k) covariance."""
        probes = places_m, side_of(self.pieces, places_m)
        _, covariance, deviation, across = self._mixed(sums, probes)
        return covariance, deviation, across

    def _mixed(
        self, sums: Sums, probes: tuple[Floats, Places] | None
    ) -> tuple[Floats, Floats, Floats, Floats]:
        xy_m, panel = (np.empty((0, 2)), np.empty(0, dtype=np.intp)) if probes is None else probes
        held = moments(
            self.data,
            [each.parameters for each in self.processes],
            sums,
            probes_m=xy_m,
            probe_panel=panel,
        )
        means, covariances, at, variances, across = [], [], [], [], []
        for process, moment in zip(self.processes, held, strict=True):
            means.append(moment.cross.T @ process.solved)
            solved = process.solve(moment.cross)
            covariances.append(moment.prior - moment.cross.T @ solved)
            mean, variance = process.at(xy_m, panel)
            assert variance is not None
            at.append(mean - self.data.base_m)
            variances.append(variance)
            across.append(moment.probes - process.cross(xy_m, panel).T @ solved)
        mean, off = self._spread(means)
        _, off_at = self._spread(at)
        covariance = np.tensordot(self.shares, covariances, axes=1) + (off.T * self.shares) @ off
        deviation = np.sqrt(self.shares @ variances + self.shares @ off_at**2)
        crossed = np.tensordot(self.shares, across, axes=1) + (off_at.T * self.shares) @ off
        mean = self.data.base_m * sums.weights.sum(axis=1) + mean
        return mean, (covariance + covariance.T) / 2, deviation, crossed

    def _spread(self, means: Sequence[Floats]) -> tuple[Floats, Floats]:
        """The mixture's mean, and each set's own mean off it."""
        mean = self.shares @ np.array(means)
        return mean, np.array(means) - mean

    def deviation_of_estimate(self, sums: Sums, *, shot_weights: Floats) -> float:
        """Deviation of a weighted sum of the shots as an estimate of the first of ``sums``.

        For judging any other linear way from the same shots to the same integral; the weights must
        add up to those of the sum.
        """
        held = moments(self.data, [each.parameters for each in self.processes], sums)
        variance = 0.0
        for share, process, moment in zip(self.shares, self.processes, held, strict=True):
            variance += share * float(
                moment.prior[0, 0]
                - 2 * shot_weights @ moment.cross[:, 0]
                + shot_weights @ process.covariance_m2 @ shot_weights
            )
        return float(np.sqrt(max(variance, 0.0)))
