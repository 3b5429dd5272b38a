"""Made-up tops and old floors of closed form, for the checks of the finished top."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from overslab.ground.estimate import Estimate
from overslab.ground.lattice import lattice_over
from overslab.handbook.checks import Check
from overslab.newtop.records import Floats, Outlet, Wishes
from overslab.oldslab.records import FloorPlan, OldSlab, Panel, SurfaceFit


@dataclass(frozen=True)
class Shape:
    """A surface z = f(x, y), the same for new tops and, with a deviation, for old floors."""

    f: Callable[[Floats, Floats], Floats]
    deviation: float = 0.0

    def height_m(self, xy_m: Floats) -> Floats:
        xy_m = np.asarray(xy_m, dtype=float)
        return np.broadcast_to(self.f(xy_m[:, 0], xy_m[:, 1]), len(xy_m)).astype(float)

    def gradient(self, _xy_m: Floats) -> Floats:
        raise AssertionError("the checks must not lean on the top's own gradient")

    def deviation_m(self, xy_m: Floats) -> Floats:
        return np.full(len(xy_m), self.deviation)

    def weigh(self, xy_m: Floats, weights: Floats) -> tuple[Floats, Floats]:
        """Every height errs by the same amount: sums err in proportion to their weight."""
        total = weights.sum(axis=1)
        return weights @ self.height_m(xy_m), np.outer(total, total) * self.deviation**2


def plane(*, x: float = 0.0, y: float = 0.0, at_origin: float = 0.0) -> Shape:
    """Rise per metre along x and y."""
    return Shape(lambda u, v: at_origin + x * u + y * v)


def wishes(*outlets: Outlet, **changes: Any) -> Wishes:
    given: dict[str, Any] = {
        "least_thickness_m": 0.075,
        "least_fall": 0.010,
        "greatest_fall": 0.021,
        "cross_fall": 0.021,
        "bend": 0.021,
        "straightedge_m": 3.0,
        "mark_m": 0.0015,
        "concrete_cost_per_m3": 200.0,
        "currency": "USD",
        "outlets": outlets,
        "surety": 2.0,
    }
    return Wishes(**(given | changes))


def old_floor(
    outline: tuple[tuple[float, float], ...],
    *,
    surface: Shape | None = None,
    shots: Floats | None = None,
    panels: tuple[Panel, ...] | None = None,
    **plan: Any,
) -> OldSlab:
    """An old floor with one panel and few shots; only what the checks read is filled with care."""
    surface = surface or plane()
    floor = FloorPlan(outline=outline, **plan)
    polygon = floor.polygon()
    lattice = lattice_over(polygon, step_m=0.25)
    heights = lattice.spread(surface.height_m(lattice.points_m))
    where = shots if shots is not None else np.asarray(outline, dtype=float)
    mean = Estimate(mean=float(np.nanmean(heights)), deviation=surface.deviation)
    if panels is None:
        panels = (panel("A", polygon),)
    return OldSlab(
        plan=floor,
        surface=surface,
        lattice=lattice,
        heights_m=heights,
        deviations_m=np.where(lattice.inside, surface.deviation, np.nan),
        area_m2=float(polygon.area),
        mean_height_m=mean,
        lowest_m=float(np.nanmin(heights)),
        lowest_at=(0.0, 0.0),
        highest_m=float(np.nanmax(heights)),
        highest_at=(0.0, 0.0),
        panels=panels,
        steps=(),
        low_spots=(),
        pond_depth_m=np.where(lattice.inside, 0.0, np.nan),
        flow=(),
        triangulated_mean_m=mean.mean,
        agreement=Check(
            name="mean height", quantity="height_m", found=0.0, comparison="at most", allowed=1.0,
            source="made up",
        ),
        next_shot=None,
        fit=SurfaceFit(length_m=1.0, roughness_m=0.0, texture_m=0.0, on_bound=()),
        shots_xy_m=where,
        shots_m=surface.height_m(where),
        shot_names=tuple(f"P{n}" for n in range(len(where))),
        assumptions=(),
        remarks=(),
        workings=(),
    )  # fmt: skip


def panel(name: str, polygon: shapely.Polygon) -> Panel:
    return Panel(
        name=name,
        polygon=polygon,
        area_m2=float(polygon.area),
        shots=4,
        kind="panel",
        mean_height_m=Estimate(0.0, 0.0),
        fall=0.0,
        falls_toward_deg=0.0,
    )
