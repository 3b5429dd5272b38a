"""All that was found, weighed: from findings and measures to judged matters, without a floor."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from overslab.ground.units import write_size
from overslab.handbook import bonding, old_slab, weight
from overslab.handbook.checks import Check
from overslab.handbook.limits import Limit, advice_for
from overslab.handbook.working import Working, show
from overslab.verdict.cracks import Seen, crack_findings, moving
from overslab.verdict.headroom import MOST_SHORT, Headroom
from overslab.verdict.practice import SLACK_M, cited, least_of
from overslab.verdict.published import published
from overslab.verdict.records import Finding, Findings, Practice, System, SystemRoom
from overslab.verdict.rest import ground_findings
from overslab.verdict.soundness import HollowAreas, sound_findings, surface_findings
from overslab.verdict.structure import in_floor_findings, structure_findings
from overslab.verdict.water import water_findings
from overslab.verdict.words import Words, listed

CONCRETE = weight.DENSITIES[0]
_TOPICS: dict[System, str] = {"unbonded": bonding.UNBONDED, "bonded": bonding.BONDED}


def weigh(
    findings: Findings,
    seen: Sequence[Seen],
    hollow: HollowAreas,
    practice: Practice,
    words: Words,
) -> list[Finding]:
    """Every matter but thickness, loads and weight, in the order in which it is told."""
    return [
        *structure_findings(findings),
        *ground_findings(findings, growing=moving(seen, practice)),
        *crack_findings(seen, practice, words),
        *sound_findings(findings, hollow, practice, words),
        *water_findings(findings),
        *surface_findings(findings, practice),
        *in_floor_findings(findings, words),
    ]


def thickness_findings(
    systems: Sequence[SystemRoom], rooms: Sequence[Headroom], practice: Practice, words: Words
) -> list[Finding]:
    """Room for each system under the heights that are fixed."""
    found = []
    for system in systems:
        beside = published(_TOPICS[system.system])
        tight = min(rooms, key=lambda room: room.sure_m, default=None)
        if tight is None:
            says = f"{system.system.capitalize()}: {'; '.join(system.reasons)}."
            found.append(
                Finding("thickness", says, "good", published=beside, for_systems=(system.system,))
            )
            continue
        owner = system.least_thickness_m > least_of(system.system, practice) + SLACK_M
        check = Check(
            name=f"room for {system.system}",
            quantity="thickness_m",
            found=tight.sure_m,
            comparison="at least",
            allowed=system.least_thickness_m,
            source="least thickness wished" if owner else cited(practice),
            slack=SLACK_M,
            where=tight.limit.name,
            at=tight.at,
        )
        found.append(_room(system, rooms, check, beside=beside, words=words))
    return [*found, *_no_room(rooms, practice, words)]


def _room(
    system: SystemRoom,
    rooms: Sequence[Headroom],
    check: Check,
    *,
    beside: tuple[Limit, ...],
    words: Words,
) -> Finding:
    says = f"{system.system.capitalize()}: {'; '.join(system.reasons)}."
    if check.passes:
        return Finding(
            "thickness",
            says,
            "good",
            check=check,
            published=beside,
            for_systems=(system.system,),
        )
    short = [room for room in rooms if room.sure_m < system.least_thickness_m - SLACK_M]
    names = listed([room.limit.name for room in short])
    by = words.thickness(max(system.least_thickness_m - room.sure_m for room in short))
    return Finding(
        topic="thickness",
        says=says,
        weighs="put right",
        remedy=f"move {names} up (by up to {by}), or cut out the old floor there and pour full "
        "depth; no feather edge",
        check=check,
        published=beside,
        for_systems=(system.system,),
        decisive_for=() if system.allowed else (system.system,),
    )


def _no_room(rooms: Sequence[Headroom], practice: Practice, words: Words) -> list[Finding]:
    """An area with room for no system over most of it: pouring over it is no answer."""
    least_m = min(practice.bonded_least_m, practice.unbonded_least_m)
    hopeless = [
        room.limit.name
        for room in rooms
        if room.limit.corners and room.short_share(least_m) > MOST_SHORT
    ]
    if not hopeless:
        return []
    return [
        Finding(
            topic="thickness",
            says=f"Under {listed(hopeless)} more than half of the floor has less room than "
            f"{words.thickness(least_m)}: too little for any top.",
            weighs="stop",
            remedy="raise that height, or tear the floor out and build lower",
            decisive_for=("unbonded", "bonded"),
        )
    ]


def weight_finding(
    least_m: float, findings: Findings, words: Words
) -> tuple[Finding, float, Working]:
    """What the new slab adds at its thinnest, and mass in kg/m2."""
    mass_kg_per_m2 = least_m * CONCRETE.value
    _, working = show(
        weight.added_weight,
        about="weight added where the new slab is thinnest",
        thickness_m=least_m,
        density_kg_per_m3=CONCRETE.value,
    )
    return (
        Finding(
            topic="weight",
            says=f"The new slab adds at least {words.mass(mass_kg_per_m2)}, more where it is "
            "thicker. Loose or soft ground may settle further under it.",
            weighs="good",
            advice=advice_for("settlement") if findings.stands_on == "ground" else (),
        ),
        mass_kg_per_m2,
        working,
    )


def stone_findings(
    stone_m: float | None, least_m: Mapping[System, float], words: Words
) -> list[Finding]:
    """The greatest stone must pass where the new slab is thinnest."""
    if stone_m is None:
        return []
    limit = old_slab.STONE_PRACTICE
    found = []
    for system, thinnest_m in least_m.items():
        check = limit.check(found=stone_m / thinnest_m, slack=1e-6)
        stone, thin = write_size(stone_m, words.units), words.thickness(thinnest_m)
        found.append(
            Finding(
                topic="mix",
                says=f"Stone of {stone} beside a least thickness of {thin}, {system}.",
                weighs="good" if check.passes else "put right",
                remedy=""
                if check.passes
                else f"order stone no greater than {write_size(thinnest_m / 3, words.units)}",
                check=check,
                for_systems=(system,),
            )
        )
    return found
