"""Weight of a topping and what the ground does under it."""

from __future__ import annotations

from itertools import pairwise

import pytest
from as_printed import answer

from overslab.ground.faults import Faulty
from overslab.ground.units import to_si
from overslab.handbook import weight


def test_t1_eight_inches_weigh_a_hundred_pounds():
    # CRSI Engineering Data Report 37.
    got = answer(weight.added_weight, thickness_m=8.0, density_kg_per_m3=150.0)
    assert got == pytest.approx(100.0)


# Recomputed: 12.5 psf an inch at 150 lb/ft3, 12.08 at 145.
@pytest.mark.parametrize(
    ("inches", "psf"), [(2, 25.0), (2.5, 31.25), (3, 37.5), (4, 50.0), (6, 75.0)]
)
def test_weight_by_thickness(inches, psf):
    got = answer(weight.added_weight, thickness_m=inches, density_kg_per_m3=150.0)
    assert got == pytest.approx(psf)


def test_plain_concrete_weighs_a_little_less():
    got = answer(weight.added_weight, thickness_m=1.0, density_kg_per_m3=145.0)
    assert got == pytest.approx(12.08, abs=0.005)


def test_settlement_at_once_is_small():
    # Recomputed: 37.5 psf on 100 pci, 0.0026 in.
    got = answer(weight.settlement_at_once, added_pa=37.5, subgrade_pa_per_m=100.0)
    assert got == pytest.approx(0.0026, abs=0.00005)


def test_consolidation_starts_at_nothing_and_grows_ever_slower():
    clay = {"compression_index": 0.3, "layer_m": 3.0, "void_ratio": 0.9, "stress_pa": 50_000.0}
    steps = [
        weight.consolidation_settlement(**clay, added_pa=added)
        for added in (0.0, 2_000.0, 4_000.0, 6_000.0, 8_000.0)
    ]
    assert steps[0] == 0.0
    gains = [later - earlier for earlier, later in pairwise(steps)]
    assert all(gain > 0 for gain in gains)
    assert all(one > other for one, other in pairwise(gains))
    # Ten times the stress: its log is 1.
    tenfold = weight.consolidation_settlement(**clay, added_pa=450_000.0)
    assert tenfold == pytest.approx(0.3 * 3.0 / 1.9)


def test_a_slab_on_soil_is_far_below_what_soil_bears():
    on_soil = weight.added_weight(
        thickness_m=to_si(7, "in"), density_kg_per_m3=to_si(150, "lb/ft3")
    )
    check = weight.BEARING[0].check(found=on_soil)
    assert check.passes
    assert check.ratio < 0.1


def test_negative_thickness_is_refused():
    with pytest.raises(Faulty):
        weight.added_weight(thickness_m=-0.1, density_kg_per_m3=2400.0)
