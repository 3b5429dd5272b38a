"""From direct cost to the price asked: overhead, profit, tax, and the one place of rounding."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal

from overslab.price.records import BidLine, Rates

CENT = Decimal("0.01")
_TAXED_GROUPS = ("concrete", "material")
_ONE = Decimal(1)


@dataclass(frozen=True, slots=True)
class Asked:
    """The figures between cost and price; ``price = before_tax + rounding + tax``, to the cent."""

    direct_cost: Decimal
    overhead: Decimal
    cost: Decimal
    profit: Decimal
    margin: Decimal
    markup: Decimal
    before_tax: Decimal
    rounding: Decimal
    tax: Decimal
    price: Decimal


def to_cents(amount: Decimal) -> Decimal:
    """Half a cent goes up."""
    return amount.quantize(CENT, rounding=ROUND_HALF_UP)


def shares(rates: Rates) -> tuple[Decimal, Decimal]:
    """Margin and markup, whichever of the two the owner wrote down."""
    if rates.margin is not None:
        return rates.margin, rates.margin / (_ONE - rates.margin)
    assert rates.markup is not None, "rates say exactly one of margin and markup"
    return rates.markup / (_ONE + rates.markup), rates.markup


def ask(lines: Iterable[BidLine], rates: Rates) -> Asked:
    """The price asked for these lines."""
    lines = tuple(lines)
    direct = sum((line.amount for line in lines), Decimal(0))
    overhead = to_cents(direct * rates.overhead)
    cost = direct + overhead
    margin, markup = shares(rates)
    profit = to_cents(cost * markup)
    before_tax = cost + profit
    taxed = sum((line.amount for line in lines if line.group in _TAXED_GROUPS), Decimal(0))
    tax = {
        "all": to_cents(before_tax * rates.tax),
        "materials": to_cents(taxed * rates.tax),
        "none": Decimal(0),
    }[rates.taxed]
    price = round_up(before_tax + tax, step=rates.round_to)
    if rates.taxed == "all" and price != before_tax + tax:
        # What the rounding adds is taxed like the rest of the price.
        tax = to_cents(price * rates.tax / (_ONE + rates.tax))
    return Asked(
        direct_cost=direct,
        overhead=overhead,
        cost=cost,
        profit=profit,
        margin=margin,
        markup=markup,
        before_tax=before_tax,
        rounding=price - tax - before_tax,
        tax=tax,
        price=price,
    )


def round_up(amount: Decimal, *, step: Decimal) -> Decimal:
    """The one place where a price is rounded: up to whole steps."""
    return to_cents((amount / step).to_integral_value(rounding=ROUND_CEILING) * step)


def sold(direct: Decimal, rates: Rates, *, taxed: Decimal) -> Decimal:
    """What a further direct cost adds to the price asked, before rounding to whole steps.

    ``taxed`` is the part of it that is concrete or material.
    """
    _, markup = shares(rates)
    before_tax = direct * (_ONE + rates.overhead) * (_ONE + markup)
    tax = {
        "all": before_tax * rates.tax,
        "materials": taxed * rates.tax,
        "none": Decimal(0),
    }[rates.taxed]
    return to_cents(before_tax + tax)
