"""The bid in words and cells, the same on paper, on a page and in the terminal."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from overslab.ground.units import write_money, write_share
from overslab.price.records import Alternative, Bid, BidLine, Outcome, WishPrice

GROUPS: dict[str, str] = {
    "concrete": "Concrete",
    "material": "Materials",
    "labour": "Labour",
    "equipment": "Equipment",
    "haul": "Haul",
    "trade": "Other trades",
    "other": "Other",
}
NO_RATES = (
    "There is no price yet: rates.toml says nothing of wages and profit. Write the sections [crew] "
    "and [money] there, then [[material]] and [[work]] by the codes of the takeoff."
)


def line_cells(line: BidLine, *, currency: str) -> tuple[str, str, str, str, str, str]:
    """What, number, unit, each, amount, why."""
    return (
        line.what,
        f"{line.number:,f}",
        line.unit,
        write_money(line.each, currency=currency),
        write_money(line.amount, currency=currency),
        line.why,
    )


def sum_pairs(bid: Bid) -> Iterator[tuple[str, str]]:
    """From cost to price; margin and markup always both, and never without what they are of."""

    def money(amount: Decimal) -> str:
        return write_money(amount, currency=bid.currency)

    by_margin = bid.rates is not None and bid.rates.margin is not None
    written, same = "as you wrote it", "the same profit"
    yield "direct cost", money(bid.direct_cost)
    yield "overhead", money(bid.overhead)
    yield "cost", money(bid.cost)
    yield "profit", money(bid.profit)
    margin, markup = write_share(float(bid.margin)), write_share(float(bid.markup))
    yield "as margin, a share of the price", f"{margin} ({written if by_margin else same})"
    yield "as markup, a share of the cost", f"{markup} ({same if by_margin else written})"
    yield "before tax", money(bid.before_tax)
    yield "rounding", money(bid.rounding)
    yield "tax", money(bid.tax)
    yield "PRICE", money(bid.price)
    if bid.extra_concrete_price is not None:
        yield f"one more {bid.extra_concrete_unit} placed, sold", money(bid.extra_concrete_price)


def chance_told(outcome: Outcome) -> str:
    """The chance of losing money; where no try lost any, that is said, and not that it is nil."""
    if outcome.chance_of_loss:
        return f"chance of losing money {write_share(outcome.chance_of_loss)}"
    return f"none of {len(outcome.profits)} tries lost money"


def wish_cells(one: WishPrice, *, currency: str) -> tuple[str, str]:
    """The wish, and what it adds."""
    return one.says, write_money(one.adds, currency=currency)


def way_cells(one: Alternative, *, currency: str) -> tuple[str, str, str]:
    """Another way: its title, price, days out of use."""
    price = "cannot be done" if not one.possible else "a rate is missing"
    if one.price is not None:
        price = write_money(one.price, currency=currency)
    return one.title, price, "" if one.days_out_of_use is None else f"{one.days_out_of_use:g}"
