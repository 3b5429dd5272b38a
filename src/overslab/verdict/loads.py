"""Wheels and posts on the new slab over the old one, by the published overlay equations.

The thickness that a single slab on this ground would need is found from Westergaard's stress at a
free edge; the overlay equation of the US military then takes the old slab off it. The equation was
made for pavements: a thin topping on a sheet lies outside its tested sections, and every load that
is judged says so.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt

from overslab.ground.notes import Assumption
from overslab.ground.units import write_share
from overslab.handbook import overlay, punching, slab_corner, slab_loads, slab_stress
from overslab.handbook.checks import Check
from overslab.handbook.working import Working, show
from overslab.verdict.cracks import Seen
from overslab.verdict.records import Finding, Findings, LoadOnTop, Practice, System
from overslab.verdict.words import Words, capital, listed

# No slab of this business is thicker; a load that needs more is an engineer's.
_THICKEST_M = 1.0
_THINNEST_M = 0.01
_SAFETY = max(slab_loads.SAFETY_LEAST, key=lambda limit: limit.value)
_GOOD, _SOME, _BAD = (limit.value for limit in overlay.CONDITION_FACTORS)
# Older codes take 0.55, later ones 0.60 (memory); the lower holds for both.
_PUNCHING_FACTOR = 0.55
OUTSIDE = (
    "The overlay equation was tested only with overlays at least as thick as the old slab; this "
    "one is thinner and lies outside: take the number as a hint and ask a licensed engineer where "
    "it matters"
)


@dataclass(frozen=True, slots=True)
class Needed:
    """Slabs that one load would need on this ground, and the overlay that follows."""

    overlay_m: float
    checks: tuple[Check, ...]
    workings: tuple[Working, ...]


def load_findings(
    findings: Findings,
    seen: Sequence[Seen],
    practice: Practice,
    *,
    least_m: Mapping[System, float],
    strength_pa: float | None,
    words: Words,
) -> tuple[list[Finding], list[Working], list[Assumption]]:
    """Each load under each system; what is missing is asked for and never assumed."""
    if not findings.loads:
        return [], [], []
    missing = [
        name
        for name, value in (
            ("strength of the new concrete", strength_pa),
            ("thickness of the old slab", findings.thickness_m),
            ("strength of the old concrete", findings.strength_pa),
            ("stiffness of the ground", findings.subgrade_pa_per_m),
        )
        if value is None
    ]
    if missing:
        return (
            [
                Finding(
                    topic="loads",
                    says=f"Whether the floor carries {load.name} cannot be told: not known are "
                    f"{listed(missing)}.",
                    weighs="not known",
                    remedy="find these out, or ask a licensed engineer",
                )
                for load in findings.loads
            ],
            [],
            [],
        )
    found: list[Finding] = []
    workings: list[Working] = []
    condition = condition_factor(seen, practice)
    for load in findings.loads:
        for system in least_m:
            needed = _needed(
                load,
                system,
                findings=findings,
                strength_pa=strength_pa or 0.0,
                condition=condition,
                least_m=least_m[system],
            )
            found += _told(load, system, needed, findings, least_m[system], words)
            workings += needed.workings if needed is not None else ()
    return found, workings, _assumptions(condition)


def condition_factor(seen: Sequence[Seen], practice: Practice) -> float:
    """Condition of the old slab: good without cracks, some when all are at rest, else bad."""
    cracks = [one for one in seen if one.kind == "crack"]
    if not cracks:
        return _GOOD
    return _SOME if all(one.proven_still(practice) for one in cracks) else _BAD


def single_slab_m(
    *, load_n: float, contact_radius_m: float, strength_pa: float, subgrade_pa_per_m: float
) -> float | None:
    """Thickness at which a single slab carries a load at its free edge with the safety asked.

    None when even the thickest slab of this business would not do.
    """
    allowed_pa = slab_loads.flexural_strength_aci_318(strength_pa=strength_pa) / _SAFETY.value
    modulus_pa = slab_loads.concrete_modulus(strength_pa=strength_pa)

    def radius_m(slab_m: float) -> float:
        return slab_stress.stiffness_radius(
            modulus_pa=modulus_pa, slab_thickness_m=slab_m, subgrade_pa_per_m=subgrade_pa_per_m
        )

    def carries(slab_m: float) -> bool:
        stiff_m = radius_m(slab_m)
        if stiff_m <= contact_radius_m:
            return False  # so thin a slab lies outside the stress formula
        stress_pa = slab_stress.edge_stress_circle(
            load_n=load_n,
            slab_thickness_m=slab_m,
            stiffness_radius_m=stiff_m,
            contact_radius_m=contact_radius_m,
        )
        return stress_pa <= allowed_pa

    if not carries(_THICKEST_M):
        return None
    low_m, high_m = _THINNEST_M, _THICKEST_M
    while high_m - low_m > 1e-6:
        middle_m = (low_m + high_m) / 2
        low_m, high_m = (low_m, middle_m) if carries(middle_m) else (middle_m, high_m)
    return high_m


def _needed(
    load: LoadOnTop,
    system: System,
    *,
    findings: Findings,
    strength_pa: float,
    condition: float,
    least_m: float,
) -> Needed | None:
    ground_pa_per_m = findings.subgrade_pa_per_m or 0.0
    # The ends of an axle stand too far apart to press on the same piece of slab.
    load_n = load.load_n / 2 if load.kind == "axle" else load.load_n
    side_m = sqrt(load.contact_m2)
    contact_m = slab_corner.contact_radius_of_plate(side_m=side_m)
    at_new_m, at_old_m = (
        single_slab_m(
            load_n=load_n,
            contact_radius_m=contact_m,
            strength_pa=pressure_pa,
            subgrade_pa_per_m=ground_pa_per_m,
        )
        for pressure_pa in (strength_pa, findings.strength_pa or 0.0)
    )
    if at_new_m is None or at_old_m is None:
        return None
    about = f"{load.name}, {system}"
    stiff_m, radius = show(
        slab_stress.stiffness_radius,
        about=about,
        modulus_pa=slab_loads.concrete_modulus(strength_pa=strength_pa),
        slab_thickness_m=at_new_m,
        subgrade_pa_per_m=ground_pa_per_m,
    )
    _, stress = show(
        slab_stress.edge_stress_circle,
        about=f"{about}: stress in a single slab just thick enough",
        load_n=load_n,
        slab_thickness_m=at_new_m,
        stiffness_radius_m=stiff_m,
        contact_radius_m=contact_m,
    )
    if system == "bonded":
        overlay_m, thickness = show(
            overlay.overlay_corps_2001_bonded,
            about=about,
            needed_thickness_m=at_new_m,
            old_thickness_m=findings.thickness_m,
        )
    else:
        overlay_m, thickness = show(
            overlay.overlay_corps_2001_unbonded,
            about=about,
            new_strength_thickness_m=at_new_m,
            old_strength_thickness_m=at_old_m,
            old_thickness_m=findings.thickness_m,
            condition=condition,
        )
    checks = [
        Check(
            name=f"thickness for {load.name}, {system}",
            quantity="thickness_m",
            found=least_m,
            comparison="at least",
            allowed=overlay_m,
            source=thickness.source,
            slack=1e-6,
            where=load.name,
        )
    ]
    workings = [radius, stress, thickness]
    if load.kind == "post":
        check, working = _punching(load, side_m=side_m, least_m=least_m, strength_pa=strength_pa)
        checks.append(check)
        workings.append(working)
    return Needed(overlay_m, tuple(checks), tuple(workings))


def _punching(
    load: LoadOnTop, *, side_m: float, least_m: float, strength_pa: float
) -> tuple[Check, Working]:
    """A post pressed through the new slab alone; its load counts as one that comes and goes."""
    perimeter_m = punching.punching_perimeter(side_m=side_m, depth_m=least_m)
    strength_n, working = show(
        punching.punching_strength_plain,
        about=f"{load.name}: pressed through the new slab",
        strength_factor=_PUNCHING_FACTOR,
        strength_pa=strength_pa,
        perimeter_m=perimeter_m,
        depth_m=least_m,
    )
    check = Check(
        name=f"{load.name} pressed through the new slab",
        quantity="load_n",
        found=punching.factored_load(dead_n=0.0, live_n=load.load_n),
        comparison="at most",
        allowed=strength_n,
        source=working.source,
        where=load.name,
    )
    return check, working


def _told(
    load: LoadOnTop,
    system: System,
    needed: Needed | None,
    findings: Findings,
    least_m: float,
    words: Words,
) -> list[Finding]:
    if needed is None:
        return [
            Finding(
                topic="loads",
                says=f"{capital(load.name)} is more than any slab of this business carries here.",
                weighs="stop",
                remedy="ask a licensed engineer for a footing of its own",
                for_systems=(system,),
                decisive_for=(system,),
                engineer=True,
            )
        ]
    tested = overlay.tested_sections(
        overlay_thickness_m=least_m, old_thickness_m=findings.thickness_m or 0.0
    )
    outside = "" if system == "bonded" or tested.passes else f" {OUTSIDE}."
    asked = (
        f"asks for {words.thickness(needed.overlay_m)} of new slab"
        if needed.overlay_m > 0
        else "is carried by the old slab as it is"
    )
    found = []
    for check in needed.checks:
        bending = check.quantity == "thickness_m"
        found.append(
            Finding(
                topic="loads",
                says=f"{capital(load.name)} {asked}, {system}.{outside}"
                if bending
                else f"{capital(load.name)}, pressed through the new slab alone.",
                weighs="good" if check.passes else "put right",
                remedy=""
                if check.passes
                else "make the new slab thicker there, put a wider plate under the load, or ask a "
                "licensed engineer",
                check=check,
                for_systems=(system,),
                decisive_for=() if check.passes else (system,),
            )
        )
    return found


def _assumptions(condition: float) -> list[Assumption]:
    return [
        Assumption(
            about="where wheels and posts stand",
            taken="at a free edge of a panel, anywhere on the floor",
            because="nothing keeps them from it; joints are taken to carry nothing across",
        ),
        Assumption(
            about="safety in bending under wheels and posts",
            taken=f"{_SAFETY.value:g} on a flexural strength of 7.5 times the root of the strength",
            because=f"{_SAFETY.cited}; ACI 318 (memory), the lower of the two published rules",
        ),
        Assumption(
            about="condition of the old slab in the overlay equation",
            taken=f"factor {condition:g}, {write_share(condition)} of a whole slab",
            because="1 without cracks, 0.75 when every crack was read twice and stood still, "
            "0.35 otherwise (our reading of the published definitions)",
        ),
    ]
