"""A small made-up job walked by hand: no room is run, every record is written down here."""

from __future__ import annotations

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
from overslab.job.records import Asked, Job, Walk
from overslab.newtop.records import (
    Change,
    Drainage,
    Fight,
    NewTop,
    Outlet,
    Pad,
    RuleResult,
    TopOption,
    Wishes,
)
from overslab.oldslab.records import FloorPlan, LowSpot, NextShot, OldSlab, Panel, Step, SurfaceFit
from overslab.order import check_mix
from overslab.order.records import AmountChoice, Load, MixAsked, Order, Plant
from overslab.shots.records import (
    Benchmark,
    Bump,
    Heights,
    PointHeight,
    Reading,
    SetupHeight,
    Survey,
    Suspect,
)
from overslab.takeoff.records import NotebookAnswer, Portion, Takeoff

INCH_M = 0.0254
YARD3_M3 = 0.764554857984
ONE = Estimate(mean=4.0 * YARD3_M3, deviation=0.1 * YARD3_M3)
ASSUMED = Assumption(about="air", taken="none", because="no air was asked for")
DRAINS = Check(
    name="least fall",
    quantity="least_fall",
    found=1 / 96,
    comparison="at least",
    allowed=1 / 96,
    source="the owner's wish",
)


class Flat:
    """A level surface that nothing asks anything of."""

    def height_m(self, xy_m: np.ndarray) -> np.ndarray:
        return np.zeros(len(xy_m))

    deviation_m = height_m

    def gradient(self, xy_m: np.ndarray) -> np.ndarray:
        return np.zeros((len(xy_m), 2))

    def weigh(self, xy_m: np.ndarray, weights: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        return weights @ self.height_m(xy_m), np.zeros((len(weights), len(weights)))


def made_up_job() -> Job:
    plan = FloorPlan(outline=((0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0)))
    survey = Survey(
        readings=(Reading(2, "A1", "1", 1.5, "floor", 1.0, 1.0, "", "4-11"),),
        benchmarks=(Benchmark("BM", 30.48, "bolt in the wall"),),
        convention="feet-inches",
        resolution_m=INCH_M / 16,
        rod_deviation_m=0.001,
        laser_slope=5e-5,
    )
    return Job(
        name="Made-up shed",
        place="nowhere",
        date="2026-05-04",
        made_up=True,
        units=Units("feet-inches", INCH_M / 16),
        survey=survey,
        plan=plan,
        asked=Asked(settled=made_up_wishes()),
        plant=made_up_plant(),
        mix=MixAsked(strength_pa=27579029.17, stone_m=0.75 * INCH_M, notes="no salt"),
        assumptions=(ASSUMED,),
    )


def made_up_wishes() -> Wishes:
    return Wishes(
        least_thickness_m=3 * INCH_M,
        least_fall=1 / 96,
        greatest_fall=1 / 24,
        cross_fall=1 / 48,
        bend=1 / 48,
        straightedge_m=3.0,
        mark_m=INCH_M / 8,
        concrete_cost_per_m3=200.0,
        currency="$",
        outlets=(Outlet("door", ((0.0, 0.0), (2.0, 0.0))),),
    )


def made_up_plant() -> Plant:
    return Plant(
        concrete_cost_per_m3=200.0,
        currency="$",
        truck_m3=10 * YARD3_M3,
        least_load_m3=4 * YARD3_M3,
        short_load_charge=150.0,
        order_step_m3=0.25 * YARD3_M3,
        short_cost=600.0,
        leftover_cost_per_m3=80.0,
        loss=Estimate(0.05, 0.02),
        price_date="2026-04-01",
    )


def made_up_heights() -> Heights:
    return Heights(
        points=(PointHeight("A1", "floor", 1.0, 1.0, 30.48, 0.0003, 2, ("1", "2"), (2, 9)),),
        covariance_m2=np.array([[2.5e-7]]),
        setups=(SetupHeight("1", 31.98, 0.0005, 1.5), SetupHeight("2", 31.7, 0.0006, None)),
        misclosures=(
            Check(
                "set-up 1 to 2", "misclosure_m", 0.001, "at most", 0.003, "our limit", where="A1"
            ),
        ),
        variance_factor=1.1,
        redundancy=1,
        suspects=(Suspect(9, "A1", "2", 1.4986, 0.3048, 30.0, "a foot", 1.1938, 1.1938, "repeat"),),
        bumps=(Bump("2", 7, (8, 9), 0.003, ("BM",), False, "Set-up 2 moved after line 7."),),
        collimation=None,
        convention="feet-inches",
        assumptions=(),
        remarks=(Remark("ask", "Read A1 again."), Remark("note", "Two set-ups.")),
        workings=(),
    )


def made_up_old_slab() -> OldSlab:
    plan = made_up_job().plan
    lattice = lattice_over(plan.polygon(), step_m=1.0)
    sheet = np.full(lattice.inside.shape, 30.48)
    return OldSlab(
        plan=plan,
        surface=Flat(),
        lattice=lattice,
        heights_m=sheet,
        deviations_m=sheet * 0,
        area_m2=24.0,
        mean_height_m=Estimate(30.48, 0.001),
        lowest_m=30.45,
        lowest_at=(1.0, 1.0),
        highest_m=30.50,
        highest_at=(5.0, 3.0),
        panels=(
            Panel(
                "A", shapely.box(0, 0, 6, 4), 24.0, 12, "panel", Estimate(30.48, 0.001), 0.01, 181
            ),
        ),
        steps=(Step("crack K", (3.0, 1.0), Estimate(0.009525, 0.001), 0.0127),),
        low_spots=(LowSpot((1.0, 1.0), 0.01905, 4.0, 0.02),),
        pond_depth_m=sheet * 0,
        flow=(),
        triangulated_mean_m=30.48,
        agreement=Check("mean heights", "height_m", 0.0, "at most", 0.002, "our limit"),
        next_shot=NextShot((2.0, 2.0), 0.10, 0.08),
        fit=SurfaceFit(2.0, 0.005, 0.001, ()),
        shots_xy_m=np.array([[1.0, 1.0]]),
        shots_m=np.array([30.48]),
        shot_names=("A1",),
        assumptions=(),
        remarks=(),
        workings=(),
    )


def made_up_option(*, feasible: bool = True) -> TopOption:
    if not feasible:
        fight = Fight(
            rules=("least thickness 3 in", "house door not above its sill"),
            changes=(
                Change("house door highest", 30.48, 30.4927, "height_m", "Raise the house door."),
            ),
            says="The floor cannot be 3 in thick and stay under the house door.",
        )
        return TopOption("level", "level", feasible=False, fight=fight, surface=None)
    return TopOption(
        "plane",
        "one plane to the door",
        feasible=True,
        fight=None,
        surface=Flat(),
        pads=(Pad("P1", (1.0, 1.0), 30.56, 30.5601, 3.25 * INCH_M),),
        volume_m3=4 * YARD3_M3,
        concrete_cost=600.0,
        moving_cost=0.0,
        cost=600.0,
        optimum_cost=598.0,
        bound_cost=597.5,
        left=("house door",),
        thinnest_m=3 * INCH_M,
        thickest_m=6 * INCH_M,
        mean_thickness_m=4 * INCH_M,
        rules=(
            RuleResult(DRAINS, binds=True, cost_per_step=12.5, step=1 / 96, step_unit="slope"),
            RuleResult(
                Check(
                    "least thickness",
                    "thickness_m",
                    0.0762,
                    "at least",
                    0.0762,
                    "the wish",
                    where="A1",
                ),
                binds=True,
                cost_per_step=30.0,
                step=INCH_M / 8,
                step_unit="m",
            ),
        ),
        drainage=Drainage(1 / 96, (2.0, 2.0), 0.0, 0.0, 0.0, None, (), 1.0, 0.07, 0.2, 100),
        passes=True,
    )


def made_up_new_top(*, feasible: bool = True) -> NewTop:
    lattice = lattice_over(made_up_job().plan.polygon(), step_m=1.0)
    sheet = np.full(lattice.inside.shape, 30.56)
    level = made_up_option(feasible=False)
    return NewTop(
        options=(made_up_option(), level) if feasible else (level,),
        chosen="plane" if feasible else None,
        lattice=lattice,
        top_m=sheet,
        thickness_m=sheet * 0 + 0.08,
        strips=(),
        wishes=made_up_wishes(),
        assumptions=(),
        remarks=(Remark("warn", "The house door stays as it is."),),
        workings=(),
    )


def made_up_takeoff() -> Takeoff:
    total = Portion("whole floor", 24.0, ONE, 4 * INCH_M, 3 * INCH_M, 6 * INCH_M)
    return Takeoff(
        total=total,
        panels=(total,),
        strips=(),
        triangulated_m3=4.02 * YARD3_M3,
        notebook=(
            NotebookAnswer("corner average", 5 * YARD3_M3, 1 * YARD3_M3, "the four corners"),
            NotebookAnswer("four-corner cells", None, None, "the shots are on no grid"),
        ),
        assumptions=(),
        remarks=(),
        workings=(),
    )


def made_up_order() -> Order:
    choice = AmountChoice(4.5 * YARD3_M3, 0.04, 0.4 * YARD3_M3, 760.0)
    return Order(
        in_place_m3=ONE,
        needed_m3=Estimate(4.2 * YARD3_M3, 0.15 * YARD3_M3),
        amount_m3=4.5 * YARD3_M3,
        chance_short=0.04,
        expected_left_m3=0.4 * YARD3_M3,
        expected_cost=760.0,
        choices=(choice,),
        loads=(Load(1, 4 * YARD3_M3, True, ("S1",)), Load(2, 0.5 * YARD3_M3, False, ("S2",))),
        firm_m3=4 * YARD3_M3,
        will_call_m3=0.5 * YARD3_M3,
        short_load_charge=150.0,
        mix=made_up_job().mix,
        mix_check=check_mix(
            made_up_job().mix, thinnest_m=0.09, truck_m3=7.65, units=made_up_job().units
        ),
        plant=made_up_plant(),
        assumptions=(),
        remarks=(),
        workings=(),
    )


def made_up_walk(*, feasible: bool = True) -> Walk:
    return Walk(
        job=made_up_job(),
        shots=made_up_heights(),
        oldslab=made_up_old_slab(),
        verdict=made_up_verdict(),
        newtop=made_up_new_top(feasible=feasible),
        touches=made_up_touches() if feasible else None,
        takeoff=made_up_takeoff() if feasible else None,
        order=made_up_order() if feasible else None,
        price=made_up_bid() if feasible else None,
    )
