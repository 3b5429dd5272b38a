"""Is the old slab sound enough, and its face rough and clean enough, to be a base?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import shapely

from overslab.ground.units import write_pressure
from overslab.handbook import bonding, old_slab
from overslab.handbook.checks import Check
from overslab.handbook.limits import advice_for
from overslab.oldslab.records import OldSlab
from overslab.verdict.practice import cited
from overslab.verdict.published import published
from overslab.verdict.records import Finding, Findings, Practice
from overslab.verdict.structure import BOTH
from overslab.verdict.words import Words, capital, listed

_DIRT = {
    "oil": "oil",
    "paint": "paint",
    "adhesive": "adhesive",
    "scaled": "a scaled, loose face",
}


@dataclass(frozen=True, slots=True)
class HollowAreas:
    """Area of each hollow place on the floor, and of all together without counting twice."""

    each_m2: Mapping[str, float]
    total_m2: float
    floor_m2: float

    @property
    def share(self) -> float:
        return self.total_m2 / self.floor_m2


def hollow_areas(oldslab: OldSlab, findings: Findings) -> HollowAreas:
    """Hollow outlines cut to the floor."""
    floor = oldslab.plan.polygon()
    pieces = {
        hollow.name: shapely.Polygon(hollow.corners).intersection(floor)
        for hollow in findings.hollows
    }
    return HollowAreas(
        each_m2={name: float(piece.area) for name, piece in pieces.items()},
        total_m2=float(shapely.union_all(list(pieces.values())).area),
        floor_m2=float(floor.area),
    )


def sound_findings(
    findings: Findings, hollow: HollowAreas, practice: Practice, words: Words
) -> list[Finding]:
    """Sounding, hollow places, and what is known of the old concrete."""
    found = [_sounded(findings)]
    for one in findings.hollows:
        found += _hollow(one.name, hollow.each_m2[one.name], one.found_by, practice, words)
    if findings.hollows:
        found.append(_share(hollow, practice, words))
    return [*found, _thickness(findings, words), _strength(findings, words)]


def _sounded(findings: Findings) -> Finding:
    if findings.sounded == "yes":
        return Finding("soundness", "The whole floor was sounded.", "good")
    return Finding(
        topic="soundness",
        says="The floor was not sounded all over: nobody knows where it is hollow."
        if findings.sounded == "no"
        else "Nobody has said whether the whole floor was sounded.",
        weighs="not known",
        remedy="sound the whole floor by hammer and chain and outline what sounds dull",
        decisive_for=("bonded",),
        advice=advice_for("hollow spots"),
    )


def _hollow(
    name: str, area_m2: float, found_by: str, practice: Practice, words: Words
) -> list[Finding]:
    by = f" ({found_by})" if found_by else ""
    says = f"{capital(name)} sounds hollow over {words.area(area_m2)}{by}."
    check = Check(
        name=f"area of {name}",
        quantity="hollow_area_m2",
        found=area_m2,
        comparison="at most",
        allowed=practice.hollow_each_most_m2,
        source=cited(practice),
        slack=1e-6,
        where=name,
    )
    unbonded = Finding(
        topic="soundness",
        says=says,
        weighs="good" if check.passes else "put right",
        remedy="" if check.passes else f"fill under {name} by grouting, or break it out and fill",
        check=check,
        published=published(old_slab.HOLLOW_EACH),
        for_systems=("unbonded",),
    )
    bonded = Finding(
        topic="soundness",
        says=says,
        weighs="put right",
        remedy=f"break out {name} to sound concrete; nothing bonds to a loose layer",
        check=check,
        published=published(old_slab.HOLLOW_EACH),
        for_systems=("bonded",),
        decisive_for=() if check.passes else ("bonded",),
    )
    return [unbonded, bonded]


def _share(hollow: HollowAreas, practice: Practice, words: Words) -> Finding:
    check = Check(
        name="hollow share of the floor",
        quantity="hollow_share",
        found=hollow.share,
        comparison="at most",
        allowed=practice.hollow_share_most,
        source=cited(practice),
        slack=1e-9,
    )
    says = f"In all {words.found(check)} of the floor sounds hollow."
    if check.passes:
        beside = published(old_slab.HOLLOW_SHARE)
        return Finding("soundness", says, "good", check=check, published=beside)
    return Finding(
        topic="soundness",
        says=says,
        weighs="put right",
        remedy="so much hollow floor is no base: grout it and sound it again, or tear it out",
        check=check,
        published=published(old_slab.HOLLOW_SHARE),
        decisive_for=BOTH,
        advice=advice_for("hollow spots"),
    )


def _thickness(findings: Findings, words: Words) -> Finding:
    beside = tuple(one for one in bonding.BASE_LEAST if not one.practice)
    if findings.thickness_m is None:
        return Finding(
            topic="soundness",
            says="Nobody has measured how thick the old slab is.",
            weighs="not known",
            remedy="look at an edge, or drill one small hole where nothing speaks against drilling",
            published=beside,
        )
    says = f"The old slab is {words.thickness(findings.thickness_m)} thick."
    return Finding("soundness", says, "good", published=beside)


def _strength(findings: Findings, words: Words) -> Finding:
    if findings.strength_pa is None:
        return Finding(
            topic="soundness",
            says="The strength of the old concrete is not known.",
            weighs="not known",
            remedy="a core tells it; a rebound hammer only hints",
        )
    says = f"The old concrete has {write_pressure(findings.strength_pa, words.units)}."
    return Finding("soundness", says, "good")


def surface_findings(findings: Findings, practice: Practice) -> list[Finding]:
    """Clean, rough, and holding on: asked of a bonded top only; a sheet forgives a dirty face."""
    return [*_face(findings), _profile(findings, practice), _pull_off(findings, practice)]


def _face(findings: Findings) -> list[Finding]:
    dirt = [words for face, words in _DIRT.items() if face in findings.surface]
    found = []
    if dirt:
        found.append(
            Finding(
                topic="surface",
                says=f"The face of the old slab has {listed(dirt)} on it.",
                weighs="put right",
                remedy="mill or shot-blast to bare, rough concrete; oil and solvent also sit "
                "inside old concrete, so pull a patch off before trusting it",
                for_systems=("bonded",),
                decisive_for=("bonded",),
                advice=advice_for("bonded preparation"),
            )
        )
        loose = "scaled" in findings.surface
        found.append(
            Finding(
                topic="surface",
                says=f"The face of the old slab has {listed(dirt)} on it; under a sheet that does "
                "no harm" + (", but it must be flat." if loose else "."),
                weighs="put right" if loose else "good",
                remedy="sweep off what is loose, fill worn places with mortar to a plane"
                if loose
                else "",
                for_systems=("unbonded",),
                advice=advice_for("unbonded preparation"),
            )
        )
    if "not known" in findings.surface or not findings.surface:
        found.append(
            Finding(
                topic="surface",
                says="Nobody has said what is on the face of the old slab.",
                weighs="not known",
                remedy="look for oil, paint, adhesive and scaling; let water drops stand on it and "
                "see whether they soak in",
                for_systems=("bonded",),
                decisive_for=("bonded",),
            )
        )
    elif not dirt:
        found.append(Finding("surface", "The face of the old slab is clean.", "good"))
    return found


def _profile(findings: Findings, practice: Practice) -> Finding:
    beside = published(old_slab.PROFILE)
    if findings.profile_csp is None:
        return Finding(
            topic="surface",
            says="The roughness of the prepared face was not compared with the CSP chips.",
            weighs="not known",
            remedy=f"prepare to CSP {practice.profile_least_csp} or rougher, compare with the "
            "chips, keep a picture with a coin in it",
            published=beside,
            for_systems=("bonded",),
        )
    check = Check(
        name="roughness of the prepared face (CSP)",
        quantity="profile_number",
        found=float(findings.profile_csp),
        comparison="at least",
        allowed=float(practice.profile_least_csp),
        source=cited(practice),
    )
    return Finding(
        topic="surface",
        says=f"The face was prepared to CSP {findings.profile_csp}.",
        weighs="good" if check.passes else "put right",
        remedy=""
        if check.passes
        else f"prepare it again, to CSP {practice.profile_least_csp} or rougher",
        check=check,
        published=beside,
        for_systems=("bonded",),
        decisive_for=() if check.passes else ("bonded",),
    )


def _pull_off(findings: Findings, practice: Practice) -> Finding:
    beside = published(old_slab.PULL_OFF_STRENGTH)
    advice = advice_for("pull-off strength")
    if findings.pull_off_pa is None:
        return Finding(
            topic="surface",
            says="No pull-off test was made on the prepared face.",
            weighs="not known",
            remedy="pull off three dollies on the prepared face and write down where each broke",
            published=beside,
            for_systems=("bonded",),
            advice=advice,
        )
    check = Check(
        name="pull-off strength of the prepared face",
        quantity="bond_strength_pa",
        found=findings.pull_off_pa,
        comparison="at least",
        allowed=practice.pull_off_least_pa,
        source=cited(practice),
        slack=1.0,
    )
    return Finding(
        topic="surface",
        says="The prepared face was pulled off."
        if check.passes
        else "The prepared face pulls off too easily.",
        weighs="good" if check.passes else "put right",
        remedy=""
        if check.passes
        else "take the weak layer off, prepare deeper, and pull again; if it breaks in the old "
        "concrete itself, a bonded top has nothing to hold on to",
        check=check,
        published=beside,
        for_systems=("bonded",),
        decisive_for=() if check.passes else ("bonded",),
        advice=advice,
    )
