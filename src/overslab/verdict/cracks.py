"""Cracks and joints: how wide, how high a step, growing or at rest, rocking under a wheel."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from overslab.handbook import old_slab
from overslab.handbook.checks import Check
from overslab.handbook.limits import advice_for
from overslab.oldslab.records import OldSlab
from overslab.verdict.practice import cited
from overslab.verdict.published import published
from overslab.verdict.records import CrackFinding, Finding, Findings, Practice, Said
from overslab.verdict.structure import BOTH
from overslab.verdict.words import Words, capital, listed


@dataclass(frozen=True, slots=True)
class Seen:
    """One break of the plan with all that was seen of it."""

    name: str
    kind: Literal["crack", "joint"]
    looks: int  # days on which it was measured
    width_m: float | None  # at the last look
    step_m: float | None  # the greatest that anything says
    step_by: str
    growth_m: float | None  # greatest change of width or step between any two days
    days: tuple[str, ...]
    moves_under_wheel: Said

    def grows(self, practice: Practice) -> bool:
        return self.growth_m is not None and self.growth_m > practice.crack_growth_most_m + 1e-9

    def proven_still(self, practice: Practice) -> bool:
        """Measured on two days at least without growth, and steady under a wheel."""
        return self.looks > 1 and not self.grows(practice) and self.moves_under_wheel == "no"


def all_seen(oldslab: OldSlab, findings: Findings) -> tuple[Seen, ...]:
    """Every break of the plan; what was not looked at stays open."""
    told = {crack.break_name: crack for crack in findings.cracks}
    seen = []
    for line in oldslab.plan.breaks:
        crack = told.get(line.name, CrackFinding(line.name))
        readings = sorted(crack.readings, key=lambda reading: reading.date)
        by_hand = [line.step_m, *(reading.step_m for reading in readings)]
        steps_m = [abs(step_m) for step_m in by_hand if step_m is not None]
        shot_m = [abs(one.step_m.mean) for one in oldslab.steps if one.break_name == line.name]
        seen.append(
            Seen(
                name=line.name,
                kind=line.kind,
                looks=len(readings),
                width_m=readings[-1].width_m if readings else None,
                step_m=max(steps_m or shot_m, default=None),
                step_by="by hand" if steps_m else "by the shots",
                growth_m=_growth(crack),
                days=tuple(reading.date for reading in readings),
                moves_under_wheel=crack.moves_under_wheel,
            )
        )
    return tuple(seen)


def _growth(crack: CrackFinding) -> float | None:
    """Closing counts like opening: either way the floor has moved."""
    widths = [reading.width_m for reading in crack.readings]
    steps = [reading.step_m for reading in crack.readings if reading.step_m is not None]
    ranges = [max(values) - min(values) for values in (widths, steps) if len(values) > 1]
    return max(ranges, default=None)


def crack_findings(seen: Sequence[Seen], practice: Practice, words: Words) -> list[Finding]:
    """Each break in turn."""
    found: list[Finding] = []
    for one in seen:
        found += [*_rest(one, practice, words), *_step(one, practice, words), _wheel(one)]
    return found


def _rest(one: Seen, practice: Practice, words: Words) -> list[Finding]:
    width = "" if one.width_m is None else f", {words.fine(one.width_m)} wide on {one.days[-1]}"
    beside = published(old_slab.WIDTH)
    if one.growth_m is not None:
        check = Check(
            name=f"change of {one.name} between readings",
            quantity="growth_m",
            found=one.growth_m,
            comparison="at most",
            allowed=practice.crack_growth_most_m,
            source=cited(practice),
            slack=1e-9,
            where=one.name,
        )
        span = f"from {one.days[0]} to {one.days[-1]}"
        if one.grows(practice):
            change = words.fine(one.growth_m)
            return [
                Finding(
                    topic="cracks",
                    says=f"{capital(one.name)} moves: it changed by {change} {span}{width}.",
                    weighs="put right",
                    remedy=f"find out what moves {one.name} and cure it, then read it again until "
                    "two readings weeks apart show it at rest",
                    check=check,
                    published=beside,
                    decisive_for=BOTH,
                    advice=advice_for("cracks"),
                )
            ]
        says = f"{capital(one.name)} stood still {span}{width}."
        return [Finding("cracks", says, "good", check=check, published=beside)]
    if one.kind == "joint" and not one.looks:
        return []
    if one.looks:
        says = f"{capital(one.name)} has one reading only: not proven still{width}."
        remedy = f"read {one.name} again, weeks apart and on the same marks"
    else:
        says = f"Nobody has written down how wide {one.name} is, nor on which day."
        remedy = f"mark and read {one.name} on two days, weeks apart"
    return [Finding("cracks", says, "not known", remedy=remedy, published=beside)]


def _step(one: Seen, practice: Practice, words: Words) -> list[Finding]:
    beside = published(old_slab.STEP)
    if one.step_m is None:
        return [
            Finding(
                topic="cracks",
                says=f"Nobody has measured the step across {one.name}.",
                weighs="not known",
                remedy=f"lay a straightedge across {one.name} and measure the step",
                published=beside,
            )
        ]
    check = Check(
        name=f"step across {one.name}",
        quantity="step_m",
        found=one.step_m,
        comparison="at most",
        allowed=practice.crack_step_most_m,
        source=cited(practice),
        slack=1e-9,
        where=one.name,
    )
    says = f"{capital(one.name)} steps by {words.fine(one.step_m)} ({one.step_by})."
    if check.passes:
        return [Finding("cracks", says, "good", check=check, published=beside)]
    return [
        Finding(
            topic="cracks",
            says=says,
            weighs="put right",
            remedy=f"at {one.name} fill the low side with cement-sand mortar to a plane, or grind "
            "down the lip, so that the sheet can slide",
            check=check,
            published=beside,
            for_systems=("unbonded",),
        ),
        Finding(
            topic="cracks",
            says=says,
            weighs="put right",
            remedy=f"grind down the lip of {one.name} and put a joint of the new top right over "
            "it, full depth",
            check=check,
            published=beside,
            for_systems=("bonded",),
        ),
    ]


def _wheel(one: Seen) -> Finding:
    if one.moves_under_wheel == "no":
        return Finding("cracks", f"{capital(one.name)} does not move under a wheel.", "good")
    if one.moves_under_wheel == "yes":
        return Finding(
            topic="cracks",
            says=f"{capital(one.name)} moves under a wheel: the slab rocks beside it.",
            weighs="put right",
            remedy=f"fill under the slab along {one.name} by grouting, or break that piece out; "
            "then drive over it again",
            decisive_for=BOTH,
            advice=advice_for("reject"),
        )
    return Finding(
        topic="cracks",
        says=f"Nobody has watched {one.name} while a wheel rolls over it.",
        weighs="not known",
        remedy=f"roll a loaded vehicle slowly over {one.name}, eye and finger on both sides",
        decisive_for=("bonded",),
    )


def joints_to_match(seen: Sequence[Seen], practice: Practice) -> tuple[str, ...]:
    """Breaks that a bonded top must joint over: every joint, every crack not proven still."""
    return tuple(one.name for one in seen if one.kind == "joint" or not one.proven_still(practice))


def moving(seen: Sequence[Seen], practice: Practice) -> str:
    """Names of the breaks that grow, as words; empty when none does."""
    return listed([one.name for one in seen if one.grows(practice)])
