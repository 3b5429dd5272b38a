"""How a change is told: before, after, and how much more, on paper and on the terminal."""

from __future__ import annotations

from decimal import Decimal

from overslab.ground.units import (
    Units,
    write_area,
    write_by_suffix,
    write_length,
    write_money,
    write_thickness,
    write_volume,
)
from overslab.job.revising import (
    CheckChange,
    FactChange,
    NumberChange,
    PriceChange,
    ThinSpot,
    VolumeChange,
)

NOT_THERE = "not there"
_LONGEST = 200
_OF_OFFICE = ("proposal", "the whole file")


def is_for_all(fact: FactChange) -> bool:
    """Whether crew and trades may read it: nothing of rates, of costs, of the proposal."""
    return (
        fact.file != "rates.toml"
        and not fact.key.startswith(_OF_OFFICE)
        and not any(word in fact.key for word in ("cost", "price"))
    )


def file_words(fact: FactChange) -> tuple[str, str, str]:
    """Where it stands, what was typed before, what is typed now."""
    texts = [NOT_THERE if text is None else text for text in (fact.before, fact.after)]
    before, after = (text if len(text) <= _LONGEST else f"{text[:_LONGEST]} ..." for text in texts)
    return f"{fact.file}: {fact.key}", before, after


def figure(change: NumberChange, units: Units) -> str:
    """``4 in before, 4 1/2 in now``."""
    was, now = (
        "none" if value is None else write_by_suffix(change.quantity, value, units)
        for value in (change.before, change.after)
    )
    return f"{was} before, {now} now"


def found_words(change: CheckChange, units: Units) -> str:
    """A rule by its name with what is found in both versions and what is allowed."""
    return f"{change.name}: {found_and_allowed(change, units)}"


def found_and_allowed(change: CheckChange, units: Units) -> str:
    """What a rule found in both versions and what it allows."""
    check = change.after or change.before
    if check is None:
        return NOT_THERE
    was, now = (
        "not asked" if one is None else write_by_suffix(one.quantity, one.found, units)
        for one in (change.before, change.after)
    )
    allowed = write_by_suffix(check.quantity, check.allowed, units)
    return f"{was} before, {now} now, {check.comparison} {allowed}"


def thin_words(spot: ThinSpot, units: Units) -> str:
    """Where it is thin, how thin, and over how much floor."""
    x, y = (write_length(part, units) for part in spot.at)
    return (
        f"{write_thickness(spot.thickness_m, units)} at {x} across and {y} up the sheet, "
        f"{write_area(spot.area_m2, units)} in all"
    )


def signed(volume_m3: float, units: Units) -> str:
    """``0.89 yd3 more``, ``0.89 yd3 less`` or ``the same``."""
    told = write_volume(abs(volume_m3), units)
    if told == write_volume(0.0, units):
        return "the same"
    return f"{told} {'more' if volume_m3 > 0 else 'less'}"


def volume_words(change: VolumeChange, units: Units) -> tuple[tuple[str, str], ...]:
    """The difference with its plus-or-minus, and its two parts where the floor was shot again."""
    about = write_volume(change.difference_m3.plus_or_minus, units)
    told = [
        (
            "concrete, the difference",
            f"{signed(change.difference_m3.mean, units)}, plus or minus {about}",
        )
    ]
    if change.by_top_m3 is not None and change.by_floor_m3:
        told.append(("of it for the other top", signed(change.by_top_m3, units)))
        told.append(("of it by new shots of the old floor", signed(change.by_floor_m3, units)))
    return tuple(told)


def difference(amount: Decimal, currency: str) -> str:
    """``+$120.00`` or ``-$80.00``."""
    told = write_money(abs(amount), currency=currency)
    return f"{'-' if amount < 0 else '+' if amount > 0 else ''}{told}"


def price_rows(price: PriceChange) -> list[tuple[str, str, str, str]]:
    """Line, before, after, difference; the price asked comes last."""
    money = price.currency

    def row(what: str, before: Decimal, after: Decimal, more: Decimal) -> tuple[str, str, str, str]:
        was, now = write_money(before, currency=money), write_money(after, currency=money)
        return what, was, now, difference(more, money)

    between = ("overhead, profit, tax and rounding", "", "", difference(price.between, money))
    lines = [row(line.what, line.before, line.after, line.more) for line in price.lines]
    return [*lines, between, row("price asked", price.before, price.after, price.more)]
