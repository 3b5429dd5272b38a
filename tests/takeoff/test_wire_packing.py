"""Cutting in chains against an exact model of its own, and the bound against known cuts."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import LinearConstraint, milp

from overslab.takeoff.wire_courses import Run, Stock
from overslab.takeoff.wire_cutting import fewest_sheets
from overslab.takeoff.wire_packing import Packing, letter
from overslab.takeoff.wire_packing import pack as pack_at_most

STOCK = Stock(length_m=3.0, width_m=1.5, lap_m=0.2, least_m=0.3, turn=True)


def pack(runs: tuple[Run, ...], stock: Stock) -> Packing:
    found = pack_at_most(runs, stock)
    assert found is not None
    return found


def exact(runs_m: list[float], *, long_m: float, lap_m: float, most: int) -> int:
    """Fewest stock lengths for runs that may be spliced anywhere: x metres of s in run i or none.

    A run with n pieces needs its length and n - 1 laps.
    """
    runs, stock = len(runs_m), most
    # Columns: x (run, stock), taken (run, stock), used (stock).
    x = np.arange(runs * stock).reshape(runs, stock)
    taken = x + runs * stock
    used = 2 * runs * stock + np.arange(stock)
    rows, low, high = [], [], []

    def row(entries: list[tuple[int, float]], *, least: float, greatest: float) -> None:
        line = np.zeros(2 * runs * stock + stock)
        for column, value in entries:
            line[column] += value
        rows.append(line)
        low.append(least)
        high.append(greatest)

    for i, run in enumerate(runs_m):
        parts = [(x[i, s], 1.0) for s in range(stock)] + [
            (taken[i, s], -lap_m) for s in range(stock)
        ]
        row(parts, least=run - lap_m, greatest=np.inf)
    for s in range(stock):
        row([(x[i, s], 1.0) for i in range(runs)] + [(used[s], -long_m)], least=-np.inf, greatest=0)
        if s:
            row([(used[s - 1], 1.0), (used[s], -1.0)], least=0, greatest=np.inf)
        for i in range(runs):
            row([(x[i, s], 1.0), (taken[i, s], -long_m)], least=-np.inf, greatest=0)
    cost = np.zeros(2 * runs * stock + stock)
    cost[used] = 1
    found = milp(
        cost,
        constraints=LinearConstraint(np.array(rows), low, high),
        integrality=np.concatenate([np.zeros(runs * stock), np.ones(runs * stock + stock)]),
        bounds=(0, np.concatenate([np.full(runs * stock, np.inf), np.ones(len(cost) - x.size)])),
    )
    assert found.success
    return round(found.fun)


@settings(max_examples=20, deadline=None)
@given(st.lists(st.integers(4, 60), min_size=1, max_size=3))
def test_rows_of_whole_sheets_take_what_the_exact_model_takes(tenths):
    runs_m = [ten / 10 for ten in tenths]
    runs = tuple(Run(0.0, 2.0 * k, long, 2.0 * k + 1.5) for k, long in enumerate(runs_m))
    along = Stock(3.0, 1.5, 0.2, 0.01, turn=False)
    found = pack(runs, along).sheets
    best = exact(runs_m, long_m=3.0, lap_m=0.2, most=found)
    assert found == best


def test_two_runs_as_long_as_a_sheet_take_two():
    runs = (Run(0, 0, 3.0, 1.5), Run(0, 2, 3.0, 3.5))
    assert pack(runs, STOCK).sheets == 2


def test_four_strips_come_out_of_one_sheet_cut_across():
    # Four strips 0.75 high and 1.5 long: 4 by 0.75 is the length of the sheet.
    runs = tuple(Run(0, k, 1.5, k + 0.75) for k in range(4))
    assert pack(runs, STOCK).sheets == 1
    # Not if they may not be turned: two strips 3.0 long, each cut in two.
    whole = pack(runs, Stock(3.0, 1.5, 0.2, 0.3, turn=False))
    assert whole.sheets == 1


def test_a_lone_run_is_filled_from_end_to_end_with_laps():
    packing = pack((Run(0, 0, 7.0, 1.5),), STOCK)
    laid = sorted(packing.laid, key=lambda one: one.west)
    # 7.0 + 2 laps of 0.2 = 7.4 of 3 sheets.
    assert packing.sheets == 3
    assert laid[0].west == 0
    assert laid[-1].east == pytest.approx(7.0)
    for one, two in pairwise(laid):
        assert one.east - two.west >= 0.2 - 1e-9


@settings(max_examples=60, deadline=None)
@given(st.integers(1, 6), st.data())
def test_the_bound_never_exceeds_cuts_that_are_known_to_work(sheets, data):
    sizes = []
    for _ in range(sheets):
        across = data.draw(st.floats(0.2, 0.8))
        for long in (across * 3.0, (1 - across) * 3.0):
            ripped = data.draw(st.floats(0.2, 0.8))
            pieces = [(long, ripped * 1.5), (long, (1 - ripped) * 1.5)]
            sizes += [size if data.draw(st.booleans()) else size[::-1] for size in pieces]
    assert fewest_sheets(np.array(sizes), STOCK) <= sheets


def test_the_bound_counts_pieces_that_cannot_share_a_sheet():
    # Three pieces of 1.6 by 1.0: no two fit on 3.0 by 1.5, though their area is that of 1.07.
    assert fewest_sheets(np.array([(1.6, 1.0)] * 3), STOCK) == 3


def test_letters_run_on_after_z():
    assert [letter(n) for n in (1, 26, 27, 52, 53)] == ["a", "z", "aa", "az", "ba"]
