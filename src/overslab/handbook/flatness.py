"""Flatness: floor numbers from readings 12 in apart along a line, how they combine, what they say.

The published constants belong to inches and to readings 12 in apart; the metric edition has its
own for 300 mm, which were not at hand. FF speaks of bumps, FL of level; on a floor that falls on
purpose FL says nothing. A line, a composite of lines and a pooled sample give different numbers:
name which one is reported. One garage rarely has the readings for a result by the standard.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, hypot, inf, pi, sqrt
from statistics import mean, stdev

from overslab.ground.units import to_customary, to_si
from overslab.handbook.limits import Advice, Row, declare, declare_rows
from overslab.handbook.publications import ASTM_E1155
from overslab.handbook.ranges import hold, within
from overslab.handbook.working import formula

# ASTM E1155 constants, inches (memory).
_FF_IN = 4.57
_FL_IN = 12.5
# Readings between the two of a level difference: 10 ft apart.
_STEPS_OF_LEVEL = 10
# Fewest heights that give two values, so that there is a spread.
LEAST_HEIGHTS_FLAT = 4
LEAST_HEIGHTS_LEVEL = _STEPS_OF_LEVEL + 2
_SAMPLE = f"{ASTM_E1155}; definitions read, constants from memory"

TEST_SECTION = (
    *declare_rows(
        Row("area of a test section", 320.0, ASTM_E1155, "", "memory"),
        topic="test section",
        quantity="area_m2",
        unit="ft2",
    ),
    *declare_rows(
        Row("side of a test section", 8.0, ASTM_E1155, "", "memory"),
        Row("length of a line of readings", 11.0, ASTM_E1155, "", "memory"),
        Row("distance between lines that run alike", 4.0, ASTM_E1155, "", "memory"),
        Row("distance of a line from edges and joints", 2.0, ASTM_E1155, "", "memory"),
        topic="test section",
        quantity="length_m",
        unit="ft",
    ),
    *declare_rows(
        Row(
            "hours from finishing to readings",
            72.0,
            "Concrete International, Concrete Patio Slope, quoting ACI 302.1R-04",
            "2004",
            "read",
        ),
        topic="test section",
        quantity="after_finishing_hours",
        bound="at most",
    ),
)
ADVICE = declare(
    Advice(
        "flatness",
        "Ramps and sloped floors are left out of the standard unless the parties agree.",
        ASTM_E1155,
        "",
        "memory",
    ),
)


def curvatures_m(heights_m: Sequence[float]) -> tuple[float, ...]:
    """q of every reading that has two before it: change of the difference between neighbours."""
    triples = zip(heights_m, heights_m[1:], heights_m[2:], strict=False)
    return tuple(last - 2 * middle + first for first, middle, last in triples)


def level_differences_m(heights_m: Sequence[float]) -> tuple[float, ...]:
    """z of every reading that has one ten steps before it."""
    pairs = zip(heights_m, heights_m[_STEPS_OF_LEVEL:], strict=False)
    return tuple(later - earlier for earlier, later in pairs)


def f_number(values_m: Sequence[float], *, constant_in: float) -> float:
    """Constant over three spreads and the mean's size; infinite when nothing departs."""
    inches = [to_customary(value, "in") for value in values_m]
    below = 3 * stdev(inches) + abs(mean(inches))
    # Rounding of a plane leaves about 1e-14 in; no floor is that flat.
    return constant_in / below if below > 1e-12 else inf


def _hold_heights(heights_m: Sequence[float], *, least: int) -> None:
    hold(
        within("heights_count", len(heights_m), least=least),
        *(within("heights_m", height) for height in heights_m),
        source=ASTM_E1155,
    )


@formula(
    equation="FF = 4.57/(3*S(q) + abs(mean(q))), q = h[i] - 2*h[i-1] + h[i-2] in inches",
    symbols={"heights_m": "h"},
    result=("flatness_number", "FF"),
    source=f"{_SAMPLE}; heights of a concrete test pad, Stanford Linear Accelerator Center 2003",
    known="memory",
    valid="one straight line, readings 12 in apart, at least 4 of them; S is the sample standard"
    " deviation; a plane gives no limit",
    # Line 0 of the pad: q agrees with the printed ones, FF is recomputed and not printed.
    example={
        "heights_m": (
            0.418617, 0.419938, 0.421894, 0.423748, 0.425221, 0.424739, 0.423799,
            0.424307, 0.425425, 0.424688, 0.423164, 0.422758, 0.420472, 0.416738,
        )
    },
    example_result=28.841,
)  # fmt: skip
def floor_flatness(*, heights_m: Sequence[float]) -> float:
    """FF of one line of heights: how bumpy it is; more is flatter."""
    _hold_heights(heights_m, least=LEAST_HEIGHTS_FLAT)
    return f_number(curvatures_m(heights_m), constant_in=_FF_IN)


@formula(
    equation="FL = 12.5/(3*S(z) + abs(mean(z))), z = h[i] - h[i-10] in inches",
    symbols={"heights_m": "h"},
    result=("levelness_number", "FL"),
    source=_SAMPLE,
    known="memory",
    valid="one straight line, readings 12 in apart, at least 12 of them; not for floors that fall"
    " on purpose",
    # Closed form: a plane of 1/8 in per ft rises 1.25 in over 10 ft.
    example={"heights_m": tuple(0.003175 * step for step in range(12))},
    example_result=10.0,
)
def floor_levelness(*, heights_m: Sequence[float]) -> float:
    """FL of one line of heights: how level it is over 10 ft; more is more level."""
    _hold_heights(heights_m, least=LEAST_HEIGHTS_LEVEL)
    return f_number(level_differences_m(heights_m), constant_in=_FL_IN)


@formula(
    equation="FL = 12.5/(120*s)",
    symbols={"slope": "s"},
    result=("levelness_number", "FL"),
    source="closed form: a plane rises 120*s inches over 10 ft",
    known="derived",
    valid="slope above 0; whatever the workmanship",
    # 1/4 in per ft: 5.0.
    example={"slope": 1 / 48},
    example_result=5.0,
)
def levelness_of_plane(*, slope: float) -> float:
    """FL that a perfect plane gets for its slope, which is why FL is not for floors that drain."""
    hold(within("slope", slope, above=0), source="closed form")
    return _FL_IN / (120 * slope)


@formula(
    equation="FF = 4.57/(3*sqrt(2)*a*(1 - cos(2*pi*12/w))), a and w in inches",
    symbols={"amplitude_m": "a", "wave_m": "w"},
    result=("flatness_number", "FF"),
    source="closed form: over whole waves the mean of q is 0",
    known="derived",
    valid="sine wave of height a above and below its middle, w at least 2 ft, whole waves read",
    # A wave of 4 ft has cos 90 degrees = 0: 4.57 / (3 * 1.41421 * 0.1).
    example={"amplitude_m": 0.1, "wave_m": 48.0},
    example_result=10.772,
    printed_in={"amplitude_m": "in", "wave_m": "in"},
)
def flatness_of_wave(*, amplitude_m: float, wave_m: float) -> float:
    """FF of an even wave."""
    hold(
        within("amplitude_m", amplitude_m, above=0, unit="in"),
        within("wave_m", wave_m, least=to_si(2, "ft") * (1 - 1e-12), unit="ft"),
        source="closed form",
    )
    turn = 1 - cos(2 * pi * 12 / to_customary(wave_m, "in"))
    return _FF_IN / (3 * sqrt(2) * to_customary(amplitude_m, "in") * turn)


@formula(
    equation="F = Fa*Fb*sqrt((ra + rb)/(ra*Fb^2 + rb*Fa^2))",
    symbols={
        "first_number": "Fa",
        "first_count": "ra",
        "second_number": "Fb",
        "second_count": "rb",
    },
    result=("combined_number", "F"),
    source=ASTM_E1155,
    known="memory",
    valid="two lines or sections; r their numbers of values",
    # Recomputed: 20 (100 values) with 30 (50 values).
    example={
        "first_number": 20.0,
        "first_count": 100,
        "second_number": 30.0,
        "second_count": 50,
    },
    example_result=22.156,
)
def combined_f_number(
    *, first_number: float, first_count: int, second_number: float, second_count: int
) -> float:
    """Composite of two floor numbers; it lies between them."""
    hold(
        within("first_number", first_number, above=0),
        within("first_count", first_count, least=1),
        within("second_number", second_number, above=0),
        within("second_count", second_count, least=1),
        source=ASTM_E1155,
    )
    one, other = sqrt(first_count) * second_number, sqrt(second_count) * first_number
    return first_number * second_number * sqrt(first_count + second_count) / hypot(one, other)


@formula(
    equation="F = (A1*F1 + A2*F2)/(A1 + A2)",
    symbols={
        "first_number": "F1",
        "first_m2": "A1",
        "second_number": "F2",
        "second_m2": "A2",
    },
    result=("overall_number", "F"),
    source=ASTM_E1155,
    known="memory",
    valid="areas of one floor, each with its composite number",
    # By hand: one third of 20 and two thirds of 35.
    example={"first_number": 20.0, "first_m2": 100.0, "second_number": 35.0, "second_m2": 200.0},
    example_result=30.0,
)
def overall_f_number(
    *, first_number: float, first_m2: float, second_number: float, second_m2: float
) -> float:
    """Overall floor number of two areas."""
    hold(
        within("first_number", first_number, above=0),
        within("first_m2", first_m2, above=0, unit="ft2"),
        within("second_number", second_number, above=0),
        within("second_m2", second_m2, above=0, unit="ft2"),
        source=ASTM_E1155,
    )
    total = first_m2 + second_m2
    return (first_m2 * first_number + second_m2 * second_number) / total


@formula(
    equation="n = 2*sqrt(A) up to 1600 ft2, A/30 above, A in ft2",
    symbols={"area_m2": "A"},
    result=("least_readings", "n"),
    source=f"{ASTM_E1155}; A/30 read on a trade page, the rest from memory",
    known="memory",
    valid="from 320 ft2; a smaller floor gives no result by the standard; as remembered the rule"
    " drops from 80 to 53 at 1600 ft2, so look at the print before relying on it",
    # By hand: 3000 / 30.
    example={"area_m2": 3000.0},
    example_result=100.0,
    printed_in={"area_m2": "ft2"},
)
def least_level_readings(*, area_m2: float) -> float:
    """Fewest level differences that make a test section a result by the standard."""
    hold(
        within("area_m2", area_m2, least=to_si(320, "ft2") * (1 - 1e-12), unit="ft2"),
        source=ASTM_E1155,
    )
    feet = to_customary(area_m2, "ft2")
    return 2 * sqrt(feet) if feet <= 1600 else feet / 30
