"""Quantities that take one number and one unit, always with the unit: the one table of them.

Loads, weather, mixes and stiffness. A quantity whose bare number has a meaning of its own (lengths,
volumes, money, shares) has its own reader.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from math import isfinite, isnan

from overslab.ground.units import factors
from overslab.ground.units.digits import DIGITS, Quantity, fixed
from overslab.ground.units.quantities import measured
from overslab.ground.units.reading import reading
from overslab.ground.units.systems import Units
from overslab.ground.units.write import NO_LIMIT, NOT_KNOWN


@dataclass(frozen=True, slots=True)
class Kind:
    """``endings`` of names, words for the fault, and every unit it may be typed in."""

    endings: tuple[str, ...]
    quantity: Quantity
    a_thing: str
    si: str
    units: Mapping[str, Fraction] = field(repr=False)
    forms: tuple[str, str]
    greatest: int
    least: int = 0

    @property
    def asks(self) -> tuple[str, str]:
        """The units offered to a person who left the unit out: of feet and of metric."""
        feet, metric = (DIGITS[system][self.quantity].unit for system in ("feet-inches", "metric"))
        return feet, metric


MIX_ENDINGS = tuple(
    f"{part}_kg_per_m3"
    for part in (
        "cement", "cementitious", "water", "coarse", "fine", "aggregate", "mix", "mass", "ash",
        "slag",
    )
)  # fmt: skip
DOSE_ENDINGS = ("dose_kg_per_m3", "fibre_kg_per_m3", "fibres_kg_per_m3")

KINDS: tuple[Kind, ...] = (
    Kind(
        ("m_per_s",), "speed", "a speed", "m/s", factors.SPEEDS, ("12 mph", "19 km/h"), 100
    ),
    Kind(("n",), "force", "a force", "N", factors.FORCES, ("3000 lbf", "13.3 kN"), 10**9),
    Kind(
        ("n_per_m",), "line force", "a load along a line", "N/m", factors.LINE_FORCES,
        ("800 lbf/ft", "11.7 kN/m"), 10**9,
    ),
    Kind(
        ("n_m",), "moment", "a moment", "N m", factors.MOMENTS, ("500 lbf-ft", "0.7 kN-m"), 10**9,
        -(10**9),
    ),
    Kind(
        ("n_m_per_m",), "line moment", "a moment along a line", "N m/m", factors.LINE_MOMENTS,
        ("500 lbf-ft/ft", "2.2 kN-m/m"), 10**9, -(10**9),
    ),
    Kind(
        ("pa_per_m",), "stiffness", "a stiffness of the ground", "Pa/m", factors.STIFFNESSES,
        ("100 pci", "27 MPa/m"), 10**13,
    ),
    Kind(
        ("vapour_pa",), "vapour pressure", "a vapour pressure", "Pa", factors.PRESSURES,
        ("0.36 psi", "2.5 kPa"), 10**6,
    ),
    Kind(
        ("added_pa", "weight_pa", "uniform_load_pa"), "floor load", "a load on a floor", "Pa",
        factors.PRESSURES, ("125 psf", "6 kPa"), 10**9,
    ),
    Kind(
        ("kg_per_m2_s",), "evaporation", "a rate of evaporation", "kg/m2/s", factors.EVAPORATIONS,
        ("0.2 lb/ft2/h", "1 kg/m2/h"), 1,
    ),
    Kind(
        ("kg_per_m2",), "area mass", "a mass by area", "kg/m2", factors.AREA_MASSES,
        ("50 lb/ft2", "244 kg/m2"), 10**6,
    ),
    Kind(
        ("kg_per_m",), "line mass", "a mass by length", "kg/m", factors.LINE_MASSES,
        ("0.668 lb/ft", "0.994 kg/m"), 10**6,
    ),
    Kind(
        MIX_ENDINGS, "mix mass", "a mass in a volume of concrete", "kg/m3", factors.DENSITIES,
        ("564 lb/yd3", "335 kg/m3"), 30_000,
    ),
    Kind(
        DOSE_ENDINGS, "dose", "a dose", "kg/m3", factors.DENSITIES,
        ("1.5 lb/yd3", "0.9 kg/m3"), 1000,
    ),
    Kind(
        ("m2_per_m3",), "coverage", "a coverage", "m2/m3", factors.COVERAGES,
        ("200 ft2/gal", "5 m2/L"), 10**6,
    ),
    Kind(
        ("m3_per_m3",), "water rate", "a volume of water in a volume of concrete", "m3/m3",
        factors.WATER_RATES, ("1 gal/yd3", "5 L/m3"), 1,
    ),
    Kind(
        ("m2_per_m",), "steel area", "an area of steel by width", "m2/m", factors.STEEL_AREAS,
        ("0.058 in2/ft", "123 mm2/m"), 1,
    ),
    Kind(
        ("bar_m2", "bars_m2", "steel_m2", "wire_m2", "contact_m2"), "small area", "a small area",
        "m2", factors.SMALL_AREAS, ("0.2 in2", "129 mm2"), 10**4,
    ),
    Kind(
        ("section_modulus_m3",), "section modulus", "a section modulus", "m3",
        factors.SECTION_MODULI, ("32 in3", "524000 mm3"), 10**3,
    ),
    Kind(
        ("inertia_m4",), "inertia", "a second moment of area", "m4", factors.INERTIAS,
        ("64 in4", "26600000 mm4"), 10**3,
    ),
    Kind(
        ("per_k", "per_c"), "expansion", "an expansion by heat", "1/K", factors.EXPANSIONS,
        ("5.5e-6 per F", "10e-6 per C"), 1, -1,
    ),
    Kind(
        ("strain", "strains", "strain_difference"), "strain", "a strain", "m/m", factors.STRAINS,
        ("500 millionths", "0.05 %"), 1, -1,
    ),
    Kind(
        tuple(
            f"{word}_c"
            for word in ("difference", "differential", "drop", "rise", "warming", "cooling")
        ),
        "temperature difference", "a difference of temperature", "C",
        factors.TEMPERATURE_DIFFERENCES, ("9 F", "5 C"), 500, -500,
    ),
    Kind(
        ("c_per_m", "k_per_m"), "temperature gradient", "a difference of temperature by depth",
        "C/m", factors.TEMPERATURE_GRADIENTS, ("3 F/in", "66 C/m"), 10**4, -(10**4),
    ),
    Kind(("k",), "kelvin", "a number of kelvins", "K", factors.KELVINS, ("5000 K", "293 K"), 10**6),
    Kind(
        ("j_per_kg",), "heat", "a heat by mass", "J/kg", factors.HEATS,
        ("143.5 Btu/lb", "334 kJ/kg"), 10**9,
    ),
    Kind(
        ("j_per_mol",), "activation", "an activation energy", "J/mol", factors.ACTIVATIONS,
        ("40 kJ/mol", "41570 J/mol"), 10**6,
    ),
    Kind(
        ("c_hours",), "maturity", "a maturity", "C h", factors.MATURITIES,
        ("4368 C-h", "182 C-days"), 10**8, -(10**8),
    ),
)  # fmt: skip


def read_kind(kind: Kind, text: str | float) -> float:
    """The SI value of what was typed; a bare number other than 0 is asked. Raises ``Faulty``."""
    feet, metric = kind.asks
    return reading(
        text,
        parse=lambda plain: measured(
            re.sub(r"°|\bdeg(rees?|s)?\b\.?", " ", plain),
            units=kind.units,
            a_thing=kind.a_thing,
            bare=None,
            rule=f"{kind.a_thing} always carries its unit",
            asks=(feet,) if feet == metric else (feet, metric),
            least=kind.least,
            greatest=kind.greatest,
            told=kind.si,
            power_of_ten=True,
        ),
        a_thing=kind.a_thing,
        forms=kind.forms,
    )


def write_kind(kind: Kind, value: float, units: Units) -> str:
    """``value`` in the unit and with the digits that the table sets, such as ``100 pci``."""
    if isnan(value):
        return NOT_KNOWN
    if not isfinite(value):
        return NO_LIMIT
    row = DIGITS[units.system][kind.quantity]
    return f"{fixed(value, size=row.size, places=row.places)} {row.unit}"
