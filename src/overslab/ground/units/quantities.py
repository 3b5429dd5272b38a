"""Volumes, areas, pressures, temperatures, money, shares: one number and one unit."""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction

from overslab.ground.faults import Faulty
from overslab.ground.units.factors import (
    AREAS,
    COMMA_UNITS,
    DENSITIES,
    FOOT2_M2,
    MASSES,
    METRE_M,
    PRESSURES,
    VOLUMES,
    YARD3_M3,
)
from overslab.ground.units.faults import NO_UNIT, OUT_OF_RANGE, TWO_MEANINGS
from overslab.ground.units.reading import exact, reading
from overslab.ground.units.systems import System
from overslab.ground.units.tokens import UnreadError, clean, mixed, shown, sign_of, tokens_of

VOLUME_FORMS = ("3 yd3", "2.5 m3", "10 cu yd", "81 ft3", "250 gal", "900 L")
AREA_FORMS = ("576 sq ft", "53.5 m2")
TEMPERATURE_FORMS = ("85 F", "30 C")
PRESSURE_FORMS = ("4000 psi", "30 MPa", "125 psf")
MONEY_FORMS = ("$1,250.50", "1250.50", "EUR 1250")
SHARE_FORMS = ("8%", "0.08")
COUNT_FORMS = ("4", "12")
ANGLE_FORMS = ("45 deg", "45")
NUMBER_FORMS = ("3", "0.25", "1.5e-6")
CURRENCY_SIGNS = "$€£¥"

# Weather, warm mixing water and fresh concrete; anything beyond is a slip of the unit.
LEAST_C, MOST_C = -60, 100
GREATEST_VOLUME_M3 = 100_000
GREATEST_AREA_M2 = 1_000_000
GREATEST_PRESSURE_PA = 10**12
GREATEST_MONEY = 10**9
GREATEST_COUNT = 10**6
GREATEST_DENSITY = 30_000


def number_and_unit(text: str) -> tuple[Fraction, str, bool]:
    """The number with its sign, the unit in small letters, and whether one comma stood in it."""
    sign, rest = sign_of(clean(text))
    # A stroke belongs to the number only before a digit: `6/F` is 6 per F.
    match = re.fullmatch(r"((?:[0-9., -]|/(?= *[0-9]))*)(.*)", rest)
    if match is None:
        raise UnreadError
    tokens = tokens_of(match[1])
    unit = re.sub(r"\bper\b(?! *cent)", "/", re.sub(r"[.^]", "", match[2].lower()))
    unit = re.sub(r"\s*/\s*", "/", unit)
    return sign * mixed(tokens), " ".join(unit.split()), any(token.comma for token in tokens)


def _powered(text: str) -> tuple[Fraction, str, bool]:
    """As ``number_and_unit``, and a power of ten may follow the number: ``4e6 psi``."""
    match = re.fullmatch(
        r"([-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+))[eE]([-+]?[0-9]{1,2})(?![0-9.,])(.*)", clean(text)
    )
    if match is None:
        return number_and_unit(text)
    number = Fraction(match[1]) * Fraction(10) ** int(match[2])
    if not number:
        raise UnreadError
    _, unit, _ = number_and_unit(f"1 {match[3]}")
    return number, unit, False


def measured(
    text: str,
    *,
    units: Mapping[str, Fraction],
    a_thing: str,
    bare: Fraction | None,
    rule: str,
    asks: tuple[str, ...],
    greatest: int,
    told: str,
    least: int = 0,
    power_of_ten: bool = False,
) -> Fraction:
    """A value from ``least`` to ``greatest``; ``bare`` is the unit of a bare number."""
    number, unit, comma = (_powered if power_of_ten else number_and_unit)(text)
    if not unit and number and bare is None:
        ways = " or ".join(f"`{text.strip()} {ask}`" for ask in asks)
        raise Faulty(NO_UNIT.met(value=shown(text), a_thing=a_thing, rule=rule, ways=ways))
    if comma and unit not in COMMA_UNITS:
        _comma(text, a_thing=a_thing)
    factor = units.get(unit) if unit else (bare if bare is not None else Fraction(1))
    if factor is None:
        raise UnreadError
    value = number * factor
    _within(value, text=text, a_thing=a_thing, least=least, most=greatest, told=told)
    return value


def _within(value: Fraction, *, text: str, a_thing: str, least: int, most: int, told: str) -> None:
    if not least <= value <= most:
        raise Faulty(
            OUT_OF_RANGE.met(
                value=shown(text),
                a_thing=a_thing,
                found=f"{float(value):.6g} in {told}",
                allowed=f"{a_thing} lies from {least} to {most} in {told}",
                meant="",
            )
        )


def _comma(text: str, *, a_thing: str) -> None:
    point, none = text.strip().replace(",", "."), text.strip().replace(",", "")
    raise Faulty(
        TWO_MEANINGS.met(
            value=shown(text),
            a_thing=a_thing,
            meanings=f"{point} or {none}",
            rule="a comma is a thousands mark only where it cannot be a decimal comma",
            ways=f"`{point}` or `{none}`",
        )
    )


def read_volume_m3(text: str | float, *, system: System) -> float:
    """A volume in cubic metres; a bare number is yd3, or m3 in metric. Raises ``Faulty``."""
    return reading(
        text,
        parse=lambda plain: measured(
            plain,
            units=VOLUMES,
            a_thing="a volume",
            bare=METRE_M if system == "metric" else YARD3_M3,
            rule="",
            asks=(),
            greatest=GREATEST_VOLUME_M3,
            told="m3",
        ),
        a_thing="a volume",
        forms=VOLUME_FORMS,
    )


def read_area_m2(text: str | float, *, system: System) -> float:
    """An area in square metres; a bare number is sq ft, or m2 in metric. Raises ``Faulty``."""
    return reading(
        text,
        parse=lambda plain: measured(
            plain,
            units=AREAS,
            a_thing="an area",
            bare=METRE_M if system == "metric" else FOOT2_M2,
            rule="",
            asks=(),
            greatest=GREATEST_AREA_M2,
            told="m2",
        ),
        a_thing="an area",
        forms=AREA_FORMS,
    )


def read_pressure_pa(text: str | float) -> float:
    """A pressure or strength in pascals; always with its unit. Raises ``Faulty``."""
    return reading(
        text,
        parse=lambda plain: measured(
            plain,
            units=PRESSURES,
            a_thing="a pressure",
            bare=None,
            rule="psi and MPa differ by 145 times, so a pressure always carries its unit",
            asks=("psi", "MPa"),
            greatest=GREATEST_PRESSURE_PA,
            told="Pa",
            power_of_ten=True,
        ),
        a_thing="a pressure",
        forms=PRESSURE_FORMS,
    )


def read_density_kg_per_m3(text: str | float) -> float:
    """A density in kg/m3; always with its unit. Raises ``Faulty``."""
    return reading(
        text,
        parse=lambda plain: measured(
            plain,
            units=DENSITIES,
            a_thing="a density",
            bare=None,
            rule="a density always carries its unit",
            asks=("lb/ft3", "kg/m3"),
            greatest=GREATEST_DENSITY,
            told="kg/m3",
        ),
        a_thing="a density",
        forms=("150 lb/ft3", "2400 kg/m3"),
    )


def read_mass_kg(text: str | float) -> float:
    """A mass in kilograms; always with its unit. Raises ``Faulty``."""
    return reading(
        text,
        parse=lambda plain: measured(
            plain,
            units=MASSES,
            a_thing="a mass",
            bare=None,
            rule="pounds and kilograms differ by 2.2 times, so a mass always carries its unit",
            asks=("lb", "kg"),
            greatest=10**9,
            told="kg",
        ),
        a_thing="a mass",
        forms=("94 lb", "42.6 kg", "1.2 t"),
    )


def read_temperature_c(text: str | float) -> float:
    """A temperature in degrees Celsius; always with F or C. Raises ``Faulty``."""
    return reading(text, parse=_temperature, a_thing="a temperature", forms=TEMPERATURE_FORMS)


def _temperature(text: str) -> Fraction:
    number, unit, comma = number_and_unit(text)
    if comma:
        raise UnreadError
    letter = re.sub(r"°|deg(ree)?s?", "", unit).strip()
    if not letter:
        ways = f"`{float(number):g} F` or `{float(number):g} C`"
        rule = "a temperature always carries F or C"
        raise Faulty(NO_UNIT.met(value=shown(text), a_thing="a temperature", rule=rule, ways=ways))
    if letter in ("f", "fahrenheit"):
        celsius = (number - 32) * Fraction(5, 9)
    elif letter in ("c", "celsius"):
        celsius = number
    else:
        raise UnreadError
    _within(celsius, text=text, a_thing="a temperature", least=LEAST_C, most=MOST_C, told="C")
    return celsius


def read_money(text: str | float) -> Decimal:
    """An amount of money, to the cent, exactly. The currency is the job's. Raises ``Faulty``."""
    amount = exact(text, parse=_money, a_thing="an amount of money", forms=MONEY_FORMS)
    return (Decimal(amount.numerator) / Decimal(amount.denominator)).quantize(Decimal("0.01"))


def _money(text: str) -> Fraction:
    plain = clean(text)
    match = re.fullmatch(
        rf"([-+]?)\s*(?:[{CURRENCY_SIGNS}]|[A-Z]{{2,3}}\$?\s)?\s*([-+]?)([0-9.,]+)"
        rf"\s*(?:[{CURRENCY_SIGNS}]|[A-Z]{{3}})?",
        plain,
    )
    if match is None or (match[1] and match[2]):
        raise UnreadError
    tokens = tokens_of(match[3])
    if len(tokens) != 1:
        raise UnreadError
    number = tokens[0].value
    _, _, cents = match[3].partition(".")
    if len(cents) > 2:
        # 1.250 is a thousand and a quarter where the point marks thousands.
        ways = [f"{float(number):.2f}"] + ([match[3].replace(".", "")] if len(cents) == 3 else [])
        raise Faulty(
            TWO_MEANINGS.met(
                value=shown(text),
                a_thing="an amount of money",
                meanings="more than two places after the point",
                rule="money has at most two places after the point",
                ways=" or ".join(f"`{way}`" for way in ways),
            )
        )
    amount = -number if "-" in (match[1], match[2]) else number
    most = GREATEST_MONEY
    _within(amount, text=text, a_thing="an amount of money", least=-most, most=most, told="money")
    return amount


def read_cost_per_m3(text: str | float, *, system: System) -> float:
    """A price by volume, in money per cubic metre. Raises ``Faulty``.

    ``$165/yd3`` and ``165 per yd3`` carry their unit; a bare price is per yd3, or per m3 in metric.
    """
    return reading(
        text,
        parse=lambda plain: _cost_per_m3(plain, system=system),
        a_thing="a price by volume",
        forms=("$165/yd3", "165 per yd3", "$216/m3"),
    )


def _cost_per_m3(text: str, *, system: System) -> Fraction:
    money, slash, unit = re.sub(r"\s+per\s+", "/", clean(text)).partition("/")
    each = METRE_M if system == "metric" else YARD3_M3
    if slash:
        unit = " ".join(re.sub(r"[.^]", "", unit.lower()).split())
        if unit not in VOLUMES:
            raise UnreadError
        each = VOLUMES[unit]
    return _money(money) / each


def read_share(text: str | float) -> float:
    """A share of a whole: ``8%`` or ``0.08`` is 0.08. From 0 to 1. Raises ``Faulty``."""
    return reading(text, parse=_share, a_thing="a share", forms=SHARE_FORMS)


def _share(text: str) -> Fraction:
    number, unit, comma = number_and_unit(text)
    if comma or unit not in ("", "%", "percent", "per cent", "pct"):
        raise UnreadError
    if not unit and number >= 1:
        ways = f"`{float(number):g}%`" + (" or `100%`" if number == 1 else "")
        rule = "a share without % lies from 0 up to, but not at, 1"
        raise Faulty(NO_UNIT.met(value=shown(text), a_thing="a share", rule=rule, ways=ways))
    value = number / 100 if unit else number
    _within(value, text=text, a_thing="a share", least=0, most=1, told="parts of the whole")
    return value


def read_count(text: str | float) -> int:
    """A whole number from 0 up. Raises ``Faulty``."""
    return int(exact(text, parse=_count, a_thing="a count", forms=COUNT_FORMS))


def _count(text: str) -> Fraction:
    number, unit, _ = number_and_unit(text)
    if unit or number.denominator != 1:
        raise UnreadError
    _within(number, text=text, a_thing="a count", least=0, most=GREATEST_COUNT, told="pieces")
    return number


def read_angle_deg(text: str | float) -> float:
    """An angle in degrees. Raises ``Faulty``."""
    return reading(text, parse=_angle, a_thing="an angle", forms=ANGLE_FORMS)


def _angle(text: str) -> Fraction:
    number, unit, comma = number_and_unit(text)
    if comma or unit not in ("", "°", "deg", "degrees"):
        raise UnreadError
    _within(number, text=text, a_thing="an angle", least=-360, most=360, told="degrees")
    return number


def read_number(text: str | float) -> float:
    """A number without a unit; an exponent is allowed up to 1e15. Raises ``Faulty``."""
    return reading(text, parse=_plain_number, a_thing="a number", forms=NUMBER_FORMS)


def _plain_number(text: str) -> Fraction:
    match = re.fullmatch(r"([-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+))[eE]([-+]?[0-9]{1,3})", clean(text))
    if match and abs(int(match[2])) <= 300:
        number = Fraction(match[1]) * Fraction(10) ** int(match[2])
        unit, comma = "", False
    else:
        number, unit, comma = number_and_unit(text)
    if unit:
        raise UnreadError
    if comma:
        _comma(text, a_thing="a number")
    _within(
        number, text=text, a_thing="a number", least=-(10**15), most=10**15, told="plain number"
    )
    return number
