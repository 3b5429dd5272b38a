"""Case 25: the owner changes the door height after the bid. The difference is told in yards.

Old and new revisions of a job, and the sheets to withdraw, wait for price and for the store.
"""

from __future__ import annotations

import pytest
from case_jobs import INCH_M, inches_up, read_again, walked, yards
from make_cases import door_changed

from overslab.job import walk_to


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
