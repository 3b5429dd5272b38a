"""The first sheet: what is asked, the answer, every kind of top side by side, or why none fits."""

from __future__ import annotations

from overslab.faces.documents.blocks import Block, Bullets, Column, Facts, Heading, Para, Table
from overslab.faces.documents.paper import Layout
from overslab.faces.documents.verdict_sheet import ruling_words
from overslab.faces.documents.words import STRUCTURE, assumption_line, counted
from overslab.ground.notes import Remark
from overslab.ground.units import (
    write_area,
    write_by_suffix,
    write_height,
    write_money,
    write_share,
    write_slope,
    write_thickness,
    write_volume,
)
from overslab.job.records import Walk
from overslab.newtop.records import Fight, TopOption


def summary(walk: Walk) -> Layout:
    """The summary sheet."""
    top = walk.newtop.top
    blocks: list[Block] = [
        Facts((("verdict on the old slab", ruling_words(walk.verdict)),)),
        Heading("What is asked"),
        *_asked(walk),
    ]
    if top is None:
        blocks += [Heading("The answer"), *_no_top(walk)]
    else:
        blocks += [Heading("The answer"), *_answer(walk, top)]
    blocks += [
        Heading("Every kind of top, side by side"),
        _options(walk),
        *_why_not(walk, top),
        *_to_settle(walk),
        Para(f"Mind: {STRUCTURE}", "mind"),
        Para(assumption_line(walk, room="order"), "small"),
    ]
    return Layout(tuple(block for block in blocks if not isinstance(block, Para) or block.text))


def _asked(walk: Walk) -> list[Block]:
    wishes, units = walk.newtop.wishes, walk.job.units
    outlets = ", ".join(outlet.name for outlet in wishes.outlets) or "no outlet named"
    told = (
        f"A new top over {write_area(walk.oldslab.area_m2, units)} of old floor, at least "
        f"{write_thickness(wishes.least_thickness_m, units)} thick everywhere, with a fall of at "
        "least "
        f"{write_slope(wishes.least_fall, units)} and at most "
        f"{write_slope(wishes.greatest_fall, units)}; water to {outlets}."
    )
    met = []
    for edge in wishes.edges:
        low = None if edge.lowest_m is None else write_height(edge.lowest_m, units)
        high = None if edge.highest_m is None else write_height(edge.highest_m, units)
        if low is not None and low == high:
            span = f"at {low}"
        elif low is not None and high is not None:
            span = f"from {low} to {high}"
        elif high is not None:
            span = f"no higher than {high}"
        elif low is not None:
            span = f"no lower than {low}"
        else:
            span = "at any height"
        level = ", level along it" if edge.level else ""
        move = ", or moved at a cost" if edge.move is not None else ""
        met.append(f"{edge.name} ({edge.kind}): {span}{level}{move}")
    for drain in wishes.drains:
        met.append(f"{drain.name} (drain, {drain.plan}): rim at {write_height(drain.rim_m, units)}")
    blocks: list[Block] = [Para(told)]
    if met:
        blocks.append(Bullets(tuple(met)))
    return blocks


def _answer(walk: Walk, top: TopOption) -> list[Block]:
    units, wishes = walk.job.units, walk.newtop.wishes
    pairs: list[tuple[str, str]] = [
        (
            "the top",
            top.title + ("" if top.passes else " (a rule does not hold, see the rules sheet)"),
        ),
        ("thinnest", write_thickness(top.thinnest_m, units)),
        ("thickest", write_thickness(top.thickest_m, units)),
        ("mean thickness", write_thickness(top.mean_thickness_m, units)),
    ]
    if walk.takeoff is not None:
        volume = walk.takeoff.total.volume_m3
        pairs.append(
            (
                "concrete in place",
                f"{write_volume(volume.mean, units)}, plus or minus "
                f"{write_volume(volume.plus_or_minus, units)} (95 in 100)",
            )
        )
    if walk.order is not None:
        firm = [load for load in walk.order.loads if load.firm]
        call = len(walk.order.loads) - len(firm)
        pairs.append(
            (
                "order",
                f"{write_volume(walk.order.amount_m3, units)} in "
                f"{counted(len(walk.order.loads), 'load', 'loads')} ({len(firm)} firm, {call} "
                f"will-call); chance of running short {write_share(walk.order.chance_short)}",
            )
        )
    drainage = top.drainage
    if drainage is not None:
        pairs.append(("least true fall", write_slope(drainage.least_fall, units)))
        pairs.append(("standing water", _ponding(walk, top)))
        if drainage.birdbath_chance is not None:
            pairs.append(
                (
                    "birdbath from finishing",
                    f"{write_share(drainage.birdbath_chance)} chance of one deeper than "
                    f"{write_thickness(wishes.birdbath_m, units)}",
                )
            )
    pairs.append(
        (
            "cost of this top",
            f"{_money(walk, top.cost)} (concrete {_money(walk, top.concrete_cost)}, moving "
            f"{_money(walk, top.moving_cost)}); proven: no {top.kind} top costs less than "
            f"{_money(walk, top.bound_cost)} before heights are set to whole marks",
        )
    )
    if walk.touches is not None:
        failing, all_of_them = len(walk.touches.failing), len(walk.touches.touches)
        pairs.append(
            (
                "what it upsets",
                f"{failing} of {counted(all_of_them, 'thing', 'things')} it meets must be put "
                "right or settled; the touches sheet says by whom",
            )
        )
    if top.moved:
        pairs.append(("moved", ", ".join(top.moved)))
    if top.left:
        pairs.append(("left where they are", ", ".join(top.left)))
    return [Facts(tuple(pairs))]


def _no_top(walk: Walk) -> list[Block]:
    blocks: list[Block] = [Para("No top can meet all that is asked: these wishes fight.", "strong")]
    fights = _fights(walk)
    if fights:
        blocks.append(
            Table(
                (
                    Column("kind of top", share=1),
                    Column("why it cannot be built", share=2),
                    Column("smallest change that lets the rest live", share=1.5, bold=True),
                ),
                tuple((kinds, _why(fight), _changes(walk, fight)) for kinds, fight in fights),
            )
        )
    if not fights:
        blocks.append(
            Para(
                "Every kind of top could be solved, but none holds every rule once its heights are "
                "set to whole marks; the table shows which come nearest."
            )
        )
    return blocks


def _why(fight: Fight) -> str:
    """The sentence, and the rules that it has not named."""
    rules = [rule for rule in fight.rules if rule not in fight.says]
    return f"{fight.says} ({'; '.join(rules)})" if rules else fight.says


def _changes(walk: Walk, fight: Fight) -> str:
    """The changes with their sizes, one to a line."""
    lines = []
    for change in fight.changes:
        was, then = (
            write_by_suffix(change.quantity, value, walk.job.units)
            for value in (change.from_value, change.to_value)
        )
        said = "" if change.says in fight.says else f"{change.says} "
        lines.append(f"{said}{change.rule}: {then} instead of {was}")
    return "\n".join(lines) or "none that is open to change"


def _fights(walk: Walk) -> list[tuple[str, Fight]]:
    """Fights that say the same are told once, for all the kinds they stop."""
    told: dict[tuple[str, tuple[str, ...]], tuple[list[str], Fight]] = {}
    for option in walk.newtop.options:
        if option.fight is not None:
            key = (option.fight.says, option.fight.rules)
            told.setdefault(key, ([], option.fight))[0].append(option.title)
    return [(", ".join(titles), fight) for titles, fight in told.values()]


def _options(walk: Walk) -> Table:
    units = walk.job.units
    rows, strong = [], []
    for place, option in enumerate(walk.newtop.options):
        if option.kind == walk.newtop.chosen:
            strong.append(place)
        if not option.feasible:
            rows.append((option.title, "cannot be built", "–", "–", "–", "–", "–", "wishes fight"))
            continue
        drainage = option.drainage
        binds = ", ".join(rule.check.name for rule in option.rules if rule.binds) or "nothing"
        rows.append(
            (
                option.title,
                write_volume(option.volume_m3, units),
                _money(walk, option.cost),
                write_thickness(option.thinnest_m, units),
                write_thickness(option.thickest_m, units),
                "–" if drainage is None else write_slope(drainage.least_fall, units),
                "–" if drainage is None else _ponding(walk, option),
                binds if option.passes else f"does not pass; {_failing(option)}",
            )
        )
    return Table(
        columns=(
            Column("kind of top", share=1.1),
            Column("volume", "right"),
            Column("cost", "right"),
            Column("thinnest", "right"),
            Column("thickest", "right"),
            Column("least fall", "right", share=0.7),
            Column("standing water", share=0.8),
            Column("what binds", share=1.9),
        ),
        rows=tuple(rows),
        size=8.0,
        strong=tuple(strong),
        name="Kinds of top side by side; the chosen one in bold",
    )


def _failing(option: TopOption) -> str:
    missed = [rule.check.name for rule in option.rules if not rule.check.passes]
    return "misses " + ", ".join(missed) if missed else "water does not leave"


def _ponding(walk: Walk, option: TopOption) -> str:
    drainage, units = option.drainage, walk.job.units
    if drainage is None or drainage.ponded_area_m2 <= 0:
        return "none"
    area, deep = drainage.ponded_area_m2, drainage.deepest_m
    return f"{write_area(area, units)}, {write_thickness(deep, units)} deep"


def _why_not(walk: Walk, top: TopOption | None) -> list[Block]:
    """For kinds that cannot be built while another can: why, in a line each."""
    if top is None:
        return []
    told = tuple(f"{kinds}: {fight.says}" for kinds, fight in _fights(walk))
    return [Para("Why some kinds cannot be built", "strong"), Bullets(told)] if told else []


def _to_settle(walk: Walk) -> list[Block]:
    """What a person must still answer or look at before a truck is called."""
    remarks: list[Remark] = []
    # What concerns the call to the plant stands on the order sheet.
    for record in (walk.shots, walk.oldslab, walk.verdict, walk.newtop, walk.takeoff):
        remarks += record.remarks if record is not None else ()
    remarks += walk.newtop.top.remarks if walk.newtop.top else ()
    said = [fight.says for _, fight in _fights(walk)]
    open_points = [
        remark.text
        for remark in remarks
        if remark.weight in ("ask", "warn") and not any(fight in remark.text for fight in said)
    ]
    asked = " ".join(open_points).casefold()
    open_points += [
        f"{suspect.point} (line {suspect.line} of the shots) does not fit"
        + (f": {suspect.slip}" if suspect.slip else "")
        for suspect in walk.shots.suspects
        if f"line {suspect.line}," not in asked
    ]
    open_points += [bump.says for bump in walk.shots.bumps]
    told = tuple(dict.fromkeys(open_points))
    if not told:
        return []
    return [Heading("To be settled first"), Bullets(told, boxes=True)]


def _money(walk: Walk, amount: float) -> str:
    return write_money(amount, currency=walk.newtop.wishes.currency)
