"""Exposure tables by edition against what was read and remembered."""

from __future__ import annotations

import pytest
from as_printed import answer

from overslab.ground.faults import Faulty
from overslab.ground.units import to_customary, to_si
from overslab.handbook import exposure as chapter
from overslab.handbook.limits import limits_for

# Edition, class, greatest ratio, least strength psi, how known.
ROWS = (
    ("durability sheet", "F0", None, 2500, "read"),
    ("318-19", "F1", 0.55, 3500, "memory"),
    ("318-19", "F2", 0.45, 4500, "memory"),
    ("318-19", "F3", 0.40, 5000, "memory"),
    ("318-19", "F3 plain", 0.45, 4500, "memory"),
    ("durability sheet", "S2", 0.45, 4500, "read"),
    ("durability sheet", "W2", 0.50, 4000, "read"),
    ("durability sheet", "C2", 0.40, 5000, "read"),
    ("318-08", "F1", 0.45, 4500, "read"),
    ("318-08", "F2", 0.45, 4500, "read"),
    ("318-08", "F3", 0.45, 4500, "read"),
    ("PCA 9-1", "low permeability", 0.50, 4000, "read"),
    ("PCA 9-1", "freezing, moist or deicers", 0.45, 4500, "read"),
    ("PCA 9-1", "corrosion by deicers", 0.40, 5000, "read"),
)


@pytest.mark.parametrize(("edition", "name", "ratio", "psi", "known"), ROWS)
def test_every_row(edition, name, ratio, psi, known):
    strength = answer(chapter.least_strength_for_exposure, exposure=name, edition=edition)
    assert strength == pytest.approx(psi)
    if ratio is None:
        with pytest.raises(Faulty) as caught:
            chapter.most_ratio_for_exposure(exposure=name, edition=edition)
        assert "no greatest ratio" in caught.value.faults[0].limit
    else:
        assert chapter.most_ratio_for_exposure(exposure=name, edition=edition) == ratio
    found = [
        limit for limit in limits_for(f"exposure {name}, strength") if limit.edition == edition
    ]
    assert [limit.known for limit in found] == [known]


def test_there_are_no_other_rows():
    assert {(edition, name) for edition, name, *_ in ROWS} == set(chapter.EXPOSURES)


def test_editions_differ_and_both_are_kept():
    # F3: 0.40 and 5000 psi by ACI 318-19; 0.45 and 4500 by 318-08 (PCA EB001 table 11-3).
    new = chapter.most_ratio_for_exposure(exposure="F3", edition="318-19")
    old = chapter.most_ratio_for_exposure(exposure="F3", edition="318-08")
    assert (new, old) == (0.40, 0.45)


def test_exposures_together():
    # NRMCA sheet on durability classes: F0, S2, W2, C2 together 0.40 and 5000 psi.
    demand = chapter.combine_exposures(
        [(name, "durability sheet") for name in ("F0", "S2", "W2", "C2")]
    )
    assert demand.water_cement_ratio == 0.40
    assert to_customary(demand.strength_pa, "psi") == pytest.approx(5000)
    assert len(demand.rows) == 4
    alone = chapter.combine_exposures([("F0", "durability sheet")])
    assert alone.water_cement_ratio is None
    with pytest.raises(Faulty):
        chapter.combine_exposures([])


def test_a_class_that_the_edition_does_not_have_is_refused_with_those_it_has():
    with pytest.raises(Faulty) as caught:
        chapter.most_ratio_for_exposure(exposure="C2", edition="318-08")
    assert "F1, F2, F3" in caught.value.faults[0].limit


@pytest.mark.parametrize(
    ("inches", "least", "most"),
    [
        # UFGS 03311 p. 25.
        (0.375, 6, 10),
        (0.5, 5, 9),
        (0.75, 4, 8),
        (1.0, 3.5, 6.5),
        (1.5, 3, 6),
        (2.0, 2.5, 5.5),
        (3.0, 1.5, 4.5),
    ],
)
def test_air_of_the_federal_guide(inches, least, most):
    for end, percent in (("least", least), ("most", most)):
        got = answer(chapter.air_ufgs_03311, stone_m=inches, end=end)
        assert got == pytest.approx(percent)


@pytest.mark.parametrize(
    ("inches", "f1", "f2_f3"),
    [
        # ACI 318 (memory).
        (0.375, 6.0, 7.5),
        (0.5, 5.5, 7.0),
        (0.75, 5.0, 6.0),
        (1.0, 4.5, 6.0),
        (1.5, 4.5, 5.5),
    ],
)
def test_air_of_aci_318(inches, f1, f2_f3):
    for name, percent in (("F1", f1), ("F2", f2_f3), ("F3", f2_f3)):
        at = {"stone_m": inches, "exposure": name}
        assert answer(chapter.air_aci_318, strength_pa=4000.0, **at) == pytest.approx(percent)
        # 5000 psi itself is not above 5000 psi.
        assert answer(chapter.air_aci_318, strength_pa=5000.0, **at) == pytest.approx(percent)
        strong = answer(chapter.air_aci_318, strength_pa=6000.0, **at)
        assert strong == pytest.approx(percent - 1)


def test_air_with_its_tolerance():
    # TACA Conveyor, winter 2007, p. 22: 1 in, moderate 4.5 plus or minus 1.5 gives 3 to 6.
    got = chapter.air_aci_318(
        stone_m=to_si(1.0, "in"), exposure="F1", strength_pa=to_si(4000.0, "psi")
    )
    spread = chapter.AIR_TOLERANCE.value
    assert ((got - spread) * 100, (got + spread) * 100) == pytest.approx((3.0, 6.0))


def test_stone_between_the_rows_is_refused():
    for call in (
        lambda: chapter.air_ufgs_03311(stone_m=0.03, end="least"),
        lambda: chapter.air_aci_318(stone_m=0.05, exposure="F1", strength_pa=28e6),
    ):
        with pytest.raises(Faulty):
            call()


def test_garage_floors():
    # IRC Table R402.2: 2500, 3000, 3500; air 5 to 7 %; 3 % troweled at 4000 psi (memory).
    for weathering, psi in (("negligible", 2500), ("moderate", 3000), ("severe", 3500)):
        got = answer(chapter.garage_strength_irc, weathering=weathering)
        assert got == pytest.approx(psi)
    assert [limit.value for limit in limits_for("garage air")] == [0.05, 0.07]
    assert limits_for("garage air, troweled")[0].known == "memory"


def test_deicer_caps_are_marked_as_remembered():
    assert {limit.known for limit in chapter.DEICER_LIMITS} == {"memory"}
    assert [limit.value for limit in chapter.DEICER_LIMITS] == [0.25, 0.50, 0.10, 0.50]
