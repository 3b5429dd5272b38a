"""The tops side by side, the one that is drawn, and which wishes fight when none can be."""

from __future__ import annotations

from overslab.faces.cli.tables import check_line, facts, place, table
from overslab.ground.units import (
    write_area,
    write_by_suffix,
    write_height,
    write_length,
    write_money,
    write_share,
    write_slope,
    write_thickness,
    write_volume,
)
from overslab.job.records import Job
from overslab.newtop.records import Change, NewTop, RuleResult, TopOption


def side_by_side(new: NewTop, job: Job) -> list[str]:
    """Every kind of top in one table; ``>`` marks the one that is drawn."""
    header = ("top", "concrete", "cost", "thinnest", "thickest", "least fall", "ponding", "verdict")
    return [table(header, [_row(option, new, job) for option in new.options])]


def _row(option: TopOption, new: NewTop, job: Job) -> tuple[str, ...]:
    units, currency = job.units, new.wishes.currency
    name = f"{'>' if option.kind == new.chosen else ' '} {option.kind}"
    if not option.feasible:
        return (name, "-", "-", "-", "-", "-", "-", "wishes fight")
    drainage = option.drainage
    return (
        name,
        write_volume(option.volume_m3, units),
        write_money(option.cost, currency=currency),
        write_thickness(option.thinnest_m, units),
        write_thickness(option.thickest_m, units),
        "-" if drainage is None else write_slope(drainage.least_fall, units),
        "-" if drainage is None else write_area(drainage.ponded_area_m2, units),
        "passes" if option.passes else "a rule fails",
    )


def best_top(new: NewTop, job: Job) -> list[str]:
    """The top that is drawn: cost and its bound, moves, water, marks."""
    top = new.top
    if top is None:
        return []
    units, currency = job.units, new.wishes.currency
    thinnest, thickest = place(top.thinnest_at, units), place(top.thickest_at, units)
    pairs = [
        ("top", top.title),
        ("concrete", write_volume(top.volume_m3, units)),
        (
            "cost",
            f"{write_money(top.cost, currency=currency)} (no {top.kind} top costs less than "
            f"{write_money(top.bound_cost, currency=currency)}: proven)",
        ),
        ("thinnest", f"{write_thickness(top.thinnest_m, units)} at {thinnest}"),
        ("thickest", f"{write_thickness(top.thickest_m, units)} at {thickest}"),
    ]
    if top.moved:
        pairs.append(("moved", ", ".join(top.moved)))
    if top.left:
        pairs.append(("left", ", ".join(top.left)))
    if top.drainage is not None:
        water = top.drainage
        pairs += [
            (
                "least fall",
                f"{write_slope(water.least_fall, units)} at {place(water.least_fall_at, units)}",
            ),
            ("floor that drains", write_share(water.reaches_outlet)),
        ]
        if water.birdbath_chance is not None:
            deep = write_length(new.wishes.birdbath_m, units)
            pairs.append(
                ("birdbath", f"{write_share(water.birdbath_chance)} chance of one over {deep} deep")
            )
    marks = [
        (
            pad.name,
            write_length(pad.at[0], units),
            write_length(pad.at[1], units),
            write_height(pad.height_m, units),
            write_thickness(pad.thickness_m, units),
        )
        for pad in top.pads
    ]
    return [facts(pairs), "", table(("mark", "x", "y", "height", "thickness"), marks), ""]


def rules(new: NewTop, job: Job) -> list[str]:
    """The rules that do not hold, and those that bind with what each costs."""
    top = new.top
    if top is None:
        return []
    failing = [check_line(one.check, job.units) for one in top.rules if not one.check.passes]
    binding = [f"  {_price(one, new, job)}" for one in top.rules if one.binds]
    lines = failing
    if binding:
        lines += ["What the rules that bind cost:", *binding]
    return lines


def _price(rule: RuleResult, new: NewTop, job: Job) -> str:
    where = f", {rule.check.where}" if rule.check.where else ""
    name = f"{rule.check.name}{where}"
    if rule.cost_per_step is None:
        return f"{name}: binds, no price"
    writes = write_length if rule.step_unit == "m" else write_slope
    money = write_money(rule.cost_per_step, currency=new.wishes.currency)
    return f"{name}: {writes(rule.step, job.units)} less of it saves {money}"


def _change(change: Change, job: Job) -> str:
    before, after = (
        write_by_suffix(change.quantity, value, job.units)
        for value in (change.from_value, change.to_value)
    )
    return f"{change.says} {change.rule}: from {before} to {after}."


def fights(new: NewTop, job: Job) -> list[str]:
    """Why there is no top, and the smallest change that would let one live."""
    lines = ["No top can meet all that is asked."]
    told: dict[str, list[str]] = {}
    for option in new.options:
        if option.fight is not None:
            told.setdefault(option.fight.says, []).append(option.kind)
    for option in new.options:
        fight = option.fight
        if fight is None or fight.says not in told:
            continue
        kinds = told.pop(fight.says)
        lines += ["", f"{', '.join(kinds)}: {fight.says}"]
        lines += [f"  {_change(change, job)}" for change in fight.changes]
    for option in new.options:
        # To follow the old floor is a baseline, not an offer; it fails by its nature.
        if option.feasible and not option.passes and option.kind != "follow":
            failing = [one.check for one in option.rules if not one.check.passes]
            lines += ["", f"{option.kind}: not every rule holds on the marked top"]
            lines += [f"  {check_line(check, job.units)}" for check in failing]
    return lines
