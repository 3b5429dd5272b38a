"""Where water goes on the marked top, found without the solver's model.

Only the finished heights are used: they are sampled on a fine lattice, filled, and water is run
over what is left (``ground.terrain``, ``ground.runoff``).
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray

from overslab.ground.lattice import lattice_over
from overslab.ground.runoff import Flow, drains_to_outlet, falls_along, run_off, traces
from overslab.ground.terrain import steepest_fall
from overslab.newtop.birdbath import birdbaths
from overslab.newtop.records import Drainage, Outlet, Point, TopSurface, Wishes
from overslab.newtop.wetsheet import WetSheet, dry_sheet, outlet_shape, sample, wall_run

Bools = NDArray[np.bool_]

MOST_CELLS = 40_000
# The fall is taken over this length of the water's path: the 4 ft level a crew would lay there.
WINDOW_M = 1.2
# A drop that stops sooner counts when it ran this share of it.
_ENOUGH = 0.75
# This near to an outlet, or to the wall that gathers water to it, no fall is told: about 6 in.
BAND_M = 0.15
# Thinner water than this is wetness and no pond: a sheet of paper.
FILM_M = 1e-4
PATHS = 24


def drain(
    surface: TopSurface,
    *,
    polygon: shapely.Polygon,
    wishes: Wishes,
    step_m: float | None = None,
    tries: int = 200,
) -> Drainage:
    """Fill the top, run water over it, and tell where it stands and how steeply it runs.

    ``step_m`` is the side of a lattice cell, by default the finest that keeps the floor under
    ``MOST_CELLS``. ``tries`` is how many tops with finishing error are tried; 0 tries none.
    """
    sheet = sample(
        surface, polygon=polygon, outlets=wishes.outlets, most_cells=MOST_CELLS, step_m=step_m
    )
    flow = run_over(sheet)
    band = _band(polygon, wishes.outlets, step_m=sheet.lattice.step_m)
    depths = np.where(flow.standing, flow.filled.depth_m, 0.0)
    deepest = np.unravel_index(int(np.argmax(depths)), depths.shape)
    stands = bool(flow.standing.any())
    least, least_at = _least_fall(sheet, flow, band=band)
    found = Drainage(
        least_fall=least,
        least_fall_at=least_at,
        ponded_area_m2=float(sheet.areas_m2[flow.standing].sum()),
        ponded_volume_m3=float((depths * sheet.areas_m2).sum()),
        deepest_m=float(depths.max()),
        deepest_at=sheet.at(int(deepest[0]), int(deepest[1])) if stands else None,
        paths=_paths(sheet, flow, polygon=polygon),
        reaches_outlet=drains_to_outlet(flow),
        birdbath_chance=None,
        birdbath_area_m2=None,
        tries=0,
    )
    if not tries:
        return found
    return with_birdbaths(found, surface, polygon=polygon, wishes=wishes, tries=tries)


def with_birdbaths(
    drainage: Drainage,
    surface: TopSurface,
    *,
    polygon: shapely.Polygon,
    wishes: Wishes,
    tries: int,
) -> Drainage:
    """The same with the chance of a birdbath in so many tops with finishing error."""
    chance, area_m2, tries = birdbaths(surface, polygon=polygon, wishes=wishes, tries=tries)
    return replace(drainage, birdbath_chance=chance, birdbath_area_m2=area_m2, tries=tries)


def run_over(sheet: WetSheet) -> Flow:
    """Water over the sheet, with what only the lattice holds back taken as running.

    Along a valley that crosses the lattice aslant, cells miss the valley line by up to 0.36 of a
    step (half a cell, at the worst slant), so that the lattice alone seems to hold water as deep as
    the floor falls in that distance. Depths up to there are no finding.
    """
    step = sheet.lattice.step_m
    inside = sheet.lattice.inside
    fall = steepest_fall(sheet.heights_m, inside=inside, step_m=step).slope[inside]
    grain = 0.36 * step * float(np.quantile(fall, 0.9)) if fall.size else 0.0
    return run_off(
        sheet.heights_m,
        inside=inside,
        outlets=sheet.outlets,
        step_m=step,
        film_m=max(FILM_M, grain),
    )


@lru_cache(maxsize=4)
def _band(polygon: shapely.Polygon, outlets: tuple[Outlet, ...], *, step_m: float) -> Bools:
    """Cells near an outlet or near the wall run that gathers water to it."""
    sheet = dry_sheet(polygon, outlets, step_m=step_m)
    near = np.zeros_like(sheet.lattice.inside)
    reach = max(BAND_M, 2 * step_m)
    places = shapely.points(sheet.x_m, sheet.y_m)
    for outlet in outlets:
        shapes = [outlet_shape(outlet, polygon=polygon)]
        if outlet.gather == "wall" and (run := wall_run(outlet, polygon=polygon)) is not None:
            shapes.append(run)
        for shape in shapes:
            shapely.prepare(shape)
            near |= np.asarray(shapely.dwithin(shape, places, reach))
    return near & sheet.lattice.inside


def _least_fall(sheet: WetSheet, flow: Flow, *, band: Bools) -> tuple[float, Point]:
    """Least fall over ``WINDOW_M`` of the water's own path, and where that stretch begins.

    A drop that comes into the band or to a pond sooner counts when it ran most of the window.
    """
    found = falls_along(
        flow,
        heights_m=sheet.heights_m,
        places=(sheet.x_m, sheet.y_m),
        stops=band,
        window_m=WINDOW_M,
    )
    if found.starts.size == 0:
        middle = np.nanmean(sheet.x_m), np.nanmean(sheet.y_m)
        return 0.0, (float(middle[0]), float(middle[1]))
    # A floor so small that no drop runs that far is judged by the longest runs there are.
    counts = found.lengths_m >= min(_ENOUGH * WINDOW_M, float(found.lengths_m.max()))
    least = int(np.argmin(np.where(counts, found.falls, np.inf)))
    row, column = np.divmod(found.starts[least], sheet.lattice.inside.shape[1])
    return float(found.falls[least]), sheet.at(int(row), int(column))


def _paths(
    sheet: WetSheet, flow: Flow, *, polygon: shapely.Polygon
) -> tuple[tuple[Point, ...], ...]:
    """Paths of drops that start spread evenly over the floor."""
    spread = lattice_over(polygon, step_m=float(np.sqrt(polygon.area / PATHS)))
    places = sheet.x_m, sheet.y_m
    traced = traces(flow, lattice=sheet.lattice, starts_m=spread.points_m, places=places)
    return tuple(path for path, _ in traced if len(path) > 1)
