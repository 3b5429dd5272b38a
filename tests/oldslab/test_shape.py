"""The old floor as a whole: analytic shapes, features, breaks, the next shot, bad shots."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from made_up_floors import FOOT_M, INCH_M, YARD3_M3, data_of, grid, heights_of

from overslab.ground.faults import Faulty
from overslab.ground.plan import clipped_cells
from overslab.oldslab import Break, Feature, FloorPlan, Hole, OldSlab, shape
from overslab.oldslab.next_shot import best_next_shot
from overslab.oldslab.panels import Piece
from overslab.oldslab.process import Parameters
from overslab.oldslab.sums import Sums
from overslab.oldslab.surface import MixedSurface

SIDE = 24 * FOOT_M
SQUARE = FloorPlan(outline=((0, 0), (SIDE, 0), (SIDE, SIDE), (0, SIDE)))
ELL = ((0.0, 0.0), (12.0, 0.0), (12.0, 5.0), (5.0, 5.0), (5.0, 9.0), (0.0, 9.0))


def ell_shots() -> np.ndarray:
    xy = grid(width_m=12, depth_m=9, columns=10, rows=8, margin_m=0.3)
    return xy[shapely.contains_xy(shapely.Polygon(ELL), xy)]


def codes(plan: FloorPlan, xy: np.ndarray, height: np.ndarray) -> list[str]:
    with pytest.raises(Faulty) as caught:
        shape(plan, heights_of(np.asarray(xy, dtype=float), np.asarray(height, dtype=float)))
    return [fault.code for fault in caught.value.faults]


def test_a_plane_over_an_ell_is_exact_and_does_not_leak_into_the_missing_quarter() -> None:
    post = Hole("post", ((8.0, 2.0), (8.2, 2.0), (8.2, 2.2), (8.0, 2.2)))
    plan = FloorPlan(outline=ELL, holes=(post,))
    xy = ell_shots()
    tilt = np.array([0.004, 0.003])
    floor = shape(plan, heights_of(xy, 30 + xy @ tilt, covariance_m2=np.zeros((len(xy),) * 2)))
    polygon = plan.polygon()
    centre = np.array(polygon.centroid.coords[0])
    box_centre = np.array([6.0, 4.5])
    assert floor.area_m2 == pytest.approx(polygon.area, rel=1e-9)
    assert floor.mean_height_m.mean == pytest.approx(30 + centre @ tilt, abs=2e-6)
    assert abs(box_centre @ tilt - centre @ tilt) > 0.004  # the bounding box would tell otherwise
    assert floor.triangulated_mean_m == pytest.approx(30 + centre @ tilt, abs=1e-9)
    assert floor.agreement.passes
    (panel,) = floor.panels
    assert panel.fall == pytest.approx(0.005, abs=1e-6)
    # Downhill is against x and against y: to the lower left of the sheet.
    assert panel.falls_toward_deg == pytest.approx(180 + np.degrees(np.arctan2(4, 3)), abs=0.05)
    x, y = np.meshgrid(floor.lattice.x_m, floor.lattice.y_m)
    missing = (x > 5) & (y > 5)
    assert np.isnan(floor.heights_m[missing]).all()
    inside = np.isfinite(floor.heights_m)
    assert 4000 <= inside.sum() <= 15000
    assert floor.heights_m[inside] == pytest.approx(
        30 + 0.004 * x[inside] + 0.003 * y[inside], abs=1e-5
    )
    assert floor.lowest_at[0] < 0.2
    assert floor.lowest_at[1] < 0.2
    assert any("corner" in assumption.taken for assumption in floor.assumptions)
    assert not floor.steps


def test_the_dish_of_the_notebook_within_its_plus_or_minus() -> None:
    # Trade notes, section 4.2: 24 x 24 ft, dished 3 (1 - u^2)(1 - v^2) in, 4 in over the edge;
    # exact 9.48 yd3. Shots every 4 ft; cells of four corners come out 0.13 low.
    xy = grid(width_m=SIDE, depth_m=SIDE, columns=7, rows=7, margin_m=0)
    u, v = (2 * xy / SIDE - 1).T
    floor = shape(SQUARE, heights_of(xy, -3 * INCH_M * (1 - u**2) * (1 - v**2)))
    per_height = floor.area_m2 / YARD3_M3
    volume = per_height * (4 * INCH_M - floor.mean_height_m.mean)
    give_or_take = per_height * floor.mean_height_m.plus_or_minus
    assert abs(volume - 9.481) <= give_or_take
    assert give_or_take < 0.13
    assert floor.agreement.passes
    # Water stands in it to nearly 3 in, nothing runs off but over the edge.
    spot = floor.low_spots[0]
    assert spot.depth_m == pytest.approx(3 * INCH_M, rel=0.03)
    assert np.hypot(*(np.array(spot.deepest) - SIDE / 2)) < 0.2
    assert spot.volume_m3 == pytest.approx(SIDE**2 * 3 * INCH_M * 4 / 9, rel=0.06)
    assert spot.area_m2 <= floor.area_m2


def test_a_sunk_trench_shot_as_a_feature_is_not_smeared() -> None:
    # Trade notes, section 4.2 and case 7: a trench 2 ft x 24 ft, 2 in deep, holds 0.30 yd3; a grid
    # whose line lands on it counts 0.89.
    left, right = 11 * FOOT_M, 13 * FOOT_M
    trench = Feature("old pipe", "trench", ((left, 0), (right, 0), (right, SIDE), (left, SIDE)))
    xy = grid(width_m=SIDE, depth_m=SIDE, columns=5, rows=5, margin_m=0)
    floor_height = 10 + 0.01 * xy[:, 1]
    in_trench = (xy[:, 0] > left) & (xy[:, 0] < right)
    assert in_trench.sum() == 5
    height = floor_height - 2 * INCH_M * in_trench
    floor = shape(replace(SQUARE, features=(trench,)), heights_of(xy, height))
    true_mean = 10 + 0.01 * SIDE / 2
    lost = (true_mean - floor.mean_height_m.mean) * floor.area_m2 / YARD3_M3
    assert lost == pytest.approx(2 * 24 * (2 / 12) / 27, abs=0.05)
    give_or_take = floor.mean_height_m.plus_or_minus * floor.area_m2 / YARD3_M3
    assert abs(lost - 0.296) < give_or_take
    # A hand's breadth beside the trench the floor is the floor.
    beside = np.array([[left - 0.05, 3.0], [right + 0.05, 5.0]])
    assert floor.surface.height_m(beside) == pytest.approx(10 + 0.01 * beside[:, 1], abs=0.003)
    named = {panel.name: panel for panel in floor.panels}
    assert named["old pipe"].kind == "trench"
    assert named["old pipe"].shots == 5
    assert named["old pipe"].area_m2 == pytest.approx(48 * FOOT_M**2)
    assert len(named) == 3
    # Without the feature the same shots take far too much.
    smeared = shape(SQUARE, heights_of(xy, height)).mean_height_m.mean
    assert (true_mean - smeared) * floor.area_m2 / YARD3_M3 > 0.6


def test_a_pit_with_one_shot_is_level_with_a_stated_doubt() -> None:
    pit = Feature("sump", "pit", ((2.2, 2.2), (3.2, 2.2), (3.2, 3.2), (2.2, 3.2)))
    xy = np.vstack(
        [grid(width_m=SIDE, depth_m=SIDE, columns=5, rows=5, margin_m=0.1), [[2.7, 2.7]]]
    )
    height = np.append(np.full(25, 5.0), 4.6)
    floor = shape(replace(SQUARE, features=(pit,)), heights_of(xy, height))
    sump = floor.panels[-1]
    assert (sump.name, sump.shots) == ("sump", 1)
    assert sump.mean_height_m.mean == pytest.approx(4.6, abs=0.002)
    assert sump.fall < 1e-3
    corner, middle = floor.surface.deviation_m(np.array([[2.22, 2.22], [2.7, 2.7]]))
    assert corner > 0.015  # 3 % over 0.7 m
    assert middle < 0.003
    assert [a.about for a in floor.assumptions if "tilt" in a.about] == ["tilt of sump (pit)"]


@pytest.fixture(scope="module")
def cracked() -> OldSlab:
    """A crack from top to bottom; the right side stands 12 mm higher and is tipped."""
    rng = np.random.default_rng(4)
    xy = grid(width_m=8, depth_m=5, columns=9, rows=6, margin_m=0.3)
    height = 2 + 0.006 * xy[:, 0] + 0.004 * np.sin(xy[:, 1])
    height += (xy[:, 0] > 4.2) * (0.012 + 0.003 * (xy[:, 1] - 2.5)) + rng.normal(0, 0.001, len(xy))
    plan = FloorPlan(
        outline=((0, 0), (8, 0), (8, 5), (0, 5)),
        # From top to bottom, so that the right of the line is the left of the sheet.
        breaks=(Break("crack 1", ((4.2, 5.1), (4.2, -0.1)), "crack", 0.030),),
        openings=(((0.0, 1.0), (0.0, 4.0)),),
    )
    covariance = np.eye(len(xy)) * 0.001**2 + 0.0005**2
    return shape(plan, heights_of(xy, height, covariance_m2=covariance, convention="feet-inches"))


def test_a_step_across_a_break_is_recovered_everywhere_along_it(cracked: OldSlab) -> None:
    assert 3 <= len(cracked.steps) <= 9
    for step in cracked.steps:
        truth = -(0.012 + 0.003 * (step.at[1] - 2.5))
        assert step.step_m.low <= truth <= step.step_m.high
        assert step.step_m.deviation < 0.004
        assert step.typed_m == 0.030
    asked = [remark for remark in cracked.remarks if remark.weight == "ask"]
    assert len(asked) == 1
    assert "crack 1" in asked[0].text
    assert "1 3/16 in" in asked[0].text  # 30 mm in the survey's own units


def test_panels_are_told_one_by_one_and_add_up(cracked: OldSlab) -> None:
    assert [panel.name for panel in cracked.panels] == ["A", "B"]
    assert [panel.shots for panel in cracked.panels] == [30, 24]
    mean = sum(p.area_m2 * p.mean_height_m.mean for p in cracked.panels) / cracked.area_m2
    assert mean == pytest.approx(cracked.mean_height_m.mean, abs=1e-9)
    low, high = cracked.panels
    assert low.falls_toward_deg == pytest.approx(270, abs=25)
    assert high.mean_height_m.mean - low.mean_height_m.mean == pytest.approx(
        0.012 + 0.024, abs=0.003
    )


def test_the_sheets_are_the_surface(cracked: OldSlab) -> None:
    inside = cracked.lattice.points_m
    assert cracked.heights_m[cracked.lattice.inside] == pytest.approx(
        cracked.surface.height_m(inside), abs=1e-9
    )
    some = inside[::97]
    assert cracked.deviations_m[cracked.lattice.inside][::97] == pytest.approx(
        cracked.surface.deviation_m(some), rel=1e-9
    )
    assert np.isnan(cracked.pond_depth_m).sum() == np.count_nonzero(~cracked.lattice.inside)
    # Every working can be run again and gives what it says.
    for working in cracked.workings:
        assert working.recompute() == pytest.approx(working.result.value)
    abouts = [working.about for working in cracked.workings]
    assert "fall of panel A" in abouts
    assert "volume after the best next shot" in abouts


def test_a_floor_without_trouble_has_no_remarks(cracked: OldSlab) -> None:
    assert [remark for remark in cracked.remarks if remark.weight != "ask"] == []
    assert cracked.fit.on_bound == ()


def test_the_next_shot_does_what_it_says() -> None:
    pieces = (Piece("A", "panel", shapely.box(0, 0, 6, 4)),)
    xy = grid(width_m=6, depth_m=4, columns=4, rows=3, margin_m=0.3)
    xy = xy[~((xy[:, 0] > 4) & (xy[:, 1] > 2.5))]  # the upper right corner was not shot
    height = 0.01 * np.sin(xy[:, 0])
    fixed = Parameters(length_m=2.0, roughness_m=0.01, texture_m=0.001)
    data = data_of(xy, height, np.eye(len(xy)) * 0.0015**2, pieces)
    surface = MixedSurface(data, pieces, [(1.0, fixed)])
    cells, areas = clipped_cells(pieces[0].polygon, step_m=0.25)
    volume = Sums(cells, np.zeros(len(cells), dtype=np.intp), areas[None, :])
    told = best_next_shot(surface, volume, cells, texture_m=fixed.texture_m)
    assert told is not None
    shot, _ = told
    assert shot.at[0] > 3.5
    assert shot.at[1] > 2

    def deviation_with(place: np.ndarray) -> float:
        more = data_of(
            np.vstack([xy, place]),
            np.append(height, 0.0),
            np.eye(len(xy) + 1) * 0.0015**2,
            pieces,
        )
        again = MixedSurface(more, pieces, [(1.0, fixed)])
        return float(np.sqrt(again.weigh(cells, areas[None, :])[1][0, 0]))

    now = float(np.sqrt(surface.weigh(cells, areas[None, :])[1][0, 0]))
    assert shot.deviation_now_m3 == pytest.approx(now, rel=1e-6)
    # Shot there and worked through anew, the deviation is what was promised.
    assert deviation_with(np.array(shot.at)) == pytest.approx(shot.deviation_then_m3, rel=1e-4)
    # And no other candidate would have done better.
    others = min(deviation_with(place) for place in cells[::3])
    assert shot.deviation_then_m3 <= others * (1 + 1e-6)


def test_no_next_shot_when_all_has_been_shot() -> None:
    plan = FloorPlan(outline=((0, 0), (0.5, 0), (0.5, 0.4), (0, 0.4)))
    xy = grid(width_m=0.5, depth_m=0.4, columns=5, rows=4, margin_m=0.02)
    assert shape(plan, heights_of(xy, np.full(20, 1.0) + 0.001 * xy[:, 0])).next_shot is None


def test_shots_on_a_break_go_to_the_side_they_fit_and_it_is_said() -> None:
    plan = replace(SQUARE, breaks=(Break("joint", ((SIDE / 2, 0), (SIDE / 2, SIDE)), "joint"),))
    xy = grid(width_m=SIDE, depth_m=SIDE, columns=5, rows=5, margin_m=0)
    on_line = np.isclose(xy[:, 0], SIDE / 2)
    high_side = (xy[:, 0] > SIDE / 2 + 0.01) | (on_line & (xy[:, 1] > SIDE / 2))
    floor = shape(plan, heights_of(xy, 1 + 0.01 * xy[:, 0] + 0.02 * high_side))
    left, right = floor.panels
    assert (left.shots, right.shots) == (13, 12)
    assert any("break line" in remark.text for remark in floor.remarks)
    for step in floor.steps:
        assert step.step_m.mean == pytest.approx(-0.02, abs=0.002) or step.step_m.mean == (
            pytest.approx(0.02, abs=0.002)
        )


def test_thousands_of_shots_at_one_place_are_one_place() -> None:
    rng = np.random.default_rng(9)
    xy = grid(width_m=SIDE, depth_m=SIDE, columns=4, rows=4, margin_m=0.5)
    many = np.vstack([np.tile([[3.0, 3.0]], (3000, 1)), xy])
    covariance = np.eye(len(many)) * 0.002**2 + 0.001**2
    height = 1 + rng.normal(0, 0.002, len(many))
    floor = shape(SQUARE, heights_of(many, height, covariance_m2=covariance))
    at_spot = floor.surface.height_m(np.array([[3.0, 3.0]]))[0]
    assert at_spot == pytest.approx(height[:3000].mean(), abs=0.001)
    assert floor.surface.deviation_m(np.array([[3.0, 3.0]]))[0] > 0.001  # the common error stays
    assert len(floor.shot_names) == 3016
    assert floor.panels[0].shots == 3016


def test_more_places_than_can_be_used_are_thinned_and_it_is_said() -> None:
    rng = np.random.default_rng(6)
    xy = rng.uniform(0.05, SIDE - 0.05, (1200, 2))
    floor = shape(SQUARE, heights_of(xy, 1 + 0.01 * np.sin(xy[:, 0]) + rng.normal(0, 0.001, 1200)))
    assert any("1000 of them" in remark.text for remark in floor.remarks)
    x = (np.arange(1000) + 0.5) / 1000 * SIDE
    assert floor.mean_height_m.mean == pytest.approx(1 + 0.01 * np.sin(x).mean(), abs=3e-4)


def test_two_answers_that_disagree_are_told() -> None:
    xy = grid(width_m=SIDE, depth_m=SIDE, columns=7, rows=7, margin_m=0)
    height = np.random.default_rng(1).normal(0, 0.001, 49)
    # A shot in the middle is a rod's length off and said to be good to a foot: the surface gives it
    # little weight, the triangles as much as any other.
    height[24] = -2.5
    covariance = np.eye(49) * 0.001**2
    covariance[24, 24] = 0.3**2
    floor = shape(SQUARE, heights_of(xy, height, covariance_m2=covariance))
    assert not floor.agreement.passes
    told = [remark.text for remark in floor.remarks if remark.weight == "warn"]
    assert any("differ by" in text for text in told)


def test_a_wild_shot_puts_the_fit_on_its_bounds_and_it_is_said() -> None:
    xy = grid(width_m=SIDE, depth_m=SIDE, columns=5, rows=5, margin_m=0)
    height = np.append(-2.9, np.ones(24) * 0.01)
    floor = shape(SQUARE, heights_of(xy, height))
    assert "roughness_m" in floor.fit.on_bound
    told = [remark.text for remark in floor.remarks if remark.weight == "warn"]
    assert any("held at the bound" in text for text in told)


def test_bad_shots_are_told() -> None:
    xy = grid(width_m=SIDE, depth_m=SIDE, columns=4, rows=4, margin_m=0.5)
    level = np.ones(16)
    beside = xy + np.array([3.0, 0.0])
    assert codes(SQUARE, np.empty((0, 2)), np.empty(0)) == ["floor-no-shots"]
    assert codes(SQUARE, xy[:1], level[:1]) == ["floor-too-few-shots"]
    assert codes(SQUARE, xy[:4], level[:4]) == ["floor-too-few-shots"]
    assert codes(SQUARE, xy, np.append(level[1:], np.nan)) == ["floor-shot-not-a-number"]
    assert codes(SQUARE, xy, np.append(level[1:], 40.0)) == ["floor-heights-apart"]
    assert codes(SQUARE, beside, level) == ["floor-shots-outside"]
    with pytest.raises(Faulty, match="P4 by 2500 mm"):
        shape(SQUARE, heights_of(beside, level))
    crossing = replace(SQUARE, outline=(SQUARE.outline[0], (5, 5), (5, 0), (0, 5)))
    assert codes(crossing, xy, level) == ["plan-crosses-itself"]
    short = replace(SQUARE, breaks=(Break("c", ((0, 3), (3, 3)), "crack"),))
    assert codes(short, xy, level) == ["plan-break-does-not-cross"]
    unshot = replace(
        SQUARE,
        breaks=(Break("c", ((0, 0.3), (SIDE, 0.3)), "crack"),),
        features=(Feature("sump", "pit", ((1, 1), (1.4, 1), (1.4, 1.4), (1, 1.4))),),
    )
    assert codes(unshot, xy, level) == ["floor-panel-without-shots", "floor-feature-without-shots"]
    in_post = replace(
        SQUARE, holes=(Hole("post", ((0.3, 0.3), (0.8, 0.3), (0.8, 0.8), (0.3, 0.8))),)
    )
    assert codes(in_post, xy, level) == ["floor-shots-outside"]


def test_a_step_of_the_lattice_that_does_not_suit_is_told() -> None:
    xy = grid(width_m=SIDE, depth_m=SIDE, columns=4, rows=4, margin_m=0.5)
    heights = heights_of(xy, np.ones(16) + 0.01 * xy[:, 0])
    for step_m in (0.0, -1.0, float("nan"), 1e-4, 5.0):
        with pytest.raises(Faulty) as caught:
            shape(SQUARE, heights, lattice_step_m=step_m)
        assert [fault.code for fault in caught.value.faults] == ["floor-lattice-step"]
    assert shape(SQUARE, heights, lattice_step_m=0.25).lattice.step_m == 0.25


def test_shots_a_hair_outside_are_taken_to_the_edge_and_it_is_said() -> None:
    xy = grid(width_m=SIDE, depth_m=SIDE, columns=4, rows=4, margin_m=-0.01)
    floor = shape(SQUARE, heights_of(xy, 1 + 0.01 * xy[:, 0]))
    assert floor.shots_xy_m.min() >= 0
    assert floor.shots_xy_m.max() <= SIDE
    assert any("a hair outside" in remark.text for remark in floor.remarks)


def test_a_break_that_does_not_part_the_floor_is_said() -> None:
    post = Hole("post", ((3.0, 2.9), (3.2, 2.9), (3.2, 3.1), (3.0, 3.1)))
    plan = replace(SQUARE, holes=(post,), breaks=(Break("c", ((0, 3), (3, 3)), "crack"),))
    xy = grid(width_m=SIDE, depth_m=SIDE, columns=5, rows=5, margin_m=0.2)
    floor = shape(plan, heights_of(xy, 1 + 0.01 * xy[:, 0]))
    assert len(floor.panels) == 1
    assert floor.steps == ()
    assert any("does not cut the floor in two" in remark.text for remark in floor.remarks)
