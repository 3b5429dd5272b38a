"""The bid in plain text."""

from __future__ import annotations

from collections.abc import Iterator

from overslab.faces.cli.tables import facts, foot, table
from overslab.faces.documents.bid_words import (
    GROUPS,
    chance_told,
    line_cells,
    sum_pairs,
    way_cells,
    wish_cells,
)
from overslab.ground.units import write_money
from overslab.job.records import Job
from overslab.price.records import Bid, Outcome


def bid_answer(bid: Bid, job: Job) -> list[str]:
    """Lines by group, cost and price, what the job may leave, and what stands beside it."""
    currency = bid.currency
    lines = [
        table(("", "number", "unit", "each", "amount"), _rows(bid)),
        "",
        facts(sum_pairs(bid)),
    ]
    if bid.outcome is not None:
        lines += ["", *_outcome(bid.outcome, currency)]
    if bid.wishes:
        rows = [wish_cells(one, currency=currency) for one in bid.wishes]
        lines += ["", "What the wishes add to the price:", table(("wish", "adds"), rows)]
    if bid.alternatives:
        ways = [way_cells(one, currency=currency) for one in bid.alternatives]
        lines += ["", "Against what else:", table(("", "price", "days out of use"), ways)]
    if bid.missing:
        lines += ["", "Not in the price, for no price of it is written down:"]
        lines += [f"  {one}" for one in bid.missing]
    return [*lines, *foot(bid.remarks, (*job.assumptions, *bid.assumptions))]


def _rows(bid: Bid) -> Iterator[tuple[str, ...]]:
    for group, told in GROUPS.items():
        mine = [line for line in bid.lines if line.group == group]
        if mine:
            total = sum(line.amount for line in mine)
            yield (told, "", "", "", write_money(total, currency=bid.currency))
            for line in mine:
                what, *rest, _ = line_cells(line, currency=bid.currency)
                yield (f"  {what}", *rest)


def _outcome(outcome: Outcome, currency: str) -> list[str]:
    return [
        "What the job may leave:",
        facts(
            [
                ("profit on average", write_money(outcome.expected_profit, currency=currency)),
                ("give or take", write_money(outcome.deviation, currency=currency)),
            ]
        ),
        f"  {chance_told(outcome)}",
        f"  {outcome.why}",
    ]
