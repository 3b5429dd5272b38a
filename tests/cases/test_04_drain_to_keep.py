"""Case 4: a floor drain to keep. Every ray falls to it, or the design is refused."""

from __future__ import annotations

import numpy as np
import pytest
from case_jobs import DOOR, FOOT_M, inches_up, read_again, section, walked
from make_cases import drain_kept

from overslab.job import walk_to


def test_no_ray_runs_uphill() -> None:
    """Looked at on the finished top, straight out from the rim in every direction."""
    top = walked(4).newtop.top
    assert top is not None
    assert top.surface is not None
    rim = 12 * FOOT_M
    for turn in np.linspace(0, 2 * np.pi, 72, endpoint=False):
        way = np.array([np.cos(turn), np.sin(turn)])
        reach = 11.99 * FOOT_M / max(abs(way))
        along = rim + np.linspace(0.05, reach, 60)[:, None] * way
        rise = np.diff(top.surface.height_m(along))
        assert (rise > 0).all()


def test_it_meets_the_rim_and_sends_all_water_to_it() -> None:
    """12 ft at 1/8 in/ft: at least 1.5 in higher along the walls, square to them."""
    top = walked(4).newtop.top
    assert top is not None
    assert top.surface is not None
    assert top.drainage is not None
    at = np.array([[12, 12], [12, 0], [0, 12], [24, 12], [12, 24]]) * FOOT_M
    rim, *walls = (inches_up(float(height)) for height in top.surface.height_m(at))
    assert rim == pytest.approx(0.0, abs=0.02)
    assert min(walls) >= 1.5 - 0.02
    assert top.drainage.reaches_outlet == pytest.approx(1.0)


def test_the_pipe_is_to_be_proven_open() -> None:
    touches = walked(4).touches
    assert touches is not None
    (drain,) = touches.touches
    assert any("pipe is open" in remark.text for remark in drain.remarks)


def test_a_door_too_low_for_the_drain_is_refused() -> None:
    """A door 12 ft off whose sill may not stand above the rim leaves no fall."""
    texts = drain_kept()
    door = section("[[door]]", DOOR)
    texts["job.toml"] = texts["job.toml"].replace("[findings]", f"{door}\n[findings]")
    found = walk_to(read_again(texts), last="newtop")
    assert found.newtop is not None
    assert found.newtop.chosen is None
    (option,) = found.newtop.options
    assert option.fight is not None
    assert "least fall" in option.fight.rules
    assert any("drain" in rule for rule in option.fight.rules)
