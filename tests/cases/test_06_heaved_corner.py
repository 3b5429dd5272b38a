"""Case 6: a heaved corner. The plane goes up for it at a price, or the tool says what fights."""

from __future__ import annotations

from case_jobs import read_again, walked, yards
from make_cases import heaved

from overslab.job import walk_to


def test_the_plane_is_raised_and_costs_what_the_inch_costs() -> None:
    """The heave lies 1/4 in over the datum from 18 ft in: 3 1/4 in there, so 13/72 in per ft.

    Mean top 13/6 in; 576 ft2 take 1.78 yd3 an inch (RC); the heaved 18 ft2 take 4 1/4 in less.
    """
    found = walked(6)
    assert found.takeoff is not None
    top = found.newtop.top
    assert top is not None
    by_hand = 576 / 324 * (4 + 12 * 3.25 / 18) - 18 * 4.25 / 324
    assert round(576 / 324, 2) == 1.78
    # A little more, for the old surface is not known to a hair.
    assert by_hand < yards(found.takeoff.total.volume_m3.mean) < by_hand + 0.1
    assert yards(found.takeoff.total.volume_m3.mean) > 9.78 + 0.9  # what the flat floor takes
    assert top.thinnest_m >= 3 * 0.0254
    thickness = next(rule for rule in top.rules if rule.check.name == "least thickness")
    assert thickness.binds
    assert thickness.cost_per_step is not None
    assert thickness.check.at is not None


def test_a_lid_on_the_floor_fights_with_the_least_thickness() -> None:
    texts = heaved()
    texts["job.toml"] = texts["job.toml"].replace(
        'set_to = "1/16 in"', 'set_to = "1/16 in"\nhighest = "100 ft 3 1/8 in"'
    )
    found = walk_to(read_again(texts), last="newtop")
    assert found.newtop is not None
    assert found.newtop.chosen is None
    (option,) = found.newtop.options
    assert option.fight is not None
    assert "least thickness" in option.fight.rules
    assert "highest level" in option.fight.rules
    assert option.fight.changes


def test_it_is_asked_whether_it_still_moves() -> None:
    verdict = walked(6).verdict
    assert verdict.ruling == "do not pour over this"  # frost lifts it, and nothing was done
    assert any("still moves" in text for text in verdict.not_known)
    assert any("two days weeks apart" in text for text in verdict.put_right)
