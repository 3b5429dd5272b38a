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
    "ksf": 1000 * PSF_PA,
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
_HOUR_S = Fraction(3600)
_DAY_S = 24 * _HOUR_S
_MILE_M = 5280 * FOOT_M
_PER_F = Fraction(9, 5)
# In the trade a load of so many pounds is a force; a mass in kilograms is not taken for one.
FORCES: dict[str, Fraction] = {
    **dict.fromkeys(("lbf", "lb", "lbs", "pound", "pounds"), POUND_FORCE_N),
    **dict.fromkeys(("kip", "kips"), 1000 * POUND_FORCE_N),
    "n": Fraction(1),
    "kn": Fraction(1000),
}
LINE_FORCES: dict[str, Fraction] = {
    **dict.fromkeys(("lbf/ft", "lb/ft", "lbs/ft", "plf"), POUND_FORCE_N / FOOT_M),
    **dict.fromkeys(("lbf/in", "lb/in", "lbs/in"), POUND_FORCE_N / INCH_M),
    **dict.fromkeys(("kip/ft", "kips/ft", "klf"), 1000 * POUND_FORCE_N / FOOT_M),
    "n/m": Fraction(1),
    **dict.fromkeys(("kn/m", "n/mm"), Fraction(1000)),
}
MOMENTS: dict[str, Fraction] = {
    **dict.fromkeys(("lb-ft", "lbf-ft", "ft-lb", "ft-lbf"), POUND_FORCE_N * FOOT_M),
    **dict.fromkeys(("lb-in", "lbf-in", "in-lb", "in-lbf"), POUND_FORCE_N * INCH_M),
    **dict.fromkeys(("kip-ft", "ft-kip"), 1000 * POUND_FORCE_N * FOOT_M),
    **dict.fromkeys(("kip-in", "in-kip"), 1000 * POUND_FORCE_N * INCH_M),
    **dict.fromkeys(("n-m", "nm"), Fraction(1)),
    **dict.fromkeys(("kn-m", "knm"), Fraction(1000)),
}
LINE_MOMENTS: dict[str, Fraction] = {
    f"{moment}/{length}": many / LENGTHS[length]
    for moment, many in MOMENTS.items()
    for length in ("ft", "in", "m")
}
STIFFNESSES: dict[str, Fraction] = {
    **dict.fromkeys(("pci", "psi/in", "lb/in3", "lb/cu in", "lbf/in3"), PSI_PA / INCH_M),
    "pa/m": Fraction(1),
    **dict.fromkeys(("kpa/m", "kn/m3"), Fraction(1000)),
    **dict.fromkeys(("mpa/m", "kpa/mm", "mn/m3"), Fraction(10**6)),
    **dict.fromkeys(("n/mm3", "mpa/mm"), Fraction(10**9)),
}
SPEEDS: dict[str, Fraction] = {
    **dict.fromkeys(("mph", "mi/h", "miles/hour"), _MILE_M / _HOUR_S),
    **dict.fromkeys(("km/h", "kph", "kmh"), Fraction(1000) / _HOUR_S),
    "m/s": Fraction(1),
    **dict.fromkeys(("ft/s", "fps"), FOOT_M),
    **dict.fromkeys(("ft/min", "fpm"), FOOT_M / 60),
    **dict.fromkeys(("kn", "kt", "knot", "knots"), Fraction(1852) / _HOUR_S),
}
_POUND_PER_FOOT2 = POUND_KG / FOOT2_M2
AREA_MASSES: dict[str, Fraction] = {
    **dict.fromkeys(("lb/ft2", "lb/sq ft", "psf"), _POUND_PER_FOOT2),
    "kg/m2": Fraction(1),
}
EVAPORATIONS: dict[str, Fraction] = {
    f"{mass}/{hour}": many / _HOUR_S
    for mass, many in AREA_MASSES.items()
    for hour in ("h", "hr", "hour")
} | {"kg/m2/s": Fraction(1)}
LINE_MASSES: dict[str, Fraction] = {
    **dict.fromkeys(("lb/ft", "plf"), POUND_KG / FOOT_M),
    "kg/m": Fraction(1),
}
COVERAGES: dict[str, Fraction] = {
    **dict.fromkeys(("ft2/gal", "sq ft/gal", "ft2/gallon", "sq ft/gallon"), FOOT2_M2 / GALLON_M3),
    **dict.fromkeys(("m2/l", "sq m/l", "m2/litre"), 1 / LITRE_M3),
    "m2/m3": Fraction(1),
}
WATER_RATES: dict[str, Fraction] = {
    **dict.fromkeys(("gal/yd3", "gal/yd", "gal/cy", "gal/cu yd"), GALLON_M3 / YARD3_M3),
    "l/m3": LITRE_M3,
    "m3/m3": Fraction(1),
}
STEEL_AREAS: dict[str, Fraction] = {
    **dict.fromkeys(("in2/ft", "sq in/ft"), INCH_M**2 / FOOT_M),
    "mm2/m": Fraction(1, 10**6),
    "cm2/m": Fraction(1, 10**4),
    "m2/m": Fraction(1),
}
SMALL_AREAS: dict[str, Fraction] = {
    **AREAS,
    "mm2": Fraction(1, 10**6),
    "cm2": Fraction(1, 10**4),
}
SECTION_MODULI: dict[str, Fraction] = {
    **dict.fromkeys(("in3", "cu in"), INCH_M**3),
    "mm3": Fraction(1, 10**9),
    "m3": Fraction(1),
}
INERTIAS: dict[str, Fraction] = {
    "in4": INCH_M**4,
    "mm4": Fraction(1, 10**12),
    "m4": Fraction(1),
}
EXPANSIONS: dict[str, Fraction] = {
    **dict.fromkeys(("/f", "in/in/f"), _PER_F),
    **dict.fromkeys(("/c", "/k", "mm/mm/c"), Fraction(1)),
    **dict.fromkeys(("millionths/f", "microstrain/f"), _PER_F / 10**6),
    **dict.fromkeys(
        ("millionths/c", "millionths/k", "microstrain/c", "microstrain/k"), Fraction(1, 10**6)
    ),
}
STRAINS: dict[str, Fraction] = {
    **dict.fromkeys(("in/in", "m/m", "mm/mm"), Fraction(1)),
    **dict.fromkeys(("microstrain", "millionths"), Fraction(1, 10**6)),
    "mm/m": Fraction(1, 1000),
    "%": Fraction(1, 100),
}
TEMPERATURE_DIFFERENCES: dict[str, Fraction] = {
    **dict.fromkeys(("f", "f difference"), 1 / _PER_F),
    **dict.fromkeys(("c", "k", "c difference"), Fraction(1)),
}
TEMPERATURE_GRADIENTS: dict[str, Fraction] = {
    f"{degree}/{length}": many / LENGTHS[length]
    for degree, many in TEMPERATURE_DIFFERENCES.items()
    for length in ("in", "ft", "m", "cm", "mm")
}
KELVINS: dict[str, Fraction] = {"k": Fraction(1)}
# International Table British thermal unit.
HEATS: dict[str, Fraction] = {
    "btu/lb": Fraction("1055.05585262") / POUND_KG,
    "kj/kg": Fraction(1000),
    "j/kg": Fraction(1),
}
ACTIVATIONS: dict[str, Fraction] = {"kj/mol": Fraction(1000), "j/mol": Fraction(1)}
TIMES: dict[str, Fraction] = {
    **dict.fromkeys(("s", "sec", "second", "seconds"), Fraction(1)),
    **dict.fromkeys(("min", "mins", "minute", "minutes"), Fraction(60)),
    **dict.fromkeys(("h", "hr", "hrs", "hour", "hours"), _HOUR_S),
    **dict.fromkeys(("d", "day", "days"), _DAY_S),
    **dict.fromkeys(("wk", "week", "weeks"), 7 * _DAY_S),
}
# Degrees above a datum times hours, as maturity is counted; Celsius.
MATURITIES: dict[str, Fraction] = {
    **dict.fromkeys(("c-h", "c h", "c-hours"), Fraction(1)),
    **dict.fromkeys(("c-d", "c-days", "c days"), Fraction(24)),
    **dict.fromkeys(("f-h", "f h", "f-hours"), 1 / _PER_F),
}
# A comma before exactly three digits is a thousands mark only beside these: elsewhere `1,635 m`
# is as likely a decimal comma, and the two differ a thousandfold.
COMMA_UNITS = frozenset(
    {"mm", "ft2", "sq ft", "sqft", "sf", "in2", "sq in", "ft3", "cu ft", "cf", "gal", "gallons"}
    | {"l", "litres", "liters", "psi", "psf", "pa", "kpa", "lb", "lbs", "pounds", "kg", "lbf", "n"}
)
