"""Case 3: two doors at different heights. It fits, or the tool says by how much it does not."""

from __future__ import annotations

import numpy as np
import pytest
from case_jobs import FOOT_M, INCH_M, inches_up, read_again, rooms_to, walked
from make_cases import two_sills

from overslab.job import walk_to


def test_too_little_height_is_refused_with_what_is_needed() -> None:
    """24 ft at 1/8 in/ft need 3 in between the doors; the back one is 1 in up: 2 in are missing."""
    found = walked(3)
    assert found.newtop.chosen is None
    assert found.takeoff is None
    (option,) = found.newtop.options
    assert option.fight is not None
    assert set(option.fight.rules) == {"least fall", "door lowest", "back door highest"}
    (change,) = option.fight.changes
    assert change.rule == "back door highest"
    assert change.to_value - change.from_value == pytest.approx(2 * INCH_M, abs=1e-6)
    assert inches_up(change.to_value) == pytest.approx(3.0, abs=1e-4)
    assert "back door" in change.says


def test_with_the_height_it_needs_the_plane_meets_both() -> None:
    found = walk_to(read_again(two_sills(3)), last="newtop")
    assert found.newtop is not None
    top = found.newtop.top
    assert top is not None
    assert top.passes
    assert top.surface is not None
    for x, y, inches in ((8, 24, 3.0), (16, 24, 3.0), (6, 0, 0.0), (18, 0, 0.0)):
        (height,) = top.surface.height_m(np.array([[x * FOOT_M, y * FOOT_M]]))
        assert inches_up(float(height)) == pytest.approx(inches, abs=1e-3)


def test_the_door_that_owns_the_height_is_named() -> None:
    """The verdict's tightest place is a door by name, not a number."""
    found = rooms_to(3, "verdict")
    assert found.verdict is not None
    assert {room.tightest_at for room in found.verdict.systems} <= {"door", "back door"}
