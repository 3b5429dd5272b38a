"""What is a licensed engineer's business, and what lies in the floor that nobody may cut."""

from __future__ import annotations

from overslab.verdict.records import Finding, Findings, System
from overslab.verdict.words import Words

BOTH: tuple[System, ...] = ("unbonded", "bonded")
ENGINEER = "licensed engineer"


def structure_findings(findings: Findings) -> list[Finding]:
    """On ground or suspended, tendons, lift posts."""
    return [_stands_on(findings), _tendons(findings), _lift(findings)]


def _stands_on(findings: Findings) -> Finding:
    if findings.stands_on == "ground":
        return Finding("structure", "The old slab lies on the ground.", "good")
    if findings.stands_on == "suspended":
        return Finding(
            topic="structure",
            says="The old slab is suspended. Whether it may carry a second slab is not for a crew "
            f"to judge: stop, and ask a {ENGINEER}.",
            weighs="stop",
            remedy=f"have a {ENGINEER} answer in writing for the weight of the new slab and what "
            "will stand on it; pour nothing before",
            decisive_for=BOTH,
            engineer=True,
        )
    return Finding(
        topic="structure",
        says="Nobody has looked whether the old slab lies on the ground or is suspended.",
        weighs="not known",
        remedy="find out: look from below and along the edges, ask for the drawings",
        if_bad="if it is suspended, it is for a licensed engineer",
        decisive_for=BOTH,
    )


def _tendons(findings: Findings) -> Finding:
    if findings.tendons == "no":
        return Finding("structure", "There are no tendons in the old slab.", "good")
    if findings.tendons == "yes":
        return Finding(
            topic="structure",
            says="There are stressed tendons in the old slab. One that is cut or overloaded can "
            f"break out of the floor with great force: stop, and ask a {ENGINEER}.",
            weighs="stop",
            remedy=f"have a {ENGINEER} say in writing whether and how; until then nobody drills, "
            "saws or chips",
            decisive_for=BOTH,
            engineer=True,
        )
    return Finding(
        topic="structure",
        says="Nobody has looked whether there are stressed tendons in the old slab.",
        weighs="not known",
        remedy="find out: a stamp or plate in the floor, round patches along the edge, the "
        "drawings, a scan; until then nobody drills, saws or chips",
        if_bad="if there are, it is for a licensed engineer",
        decisive_for=BOTH,
    )


def _lift(findings: Findings) -> Finding:
    if findings.lift_posts == "no":
        return Finding("structure", "No vehicle lift is bolted to the floor.", "good")
    if findings.lift_posts == "not known":
        return Finding(
            topic="structure",
            says="Nobody has said whether a vehicle lift stands or shall stand on the floor.",
            weighs="not known",
            remedy="ask; a lift never counts on the new slab to hold its anchors",
        )
    if findings.lift_on_own_pads == "yes":
        return Finding(
            topic="structure",
            says="A vehicle lift stands on pads of its own, which are no part of the new slab. The "
            "new slab holds no anchor of it; the maker of the lift and a licensed engineer answer "
            "for the pads.",
            weighs="good",
            remedy="keep a soft strip round each pad; change nothing at its anchors",
            engineer=True,
        )
    return Finding(
        topic="structure",
        says="A vehicle lift is bolted to the old slab. The new slab must not be counted as the "
        f"concrete that holds its anchors: stop, and ask its maker and a {ENGINEER}.",
        weighs="stop",
        remedy=f"have the maker of the lift and a {ENGINEER} say in writing what its feet stand "
        "on, as a rule pads of their own through both slabs; or take the lift out",
        decisive_for=BOTH,
        engineer=True,
    )


def in_floor_findings(findings: Findings, words: Words) -> list[Finding]:
    """Heating pipes: where they lie nobody may guess."""
    if findings.heating_pipes == "no":
        return [Finding("in the floor", "There are no heating pipes in the old slab.", "good")]
    if findings.heating_pipes == "not known":
        return [
            Finding(
                topic="in the floor",
                says="Nobody has looked whether there are heating pipes in the old slab.",
                weighs="not known",
                remedy="find out: manifolds on a wall, the drawings, a warm floor seen through a "
                "thermal camera; until then no drilling anywhere",
            )
        ]
    test = "a heating fitter pressure-tests each circuit before and after, and someone watches the "
    test += "gauge while it is poured"
    if findings.heating_pipe_depth_m is None:
        return [
            Finding(
                topic="in the floor",
                says="There are heating pipes in the old slab and nobody knows how deep: no "
                "drilling, sawing or chipping anywhere.",
                weighs="put right",
                remedy=f"{test}; find their depth before any anchor, dowel or saw cut goes below "
                "the new slab",
            )
        ]
    depth = words.thickness(findings.heating_pipe_depth_m)
    return [
        Finding(
            topic="in the floor",
            says=f"There are heating pipes in the old slab, {depth} down where it was proven.",
            weighs="put right",
            remedy=f"{test}; keep every drill, saw and chisel well above {depth}",
        )
    ]


def no_drilling(findings: Findings) -> tuple[str, ...]:
    """Why nobody drills, saws or cuts into the old slab; empty when nothing speaks against it."""
    reasons = []
    if findings.tendons != "no":
        known = "are" if findings.tendons == "yes" else "may be"
        reasons.append(f"there {known} stressed tendons in the old slab")
    if findings.heating_pipes == "not known":
        reasons.append("there may be heating pipes in the old slab")
    elif findings.heating_pipes == "yes":
        deep = findings.heating_pipe_depth_m is not None
        reasons.append(
            "there are heating pipes in the old slab"
            + (", proven in places only" if deep else " at a depth nobody knows")
        )
    return tuple(reasons)
