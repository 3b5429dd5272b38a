"""Least thicknesses and preparation: every source beside the owner's practice."""

from __future__ import annotations

import pytest

from overslab.ground.units import to_customary, to_si
from overslab.handbook import bonding
from overslab.handbook.limits import advice_for, limits_for, practice_for

INCH = to_si(1, "in")


def inches(topic: str, *, known: str | None = None) -> set[float]:
    return {
        round(to_customary(limit.value, "in"), 2)
        for limit in limits_for(topic)
        if known is None or limit.known == known
    }


def test_the_owners_practice():
    # Common practice of the owner: unbonded from 3 in, bonded from 1-1/2 to 3, nothing below.
    wanted = {
        bonding.UNBONDED: 3.0,
        bonding.BONDED: 1.5,
        bonding.MOST_BONDED: 3.0,
        bonding.LEAST_POUR: 1.5,
    }
    for topic, value in wanted.items():
        limit = practice_for(topic)
        assert to_customary(limit.value, "in") == pytest.approx(value)
        assert limit.known == "common practice"


def test_the_sources_disagree_and_none_is_averaged():
    # 2 (PCA IS144), 2-1/2 (ACI 302 of 1969 and 1980), 3 (later), 4 (pavement), 6 (airfield).
    assert inches(bonding.UNBONDED) == {2.0, 2.5, 3.0, 4.0, 6.0}
    assert inches(bonding.UNBONDED, known="memory") == {3.0, 4.0}
    assert inches(bonding.BONDED) == {0.75, 0.79, 1.5, 2.0}
    assert inches(bonding.MOST_BONDED) == {1.5, 3.0, 5.0}


def test_b1_two_and_a_half_inches_unbonded():
    """Good by the text of 1980, for our very case; not by the owner's practice of 3 in."""
    found = 2.5 * INCH
    by_1980 = next(limit for limit in bonding.UNBONDED_LEAST if "settled" in limit.name)
    assert "ACI 302.1R-80" in by_1980.edition
    assert "sand layer" in by_1980.note
    assert by_1980.check(found=found).passes
    assert not practice_for(bonding.UNBONDED).check(found=found).passes
    later = next(limit for limit in bonding.UNBONDED_LEAST if "1996" in limit.edition)
    assert not later.check(found=found).passes
    assert later.known == "memory"


@pytest.mark.parametrize(("profile", "passes"), [(5, False), (7, True), (9, True)])
def test_b3_profile_of_a_bonded_base(profile, passes):
    check = bonding.SURFACE_PROFILE[0].check(found=profile)
    assert check.passes is passes
    assert "Preparing for a topping" in check.source


def test_moving_cracks_are_made_still_first():
    assert any("made still" in advice.says for advice in advice_for("cracks"))


def test_pull_off_limits_are_marked_memory():
    strengths = {round(to_customary(limit.value, "psi")) for limit in bonding.PULL_OFF}
    assert strengths == {100, 150, 200}
    assert {limit.known for limit in bonding.PULL_OFF} == {"memory"}


@pytest.mark.parametrize(
    ("width", "rating"), [(0.1, "low"), (0.125, "medium"), (0.9, "medium"), (1.2, "high")]
)
def test_crack_rating(width, rating):
    # UFC 3-270-05 ch. 5: under 1/8 in, 1/8 to 1 in, over 1 in.
    found = [
        row["rating"]
        for row in bonding.CRACK_RATING.si_rows
        if row["least_width_m"] <= width * INCH * (1 + 1e-12) < row["most_width_m"]
    ]
    assert found == [rating]


def test_shrinkage_of_a_bonded_mix():
    # The Construction Specifier: below 0.04 %.
    assert bonding.TOPPING_SHRINKAGE[0].value == pytest.approx(4e-4)
