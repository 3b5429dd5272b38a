"""Levelling: heights from rod readings, and how a misclosure is judged and shared out.

Heights and readings share one length unit, here metres. A bigger reading is a lower point.
``known="memory"`` marks a formula whose print was not at hand when it was written down.
"""

from __future__ import annotations

from math import sqrt

from overslab.handbook.working import formula

_PAGE = "NPTEL course 105107122, Surveying, module 4, exercise Ex13-1"
_NETWORK = "J. Mahun, Open Access Surveying, Elevations, ch. E, Level Network Adjustment"
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
