"""Where shall the new top be? Every kind of top side by side, and the cheapest that drains."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial

import numpy as np
import shapely
from numpy.typing import NDArray

from overslab.ground.notes import Assumption, Remark
from overslab.handbook import falls
from overslab.handbook.working import Working, show
from overslab.newtop import words
from overslab.newtop.drainage import with_birdbaths
from overslab.newtop.options import make_option
from overslab.newtop.padlines import grid_pads
from overslab.newtop.pads import GridPads, PadSurface
from overslab.newtop.paths import NARROW_POST_M
from overslab.newtop.pourstrips import pour_strips
from overslab.newtop.records import NewTop, TopKind, TopOption, Wishes
from overslab.newtop.rules import RAISE_FREELY_M
from overslab.newtop.site import RIDE_M, Site, prepare
from overslab.newtop.validity import refuse_bad_wishes
from overslab.oldslab.records import OldSlab

Floats = NDArray[np.float64]

# Tops with finishing error that are tried for the chance of a birdbath: at 200 it is known to
# within seven points, at 50 to within fourteen, enough to see which kind stands wetter.
TRIES, ROUGH_TRIES = 200, 50

# Kinds whose fight is told when nothing can be built, the freest first.
_FREEST: tuple[TopKind, ...] = ("strips", "planes", "plane", "level")


def design(oldslab: OldSlab, wishes: Wishes) -> NewTop:
    """Every kind of top asked for, solved, marked and checked again; the cheapest that passes.

    Raises ``Faulty`` with everything that is wrong with the wishes. Wishes that fight are no fault:
    the options then tell which of them fight and what would let them live, and nothing is chosen.
    """
    refuse_bad_wishes(wishes, oldslab.plan.polygon())
    site = prepare(oldslab, wishes)
    pads = grid_pads(site)
    options = tuple(make_option(site, pads, kind) for kind in dict.fromkeys(wishes.kinds))
    chosen = choose(options, wishes)
    options = tuple(
        _with_birdbaths(option, site, drawn=option.kind == chosen) for option in options
    )
    top = next((option for option in options if option.kind == chosen), None)
    lattice = oldslab.lattice
    top_m = np.full(lattice.inside.shape, np.nan)
    if top is not None and top.surface is not None:
        top_m = lattice.spread(top.surface.height_m(lattice.points_m))
    return NewTop(
        options=options,
        chosen=chosen,
        lattice=lattice,
        top_m=top_m,
        thickness_m=top_m - oldslab.heights_m,
        strips=() if top is None else pour_strips(site, pads, folds=top.folds),
        wishes=wishes,
        assumptions=tuple(_assumptions(site)),
        remarks=tuple(_remarks(options, top, wishes)),
        workings=tuple(_workings(site, pads, top)),
    )


def choose(options: Sequence[TopOption], wishes: Wishes) -> TopKind | None:
    """The owner's choice if it can be built; else the cheapest that passes, or that can be built.

    Of equals the first in ``options``.
    ``follow`` is only ever the owner's choice, and ``level`` only where no fall is asked.
    """
    built = {option.kind: option for option in options if option.feasible}
    if wishes.choose is not None:
        return wishes.choose if wishes.choose in built else None
    open_to_us = [
        option
        for kind, option in built.items()
        if kind != "follow" and (kind != "level" or wishes.least_fall == 0)
    ]
    passing = [option for option in open_to_us if option.passes]
    # To the cent, so that of tops that are one and the same the plainer kind is taken.
    best = min(passing or open_to_us, key=lambda option: round(option.cost, 2), default=None)
    return None if best is None else best.kind


def _with_birdbaths(option: TopOption, site: Site, *, drawn: bool) -> TopOption:
    """The chance of a birdbath, closely for the top that is drawn, roughly for the others."""
    if option.drainage is None or option.surface is None:
        return option
    drainage = with_birdbaths(
        option.drainage,
        option.surface,
        polygon=site.oldslab.plan.polygon(),
        wishes=site.wishes,
        tries=TRIES if drawn else ROUGH_TRIES,
    )
    return replace(option, drainage=drainage)


def _assumptions(site: Site) -> list[Assumption]:
    wishes = site.wishes
    about = partial(words.about, mark_m=wishes.mark_m)
    told = [
        Assumption(
            about="pad spacing",
            taken=f"at most {about(site.pad_limit_m)}",
            because=f"the straightedge, {about(wishes.straightedge_m)} long, rides about "
            f"{about(RIDE_M / 2)} on the work at each end (common practice)",
        )
    ]
    if len(site.polygon.interiors) and any(
        2 * shapely.minimum_bounding_radius(shapely.Polygon(ring)) < NARROW_POST_M
        for ring in site.polygon.interiors
    ):
        told.append(
            Assumption(
                about="narrow posts",
                taken="water parts round them and the fall is not turned",
                because=f"narrower than {about(NARROW_POST_M)} (common practice)",
            )
        )
    told += [
        Assumption(
            about=f"raising {drain.name}",
            taken=f"free of cost, up to {about(RAISE_FREELY_M)}",
            because="no cost and no limit of raising it were given",
        )
        for drain in wishes.drains
        if drain.plan == "raise" and drain.move is None
    ]
    return told


def _remarks(options: Sequence[TopOption], top: TopOption | None, wishes: Wishes) -> list[Remark]:
    if top is None:
        fights = {option.kind: option.fight for option in options if option.fight is not None}
        told = next((fights[kind] for kind in _FREEST if kind in fights), None)
        if wishes.choose is not None and wishes.choose in fights:
            told = fights[wishes.choose]
        why = "" if told is None else " " + told.says
        return [Remark("ask", "No kind of top asked for can meet these wishes." + why)]
    remarks = list(top.remarks)
    if not top.passes:
        told_by = [rule.check.name for rule in top.rules if not rule.check.passes]
        water = "" if told_by else " Water does not all leave it."
        names = f" Rules not met: {'; '.join(told_by)}." if told_by else ""
        remarks.append(
            Remark("warn", f"The top that is drawn does not meet every wish.{names}{water}")
        )
    return remarks


def _twist(surface: PadSurface) -> list[Working]:
    """The most twisted bay of a top struck from pad to pad."""
    if not isinstance(surface.pads, GridPads) or not len(surface.pads.bays):
        return []
    corners = surface.pad_heights_m[surface.pads.bays]
    twists = corners[:, 0] + corners[:, 2] - corners[:, 1] - corners[:, 3]
    most = corners[int(np.argmax(np.abs(twists)))]
    twist_m, twist = show(
        falls.twist_of_bay,
        about="most twisted bay",
        first_corner_m=float(most[0]),
        second_corner_m=float(most[1]),
        third_corner_m=float(most[2]),
        fourth_corner_m=float(most[3]),
    )
    doubt = show(falls.doubt_in_middle, about="middle of the most twisted bay", twist_m=twist_m)
    return [twist, doubt[1]]


def _workings(site: Site, pads: GridPads, top: TopOption | None) -> list[Working]:
    wishes = site.wishes
    ways = site.paths.ways(np.asarray(site.polygon.exterior.coords)[:-1])
    longest = float(np.nanmax(np.where(np.isfinite(ways.length_m), ways.length_m, np.nan).min(1)))
    made = [
        show(
            falls.drop_over_run,
            about="fall over the longest way to an outlet",
            slope=wishes.least_fall,
            run_m=longest,
        )[1],
        show(
            falls.slope_of_rounding,
            about="slope that rounding to marks can give or take",
            mark_m=wishes.mark_m,
            spacing_m=pads.spacing_m,
        )[1],
        show(
            falls.slope_of_wave,
            about="slope hidden in a finishing error",
            gap_m=2 * wishes.finish_deviation_m,
            wave_m=2 * wishes.finish_length_m,
        )[1],
    ]
    if wishes.cross_fall:
        made.append(
            show(
                falls.resultant_fall,
                about="steepest true slope the wishes allow",
                along=wishes.greatest_fall,
                across=wishes.cross_fall,
            )[1]
        )
    if top is not None and isinstance(top.surface, PadSurface):
        made += _twist(top.surface)
        made += [
            show(
                falls.saving_of_giving_way,
                about=f"what one step of {result.check.name} saves",
                optimum_cost=top.optimum_cost,
                relaxed_cost=top.optimum_cost - result.cost_per_step,
            )[1]
            for result in top.rules
            if result.binds and result.cost_per_step is not None
        ]
    return made
