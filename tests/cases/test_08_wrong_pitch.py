"""Case 8: the old floor falls to the house. The new one beats it, and the wall is looked at."""

from __future__ import annotations

import pytest
from case_jobs import INCH_M, inches_up, walked


def test_the_wall_takes_five_inches_more_than_the_door() -> None:
    """20 ft of 1/8 in/ft wrong and 1/8 in/ft wanted: 5 in extra at the wall (RC)."""
    top = walked(8).newtop.top
    assert top is not None
    extra = 20 * (1 / 8 + 1 / 8)
    assert extra == 5.0
    assert (top.thickest_m - top.thinnest_m) / INCH_M == pytest.approx(extra, abs=0.01)
    assert top.thickest_at[1] > 19.5 * 0.3048
    assert top.thinnest_at[1] < 0.5 * 0.3048
    assert top.thinnest_m / INCH_M == pytest.approx(3.25, abs=0.01)


def test_the_height_at_the_wall_stands_beside_its_siding() -> None:
    """Old floor 5 3/4 in down, new 2 1/2 in up, siding 8 in up: 5 1/2 in clear."""
    touches = walked(8).touches
    assert touches is not None
    (wall,) = [one for one in touches.touches if one.kind == "wall"]
    assert inches_up(wall.before_m) == pytest.approx(-5.75, abs=0.01)
    assert inches_up(wall.after_m) == pytest.approx(2.5, abs=0.01)
    (clear,) = wall.checks
    assert clear.found / INCH_M == pytest.approx(5.5, abs=0.01)
    assert clear.passes
