"""Concrete in place against closed forms, and what the notebook would have said."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from overslab.ground.estimate import Estimate
from overslab.ground.faults import Faulty
from overslab.ground.lattice import lattice_over
from overslab.handbook.checks import Check
from overslab.newtop.records import NewTop, Strip, TopOption, Wishes
from overslab.oldslab.records import Feature, FloorPlan, Hole, OldSlab, Panel, SurfaceFit
from overslab.takeoff import Takeoff, measure

Points = tuple[tuple[float, float], ...]
FOOT, INCH = 0.3048, 0.0254
YD3 = 0.9144**3


@dataclass(frozen=True)
class Shape:
    """z = f(x, y); errs as one constant plus a slope along x, so that sums have closed forms."""

    f: Any
    constant: float = 0.0
    slope: float = 0.0

    def height_m(self, xy_m: np.ndarray) -> np.ndarray:
        xy_m = np.asarray(xy_m, dtype=float).reshape(-1, 2)
        return np.broadcast_to(self.f(xy_m[:, 0], xy_m[:, 1]), len(xy_m)).astype(float)

    def gradient(self, xy_m: np.ndarray) -> np.ndarray:
        return np.zeros_like(xy_m)

    def deviation_m(self, xy_m: np.ndarray) -> np.ndarray:
        return np.hypot(self.constant, self.slope * xy_m[:, 0])

    def weigh(self, xy_m: np.ndarray, weights: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        total, moment = weights.sum(axis=1), weights @ xy_m[:, 0]
        covariance = np.outer(total, total) * self.constant**2
        covariance += np.outer(moment, moment) * self.slope**2
        return weights @ self.height_m(xy_m), covariance


def level(height: float) -> Shape:
    return Shape(lambda x, _y: height + 0 * x)


def old_slab(
    outline: Points,
    surface: Shape,
    *,
    shots: np.ndarray | None = None,
    panels: tuple[tuple[str, shapely.Polygon], ...] = (),
    mean_m: float = 0.0,
    **plan: Any,
) -> OldSlab:
    floor = FloorPlan(outline=outline, **plan)
    polygon = floor.polygon()
    lattice = lattice_over(polygon, step_m=0.5)
    zero = np.where(lattice.inside, 0.0, np.nan)
    at = np.asarray(outline, dtype=float) if shots is None else shots
    return OldSlab(
        plan=floor, surface=surface, lattice=lattice, heights_m=zero, deviations_m=zero,
        area_m2=float(polygon.area), mean_height_m=Estimate(0.0, 0.0), lowest_m=0.0,
        lowest_at=(0.0, 0.0), highest_m=0.0, highest_at=(0.0, 0.0),
        panels=tuple(
            Panel(
                name=name, polygon=shape, area_m2=float(shape.area), shots=4, kind="panel",
                mean_height_m=Estimate(0.0, 0.0), fall=0.0, falls_toward_deg=0.0,
            )
            for name, shape in (panels or (("A", polygon),))
        ),
        steps=(), low_spots=(), pond_depth_m=zero, flow=(), triangulated_mean_m=mean_m,
        agreement=Check(
            name="mean height", quantity="height_m", found=0.0, comparison="at most", allowed=1.0,
            source="made up",
        ),
        next_shot=None,
        fit=SurfaceFit(length_m=1.0, roughness_m=0.0, texture_m=0.0, on_bound=()),
        shots_xy_m=at, shots_m=surface.height_m(at),
        shot_names=tuple(str(n) for n in range(len(at))),
        assumptions=(), remarks=(), workings=(),
    )  # fmt: skip


def new_top(
    surface: Shape | None, strips: tuple[Points, ...] = (), least: float = 0.1016
) -> NewTop:
    wishes = Wishes(
        least_thickness_m=least, least_fall=0.01, greatest_fall=0.02, cross_fall=0.02, bend=0.02,
        straightedge_m=3.0, mark_m=0.0015875, concrete_cost_per_m3=200.0, currency="USD",
        outlets=(),
    )  # fmt: skip
    option = TopOption(kind="plane", title="one plane", feasible=True, fight=None, surface=surface)
    lattice = lattice_over(shapely.box(0, 0, 1, 1), step_m=0.5)
    return NewTop(
        options=(option,) if surface else (), chosen="plane" if surface else None, lattice=lattice,
        top_m=np.zeros((2, 2)), thickness_m=np.zeros((2, 2)),
        strips=tuple(Strip(name=f"S{n}", corners=c) for n, c in enumerate(strips, start=1)),
        wishes=wishes, assumptions=(), remarks=(), workings=(),
    )  # fmt: skip


def box(west: float, south: float, east: float, north: float) -> Points:
    return ((west, south), (east, south), (east, north), (west, north))


def answers(found: Takeoff) -> dict[str, float | None]:
    return {answer.method: answer.volume_m3 for answer in found.notebook}


# The dished floor of the trade notes 4.2: 24 x 24 ft, 4 in at the edge, 3 in deeper in the middle.

SIDE = 24 * FOOT


def dish(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    u, v = 2 * x / SIDE - 1, 2 * y / SIDE - 1
    return -3 * INCH * (1 - u**2) * (1 - v**2)


def dished(lines: int) -> Takeoff:
    across = np.linspace(0, SIDE, lines)
    shots = np.array([(x, y) for x in across for y in across])
    old = old_slab(box(0, 0, SIDE, SIDE), Shape(dish), shots=shots, mean_m=-3 * INCH * 4 / 9)
    return measure(old, new_top(level(4 * INCH)))


def test_the_dished_floor_holds_what_calculus_says() -> None:
    # Mean of (1 - u^2)(1 - v^2) is 4/9, so 4 in + 3 x 4/9 in = 16/3 in over 576 sq ft: 9.48 cu yd.
    found = dished(3)
    exact = 576 * (16 / 36) / 27
    assert exact == pytest.approx(9.48, abs=0.005)
    assert found.total.volume_m3.mean / YD3 == pytest.approx(exact, rel=2e-4)
    assert found.triangulated_m3 / YD3 == pytest.approx(exact, rel=1e-9)
    assert found.total.thinnest_m == pytest.approx(4 * INCH, abs=2e-4)
    assert found.total.thickest_m == pytest.approx(7 * INCH, abs=2e-4)
    assert found.total.mean_thickness_m == pytest.approx(16 / 3 * INCH, rel=2e-4)


@pytest.mark.parametrize(
    ("lines", "mean", "cells"),
    [(3, 7.70, 8.44), (5, 8.44, 9.19), (7, 8.76, 9.35), (13, None, 9.45)],
)
def test_hand_methods_say_what_the_trade_notes_say(
    lines: int, mean: float | None, cells: float
) -> None:
    # Trade notes 4.2, cu yd; recomputed below by the plain sums a notebook would do.
    found = dished(lines)
    said = answers(found)
    depth = 4 * INCH - dish(*np.meshgrid(np.linspace(0, SIDE, lines), np.linspace(0, SIDE, lines)))
    share = np.outer(*[np.r_[0.5, np.ones(lines - 2), 0.5]] * 2)
    assert said["cells of four corners"] == pytest.approx(
        SIDE**2 * (share * depth).sum() / share.sum()
    )
    assert said["cells of four corners"] / YD3 == pytest.approx(cells, abs=0.0051)
    assert said["mean of all shots"] == pytest.approx(SIDE**2 * depth.mean())
    if mean is not None:
        assert said["mean of all shots"] / YD3 == pytest.approx(mean, abs=0.0051)
    assert said["corner average"] / YD3 == pytest.approx(7.11, abs=0.0051)
    assert said["half way between thickest and thinnest"] / YD3 == pytest.approx(9.78, abs=0.0051)
    assert said["least thickness plus a tenth"] / YD3 == pytest.approx(7.11 * 1.1, abs=0.01)
    for answer in found.notebook:
        assert answer.difference_m3 == pytest.approx(answer.volume_m3 - found.total.volume_m3.mean)
        assert answer.why


# Strips, panels, covariance.


@given(
    cuts=st.lists(st.floats(0.4, 9.6), min_size=0, max_size=4, unique=True),
    crack=st.floats(2.0, 8.0),
    notch=st.floats(0.5, 3.0),
    tilt=st.tuples(st.floats(-0.01, 0.01), st.floats(-0.01, 0.01)),
)
@settings(max_examples=15, deadline=None)
def test_strips_and_panels_add_up_to_the_whole_which_is_exact_for_planes(
    cuts: list[float], crack: float, notch: float, tilt: tuple[float, float]
) -> None:
    outline = (
        (0.0, 0.0),
        (10.0, 0.0),
        (10.0, 6.0 - notch),
        (7.0, 6.0 - notch),
        (7.0, 6.0),
        (0.0, 6.0),
    )
    floor = shapely.Polygon(outline, [box(1.0, 2.0, 1.4, 2.3)])
    left, right = shapely.box(0, 0, crack, 6), shapely.box(crack, 0, 10, 6)
    lines = [0.0, *sorted(cuts), 10.0]
    strips = tuple(box(a, 0.0, b, 6.0) for a, b in itertools.pairwise(lines))
    old = old_slab(
        outline,
        Shape(lambda x, y: tilt[0] * x + tilt[1] * y, constant=0.002, slope=0.0005),
        panels=(("A", floor & left), ("B", floor & right)),
        holes=(Hole("post", box(1.0, 2.0, 1.4, 2.3)),),
    )
    found = measure(old, new_top(level(0.12), strips))
    middle = floor.centroid
    exact = floor.area * (0.12 - tilt[0] * middle.x - tilt[1] * middle.y)
    # A cell cut by an inside corner may have its centroid moved by a hand: some millilitres.
    assert found.total.volume_m3.mean == pytest.approx(exact, abs=5e-6)
    assert found.total.area_m2 == pytest.approx(floor.area, abs=1e-9)
    whole = found.total.volume_m3.mean
    for parts in (found.strips, found.panels):
        assert sum(part.volume_m3.mean for part in parts) == pytest.approx(whole, abs=1e-9)
        assert sum(part.area_m2 for part in parts) == pytest.approx(floor.area, abs=1e-9)
        # Errors in common: the whole lies between the root of the sum of squares and the sum.
        deviations = [part.volume_m3.deviation for part in parts]
        assert found.total.volume_m3.deviation <= sum(deviations) * (1 + 1e-9)
        assert found.total.volume_m3.deviation >= math.sqrt(sum(d**2 for d in deviations)) * (
            1 - 1e-9
        )
    expected = math.hypot(0.002 * floor.area, 0.0005 * floor.area * middle.x)
    assert found.total.volume_m3.deviation == pytest.approx(expected, rel=1e-6)
    for part in (found.total, *found.strips, *found.panels):
        assert part.thinnest_m - 1e-9 <= part.mean_thickness_m <= part.thickest_m + 1e-9
        assert found.total.thinnest_m <= part.thinnest_m + 1e-12
        assert found.total.thickest_m >= part.thickest_m - 1e-12


def test_a_pit_and_a_step_are_counted_on_their_own_side() -> None:
    # An L-shaped pit 0.4 m deep and a 20 mm step across a crack that runs between lattice lines.
    pit = ((4.03, 1.02), (5.61, 1.02), (5.61, 1.57), (4.55, 1.57), (4.55, 2.49), (4.03, 2.49))
    hole = shapely.Polygon(pit)
    floor = shapely.box(0, 0, 8, 5)
    west, east = shapely.box(0, 0, 3.137, 5), shapely.box(3.137, 0, 8, 5)

    def old(x: np.ndarray, y: np.ndarray) -> np.ndarray:
        sunk = shapely.intersects_xy(hole, x, y)
        return np.where(sunk, -0.4, np.where(x > 3.137, -0.02, 0.0))

    slab = old_slab(
        box(0, 0, 8, 5),
        Shape(old),
        panels=(("A", west), ("B", east - hole), ("old pit", hole)),
        features=(Feature("old pit", "pit", pit),),
    )
    found = measure(slab, new_top(level(0.1), (box(0, 0, 4, 5), box(4, 0, 8, 5))))
    exact = 0.1 * floor.area + 0.02 * (east - hole).area + 0.4 * hole.area
    assert found.total.volume_m3.mean == pytest.approx(exact, rel=1e-9)
    named = {part.name: part for part in found.panels}
    assert named["old pit"].volume_m3.mean == pytest.approx(0.5 * hole.area, rel=1e-9)
    assert named["old pit"].thinnest_m == pytest.approx(0.5)
    assert named["B"].thickest_m == pytest.approx(0.12)
    assert found.total.thickest_m == pytest.approx(0.5)


def test_floor_outside_the_strips_is_listed_and_told() -> None:
    old = old_slab(box(0, 0, 6, 4), level(0.0), mean_m=0.0)
    found = measure(old, new_top(level(0.1), (box(0, 0, 2, 4), box(2, 0, 5, 4))))
    assert [part.name for part in found.strips] == ["S1", "S2", "outside the strips"]
    assert found.strips[-1].volume_m3.mean == pytest.approx(0.4)
    assert any("no pour strip" in remark.text for remark in found.remarks)
    overlapping = measure(old, new_top(level(0.1), (box(0, 0, 4, 4), box(3, 0, 6, 4))))
    assert [part.area_m2 for part in overlapping.strips] == pytest.approx([16.0, 8.0])
    none = measure(old, new_top(level(0.1)))
    assert none.strips == ()


def test_a_second_answer_far_off_is_told() -> None:
    shaky = Shape(lambda x, _y: 0 * x, constant=0.001)
    agrees = measure(old_slab(box(0, 0, 6, 4), shaky, mean_m=0.0015), new_top(level(0.1)))
    assert not [remark for remark in agrees.remarks if remark.weight == "warn"]
    differs = measure(old_slab(box(0, 0, 6, 4), shaky, mean_m=0.0025), new_top(level(0.1)))
    assert "triangulated" in next(r.text for r in differs.remarks if r.weight == "warn")
    assert differs.triangulated_m3 == pytest.approx(24 * (0.1 - 0.0025))


def test_no_room_for_concrete_is_told() -> None:
    hump = Shape(lambda x, _y: np.where(x > 5.0, 0.12, 0.0))
    found = measure(old_slab(box(0, 0, 6, 4), hump), new_top(level(0.1)))
    assert any("no room" in remark.text for remark in found.remarks)


def test_no_top_is_a_fault() -> None:
    with pytest.raises(Faulty) as met:
        measure(old_slab(box(0, 0, 6, 4), level(0.0)), new_top(None))
    assert met.value.faults[0].code == "takeoff-no-top"


# The notebook where the shots do not suit it.


def test_scattered_shots_have_no_cells_and_no_corners() -> None:
    shots = np.random.default_rng(4).uniform((0.8, 0.8), (5.2, 3.2), (14, 2))
    said = answers(measure(old_slab(box(0, 0, 6, 4), level(0.0), shots=shots), new_top(level(0.1))))
    assert said["cells of four corners"] is None
    assert said["corner average"] is None
    assert said["mean of all shots"] == pytest.approx(2.4)


def test_a_turned_grid_with_stray_shots_and_a_missing_corner_still_has_cells() -> None:
    angle = math.radians(33)
    turn = np.array([[math.cos(angle), math.sin(angle)], [-math.sin(angle), math.cos(angle)]])
    grid = np.array([(x, y) for x in np.linspace(0, 6, 5) for y in np.linspace(0, 4, 4)])
    grid = np.delete(grid, 0, axis=0)
    wobble = np.random.default_rng(2).uniform(-0.04, 0.04, grid.shape)
    strays = np.array([[2.2, 0.6], [3.9, 3.1]])
    outline = tuple(map(tuple, np.array(box(0, 0, 6, 4)) @ turn))
    shots = np.concatenate([np.clip(grid + wobble, 0, (6, 4)), strays]) @ turn
    found = measure(old_slab(outline, level(0.0), shots=shots), new_top(level(0.1)))
    cells = next(answer for answer in found.notebook if answer.method == "cells of four corners")
    # One cell of twelve has lost a corner shot, and the outer lines wobble: 11/12 less a little.
    assert cells.volume_m3 == pytest.approx(2.4, rel=1e-9)
    assert "91% of the floor" in cells.why


def test_sparse_cells_say_why_not() -> None:
    grid = np.array([(x, y) for x in (0.5, 2.0, 3.5) for y in (0.5, 2.0)])
    found = measure(old_slab(box(0, 0, 9, 6), level(0.0), shots=grid), new_top(level(0.1)))
    cells = next(answer for answer in found.notebook if answer.method == "cells of four corners")
    assert cells.volume_m3 is None
    assert cells.difference_m3 is None
    assert "8%" in cells.why


def test_workings_compute_again_and_carry_the_record() -> None:
    found = dished(5)
    for working in found.workings:
        assert working.recompute() == working.result.value
        assert working.about
    record = found.workings[0]
    assert record.result.value == pytest.approx(found.total.volume_m3.mean)
    assert replace(found.total, name="x").volume_m3 is found.total.volume_m3
