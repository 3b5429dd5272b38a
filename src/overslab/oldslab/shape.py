"""The verb of the room: from the plan and the heights to the old floor as a whole."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.linalg import LinAlgError

from overslab.ground.estimate import NORMAL_95, Estimate
from overslab.ground.faults import Faulty
from overslab.ground.lattice import lattice_over
from overslab.ground.notes import Assumption, Remark
from overslab.ground.plan import check_plan, clipped_cells
from overslab.handbook.checks import Check
from overslab.handbook.falls import resultant_fall
from overslab.handbook.surfaces import combined_deviation, missed_by_flat_triangles, plus_or_minus
from overslab.handbook.working import Working, show
from overslab.oldslab.crossings import steps_across
from overslab.oldslab.faults import HEIGHTS_UNFIT, STEP_UNFIT
from overslab.oldslab.fit import Fitted, fit, prior_for
from overslab.oldslab.floorshots import FloorShots, gather
from overslab.oldslab.next_shot import best_next_shot
from overslab.oldslab.panels import Piece, cut_panels, side_of
from overslab.oldslab.records import FloorPlan, OldSlab, Panel, SurfaceFit
from overslab.oldslab.sums import Sums
from overslab.oldslab.surface import MixedSurface
from overslab.oldslab.triangulate import second_answer
from overslab.oldslab.water import run_water
from overslab.oldslab.words import Words, listed
from overslab.shots.records import Heights

Floats = NDArray[np.float64]
Places = NDArray[np.intp]

_CELLS = 8000  # of the lattice when no step is asked for
_FINEST_M = 0.02
_MOST_CELLS = 2_000_000
_PANEL_CELLS = 64  # a small panel is summed over at least about so many cells
_HOLLOW = 0.9  # a panel that fills less of its own hull than this goes round a corner


def shape(plan: FloorPlan, heights: Heights, *, lattice_step_m: float | None = None) -> OldSlab:
    """The old floor with its plus-or-minus, panels, steps and water.

    ``lattice_step_m`` is the cell of the sheets that drawings and water use; left out it is chosen
    so that some eight thousand cells cover the floor. Raises ``Faulty`` with everything that is
    wrong with the plan, or with the shots on a plan that is sound.
    """
    words = Words(heights.convention)
    _check_plan(plan, words=words)
    pieces = cut_panels(plan)
    area_m2 = float(sum(piece.polygon.area for piece in pieces))
    step_m = _step(lattice_step_m, area_m2, words=words)
    shots = gather(heights, pieces, words=words)
    fitted, surface = _fitted(shots, pieces)

    lattice = lattice_over(plan.polygon(), step_m=step_m)
    inside_m = lattice.points_m
    mean, deviation = surface.look(inside_m, side_of(pieces, inside_m))
    heights_m, deviations_m = lattice.spread(mean), lattice.spread(deviation)

    cells = _cells(pieces, step_m=step_m)
    cell_heights = surface.height_on(cells.xy_m, cells.panel)
    estimates = _means(surface, cells, len(pieces))
    panels, workings = _panels(pieces, shots, cells, cell_heights, estimates[1:])
    low, high = int(np.argmin(cell_heights)), int(np.argmax(cell_heights))
    steps, step_remarks = steps_across(plan, pieces, surface, words=words)
    water = run_water(plan, lattice, heights_m)
    second = _second(surface, cells, estimates[0], pieces, words=words)
    following = best_next_shot(
        surface,
        Sums(xy_m=cells.xy_m, panel=cells.panel, weights=cells.areas_m2[None, :]),
        inside_m if len(inside_m) else cells.xy_m,
        texture_m=fitted.peak.texture_m,
    )
    _, half = show(
        plus_or_minus, about="mean height of the old floor", deviation_m=estimates[0].deviation
    )
    return OldSlab(
        plan=plan,
        surface=surface,
        lattice=lattice,
        heights_m=heights_m,
        deviations_m=deviations_m,
        area_m2=area_m2,
        mean_height_m=estimates[0],
        lowest_m=float(cell_heights[low]),
        lowest_at=_point(cells.xy_m[low]),
        highest_m=float(cell_heights[high]),
        highest_at=_point(cells.xy_m[high]),
        panels=panels,
        steps=steps,
        low_spots=water.low_spots,
        pond_depth_m=water.depth_m,
        flow=water.flow,
        triangulated_mean_m=second.mean_m,
        agreement=second.check,
        next_shot=following[0] if following else None,
        fit=SurfaceFit(
            length_m=fitted.peak.length_m,
            roughness_m=fitted.peak.roughness_m,
            texture_m=fitted.peak.texture_m,
            on_bound=fitted.on_bound,
        ),
        shots_xy_m=shots.xy_m,
        shots_m=shots.height_m,
        shot_names=shots.names,
        assumptions=(*shots.assumptions, *_round_corners(pieces), *water.assumptions),
        remarks=(
            *shots.remarks,
            *_bound_remarks(fitted),
            *step_remarks,
            *second.remarks,
            *water.remarks,
        ),
        workings=(half, *second.workings, *workings, *([following[1]] if following else [])),
    )


def _check_plan(plan: FloorPlan, *, words: Words) -> None:
    faults = check_plan(
        outline=plan.outline,
        holes={hole.name: hole.corners for hole in plan.holes},
        features={feature.name: feature.corners for feature in plan.features},
        breaks={crack.name: crack.line for crack in plan.breaks},
        write=words.length,
    )
    if faults:
        raise Faulty(faults)


def _step(asked_m: float | None, area_m2: float, *, words: Words) -> float:
    if asked_m is None:
        return max(math.sqrt(area_m2 / _CELLS), _FINEST_M)
    finest_m = max(math.sqrt(area_m2 / _MOST_CELLS), _FINEST_M / 10)
    coarsest_m = math.sqrt(area_m2) / 4
    if math.isfinite(asked_m) and finest_m <= asked_m <= coarsest_m:
        return asked_m
    raise Faulty(
        STEP_UNFIT.met(
            value=words.length(asked_m),
            least=words.length(_FINEST_M / 10),
            cells=f"{_MOST_CELLS:,}",
            low=words.length(finest_m),
            high=words.length(coarsest_m),
        )
    )


def _fitted(shots: FloorShots, pieces: Sequence[Piece]) -> tuple[Fitted, MixedSurface]:
    try:
        fitted = fit(shots.data, prior_for(shots.data, tuple(pieces)))
        return fitted, MixedSurface(shots.data, pieces, fitted.nodes)
    except LinAlgError:
        raise Faulty(HEIGHTS_UNFIT.met(value=f"{len(shots.names)} floor shots")) from None


@dataclass(frozen=True, slots=True, eq=False)
class _Cells:
    """The floor in small cells that end at the edges of their panels."""

    xy_m: Floats  # (m, 2) centroids
    areas_m2: Floats  # (m,)
    panel: Places  # (m,)


def _cells(pieces: Sequence[Piece], *, step_m: float) -> _Cells:
    places, areas, panel = [], [], []
    for number, piece in enumerate(pieces):
        own_step_m = min(step_m, math.sqrt(piece.polygon.area / _PANEL_CELLS))
        xy_m, areas_m2 = clipped_cells(piece.polygon, step_m=own_step_m)
        places.append(xy_m)
        areas.append(areas_m2)
        panel.append(np.full(len(xy_m), number, dtype=np.intp))
    return _Cells(np.concatenate(places), np.concatenate(areas), np.concatenate(panel))


def _means(surface: MixedSurface, cells: _Cells, panels: int) -> list[Estimate]:
    """Mean height of the whole floor, then of every panel."""
    weights = np.zeros((panels + 1, len(cells.areas_m2)))
    weights[0] = cells.areas_m2
    weights[cells.panel + 1, np.arange(len(cells.panel))] = cells.areas_m2
    weights /= weights.sum(axis=1, keepdims=True)
    mean, covariance = surface.sums(Sums(xy_m=cells.xy_m, panel=cells.panel, weights=weights))
    return [
        Estimate(float(m), float(math.sqrt(max(v, 0.0))))
        for m, v in zip(mean, np.diag(covariance), strict=True)
    ]


def _panels(
    pieces: Sequence[Piece],
    shots: FloorShots,
    cells: _Cells,
    heights_m: Floats,
    estimates: Sequence[Estimate],
) -> tuple[tuple[Panel, ...], tuple[Working, ...]]:
    """Panels with the plane that lies nearest to their surface by area."""
    panels, workings = [], []
    for number, (piece, estimate) in enumerate(zip(pieces, estimates, strict=True)):
        own = cells.panel == number
        root = np.sqrt(cells.areas_m2[own])
        off = cells.xy_m[own] - np.average(cells.xy_m[own], axis=0, weights=cells.areas_m2[own])
        sides = np.column_stack([np.ones(len(off)), off]) * root[:, None]
        plane, *_ = np.linalg.lstsq(sides, (heights_m[own] - estimate.mean) * root, rcond=None)
        across, up = float(plane[1]), float(plane[2])
        fall, working = show(
            resultant_fall, about=f"fall of panel {piece.name}", along=up, across=across
        )
        workings.append(working)
        panels.append(
            Panel(
                name=piece.name,
                polygon=piece.polygon,
                area_m2=float(piece.polygon.area),
                shots=int(np.count_nonzero(shots.panel == number)),
                kind=piece.kind,
                mean_height_m=estimate,
                fall=fall,
                falls_toward_deg=math.degrees(math.atan2(-across, -up)) % 360.0,
            )
        )
    return tuple(panels), tuple(workings)


@dataclass(frozen=True, slots=True)
class _Second:
    mean_m: float
    check: Check
    remarks: tuple[Remark, ...]
    workings: tuple[Working, ...]


def _second(
    surface: MixedSurface,
    cells: _Cells,
    first: Estimate,
    pieces: Sequence[Piece],
    *,
    words: Words,
) -> _Second:
    """The triangles' mean height beside the surface's.

    The triangles are a weighted sum of the same shots. What such a sum misses by, under the
    covariance that was fitted, is the surface's own deviation and, independent of it, what flat
    triangles add. A floor that is dished all one way is missed all one way; that is told from the
    shots alone and allowed on top.
    """
    answer = second_answer(surface.data, pieces)
    weights = (cells.areas_m2 / cells.areas_m2.sum())[None, :]
    whole = surface.deviation_of_estimate(
        Sums(xy_m=cells.xy_m, panel=cells.panel, weights=weights), shot_weights=answer.weights
    )
    allowance_m = math.sqrt(max(whole**2 - first.deviation**2, 0.0))
    together, working = show(
        combined_deviation,
        about="surface and allowance for flat triangles",
        first_m=first.deviation,
        second_m=allowance_m,
    )
    allowed, half = show(
        plus_or_minus, about="allowed between the two mean heights", deviation_m=together
    )
    bent, bend = show(
        missed_by_flat_triangles,
        about="allowed on top for a floor dished all one way",
        departure_m=answer.departure_m,
    )
    check = Check(
        name="mean height by surface and by triangles",
        quantity="difference_m",
        found=abs(answer.mean_m - first.mean),
        comparison="at most",
        allowed=allowed + bent,
        source=f"{NORMAL_95:.2f} deviations of the surface's mean and of flat triangles through "
        "the same shots, and what these miss of a dish (our choice)",
    )
    remarks: tuple[Remark, ...] = ()
    if not check.passes:
        remarks = (
            Remark(
                "warn",
                "The surface and the triangles give mean heights that differ by "
                f"{words.height(check.found)}, more than the {words.height(check.allowed)} that "
                "their plus-or-minus allows. Look for a wrong shot, a missing break, or a part of "
                "the floor with too few shots.",
            ),
        )
    return _Second(answer.mean_m, check, remarks, (working, half, bend))


def _round_corners(pieces: Sequence[Piece]) -> tuple[Assumption, ...]:
    bent = [
        piece.name
        for piece in pieces
        if shapely.Polygon(piece.polygon.exterior).area < _HOLLOW * piece.polygon.convex_hull.area
    ]
    if not bent:
        return ()
    return (
        Assumption(
            about=f"likeness of heights in {listed(bent)}",
            taken="by the straight distance between two places, also across an inside corner",
            because="the slab is one piece round the corner; a break there would part the legs",
        ),
    )


def _bound_remarks(fitted: Fitted) -> tuple[Remark, ...]:
    told = {
        "length_m": "how far a height is like its neighbours",
        "roughness_m": "how far the floor departs from its planes",
        "texture_m": "the texture of the floor",
    }
    return tuple(
        Remark(
            "note",
            f"The shots ask for less of this than is allowed for: {told[name]}. It was held at the "
            "least, so the plus-or-minus is rather too wide than too narrow.",
        )
        if name in fitted.at_least and name != "length_m"
        else Remark(
            "warn",
            f"The shots ask for more or less of this than a floor can have: {told[name]}. It was "
            "held at the bound. Take the plus-or-minus with care and look for a wrong shot.",
        )
        for name in fitted.on_bound
    )


def _point(place: Floats) -> tuple[float, float]:
    return float(place[0]), float(place[1])
