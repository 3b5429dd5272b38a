"""What is written reads back to the same mark; ties, carries and signs.

Expected texts are worked by hand from 1 in = 25.4 mm and 1 ft = 304.8 mm (NIST Special Publication
811, 2008 edition, Appendix B.8) and the rule "half a mark goes away from zero".
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from overslab.ground.estimate import Estimate
from overslab.ground.faults import Faulty
from overslab.ground.units import (
    System,
    Units,
    read_area_m2,
    read_by_suffix,
    read_cost_per_m3,
    read_length_m,
    read_money,
    read_pressure_pa,
    read_rod_m,
    read_share,
    read_slope,
    read_temperature_c,
    read_volume_m3,
    suffix_of,
    write_area,
    write_by_suffix,
    write_cost_per_volume,
    write_height,
    write_length,
    write_money,
    write_pressure,
    write_reading,
    write_share,
    write_size,
    write_slope,
    write_temperature,
    write_thickness,
    write_volume,
    write_water,
)

INCH_M = 0.0254
SIXTEENTHS = Units("feet-inches", INCH_M / 16)
EIGHTHS = Units("feet-inches", INCH_M / 8)
HUNDREDTHS = Units("tenths", 0.003048)
MILLIMETRES = Units("metric", 0.001)
EVERY = [
    SIXTEENTHS,
    EIGHTHS,
    Units("feet-inches", INCH_M),
    Units("feet-inches", INCH_M / 64),
    HUNDREDTHS,
    Units("tenths", 0.03048),
    Units("tenths", 0.001524),
    MILLIMETRES,
    Units("metric", 0.005),
    Units("metric", 0.0001),
]


@pytest.mark.parametrize("units", EVERY, ids=lambda units: f"{units.system} {units.mark_m:.4g}")
@given(count=st.integers(min_value=-60_000, max_value=60_000))
@settings(max_examples=60)
def test_write_then_read_is_the_identity_at_the_mark(units: Units, count: int) -> None:
    value = float(count * units.mark)
    for write in (write_length, write_height, write_thickness):
        assert read_length_m(write(value, units), system=units.system) == value


@pytest.mark.parametrize("units", EVERY, ids=lambda units: f"{units.system} {units.mark_m:.4g}")
@given(share=st.floats(min_value=0, max_value=1))
@settings(max_examples=60)
def test_a_rod_reading_reads_back_in_its_own_convention(units: Units, share: float) -> None:
    value = 9.1 * share
    again = read_rod_m(write_reading(value, units), system=units.system)
    assert abs(again - value) <= float(units.mark) / 2 * (1 + 1e-6)


@pytest.mark.parametrize("units", EVERY, ids=lambda units: f"{units.system} {units.mark_m:.4g}")
@given(value=st.floats(min_value=-9000, max_value=9000))
@settings(max_examples=80)
def test_any_length_is_written_within_half_a_mark(units: Units, value: float) -> None:
    text = write_length(value, units)
    again = read_length_m(text, system=units.system)
    assert abs(again - value) <= float(units.mark) / 2 * (1 + 1e-6)
    assert (text == "0") == (again == 0)
    assert text.startswith("-") == (again < 0)
    # No 16/16, no fraction that could be shorter, no 12 inches.
    for top, bottom in re.findall(r"(\d+)/(\d+)", text):
        assert int(top) < int(bottom)
        assert math.gcd(int(top), int(bottom)) == 1
    for inches in re.findall(r"' (\d+)", text):
        assert int(inches) < 12


@pytest.mark.parametrize(
    ("inches", "units", "text"),
    [
        (1 / 32, SIXTEENTHS, '1/16"'),
        (-1 / 32, SIXTEENTHS, '-1/16"'),
        (3 / 32, SIXTEENTHS, '1/8"'),
        (5 / 32, SIXTEENTHS, '3/16"'),
        (1 / 16, EIGHTHS, '1/8"'),
        (3 / 16, EIGHTHS, '1/4"'),
        (1 / 32 - 1e-6, SIXTEENTHS, "0"),
        (-1 / 32 + 1e-6, SIXTEENTHS, "0"),
        (15.97 / 16, SIXTEENTHS, '1"'),
        (11 + 31 / 32, SIXTEENTHS, "1' 0\""),
        (-11 - 31 / 32, SIXTEENTHS, "-1' 0\""),
        (23.99, SIXTEENTHS, "2' 0\""),
        (64.375, SIXTEENTHS, "5' 4 3/8\""),
        (-64.375, SIXTEENTHS, "-5' 4 3/8\""),
        (12.25, SIXTEENTHS, "1' 0 1/4\""),
    ],
)
def test_feet_and_inches(inches: float, units: Units, text: str) -> None:
    assert write_length(inches * INCH_M, units) == text


def test_ties_of_typed_decimals_go_away_from_zero() -> None:
    # 0.005 ft and 0.5 mm are half a mark; binary floats lie a hair to either side of most ties.
    for tie, text in (
        (0.5, "1 mm"),
        (1.5, "2 mm"),
        (2.5, "3 mm"),
        (-2.5, "-3 mm"),
        (64.5, "65 mm"),
    ):
        assert write_length(tie / 1000, MILLIMETRES) == text
    for feet, text in (("0.005", "0.01 ft"), ("1.005", "1.01 ft"), ("-4.115", "-4.12 ft")):
        assert write_length(read_length_m(feet, system="tenths"), HUNDREDTHS) == text
    # Noise of a sum does not move a tie: 0.1 + 0.2 is 0.30000000000000004.
    assert write_length((0.1 + 0.2) / 200, MILLIMETRES) == "2 mm"
    assert write_length(sum([0.0001] * 5), MILLIMETRES) == "1 mm"


def test_each_writer_in_each_system() -> None:
    metres = 64.375 * INCH_M  # 1.635125 m, 5.3646 ft
    assert write_thickness(metres, SIXTEENTHS) == "64 3/8 in"
    assert write_thickness(4.375 * INCH_M, SIXTEENTHS) == "4 3/8 in"
    assert write_thickness(metres, HUNDREDTHS) == "5.36 ft"
    assert write_thickness(metres, MILLIMETRES) == "1635 mm"
    assert write_size(0.75 * INCH_M, HUNDREDTHS) == "3/4 in"
    assert write_size(4.5 * INCH_M, EIGHTHS) == "4 1/2 in"
    assert write_size(0.019, MILLIMETRES) == "19 mm"
    assert write_height(metres, MILLIMETRES) == "1.635 m"
    assert write_height(30.59, SIXTEENTHS) == "100' 4 5/16\""
    assert write_reading(metres, SIXTEENTHS) == "5' 4 3/8\""
    assert write_reading(metres, HUNDREDTHS) == "5.36 ft"
    assert write_reading(metres, MILLIMETRES) == "1.635 m"
    assert write_volume(1, SIXTEENTHS) == "1.31 yd3"  # 1/0.764555
    assert write_volume(1.005, MILLIMETRES) == "1.01 m3"
    assert write_water(0.003785411784 * 2.5, SIXTEENTHS) == "2.5 gal"
    assert write_water(0.0125, MILLIMETRES) == "13 L"
    assert write_area(53.51215104, SIXTEENTHS) == "576 sq ft"
    assert write_area(53.55, MILLIMETRES) == "53.6 m2"
    assert write_pressure(27579029.17, SIXTEENTHS) == "4000 psi"
    assert write_pressure(27579029.17, MILLIMETRES) == "27.6 MPa"
    assert write_temperature(29.44, SIXTEENTHS) == "85 F"
    assert write_temperature(-17.8, HUNDREDTHS) == "0 F"
    assert write_temperature(29.44, MILLIMETRES) == "29.4 C"
    assert write_share(0.08) == "8.0 %"
    assert write_share(0.0005) == "0.1 %"
    assert write_cost_per_volume(165 / 0.764554857984, EIGHTHS, currency="$") == "$165.00/yd3"
    assert write_cost_per_volume(215.8, MILLIMETRES, currency="EUR") == "EUR 215.80/m3"


@pytest.mark.parametrize(
    ("slope", "feet", "metric"),
    [
        (1 / 96, "1/8 in/ft (1.04 %)", "1.04 % (1:96)"),
        (1 / 48, "1/4 in/ft (2.08 %)", "2.08 % (1:48)"),
        (-1 / 96, "-1/8 in/ft (-1.04 %)", "-1.04 % (-1:96)"),
        (1 / 384, "1/32 in/ft (0.26 %)", "0.26 % (1:384)"),
        (0.011, "0.13 in/ft (1.10 %)", "1.10 % (1:91)"),
        (1.5 / 12, "1 1/2 in/ft (12.50 %)", "12.50 % (1:8.0)"),
        (0.0, "0", "0"),
        (1e-6, "0", "0"),
    ],
)
def test_slopes_are_said_as_a_fraction_when_near_one(slope: float, feet: str, metric: str) -> None:
    assert write_slope(slope, SIXTEENTHS) == feet
    assert write_slope(slope, HUNDREDTHS) == feet
    assert write_slope(slope, MILLIMETRES) == metric


@given(slope=st.floats(min_value=-0.999, max_value=0.999))
@settings(max_examples=300)
def test_a_written_slope_reads_back(slope: float) -> None:
    # 0.01 in/ft is 0.083 %; half of it, and half of 0.01 % in metric.
    assert abs(read_slope(write_slope(slope, SIXTEENTHS)) - slope) <= 0.005 / 12 + 1e-12
    assert abs(read_slope(write_slope(slope, MILLIMETRES)) - slope) <= 0.00005 + 1e-12


@given(value=st.floats(min_value=0, max_value=9e4))
@settings(max_examples=100)
def test_volumes_areas_pressures_shares_read_back(value: float) -> None:
    for units, step in ((SIXTEENTHS, 0.764554857984), (MILLIMETRES, 1.0)):
        volume = read_volume_m3(write_volume(value, units), system=units.system)
        assert abs(volume - value) <= 0.005 * step * (1 + 1e-6)
        area = read_area_m2(write_area(value, units), system=units.system)
        assert abs(area - value) <= 0.0501
        assert abs(read_temperature_c(write_temperature(value / 1000, units)) - value / 1000) < 0.28
    assert abs(read_pressure_pa(write_pressure(value * 1000, SIXTEENTHS)) - value * 1000) <= 3448
    assert abs(read_share(write_share(value / 9e4)) - value / 9e4) <= 0.0005 + 1e-12


@given(cents=st.integers(min_value=-(10**10), max_value=10**10))
@settings(max_examples=200)
def test_money_reads_back_to_the_cent(cents: int) -> None:
    amount = Decimal(cents) / 100
    for currency in ("$", "€", "USD", ""):
        assert read_money(write_money(amount, currency=currency)) == amount


def test_money_rounds_half_away_from_zero() -> None:
    assert write_money(2.675, currency="$") == "$2.68"
    assert write_money(-2.675, currency="$") == "-$2.68"
    assert write_money(Decimal("0.004"), currency="$") == "$0.00"
    assert write_money(-0.004, currency="$") == "$0.00"
    assert write_money(1234567.5, currency="CAD") == "CAD 1,234,567.50"
    assert read_cost_per_m3(
        write_cost_per_volume(215.81, EIGHTHS, currency="$"), system="tenths"
    ) == pytest.approx(215.81, abs=0.01)


@pytest.mark.parametrize(
    "write",
    [write_length, write_height, write_thickness, write_reading, write_volume, write_slope],
)
@pytest.mark.parametrize("units", [SIXTEENTHS, HUNDREDTHS, MILLIMETRES])
def test_what_is_no_number_is_written_in_words(
    write: Callable[[float, Units], str], units: Units
) -> None:
    assert write(math.nan, units) == "not known"
    assert write(math.inf, units) == "no limit"
    assert write_money(math.nan, currency="$") == "not known"


@pytest.mark.parametrize(
    ("system", "mark_m"),
    [
        ("feet-inches", 0.001),
        ("feet-inches", INCH_M / 10),
        ("tenths", 0.001),
        ("metric", 0.003),
        ("metric", 0.0),
        ("metric", -0.001),
        ("metric", math.nan),
    ],
)
def test_a_mark_that_no_rule_has_is_refused(system: System, mark_m: float) -> None:
    with pytest.raises(Faulty) as caught:
        Units(system, mark_m)
    assert caught.value.faults[0].code == "units-mark"


def test_marks_are_exact() -> None:
    assert Units("feet-inches", 0.0015875).mark == Fraction(254, 160_000)
    assert Units("tenths", 0.003048).mark == Fraction(3048, 1_000_000)


@pytest.mark.parametrize(
    ("name", "text", "value", "written"),
    [
        ("least_thickness_m", "3 in", 0.0762, "3 in"),
        ("stone_m", "3/8 in", 0.009525, "3/8 in"),
        ("height_m", "100' 6\"", 30.6324, "100' 6\""),
        ("benchmark_reading_m", "4-11", 1.4986, "4' 11\""),
        ("depth_m", "1/8", 0.003175, '1/8"'),
        ("area_m2", "576", 53.51215104, "576 sq ft"),
        ("volume_m3", "3", 2.293664573952, "3.00 yd3"),
        ("ponded_volume_m3", "10 gal", 0.03785411784, "10.0 gal"),
        ("least_fall", "1/8 in/ft", 1 / 96, "1/8 in/ft (1.04 %)"),
        ("laser_slope", "1/16 in per 100 ft", 1 / 19200, "0"),
        ("air_c", "85F", 265 / 9, "85 F"),
        ("strength_pa", "4000 psi", 27579029.172673445, "4000 psi"),
        ("loss_share", "8%", 0.08, "8.0 %"),
        ("loads_count", "3", 3, "3"),
        ("moving_cost", "$1,250.50", 1250.5, "$1,250.50"),
        ("short_load_charge", "150", 150.0, "$150.00"),
        ("concrete_cost_per_m3", "$165/yd3", 165 / 0.764554857984, "$165.00/yd3"),
        ("cement_kg", "94 lb", 42.63768278, "94 lb"),
        ("density_kg_per_m3", "150 lb/ft3", 2402.769, "150.0 lb/ft3"),
        ("falls_toward_deg", "45", 45.0, "45 deg"),
        ("truck_minutes", "30 min", 30.0, "30 min"),
        ("surety", "1.645", 1.645, "1.645"),
        ("height_variance_m2", "1.5e-6", 1.5e-6, "1.5e-06 m2"),
    ],
)
def test_the_unit_at_the_end_of_a_name_picks_reader_and_writer(
    name: str, text: str, value: float, written: str
) -> None:
    assert read_by_suffix(name, text, system="feet-inches") == pytest.approx(value, rel=1e-6)
    assert write_by_suffix(name, value, SIXTEENTHS, currency="$") == written


def test_only_whole_words_of_a_name_are_units() -> None:
    assert suffix_of("bottom") is suffix_of("surety")
    assert suffix_of("music") is suffix_of("surety")
    assert suffix_of("waterfall") is suffix_of("surety")
    assert suffix_of("s") is suffix_of("surety")


def test_values_of_a_working_that_are_no_single_number() -> None:
    assert write_by_suffix("depth_m", None, SIXTEENTHS) == "none"
    assert write_by_suffix("level", True, SIXTEENTHS) == "yes"
    assert write_by_suffix("kind", "wall", SIXTEENTHS) == "wall"
    assert write_by_suffix("depth_m", np.float64(0.0254), SIXTEENTHS) == '1"'
    assert write_by_suffix("depths_m", (0.1,), MILLIMETRES) == "(100 mm)"
    assert write_by_suffix("depth_m", np.array([0.1, 0.2]), MILLIMETRES) == "(100 mm, 200 mm)"
    assert (
        write_by_suffix("depth_m", [0.1] * 9, MILLIMETRES) == "(100 mm, 100 mm, 100 mm, … 9 values)"
    )
    estimate = Estimate(mean=2.0, deviation=0.1 / 1.959963984540054)
    assert write_by_suffix("volume_m3", estimate, MILLIMETRES) == "2.00 m3 ± 0.10 m3"
