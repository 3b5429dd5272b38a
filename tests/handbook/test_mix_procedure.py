"""The whole procedure of ACI 211.1 against three published mixes, and by itself."""

from __future__ import annotations

from dataclasses import replace

import pytest

from overslab.ground.faults import Faulty
from overslab.ground.units import to_customary, to_si
from overslab.handbook.mix_procedure import Aggregates, MixWanted, proportion


def pounds(value):
    return to_customary(value, "lb/yd3")


def wanted(*, psi, stone, slump, air="none", **more):
    return MixWanted(
        strength_pa=to_si(psi, "psi"),
        slump_m=to_si(slump, "in"),
        stone_m=to_si(stone, "in"),
        air_exposure=air,
        **more,
    )


M2 = wanted(psi=7000.0, stone=0.75, slump=3.5)
M2_AGGREGATES = Aggregates(
    fineness_modulus=2.70,
    dry_rodded_kg_per_m3=to_si(100.0, "lb/ft3"),
    coarse_gravity=2.65,
    fine_gravity=2.60,
    # The page gives surface moisture 1 and 3 % and absorption 0.5 and 1.1 %.
    coarse_moisture_share=0.015,
    fine_moisture_share=0.041,
    coarse_absorption_share=0.005,
    fine_absorption_share=0.011,
)


def test_m2_university_example():
    # CIVL 1112, ACI mix design practical example: 2 %, 340, 0.33, 1030, 1701, 889; from the
    # stockpile 1727 and 925, water 296 lb.
    mix = proportion(wanted=M2, aggregates=M2_AGGREGATES)
    assert mix.air_share == pytest.approx(0.02)
    assert pounds(mix.water_kg_per_m3) == pytest.approx(340)
    assert mix.water_cement_ratio == pytest.approx(0.33)
    assert pounds(mix.cement_kg_per_m3) == pytest.approx(1030, abs=1)
    assert pounds(mix.dry_coarse_kg_per_m3) == pytest.approx(1701, rel=0.002)
    assert pounds(mix.dry_fine_kg_per_m3) == pytest.approx(889, rel=0.003)
    assert pounds(mix.stockpile_coarse_kg_per_m3) == pytest.approx(1727, rel=0.002)
    assert pounds(mix.stockpile_fine_kg_per_m3) == pytest.approx(925, rel=0.003)
    assert pounds(mix.added_water_kg_per_m3) == pytest.approx(296, abs=1)


def test_m3_university_handout():
    # 4000 psi, 3/8 in, slump 3, fineness 2.9, 2.68 and 2.67, 103 lb/ft3: 675.44, 1251, 1516.
    mix = proportion(
        wanted=wanted(psi=4000.0, stone=0.375, slump=3.0),
        aggregates=Aggregates(
            fineness_modulus=2.9,
            dry_rodded_kg_per_m3=to_si(103.0, "lb/ft3"),
            coarse_gravity=2.68,
            fine_gravity=2.67,
        ),
    )
    assert pounds(mix.cement_kg_per_m3) == pytest.approx(675.44, abs=0.01)
    assert pounds(mix.dry_coarse_kg_per_m3) == pytest.approx(1251, rel=0.002)
    assert pounds(mix.dry_fine_kg_per_m3) == pytest.approx(1516, rel=0.003)


def test_m5_aci_example_by_volume():
    # ACI 211.1-91 example 1 (memory): 484, 1917, by volume 1318.
    mix = proportion(
        wanted=wanted(psi=3500.0, stone=1.5, slump=3.5, exposure_ratio=0.62),
        aggregates=Aggregates(
            fineness_modulus=2.80,
            dry_rodded_kg_per_m3=to_si(100.0, "lb/ft3"),
            coarse_gravity=2.68,
            fine_gravity=2.64,
        ),
    )
    # The page reads 0.62 off between rows whose middle is 0.625.
    assert mix.water_cement_ratio == 0.62
    assert pounds(mix.cement_kg_per_m3) == pytest.approx(484, abs=1)
    assert pounds(mix.dry_coarse_kg_per_m3) == pytest.approx(1917, rel=0.002)
    assert pounds(mix.dry_fine_kg_per_m3) == pytest.approx(1318, rel=0.003)


def test_m1_exposure_governs():
    # NAVEDTRA 14070: 3000 psi, 3/4 in, moderate exposure, slump 3: air 5 %, water 305, 0.50 governs
    # over 0.59, cement 610 lb, stone 1735 lb.
    mix = proportion(
        wanted=wanted(psi=3000.0, stone=0.75, slump=3.0, air="moderate", exposure_ratio=0.50),
        aggregates=replace(M2_AGGREGATES, dry_rodded_kg_per_m3=to_si(102.0, "lb/ft3")),
    )
    assert mix.air_share == pytest.approx(0.05)
    assert pounds(mix.water_kg_per_m3) == pytest.approx(305)
    assert mix.water_cement_ratio == 0.50
    assert pounds(mix.cement_kg_per_m3) == pytest.approx(610, abs=1)
    assert pounds(mix.dry_coarse_kg_per_m3) == pytest.approx(1735, abs=1)


def test_every_step_is_in_the_workings_and_computes_again():
    mix = proportion(wanted=replace(M2, reduction_share=0.08), aggregates=M2_AGGREGATES)
    for working in mix.workings:
        assert working.recompute() == working.result.value
    told = [working.about for working in mix.workings]
    assert len(set(told)) == len(told)
    assert pounds(mix.water_kg_per_m3) == pytest.approx(312.8)


def test_the_metric_tables_give_a_like_mix():
    american = proportion(
        wanted=wanted(psi=4000.0, stone=0.75, slump=3.5), aggregates=M2_AGGREGATES
    )
    metric = proportion(
        wanted=wanted(psi=4000.0, stone=0.75, slump=3.5, tables="metric"), aggregates=M2_AGGREGATES
    )
    # Rounded apart: 205 kg/m3 against 340 lb/yd3 is 1.6 percent.
    assert metric.water_kg_per_m3 == pytest.approx(american.water_kg_per_m3, rel=0.02)
    assert metric.cement_kg_per_m3 == pytest.approx(american.cement_kg_per_m3, rel=0.04)
    assert metric.water_kg_per_m3 != american.water_kg_per_m3


def test_what_the_tables_cannot_answer_is_refused():
    with pytest.raises(Faulty):
        proportion(wanted=wanted(psi=9000.0, stone=0.75, slump=3.5), aggregates=M2_AGGREGATES)
    with pytest.raises(Faulty):
        proportion(wanted=wanted(psi=4000.0, stone=0.6, slump=3.5), aggregates=M2_AGGREGATES)
