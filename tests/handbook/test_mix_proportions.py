"""Proportions step by step against published worked examples; units of print are lb, ft3, yd3."""

from __future__ import annotations

import pytest
from as_printed import answer
from hypothesis import given
from hypothesis import strategies as st

from overslab.ground.faults import Faulty
from overslab.ground.units import to_si
from overslab.handbook import admixtures
from overslab.handbook import mix_proportions as mix
from overslab.handbook.limits import limits_for


def test_m1_navy_course():
    # NAVEDTRA 14070, chapter 17: 305 lb at 0.50 is 610 lb or 6.49 sacks; 0.63 of 102 lb/ft3 is
    # 17.01 ft3 or 1735 lb; 36.6 gal (of 8.33 lb).
    assert mix.governing_ratio(strength_ratio=0.59, exposure_ratio=0.50) == 0.50
    cement = answer(mix.cement_for_ratio, water_kg_per_m3=305.0, water_cement_ratio=0.50)
    assert cement == pytest.approx(610, rel=0.001)
    assert answer(mix.cement_sacks, cement_kg_per_m3=cement) == pytest.approx(6.489, abs=0.001)
    coarse = answer(mix.coarse_aggregate, coarse_share=0.63, dry_rodded_kg_per_m3=102.0)
    assert coarse == pytest.approx(1735, abs=1)
    assert coarse / 102 == pytest.approx(17.01, abs=0.005)
    assert pytest.approx(36.6, abs=0.05) == 305 / 8.33


def test_m3_university_handout_volumes():
    # 385 lb water, 675.44 lb cement, 1251 lb stone of 2.68, air 3 %: 6.17 + 3.44 + 7.483 + 0.81 =
    # 17.90 ft3; sand 9.1 ft3 of 2.67 or 1516 lb.
    shares = {
        "water": answer(mix.solid_volume, mass_kg_per_m3=385.0, specific_gravity=1.0),
        "cement": answer(mix.solid_volume, mass_kg_per_m3=675.44, specific_gravity=3.15),
        "coarse": answer(mix.solid_volume, mass_kg_per_m3=1251.45, specific_gravity=2.68),
        "air": 0.03,
    }
    for share, cubic_feet in zip(shares.values(), (6.17, 3.436, 7.483, 0.81), strict=True):
        assert share * 27 == pytest.approx(cubic_feet, abs=0.005)
    assert sum(shares.values()) * 27 == pytest.approx(17.90, abs=0.01)
    fine = answer(
        mix.fine_aggregate_by_volume,
        water_share=shares["water"],
        cement_share=shares["cement"],
        coarse_share=shares["coarse"],
        air_share=shares["air"],
        fine_gravity=2.67,
    )
    assert fine == pytest.approx(1516, rel=0.003)


def test_m2_moisture_on_the_oven_dry_base():
    # CIVL 1112: stone 1701 lb at 0.5 + 1 %, sand 889 lb at 1.1 + 3 %: 1727 and 925 lb from the
    # stockpile, 296 lb of water to add.
    def weighed(mass, percent):
        return answer(
            mix.stockpile_from_oven_dry,
            dry_aggregate_kg_per_m3=mass,
            total_moisture_share=percent,
        )

    assert weighed(1701.0, 1.5) == pytest.approx(1727, abs=1)
    assert weighed(889.0, 4.1) == pytest.approx(925, abs=1)
    free = [
        answer(
            mix.free_water_from_oven_dry,
            dry_aggregate_kg_per_m3=mass,
            total_moisture_share=total,
            absorption_share=absorbed,
        )
        for mass, total, absorbed in ((1701.0, 1.5, 0.5), (889.0, 4.1, 1.1))
    ]
    added = answer(
        mix.added_water,
        water_kg_per_m3=340.0,
        coarse_free_water_kg_per_m3=free[0],
        fine_free_water_kg_per_m3=free[1],
    )
    assert added == pytest.approx(296, abs=1)


def test_m5_the_weight_method_and_moisture_of_aci_211():
    # ACI 211.1-91 example 1 (memory): 4070 lb/yd3 leave 1369 lb of sand; at 2 and 6 % moisture 1955
    # and 1451 lb; 0.5 and 0.7 % absorbed, so about 199 lb of water to add.
    fine = answer(
        mix.fine_aggregate_by_weight,
        fresh_kg_per_m3=4070.0,
        water_kg_per_m3=300.0,
        cement_kg_per_m3=484.0,
        dry_coarse_kg_per_m3=1917.0,
    )
    assert fine == pytest.approx(1369, rel=0.003)
    wet = [
        answer(
            mix.stockpile_from_oven_dry, dry_aggregate_kg_per_m3=mass, total_moisture_share=share
        )
        for mass, share in ((1917.0, 2.0), (fine, 6.0))
    ]
    assert wet == [pytest.approx(1955, rel=0.003), pytest.approx(1451, rel=0.003)]
    free = [
        answer(
            mix.free_water_from_oven_dry,
            dry_aggregate_kg_per_m3=mass,
            total_moisture_share=share,
            absorption_share=absorbed,
        )
        for mass, share, absorbed in ((1917.0, 2.0, 0.5), (fine, 6.0, 0.7))
    ]
    added = answer(
        mix.added_water,
        water_kg_per_m3=300.0,
        coarse_free_water_kg_per_m3=free[0],
        fine_free_water_kg_per_m3=free[1],
    )
    assert added == pytest.approx(199, abs=1)


def test_m6_moisture_on_the_ssd_base():
    # Army subcourse EN5466A p. 51: 1768 lb at 2 %, 1083 lb at 6 % free moisture: 35.36 + 64.98 lb
    # or 12 gal; 26.6 gal of 38.6 are left to add.
    free = [
        answer(mix.free_water_from_ssd, ssd_aggregate_kg_per_m3=mass, free_moisture_share=share)
        for mass, share in ((1768.0, 2.0), (1083.0, 6.0))
    ]
    assert free == [pytest.approx(35.36), pytest.approx(64.98)]
    gallons = sum(free) / 8.33
    assert gallons == pytest.approx(12, abs=0.1)
    assert 38.6 - gallons == pytest.approx(26.6, abs=0.1)


def test_the_base_matters():
    # One wet pile, 1000 lb oven-dry, 5 % total moisture, 1 % absorbed: 1010 lb SSD, 4/101 free.
    dry = answer(
        mix.free_water_from_oven_dry,
        dry_aggregate_kg_per_m3=1000.0,
        total_moisture_share=5.0,
        absorption_share=1.0,
    )
    ssd = answer(
        mix.free_water_from_ssd, ssd_aggregate_kg_per_m3=1010.0, free_moisture_share=400 / 101
    )
    assert dry == pytest.approx(ssd) == pytest.approx(40.0)
    confused = answer(
        mix.free_water_from_ssd, ssd_aggregate_kg_per_m3=1000.0, free_moisture_share=5.0
    )
    assert confused != pytest.approx(40.0, rel=0.1)


def test_water_reducers():
    # Digests of ASTM C494: Type A at least 5 %, Type F at least 12 %. 340 lb less 8 %: 312.8.
    assert limits_for("water reducer Type A")[0].value == 0.05
    assert limits_for("water reducer Type D")[0].value == 0.05
    assert limits_for("water reducer Type F")[0].value == 0.12
    assert [one.value for one in limits_for("water reducer mid-range")] == [0.06, 0.12]
    got = answer(admixtures.water_with_reducer, water_kg_per_m3=340.0, reduction_share=8.0)
    assert got == pytest.approx(312.8, abs=0.05)
    with pytest.raises(Faulty):
        admixtures.water_with_reducer(water_kg_per_m3=200.0, reduction_share=0.6)


@given(
    water=st.floats(100, 250),
    ratio=st.floats(0.3, 0.8),
    coarse=st.floats(800, 1300),
    air=st.floats(0.0, 0.08),
)
def test_volumes_add_up_to_one(water, ratio, coarse, air):
    cement = mix.cement_for_ratio(water_kg_per_m3=water, water_cement_ratio=ratio)
    shares = [
        mix.solid_volume(mass_kg_per_m3=mass, specific_gravity=gravity)
        for mass, gravity in ((water, 1.0), (cement, 3.15), (coarse, 2.65))
    ]
    if sum(shares) + air >= 1:
        return
    fine = mix.fine_aggregate_by_volume(
        water_share=shares[0],
        cement_share=shares[1],
        coarse_share=shares[2],
        air_share=air,
        fine_gravity=2.6,
    )
    filled = mix.solid_volume(mass_kg_per_m3=fine, specific_gravity=2.6)
    assert sum(shares) + air + filled == pytest.approx(1.0)


def test_more_than_a_whole_volume_is_refused():
    with pytest.raises(Faulty) as caught:
        mix.fine_aggregate_by_volume(
            water_share=0.3, cement_share=0.3, coarse_share=0.5, air_share=0.05, fine_gravity=2.6
        )
    assert caught.value.faults[0].place == "all_but_sand_share"
    with pytest.raises(Faulty):
        mix.fine_aggregate_by_weight(
            fresh_kg_per_m3=2000.0,
            water_kg_per_m3=180.0,
            cement_kg_per_m3=350.0,
            dry_coarse_kg_per_m3=1600.0,
        )


@pytest.mark.parametrize("ratio", [0.0, 0.1, 1.5, float("nan"), float("inf")])
def test_a_ratio_that_is_none_is_refused(ratio):
    with pytest.raises(Faulty):
        mix.cement_for_ratio(water_kg_per_m3=to_si(300.0, "lb/yd3"), water_cement_ratio=ratio)
