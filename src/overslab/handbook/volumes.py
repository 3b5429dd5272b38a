"""Volumes of concrete and of earth: the notebook's ways and the textbook's. Everything SI."""

from __future__ import annotations

import math
from collections.abc import Sequence

from overslab.ground.estimate import NORMAL_95
from overslab.handbook.working import formula

# Share that the notebook adds to area times thickness. Advice seen in trade magazines runs from 3 %
# on ground to 20 %; a tenth is the commonest (common practice).
NOTEBOOK_ALLOWANCE = 0.10


@formula(
    equation="V = A (t - g)",
    symbols={"area_m2": "A", "mean_top_height_m": "t", "mean_old_height_m": "g"},
    result=("volume_m3", "V"),
    source="definition: the integral of thickness is area times the difference of mean heights",
    known="derived",
    valid="both means taken over the same area; exact",
    # 576 sq ft and a mean of 5-1/3 in: 256 cu ft, 9.48 cu yd.
    example={"area_m2": 53.51215, "mean_top_height_m": 0.13546667, "mean_old_height_m": 0.0},
    example_result=7.2491,
)
def volume_between_surfaces_m3(
    *, area_m2: float, mean_top_height_m: float, mean_old_height_m: float
) -> float:
    """Concrete between the old floor and the new top."""
    return area_m2 * (mean_top_height_m - mean_old_height_m)


@formula(
    equation="U = 1.96 A d",
    symbols={"area_m2": "A", "mean_deviation_m": "d"},
    result=("plus_or_minus_m3", "U"),
    source="two-sided 95 % point of the normal distribution, NIST/SEMATECH e-Handbook 1.3.6.7.1",
    known="read",
    valid="the deviation is that of the mean height over the area, with everything that errs"
    " together; the spread of single heights would be far too small or far too large",
    # 1.959964 x 53.51215 m2 x 1 mm.
    example={"area_m2": 53.51215, "mean_deviation_m": 0.001},
    example_result=0.10488,
)
def volume_plus_or_minus_m3(*, area_m2: float, mean_deviation_m: float) -> float:
    """Half the width of the 95 % interval of a volume."""
    return NORMAL_95 * area_m2 * mean_deviation_m


@formula(
    equation="V = A t (1 + w)",
    symbols={"area_m2": "A", "thickness_m": "t", "allowance_share": "w"},
    result=("volume_m3", "V"),
    source="common practice of the trade: length times width times thickness, and a tenth",
    known="common practice",
    valid="a floor of even thickness; on a dished base the allowance scales the wrong number",
    # 576 sq ft at 4 in is 192 cu ft; with a tenth 211.2 cu ft.
    example={"area_m2": 53.51215, "thickness_m": 0.1016, "allowance_share": 0.10},
    example_result=5.9805,
)
def flat_volume_m3(*, area_m2: float, thickness_m: float, allowance_share: float) -> float:
    """Area times one thickness, with an allowance."""
    return area_m2 * thickness_m * (1 + allowance_share)


@formula(
    equation="V = A mean(h)",
    symbols={"area_m2": "A", "thicknesses_m": "h"},
    result=("volume_m3", "V"),
    source="engineering-exam grading question: 50 ft cell, corners 87.6 87.6 87.6 88.6 raised to"
    " 90, printed 199 cu yd (recomputed 199.07)",
    known="read",
    valid="exact for a plane over a rectangle when the places are its corners; elsewhere as good as"
    " the places are fair",
    example={
        "area_m2": 232.2576,
        "thicknesses_m": (0.73152, 0.73152, 0.73152, 0.42672),
    },
    example_result=152.2,
)
def mean_thickness_volume_m3(*, area_m2: float, thicknesses_m: Sequence[float]) -> float:
    """Area times the plain mean of thicknesses at a few places."""
    return area_m2 * math.fsum(thicknesses_m) / len(thicknesses_m)


@formula(
    equation="V = A (h + k) / 2",
    symbols={"area_m2": "A", "thickest_m": "h", "thinnest_m": "k"},
    result=("volume_m3", "V"),
    source="common practice of the trade: half way between the thickest and the thinnest",
    known="common practice",
    valid="right only where thickness runs evenly from one to the other",
    # 576 sq ft, 7 in and 4 in: 264 cu ft, 9.78 cu yd.
    example={"area_m2": 53.51215, "thickest_m": 0.1778, "thinnest_m": 0.1016},
    example_result=7.4756,
)
def middle_thickness_volume_m3(*, area_m2: float, thickest_m: float, thinnest_m: float) -> float:
    """Area times half the sum of the greatest and the least thickness."""
    return area_m2 * (thickest_m + thinnest_m) / 2


@formula(
    equation="V = A sum(c h) / sum(c)",
    symbols={"area_m2": "A", "cell_areas_m2": "c", "cell_thicknesses_m": "h"},
    result=("volume_m3", "V"),
    source="grid method of estimating: each cell's area times the mean of its four corners; trade"
    " magazine, cell by cell",
    known="read",
    valid="cells between shots on crossing lines; low over a dish and high over a crown; the cells'"
    " mean is carried over floor that no cell covers",
    # 24 ft square, dished 3 in, 3 x 3 shots: each 12 ft cell means (4 + 4 + 4 + 7) / 4 = 4.75 in.
    example={
        "area_m2": 53.51215,
        "cell_areas_m2": (13.37804, 13.37804, 13.37804, 13.37804),
        "cell_thicknesses_m": (0.12065, 0.12065, 0.12065, 0.12065),
    },
    example_result=6.4562,
)
def cells_volume_m3(
    *, area_m2: float, cell_areas_m2: Sequence[float], cell_thicknesses_m: Sequence[float]
) -> float:
    """Cell by cell: area of each grid cell times the mean thickness of its four corners."""
    weighed = math.fsum(c * h for c, h in zip(cell_areas_m2, cell_thicknesses_m, strict=True))
    return area_m2 * weighed / math.fsum(cell_areas_m2)


@formula(
    equation="V = c / 4 (sum(h1) + 2 sum(h2) + 3 sum(h3) + 4 sum(h4))",
    symbols={
        "cell_area_m2": "c",
        "depths_of_one_m": "h1",
        "depths_of_two_m": "h2",
        "depths_of_three_m": "h3",
        "depths_of_four_m": "h4",
    },
    result=("volume_m3", "V"),
    source="borrow-pit (unit-area) method, surveying and estimating textbooks",
    known="read",
    valid="square cells of one size; each depth stands under the number of cells that share it",
    # The same dish as above: corners 4 in, sides 4 in, middle 7 in.
    example={
        "cell_area_m2": 13.37804,
        "depths_of_one_m": (0.1016, 0.1016, 0.1016, 0.1016),
        "depths_of_two_m": (0.1016, 0.1016, 0.1016, 0.1016),
        "depths_of_three_m": (),
        "depths_of_four_m": (0.1778,),
    },
    example_result=6.4562,
)
def borrow_pit_volume_m3(
    *,
    cell_area_m2: float,
    depths_of_one_m: Sequence[float],
    depths_of_two_m: Sequence[float],
    depths_of_three_m: Sequence[float],
    depths_of_four_m: Sequence[float],
) -> float:
    """Volume over a grid of equal cells from depths sorted by how many cells share them."""
    shared = (depths_of_one_m, depths_of_two_m, depths_of_three_m, depths_of_four_m)
    return cell_area_m2 / 4 * math.fsum(n * math.fsum(h) for n, h in enumerate(shared, start=1))


@formula(
    equation="V = L (A + B) / 2",
    symbols={"length_m": "L", "first_m2": "A", "second_m2": "B"},
    result=("volume_m3", "V"),
    source="Wikibooks, Fundamentals of Transportation, Earthwork: with the pyramid rule at zero"
    " ends the printed fill of 4087.5 m3 comes out",
    known="read",
    valid="two like sections a length apart; over-states where a section shrinks to a point",
    example={"length_m": 50.0, "first_m2": 60.0, "second_m2": 50.0},
    example_result=2750.0,
)
def end_area_volume_m3(*, length_m: float, first_m2: float, second_m2: float) -> float:
    """Average end area: length times the mean of the two end sections."""
    return length_m * (first_m2 + second_m2) / 2


@formula(
    equation="V = L A / 3",
    symbols={"length_m": "L", "base_m2": "A"},
    result=("volume_m3", "V"),
    source="Wikibooks, Fundamentals of Transportation, Earthwork (cut between stations 75 and 100)",
    known="read",
    valid="a section that shrinks to a point; exact for a pyramid",
    example={"length_m": 25.0, "base_m2": 10.0},
    example_result=83.333,
)
def pyramid_volume_m3(*, length_m: float, base_m2: float) -> float:
    """A third of length times base."""
    return length_m * base_m2 / 3


@formula(
    equation="V = L (A + 4 M + B) / 6",
    symbols={"length_m": "L", "first_m2": "A", "middle_m2": "M", "second_m2": "B"},
    result=("volume_m3", "V"),
    source="Vose, Handbook of Railroad Construction, article 108: its first two stations, 50 ft"
    " apart, areas 0 and 137.5 sq ft, middle area 59.375 sq ft, computed again",
    known="read",
    valid="the middle section from the middle dimensions, not the mean of the areas; exact for"
    " every solid whose section is a polynomial of the third degree or less along its length",
    # 50 ft (0 + 4 x 59.375 + 137.5 sq ft) / 6 = 3125 cu ft.
    example={"length_m": 15.24, "first_m2": 0.0, "middle_m2": 5.516118, "second_m2": 12.774168},
    example_result=88.490,
)
def prismoidal_volume_m3(
    *, length_m: float, first_m2: float, middle_m2: float, second_m2: float
) -> float:
    """Prismoidal rule: end sections and four times the middle one."""
    return length_m * (first_m2 + 4 * middle_m2 + second_m2) / 6


@formula(
    equation="V = A (h + k + m) / 3",
    symbols={"plan_area_m2": "A", "first_m": "h", "second_m": "k", "third_m": "m"},
    result=("volume_m3", "V"),
    source="closed form: a prism under a plane triangle; z = xy over half the unit square is 1/6",
    known="derived",
    valid="area measured in plan; exact for plane facets of one sign",
    example={"plan_area_m2": 0.5, "first_m": 0.0, "second_m": 0.0, "third_m": 1.0},
    example_result=0.1667,
)
def triangle_prism_volume_m3(
    *, plan_area_m2: float, first_m: float, second_m: float, third_m: float
) -> float:
    """Volume under one triangle of a triangulated surface."""
    return plan_area_m2 * (first_m + second_m + third_m) / 3


@formula(
    equation="x = L c / (c + f)",
    symbols={"spacing_m": "L", "cut_m": "c", "fill_m": "f"},
    result=("from_cut_m", "x"),
    source="construction-estimating textbook, 50 ft grid: 0.1 ft cut, 0.3 ft fill meet at 12.5 ft",
    known="read",
    valid="height runs straight between the two places; cut and fill both counted upward from zero",
    example={"spacing_m": 15.24, "cut_m": 0.03048, "fill_m": 0.09144},
    example_result=3.81,
)
def zero_line_m(*, spacing_m: float, cut_m: float, fill_m: float) -> float:
    """Where cut turns to fill between two places, measured from the cut."""
    return spacing_m * cut_m / (cut_m + fill_m)
