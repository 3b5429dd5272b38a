"""A plant, a mix and a takeoff of our own invention, for the tests of the order."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from overslab.ground.estimate import Estimate
from overslab.order import MixAsked, Plant
from overslab.takeoff.records import Portion, Takeoff

YARD3_M3 = 0.764554857984

PLANT = Plant(
    concrete_cost_per_m3=210.0,
    currency="USD",
    truck_m3=10 * YARD3_M3,
    least_load_m3=4 * YARD3_M3,
    short_load_charge=120.0,
    order_step_m3=0.25 * YARD3_M3,
    short_cost=850.0,
    leftover_cost_per_m3=60.0,
    loss=Estimate(0.05, 0.02),
    price_date="2026-11-01",
)
MIX = MixAsked(
    strength_pa=27.6e6,
    stone_m=0.019,
    slump_m=0.1,
    air=0.06,
    water_cement_ratio=0.45,
    steel="no",
    fibre="none",
    reducer="none",
    discharge_minutes=90.0,
)


def portion(name: str, *, mean_m3: float, deviation_m3: float = 0.0) -> Portion:
    return Portion(
        name=name,
        area_m2=50.0,
        volume_m3=Estimate(mean_m3, deviation_m3),
        mean_thickness_m=0.12,
        thinnest_m=0.09,
        thickest_m=0.18,
    )


def takeoff(
    *, mean_m3: float, deviation_m3: float, strips_m3: tuple[float, ...] | None = None
) -> Takeoff:
    parts = strips_m3 if strips_m3 is not None else (mean_m3 / 4,) * 4
    return Takeoff(
        total=portion("all", mean_m3=mean_m3, deviation_m3=deviation_m3),
        panels=(),
        strips=tuple(
            portion(f"strip {place}", mean_m3=part) for place, part in enumerate(parts, start=1)
        ),
        triangulated_m3=mean_m3,
        notebook=(),
        assumptions=(),
        remarks=(),
        workings=(),
    )


def plant(**changes: Any) -> Plant:
    return replace(PLANT, **changes)
