"""Each floor shot against the floor round it: leave-one-out by local kriging.

A shot's neighbours predict it through a local random surface: a plane with a vague prior, a Matérn
3/2 departure from it, and the reading noise of each shot. Reach and size of the departure are those
under which the shots of this very floor predict one another best (leave-one-out likelihood with
heavy tails, so that slips and steps do not set them). Leave-one-out: C. Rasmussen and C. Williams,
Gaussian Processes for Machine Learning, 2006, section 5.4.2.

Cracks are not known here. A shot that does not fit is therefore tried again with a step along any
line, strip or spot near it: when its own neighbours, without it, show such a step and it then fits,
it is the floor that is so. The shot with the largest misfit is set aside before the next is looked
at, for one bad shot spoils the prediction of those about it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special
from scipy.spatial import KDTree

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

LEAST_SITES = 8  # fewer shots cannot tell what this floor's roughness is
_NEIGHBOURS = 12
_WIDER = 16  # neighbours looked at when a step is searched for
# Vague priors of the local plane: its level, and its slope (one in ten).
_LEVEL_M, _SLOPE = 0.3, 0.1
_STEP_M = 0.05  # size of a likely step between two panels
_SET_ASIDE_M2 = 1e4  # noise variance that takes a shot out of every prediction
# Evidence for a step among the neighbours alone: about 20 to 1 for one of the many lines tried.
_LEAST_EVIDENCE = 3.0
_FITS = 2.5  # a misfit below this many deviations is a fit
_REACHES_M = (1.0, 2.5, 6.0)
_SIZES_M = (0.0005, 0.001, 0.002, 0.004, 0.008, 0.016, 0.032)
_SAMPLE = 240  # shots on which reach and size are chosen
_TAIL = 4.0  # degrees of freedom of the heavy-tailed likelihood
_MEDIAN_OF_NORMAL = 0.6744897501960817  # median of |z|, z standard normal
# A deviation taken from a median is worth this share of the shots (P. Huber, Robust Statistics).
_MEDIAN_EFFICIENCY = 0.37


@dataclass(frozen=True, slots=True)
class Odd:
    """A shot that stands off its neighbours: height less what they ask, and its deviation."""

    shot: int
    misfit_m: float
    deviation_m: float


@dataclass(slots=True, eq=False)
class Floor:
    """Shots on one surface; shots at one place (to a millimetre) make one site."""

    height_m: Floats  # (n,) counted from the median
    variance_m2: Floats  # (n,)
    site: Ints  # (n,) site of each shot
    xy_m: Floats  # (m, 2)
    near: Ints  # (m, k) nearest other sites
    live: Bools  # (n,) shots not set aside
    reach_m: float = _REACHES_M[0]
    size_m: float = _SIZES_M[0]
    swell: float = 1.0  # widens deviations that the floor's own misfits show to be too small

    def site_values(self) -> tuple[Floats, Floats]:
        """Mean height and noise variance of every site over its live shots."""
        weight = np.where(self.live, 1.0 / self.variance_m2, 0.0)
        total: Floats = np.bincount(self.site, weight).astype(np.float64)
        shown = total > 0
        some = np.where(shown, total, 1.0)
        level = np.bincount(self.site, weight * self.height_m) / some
        noise = np.where(shown, 1.0 / some, _SET_ASIDE_M2)
        return level, noise


def lay_out(*, xy_m: Floats, height_m: Floats, deviation_m: Floats) -> Floor | None:
    """A floor ready to be asked, or None when there are too few places on it."""
    sites, site = np.unique(np.round(xy_m, 3), axis=0, return_inverse=True)
    if len(sites) < LEAST_SITES:
        return None
    wanted = min(_WIDER, len(sites) - 1)
    _, near = KDTree(sites).query(sites, k=wanted + 1)
    # A site is its own nearest; sites differ by a millimetre at least, so it always comes first.
    floor = Floor(
        height_m=height_m - np.median(height_m),
        variance_m2=deviation_m**2,
        site=site.reshape(-1),
        xy_m=sites,
        near=near[:, 1:].astype(np.int64),
        live=np.ones(height_m.size, dtype=bool),
    )
    _choose_roughness(floor)
    return floor


def find_odd(
    floor: Floor, *, significance: float, most: int, trusted: Bools
) -> tuple[list[Odd], bool]:
    """Shots that neither their neighbours nor a step in the floor explain, largest first.

    A floor without any such shot raises a false alarm with the chance ``significance``. ``trusted``
    shots (shot twice, agreeing) are never called odd. The flag says that the search stopped at
    ``most``.
    """
    shots = floor.height_m.size
    one_shot = 1.0 - (1.0 - significance) ** (1.0 / shots)
    # The floor's roughness is itself taken from its shots, so the tails are those of Student's t.
    freedom = _MEDIAN_EFFICIENCY * len(floor.xy_m)
    critical = float(special.stdtrit(freedom, 1.0 - one_shot / 2.0))
    misfit, deviation = np.zeros(shots), np.ones(shots)
    settled = trusted.copy()
    every_site = np.arange(len(floor.xy_m))
    stale = every_site
    found: list[Odd] = []
    judged_with = 0  # how many had been found when the floor's roughness was last chosen
    while True:
        if stale.size:
            level, variance = _predict(floor, stale)
            place = np.full(every_site.size, -1)
            place[stale] = np.arange(stale.size)
            renewed = np.flatnonzero(place[floor.site] >= 0)
            at = place[floor.site[renewed]]
            misfit[renewed] = floor.height_m[renewed] - level[at]
            deviation[renewed] = floor.swell * np.sqrt(variance[at] + floor.variance_m2[renewed])
        stale = every_site[:0]
        score = np.where(settled, 0.0, np.abs(misfit) / deviation)
        worst = int(np.argmax(score))
        if score[worst] <= critical:
            if len(found) == judged_with:
                return found, False
            # A few bad shots make the whole floor look rough: look again without them.
            judged_with = len(found)
            _choose_roughness(floor)
            settled = trusted.copy()
            settled[[odd.shot for odd in found]] = True
            stale = every_site
            continue
        if len(found) >= most:
            return found, True
        settled[worst] = True
        if not _step_explains(floor, worst):
            found.append(Odd(worst, float(misfit[worst]), float(deviation[worst])))
            floor.live[worst] = False
            stale = np.flatnonzero((floor.near[:, :_NEIGHBOURS] == floor.site[worst]).any(axis=1))


def set_aside(floor: Floor, shot: int) -> tuple[float, float]:
    """Leave one shot out for good; what its neighbours ask at its place, and the deviation."""
    floor.live[shot] = False
    level, variance = _predict(floor, floor.site[[shot]])
    return float(level[0]), floor.swell * float(np.sqrt(variance[0]))


def _covariance(floor: Floor, apart_m: Floats) -> Floats:
    lag = np.sqrt(3.0) * apart_m / floor.reach_m
    return np.asarray(floor.size_m**2 * (1.0 + lag) * np.exp(-lag))


def _predict(floor: Floor, sites: Ints) -> tuple[Floats, Floats]:
    """Level of the surface at each site from the other sites, and its variance without noise."""
    level, noise = floor.site_values()
    near = floor.near[sites, :_NEIGHBOURS]
    away = floor.xy_m[near] - floor.xy_m[sites][:, None, :]
    apart = np.sqrt(((away[:, :, None, :] - away[:, None, :, :]) ** 2).sum(axis=-1))
    inner = _LEVEL_M**2 + _SLOPE**2 * (away @ away.transpose(0, 2, 1)) + _covariance(floor, apart)
    inner[:, np.arange(near.shape[1]), np.arange(near.shape[1])] += noise[near]
    outer = _LEVEL_M**2 + _covariance(floor, np.sqrt((away**2).sum(axis=-1)))
    # Levels are counted from the middle of the live neighbours, so that the prior may be narrow.
    shown = np.where(noise[near] < _SET_ASIDE_M2, level[near], np.nan)
    shown[np.isnan(shown).all(axis=1)] = 0.0
    middle = np.nanmedian(shown, axis=1)
    weight = np.linalg.solve(inner, outer[:, :, None])[:, :, 0]
    predicted = middle + (weight * (level[near] - middle[:, None])).sum(axis=1)
    variance = _LEVEL_M**2 + floor.size_m**2 - (weight * outer).sum(axis=1)
    return predicted, np.maximum(variance, 0.0)


def _choose_roughness(floor: Floor) -> None:
    """Set reach, size and swell by how well shots of this floor predict one another."""
    level, noise = floor.site_values()
    shown = np.flatnonzero(noise < _SET_ASIDE_M2)
    picked = np.unique(np.linspace(0, shown.size - 1, min(shown.size, _SAMPLE)).astype(np.int64))
    sample = shown[picked]
    best = -np.inf
    for reach in _REACHES_M:
        for size in _SIZES_M:
            floor.reach_m, floor.size_m = reach, size
            predicted, variance = _predict(floor, sample)
            spread = np.sqrt(variance + noise[sample])
            score = (level[sample] - predicted) / spread
            likelihood = float(
                -np.sum(np.log(spread) + (_TAIL + 1) / 2 * np.log1p(score**2 / _TAIL))
            )
            if likelihood > best:
                best, chosen = likelihood, (reach, size)
                swell = float(np.median(np.abs(score))) / _MEDIAN_OF_NORMAL
    floor.reach_m, floor.size_m = chosen
    floor.swell = max(1.0, swell)


def _step_explains(floor: Floor, shot: int) -> bool:
    """Whether the neighbours alone show a step that puts this shot right."""
    level, noise = floor.site_values()
    home = floor.site[shot]
    near = floor.near[home]
    near = near[noise[near] < _SET_ASIDE_M2]
    away = floor.xy_m[near] - floor.xy_m[home]
    with_shot = _near_sets(away)
    if not len(with_shot):
        return False
    count = len(near)
    apart = np.sqrt(((away[:, None, :] - away[None, :, :]) ** 2).sum(axis=-1))
    plain = _LEVEL_M**2 + _SLOPE**2 * (away @ away.T) + _covariance(floor, apart)
    plain = plain + np.diag(noise[near])
    outer = _LEVEL_M**2 + _covariance(floor, np.sqrt((away**2).sum(axis=-1)))
    lift = _STEP_M**2 * with_shot
    inner = np.concatenate([plain[None], plain[None] + lift[:, :, None] * with_shot[:, None, :]])
    outers = np.concatenate([outer[None], outer[None] + lift])
    value = level[near] - np.median(level[near])
    lower = np.linalg.cholesky(inner)
    pulled = np.linalg.solve(inner, np.broadcast_to(value, (len(inner), count))[:, :, None])[..., 0]
    evidence = -0.5 * (pulled @ value) - np.log(lower[:, np.arange(count), np.arange(count)]).sum(
        axis=1
    )
    weight = np.linalg.solve(inner, outers[:, :, None])[:, :, 0]
    own = _LEVEL_M**2 + floor.size_m**2 + np.r_[0.0, np.full(len(with_shot), _STEP_M**2)]
    variance = own - (weight * outers).sum(axis=1) + floor.variance_m2[shot]
    misfit = floor.height_m[shot] - np.median(level[near]) - weight @ value
    fits = np.abs(misfit) < _FITS * floor.swell * np.sqrt(variance)
    return bool(np.any(fits[1:] & (evidence[1:] - evidence[0] > _LEAST_EVIDENCE)))


def _near_sets(away: Floats) -> Floats:
    """Every way to part the neighbours by a line, a strip or a circle; 1 on the shot's own side.

    Two neighbours at least are on either side: one alone may be a slip of its own.
    """
    angle = np.pi * np.arange(8) / 8
    along = away @ np.array([np.cos(angle), np.sin(angle)])  # (k, 8)
    sets: set[bytes] = set()
    distance = np.sqrt((away**2).sum(axis=1))[:, None]
    for measure in (*along.T, *(-along.T), *np.abs(along).T, *distance.T):
        cuts = np.unique(measure[measure > 0])
        for cut in np.r_[1e-9, (cuts[1:] + cuts[:-1]) / 2]:
            own = measure < cut
            if 2 <= own.sum() <= own.size - 2:
                sets.add(own.tobytes())
    parted = [np.frombuffer(own, dtype=bool) for own in sorted(sets)]
    return np.array(parted, dtype=np.float64).reshape(len(parted), len(away))
