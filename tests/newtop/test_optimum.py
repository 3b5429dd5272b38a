"""The solver's top against tops worked out by hand and against another library's own model."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from floors_for_tops import L_SHAPE, box, door, old_floor, wishes_of
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize

from overslab.ground.programme import solve
from overslab.newtop import words
from overslab.newtop.layouts import layouts
from overslab.newtop.model import (
    Margins,
    Model,
    Solved,
    level_model,
    plane_model,
    planes_model,
    strips_model,
)
from overslab.newtop.padlines import grid_pads
from overslab.newtop.records import Drain, Move, Outlet, Wishes, Zone
from overslab.newtop.site import Site, prepare
from overslab.newtop.triangles import TrianglePads
from overslab.oldslab.records import FloorPlan, OldSlab

PRICE = 200.0


def site_of(wishes: Wishes, outline=None, shape=None, **more) -> Site:
    plan = FloorPlan(outline=outline or box(6, 8))
    old = old_floor(plan, **more) if shape is None else old_floor(plan, shape, **more)
    return prepare(old, wishes)


def plane(site: Site) -> Model:
    return plane_model(site, grid_pads(site))


def strips(site: Site) -> Model:
    return strips_model(site, grid_pads(site))


def planes(site: Site, place: int = 0) -> Model:
    layout = layouts(site)[place]
    marks = TrianglePads(
        site.polygon, list(layout.regions), inner_m=grid_pads(site).at_m, limit_m=site.pad_limit_m
    )
    return planes_model(site, marks, title=layout.title())


def solved(model: Model) -> Solved:
    answer = model.solve()
    assert answer is not None
    return answer


def prices_of(model: Model) -> dict[str, float]:
    return model.prices(solve(model.programme()))


# Worked by hand


@pytest.mark.parametrize("make", [plane, strips, planes])
def test_flat_floor_one_door(make) -> None:
    # 6 by 8 m, 50 mm at the door, 1 % over 8 m: mean 50 + 40 mm, 48 m2 at 200 a cubic metre.
    answer = solved(make(site_of(wishes_of())))
    assert answer.cost == pytest.approx(48 * PRICE * 0.09, rel=1e-6)
    assert answer.bound == pytest.approx(answer.cost, rel=1e-9)


def test_flat_floor_level_top_and_its_price() -> None:
    site = site_of(wishes_of())
    model = level_model(site, grid_pads(site))
    answer = solved(model)
    assert answer.cost == pytest.approx(48 * PRICE * 0.05, rel=1e-6)
    # Every metre of thickness costs area times price.
    assert prices_of(model)[words.LEAST_THICKNESS] == pytest.approx(48 * PRICE, rel=1e-6)
    assert model.savings(answer)[words.LEAST_THICKNESS] == pytest.approx(48 * PRICE * 0.003)


def test_price_of_fall_is_the_moment_of_the_floor() -> None:
    # V = A (t + f D / 2): a half percent less fall saves A D / 2 * 0.005 cubic metres.
    model = plane(site_of(wishes_of()))
    saved = model.savings(solved(model))
    assert saved[words.LEAST_FALL] == pytest.approx(PRICE * 48 * 4 * 0.005, rel=1e-6)
    assert saved[words.LEAST_THICKNESS] == pytest.approx(PRICE * 48 * 0.003, rel=1e-6)
    assert saved[words.CROSS_FALL] == pytest.approx(0.0, abs=1e-9)


def test_old_floor_that_runs_the_wrong_way() -> None:
    # Falls away from the door by 1 %: at the back 50 + 8 m * (1 % + 1 %), as in trade practice.
    site = site_of(wishes_of(), shape=lambda x, y: -0.01 * y + 0.0 * x)
    model = plane(site)
    heights = solved(model).heights_m
    back = model.pads.at_m[:, 1] == 8.0
    thickness = heights[back] + site.base_m + 0.08
    assert thickness == pytest.approx(np.full(back.sum(), 0.05 + 8 * 0.02), abs=1e-6)


def test_surety_is_kept_above_the_least_thickness() -> None:
    site = site_of(wishes_of(surety=2.0), deviation_m=0.004)
    assert solved(plane(site)).cost == pytest.approx(48 * PRICE * (0.09 + 0.008), rel=1e-6)


def test_four_ways_to_a_drain_in_the_middle() -> None:
    # Straight rays from the drain to the corners rule: all walls stand f * 5 m above the rim, and
    # four pyramids' sides have their mean two thirds up.
    drain = Outlet("drain", ((3.0, 4.0),))
    wishes = wishes_of(outlets=(drain,), cross_fall=0.04)
    answer = solved(planes(site_of(wishes)))
    assert answer.cost == pytest.approx(48 * PRICE * (0.05 + 0.01 * 5 * 2 / 3), rel=4e-3)


def test_a_kept_rim_holds_the_whole_top() -> None:
    drain = Outlet("drain", ((3.0, 4.0),))
    kept = Drain("drain", (3.0, 4.0), rim_m=0.08, plan="keep", drop_m=0.01)
    wishes = wishes_of(outlets=(drain,), drains=(kept,), cross_fall=0.04)
    model = planes(site_of(wishes))
    answer = solved(model)
    assert answer.cost == pytest.approx(48 * PRICE * (0.09 + 0.01 * 5 * 2 / 3), rel=4e-3)
    assert model.savings(answer)["drain rim"] == pytest.approx(48 * PRICE * 0.003, rel=1e-6)


def test_a_ridge_half_way_between_facing_doors() -> None:
    outlets = (
        Outlet("front", ((1.0, 0.0), (5.0, 0.0))),
        Outlet("back", ((1.0, 8.0), (5.0, 8.0))),
    )
    site = site_of(wishes_of(outlets=outlets))
    assert plane(site).solve() is None
    for model in (planes(site), strips(site)):
        assert solved(model).cost == pytest.approx(48 * PRICE * (0.05 + 0.02), rel=1e-6)


def test_an_l_shape_costs_no_less_in_planes_than_in_strips_and_no_more_than_one_plane() -> None:
    mouth = (Outlet("front door", ((0.0, 0.0), (4.0, 0.0))),)
    site = site_of(wishes_of(cross_fall=0.05, outlets=mouth), outline=L_SHAPE)
    one, struck = solved(plane(site)), solved(strips(site))
    best = min(
        answer.cost for k in range(len(layouts(site))) if (answer := planes(site, k).solve())
    )
    assert struck.cost <= one.cost + 1e-6
    assert best <= one.cost + 1e-6


def test_a_flat_zone_is_kept_flat() -> None:
    bay = Zone("lift bay", ((2.0, 4.0), (4.0, 4.0), (4.0, 6.0), (2.0, 6.0)), greatest_fall=0.002)
    site = site_of(wishes_of(zones=(bay,), bend=1.0))
    model = strips(site)
    answer = solved(model)
    at = np.array([[2.0, 4.0], [3.0, 5.0], [3.9, 5.9], [2.1, 5.9]])
    along, up = model.pads.slope(at, model.pads.locate(at))
    steepest = np.hypot(along.of(answer.heights_m), up.of(answer.heights_m))
    assert (steepest <= 0.002 + 1e-9).all()


# Against another library's own model of the same floor


def strips_by_scipy(old: OldSlab, wishes: Wishes, places, u: np.ndarray, v: np.ndarray):
    """Strips over a box with a door on the front wall, written out node by node.

    The way to the wall is straight ahead everywhere, so a fall is a difference along a pad line.
    """
    nu, nv = len(u), len(v)

    def node(i: int, j: int) -> int:
        return j * nu + i

    rows, limits = [], []

    def at_most(terms: dict[int, float], limit: float) -> None:
        row = np.zeros(nu * nv)
        for place, amount in terms.items():
            row[place] += amount
        rows.append(row)
        limits.append(limit)

    for (i, j), run in (((i, j), v[j + 1] - v[j]) for i, j in product(range(nu), range(nv - 1))):
        up = {node(i, j + 1): 1 / run, node(i, j): -1 / run}
        at_most({k: -x for k, x in up.items()}, -wishes.least_fall)
        at_most(up, wishes.greatest_fall)
    for i, j in product(range(nu - 1), range(nv)):
        run = u[i + 1] - u[i]
        across = {node(i + 1, j): 1 / run, node(i, j): -1 / run}
        at_most(across, wishes.cross_fall)
        at_most({k: -x for k, x in across.items()}, wishes.cross_fall)
        if j == 0:  # the front wall falls toward the door from x = 1 to x = 4
            if u[i + 1] <= 1.0:
                at_most(across, 0.0)
            if u[i] >= 4.0:
                at_most({k: -x for k, x in across.items()}, 0.0)
    bends = [((i - 1, j), (i, j), (i + 1, j)) for i in range(1, nu - 1) for j in range(nv)]
    bends += [((i, j - 1), (i, j), (i, j + 1)) for i in range(nu) for j in range(1, nv - 1)]
    for a, b, c in bends:
        before = math.dist((u[a[0]], v[a[1]]), (u[b[0]], v[b[1]]))
        after = math.dist((u[b[0]], v[b[1]]), (u[c[0]], v[c[1]]))
        change = {node(*a): 1 / before, node(*b): -1 / before - 1 / after, node(*c): 1 / after}
        at_most(change, wishes.bend)
        at_most({k: -x for k, x in change.items()}, wishes.bend)
    for (x, y), below in zip(places, old.surface.height_m(places), strict=True):
        i = min(int(np.searchsorted(u, x, "right")) - 1, nu - 2)
        j = min(int(np.searchsorted(v, y, "right")) - 1, nv - 2)
        a, b = (x - u[i]) / (u[i + 1] - u[i]), (y - v[j]) / (v[j + 1] - v[j])
        shares = {
            node(i, j): (1 - a) * (1 - b), node(i + 1, j): a * (1 - b),
            node(i, j + 1): (1 - a) * b, node(i + 1, j + 1): a * b,
        }  # fmt: skip
        at_most({k: -x for k, x in shares.items()}, -(below + wishes.least_thickness_m))
    du, dv = np.diff(u), np.diff(v)
    reach_u = (np.append(du, 0) + np.append(0, du)) / 2
    reach_v = (np.append(dv, 0) + np.append(0, dv)) / 2
    cost = wishes.concrete_cost_per_m3 * np.outer(reach_v, reach_u).ravel()
    answer = optimize.linprog(cost, A_ub=np.array(rows), b_ub=np.array(limits), bounds=(None, None))
    assert answer.status == 0
    area = (u[-1] - u[0]) * (v[-1] - v[0])
    return answer.fun - wishes.concrete_cost_per_m3 * area * old.mean_height_m.mean


@given(
    st.integers(0, 1000),
    st.floats(0.005, 0.02),
    st.floats(0.002, 0.02),
    st.floats(0.004, 0.03),
)
@settings(max_examples=8, deadline=None)
def test_strips_cost_what_another_model_and_library_say(seed, least, cross, bend) -> None:
    rng = np.random.default_rng(seed)
    waves = rng.normal(size=(3, 3)) * 0.01

    def shape(x, y):
        return sum(
            waves[i, j] * np.cos(0.5 * i * x + 0.1) * np.sin(0.4 * j * y + 0.3)
            for i in range(3)
            for j in range(3)
        )

    wishes = wishes_of(least_fall=least, cross_fall=cross, bend=bend)
    plan = FloorPlan(outline=box(6, 8))
    old = old_floor(plan, shape)
    site = prepare(old, wishes)
    pads = grid_pads(site)
    ours = strips_model(site, pads).solve()
    assert ours is not None
    other = strips_by_scipy(old, wishes, site.places.at_m, pads.u_m, pads.v_m)
    assert ours.cost == pytest.approx(other, rel=1e-5, abs=1e-3)


# Touches that may be moved


@pytest.mark.parametrize("costs", [(5.0, 5.0), (900.0, 5.0), (5.0, 900.0), (900.0, 900.0)])
def test_moves_are_those_of_trying_every_choice(costs) -> None:
    sides = [
        door(0.0, 0.055, move=Move(costs[0], up_m=0.1)),
        door(0.0, 0.09, name="back door", a=(1.0, 8.0), b=(3.0, 8.0), move=Move(costs[1], 0.12)),
    ]
    # At the front the old floor stands 60 mm high, and 50 mm have to lie on it.
    old = {"shape": lambda x, y: 0.06 * np.exp(-((y / 2) ** 2)) + 0.0 * x, "outline": box(6, 8)}
    wishes = wishes_of(edges=tuple(sides), least_thickness_m=0.03)
    together = solved(strips(site_of(wishes, **old)))
    totals = {}
    for choice in product((False, True), repeat=2):
        held = tuple(
            replace(
                edge,
                move=None,
                highest_m=edge.highest_m + (edge.move.up_m if moves else 0.0),
            )
            for edge, moves in zip(sides, choice, strict=True)
        )
        alone = strips(site_of(replace(wishes, edges=held), **old)).solve()
        if alone is not None:
            moving = sum(cost for cost, moves in zip(costs, choice, strict=True) if moves)
            totals[choice] = alone.cost + moving
    assert totals
    best = min(totals, key=totals.__getitem__)
    assert together.cost == pytest.approx(totals[best], rel=1e-6)
    names = tuple(edge.name for edge, moves in zip(sides, best, strict=True) if moves)
    assert together.moved == names
    assert together.bound <= together.cost + 1e-6


@pytest.mark.parametrize(("old_m", "moved"), [(0.0, ("drain",)), (-0.1, ())])
def test_a_drain_is_raised_only_where_it_must_be(old_m, moved) -> None:
    # 50 mm over a floor level with the rim lifts the rim; over a floor 100 mm lower it may stay.
    outlet = Outlet("drain", ((3.0, 4.0),))
    drain = Drain("drain", (3.0, 4.0), 0.0, plan="raise", move=Move(300.0, up_m=0.2))
    wishes = wishes_of(outlets=(outlet,), drains=(drain,), cross_fall=0.04)
    answer = solved(strips(site_of(wishes, shape=lambda x, y: 0.0 * x * y + old_m)))
    assert answer.moved == moved


# Prices against solving again with the wish itself changed


def relaxed(wishes: Wishes, name: str) -> Wishes:
    step_m, step_slope = words.steps(wishes)
    if name == words.LEAST_THICKNESS:
        return replace(wishes, least_thickness_m=wishes.least_thickness_m - step_m)
    if name == words.LEAST_FALL:
        return replace(wishes, least_fall=wishes.least_fall - step_slope)
    if name == words.CROSS_FALL:
        return replace(wishes, cross_fall=wishes.cross_fall + step_slope)
    if name == words.BEND:
        return replace(wishes, bend=wishes.bend + step_slope)
    if name == words.HIGHEST:
        return replace(wishes, highest_m=wishes.highest_m + step_m)
    edge = wishes.edges[0]
    if name == "front door lowest":
        return replace(wishes, edges=(replace(edge, lowest_m=edge.lowest_m - step_m),))
    assert name == "front door highest"
    return replace(wishes, edges=(replace(edge, highest_m=edge.highest_m + step_m),))


@pytest.mark.parametrize("low", [0.0, 0.12])
def test_prices_are_what_solving_again_says(low) -> None:
    wishes = wishes_of(
        edges=(door(low, 0.13, level=False),), highest_m=0.3, bend=0.006, cross_fall=0.004
    )

    def bumpy(x, y):
        return 0.05 * np.sin(0.9 * x + 0.4) * np.cos(0.7 * y)

    model = strips(site_of(wishes, shape=bumpy))
    answer = solved(model)
    saved = model.savings(answer)
    told = [name for name in saved if not name.startswith("wall run") and name != "greatest fall"]
    assert sum(saved[name] > 0.01 for name in told) >= 2
    for name in told:
        again = solved(strips(site_of(relaxed(wishes, name), shape=bumpy)))
        assert saved[name] == pytest.approx(answer.cost - again.cost, abs=1e-4)
        # A dual is a bound on what one step can save (the least cost is convex in the limit).
        step = words.steps(wishes)[words.known_rules(wishes)[name].slope]
        assert saved[name] <= prices_of(model)[name] * step + 1e-4


def test_where_one_rule_holds_alone_its_dual_is_its_price() -> None:
    wishes = wishes_of(least_thickness_m=0.051)
    model = plane(site_of(wishes, shape=lambda x, y: 0.003 * x + 0.0 * y))
    answer = solved(model)
    tiny = 1e-5
    again = solved(
        plane(
            site_of(
                replace(wishes, least_thickness_m=0.051 - tiny),
                shape=lambda x, y: 0.003 * x + 0.0 * y,
            )
        )
    )
    price = prices_of(model)[words.LEAST_THICKNESS]
    assert price == pytest.approx((answer.cost - again.cost) / tiny, rel=1e-4)


# Order


@given(st.floats(0.004, 0.012), st.floats(0.0005, 0.004), st.integers(0, 100))
@settings(max_examples=10, deadline=None)
def test_asking_for_more_never_costs_less(fall, more, seed) -> None:
    rng = np.random.default_rng(seed)
    tilt = rng.normal(size=2) * 0.005

    def shape(x, y):
        return tilt[0] * x + tilt[1] * y + 0.01 * np.sin(x)

    wishes = wishes_of(least_fall=fall)
    easy = solved(strips(site_of(wishes, shape=shape))).cost
    steeper = solved(strips(site_of(replace(wishes, least_fall=fall + more), shape=shape))).cost
    thicker = solved(strips(site_of(replace(wishes, least_thickness_m=0.05 + more), shape=shape)))
    assert steeper >= easy - 1e-6
    assert thicker.cost == pytest.approx(easy + 48 * PRICE * more, rel=1e-6)
    assert easy <= solved(plane(site_of(wishes, shape=shape))).cost + 1e-6


def test_allowance_for_marks_costs_and_never_saves() -> None:
    model = strips(site_of(wishes_of(), shape=lambda x, y: 0.01 * np.sin(x) + 0.0 * y))
    none = solved(model).cost
    some = model.solve(Margins(heights=1.0))
    full = model.solve(Margins(heights=1.0, falls=1.0))
    assert some is not None
    assert full is not None
    assert none < some.cost < full.cost


def test_most_rows_join_only_when_needed_and_change_nothing() -> None:
    wishes = wishes_of()
    fine = {"shape": lambda x, y: 0.02 * np.sin(1.3 * x) * np.cos(0.8 * y)}
    model = plane(site_of(wishes, step_m=0.1, **fine))
    assert len(model.rules.low) > 4000
    assert solved(model).cost == pytest.approx(solve(model.programme()).cost, rel=1e-7)
