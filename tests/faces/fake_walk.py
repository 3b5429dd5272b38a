"""A walk made by hand for the tests of the paper: an invented L-shaped, analytic floor.

No room has run here, so the sheets are tested by the contract of the records alone.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import shapely
from made_up_bid import made_up_bid
from made_up_touches import made_up_touches
from made_up_verdict import made_up_verdict

from overslab.ground.estimate import Estimate
from overslab.ground.lattice import lattice_over
from overslab.ground.notes import Assumption, Remark
from overslab.ground.units import Units
from overslab.handbook.checks import Check
from overslab.handbook.levelling import height_of_instrument
from overslab.handbook.working import show
from overslab.job.records import Asked, Job, Walk
from overslab.newtop.records import (
    Change,
    Drain,
    Drainage,
    Edge,
    Fight,
    NewTop,
    Outlet,
    Pad,
    RuleResult,
    Strip,
    TopOption,
    Wishes,
)
from overslab.oldslab.records import (
    Break,
    Feature,
    FloorPlan,
    FlowPath,
    Hole,
    LowSpot,
    NextShot,
    OldSlab,
    Panel,
    Step,
    SurfaceFit,
)
from overslab.order import check_mix
from overslab.order.records import AmountChoice, Load, MixAsked, Order, Plant
from overslab.shots.records import (
    Benchmark,
    Heights,
    PointHeight,
    Reading,
    SetupHeight,
    Survey,
    Suspect,
)
from overslab.takeoff.records import NotebookAnswer, Portion, Takeoff

MARKS = {"feet-inches": 0.0254 / 16, "tenths": 0.003048, "metric": 0.001}
WIDE, DEEP, NOTCH_X, NOTCH_Y = 12.0, 9.0, 7.2, 4.8
DATUM, READ = 30.48, 1.2573
HOSTILE = '#read("x") ] $ *b* <script>&amp; \\ "q" _u_ @ref // `raw`'


@dataclass(frozen=True)
class OldSurface:
    """A tilt, a dish and a step of 8 mm across the crack at x = 6.3 m."""

    def height_m(self, xy_m):
        x, y = np.asarray(xy_m, dtype=float).T
        dish = 0.05 * np.exp(-((x - 3.0) ** 2 + (y - 4.5) ** 2) / 4)
        return DATUM - 0.09 - 0.004 * x + 0.003 * y - dish - 0.008 * (x > 6.3)

    def deviation_m(self, xy_m):
        return np.full(len(xy_m), 0.002)

    def weigh(self, xy_m, weights):
        return weights @ self.height_m(xy_m), np.eye(len(weights)) * 1e-6


@dataclass(frozen=True)
class NewSurface:
    """One plane that falls to the door at y = 0."""

    def height_m(self, xy_m):
        return DATUM + 0.0104 * np.asarray(xy_m, dtype=float)[:, 1]

    def gradient(self, xy_m):
        return np.tile([0.0, 0.0104], (len(xy_m), 1))


def fake_walk(
    *, system="feet-inches", fits=True, name="Farm shop", made_up=True, hostile=False, pads=20
) -> Walk:
    word = HOSTILE if hostile else ""
    plan = FloorPlan(
        outline=(
            (0, 0),
            (WIDE, 0),
            (WIDE, NOTCH_Y),
            (NOTCH_X, NOTCH_Y),
            (NOTCH_X, DEEP),
            (0, DEEP),
        ),
        holes=(Hole("post P", ((3.9, 6.9), (4.1, 6.9), (4.1, 7.1), (3.9, 7.1))),),
        breaks=(Break(f"crack K{word}", ((6.3, 0), (6.3, DEEP)), "crack"),),
        features=(Feature("pit", "pit", ((9.0, 2.0), (10.0, 2.0), (10.0, 2.6), (9.0, 2.6))),),
        openings=(((1.5, 0), (5.1, 0)), ((WIDE, 1.8), (WIDE, 3.0))),
        drains=((4.8, 1.2),),
        up_is="the back wall",
    )
    lattice = lattice_over(plan.polygon(), step_m=0.15)
    old, new = OldSurface(), NewSurface()
    old_m, new_m = (lattice.spread(s.height_m(lattice.points_m)) for s in (old, new))
    heights = _heights(plan, old, word)
    wishes = Wishes(
        least_thickness_m=0.0762,
        least_fall=0.0104,
        greatest_fall=0.0417,
        cross_fall=0.0208,
        bend=0.01,
        straightedge_m=3.66,
        mark_m=MARKS[system],
        concrete_cost_per_m3=196.0,
        currency="USD",
        outlets=(Outlet("big door", ((1.5, 0), (5.1, 0))),),
        edges=(
            Edge(f"big door{word}", "door", (1.5, 0), (5.1, 0), DATUM, DATUM + 0.0127),
            Edge("side door", "door", (WIDE, 1.8), (WIDE, 3.0), None, DATUM + 0.05),
            Edge("inside stair", "stair", (0, 7.0), (0, 8.0), DATUM, DATUM + 0.1),
        ),
        drains=(Drain("old drain", (4.8, 1.2), DATUM - 0.1, "bury"),),
    )
    job = Job(
        name=name + word,
        place="Examplefield",
        date="2026-05-04",
        made_up=made_up,
        units=Units(system, MARKS[system]),
        survey=_survey(system, word),
        plan=plan,
        asked=Asked(wishes),
        plant=_plant(),
        mix=MixAsked(strength_pa=27.6e6, stone_m=0.0095, notes=word),
        assumptions=(Assumption("losses", "5 %", "no record of the crew's own was given"),),
    )
    oldslab = _oldslab(plan, old, lattice, old_m, heights)
    newtop = _newtop(wishes, plan, lattice, old, new, old_m, new_m, fits=fits, pads=pads)
    verdict = made_up_verdict(word=word, inside=lattice.inside, crack=plan.breaks[0].name)
    return Walk(
        job=job,
        shots=heights,
        oldslab=oldslab,
        verdict=verdict,
        newtop=newtop,
        touches=made_up_touches(word=word, datum_m=DATUM) if fits else None,
        takeoff=_takeoff() if fits else None,
        order=_order(job) if fits else None,
        price=made_up_bid(word=word) if fits else None,
    )


def _survey(system, word):
    readings = [Reading(2, "BM1", "1", READ, "benchmark", None, None, "", "4' 1 1/2\"")]
    return Survey(
        readings=tuple(readings),
        benchmarks=(Benchmark("BM1", DATUM, f"nail in the door post{word}"),),
        convention=system,
        resolution_m={"feet-inches": 0.0254 / 8, "tenths": 0.003048, "metric": 0.001}[system],
        rod_deviation_m=0.001,
        laser_slope=5e-5,
    )


def _heights(plan, old, word):
    floor = plan.polygon().buffer(-0.1)
    xs, ys = np.arange(0.3, WIDE, 1.2), np.arange(0.3, DEEP, 1.2)
    points = [
        PointHeight(
            f"{chr(65 + i)}{j + 1}",
            "floor",
            x,
            y,
            float(old.height_m([[x, y]])[0]),
            0.0012,
            1,
            ("1",),
            (9,),
        )
        for i, x in enumerate(xs)
        for j, y in enumerate(ys)
        if floor.contains(shapely.Point(x, y))
    ]
    _, working = show(
        height_of_instrument, about="beam of set-up 1", benchmark_height_m=DATUM, backsight_m=READ
    )
    return Heights(
        points=tuple(points),
        covariance_m2=np.eye(len(points)) * 1e-6,
        setups=(SetupHeight("1", DATUM + READ, 0.001, READ),),
        misclosures=(
            Check(
                "misclosure at BM1", "misclosure_m", 0.0008, "at most", 0.0016, "common practice"
            ),
        ),
        variance_factor=None,
        redundancy=0,
        suspects=(
            Suspect(
                31, "C4", "1", 1.68, 0.3, 21.0, f"a foot too much{word}", 1.38, 1.3752, "neighbours"
            ),
        ),
        bumps=(),
        collimation=None,
        convention="feet-inches",
        assumptions=(),
        remarks=(Remark("ask", f"Was the floor wet?{word}"), Remark("note", "One set-up only.")),
        workings=(working,),
    )


def _oldslab(plan, old, lattice, old_m, heights):
    pond = np.where(np.isfinite(old_m), 0.0, np.nan)
    x, y = np.meshgrid(lattice.x_m, lattice.y_m)
    depth = np.clip(0.03 * (1 - ((x - 3.0) ** 2 + (y - 4.4) ** 2) / 2.0), 0, None)
    pond = np.where(np.isfinite(old_m), depth, np.nan)
    west = shapely.box(0, 0, 6.3, DEEP)
    panels = tuple(
        Panel(title, piece, piece.area, 20, "panel", Estimate(DATUM - 0.1, 0.001), 0.005, bearing)
        for title, piece, bearing in (
            ("A", shapely.intersection(plan.polygon(), west), 127.0),
            ("B", shapely.difference(plan.polygon(), west), 140.0),
        )
    )
    xy = np.array([[p.x_m, p.y_m] for p in heights.points])
    return OldSlab(
        plan=plan,
        surface=old,
        lattice=lattice,
        heights_m=old_m,
        deviations_m=np.where(np.isfinite(old_m), 0.002, np.nan),
        area_m2=plan.polygon().area,
        mean_height_m=Estimate(DATUM - 0.11, 0.0008),
        lowest_m=float(np.nanmin(old_m)),
        lowest_at=(3.0, 4.4),
        highest_m=float(np.nanmax(old_m)),
        highest_at=(0.1, 8.9),
        panels=panels,
        steps=(Step("crack K", (6.3, 3.1), Estimate(-0.008, 0.001), None),),
        low_spots=(LowSpot((3.0, 4.4), 0.03, 6.0, 0.09),),
        pond_depth_m=pond,
        flow=(
            FlowPath(((1.0, 8.0), (2.0, 6.5), (3.0, 4.6)), False),
            FlowPath(((8.0, 4.0), (10.0, 3.2), (11.9, 2.4)), True),
            FlowPath(((6.0, 2.0), (5.0, 1.0), (4.4, 0.1)), True),
        ),
        triangulated_mean_m=DATUM - 0.1102,
        agreement=Check(
            "two surfaces", "height_m", 0.0002, "at most", 0.0016, "plus-or-minus of both"
        ),
        next_shot=NextShot((5.4, 7.9), 0.08, 0.07),
        fit=SurfaceFit(2.0, 0.02, 0.001, ()),
        shots_xy_m=xy,
        shots_m=np.array([p.height_m for p in heights.points]),
        shot_names=tuple(p.point for p in heights.points),
        assumptions=(Assumption("lattice", "150 mm", "no step was given"),),
        remarks=(),
        workings=(),
    )


def _newtop(wishes, plan, lattice, old, new, old_m, new_m, *, fits, pads):
    fight = Fight(
        rules=("big door height", "least fall to big door", "side door height"),
        changes=(
            Change(
                "side door height", 30.53, 30.55, "height_m", "Let the side door come up 3/4 in."
            ),
        ),
        says="The side door is too low for water to run from it to the big door.",
    )
    thick = new_m - old_m
    floor = plan.polygon()
    grid = [
        (x, y)
        for y in np.linspace(0, DEEP, 5)
        for x in np.linspace(0, WIDE, 6)
        if floor.buffer(0.01).contains(shapely.Point(x, y))
    ][:pads]
    made = tuple(
        Pad(
            f"{k + 1}",
            (float(x), float(y)),
            float(new.height_m([[x, y]])[0]),
            float(new.height_m([[x, y]])[0]),
            float((new.height_m([[x, y]]) - old.height_m([[x, y]]))[0]),
        )
        for k, (x, y) in enumerate(grid)
    )
    rule = RuleResult(
        Check(
            "least thickness",
            "thickness_m",
            0.0786,
            "at least",
            0.0785,
            "job.toml",
            where="panel A",
        ),
        True,
        14.2,
        0.003175,
        "m",
    )
    fall = RuleResult(
        Check("least fall", "fall", 0.0104, "at least", 0.0104, "job.toml"),
        False,
        None,
        0.001,
        "slope",
    )
    drainage = Drainage(
        0.0103, (3, 3), 0.0, 0.0, 0.0, None,
        (((2, 8.8), (2.2, 4), (2.4, 0.1)), ((11, 4.6), (10, 2), (4.9, 0.1))),
        1.0, 0.07, 0.2, 500,
    )  # fmt: skip
    good = TopOption(
        kind="plane",
        title="one plane",
        feasible=True,
        fight=None,
        surface=new,
        pads=made,
        facets=(plan.outline,),
        folds=(((NOTCH_X, NOTCH_Y), (6.3, 0.0)),),
        volume_m3=11.2,
        concrete_cost=2195.2,
        cost=2195.2,
        optimum_cost=2190.0,
        bound_cost=2190.0,
        thinnest_m=float(np.nanmin(thick)),
        thinnest_at=(0.3, 0.3),
        thickest_m=float(np.nanmax(thick)),
        thickest_at=(6.9, 8.7),
        mean_thickness_m=float(np.nanmean(thick)),
        rules=(rule, fall),
        drainage=drainage,
        passes=True,
        remarks=(Remark("warn", "The slot at the side door must be cut first."),),
    )
    bad = TopOption(kind="level", title="level", feasible=False, fight=fight, surface=None)
    options = (good, bad) if fits else (replace(bad, kind="plane", title="one plane"), bad)
    return NewTop(
        options=options,
        chosen="plane" if fits else None,
        lattice=lattice,
        top_m=new_m if fits else np.full_like(new_m, np.nan),
        thickness_m=thick if fits else np.full_like(new_m, np.nan),
        strips=(
            Strip("strip 1", ((0, 0), (6.3, 0), (6.3, DEEP), (0, DEEP))),
            Strip("strip 2", ((6.3, 0), (WIDE, 0), (WIDE, NOTCH_Y), (6.3, NOTCH_Y))),
        ),
        wishes=wishes,
        assumptions=(),
        remarks=(),
        workings=(),
    )


def _takeoff():
    total = Portion("whole floor", 87.8, Estimate(11.2, 0.08), 0.127, 0.079, 0.19)
    return Takeoff(
        total=total,
        panels=(replace(total, name="A", area_m2=56.7), replace(total, name="B", area_m2=31.1)),
        strips=(replace(total, name="strip 1"), replace(total, name="strip 2")),
        triangulated_m3=11.25,
        notebook=(
            NotebookAnswer("corner average", 9.1, -2.1, "sees only the corners"),
            NotebookAnswer("four-corner cells", None, None, "the shots lie on no full grid"),
        ),
        assumptions=(),
        remarks=(),
        workings=(),
    )


def _plant():
    return Plant(
        196.0, "USD", 7.65, 3.06, 90.0, 0.3823, 650.0, 60.0, Estimate(0.04, 0.02), "2026-04-01"
    )


def _order(job):
    return Order(
        in_place_m3=Estimate(11.2, 0.08),
        needed_m3=Estimate(11.65, 0.24),
        amount_m3=12.2329,
        chance_short=0.01,
        expected_left_m3=0.6,
        expected_cost=2500.0,
        choices=(
            AmountChoice(11.8511, 0.2, 0.3, 2560.0),
            AmountChoice(12.2329, 0.01, 0.6, 2500.0),
        ),
        loads=(Load(1, 7.65, True, ("strip 1",)), Load(2, 4.5829, False, ("strip 2",))),
        firm_m3=7.65,
        will_call_m3=4.5829,
        short_load_charge=0.0,
        mix=job.mix,
        mix_check=check_mix(job.mix, thinnest_m=0.09, truck_m3=7.65, units=job.units),
        plant=job.plant,
        assumptions=(),
        remarks=(),
        workings=(),
    )
