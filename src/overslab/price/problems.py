"""What is wrong with the old floor, in a customer's words, and how deep each trouble sits."""

from __future__ import annotations

import math
from dataclasses import dataclass

from overslab.ground.units import Units, write_area, write_slope, write_thickness, write_water
from overslab.oldslab.records import OldSlab
from overslab.verdict.records import Verdict

_BELOW = ("ground", "structure")


@dataclass(frozen=True, slots=True)
class Problems:
    """Told once, so that every way is held against the same list."""

    water_m3: float
    deepest_m: float
    steps: int  # breaks whose step is over the owner's limit
    falls: str
    on_top: tuple[str, ...]  # cured by any new surface
    stays: tuple[str, ...]  # the same as it is told when nothing is done
    in_slab: tuple[str, ...]  # sits in the old slab
    deep: tuple[str, ...]  # sits in the ground: a new slab alone does not cure it

    @property
    def below(self) -> tuple[str, ...]:
        """What stays under a new top."""
        return (*self.in_slab, *self.deep)


def problems_of(oldslab: OldSlab, verdict: Verdict, units: Units, *, fall: float = 0.0) -> Problems:
    """From the ponds and steps of the old floor and from what the verdict found."""
    spots = oldslab.low_spots
    water_m3 = math.fsum(spot.volume_m3 for spot in spots)
    deepest_m = max((spot.depth_m for spot in spots), default=0.0)
    limit_m = verdict.practice.crack_step_most_m
    over = {step.break_name for step in oldslab.steps if abs(step.step_m.mean) > limit_m}
    on_top, stays = [], []
    if spots:
        on_top.append("Water no longer stands on the floor.")
        where = "one place" if len(spots) == 1 else f"{len(spots)} places"
        stays.append(
            f"Water stands in {where}, up to {write_thickness(deepest_m, units)} deep, "
            f"{write_water(water_m3, units)} in all."
        )
    if over:
        on_top.append("Steps across cracks are covered.")
        highest = max(abs(step.step_m.mean) for step in oldslab.steps)
        stays.append(
            f"Steps to trip over: {', '.join(sorted(over))}, up to "
            f"{write_thickness(highest, units)} high."
        )
    in_slab = []
    cracks = sum(1 for line in oldslab.plan.breaks if line.kind == "crack")
    if cracks:
        in_slab.append(f"The old slab is cracked ({cracks}).")
    if verdict.hollow_m2:
        in_slab.append(f"It sounds hollow over {write_area(verdict.hollow_m2, units)}.")
    deep = [
        finding.says
        for finding in verdict.findings
        if finding.topic in _BELOW and finding.weighs in ("put right", "stop")
    ]
    return Problems(
        water_m3=water_m3,
        deepest_m=deepest_m,
        steps=len(over),
        falls=f"at least {write_slope(fall, units)}" if fall else "as drawn",
        on_top=tuple(on_top),
        stays=tuple(stays),
        in_slab=tuple(in_slab),
        deep=tuple(dict.fromkeys(deep)),
    )
