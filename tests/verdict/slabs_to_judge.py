"""Old slabs of known shape, and findings with nothing wrong, that tests spoil one at a time."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from overslab.ground.estimate import Estimate
from overslab.ground.lattice import lattice_over
from overslab.handbook.checks import Check
from overslab.oldslab.records import Break, FloorPlan, OldSlab, Step, SurfaceFit
from overslab.verdict import CrackFinding, CrackReading, Findings, common_practice

Floats = NDArray[np.float64]
INCH_M, FOOT_M = 0.0254, 0.3048
PRACTICE = common_practice("2026-01-02")


@dataclass(frozen=True)
class KnownSurface:
    shape: Callable[[Floats, Floats], Floats]
    deviation: float = 0.0

    def height_m(self, xy_m: Floats) -> Floats:
        return self.shape(xy_m[:, 0], xy_m[:, 1]) + 0.0 * xy_m[:, 0]

    def deviation_m(self, xy_m: Floats) -> Floats:
        return np.full(len(xy_m), self.deviation)

    def weigh(self, xy_m: Floats, weights: Floats) -> tuple[Floats, Floats]:
        rows = np.atleast_2d(weights)
        return rows @ self.height_m(xy_m), np.zeros((len(rows), len(rows)))


def slab(
    shape: Callable[[Floats, Floats], Floats] = lambda x, y: 0.0 * (x + y),
    *,
    deviation_m: float = 0.0,
    breaks: tuple[Break, ...] = (),
    steps_m: tuple[float, ...] = (),
    lattice_step_m: float = 0.25,
) -> OldSlab:
    """6 m by 4 m; ``steps_m`` are what the shots say across the first break."""
    plan = FloorPlan(outline=((0, 0), (6, 0), (6, 4), (0, 4)), breaks=breaks)
    surface = KnownSurface(shape, deviation_m)
    lattice = lattice_over(plan.polygon(), step_m=lattice_step_m)
    heights = surface.height_m(lattice.points_m)
    return OldSlab(
        plan=plan,
        surface=surface,
        lattice=lattice,
        heights_m=lattice.spread(heights),
        deviations_m=lattice.spread(surface.deviation_m(lattice.points_m)),
        area_m2=24.0,
        mean_height_m=Estimate(mean=float(heights.mean()), deviation=0.0),
        lowest_m=float(heights.min()),
        lowest_at=(0.0, 0.0),
        highest_m=float(heights.max()),
        highest_at=(0.0, 0.0),
        panels=(),
        steps=tuple(Step(breaks[0].name, (3.0, 2.0), Estimate(s, 0.001), None) for s in steps_m),
        low_spots=(),
        pond_depth_m=lattice.spread(np.zeros(len(heights))),
        flow=(),
        triangulated_mean_m=0.0,
        agreement=Check("mean height", "height_m", 0.0, "at most", 1.0, "made up"),
        next_shot=None,
        fit=SurfaceFit(length_m=1.0, roughness_m=0.0, texture_m=0.0, on_bound=()),
        shots_xy_m=np.array(plan.outline, dtype=float),
        shots_m=np.zeros(4),
        shot_names=("A", "B", "C", "D"),
        assumptions=(),
        remarks=(),
        workings=(),
    )


CRACK = Break("crack K", ((3.0, 0.0), (3.0, 4.0)), "crack", step_m=0.002)
JOINT = Break("joint J", ((0.0, 2.0), (6.0, 2.0)), "joint", step_m=0.0)
STILL = (
    CrackReading("2025-10-01", 0.004, 0.002),
    CrackReading("2026-04-01", 0.004, 0.002),
)
GREW = (CrackReading("2025-10-01", 0.004), CrackReading("2026-04-01", 0.007))

# Everything looked at, nothing wrong, for either system.
SOUND = Findings(
    sounded="yes",
    cracks=(CrackFinding("crack K", STILL, "no"),),
    stands_on="ground",
    cause="fill over an old pit",
    cause_cured="yes",
    still_moving="no",
    undermined="no",
    frost_heave="no",
    freezes="no",
    deicers="no",
    water_from=("wash-down",),
    sheet_test="dry",
    hose_test="stays away",
    drained="yes",
    surface=("clean",),
    profile_csp=7,
    pull_off_pa=1.5e6,
    thickness_m=0.1,
    strength_pa=21e6,
    heating_pipes="no",
    tendons="no",
    lift_posts="no",
    lift_on_own_pads="no",
    subgrade_pa_per_m=27e6,
)


def found(**spoilt: object) -> Findings:
    """The sound findings with some of them spoilt."""
    return replace(SOUND, **spoilt)  # type: ignore[arg-type]


def cracked() -> OldSlab:
    """Level at zero, with one crack."""
    return slab(breaks=(CRACK,))
