"""The mix out of a job folder: what is asked of the plant, and what the plant says of its own."""

from __future__ import annotations

import pytest
from small_job import JOB, PutDown

from overslab.ground.faults import Faulty
from overslab.ground.units import to_si
from overslab.job import read_job
from overslab.order import MixAsked, PlantMix

MIX = """
[mix]
strength = "4500 psi"
stone = "3/4 in"
slump = "4 in"
air = "6%"
water_cement = 0.45
steel = "no"
fibre = "micro fibre"
fibre_dose = "1 lb/yd3"
reducer = "mid-range"
water_cut = "8%"
discharge_within = 90
durability_by = "318-08"
notes = "chute"

[mix.plant]
code = "A45"
cement = "590 lb/yd3"
water = "258 lb/yd3"
stone = "1690 lb/yd3"
sand = "1330 lb/yd3"
air = "6%"
fineness = 2.80
dry_rodded = "101 lb/ft3"
stone_gravity = 2.68
sand_gravity = 2.64
"""


def test_every_key_of_the_mix_is_read(put_down: PutDown) -> None:
    mix = read_job(put_down({"job.toml": JOB + MIX})).mix
    assert mix == MixAsked(
        strength_pa=pytest.approx(to_si(4500, "psi")),
        stone_m=pytest.approx(0.01905),
        slump_m=pytest.approx(0.1016),
        air=0.06,
        notes="chute",
        water_cement_ratio=0.45,
        steel="no",
        fibre="micro fibre",
        fibre_kg_per_m3=pytest.approx(to_si(1, "lb/yd3")),
        reducer="mid-range",
        water_cut=0.08,
        discharge_minutes=90,
        edition="318-08",
        tables="US",
        plant=PlantMix(
            code="A45",
            cement_kg_per_m3=pytest.approx(to_si(590, "lb/yd3")),
            water_kg_per_m3=pytest.approx(to_si(258, "lb/yd3")),
            coarse_kg_per_m3=pytest.approx(to_si(1690, "lb/yd3")),
            fine_kg_per_m3=pytest.approx(to_si(1330, "lb/yd3")),
            air_share=0.06,
            fineness_modulus=2.80,
            dry_rodded_kg_per_m3=pytest.approx(to_si(101, "lb/ft3")),
            coarse_gravity=2.68,
            fine_gravity=2.64,
        ),
    )


def test_a_job_without_a_mix_has_nothing_filled_in(put_down: PutDown) -> None:
    assert read_job(put_down()).mix == MixAsked()


def test_a_metric_job_is_held_against_the_metric_print(put_down: PutDown) -> None:
    metric = JOB.replace('units = "feet-inches"', 'units = "metric"', 1)
    assert read_job(put_down({"job.toml": metric})).mix.tables == "metric"


def test_every_fault_of_the_mix_is_told_at_once_with_its_place(put_down: PutDown) -> None:
    wrong = (
        '\n[mix]\nwater_cement = 4.5\nfibre_dose = "1 lb/yd3"\n\n[mix.plant]\nsand_gravity = 26.4\n'
    )
    with pytest.raises(Faulty) as caught:
        read_job(put_down({"job.toml": JOB + wrong}))
    faults = caught.value.faults
    assert [fault.code for fault in faults] == ["order-mix", "order-mix", "order-mix-half"]
    assert all(fault.place.startswith("job.toml") for fault in faults)


def test_a_ratio_in_quotes_is_refused(put_down: PutDown) -> None:
    with pytest.raises(Faulty) as caught:
        read_job(put_down({"job.toml": JOB + '\n[mix]\nwater_cement = "0.45"\n'}))
    assert "without quotes" in caught.value.faults[0].what
