"""A struck top of 20,000 pads: building and solving against the solver's own time, and cvxpy.

The floor is a large dished slab with long waves and a wall of doors along its front. Ours is timed
from the wishes to the heights: pad lines, ways of the water, every rule as rows, solver, prices.
The solver's own time is what HiGHS spends inside ``run`` meanwhile. cvxpy is handed the finished
rows and the same solver: it builds the same model and hands it over whole. Because the solver then
takes more than a quarter of an hour at 20,000 pads, cvxpy gets a smaller floor of the same sort
unless asked otherwise.
"""

from __future__ import annotations

import argparse
import time

import cvxpy
import numpy as np
from numpy.typing import NDArray

from overslab.ground.estimate import Estimate
from overslab.ground.lattice import lattice_over
from overslab.ground.programme import Programme, solve
from overslab.handbook.checks import Check
from overslab.newtop.model import Model, strips_model
from overslab.newtop.padlines import grid_pads
from overslab.newtop.records import Outlet, Wishes
from overslab.newtop.site import prepare
from overslab.oldslab.records import FloorPlan, OldSlab, SurfaceFit

Floats = NDArray[np.float64]
GOAL = 1.2
SPAN_M = 1.8  # between pad lines
SMALLER = 3  # cvxpy gets a floor with this share of the bays either way


class Waves:
    """An old floor by formula: a dish with long waves, known everywhere."""

    def __init__(self, *, width_m: float, depth_m: float) -> None:
        self.width_m, self.depth_m = width_m, depth_m

    def height_m(self, xy_m: Floats) -> Floats:
        x, y = xy_m[:, 0], xy_m[:, 1]
        dish = ((x / self.width_m - 0.5) ** 2 + (y / self.depth_m - 0.5) ** 2) * 0.2
        return dish + 0.02 * np.sin(x / 9.0) * np.cos(y / 7.0) + 0.006 * np.sin(x / 2.3 + y / 3.1)

    def deviation_m(self, xy_m: Floats) -> Floats:
        return np.full(len(xy_m), 0.002)

    def weigh(self, xy_m: Floats, weights: Floats) -> tuple[Floats, Floats]:
        rows = np.atleast_2d(weights)
        return rows @ self.height_m(xy_m), np.zeros((len(rows), len(rows)))


def made_up_floor(*, across: int, deep: int) -> tuple[OldSlab, Wishes]:
    """A floor of ``across`` by ``deep`` bays, and plain wishes for it."""
    width_m, depth_m = across * SPAN_M, deep * SPAN_M
    outline = ((0.0, 0.0), (width_m, 0.0), (width_m, depth_m), (0.0, depth_m))
    plan = FloorPlan(outline=outline)
    surface = Waves(width_m=width_m, depth_m=depth_m)
    lattice = lattice_over(plan.polygon(), step_m=SPAN_M / 2)
    heights = surface.height_m(lattice.points_m)
    shots = lattice.points_m[::40]
    mean = float(heights.mean())
    oldslab = OldSlab(
        plan=plan,
        surface=surface,
        lattice=lattice,
        heights_m=lattice.spread(heights),
        deviations_m=lattice.spread(surface.deviation_m(lattice.points_m)),
        area_m2=plan.polygon().area,
        mean_height_m=Estimate(mean, 0.001),
        lowest_m=float(heights.min()),
        lowest_at=(0.0, 0.0),
        highest_m=float(heights.max()),
        highest_at=(0.0, 0.0),
        panels=(),
        steps=(),
        low_spots=(),
        pond_depth_m=lattice.spread(np.zeros(len(heights))),
        flow=(),
        triangulated_mean_m=mean,
        agreement=Check("mean height", "height_m", mean, "at most", mean, "made up"),
        next_shot=None,
        fit=SurfaceFit(length_m=9.0, roughness_m=0.02, texture_m=0.0, on_bound=()),
        shots_xy_m=shots,
        shots_m=surface.height_m(shots),
        shot_names=tuple(f"P{number}" for number in range(len(shots))),
        assumptions=(),
        remarks=(),
        workings=(),
    )
    wishes = Wishes(
        least_thickness_m=0.0762,
        least_fall=0.004,
        greatest_fall=0.05,
        cross_fall=0.02,
        bend=0.02,
        straightedge_m=SPAN_M + 0.61,
        mark_m=0.0254 / 16,
        concrete_cost_per_m3=215.0,
        currency="$",
        outlets=(Outlet("front", ((0.0, 0.0), (width_m, 0.0))),),
    )
    return oldslab, wishes


def ours(oldslab: OldSlab, wishes: Wishes) -> tuple[Model, float, dict[str, float]]:
    """The model, its least cost, and the seconds of each stage."""
    start = time.perf_counter()
    site = prepare(oldslab, wishes)
    model = strips_model(site, grid_pads(site))
    programme = model.programme()
    built = time.perf_counter()
    answer = solve(programme, core=model.core())
    solved = model.read(answer)
    end = time.perf_counter()
    seconds = {"build": built - start, "solver": answer.solver_s, "all": end - start}
    if answer.status != "optimal":
        raise SystemExit(f"the made-up floor has no top: {answer.status}")
    return model, solved.cost, seconds


def by_cvxpy(programme: Programme) -> tuple[float, float]:
    """Least cost and seconds of the same rows and the same solver through cvxpy."""
    start = time.perf_counter()
    heights = cvxpy.Variable(len(programme.cost))
    below, above = np.isfinite(programme.row_low), np.isfinite(programme.row_high)
    problem = cvxpy.Problem(
        cvxpy.Minimize(programme.cost @ heights + programme.offset),
        [
            programme.rows[np.flatnonzero(below)] @ heights >= programme.row_low[below],
            programme.rows[np.flatnonzero(above)] @ heights <= programme.row_high[above],
            heights >= programme.low,
            heights <= programme.high,
        ],
    )
    cost = problem.solve(solver=cvxpy.HIGHS)
    return float(cost), time.perf_counter() - start


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--across", type=int, default=199, help="bays along the front")
    ask.add_argument("--deep", type=int, default=99, help="bays from front to back")
    ask.add_argument("--whole", action="store_true", help="hand cvxpy the large floor too")
    given = ask.parse_args()
    _, _, large_s = told(across=given.across, deep=given.deep)
    ratio = large_s["all"] / large_s["solver"]
    met = "met" if ratio <= GOAL else "missed"
    print(f"  ours / inside the solver {ratio:8.2f}   goal at most {GOAL}: {met}")
    share = 1 if given.whole else SMALLER
    model, cost, seconds = told(across=given.across // share, deep=given.deep // share)
    other, other_s = by_cvxpy(model.programme())
    print(f"  cvxpy, the same rows     {other_s:8.2f} s")
    print(f"  ours / cvxpy             {seconds['all'] / other_s:8.2f}")
    gap = abs(cost - other) / abs(cost)
    print(f"  least costs differ by {gap:.1e} of themselves")
    if gap > 1e-5:
        raise SystemExit("the two least costs differ")


def told(*, across: int, deep: int) -> tuple[Model, float, dict[str, float]]:
    """One floor built and solved, with its times printed."""
    model, cost, seconds = ours(*made_up_floor(across=across, deep=deep))
    programme = model.programme()
    rows, columns = programme.rows.shape
    print(f"top: {columns} pads, {rows} rows, {programme.rows.nnz} entries")
    print(f"  build                    {seconds['build']:8.2f} s")
    print(f"  inside the solver        {seconds['solver']:8.2f} s")
    print(f"  build and solve          {seconds['all']:8.2f} s")
    return model, cost, seconds


if __name__ == "__main__":
    main()
