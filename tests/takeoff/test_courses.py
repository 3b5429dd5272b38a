"""Sheet in courses: covers the floor, laps everywhere, and no other start takes less."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry.base import BaseGeometry
from test_measure import box

from overslab.takeoff.asked import RolledAsked
from overslab.takeoff.courses import Laid, lay_courses
from overslab.takeoff.cutting import LEAST_END_M, cut_off, pick_height

L_SHAPE = shapely.Polygon([(0, 0), (12, 0), (12, 6), (7, 6), (7, 9), (0, 9)])


def covered(laid: Laid) -> BaseGeometry:
    return shapely.union_all([shapely.Polygon(course.corners) for course in laid.courses])


def test_across_takes_less_than_along() -> None:
    """10 by 6.5 m, 3.5 m wide with 0.25 laps: along 2 * 10 m, across 3 * 6.5 = 19.5 m."""
    laid = lay_courses(shapely.Polygon(box(0, 0, 10, 6.5)), RolledAsked(25.0, 3.5, 0.25))
    assert [course.length_m for course in laid.courses] == pytest.approx([6.5] * 3)
    assert laid.sheet_m2 == pytest.approx(19.5 * 3.5)
    assert laid.laps_m == pytest.approx(2 * 6.5)
    assert laid.cut.rolls == 1


def test_ends_of_a_roll_lap_too() -> None:
    """One course of 10 m off rolls of 6 m: 6 and 4 + 0.25, one lap across the sheet."""
    laid = lay_courses(shapely.Polygon(box(0, 0, 10, 3)), RolledAsked(6.0, 3.0, 0.25))
    assert laid.cut.rolls == 2
    assert laid.sheet_m2 == pytest.approx(10.25 * 3.0)
    assert laid.laps_m == pytest.approx(3.0)


def scanned(shape: shapely.Polygon, *, width_m: float, lap_m: float) -> float:
    """Least running length over many starts, both ways; bands laid one by one with shapely."""
    least = math.inf
    step_m = width_m - lap_m
    for turned in (shape, affinity.rotate(shape, 90, origin=(0, 0))):
        west, south, east, north = turned.bounds
        for start in np.linspace(south - step_m, south, 41):
            length_m, low = 0.0, float(start)
            while low < north - 1e-9:
                band = shapely.box(west - 1, low, east + 1, low + width_m)
                for part in shapely.get_parts(turned.intersection(band)):
                    length_m += part.bounds[2] - part.bounds[0] if part.area > 1e-9 else 0.0
                low += step_m
            if low + lap_m >= north - 1e-9:
                least = min(least, length_m)
    return least


@pytest.mark.parametrize("width_m", [2.0, 3.0, 3.66])
def test_no_scanned_start_takes_less_on_an_l(width_m: float) -> None:
    asked = RolledAsked(1000.0, width_m, 0.15)
    laid = lay_courses(L_SHAPE, asked)
    assert laid.cut.used_m <= scanned(L_SHAPE, width_m=width_m, lap_m=0.15) + 1e-6


@settings(max_examples=25, deadline=None)
@given(
    st.floats(5, 14), st.floats(4, 10), st.floats(0.2, 0.8), st.floats(0.2, 0.8),
    st.floats(0, 180), st.floats(1.5, 4.0), st.floats(0.05, 0.4),
)  # fmt: skip
def test_every_l_is_covered_whichever_way_it_lies(
    long: float, high: float, notch_x: float, notch_y: float, turn: float, width: float, lap: float
) -> None:
    x, y = long * notch_x, high * notch_y
    shape = shapely.Polygon([(0, 0), (long, 0), (long, y), (x, y), (x, high), (0, high)])
    shape = affinity.rotate(shape, turn)
    laid = lay_courses(shape, RolledAsked(30.0, width, lap))
    assert shape.difference(covered(laid).buffer(1e-6)).area < 1e-6
    # Laps are double: what is cut off is at least the floor and every lap once more.
    assert laid.sheet_m2 >= shape.area + laid.laps_m * lap - 1e-6


@settings(max_examples=60, deadline=None)
@given(st.lists(st.floats(0.5, 30), min_size=1, max_size=12), st.floats(3, 20), st.floats(0, 0.5))
def test_cutting_loses_only_laps_and_short_ends(
    lengths: list[float], stock: float, lap: float
) -> None:
    cut = cut_off(lengths, stock_m=stock, lap_m=lap)
    assert cut.used_m == pytest.approx(sum(lengths) + cut.laps * lap)
    left_over = cut.rolls * stock - cut.used_m
    assert -1e-6 <= left_over < stock + cut.rolls * (LEAST_END_M + lap)


def test_cutting_by_hand() -> None:
    """7, 7, 7 m off 10 m with 0.5 m laps: 7; 3 + 4.5; 5.5 + 2.0: three rolls, 22 m, two laps."""
    cut = cut_off([7.0, 7.0, 7.0], stock_m=10.0, lap_m=0.5)
    assert (cut.rolls, cut.laps) == (3, 2)
    assert cut.used_m == pytest.approx(22.0)


def test_heights_are_the_lowest_that_reach() -> None:
    assert pick_height(0.1, (0.15, 0.1)) == (0.1, 1)
    assert pick_height(0.1009, (0.15, 0.1)) == (0.1, 1)  # a millimetre below is no matter
    assert pick_height(0.102, (0.15, 0.1)) == (0.15, 1)
    assert pick_height(0.31, (0.1, 0.15)) == (0.15, 3)
