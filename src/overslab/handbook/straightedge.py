"""Straightedge: the gap under it, what floor numbers amount to as a gap, tolerance tables.

Gap and floor number are tied only roughly: one source equates 1/8 in in 10 ft with FF 50, another
with 100. Say approximate.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from itertools import pairwise
from math import floor

from overslab.ground.units import to_si
from overslab.handbook.limits import Row, Table, declare, declare_rows
from overslab.handbook.publications import (
    ACI_117,
    CONCRETE_CONSTRUCTION,
    DIN_18202,
    REMODELLING,
    TOLERANCE_CHAPTER,
)
from overslab.handbook.ranges import hold, not_in_table, within
from overslab.handbook.working import formula

_CSA = "CSA A23.1, method for straightedges (second hand)"
_TABLE_117 = f"{ACI_117}, Table 4.8.5.1"
_DIN_TABLE = f"{DIN_18202}, Table 3, as reproduced on a flooring consultancy's page"
_SAME_M = 1e-9
# The edge is slid by this part of its length at a time.
_STANDS = 64

# Dimensional tolerances in construction: gap under an unlevelled 10 ft edge, printed in 1/16 in.
GAPS_OF_FLATNESS = declare(
    Table(
        name="floor number FF and the gap under a 10 ft straightedge",
        topic="flatness as a gap",
        columns=("flatness_number", "gap_m"),
        rows=((12, 0.5), (20, 0.3125), (25, 0.25), (32, 0.1875), (50, 0.125)),
        source=TOLERANCE_CHAPTER,
        edition="",
        known="read",
        printed_in={"gap_m": "in"},
        note="approximate; a magazine page says 1/8 in in 10 ft equals 100",
    )
)[0]
# ACI 117-10 Table 4.8.5.1: specified overall values; local ones are 3/5 of these.
FLOOR_CLASSES = declare(
    Table(
        name="floor classes by floor numbers, specified overall",
        topic="floor class",
        columns=("floor_class", "flatness_number", "levelness_number"),
        rows=(
            ("conventional", 20, 15),
            ("moderately flat", 25, 20),
            ("flat", 35, 25),
            ("very flat", 45, 35),
            ("super-flat", 60, 40),
        ),
        source=f"{_TABLE_117} (second hand)",
        edition="2010",
        known="read",
    )
)[0]
LOCAL_PART = declare_rows(
    Row("least local floor number over the overall one", 0.6, _TABLE_117, "2010", "read"),
    topic="floor class",
    quantity="part",
)
# DIN 18202 Table 3, gaps in mm by distance of the points it rests on.
DIN_TABLE = declare(
    Table(
        name="flatness tolerances",
        topic="flatness",
        columns=("span_m", "row_1_m", "row_2_m", "row_3_m", "row_4_m"),
        rows=((0.1, 10, 5, 2, 1), (1.0, 15, 8, 4, 3), (4.0, 20, 12, 10, 9),
              (10.0, 25, 15, 12, 12), (15.0, 30, 20, 15, 15)),
        source=f"{_DIN_TABLE} (second hand)",
        edition="",
        known="read",
        printed_in={f"row_{row}_m": "mm" for row in range(1, 5)},
        note="row 1 raw slabs, 2 raw with higher demands, 3 finished, 4 finished with higher"
        " demands; the widest column holds beyond 15 m",
    )
)[0]  # fmt: skip
BS_8204 = declare_rows(
    Row("gap under a 2 m straightedge, SR1", 3.0, "BS 8204", "", "memory"),
    Row("gap under a 2 m straightedge, SR2", 5.0, "BS 8204", "", "memory"),
    Row("gap under a 2 m straightedge, SR3", 10.0, "BS 8204", "", "memory"),
    topic="flatness",
    quantity="gap_m",
    unit="mm",
    bound="at most",
)
OTHER_FLATNESS = declare_rows(
    Row("unevenness in 32 in, rooms lived in", 0.25, REMODELLING, "", "read",
        "not for floors made to drain"),
    Row("gap under 10 ft that equals FF 100 by a magazine", 0.125, CONCRETE_CONSTRUCTION, "",
        "read"),
    topic="flatness",
    quantity="gap_m",
    unit="in",
    bound="at most",
)  # fmt: skip
TOP_ELEVATION = declare_rows(
    Row("top of a slab on the ground, up or down", 0.75, "federal guide specification page", "",
        "read", "also quoted from ACI 117-90"),
    topic="elevation of the top",
    quantity="off_m",
    unit="in",
    bound="at most",
)  # fmt: skip


@formula(
    equation="g = 6.25/FF",
    symbols={"flatness_number": "FF"},
    result=("gap_m", "g"),
    source=f"{TOLERANCE_CHAPTER}: FF 25 is about 1/4 in",
    known="read",
    valid="about; FF 12 to 50, gap under an unlevelled 10 ft edge; FF times gap lies from 6.0 to"
    " 6.25 in the print, and another source differs by two",
    example={"flatness_number": 25.0},
    example_result=0.25,
    printed_in={"gap_m": "in"},
)
def gap_of_flatness(*, flatness_number: float) -> float:
    """About how wide a gap under a 10 ft straightedge a floor number FF amounts to."""
    hold(within("flatness_number", flatness_number, above=0), source=TOLERANCE_CHAPTER)
    return to_si(6.25 / flatness_number, "in")


@formula(
    equation="g = Table 3, row n, between its columns at d",
    symbols={"span_m": "d", "row": "n"},
    result=("gap_m", "g"),
    source=f"{_DIN_TABLE} (second hand)",
    known="read",
    valid="rows 1 to 4; straight between columns, to a whole mm; from 15 m on the last column;"
    " the standard reads it off a figure",
    # Row 3, finished floors, at 4 m.
    example={"span_m": 4.0, "row": 3},
    example_result=0.010,
)
def gap_din_18202(*, span_m: float, row: int) -> float:
    """Gap allowed under a straightedge between points ``span_m`` apart."""
    hold(within("span_m", span_m, least=0.1), source=DIN_18202)
    if row not in (1, 2, 3, 4):
        raise not_in_table("row", row, rows="rows 1 to 4", source=DIN_18202)
    spans = [float(entry[0]) for entry in DIN_TABLE.rows]
    gaps = [float(entry[row]) for entry in DIN_TABLE.rows]
    if span_m >= spans[-1]:
        return to_si(gaps[-1], "mm")
    right = max(bisect_left(spans, span_m), 1)
    left = right - 1
    part = (span_m - spans[left]) / (spans[right] - spans[left])
    return to_si(floor(gaps[left] + part * (gaps[right] - gaps[left]) + 0.5 + _SAME_M), "mm")


@formula(
    equation="g = c*L^2/4",
    symbols={"curve_per_m": "c", "straightedge_m": "L"},
    result=("gap_m", "g"),
    source="closed form: floor of height c times distance squared",
    known="derived",
    valid="hollow of even curve, the edge rests on its ends",
    # By hand: 0.002 per metre under 3 m.
    example={"curve_per_m": 0.002, "straightedge_m": 3.0},
    example_result=0.0045,
)
def gap_of_hollow(*, curve_per_m: float, straightedge_m: float) -> float:
    """Gap in the middle of a straightedge over a round hollow."""
    hold(
        within("curve_per_m", curve_per_m, least=0),
        within("straightedge_m", straightedge_m, above=0, unit="ft"),
        source="closed form",
    )
    return curve_per_m * straightedge_m**2 / 4


@formula(
    equation="g = greatest gap under an edge of length L laid anywhere along x on heights h",
    symbols={"along_m": "x", "heights_m": "h", "straightedge_m": "L"},
    result=("gap_m", "g"),
    source=f"{_CSA}: the edge rests on the two high points that its weight picks; gaps only between"
    " them, not under its overhangs",
    known="read",
    valid="one straight line at least as long as the edge, straight between heights",
    # By hand: a hollow of 5 mm in the middle of 3.048 m.
    example={
        "along_m": (0.0, 1.524, 3.048),
        "heights_m": (100.0, 99.995, 100.0),
        "straightedge_m": 3.048,
    },
    example_result=0.005,
)
def straightedge_gap(
    *, along_m: Sequence[float], heights_m: Sequence[float], straightedge_m: float
) -> float:
    """Greatest gap under a straightedge slid along a line of heights."""
    hold(
        within("heights_count", len(heights_m), least=len(along_m), most=len(along_m)),
        within("along_count", len(along_m), least=2),
        *(within("heights_m", height) for height in heights_m),
        *(within("along_m", later - earlier, above=0) for earlier, later in pairwise(along_m)),
        source=_CSA,
    )
    length = along_m[-1] - along_m[0]
    hold(
        within("straightedge_m", straightedge_m, above=0, most=length + _SAME_M, unit="ft"),
        source="the line of heights is no longer than that",
    )
    last = max(along_m[-1] - straightedge_m, along_m[0])
    steps = max(floor((last - along_m[0]) / straightedge_m * _STANDS) + 1, 1)
    starts = {along_m[0] + (last - along_m[0]) * step / steps for step in range(steps + 1)}
    # Where an end or the middle meets a height the support changes, so it stands there too.
    for x in along_m:
        starts |= {
            start
            for start in (x, x - straightedge_m, x - straightedge_m / 2)
            if along_m[0] <= start <= along_m[-1] - straightedge_m
        }
    return max(
        _gap_at(_cut(along_m, heights_m, start=start, length=straightedge_m)) for start in starts
    )


Profile = list[tuple[float, float]]


def _cut(
    along_m: Sequence[float], heights_m: Sequence[float], *, start: float, length: float
) -> Profile:
    """The part of the profile under the edge, its ends put between heights."""
    stop = min(start + length, along_m[-1])
    inner = [
        (x, height)
        for x, height in zip(along_m, heights_m, strict=True)
        if start + _SAME_M < x < stop - _SAME_M
    ]
    ends = [(x, _height_at(along_m, heights_m, x)) for x in (start, stop)]
    return [ends[0], *inner, ends[1]]


def _height_at(along_m: Sequence[float], heights_m: Sequence[float], x: float) -> float:
    right = min(max(bisect_left(along_m, x), 1), len(along_m) - 1)
    left = right - 1
    part = (x - along_m[left]) / (along_m[right] - along_m[left])
    return heights_m[left] + part * (heights_m[right] - heights_m[left])


def _gap_at(profile: Profile) -> float:
    """Gap of one stand: the hull's side over the middle carries the edge.

    On a crown under the very middle it rocks to either side; the wider gap counts.
    """
    hull: Profile = []
    for point in profile:
        while len(hull) >= 2 and _turns_up(hull[-2], hull[-1], point):
            hull.pop()
        hull.append(point)
    middle = (profile[0][0] + profile[-1][0]) / 2
    gaps = [
        _drop(profile, left, right)
        for left, right in pairwise(hull)
        if left[0] - _SAME_M <= middle <= right[0] + _SAME_M
    ]
    return max(gaps)


def _turns_up(
    first: tuple[float, float], middle: tuple[float, float], last: tuple[float, float]
) -> bool:
    """Whether the middle point lies on or under the line from first to last."""
    run, rise = last[0] - first[0], last[1] - first[1]
    return (middle[1] - first[1]) * run <= rise * (middle[0] - first[0])


def _drop(profile: Profile, left: tuple[float, float], right: tuple[float, float]) -> float:
    slope = (right[1] - left[1]) / (right[0] - left[0])
    return max(
        left[1] + slope * (x - left[0]) - height
        for x, height in profile
        if left[0] <= x <= right[0]
    )
