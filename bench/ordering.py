"""500 made-up floors of known truth: how often short and how much left over, by hand and by us.

A floor is a tilted, dished slab with long waves. It is shot on a taped grid with a rod that reads
to 1/16 in and errs a little. A level top stands the least thickness above the highest shot. Each
hand method of the takeoff orders its volume and ten percent, up to the next step of the plant; ours
orders what the order room says. Then the true volume is poured, with a loss that nobody knew
beforehand. What every method paid beyond the bare concrete is compared with ours.
"""

from __future__ import annotations

import argparse
import math
import os
import time
from collections import defaultdict
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import dataclass
from itertools import pairwise
from multiprocessing import get_context

import numpy as np
from numpy.typing import NDArray

from overslab.ground.estimate import Estimate
from overslab.ground.lattice import lattice_over
from overslab.newtop import NewTop, Strip, TopOption, Wishes
from overslab.newtop.records import Outlet
from overslab.oldslab import FloorPlan, OldSlab, shape
from overslab.order import MixAsked, Plant, order
from overslab.shots import Heights, PointHeight
from overslab.takeoff import measure

Floats = NDArray[np.float64]
YARD3_M3 = 0.764554857984
MARK_M = 0.0254 / 16
READING_DEVIATION_M = 0.0015
LEAST_THICKNESS_M = 0.0762
PLAIN_WASTE = 1.10
PLANT = Plant(
    concrete_cost_per_m3=215.0,
    currency="$",
    truck_m3=10 * YARD3_M3,
    least_load_m3=3 * YARD3_M3,
    short_load_charge=150.0,
    order_step_m3=0.5 * YARD3_M3,
    short_cost=700.0,
    leftover_cost_per_m3=52.0,
    loss=Estimate(0.05, 0.02),
    price_date="2026-11-01",
)
OURS = "ours"


@dataclass(frozen=True, slots=True)
class Level:
    """A level top; stands in for the solver, which has a bench of its own."""

    top_m: float

    def height_m(self, xy_m: Floats) -> Floats:
        return np.full(len(xy_m), self.top_m)

    def gradient(self, xy_m: Floats) -> Floats:
        return np.zeros((len(xy_m), 2))


@dataclass(frozen=True, slots=True)
class Outcome:
    method: str
    short: bool
    left_m3: float
    need_m3: float
    extra: float  # money beyond the bare concrete that the floor took
    promised: float | None = None  # chance of running short that the order stated


def made_up_floor(dice: np.random.Generator) -> tuple[float, float, Callable[[Floats], Floats]]:
    """Sides and true height of a slab that settled."""
    long_m, wide_m = dice.uniform(6, 13), dice.uniform(4.5, 9)
    tilt = dice.normal(0, 0.004, 2)
    dish_m = dice.normal(-0.025, 0.025)
    centre = np.array([long_m, wide_m]) * dice.uniform(0.3, 0.7, 2)
    reach = np.array([long_m, wide_m]) * dice.uniform(0.35, 0.7, 2)
    waves = [
        (
            dice.normal(0, 0.002),
            dice.normal(0, 2 * math.pi / dice.uniform(2.5, 7), 2),
            dice.uniform(0, 7),
        )
        for _ in range(6)
    ]

    def height_m(xy_m: Floats) -> Floats:
        dish = dish_m * np.exp(-0.5 * (((xy_m - centre) / reach) ** 2).sum(axis=1))
        total = 30 + xy_m @ tilt + dish
        for size_m, number, phase in waves:
            total = total + size_m * np.cos(xy_m @ number + phase)
        return np.asarray(total)

    return long_m, wide_m, height_m


def shoot(
    dice: np.random.Generator, *, long_m: float, wide_m: float, truth: Callable[[Floats], Floats]
) -> Heights:
    """A taped grid of about 5 ft with its edges, read to the mark."""
    across = np.linspace(0, long_m, math.ceil(long_m / 1.6) + 1)
    up = np.linspace(0, wide_m, math.ceil(wide_m / 1.6) + 1)
    xy_m = np.array([(x, y) for y in up for x in across])
    read = truth(xy_m) + dice.normal(0, READING_DEVIATION_M, len(xy_m))
    read = np.round(read / MARK_M) * MARK_M
    deviation_m = math.hypot(READING_DEVIATION_M, MARK_M / math.sqrt(12))
    points = tuple(
        PointHeight(
            point=f"P{place}",
            kind="floor",
            x_m=float(x),
            y_m=float(y),
            height_m=float(z),
            standard_error_m=deviation_m,
            readings=1,
            setups=("1",),
            lines=(place + 2,),
        )
        for place, ((x, y), z) in enumerate(zip(xy_m, read, strict=True))
    )
    return Heights(
        points=points,
        covariance_m2=np.eye(len(points)) * deviation_m**2,
        setups=(),
        misclosures=(),
        variance_factor=None,
        redundancy=0,
        suspects=(),
        bumps=(),
        collimation=None,
        convention="feet-inches",
        assumptions=(),
        remarks=(),
        workings=(),
    )


def level_top(oldslab: OldSlab, *, top_m: float, long_m: float, wide_m: float) -> NewTop:
    """The record of a level top with strips across the floor."""
    corners = ((0.0, 0.0), (long_m, 0.0), (long_m, wide_m), (0.0, wide_m))
    count = math.ceil(long_m / 3)
    cuts = np.linspace(0, long_m, count + 1).tolist()
    inside = oldslab.lattice.inside
    surface = Level(top_m)
    return NewTop(
        options=(
            TopOption(
                kind="level",
                title="Level",
                feasible=True,
                fight=None,
                surface=surface,
                facets=(corners,),
                passes=True,
            ),
        ),
        chosen="level",
        lattice=oldslab.lattice,
        top_m=np.where(inside, top_m, np.nan),
        thickness_m=top_m - oldslab.heights_m,
        strips=tuple(
            Strip(f"strip {place + 1}", ((a, 0.0), (b, 0.0), (b, wide_m), (a, wide_m)))
            for place, (a, b) in enumerate(pairwise(cuts))
        ),
        wishes=Wishes(
            least_thickness_m=LEAST_THICKNESS_M,
            least_fall=0.0,
            greatest_fall=0.02,
            cross_fall=0.02,
            bend=0.02,
            straightedge_m=3.0,
            mark_m=MARK_M,
            concrete_cost_per_m3=PLANT.concrete_cost_per_m3,
            currency=PLANT.currency,
            outlets=(Outlet("front", ((0.0, 0.0), (long_m, 0.0))),),
        ),
        assumptions=(),
        remarks=(),
        workings=(),
    )


def settle(
    *, method: str, amount_m3: float, need_m3: float, promised: float | None = None
) -> Outcome:
    """What an amount cost once the floor had taken what it took."""
    short = need_m3 > amount_m3
    left_m3 = max(0.0, amount_m3 - need_m3)
    # A short last load is filled up from the one before it; a lone one cannot be.
    charge = PLANT.short_load_charge if amount_m3 < PLANT.least_load_m3 - 1e-9 else 0.0
    extra = left_m3 * (PLANT.concrete_cost_per_m3 + PLANT.leftover_cost_per_m3)
    return Outcome(
        method=method,
        short=short,
        left_m3=left_m3,
        need_m3=need_m3,
        extra=extra + PLANT.short_cost * short + charge,
        promised=promised,
    )


def one_floor(seed: int) -> list[Outcome]:
    dice = np.random.default_rng(seed)
    long_m, wide_m, truth = made_up_floor(dice)
    heights = shoot(dice, long_m=long_m, wide_m=wide_m, truth=truth)
    plan = FloorPlan(
        outline=((0.0, 0.0), (long_m, 0.0), (long_m, wide_m), (0.0, wide_m)),
        openings=(((0.0, 0.0), (long_m, 0.0)),),
    )
    top_m = max(point.height_m for point in heights.points) + LEAST_THICKNESS_M
    fine = lattice_over(plan.polygon(), step_m=0.05)
    # The lattice covers the floor in whole cells; the mean is taken on cells that lie on it.
    mean_m = float(top_m - truth(fine.points_m).mean())
    need_m3 = mean_m * long_m * wide_m * (1 + dice.normal(PLANT.loss.mean, PLANT.loss.deviation))

    oldslab = shape(plan, heights, lattice_step_m=0.3)
    newtop = level_top(oldslab, top_m=top_m, long_m=long_m, wide_m=wide_m)
    takeoff = measure(oldslab, newtop)
    placed = order(takeoff, PLANT, MixAsked())
    outcomes = [
        settle(
            method=OURS,
            amount_m3=placed.amount_m3,
            need_m3=need_m3,
            promised=placed.chance_short,
        )
    ]
    for answer in takeoff.notebook:
        if answer.volume_m3 is None:
            continue
        steps = math.ceil(answer.volume_m3 * PLAIN_WASTE / PLANT.order_step_m3 - 1e-9)
        amount_m3 = steps * PLANT.order_step_m3
        outcomes.append(
            settle(method=f"{answer.method} + 10 %", amount_m3=amount_m3, need_m3=need_m3)
        )
    return outcomes


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--floors", type=int, default=500)
    asked.add_argument("--minutes", type=float, default=4.0, help="stop after this long")
    wanted = asked.parse_args()
    until = time.monotonic() + 60 * wanted.minutes
    by_method: dict[str, list[Outcome]] = defaultdict(list)
    floors = 0
    # One thread a process: the floors are small and the processes are many.
    os.environ.update(OMP_NUM_THREADS="1", OPENBLAS_NUM_THREADS="1")
    with ProcessPoolExecutor(mp_context=get_context("spawn")) as crew:
        waiting = [crew.submit(one_floor, 1000 + number) for number in range(wanted.floors)]
        for done in as_completed(waiting):
            if not done.cancelled():
                floors += 1
                for outcome in done.result():
                    by_method[outcome.method].append(outcome)
            if time.monotonic() > until:
                crew.shutdown(wait=True, cancel_futures=True)
                break
    print(f"ordering on {floors} made-up floors (of {wanted.floors} asked for)")
    print(f"{'method':44}{'floors':>7}{'short':>8}{'left over':>11}{'extra cost':>12}{'ratio':>7}")
    ours = float(np.mean([one.extra for one in by_method[OURS]]))
    for method, outcomes in sorted(by_method.items(), key=lambda item: (item[0] != OURS, item[0])):
        short = np.mean([one.short for one in outcomes])
        left = np.mean([one.left_m3 / one.need_m3 for one in outcomes])
        extra = float(np.mean([one.extra for one in outcomes]))
        print(
            f"{method:44}{len(outcomes):7}{short:8.1%}{left:11.1%}{extra:12.0f}{extra / ours:7.2f}"
        )
    promised = np.mean([one.promised for one in by_method[OURS] if one.promised is not None])
    print(f"the chance of running short that ours stated, mean over the floors: {promised:.1%}")
    print("left over: mean share of the need; extra cost: $ beyond the bare concrete, mean")


if __name__ == "__main__":
    main()
