"""Where the water comes from, and whether a dry floor may be promised."""

from __future__ import annotations

from overslab.handbook import old_slab
from overslab.handbook.limits import advice_for
from overslab.verdict.published import published
from overslab.verdict.records import Finding, Findings

_SAID = {
    "rain": "rain from outside",
    "vehicles": "snow and rain off vehicles",
    "wash-down": "washing down",
    "ground": "the ground",
    "plumbing": "plumbing",
}


def water_findings(findings: Findings) -> list[Finding]:
    """Sources, the sheet test, the hose test."""
    return [*_sources(findings), *_ground_water(findings), _sheet(findings), _hose(findings)]


def dry_floor(findings: Findings) -> bool:
    """Whether a dry floor may be promised: sources known, the sheet dry, ground water drained."""
    known = "not known" not in findings.water_from
    from_ground = "ground" in findings.water_from
    return (
        known
        and findings.sheet_test == "dry"
        and findings.hose_test == "stays away"
        and (not from_ground or findings.drained == "yes")
        and ("plumbing" not in findings.water_from or findings.cause_cured == "yes")
    )


def _sources(findings: Findings) -> list[Finding]:
    found = []
    named = [_SAID[source] for source in findings.water_from if source != "not known"]
    if named:
        says = f"Water on the floor comes from {' and '.join(named)}."
        found.append(Finding("water", says, "good"))
    if "not known" in findings.water_from:
        found.append(
            Finding(
                topic="water",
                says="Nobody knows where all the water on the floor comes from.",
                weighs="not known",
                remedy="look at gutters and the ground outside, play a hose on door and walls, "
                "tape down a sheet, close the taps and watch the meter",
            )
        )
    if "plumbing" in findings.water_from:
        cured = findings.cause_cured == "yes"
        found.append(
            Finding(
                topic="water",
                says="A pipe leaks at the floor"
                + ("; the cause is said to be cured." if cured else "."),
                weighs="not known" if cured else "put right",
                remedy="have a plumber test the pipe before it lies under new concrete"
                if cured
                else "have a plumber mend and test the pipe before it lies under new concrete",
                decisive_for=() if cured else ("unbonded", "bonded"),
            )
        )
    return found


def _ground_water(findings: Findings) -> list[Finding]:
    if "ground" not in findings.water_from:
        return []
    if findings.drained == "yes":
        return [Finding("water", "The ground water has a drain and a place to go.", "good")]
    says = "Water comes up from the ground and " + (
        "has no drain: no dry floor can be promised."
        if findings.drained == "no"
        else "nobody knows of a drain: no dry floor can be promised."
    )
    return [
        Finding(
            topic="water",
            says=says,
            weighs="put right",
            remedy="give the ground water a drain and a sump first, or leave a dry floor out of "
            "the proposal in so many words",
            decisive_for=("bonded",),
            advice=advice_for("ground water"),
        )
    ]


def _sheet(findings: Findings) -> Finding:
    beside = published(old_slab.SHEET_TEST)
    if findings.sheet_test == "dry":
        says = "A plastic sheet taped down for 48 h stayed dry underneath."
        return Finding("water", says, "good", published=beside)
    if findings.sheet_test == "not done":
        return Finding(
            topic="water",
            says="No plastic sheet was left on the floor for 48 h.",
            weighs="not known",
            remedy="tape down a plastic sheet in two or three places, look under it after 48 h",
            published=beside,
        )
    from_ground = "ground" in findings.water_from
    return Finding(
        topic="water",
        says="A plastic sheet taped down for 48 h was damp underneath"
        + ("." if from_ground else ", though nobody named the ground as a source of water."),
        weighs="put right",
        remedy="find out how high the ground water stands; a dry floor is not promised, and what "
        "is laid on the new top must bear damp",
        published=beside,
        decisive_for=("bonded",),
        advice=advice_for("ground water"),
    )


def _hose(findings: Findings) -> Finding:
    if findings.hose_test == "stays away":
        return Finding("water", "Water from a hose played outside stayed outside.", "good")
    if findings.hose_test == "comes in":
        return Finding(
            topic="water",
            says="Water from a hose played outside came in.",
            weighs="put right",
            remedy="mend the door seal, the gutter or the ground outside; a new top alone does "
            "not keep out water that stands against it",
        )
    return Finding(
        topic="water",
        says="No hose was played on the doors and walls from outside.",
        weighs="not known",
        remedy="play a hose on each door and wall for some minutes, and watch inside",
    )
