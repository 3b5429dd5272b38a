"""The lines of the bid: the plant's bill, materials, hours, charges, trades, short and over."""

from __future__ import annotations

import math
from collections.abc import Iterator
from decimal import Decimal

from overslab.ground.notes import Assumption, Remark
from overslab.ground.units import (
    Units,
    to_si,
    write_by_suffix,
    write_length,
    write_money,
    write_volume,
)
from overslab.order.records import Order
from overslab.price import faults
from overslab.price.chain import CENT, to_cents
from overslab.price.concreting import Costed, concrete_lines, number_of, rate_of
from overslab.price.records import BidLine, MaterialRate, Rates, WorkRate
from overslab.takeoff import Item
from overslab.takeoff.records import Takeoff
from overslab.touches.records import Touches

SHORT_AND_OVER = "short-and-over"
# What the takeoff orders as measured may be sold by these; how much one of them is in SI.
_AS_MEASURED = "as measured"
_SOLD_BY: dict[str, dict[str, float]] = {
    "mass_kg": {"kg": 1.0, "lb": to_si(1.0, "lb")},
    "length_m": {"m": 1.0, "ft": to_si(1.0, "ft")},
    "area_m2": {"m2": 1.0, "ft2": to_si(1.0, "ft2")},
    "volume_m3": {"m3": 1.0, "yd3": to_si(1.0, "yd3")},
}
_SAME_SIZE_M = 0.0005


def hours_of(item_quantity: float, rate: WorkRate) -> Decimal:
    """Hours of one hand for so much work, to the hundredth."""
    return Decimal(repr(item_quantity * rate.hours_per)).quantize(CENT)


def cost_lines(
    takeoff: Takeoff, order: Order, rates: Rates, touches: Touches | None, *, units: Units
) -> Costed:
    """Every line of direct cost; overhead, profit and tax come after."""
    made = concrete_lines(
        tuple(load.volume_m3 for load in order.loads),
        order.plant,
        rates,
        units=units,
        why=f"the amount ordered; {write_volume(order.needed_m3.mean, units)} is needed on average",
    )
    _materials(made, takeoff.items, rates, units)
    _work(made, takeoff.items, rates, units)
    _flat(made, order, rates)
    if touches is not None:
        _trades(made, touches, takeoff.items, rates, units)
    _short_and_over(made, order, units)
    return made


def _materials(made: Costed, items: tuple[Item, ...], rates: Rates, units: Units) -> None:
    for item in items:
        if item.kind != "material" or not item.ordered:
            continue
        rate, unit, ordered = _priced(item, rates), item.order_unit, item.ordered
        measured = unit == _AS_MEASURED
        if measured:
            unit = rate.unit if rate is not None else item.quantity.rsplit("_", 1)[0]
            ordered = _in_unit(item, unit)
        sized = "" if item.size_m is None else f", {write_length(item.size_m, units)} high"
        if rate is None:
            amount = (
                write_by_suffix(item.quantity, item.gross, units)
                if measured
                else f"{number_of(ordered):f}"
            )
            made.missing.append(
                f'[[material]] "{item.code}", by the {unit}: {item.what}{sized}, '
                f"{amount} in this job"
            )
        elif _plain(rate.unit) != _plain(unit) or math.isnan(ordered):
            made.found.append(
                faults.UNIT_DIFFERS.met(
                    value=rate.unit,
                    place=f'rates.toml, [[material]] "{item.code}"',
                    code=item.code,
                    rate_unit=rate.unit,
                    item_unit=item.quantity.rsplit("_", 1)[0] if measured else unit,
                )
            )
        else:
            made.put(
                item.code,
                f"{item.what}{sized}",
                "material",
                number=number_of(ordered),
                unit=unit,
                each=rate.price,
                why=item.why,
            )


def _priced(item: Item, rates: Rates) -> MaterialRate | None:
    """The rate of this size, or else the one for every size."""
    mine = [one for one in rates.materials if one.code == item.code]
    for one in mine:
        if one.size_m is None or item.size_m is None:
            continue
        if abs(one.size_m - item.size_m) < _SAME_SIZE_M:
            return one
    return next((one for one in mine if one.size_m is None), None)


def _in_unit(item: Item, unit: str) -> float:
    """What is bought as measured, in the unit of the rate; not a number where that cannot be."""
    held = _SOLD_BY.get(item.quantity, {}).get(unit)
    return math.nan if held is None else item.gross / held


def _plain(unit: str) -> str:
    return " ".join(unit.split()).casefold()


def _work(made: Costed, items: tuple[Item, ...], rates: Rates, units: Units) -> None:
    for item in items:
        if item.kind != "work" or not item.gross:
            continue
        rate = rate_of(item.code, rates)
        by = item.quantity.rsplit("_", 1)[0]
        amount = write_by_suffix(item.quantity, item.gross, units)
        if rate is None:
            made.missing.append(
                f'[[work]] "{item.code}", hours by {by}: {item.what}, {amount} in this job'
            )
        elif rate.quantity != item.quantity:
            made.found.append(
                faults.QUANTITY_DIFFERS.met(
                    value=rate.quantity.rsplit("_", 1)[0],
                    place=f'rates.toml, [[work]] "{item.code}"',
                    code=item.code,
                    rate_by=rate.quantity.rsplit("_", 1)[0],
                    item_by=by,
                )
            )
        else:
            told = f"; from {rate.jobs} closed jobs" if rate.jobs else ""
            made.put(
                item.code,
                item.what,
                "labour",
                number=hours_of(item.gross, rate),
                unit="hour",
                each=rates.wage_per_hour,
                why=f"{amount}{told}",
            )


def labour_hours(lines: list[BidLine]) -> Decimal:
    """Hours of all hands together."""
    hours = (one.number for one in lines if one.group == "labour" and one.unit == "hour")
    return sum(hours, Decimal(0))


def _flat(made: Costed, order: Order, rates: Rates) -> None:
    hours = labour_hours(made.lines)
    crew_hours = (hours / rates.hands).quantize(CENT)
    day = Decimal(repr(rates.hours_per_day)) * rates.hands
    often = {
        "job": Decimal(1),
        "pour": Decimal(1),
        "load": Decimal(len(order.loads)),
        "hour": crew_hours,
        "day": Decimal(math.ceil(hours / day)),
    }
    for flat in rates.flat:
        number = often[flat.per]
        if flat.only_for in ("any", "overlay") and number:
            why = f"by the {flat.per}, as you charge it"
            made.put(
                flat.code, flat.what, flat.group, number=number, unit=flat.per, each=flat.price,
                why=why,
            )  # fmt: skip
    if any(flat.per == "pour" for flat in rates.flat):
        made.assumptions.append(
            Assumption(
                about="pours", taken="one", because="how the pour is cut into days is not planned"
            )
        )


def _trades(
    made: Costed, touches: Touches, items: tuple[Item, ...], rates: Rates, units: Units
) -> None:
    """Work that the raised floor makes for others; what nobody has priced is named."""
    bought = {item.code for item in items if item.ordered}
    priced = {(one.trade, one.about): one for one in rates.trades}
    told: dict[tuple[str, str], list[str]] = {}
    for touch in touches.touches:
        for remedy in touch.remedies:
            says = remedy.told(lambda quantity, value: write_by_suffix(quantity, value, units))
            asked = (remedy.trade, touch.name)
            if remedy.item in bought:
                continue  # its material and its hours stand among the lines of the takeoff
            if remedy.cost is not None:
                each = to_cents(Decimal(repr(remedy.cost)))
                _trade(made, remedy.trade, f"{remedy.trade}, {touch.name}", each, says)
            elif asked in priced:
                told.setdefault(asked, []).append(says)
            else:
                made.missing.append(f"{remedy.trade}, {touch.name}: {says}")
    for (trade, about), work in told.items():
        each = priced[trade, about].price
        _trade(made, trade, f"{trade}, {about}", each, "; ".join(work))
    idle = [one for one in rates.trades if (one.trade, one.about) not in told]
    if idle:
        named = ", ".join(f"{one.trade} at {one.about}" for one in idle)
        made.remarks.append(
            Remark(
                "note", f"Prices of trades that have nothing to do here and are not in: {named}."
            )
        )


def _trade(made: Costed, trade: str, what: str, each: Decimal, why: str) -> None:
    code = f"trade-{trade.replace(' ', '-')}"
    made.put(code, what, "trade", number=Decimal(1), unit="job", each=each, why=why)


def _short_and_over(made: Costed, order: Order, units: Units) -> None:
    """What running short and having too much cost on average, beyond the concrete ordered.

    It belongs into the cost: a crew that prices a job as if it never ran short pays for it out of
    its profit, on average by just this. No single job costs this amount; the spread of the profit
    shows what a job can cost.
    """
    plant = order.plant
    ordered = order.amount_m3 * plant.concrete_cost_per_m3 + order.short_load_charge
    risk = to_cents(Decimal(repr(max(0.0, order.expected_cost - ordered))))
    if risk:
        made.put(
            SHORT_AND_OVER,
            "risk of short and over",
            "other",
            number=Decimal(1),
            unit="job",
            each=risk,
            why=(
                f"on average; {write_by_suffix('chance_share', order.chance_short, units)} chance "
                f"of running short at {write_money(plant.short_cost, currency=plant.currency)}, "
                f"{write_volume(order.expected_left_m3, units)} left over"
            ),
        )


def missing_told(missing: list[str]) -> Iterator[Remark]:
    """One remark that says how much is not in the price."""
    if missing:
        yield Remark(
            "warn",
            f"Not in the price, because no price of it is written down: {len(missing)} "
            f"{'thing' if len(missing) == 1 else 'things'} (listed as missing).",
        )
