"""What the raised floor upsets, in plain text: before and after, the rules, each trade's work."""

from __future__ import annotations

from overslab.faces.cli.tables import check_line, foot, place, table
from overslab.ground.units import write_by_suffix, write_height, write_length, write_money
from overslab.job.records import Job
from overslab.touches.records import Touches


def what_it_upsets(record: Touches, job: Job) -> list[str]:
    """The answer of the room of touches."""
    units = job.units

    def write(quantity: str, value: float) -> str:
        return write_by_suffix(quantity, value, units)

    lines = [
        table(
            ("touch", "kind", "where it rises most", "old floor", "new floor", "rise", "rules"),
            [
                (
                    touch.name,
                    touch.kind,
                    place(touch.at, units),
                    write_height(touch.before_m, units),
                    write_height(touch.after_m, units),
                    write_length(touch.rise_m, units),
                    ("hold" if touch.passes else "NOT MET") + (", moved" if touch.moved else ""),
                )
                for touch in record.touches
            ],
        ),
        "",
    ]
    for touch in record.touches:
        lines += [check_line(check, units) for check in touch.checks]
    for trade in record.trades:
        lines += ["", f"For the {trade}:"]
        for remedy in record.work_of(trade):
            cost = (
                ""
                if remedy.cost is None
                else f" ({write_money(remedy.cost, currency=record.currency)})"
            )
            lines.append(f"  {remedy.about}, {remedy.when}: {remedy.told(write)}{cost}")
    if record.readiness:
        lines += ["", "No pour date is set until, in this order:"]
        lines += [f"  [ ] {ready.trade}: {ready.what}" for ready in record.readiness]
    return [*lines, *foot(record.remarks, (*job.assumptions, *record.assumptions))]
