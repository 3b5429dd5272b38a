"""Lengths and rod readings as people type them.

The inch is 25.4 mm and the foot 304.8 mm exactly (NIST Special Publication 811, 2008 edition,
Appendix B.8); every expected value is that arithmetic by hand.
"""

from __future__ import annotations

import re

import pytest

from overslab.ground.faults import Fault, Faulty
from overslab.ground.units import SYSTEMS, System, Units, read_length_m, read_rod_m, write_thickness

FIVE_FOUR_THREE_EIGHTHS_M = 64.375 * 25.4 / 1000


def the_fault(text: str, system: System, *, rod: bool = False) -> Fault:
    with pytest.raises(Faulty) as caught:
        (read_rod_m if rod else read_length_m)(text, system=system)
    assert len(caught.value.faults) == 1
    return caught.value.faults[0]


def suggested(fault: Fault) -> list[str]:
    return re.findall(r"`([^`]+)`", fault.remedy)


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("5' 4 3/8\"", FIVE_FOUR_THREE_EIGHTHS_M),
        ("5'-4 3/8\"", FIVE_FOUR_THREE_EIGHTHS_M),
        ("5'-4-3/8\"", FIVE_FOUR_THREE_EIGHTHS_M),
        ("5'4.375\"", FIVE_FOUR_THREE_EIGHTHS_M),
        ("5' 4 3/8", FIVE_FOUR_THREE_EIGHTHS_M),
        ("5' 4⅜\"", FIVE_FOUR_THREE_EIGHTHS_M),
        ("5′ 4⅜″", FIVE_FOUR_THREE_EIGHTHS_M),
        ("5’ 4 3⁄8”", FIVE_FOUR_THREE_EIGHTHS_M),
        ("5' 4 3/8''", FIVE_FOUR_THREE_EIGHTHS_M),
        ("5 ft 4 3/8 in", FIVE_FOUR_THREE_EIGHTHS_M),
        ("5 FT. 4 3/8 IN.", FIVE_FOUR_THREE_EIGHTHS_M),
        ("5\u00a0feet 4-3/8\u2009inches", FIVE_FOUR_THREE_EIGHTHS_M),
        ("64.375 in", FIVE_FOUR_THREE_EIGHTHS_M),
        ("64-3/8\"", FIVE_FOUR_THREE_EIGHTHS_M),
        ("5ft 4in", 1.6256),
        ("5.365 ft", 1.635252),
        ("5.36'", 1.633728),
        ("1.635 m", 1.635),
        ("1635 mm", 1.635),
        ("163.5 cm", 1.635),
        ("1,250 mm", 1.25),
        ("１６３５ mm", 1.635),
        ("5½ in", 0.1397),
        ("13/16 in", 0.0206375),
        ("1 1/2\"", 0.0381),
        ("-1/8\"", -0.003175),
        ("−1/8\"", -0.003175),
        ("–1/8\"", -0.003175),
        ("－1/8\"", -0.003175),
        ("-5' 4\"", -1.6256),
        ("+5 in", 0.127),
        ("5' 0\"", 1.524),
        ("0' 3/8\"", 0.009525),
        (".5 in", 0.0127),
        ("0", 0.0),
        ("-0", 0.0),
    ],
)  # fmt: skip
def test_a_length_with_its_unit_is_read_in_any_system(
    text: str, metres: float, system: System
) -> None:
    assert read_length_m(text, system=system) == pytest.approx(metres, rel=1e-15, abs=1e-18)


@pytest.mark.parametrize(
    ("text", "system", "metres"),
    [
        ("64 3/8", "feet-inches", FIVE_FOUR_THREE_EIGHTHS_M),
        ("64-3/8", "feet-inches", FIVE_FOUR_THREE_EIGHTHS_M),
        ("5-4-3/8", "feet-inches", FIVE_FOUR_THREE_EIGHTHS_M),
        ("5-4 3/8", "feet-inches", FIVE_FOUR_THREE_EIGHTHS_M),
        ("-5-4-3/8", "feet-inches", -FIVE_FOUR_THREE_EIGHTHS_M),
        ("5-4", "feet-inches", 1.6256),
        ("24", "feet-inches", 0.6096),
        ("-1/8", "feet-inches", -0.003175),
        ("5.365", "tenths", 1.635252),
        ("24", "tenths", 7.3152),
        ("1.635", "metric", 1.635),
        ("1635", "metric", 1.635),
        ("10", "metric", 0.010),
        ("99.5", "metric", 99.5),
    ],
)
def test_a_bare_number_follows_the_rule_of_its_system(
    text: str, system: System, metres: float
) -> None:
    assert read_length_m(text, system=system) == pytest.approx(metres, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "system", "code", "meant"),
    [
        ("64.375", "feet-inches", "units-two-meanings", ["64.375 ft", "64.375 in"]),
        ("4.11", "feet-inches", "units-two-meanings", ["4.11 ft", "4' 11\""]),
        ("4-11", "tenths", "units-two-meanings", ["4.11 ft", "4' 11\""]),
        ("5 4", "feet-inches", "units-two-meanings", ["5' 4\"", "5.4 ft"]),
        ("4-5-6", "feet-inches", "units-two-meanings", ["4' 5 3/4\"", "4' 5 3/8\""]),
        ("-1/8", "tenths", "units-two-meanings", ["-1/8 in", "-0.125 ft"]),
        ("5-4-3/8", "metric", "units-no-unit", ["5' 4 3/8\""]),
        ("5", "metric", "units-two-meanings", ["5 m", "5 mm"]),
        ("1635.5", "metric", "units-two-meanings", ["1635.5 m", "1635.5 mm"]),
        ("1,250", "metric", "units-two-meanings", ["1.250 m", "1250 mm"]),
        ("1,635 m", "metric", "units-two-meanings", ["1.635 m", "1635 m"]),
        ("5' 14\"", "feet-inches", "units-inches-carry", ["6' 2\"", "5' 1/4\"", "5' 4\""]),
        ("5-14", "feet-inches", "units-inches-carry", ["6' 2\"", "5' 1/4\"", "5' 4\""]),
        ("5' 12 1/2\"", "feet-inches", "units-inches-carry", ["6' 1/2\""]),
        ("5.5' 4\"", "feet-inches", "units-two-meanings", ["5.5 ft", "5' 4\""]),
        ("3/0", "feet-inches", "units-zero-below", ["3/8", "3"]),
        ("17/16", "feet-inches", "units-inch-fraction", ["1 1/16 in", "1 7/16 in"]),
        ("4 17/16 in", "metric", "units-inch-fraction", ["5 1/16 in"]),
        ("4 3/7 in", "tenths", "units-inch-fraction", ["4 7/16 in"]),
        ("--5", "feet-inches", "units-unreadable", ["-5", "5"]),
        ("5,4 in", "metric", "units-unreadable", ["5.4 in", "54 in"]),
        ("1e3", "metric", "units-unreadable", ["1000"]),
        ("O.5 in", "metric", "units-unreadable", ["0.5 in"]),
        ("4..11 ft", "metric", "units-unreadable", ["4.11 ft"]),
    ],
)
def test_what_is_unclear_is_asked_with_its_meanings(
    text: str, system: System, code: str, meant: list[str]
) -> None:
    fault = the_fault(text, system)
    assert fault.code == code
    assert suggested(fault) == meant
    for way in meant:
        read_length_m(way, system=system)


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "units-empty"),
        ("   ", "units-empty"),
        ("\t\n", "units-empty"),
        ("9" * 10_000, "units-too-long"),
        ("1e999", "units-unreadable"),
        ("nan", "units-unreadable"),
        ("NaN in", "units-unreadable"),
        ("inf", "units-unreadable"),
        ("-infinity ft", "units-unreadable"),
        ("5² in", "units-unreadable"),
        ("٣ in", "units-unreadable"),
        ("1/2/3 in", "units-unreadable"),
        ("5' 4\" 3", "units-unreadable"),
        ("5 in 4 ft", "units-unreadable"),
        ("5 mi", "units-unreadable"),
        ("10 mil", "units-unreadable"),
        ("- in", "units-unreadable"),
        ("ft", "units-unreadable"),
        ("5' - - 4\"", "units-unreadable"),
        ("+-5 in", "units-unreadable"),
        ("3/0 in", "units-zero-below"),
        ("0/0 in", "units-zero-below"),
        ("9" * 50 + " ft", "units-out-of-range"),
        ("20000 m", "units-out-of-range"),
    ],
)
def test_nonsense_is_refused_and_never_zero(text: str, code: str, system: System) -> None:
    fault = the_fault(text, system)
    assert fault.code == code
    assert all((fault.what, fault.value, fault.limit, fault.remedy))
    assert len(fault.value) < 90


@pytest.mark.parametrize(
    ("text", "system", "metres"),
    [
        ("4-11", "feet-inches", 59 * 0.0254),
        ("4' 11\"", "feet-inches", 59 * 0.0254),
        ("4'-11\"", "feet-inches", 59 * 0.0254),
        ("59", "feet-inches", 59 * 0.0254),
        ("59 1/2", "feet-inches", 59.5 * 0.0254),
        ("59.5 in", "feet-inches", 59.5 * 0.0254),
        ("4-11-1/2", "feet-inches", 59.5 * 0.0254),
        ("5 ft", "feet-inches", 1.524),
        ("8 1/2", "feet-inches", 8.5 * 0.0254),
        ("4.11", "tenths", 4.11 * 0.3048),
        ("4.11 ft", "tenths", 4.11 * 0.3048),
        ("4.11'", "tenths", 4.11 * 0.3048),
        ("5", "tenths", 1.524),
        ("1.635", "metric", 1.635),
        ("1635", "metric", 1.635),
        ("1635 mm", "metric", 1.635),
        ("1.635 m", "metric", 1.635),
        ("0", "feet-inches", 0.0),
    ],
)
def test_a_rod_reading_in_the_locked_convention(text: str, system: System, metres: float) -> None:
    assert read_rod_m(text, system=system) == pytest.approx(metres, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "system"),
    [
        ("4.11", "feet-inches"),
        ("4.11'", "feet-inches"),
        ("4-11", "tenths"),
        ("4' 11\"", "tenths"),
        ("4-11", "metric"),
        ("4.11 ft", "metric"),
    ],
)
def test_4_11_and_4_dash_11_are_never_taken_for_each_other(text: str, system: System) -> None:
    fault = the_fault(text, system, rod=True)
    assert fault.code == "units-wrong-convention"
    assert "4.11 ft" in fault.what
    assert "4 ft 11 in" in fault.what
    # 4.11 ft is 1.2527 m or 4' 1 5/16"; 4 ft 11 in is 1.4986 m or 4.917 ft.
    writes = {
        "feet-inches": ("4' 1 5/16\"", "4' 11\""),
        "tenths": ("4.110 ft", "4.917 ft"),
        "metric": ("1.253 m", "1.499 m"),
    }[system]
    for way, metres in zip(writes, (4.11 * 0.3048, 59 * 0.0254), strict=True):
        assert f"`{way}`" in fault.remedy
        assert read_rod_m(way, system=system) == pytest.approx(metres, abs=0.001)


@pytest.mark.parametrize(
    ("text", "system", "code", "words"),
    [
        ("5", "feet-inches", "units-two-meanings", "5 ft 0 in"),
        ("5-3/8", "feet-inches", "units-two-meanings", "5 ft 0 3/8 in"),
        ("411", "feet-inches", "units-two-meanings", "4 ft 11 in"),
        ("1,635", "metric", "units-two-meanings", "1.635 m"),
        ("411", "tenths", "units-out-of-range", "`4.11`"),
        ("1635.5", "metric", "units-out-of-range", "`1635.5 mm`"),
        ("5", "metric", "units-two-meanings", "5 mm"),
        ("-4-11", "feet-inches", "units-out-of-range", "`4-11`"),
        ("-4.11", "tenths", "units-out-of-range", "`4.11`"),
        ("1.635 m", "feet-inches", "units-wrong-convention", "5' 4 3/8\""),
        ("1635 mm", "tenths", "units-wrong-convention", "5.364"),
        ("59 1/2", "tenths", "units-wrong-convention", "4.958"),
        ("59.5 in", "metric", "units-wrong-convention", "1.511"),
        ("31 ft", "feet-inches", "units-out-of-range", "31'"),
    ],
)
def test_a_rod_reading_outside_the_convention_is_asked(
    text: str, system: System, code: str, words: str
) -> None:
    fault = the_fault(text, system, rod=True)
    assert fault.code == code
    assert words in fault.what + fault.remedy


def test_numbers_of_a_file_are_read_as_they_would_be_typed() -> None:
    assert read_length_m(5.365, system="tenths") == read_length_m("5.365", system="tenths")
    assert read_length_m(1e-3, system="metric") == 0.001
    assert read_length_m(1635, system="metric") == 1.635
    assert the_fault(float("nan"), "metric").code == "units-unreadable"  # type: ignore[arg-type]
    assert the_fault(float("inf"), "metric").code == "units-unreadable"  # type: ignore[arg-type]
    assert the_fault(True, "metric").code == "units-unreadable"


def test_decimal_feet_are_the_inches_of_the_table() -> None:
    """0.01 0.04 0.05 0.42 0.71 ft are 0.12 0.48 0.60 5.04 8.52 in, here to the nearest 1/16."""
    sixteenths = Units("feet-inches", 0.0254 / 16)
    table = {"0.01": "1/8", "0.04": "1/2", "0.05": "5/8", "0.42": "5 1/16", "0.71": "8 1/2"}
    for feet, inches in table.items():
        metres = read_length_m(feet, system="tenths")
        assert write_thickness(metres, sixteenths) == f"{inches} in"
