"""Wishes that fight: the set and the smallest change against trying every subset."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from floors_for_tops import box, door, old_floor, wishes_of
from scipy import optimize, sparse

from overslab.newtop import words
from overslab.newtop.fights import fight_of, irreducible, least_change
from overslab.newtop.model import Model, level_model, plane_model, strips_model
from overslab.newtop.padlines import grid_pads
from overslab.newtop.records import Drain, Outlet, Wishes
from overslab.newtop.site import prepare
from overslab.oldslab.records import FloorPlan


def model_for(wishes: Wishes, make=plane_model, shape=lambda x, y: 0.0 * (x + y)) -> Model:
    site = prepare(old_floor(FloorPlan(outline=box(6, 8)), shape, step_m=1.0), wishes)
    return make(site, grid_pads(site))


def low_sill(**changed: object) -> Wishes:
    """50 mm over a flat floor at 0 with the sill at no more than 30 mm, 120 mm at most behind."""
    return wishes_of(edges=(door(0.0, 0.03, firm=False),), highest_m=0.2, **changed)


def sides(model: Model, names) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Rows ``matrix @ x <= limit`` of the named rules alone, and the place of each row's rule."""
    rules = model.rules
    matrix = (rules.heights @ model.shape if model.shape is not None else rules.heights).toarray()
    parts = []
    for limit, rule, sign in (
        (rules.low, rules.low_rule, -1.0),
        (rules.high, rules.high_rule, 1.0),
    ):
        mine = np.isin(rule, [rules.names.index(name) for name in names]) & np.isfinite(limit)
        parts.append((sign * matrix[mine], sign * limit[mine], rule[mine]))
    return tuple(np.concatenate([part[k] for part in parts]) for k in range(3))  # type: ignore


def can_be(model: Model, names) -> bool:
    matrix, limit, _ = sides(model, names)
    if not len(limit):
        return True
    answer = optimize.linprog(
        np.zeros(matrix.shape[1]), A_ub=matrix, b_ub=limit, bounds=(None, None)
    )
    return answer.status == 0


def least_with(model: Model, giving: tuple[str, ...]) -> float | None:
    """Least change in steps when only these rules may give way; None when that is not enough."""
    names = model.rules.names
    matrix, limit, rule = sides(model, names)
    known = words.known_rules(model.site.wishes)
    steps = words.steps(model.site.wishes)
    gives = np.zeros((len(limit), len(giving)))
    for place, name in enumerate(giving):
        gives[rule == names.index(name), place] = -1.0
    cost = np.concatenate(
        [np.zeros(matrix.shape[1]), [1 / steps[known[name].slope] for name in giving]]
    )
    bounds = [(None, None)] * matrix.shape[1] + [
        (0, 0.5 if known[name].slope else 2.0) for name in giving
    ]
    answer = optimize.linprog(
        cost, A_ub=sparse.csr_array(np.hstack([matrix, gives])), b_ub=limit, bounds=bounds
    )
    return answer.fun if answer.status == 0 else None


CASES = [
    (low_sill(), plane_model),
    (low_sill(), strips_model),
    (low_sill(firm=("least thickness",)), plane_model),
    (
        low_sill(firm=("least thickness", "front door highest"), greatest_thickness_m=0.1),
        plane_model,
    ),
    (low_sill(least_fall=0.02, firm=("least fall",)), plane_model),
    (low_sill(), level_model),
    (
        wishes_of(
            outlets=(Outlet("drain", ((3.0, 4.0),)),),
            drains=(Drain("drain", (3.0, 4.0), rim_m=0.04, plan="keep"),),
            cross_fall=0.05,
        ),
        strips_model,
    ),
]


@pytest.mark.parametrize(("wishes", "make"), CASES)
def test_what_fights_is_irreducible(wishes, make) -> None:
    model = model_for(wishes, make)
    assert model.solve() is None
    names = irreducible(model)
    assert not can_be(model, names)
    for name in names:
        assert can_be(model, [other for other in names if other != name])


@pytest.mark.parametrize(("wishes", "make"), CASES)
def test_the_smallest_change_is_that_of_trying_every_subset(wishes, make) -> None:
    model = model_for(wishes, make)
    fight = fight_of(model)
    known = words.known_rules(wishes)
    offered = [name for name in model.rules.names if not known[name].firm]
    for size in range(1, len(offered) + 1):
        tried = {
            giving: steps
            for giving in combinations(offered, size)
            if (steps := least_with(model, giving)) is not None
        }
        if tried:
            break
    else:
        assert fight.changes == ()
        assert "firm" in fight.says
        return
    assert len(fight.changes) == size
    steps = words.steps(wishes)
    change = sum(
        abs(one.to_value - one.from_value) / steps[known[one.rule].slope] for one in fight.changes
    )
    assert change == pytest.approx(min(tried.values()), rel=1e-4)
    assert all(not known[one.rule].firm for one in fight.changes)
    assert least_change(model) <= change + 1e-6


def test_the_change_lets_the_wishes_live() -> None:
    wishes = low_sill(firm=("least thickness", "highest level"))
    change = fight_of(model_for(wishes)).changes
    assert [one.rule for one in change] == ["front door highest"]
    assert change[0].to_value > change[0].from_value == 0.03
    # A flat floor at 0 needs 50 mm at the sill.
    assert change[0].to_value == pytest.approx(0.05, abs=1e-6)
    assert change[0].says == "The sill of front door would have to be higher."
    after = wishes_of(edges=(door(0.0, change[0].to_value + 1e-6),), highest_m=0.2)
    assert model_for(after).solve() is not None


def test_firm_wishes_that_fight_alone_are_said_so() -> None:
    wishes = wishes_of(edges=(door(0.0, 0.03),), firm=("least thickness",))
    fight = fight_of(model_for(wishes))
    assert set(fight.rules) == {"least thickness", "front door highest"}
    assert fight.changes == ()
    assert "no change to offer" in fight.says


def test_a_rim_is_told_which_way_it_would_have_to_go() -> None:
    drain = Drain("drain", (3.0, 4.0), rim_m=0.03, plan="keep")
    wishes = wishes_of(
        outlets=(Outlet("drain", ((3.0, 4.0),)),),
        drains=(drain,),
        cross_fall=0.05,
        firm=("least thickness",),
    )
    changes = fight_of(model_for(wishes, strips_model)).changes
    assert [(one.rule, one.from_value) for one in changes] == [("drain rim", 0.03)]
    assert changes[0].to_value == pytest.approx(0.05, abs=1e-6)
