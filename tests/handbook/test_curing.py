"""Curing against the federal guide specifications and arithmetic."""

from __future__ import annotations

import pytest
from as_printed import answer
from hypothesis import given
from hypothesis import strategies as st

from overslab.ground.faults import Faulty
from overslab.ground.units import to_customary, to_si
from overslab.handbook import curing
from overslab.handbook.limits import limits_for, practice_for


@pytest.mark.parametrize(
    ("binder", "days"),
    [
        # UFGS 03301A p. 42.
        ("Type I, IS, IP or silica fume", 7),
        ("Type II", 14),
        ("fly ash or slag to 25 %", 14),
        ("fly ash or slag above 25 %", 21),
    ],
)
def test_curing_days(binder, days):
    assert curing.curing_days_ufgs_03301a(binder=binder) == days


@pytest.mark.parametrize(("ordinary", "days"), [(7.0, 3.0), (12.0, 3.0), (14.0, 3.5), (21.0, 5.25)])
def test_high_early_cement(ordinary, days):
    # UFGS 03300N p. 45: one-fourth of the period, not less than 72 h; by hand.
    assert curing.curing_days_type_iii(ordinary_days=ordinary) == days


def test_coverage_of_two_coats():
    # UFGS 03301A p. 43: 400 ft2/gal (10 m2/L) each; UFGS 03311 p. 40: 200 (5 m2/L) for both.
    got = answer(curing.coverage_of_coats, coat_m2_per_m3=400.0, coats_count=2)
    assert got == pytest.approx(200)
    assert to_si(200.0, "ft2/gal") / 1000 == pytest.approx(4.91, abs=0.005)
    assert to_customary(practice_for("curing compound").value, "ft2/gal") == pytest.approx(200)
    (each,) = limits_for("curing compound, each coat")
    assert to_customary(each.value, "ft2/gal") == pytest.approx(400)
    assert each.value / 1000 == pytest.approx(10, rel=0.02)


def test_compound_for_600_square_feet():
    # By hand: 600 / 200.
    got = answer(curing.curing_compound_needed, area_m2=600.0, coverage_m2_per_m3=200.0)
    assert got == pytest.approx(3.0)


@given(area=st.floats(0.0, 5000.0), coat=st.floats(1000.0, 20_000.0), coats=st.integers(1, 5))
def test_each_coat_takes_its_own(area, coat, coats):
    one = curing.curing_compound_needed(area_m2=area, coverage_m2_per_m3=coat)
    whole = curing.coverage_of_coats(coat_m2_per_m3=coat, coats_count=coats)
    every = curing.curing_compound_needed(area_m2=area, coverage_m2_per_m3=whole)
    assert every == pytest.approx(coats * one)


def test_limits_as_read():
    # Concrete Construction, Curing and wear resistance: stopping at 7 days costs 20 %.
    assert limits_for("curing and wear")[0].value == 0.20
    # UFGS 03301A pp. 42, 43: rain 12 h; respray after rain within 3 h; traffic 72 h; shade 3 days.
    assert practice_for("rain").value == 12
    assert limits_for("curing compound and rain")[0].value == 3
    assert limits_for("curing compound and traffic")[0].value == 72
    assert limits_for("curing compound and sun")[0].value == 3
    # UFGS 03300N p. 45: ponds and salt 21 days; ACI 308 rules are remembered.
    assert limits_for("curing with salt")[0].value == 21
    remembered = [limit.value for limit in limits_for("curing") if limit.known == "memory"]
    assert remembered == [7, 3, 14]
    assert practice_for("curing").value == 7


def test_no_coat_and_no_coverage_are_refused():
    with pytest.raises(Faulty) as caught:
        curing.coverage_of_coats(coat_m2_per_m3=0.0, coats_count=0)
    assert len(caught.value.faults) == 2
    with pytest.raises(Faulty):
        curing.curing_compound_needed(area_m2=-1.0, coverage_m2_per_m3=5000.0)
    with pytest.raises(Faulty):
        curing.curing_days_type_iii(ordinary_days=-7.0)
