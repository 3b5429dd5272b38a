"""The owner's rates out of ``rates.toml``; None where it says nothing of wages and profit."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from overslab.ground import units
from overslab.ground.faults import Fault, Faulty
from overslab.ground.units import System
from overslab.job import faults
from overslab.job.checking import Checked
from overslab.job.pricekeys import PlantTerms, WorkHours
from overslab.job.ratesfile import RatesFile
from overslab.job.typed import Money, Share, told
from overslab.price import learn
from overslab.price.records import (
    ClosedJob,
    FlatRate,
    MaterialRate,
    PlantRules,
    Rates,
    TradePrice,
    WorkRate,
)

# Key, what it measures, and how much of it the key's figure is for, as the units module reads it.
_HOURS: tuple[tuple[str, str, str], ...] = (
    ("hours_per_100_ft2", "area_m2", "100 ft2"),
    ("hours_per_100_ft", "length_m", "100 ft"),
    ("hours_per_yd3", "volume_m3", "1 yd3"),
    ("hours_per_100_lb", "mass_kg", "100 lb"),
    ("hours_per_m2", "area_m2", "1 m2"),
    ("hours_per_m", "length_m", "1 m"),
    ("hours_per_m3", "volume_m3", "1 m3"),
    ("hours_per_kg", "mass_kg", "1 kg"),
    ("hours_each", "count", "1"),
)
NEEDED = ("crew", "money")
_OPTIONAL = ("materials", "work", "charges", "trades", "plant_terms")


def missing_sections(facts: RatesFile) -> tuple[str, ...]:
    """Sections without which there is no price."""
    return tuple(name for name in NEEDED if getattr(facts, name) is None)


def rates_in(
    facts: RatesFile, *, source: Checked, system: System, made_up: bool, found: list[Fault]
) -> Rates | None:
    """The rates, or None where nothing of them is written; faults go to ``found``."""
    missing = missing_sections(facts)
    if len(missing) == len(NEEDED) and not any(getattr(facts, name) for name in _OPTIONAL):
        return None
    before = len(found)
    for name in missing:
        found.append(
            faults.KEY_MISSING.met(
                value="nothing",
                place=source.place(name),
                key=name,
                meaning=(type(facts).model_fields[name].description or ""),
                how=f"Add the section [{name}].",
            )
        )
    found += _twice(facts, source)
    if facts.money is not None:
        found += _not_one(("margin", "markup"), facts.money, source, "money")
    work = tuple(
        _work(one, place=("work", n), source=source, system=system, found=found)
        for n, one in enumerate(facts.work)
    )
    plant = PlantRules()
    if facts.plant_terms is not None:
        found += _plant_faults(facts.plant_terms, source)
        plant = _plant(facts.plant_terms)
    if len(found) > before or facts.crew is None or facts.money is None:
        return None
    crew, money = facts.crew, facts.money
    return Rates(
        currency=facts.currency,
        date=facts.price_date,
        made_up=made_up or facts.made_up,
        wage_per_hour=cents(crew.wage),
        hands=crew.hands,
        hours_per_day=crew.hours_per_day,
        materials=tuple(
            MaterialRate(
                one.code, cents(one.price), one.unit, None if one.size is None else one.size.value
            )
            for one in facts.materials
        ),
        work=tuple(one for one in work if one is not None),
        flat=tuple(
            FlatRate(one.code, one.what, one.group, cents(one.price), one.per, one.only_for)
            for one in facts.charges
        ),
        trades=tuple(
            TradePrice(one.code, one.trade, one.about, cents(one.price)) for one in facts.trades
        ),
        plant=plant,
        overhead=_exact(money.overhead),
        margin=None if money.margin is None else _exact(money.margin),
        markup=None if money.markup is None else _exact(money.markup),
        tax=_exact(money.tax),
        taxed=money.taxed,
        round_to=cents(money.round_to),
    )


def cents(money: Money) -> Decimal:
    """The amount as it was typed, exactly."""
    return units.read_money(money.text)


def _exact(share: Share) -> Decimal:
    """The share in the digits that were typed: 8 % is 0.08 and not its nearest binary number."""
    return Decimal(repr(share.value))


def _twice(facts: RatesFile, source: Checked) -> Iterator[Fault]:
    for table, rows in (
        ("material", facts.materials),
        ("work", facts.work),
        ("charge", facts.charges),
        ("trade", facts.trades),
    ):
        names = [(row.code, _size_of(row)) for row in rows]
        for n, name in enumerate(names):
            if name in names[:n]:
                place = source.place(table, n, "code")
                code = " ".join(filter(None, name))
                yield faults.RATE_TWICE.met(value=code, place=place, code=code, table=table)
    if facts.money is not None and facts.money.round_to.value <= 0:
        yield faults.LENGTH_SIGN.met(
            value=facts.money.round_to.text,
            place=source.place("money", "round_to"),
            key="round_to",
            wanted="more than nothing",
            meaning='"$0.01" leaves the price as it is.',
        )


def _size_of(row: object) -> str:
    size = getattr(row, "size", None)
    return "" if size is None else f"{size.value:.4f} m"


def _not_one(
    keys: tuple[str, ...], section: object, source: Checked, *place: str | int, least: int = 1
) -> Iterator[Fault]:
    given = [key for key in keys if getattr(section, key) is not None]
    if not least <= len(given) <= 1:
        yield faults.GIVE_ONE.met(
            value=", ".join(given) or "nothing",
            place=source.place(*place, *given[:1]),
            given="None" if not given else "Both" if len(given) == 2 else f"{len(given)}",
            keys=" and ".join(keys),
        )


def _work(
    facts: WorkHours,
    *,
    place: tuple[str, int],
    source: Checked,
    system: System,
    found: list[Fault],
) -> WorkRate | None:
    more = tuple(_not_one(tuple(key for key, *_ in _HOURS), facts, source, *place))
    found += more
    if more:
        return None
    key, quantity, amount = next(row for row in _HOURS if getattr(facts, row[0]) is not None)
    rate = WorkRate(
        code=facts.code,
        what=facts.what.strip() or facts.code.replace("-", " "),
        hours_per=getattr(facts, key) / _read(quantity, amount, system),
        quantity=quantity,
        deviation=facts.give_or_take.value,
    )
    closed: list[ClosedJob] = []
    for n, row in enumerate(facts.closed):
        spot = source.place(*place, "closed", n, "quantity")
        try:
            done = _read(quantity, row.quantity, system)
        except Faulty as trouble:
            found += [told(fault, place=spot) for fault in trouble.faults]
            continue
        if done <= 0:
            found.append(
                faults.LENGTH_SIGN.met(
                    value=row.quantity,
                    place=spot,
                    key="quantity",
                    wanted="more than nothing",
                    meaning="A closed job did some of this work.",
                )
            )
            continue
        closed.append(ClosedJob(date=row.date, quantity=done, hours=row.hours))
    return learn(rate, tuple(closed))


def _read(quantity: str, text: str, system: System) -> float:
    if quantity == "count":
        return float(units.read_count(text))
    return float(units.read_by_suffix(quantity, text, system=system))


def _plant_faults(terms: PlantTerms, source: Checked) -> Iterator[Fault]:
    free = (
        "waiting_free_minutes",
        "waiting_free_minutes_per_yd3",
        "waiting_free_minutes_per_m3",
    )
    for keys in (
        free,
        ("saturday_per_yd3", "saturday_per_m3"),
        ("hot_water_per_yd3", "hot_water_per_m3"),
    ):
        yield from _not_one(keys, terms, source, "plant_terms", least=0)
    told_free = any(getattr(terms, key) is not None for key in free)
    if told_free != (terms.waiting_per_minute is not None):
        key = "waiting_per_minute" if told_free else "waiting_free_minutes"
        yield faults.KEY_MISSING.met(
            value="nothing",
            place=source.place("plant_terms"),
            key=key,
            meaning="waiting is charged by the minute after a free time: both are needed, or none.",
            how=f"Write {key} = ... in its place, or take the other one out.",
        )


def _plant(terms: PlantTerms) -> PlantRules:
    yard_m3 = units.read_volume_m3("1 yd3", system="feet-inches")
    free_per_m3 = terms.waiting_free_minutes_per_m3
    if terms.waiting_free_minutes_per_yd3 is not None:
        free_per_m3 = terms.waiting_free_minutes_per_yd3 / yard_m3

    def money(typed: Money | None) -> Decimal | None:
        return None if typed is None else cents(typed)

    def per_m3(per_yd3: Money | None, typed: Money | None) -> Decimal | None:
        if typed is None and per_yd3 is not None:
            return cents(per_yd3) / Decimal(repr(yard_m3))
        return money(typed)

    return PlantRules(
        waiting_free_minutes=terms.waiting_free_minutes,
        waiting_free_minutes_per_m3=free_per_m3,
        waiting_per_minute=money(terms.waiting_per_minute),
        least_order=money(terms.least_order),
        saturday_per_m3=per_m3(terms.saturday_per_yd3, terms.saturday_per_m3),
        hot_water_per_m3=per_m3(terms.hot_water_per_yd3, terms.hot_water_per_m3),
        washout_per_load=money(terms.washout_per_load),
        fuel_per_load=money(terms.fuel_per_load),
        saturday=terms.saturday,
        hot_water=terms.hot_water,
    )
