"""A verdict of our own invention, judged by nobody: what the faces are shown in their tests."""

from __future__ import annotations

import numpy as np

from overslab.ground.notes import Assumption, Remark
from overslab.handbook.checks import Check
from overslab.handbook.limits import Advice, Limit
from overslab.verdict.records import (
    Finding,
    Hollow,
    Practice,
    SystemRoom,
    Verdict,
)

INCH_M = 0.0254


def made_up_practice(word: str = "") -> Practice:
    return Practice(
        date="2026-01-02",
        unbonded_least_m=3 * INCH_M,
        bonded_least_m=1.5 * INCH_M,
        crack_step_most_m=0.25 * INCH_M,
        crack_growth_most_m=INCH_M / 32,
        hollow_share_most=0.1,
        hollow_each_most_m2=1.0,
        profile_least_csp=7,
        pull_off_least_pa=1.0e6,
        note=f"ours{word}",
    )


def made_up_verdict(
    *, word: str = "", inside: np.ndarray | None = None, crack: str = "crack K"
) -> Verdict:
    """Over it, unbonded, with a hollow place, a step to put right and things nobody looked at."""
    step = Check(
        name=f"step across {crack}",
        quantity="step_m",
        found=0.375 * INCH_M,
        comparison="at most",
        allowed=0.25 * INCH_M,
        source="owner's practice of 2026-01-02",
        where=crack,
    )
    beside = Limit(
        name=f"step without a leveling layer{word}",
        quantity="step_m",
        value=0.375 * INCH_M,
        source="an invented guide",
        edition="2001",
        known="memory",
        bound="at most",
    )
    shown = Advice("cracks", f"Moving cracks come through.{word}", "an invented page", "", "read")
    return Verdict(
        ruling="over it, unbonded",
        system="unbonded",
        least_thickness_m=3 * INCH_M,
        systems=(
            SystemRoom(
                "unbonded", True, 3 * INCH_M, 4 * INCH_M, f"big door{word}", ("room enough",)
            ),
            SystemRoom("bonded", True, 1.5 * INCH_M, 4 * INCH_M, "big door", ("room enough",)),
        ),
        findings=(
            Finding("thickness", "Unbonded: room enough.", "good", for_systems=("unbonded",)),
            Finding("structure", f"The old slab lies on the ground.{word}", "good"),
            Finding(
                "cracks",
                f"{crack} steps by 3/8 in.",
                "put right",
                remedy=f"fill the low side of {crack}",
                check=step,
                published=(beside,),
                for_systems=("unbonded",),
                advice=(shown,),
            ),
            Finding("water", "No hose was played on the doors.", "not known", remedy="play one"),
        ),
        not_known=("No hose was played on the doors.",),
        put_right=(f"Fill the low side of {crack}.",),
        engineer=(f"A lift stands on pads of its own.{word}",),
        would_change=("A crack that grows.",),
        joints_to_match=(crack,),
        hollow_m2=0.6,
        added_weight_kg_per_m2=183.0,
        loads=(),
        practice=made_up_practice(word),
        hollows=(Hollow(f"hollow 1{word}", ((1.0, 3.0), (2.0, 3.0), (2.0, 3.6), (1.0, 3.6))),),
        provided=("No hose was played on the doors. Play one.",),
        no_drilling=(f"there may be heating pipes in the old slab{word}",),
        room_m=None if inside is None else np.where(inside, 0.1, np.nan),
        assumptions=(Assumption("[practice]", "unbonded from 3 in", f"not given{word}"),),
        remarks=(
            Remark("ask", "Verdict: over it, unbonded, provided that one thing turns out good."),
            Remark("note", f"The verdict is a craftsman's reading of what was found.{word}"),
        ),
    )
