"""Cents: lines add up to the price, margin and markup say the same profit."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as some
from made_up_job import RATES

from overslab.handbook.money import (
    margin_of_markup,
    markup_of_margin,
    price_by_margin,
    price_by_markup,
    waiting_minutes,
)
from overslab.price.chain import ask, round_up, shares, sold, to_cents
from overslab.price.concreting import Costed
from overslab.price.records import BidLine, Group, Rates

NUMBERS = some.decimals(min_value=0, max_value=2000, places=3)
PRICES = some.decimals(min_value=0, max_value=5000, places=2)
SHARES = some.integers(0, 90).map(lambda cents: Decimal(cents) / 100)
GROUPS: tuple[Group, ...] = (
    "concrete",
    "material",
    "labour",
    "equipment",
    "haul",
    "trade",
    "other",
)


@some.composite
def bids(draw: some.DrawFn) -> tuple[list[BidLine], Rates]:
    made = Costed()
    for n in range(draw(some.integers(1, 12))):
        group = draw(some.sampled_from(GROUPS))
        number, each = draw(NUMBERS), draw(PRICES)
        made.put(f"line-{n}", "", group, number=number, unit="", each=each, why="")
    by_margin = draw(some.booleans())
    share = draw(SHARES)
    rates = replace(
        RATES,
        overhead=draw(SHARES),
        margin=share if by_margin else None,
        markup=None if by_margin else share,
        tax=draw(some.integers(0, 25)) / Decimal(100),
        taxed=draw(some.sampled_from(["all", "materials", "none"])),
        round_to=draw(some.sampled_from([Decimal(t) for t in ("0.01", "0.05", "1", "5", "10")])),
    )
    return made.lines, rates


def half_up(exact: Fraction) -> Decimal:
    """To the cent by another route: whole numbers only."""
    return Decimal((2 * exact * 100 + 1).__floor__() // 2) / 100


@given(bids())
def test_lines_add_up_to_the_price(made: tuple[list[BidLine], Rates]) -> None:
    lines, rates = made
    asked = ask(lines, rates)
    for line in lines:
        assert line.amount == half_up(Fraction(line.number) * Fraction(line.each))
    direct = sum(Fraction(line.amount) for line in lines)
    assert Fraction(asked.direct_cost) == direct
    assert asked.overhead == half_up(direct * Fraction(rates.overhead))
    assert asked.cost == asked.direct_cost + asked.overhead
    assert asked.before_tax == asked.cost + asked.profit
    assert asked.price == asked.before_tax + asked.rounding + asked.tax
    assert asked.price % rates.round_to == 0
    assert Decimal(0) <= asked.rounding < rates.round_to + Decimal("0.01")
    for amount in (asked.overhead, asked.profit, asked.tax, asked.rounding, asked.price):
        assert amount == amount.quantize(Decimal("0.01"))


@given(bids())
def test_tax_is_on_what_is_taxed_and_on_nothing_else(made: tuple[list[BidLine], Rates]) -> None:
    lines, rates = made
    asked = ask(lines, rates)
    bought = sum(
        (Fraction(line.amount) for line in lines if line.group in ("concrete", "material")),
        Fraction(0),
    )
    if rates.taxed == "none":
        assert asked.tax == 0
    elif rates.taxed == "materials":
        assert asked.tax == half_up(bought * Fraction(rates.tax))
    else:  # on the whole of what is asked, rounding and all
        whole = Fraction(asked.price - asked.tax) * Fraction(rates.tax)
        assert abs(Fraction(asked.tax) - whole) <= Fraction(1, 100)


@given(SHARES, some.decimals(min_value=1, max_value=100_000, places=2))
def test_margin_and_markup_convert_into_one_another(share: Decimal, cost: Decimal) -> None:
    margin, markup = shares(replace(RATES, margin=share, markup=None))
    there, back = shares(replace(RATES, margin=None, markup=markup))
    assert margin == share
    assert back == markup
    assert abs(there - share) < Decimal("1e-24")
    # The same profit, by the two definitions in whole fractions.
    profit = Fraction(cost) * Fraction(share) / (1 - Fraction(share))
    assert float(Fraction(cost) * Fraction(markup)) == pytest.approx(float(profit), rel=1e-12)
    line = BidLine("", "", "other", Decimal(1), "", cost, cost, "")
    same = replace(RATES, overhead=Decimal(0))
    one = ask([line], replace(same, margin=share, markup=None))
    other = ask([line], replace(same, margin=None, markup=markup))
    assert one.price == other.price
    assert one.profit == half_up(profit) or abs(Fraction(one.profit) - profit) <= Fraction(1, 200)


@given(some.floats(0, 0.95), some.floats(0, 1e6))
def test_the_handbook_agrees_both_ways(margin: float, cost: float) -> None:
    markup = markup_of_margin(margin_share=margin)
    assert margin_of_markup(markup_share=markup) == pytest.approx(margin, abs=1e-12)
    by_margin = price_by_margin(cost=cost, margin_share=margin)
    assert price_by_markup(cost=cost, markup_share=markup) == pytest.approx(by_margin, rel=1e-9)
    assert markup >= margin


@pytest.mark.parametrize(
    ("amount", "step", "up"),
    [
        ("8393.81", "10", "8400.00"),
        ("8400.00", "10", "8400.00"),
        ("8400.01", "10", "8410.00"),
        ("99.99", "0.01", "99.99"),
        ("99.91", "0.05", "99.95"),
        ("0.00", "5", "0.00"),
    ],
)
def test_the_price_is_rounded_up_to_whole_steps(amount: str, step: str, up: str) -> None:
    assert round_up(Decimal(amount), step=Decimal(step)) == Decimal(up)


def test_tax_that_lies_in_a_rounded_price_by_hand() -> None:
    """Cost 100, markup a tenth: 110 and 8 % are 118.80, rounded up 120: 8.89 of it is tax."""
    line = BidLine("", "", "other", Decimal(1), "", Decimal(100), Decimal(100), "")
    rates = replace(
        RATES, overhead=Decimal(0), margin=None, markup=Decimal("0.1"),
        tax=Decimal("0.08"), taxed="all", round_to=Decimal(10),
    )  # fmt: skip
    asked = ask([line], rates)
    assert (asked.price, asked.tax, asked.rounding) == tuple(map(Decimal, ("120", "8.89", "1.11")))


def test_half_a_cent_goes_up() -> None:
    assert to_cents(Decimal("0.125")) == Decimal("0.13")
    assert to_cents(Decimal("0.115")) == Decimal("0.12")


def test_what_more_of_something_adds_by_hand() -> None:
    """100 more: 110 with overhead, 137.50 at a margin of a fifth; 5 % on the 60 of material: 3."""
    rates = replace(RATES, tax=Decimal("0.05"), taxed="materials")
    assert sold(Decimal(100), rates, taxed=Decimal(60)) == Decimal("140.50")
    assert sold(Decimal(100), replace(rates, taxed="all"), taxed=Decimal(60)) == Decimal("144.38")
    assert sold(Decimal(100), replace(rates, taxed="none"), taxed=Decimal(60)) == Decimal("137.50")


@given(
    some.lists(some.tuples(some.integers(0, 60), some.integers(1, 90)), min_size=1, max_size=8),
    some.integers(0, 120),
)
def test_trucks_in_line_by_stepping_the_clock(gaps: list[tuple[int, int]], free: int) -> None:
    """A clock that ticks by the minute and looks who stands there and who is being emptied."""
    arrive = [sum(gap for gap, _ in gaps[: n + 1]) for n in range(len(gaps))]
    left = [need for _, need in gaps]
    stood = [0] * len(gaps)
    for minute in range(arrive[-1] + sum(left) + 1):
        here = [n for n, at in enumerate(arrive) if at <= minute and left[n] > 0]
        for n in here:
            stood[n] += 1
        if here:
            left[here[0]] -= 1
    wanted = sum(max(0, one - free) for one in stood)
    got = waiting_minutes(
        arrive_minutes=tuple(map(float, arrive)),
        unload_minutes=tuple(float(need) for _, need in gaps),
        free_minutes=(float(free),) * len(gaps),
    )
    assert got == pytest.approx(wanted)
    assert all(a <= b for a, b in pairwise(arrive))
