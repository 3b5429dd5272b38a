"""Prior moments of weighted sums of heights, without ever holding a point-by-point matrix.

The covariance of a sum is a double sum over all pairs of places. On each panel the weights are
spread on a fine square grid by quintic interpolation, where the double sum is a convolution and is
done by fast Fourier transform; this is structured kernel interpolation (Wilson and Nickisch,
ICML 2015, section 4.2). Few places are summed pair by pair.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import scipy.fft
import scipy.sparse
from numpy.typing import NDArray
from scipy.spatial.distance import cdist

from overslab.handbook.surfaces import matern_correlation
from overslab.oldslab.process import Data, Parameters, chunks

Floats = NDArray[np.float64]
Places = NDArray[np.intp]

FEW = 400  # up to this many places on a panel are summed pair by pair
# Grid lines to one correlation length, and across the panel taken as a square. The shots take away
# nearly all of a sum's variance, so what is left needs far more digits than the prior does; at
# these the deviation of a mean is right to about one part in a thousand on the smoothest of floors.
_FINE, _ACROSS = 14.0, 48.0
_COARSE = 8.0  # with fewer lines to a length than this the grid is not used
_MOST_CELLS = 1 << 20
_NODES = np.arange(-2.0, 4.0)  # grid lines round a place, in cells from the one before it
_BETWEEN = np.array([np.prod(node - np.delete(_NODES, at)) for at, node in enumerate(_NODES)])


@dataclass(frozen=True, slots=True, eq=False)
class Sums:
    """k weighted sums of heights at m places; each place stands on a panel."""

    xy_m: Floats  # (m, 2)
    panel: Places  # (m,)
    weights: Floats  # (k, m)


@dataclass(frozen=True, slots=True, eq=False)
class Moments:
    """What one set of parameters holds of the sums before any shot."""

    prior: Floats  # (k, k)
    cross: Floats  # (n, k) with the heights at the shots
    probes: Floats  # (p, k) with the heights at the probes


def moments(
    data: Data,
    parameters: Sequence[Parameters],
    sums: Sums,
    *,
    probes_m: Floats | None = None,
    probe_panel: Places | None = None,
) -> list[Moments]:
    """Prior covariances of the sums with each other, with the shots, and with ``probes_m``."""
    if probes_m is None or probe_panel is None:
        probes_m, probe_panel = np.empty((0, 2)), np.empty(0, dtype=np.intp)
    count, shots, probes = len(sums.weights), len(data.height_m), len(probes_m)
    plane = np.zeros((count, count)), np.zeros((shots, count)), np.zeros((probes, count))
    departures = [
        (np.zeros((count, count)), np.zeros((shots, count)), np.zeros((probes, count)))
        for _ in parameters
    ]
    for number, there in data.panels_of(sums.panel):
        weights = sums.weights[:, there]
        used = np.flatnonzero(weights.any(axis=1))
        here = np.flatnonzero(data.panel == number)
        probe = np.flatnonzero(probe_panel == number)
        xy_m = sums.xy_m[there]
        asked = np.concatenate([xy_m, data.xy_m[here], probes_m[probe]])
        hung = weights @ data.basis(xy_m, number)
        plane[0][:] += hung @ hung.T
        plane[1][here] += data.basis(data.xy_m[here], number) @ hung.T
        plane[2][probe] += data.basis(probes_m[probe], number) @ hung.T
        lengths = [each.length_m for each in parameters]
        pulls = _pulls(xy_m, weights[used], asked=asked, lengths_m=lengths)
        places, stop = len(there), len(there) + len(here)
        for each, pull, (prior, cross, at_probes) in zip(
            parameters, pulls, departures, strict=True
        ):
            scaled = each.roughness_m**2 * pull
            prior[np.ix_(np.arange(count), used)] += weights @ scaled[:places]
            cross[np.ix_(here, used)] += scaled[places:stop]
            at_probes[np.ix_(probe, used)] += scaled[stop:]
    return [
        Moments(
            prior=(plane[0] + prior + (plane[0] + prior).T) / 2,
            cross=plane[1] + cross,
            probes=plane[2] + at_probes,
        )
        for prior, cross, at_probes in departures
    ]


def _pulls(
    xy_m: Floats, weights: Floats, *, asked: Floats, lengths_m: Sequence[float]
) -> list[Floats]:
    """For each length the (asked, k) sums of weight times correlation with each asked place."""
    spacing = _spacing(asked, shortest_m=min(lengths_m))
    if len(xy_m) <= FEW or spacing is None:
        return _pairwise(xy_m, weights, asked=asked, lengths_m=lengths_m)
    return _by_grid(xy_m, weights, asked=asked, lengths_m=lengths_m, spacing_m=spacing)


def _spacing(points: Floats, *, shortest_m: float) -> float | None:
    """Grid spacing that is fine enough for the shortest length, or None when none can be held."""
    sides = np.ptp(points, axis=0)
    fits = float(np.sqrt(max(sides[0] * sides[1], 1e-12) / _MOST_CELLS))
    fits = max(fits, float(sides.max()) / _MOST_CELLS)
    across_m = max(float(np.sqrt(sides[0] * sides[1])), shortest_m / _ACROSS)
    spacing = max(min(shortest_m / _FINE, across_m / _ACROSS), fits)
    return spacing if spacing <= shortest_m / _COARSE else None


def _pairwise(
    xy_m: Floats, weights: Floats, *, asked: Floats, lengths_m: Sequence[float]
) -> list[Floats]:
    found = [np.empty((len(asked), len(weights))) for _ in lengths_m]
    for part in chunks(len(asked), width=len(xy_m)):
        distance = cdist(asked[part], xy_m)
        for length_m, pull in zip(lengths_m, found, strict=True):
            pull[part] = matern_correlation(distance_m=distance, length_m=length_m) @ weights.T
    return found


def _by_grid(
    xy_m: Floats,
    weights: Floats,
    *,
    asked: Floats,
    lengths_m: Sequence[float],
    spacing_m: float,
) -> list[Floats]:
    low = asked.min(axis=0) - 3 * spacing_m
    shape = tuple(int(n) for n in np.ceil((asked.max(axis=0) - low) / spacing_m).astype(int) + 4)
    spread = _stencil(xy_m, low=low, spacing_m=spacing_m, shape=shape)
    read = _stencil(asked, low=low, spacing_m=spacing_m, shape=shape)
    padded = [scipy.fft.next_fast_len(2 * n - 1, real=True) for n in shape]
    # Distances on a ring long enough that the far ends of the panel never meet round the back.
    ways = [np.minimum(np.arange(n), n - np.arange(n)) * spacing_m for n in padded]
    distance = np.hypot(ways[0][:, None], ways[1][None, :])
    # The transform of an even real kernel is real.
    kernels = [
        scipy.fft.rfft2(matern_correlation(distance_m=distance, length_m=length_m)).real
        for length_m in lengths_m
    ]
    found = [np.empty((len(asked), len(weights))) for _ in lengths_m]
    for row, weight in enumerate(weights):
        laid = np.asarray(spread.T @ weight).reshape(shape)
        wave = scipy.fft.rfft2(laid, s=padded)
        for kernel, pull in zip(kernels, found, strict=True):
            field = scipy.fft.irfft2(wave * kernel, s=padded)[: shape[0], : shape[1]]
            pull[:, row] = read @ field.ravel()
    return found


def _stencil(
    xy_m: Floats, *, low: Floats, spacing_m: float, shape: tuple[int, ...]
) -> scipy.sparse.csr_array:
    """(points, grid) weights of quintic Lagrange interpolation on the 36 nodes round a point."""
    scaled = (xy_m - low) / spacing_m
    cell = np.floor(scaled).astype(np.intp)
    part = scaled - cell
    sides = []
    for along in part.T:
        gaps = along[:, None] - _NODES
        # Lagrange: product of gaps to the other nodes over the product between the nodes.
        others = [np.delete(gaps, place, axis=1).prod(axis=1) for place in range(len(_NODES))]
        sides.append(np.stack(others, axis=1) / _BETWEEN)
    values = sides[0][:, :, None] * sides[1][:, None, :]
    rows = cell[:, 0, None] + _NODES.astype(np.intp)
    columns = cell[:, 1, None] + _NODES.astype(np.intp)
    at = rows[:, :, None] * shape[1] + columns[:, None, :]
    held = len(_NODES) ** 2
    return scipy.sparse.csr_array(
        (values.ravel(), at.ravel(), np.arange(0, held * len(xy_m) + 1, held)),
        shape=(len(xy_m), shape[0] * shape[1]),
    )
