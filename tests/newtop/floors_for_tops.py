"""Made-up old floors of known shape, so that a top over them can be worked out by hand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from overslab.ground.estimate import Estimate
from overslab.ground.lattice import lattice_over
from overslab.handbook.checks import Check
from overslab.newtop.records import Edge, Outlet, Wishes
from overslab.oldslab.records import FloorPlan, OldSlab, SurfaceFit

Floats = NDArray[np.float64]
L_SHAPE = ((0.0, 0.0), (6.0, 0.0), (6.0, 6.0), (12.0, 6.0), (12.0, 12.0), (0.0, 12.0))


@dataclass(frozen=True)
class KnownSurface:
    """A surface given by a formula, with one standard deviation everywhere."""

    shape: Callable[[Floats, Floats], Floats]
    deviation: float = 0.0

    def height_m(self, xy_m: Floats) -> Floats:
        return self.shape(xy_m[:, 0], xy_m[:, 1]) + 0.0 * xy_m[:, 0]

    def deviation_m(self, xy_m: Floats) -> Floats:
        return np.full(len(xy_m), self.deviation)

    def weigh(self, xy_m: Floats, weights: Floats) -> tuple[Floats, Floats]:
        rows = np.atleast_2d(weights)
        return rows @ self.height_m(xy_m), (rows**2) @ self.deviation_m(xy_m) ** 2 * np.eye(1)


def box(width_m: float, depth_m: float) -> tuple[tuple[float, float], ...]:
    return ((0.0, 0.0), (width_m, 0.0), (width_m, depth_m), (0.0, depth_m))


def old_floor(
    plan: FloorPlan,
    shape: Callable[[Floats, Floats], Floats] = lambda x, y: 0.0 * (x + y),
    *,
    deviation_m: float = 0.0,
    step_m: float = 0.5,
    mean_m: float | None = None,
) -> OldSlab:
    """An old slab of known shape; ``mean_m`` is its exact mean if the lattice's will not do."""
    surface = KnownSurface(shape, deviation_m)
    polygon = plan.polygon()
    lattice = lattice_over(polygon, step_m=step_m)
    heights = surface.height_m(lattice.points_m)
    mean = float(heights.mean()) if mean_m is None else mean_m
    corners = np.array(plan.outline)
    return OldSlab(
        plan=plan,
        surface=surface,
        lattice=lattice,
        heights_m=lattice.spread(heights),
        deviations_m=lattice.spread(surface.deviation_m(lattice.points_m)),
        area_m2=polygon.area,
        mean_height_m=Estimate(mean=mean, deviation=0.0),
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
        agreement=Check("mean height", "height_m", 0.0, "at most", 1.0, "made up"),
        next_shot=None,
        fit=SurfaceFit(length_m=1.0, roughness_m=0.0, texture_m=0.0, on_bound=()),
        shots_xy_m=corners,
        shots_m=surface.height_m(corners),
        shot_names=tuple(f"P{number}" for number in range(len(corners))),
        assumptions=(),
        remarks=(),
        workings=(),
    )


def wishes_of(**changed: object) -> Wishes:
    """Plain wishes: one door on the front wall from (1, 0) to (4, 0), 1 to 4 percent, 50 mm."""
    plain: dict[str, object] = {
        "least_thickness_m": 0.05,
        "least_fall": 0.01,
        "greatest_fall": 0.04,
        "cross_fall": 0.02,
        "bend": 0.03,
        "straightedge_m": 3.0,
        "mark_m": 0.001,
        "concrete_cost_per_m3": 200.0,
        "currency": "EUR",
        "outlets": (Outlet("front door", ((1.0, 0.0), (4.0, 0.0))),),
        "kinds": ("plane", "planes", "strips", "level", "follow"),
    }
    return Wishes(**{**plain, **changed})  # type: ignore[arg-type]


def door(low_m: float | None, high_m: float | None, **changed: object) -> Edge:
    plain: dict[str, object] = {
        "name": "front door",
        "kind": "door",
        "a": (1.0, 0.0),
        "b": (4.0, 0.0),
        "lowest_m": low_m,
        "highest_m": high_m,
    }
    return Edge(**{**plain, **changed})  # type: ignore[arg-type]
