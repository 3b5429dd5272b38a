"""Units that a formula was published in.

An empirical formula holds only in the units of its coefficients: its SI inputs are turned into
those units by ``to_customary``, its answer back by ``to_si``, and its working is filled in the
units of print, whatever the job speaks.

Factors: NIST Special Publication 811 (2008 edition), Appendix B.8; combined units are arithmetic.
"""

from __future__ import annotations

from fractions import Fraction

from overslab.ground.units.factors import (
    FOOT2_M2,
    FOOT3_M3,
    FOOT_M,
    GALLON_M3,
    INCH_M,
    LITRE_M3,
    POUND_FORCE_N,
    POUND_KG,
    PSF_PA,
    PSI_PA,
    YARD3_M3,
)

_HOUR_S = Fraction(3600)
_BTU_J = Fraction("1055.05585262")  # International Table British thermal unit

# unit -> how many of the SI unit one of it is
_SCALES: dict[str, Fraction] = {
    "m": Fraction(1),
    "in": INCH_M,
    "ft": FOOT_M,
    "mm": Fraction(1, 1000),
    "cm": Fraction(1, 100),
    "in2": INCH_M**2,
    "ft2": FOOT2_M2,
    "mm2": Fraction(1, 10**6),
    "in3": INCH_M**3,
    "ft3": FOOT3_M3,
    "yd3": YARD3_M3,
    "gal": GALLON_M3,
    "L": LITRE_M3,
    "lb": POUND_KG,
    "kg": Fraction(1),
    "lbf": POUND_FORCE_N,
    "kip": 1000 * POUND_FORCE_N,
    "N": Fraction(1),
    "kN": Fraction(1000),
    "lbf/ft": POUND_FORCE_N / FOOT_M,
    "psi": PSI_PA,
    "psf": PSF_PA,
    "ksf": 1000 * PSF_PA,
    "Pa": Fraction(1),
    "kPa": Fraction(1000),
    "MPa": Fraction(10**6),
    "pci": PSI_PA / INCH_M,
    "MPa/m": Fraction(10**6),
    "lb/ft3": POUND_KG / FOOT3_M3,
    "lb/yd3": POUND_KG / YARD3_M3,
    "kg/m3": Fraction(1),
    "lb/ft2": POUND_KG / FOOT2_M2,
    "kg/m2": Fraction(1),
    "in2/ft": INCH_M**2 / FOOT_M,
    "gal/yd3": GALLON_M3 / YARD3_M3,
    "L/m3": LITRE_M3,
    "ft2/gal": FOOT2_M2 / GALLON_M3,
    "mph": 5280 * FOOT_M / _HOUR_S,
    "km/h": Fraction(1000) / _HOUR_S,
    "m/s": Fraction(1),
    "lb/ft2/h": POUND_KG / FOOT2_M2 / _HOUR_S,
    "kg/m2/h": Fraction(1) / _HOUR_S,
    "s": Fraction(1),
    "min": Fraction(60),
    "h": _HOUR_S,
    "days": 24 * _HOUR_S,
    "per F": Fraction(9, 5),
    "per C": Fraction(1),
    "F difference": Fraction(5, 9),
    "C difference": Fraction(1),
    "Btu/lb": _BTU_J / POUND_KG,
    "kJ/kg": Fraction(1000),
    "%": Fraction(1, 100),
    "microstrain": Fraction(1, 10**6),
}
# Temperatures have no common zero: unit -> (scale, SI value at the unit's zero).
_OFFSETS: dict[str, tuple[float, float]] = {
    "F": (5 / 9, -160 / 9),
    "C": (1.0, 0.0),
    "K": (1.0, -273.15),
}

_SIGNIFICANT = 6


def to_customary(value: float, unit: str) -> float:
    """An SI value (temperatures in Celsius) in ``unit``; an unknown one raises ``KeyError``."""
    if unit in _OFFSETS:
        scale, zero = _OFFSETS[unit]
        return (value - zero) / scale
    return value / float(_SCALES[unit])


def to_si(value: float, unit: str) -> float:
    """The SI value (temperatures in Celsius) of ``value`` in ``unit``."""
    if unit in _OFFSETS:
        scale, zero = _OFFSETS[unit]
        return value * scale + zero
    return value * float(_SCALES[unit])


def write_customary(value: float, unit: str) -> str:
    """``value`` (SI) as print has it, such as ``10 in``."""
    number = f"{to_customary(value, unit):.{_SIGNIFICANT}g}"
    return f"{number}{unit}" if unit == "%" else f"{number} {unit}"


def known_customary() -> frozenset[str]:
    return frozenset(_SCALES) | frozenset(_OFFSETS)
