"""A floor, an order and rates of round numbers, so that a bid can be worked by hand."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from overslab.ground.estimate import Estimate
from overslab.ground.units import Units
from overslab.order import Load, MixAsked, Order, Plant, order
from overslab.price.records import FlatRate, MaterialRate, PlantRules, Rates, WorkRate
from overslab.takeoff.items import Item, work
from overslab.takeoff.records import Portion, Takeoff

FOOT_M = 0.3048
YARD3_M3 = 0.9144**3
INCHES = Units("feet-inches", 0.0254 / 16)
METRIC = Units("metric", 0.001)

PLANT = Plant(
    concrete_cost_per_m3=165.0 / YARD3_M3,
    currency="$",
    truck_m3=10 * YARD3_M3,
    least_load_m3=4 * YARD3_M3,
    short_load_charge=150.0,
    order_step_m3=0.5 * YARD3_M3,
    short_cost=700.0,
    leftover_cost_per_m3=40.0 / YARD3_M3,
    loss=Estimate(0.04, 0.02),
    price_date="2026-04-01",
    truck_minutes=30.0,
)
ITEMS = (
    Item("wire-sheet", "wire", "material", "area_m2", 90.0, 100.0, "sheet", 12.0, "laid out", 9.0),
    Item("fibre", "fibre", "material", "mass_kg", 4.5359237, 4.5359237, "as measured", 4.5, "dose"),
    work("finish", "float and finish", "area_m2", 1000 * FOOT_M**2, "the floor"),
    work("place", "place", "volume_m3", 12 * YARD3_M3, "in place"),
)
RATES = Rates(
    currency="$",
    date="2026-04-01",
    made_up=True,
    wage_per_hour=Decimal("40.00"),
    hands=4,
    hours_per_day=8.0,
    materials=(
        MaterialRate("wire-sheet", Decimal("11.40"), "sheet"),
        MaterialRate("fibre", Decimal("9.50"), "lb"),
    ),
    work=(
        WorkRate("finish", "finish", 1.5 / (100 * FOOT_M**2), "area_m2", 0.25),
        WorkRate("place", "place", 0.5 / YARD3_M3, "volume_m3", 0.2),
    ),
    flat=(
        FlatRate("tools", "small tools", "equipment", Decimal("60"), "day"),
        FlatRate("pump", "lifting pump", "equipment", Decimal("900"), "job", "lift"),
    ),
    plant=PlantRules(),
    overhead=Decimal("0.10"),
    margin=Decimal("0.20"),
)


def made_takeoff(*, items: tuple[Item, ...] = ITEMS, deviation_yd3: float = 0.3) -> Takeoff:
    volume = Estimate(12 * YARD3_M3, deviation_yd3 * YARD3_M3)
    whole = Portion("whole floor", 1000 * FOOT_M**2, volume, 0.1, 0.08, 0.15)
    return Takeoff(
        total=whole,
        panels=(whole,),
        strips=(whole,),
        triangulated_m3=volume.mean,
        notebook=(),
        assumptions=(),
        remarks=(),
        workings=(),
        items=items,
    )


def made_order(
    loads_yd3: tuple[float, ...] = (10.0, 3.0), *, plant: Plant = PLANT, **more: object
) -> Order:
    """The loads as given; what is expected to be short and over comes to nothing."""
    ordered = order(made_takeoff(), plant, MixAsked())
    amount_m3 = sum(loads_yd3) * YARD3_M3
    charge = plant.short_load_charge * sum(one < 4.0 for one in loads_yd3)
    given: dict[str, object] = {
        "amount_m3": amount_m3,
        "loads": tuple(
            Load(n, one * YARD3_M3, True, ()) for n, one in enumerate(loads_yd3, start=1)
        ),
        "firm_m3": amount_m3,
        "will_call_m3": 0.0,
        "held_least_m3": 0.0,
        "held_most_m3": 0.0,
        "short_load_charge": charge,
        "expected_cost": amount_m3 * plant.concrete_cost_per_m3 + charge,
    }
    return replace(ordered, **{**given, **more})  # type: ignore[arg-type]
