"""How many digits each quantity is written with: the one table, and the one way of rounding.

Rounding is half away from zero, as crews expect (1/32 in over goes up), and works on the decimal
that the number prints as, so that a tie typed by a person is a tie here. Values are carried
unrounded; only what is shown is rounded.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import floor
from typing import Literal

from overslab.ground.units.factors import (
    FOOT2_M2,
    FOOT3_M3,
    GALLON_M3,
    INCH_M,
    LITRE_M3,
    POUND_KG,
    PSI_PA,
    YARD3_M3,
)
from overslab.ground.units.systems import System

Quantity = Literal[
    "volume", "water", "area", "pressure", "mass", "density", "share", "money", "angle", "percent",
    "inches per foot",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Digits:
    """Written as value / ``size`` with ``places`` after the point, then ``unit``."""

    size: Fraction
    places: int
    unit: str


_FEET_DIGITS: dict[Quantity, Digits] = {
    "volume": Digits(YARD3_M3, 2, "yd3"),
    "water": Digits(GALLON_M3, 1, "gal"),
    "area": Digits(FOOT2_M2, 0, "sq ft"),
    "pressure": Digits(PSI_PA, 0, "psi"),
    "mass": Digits(POUND_KG, 0, "lb"),
    "density": Digits(POUND_KG / FOOT3_M3, 1, "lb/ft3"),
    "share": Digits(Fraction(1, 100), 1, "%"),
    "money": Digits(Fraction(1), 2, ""),
    "angle": Digits(Fraction(1), 0, "deg"),
    "percent": Digits(Fraction(1, 100), 2, "%"),
    "inches per foot": Digits(Fraction(1, 12), 2, "in/ft"),
}
DIGITS: dict[System, dict[Quantity, Digits]] = {
    "feet-inches": _FEET_DIGITS,
    "tenths": _FEET_DIGITS,
    "metric": {
        **_FEET_DIGITS,
        "volume": Digits(Fraction(1), 2, "m3"),
        "water": Digits(LITRE_M3, 0, "L"),
        "area": Digits(Fraction(1), 1, "m2"),
        "pressure": Digits(Fraction(10**6), 1, "MPa"),
        "mass": Digits(Fraction(1), 0, "kg"),
        "density": Digits(Fraction(1), 0, "kg/m3"),
    },
}
# Stone and slump, in both feet systems: no plant sells stone in tenths of a foot.
PLANT_MARK = INCH_M / 8
# Lengths are written to the job's mark; temperatures to 1 F or 0.1 C.
TEMPERATURE_PLACES: dict[System, int] = {"feet-inches": 0, "tenths": 0, "metric": 1}
# A plain number has no quantity, so it keeps this many significant digits.
PLAIN_SIGNIFICANT = 6
# The finest slope said as a fraction, and how near a slope must lie to be said so.
SLOPE_BOTTOM = 32
SLOPE_NEAR_IN_PER_FT = Fraction(1, 1000)

# A tie may miss by the noise of floating-point sums; this much of a step is no difference.
_NOISE = Fraction(1, 10**8)


def steps(value: float, size: Fraction) -> int:
    """``value / size`` to the nearest whole step, half away from zero."""
    exact = Fraction(repr(float(value))) / size
    whole = floor(abs(exact) + Fraction(1, 2) + _NOISE)
    return -whole if exact < 0 else whole


def fixed(value: float, *, size: Fraction = Fraction(1), places: int) -> str:
    """``value / size`` with ``places`` after the point; never ``-0``."""
    count = steps(value, size / 10**places)
    digits = f"{abs(count):0{places + 1}d}"
    sign = "-" if count < 0 else ""
    return f"{sign}{digits[:-places]}.{digits[-places:]}" if places else f"{sign}{digits}"
