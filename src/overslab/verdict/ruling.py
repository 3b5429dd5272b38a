"""From weighed findings to one ruling, and what it leans on.

The rule, in full. For one system, of the findings that concern it:

1. any stop that no engineer can lift: do not pour over this;
2. any stop for an engineer, any finding that decides and is not good (bad or not known alike), or
   no room for the system: put these right first;
3. otherwise: over it. What is not known and does not decide is told as a proviso.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from overslab.verdict.records import Finding, Ruling, System, SystemRoom
from overslab.verdict.words import capital

ORDER: tuple[Ruling, ...] = (
    "over it, unbonded",
    "over it, bonded",
    "put these right first",
    "do not pour over this",
)
OVER_IT = ORDER[:2]


def concerning(findings: Iterable[Finding], system: System | None) -> tuple[Finding, ...]:
    """Findings that concern a system; while there is none, those that concern either alike."""
    return tuple(
        one
        for one in findings
        if system in one.for_systems
        or (system is None and (len(one.for_systems) > 1 or one.topic == "thickness"))
    )


def holds_back(finding: Finding, system: System | None) -> bool:
    """Whether a finding keeps the ruling from being over it."""
    if finding.weighs == "good":
        return False
    if finding.weighs == "stop":
        return True
    return bool(finding.decisive_for) if system is None else system in finding.decisive_for


def rule(findings: Iterable[Finding], *, system: System | None, room: SystemRoom | None) -> Ruling:
    """The ruling for one system; ``system`` is None when there is room for neither."""
    mine = concerning(findings, system)
    if any(one.weighs == "stop" and not one.engineer for one in mine):
        return "do not pour over this"
    if system is None or room is None or not room.allowed:
        return "put these right first"
    if any(holds_back(one, system) for one in mine):
        return "put these right first"
    return "over it, unbonded" if system == "unbonded" else "over it, bonded"


def best(
    findings: Sequence[Finding], rooms: Sequence[SystemRoom]
) -> tuple[Ruling, SystemRoom | None]:
    """The system with the better ruling; then the one that needs nothing moved; then the first."""
    open_to_us = [room for room in rooms if room.allowed]
    if not open_to_us:
        return rule(findings, system=None, room=None), None
    ruled = [(rule(findings, system=room.system, room=room), room) for room in open_to_us]

    def rank(pair: tuple[Ruling, SystemRoom]) -> tuple[int, bool]:
        ruling, room = pair
        return max(1, ORDER.index(ruling)), bool(room.needs_moved)

    return min(ruled, key=rank)


def sentence(text: str) -> str:
    """A remedy as a sentence of its own."""
    text = text.strip()
    return f"{capital(text)}{'' if text.endswith('.') else '.'}" if text else ""


def to_put_right(findings: Sequence[Finding], system: System | None) -> tuple[str, ...]:
    """What is to be done, first what holds the ruling back."""
    mine = concerning(findings, system)
    first = [one for one in mine if holds_back(one, system)]
    then = [one for one in mine if one.weighs == "put right" and one not in first]
    return _unique(sentence(one.remedy) for one in (*first, *then))


def not_known(findings: Sequence[Finding], system: System | None) -> tuple[str, ...]:
    return _unique(one.says for one in concerning(findings, system) if one.weighs == "not known")


def provisos(findings: Sequence[Finding], system: System | None) -> tuple[str, ...]:
    """What is not known and does not decide: the ruling leans on it turning out good."""
    return _unique(
        f"{one.says} {sentence(one.remedy)}"
        for one in concerning(findings, system)
        if one.weighs == "not known" and not holds_back(one, system)
    )


def for_engineer(findings: Sequence[Finding], system: System | None) -> tuple[str, ...]:
    return _unique(one.says for one in concerning(findings, system) if one.engineer)


def would_change(
    findings: Sequence[Finding],
    rooms: Sequence[SystemRoom],
    *,
    ruling: Ruling,
    system: System | None,
) -> tuple[str, ...]:
    """What would make the ruling better, and what would undo it."""
    told = []
    mine = concerning(findings, system)
    open_matters = [one for one in mine if one.weighs == "not known"]
    if ruling in OVER_IT:
        told.append(
            "A crack that grows, a slab that rocks under a wheel, or a void found before the pour."
        )
        if open_matters:
            told.append("Anything on the list of what nobody has looked at that turns out bad.")
    else:
        if any(one.weighs == "stop" and not one.engineer for one in mine):
            told.append(
                "With what stops it cured and proven so, it is judged again from the start."
            )
        elif system is not None:
            told.append(f"With all that holds it back put right and found good: over it, {system}.")
        told += [f"{one.says} {sentence(one.if_bad)}" for one in open_matters if one.if_bad]
    for room in rooms:
        if not room.allowed:
            short = [reason for reason in room.reasons if "short" in reason or "moved" in reason]
            told.append(f"More room would allow it {room.system}: {'; '.join(short)}.")
            if room.if_less:
                told.append(room.if_less)
        elif room.system != system and ruling in OVER_IT:
            told += [
                f"Lying {room.system} instead: {sentence(one.remedy)}"
                for one in concerning(findings, room.system)
                if holds_back(one, room.system)
            ][:1]
    return _unique(told)


def _unique(texts: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(text for text in texts if text))
