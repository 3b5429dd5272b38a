"""The shipped jobs walked to the end, against the invented floors they were shot on."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from functools import cache

import make_samples
import numpy as np
import pytest

from overslab.ground.plan import clipped_cells
from overslab.job import Walk, as_json, read_job, walk
from overslab.job.steps import STEPS

INCH_M = 0.0254
SMALL = ("starter", "thin-patio", "metric-wash-bay")
FLOORS: dict[str, make_samples.Floor] = {
    "farm-shop": make_samples.farm_floor,
    "thin-patio": make_samples.patio_floor,
    "metric-wash-bay": make_samples.wash_bay_floor,
    "starter": make_samples.starter_floor,
}


@cache
def walked(name: str) -> Walk:
    folder = next(path.parent for path in make_samples.BOOKS if path.parent.name == name)
    return walk(read_job(folder))


def integral(result: Walk, height_m: Callable[[np.ndarray], np.ndarray]) -> float:
    """Volume under a surface over the floor, by cells of an inch and a half."""
    centres, areas = clipped_cells(result.job.plan.polygon(), step_m=0.04)
    return float(height_m(centres) @ areas)


@pytest.mark.parametrize("name", [*SMALL, "farm-shop"])
def test_a_sample_walks_clean(name: str) -> None:
    result = walked(name)
    assert result.shots.suspects == ()
    assert result.shots.bumps == ()
    top = result.newtop.top
    assert top is not None
    assert top.passes
    assert top.drainage is not None
    assert top.drainage.reaches_outlet > 0.99
    assert result.order is not None
    assert result.order.chance_short < 0.2


@pytest.mark.parametrize("name", [*SMALL, "farm-shop"])
def test_the_volume_is_that_of_the_true_floor(name: str) -> None:
    """New top less the true floor, integrated apart from the program's own takeoff."""
    result = walked(name)
    assert result.takeoff is not None
    assert result.newtop.top is not None
    assert result.newtop.top.surface is not None
    floor = FLOORS[name]

    def true_floor(places: np.ndarray) -> np.ndarray:
        return np.array([floor(x, y) for x, y in places])

    truth_m3 = integral(result, result.newtop.top.surface.height_m) - integral(result, true_floor)
    volume = result.takeoff.total.volume_m3
    assert abs(volume.mean - truth_m3) < 3 * volume.deviation
    assert volume.deviation < 0.02 * truth_m3


def test_the_farm_shop_is_what_it_tells() -> None:
    """Thick enough to lie unbonded, a dish that holds water today, both doors met."""
    result = walked("farm-shop")
    top = result.newtop.top
    assert top is not None
    assert top.thinnest_m >= 3 * INCH_M
    assert max(spot.depth_m for spot in result.oldslab.low_spots) > INCH_M
    assert set(top.left) | set(top.moved) == {"west door", "east door"}
    assert {panel.kind for panel in result.oldslab.panels} == {"panel", "pit"}
    assert result.oldslab.steps


@pytest.mark.parametrize("name", [*SMALL, "farm-shop"])
def test_everything_written_down_is_met(name: str) -> None:
    """By name, and with the new top's own height where each rises most."""
    result = walked(name)
    assert result.touches is not None
    assert result.newtop.top is not None
    assert result.newtop.top.surface is not None
    names = [touch.name for touch in result.touches.touches]
    assert len(set(names)) == len(names)
    assert {edge.name for edge in result.newtop.wishes.edges} <= set(names)
    floor = FLOORS[name]
    for touch in result.touches.touches:
        (after_m,) = result.newtop.top.surface.height_m(np.array([touch.at]))
        assert touch.after_m == pytest.approx(float(after_m))
        # The true floor: a made-up shape that the walk has only ever seen through shots.
        assert touch.before_m == pytest.approx(floor(*touch.at), abs=0.013)
        assert touch.rise_m == pytest.approx(touch.after_m - touch.before_m)


def test_the_farm_shop_upsets_what_it_tells() -> None:
    touches = walked("farm-shop").touches
    assert touches is not None
    failing = {touch.name for touch in touches.failing}
    # 2 in of air is asked under boards; a stair of 7 in risers may differ by 3/8 in.
    assert "back wall" in failing
    assert "loft stair" not in failing
    assert {"carpenter", "heating fitter", "crew"} <= set(touches.trades)


def test_wishes_that_cannot_all_be_met_are_named() -> None:
    result = walked("cannot-all")
    assert result.newtop.chosen is None
    assert result.touches is None
    assert result.takeoff is None
    assert result.order is None
    for option in result.newtop.options:
        if option.fight is not None:
            assert option.fight.rules
            assert option.fight.says
    fights = [option.fight for option in result.newtop.options if option.fight]
    assert any("least thickness" in fight.rules for fight in fights)
    assert any(fight.changes for fight in fights)


@pytest.mark.parametrize("name", ["starter", "cannot-all"])
def test_a_walk_as_json_has_one_object_a_room(name: str) -> None:
    plain = as_json(walked(name))
    assert list(plain) == ["job", *(step.room for step in STEPS)]
    json.dumps(plain, allow_nan=False)
    assert (plain["touches"] is None) == (name == "cannot-all")
    assert (plain["takeoff"] is None) == (name == "cannot-all")


def test_the_same_job_gives_the_same_answer() -> None:
    job = walked("starter").job
    plane = replace(job.asked.settled, kinds=("plane",))
    job = replace(job, asked=replace(job.asked, settled=plane))
    assert as_json(walk(job)) == as_json(walk(job))
