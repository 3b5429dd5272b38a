"""May we pour over it, bonded or unbonded, and why?"""

from __future__ import annotations

from collections.abc import Sequence

from overslab.ground.faults import Faulty
from overslab.ground.notes import Assumption, Remark
from overslab.ground.units import Units, write_density
from overslab.handbook.checks import Check
from overslab.oldslab.records import OldSlab
from overslab.verdict.checking import finding_faults
from overslab.verdict.cracks import all_seen, joints_to_match
from overslab.verdict.headroom import headrooms, room_map, system_room
from overslab.verdict.loads import load_findings
from overslab.verdict.practice import SLACK_M, least_of, practice_faults, wish_faults
from overslab.verdict.records import (
    Finding,
    Findings,
    HeightLimit,
    Practice,
    Ruling,
    System,
    SystemRoom,
    Verdict,
)
from overslab.verdict.ruling import (
    OVER_IT,
    best,
    concerning,
    for_engineer,
    not_known,
    provisos,
    to_put_right,
    would_change,
)
from overslab.verdict.soundness import hollow_areas
from overslab.verdict.structure import no_drilling
from overslab.verdict.water import dry_floor
from overslab.verdict.weighing import (
    CONCRETE,
    stone_findings,
    thickness_findings,
    weigh,
    weight_finding,
)
from overslab.verdict.words import Words, listed

METRIC = Units(system="metric", mark_m=0.001)
SYSTEMS: tuple[System, ...] = ("unbonded", "bonded")


def judge(
    oldslab: OldSlab,
    findings: Findings,
    practice: Practice,
    *,
    limits: tuple[HeightLimit, ...] = (),
    wished: System | None = None,
    least_thickness_m: float | None = None,
    surety: float = 1.645,
    strength_pa: float | None = None,
    stone_m: float | None = None,
    units: Units = METRIC,
) -> Verdict:
    """One ruling over the old slab: over it unbonded or bonded, put right first, or not at all.

    ``limits`` are the heights the top may not pass; room under them is taken ``surety`` standard
    deviations short. ``wished`` holds to one system, ``least_thickness_m`` is the owner's own;
    ``strength_pa`` and ``stone_m`` are those of the new mix. ``units`` only choose how the words
    say their numbers. Raises ``Faulty`` with all that contradicts itself. Nothing that was not
    looked at counts as good.
    """
    words = Words(units)
    found = [*finding_faults(oldslab.plan, findings), *practice_faults(practice, units)]
    found += wish_faults(practice, wished=wished, least_thickness_m=least_thickness_m, units=units)
    if found:
        raise Faulty(found)
    rooms = headrooms(oldslab, limits, surety=surety)
    systems = tuple(
        system_room(system, rooms, practice, least_thickness_m=least_thickness_m, words=words)
        for system in SYSTEMS
    )
    seen = all_seen(oldslab, findings)
    hollow = hollow_areas(oldslab, findings)
    least_m = {room.system: room.least_thickness_m for room in systems}
    loads, workings, assumptions = load_findings(
        findings, seen, practice, least_m=least_m, strength_pa=strength_pa, words=words
    )
    weighed = [
        *thickness_findings(systems, rooms, practice, words),
        *weigh(findings, seen, hollow, practice, words),
        *loads,
        *stone_findings(stone_m, least_m, words),
    ]
    asked = _asked(systems, practice, wished, least_thickness_m)
    ruling, chosen = best(weighed, asked)
    system = None if chosen is None else chosen.system
    thinnest_m = (
        chosen.least_thickness_m
        if chosen is not None
        else least_thickness_m or min(room.least_thickness_m for room in asked)
    )
    heavy, mass_kg_per_m2, weight_working = weight_finding(thinnest_m, findings, words)
    weighed.append(heavy)
    match = joints_to_match(seen, practice)
    dry = dry_floor(findings)
    provided = provisos(weighed, system) if ruling in OVER_IT else ()
    engineer = for_engineer(weighed, system)
    drilling = no_drilling(findings)
    return Verdict(
        ruling=ruling,
        system=system,
        least_thickness_m=thinnest_m,
        systems=systems,
        findings=tuple(weighed),
        not_known=not_known(weighed, system),
        put_right=to_put_right(weighed, system),
        engineer=engineer,
        would_change=would_change(weighed, asked, ruling=ruling, system=system),
        joints_to_match=match,
        hollow_m2=hollow.total_m2,
        added_weight_kg_per_m2=mass_kg_per_m2,
        loads=_load_checks(weighed, system),
        practice=practice,
        hollows=findings.hollows,
        provided=provided,
        no_drilling=drilling,
        dry_floor=dry,
        old_thickness_m=findings.thickness_m,
        room_m=room_map(oldslab, rooms, surety=surety),
        assumptions=(*practice.taken, *assumptions, _weight_assumption(words)),
        remarks=tuple(_remarks(ruling, system, provided, engineer, drilling, dry, match)),
        workings=(weight_working, *workings),
    )


def _asked(
    systems: Sequence[SystemRoom],
    practice: Practice,
    wished: System | None,
    least_thickness_m: float | None,
) -> list[SystemRoom]:
    """The systems to choose from: the one wished, else all that the wished least allows."""
    if wished is not None:
        return [room for room in systems if room.system == wished]
    return [
        room
        for room in systems
        if least_thickness_m is None
        or least_thickness_m >= least_of(room.system, practice) - SLACK_M
    ]


def _load_checks(weighed: Sequence[Finding], system: System | None) -> tuple[Check, ...]:
    return tuple(
        one.check
        for one in concerning(weighed, system)
        if one.topic == "loads" and one.check is not None
    )


def _weight_assumption(words: Words) -> Assumption:
    return Assumption(
        about="density of the new concrete, for its weight",
        taken=write_density(CONCRETE.value, words.units),
        because=CONCRETE.cited,
    )


def _remarks(
    ruling: Ruling,
    system: System | None,
    provided: Sequence[str],
    engineer: Sequence[str],
    drilling: Sequence[str],
    dry: bool,
    match: Sequence[str],
) -> list[Remark]:
    remarks = []
    if ruling not in OVER_IT:
        remarks.append(
            Remark("warn", f"Verdict: {ruling}. Order no concrete before that is settled.")
        )
    elif provided:
        count = len(provided)
        things = "one thing that nobody" if count == 1 else f"{count} things that nobody"
        remarks.append(
            Remark("ask", f"Verdict: {ruling}, provided that {things} has looked at turn out good.")
        )
    remarks += [Remark("warn", text) for text in engineer]
    if drilling:
        remarks.append(
            Remark(
                "warn",
                f"No drilling, sawing or chipping into the old slab: {listed(drilling)}.",
            )
        )
    if not dry:
        remarks.append(Remark("note", "A dry floor is not promised: see the findings on water."))
    if system == "bonded" and match:
        remarks.append(
            Remark(
                "note",
                f"Joints of the bonded top lie right over {listed(match)}, full depth.",
            )
        )
    remarks.append(
        Remark(
            "note",
            "The verdict is a craftsman's reading of what was found. It is no engineer's opinion; "
            "local code and licensed practice go before it.",
        )
    )
    return remarks
