"""Each room's answer to its question, in plain text and the job's units."""

from __future__ import annotations

from collections.abc import Callable

from overslab.faces.cli.items import item_lines
from overslab.faces.cli.mixing import mix_asked, mix_lines
from overslab.faces.cli.pricing import bid_answer
from overslab.faces.cli.tables import check_line, facts, foot, place, table
from overslab.faces.cli.tops import best_top, fights, rules, side_by_side
from overslab.faces.cli.touching import what_it_upsets
from overslab.faces.cli.verdicts import lead_of, verdict_answer
from overslab.faces.documents.bid_words import NO_RATES
from overslab.ground.estimate import Estimate
from overslab.ground.units import (
    Units,
    write_angle,
    write_area,
    write_height,
    write_length,
    write_money,
    write_reading,
    write_share,
    write_slope,
    write_thickness,
    write_volume,
    write_water,
)
from overslab.job.records import Job, Rooms, Walk
from overslab.job.steps import STEPS
from overslab.newtop.records import NewTop
from overslab.oldslab.records import OldSlab
from overslab.order.records import Order
from overslab.shots.records import Heights
from overslab.takeoff.records import Portion, Takeoff

_RODS = {
    "feet-inches": "feet, inches and fractions",
    "tenths": "feet, tenths and hundredths",
    "metric": "metres",
}


def answer(room: str, rooms: Rooms) -> str:
    """The answer of one room; of the tops instead when none can meet the wishes."""
    job = rooms.job
    question = next(step.question for step in STEPS if step.room == room)
    head = [_title(job), question, ""]
    record = getattr(rooms, room)
    if room == "price" and rooms.order is not None and record is None:
        return "\n".join([*head, NO_RATES])
    if record is None and rooms.newtop is not None:
        return "\n".join([*head, *_new_top(rooms.newtop, job)])
    return "\n".join([*head, *_ANSWERS[room](record, job)])


def summary(walked: Walk) -> str:
    """The whole walk on one screen: tops side by side, volume, order, and what must be settled."""
    job, units = walked.job, walked.job.units
    lines = [_title(job), "", *side_by_side(walked.newtop, job), ""]
    top = walked.newtop.top
    if top is None:
        lines += fights(walked.newtop, job)
    else:
        pairs = [*lead_of(walked.verdict), ("top", top.title)]
        if walked.takeoff is not None:
            pairs.append(("concrete", _volume(walked.takeoff.total.volume_m3, units)))
        if walked.order is not None:
            pairs += _order_facts(walked.order, units)
        if walked.price is not None:
            asked = write_money(walked.price.price, currency=walked.price.currency)
            pairs.append(("price asked", asked))
        lines.append(facts(pairs))
    heavy = [
        remark
        for record in (
            walked.shots,
            walked.oldslab,
            walked.verdict,
            walked.newtop,
            walked.touches,
            walked.takeoff,
            walked.order,
        )
        if record is not None
        for remark in record.remarks
        if remark.weight != "note"
    ]
    return "\n".join([*lines, *foot(dict.fromkeys(heavy), job.assumptions)])


def _title(job: Job) -> str:
    made_up = " (made up: no real place, people or prices)" if job.made_up else ""
    return f"{job.name}, {job.place}, {job.date}{made_up}"


def _volume(volume_m3: Estimate, units: Units) -> str:
    spread = write_volume(volume_m3.plus_or_minus, units)
    return f"{write_volume(volume_m3.mean, units)} ± {spread} (95 in 100)"


def _spread(deviation_m: float, units: Units) -> str:
    """A plus-or-minus; below the mark it is said to be so, and not to be nothing."""
    written = write_length(deviation_m, units)
    return f"under {write_length(units.mark_m, units)}" if written == "0" else written


def _heights(heights: Heights, job: Job) -> list[str]:
    units = job.units
    rows = [
        (
            point.point,
            point.kind,
            write_height(point.height_m, units),
            _spread(Estimate(point.height_m, point.standard_error_m).plus_or_minus, units),
            str(point.readings),
            ", ".join(point.setups),
        )
        for point in heights.points
    ]
    lines = [
        f"Rod read in {_RODS[heights.convention]}; heights above the datum, ± 95 in 100.",
        "",
        table(("point", "kind", "height", "±", "read", "set-ups"), rows),
        "",
        table(
            ("set-up", "height of instrument", "±", "reading on benchmark"),
            [
                (
                    one.setup,
                    write_height(one.instrument_m, units),
                    _spread(Estimate(0, one.standard_error_m).plus_or_minus, units),
                    "none"
                    if one.benchmark_reading_m is None
                    else write_reading(one.benchmark_reading_m, units),
                )
                for one in heights.setups
            ],
        ),
        "",
    ]
    checks = [*heights.misclosures, *([heights.collimation] if heights.collimation else [])]
    lines += [check_line(check, units) for check in checks] or [
        "No point was read from two set-ups and no benchmark twice: nothing can be checked."
    ]
    for one in heights.suspects:
        fits = write_reading(one.fits_m, units)
        slip = f"; likely {one.slip}" if one.slip else ""
        meant = (
            f", which would be {write_reading(one.suggested_m, units)}"
            if one.suggested_m is not None
            else ""
        )
        lines.append(
            f"To settle: shots.csv line {one.line}, point {one.point}: "
            f"{write_reading(one.reading_m, units)} does not fit, {fits} would{slip}{meant}."
        )
    lines += [f"To settle: {bump.says}" for bump in heights.bumps]
    return [*lines, *foot(heights.remarks, (*job.assumptions, *heights.assumptions))]


def _old_slab(old: OldSlab, job: Job) -> list[str]:
    units = job.units
    mean = old.mean_height_m
    highest, lowest = place(old.highest_at, units), place(old.lowest_at, units)
    lines = [
        facts(
            [
                ("area", write_area(old.area_m2, units)),
                (
                    "mean height",
                    f"{write_height(mean.mean, units)} ± {_spread(mean.plus_or_minus, units)}",
                ),
                ("highest", f"{write_height(old.highest_m, units)} at {highest}"),
                ("lowest", f"{write_height(old.lowest_m, units)} at {lowest}"),
                ("high to low", write_thickness(old.highest_m - old.lowest_m, units)),
            ]
        ),
        "",
        table(
            ("panel", "kind", "area", "shots", "falls", "toward (0 up the sheet, clockwise)"),
            [
                (
                    panel.name,
                    panel.kind,
                    write_area(panel.area_m2, units),
                    str(panel.shots),
                    write_slope(panel.fall, units),
                    write_angle(panel.falls_toward_deg, units),
                )
                for panel in old.panels
            ],
        ),
        "",
    ]
    for step in old.steps:
        lines.append(
            f"Step across {step.break_name} at {place(step.at, units)}: "
            f"{write_length(step.step_m.mean, units)} ± {_spread(step.step_m.plus_or_minus, units)}"
            + ("" if step.typed_m is None else f" (by hand {write_length(step.typed_m, units)})")
        )
    for spot in old.low_spots:
        lines.append(
            f"Water stands {write_length(spot.depth_m, units)} deep at "
            f"{place(spot.deepest, units)}: {write_area(spot.area_m2, units)}, "
            f"{write_water(spot.volume_m3, units)}"
        )
    if not old.low_spots:
        lines.append("No water stands on the old floor.")
    lines += ["", check_line(old.agreement, units)]
    if old.next_shot is not None:
        now = Estimate(0, old.next_shot.deviation_now_m3).plus_or_minus
        shrinks = 1 - old.next_shot.deviation_then_m3 / old.next_shot.deviation_now_m3
        lines.append(
            f"Best next shot: {place(old.next_shot.at, units)}; it takes {write_share(shrinks)} "
            f"off the volume's ± of {write_volume(now, units)}."
        )
    return [*lines, *foot(old.remarks, (*job.assumptions, *old.assumptions))]


def _new_top(new: NewTop, job: Job) -> list[str]:
    lines = [*side_by_side(new, job), ""]
    lines += fights(new, job) if new.top is None else [*best_top(new, job), *rules(new, job)]
    return [*lines, *foot(new.remarks, (*job.assumptions, *new.assumptions))]


def _portion(portion: Portion, units: Units) -> tuple[str, ...]:
    return (
        portion.name,
        write_area(portion.area_m2, units),
        write_volume(portion.volume_m3.mean, units),
        write_volume(portion.volume_m3.plus_or_minus, units),
        write_thickness(portion.mean_thickness_m, units),
        write_thickness(portion.thinnest_m, units),
        write_thickness(portion.thickest_m, units),
    )


def _takeoff(takeoff: Takeoff, job: Job) -> list[str]:
    units = job.units
    header = ("", "area", "concrete", "± 95 in 100", "mean", "thinnest", "thickest")
    parts = [takeoff.total, *takeoff.panels, *takeoff.strips]
    lines = [
        f"Concrete in place: {_volume(takeoff.total.volume_m3, units)}",
        "",
        table(header, [_portion(portion, units) for portion in parts]),
        "",
        f"Second answer, triangles over the shots: {write_volume(takeoff.triangulated_m3, units)}",
        "",
        "What the notebook would have said:",
    ]
    for one in takeoff.notebook:
        if one.volume_m3 is None or one.difference_m3 is None:
            lines.append(f"  {one.method}: cannot be done ({one.why})")
            continue
        more = "more" if one.difference_m3 >= 0 else "less"
        apart = write_volume(abs(one.difference_m3), units)
        lines.append(
            f"  {one.method}: {write_volume(one.volume_m3, units)}, {apart} {more} ({one.why})"
        )
    lines += ["", *item_lines(takeoff.items, units)]
    lines += ["", *(check_line(check, units) for check in takeoff.checks)] if takeoff.checks else []
    return [*lines, *foot(takeoff.remarks, (*job.assumptions, *takeoff.assumptions))]


def _order_facts(order: Order, units: Units) -> list[tuple[str, str]]:
    firm = sum(load.firm for load in order.loads)
    loads = f"{len(order.loads)} load{'' if len(order.loads) == 1 else 's'}"
    return [
        (
            "order",
            f"{write_volume(order.amount_m3, units)} in {loads}: {firm} firm, "
            f"{len(order.loads) - firm} will-call",
        ),
        ("chance of short", write_share(order.chance_short)),
        ("expected left over", write_volume(order.expected_left_m3, units)),
        ("its expected cost", write_money(order.expected_cost, currency=order.plant.currency)),
    ]


def _order(order: Order, job: Job) -> list[str]:
    units, currency = job.units, order.plant.currency
    lines = [
        facts(
            [
                *_order_facts(order, units),
                ("in place", _volume(order.in_place_m3, units)),
                ("with losses", _volume(order.needed_m3, units)),
                ("firm", write_volume(order.firm_m3, units)),
                ("will-call", write_volume(order.will_call_m3, units)),
                ("short-load charge", write_money(order.short_load_charge, currency=currency)),
                *mix_asked(order.mix, units),
            ]
        ),
        "",
        table(
            ("load", "concrete", "call", "meant for"),
            [
                (
                    str(load.number),
                    write_volume(load.volume_m3, units),
                    "firm" if load.firm else "will-call",
                    ", ".join(load.strips),
                )
                for load in order.loads
            ],
        ),
        "",
        "Amounts that could be ordered:",
        table(
            ("amount", "chance of short", "expected left", "expected cost"),
            [
                (
                    write_volume(one.volume_m3, units)
                    + (" <" if abs(one.volume_m3 - order.amount_m3) < 1e-9 else "  "),
                    write_share(one.chance_short),
                    write_volume(one.expected_left_m3, units),
                    write_money(one.expected_cost, currency=currency),
                )
                for one in order.choices
            ],
        ),
        "",
        *mix_lines(order, units),
    ]
    return [*lines, *foot(order.remarks, (*job.assumptions, *order.assumptions))]


_ANSWERS: dict[str, Callable[..., list[str]]] = {
    "shots": _heights,
    "oldslab": _old_slab,
    "verdict": verdict_answer,
    "newtop": _new_top,
    "touches": what_it_upsets,
    "takeoff": _takeoff,
    "order": _order,
    "price": bid_answer,
}
