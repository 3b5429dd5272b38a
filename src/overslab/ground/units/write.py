"""Writes numbers the way a person would say them in the job's units.

Every writer gives text that its reader reads back to the same mark. ``NaN`` is written
``not known`` and infinity ``no limit``: neither is a number that a person could act on.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from math import isfinite, isnan

from overslab.ground.units.digits import (
    DIGITS,
    PLANT_MARK,
    SLOPE_BOTTOM,
    SLOPE_NEAR_IN_PER_FT,
    TEMPERATURE_PLACES,
    Quantity,
    fixed,
    steps,
)
from overslab.ground.units.factors import FOOT_M, INCH_M, METRE_M, MILLIMETRE_M, YARD3_M3
from overslab.ground.units.systems import Units

NOT_KNOWN = "not known"
NO_LIMIT = "no limit"


def _finite(value: float, write: Callable[[], str]) -> str:
    if isnan(value):
        return NOT_KNOWN
    return write() if isfinite(value) else NO_LIMIT


def write_length(value_m: float, units: Units) -> str:
    """``5' 4 3/8"``, ``5.36 ft`` or ``1635 mm``."""
    if units.system == "feet-inches":
        return _finite(value_m, lambda: _feet_inches(value_m, units))
    if units.system == "tenths":
        return _finite(value_m, lambda: _marked(value_m, units, size=FOOT_M, unit="ft"))
    return _finite(value_m, lambda: _marked(value_m, units, size=MILLIMETRE_M, unit="mm"))


def write_height(value_m: float, units: Units) -> str:
    """A height above the datum: ``100' 4 3/8"``, ``100.36 ft`` or ``30.590 m``."""
    if units.system == "metric":
        return _finite(value_m, lambda: _marked(value_m, units, size=METRE_M, unit="m"))
    return write_length(value_m, units)


def write_thickness(value_m: float, units: Units) -> str:
    """A thickness: ``4 3/8 in``, ``0.36 ft`` or ``111 mm``."""
    if units.system == "feet-inches":
        return _finite(value_m, lambda: _inches(value_m, units.mark))
    return write_length(value_m, units)


def write_size(value_m: float, units: Units) -> str:
    """Stone and slump as a plant says them: ``3/8 in`` in both feet systems, or ``19 mm``."""
    if units.system == "metric":
        return _finite(value_m, lambda: _marked(value_m, units, size=MILLIMETRE_M, unit="mm"))
    return _finite(value_m, lambda: _inches(value_m, PLANT_MARK))


def write_small(value_m: float, units: Units) -> str:
    """What is finer than any rule: a bend, a settlement, a crack: ``0.021 in`` or ``0.53 mm``."""
    return _quantity(value_m, "small length", units)


def write_reading(value_m: float, units: Units) -> str:
    """A rod reading as the rod shows it: ``4' 11 1/2"``, ``4.96 ft`` or ``1.511 m``."""
    return write_height(value_m, units)


def _sign(count: int) -> str:
    return "-" if count < 0 else ""


def _inch_text(count: int, per_inch: int) -> str:
    """``count`` marks as ``4 3/8``, ``3/8`` or ``4``."""
    whole, rest = divmod(count, per_inch)
    if not rest:
        return str(whole)
    part = Fraction(rest, per_inch)
    return f"{whole} {part}" if whole else f"{part}"


def _feet_inches(value_m: float, units: Units) -> str:
    count = steps(value_m, units.mark)
    if count == 0:
        return "0"
    per_inch = int(INCH_M / units.mark)
    feet, rest = divmod(abs(count), 12 * per_inch)
    inches = _inch_text(rest, per_inch)
    if feet and 0 < rest < per_inch:
        inches = f"0 {inches}"  # 1' 0 1/4" cannot be taken for 1 1/4"
    return f"{_sign(count)}{feet}' {inches}\"" if feet else f'{_sign(count)}{inches}"'


def _inches(value_m: float, mark: Fraction) -> str:
    count = steps(value_m, mark)
    if count == 0:
        return "0"
    return f"{_sign(count)}{_inch_text(abs(count), int(INCH_M / mark))} in"


def _marked(value_m: float, units: Units, *, size: Fraction, unit: str) -> str:
    """A decimal rounded to the mark, with the places that the mark needs in ``unit``."""
    count = steps(value_m, units.mark)
    if count == 0:
        return "0"
    places = 0
    while (units.mark / size * 10**places).denominator != 1:
        places += 1
    whole = abs(count) * units.mark / size * 10**places
    digits = f"{int(whole):0{places + 1}d}"
    number = f"{digits[:-places]}.{digits[-places:]}" if places else digits
    return f"{_sign(count)}{number} {unit}"


def _quantity(value: float, quantity: Quantity, units: Units) -> str:
    row = DIGITS[units.system][quantity]
    return _finite(value, lambda: f"{fixed(value, size=row.size, places=row.places)} {row.unit}")


def write_volume(value_m3: float, units: Units) -> str:
    """``12.34 yd3`` or ``9.43 m3``."""
    return _quantity(value_m3, "volume", units)


def write_water(value_m3: float, units: Units) -> str:
    """Water that stands in a low spot: ``3.2 gal`` or ``12 L``."""
    return _quantity(value_m3, "water", units)


def write_area(value_m2: float, units: Units) -> str:
    """``576 sq ft`` or ``53.5 m2``."""
    return _quantity(value_m2, "area", units)


def write_pressure(value_pa: float, units: Units) -> str:
    """``4000 psi`` or ``27.6 MPa``."""
    return _quantity(value_pa, "pressure", units)


def write_mass(value_kg: float, units: Units) -> str:
    """``94 lb`` or ``43 kg``."""
    return _quantity(value_kg, "mass", units)


def write_density(value_kg_per_m3: float, units: Units) -> str:
    """``150.0 lb/ft3`` or ``2403 kg/m3``."""
    return _quantity(value_kg_per_m3, "density", units)


def write_angle(value_deg: float, units: Units) -> str:
    """``45 deg``."""
    return _quantity(value_deg, "angle", units)


def write_temperature(value_c: float, units: Units) -> str:
    """``85 F`` or ``29.4 C``."""
    places = TEMPERATURE_PLACES[units.system]
    if units.system == "metric":
        return _finite(value_c, lambda: f"{fixed(value_c, places=places)} C")
    return _finite(value_c, lambda: f"{fixed(value_c * 9 / 5 + 32, places=places)} F")


def write_slope(value: float, units: Units) -> str:
    """``1/8 in/ft (1.04 %)``, ``0.14 in/ft (1.17 %)``, or ``1.04 % (1:96)`` in metric."""
    return _finite(value, lambda: _slope(value, units))


def _slope(value: float, units: Units) -> str:
    table = DIGITS[units.system]
    percent = fixed(value, size=table["percent"].size, places=table["percent"].places)
    if units.system == "metric":
        if steps(value, Fraction(1, 10_000)) == 0:
            return "0"
        run = fixed(1 / abs(value), places=0 if abs(value) <= 0.05 else 1)
        return f"{percent} % ({'-' if value < 0 else ''}1:{run})"
    row = table["inches per foot"]
    exact = Fraction(repr(float(value))) / row.size
    count = steps(value, row.size / SLOPE_BOTTOM)
    if abs(exact - Fraction(count, SLOPE_BOTTOM)) <= SLOPE_NEAR_IN_PER_FT:
        if count == 0:
            return "0"
        rise = f"{_sign(count)}{_inch_text(abs(count), SLOPE_BOTTOM)}"
    else:
        rise = fixed(value, size=row.size, places=row.places)
    return f"{rise} {row.unit} ({percent} %)"


def write_share(value: float) -> str:
    """``8.0 %``."""
    row = DIGITS["metric"]["share"]
    return _finite(value, lambda: f"{fixed(value, size=row.size, places=row.places)} {row.unit}")


def write_money(amount: Decimal | float, *, currency: str) -> str:
    """``$1,250.50``, or ``USD 1,250.50`` when the currency is given as a code."""
    if not isfinite(amount):
        return NOT_KNOWN if isnan(amount) else NO_LIMIT
    exact = amount if isinstance(amount, Decimal) else Decimal(repr(float(amount)))
    cents = exact.quantize(Decimal("0.01"), rounding=ROUND_HALF_UP)
    sign = "-" if cents < 0 else ""
    gap = "" if len(currency) <= 1 else " "
    return f"{sign}{currency}{gap}{abs(cents):,.2f}"


def write_cost_per_volume(cost_per_m3: float, units: Units, *, currency: str) -> str:
    """``$165.00/yd3`` or ``$215.81/m3``."""
    if not isfinite(cost_per_m3):
        return write_money(cost_per_m3, currency=currency)
    if units.system == "metric":
        return f"{write_money(cost_per_m3, currency=currency)}/m3"
    return f"{write_money(cost_per_m3 * float(YARD3_M3), currency=currency)}/yd3"
