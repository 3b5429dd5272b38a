"""The mix held against the floor: print decides, nothing is filled in, what is missing is asked."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from made_up_order import MIX, PLANT, YARD3_M3, takeoff

from overslab.ground.faults import Faulty
from overslab.ground.units import Units, to_customary, to_si
from overslab.handbook.checks import Check
from overslab.order import Exposure, MixAsked, MixCheck, PlantMix, check_mix, exposure_of, order
from overslab.verdict.records import Findings

FEET = Units("feet-inches", 0.0254 / 16)
TRUCK_M3 = 10 * YARD3_M3
SALTED = Exposure("yes", "yes")
WARM = Exposure("no", "no")


def lb(value: float) -> float:
    return to_si(value, "lb/yd3")


def checked(mix: MixAsked, *, thin_in: float = 4.0, **more: Any) -> MixCheck:
    return check_mix(mix, thinnest_m=to_si(thin_in, "in"), truck_m3=TRUCK_M3, units=FEET, **more)


def named(found: MixCheck, words: str) -> list[Check]:
    return [check for check in found.checks if words in check.name]


# University handout on ACI 211.1, 4000 psi with 3/8 in stone (read): published notes, mix M3.
HANDOUT = MixAsked(
    strength_pa=to_si(4000, "psi"),
    stone_m=to_si(3 / 8, "in"),
    slump_m=to_si(3, "in"),
    plant=PlantMix(
        cement_kg_per_m3=lb(675.44),
        water_kg_per_m3=lb(385),
        coarse_kg_per_m3=lb(1251),
        fine_kg_per_m3=lb(1516),
        air_share=0.03,
        fineness_modulus=2.9,
        dry_rodded_kg_per_m3=to_si(103, "lb/ft3"),
        coarse_gravity=2.68,
        fine_gravity=2.67,
    ),
)


def test_the_mix_of_a_printed_example_comes_out_as_printed() -> None:
    found = checked(HANDOUT, exposure=WARM)
    method = found.by_method
    assert method is not None
    assert to_customary(method.water_kg_per_m3, "lb/yd3") == pytest.approx(385, abs=1)
    assert method.air_share == pytest.approx(0.03)
    assert method.water_cement_ratio == pytest.approx(0.57)
    assert to_customary(method.cement_kg_per_m3, "lb/yd3") == pytest.approx(675.44, abs=1)
    assert method.coarse_kg_per_m3 is not None
    assert method.fine_kg_per_m3 is not None
    assert to_customary(method.coarse_kg_per_m3, "lb/yd3") == pytest.approx(1251, rel=2e-3)
    assert to_customary(method.fine_kg_per_m3, "lb/yd3") == pytest.approx(1516, rel=3e-3)


def test_a_plant_that_follows_the_book_agrees_with_it_and_fills_its_yard() -> None:
    found = checked(HANDOUT, exposure=WARM)
    assert {row.name for row in found.compared} >= {"water", "cement", "stone, dry", "sand, dry"}
    for row in found.compared:
        assert row.plant == pytest.approx(row.method, rel=3e-3), row.name
    assert found.compared[-1].name == "volume that the plant's weights fill"


def test_exposure_governs_over_strength_as_in_print() -> None:
    """NAVEDTRA 14070, chapter 17 (read; published notes, mix M1): 3000 psi, 3/4 in, moderate."""
    mix = MixAsked(
        strength_pa=to_si(3000, "psi"),
        stone_m=to_si(0.75, "in"),
        slump_m=to_si(3, "in"),
        air=0.05,
        water_cement_ratio=0.50,
    )
    method = checked(mix, exposure=WARM).by_method
    assert method is not None
    assert method.air_share == pytest.approx(0.05)
    assert to_customary(method.water_kg_per_m3, "lb/yd3") == pytest.approx(305)
    assert method.water_cement_ratio == pytest.approx(0.50)  # 0.59 by strength
    assert to_customary(method.cement_kg_per_m3, "lb/yd3") == pytest.approx(610)
    assert method.coarse_kg_per_m3 is None  # nothing is known of the stone


def test_a_reducer_takes_water_off() -> None:
    """Published notes: slump 3 to 4, 3/4 in, table water 340 lb, 8 % cut: 312.8 lb (computed)."""
    mix = replace(HANDOUT, stone_m=to_si(0.75, "in"), reducer="mid-range", water_cut=0.08)
    method = checked(mix, exposure=WARM).by_method
    assert method is not None
    assert to_customary(method.water_kg_per_m3, "lb/yd3") == pytest.approx(312.8, abs=0.05)


@pytest.mark.parametrize(
    ("thin_in", "third_in", "federal_in"),
    [
        (4.0, 4 / 3, 0.75),  # ACI FAQ 754: 1.33 in; UFGS 03700: 3/4 in up to 4 in
        (3.0, 1.0, 0.75),  # published notes: 3 in gives 1.0
        (1.5, 0.5, 0.5),
        (6.0, 2.0, 2.0),
    ],
)
def test_stone_for_the_thinnest_place(thin_in: float, third_in: float, federal_in: float) -> None:
    found = checked(MixAsked(stone_m=to_si(1.0, "in")), thin_in=thin_in)
    assert found.stone_third_m == pytest.approx(to_si(third_in, "in"))
    assert found.stone_federal_m == pytest.approx(to_si(federal_in, "in"))
    third, federal = named(found, "largest stone")
    assert third.passes == (third_in >= 1.0)
    assert federal.passes == (federal_in >= 1.0)
    assert "ACI" in third.source
    assert "UFGS" in federal.source


@pytest.mark.parametrize(
    ("exposure", "steel", "classes"),
    [
        (Exposure("no", "yes"), "yes", ("F0",)),
        (Exposure("yes", "no"), "yes", ("F2",)),
        (Exposure("yes", "yes"), "yes", ("F3",)),
        (Exposure("yes", "yes"), "no", ("F3 plain",)),
        (Exposure("yes", "yes"), "not known", ("F3 plain", "F3")),
        (Exposure("yes", "not known"), "no", ("F2", "F3 plain")),
        (Exposure("not known", "no"), "no", ("F0", "F2")),
        (Exposure(), "not known", ("F0", "F2", "F3 plain", "F3")),
    ],
)
def test_classes_of_frost(exposure: Exposure, steel: Any, classes: tuple[str, ...]) -> None:
    found = checked(replace(MIX, steel=steel), exposure=exposure)
    assert found.frost == classes
    told = any("Nobody has said" in ask for ask in found.asks)
    assert told == (len(classes) > 1)


# Published notes, exposure: ratio, psi. 318-19 from memory, the others read.
EDITIONS = [
    ("318-19", Exposure("yes", "no"), "no", 0.45, 4500),
    ("318-19", SALTED, "yes", 0.40, 5000),
    ("318-19", SALTED, "no", 0.45, 4500),
    ("318-08", SALTED, "yes", 0.45, 4500),
    ("PCA 9-1", Exposure("yes", "no"), "no", 0.45, 4500),
    ("PCA 9-1", SALTED, "yes", 0.40, 5000),
]


@pytest.mark.parametrize(("edition", "exposure", "steel", "ratio", "psi"), EDITIONS)
def test_the_edition_the_owner_holds_to_governs(
    edition: Any, exposure: Exposure, steel: Any, ratio: float, psi: float
) -> None:
    mix = replace(MIX, edition=edition, steel=steel)
    mix = replace(mix, strength_pa=to_si(0.99 * psi, "psi"), water_cement_ratio=ratio + 0.01)
    found = checked(mix, exposure=exposure)
    strength, asked = named(found, "for frost and salt")
    assert strength.allowed == pytest.approx(to_si(psi, "psi"))
    assert asked.allowed == ratio
    assert not strength.passes
    assert not asked.passes
    enough = replace(mix, strength_pa=to_si(psi, "psi"), water_cement_ratio=ratio)
    assert all(check.passes for check in named(checked(enough, exposure=exposure), "and salt"))
    # Sources that disagree all stand there, the garage floor of the residential code too.
    assert {one.edition for one in found.demands} >= {"318-19", "318-08", "PCA 9-1"}
    assert [one.edition for one in found.demands if one.governs] == [edition]


def test_memory_is_said_to_be_memory() -> None:
    found = checked(MIX, exposure=SALTED)
    assert {one.known for one in found.demands if one.edition == "318-19"} == {"memory"}
    assert "(memory)" in named(found, "strength for frost")[0].source
    assert any("from memory" in one.because for one in found.assumptions)
    owner = checked(replace(MIX, edition="318-08"), exposure=SALTED)
    assert not any("edition" in one.about for one in owner.assumptions)


def test_air_by_every_table() -> None:
    """3/4 in stone: severe 6 % (ACI 211.1), F3 6 % (ACI 318), 4 to 8 % (UFGS 03311)."""
    found = named(checked(replace(MIX, air=0.05), exposure=SALTED), "air for frost")
    allowed = {(check.name, check.comparison): check.allowed for check in found}
    assert allowed["air for frost, ACI 211.1, severe", "at least"] == pytest.approx(0.06)
    assert allowed["air for frost, ACI 318, class F3", "at least"] == pytest.approx(0.06)
    assert allowed["air for frost, federal guide", "at least"] == pytest.approx(0.04)
    assert allowed["air for frost, federal guide", "at most"] == pytest.approx(0.08)
    failing = [check.name for check in found if not check.passes]
    assert failing == ["air for frost, ACI 211.1, severe", "air for frost, ACI 318, class F3"]
    assert named(checked(replace(MIX, air=0.05), exposure=WARM), "air for frost") == []


def test_a_stone_between_the_rows_is_told_and_not_rounded() -> None:
    found = checked(replace(MIX, stone_m=0.014, tables="metric"), exposure=SALTED)
    assert found.by_method is None
    assert named(found, "air for frost") == []
    assert any("no row for this stone" in text for text in found.not_worked)
    assert any("no row for this stone" in text for text in found.asks)


def test_nothing_is_filled_in() -> None:
    found = checked(MixAsked())
    assert found.checks == ()
    assert found.by_method is None
    assert found.compared == ()
    assert found.site_water.allowed == ()
    asked = found.asks[0]
    for name in ("strength", "stone", "slump", "air", "fibre", "reducer", "ratio", "discharge"):
        assert name in asked
    assert any("cement and the water of its mix" in ask for ask in found.asks)


def test_what_the_ticket_allows() -> None:
    """564 lb of cement, 270 lb of water: 0.50 leaves 12 lb, 1.438 gal/yd3; 0.45 is over by 16.2."""
    plant = PlantMix(cement_kg_per_m3=lb(564), water_kg_per_m3=lb(270))
    mix = replace(MIX, water_cement_ratio=0.50, plant=plant)
    site = checked(mix, exposure=SALTED).site_water
    by = {one.by: one for one in site.allowed}
    asked = by["the ratio asked"]
    assert to_customary(asked.allowed_m3_per_m3, "gal/yd3") == pytest.approx(1.438, abs=5e-4)
    assert asked.full_load_water_m3 == pytest.approx(asked.allowed_m3_per_m3 * TRUCK_M3)
    strict = by["318-19, exposure F3 plain (memory)"]
    pounds = to_customary(strict.allowed_m3_per_m3, "gal/yd3") * 8.345
    assert pounds == pytest.approx(0.45 * 564 - 270, abs=1e-6)
    ratios = [one.water_cement_ratio for one in site.allowed]
    assert ratios == sorted(ratios)
    over = named(checked(mix, exposure=SALTED), "of the plant's mix")[0]
    assert over.found == pytest.approx(270 / 564)
    assert over.allowed == 0.45
    assert not over.passes


def test_what_a_gallon_does_is_a_range_with_its_sources() -> None:
    """Concrete Construction: 150 to 200 psi; 200 to 400 with the air (read)."""
    effects = checked(MIX, exposure=WARM).site_water.effects
    psi = [tuple(round(to_customary(loss, "psi")) for loss in one.loss_pa) for one in effects]
    assert psi[:2] == [(150, 200), (200, 400)]
    assert [round(to_customary(one.slump_m, "in"), 6) for one in effects[:2]] == [1.0, 1.0]
    assert len({one.source for one in effects}) == 3


@pytest.mark.parametrize(
    ("slump_in", "reducer", "failing"),
    [(4.0, "none", 0), (5.0, "none", 1), (5.0, "mid-range", 0), (0.5, "none", 1)],
)
def test_slump_by_hand(slump_in: float, reducer: Any, failing: int) -> None:
    """Slabs 1 to 3 in (read), one more where it is not vibrated (memory)."""
    mix = replace(MIX, slump_m=to_si(slump_in, "in"), reducer=reducer)
    checks = named(checked(mix, exposure=WARM), "slump")
    assert sum(not check.passes for check in checks) == failing


def test_doses_and_time() -> None:
    mix = replace(MIX, fibre="macro fibre", fibre_kg_per_m3=lb(1.0), discharge_minutes=120.0)
    found = checked(mix, exposure=WARM)
    failing = [check.name for check in found.checks if not check.passes]
    assert failing == ["least usual dose, macro fibre", "time from batching to discharge"]
    weights = [remark.weight for remark in found.remarks if remark.text.startswith("Mix, ")]
    assert weights == ["ask", "ask"]
    assert any("do not replace joints" in one.says for one in found.advice)


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"water_cement_ratio": 4.5}, "order-mix"),
        ({"water_cement_ratio": float("nan")}, "order-not-a-number"),
        ({"fibre": None, "fibre_kg_per_m3": 0.6}, "order-mix-half"),
        ({"reducer": "none", "water_cut": 0.08}, "order-mix-half"),
        ({"water_cut": 0.8, "reducer": "Type A"}, "order-mix"),
        ({"plant": PlantMix(cement_kg_per_m3=5.0)}, "order-mix"),
        ({"plant": PlantMix(coarse_gravity=26.8)}, "order-mix"),
    ],
)
def test_a_mix_that_cannot_be(changes: dict[str, Any], code: str) -> None:
    with pytest.raises(Faulty) as caught:
        order(takeoff(mean_m3=9.0, deviation_m3=0.3), PLANT, replace(MIX, **changes))
    assert [fault.code for fault in caught.value.faults] == [code]


def test_the_order_holds_the_mix_check() -> None:
    floor = takeoff(mean_m3=9.0, deviation_m3=0.3)
    found = order(floor, PLANT, MIX, exposure=exposure_of(Findings(freezes="yes", deicers="yes")))
    assert found.mix_check.frost == ("F3 plain",)
    assert named(found.mix_check, "largest stone")[0].allowed == pytest.approx(0.03)  # 90 mm / 3
    # 27.6 MPa is 4000 psi, less than any edition wants of salted concrete.
    told = [remark for remark in found.remarks if "strength for frost" in remark.text]
    assert [remark.weight for remark in told] == ["warn"]
    for working in found.mix_check.workings:
        assert working.recompute() == working.result.value


def test_shrinkage_stands_beside_a_bonded_top_only() -> None:
    bonded, unbonded = (
        {one.quantity for one in checked(MIX, system=system).published}
        for system in ("bonded", "unbonded")
    )
    assert "shrinkage_strain" in bonded - unbonded


@given(
    thin_m=st.floats(0.038, 0.3),
    stone_m=st.sampled_from([0.0095, 0.0127, 0.01905, 0.0254, 0.0381]),
    freezes=st.sampled_from(["yes", "no", "not known"]),
    deicers=st.sampled_from(["yes", "no", "not known"]),
    steel=st.sampled_from(["yes", "no", "not known"]),
    psi=st.floats(2500, 6000),
    slump_m=st.floats(0.0254, 0.17),
    air=st.floats(0.0, 0.1),
)
def test_any_mix_is_answered(
    thin_m: float, stone_m: float, freezes: Any, deicers: Any, steel: Any, psi: float,
    slump_m: float, air: float,
) -> None:  # fmt: skip
    mix = replace(
        MIX, stone_m=stone_m, strength_pa=to_si(psi, "psi"), slump_m=slump_m, air=air, steel=steel
    )
    found = check_mix(
        mix, thinnest_m=thin_m, truck_m3=TRUCK_M3, exposure=Exposure(freezes, deicers)
    )
    assert found.stone_federal_m <= found.stone_third_m == pytest.approx(thin_m / 3)
    # More known never asks for less: the worst class that may be is no milder than the sure one.
    ratios = {one.exposure: one.water_cement_ratio or 1.0 for one in found.demands}
    sure = [one.water_cement_ratio or 1.0 for one in found.demands if one.governs]
    assert all(min(ratios.values()) <= ratio for ratio in sure)
    assert (len(found.frost) > 1) == any("Nobody has said" in ask for ask in found.asks)
    if found.by_method is not None:
        method = found.by_method
        assert method.cement_kg_per_m3 * method.water_cement_ratio == pytest.approx(
            method.water_kg_per_m3
        )
        assert method.water_cement_ratio <= min(1.0, *sure, MIX.water_cement_ratio or 1.0)
