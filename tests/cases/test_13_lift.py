"""Case 13: vehicle-lift posts. The new slab never counts as the concrete that holds them."""

from __future__ import annotations

from case_jobs import read_again, rooms_to
from make_cases import lift

from overslab.job import walk_to


def test_it_stops_at_the_makers_and_the_engineers_door() -> None:
    verdict = rooms_to(13, "verdict").verdict
    assert verdict is not None
    assert verdict.ruling == "put these right first"
    told = " ".join(verdict.engineer)
    assert "must not be counted" in told
    assert "maker" in told
    assert "licensed engineer" in told
    assert any("Order no concrete" in remark.text for remark in verdict.remarks)


def test_pads_of_its_own_free_the_floor_but_not_the_anchors() -> None:
    texts = lift()
    texts["job.toml"] = texts["job.toml"].replace(
        'lift_posts = "yes"', 'lift_posts = "yes"\nlift_on_own_pads = "yes"'
    )
    verdict = walk_to(read_again(texts), last="verdict").verdict
    assert verdict is not None
    assert verdict.ruling == "over it, unbonded"
    assert any("holds no anchor of it" in text for text in verdict.engineer)
