"""Gap under a straightedge against closed forms and a linear programme; tolerance tables."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from as_printed import answer
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from overslab.ground.faults import Faulty
from overslab.ground.units import to_customary
from overslab.handbook import straightedge as edge


@pytest.mark.parametrize(("number", "gap"), edge.GAPS_OF_FLATNESS.rows)
def test_st01_gap_of_a_floor_number(number, gap):
    # Dimensional tolerances in construction: 12, 20, 25, 32, 50 are about 1/2 to 1/8 in.
    got = answer(edge.gap_of_flatness, flatness_number=float(number))
    assert got == pytest.approx(gap, abs=1 / 32)
    assert 6.0 <= number * gap <= 6.25


def test_st02_floor_classes():
    # ACI 117-10 Table 4.8.5.1 (second hand), overall FF/FL; local ones are 3/5.
    pairs = [f"{row[1]}/{row[2]}" for row in edge.FLOOR_CLASSES.rows]
    assert pairs == ["20/15", "25/20", "35/25", "45/35", "60/40"]
    assert edge.LOCAL_PART[0].value == pytest.approx(3 / 5)


def test_din_18202_between_its_columns():
    # By hand: row 3 from 4 mm at 1 m to 10 mm at 4 m is 6 mm at 2 m.
    assert edge.gap_din_18202(span_m=2.0, row=3) * 1000 == pytest.approx(6)
    gaps = [edge.gap_din_18202(span_m=0.1 + step / 10, row=3) for step in range(200)]
    assert all(one <= other for one, other in pairwise(gaps))
    with pytest.raises(Faulty):
        edge.gap_din_18202(span_m=2.0, row=5)
    with pytest.raises(Faulty):
        edge.gap_din_18202(span_m=0.05, row=3)


@pytest.mark.parametrize("length", [1.2, 2.0, 3.048])
def test_gap_over_a_round_hollow(length):
    # Closed form c*L^2/4; straight pieces of 10 mm lose at most c * 0.01^2 / 4 at each height.
    along = np.arange(0, 4.005, 0.01)
    got = edge.straightedge_gap(
        along_m=tuple(along), heights_m=tuple(0.003 * along**2), straightedge_m=length
    )
    expected = edge.gap_of_hollow(curve_per_m=0.003, straightedge_m=length)
    assert got == pytest.approx(expected, abs=2e-7)
    assert expected == pytest.approx(0.003 * length**2 / 4)


def test_no_gap_under_overhangs():
    """On a round crown the edge rests on its middle; what hangs over at the ends is no gap."""
    along = np.arange(0, 4.0005, 0.01)
    got = edge.straightedge_gap(
        along_m=tuple(along), heights_m=tuple(-0.003 * (along - 2) ** 2), straightedge_m=3.0
    )
    assert got == pytest.approx(0.0, abs=1e-7)


def test_a_step_down_is_bridged_by_the_end_of_the_edge():
    # By hand: a curb of 10 mm in the middle of 4 m; the edge of 2 m tips over it, its middle just
    # past the curb: no gap between supports but the one from the curb to the far end.
    along, heights = (0.0, 2.0, 2.001, 4.0), (0.010, 0.010, 0.0, 0.0)
    got = edge.straightedge_gap(along_m=along, heights_m=heights, straightedge_m=2.0)
    assert 0.0094 < got < 0.010


profile = st.lists(st.integers(-50, 50), min_size=3, max_size=9)


def by_programme(along, heights):
    """Lowest middle of a line that lies on or above the profile: the edge at rest."""
    along, heights = np.array(along), np.array(heights)
    middle = (along[0] + along[-1]) / 2
    rows = np.column_stack([-np.ones_like(along), -(along - middle)])
    rest = linprog([1, 0], A_ub=rows, b_ub=-heights, bounds=[(None, None)] * 2)
    lift = rest.x[0] + rest.x[1] * (along - middle) - heights
    touching = along[lift < 1e-7]
    between = (along >= touching.min() - 1e-9) & (along <= touching.max() + 1e-9)
    return float(lift[between].max())


@settings(max_examples=60, deadline=None)
@given(steps=profile)
def test_the_edge_rests_where_a_linear_programme_lets_it_sink(steps):
    along = [0.3 * place for place in range(len(steps))]
    heights = [step / 1000 for step in steps]
    got = edge.straightedge_gap(
        along_m=along, heights_m=heights, straightedge_m=along[-1] - along[0]
    )
    assert got >= by_programme(along, heights) - 1e-7
    # Rocking on a high point under the very middle leaves a choice; else they are one answer.
    if len(steps) % 2 == 0:
        assert got == pytest.approx(by_programme(along, heights), abs=1e-7)


@settings(max_examples=30, deadline=None)
@given(steps=profile, tilt=st.floats(-0.05, 0.05))
def test_tilting_the_floor_changes_no_gap(steps, tilt):
    along = [0.3 * place for place in range(len(steps))]
    heights = [step / 1000 for step in steps]
    tilted = [height + tilt * x for x, height in zip(along, heights, strict=True)]
    one, other = (
        edge.straightedge_gap(along_m=along, heights_m=values, straightedge_m=0.5)
        for values in (heights, tilted)
    )
    assert other == pytest.approx(one, abs=1e-9)
    assert one >= 0


def test_an_edge_longer_than_the_line_is_refused():
    with pytest.raises(Faulty):
        edge.straightedge_gap(along_m=(0.0, 1.0), heights_m=(0.0, 0.0), straightedge_m=3.0)
    with pytest.raises(Faulty):
        edge.straightedge_gap(along_m=(0.0, 1.0), heights_m=(0.0,), straightedge_m=0.5)
    with pytest.raises(Faulty):
        edge.straightedge_gap(
            along_m=(0.0, 1.0, 0.5), heights_m=(0.0, 0.0, 0.0), straightedge_m=0.4
        )


def test_two_sources_differ_by_two():
    """1/8 in in 10 ft is FF 50 in one source and 100 in another."""
    table = {row[0]: row[1] for row in edge.GAPS_OF_FLATNESS.rows}
    other = next(limit for limit in edge.OTHER_FLATNESS if "100" in limit.name)
    assert table[50] == pytest.approx(to_customary(other.value, "in"))
