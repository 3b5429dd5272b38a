"""What is known at any place of the floor: exactly for one place, as a lattice for a script."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from overslab.faces.documents.live_plan import top_of
from overslab.faces.documents.words import laser_as_shot
from overslab.faces.web.plan import faults
from overslab.ground.estimate import NORMAL_95
from overslab.ground.faults import Faulty
from overslab.ground.units import write_height, write_length, write_reading, write_thickness
from overslab.handbook.marking import grade_rod
from overslab.job.records import Walk

Point = tuple[float, float]
_MOST_CELLS = 6000
_FINEST = 1e-5  # the lattice is sent in hundredths of a millimetre


@dataclass(frozen=True, slots=True)
class Known:
    """One place of the floor. What leans on a new top or on a benchmark may be None."""

    at: Point
    old_m: float
    plus_or_minus_m: float  # of the old height, and so of the thickness (95 in 100)
    new_m: float | None
    thickness_m: float | None
    rod_old_m: float | None  # what the rod reads on the old floor, laser as shot
    rod_new_m: float | None  # and with its foot on the new top


def known_at(walk: Walk, at: Point) -> Known:
    """The values of the walk itself at a place. Raises ``Faulty`` off the floor."""
    if not walk.job.plan.polygon().covers(shapely.Point(at)):
        units = walk.job.units
        value = f"x {write_length(at[0], units)}, y {write_length(at[1], units)}"
        raise Faulty(faults.OFF_FLOOR.met(value=value))
    spot = np.array([at], dtype=float)
    old = float(walk.oldslab.surface.height_m(spot)[0])
    deviation = float(walk.oldslab.surface.deviation_m(spot)[0])
    top = top_of(walk)
    new = None
    if top is not None and top.surface is not None:
        new = float(top.surface.height_m(spot)[0])
    laser = laser_as_shot(walk)

    def rod(height: float | None) -> float | None:
        if laser is None or height is None:
            return None
        return grade_rod(instrument_m=laser.beam_m, finished_height_m=height)

    return Known(
        at=at,
        old_m=old,
        plus_or_minus_m=NORMAL_95 * deviation,
        new_m=new,
        thickness_m=None if new is None else new - old,
        rod_old_m=rod(old),
        rod_new_m=rod(new),
    )


def said(walk: Walk, known: Known) -> dict[str, str]:
    """The same in the words of the job's units; what is not known says so."""
    units = walk.job.units

    def words(value: float | None, write: Any) -> str:
        return "not known" if value is None else str(write(value, units))

    return {
        "x": write_length(known.at[0], units),
        "y": write_length(known.at[1], units),
        "old": write_height(known.old_m, units),
        "new": words(known.new_m, write_height),
        "thickness": words(known.thickness_m, write_thickness),
        "give_or_take": write_thickness(known.plus_or_minus_m, units),
        "rod_new": words(known.rod_new_m, write_reading),
        "rod_old": words(known.rod_old_m, write_reading),
    }


def setting_words(walk: Walk) -> str:
    """For which stand of the laser the rod readings hold."""
    laser = laser_as_shot(walk)
    if laser is None:
        return "No set-up saw a benchmark, so no rod reading can be given."
    read = write_reading(laser.reading_m, walk.job.units)
    where = f" ({laser.where})" if laser.where else ""
    return (
        f"Rod readings are for the laser as in set-up {laser.setup}: benchmark "
        f"{laser.benchmark}{where} reads {read}. If it reads more or less, every reading is more "
        "or less by the same."
    )


def lattice_of(walk: Walk) -> dict[str, Any]:
    """Heights over the floor, made once for a walk, for a script to read between.

    ``old``, ``new``, ``spread`` run row by row from least y, in hundredths of a millimetre above
    ``base_m`` (``spread``: above nothing); None off the floor. ``panel`` numbers the piece of floor
    that a point lies in: between points of unlike number there is a step, and nothing is shared.
    """
    return _lattice_of(walk)


@lru_cache(maxsize=8)
def _lattice_of(walk: Walk) -> dict[str, Any]:
    old, top = walk.oldslab, top_of(walk)
    lattice = old.lattice
    every = max(1, int(np.ceil(np.sqrt(lattice.inside.size / _MOST_CELLS))))
    x_m, y_m = lattice.x_m[::every], lattice.y_m[::every]
    across, up = np.meshgrid(x_m, y_m)
    inside = lattice.inside[::every, ::every]
    points = np.column_stack([across[inside], up[inside]])
    heights = old.heights_m[::every, ::every][inside]
    base = float(np.floor(np.nanmin(heights))) if heights.size else 0.0
    new = None
    if top is not None and top.surface is not None:
        new = _hundredths(np.asarray(top.surface.height_m(points)) - base, inside)
    laser = laser_as_shot(walk)
    units = walk.job.units
    return {
        "west_m": float(x_m[0]),
        "south_m": float(y_m[0]),
        "step_m": float(lattice.step_m * every),
        "columns": len(x_m),
        "rows": len(y_m),
        "base_m": base,
        "old": _hundredths(heights - base, inside),
        "new": new,
        "spread": _hundredths(old.deviations_m[::every, ::every][inside] * NORMAL_95, inside),
        "panel": _panels(walk, points, inside),
        "beam_m": None if laser is None else laser.beam_m,
        "system": units.system,
        "mark_m": units.mark_m,
    }


def _hundredths(values: NDArray[np.float64], inside: NDArray[np.bool_]) -> list[int | None]:
    sheet: list[int | None] = [None] * inside.size
    for place, value in zip(np.flatnonzero(inside), values, strict=True):
        sheet[int(place)] = round(float(value) / _FINEST) if np.isfinite(value) else None
    return sheet


def _panels(walk: Walk, points: NDArray[np.float64], inside: NDArray[np.bool_]) -> list[int | None]:
    numbers = np.zeros(len(points), dtype=int)
    for number, panel in enumerate(walk.oldslab.panels, 1):
        numbers[shapely.contains_xy(panel.polygon, points[:, 0], points[:, 1])] = number
    sheet: list[int | None] = [None] * inside.size
    for place, number in zip(np.flatnonzero(inside), numbers, strict=True):
        sheet[int(place)] = int(number)
    return sheet
