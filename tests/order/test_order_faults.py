"""Bad terms are told, all at once, in words."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from made_up_order import MIX, PLANT, plant, takeoff

from overslab.ground.estimate import Estimate
from overslab.ground.faults import Faulty
from overslab.order import order

FLOOR = takeoff(mean_m3=9.0, deviation_m3=0.3)


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"truck_m3": 0.0}, "order-truck-size"),
        ({"truck_m3": -7.0}, "order-truck-size"),
        ({"order_step_m3": 0.0}, "order-step"),
        ({"order_step_m3": 8.0}, "order-step"),
        ({"order_step_m3": 1e-4}, "order-too-many-steps"),
        ({"least_load_m3": -1.0}, "order-least-load"),
        ({"least_load_m3": 9.0}, "order-least-load"),
        ({"concrete_cost_per_m3": 0.0}, "order-free-concrete"),
        ({"short_load_charge": -1.0}, "order-negative-cost"),
        ({"leftover_cost_per_m3": -1.0}, "order-negative-cost"),
        ({"short_cost": 0.0}, "order-short-cost"),
        ({"loss": Estimate(-0.01, 0.01)}, "order-loss"),
        ({"loss": Estimate(0.9, 0.01)}, "order-loss"),
        ({"loss": Estimate(0.05, -0.01)}, "order-loss"),
        ({"loss": Estimate(math.nan, 0.01)}, "order-not-a-number"),
        ({"truck_minutes": 0.0}, "order-truck-spacing"),
        ({"short_cost": math.inf}, "order-not-a-number"),
    ],
)
def test_a_bad_term_of_the_plant(changes: dict[str, Any], code: str) -> None:
    with pytest.raises(Faulty) as caught:
        order(FLOOR, plant(**changes), MIX)
    assert [fault.code for fault in caught.value.faults] == [code]


@pytest.mark.parametrize(
    "changes", [{"strength_pa": 0.0}, {"stone_m": -0.01}, {"slump_m": 0.5}, {"air": 6.0}]
)
def test_a_bad_mix(changes: dict[str, float]) -> None:
    with pytest.raises(Faulty) as caught:
        order(FLOOR, PLANT, replace(MIX, **changes))
    assert [fault.code for fault in caught.value.faults] == ["order-mix"]


@pytest.mark.parametrize("mean_m3", [0.0, -3.0])
def test_nothing_to_pour(mean_m3: float) -> None:
    with pytest.raises(Faulty, match="no concrete to order"):
        order(takeoff(mean_m3=mean_m3, deviation_m3=0.1), PLANT, MIX)


def test_all_faults_at_once() -> None:
    bad = plant(truck_m3=0.0, short_cost=-5.0, short_load_charge=-1.0, truck_minutes=0.0)
    with pytest.raises(Faulty) as caught:
        order(FLOOR, bad, replace(MIX, air=2.0))
    codes = {fault.code for fault in caught.value.faults}
    assert codes == {
        "order-truck-size",
        "order-short-cost",
        "order-negative-cost",
        "order-truck-spacing",
        "order-mix",
    }
    for fault in caught.value.faults:
        assert fault.value
        assert fault.limit
        assert fault.remedy
