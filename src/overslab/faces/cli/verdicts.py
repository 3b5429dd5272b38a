"""The verdict in plain text: the ruling, what holds it back, every finding beside its limit."""

from __future__ import annotations

from collections.abc import Sequence

from overslab.faces.cli.tables import facts, foot
from overslab.ground.units import Units, write_by_suffix, write_thickness
from overslab.handbook.checks import Check
from overslab.handbook.limits import Limit
from overslab.job.records import Job
from overslab.verdict.records import Finding, Verdict

_WEIGHS = {"good": "good", "put right": "PUT RIGHT", "stop": "STOP", "not known": "NOT KNOWN"}
# Cracks are read finer than a floor is marked.
_FINE_M = {"feet-inches": 0.0254 / 64, "tenths": 0.0003048, "metric": 0.0001}


def verdict_answer(verdict: Verdict, job: Job) -> list[str]:
    """Ruling, systems, lists of what is to be done, then finding by finding."""
    units = job.units
    lines = [f"Ruling: {verdict.ruling}.", "", facts(_pairs(verdict, units))]
    for head, texts in (
        ("For a licensed engineer:", verdict.engineer),
        ("Put these right:", verdict.put_right),
        ("Provided that these turn out good:", verdict.provided),
        ("Not known:", () if verdict.provided else verdict.not_known),
        ("What would change the ruling:", verdict.would_change),
    ):
        if texts:
            lines += ["", head, *(f"  - {text}" for text in texts)]
    for topic in dict.fromkeys(one.topic for one in verdict.findings):
        lines += ["", f"{topic.capitalize()}:"]
        for one in verdict.findings:
            if one.topic == topic:
                lines += _finding(one, units)
    return [*lines, *foot(verdict.remarks, (*job.assumptions, *verdict.assumptions))]


def _pairs(verdict: Verdict, units: Units) -> list[tuple[str, str]]:
    pairs = [
        ("lies", verdict.system or "neither way: there is no room"),
        ("least thickness", write_thickness(verdict.least_thickness_m, units)),
    ]
    for room in verdict.systems:
        said = "; ".join(room.reasons)
        pairs.append((room.system, f"{'can be had' if room.allowed else 'cannot be had'}: {said}"))
    mass = verdict.added_weight_kg_per_m2
    if mass is not None:
        pairs.append(("weight added", write_by_suffix("added_kg_per_m2", mass, units)))
    if verdict.hollows:
        pairs.append(("hollow", write_by_suffix("hollow_m2", verdict.hollow_m2, units)))
    if verdict.joints_to_match:
        pairs.append(("joints to match if bonded", ", ".join(verdict.joints_to_match)))
    pairs.append(("dry floor promised", "yes" if verdict.dry_floor else "no"))
    return pairs


def _finding(one: Finding, units: Units) -> list[str]:
    only = "" if len(one.for_systems) > 1 else f" ({one.for_systems[0]})"
    lines = [f"  {_WEIGHS[one.weighs]}{only}: {one.says}"]
    if one.check is not None:
        lines.append(f"      {_beside(one.check, units)}")
    lines += [f"      published: {_limit(limit, units)}" for limit in one.published]
    lines += [
        f"      published: {advice.says} [{advice.source}, {advice.known}]" for advice in one.advice
    ]
    if one.remedy and one.weighs != "good":
        lines.append(f"      do: {one.remedy}")
    return lines


def _beside(check: Check, units: Units) -> str:
    fine = Units(units.system, _FINE_M[units.system]) if _small(check.quantity) else units
    found, allowed = (
        write_by_suffix(check.quantity, value, fine) for value in (check.found, check.allowed)
    )
    verdict = "holds" if check.passes else "DOES NOT HOLD"
    return f"found {found}, allowed {check.comparison} {allowed}: {verdict} ({check.source})"


def _limit(limit: Limit, units: Units) -> str:
    fine = Units(units.system, _FINE_M[units.system]) if _small(limit.quantity) else units
    note = f"; {limit.note}" if limit.note else ""
    value = write_by_suffix(limit.quantity, limit.value, fine)
    return f"{limit.name}: {limit.bound} {value} [{limit.cited}{note}]"


def _small(quantity: str) -> bool:
    return quantity.endswith(("width_m", "step_m", "growth_m"))


def lead_of(verdict: Verdict) -> Sequence[tuple[str, str]]:
    """The verdict in one line of the summary."""
    loose = ""
    if verdict.ruling.startswith("over it") and verdict.put_right:
        loose += f"; to put right first: {len(verdict.put_right)}"
    if verdict.provided:
        loose += f"; not looked at: {len(verdict.provided)}"
    return [("verdict", f"{verdict.ruling}{loose}")]
