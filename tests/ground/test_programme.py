"""The wrapper of the solver against scipy's own answer, enumeration, and models with no answer."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize, sparse

from overslab.ground.programme import Loaded, Programme, solve


def made_up(seed: int, *, rows: int = 25, columns: int = 6, whole: int = 0) -> Programme:
    """A programme with an answer: rows hold at a known place, costs lie in their cone."""
    rng = np.random.default_rng(seed)
    matrix = rng.normal(size=(rows, columns))
    inside = rng.uniform(size=columns)
    marks = np.zeros(columns, dtype=bool)
    marks[:whole] = True
    inside[:whole] = np.round(inside[:whole])
    return Programme(
        cost=matrix.T @ rng.uniform(size=rows) * 1e4,
        low=np.where(marks, 0.0, -np.inf),
        high=np.where(marks, 1.0, np.inf),
        rows=sparse.csr_array(matrix),
        row_low=matrix @ inside - rng.uniform(size=rows),
        row_high=np.full(rows, np.inf),
        whole=marks,
        offset=12.5,
    )


def by_scipy(programme: Programme) -> optimize.OptimizeResult:
    bounds = list(zip(programme.low, programme.high, strict=True))
    return optimize.linprog(
        programme.cost, A_ub=-programme.rows.toarray(), b_ub=-programme.row_low, bounds=bounds
    )


@given(st.integers(0, 10_000))
@settings(max_examples=30, deadline=None)
def test_cost_place_and_prices_are_those_of_another_library(seed: int) -> None:
    programme = made_up(seed)
    answer, other = solve(programme), by_scipy(programme)
    assert answer.status == "optimal"
    assert answer.cost == pytest.approx(other.fun + 12.5, rel=1e-7)
    assert answer.bound == pytest.approx(answer.cost)
    assert answer.duals == pytest.approx(-other.ineqlin.marginals, rel=1e-5, abs=1e-5)


@given(st.integers(0, 10_000))
@settings(max_examples=15, deadline=None)
def test_rows_that_join_when_broken_give_the_same_answer(seed: int) -> None:
    programme = made_up(seed, rows=80)
    core = np.zeros(80, dtype=bool)
    core[:10] = True
    whole, grown = solve(programme), solve(programme, core=core)
    assert grown.cost == pytest.approx(whole.cost, rel=1e-6)
    assert grown.duals is not None
    assert grown.duals @ programme.row_low == pytest.approx(grown.cost - 12.5, rel=1e-6)


@given(st.integers(0, 10_000))
@settings(max_examples=15, deadline=None)
def test_choices_are_those_of_trying_them_all(seed: int) -> None:
    programme = made_up(seed, whole=3)
    answer = solve(programme)
    some = np.arange(len(programme.row_low)) % 3 == 0
    grown = solve(programme, core=some)
    assert grown.cost == pytest.approx(answer.cost, rel=1e-6)
    assert grown.duals is not None
    tried = []
    for choice in product((0.0, 1.0), repeat=3):
        held = Programme(
            cost=programme.cost,
            low=np.concatenate([choice, programme.low[3:]]),
            high=np.concatenate([choice, programme.high[3:]]),
            rows=programme.rows,
            row_low=programme.row_low,
            row_high=programme.row_high,
        )
        other = by_scipy(held)
        if other.status == 0:
            tried.append(other.fun + 12.5)
    assert answer.cost == pytest.approx(min(tried), rel=1e-6)
    assert answer.bound <= answer.cost + 1e-6 * abs(answer.cost)
    assert answer.duals is not None  # with the choices held


def one_row(*, low: float, most: float, cost: float = 1.0) -> Programme:
    return Programme(
        cost=np.array([cost]),
        low=np.zeros(1),
        high=np.array([most]),
        rows=sparse.csr_array(np.ones((1, 1))),
        row_low=np.array([low]),
        row_high=np.array([np.inf]),
    )


def test_no_answer_is_said_so() -> None:
    assert solve(one_row(low=2.0, most=1.0)).status == "infeasible"
    assert solve(one_row(low=2.0, most=1.0), core=np.array([False])).status == "infeasible"
    assert solve(one_row(low=2.0, most=np.inf, cost=-1.0)).status == "unbounded"


def test_limits_can_be_changed_and_changed_back() -> None:
    loaded = Loaded(one_row(low=0.25, most=1.0))
    assert loaded.solve().cost == pytest.approx(0.25)
    loaded.change_rows(np.array([0]), low=np.array([2.0]), high=np.array([np.inf]))
    assert loaded.solve().status == "infeasible"
    loaded.change_rows(np.array([0]), low=np.array([0.5]), high=np.array([np.inf]))
    assert loaded.solve().cost == pytest.approx(0.5)


def test_the_solver_says_nothing_on_the_terminal(capfd: pytest.CaptureFixture[str]) -> None:
    solve(made_up(1, whole=2))
    assert capfd.readouterr() == ("", "")


def knapsacks(seed: int) -> Programme:
    """Most worth in five sacks of 40 things: wide apart from its shares, so branches are needed."""
    rng = np.random.default_rng(seed)
    return Programme(
        cost=-rng.integers(20, 60, size=40).astype(float),
        low=np.zeros(40),
        high=np.ones(40),
        rows=sparse.csr_array(rng.integers(5, 60, size=(5, 40)).astype(float)),
        row_low=np.full(5, -np.inf),
        row_high=np.full(5, 400.0),
        whole=np.ones(40, dtype=bool),
    )


@pytest.mark.parametrize("seed", range(3))
def test_a_search_stopped_by_its_count_tells_how_far_it_may_be_off(seed: int) -> None:
    programme = knapsacks(seed)
    best = optimize.milp(
        programme.cost,
        integrality=np.ones(40),
        bounds=optimize.Bounds(0, 1),
        constraints=optimize.LinearConstraint(programme.rows, -np.inf, 400.0),
    )
    stopped = solve(programme, priced=False, nodes=1)
    assert stopped.status == "feasible"
    assert stopped.bound <= best.fun + 1e-6 <= stopped.cost + 2e-6
    assert stopped.bound < stopped.cost - 1e-6
    assert (programme.rows @ stopped.x <= 400.0 + 1e-6).all()
    again = solve(programme, priced=False, nodes=1)
    assert (again.x == stopped.x).all()
    assert again.nodes == stopped.nodes
    whole = solve(programme, priced=False)
    assert whole.status == "optimal"
    assert whole.cost == pytest.approx(best.fun)
    assert whole.nodes > stopped.nodes


def test_a_count_too_small_for_any_answer_is_said_to_be_spent() -> None:
    """Four sums of thirty things, each to be 5001 exactly: nothing is found at the root."""
    rng = np.random.default_rng(4)
    programme = Programme(
        cost=np.zeros(30),
        low=np.zeros(30),
        high=np.ones(30),
        rows=sparse.csr_array(rng.integers(100, 1000, size=(4, 30)).astype(float)),
        row_low=np.full(4, 5001.0),
        row_high=np.full(4, 5001.0),
        whole=np.ones(30, dtype=bool),
    )
    answer = solve(programme, priced=False, nodes=1)
    assert answer.status == "spent"
    assert np.isnan(answer.cost)
