"""The bid, for the office alone: lines, cost and price, what the job may leave, the wishes."""

from __future__ import annotations

import numpy as np

from overslab.faces.documents.bid_words import (
    GROUPS,
    NO_RATES,
    chance_told,
    line_cells,
    sum_pairs,
    way_cells,
    wish_cells,
)
from overslab.faces.documents.blocks import Block, Bullets, Column, Figure, Heading, Para, Table
from overslab.faces.documents.drawing import GREY, Drawing, Text
from overslab.faces.documents.paper import Layout, page_of
from overslab.faces.documents.words import assumption_line
from overslab.ground.units import to_si, write_money, write_share
from overslab.job.records import Walk
from overslab.price.records import Bid, Outcome, Rates

_CHART_HIGH, _LETTER = 40.0, 2.8  # mm
_BARS = 28
# By what a rate of work is said: in feet and yards, and metric; with how much that is in SI.
_BY = {
    "area_m2": (("100 ft2", to_si(100.0, "ft2")), ("m2", 1.0)),
    "length_m": (("100 ft", to_si(100.0, "ft")), ("m", 1.0)),
    "volume_m3": (("yd3", to_si(1.0, "yd3")), ("m3", 1.0)),
    "mass_kg": (("100 lb", to_si(100.0, "lb")), ("kg", 1.0)),
}


def bid_sheet(walk: Walk) -> Layout | None:
    """None when no top meets the wishes; without rates it says which are missing."""
    if walk.order is None:
        return None
    bid = walk.price
    if bid is None:
        return Layout((Para(NO_RATES, "strong"),))
    blocks: list[Block] = [
        Para(
            f"We ask {write_money(bid.price, currency=bid.currency)}. For the office alone: not "
            "for the crew, not for the customer.",
            "strong",
        ),
        Para(
            f"Rates of {bid.price_date}"
            + (", made up: put your own in their place before you bid." if bid.made_up else "."),
            "mind" if bid.made_up else "plain",
        ),
        _lines(bid),
        _sums(bid),
        *_outcome(walk, bid),
        *_wishes(bid),
        *_ways(bid),
        *_missing(bid),
        *_learnt(walk, bid.rates),
        Para(assumption_line(walk, room="price"), "small"),
    ]
    return Layout(tuple(block for block in blocks if not isinstance(block, Para) or block.text))


def _lines(bid: Bid) -> Table:
    rows: list[tuple[str, ...]] = []
    strong: list[int] = []
    for group, name in GROUPS.items():
        mine = [line for line in bid.lines if line.group == group]
        if mine:
            total = sum(line.amount for line in mine)
            strong.append(len(rows))
            rows.append((name, "", "", "", write_money(total, currency=bid.currency), ""))
            rows += [line_cells(line, currency=bid.currency) for line in mine]
    return Table(
        (
            Column("", share=0.8),
            Column("number", "right"),
            Column("unit"),
            Column("each", "right"),
            Column("amount", "right"),
            Column("why", share=1, size=7.5),
        ),
        tuple(rows),
        size=8.5,
        strong=tuple(strong),
        tight=True,
    )


def _sums(bid: Bid) -> Table:
    pairs = tuple(sum_pairs(bid))
    strong = tuple(n for n, (name, _) in enumerate(pairs) if name in ("cost", "PRICE"))
    columns = (Column("from cost to price", share=1), Column("amount", "right"))
    return Table(columns, pairs, strong=strong, tight=True)


def _outcome(walk: Walk, bid: Bid) -> list[Block]:
    outcome = bid.outcome
    if outcome is None:
        return []
    told = (
        f"On average {write_money(outcome.expected_profit, currency=bid.currency)}, give or take "
        f"{write_money(outcome.deviation, currency=bid.currency)} two times out of three; "
        f"{chance_told(outcome)}."
    )
    return [
        Heading("What the job may leave"),
        Para(told),
        Figure(profit_chart(outcome, bid.currency, wide=page_of(walk).wide(landscape=False))),
        Para(outcome.why, "small"),
    ]


def profit_chart(outcome: Outcome, currency: str, *, wide: float) -> Drawing:
    """How often each profit came in the tries; a loss is hatched dark, its edge is nothing."""
    profits = np.asarray(outcome.profits)
    low, high = float(profits[0]), float(profits[-1])
    if high - low < 1.0:
        low, high = low - 1.0, high + 1.0
    counts, edges = np.histogram(profits, bins=_BARS, range=(low, high))

    def money(value: float) -> str:
        return write_money(round(value), currency=currency).removesuffix(".00")

    told = (
        f"How often each profit came in {len(profits)} tries, from {money(low)} to {money(high)}, "
        f"most often near {money(float(edges[int(counts.argmax())]))}."
    )
    drawing = Drawing(wide, _CHART_HIGH, "Profit in the tries", told)
    foot = _CHART_HIGH - 2.2 * _LETTER
    left, right = 14.0, wide - 14.0

    def across(value: float) -> float:
        return left + (right - left) * (value - low) / (high - low)

    tallest = float(counts.max())
    for count, a, b in zip(counts, edges[:-1], edges[1:], strict=True):
        top = foot - (foot - 4.0) * float(count) / tallest
        x0, x1 = across(float(a)), across(float(b))
        fill = GREY if b > 0.0 else "#222222"
        ring = ((x0, foot), (x0, top), (x1, top), (x1, foot))
        drawing.ring("bars", ring, pen="frame", fill=fill, kind="bar")
    drawing.line("marks", ((left, foot), (right, foot)), pen="mark")
    marks = {low, float(profits[len(profits) // 2]), high} | ({0.0} if low < 0.0 < high else set())
    last = -1e9
    for value in sorted(marks):
        x = across(value)
        drawing.line("marks", ((x, foot), (x, foot + 1.2)), pen="mark")
        if x - last > 20.0:
            label = Text(money(value), (x, foot + 1.7 * _LETTER), _LETTER, "middle", halo=False)
            drawing.put("labels", label)
            last = x
    return drawing


def _wishes(bid: Bid) -> list[Block]:
    if not bid.wishes:
        return []
    rows = tuple(wish_cells(one, currency=bid.currency) for one in bid.wishes)
    return [
        Heading("What the wishes add to the price"),
        Table((Column("wish", share=1), Column("adds", "right")), rows, size=8.5, tight=True),
    ]


def _ways(bid: Bid) -> list[Block]:
    if not bid.alternatives:
        return []
    rows = tuple(way_cells(one, currency=bid.currency) for one in bid.alternatives)
    columns = (
        Column("way", share=1),
        Column("price", "right"),
        Column("days out of use", "right"),
    )
    needed = tuple(f"{one.title}: {what}" for one in bid.alternatives for what in one.missing)
    more: list[Block] = [Para("Missing for a price of these", "strong"), Bullets(needed)]
    return [
        Heading("Against what else, by the same rates"),
        Table(columns, rows, size=8.5, tight=True),
        *(more if needed else []),
    ]


def _missing(bid: Bid) -> list[Block]:
    if not bid.missing:
        return []
    return [Heading("Not in the price: no price of it is written down"), Bullets(bid.missing)]


def _learnt(walk: Walk, rates: Rates | None) -> list[Block]:
    """What closed jobs taught, beside the owner's word."""
    learnt = [one for one in rates.work if one.jobs] if rates is not None else []
    if not learnt:
        return []

    metric = walk.job.units.system == "metric"

    def each(hours_per: float | None, quantity: str) -> str:
        if hours_per is None:
            return ""
        said, amount = ("one", 1.0) if quantity == "count" else _BY[quantity][metric]
        return f"{hours_per * amount:.2f} h by {said}"

    return [
        Heading("What your closed jobs taught"),
        Table(
            (
                Column("work", share=1),
                Column("jobs", "right"),
                Column("your word", "right"),
                Column("by the jobs", "right"),
                Column("give or take", "right"),
            ),
            tuple(
                (
                    one.what,
                    str(one.jobs),
                    each(one.own_hours_per, one.quantity),
                    each(one.hours_per, one.quantity),
                    write_share(one.deviation),
                )
                for one in learnt
            ),
            size=8.5,
            tight=True,
        ),
    ]
