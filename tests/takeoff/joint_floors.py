"""Small made-up floors for the tests of joints: a level top over an old floor by formula."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from overslab.ground.estimate import Estimate
from overslab.ground.lattice import lattice_over
from overslab.handbook.checks import Check
from overslab.newtop.records import Edge, NewTop, Strip, TopOption, Wishes
from overslab.oldslab.records import FloorPlan, OldSlab, SurfaceFit

FOOT, INCH = 0.3048, 0.0254
Points = tuple[tuple[float, float], ...]
Thickness = Callable[[np.ndarray, np.ndarray], Any]


@dataclass(frozen=True)
class Formula:
    f: Thickness

    def height_m(self, xy_m: np.ndarray) -> np.ndarray:
        xy_m = np.asarray(xy_m, dtype=float).reshape(-1, 2)
        return np.broadcast_to(self.f(xy_m[:, 0], xy_m[:, 1]), len(xy_m)).astype(float)

    def gradient(self, xy_m: np.ndarray) -> np.ndarray:
        return np.zeros_like(xy_m)

    def deviation_m(self, xy_m: np.ndarray) -> np.ndarray:
        return np.zeros(len(xy_m))

    def weigh(self, xy_m: np.ndarray, weights: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        return weights @ self.height_m(xy_m), np.zeros((len(weights), len(weights)))


def feet(*corners: tuple[float, float]) -> Points:
    return tuple((x * FOOT, y * FOOT) for x, y in corners)


def box_feet(width: float, depth: float) -> Points:
    return feet((0, 0), (width, 0), (width, depth), (0, depth))


def floor(
    outline: Points,
    thickness_m: Thickness,
    *,
    doors: tuple[tuple[str, Points], ...] = (),
    strips: tuple[Points, ...] = (),
    **plan: Any,
) -> tuple[OldSlab, NewTop]:
    """Old floor and new top with ``thickness_m(x, y)`` between them; the top is at height 0."""
    drawn = FloorPlan(outline=outline, **plan)
    polygon = drawn.polygon()
    lattice = lattice_over(polygon, step_m=0.1)
    old = Formula(lambda x, y: -np.asarray(thickness_m(x, y), dtype=float) + 0 * x)
    thick = lattice.spread(-old.height_m(lattice.points_m))
    zero = np.where(lattice.inside, 0.0, np.nan)
    oldslab = OldSlab(
        plan=drawn, surface=old, lattice=lattice, heights_m=-thick, deviations_m=zero,
        area_m2=float(polygon.area), mean_height_m=Estimate(0.0, 0.0), lowest_m=0.0,
        lowest_at=(0.0, 0.0), highest_m=0.0, highest_at=(0.0, 0.0), panels=(), steps=(),
        low_spots=(), pond_depth_m=zero, flow=(), triangulated_mean_m=0.0,
        agreement=Check("mean height", "height_m", 0.0, "at most", 1.0, "made up"),
        next_shot=None, fit=SurfaceFit(1.0, 0.0, 0.0, ()), shots_xy_m=np.zeros((0, 2)),
        shots_m=np.zeros(0), shot_names=(), assumptions=(), remarks=(), workings=(),
    )  # fmt: skip
    wishes = Wishes(
        least_thickness_m=0.05, least_fall=0.0, greatest_fall=0.1, cross_fall=0.1, bend=0.1,
        straightedge_m=3.0, mark_m=INCH / 16, concrete_cost_per_m3=200.0, currency="USD",
        outlets=(),
        edges=tuple(
            Edge(name=name, kind="door", a=a, b=b, lowest_m=None, highest_m=None)
            for name, (a, b) in doors
        ),
    )  # fmt: skip
    ring = shapely.get_coordinates(shapely.segmentize(polygon.boundary, 0.05))
    top = TopOption(
        kind="level", title="level", feasible=True, fight=None,
        surface=Formula(lambda x, _y: 0 * x),
        thinnest_m=float(min(np.nanmin(thick), (-old.height_m(ring)).min())),
    )  # fmt: skip
    newtop = NewTop(
        options=(top,), chosen="level", lattice=lattice, top_m=zero, thickness_m=thick,
        strips=tuple(Strip(f"S{n}", corners) for n, corners in enumerate(strips, start=1)),
        wishes=wishes, assumptions=(), remarks=(), workings=(),
    )  # fmt: skip
    return oldslab, newtop
