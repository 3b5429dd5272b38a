"""Each matter by itself: cracks over time, hollow places, surface, water, weight, stone."""

from __future__ import annotations

from dataclasses import replace

import pytest
from slabs_to_judge import CRACK, GREW, INCH_M, JOINT, PRACTICE, SOUND, STILL, found, slab

from overslab.ground.units import Units
from overslab.verdict import (
    CrackFinding,
    CrackReading,
    Hollow,
    common_practice,
    judge,
    left_to_common,
)

FOOT2_M2 = 0.3048**2


def judged(breaks=(CRACK,), steps_m=(), **named):
    spoilt = {key: named.pop(key) for key in list(named) if hasattr(SOUND, key)}
    practice = named.pop("practice", PRACTICE)
    return judge(slab(breaks=breaks, steps_m=steps_m), found(**spoilt), practice, **named)


def about(told, topic, system=None):
    return [
        one
        for one in told.findings
        if one.topic == topic and (system is None or system in one.for_systems)
    ]


def crack(readings, wheel="no"):
    return (CrackFinding("crack K", readings, wheel),)


def test_growth_is_the_greatest_change_between_any_two_days_either_way() -> None:
    days = ("2025-09-01", "2025-12-01", "2026-03-01")
    for widths in ((0.003, 0.005, 0.003), (0.005, 0.003, 0.004), (0.003, 0.004, 0.005)):
        readings = tuple(CrackReading(d, w) for d, w in zip(days, widths, strict=True))
        told = judged(cracks=crack(readings))
        (check,) = [
            one.check for one in about(told, "cracks") if one.check and "change" in one.check.name
        ]
        assert check.found == pytest.approx(0.002)
        assert not check.passes  # 2 mm is more than 1/32 in
        assert told.ruling == "put these right first"


def test_a_step_that_grows_is_growth_too() -> None:
    readings = (CrackReading("2025-09-01", 0.003, 0.002), CrackReading("2026-03-01", 0.003, 0.006))
    assert judged(cracks=crack(readings)).ruling == "put these right first"


def test_the_order_in_which_readings_are_given_does_not_matter() -> None:
    forward, backward = judged(cracks=crack(GREW)), judged(cracks=crack(GREW[::-1]))
    assert forward.ruling == backward.ruling
    says = [[one.says for one in about(told, "cracks")] for told in (forward, backward)]
    assert says[0] == says[1]


def test_growth_up_to_the_practice_still_counts_as_still() -> None:
    most_m = PRACTICE.crack_growth_most_m
    for over_m, rules in ((0.0, "over it, unbonded"), (1e-5, "put these right first")):
        readings = (CrackReading("2025-09-01", 0.0), CrackReading("2026-03-01", most_m + over_m))
        assert judged(cracks=crack(readings)).ruling == rules


def test_one_reading_is_not_proven_still() -> None:
    told = judged(cracks=crack(STILL[:1]))
    assert told.ruling == "over it, unbonded"
    assert any("one reading only: not proven still" in text for text in told.provided)


@pytest.mark.parametrize(
    ("by_hand_m", "shots_m", "found_m"),
    [(0.009, (0.002,), 0.009), (None, (0.003, -0.011), 0.011), (None, (), None)],
)
def test_the_step_is_the_hands_else_the_shots(by_hand_m, shots_m, found_m) -> None:
    readings = tuple(replace(reading, step_m=None) for reading in STILL)
    told = judged(
        breaks=(replace(CRACK, step_m=by_hand_m),), steps_m=shots_m, cracks=crack(readings)
    )
    checks = [one.check for one in about(told, "cracks") if one.check and "step" in one.check.name]
    if found_m is None:
        assert checks == []
        assert any("Nobody has measured the step" in text for text in told.provided)
    else:
        assert checks[0].found == pytest.approx(found_m)
        assert checks[0].passes is False  # over 1/4 in
        assert told.ruling == "over it, unbonded"  # filled on the way, it does not hold it back
        assert any("fill the low side" in text for text in told.put_right)


def test_a_bonded_top_joints_over_joints_and_over_cracks_not_proven_still() -> None:
    both = (CRACK, JOINT)
    still = judged(
        breaks=both, wished="bonded", cracks=(*crack(STILL), CrackFinding("joint J", (), "no"))
    )
    assert still.ruling == "over it, bonded"
    assert still.joints_to_match == ("joint J",)
    once = judged(breaks=both, cracks=(*crack(STILL[:1]), CrackFinding("joint J", (), "no")))
    assert once.joints_to_match == ("crack K", "joint J")
    assert any("joint J" in remark.text for remark in still.remarks)


def test_hollow_places_are_cut_to_the_floor_and_not_counted_twice() -> None:
    """Two squares of 2 m that share a quarter, and one that hangs half over the edge."""
    hollows = (
        Hollow("h1", ((1, 1), (3, 1), (3, 3), (1, 3)), "chain"),
        Hollow("h2", ((2, 2), (4, 2), (4, 4), (2, 4))),
        Hollow("h3", ((5, 0), (7, 0), (7, 1), (5, 1))),
    )
    told = judged(hollows=hollows)
    assert told.hollow_m2 == pytest.approx(4 + 4 - 1 + 1)
    areas = {
        one.check.where: one.check.found
        for one in about(told, "soundness", "unbonded")
        if one.check and one.check.where
    }
    assert areas == pytest.approx({"h1": 4, "h2": 4, "h3": 1})
    share = next(one.check for one in about(told, "soundness") if one.check and not one.check.where)
    assert share.found == pytest.approx(8 / 24)
    assert told.ruling == "put these right first"


def test_one_great_hollow_place_is_grouted_under_a_sheet_and_holds_a_bonded_top_back() -> None:
    one = (Hollow("h", ((1, 1), (2.2, 1), (2.2, 2), (1, 2))),)  # 1.2 m2, over 10 sq ft; 5 %
    assert 10 * FOOT2_M2 < 1.2
    told = judged(hollows=one)
    assert told.ruling == "over it, unbonded"
    assert any("grouting" in text for text in told.put_right)
    assert judged(hollows=one, wished="bonded").ruling == "put these right first"


@pytest.mark.parametrize(
    ("csp", "ruling"),
    [(5, "put these right first"), (7, "over it, bonded"), (9, "over it, bonded")],
)
def test_a_bonded_top_wants_csp_7_or_above(csp, ruling) -> None:
    """CSP 5 and no moving cracks: re-prepare, CSP 7+ wanted (Concrete Construction, Preparing for
    a Topping)."""
    told = judged(profile_csp=csp, wished="bonded")
    assert told.ruling == ruling
    finding = next(one for one in about(told, "surface") if one.check and "CSP" in one.check.name)
    assert [limit.value for limit in finding.published if limit.quantity == "profile_number"] == [7]
    assert judged(profile_csp=csp).ruling == "over it, unbonded"


@pytest.mark.parametrize("face", ["oil", "paint", "adhesive", "scaled"])
def test_a_sheet_forgives_a_dirty_face_and_a_bond_does_not(face) -> None:
    assert judged(surface=(face,)).ruling == "over it, unbonded"
    held = judged(surface=(face,), wished="bonded")
    assert held.ruling == "put these right first"
    assert any("shot-blast" in text for text in held.put_right)


def test_pull_off_is_held_against_the_practice() -> None:
    # 150 psi is 1.034 MPa.
    assert judged(pull_off_pa=1.03e6, wished="bonded").ruling == "put these right first"
    assert judged(pull_off_pa=1.04e6, wished="bonded").ruling == "over it, bonded"


@pytest.mark.parametrize(
    ("spoilt", "dry"),
    [
        ({}, True),
        ({"water_from": ("ground",), "drained": "yes"}, True),
        ({"water_from": ("ground",), "drained": "no"}, False),
        ({"water_from": ("ground",), "drained": "not known"}, False),
        ({"water_from": ("rain", "not known")}, False),
        ({"sheet_test": "damp"}, False),
        ({"sheet_test": "not done"}, False),
        ({"hose_test": "comes in"}, False),
        ({"hose_test": "not done"}, False),
    ],
)
def test_a_dry_floor_is_promised_only_when_all_is_known_and_dry(spoilt, dry) -> None:
    told = judged(**spoilt)
    assert told.dry_floor is dry
    assert dry or any("dry floor is not promised" in remark.text for remark in told.remarks)


def test_ground_water_without_a_drain_holds_a_bonded_top_back() -> None:
    wet = {"water_from": ("ground",), "drained": "no"}
    assert judged(**wet, wished="bonded").ruling == "put these right first"
    told = judged(**wet)
    assert told.ruling == "over it, unbonded"
    assert any("drain and a sump" in text for text in told.put_right)


def test_a_leaking_pipe_is_mended_before_it_is_buried() -> None:
    assert judged(water_from=("plumbing",), cause_cured="no").ruling == "put these right first"
    assert "plumber" in " ".join(judged(water_from=("plumbing",), cause_cured="no").put_right)


def test_the_weight_is_that_of_the_handbook() -> None:
    """3 in weigh 37.5 lb/ft2 (12.5 an inch, CRSI Engineering Data Report 37: 8 in weigh 100)."""
    told = judged()
    assert told.least_thickness_m == pytest.approx(3 * INCH_M)
    # 1 lb is 0.45359237 kg exactly (NIST SP 811, 2008 edition, appendix B).
    assert told.added_weight_kg_per_m2 == pytest.approx(37.5 * 0.45359237 / FOOT2_M2)
    assert any(one.formula == "added_weight" for one in told.workings)


@pytest.mark.parametrize(("stone_in", "passes"), [(1.0, True), (1.01, False), (0.375, True)])
def test_stone_is_at_most_a_third_of_the_least_thickness(stone_in, passes) -> None:
    told = judged(stone_m=stone_in * INCH_M, wished="unbonded")
    (finding,) = about(told, "mix", "unbonded")
    assert finding.check is not None
    assert finding.check.passes is passes
    assert told.ruling == "over it, unbonded"  # another stone is ordered; the floor is no worse


def test_what_was_left_to_common_practice_is_stated() -> None:
    (stated,) = left_to_common(
        ("unbonded_least_m", "pull_off_least_pa"), Units("feet-inches", INCH_M / 16)
    )
    assert stated.taken == "unbonded from 3 in; pull-off from 150 psi"
    assert left_to_common((), Units("metric", 0.001)) == ()
    told = judged(practice=replace(PRACTICE, taken=(stated,)))
    assert stated in told.assumptions


def test_common_practice_is_that_of_the_trade() -> None:
    """Unbonded where it is 3 in or more everywhere, bonded from 1-1/2 in (common practice)."""
    common = common_practice("2026-01-02")
    assert common.unbonded_least_m == pytest.approx(3 * INCH_M)
    assert common.bonded_least_m == pytest.approx(1.5 * INCH_M)
    assert common.profile_least_csp == 7  # Concrete Construction, Preparing for a Topping
    assert (common.date, common.note) == ("2026-01-02", "common practice")
