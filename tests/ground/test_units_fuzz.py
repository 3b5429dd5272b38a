"""Anything may be typed: every reader gives a finite number or one plain fault."""

from __future__ import annotations

import math
import re
from collections.abc import Callable

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from overslab.ground.faults import Faulty
from overslab.ground.units import (
    SYSTEMS,
    System,
    read_by_suffix,
    read_length_m,
    read_money,
    read_pressure_pa,
    read_rod_m,
    read_share,
    read_slope,
    read_temperature_c,
    read_volume_m3,
)

# Text near what people type finds more than text at random.
SIGNS = list("/-−+.,'\"′″½⅜²%:$€() ")
WORDS = ["in", "ft", "mm", "m", "cm", "per", "F", "C", "psi", "MPa", "yd3", "m3", "gal", "USD"]
NUMBERS = ["0", "1", "4", "5", "9", "11", "12", "14", "59", "3/8", "1/2", "e", "nan", "inf", "(1%)"]
pieces = st.sampled_from([*SIGNS, *WORDS, *NUMBERS, *NUMBERS])
typed = st.one_of(st.lists(pieces, max_size=9).map("".join), st.text(max_size=70))
BELOW_THE_LINE = re.compile(r"yd3|m3|/ *[0-9]+|(:|per|in|/)[-+0-9./ ½⅜]*(in|ft|m|cm|mm|['\"′″])?$")
systems = st.sampled_from(SYSTEMS)

READERS: list[Callable[[str, System], object]] = [
    lambda text, system: read_length_m(text, system=system),
    lambda text, system: read_rod_m(text, system=system),
    lambda text, _: read_slope(text),
    lambda text, system: read_volume_m3(text, system=system),
    lambda text, _: read_temperature_c(text),
    lambda text, _: read_pressure_pa(text),
    lambda text, _: read_money(text),
    lambda text, _: read_share(text),
    lambda text, system: read_by_suffix("number", text, system=system),
    lambda text, system: read_by_suffix("cost_per_m3", text, system=system),
]


@given(text=typed, system=systems)
@settings(max_examples=3000, deadline=None, derandomize=True)
@example(text="x" * 10_000, system="metric")
@example(text="1e999", system="tenths")
@example(text="91,593/8 ft", system="metric")
@example(text="\x00", system="tenths")
@example(text="{}{what}", system="tenths")
def test_every_reader_gives_a_finite_number_or_one_fault(text: str, system: System) -> None:
    for read in READERS:
        try:
            value = read(text, system)
        except Faulty as faulty:
            (fault,) = faulty.faults
            assert all((fault.code, fault.what, fault.value, fault.limit, fault.remedy))
            assert len(str(fault)) < 2000
        else:
            assert math.isfinite(float(value))  # type: ignore[arg-type]
            # Only zero turns to zero, 32 F apart: no other digit stands above the line.
            if value == 0 and not re.search("f(?!t)", text.lower()):
                above = BELOW_THE_LINE.sub("", text)
                assert "0" in above
                assert not set("123456789½⅜") & set(above)


@pytest.mark.parametrize("read", [read_length_m, read_rod_m])
@given(feet=st.integers(0, 12), inches=st.integers(0, 11), eighths=st.integers(0, 7))
@settings(max_examples=150)
def test_every_way_of_writing_feet_and_inches_gives_the_same(
    read: Callable[..., float], feet: int, inches: int, eighths: int
) -> None:
    metres = (feet * 12 + inches + eighths / 8) * 0.0254
    for text in (
        f"{feet}' {inches} {eighths}/8\"",
        f"{feet}'-{inches} {eighths}/8\"",
        f"{feet}-{inches}-{eighths}/8",
        f"{feet} ft {inches}.{eighths * 125:03d} in",
        f"{feet * 12 + inches} {eighths}/8 in",
    ):
        assert read(text, system="feet-inches") == pytest.approx(metres, rel=1e-14)


@given(feet=st.integers(1, 24), inches=st.integers(0, 11))
def test_a_dash_and_a_point_never_give_a_number_in_the_same_survey(feet: int, inches: int) -> None:
    for system, refused in (
        ("feet-inches", f"{feet}.{inches:02d}"),
        ("feet-inches", f"{feet}.{inches}"),
        ("tenths", f"{feet}-{inches}"),
        ("metric", f"{feet}-{inches}"),
    ):
        with pytest.raises(Faulty) as caught:
            read_rod_m(refused, system=system)  # type: ignore[arg-type]
        told = str(caught.value)
        assert f"{feet} ft {inches} in" in told
        assert " ft" in told.replace(f"{feet} ft {inches} in", "")
