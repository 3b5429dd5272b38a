"""What the wishes add to the price asked: by the next step of a rule, and each as a whole."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from decimal import Decimal

from overslab.ground.units import Units, write_length, write_slope
from overslab.newtop.records import Edge, NewTop, Wishes
from overslab.order.records import Order
from overslab.price.chain import sold, to_cents
from overslab.price.concreting import PLACING, price_by_sale_unit, rate_of
from overslab.price.records import Bid, Rates, WishPrice

_INCH_M = {"feet-inches": 0.0254, "tenths": 0.03048, "metric": 0.025}


def concrete_sold_per_m3(order: Order, rates: Rates) -> Decimal:
    """What one more cubic metre adds to the price: delivered, placed, with overhead and profit."""
    concrete = Decimal(repr(order.plant.concrete_cost_per_m3))
    rules = rates.plant
    for wanted, each in (
        (rules.saturday, rules.saturday_per_m3),
        (rules.hot_water, rules.hot_water_per_m3),
    ):
        if wanted and each is not None:
            concrete += each
    placing = rate_of(PLACING, rates)
    labour = Decimal(0)
    if placing is not None and placing.quantity == "volume_m3":
        labour = Decimal(repr(placing.hours_per)) * rates.wage_per_hour
    return sold(concrete + labour, rates, taxed=concrete)


def extra_concrete(order: Order, rates: Rates, *, units: Units) -> Decimal:
    """The same by the unit that concrete is sold in."""
    return price_by_sale_unit(concrete_sold_per_m3(order, rates), units)


def step_prices(
    newtop: NewTop, order: Order, rates: Rates, *, units: Units
) -> tuple[WishPrice, ...]:
    """Every rule with a price: what its last step adds to the price asked.

    The rule's own price is concrete in place; losses come on top, then placing, overhead, profit
    and tax as for any concrete. Rules that cost less than a cent
    are left out.
    """
    top = newtop.top
    if top is None:
        return ()
    each = concrete_sold_per_m3(order, rates)
    per_money = 1 / Decimal(repr(newtop.wishes.concrete_cost_per_m3))
    with_losses = 1 + Decimal(repr(order.plant.loss.mean))
    made = []
    for rule in top.rules:
        if not rule.cost_per_step:
            continue
        volume_m3 = Decimal(repr(rule.cost_per_step)) * per_money * with_losses
        told = (
            write_slope(rule.step, units)
            if rule.step_unit == "slope"
            else write_length(rule.step, units)
        )
        name = f"{rule.check.name}, {rule.check.where}" if rule.check.where else rule.check.name
        adds = to_cents(volume_m3 * each)
        if adds:
            says = f"the last {told} of {name} adds this much"
            made.append(WishPrice(name, says, adds, rule.step, rule.step_unit))
    return tuple(sorted(made, key=lambda one: -one.adds))


def price_of_wishes(
    bid: Bid,
    wishes: Wishes,
    again: Callable[[Wishes], Bid | None],
    *,
    units: Units,
    moved: tuple[str, ...] = (),
) -> tuple[WishPrice, ...]:
    """What each main wish adds as a whole: the floor designed, taken off and priced without it.

    ``again`` gives the bid for other wishes, or None where no top meets them; then nothing can be
    said of that wish and it is left out. Differences are taken before the rounding of the price, so
    that whole steps do not hide them. ``moved`` are the touches that the bid's top moves.
    """
    made = []
    for name, says, other, moving in _without(wishes, units=units, moved=moved):
        bare = again(other)
        if bare is not None and bid.rates is not None:
            spent = sold(Decimal(repr(moving)), bid.rates, taxed=Decimal(0))
            adds = _unrounded(bid) - (_unrounded(bare) + spent)
            made.append(WishPrice(wish=name, says=says, adds=adds))
    return tuple(made)


def _unrounded(bid: Bid) -> Decimal:
    return bid.price - bid.rounding


def _without(
    wishes: Wishes, *, units: Units, moved: tuple[str, ...]
) -> Iterator[tuple[str, str, Wishes, float]]:
    """Name, words, the wishes without it, and what moving costs that those wishes do not know."""
    if wishes.least_fall > 0.0:
        fall = write_slope(wishes.least_fall, units)
        yield "fall", f"the {fall} fall adds this much", replace(wishes, least_fall=0.0), 0.0
    less_m = _INCH_M[units.system]
    if wishes.least_thickness_m > less_m:
        yield (
            "least thickness",
            f"the last {write_length(less_m, units)} of the least thickness of "
            f"{write_length(wishes.least_thickness_m, units)} adds this much",
            replace(wishes, least_thickness_m=wishes.least_thickness_m - less_m),
            0.0,
        )
    for edge in wishes.edges:
        rest = tuple(one for one in wishes.edges if one is not edge)
        yield (
            edge.name,
            f"meeting {edge.name} at its height adds this much, beside a top free of it",
            replace(wishes, edges=rest),
            0.0,
        )
        if edge.move is not None:
            left = edge.name not in moved
            other = _moved(edge) if left else replace(edge, move=None)
            yield (
                f"{edge.name}, {'left' if left else 'moved'}",
                f"leaving {edge.name} instead of moving it adds this much"
                if left
                else f"moving {edge.name} instead of leaving it adds this much",
                replace(wishes, edges=(*rest, other)),
                edge.move.cost if left else 0.0,
            )


def _moved(edge: Edge) -> Edge:
    """The same edge where it would stand after it was moved."""
    assert edge.move is not None
    return replace(
        edge,
        lowest_m=None if edge.lowest_m is None else edge.lowest_m - edge.move.down_m,
        highest_m=None if edge.highest_m is None else edge.highest_m + edge.move.up_m,
        move=None,
    )
