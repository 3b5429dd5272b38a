"""Each kind of top as an option: solved, marked, checked again, or told why it cannot be."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray

from overslab.ground.notes import Remark
from overslab.handbook.checks import Check
from overslab.newtop import words
from overslab.newtop.drainage import drain
from overslab.newtop.fights import fight_of, least_change
from overslab.newtop.follow import FollowingSurface
from overslab.newtop.layouts import Layout, layouts
from overslab.newtop.marking import Marked, folds_of, mark, pads_of, rank, rounded
from overslab.newtop.model import (
    Model,
    Solved,
    level_model,
    plane_model,
    planes_model,
    strips_model,
)
from overslab.newtop.pads import GridPads
from overslab.newtop.recheck import recheck
from overslab.newtop.records import (
    Drainage,
    Pad,
    Point,
    RuleResult,
    TopKind,
    TopOption,
    TopSurface,
)
from overslab.newtop.site import Site
from overslab.newtop.triangles import RegionsCross, TrianglePads

Floats = NDArray[np.float64]

# The whole floor, but for what falls between the cells that water is run over.
ALL_OF_IT = 0.999
# Layouts in planes that are marked: what rounding costs differs between them.
MOST_MARKED = 6


def make_option(site: Site, pads: GridPads, kind: TopKind) -> TopOption:
    """One kind of top, feasible or not."""
    if kind == "follow":
        return _follow(site, pads)
    if kind == "planes":
        return _planes(site, pads)
    make = {"plane": plane_model, "level": level_model, "strips": strips_model}[kind]
    model = make(site, pads)
    optimum = model.solve()
    if optimum is None:
        return _impossible(model)
    return _solved(model, optimum, mark(model, optimum))


def water_leaves(drainage: Drainage, *, birdbath_m: float) -> bool:
    """All water reaches an outlet and none stands deeper than counts as a birdbath."""
    return drainage.reaches_outlet >= ALL_OF_IT and drainage.deepest_m <= birdbath_m


def _planes(site: Site, pads: GridPads) -> TopOption:
    """The cheapest layout that passes; else the cheapest; else the nearest to possible."""
    tried = list(_plane_models(site, pads))
    if not tried:
        return TopOption(
            kind="planes",
            title="planes that meet at folds",
            feasible=False,
            fight=None,
            surface=None,
            remarks=(Remark("note", "This floor offers no line to fold it along."),),
        )
    solved = [
        (optimum, model, layout)
        for layout, model in tried
        if (optimum := model.solve()) is not None
    ]
    if not solved:
        return _impossible(min((model for _, model in tried), key=least_change))
    # Of layouts that come to the same top the one with the fewest planes.
    solved.sort(key=lambda each: (round(each[0].cost, 4), len(each[2].regions)))
    marked: list[tuple[Marked, Solved, Model, Layout]] = []
    for optimum, model, layout in solved[:MOST_MARKED]:
        best = min((rank(each[2], each[0]) for each in marked), default=(1, np.inf))
        if best[0] == 0 and optimum.cost >= best[1]:
            break
        marked.append((mark(model, optimum), optimum, model, layout))
    marked.sort(key=lambda each: rank(each[2], each[0]))
    made: list[TopOption] = []
    for found, optimum, model, layout in marked:
        option = _solved(model, optimum, found)
        made.append(replace(option, title=layout.title(option.folds)))
        if option.passes:
            break
    taken = made[-1] if made[-1].passes else made[0]
    told = Remark("note", f"Layouts in planes tried: {len(tried)}; can be built: {len(solved)}.")
    # The bound of the kind is that of its cheapest layout, whichever was taken.
    return replace(taken, bound_cost=solved[0][0].bound, remarks=(*taken.remarks, told))


def _plane_models(site: Site, pads: GridPads) -> Iterator[tuple[Layout, Model]]:
    for layout in layouts(site):
        # A layout whose lines do not part the floor cleanly is no layout.
        with suppress(RegionsCross):
            marks = TrianglePads(
                site.polygon, layout.regions, inner_m=pads.at_m, limit_m=site.pad_limit_m
            )
            yield layout, planes_model(site, marks, title=layout.title())


def _impossible(model: Model) -> TopOption:
    return TopOption(
        kind=model.kind,
        title=model.title,
        feasible=False,
        fight=fight_of(model),
        surface=None,
    )


def _solved(model: Model, optimum: Solved, marked: Marked) -> TopOption:
    site = model.site
    volume = float(model.pads.integral_m2 @ (marked.marks_m - site.base_m) - site.old_volume_m3)
    option = _finished(
        site,
        kind=model.kind,
        title=model.title,
        surface=marked.surface,
        checks=marked.checks,
        volume_m3=volume,
        savings=model.savings(optimum),
    )
    moved = marked.solved.moved
    costs = dict(model.rules.movable)
    moving = sum(costs[name] for name in moved)
    folds = folds_of(model, marked.solved)
    return replace(
        option,
        pads=pads_of(model, marked),
        facets=tuple(_ring(site, cell) for cell in model.pads.cells()),
        folds=folds,
        moving_cost=moving,
        cost=option.concrete_cost + moving,
        optimum_cost=optimum.cost,
        bound_cost=optimum.bound,
        moved=moved,
        left=tuple(name for name in costs if name not in moved),
        remarks=(*option.remarks, *_told(model, marked)),
    )


def _follow(site: Site, pads: GridPads) -> TopOption:
    """The old floor over again, one thickness higher: the same work without a plan."""
    wishes = site.wishes
    surface = FollowingSurface(site.oldslab, thickness_m=wishes.least_thickness_m)
    checks = recheck(surface, oldslab=site.oldslab, wishes=wishes)
    volume = wishes.least_thickness_m * float(site.polygon.area)
    option = _finished(
        site,
        kind="follow",
        title="follows the old floor",
        surface=surface,
        checks=checks,
        volume_m3=volume,
        savings={},
    )
    floor = site.polygon.buffer(1e-3)
    on_floor = shapely.intersects_xy(floor, pads.at_m[:, 0], pads.at_m[:, 1])
    sheet = site.frame.to_sheet(pads.at_m[on_floor])
    exact = surface.height_m(sheet)
    marks = rounded(exact, mark_m=wishes.mark_m)
    old = exact - wishes.least_thickness_m
    return replace(
        option,
        pads=tuple(
            Pad(f"F{number + 1}", (float(at[0]), float(at[1])), float(height), float(wanted),
                float(height - below))
            for number, (at, height, wanted, below) in enumerate(
                zip(sheet, marks, exact, old, strict=True)
            )
        ),
        facets=tuple(_ring(site, cell) for cell in pads.cells()),
        optimum_cost=option.cost,
        bound_cost=option.cost,
        remarks=(
            Remark("warn", "Follows the old floor: water stands where it stands today."),
        ),
    )  # fmt: skip


def _finished(
    site: Site,
    *,
    kind: TopKind,
    title: str,
    surface: TopSurface,
    checks: tuple[Check, ...],
    volume_m3: float,
    savings: dict[str, float],
) -> TopOption:
    wishes, places = site.wishes, site.places
    sheet = site.frame.to_sheet(places.at_m)
    thickness = surface.height_m(sheet) - (places.old_m + site.base_m)
    thin, thick = int(np.argmin(thickness)), int(np.argmax(thickness))
    drainage = drain(surface, polygon=site.oldslab.plan.polygon(), wishes=wishes, tries=0)
    concrete = wishes.concrete_cost_per_m3 * volume_m3
    return TopOption(
        kind=kind,
        title=title,
        feasible=True,
        fight=None,
        surface=surface,
        volume_m3=volume_m3,
        concrete_cost=concrete,
        cost=concrete,
        thinnest_m=float(thickness[thin]),
        thinnest_at=_at(sheet[thin]),
        thickest_m=float(thickness[thick]),
        thickest_at=_at(sheet[thick]),
        mean_thickness_m=volume_m3 / float(site.polygon.area),
        rules=tuple(_results(site, checks, savings)),
        drainage=drainage,
        passes=all(check.passes for check in checks)
        and water_leaves(drainage, birdbath_m=wishes.birdbath_m),
    )


def _results(
    site: Site, checks: tuple[Check, ...], savings: dict[str, float]
) -> Iterator[RuleResult]:
    """Checks, each beside what its rule costs."""
    known = words.known_rules(site.wishes)
    step_m, step_slope = words.steps(site.wishes)
    worth_telling = 1e-6 * max(1.0, site.wishes.concrete_cost_per_m3 * float(site.polygon.area))
    for check in checks:
        rule = known.get(check.name)
        slope = rule.slope if rule is not None else not check.quantity.endswith("_m")
        saved, step = savings.get(check.name), step_slope if slope else step_m
        yield RuleResult(
            check=check,
            binds=saved is not None and saved > worth_telling,
            cost_per_step=saved,
            step=step,
            step_unit="slope" if slope else "m",
        )


def _told(model: Model, marked: Marked) -> Iterator[Remark]:
    if model.kind == "level" and model.site.wishes.least_fall > 0:
        yield Remark("note", "A level top is asked for no fall; it stands here for its price.")
        return
    if marked.failing:
        names = "; ".join(check.name for check in marked.failing)
        yield Remark("warn", f"On settable marks these rules are not quite met: {names}.")


def _ring(site: Site, cell: shapely.Polygon) -> tuple[Point, ...]:
    return tuple(_at(place) for place in site.frame.to_sheet(np.asarray(cell.exterior.coords)[:-1]))


def _at(place: Floats) -> Point:
    return float(place[0]), float(place[1])
