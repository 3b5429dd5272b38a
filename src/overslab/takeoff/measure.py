"""Concrete in place: in all, by panel, by strip, each with its plus-or-minus."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon

from overslab.ground.estimate import Estimate
from overslab.ground.faults import Faulty
from overslab.ground.notes import Assumption, Remark
from overslab.ground.units import Units
from overslab.handbook.volumes import volume_between_surfaces_m3, volume_plus_or_minus_m3
from overslab.handbook.working import Working, show
from overslab.newtop.records import NewTop, TopSurface
from overslab.oldslab.records import OldSlab
from overslab.takeoff import faults
from overslab.takeoff.asked import BuildUp
from overslab.takeoff.beside import METRIC, NOTHING_ASKED, Beside, MixSaid, lay_beside
from overslab.takeoff.notebook import HandShots, by_hand
from overslab.takeoff.patching import fill_of_pits
from overslab.takeoff.pieces import Pieces, cut_pieces, is_seam
from overslab.takeoff.place import place_of
from overslab.takeoff.records import Portion, Takeoff, Trucks
from overslab.touches.records import Touches
from overslab.verdict.records import Verdict

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

_MOST_CELLS = 4_000
_COARSEST_M = 0.2

EXACT_TOP = Assumption(
    about="new top",
    taken="struck exactly to its marks",
    because="finishing errors even out over a floor; a crew that strikes high or low all over "
    "shows it in its own record of ordered against used",
)
TOGETHER = Remark(
    weight="note",
    text="The plus-or-minus is that of the old floor as shot. Strips and panels err together, so "
    "that of the whole is neither the sum of theirs nor the root of the sum of squares.",
)


def measure(
    oldslab: OldSlab,
    newtop: NewTop,
    build: BuildUp = NOTHING_ASKED,
    *,
    verdict: Verdict | None = None,
    touches: Touches | None = None,
    mix: MixSaid | None = None,
    trucks: Trucks | None = None,
    units: Units = METRIC,
) -> Takeoff:
    """Volume between the old floor and the marked top, and everything that lies beside it.

    ``units`` only choose how the words say their numbers. Raises ``Faulty`` when there is no top.
    """
    top = newtop.top
    if top is None or top.surface is None:
        raise Faulty(faults.NO_TOP.met(value="no kind of top chosen"))
    place = place_of(oldslab, newtop, top.surface, touches=touches)
    floor = place.floor
    pieces = cut_pieces(
        floor,
        panels=[panel.polygon for panel in oldslab.panels],
        strips=[Polygon(strip.corners) for strip in newtop.strips],
        step_m=min(_COARSEST_M, float(np.sqrt(floor.area / _MOST_CELLS))),
    )
    fill_m = fill_of_pits(oldslab, pieces.at_m, pieces.panel, build.patch)
    edge_fill_m = fill_of_pits(oldslab, pieces.edge_m, pieces.edge_panel, build.patch)
    pits_m3 = float(pieces.areas_m2 @ fill_m)
    groups = _groups(pieces, oldslab=oldslab, newtop=newtop)
    portions = _portions(
        pieces, groups, oldslab=oldslab, surface=top.surface, fills_m=(fill_m, edge_fill_m)
    )
    total = portions[0]
    stop = 1 + len(oldslab.panels)
    top_mean_m = float(pieces.areas_m2 @ top.surface.height_m(pieces.at_m)) / total.area_m2
    triangulated_m3, triangulated = show(
        volume_between_surfaces_m3,
        about="the triangulated second answer",
        area_m2=total.area_m2,
        mean_top_height_m=top_mean_m,
        mean_old_height_m=oldslab.triangulated_mean_m + pits_m3 / total.area_m2,
    )
    old_mean_m = top_mean_m - total.volume_m3.mean / total.area_m2
    _, record = show(
        volume_between_surfaces_m3,
        about="volume of record",
        area_m2=total.area_m2,
        mean_top_height_m=top_mean_m,
        mean_old_height_m=old_mean_m,
    )
    _, doubt = show(
        volume_plus_or_minus_m3,
        about="plus-or-minus of the volume of record",
        area_m2=total.area_m2,
        mean_deviation_m=total.volume_m3.deviation / total.area_m2,
    )
    shots = HandShots(
        floor=floor,
        at_m=oldslab.shots_xy_m,
        thickness_m=top.surface.height_m(oldslab.shots_xy_m) - oldslab.shots_m,
        nominal_m=newtop.wishes.least_thickness_m,
    )
    notebook, by_notebook = by_hand(shots, volume_m3=total.volume_m3.mean)
    workings: tuple[Working, ...] = (record, doubt, triangulated, *by_notebook)
    beside = lay_beside(
        place,
        build,
        asked=Beside(
            verdict=verdict,
            mix=mix,
            trucks=trucks,
            units=units,
            total=total,
            strips=portions[stop:],
            pits_m3=pits_m3,
        ),
    )
    return Takeoff(
        total=total,
        panels=portions[1:stop],
        strips=portions[stop:],
        triangulated_m3=triangulated_m3,
        notebook=notebook,
        assumptions=(EXACT_TOP, *beside.joined.assumptions),
        remarks=(
            TOGETHER,
            *_remarks(total, triangulated_m3, portions[stop:]),
            *beside.joined.remarks,
        ),
        workings=(*workings, *beside.joined.workings),
        items=beside.joined.items,
        checks=beside.joined.checks,
        isolation=beside.isolation,
        sheet=beside.sheet,
        forms=beside.forms,
        wire=beside.wire,
        bars=beside.bars,
        supports=beside.supports,
        joints=beside.joints,
        system=beside.system,
    )


_Group = tuple[str, Bools, Bools]  # name, which pieces, which places along edges


def _groups(pieces: Pieces, *, oldslab: OldSlab, newtop: NewTop) -> list[_Group]:
    """The whole, then every panel, then every strip and what lies outside them."""
    everywhere = np.ones(len(pieces.at_m), dtype=bool), np.ones(len(pieces.edge_m), dtype=bool)
    groups: list[_Group] = [("whole floor", *everywhere)]
    for number, panel in enumerate(oldslab.panels):
        groups.append((panel.name, pieces.panel == number, pieces.edge_panel == number))
    for number, strip in enumerate(newtop.strips):
        groups.append((strip.name, pieces.strip == number, pieces.edge_strip == number))
    outside = pieces.strip < 0
    if newtop.strips and not is_seam(float(pieces.areas_m2[outside].sum())):
        groups.append(("outside the strips", outside, pieces.edge_strip < 0))
    return groups


def _portions(
    pieces: Pieces,
    groups: list[_Group],
    *,
    oldslab: OldSlab,
    surface: TopSurface,
    fills_m: tuple[Floats, Floats],
) -> tuple[Portion, ...]:
    weights = np.stack([np.where(chosen, pieces.areas_m2, 0.0) for _, chosen, _ in groups])
    fill_m, edge_fill_m = fills_m
    old_m3, covariance = oldslab.surface.weigh(pieces.at_m, weights)
    top_m = surface.height_m(pieces.at_m)
    volumes = weights @ (top_m - fill_m) - old_m3
    deviations = np.sqrt(np.maximum(np.diag(covariance), 0.0))
    thick_m = top_m - oldslab.surface.height_m(pieces.at_m) - fill_m
    edge_m = surface.height_m(pieces.edge_m) - oldslab.surface.height_m(pieces.edge_m)
    edge_m -= edge_fill_m
    portions = []
    for number, (name, chosen, on_edge) in enumerate(groups):
        area = float(weights[number].sum())
        here = np.concatenate([thick_m[chosen], edge_m[on_edge]])
        empty = not here.size
        portions.append(
            Portion(
                name=name,
                area_m2=area,
                volume_m3=Estimate(float(volumes[number]), float(deviations[number])),
                mean_thickness_m=float(volumes[number]) / area if area > 0.0 else 0.0,
                thinnest_m=0.0 if empty else float(here.min()),
                thickest_m=0.0 if empty else float(here.max()),
            )
        )
    return tuple(portions)


def _remarks(total: Portion, triangulated_m3: float, strips: tuple[Portion, ...]) -> list[Remark]:
    remarks = []
    if abs(triangulated_m3 - total.volume_m3.mean) > total.volume_m3.plus_or_minus:
        remarks.append(
            Remark(
                weight="warn",
                text="The triangulated second answer lies outside the plus-or-minus of the volume. "
                "Shoot more where the old floor is roughest before you order.",
            )
        )
    if any(strip.name == "outside the strips" for strip in strips):
        remarks.append(
            Remark(
                weight="warn",
                text="Some floor lies in no pour strip; its concrete is listed as outside them.",
            )
        )
    if total.thinnest_m <= 0.0:
        remarks.append(
            Remark(
                weight="warn",
                text="Somewhere the old floor stands at or above the new top: there is no room for "
                "concrete there, and the volume counts it as less than none.",
            )
        )
    return remarks
