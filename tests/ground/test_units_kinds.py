"""Loads, weather, mixes and stiffness: one number and one unit, always with the unit.

Factors: NIST Special Publication 811 (2008 edition), Appendix B.8: mile per hour 4.4704 E-01 m/s,
knot 5.144444 E-01 m/s, foot per minute 5.08 E-03 m/s, pound-force 4.448222 N, kip 4.448222 E+03 N,
lbf/ft 1.459390 E+01 N/m, lbf/in 1.751268 E+02 N/m, lbf ft 1.355818 N m, lbf in 1.129848 E-01 N m,
lb/ft2 4.882428 kg/m2, lb/ft 1.488164 kg/m, in3 1.638706 E-05 m3, in4 4.162314 E-07 m4,
Btu/lb 2.326 E+03 J/kg, lb/yd3 5.932764 E-01 kg/m3, psi 6.894757 E+03 Pa, ft2 9.290304 E-02 m2,
gallon 3.785412 E-03 m3, yd3 7.645549 E-01 m3, inch 2.54 E-02 m.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from overslab.ground.faults import Fault, Faulty
from overslab.ground.units import (
    SYSTEMS,
    Units,
    known_customary,
    read_by_suffix,
    si_unit_of,
    suffix_of,
    to_customary,
    write_by_suffix,
)
from overslab.ground.units.digits import DIGITS
from overslab.ground.units.kinds import KINDS, Kind, read_kind, write_kind

FEET = Units("feet-inches", 0.0254 / 16)
METRIC = Units("metric", 0.001)
YARD3 = 0.7645549


def read(name: str, text: str) -> float:
    values = {read_by_suffix(name, text, system=system) for system in SYSTEMS}
    assert len(values) == 1, "a unit means the same in every system"
    return values.pop()


def fault_of(name: str, text: str) -> Fault:
    with pytest.raises(Faulty) as caught:
        read_by_suffix(name, text, system="feet-inches")
    return caught.value.faults[0]


@pytest.mark.parametrize(
    ("name", "text", "value"),
    [
        ("wind_m_per_s", "12 mph", 12 * 0.44704),
        ("wind_m_per_s", "36 km/h", 10.0),
        ("wind_m_per_s", "10 knots", 5.144444),
        ("pour_m_per_s", "2 ft/min", 2 * 5.08e-3),
        ("load_n", "3000 lbf", 3000 * 4.448222),
        ("load_n", "3,000 lb", 3000 * 4.448222),
        ("load_n", "3 kips", 3 * 4.448222e3),
        ("load_n", "13.3 kN", 13300.0),
        ("load_n", "1 3/4 kip", 1.75 * 4.448222e3),
        ("line_load_n_per_m", "800 lbf/ft", 800 * 14.59390),
        ("line_load_n_per_m", "800 plf", 800 * 14.59390),
        ("line_load_n_per_m", "4 lbf per in", 4 * 175.1268),
        ("moment_n_m", "500 lbf-ft", 500 * 1.355818),
        ("moment_n_m", "-500 lb-in", -500 * 0.1129848),
        ("moment_n_m_per_m", "1 lbf-ft/ft", 4.448222),
        ("moment_n_m_per_m", "1 lbf-in/in", 4.448222),
        ("subgrade_pa_per_m", "100 pci", 100 * 6.894757e3 / 0.0254),
        ("subgrade_pa_per_m", "100 psi/in", 100 * 6.894757e3 / 0.0254),
        ("subgrade_pa_per_m", "27 MPa/m", 27e6),
        ("subgrade_pa_per_m", "27000 kN/m3", 27e6),
        ("modulus_pa", "4e6 psi", 4e6 * 6.894757e3),
        ("modulus_pa", "4000 ksi", 4e6 * 6.894757e3),
        ("added_pa", "25 psf", 25 * 47.88026),
        ("evaporation_kg_per_m2_s", "0.2 lb/ft2/h", 0.2 * 4.882428 / 3600),
        ("evaporation_kg_per_m2_s", "0.2 lb/sq ft/hr", 0.2 * 4.882428 / 3600),
        ("evaporation_kg_per_m2_s", "1.0 kg/m²/h", 1 / 3600),
        ("topping_kg_per_m2", "50 lb/ft2", 50 * 4.882428),
        ("bar_kg_per_m", "0.668 lb/ft", 0.668 * 1.488164),
        ("cement_kg_per_m3", "564 lb/yd3", 564 * 0.5932764),
        ("water_kg_per_m3", "335 kg/m3", 335.0),
        ("fibre_kg_per_m3", "1.5 lb/yd3", 1.5 * 0.5932764),
        ("coverage_m2_per_m3", "200 ft2/gal", 200 * 0.09290304 / 3.785412e-3),
        ("coverage_m2_per_m3", "5 m2/L", 5000.0),
        ("added_m3_per_m3", "1 gal/yd3", 3.785412e-3 / YARD3),
        ("added_m3_per_m3", "1 gal per yd3", 3.785412e-3 / YARD3),
        ("added_m3_per_m3", "5 L/m3", 0.005),
        ("steel_m2_per_m", "0.058 in2/ft", 0.058 * 0.0254**2 / 0.3048),
        ("steel_m2_per_m", "123 mm2/m", 123e-6),
        ("bar_m2", "0.2 in2", 0.2 * 0.0254**2),
        ("section_modulus_m3", "32 in3", 32 * 1.638706e-5),
        ("inertia_m4", "64 in4", 64 * 4.162314e-7),
        ("expansion_per_k", "5.5e-6 per F", 9.9e-6),
        ("expansion_per_k", "5.5e-6/°F", 9.9e-6),
        ("expansion_per_k", "0.0000055/F", 9.9e-6),
        ("expansion_per_k", "10 millionths/C", 10e-6),
        ("shrinkage_strain", "500 millionths", 500e-6),
        ("shrinkage_strain", "0.05 %", 500e-6),
        ("cooling_drop_c", "9 F", 5.0),
        ("cooling_drop_c", "9 deg F", 5.0),
        ("temperature_difference_c", "-18 F difference", -10.0),
        ("gradient_c_per_m", "3 F/in", 3 * (5 / 9) / 0.0254),
        ("activation_k", "5000 K", 5000.0),
        ("heat_j_per_kg", "143.5 Btu/lb", 143.5 * 2326),
        ("activation_j_per_mol", "40 kJ/mol", 40_000.0),
        ("maturity_c_hours", "4368 C-h", 4368.0),
        ("maturity_c_hours", "728 C-days", 17472.0),
        ("maturity_c_hours", "900 F-h", 500.0),
        ("setting_hours", "90 min", 1.5),
        ("setting_hours", "6", 6.0),
        ("age_days", "48 h", 2.0),
        ("age_days", "4 weeks", 28.0),
        ("wait_s", "2 h", 7200.0),
        ("wait_minutes", "1 1/2 h", 90.0),
    ],
)  # fmt: skip
def test_units_are_read_by_the_end_of_a_name(name: str, text: str, value: float) -> None:
    assert read(name, text) == pytest.approx(value, rel=5e-7)


@pytest.mark.parametrize(
    ("name", "text", "code", "words"),
    [
        ("wind_m_per_s", "12", "units-no-unit", "`12 mph` or `12 km/h`"),
        ("load_n", "3000", "units-no-unit", "`3000 lbf` or `3000 kN`"),
        ("load_n", "3000 kg", "units-unreadable", "3000 lbf"),
        ("load_n", "-5 lbf", "units-out-of-range", "0"),
        ("subgrade_pa_per_m", "100 psi", "units-unreadable", "100 pci"),
        ("subgrade_pa_per_m", "1e99 pci", "units-out-of-range", "10000000000000"),
        ("wind_m_per_s", "900 mph", "units-out-of-range", "100"),
        ("activation_k", "5000", "units-no-unit", "`5000 K`"),
        ("expansion_per_k", "5.5e-6", "units-no-unit", "millionths/F"),
        ("cement_kg_per_m3", "", "units-empty", "564 lb/yd3"),
        ("cement_kg_per_m3", "564 lb", "units-unreadable", "564 lb/yd3"),
        ("setting_hours", "6 o'clock", "units-unreadable", "90 min"),
        ("modulus_pa", "0e6 psi", "units-unreadable", "4000 psi"),
        ("wind_m_per_s", "1,200 mph", "units-two-meanings", "1.200 mph"),
    ],
)
def test_unclear_units_are_asked(name: str, text: str, code: str, words: str) -> None:
    fault = fault_of(name, text)
    assert fault.code == code
    assert words in fault.remedy + fault.limit


def test_zero_needs_no_unit() -> None:
    assert read("wind_m_per_s", "0") == 0.0
    assert read("load_n", "0") == 0.0


@pytest.mark.parametrize(
    ("name", "value", "feet", "metric"),
    [
        ("wind_m_per_s", 4.4704, "10.0 mph", "16 km/h"),
        ("load_n", 13344.665, "3000 lbf", "13.3 kN"),
        ("subgrade_pa_per_m", 27144711.0, "100 pci", "27.1 MPa/m"),
        ("evaporation_kg_per_m2_s", 2.7124e-4, "0.200 lb/ft2/h", "0.98 kg/m2/h"),
        ("cement_kg_per_m3", 334.608, "564 lb/yd3", "335 kg/m3"),
        ("fibre_kg_per_m3", 0.89, "1.50 lb/yd3", "0.89 kg/m3"),
        ("added_m3_per_m3", 0.0049511, "1.0 gal/yd3", "5.0 L/m3"),
        ("coverage_m2_per_m3", 4908.5, "200 ft2/gal", "4.9 m2/L"),
        ("drop_c", 5.0, "9.0 F", "5.0 C"),
        ("expansion_per_k", 9.9e-6, "5.50 millionths/F", "9.90 millionths/C"),
        ("deflection_m", 0.000533, "0.021 in", "0.53 mm"),
        ("compound_liquid_m3", 0.0113562, "3.0 gal", "11 L"),
        ("time_s", 5400.0, "90 min", "90 min"),
        ("time_s", 68400.0, "19 h", "19 h"),
        ("time_s", 30.0, "30 s", "30 s"),
        ("time_s", 864000.0, "10 days", "10 days"),
        ("load_n", math.nan, "not known", "not known"),
        ("load_n", math.inf, "no limit", "no limit"),
    ],
)
def test_units_are_written_with_the_digits_of_the_table(
    name: str, value: float, feet: str, metric: str
) -> None:
    assert write_by_suffix(name, value, FEET) == feet
    assert write_by_suffix(name, value, METRIC) == metric


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.quantity)
@pytest.mark.parametrize("units", [FEET, METRIC], ids=lambda units: units.system)
@given(share=st.floats(min_value=0.0, max_value=1.0))
def test_what_is_written_is_read_back(kind: Kind, units: Units, share: float) -> None:
    row = DIGITS[units.system][kind.quantity]
    # Up to ten thousand of the unit, or as far as the quantity goes.
    value = share * min(10_000 * float(row.size), 0.99 * kind.greatest)
    again = read_kind(kind, write_kind(kind, value, units))
    half = 0.5 * float(row.size) * 10.0**-row.places
    assert abs(again - value) <= half * (1 + 1e-6)


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.quantity)
def test_every_form_offered_can_be_read(kind: Kind) -> None:
    for form in kind.forms:
        assert read_kind(kind, form) > 0
    for unit in kind.asks:
        assert read_kind(kind, f"1 {unit}") > 0


TYPED_AND_PRINTED = [
    unit
    for unit in sorted(known_customary() - {"F", "C", "K", "lb"})  # a mass in print, a load here
    if any(unit.lower() in kind.units for kind in KINDS)
]


@pytest.mark.parametrize("unit", TYPED_AND_PRINTED)
def test_the_units_of_print_agree_with_the_units_that_are_typed(unit: str) -> None:
    """Two tables hold factors. A word may mean two things, `psf` a load or a mass: one agrees."""
    read = [read_kind(kind, f"1 {unit}") for kind in KINDS if unit.lower() in kind.units]
    assert pytest.approx(1.0, rel=1e-12) in [to_customary(value, unit) for value in read]


def test_most_units_of_print_are_in_both_tables() -> None:
    assert len(TYPED_AND_PRINTED) > 30


@pytest.mark.parametrize(
    ("name", "unit"),
    [
        ("density_kg_per_m3", "kg/m3"),
        ("subgrade_pa_per_m", "Pa/m"),
        ("evaporation_kg_per_m2_s", "kg/m2/s"),
        ("concrete_cost_per_m3", "/m3"),
        ("covariance_m4", "m4"),
        ("beam_angle_arcsec", "arcsec"),
        ("curve_per_m", "1/m"),
        ("least_fall", "m/m"),
        ("air_c", "C"),
        ("water_cement_ratio", ""),
        ("n", ""),
    ],
)
def test_the_si_unit_of_a_name(name: str, unit: str) -> None:
    assert si_unit_of(name) == unit


def test_a_name_of_one_letter_is_a_symbol() -> None:
    assert suffix_of("n") is suffix_of("k") is suffix_of("s") is suffix_of("surety")
    assert suffix_of("load_n") is not suffix_of("surety")
