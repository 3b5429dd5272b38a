"""Case 12: in-floor heat pipes. Depth unknown: no drilling anywhere."""

from __future__ import annotations

from case_jobs import read_again, rooms_to
from make_cases import heat_pipes

from overslab.job import walk_to


def test_unknown_depth_forbids_all_drilling() -> None:
    verdict = rooms_to(12, "verdict").verdict
    assert verdict is not None
    assert verdict.no_drilling == (
        "there are heating pipes in the old slab at a depth nobody knows",
    )
    assert any(
        remark.weight == "warn" and "No drilling, sawing or chipping" in remark.text
        for remark in verdict.remarks
    )
    told = " ".join(verdict.put_right)
    assert "pressure-tests each circuit before and after" in told
    assert "gauge" in told


def test_a_proven_depth_still_limits_every_saw() -> None:
    texts = heat_pipes()
    texts["job.toml"] = texts["job.toml"].replace(
        'heating_pipes = "yes"', 'heating_pipes = "yes"\nheating_pipe_depth = "2 in"'
    )
    verdict = walk_to(read_again(texts), last="verdict").verdict
    assert verdict is not None
    assert verdict.no_drilling == (
        "there are heating pipes in the old slab, proven in places only",
    )
    assert any("well above 2 in" in text for text in verdict.put_right)


def test_nobody_having_looked_forbids_it_too() -> None:
    texts = heat_pipes()
    texts["job.toml"] = texts["job.toml"].replace('heating_pipes = "yes"\n', "")
    verdict = walk_to(read_again(texts), last="verdict").verdict
    assert verdict is not None
    assert any("may be heating pipes" in text for text in verdict.no_drilling)
