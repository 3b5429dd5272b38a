"""The choices: every way with the old slab side by side, on one page a customer understands.

Only what is asked stands here, never what anything costs us; the lines behind it are a sheet of
their own, for the office.
"""

from __future__ import annotations

from overslab.faces.documents.blocks import Block, Bullets, Column, Heading, Para, Table
from overslab.faces.documents.paper import Layout
from overslab.faces.documents.words import STRUCTURE, assumption_line, counted
from overslab.ground.units import write_by_suffix, write_money
from overslab.job.records import Walk
from overslab.price.records import Alternative, Bid, BidLine

_NOT_PRICED = "not priced yet"
_SIZE = 8.0  # of the office's lines
_LARGE = 9.5


def choices_sheet(walk: Walk) -> Layout | None:
    """Five columns: what is done, what it costs, how long, what it cures, what it leaves."""
    bid = walk.price
    if bid is None or not bid.alternatives:
        return None
    ways = bid.alternatives
    rows = (
        ("price", *(_price(way, bid) for way in ways)),
        ("out of use", *(_days(way) for way in ways)),
        ("what is done", *(way.why for way in ways)),
        ("what it cures", *(_told(way.solves) for way in ways)),
        ("what it leaves", *(_told(way.leaves) for way in ways)),
    )
    blocks: list[Block] = [
        Para("What can be done about this floor, priced from the same rates."),
        Table(
            (
                Column("", bold=True),
                *(Column(way.title, share=1.0) for way in ways),
            ),
            rows,
            size=_LARGE,
            strong=(0,),
        ),
        Para(
            f"Prices of {bid.price_date}, tax as we have to ask it included. Days are working days "
            "and the wait until cars may stand on it; weekends and weather come on top."
        ),
        *_not_in(bid),
        Para(STRUCTURE, "small"),
        Para(_taken(ways), "small"),
    ]
    return Layout(tuple(blocks), landscape=True)


def _not_in(bid: Bid) -> list[Block]:
    """That the overlay, and what tearing out shares with it, is not priced to the end."""
    count = len(bid.missing)
    if not count:
        return []
    told = counted(count, "thing is", "things are")
    return [
        Para(f"{told} not yet in the price of either new slab: nobody has priced it.", "strong")
    ]


def choices_lines_sheet(walk: Walk) -> Layout | None:
    """For the office: the takeoff and the lines of every other way, and the rates it lacks."""
    bid = walk.price
    if bid is None or not bid.alternatives:
        return None
    blocks: list[Block] = [
        Para("For the office: not for the customer, not for the crew.", "strong"),
        Para("The overlay stands on the bid sheet. Same rates, same overhead, profit and tax."),
    ]
    for way in bid.alternatives:
        if way.code in ("overlay", "nothing"):
            continue
        blocks += [Heading(way.title), Para(way.why)]
        blocks += _takeoff(way, walk)
        if way.lines:
            blocks.append(_lines(way.lines, bid.currency))
        if way.missing:
            blocks += [Para("Not priced; write down", "strong"), Bullets(way.missing)]
        if way.price is not None:
            blocks.append(Para(f"Asked: {_price(way, bid)}", "strong"))
        blocks += [
            Para(f"{one.about}: {one.taken} ({one.because})", "small") for one in way.assumptions
        ]
    blocks.append(Para(assumption_line(walk, room="price"), "small"))
    return Layout(tuple(block for block in blocks if not isinstance(block, Para) or block.text))


def _price(way: Alternative, bid: Bid) -> str:
    if not way.possible:
        return "cannot be done"
    if way.price is None:
        return _NOT_PRICED
    return write_money(way.price, currency=bid.currency)


def _days(way: Alternative) -> str:
    if way.days_out_of_use is None:
        return "–"
    if way.days_out_of_use == 0:
        return "none"
    return f"about {way.days_out_of_use:g} days"


def _told(texts: tuple[str, ...]) -> str:
    return " ".join(texts) or "nothing"


def _taken(ways: tuple[Alternative, ...]) -> str:
    """What was taken for the price of a way, told once."""
    told = dict.fromkeys(
        f"{way.title}: {one.about} {one.taken}"
        for way in ways
        for one in way.assumptions
        if one.about != "out of use"
    )
    return f"Taken where nothing was given: {'; '.join(told)}." if told else ""


def _takeoff(way: Alternative, walk: Walk) -> list[Block]:
    if not way.measured:
        return []
    return [
        Table(
            (Column("takeoff", share=1.0), Column("", "right")),
            tuple(
                (one.name, write_by_suffix(one.quantity, one.value, walk.job.units))
                for one in way.measured
            ),
            size=_SIZE,
        )
    ]


def _lines(lines: tuple[BidLine, ...], currency: str) -> Table:
    return Table(
        (
            Column("line", share=1.2),
            Column("how many", "right"),
            Column("unit"),
            Column("each", "right"),
            Column("amount", "right"),
            Column("why", share=1.4),
        ),
        tuple(
            (
                line.what,
                f"{line.number:f}",
                line.unit,
                write_money(line.each, currency=currency),
                write_money(line.amount, currency=currency),
                line.why,
            )
            for line in lines
        ),
        size=_SIZE,
        tight=True,
    )
