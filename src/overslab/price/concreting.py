"""What the plant charges: concrete, short loads, waiting, surcharges, its least order."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from overslab.ground.faults import Fault
from overslab.ground.notes import Assumption, Remark
from overslab.ground.units import Units, to_customary, write_volume
from overslab.handbook.money import waiting_minutes
from overslab.handbook.working import Working, show
from overslab.order.records import Plant
from overslab.price.chain import to_cents
from overslab.price.records import BidLine, Group, Rates, WorkRate

PLACING = "place"
_MILLI = Decimal("0.001")
_HOUR_MINUTES = 60.0
_HAIR = 1e-9


@dataclass(slots=True)
class Costed:
    """Lines as they are found, what has no rate, and what was wrong."""

    lines: list[BidLine] = field(default_factory=list)
    missing: list[str] = field(default_factory=list)
    found: list[Fault] = field(default_factory=list)
    assumptions: list[Assumption] = field(default_factory=list)
    remarks: list[Remark] = field(default_factory=list)
    workings: list[Working] = field(default_factory=list)

    def put(
        self, code: str, what: str, group: Group, *, number: Decimal, unit: str, each: Decimal,
        why: str,
    ) -> None:  # fmt: skip
        amount = to_cents(number * each)
        self.lines.append(BidLine(code, what, group, number, unit, each, amount, why))


def volume_unit(units: Units) -> str:
    """What concrete is sold by in this job."""
    return "m3" if units.system == "metric" else "yd3"


def in_sale_units(volume_m3: float, units: Units) -> Decimal:
    """A volume in yards or metres, to the thousandth."""
    value = volume_m3 if units.system == "metric" else to_customary(volume_m3, "yd3")
    return number_of(value)


def price_by_sale_unit(price_per_m3: float | Decimal, units: Units) -> Decimal:
    """A price by the cubic metre as one by the unit of sale, to the cent."""
    held_m3 = Decimal(1)
    if units.system != "metric":
        held_m3 = 1 / Decimal(repr(to_customary(1.0, "yd3")))
    exact = price_per_m3 if isinstance(price_per_m3, Decimal) else Decimal(repr(price_per_m3))
    return to_cents(exact * held_m3)


def number_of(value: float) -> Decimal:
    """A measured number for a line, to the thousandth and without idle zeros."""
    exact = Decimal(repr(float(value))).quantize(_MILLI)
    return exact.quantize(Decimal(1)) if exact == exact.to_integral_value() else exact.normalize()


def rate_of(code: str, rates: Rates) -> WorkRate | None:
    return next((one for one in rates.work if one.code == code), None)


def loads_of(amount_m3: float, plant: Plant) -> tuple[float, ...]:
    """Full trucks and what is left for a last one."""
    full = math.floor(amount_m3 / plant.truck_m3 + _HAIR)
    rest_m3 = amount_m3 - full * plant.truck_m3
    last = (rest_m3,) if rest_m3 > _HAIR else ()
    return (plant.truck_m3,) * full + last


def concrete_lines(
    loads_m3: Sequence[float], plant: Plant, rates: Rates, *, units: Units, why: str
) -> Costed:
    """Every line of the plant's bill for these loads."""
    made = Costed()
    amount = in_sale_units(math.fsum(loads_m3), units)
    made.put(
        "concrete",
        "concrete, delivered",
        "concrete",
        number=amount,
        unit=volume_unit(units),
        each=price_by_sale_unit(plant.concrete_cost_per_m3, units),
        why=why,
    )
    short = sum(load < plant.least_load_m3 - _HAIR for load in loads_m3)
    if short and plant.short_load_charge:
        made.put(
            "short-load",
            "short-load charge",
            "concrete",
            number=Decimal(short),
            unit="load",
            each=to_cents(Decimal(repr(plant.short_load_charge))),
            why=f"loads under {write_volume(plant.least_load_m3, units)}",
        )
    _surcharges(made, amount, len(loads_m3), rates, units)
    _waiting(made, loads_m3, plant, rates)
    _least_order(made, rates)
    return made


def _surcharges(made: Costed, amount: Decimal, loads: int, rates: Rates, units: Units) -> None:
    rules = rates.plant
    for code, what, wanted, price in (
        ("saturday", "Saturday surcharge", rules.saturday, rules.saturday_per_m3),
        ("hot-water", "hot water", rules.hot_water, rules.hot_water_per_m3),
    ):
        if wanted and price is None:
            made.missing.append(f"[plant_terms]: the price of {what} is not written down")
        if wanted and price is not None:
            made.put(
                code,
                what,
                "concrete",
                number=amount,
                unit=volume_unit(units),
                each=price_by_sale_unit(price, units),
                why="the plant's charge, on all that is ordered",
            )
    for code, what, price in (
        ("washout", "washout", rules.washout_per_load),
        ("fuel", "fuel surcharge", rules.fuel_per_load),
    ):
        if price:
            made.put(
                code,
                what,
                "concrete",
                number=Decimal(loads),
                unit="load",
                each=price,
                why="the plant's charge, by the load",
            )


def _waiting(made: Costed, loads_m3: Sequence[float], plant: Plant, rates: Rates) -> None:
    rules = rates.plant
    if rules.waiting_per_minute is None:
        return
    placing = rate_of(PLACING, rates)
    if placing is None or placing.quantity != "volume_m3":
        made.missing.append(
            f'[[work]] "{PLACING}", hours by volume: without it nobody knows how long trucks wait'
        )
        return
    crew_minutes_per_m3 = placing.hours_per * _HOUR_MINUTES / rates.hands
    if rules.waiting_free_minutes_per_m3 is not None:
        free = tuple(rules.waiting_free_minutes_per_m3 * load for load in loads_m3)
    else:
        free = (rules.waiting_free_minutes or 0.0,) * len(loads_m3)
    minutes, working = show(
        waiting_minutes,
        about="minutes that trucks wait beyond their free time",
        arrive_minutes=tuple(n * plant.truck_minutes for n in range(len(loads_m3))),
        unload_minutes=tuple(load * crew_minutes_per_m3 for load in loads_m3),
        free_minutes=free,
    )
    made.workings.append(working)
    made.assumptions.append(
        Assumption(
            about="waiting of trucks",
            taken="trucks come on the minute and all hands place",
            because="the clock of the pour is not worked out for the price",
        )
    )
    begun = math.ceil(minutes - _HAIR)
    if begun > 0:
        made.put(
            "waiting",
            "waiting of trucks",
            "concrete",
            number=Decimal(begun),
            unit="minute",
            each=rules.waiting_per_minute,
            why=f"{rates.hands} hands empty the trucks more slowly than they may stand for nothing",
        )


def _least_order(made: Costed, rates: Rates) -> None:
    bought = sum((one.amount for one in made.lines), Decimal(0))
    if rates.plant.least_order is not None and bought < rates.plant.least_order:
        made.put(
            "least-order",
            "made up to the plant's least order",
            "concrete",
            number=Decimal(1),
            unit="order",
            each=rates.plant.least_order - bought,
            why="the order comes to less than the plant asks for one",
        )
