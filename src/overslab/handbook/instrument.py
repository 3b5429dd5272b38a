"""The laser and the rod: two-stand check, reversal, curvature, rounding, spread of one reading.

Readings in metres, beam slopes in metres per metre.
"""

from __future__ import annotations

from math import degrees, sqrt

from overslab.handbook.working import formula


@formula(
    equation="s = ((b − a) − (b0 − a0))/(dB − dA)",
    symbols={
        "middle_a_m": "a0",
        "middle_b_m": "b0",
        "near_a_m": "a",
        "near_b_m": "b",
        "distance_to_a_m": "dA",
        "distance_to_b_m": "dB",
    },
    result=("beam_slope", "s"),
    source="two-peg question with pegs 80 m apart: 0.05 m in 100 m, homework site",
    known="read",
    valid="the first stand is as far from A as from B; positive: the beam rises and reads high",
    example={
        "middle_a_m": 1.32,
        "middle_b_m": 1.56,
        "near_a_m": 1.11,
        "near_b_m": 1.39,
        "distance_to_a_m": 10.0,
        "distance_to_b_m": 90.0,
    },
    example_result=0.0005,
)
def two_stand_slope(
    *,
    middle_a_m: float,
    middle_b_m: float,
    near_a_m: float,
    near_b_m: float,
    distance_to_a_m: float,
    distance_to_b_m: float,
) -> float:
    """Tilt of the beam from two marks read from midway and then from nearer one of them."""
    true_difference = middle_b_m - middle_a_m
    return ((near_b_m - near_a_m) - true_difference) / (distance_to_b_m - distance_to_a_m)


@formula(
    equation="r = a − s·d",
    symbols={"reading_m": "a", "beam_slope": "s", "distance_m": "d"},
    result=("level_reading_m", "r"),
    source="two-peg question with pegs 80 m apart: far reading 1.345 m, homework site",
    known="read",
    valid="the tilt is the same in the direction of the sight",
    example={"reading_m": 1.39, "beam_slope": 0.0005, "distance_m": 90.0},
    example_result=1.345,
)
def level_reading(*, reading_m: float, beam_slope: float, distance_m: float) -> float:
    """The reading a level beam would have given."""
    return reading_m - beam_slope * distance_m


@formula(
    equation="e = (r1 − r2)/2",
    symbols={"first_m": "r1", "turned_m": "r2"},
    result=("error_m", "e"),
    source="field check by reversal, manuals of rotary lasers",
    known="read",
    valid="same mark, same stand, the laser turned by 180 degrees between the readings",
    # Half of the difference; the numbers are a plain case by hand.
    example={"first_m": 1.204, "turned_m": 1.200},
    example_result=0.002,
)
def reversal_error(*, first_m: float, turned_m: float) -> float:
    """Error of the beam at a mark, from two readings with the laser turned round between them."""
    return (first_m - turned_m) / 2.0


@formula(
    equation="h = 0.0675·(K/1000)²",
    symbols={"distance_m": "K"},
    result=("drop_m", "h"),
    source="surveying texts: 0.0675·K² m, K in km (0.0206·F² ft, F in thousands of feet)",
    known="memory",
    valid="mean refraction; indoors and on one lot it may be left out",
    # At 100 ft (30.48 m): 0.0025 in = 0.0000627 m by either form.
    example={"distance_m": 30.48},
    example_result=0.0000627,
)
def curvature_and_refraction(*, distance_m: float) -> float:
    """How much too great a reading is because the earth curves and light bends."""
    return 0.0675 * (distance_m / 1000.0) ** 2


@formula(
    equation="u = q/√12",
    symbols={"step_m": "q"},
    result=("rounding_m", "u"),
    source="standard deviation of a uniform distribution of width q, closed form",
    known="derived",
    valid="a reading is rounded to the nearest step and may lie anywhere within it",
    # 0.01 ft = 0.12 in gives 0.0346 in, here in metres.
    example={"step_m": 0.003048},
    example_result=0.000880,
)
def rounding_deviation(*, step_m: float) -> float:
    """Standard deviation from reading a rod to the nearest step."""
    return step_m / sqrt(12.0)


@formula(
    equation="σ = √(u² + p² + (s·d)²)",
    symbols={
        "rounding_m": "u",
        "rod_deviation_m": "p",
        "laser_slope": "s",
        "distance_m": "d",
    },
    result=("deviation_m", "σ"),
    source="sum of independent variances: rounding, rod, beam",
    known="derived",
    valid="the parts err independently; d is the sight from the laser to the rod",
    example={
        "rounding_m": 0.0003,
        "rod_deviation_m": 0.0004,
        "laser_slope": 5e-5,
        "distance_m": 24.0,
    },
    example_result=0.0013,
)
def reading_deviation(
    *, rounding_m: float, rod_deviation_m: float, laser_slope: float, distance_m: float
) -> float:
    """Standard deviation of one rod reading."""
    return sqrt(rounding_m**2 + rod_deviation_m**2 + (laser_slope * distance_m) ** 2)


@formula(
    equation="σ = √(2·p² + (s·d)²)",
    symbols={"reading_m": "p", "laser_slope": "s", "distance_m": "d"},
    result=("deviation_m", "σ"),
    source="sum of independent variances: two rod readings and the beam",
    known="derived",
    valid="one set-up, the benchmark close to the laser, the point at the distance d",
    example={"reading_m": 0.002, "laser_slope": 5e-5, "distance_m": 20.0},
    example_result=0.003,
)
def height_deviation_one_setup(*, reading_m: float, laser_slope: float, distance_m: float) -> float:
    """Standard deviation of a height from one reading on the benchmark and one on the point."""
    return sqrt(2.0 * reading_m**2 + (laser_slope * distance_m) ** 2)


@formula(
    equation="s = e/D",
    symbols={"error_m": "e", "distance_m": "D"},
    result=("beam_slope", "s"),
    source="one rotary laser's manual prints ±2.0 mm at 30 m",
    known="read",
    valid="the error grows in proportion to the distance",
    example={"error_m": 0.002, "distance_m": 30.0},
    example_result=0.0000666667,
)
def beam_slope_from_error(*, error_m: float, distance_m: float) -> float:
    """Slope of a beam that is off by an error at a distance."""
    return error_m / distance_m


@formula(
    equation="e = s·d",
    symbols={"beam_slope": "s", "distance_m": "d"},
    result=("error_m", "e"),
    source="a line laser's manual: 0.0024 in per ft over 32 ft, printed 5/64 in (0.078)",
    known="read",
    valid="the error grows in proportion to the distance",
    # 0.0024/12 m/m over 32 ft = 9.7536 m; print: 5/64 in = 0.00198 m.
    example={"beam_slope": 0.0002, "distance_m": 9.7536},
    example_result=0.00195,
)
def beam_error(*, beam_slope: float, distance_m: float) -> float:
    """How far a tilted beam is off at a distance."""
    return beam_slope * distance_m


@formula(
    equation="A = 3600·(s in degrees)",
    symbols={"beam_slope": "s"},
    result=("beam_angle_arcsec", "A"),
    source="geometry; 1/16 in at 100 ft is 10.74 seconds of arc",
    known="derived",
    valid="small angles",
    # 1/16 in per 100 ft = 0.0625/1200.
    example={"beam_slope": 0.0625 / 1200.0},
    example_result=10.743,
)
def beam_angle(*, beam_slope: float) -> float:
    """A beam's slope as an angle in seconds of arc."""
    return 3600.0 * degrees(beam_slope)
