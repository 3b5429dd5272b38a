"""Levelling: heights from rod readings, misclosure, instrument checks, least squares, gross errors.

Heights and readings share one length unit, here metres. A bigger reading is a lower point.
``known="memory"`` marks a formula whose print was not at hand when it was written down.
"""

from __future__ import annotations

from math import degrees, sqrt
from statistics import NormalDist

from scipy import special

from overslab.handbook.working import formula

_PAGE = "NPTEL course 105107122, Surveying, module 4, exercise Ex13-1"
_NETWORK = "J. Mahun, Open Access Surveying, Elevations, ch. E, Level Network Adjustment"
_SNOOPING = "Data snooping as printed on a public survey help page; W. Baarda 1968"
_FGCC = "FGCC, Standards and Specifications for Geodetic Control Networks, 1984, section 3.5"


@formula(
    equation="HI = Z + BS",
    symbols={"benchmark_height_m": "Z", "backsight_m": "BS"},
    result=("instrument_m", "HI"),
    source=_PAGE,
    known="read",
    valid="the rod stands plumb on the benchmark; one length unit throughout",
    example={"benchmark_height_m": 150.485, "backsight_m": 1.205},
    example_result=151.690,
)
def height_of_instrument(*, benchmark_height_m: float, backsight_m: float) -> float:
    """Height of the laser's plane from a reading on a point of known height."""
    return benchmark_height_m + backsight_m


@formula(
    equation="Z = HI − FS",
    symbols={"instrument_m": "HI", "foresight_m": "FS"},
    result=("height_m", "Z"),
    source=f"{_PAGE}: first turning point 149.830",
    known="read",
    valid="the reading belongs to the same set-up as the height of instrument",
    example={"instrument_m": 151.690, "foresight_m": 1.860},
    example_result=149.830,
)
def height_from_reading(*, instrument_m: float, foresight_m: float) -> float:
    """Height of a point from the height of instrument and the reading on the point."""
    return instrument_m - foresight_m


@formula(
    equation="ΔZ = ΣBS − ΣFS",
    symbols={"backsights_m": "ΣBS", "foresights_m": "ΣFS"},
    result=("rise_m", "ΔZ"),
    source=f"{_PAGE}: 150.485 to 150.535",
    known="read",
    valid="turning points only, side shots left out; proves the arithmetic and not the measurement",
    example={"backsights_m": 11.720, "foresights_m": 11.670},
    example_result=0.050,
)
def page_check(*, backsights_m: float, foresights_m: float) -> float:
    """Rise from the first to the last point of a page, from the sums of back- and foresights."""
    return backsights_m - foresights_m


@formula(
    equation="c = M·i/n",
    symbols={"misclosure_m": "M", "setups_so_far": "i", "setups": "n"},
    result=("correction_m", "c"),
    source=f"{_NETWORK}; sign: M = known − measured",
    known="read",
    valid="set-ups of like care; M is known less measured, so the correction has its sign",
    # Third turning point of the page of NPTEL Ex13-1, M = -0.050 m in 8 set-ups:
    # 145.820 becomes 145.8013 (inputs from print, recomputed).
    example={"misclosure_m": -0.050, "setups_so_far": 3, "setups": 8},
    example_result=-0.01875,
)
def correction_by_setups(*, misclosure_m: float, setups_so_far: int, setups: int) -> float:
    """Share of a misclosure that falls on a point, spread evenly over the set-ups."""
    return misclosure_m * setups_so_far / setups


@formula(
    equation="c = M·d/D",
    symbols={"misclosure_m": "M", "distance_so_far_m": "d", "distance_m": "D"},
    result=("correction_m", "c"),
    source=f"{_NETWORK}; sign: M = known − measured",
    known="read",
    valid="M is known less measured, so the correction has its sign",
    # Level circuit of 30.500 km: 783.213 becomes 783.2550 (inputs from print, recomputed).
    example={"misclosure_m": 0.244, "distance_so_far_m": 5245.0, "distance_m": 30500.0},
    example_result=0.04196,
)
def correction_by_distance(
    *, misclosure_m: float, distance_so_far_m: float, distance_m: float
) -> float:
    """Share of a misclosure that falls on a point, spread by the distance run."""
    return misclosure_m * distance_so_far_m / distance_m


@formula(
    equation="E = e·√n",
    symbols={"per_setup_m": "e", "setups": "n"},
    result=("allowed_m", "E"),
    source="construction rule for levelling, E(total) = E(per set-up)·√n, from a levelling guide",
    known="read",
    valid="set-ups err independently of one another; the error allowed per set-up is the owner's",
    example={"per_setup_m": 0.0015, "setups": 4},
    example_result=0.003,
)
def allowable_by_setups(*, per_setup_m: float, setups: int) -> float:
    """Misclosure allowed for a loop or a tie that runs through a number of set-ups."""
    return per_setup_m * sqrt(setups)


@formula(
    equation="E = 0.012·√(K/1000)",
    symbols={"loop_m": "K"},
    result=("allowed_m", "E"),
    source=f"{_FGCC}: third order, 12 mm·√K, K in km",
    known="memory",
    valid="loops of a kilometre and more; on one floor the rule by set-ups is the one to use",
    example={"loop_m": 10_000.0},
    example_result=0.03795,
)
def allowable_third_order(*, loop_m: float) -> float:
    """Misclosure allowed for third-order levelling of a loop."""
    return 0.012 * sqrt(loop_m / 1000.0)


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


@formula(
    equation="S0 = √(V/(m − n))",
    symbols={"weighted_squares": "V", "readings": "m", "unknowns": "n"},
    result=("unit_weight_deviation", "S0"),
    source=(
        "P. Wolf and C. Ghilani, Adjustment Computations, 4th ed. 2006, example 12.1: "
        "vᵀWv 1.26976 from rounded residuals; 1.27212 and S0 0.65118 recomputed"
    ),
    known="read",
    valid="m > n; near 1 when weights are 1/σ² and the σ are true",
    example={"weighted_squares": 1.27212, "readings": 6, "unknowns": 3},
    example_result=0.65118,
)
def unit_weight_deviation(*, weighted_squares: float, readings: int, unknowns: int) -> float:
    """How big the residuals are for what was expected of them: 1 is as expected."""
    return sqrt(weighted_squares / (readings - unknowns))


@formula(
    equation="S = √(χ²(P, f)/f)",
    symbols={"probability": "P", "redundancy": "f"},
    result=("unit_weight_limit", "S"),
    source="chi-square distribution; 5 degrees of freedom, 95 %: 0.408 to 1.602",
    known="derived",
    valid="residuals are normal; f at least 1",
    example={"probability": 0.975, "redundancy": 5},
    example_result=1.602,
)
def unit_weight_limit(*, probability: float, redundancy: int) -> float:
    """The value that the standard deviation of unit weight stays under with a probability."""
    return sqrt(2.0 * float(special.gammaincinv(redundancy / 2.0, probability)) / redundancy)


@formula(
    equation="w = v/(σ·√r)",
    symbols={"residual_m": "v", "deviation_m": "σ", "redundancy_number": "r"},
    result=("standardized_residual", "w"),
    source=(
        f"{_SNOOPING}; network levelled both ways in the sample output of GNU Gama 1.5.09: "
        "largest 1.68 at the sixth reading"
    ),
    known="read",
    valid="0 < r ≤ 1; a reading with r = 0 is checked by nothing",
    # Sixth reading of that network: 2 -> 3 read -1.335. Four lines each measured there and back, so
    # r = 1 - 3/8, and v is 6.625 mm in size by dense least squares.
    example={"residual_m": 0.006625, "deviation_m": 0.005, "redundancy_number": 0.625},
    example_result=1.676,
)
def standardized_residual(
    *, residual_m: float, deviation_m: float, redundancy_number: float
) -> float:
    """A residual measured in its own standard deviation."""
    return residual_m / (deviation_m * sqrt(redundancy_number))


@formula(
    equation="k = Φ⁻¹(1 − α/2)",
    symbols={"significance": "α"},
    result=("critical", "k"),
    source="W. Baarda, A testing procedure for use in geodetic networks, 1968: 3.29 at 0.001",
    known="memory",
    valid="0 < α < 1; two-sided test of one reading with a known standard deviation",
    example={"significance": 0.001},
    example_result=3.29,
)
def baarda_critical(*, significance: float) -> float:
    """The standardized residual above which a reading is questioned."""
    return NormalDist().inv_cdf(1.0 - significance / 2.0)


@formula(
    equation="δ = Φ⁻¹(1 − α/2) + Φ⁻¹(P)",
    symbols={"significance": "α", "power": "P"},
    result=("noncentrality", "δ"),
    source="W. Baarda 1968: 4.13 for a test at 0.001 with power 0.80",
    known="memory",
    valid="0 < α < 1, 0 < P < 1",
    example={"significance": 0.001, "power": 0.80},
    example_result=4.13,
)
def baarda_noncentrality(*, significance: float, power: float) -> float:
    """How many standard deviations a slip must measure to be found with a given power."""
    return baarda_critical(significance=significance) + NormalDist().inv_cdf(power)


@formula(
    equation="MDB = δ·σ/√r",
    symbols={"noncentrality": "δ", "deviation_m": "σ", "redundancy_number": "r"},
    result=("least_slip_m", "MDB"),
    source=_SNOOPING,
    known="read",
    valid="0 < r ≤ 1; where r = 0 no slip of any size can be found",
    # A point shot twice has r = 1/2; σ 1 mm and δ 4.13 by hand: 4.13·√2.
    example={"noncentrality": 4.13, "deviation_m": 0.001, "redundancy_number": 0.5},
    example_result=0.005841,
)
def least_detectable_slip(
    *, noncentrality: float, deviation_m: float, redundancy_number: float
) -> float:
    """The smallest slip in one reading that the other readings would show."""
    return noncentrality * deviation_m / sqrt(redundancy_number)


@formula(
    equation="τ = √f·t/√(f − 1 + t²), t = t(1 − α/2; f − 1)",
    symbols={"redundancy": "f", "significance": "α"},
    result=("critical", "τ"),
    source="A. J. Pope 1976, tau distribution; f 5, α 0.05: 1.8143 (recomputed)",
    known="memory",
    valid="f at least 2; t is Student's t at 1 − α/2 with f − 1 degrees; σ not known beforehand",
    example={"redundancy": 5, "significance": 0.05},
    example_result=1.8143,
)
def tau_critical(*, redundancy: int, significance: float) -> float:
    """The limit of a standardized residual whose σ was taken from the same residuals."""
    t = float(special.stdtrit(redundancy - 1, 1.0 - significance / 2.0))
    return sqrt(redundancy) * t / sqrt(redundancy - 1 + t * t)
