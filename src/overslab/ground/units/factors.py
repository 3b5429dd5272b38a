"""Conversion factors, exact, and the words people use for units.

Source: NIST Special Publication 811 (2008 edition), Appendix B.8 and B.9: the inch, the foot, the
pound and the standard acceleration of free fall are exact by definition; the rest is arithmetic.
The US gallon is 231 cubic inches (NIST Handbook 44, Appendix C).
"""

from __future__ import annotations

from fractions import Fraction

INCH_M = Fraction(254, 10_000)
FOOT_M = 12 * INCH_M
YARD_M = 3 * FOOT_M
MILLIMETRE_M = Fraction(1, 1000)
CENTIMETRE_M = Fraction(1, 100)
METRE_M = Fraction(1)
POUND_KG = Fraction(45_359_237, 100_000_000)
POUND_FORCE_N = POUND_KG * Fraction(980_665, 100_000)
PSI_PA = POUND_FORCE_N / INCH_M**2
PSF_PA = POUND_FORCE_N / FOOT_M**2
YARD3_M3 = YARD_M**3
FOOT3_M3 = FOOT_M**3
GALLON_M3 = 231 * INCH_M**3
LITRE_M3 = Fraction(1, 1000)
FOOT2_M2 = FOOT_M**2

FEET_WORDS = frozenset({"'", "ft", "foot", "feet"})
INCH_WORDS = frozenset({'"', "in", "inch", "inches"})
METRIC_LENGTHS: dict[str, Fraction] = {
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), MILLIMETRE_M),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), CENTIMETRE_M),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), METRE_M),
}
LENGTHS: dict[str, Fraction] = {
    **dict.fromkeys(FEET_WORDS, FOOT_M),
    **dict.fromkeys(INCH_WORDS, INCH_M),
    **METRIC_LENGTHS,
}
# In the trade "yards" of concrete are cubic yards.
VOLUMES: dict[str, Fraction] = {
    **dict.fromkeys(
        ("yd3", "cu yd", "cuyd", "cy", "cubic yard", "cubic yards", "yd", "yard", "yards", "yds"),
        YARD3_M3,
    ),
    **dict.fromkeys(("ft3", "cu ft", "cuft", "cf", "cubic foot", "cubic feet"), FOOT3_M3),
    **dict.fromkeys(
        ("m3", "cu m", "cubic metre", "cubic metres", "cubic meter", "cubic meters"), METRE_M
    ),
    **dict.fromkeys(("gal", "gals", "gallon", "gallons"), GALLON_M3),
    **dict.fromkeys(("l", "litre", "litres", "liter", "liters"), LITRE_M3),
}
AREAS: dict[str, Fraction] = {
    **dict.fromkeys(("ft2", "sq ft", "sqft", "sf", "square foot", "square feet"), FOOT2_M2),
    **dict.fromkeys(("yd2", "sq yd", "square yard", "square yards"), YARD_M**2),
    **dict.fromkeys(("in2", "sq in", "square inch", "square inches"), INCH_M**2),
    **dict.fromkeys(
        ("m2", "sq m", "square metre", "square metres", "square meter", "square meters"), METRE_M
    ),
}
PRESSURES: dict[str, Fraction] = {
    "psi": PSI_PA,
    "ksi": 1000 * PSI_PA,
    "psf": PSF_PA,
    "pa": Fraction(1),
    "kpa": Fraction(1000),
    "mpa": Fraction(10**6),
    "gpa": Fraction(10**9),
    "n/mm2": Fraction(10**6),
}
MASSES: dict[str, Fraction] = {
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), POUND_KG),
    "kg": Fraction(1),
    "g": Fraction(1, 1000),
    **dict.fromkeys(("t", "tonne", "tonnes"), Fraction(1000)),
}
DENSITIES: dict[str, Fraction] = {
    **dict.fromkeys(("lb/ft3", "pcf", "lb/cu ft"), POUND_KG / FOOT3_M3),
    **dict.fromkeys(("lb/yd3", "lb/cu yd"), POUND_KG / YARD3_M3),
    "kg/m3": Fraction(1),
}
# A comma before exactly three digits is a thousands mark only beside these: elsewhere `1,635 m`
# is as likely a decimal comma, and the two differ a thousandfold.
COMMA_UNITS = frozenset(
    {"mm", "ft2", "sq ft", "sqft", "sf", "in2", "sq in", "ft3", "cu ft", "cf", "gal", "gallons"}
    | {"l", "litres", "liters", "psi", "psf", "pa", "kpa", "lb", "lbs", "pounds", "kg"}
)
