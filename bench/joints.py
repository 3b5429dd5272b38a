"""Joints laid out: ours against the plain grid, and against the same rules all at once.

Floors are made up: a level top over a dished old floor with long waves. *Ours* is the whole layout
with its three goals and the second look. *All at once* hands HiGHS every rule of the first goal as
one programme, in place of those that are broken alone; both least lengths must agree.
"""

from __future__ import annotations

import time
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from overslab.ground.estimate import Estimate
from overslab.ground.lattice import lattice_over
from overslab.ground.programme import Answer, solve
from overslab.handbook.checks import Check
from overslab.newtop.records import Edge, NewTop, TopOption, Wishes
from overslab.oldslab.records import FloorPlan, Hole, OldSlab, SurfaceFit
from overslab.takeoff import lay_joints
from overslab.takeoff.asked import JointsAsked
from overslab.takeoff.joint_programme import Model

Floats = NDArray[np.float64]
Points = tuple[tuple[float, float], ...]
FOOT, INCH = 0.3048, 0.0254
MOST_RULES = 40_000  # more at once would hold the machine for minutes


@dataclass(frozen=True, slots=True)
class Sunk:
    """An old floor that sank: a dish with long waves, ``least_m`` under the top at the least."""

    long_m: float
    wide_m: float
    least_m: float

    def height_m(self, xy_m: Floats) -> Floats:
        x, y = xy_m[:, 0] / self.long_m, xy_m[:, 1] / self.wide_m
        dish = 0.06 * np.sin(np.pi * x) * np.sin(np.pi * y)
        wave = 0.006 * (1 + np.cos(7 * x + 3 * y))
        return np.asarray(-self.least_m - dish - wave)

    def deviation_m(self, xy_m: Floats) -> Floats:
        return np.full(len(xy_m), 0.002)

    def weigh(self, xy_m: Floats, weights: Floats) -> tuple[Floats, Floats]:
        return weights @ self.height_m(xy_m), np.zeros((len(weights), len(weights)))


@dataclass(frozen=True, slots=True)
class Level:
    def height_m(self, xy_m: Floats) -> Floats:
        return np.zeros(len(xy_m))

    def gradient(self, xy_m: Floats) -> Floats:
        return np.zeros((len(xy_m), 2))


def sunk_floor(
    outline: Points, *, least_m: float, posts: Points, doors: tuple[Points, ...]
) -> tuple[OldSlab, NewTop]:
    """A level top over a sunk floor."""
    half = 3 * INCH
    holes = tuple(
        Hole(
            f"post {number}",
            (
                (x - half, y - half),
                (x + half, y - half),
                (x + half, y + half),
                (x - half, y + half),
            ),
        )
        for number, (x, y) in enumerate(posts, start=1)
    )
    plan = FloorPlan(outline=outline, holes=holes)
    polygon = plan.polygon()
    lattice = lattice_over(polygon, step_m=0.12)
    old = Sunk(*polygon.bounds[2:], least_m)
    thick = lattice.spread(-old.height_m(lattice.points_m))
    zero = np.where(lattice.inside, 0.0, np.nan)
    oldslab = OldSlab(
        plan=plan,
        surface=old,
        lattice=lattice,
        heights_m=-thick,
        deviations_m=zero,
        area_m2=float(polygon.area),
        mean_height_m=Estimate(0.0, 0.0),
        lowest_m=0.0,
        lowest_at=(0.0, 0.0),
        highest_m=0.0,
        highest_at=(0.0, 0.0),
        panels=(),
        steps=(),
        low_spots=(),
        pond_depth_m=zero,
        flow=(),
        triangulated_mean_m=0.0,
        agreement=Check("mean height", "height_m", 0.0, "at most", 1.0, "made up"),
        next_shot=None,
        fit=SurfaceFit(1.0, 0.0, 0.0, ()),
        shots_xy_m=np.zeros((0, 2)),
        shots_m=np.zeros(0),
        shot_names=(),
        assumptions=(),
        remarks=(),
        workings=(),
    )
    wishes = Wishes(
        least_thickness_m=least_m,
        least_fall=0.0,
        greatest_fall=0.02,
        cross_fall=0.02,
        bend=0.02,
        straightedge_m=3.0,
        mark_m=INCH / 16,
        concrete_cost_per_m3=200.0,
        currency="$",
        outlets=(),
        edges=tuple(
            Edge(f"door {number}", "door", a, b, None, None)
            for number, (a, b) in enumerate(doors, start=1)
        ),
    )
    top = TopOption(
        kind="level",
        title="level",
        feasible=True,
        fight=None,
        surface=Level(),
        thinnest_m=float(np.nanmin(thick)),
    )
    newtop = NewTop(
        options=(top,),
        chosen="level",
        lattice=lattice,
        top_m=zero,
        thickness_m=thick,
        strips=(),
        wishes=wishes,
        assumptions=(),
        remarks=(),
        workings=(),
    )
    return oldslab, newtop


def feet(*places: tuple[float, float]) -> Points:
    return tuple((x * FOOT, y * FOOT) for x, y in places)


FLOORS: dict[str, tuple[OldSlab, NewTop]] = {
    "garage, 24 x 24 ft": sunk_floor(
        feet((0, 0), (24, 0), (24, 24), (0, 24)),
        least_m=3.5 * INCH,
        posts=feet((12, 12)),
        doors=(feet((4, 0), (20, 0)),),
    ),
    "shop, an L of 40 x 30 ft": sunk_floor(
        feet((0, 0), (40, 0), (40, 20), (24, 20), (24, 30), (0, 30)),
        least_m=3.1 * INCH,
        posts=feet((18, 22), (32.5, 7.5)),
        doors=(feet((6, 0), (18, 0)), feet((27, 0), (37, 0)), feet((14, 30), (17, 30))),
    ),
    "barn, 80 x 40 ft": sunk_floor(
        feet((0, 0), (80, 0), (80, 40), (0, 40)),
        least_m=4.0 * INCH,
        posts=feet((20, 20), (40, 20), (60, 20)),
        doors=(feet((34, 0), (46, 0)),),
    ),
    "hall, an L of 1000 m2": sunk_floor(
        ((0.0, 0.0), (40.0, 0.0), (40.0, 20.0), (20.0, 20.0), (20.0, 30.0), (0.0, 30.0)),
        least_m=0.11,
        posts=(),
        doors=(((10.0, 0.0), (14.0, 0.0)),),
    ),
}


def all_at_once(model: Model) -> tuple[float, float]:
    """Least cost and seconds with every rule there from the start."""
    start = time.perf_counter()
    answer = solve(model.programme(), priced=False)
    return answer.cost, time.perf_counter() - start


@dataclass(slots=True)
class Watched:
    """The programmes of the first goal as they are solved, and the seconds they take."""

    models: list[Model] = field(default_factory=list)
    seconds: float = 0.0
    cost: float = 0.0

    def solve(self, model: Model, **limits: int | None) -> Answer:
        start = time.perf_counter()
        answer = SOLVE(model, **limits)
        self.seconds += time.perf_counter() - start
        self.cost = answer.cost
        self.models.append(model)
        return answer


SOLVE = Model.solve


def main() -> None:
    asked = JointsAsked("sawn")
    print("joints: seconds, length, panels; the plain grid; the first goal in two ways")
    differ = False
    for name, (oldslab, newtop) in FLOORS.items():
        watched = Watched()
        Model.solve = lambda model, by=watched, **limits: by.solve(model, **limits)  # type: ignore[method-assign]
        start = time.perf_counter()
        found = lay_joints(oldslab, newtop, asked, system="unbonded")
        seconds = time.perf_counter() - start
        print(f"  {name}: {found.proof.lines_considered} lines, {found.proof.rules} rules")
        print(
            f"    ours         {seconds:7.2f} s {found.length_m:8.2f} m {len(found.panels):4d} "
            f"panels, gap {found.proof.gap:.0e}; not met: {unmet(found.checks)}"
        )
        print(
            f"    plain grid             {found.plain.length_m:8.2f} m {found.plain.panels:4d} "
            f"panels; not met: {unmet(found.plain.checks)}"
        )
        if found.proof.rules > MOST_RULES:
            print(f"    first goal   {watched.seconds:7.2f} s, all rules at once not tried")
            continue
        plainly, plainly_s = all_at_once(watched.models[-1])
        differ |= abs(watched.cost - plainly) > 1e-4
        print(f"    first goal   {watched.seconds:7.2f} s, all rules at once {plainly_s:7.2f} s")
    if differ:
        raise SystemExit("the two least lengths differ")


def unmet(checks: tuple[Check, ...]) -> str:
    return ", ".join(check.name for check in checks if not check.passes) or "none"


if __name__ == "__main__":
    main()
