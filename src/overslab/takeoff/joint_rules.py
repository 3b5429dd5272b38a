"""Which published rules the joints go by: spacing at the thinnest place, depth at the thickest."""

from __future__ import annotations

import math
from dataclasses import dataclass

from overslab.ground.notes import Assumption
from overslab.handbook import joint_cuts, joints
from overslab.handbook.working import Working, show
from overslab.takeoff.asked import JointsAsked

# Joints are set out with tape and chalk line: as good as three quarters of an inch (our choice).
SET_OUT_M = 0.02
# Old joints and cracks are as crooked as they are: a joint over one follows it this closely.
OVER_M = 0.01


@dataclass(frozen=True, slots=True)
class PanelRule:
    """Longest side of a panel by its thickness, longest at all, and its shape."""

    times: float  # infinite where the owner gives a length
    cap_m: float
    aspect: float
    least_strip_m: float
    source: str

    def longest_m(self, thickness_m: float) -> float:
        """The longest side at this thickness; a place with no thickness allows the shortest."""
        return min(self.times * max(thickness_m, 1e-3), self.cap_m)


def panel_rule(
    asked: JointsAsked, *, thinnest_m: float
) -> tuple[PanelRule, tuple[Assumption, ...], tuple[Working, ...]]:
    """The owner's length, else the handbook's: 36 thicknesses, at most 15 ft."""
    if asked.greatest_panel_m is not None:
        rule = PanelRule(
            math.inf,
            asked.greatest_panel_m,
            asked.greatest_aspect,
            asked.least_strip_m,
            "the owner's wish; the published limits stand beside it",
        )
        return rule, (), ()
    practice, cap = joints.SPACING_PRACTICE, joints.CAP_PRACTICE
    _, working = show(
        joints.joint_spacing,
        about="longest panel at the thinnest place of the new top",
        slab_thickness_m=max(thinnest_m, 1e-3),
        times_thickness=practice.value,
        cap_m=cap.value,
    )
    assumption = Assumption(
        about="joint spacing",
        taken=f"{practice.value:g} thicknesses at the thinnest place of each panel, with the cap",
        because="no greatest panel was given; this is the top of the published range of 24 to 36, "
        "and a wet mix or hot dry weather asks for less",
    )
    rule = PanelRule(
        practice.value,
        cap.value,
        asked.greatest_aspect,
        asked.least_strip_m,
        f"{practice.source}, {practice.edition}; cap: {cap.source}",
    )
    return rule, (assumption,), (working,)


def cut_depth(
    asked: JointsAsked, *, kind: str, thickest_m: float, about: str
) -> tuple[float, Working | None]:
    """How deep a joint must be at its thickest place."""
    least = joint_cuts.LEAST_DEPTH[0 if kind != "early-entry" else 1]
    if kind == "early-entry" and asked.depth_share is None:
        return least.value, None
    part = asked.depth_share
    depth_m, working = show(
        joint_cuts.joint_depth,
        about=about,
        slab_thickness_m=max(thickest_m, 1e-3),
        part=joint_cuts.DEPTH_PRACTICE.value if part is None else part,
        least_m=least.value,
    )
    return float(depth_m), working
