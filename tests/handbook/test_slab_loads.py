"""Uniform and wall loads, ground stiffness and bending strength against their tables."""

from __future__ import annotations

from itertools import pairwise

import pytest
from as_printed import answer

from overslab.ground.faults import Faulty
from overslab.ground.units import to_customary, to_si
from overslab.handbook import slab_loads as loads
from overslab.handbook.limits import limits_for


# TM 5-809-12 Table 3-1, k 100 pci, 6 in (table figures from memory, formula read).
@pytest.mark.parametrize(("flexural", "psf"), [(600.0, 947.0), (650.0, 1026.0)])
def test_u1_stacked_goods(flexural, psf):
    got = answer(
        loads.uniform_load_tm_5_809_12,
        allowed_stress_pa=flexural / 2,
        subgrade_pa_per_m=100.0,
        slab_thickness_m=6.0,
        modulus_pa=4e6,
    )
    assert got == pytest.approx(psf, rel=0.003)


@pytest.mark.parametrize("row", loads.WALL_LOADS.rows, ids=lambda row: f"{row[0]} in")
@pytest.mark.parametrize(("column", "flexural"), [(1, 550), (2, 600), (3, 650), (4, 700)])
def test_l1_l2_every_cell_of_table_3_2(row, column, flexural):
    # UFC 3-320-06A Table 3-2, printed to 5 lb/ft.
    got = answer(
        loads.wall_load_ufc_3_320_06a,
        flexural_pa=float(flexural),
        slab_thickness_m=float(row[0]),
        subgrade_pa_per_m=100.0,
    )
    assert got == pytest.approx(row[column], abs=5, rel=0)


def test_table_3_2_holds_the_printed_figures_in_si():
    row = loads.WALL_LOADS.si_rows[2]
    assert row["slab_thickness_m"] == pytest.approx(0.1524)
    assert to_customary(row["at_700_psi"], "lbf/ft") == pytest.approx(850)


@pytest.mark.parametrize(("ground", "factor"), loads.GROUND_FACTORS.rows)
def test_l4_thickness_factor(ground, factor):
    got = answer(loads.thickness_factor_ufc_3_320_06a, subgrade_pa_per_m=float(ground))
    assert got == pytest.approx(factor, abs=0.05)


# Recomputed from both rules for CBR 2, 3, 5, 10, 20; the rules were read.
CBR = [(2, 79, 40), (3, 100, 55), (5, 134, 82), (10, 199, 141), (20, 296, 243)]


@pytest.mark.parametrize(("cbr", "packard", "aviation"), CBR)
def test_ground_stiffness_by_both_rules(cbr, packard, aviation):
    high = answer(loads.ground_stiffness_from_cbr_packard, cbr=float(cbr))
    low = answer(loads.ground_stiffness_from_cbr_faa_6e, cbr=float(cbr))
    assert (high, low) == pytest.approx((packard, aviation), abs=0.6)
    assert 1 < high / low <= 2


def test_k1_pounds_a_cubic_inch_in_metric():
    # Printed on the same page: 100 pci = 27.2 MPa/m.
    assert to_customary(to_si(100, "pci"), "MPa/m") == pytest.approx(27.2, rel=0.005)


def test_both_bending_strengths_stand_side_by_side():
    # Recomputed for 3000 psi: 7.5 and 9 times the root.
    low = answer(loads.flexural_strength_aci_318, strength_pa=3000.0)
    high = answer(loads.flexural_strength_tm_5_809_12, strength_pa=3000.0)
    assert (low, high) == pytest.approx((410.8, 493.0), abs=0.05)
    assert high / low == pytest.approx(1.2)


def test_what_carries_more():
    def goods(**change):
        base = {
            "allowed_stress_pa": 300.0,
            "subgrade_pa_per_m": 100.0,
            "slab_thickness_m": 4.0,
            "modulus_pa": 4e6,
        }
        return answer(loads.uniform_load_tm_5_809_12, **{**base, **change})

    def wall(**change):
        base = {"flexural_pa": 600.0, "subgrade_pa_per_m": 100.0, "slab_thickness_m": 4.0}
        return answer(loads.wall_load_ufc_3_320_06a, **{**base, **change})

    for carries in (goods, wall):
        for name, values in (
            ("subgrade_pa_per_m", (50.0, 100.0, 200.0)),
            ("slab_thickness_m", (3.0, 4.0, 8.0)),
        ):
            got = [carries(**{name: value}) for value in values]
            assert all(one < other for one, other in pairwise(got))


def test_outside_its_note_the_thickness_factor_is_refused():
    with pytest.raises(Faulty) as told:
        answer(loads.thickness_factor_ufc_3_320_06a, subgrade_pa_per_m=20.0)
    assert "25 pci" in told.value.faults[0].limit
    for cbr in (0.0, 101.0, float("nan")):
        with pytest.raises(Faulty):
            loads.ground_stiffness_from_cbr_packard(cbr=cbr)


def test_garage_loads_are_marked_memory():
    assert {limit.known for limit in limits_for("garage load")} == {"memory"}
    jack = limits_for("garage load")[0]
    side = next(limit for limit in limits_for("garage load") if limit.quantity == "side_m")
    # 3000 lb on 4.5 by 4.5 in: 148 psi.
    assert to_customary(jack.value / side.value**2, "psi") == pytest.approx(148, abs=0.5)


def test_safety_is_strength_over_stress():
    assert loads.safety_in_bending(flexural_pa=3.4e6, stress_pa=1.7e6) == pytest.approx(2.0)
    with pytest.raises(Faulty):
        loads.safety_in_bending(flexural_pa=3.4e6, stress_pa=0.0)
