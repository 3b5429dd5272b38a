"""What it costs and what we ask."""

from __future__ import annotations

from decimal import Decimal

from overslab.ground.faults import Faulty
from overslab.ground.notes import Remark
from overslab.ground.units import Units
from overslab.handbook.money import (
    margin_of_markup,
    markup_of_margin,
    price_by_margin,
    price_by_markup,
)
from overslab.handbook.working import Working, show
from overslab.newtop.records import NewTop
from overslab.oldslab.records import OldSlab
from overslab.order.records import Order
from overslab.price.alternatives import against
from overslab.price.chain import Asked, ask
from overslab.price.concreting import concrete_lines, loads_of, volume_unit
from overslab.price.costing import cost_lines, missing_told
from overslab.price.outcome import outcome
from overslab.price.records import Bid, Rates
from overslab.price.wishing import extra_concrete, step_prices
from overslab.takeoff.records import Takeoff
from overslab.touches.records import Touches
from overslab.verdict.records import Verdict

METRIC = Units("metric", 0.001)


def bid(
    takeoff: Takeoff,
    order: Order,
    rates: Rates,
    *,
    newtop: NewTop,
    touches: Touches | None,
    oldslab: OldSlab,
    verdict: Verdict,
    units: Units = METRIC,
    park_days: int | None = None,
) -> Bid:
    """The bid: lines, cost, price, what the job may leave, and what the wishes add.

    ``units`` say by which unit concrete is sold and how words say their numbers; ``park_days`` are
    the owner's days until a car may stand on the floor. What has no rate
    is named in ``missing`` and is not in the price. Raises ``Faulty`` with every rate that is by
    another unit than the takeoff's.
    """
    made = cost_lines(takeoff, order, rates, touches, units=units)
    if made.found:
        raise Faulty(made.found)
    lines = tuple(made.lines)
    asked = ask(lines, rates)
    return Bid(
        currency=rates.currency,
        price_date=rates.date,
        made_up=rates.made_up,
        lines=lines,
        direct_cost=asked.direct_cost,
        overhead=asked.overhead,
        cost=asked.cost,
        profit=asked.profit,
        margin=asked.margin,
        markup=asked.markup,
        before_tax=asked.before_tax,
        tax=asked.tax,
        price=asked.price,
        rounding=asked.rounding,
        extra_concrete_price=extra_concrete(order, rates, units=units),
        extra_concrete_unit=volume_unit(units),
        outcome=outcome(lines, asked, order, rates),
        wishes=step_prices(newtop, order, rates, units=units),
        alternatives=against(
            takeoff,
            order,
            rates,
            oldslab=oldslab,
            newtop=newtop,
            verdict=verdict,
            touches=touches,
            units=units,
            own_lines=lines,
            own_price=asked.price,
            park_days=park_days,
            price_of=lambda others: ask(others, rates).price,
            concrete_of=lambda amount_m3: (
                concrete_lines(
                    loads_of(amount_m3, order.plant),
                    order.plant,
                    rates,
                    units=units,
                    why="the amount that would be ordered",
                ).lines
            ),
        ),
        missing=tuple(made.missing),
        rates=rates,
        assumptions=tuple(made.assumptions),
        remarks=(*_remarks(rates, verdict), *missing_told(made.missing), *made.remarks),
        workings=(*made.workings, *_workings(asked, rates)),
    )


def _remarks(rates: Rates, verdict: Verdict) -> tuple[Remark, ...]:
    told = []
    if verdict.ruling == "do not pour over this":
        told.append("The verdict is not to pour over this floor: this price is no offer.")
    elif verdict.ruling == "put these right first":
        told.append("By the verdict some things come first; what they cost is not in the price.")
    if rates.made_up:
        told.append("These rates are made up: put your own in their place before you bid.")
    return tuple(Remark("warn", text) for text in told)


def _workings(asked: Asked, rates: Rates) -> tuple[Working, ...]:
    """Profit both ways, so that margin and markup are never taken for one another."""
    cost = float(asked.cost)
    if rates.margin is not None:
        share = float(rates.margin)
        _, price = show(
            price_by_margin, about="price before tax, by margin", cost=cost, margin_share=share
        )
        _, other = show(markup_of_margin, about="the same profit as markup", margin_share=share)
    else:
        share = float(rates.markup or Decimal(0))
        _, price = show(
            price_by_markup, about="price before tax, by markup", cost=cost, markup_share=share
        )
        _, other = show(margin_of_markup, about="the same profit as margin", markup_share=share)
    return (price, other)
