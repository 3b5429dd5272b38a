"""Where water stands on the old floor, how deep, and where it runs."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import scipy.ndimage
import shapely
from numpy.typing import NDArray

from overslab.ground.lattice import Lattice
from overslab.ground.notes import Assumption, Remark
from overslab.ground.runoff import run_off, trace
from overslab.oldslab.records import FloorPlan, FlowPath, LowSpot

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

# Water is said to stand where it is deeper than this at its deepest: 1/16 in, the birdbath
# of the American Sports Builders Association as quoted on trade pages.
BIRDBATH_M = 0.0254 / 16
_PATHS = 40  # about so many drops are followed
_EIGHT = np.ones((3, 3), dtype=bool)


@dataclass(frozen=True, slots=True, eq=False)
class Water:
    """What a flood of the floor leaves behind."""

    depth_m: Floats  # (ny, nx), 0 where dry, NaN outside
    low_spots: tuple[LowSpot, ...]  # the largest volume first
    flow: tuple[FlowPath, ...]
    assumptions: tuple[Assumption, ...]
    remarks: tuple[Remark, ...]


def run_water(plan: FloorPlan, lattice: Lattice, heights_m: Floats) -> Water:
    """Flood the floor and let it drain: water leaves only at the openings and drains of the plan.

    With neither it is taken to leave over the whole edge of the outline, and that is stated.
    """
    assumptions: tuple[Assumption, ...] = ()
    if plan.openings or plan.drains:
        outlets = _outlets(plan, lattice)
    else:
        outlets = _along_edge(plan, lattice)
        assumptions = (
            Assumption(
                about="where water leaves the old floor",
                taken="over the whole edge of the outline",
                because="no door, open edge or drain that takes water today is given",
            ),
        )
    flow = run_off(
        heights_m,
        inside=lattice.inside,
        outlets=outlets,
        step_m=lattice.step_m,
        film_m=BIRDBATH_M,
    )
    depth_m = np.where(flow.standing, flow.filled.depth_m, 0.0)
    remarks: tuple[Remark, ...] = ()
    lost = flow.filled.unreachable
    if lost.any():
        share = lost.sum() / lattice.inside.sum()
        remarks = (
            Remark(
                "warn",
                f"No opening or drain can be reached from {share:.0%} of the floor; how deep water "
                "stands there cannot be told.",
            ),
        )
    paths = []
    for start in _starts(lattice):
        path, leaves = trace(flow, lattice=lattice, start_m=start)
        if len(path) > 1:
            paths.append(FlowPath(path=path, leaves=leaves))
    return Water(
        depth_m=np.where(lattice.inside, depth_m, np.nan),
        low_spots=_low_spots(depth_m, lattice, cell_m2=plan.polygon().area / lattice.inside.sum()),
        flow=tuple(paths),
        assumptions=assumptions,
        remarks=remarks,
    )


def _outlets(plan: FloorPlan, lattice: Lattice) -> Bools:
    """Cells that an opening passes or a drain lies in, and at least the nearest one to each."""
    rows, columns = np.nonzero(lattice.inside)
    centres = shapely.points(lattice.points_m)
    outlets = np.zeros(lattice.inside.shape, dtype=bool)
    marks: list[shapely.Geometry] = [shapely.LineString(opening) for opening in plan.openings]
    marks += [shapely.Point(drain) for drain in plan.drains]
    for mark in marks:
        gap = shapely.distance(mark, centres)
        # A cell on the edge has its centre within a step of the line it is cut by.
        reach = lattice.step_m if isinstance(mark, shapely.LineString) else 0.0
        taken = gap <= max(reach, float(gap.min()))
        outlets[rows[taken], columns[taken]] = True
    return outlets


def _along_edge(plan: FloorPlan, lattice: Lattice) -> Bools:
    rows, columns = np.nonzero(lattice.inside)
    edge = shapely.Polygon(plan.outline).exterior
    gap = shapely.distance(edge, shapely.points(lattice.points_m))
    taken = gap <= max(lattice.step_m, float(gap.min()))
    outlets = np.zeros(lattice.inside.shape, dtype=bool)
    outlets[rows[taken], columns[taken]] = True
    return outlets


def _low_spots(depth_m: Floats, lattice: Lattice, *, cell_m2: float) -> tuple[LowSpot, ...]:
    """Ponds; ``cell_m2`` is the floor's area shared among its cells, so that none is told twice."""
    pools, count = scipy.ndimage.label(depth_m > 0.0, structure=_EIGHT)
    spots = []
    for number, box in enumerate(scipy.ndimage.find_objects(pools, max_label=count), start=1):
        wet = np.where(pools[box] == number, depth_m[box], 0.0)
        row, column = np.unravel_index(int(np.argmax(wet)), wet.shape)
        deepest = (
            float(lattice.x_m[box[1].start + column]),
            float(lattice.y_m[box[0].start + row]),
        )
        spots.append(
            LowSpot(
                deepest=deepest,
                depth_m=float(wet.max()),
                area_m2=float(np.count_nonzero(wet) * cell_m2),
                volume_m3=float(wet.sum() * cell_m2),
            )
        )
    return tuple(sorted(spots, key=lambda spot: -spot.volume_m3))


def _starts(lattice: Lattice) -> list[tuple[float, float]]:
    """Inside cells on a coarse square grid."""
    stride = max(1, round(float(np.sqrt(lattice.inside.sum() / _PATHS))))
    rows = np.arange(stride // 2, len(lattice.y_m), stride)
    columns = np.arange(stride // 2, len(lattice.x_m), stride)
    return [
        (float(lattice.x_m[column]), float(lattice.y_m[row]))
        for row in rows
        for column in columns
        if lattice.inside[row, column]
    ]
