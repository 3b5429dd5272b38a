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
    COVERAGES,
    EVAPORATIONS,
    EXPANSIONS,
    FOOT2_M2,
    FOOT3_M3,
    FOOT_M,
    GALLON_M3,
    HEATS,
    INCH_M,
    LITRE_M3,
    MILLIMETRE_M,
    POUND_FORCE_N,
    POUND_KG,
    PSF_PA,
    PSI_PA,
    SPEEDS,
    STEEL_AREAS,
    STIFFNESSES,
    TEMPERATURE_DIFFERENCES,
    TEMPERATURE_GRADIENTS,
    WATER_RATES,
    YARD3_M3,
)
from overslab.ground.units.systems import System

Quantity = Literal[
    "volume", "water", "area", "pressure", "mass", "density", "share", "money", "angle", "percent",
    "inches per foot", "speed", "force", "line force", "moment", "line moment", "stiffness",
    "evaporation", "area mass", "line mass", "mix mass", "dose", "coverage", "water rate",
    "steel area", "small area", "section modulus", "inertia", "expansion", "strain",
    "temperature difference", "temperature gradient", "kelvin", "heat", "activation", "maturity",
    "vapour pressure", "small length", "floor load",
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
    "speed": Digits(SPEEDS["mph"], 1, "mph"),
    "force": Digits(POUND_FORCE_N, 0, "lbf"),
    "line force": Digits(POUND_FORCE_N / FOOT_M, 0, "lbf/ft"),
    "moment": Digits(POUND_FORCE_N * FOOT_M, 0, "lbf-ft"),
    "line moment": Digits(POUND_FORCE_N, 0, "lbf-ft/ft"),
    "stiffness": Digits(STIFFNESSES["pci"], 0, "pci"),
    "evaporation": Digits(EVAPORATIONS["lb/ft2/h"], 3, "lb/ft2/h"),
    "area mass": Digits(POUND_KG / FOOT2_M2, 1, "lb/ft2"),
    "line mass": Digits(POUND_KG / FOOT_M, 3, "lb/ft"),
    "mix mass": Digits(POUND_KG / YARD3_M3, 0, "lb/yd3"),
    "dose": Digits(POUND_KG / YARD3_M3, 2, "lb/yd3"),
    "coverage": Digits(COVERAGES["ft2/gal"], 0, "ft2/gal"),
    "water rate": Digits(WATER_RATES["gal/yd3"], 1, "gal/yd3"),
    "steel area": Digits(STEEL_AREAS["in2/ft"], 3, "in2/ft"),
    "small area": Digits(INCH_M**2, 2, "in2"),
    "section modulus": Digits(INCH_M**3, 1, "in3"),
    "inertia": Digits(INCH_M**4, 0, "in4"),
    "expansion": Digits(EXPANSIONS["/f"] / 10**6, 2, "millionths/F"),
    "strain": Digits(Fraction(1, 10**6), 0, "millionths"),
    "temperature difference": Digits(TEMPERATURE_DIFFERENCES["f"], 1, "F"),
    "temperature gradient": Digits(TEMPERATURE_GRADIENTS["f/in"], 2, "F/in"),
    "kelvin": Digits(Fraction(1), 0, "K"),
    "heat": Digits(HEATS["btu/lb"], 1, "Btu/lb"),
    "activation": Digits(Fraction(1000), 1, "kJ/mol"),
    "maturity": Digits(Fraction(1), 0, "C-h"),
    "vapour pressure": Digits(PSI_PA, 3, "psi"),
    "small length": Digits(INCH_M, 3, "in"),
    "floor load": Digits(PSF_PA, 0, "psf"),
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
        "speed": Digits(SPEEDS["km/h"], 0, "km/h"),
        "force": Digits(Fraction(1000), 1, "kN"),
        "line force": Digits(Fraction(1000), 1, "kN/m"),
        "moment": Digits(Fraction(1000), 2, "kN-m"),
        "line moment": Digits(Fraction(1000), 2, "kN-m/m"),
        "stiffness": Digits(Fraction(10**6), 1, "MPa/m"),
        "evaporation": Digits(EVAPORATIONS["kg/m2/h"], 2, "kg/m2/h"),
        "area mass": Digits(Fraction(1), 0, "kg/m2"),
        "line mass": Digits(Fraction(1), 3, "kg/m"),
        "mix mass": Digits(Fraction(1), 0, "kg/m3"),
        "dose": Digits(Fraction(1), 2, "kg/m3"),
        "coverage": Digits(COVERAGES["m2/l"], 1, "m2/L"),
        "water rate": Digits(LITRE_M3, 1, "L/m3"),
        "steel area": Digits(Fraction(1, 10**6), 0, "mm2/m"),
        "small area": Digits(Fraction(1, 10**6), 0, "mm2"),
        "section modulus": Digits(Fraction(1, 10**9), 0, "mm3"),
        "inertia": Digits(Fraction(1, 10**12), 0, "mm4"),
        "expansion": Digits(Fraction(1, 10**6), 2, "millionths/C"),
        "temperature difference": Digits(Fraction(1), 1, "C"),
        "temperature gradient": Digits(Fraction(1), 1, "C/m"),
        "heat": Digits(Fraction(1000), 1, "kJ/kg"),
        "vapour pressure": Digits(Fraction(1000), 3, "kPa"),
        "small length": Digits(MILLIMETRE_M, 2, "mm"),
        "floor load": Digits(Fraction(1000), 1, "kPa"),
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
