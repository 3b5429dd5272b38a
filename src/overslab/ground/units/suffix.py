"""Reads and writes by the unit that stands at the end of a name: the one table of suffixes."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import isfinite, isnan
from typing import Any

from overslab.ground.units.digits import PLAIN_SIGNIFICANT
from overslab.ground.units.factors import TIMES
from overslab.ground.units.kinds import KINDS, Kind, read_kind, write_kind
from overslab.ground.units.lengths import read_length_m
from overslab.ground.units.quantities import (
    number_and_unit,
    read_angle_deg,
    read_area_m2,
    read_cost_per_m3,
    read_count,
    read_density_kg_per_m3,
    read_mass_kg,
    read_money,
    read_number,
    read_pressure_pa,
    read_share,
    read_temperature_c,
    read_volume_m3,
)
from overslab.ground.units.reading import as_typed, reading
from overslab.ground.units.rods import read_rod_m
from overslab.ground.units.slopes import read_slope
from overslab.ground.units.systems import System, Units
from overslab.ground.units.tokens import UnreadError, clean
from overslab.ground.units.write import (
    NO_LIMIT,
    NOT_KNOWN,
    write_angle,
    write_area,
    write_cost_per_volume,
    write_density,
    write_height,
    write_length,
    write_mass,
    write_money,
    write_pressure,
    write_reading,
    write_share,
    write_size,
    write_slope,
    write_small,
    write_temperature,
    write_thickness,
    write_volume,
    write_water,
)

MOST_LISTED = 6


@dataclass(frozen=True, slots=True)
class Suffix:
    """``endings`` are whole words of a name, joined by underscores."""

    endings: tuple[str, ...]
    says: str
    read: Callable[[str, System], float]
    write: Callable[[float, Units, str], str]
    si: str = ""


def _plain(value: float) -> str:
    if isnan(value):
        return NOT_KNOWN
    return f"{value:.{PLAIN_SIGNIFICANT}g}" if isfinite(value) else NO_LIMIT


def _ratio(value: float) -> str:
    """To three places, as mixes are told: 0.45, 0.437."""
    return f"{value:.3g}" if isfinite(value) else _plain(value)


def _in_si(unit: str) -> Callable[[float, Units, str], str]:
    return lambda value, _units, _currency: f"{_plain(value)} {unit}"


def _read_plain(text: str, _system: System) -> float:
    return read_number(text)


def _read_time(unit: str) -> Callable[[str, System], float]:
    """A time counted in ``unit``; a bare number is in it: ``90 min`` as hours is 1.5."""

    def parse(text: str) -> Fraction:
        if re.fullmatch(r"[-+0-9.eE]+", clean(text)):
            return Fraction(repr(read_number(text)))
        number, word, comma = number_and_unit(text)
        if comma or word not in TIMES:
            raise UnreadError
        return number * TIMES[word] / TIMES[unit]

    def read(text: str, _system: System) -> float:
        return reading(
            text, parse=parse, a_thing="a time", forms=(f"3 {unit}", "90 min", "2 h", "7 days")
        )

    return read


def _seconds(value: float, _units: Units, _currency: str) -> str:
    """Seconds in the greatest unit of which there are two or more."""
    for unit in ("days", "h", "min"):
        if isfinite(value) and abs(value) >= 2 * TIMES[unit]:
            return f"{_plain(value / float(TIMES[unit]))} {unit}"
    return f"{_plain(value)} s"


def _of_kind(kind: Kind) -> Suffix:
    return Suffix(
        kind.endings,
        kind.quantity,
        lambda text, _system: read_kind(kind, text),
        lambda value, units, _currency: write_kind(kind, value, units),
        kind.si,
    )


PLAIN = Suffix((), "plain number", _read_plain, lambda value, _units, _currency: _plain(value))
# The longest ending wins, so `thickness_m` is found before `m`.
SUFFIXES: tuple[Suffix, ...] = (
    Suffix(
        ("cost_per_m3",),
        "money by volume",
        lambda text, system: read_cost_per_m3(text, system=system),
        lambda value, units, currency: write_cost_per_volume(value, units, currency=currency),
        "/m3",
    ),
    Suffix(
        ("cost", "charge", "price", "money"),
        "money",
        lambda text, _system: float(read_money(text)),
        lambda value, _units, currency: write_money(value, currency=currency),
    ),
    Suffix(
        ("kg_per_m3",),
        "density",
        lambda text, _system: read_density_kg_per_m3(text),
        lambda value, units, _currency: write_density(value, units),
        "kg/m3",
    ),
    Suffix(
        ("kg",),
        "mass",
        lambda text, _system: read_mass_kg(text),
        lambda value, units, _currency: write_mass(value, units),
        "kg",
    ),
    Suffix(
        ("water_m3", "ponded_volume_m3", "pond_m3", "liquid_m3"),
        "water and other liquids",
        lambda text, system: read_volume_m3(text, system=system),
        lambda value, units, _currency: write_water(value, units),
        "m3",
    ),
    Suffix(
        ("m3",),
        "volume",
        lambda text, system: read_volume_m3(text, system=system),
        lambda value, units, _currency: write_volume(value, units),
        "m3",
    ),
    Suffix(("variance_m2", "covariance_m2"), "variance", _read_plain, _in_si("m2"), "m2"),
    Suffix(("variance_m6", "m6"), "variance of a volume", _read_plain, _in_si("m6"), "m6"),
    Suffix(
        ("m2",),
        "area",
        lambda text, system: read_area_m2(text, system=system),
        lambda value, units, _currency: write_area(value, units),
        "m2",
    ),
    Suffix(
        ("reading_m", "readings_m"),
        "rod reading",
        lambda text, system: read_rod_m(text, system=system),
        lambda value, units, _currency: write_reading(value, units),
        "m",
    ),
    Suffix(
        ("height_m", "heights_m", "elevation_m", "instrument_m", "rim_m", "benchmark_m"),
        "height above the datum",
        lambda text, system: read_length_m(text, system=system),
        lambda value, units, _currency: write_height(value, units),
        "m",
    ),
    Suffix(
        ("thickness_m", "thicknesses_m", "thinnest_m", "thickest_m"),
        "thickness",
        lambda text, system: read_length_m(text, system=system),
        lambda value, units, _currency: write_thickness(value, units),
        "m",
    ),
    Suffix(
        ("stone_m", "slump_m"),
        "size of stone, slump",
        lambda text, system: read_length_m(text, system=system),
        lambda value, units, _currency: write_size(value, units),
        "m",
    ),
    Suffix(
        ("deflection_m", "settlement_m", "amplitude_m", "opening_m", "crack_m"),
        "small length",
        lambda text, system: read_length_m(text, system=system),
        lambda value, units, _currency: write_small(value, units),
        "m",
    ),
    Suffix(("per_m",), "by length", _read_plain, _in_si("1/m"), "1/m"),
    Suffix(
        ("m",),
        "length",
        lambda text, system: read_length_m(text, system=system),
        lambda value, units, _currency: write_length(value, units),
        "m",
    ),
    Suffix(
        ("slope", "slopes", "fall", "falls"),
        "slope",
        lambda text, _system: read_slope(text),
        lambda value, units, _currency: write_slope(value, units),
        "m/m",
    ),
    Suffix(
        ("c",),
        "temperature",
        lambda text, _system: read_temperature_c(text),
        lambda value, units, _currency: write_temperature(value, units),
        "C",
    ),
    Suffix(
        ("pa",),
        "pressure",
        lambda text, _system: read_pressure_pa(text),
        lambda value, units, _currency: write_pressure(value, units),
        "Pa",
    ),
    Suffix(
        ("water_cement_ratio",),
        "ratio by weight",
        _read_plain,
        lambda value, _units, _currency: _ratio(value),
    ),
    Suffix(
        ("share", "chance"),
        "share",
        lambda text, _system: read_share(text),
        lambda value, _units, _currency: write_share(value),
    ),
    Suffix(
        ("count",),
        "count",
        lambda text, _system: read_count(text),
        lambda value, _units, _currency: _plain(value),
    ),
    Suffix(
        ("deg",),
        "angle",
        lambda text, _system: read_angle_deg(text),
        lambda value, units, _currency: write_angle(value, units),
        "deg",
    ),
    Suffix(("s", "seconds"), "time", _read_time("s"), _seconds, "s"),
    Suffix(("minutes",), "time", _read_time("min"), _in_si("min"), "min"),
    Suffix(("hours",), "time", _read_time("h"), _in_si("h"), "h"),
    Suffix(("days",), "time", _read_time("days"), _in_si("days"), "days"),
    *map(_of_kind, KINDS),
)
# Names of one letter are symbols and not units.
_SYMBOLS = frozenset({"s", "n", "k"})
_BY_ENDING = {ending: row for row in SUFFIXES for ending in row.endings}


def suffix_of(name: str) -> Suffix:
    """The row of the table for a name such as ``least_thickness_m``; ``PLAIN`` when none fits."""
    words = name.lower().split("_")
    for start in range(len(words)):
        row = _BY_ENDING.get("_".join(words[start:]))
        if row is not None and not _SYMBOLS.issuperset(words):
            return row
    return PLAIN


def si_unit_of(name: str) -> str:
    """The SI unit that ``name`` ends in, as it is written: ``kg/m3``; empty for a plain number."""
    row = suffix_of(name)
    if row is not PLAIN:
        return row.si
    # Units of print that no reader needs: `variance_m4`, `angle_arcsec`.
    match = re.search(r"_(?:(m[2-6]?|kg|s|cost)_per_)?(m[2-6]?|kg|s|arcsec)$", name)
    if match is None:
        return ""
    top = "" if match[1] in (None, "cost") else match[1]
    return f"{top}/{match[2]}" if match[1] else match[2]


def read_by_suffix(name: str, text: str | float, *, system: System) -> float:
    """The value of ``text`` in the SI unit that ``name`` ends in. Raises ``Faulty``.

    A name without a known unit takes a plain number; ``_count`` gives a whole number.
    """
    return suffix_of(name).read(as_typed(text), system)


def write_by_suffix(name: str, value: Any, units: Units, *, currency: str = "") -> str:
    """``value`` in the job's units, chosen by the unit that ``name`` ends in.

    Words and yes/no are written as they are, nothing as ``none``; of a long list the first values
    and their number.
    """
    if value is None:
        return "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return value
    if hasattr(value, "tolist"):  # numpy arrays and scalars, without importing numpy
        value = value.tolist()
        return write_by_suffix(name, value, units, currency=currency)
    if hasattr(value, "mean") and hasattr(value, "plus_or_minus"):
        mean, spread = (
            write_by_suffix(name, part, units, currency=currency)
            for part in (value.mean, value.plus_or_minus)
        )
        return f"{mean} ± {spread}"
    if isinstance(value, Iterable):
        written = [write_by_suffix(name, item, units, currency=currency) for item in value]
        if len(written) > MOST_LISTED:
            return f"({', '.join(written[:3])}, … {len(written)} values)"
        return f"({', '.join(written)})"
    return suffix_of(name).write(value, units, currency)
