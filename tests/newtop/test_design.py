"""The whole room: tops on settable marks, what is chosen, and what is said when nothing can be."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from floors_for_tops import L_SHAPE, box, door, old_floor, wishes_of
from hypothesis import given, settings
from hypothesis import strategies as st

from overslab.newtop import NewTop, TopOption, design
from overslab.newtop.design import choose
from overslab.newtop.marking import letters
from overslab.newtop.records import Drain, Edge, Outlet, Wishes
from overslab.newtop.words import steps
from overslab.oldslab.records import FloorPlan, Hole

SIXTEENTH_M = 0.0254 / 16


def bumpy(x, y):
    return 0.012 * np.sin(0.9 * x + 0.4) * np.cos(0.7 * y)


def made(wishes: Wishes, outline=None, shape=bumpy, holes=()) -> NewTop:
    plan = FloorPlan(outline=outline or box(6, 8), holes=holes)
    return design(old_floor(plan, shape), wishes)


def option(top: NewTop, kind: str) -> TopOption:
    return next(one for one in top.options if one.kind == kind)


def fine_places(polygon: shapely.Polygon, step_m: float = 0.05) -> np.ndarray:
    west, south, east, north = polygon.bounds
    x, y = np.meshgrid(
        np.arange(west + step_m / 2, east, step_m), np.arange(south + step_m / 2, north, step_m)
    )
    at = np.column_stack([x.ravel(), y.ravel()])
    return at[shapely.contains_xy(polygon, at[:, 0], at[:, 1])]


@pytest.mark.parametrize("kind", ["plane", "planes", "strips"])
def test_the_marked_top_holds_on_a_fine_lattice(kind) -> None:
    # A plain door: the way out is straight to the front wall everywhere.
    wishes = wishes_of(kinds=(kind,), mark_m=SIXTEENTH_M, edges=(door(0.0, 0.08),))
    top = made(wishes)
    found = option(top, kind)
    assert top.chosen == kind
    assert found.passes
    at = fine_places(shapely.Polygon(box(6, 8)))
    thickness = found.surface.height_m(at) - bumpy(at[:, 0], at[:, 1])
    assert thickness.min() >= 0.05 - SIXTEENTH_M / 2
    slope = found.surface.gradient(at)
    slack = SIXTEENTH_M / 3.0
    assert slope[:, 1].min() >= 0.01 - slack
    assert slope[:, 1].max() <= 0.04 + slack
    assert np.abs(slope[:, 0]).max() <= 0.02 + slack
    assert found.volume_m3 == pytest.approx(thickness.mean() * 48, rel=2e-3)
    assert found.concrete_cost == pytest.approx(200 * found.volume_m3)
    assert found.cost == pytest.approx(found.concrete_cost + found.moving_cost)
    # Proven: no top of the kind costs less; marks may lie half a step below such a top.
    assert found.cost >= found.bound_cost - 200 * 48 * SIXTEENTH_M / 2
    assert found.optimum_cost == pytest.approx(found.bound_cost, rel=1e-6)
    for pad in found.pads:
        assert pad.height_m / SIXTEENTH_M == pytest.approx(round(pad.height_m / SIXTEENTH_M))
        on_top = found.surface.height_m(np.array([pad.at]))[0]
        assert pad.height_m == pytest.approx(on_top, abs=SIXTEENTH_M / 2 + 1e-9)
        assert pad.thickness_m == pytest.approx(pad.height_m - bumpy(*pad.at), abs=1e-9)
    assert len({pad.name for pad in found.pads}) == len(found.pads)


def test_record_of_the_chosen_top() -> None:
    top = made(wishes_of(kinds=("plane",)), outline=L_SHAPE)
    assert top.chosen is None  # the wall runs away from the door on one side
    ahead = (Outlet("front door", ((0.0, 0.0), (3.0, 0.0))),)
    top = made(wishes_of(kinds=("plane",), outlets=ahead), outline=L_SHAPE)
    assert top.top is not None
    inside = top.lattice.inside
    assert np.isfinite(top.top_m[inside]).all()
    assert np.isnan(top.top_m[~inside]).all()
    heights = top.top.surface.height_m(top.lattice.points_m)
    assert top.top_m[inside] == pytest.approx(heights)
    assert top.thickness_m[inside] == pytest.approx(
        heights - bumpy(*top.lattice.points_m.T), abs=1e-9
    )
    rings = [shapely.Polygon(strip.corners) for strip in top.strips]
    assert sum(ring.area for ring in rings) == pytest.approx(shapely.Polygon(L_SHAPE).area)
    assert shapely.union_all(rings).area == pytest.approx(shapely.Polygon(L_SHAPE).area)
    assert all(ring.bounds[2] - ring.bounds[0] <= 3.0 for ring in rings)
    # The way out stays open: the strip at the door is poured last.
    way_out = shapely.LineString(ahead[0].line)
    assert rings[-1].distance(way_out) <= min(ring.distance(way_out) for ring in rings) + 1e-9
    for working in top.workings:
        assert working.recompute() == pytest.approx(working.result.value)
    assert {assumption.about for assumption in top.assumptions} >= {"pad spacing"}


def test_sides_by_side_and_the_cheapest_that_drains_is_chosen() -> None:
    top = made(wishes_of(), shape=lambda x, y: 0.0 * (x + y))
    kinds = {one.kind: one for one in top.options}
    assert set(kinds) == {"plane", "planes", "strips", "level", "follow"}
    assert kinds["level"].feasible
    assert not kinds["level"].passes
    assert not kinds["follow"].passes
    assert kinds["follow"].volume_m3 == pytest.approx(48 * 0.05)
    assert top.chosen == "plane"
    # By hand: 50 mm and 1 % over 8 m on whole millimetres.
    assert kinds["plane"].cost == pytest.approx(864.0)
    names = [rule.check.name for rule in kinds["plane"].rules]
    assert names[0] == "least thickness"
    assert {"least fall", "cross fall", "wall run to front door"} <= set(names)
    binding = {rule.check.name for rule in kinds["plane"].rules if rule.binds}
    assert binding == {"least thickness", "least fall"}


def test_a_kept_drain_is_met_and_every_way_runs_to_it() -> None:
    drain = Outlet("drain", ((2.0, 3.0),))
    kept = Drain("drain", (2.0, 3.0), rim_m=0.07, plan="keep", drop_m=0.0)
    wishes = wishes_of(kinds=("planes", "strips"), outlets=(drain,), drains=(kept,))
    top = made(wishes, shape=lambda x, y: 0.0 * (x + y))
    for one in top.options:
        assert one.passes
        assert one.surface.height_m(np.array([[2.0, 3.0]]))[0] == pytest.approx(0.07, abs=0.0005)
        at = fine_places(shapely.Polygon(box(6, 8)), 0.1)
        way = np.array([2.0, 3.0]) - at
        far = np.hypot(*way.T)
        fall = -np.einsum("kd,kd->k", one.surface.gradient(at), way / far[:, None])
        assert fall[far > 0.3].min() >= 0.01 - 0.001 / 3
        assert one.drainage.reaches_outlet == pytest.approx(1.0)
    assert len(option(top, "planes").folds) >= 4


U_SHAPE = ((0, 0), (9, 0), (9, 9), (6, 9), (6, 3), (3, 3), (3, 9), (0, 9))
SLANTED = ((0.0, 0.0), (7.0, 0.0), (9.0, 4.0), (6.5, 8.0), (0.0, 6.0))


@pytest.mark.parametrize(
    ("kind", "outline", "outlets"),
    [
        ("strips", U_SHAPE, [((0.0, 9.0), (3.0, 9.0))]),
        ("strips", SLANTED, [((9.0, 4.0), (6.5, 8.0))]),
        ("strips", box(6, 8), [((2.0, 0.0), (4.0, 0.0), "mouth")]),
        ("strips", box(6, 8), [((1.0, 4.0), (5.0, 4.0))]),
        ("planes", box(10, 6), [((2.5, 3.0),), ((7.5, 3.0),)]),
        ("planes", box(6, 6), [((1.0, 0.0), (3.0, 0.0)), ((6.0, 2.0), (6.0, 4.0))]),
        ("strips", box(6, 6), [((1.0, 0.0), (3.0, 0.0)), ((6.0, 2.0), (6.0, 4.0))]),
    ],
)
def test_water_leaves_floors_of_many_shapes(kind, outline, outlets) -> None:
    """Round corners, at slanting walls, to a mouth, a slot, two drains, the corner of two doors."""
    named = tuple(
        Outlet(
            f"outlet {number}",
            tuple(point for point in line if not isinstance(point, str)),
            "mouth" if "mouth" in line else "wall",
        )
        for number, line in enumerate(outlets)
    )
    wishes = wishes_of(kinds=(kind,), outlets=named, cross_fall=0.06, bend=0.06, greatest_fall=0.08)
    found = made(wishes, outline=outline).options[0]
    assert found.feasible
    assert [rule.check.name for rule in found.rules if not rule.check.passes] == []
    assert found.passes
    assert found.drainage.reaches_outlet >= 0.999


def test_a_post_is_gone_round() -> None:
    post = Hole("post", ((2.9, 3.9), (3.1, 3.9), (3.1, 4.1), (2.9, 4.1)))
    top = made(wishes_of(kinds=("plane", "strips")), holes=(post,))
    assert all(one.passes for one in top.options)
    assert "narrow posts" in {assumption.about for assumption in top.assumptions}
    floor = shapely.Polygon(box(6, 8), [post.corners]).area
    assert top.options[0].volume_m3 == pytest.approx(floor * top.options[0].mean_thickness_m)


def test_a_turned_floor_gives_the_same_top() -> None:
    wishes = wishes_of(kinds=("strips",))
    straight = made(wishes, shape=lambda x, y: 0.0 * (x + y))
    turned_box = shapely.affinity.rotate(shapely.Polygon(box(6, 8)), 30, origin=(0, 0))
    turned_door = shapely.affinity.rotate(
        shapely.LineString(wishes.outlets[0].line), 30, origin=(0, 0)
    )
    outlet = Outlet("front door", tuple(turned_door.coords))
    turned = made(
        replace(wishes, outlets=(outlet,)),
        outline=tuple(turned_box.exterior.coords)[:-1],
        shape=lambda x, y: 0.0 * (x + y),
    )
    assert turned.chosen == "strips"
    assert turned.options[0].cost == pytest.approx(straight.options[0].cost, rel=1e-6)


def test_nothing_can_be_and_it_is_said_why() -> None:
    wishes = wishes_of(kinds=("plane", "strips"), edges=(door(0.0, 0.02),))
    top = made(wishes)
    assert top.chosen is None
    assert top.top is None
    assert top.strips == ()
    assert np.isnan(top.top_m).all()
    assert all(one.fight is not None and not one.feasible for one in top.options)
    assert "front door highest" in top.options[0].fight.rules
    assert any(remark.weight == "ask" for remark in top.remarks)


@given(
    st.integers(0, 500),
    st.sampled_from([0.001, 0.005, SIXTEENTH_M, 2 * SIXTEENTH_M, 0.003048]),
    st.floats(0.006, 0.02),
)
@settings(max_examples=5, deadline=None)
def test_rounding_keeps_the_rules(seed, mark_m, fall) -> None:
    rng = np.random.default_rng(seed)
    wave = rng.normal(size=4)

    def shape(x, y):
        return 0.01 * (wave[0] * np.sin(x) + wave[1] * np.cos(0.8 * y)) + 0.004 * wave[2] * x

    wishes = wishes_of(kinds=("strips",), mark_m=mark_m, least_fall=fall)
    found = made(wishes, shape=shape).options[0]
    assert found.feasible
    assert [rule.check.name for rule in found.rules if not rule.check.passes] == []


# Two doors

WEST = door(0.0, 0.02, name="west", a=(1.0, 0.0), b=(4.0, 0.0))
WIDE_L = ((0.0, 0.0), (12.0, 0.0), (12.0, 6.0), (7.0, 6.0), (7.0, 9.0), (0.0, 9.0))


def two_doors(other: Edge, *, old_m: float = -0.06, **changed: object) -> NewTop:
    outlets = tuple(Outlet(edge.name, (edge.a, edge.b)) for edge in (WEST, other))
    asked = {"greatest_fall": 0.06, "cross_fall": 0.06, "bend": 0.06, **changed}
    kinds = ("planes", "strips")
    wishes = wishes_of(kinds=kinds, edges=(WEST, other), outlets=outlets, **asked)
    return made(wishes, outline=WIDE_L, shape=lambda x, y: old_m + 0.0 * (x + y))


def test_doors_on_perpendicular_walls_of_an_l() -> None:
    east = door(0.0, 0.02, name="east", a=(12.0, 1.0), b=(12.0, 4.0))
    top = two_doors(east)
    for one in top.options:
        assert one.feasible
        assert one.passes
        for edge in (WEST, east):
            heights = one.surface.height_m(np.array([edge.a, edge.b]))
            assert heights.max() <= edge.highest_m + 0.0005
            assert heights.min() >= edge.lowest_m - 0.0005
    # By hand: water at either door has come down the least fall from as far as it is away.
    planes = option(top, "planes")
    assert planes.surface.height_m(np.array([[11.0, 5.9]]))[0] >= 0.01 - 0.001
    assert planes.surface.height_m(np.array([[1.0, 9.0]]))[0] >= 0.09 - 0.001


@pytest.mark.parametrize("apart_m", [0.04, 0.06])
def test_doors_in_one_wall_at_two_heights(apart_m) -> None:
    """The floor lies level before each and slopes between them; the lower takes what runs there."""
    east = door(-apart_m, 0.02 - apart_m, name="east", a=(8.0, 0.0), b=(11.0, 0.0))
    top = two_doors(east, least_thickness_m=0.0)
    for one in top.options:
        assert one.feasible
        assert one.passes
        at = np.column_stack([np.linspace(1.0, 11.0, 101), np.zeros(101)])
        foot = one.surface.height_m(at)
        assert np.ptp(foot[:31]) <= 0.001 + 1e-9
        assert np.ptp(foot[70:]) <= 0.001 + 1e-9
        assert foot[0] - foot[-1] >= apart_m - 0.02 - 0.001
        assert np.diff(foot).max() <= 1e-9
    assert "at a jamb of" in option(top, "planes").title


def test_doors_too_far_apart_for_the_slope_between_them() -> None:
    # 4 m between the jambs at 6 % at the most: 0.24 m is the most the two can differ by.
    east = door(-0.50, -0.48, name="east", a=(8.0, 0.0), b=(11.0, 0.0))
    top = two_doors(east, old_m=-0.6)
    for one in top.options:
        assert not one.feasible
        # The two sills, and what a straightedge can do between them.
        assert {"west lowest", "east highest"} < set(one.fight.rules)
        assert {"cross fall", "bend"} & set(one.fight.rules)
        # The sills are firm; 0.48 m over 4 m is 12 %.
        (change,) = (each for each in one.fight.changes if each.rule == "cross fall")
        assert change.to_value >= 0.12 - 1e-9


def test_titles_tell_the_folds_that_there_are() -> None:
    top = made(wishes_of(kinds=("planes",)), shape=lambda x, y: 0.0 * (x + y))
    (flat,) = top.options
    # On a level old floor one plane is the cheapest: the folds tried are none.
    assert flat.folds == ()
    assert flat.title == "planes that come to lie in one"
    bent = made(
        wishes_of(kinds=("planes",), cross_fall=0.03),
        shape=lambda x, y: 0.02 * np.abs(x - 2.5) + 0.0 * y,
    ).options[0]
    assert bent.folds
    assert bent.title == "planes folded through the middle of front door"
    for a, b in bent.folds:
        middle = (np.array(a) + b) / 2
        beside = middle + np.array([[-0.3, 0.0], [0.3, 0.0]])
        left, right = bent.surface.gradient(beside)
        assert np.hypot(*(left - right)) > 0.005


def test_assumptions_speak_the_units_of_the_mark() -> None:
    post = Hole("post", ((2.9, 3.9), (3.1, 3.9), (3.1, 4.1), (2.9, 4.1)))
    for mark_m, system in ((SIXTEENTH_M, "feet-inches"), (0.003048, "tenths"), (0.001, "metric")):
        top = made(wishes_of(kinds=("plane",), mark_m=mark_m), holes=(post,))
        told = " ".join(f"{each.taken} {each.because}" for each in top.assumptions)
        assert {"feet-inches": "1' 0\"", "tenths": "1.0 ft", "metric": "300 mm"}[system] in told
        assert " m " not in told


# What is chosen


def built(kind: str, cost: float, *, passes: bool = True, feasible: bool = True) -> TopOption:
    return TopOption(
        kind=kind, title=kind, feasible=feasible, fight=None, surface=None, cost=cost, passes=passes
    )


def test_the_choice() -> None:
    wishes = wishes_of()
    dear, cheap = built("plane", 9.0), built("strips", 8.0)
    assert choose([dear, cheap], wishes) == "strips"
    # One that passes comes before one that does not, whatever it costs.
    assert choose([dear, built("strips", 8.0, passes=False)], wishes) == "plane"
    assert choose([built("strips", 8.0, passes=False)], wishes) == "strips"
    assert choose([built("plane", 8.0), built("strips", 8.0 - 1e-9)], wishes) == "plane"
    assert choose([built("strips", 8.0, feasible=False)], wishes) is None
    assert choose([built("follow", 1.0), built("level", 2.0), dear], wishes) == "plane"
    assert choose([built("level", 2.0), dear], replace(wishes, least_fall=0.0)) == "level"
    assert choose([built("follow", 1.0), dear], replace(wishes, choose="follow")) == "follow"
    bad = built("planes", 1.0, feasible=False)
    assert choose([bad, dear], replace(wishes, choose="planes")) is None


def test_prices_are_told_in_steps_of_the_trade() -> None:
    inch = 0.0254
    assert steps(wishes_of(mark_m=inch / 16)) == pytest.approx((inch / 8, 1 / 192))
    assert steps(wishes_of(mark_m=inch / 8)) == pytest.approx((inch / 8, 1 / 192))
    assert steps(wishes_of(mark_m=0.003048)) == pytest.approx((0.003048, 1 / 192))
    assert steps(wishes_of(mark_m=0.001)) == (0.003, 0.005)
    assert steps(wishes_of(mark_m=0.005)) == (0.003, 0.005)


def test_pad_lines_have_letters() -> None:
    assert [letters(number) for number in (0, 25, 26, 51, 52, 701, 702)] == [
        "A", "Z", "AA", "AZ", "BA", "ZZ", "AAA",
    ]  # fmt: skip
