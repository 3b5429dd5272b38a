"""Case 25: the owner changes the door height after the bid. The difference is told in yards.

Both versions are kept, and every sheet that says something else now is taken back.
"""

from __future__ import annotations

from functools import cache

import pytest
from case_jobs import INCH_M, inches_up, read_again, walked, yards
from make_cases import door_changed

from overslab.faces.documents.withdrawing import sheet_changes
from overslab.job import Walk, walk, walk_to
from overslab.job.revising import differences


def test_half_an_inch_on_the_whole_plane() -> None:
    """576 ft2 up by 1/2 in: 0.89 yd3 (RC); every thickness grows by as much."""
    after = walked(25)
    texts = door_changed()
    texts["job.toml"] = texts["job.toml"].replace('sill = "100 ft 1/2 in"', 'sill = "100 ft"')
    before = walk_to(read_again(texts), last="takeoff")
    assert after.takeoff is not None
    assert before.takeoff is not None
    assert before.newtop is not None
    more = after.takeoff.total.volume_m3.mean - before.takeoff.total.volume_m3.mean
    assert yards(more) == pytest.approx(0.89, abs=0.005)
    thicker = after.takeoff.total.thinnest_m - before.takeoff.total.thinnest_m
    assert thicker / INCH_M == pytest.approx(0.5, abs=1e-3)
    tops = [before.newtop.top, after.newtop.top]
    prices = [top.concrete_cost for top in tops if top is not None]
    assert prices[1] - prices[0] == pytest.approx(576 / 324 / 2 * 165, abs=0.5)


def test_the_control_height_is_kept_as_it_was_typed() -> None:
    found = walked(25)
    (edge,) = found.job.asked.edges
    assert edge.meets.typed == "100 ft 1/2 in"
    assert edge.meets.height_m is not None
    assert inches_up(edge.meets.height_m) == pytest.approx(0.5)


@cache
def the_bid() -> Walk:
    """The version before the change."""
    texts = door_changed()
    texts["job.toml"] = texts["job.toml"].replace('sill = "100 ft 1/2 in"', 'sill = "100 ft"')
    return walk(read_again(texts))


def test_old_and_new_beside_each_other() -> None:
    """0.89 yd3 more, and none of the old floor's doubt in it; half an inch everywhere."""
    found = differences(the_bid(), walked(25))
    assert found.volume is not None
    assert yards(found.volume.difference_m3.mean) == pytest.approx(576 / 324 / 2, abs=1e-3)
    assert found.volume.difference_m3.plus_or_minus == 0.0
    assert found.thickness is not None
    assert found.thickness.least_m / INCH_M == pytest.approx(0.5, abs=1e-3)
    assert found.thickness.most_m / INCH_M == pytest.approx(0.5, abs=1e-3)
    # 5 1/2 and 6 in of mean thickness with 4 % lost are 10.17 and 11.09 yd3, sold by the half yard.
    order = next(one for one in found.numbers if one.name == "concrete to order")
    assert order.before is not None
    assert order.after is not None
    for amount, needed in ((order.before, 10.17), (order.after, 11.09)):
        assert yards(amount) > needed
        assert yards(amount) * 2 == pytest.approx(round(yards(amount) * 2), abs=1e-6)


def test_the_sheets_to_take_back() -> None:
    """What is drawn of the old floor is still good; whatever tells a height of the new is not."""
    what = {one.code: one.what for one in sheet_changes(the_bid(), walked(25))}
    assert what["old-floor"] == "keep"
    assert what["cautions"] == "keep"
    for code in ("summary", "new-top", "thickness", "sections", "pads", "takeoff", "order"):
        assert what[code] == "replace", code
