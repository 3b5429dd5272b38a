"""Quantities of fresh concrete against the Army's, the Navy's and the trade's worked numbers."""

from __future__ import annotations

import pytest
from as_printed import answer
from hypothesis import given
from hypothesis import strategies as st

from overslab.ground.faults import Faulty
from overslab.ground.units import to_si
from overslab.handbook import fresh_concrete as fresh
from overslab.handbook.limits import limits_for
from overslab.handbook.ordering import needed_volume_m3, relative_yield, yield_m3

YARD3 = to_si(1.0, "yd3")


def test_yield_of_the_trade_article():
    # Concrete Construction, What yield can do for you: 8 yd3 are 216 ft3, 210 received; recomputed
    # 0.972 and 26.25 ft3 to the yard.
    got = relative_yield(received_m3=to_si(210, "ft3"), asked_m3=to_si(216, "ft3"))
    assert got == pytest.approx(0.972, abs=0.0005)
    assert 27 * got == pytest.approx(26.25)


def test_unit_weight_for_exact_yield():
    # 3944 lb a yard (read); 146.07 recomputed.
    got = answer(fresh.density_for_exact_yield, batch_kg=3944.0, ordered_m3=27.0)
    assert got == pytest.approx(146.07, abs=0.005)
    volume = yield_m3(batch_kg=to_si(3944.0, "lb"), density_kg_per_m3=to_si(got, "lb/ft3"))
    assert volume == pytest.approx(YARD3)


def test_air_takes_room():
    # 1 % air is 0.27 ft3 in a yard.
    got = answer(fresh.air_volume, volume_m3=27.0, air_share=1.0)
    assert got == pytest.approx(0.27)


def test_an_eighth_too_thick():
    # NRMCA CIP 8: 1/8 in on 4 in leaves it 3 % short, 1 yd3 in 32.
    got = answer(fresh.concrete_for_extra_thickness, extra_thickness_m=0.125, thickness_m=4.0)
    assert got == pytest.approx(3, abs=0.2)
    assert 32 * got / 100 == pytest.approx(1.0)


def test_army_quantities():
    # Army EN5466A p. 54: 63.7 yd3 and 10 % are 70.1; 7.05 sacks make 494.2, so 495; 8 gal a sack
    # with cleaning are 3,960 gal.
    volume = needed_volume_m3(in_place_m3=63.7 * YARD3, loss_share=0.10)
    assert volume / YARD3 == pytest.approx(70.1, abs=0.05)
    sacks = answer(fresh.sacks_needed, volume_m3=70.1, sacks_per_yd3=7.05)
    assert sacks == 495
    water = answer(fresh.water_for_sacks, sacks_count=sacks, sack_water_m3=8.0)
    assert water == pytest.approx(3960)


def test_navy_quantities():
    # NAVEDTRA 14071: 70.07 yd3 at 1735 lb and 6.49 sacks: 60.8 short tons, 455 sacks. The printed
    # water, 2567 gal at 36.6, is 0.1 % high: 2564.6.
    stone = answer(fresh.material_needed, volume_m3=70.07, mass_kg_per_m3=1735.0)
    assert stone / 2000 == pytest.approx(60.8, abs=0.1)
    assert answer(fresh.sacks_needed, volume_m3=70.07, sacks_per_yd3=6.49) == 455
    assert pytest.approx(2564.6, abs=0.05) == 70.07 * 36.6


def test_navy_volume():
    # The same page: 14.75 ft x (8 in to 1 ft) x 75 ft and 1.25 x 8.5 x 75 ft; 63.7 yd3.
    stem = 14.75 * (8 / 12 + 1) / 2 * 75
    footing = 1.25 * 8.5 * 75
    assert (stem + footing) / 27 == pytest.approx(63.7, abs=0.05)


@given(volume=st.floats(0.0, 500.0), sacks=st.floats(0.0, 12.0))
def test_sacks_are_whole_and_enough(volume, sacks):
    got = answer(fresh.sacks_needed, volume_m3=volume, sacks_per_yd3=sacks)
    assert isinstance(got, int)
    assert volume * sacks - 1e-6 <= got < volume * sacks + 1


def test_hardened_concrete_is_smaller():
    # NRMCA CIP 8: about 2 %.
    assert limits_for("hardened volume")[0].value == 0.02


@pytest.mark.parametrize(
    ("call", "inputs"),
    [
        (fresh.density_for_exact_yield, {"batch_kg": 0.0, "ordered_m3": -1.0}),
        (fresh.air_volume, {"volume_m3": 1.0, "air_share": 0.4}),
        (fresh.concrete_for_extra_thickness, {"extra_thickness_m": 0.01, "thickness_m": 0.0}),
        (fresh.sacks_needed, {"volume_m3": -1.0, "sacks_per_yd3": 6.0}),
        (fresh.water_for_sacks, {"sacks_count": -1, "sack_water_m3": 0.03}),
        (fresh.material_needed, {"volume_m3": float("nan"), "mass_kg_per_m3": 1.0}),
    ],
)
def test_what_cannot_be_is_refused(call, inputs):
    with pytest.raises(Faulty):
        call(**inputs)
