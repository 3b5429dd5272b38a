"""Case 6: a heaved corner. The plane goes up for it at a price, or the tool says what fights."""

from __future__ import annotations

import pytest
from case_jobs import FOOT_M, INCH_M, read_again, walked, yards
from make_cases import heaved

from overslab.job import walk_to
from overslab.price.grinding import cut_down_to, take_off_grinding


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


def test_the_area_to_grind_and_the_depth_to_cut() -> None:
    """The corner's legs are 6 ft: 18 ft2 stand 4 1/4 in over the rest, 6.375 ft3."""
    old = walked(6).oldslab
    grinding = take_off_grinding(old, step_most_m=INCH_M / 4)
    ((_, cut),) = grinding.heaved
    assert cut.area_m2 / FOOT_M**2 == pytest.approx(18, rel=0.02)
    assert cut.deepest_m / INCH_M == pytest.approx(4.25, rel=1e-3)
    assert cut.volume_m3 / FOOT_M**3 == pytest.approx(6.375, rel=0.02)
    assert cut.deepest_at is not None
    assert sum(cut.deepest_at) / FOOT_M > 42  # beyond the crack from (18, 24) to (24, 18)


def test_the_cut_that_the_flat_floors_top_would_need() -> None:
    """The top of the flat floor, 1/8 in per ft from the door, wants 3 in of concrete below it.

    At y ft it stands y/8 in over the door and the heave 1/4 in: (1/4 + 3 - y/8) in to cut, 1 in at
    y = 18. The corner's middle lies at y = 22: 1/2 in over 18 ft2, 0.75 ft3.
    """

    class Flat:
        def height_m(self, xy_m):  # type: ignore[no-untyped-def]
            return 100 * FOOT_M + xy_m[:, 1] / FOOT_M / 8 * INCH_M

        def gradient(self, _xy_m):  # type: ignore[no-untyped-def]
            raise AssertionError("nobody asks for the fall here")

    cut = cut_down_to(walked(6).oldslab, Flat(), below_m=3 * INCH_M)
    assert cut.area_m2 / FOOT_M**2 == pytest.approx(18, rel=0.02)
    assert cut.deepest_m / INCH_M == pytest.approx(1.0, abs=0.05)  # at the middle of a cell
    assert cut.volume_m3 / FOOT_M**3 == pytest.approx(0.75, rel=0.03)
