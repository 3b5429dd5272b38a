"""Case 19: two set-ups, tied on a turning point and a benchmark. The mismatch is told."""

from __future__ import annotations

import pytest
from case_jobs import INCH_M, read_again, rooms_to
from make_cases import two_setups

from overslab.shots import reduce


def test_a_quarter_inch_between_the_ties_is_reported() -> None:
    found = rooms_to(19, "shots").shots
    assert found is not None
    failing = [check for check in found.misclosures if not check.passes]
    assert [check.found / INCH_M for check in failing] == pytest.approx([0.25], abs=1e-3)
    assert {suspect.point for suspect in found.suspects} == {"TP1", "BM2"}
    assert any("More than allowed" in remark.text for remark in found.remarks)


def test_what_the_mismatch_would_cost() -> None:
    """1/4 in over half of 576 ft2 is 0.22 yd3 (RC); the two ties share it between them."""
    assert round(0.25 / 12 * 288 / 27, 2) == 0.22
    tied = reduce(read_again(two_setups(off=0.0)).survey)
    off = reduce(read_again(two_setups()).survey)
    heights = {point.point: point.height_m for point in tied.points}
    far = [
        abs(point.height_m - heights[point.point])
        for point in off.points
        if point.kind == "floor" and point.setups == ("2",)
    ]
    assert len(far) == 10
    assert max(far) < 0.25 * INCH_M  # adjusted: less than the whole mismatch
    assert max(far) - min(far) < 1e-9  # height only: no tilt is put into it


def test_ties_that_agree_pass() -> None:
    found = reduce(read_again(two_setups(off=0.0)).survey)
    assert all(check.passes for check in found.misclosures)
    assert found.suspects == ()


def test_one_tie_alone_is_not_enough() -> None:
    found = reduce(read_again(two_setups(ties=1)).survey)
    assert any(
        remark.weight == "warn" and "hangs on one reading of TP1" in remark.text
        for remark in found.remarks
    )
