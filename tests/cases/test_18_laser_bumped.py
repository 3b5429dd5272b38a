"""Case 18: the laser was bumped. Shots split at the last good check; only two marks may shift."""

from __future__ import annotations

import pytest
from case_jobs import INCH_M, read_again, rooms_to
from make_cases import bumped

from overslab.shots import reduce


def test_shots_are_split_at_the_last_good_check() -> None:
    found = rooms_to(18, "shots")
    assert found.shots is not None
    (bump,) = found.shots.bumps
    checks = [one.line for one in found.job.survey.readings if one.kind == "check"]
    assert bump.last_good_line == checks[1]
    assert min(bump.lines_after) > checks[1]
    assert bump.shift_m == pytest.approx(0.375 * INCH_M)


def test_two_benchmarks_that_agree_may_shift_the_rest() -> None:
    found = rooms_to(18, "shots").shots
    assert found is not None
    (bump,) = found.bumps
    assert bump.may_shift
    assert set(bump.benchmarks) == {"BM1", "BM2"}
    assert "if you say so" in bump.says  # nothing is shifted by itself
    assert any(remark.weight == "ask" and remark.text == bump.says for remark in found.remarks)


def test_one_benchmark_alone_may_not() -> None:
    (bump,) = reduce(read_again(bumped(bm2=None)).survey).bumps
    assert not bump.may_shift
    assert "Shoot again" in bump.says


def test_a_tilt_is_shot_again() -> None:
    """The marks do not agree on one shift: it is no change of height alone."""
    (bump,) = reduce(read_again(bumped(bm1=0.375, bm2=0.75, after=0.5)).survey).bumps
    assert not bump.may_shift
    assert "tilted: shoot again" in bump.says
