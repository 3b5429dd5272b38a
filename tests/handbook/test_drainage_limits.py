"""Falls and ponding limits against print."""

from __future__ import annotations

import pytest

from overslab.ground.units import to_customary, to_si
from overslab.handbook import drainage_limits as drains
from overslab.handbook.falls import drop_over_run, resultant_fall
from overslab.handbook.limits import limits_for, practice_for


def named(limits, words):
    return next(limit for limit in limits if words in limit.name)


def test_dr03_an_eighth_over_ten_feet():
    # Concrete Construction, How much should concrete fall?: 1-1/4 in in 10 ft.
    drop = drop_over_run(slope=drains.LEAST_FALL_PRACTICE.value, run_m=to_si(10, "ft"))
    assert to_customary(drop, "in") == pytest.approx(1.25)
    quarter = named(drains.LEAST_FALLS, "patio").value
    assert quarter * 100 == pytest.approx(2.0833, abs=1e-4)
    assert 1 / quarter == pytest.approx(48)


def test_dr04_six_inches_in_ten_feet():
    # Building America Solution Center: 5 %.
    ground = named(drains.LEAST_FALLS, "ground beside a house")
    assert ground.value == pytest.approx(to_si(6, "in") / to_si(10, "ft"))


def test_dr06_a_nickel_is_more_than_a_sixteenth():
    # Memory: 1.95 mm = 0.0768 in, against 0.0625 in.
    nickel = named(limits_for(drains.BIRDBATH), "nickel")
    assert to_customary(nickel.value, "in") == pytest.approx(0.0768, abs=1e-4)
    assert nickel.known == "memory"
    sixteenth = practice_for(drains.BIRDBATH)
    assert to_customary(sixteenth.value, "in") == pytest.approx(0.0625)
    assert nickel.value / sixteenth.value == pytest.approx(1.23, abs=0.005)


def test_two_limits_leave_less_than_a_laser_holds():
    # Recomputed: 2 % at least, 1:48 at most, 0.083 % between.
    house = named(drains.LEAST_FALLS, "hard surfaces within")
    window = drains.fall_window(least_fall=house.value, greatest_fall=drains.WALK_CROSS.value)
    assert window * 100 == pytest.approx(0.083, abs=0.0005)
    assert window < to_si(1 / 8, "in") / to_si(10, "ft")


def test_two_allowed_falls_can_make_a_forbidden_one():
    """Trap: each under 1:48, their resultant over it."""
    cross = drains.WALK_CROSS
    each = 0.018
    assert cross.check(found=each).passes
    assert not cross.check(found=resultant_fall(along=each, across=each)).passes


def test_accessible_slopes():
    # 2010 ADA Standards 403.3, 405.3.
    assert drains.WALK_RUN.value == pytest.approx(1 / 20)
    assert drains.RAMP_CROSS.value == pytest.approx(1 / 48)


def test_what_is_from_memory_says_so():
    for words in ("wash-down", "shower", "drain pipe"):
        assert named(drains.LEAST_FALLS, words).known == "memory"
