"""A floor 8 by 6 m with walls at its sides, an old and a new surface of closed form, and facts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from overslab.ground.estimate import Estimate
from overslab.ground.lattice import lattice_over
from overslab.handbook.checks import Check
from overslab.newtop.records import Edge, NewTop, Outlet, TopOption, Wishes
from overslab.oldslab.records import FloorPlan, Hole, OldSlab, SurfaceFit
from overslab.touches import Touch, Touches, TouchFacts, meet

INCH = 0.0254
WIDE, DEEP = 8.0, 6.0
FRONT = ((2.0, 0.0), (5.0, 0.0))  # a line along the front wall
Surface = Callable[[Any, Any], Any]


@dataclass(frozen=True)
class Shape:
    """z = f(x, y)."""

    f: Surface

    def height_m(self, xy_m: np.ndarray) -> np.ndarray:
        xy_m = np.asarray(xy_m, dtype=float).reshape(-1, 2)
        return np.broadcast_to(self.f(xy_m[:, 0], xy_m[:, 1]), len(xy_m)).astype(float)

    def gradient(self, xy_m: np.ndarray) -> np.ndarray:
        return np.zeros_like(xy_m)

    def deviation_m(self, xy_m: np.ndarray) -> np.ndarray:
        return np.zeros(len(xy_m))

    def weigh(self, xy_m: np.ndarray, weights: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        return weights @ self.height_m(xy_m), np.zeros((len(weights), len(weights)))


def level(height_m: float) -> Shape:
    return Shape(lambda x, _y: height_m + 0 * x)


def old_slab(surface: Shape, *, holes: tuple[Hole, ...] = ()) -> OldSlab:
    outline = ((0.0, 0.0), (WIDE, 0.0), (WIDE, DEEP), (0.0, DEEP))
    plan = FloorPlan(outline=outline, holes=holes)
    lattice = lattice_over(plan.polygon(), step_m=0.5)
    nothing = np.where(lattice.inside, 0.0, np.nan)
    at = np.asarray(outline)
    return OldSlab(
        plan=plan, surface=surface, lattice=lattice, heights_m=nothing, deviations_m=nothing,
        area_m2=WIDE * DEEP, mean_height_m=Estimate(0.0, 0.0), lowest_m=0.0,
        lowest_at=(0.0, 0.0), highest_m=0.0, highest_at=(0.0, 0.0), panels=(), steps=(),
        low_spots=(), pond_depth_m=nothing, flow=(), triangulated_mean_m=0.0,
        agreement=Check("mean height", "height_m", 0.0, "at most", 1.0, "made up"),
        next_shot=None, fit=SurfaceFit(1.0, 0.0, 0.0, ()), shots_xy_m=at,
        shots_m=surface.height_m(at), shot_names=("1", "2", "3", "4"), assumptions=(),
        remarks=(), workings=(),
    )  # fmt: skip


def new_top(
    surface: Shape | None,
    *,
    moved: tuple[str, ...] = (),
    edges: tuple[Edge, ...] = (),
    outlets: tuple[Outlet, ...] = (),
) -> NewTop:
    wishes = Wishes(
        least_thickness_m=0.075, least_fall=0.01, greatest_fall=0.04, cross_fall=0.04, bend=0.04,
        straightedge_m=3.0, mark_m=INCH / 8, concrete_cost_per_m3=200.0, currency="$",
        outlets=outlets, edges=edges,
    )  # fmt: skip
    option = TopOption(
        kind="plane", title="one plane", feasible=True, fight=None, surface=surface, moved=moved
    )
    lattice = lattice_over(old_slab(level(0.0)).plan.polygon(), step_m=1.0)
    return NewTop(
        options=(option,) if surface else (), chosen="plane" if surface else None,
        lattice=lattice, top_m=np.zeros((6, 8)), thickness_m=np.zeros((6, 8)), strips=(),
        wishes=wishes, assumptions=(), remarks=(), workings=(),
    )  # fmt: skip


def raised(
    by_m: float,
    *,
    old: Shape | None = None,
    holes: tuple[Hole, ...] = (),
    moved: tuple[str, ...] = (),
    edges: tuple[Edge, ...] = (),
    outlets: tuple[Outlet, ...] = (),
    **facts: Any,
) -> Touches:
    """What the floor upsets when all of it is raised by the same."""
    before = old or level(0.0)
    after = Shape(lambda x, y: before.f(x, y) + by_m)
    top = new_top(after, moved=moved, edges=edges, outlets=outlets)
    return meet(old_slab(before, holes=holes), top, TouchFacts(**facts))


def tilted(top: Surface, *, outlets: tuple[Outlet, ...] = (), **facts: Any) -> Touches:
    """A new top of any shape over a level old floor at height 0."""
    return meet(old_slab(level(0.0)), new_top(Shape(top), outlets=outlets), TouchFacts(**facts))


def only(touches: Touches) -> Touch:
    """The one touch there is."""
    (touch,) = touches.touches
    return touch


def check(touch: Touch, word: str) -> Check:
    """The one check with this word in its name."""
    (found,) = (one for one in touch.checks if word in one.name)
    return found
