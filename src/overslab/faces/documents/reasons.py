"""The sheets that give reasons: what each rule costs, what was assumed, how numbers came about."""

from __future__ import annotations

from collections.abc import Iterable

from overslab.faces.documents.blocks import Block, Bullets, Column, Heading, Para, Table
from overslab.faces.documents.paper import Layout
from overslab.faces.documents.words import rests_on
from overslab.faces.documents.workings import all_workings, filled, fine, known_words, typeset
from overslab.ground.estimate import NORMAL_95
from overslab.ground.notes import Remark
from overslab.ground.units import (
    write_by_suffix,
    write_height,
    write_money,
    write_reading,
    write_slope,
    write_thickness,
)
from overslab.handbook.checks import Check
from overslab.handbook.working import Working
from overslab.job.records import Walk
from overslab.newtop.records import RuleResult, TopOption


def rules_sheet(walk: Walk, top: TopOption) -> Layout:
    """Every rule on the marked top: found beside allowed, and what it costs."""
    rows = tuple(_rule_row(walk, rule) for rule in top.rules)
    strong = tuple(place for place, rule in enumerate(top.rules) if rule.binds)
    blocks: list[Block] = [
        Para(
            "Each rule was checked again on the top as marked, with its heights in whole marks. "
            "A rule "
            "that binds (bold) holds the top where it is; what it costs is what would be saved "
            "if it "
            "gave way by the step shown."
        ),
        Table(
            (
                Column("rule", share=1.5),
                Column("found", "right"),
                Column("allowed", "right"),
                Column("margin", "right"),
                Column("holds"),
                Column("costs", "right", share=0.9),
            ),
            rows,
            size=8.0,
            strong=strong,
            name="Rules found and allowed; those that bind in bold",
        ),
        Heading("Where each limit comes from"),
        Bullets(_sources(top)),
    ]
    return Layout(tuple(blocks))


def _sources(top: TopOption) -> tuple[str, ...]:
    """Each source once, with the rules that rest on it."""
    rules: dict[str, list[str]] = {}
    for rule in top.rules:
        names = rules.setdefault(rule.check.source, [])
        if rule.check.name not in names:
            names.append(rule.check.name)
    return tuple(f"{source}: {', '.join(names)}" for source, names in rules.items())


def _rule_row(walk: Walk, rule: RuleResult) -> tuple[str, ...]:
    check, units = rule.check, walk.job.units
    name = f"{check.name}, {check.where}" if check.where else check.name
    if not rule.binds:
        cost = "does not bind"
    elif rule.cost_per_step is None:
        cost = "no price"
    else:
        write = write_slope if rule.step_unit == "slope" else write_thickness
        money = write_money(rule.cost_per_step, currency=walk.newtop.wishes.currency)
        cost = f"{money} per {write(rule.step, units)}"
    return (name, *_check_cells(walk, check), cost)


def _check_cells(walk: Walk, check: Check) -> tuple[str, str, str, str]:
    units = walk.job.units
    margin = write_by_suffix(check.quantity, abs(check.margin), units)
    nothing = margin == write_by_suffix(check.quantity, 0.0, units)
    if check.margin < 0 and not nothing:
        margin = f"{margin} short"
    holds = "yes" if check.passes else "NO"
    if check.passes and check.margin < 0 and not nothing:
        holds = "yes, within the mark"
    return (
        write_by_suffix(check.quantity, check.found, units),
        f"{check.comparison} {write_by_suffix(check.quantity, check.allowed, units)}",
        margin,
        holds,
    )


def assumptions_sheet(walk: Walk) -> Layout:
    """What was taken where nothing was given, what to ask, what the survey says of itself."""
    blocks: list[Block] = [Heading("Taken where nothing was given")]
    taken = rests_on(walk, room="price")
    if taken:
        blocks.append(
            Table(
                (Column("about", share=1), Column("taken", share=1), Column("because", share=1.4)),
                tuple((one.about, one.taken, one.because) for one in taken),
            )
        )
    else:
        blocks.append(Para("Nothing: all that was needed was given."))
    blocks += _suspects(walk)
    blocks += [Heading("Remarks")]
    remarks = _remarks(walk)
    for weight, words in (
        ("warn", "Beware"),
        ("ask", "To be answered by a person"),
        ("note", "To know"),
    ):
        told = tuple(dict.fromkeys(r.text for r in remarks if r.weight == weight))
        if told:
            blocks += [Para(words, "strong"), Bullets(told, boxes=weight == "ask")]
    if not remarks:
        blocks.append(Para("None."))
    blocks += _survey_checks(walk)
    return Layout(tuple(blocks))


def _suspects(walk: Walk) -> list[Block]:
    units = walk.job.units
    blocks: list[Block] = [Heading("Readings to ask about")]
    if walk.shots.suspects:
        blocks.append(
            Table(
                (
                    Column("point"),
                    Column("line", "right"),
                    Column("set-up"),
                    Column("read", "right"),
                    Column("would fit", "right"),
                    Column("likeliest slip", share=1),
                    Column("after undoing it", "right"),
                ),
                tuple(
                    (
                        suspect.point,
                        str(suspect.line),
                        suspect.setup,
                        write_reading(suspect.reading_m, units),
                        write_reading(suspect.fits_m, units),
                        suspect.slip or "none explains it",
                        "–"
                        if suspect.suggested_m is None
                        else write_reading(suspect.suggested_m, units),
                    )
                    for suspect in walk.shots.suspects
                ),
            )
        )
        blocks.append(Para("No reading was changed or left out; a person decides.", "small"))
    else:
        blocks.append(Para("Every reading fits its neighbours and its repeats."))
    if walk.shots.bumps:
        blocks.append(Bullets(tuple(bump.says for bump in walk.shots.bumps), boxes=True))
    return blocks


def _remarks(walk: Walk) -> list[Remark]:
    found: list[Remark] = []
    top = walk.newtop.top
    sources: tuple[Iterable[Remark], ...] = (
        walk.shots.remarks,
        walk.oldslab.remarks,
        walk.verdict.remarks,
        walk.newtop.remarks,
        top.remarks if top else (),
        walk.touches.remarks if walk.touches else (),
        walk.takeoff.remarks if walk.takeoff else (),
        walk.order.remarks if walk.order else (),
    )
    for remarks in sources:
        found += remarks
    return found


def _survey_checks(walk: Walk) -> list[Block]:
    shots = walk.shots
    checks = [*shots.misclosures, walk.oldslab.agreement]
    if shots.collimation is not None:
        checks.append(shots.collimation)
    blocks: list[Block] = [
        Heading("What the survey says of itself"),
        Table(
            (
                Column("check", share=1.4),
                Column("found", "right"),
                Column("allowed", "right"),
                Column("margin", "right"),
                Column("holds"),
                Column("limit from", share=1.4),
            ),
            tuple(
                (
                    f"{check.name}, {check.where}" if check.where else check.name,
                    *_check_cells(walk, check),
                    check.source,
                )
                for check in checks
            ),
            size=8.0,
        ),
    ]
    if shots.redundancy == 0:
        blocks.append(Para("No point was read twice, so the adjustment checks nothing by itself."))
    if walk.oldslab.fit.on_bound:
        blocks.append(
            Para(
                "The surface was fitted at the edge of what is allowed for: "
                + ", ".join(walk.oldslab.fit.on_bound)
                + "."
            )
        )
    return blocks


def workings_sheet(walk: Walk) -> Layout:
    """Every number opened: formula, numbers, source; then the list of heights."""
    blocks: list[Block] = [
        Para(
            "Formula in symbols, then with this job's numbers in its own units, then where the "
            "formula "
            "comes from and how it is known."
        )
    ]
    for title, _, workings in all_workings(walk):
        if not workings:
            continue
        blocks.append(Heading(title))
        blocks.append(
            Table(
                (
                    Column("number", share=1.1, bold=True),
                    Column("formula and numbers", share=2),
                    Column("source", share=1),
                ),
                tuple(_working_row(walk, working) for working in workings),
                size=8.0,
            )
        )
    blocks += [Heading("Heights after the adjustment"), _heights(walk)]
    return Layout(tuple(blocks))


def _working_row(walk: Walk, working: Working) -> tuple[str, str, str]:
    job, result = walk.job, working.result
    number = f"{working.about or working.says} = {fine(job, result.name, result.value)}"
    lines = f"{typeset(working.equation)}\n{filled(job, working)}"
    if working.about and working.says:
        lines = f"{working.says}\n{lines}"
    return (number, lines, f"{working.source} ({known_words(working)})")


def _heights(walk: Walk) -> Table:
    """All points, down the left half of the page and then down the right half."""
    units = walk.job.units
    cells = [
        (
            point.point,
            point.kind,
            write_height(point.height_m, units),
            fine(walk.job, "height_m", NORMAL_95 * point.standard_error_m),
            str(point.readings),
        )
        for point in walk.shots.points
    ]
    half = (len(cells) + 1) // 2
    right = [*cells[half:], *[("",) * 5] * (2 * half - len(cells))]
    columns = (
        Column("point", share=1),
        Column("kind"),
        Column("height", "right"),
        Column("plus or minus", "right"),
        Column("read", "right"),
    )
    rows = tuple(a + b for a, b in zip(cells[:half], right, strict=True))
    return Table(columns * 2, rows, size=8.0, split=5, tight=True)
