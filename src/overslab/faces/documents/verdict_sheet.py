"""The verdict in words: the ruling, what holds it back, every finding beside what is allowed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from overslab.faces.documents.blocks import Block, Bullets, Column, Facts, Heading, Para, Table
from overslab.faces.documents.paper import Layout
from overslab.faces.documents.words import STRUCTURE, assumption_line, counted
from overslab.ground.units import (
    Units,
    write_area,
    write_by_suffix,
    write_pressure,
    write_share,
    write_thickness,
)
from overslab.handbook.limits import Advice, Limit
from overslab.job.records import Walk
from overslab.verdict.records import Finding, Verdict

# Cracks are read finer than a floor is marked.
_FINE_M = {"feet-inches": 0.0254 / 64, "tenths": 0.0003048, "metric": 0.0001}
_FINE = ("width_m", "step_m", "growth_m")
_WEIGHS = {"good": "good", "put right": "put right", "stop": "STOP", "not known": "not known"}


def fine(walk: Walk) -> Units:
    """The job's units with the marks of a crack comparator."""
    return replace(walk.job.units, mark_m=_FINE_M[walk.job.units.system])


def written(walk: Walk, quantity: str, value: float) -> str:
    """A value in the job's units; what is told of a crack is written finer."""
    units = fine(walk) if quantity.endswith(_FINE) else walk.job.units
    return write_by_suffix(quantity, value, units)


def verdict_sheet(walk: Walk) -> Layout:
    """Ruling and what to do first; then every finding, what print says, and the practice."""
    verdict = walk.verdict
    blocks: list[Block] = [
        Facts((("ruling", ruling_words(verdict)),), size=14.0),
        Facts(tuple(_pairs(walk, verdict))),
        *_listed("For a licensed engineer", verdict.engineer),
        *_no_drilling(verdict),
        *_listed("Put these right", verdict.put_right, boxes=True),
        *_listed("The ruling leans on these turning out good", verdict.provided, boxes=True),
        *(_listed("Not known", verdict.not_known, boxes=True) if not verdict.provided else ()),
        *_listed("What would change the ruling", verdict.would_change),
        Heading("What was found, beside what is allowed"),
        _findings(walk, verdict),
        *_published(walk, verdict),
        Heading(f"Owner's practice of {verdict.practice.date}"),
        Facts(_practice(walk), size=9.0),
        Para(f"Mind: {STRUCTURE}", "mind"),
        Para(assumption_line(walk, room="verdict"), "small"),
    ]
    return Layout(tuple(block for block in blocks if not isinstance(block, Para) or block.text))


def ruling_words(verdict: Verdict) -> str:
    """The ruling, what is to be put right on the way, and how much it leans on."""
    told: str = verdict.ruling
    if verdict.ruling.startswith("over it") and verdict.put_right:
        told += f", with {counted(len(verdict.put_right), 'thing', 'things')} to put right first"
    if verdict.provided:
        one = len(verdict.provided) == 1
        open_matters = counted(len(verdict.provided), "matter", "matters")
        told += f", provided that {open_matters} not looked at turn{'s' if one else ''} out good"
    return told


def _pairs(walk: Walk, verdict: Verdict) -> list[tuple[str, str]]:
    units = walk.job.units
    pairs = [("least thickness", write_thickness(verdict.least_thickness_m, units))]
    for room in verdict.systems:
        can = "can be had" if room.allowed else "cannot be had"
        pairs.append((room.system, f"{can}: {'; '.join(room.reasons)}"))
    if verdict.added_weight_kg_per_m2 is not None:
        mass = write_by_suffix("added_kg_per_m2", verdict.added_weight_kg_per_m2, units)
        pairs.append(("weight added", f"{mass} at the thinnest"))
    if verdict.hollows:
        places = counted(len(verdict.hollows), "place", "places")
        pairs.append(("hollow", f"{write_area(verdict.hollow_m2, units)} in {places}"))
    if verdict.joints_to_match:
        pairs.append(("joints to match if bonded", ", ".join(verdict.joints_to_match)))
    pairs.append(
        ("dry floor", "may be promised" if verdict.dry_floor else "not promised, see water")
    )
    return pairs


def _listed(head: str, texts: Sequence[str], *, boxes: bool = False) -> list[Block]:
    return [Heading(head), Bullets(tuple(texts), boxes=boxes)] if texts else []


def _no_drilling(verdict: Verdict) -> list[Block]:
    if not verdict.no_drilling:
        return []
    return [
        Heading("No drilling, sawing or chipping into the old slab"),
        Bullets(tuple(verdict.no_drilling)),
    ]


def _findings(walk: Walk, verdict: Verdict) -> Table:
    """Findings of the system that is judged first, then those of the other alone."""
    system = verdict.system
    mine = [one for one in verdict.findings if system is None or system in one.for_systems]
    other = [one for one in verdict.findings if one not in mine]
    rows: list[tuple[str, ...]] = []
    strong: list[int] = []
    for one in (*mine, *other):
        if one.weighs != "good":
            strong.append(len(rows))
        rows.append((_topic(one), one.says, *_cells(walk, one), _WEIGHS[one.weighs]))
    return Table(
        (
            Column("matter", share=0.9),
            Column("what was found", share=2.6),
            Column("found", "right"),
            Column("allowed", "right"),
            Column("by", share=1.1),
            Column("published", share=0.8),
            Column("weighs"),
        ),
        tuple(rows),
        size=8.0,
        strong=tuple(strong),
        name="Bold: to be put right, stopped, or not known; (unbonded), (bonded): only for that",
    )


def _topic(one: Finding) -> str:
    return one.topic if len(one.for_systems) > 1 else f"{one.topic} ({one.for_systems[0]})"


def _cells(walk: Walk, one: Finding) -> tuple[str, str, str, str]:
    """Found, allowed and by whom; and what sources give for the same quantity."""
    check = one.check
    if check is None:
        return ("", "", "", "")
    values = sorted({limit.value for limit in one.published if limit.quantity == check.quantity})
    return (
        written(walk, check.quantity, check.found),
        f"{check.comparison} {written(walk, check.quantity, check.allowed)}",
        check.source,
        ", ".join(dict.fromkeys(written(walk, check.quantity, value) for value in values)),
    )


def _published(walk: Walk, verdict: Verdict) -> list[Block]:
    """Every limit and every piece of advice once, with its source and how it is known."""
    limits = dict.fromkeys(limit for one in verdict.findings for limit in one.published)
    advice = dict.fromkeys(words for one in verdict.findings for words in one.advice)
    blocks: list[Block] = []
    if limits:
        blocks += [
            Heading("What published sources say beside the owner's practice"),
            Table(
                (
                    Column("about", share=0.9),
                    Column("limit", share=1.5),
                    Column("value", "right"),
                    Column("source, edition and how it is known", share=1.8),
                ),
                tuple(_limit_row(walk, limit) for limit in limits),
                size=8.0,
                name="Sources disagree; none is averaged. The owner's practice picks.",
            ),
        ]
    if advice:
        rows = tuple((one.topic, one.says, _cited(one)) for one in advice)
        columns = (Column("about", share=0.6), Column("advice", share=2), Column("source", share=1))
        blocks.append(Table(columns, rows, size=8.0, name="What sources say in words"))
    return blocks


def _limit_row(walk: Walk, limit: Limit) -> tuple[str, str, str, str]:
    name = f"{limit.name} ({limit.note})" if limit.note else limit.name
    value = written(walk, limit.quantity, limit.value)
    return (limit.topic, name, f"{limit.bound} {value}", limit.cited)


def _cited(advice: Advice) -> str:
    edition = f", {advice.edition}" if advice.edition else ""
    return f"{advice.source}{edition} ({advice.known})"


def _practice(walk: Walk) -> tuple[tuple[str, str], ...]:
    practice, units = walk.verdict.practice, walk.job.units
    return (
        ("unbonded", f"{write_thickness(practice.unbonded_least_m, units)} or more everywhere"),
        ("bonded", f"from {write_thickness(practice.bonded_least_m, units)}"),
        ("step across a crack", f"up to {write_thickness(practice.crack_step_most_m, fine(walk))}"),
        (
            "change of a crack between readings",
            f"up to {write_thickness(practice.crack_growth_most_m, fine(walk))}",
        ),
        ("hollow share of the floor", f"up to {write_share(practice.hollow_share_most)}"),
        ("one hollow place", f"up to {write_area(practice.hollow_each_most_m2, units)}"),
        ("roughness under a bonded top", f"CSP {practice.profile_least_csp} or rougher"),
        (
            "pull-off under a bonded top",
            f"{write_pressure(practice.pull_off_least_pa, units)} or more",
        ),
        *((("note", practice.note),) if practice.note else ()),
    )
