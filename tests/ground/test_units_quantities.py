"""Slopes, volumes, areas, pressures, temperatures, money, shares.

Factors: NIST Special Publication 811 (2008 edition), Appendix B.8: cubic yard 7.645549 E-01 m3,
cubic foot 2.831685 E-02 m3, gallon (US) 3.785412 E-03 m3, square foot 9.290304 E-02 m2,
psi 6.894757 E+03 Pa, psf 4.788026 E+01 Pa, pound 4.535924 E-01 kg, lb/ft3 1.601846 E+01 kg/m3,
lb/yd3 5.932764 E-01 kg/m3. Slopes: 1/4 in/ft is 2.0833 % and 1:48 (1/4 over 12).
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

import pytest

from overslab.ground.faults import Fault, Faulty
from overslab.ground.units import (
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
    read_slope,
    read_temperature_c,
    read_volume_m3,
)


def fault_of(read: Callable[..., object], text: str, **options: str) -> Fault:
    with pytest.raises(Faulty) as caught:
        read(text, **options)
    return caught.value.faults[0]


@pytest.mark.parametrize(
    ("text", "slope"),
    [
        ("1/4 in/ft", 1 / 48),
        ("1/4\"/ft", 1 / 48),
        ("1/8\" per ft", 1 / 96),
        ("1/8 in per foot", 1 / 96),
        ("⅛″ per ft", 1 / 96),
        ("0.125 in/ft", 1 / 96),
        ("1-1/4 in per 10 ft", 1 / 96),
        ("1/8 in over 1 ft", 1 / 96),
        ("1/16 in per 100 ft", 1 / 19200),
        ("1\" in 10'", 1 / 120),
        ("6 in per 10 ft", 0.05),
        ("1/4:12", 1 / 48),
        ("1:48", 1 / 48),
        ("1:60", 1 / 60),
        ("2%", 0.02),
        ("2 percent", 0.02),
        ("1/2 %", 0.005),
        ("-0.5 %", -0.005),
        ("10 mm/m", 0.01),
        ("20 mm per m", 0.02),
        ("0.02 m/m", 0.02),
        ("0.02", 0.02),
        ("0", 0.0),
        ("1/8 in/ft (1.04 %)", 1 / 96),
    ],
)  # fmt: skip
def test_slopes(text: str, slope: float) -> None:
    assert read_slope(text) == pytest.approx(slope, rel=1e-14)


@pytest.mark.parametrize(
    ("text", "code", "words"),
    [
        ("1/4", "units-no-unit", "`1/4 in/ft` or `1:4`"),
        ("2", "units-no-unit", "`2%`"),
        ("0.25", "units-no-unit", "`0.25 in/ft`"),
        ("1 in 60", "units-no-unit", "`1:60`"),
        ("1 in 10 ft", "units-no-unit", "`1 in per 10 ft`"),
        ("1/8 in", "units-unreadable", "`1/8 in/ft`"),
        ("1:0", "units-zero-below", "`1:60`"),
        ("1 in/0 ft", "units-zero-below", "`2%`"),
        ("12:1", "units-out-of-range", "100 %"),
        ("1/8 in/ft (2 %)", "units-two-meanings", "`2 %`"),
        ("1/7 in/ft", "units-inch-fraction", "`1/8 in`"),
        ("--2%", "units-unreadable", "`-2%`"),
        ("steep", "units-unreadable", "`1/4 in/ft`"),
        ("", "units-empty", "`1/4 in/ft`"),
    ],
)
def test_unclear_slopes_are_asked(text: str, code: str, words: str) -> None:
    fault = fault_of(read_slope, text)
    assert fault.code == code
    assert words in fault.remedy + fault.limit


@pytest.mark.parametrize(
    ("text", "m3"),
    [
        ("1 yd3", 0.764554857984),
        ("1 yd³", 0.764554857984),
        ("1 cu. yd.", 0.764554857984),
        ("1 cubic yard", 0.764554857984),
        ("1 yard", 0.764554857984),
        ("27 ft3", 0.764554857984),
        ("27 cu ft", 0.764554857984),
        ("1 1/2 cy", 1.146832286976),
        ("2.5 m3", 2.5),
        ("2.5 m^3", 2.5),
        ("1 gal", 0.003785411784),
        ("900 L", 0.9),
        ("1,000 liters", 1.0),
    ],
)
def test_volumes(text: str, m3: float) -> None:
    for system in ("feet-inches", "tenths", "metric"):
        assert read_volume_m3(text, system=system) == pytest.approx(m3, rel=1e-14)


def test_bare_volumes_and_areas_follow_the_system() -> None:
    assert read_volume_m3("3", system="feet-inches") == pytest.approx(2.293664573952, rel=1e-14)
    assert read_volume_m3("3", system="metric") == 3.0
    assert read_area_m2("100", system="tenths") == pytest.approx(9.290304, rel=1e-14)
    assert read_area_m2("100", system="metric") == 100.0


def test_published_factors() -> None:
    assert read_area_m2("576 sq ft", system="metric") == pytest.approx(576 * 9.290304e-2, rel=1e-12)
    assert read_pressure_pa("1 psi") == pytest.approx(6.894757e3, rel=1e-7)
    assert read_pressure_pa("1 psf") == pytest.approx(4.788026e1, rel=1e-7)
    assert read_pressure_pa("30 MPa") == 30e6
    assert read_pressure_pa("4,000 psi") == pytest.approx(4000 * 6.894757e3, rel=1e-7)
    assert read_mass_kg("94 lb") == pytest.approx(94 * 4.535924e-1, rel=1e-7)
    assert read_density_kg_per_m3("1 lb/ft3") == pytest.approx(1.601846e1, rel=1e-6)
    assert read_density_kg_per_m3("1 lb/yd3") == pytest.approx(5.932764e-1, rel=1e-6)


def test_temperatures() -> None:
    # Fixed points: water freezes at 32 F and boils at 212 F; the scales meet at -40.
    assert read_temperature_c("32F") == 0.0
    assert read_temperature_c("212 °F") == 100.0
    assert read_temperature_c("-40 deg F") == -40.0
    assert read_temperature_c("−5 C") == -5.0
    assert read_temperature_c("30 °C") == 30.0
    assert fault_of(read_temperature_c, "85").remedy == "did you mean `85 F` or `85 C`?"
    assert fault_of(read_temperature_c, "850 F").code == "units-out-of-range"
    assert fault_of(read_temperature_c, "85 K").code == "units-unreadable"


@pytest.mark.parametrize(
    ("text", "amount"),
    [
        ("$1,250.50", "1250.50"),
        ("1250.5", "1250.50"),
        ("165", "165.00"),
        ("-$5.00", "-5.00"),
        ("$-5.00", "-5.00"),
        ("USD 1,250.50", "1250.50"),
        ("1250 EUR", "1250.00"),
        ("€1,250", "1250.00"),
        ("£0.10", "0.10"),
    ],
)
def test_money_is_exact_to_the_cent(text: str, amount: str) -> None:
    assert read_money(text) == Decimal(amount)
    assert isinstance(read_money(text), Decimal)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("€1.250", "units-two-meanings"),
        ("1.2345", "units-two-meanings"),
        ("1.250,50", "units-unreadable"),
        ("1,2", "units-unreadable"),
        ("$", "units-unreadable"),
        ("$1e9", "units-unreadable"),
        ("-$-5", "units-unreadable"),
        ("$nan", "units-unreadable"),
        ("99999999999", "units-out-of-range"),
        ("", "units-empty"),
    ],
)
def test_unclear_money_is_asked(text: str, code: str) -> None:
    assert fault_of(read_money, text).code == code


def test_prices_by_volume() -> None:
    per_yard = 165 / 0.764554857984
    for text in ("$165/yd3", "165 per yd3", "$165 per cubic yard", "$165/cu. yd."):
        assert read_cost_per_m3(text, system="metric") == pytest.approx(per_yard, rel=1e-14)
    assert read_cost_per_m3("165", system="feet-inches") == pytest.approx(per_yard, rel=1e-14)
    assert read_cost_per_m3("165", system="metric") == 165.0
    assert fault_of(read_cost_per_m3, "165/ft", system="metric").code == "units-unreadable"


def test_shares() -> None:
    assert read_share("8%") == 0.08
    assert read_share("0.08") == 0.08
    assert read_share("100 %") == 1.0
    assert read_share("0") == 0.0
    assert fault_of(read_share, "8").remedy == "did you mean `8%`?"
    assert fault_of(read_share, "1").remedy == "did you mean `1%` or `100%`?"
    assert fault_of(read_share, "150%").code == "units-out-of-range"
    assert fault_of(read_share, "-1%").code == "units-out-of-range"


def test_counts_angles_and_plain_numbers() -> None:
    assert read_count("12") == 12
    assert isinstance(read_count("12"), int)
    assert fault_of(read_count, "2.5").code == "units-unreadable"
    assert fault_of(read_count, "-1").code == "units-out-of-range"
    assert read_angle_deg("45 deg") == 45.0
    assert read_angle_deg("-90°") == -90.0
    assert fault_of(read_angle_deg, "400").code == "units-out-of-range"
    assert read_number("1.5e-6") == 1.5e-6
    assert read_number("-0.25") == -0.25
    assert fault_of(read_number, "1e999").code == "units-unreadable"
    assert fault_of(read_number, "1e99").code == "units-out-of-range"
    assert fault_of(read_number, "1,250").code == "units-two-meanings"


@pytest.mark.parametrize(
    ("read", "text", "remedy"),
    [
        (read_pressure_pa, "4000", "did you mean `4000 psi` or `4000 MPa`?"),
        (read_mass_kg, "94", "did you mean `94 lb` or `94 kg`?"),
        (read_density_kg_per_m3, "150", "did you mean `150 lb/ft3` or `150 kg/m3`?"),
    ],
)
def test_a_missing_unit_is_asked(read: Callable[[str], float], text: str, remedy: str) -> None:
    assert fault_of(read, text).remedy == remedy


def test_a_comma_that_may_be_a_decimal_comma_is_asked() -> None:
    fault = fault_of(read_volume_m3, "1,500 m3", system="metric")
    assert fault.code == "units-two-meanings"
    assert "`1.500 m3` or `1500 m3`" in fault.remedy
    assert fault_of(read_volume_m3, "-1 yd3", system="metric").code == "units-out-of-range"
