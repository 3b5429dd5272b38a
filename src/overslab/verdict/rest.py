"""The ground under the old slab: at rest or moving, why it sank, voids, frost."""

from __future__ import annotations

from overslab.handbook.limits import advice_for
from overslab.verdict.records import Finding, Findings
from overslab.verdict.structure import BOTH


def ground_findings(findings: Findings, *, growing: str) -> list[Finding]:
    """``growing`` names the cracks whose dated readings show that they move."""
    return [
        _rest(findings, growing=growing),
        _cause(findings),
        _undermined(findings),
        _frost(findings),
    ]


def _rest(findings: Findings, *, growing: str) -> Finding:
    if findings.still_moving == "yes" or growing:
        how = "The floor still moves" + (f", as the readings of {growing} show" if growing else "")
        if findings.still_moving == "no":
            how += ", though it was said to be at rest"
        if findings.cause_cured != "yes":
            alive = "is not cured" if findings.cause_cured == "no" else "may not be cured"
            return Finding(
                topic="ground",
                says=f"{how}, and what makes it move {alive}.",
                weighs="stop",
                remedy="find the cause and cure it; then dated readings until two, weeks apart, "
                "show the floor at rest; or tear the floor out",
                decisive_for=BOTH,
                advice=(*advice_for("settlement"), *advice_for("reject")),
            )
        return Finding(
            topic="ground",
            says=f"{how}; its cause is said to be cured.",
            weighs="put right",
            remedy="wait, and take dated readings until two, weeks apart, show the floor at rest",
            decisive_for=BOTH,
            advice=advice_for("settlement"),
        )
    if findings.still_moving == "no":
        return Finding("ground", "The floor is at rest.", "good")
    return Finding(
        topic="ground",
        says="Nobody knows whether the floor still moves; one look does not tell.",
        weighs="not known",
        remedy="find out: marks across the cracks and at the walls, read on two days weeks apart",
        if_bad="if it moves and its cause is not cured: do not pour over this",
        decisive_for=BOTH,
        advice=advice_for("settlement"),
    )


def _cause(findings: Findings) -> Finding:
    cause = findings.cause.strip().rstrip(".")
    if not cause:
        return Finding(
            topic="ground",
            says="Nobody has said why the floor sank; what has no name cannot be known cured.",
            weighs="not known",
            remedy="find out: fill, washed-out ground, a leaking pipe, roots, clay, an old pit",
            decisive_for=BOTH,
        )
    if findings.cause_cured == "yes":
        return Finding("ground", f"Why it sank: {cause}. That is cured.", "good")
    if findings.cause_cured == "no":
        return Finding(
            topic="ground",
            says=f"Why it sank: {cause}. That is not cured.",
            weighs="put right",
            remedy="cure the cause first, or the new slab goes down with the old one",
            decisive_for=BOTH,
        )
    return Finding(
        topic="ground",
        says=f"Why it sank: {cause}. Nobody knows whether that is cured.",
        weighs="not known",
        remedy="find out whether the cause is still at work, and cure it",
        decisive_for=BOTH,
    )


def _undermined(findings: Findings) -> Finding:
    if findings.undermined == "no":
        return Finding("ground", "The old slab is not undermined.", "good")
    if findings.undermined == "yes":
        return Finding(
            topic="ground",
            says="The old slab is undermined: there is nothing under part of it.",
            weighs="put right",
            remedy="fill under it by grouting, or break that part out and fill; where a footing or "
            "a wall stands over the hole, ask a licensed engineer",
            decisive_for=BOTH,
        )
    return Finding(
        topic="ground",
        says="Nobody has looked whether the old slab is undermined.",
        weighs="not known",
        remedy="find out: a rod under the edges, hammer and chain over the rest, water that runs "
        "away under it",
        decisive_for=BOTH,
    )


def _frost(findings: Findings) -> Finding:
    if findings.frost_heave == "no":
        return Finding("ground", "Frost does not lift the floor.", "good")
    if findings.frost_heave == "not known":
        return Finding(
            topic="ground",
            says="Nobody knows whether frost lifts the floor.",
            weighs="not known",
            remedy="ask how it lies in winter; read the marks once in a frost",
            if_bad="if it does: do not pour over this",
        )
    if findings.cause_cured == "yes":
        return Finding(
            topic="ground",
            says="Frost has lifted the floor; the cause is said to be cured.",
            weighs="put right",
            remedy="read the marks through a winter, until a frost leaves it where it was",
            decisive_for=BOTH,
            advice=advice_for("reject"),
        )
    return Finding(
        topic="ground",
        says="Frost lifts the floor, and nothing was done against it.",
        weighs="stop",
        remedy="drain the ground or keep the frost out of it, and prove it through a winter; or "
        "tear out and build on ground that does not freeze",
        decisive_for=BOTH,
        advice=advice_for("reject"),
    )
