"""The parts of a proposal that tell of money: sale prices only.

Nothing here reads a line, a cost, a margin, an overhead, a profit or a rate of the bid: what is
taken from it is named one by one.
"""

from __future__ import annotations

from decimal import Decimal

from overslab.faces.documents.blocks import Bullets, Column, Heading, Para, Table
from overslab.faces.documents.proposal_parts import Part, PartBlock, own_words
from overslab.ground.units import write_money, write_volume
from overslab.job.records import Walk
from overslab.price.records import Alternative, Bid

_UNITS = {"yd3": "cubic yard", "m3": "cubic metre"}
_WAYS = {
    "overlay": "Pour over it (this proposal)",
    "tear-out": "Tear out and pour anew",
    "lift": "Lift or fill the old floor",
    "grind-patch": "Grind and patch",
    "nothing": "Do nothing",
}


def price_asked(bid: Bid) -> str:
    return write_money(bid.price, currency=bid.currency)


def price_says(bid: Bid) -> str:
    """Whether tax is in it; how much tax only where it falls on the whole price."""
    if not bid.tax:
        return ""
    whole = bid.rates is not None and bid.rates.taxed == "all"
    amount = f", {write_money(bid.tax, currency=bid.currency)} of it" if whole else ""
    return f"with tax{amount}"


def price(walk: Walk, bid: Bid) -> Part:
    """The price, how it is paid, and what may be added."""
    texts = walk.job.proposal
    says = price_says(bid)
    told = f"For the work described here: {price_asked(bid)}{f', {says}' if says else ''}."
    if texts.valid_until:
        told += f" This price holds until {texts.valid_until}."
    blocks: list[PartBlock] = [Para(told, "strong"), *own_words(texts.payment)]
    if texts.options:
        blocks += [
            Heading("What you may add"),
            Table(
                (
                    Column("what", share=0.7, bold=True),
                    Column("what you get", share=1.4),
                    Column("adds", "right"),
                    Column("yes, initials", share=0.4),
                ),
                tuple(
                    (one.name, one.says, write_money(one.price, currency=bid.currency), "")
                    for one in texts.options
                ),
            ),
        ]
    return Part("price", "Price and options", tuple(blocks))


def instead(bid: Bid) -> Part:
    """The other ways to deal with the floor, side by side."""
    rows = tuple(
        (
            _WAYS[one.code],
            _asked(one, bid),
            "" if one.days_out_of_use is None else f"{one.days_out_of_use:g}",
            _sentences(one.solves),
            _sentences(one.leaves),
        )
        for one in bid.alternatives
    )
    if not rows:
        return Part("instead", "What else could be done", ())
    table = Table(
        (
            Column("way", share=0.8, bold=True),
            Column("price", "right"),
            Column("days out of use", "right"),
            Column("what it solves", share=1.1),
            Column("what it leaves", share=1.2),
        ),
        rows,
        strong=tuple(n for n, one in enumerate(bid.alternatives) if one.code == "overlay"),
        size=8.5,
    )
    return Part("instead", "What else could be done", (table,))


def _sentences(told: tuple[str, ...]) -> str:
    return " ".join(one if one.endswith(".") else f"{one}." for one in told)


def _asked(one: Alternative, bid: Bid) -> str:
    if one.code == "overlay":
        return price_asked(bid)
    if not one.possible:
        return "not possible here"
    if one.price is None:
        return "not priced"
    return write_money(one.price, currency=bid.currency) if one.price else "nothing"


def may_change(walk: Walk, bid: Bid) -> Part:
    """What may change the price, and what one more of it comes to."""
    texts, units = walk.job.proposal, walk.job.units
    rates: list[tuple[str, str, Decimal]] = []
    if bid.extra_concrete_price is not None:
        unit = _UNITS.get(bid.extra_concrete_unit, bid.extra_concrete_unit)
        rates.append(("More concrete than drawn", unit, bid.extra_concrete_price))
    rates += [(one.what, one.per, one.price) for one in texts.unit_rates]
    blocks: list[PartBlock] = []
    if texts.may_change:
        blocks.append(Bullets(texts.may_change))
    if walk.takeoff is not None:
        volume = walk.takeoff.total.volume_m3
        blocks.append(
            Para(
                f"The price is for {write_volume(volume.mean, units)} of concrete in place, as "
                "drawn from our measurements."
            )
        )
    if rates:
        blocks.append(
            Table(
                (
                    Column("more of", share=1),
                    Column("for each", share=0.6),
                    Column("price", "right"),
                ),
                tuple(
                    (what, per, write_money(amount, currency=bid.currency))
                    for what, per, amount in rates
                ),
            )
        )
    if walk.verdict.not_known:
        blocks += [
            Heading("What nobody has been able to look at yet"),
            Bullets(walk.verdict.not_known),
        ]
    return Part("changes", "What may change the price", tuple(blocks))
