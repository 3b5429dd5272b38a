"""What wishes add to the price, by hand and against the bid made again."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from made_up_job import INCHES, RATES, YARD3_M3, made_order

from overslab.job import read_job, walk_to
from overslab.job.repricing import bid_for, price_each_wish, with_each_wish
from overslab.newtop.records import Move, Wishes
from overslab.price import price_of_wishes
from overslab.price.records import Bid
from overslab.price.wishing import concrete_sold_per_m3, extra_concrete

JOBS = Path(__file__).resolve().parents[1] / "jobs"


def test_one_more_yard_sold_by_hand() -> None:
    """165 delivered and half an hour at 40 are 185; 203.50 with overhead; a quarter on: 254.38."""
    order = made_order()
    assert extra_concrete(order, RATES, units=INCHES) == Decimal("254.38")
    per_m3 = concrete_sold_per_m3(order, RATES)
    assert float(per_m3) * YARD3_M3 == pytest.approx(254.375, abs=0.01)


def fake_bid(price: Decimal, rounding: Decimal = Decimal(0)) -> Bid:
    zero = Decimal(0)
    return Bid(
        "$", "2026-01-05", True, (), zero, zero, zero, zero, zero, zero, price, zero,
        price + rounding, rounding, None, "yd3", None, rates=RATES,
    )  # fmt: skip


def wishes() -> Wishes:
    (folder,) = JOBS.glob("case-25-*")
    found = walk_to(read_job(folder), last="newtop").newtop
    assert found is not None
    return found.wishes


def test_each_wish_is_taken_away_alone_and_the_difference_is_its_price() -> None:
    asked = wishes()
    door = replace(asked.edges[0], move=Move(cost=100.0, up_m=0.05))
    asked = replace(asked, edges=(door, *asked.edges[1:]))
    seen: list[Wishes] = []

    def again(other: Wishes) -> Bid | None:
        seen.append(other)
        if other.least_fall == 0.0:
            return fake_bid(Decimal("4300.00"), Decimal("9.99"))
        if other.least_thickness_m < asked.least_thickness_m:
            return None  # no top: nothing is said of it
        return fake_bid(Decimal("4900.00"))

    made = {
        one.wish: one
        for one in price_of_wishes(
            fake_bid(Decimal("5000.00"), Decimal("5.00")), asked, again, units=INCHES
        )
    }
    # The rounding of either price is no part of what a wish adds.
    assert made["fall"].adds == Decimal("700.00")
    assert "fall adds this much" in made["fall"].says
    assert "least thickness" not in made
    assert made[door.name].adds == Decimal("100.00")
    # Moving costs 100, 137.50 when sold: moved it comes to more than left.
    assert made[f"{door.name}, left"].adds == Decimal("-37.50")
    changed = [other for other in seen if other.edges != asked.edges]
    assert [len(other.edges) for other in changed[:2]] == [len(asked.edges) - 1, len(asked.edges)]
    moved = next(edge for edge in changed[1].edges if edge.name == door.name)
    assert moved.move is None
    if door.highest_m is not None:
        assert moved.highest_m == pytest.approx(door.highest_m + 0.05)


def test_the_fall_of_a_real_job_priced_by_solving_again() -> None:
    """A flat floor 24 ft deep that falls 1/8 in a foot: 1 1/2 in on average, a third of all.

    Without the fall a level top of the least thickness does, so the wish adds what that concrete
    is sold for, to within a plant step, its losses, and the load it may save.
    """
    (folder,) = JOBS.glob("case-25-*")
    job = replace(read_job(folder), rates=RATES)
    rooms = walk_to(job, last="price")
    assert rooms.price is not None
    assert rooms.newtop is not None
    asked = rooms.newtop.wishes
    bare = bid_for(rooms, replace(asked, least_fall=0.0))
    assert bare is not None
    whole = {one.wish: one for one in price_each_wish(rooms)}
    there, back = rooms.price, bare
    assert whole["fall"].adds == there.price - there.rounding - (back.price - back.rounding)
    assert whole["fall"].adds > 0
    told = with_each_wish(rooms).price
    assert told is not None
    assert len(told.wishes) == len(whole) + len(rooms.price.wishes)
    concrete = {line.code: line.number for line in there.lines}["concrete"]
    less = {line.code: line.number for line in back.lines}["concrete"]
    assert concrete > less


def test_the_price_of_a_rules_next_step_by_hand() -> None:
    """Its concrete with losses and placing, then overhead and profit as for the whole bid."""
    (folder,) = JOBS.glob("case-25-*")
    job = replace(read_job(folder), rates=RATES)
    rooms = walk_to(job, last="price")
    assert rooms.price is not None
    assert rooms.newtop is not None
    assert rooms.newtop.top is not None
    assert rooms.order is not None
    priced = [rule for rule in rooms.newtop.top.rules if rule.cost_per_step]
    assert priced
    rule = max(priced, key=lambda one: one.cost_per_step or 0.0)
    plant = rooms.order.plant
    volume_m3 = (rule.cost_per_step or 0.0) / plant.concrete_cost_per_m3 * (1 + plant.loss.mean)
    direct = volume_m3 * (plant.concrete_cost_per_m3 + 0.5 / YARD3_M3 * 40.0)
    wanted = direct * 1.10 * 1.25  # overhead a tenth, margin a fifth
    (mine,) = [one for one in rooms.price.wishes if one.adds == rooms.price.wishes[0].adds]
    assert float(mine.adds) == pytest.approx(wanted, abs=0.02)
