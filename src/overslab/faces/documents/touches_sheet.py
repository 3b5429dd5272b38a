"""The sheet of touches: what the raised floor upsets, a page a trade, and who waits for whom."""

from __future__ import annotations

from overslab.faces.documents.blocks import (
    Block,
    Bullets,
    Column,
    Figure,
    Heading,
    Para,
    Table,
)
from overslab.faces.documents.drawing import INK
from overslab.faces.documents.paper import Layout, page_of
from overslab.faces.documents.plan_sheet import LARGE, PlanSheet, Room
from overslab.faces.documents.plan_start import plan_sheet
from overslab.faces.documents.words import assumption_line, counted
from overslab.ground.units import write_by_suffix, write_height, write_length, write_money
from overslab.job.records import Walk
from overslab.touches.records import Ready, Remedy, Touch, Touches, Trade

_SAID: dict[Trade, str] = {
    "owner": "For the owner",
    "plumber": "For the plumber",
    "electrician": "For the electrician",
    "heating fitter": "For the heating fitter",
    "carpenter": "For the carpenter",
    "door technician": "For the door technician",
    "crew": "For our own crew",
}
_PLAN_HIGH = 105.0  # mm, so that the plan, the work and the cautions of a trade share a page


def touches_sheet(walk: Walk, touches: Touches) -> Layout:
    """Before and after, the list that holds the date, then a page for each trade."""
    failing = len(touches.failing)
    answer = (
        f"{counted(failing, 'thing', 'things')} of {len(touches.touches)} that the new floor meets "
        "must be put right or settled (bold below)."
        if failing
        else "Every rule that could be looked at holds where the new floor meets something."
    )
    blocks: list[Block] = [
        Para(answer, "strong"),
        _before_and_after(walk, touches),
        *_readiness(touches),
        *_to_answer(touches),
    ]
    for trade in touches.trades:
        blocks += _trade_page(walk, touches, trade)
    blocks += [*_rules(walk, touches), *_costs(touches)]
    blocks.append(Para(assumption_line(walk, room="touches"), "small"))
    return Layout(tuple(block for block in blocks if not isinstance(block, Para) or block.text))


def _before_and_after(walk: Walk, touches: Touches) -> Table:
    units = walk.job.units
    rows = [
        (
            str(number),
            touch.name,
            touch.kind,
            write_height(touch.before_m, units),
            write_height(touch.after_m, units),
            write_length(touch.rise_m, units),
            _verdict(touch),
        )
        for number, touch in enumerate(touches.touches, start=1)
    ]
    return Table(
        (
            Column("", "right"),
            Column("what the floor meets", share=1),
            Column("kind"),
            Column("old floor", "right"),
            Column("new floor", "right"),
            Column("rise", "right"),
            Column("rules", share=1.3),
        ),
        tuple(rows),
        strong=tuple(row for row, touch in enumerate(touches.touches) if not touch.passes),
        name="Heights where the floor rises most along each",
    )


def _verdict(touch: Touch) -> str:
    moved = "moved; " if touch.moved else ""
    broken = [check.name for check in touch.checks if not check.passes]
    if broken:
        return f"{moved}not met: {', '.join(broken)}"
    if not touch.passes:
        return f"{moved}not settled"
    return f"{moved}{'hold' if touch.checks else 'none looked at'}"


def _readiness(touches: Touches) -> list[Block]:
    if not touches.readiness:
        return []
    numbers = {ready.what: str(place) for place, ready in enumerate(touches.readiness, start=1)}
    return [
        Heading("Ready list: no pour date until every line is ticked"),
        Table(
            (
                Column("", "right"),
                Column("ready on"),
                Column("what", share=1),
                Column("who"),
                Column("waits for", share=0.3),
            ),
            tuple(
                (numbers[ready.what], "", ready.what, ready.trade, _waits(ready, numbers))
                for ready in touches.readiness
            ),
            name="Who waits for whom, by the number of the line",
        ),
    ]


def _waits(ready: Ready, numbers: dict[str, str]) -> str:
    """Numbers of the lines it waits for; a long run is told by its ends."""
    if not ready.waits_for:
        return "nothing"
    places = [int(numbers[what]) for what in ready.waits_for]
    if len(places) > 3 and places == list(range(1, len(places) + 1)):
        return f"1 to {len(places)}"
    return ", ".join(map(str, places))


def _to_answer(touches: Touches) -> list[Block]:
    """Questions, and the cautions that hold for all; those of one touch stand with its trade."""
    asks = tuple(remark.text for remark in touches.remarks if remark.weight == "ask")
    handed_over = {text for trade in touches.trades for text in _cautions(touches, trade)}
    warns = tuple(
        remark.text
        for remark in touches.remarks
        if remark.weight == "warn" and remark.text not in handed_over
    )
    blocks: list[Block] = []
    if asks:
        blocks += [Heading("To be answered by a person"), Bullets(asks, boxes=True)]
    if warns:
        blocks += [Heading("Mind"), Bullets(warns)]
    return blocks


def _cautions(touches: Touches, trade: Trade) -> tuple[str, ...]:
    about = {remedy.about for remedy in touches.work_of(trade)}
    return tuple(
        dict.fromkeys(
            remark.text
            for touch in touches.touches
            if touch.name in about
            for remark in touch.remarks
            if remark.weight == "warn"
        )
    )


def _trade_page(walk: Walk, touches: Touches, trade: Trade) -> list[Block]:
    """One trade's work by itself, to be handed over."""
    units = walk.job.units
    places = {touch.name: (n, touch) for n, touch in enumerate(touches.touches, start=1)}
    rows = []
    for remedy in _in_time(touches.work_of(trade)):
        number, touch = places[remedy.about]
        rows.append(
            (
                str(number),
                f"{touch.name} ({touch.kind})",
                remedy.told(lambda quantity, value: write_by_suffix(quantity, value, units)),
                write_height(touch.before_m, units),
                write_height(touch.after_m, units),
                remedy.when,
            )
        )
    blocks: list[Block] = [
        Heading(_SAID[trade], fresh_page=True),
        Para(
            "Sizes are those of the new floor as drawn. Measure on site before anything is cut or "
            "ordered; where they differ, call us first."
        ),
        _plan(walk, touches, trade),
        Table(
            (
                Column("", "right", bold=True),
                Column("where", share=0.8, bold=True),
                Column("what", share=1.8),
                Column("old floor", "right"),
                Column("new floor", "right"),
                Column("when"),
            ),
            tuple(rows),
        ),
    ]
    waiting = tuple(ready.what for ready in touches.readiness if ready.trade == trade)
    if waiting:
        blocks += [Para("Before a pour date is set", "strong"), Bullets(waiting, boxes=True)]
    cautions = _cautions(touches, trade)
    if cautions:
        blocks += [Para("Mind", "strong"), Bullets(cautions)]
    signed = (Column("measured on site by, day", share=1), Column("done by, day", share=1))
    blocks.append(Table(signed, (("", ""),), size=10.0))
    return blocks


def _plan(walk: Walk, touches: Touches, trade: Trade) -> Figure:
    """Where the trade's work lies, by the numbers of the touches."""
    about = {remedy.about for remedy in touches.work_of(trade)}
    mine = [(n, touch) for n, touch in enumerate(touches.touches, 1) if touch.name in about]
    told = "; ".join(f"{number} {touch.name}" for number, touch in mine)
    sheet = plan_sheet(
        walk,
        Room(page_of(walk).wide(landscape=False), _PLAN_HIGH),
        title=f"Work of the {trade}",
        told=f"Plan of the floor with the places of: {told}.",
    )
    for number, touch in mine:
        put_number(sheet, number, touch)
    return Figure(sheet.finish())


def put_number(sheet: PlanSheet, number: int, touch: Touch) -> None:
    """A dot at the middle of a line or at the place itself, and its number."""
    ends = touch.line or (touch.at,)
    x, y = (sum(axis) / len(ends) for axis in zip(*ends, strict=True))
    spot = sheet.view.spot((x, y))
    sheet.drawing.circle("marks", spot, radius=1.0, pen="mark", fill=INK, kind="touch")
    sheet.point_label(
        (str(number),),
        spot,
        layer="labels",
        rank=1,
        size=LARGE,
        gap=2.0,
        must=True,
        bold=True,
        kind="touch-number",
        name=touch.name,
    )


def _in_time(work: tuple[Remedy, ...]) -> list[Remedy]:
    order = ("before the pour", "during the pour", "after the pour")
    return sorted(work, key=lambda remedy: order.index(remedy.when))


def _rules(walk: Walk, touches: Touches) -> list[Block]:
    units = walk.job.units
    checks = [(touch, check) for touch in touches.touches for check in touch.checks]
    if not checks:
        return []
    sources: dict[str, list[str]] = {}
    for _, check in checks:
        names = sources.setdefault(check.source, [])
        if check.name not in names:
            names.append(check.name)
    return [
        Heading("Each rule: found and allowed (for the office)", fresh_page=True),
        Table(
            (
                Column("where", share=0.8),
                Column("rule", share=1.5),
                Column("found", "right"),
                Column("allowed", "right"),
                Column("holds"),
            ),
            tuple(
                (
                    touch.name,
                    check.name,
                    write_by_suffix(check.quantity, check.found, units),
                    f"{check.comparison} {write_by_suffix(check.quantity, check.allowed, units)}",
                    "yes" if check.passes else "NO",
                )
                for touch, check in checks
            ),
            size=8.0,
            strong=tuple(row for row, (_, check) in enumerate(checks) if not check.passes),
        ),
        Para("Where each limit comes from", "strong"),
        Bullets(tuple(f"{source}: {', '.join(names)}" for source, names in sources.items())),
    ]


def _costs(touches: Touches) -> list[Block]:
    """For the office: what is known of the cost, and for what nobody has given a price."""
    rows = []
    for trade in touches.trades:
        work = touches.work_of(trade)
        known = [remedy.cost for remedy in work if remedy.cost is not None]
        cost = write_money(sum(known), currency=touches.currency) if known else "not known"
        rows.append((trade, str(len(work)), cost, str(len(work) - len(known))))
    if not rows:
        return []
    return [
        Heading("What it costs (for the office)"),
        Table(
            (
                Column("trade", share=1),
                Column("items", "right"),
                Column("written down", "right"),
                Column("items without a price", "right"),
            ),
            tuple(rows),
        ),
    ]
