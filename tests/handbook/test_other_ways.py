"""Other ways with an old slab: printed examples, and what may not be asked."""

from __future__ import annotations

from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from overslab.ground.faults import Faulty
from overslab.handbook.other_ways import (
    HOLE_EDGE,
    HOLE_SPACING,
    grinding_passes,
    loose_volume,
    truck_loads,
    wedge_volume,
)

YARD3_M3, FOOT_M, INCH_M = 0.9144**3, 0.3048, 0.0254


def test_the_printed_haul() -> None:
    """Estimating textbook, example 9-2: 1,000 yd3 of dense clay at 30 %, trucks of 7 yd3: 186."""
    loose = loose_volume(in_place_m3=1000 * YARD3_M3, swell_share=0.30)
    assert loose == pytest.approx(1300 * YARD3_M3)
    assert truck_loads(loose_m3=loose, load_m3=7 * YARD3_M3) == 186


def test_a_full_load_is_one_load_and_nothing_is_none() -> None:
    assert truck_loads(loose_m3=7 * YARD3_M3, load_m3=7 * YARD3_M3) == 1
    assert truck_loads(loose_m3=7.01 * YARD3_M3, load_m3=7 * YARD3_M3) == 2
    assert truck_loads(loose_m3=0.0, load_m3=7 * YARD3_M3) == 0


@given(loose=st.integers(0, 10_000), load=st.integers(1, 60))
def test_loads_hold_it_all_and_one_fewer_does_not(loose: int, load: int) -> None:
    got = truck_loads(loose_m3=float(loose), load_m3=float(load))
    assert got == ceil(loose / load)
    assert got * load >= loose > (got - 1) * load or got == 0


def test_passes_and_wedges_by_hand() -> None:
    """1 in by eighths is 8 passes; 24 ft of 1/2 in run out over 6 in: 24 x 1/24 x 1/4 = 1/4 ft3."""
    assert grinding_passes(depth_m=INCH_M, pass_m=INCH_M / 8) == 8
    volume = wedge_volume(length_m=24 * FOOT_M, step_m=INCH_M / 2, ramp=1 / 12)
    assert volume == pytest.approx(0.25 * FOOT_M**3)


def test_holes_stand_within_what_is_printed() -> None:
    """Concrete Construction, Workman, spare that slab: 5 to 8 ft; 1.5 to 2 ft from the edge."""
    assert 5 <= HOLE_SPACING.value / FOOT_M <= 8
    assert 1.5 <= HOLE_EDGE.value / FOOT_M <= 2


def test_what_cannot_be_is_told() -> None:
    for wrong in (
        lambda: loose_volume(in_place_m3=-1.0, swell_share=0.3),
        lambda: loose_volume(in_place_m3=1.0, swell_share=3.0),
        lambda: truck_loads(loose_m3=1.0, load_m3=0.0),
        lambda: grinding_passes(depth_m=0.1, pass_m=0.0),
        lambda: wedge_volume(length_m=1.0, step_m=0.1, ramp=0.0),
    ):
        with pytest.raises(Faulty):
            wrong()
