"""Tables of mix proportioning by ACI 211.1: water, air, water-cement ratio, coarse aggregate.

The US and the metric tables are rounded each for itself: 205 kg/m3 is 345.5 and not 340 lb/yd3, so
neither stands for the other. Stone sizes are the columns of the print; a size between is refused.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Literal

from overslab.ground.units import to_customary, to_si
from overslab.handbook.limits import Limit, Table, declare
from overslab.handbook.publications import ACI_211, CIVL_1112, PCA_EB001
from overslab.handbook.ranges import hold, not_in_table, within
from overslab.handbook.working import formula

AirExposure = Literal["none", "mild", "moderate", "severe"]
Rows = Mapping[bool, Sequence[tuple[tuple[float, float], Sequence[float]]]]

_COPY = f"{ACI_211}, table adapted in a university copy; second hand"
_METRIC_COPY = (
    f"{ACI_211}, metric twin in Advances in Civil Engineering 2018, 4398017, table 3; second hand"
)
_STONES_IN = (3 / 8, 1 / 2, 3 / 4, 1.0, 1.5, 2.0, 3.0)
_STONES_MM = (9.5, 12.5, 19.0, 25.0, 37.5, 50.0, 75.0)

# ACI 211.1-91 table 6.3.3, lb/yd3: not air-entrained and air-entrained, by slump in inches.
WATER_US: Rows = {
    False: (
        ((1.0, 2.0), (350.0, 335.0, 315.0, 300.0, 275.0, 260.0, 220.0)),
        ((3.0, 4.0), (385.0, 365.0, 340.0, 325.0, 300.0, 285.0, 245.0)),
        ((6.0, 7.0), (410.0, 385.0, 360.0, 340.0, 315.0, 300.0, 270.0)),
    ),
    True: (
        ((1.0, 2.0), (305.0, 295.0, 280.0, 270.0, 250.0, 240.0, 205.0)),
        ((3.0, 4.0), (340.0, 325.0, 305.0, 295.0, 275.0, 265.0, 225.0)),
        ((6.0, 7.0), (365.0, 345.0, 325.0, 310.0, 290.0, 280.0, 260.0)),
    ),
}
# The metric twin, kg/m3, by slump in millimetres. 150 stands as 148 in one copy (25-50, 37.5 mm).
WATER_METRIC: Rows = {
    False: (
        ((25.0, 50.0), (207.0, 199.0, 190.0, 179.0, 166.0, 154.0, 130.0)),
        ((75.0, 100.0), (228.0, 216.0, 205.0, 193.0, 181.0, 169.0, 145.0)),
        ((150.0, 175.0), (243.0, 228.0, 216.0, 202.0, 190.0, 178.0, 160.0)),
    ),
    True: (
        ((25.0, 50.0), (181.0, 175.0, 168.0, 160.0, 150.0, 142.0, 122.0)),
        ((75.0, 100.0), (202.0, 193.0, 184.0, 175.0, 165.0, 157.0, 133.0)),
        ((150.0, 175.0), (216.0, 205.0, 197.0, 184.0, 174.0, 166.0, 154.0)),
    ),
}
# The same table: entrapped air, then total air recommended by exposure, percent.
AIR: Mapping[AirExposure, Sequence[float]] = {
    "none": (3.0, 2.5, 2.0, 1.5, 1.0, 0.5, 0.3),
    "mild": (4.5, 4.0, 3.5, 3.0, 2.5, 2.0, 1.5),
    "moderate": (6.0, 5.5, 5.0, 4.5, 4.5, 4.0, 3.5),
    "severe": (7.5, 7.0, 6.0, 6.0, 5.5, 5.0, 4.5),
}
# ACI 211.1-91 table 6.3.4(a): psi at 28 days and w/c, weakest first. One university copy (CIVL
# 1112) adds 7000 psi 0.33 and, air-entrained, 6000 psi 0.32.
RATIO_US: Mapping[bool, Sequence[tuple[float, float]]] = {
    False: (
        (2000.0, 0.82), (3000.0, 0.68), (4000.0, 0.57), (5000.0, 0.48), (6000.0, 0.41),
        (7000.0, 0.33),
    ),
    True: ((2000.0, 0.74), (3000.0, 0.59), (4000.0, 0.48), (5000.0, 0.40), (6000.0, 0.32)),
}  # fmt: skip
# PCA EB001 table 9-3: MPa at 28 days and w/c.
RATIO_METRIC: Mapping[bool, Sequence[tuple[float, float]]] = {
    False: (
        (15.0, 0.79), (20.0, 0.69), (25.0, 0.61), (30.0, 0.54), (35.0, 0.47), (40.0, 0.42),
        (45.0, 0.38),
    ),
    True: (
        (15.0, 0.70), (20.0, 0.60), (25.0, 0.52), (30.0, 0.45), (35.0, 0.39), (40.0, 0.34),
        (45.0, 0.30),
    ),
}  # fmt: skip
# PCA EB001 table 9-4: volume of dry-rodded coarse aggregate per volume of concrete, by fineness
# modulus 2.40, 2.60, 2.80, 3.00. Stone in inches.
FINENESS = (2.40, 2.60, 2.80, 3.00)
COARSE_SHARE: Mapping[float, Sequence[float]] = {
    3 / 8: (0.50, 0.48, 0.46, 0.44),
    1 / 2: (0.59, 0.57, 0.55, 0.53),
    3 / 4: (0.66, 0.64, 0.62, 0.60),
    1.0: (0.71, 0.69, 0.67, 0.65),
    1.5: (0.75, 0.73, 0.71, 0.69),
    2.0: (0.78, 0.76, 0.74, 0.72),
    3.0: (0.82, 0.80, 0.78, 0.76),
    6.0: (0.87, 0.85, 0.83, 0.81),
}
SLUMP_LIMITS = declare(
    *(
        Limit(
            name=f"{word} slump for pavements and slabs",
            quantity="slump_m",
            value=to_si(inches, "in"),
            source=_COPY,
            edition="1991",
            known="read",
            note="add 1 in where it is not vibrated (memory)",
            topic=f"slump, {word}",
            bound="at least" if word == "least" else "at most",
        )
        for word, inches in (("least", 1.0), ("greatest", 3.0))
    ),
    Limit(
        name="slump added where the slab is not vibrated",
        quantity="slump_m",
        value=to_si(1.0, "in"),
        source=ACI_211,
        edition="1991",
        known="memory",
        topic="slump, by hand",
        bound="is",
        unit="in",
    ),
    *(
        Limit(
            name=f"{word} slump that flatwork is usually ordered at",
            quantity="slump_m",
            value=to_si(inches, "in"),
            source="trade pages on ordering concrete",
            edition="",
            known="read",
            note="give or take 1 to 1-1/2 in",
            topic="slump, as ordered",
            bound="at least" if word == "least" else "at most",
        )
        for word, inches in (("least", 3.0), ("greatest", 5.0))
    ),
    Limit(
        name="share by which coarse aggregate may be raised for pavement",
        quantity="raise_share",
        value=0.10,
        source=f"{PCA_EB001}, table 9-4, note to one copy",
        edition="",
        known="read",
        topic="coarse aggregate",
        bound="at most",
    ),
)


def _flat(name: str, grid: Rows, stones: Sequence[float], *, inches: bool) -> Table:
    length, mass = ("in", "lb/yd3") if inches else ("mm", "kg/m3")
    return Table(
        name=name,
        topic="mixing water",
        columns=("air", "least_slump_m", "most_slump_m", "stone_m", "water_kg_per_m3"),
        rows=tuple(
            ("air-entrained" if air else "not air-entrained", low, high, stone, water)
            for air, bands in grid.items()
            for (low, high), waters in bands
            for stone, water in zip(stones, waters, strict=True)
        ),
        source=_COPY if inches else _METRIC_COPY,
        edition="1991",
        known="read",
        printed_in={
            "least_slump_m": length,
            "most_slump_m": length,
            "stone_m": length,
            "water_kg_per_m3": mass,
        },
        note="" if inches else "25-50 mm slump, 37.5 mm, air-entrained: 148 in one copy",
    )


MIX_TABLES = declare(
    _flat("mixing water, US", WATER_US, _STONES_IN, inches=True),
    _flat("mixing water, metric", WATER_METRIC, _STONES_MM, inches=False),
    Table(
        name="air in concrete",
        topic="air",
        columns=("exposure", "stone_m", "air_share"),
        rows=tuple(
            (exposure, stone, air)
            for exposure, row in AIR.items()
            for stone, air in zip(_STONES_IN, row, strict=True)
        ),
        source=_COPY,
        edition="1991",
        known="read",
        printed_in={"stone_m": "in", "air_share": "%"},
    ),
    Table(
        name="coarse aggregate by fineness of the sand",
        topic="coarse aggregate",
        columns=("stone_m", "fineness_modulus", "coarse_share"),
        rows=tuple(
            (stone, fineness, share)
            for stone, row in COARSE_SHARE.items()
            for fineness, share in zip(FINENESS, row, strict=True)
        ),
        source=f"{PCA_EB001}, table 9-4, copy; second hand",
        edition="",
        known="read",
        printed_in={"stone_m": "in"},
    ),
)


def _column(stone_m: float, sizes: Sequence[float], *, unit: str, source: str) -> int:
    """Which column of print a stone is; metric names of a size lie within 2 percent of it."""
    stone = to_customary(stone_m, unit)
    for place, size in enumerate(sizes):
        if abs(stone - size) <= 0.02 * size:
            return place
    rows = ", ".join(f"{size:g}" for size in sizes)
    raise not_in_table("stone_m", f"{stone:.4g} {unit}", rows=f"{rows} {unit}", source=source)


def _straight(at: float, points: Sequence[tuple[float, float]]) -> float:
    """The value at ``at`` on straight lines through points in rising order."""
    for (low, left), (high, right) in pairwise(points):
        if at <= high:
            return left + (right - left) * (at - low) / (high - low)
    return points[-1][1]


def _water(grid: Rows, *, slump: float, column: int, air_entrained: bool) -> float:
    """Water by slump: flat inside a band of print, a straight line from band to band."""
    points = [(slump, waters[column]) for band, waters in grid[air_entrained] for slump in band]
    return _straight(slump, points)


_WATER_SYMBOLS = {"slump_m": "s", "stone_m": "D", "air_entrained": "A"}


@formula(
    equation="W = table(slump s, stone D, air-entrained A)",
    symbols=_WATER_SYMBOLS,
    result=("water_kg_per_m3", "W"),
    source=_COPY,
    known="read",
    valid="slump 1 to 7 in, stone 3/8 to 3 in of the columns; between the bands 1-2, 3-4 and 6-7 in"
    " a straight line (common practice); angular stone, no water reducer",
    example={"slump_m": 3.5, "stone_m": 0.75, "air_entrained": False},
    example_result=340.0,
    printed_in={"slump_m": "in", "stone_m": "in", "water_kg_per_m3": "lb/yd3"},
)
def mixing_water_us(*, slump_m: float, stone_m: float, air_entrained: bool) -> float:
    """Mixing water for a slump and a stone, US table of ACI 211.1."""
    inch = to_si(1.0, "in")
    hold(within("slump_m", slump_m, least=inch, most=7 * inch, unit="in"), source=ACI_211)
    column = _column(stone_m, _STONES_IN, unit="in", source=ACI_211)
    slump = to_customary(slump_m, "in")
    pounds = _water(WATER_US, slump=slump, column=column, air_entrained=air_entrained)
    return to_si(pounds, "lb/yd3")


@formula(
    equation="W = table(slump s, stone D, air-entrained A)",
    symbols=_WATER_SYMBOLS,
    result=("water_kg_per_m3", "W"),
    source=_METRIC_COPY,
    known="read",
    valid="slump 25 to 175 mm, stone 9.5 to 75 mm of the columns; between the bands a straight line"
    " (common practice); rounded apart from the US table",
    example={"slump_m": 0.090, "stone_m": 0.019, "air_entrained": False},
    example_result=205.0,
)
def mixing_water_metric(*, slump_m: float, stone_m: float, air_entrained: bool) -> float:
    """Mixing water for a slump and a stone, metric table of ACI 211.1."""
    hold(within("slump_m", slump_m, least=0.025, most=0.175, unit="mm"), source=ACI_211)
    column = _column(stone_m, _STONES_MM, unit="mm", source=ACI_211)
    slump = to_customary(slump_m, "mm")
    return _water(WATER_METRIC, slump=slump, column=column, air_entrained=air_entrained)


@formula(
    equation="a = table(stone D, exposure)",
    symbols={"stone_m": "D", "exposure": "exposure"},
    result=("air_share", "a"),
    source=_COPY,
    known="read",
    valid="stone 3/8 to 3 in of the columns; none: the air that is entrapped anyway",
    example={"stone_m": 0.75, "exposure": "moderate"},
    example_result=5.0,
    printed_in={"stone_m": "in", "air_share": "%"},
)
def air_aci_211(*, stone_m: float, exposure: AirExposure) -> float:
    """Air in fresh concrete by stone and exposure, ACI 211.1."""
    return to_si(AIR[exposure][_column(stone_m, _STONES_IN, unit="in", source=ACI_211)], "%")


@formula(
    equation="w = table(strength f, air-entrained A)",
    symbols={"strength_pa": "f", "air_entrained": "A"},
    result=("water_cement_ratio", "w"),
    source=f"{_COPY}; 7000 psi and 6000 psi air-entrained only in {CIVL_1112}",
    known="read",
    valid="average strength at 28 days 2000 to 7000 psi (air-entrained to 6000), a straight line"
    " between rows",
    example={"strength_pa": 4000.0, "air_entrained": True},
    example_result=0.48,
    printed_in={"strength_pa": "psi"},
)
def water_cement_ratio_us(*, strength_pa: float, air_entrained: bool) -> float:
    """Water-cement ratio for a strength at 28 days, US table of ACI 211.1."""
    rows = RATIO_US[air_entrained]
    least, most = (to_si(row[0], "psi") for row in (rows[0], rows[-1]))
    hold(within("strength_pa", strength_pa, least=least, most=most, unit="psi"), source=ACI_211)
    return _straight(to_customary(strength_pa, "psi"), rows)


@formula(
    equation="f = table(ratio w, air-entrained A)",
    symbols={"water_cement_ratio": "w", "air_entrained": "A"},
    result=("strength_pa", "f"),
    source=f"{_COPY}, read the other way",
    known="read",
    valid="w/c 0.33 to 0.82 (air-entrained 0.32 to 0.74), a straight line between rows",
    example={"water_cement_ratio": 0.57, "air_entrained": False},
    example_result=4000.0,
    printed_in={"strength_pa": "psi"},
)
def strength_for_ratio_us(*, water_cement_ratio: float, air_entrained: bool) -> float:
    """Strength at 28 days that a water-cement ratio gives, US table of ACI 211.1."""
    rows = [(ratio, strength) for strength, ratio in reversed(RATIO_US[air_entrained])]
    hold(
        within("water_cement_ratio", water_cement_ratio, least=rows[0][0], most=rows[-1][0]),
        source=ACI_211,
    )
    return to_si(_straight(water_cement_ratio, rows), "psi")


@formula(
    equation="w = table(strength f, air-entrained A)",
    symbols={"strength_pa": "f", "air_entrained": "A"},
    result=("water_cement_ratio", "w"),
    source=f"{PCA_EB001}, table 9-3, copy; second hand",
    known="read",
    valid="average strength at 28 days 15 to 45 MPa, a straight line between rows",
    example={"strength_pa": 25.0, "air_entrained": False},
    example_result=0.61,
    printed_in={"strength_pa": "MPa"},
)
def water_cement_ratio_metric(*, strength_pa: float, air_entrained: bool) -> float:
    """Water-cement ratio for a strength at 28 days, metric table."""
    hold(within("strength_pa", strength_pa, least=15e6, most=45e6, unit="MPa"), source=PCA_EB001)
    return _straight(to_customary(strength_pa, "MPa"), RATIO_METRIC[air_entrained])


@formula(
    equation="b = table(stone D, fineness modulus F)",
    symbols={"stone_m": "D", "fineness_modulus": "F"},
    result=("coarse_share", "b"),
    source=f"{PCA_EB001}, table 9-4, copy; {CIVL_1112}: 3/4 in, 2.70 gives 0.63",
    known="read",
    valid="stone 3/8 to 6 in of the rows, fineness modulus 2.40 to 3.00, a straight line between;"
    " may be raised about 10 percent for pavement",
    example={"stone_m": 0.75, "fineness_modulus": 2.70},
    example_result=0.63,
    printed_in={"stone_m": "in"},
)
def coarse_aggregate_share(*, stone_m: float, fineness_modulus: float) -> float:
    """Dry-rodded volume of coarse aggregate in a volume of concrete (b/bo)."""
    hold(within("fineness_modulus", fineness_modulus, least=2.40, most=3.00), source=PCA_EB001)
    sizes = tuple(COARSE_SHARE)
    row = COARSE_SHARE[sizes[_column(stone_m, sizes, unit="in", source=PCA_EB001)]]
    return _straight(fineness_modulus, tuple(zip(FINENESS, row, strict=True)))
