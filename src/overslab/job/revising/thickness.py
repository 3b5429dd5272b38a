"""How thick the new slab is in two versions, place by place, and what that is in concrete."""

from __future__ import annotations

import math

import numpy as np
import scipy.ndimage
import shapely
from numpy.typing import NDArray

from overslab.ground.estimate import Estimate
from overslab.job.records import Walk
from overslab.job.revising.records import Map, Point, ThinSpot, VolumeChange

Floats = NDArray[np.float64]
_EIGHT = np.ones((3, 3), dtype=bool)
_MOST_SPOTS = 20
_SAME_AREA = 1e-9
SAME_FLOOR = (
    "Both versions lie over the same old floor, shot once: what is not known of it is not known in "
    "the same way before and after, and falls out of the difference. Left is what the crew's own "
    "marks and finishing leave."
)
NEW_SHOTS = (
    "The old floor was measured otherwise in between. Its true shape has not changed: what the "
    "other top takes is sure, the rest corrects what was thought before. The plus-or-minus is the "
    "widest it can be, as if the two measurements had nothing in common."
)
NEW_OUTLINE = (
    "The floor itself was drawn otherwise, so the two volumes are of different floors. The "
    "plus-or-minus is the widest it can be."
)


def change_map(before: Walk, after: Walk) -> Map | None:
    """On the lattice of the later version, where both have floor and a top."""
    was_m, now_m = (_thickness_at(one, after) for one in (before, after))
    if was_m is None or now_m is None:
        return None
    lattice = after.oldslab.lattice
    more_m = now_m - was_m
    known = np.isfinite(more_m)
    if not known.any():
        return None
    points = lattice.points_m
    least, most = int(np.nanargmin(more_m)), int(np.nanargmax(more_m))
    return Map(
        lattice=lattice,
        more_m=lattice.spread(more_m),
        least_m=float(more_m[least]),
        least_at=_point(points[least]),
        most_m=float(more_m[most]),
        most_at=_point(points[most]),
    )


def _thickness_at(walk: Walk, grid: Walk) -> Floats | None:
    """Thickness of one version at the places of a grid; NaN off its floor."""
    top = walk.newtop.top
    if top is None or top.surface is None:
        return None
    at_m = grid.oldslab.lattice.points_m
    on = _on_floor(walk, at_m)
    thick_m = np.full(len(at_m), np.nan)
    thick_m[on] = top.surface.height_m(at_m[on]) - walk.oldslab.surface.height_m(at_m[on])
    return thick_m


def _on_floor(walk: Walk, at_m: Floats) -> NDArray[np.bool_]:
    floor = walk.oldslab.plan.polygon()
    return np.asarray(shapely.contains_xy(floor, at_m[:, 0], at_m[:, 1]), dtype=bool)


def thin_spots(before: Walk, after: Walk) -> tuple[tuple[ThinSpot, ...], tuple[ThinSpot, ...]]:
    """Places too thin in the later version and not in the earlier one, and the other way round.

    Both are held against the greater of the two least thicknesses, to half a mark.
    """
    was_m, now_m = (_thickness_at(one, after) for one in (before, after))
    if was_m is None or now_m is None:
        return (), ()
    least_m = max(one.newtop.wishes.least_thickness_m for one in (before, after))
    limit_m = least_m - after.newtop.wishes.mark_m / 2
    was, now = (np.isfinite(one) & (one < limit_m) for one in (was_m, now_m))
    return _spots(after, now_m, now & ~was), _spots(after, was_m, was & ~now)


def _spots(grid: Walk, thick_m: Floats, chosen: NDArray[np.bool_]) -> tuple[ThinSpot, ...]:
    lattice = grid.oldslab.lattice
    sheet = np.zeros(lattice.inside.shape, dtype=bool)
    sheet[lattice.inside] = chosen
    spread = lattice.spread(thick_m)
    pools, count = scipy.ndimage.label(sheet, structure=_EIGHT)
    spots = []
    for number in range(1, count + 1):
        here = np.where(pools == number, spread, np.inf)
        row, column = np.unravel_index(int(np.argmin(here)), here.shape)
        spots.append(
            ThinSpot(
                at=(float(lattice.x_m[column]), float(lattice.y_m[row])),
                thickness_m=float(here[row, column]),
                area_m2=float((pools == number).sum() * lattice.step_m**2),
            )
        )
    return tuple(sorted(spots, key=lambda spot: spot.thickness_m)[:_MOST_SPOTS])


def same_floor(before: Walk, after: Walk) -> bool:
    """Whether the old floor is known by the very same shots on the very same plan."""
    return before.job.plan == after.job.plan and before.job.survey == after.job.survey


def volume_change(before: Walk, after: Walk) -> VolumeChange | None:
    """The difference of the concrete in place, with what cancels taken out of its doubt."""
    if before.takeoff is None or after.takeoff is None:
        return None
    was, now = before.takeoff.total.volume_m3, after.takeoff.total.volume_m3
    mean_m3 = now.mean - was.mean
    widest_m3 = math.hypot(was.deviation, now.deviation)
    areas = (before.oldslab.area_m2, after.oldslab.area_m2)
    if same_floor(before, after):
        return VolumeChange(was, now, Estimate(mean_m3, 0.0), mean_m3, 0.0, SAME_FLOOR)
    if before.job.plan.outline != after.job.plan.outline or not math.isclose(
        *areas, rel_tol=_SAME_AREA
    ):
        return VolumeChange(was, now, Estimate(mean_m3, widest_m3), None, None, NEW_OUTLINE)
    # A floor found higher takes less: volume is area times the difference of mean heights.
    by_floor_m3 = areas[1] * (before.oldslab.mean_height_m.mean - after.oldslab.mean_height_m.mean)
    return VolumeChange(
        was,
        now,
        Estimate(mean_m3, widest_m3),
        mean_m3 - by_floor_m3,
        by_floor_m3,
        NEW_SHOTS,
    )


def _point(at_m: Floats) -> Point:
    return float(at_m[0]), float(at_m[1])
