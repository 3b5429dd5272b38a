"""Rates of books and suppliers."""

from __future__ import annotations

import pytest

from overslab.ground.units import to_customary, to_si
from overslab.handbook import crew_rates
from overslab.handbook.limits import limits_for
from overslab.handbook.ordering import area_covered_m2, free_unloading_s
from overslab.handbook.volumes import flat_volume_m3


def test_e1_a_really_big_floor():
    # Concrete Construction: 60 000 ft2 of 6 in quoted as 1100 yd3 (1111 computed).
    volume = flat_volume_m3(
        area_m2=to_si(60_000, "ft2"), thickness_m=to_si(6, "in"), allowance_share=0.0
    )
    assert to_customary(volume, "yd3") == pytest.approx(1100, rel=0.015)


def test_e3_machine_trowel():
    # Rate printed as 1 labour hour for 100 ft2: 600 ft2 take 6.
    rate = crew_rates.MACHINE_TROWEL.value
    hours = crew_rates.finishing_hours(floor_m2=to_si(600, "ft2"), each_hour_m2=rate)
    assert hours == pytest.approx(6.0)


@pytest.mark.parametrize(("yards", "row", "minutes"), [(9, 0, 63), (10, 1, 60)])
def test_e4_free_unloading(yards, row, minutes):
    # Suppliers' terms: 7 and 6 minutes a cubic yard.
    allowed = crew_rates.UNLOADING[row].value
    seconds = free_unloading_s(
        load_m3=to_si(yards, "yd3"), allowance_s=allowed, allowance_m3=to_si(1, "yd3")
    )
    assert seconds / 60 == pytest.approx(minutes)


@pytest.mark.parametrize(("inches", "feet"), [(12, 270), (4, 810)])
def test_what_ten_yards_cover(inches, feet):
    # General web article: 270 to 810 ft2 by thickness.
    area = area_covered_m2(volume_m3=to_si(10, "yd3"), thickness_m=to_si(inches, "in"))
    assert to_customary(area, "ft2") == pytest.approx(feet)


def test_waste_as_the_texts_have_it():
    shares = {limit.name: limit.value * 100 for limit in limits_for("waste")}
    assert shares == pytest.approx(
        {
            "waste, on the ground": 3,
            "waste, in forms": 0,
            "waste, foundations": 5,
            "waste, superstructure": 2,
        }
    )


def test_plants_deliver_up_to_a_hundred_and_fifty_yards_an_hour():
    yards = [to_customary(limit.value, "yd3") for limit in crew_rates.PLANT_RATES]
    assert yards == pytest.approx([125, 150])
