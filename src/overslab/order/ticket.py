"""What the ticket leaves to add in water, and what a little water does: a range, by every source.

Worked from the plant's design weights; on the day the weights of the ticket count.
"""

from __future__ import annotations

from overslab.ground.units import Units, to_si
from overslab.handbook.site_water import (
    SITE_WATER_ADVICE,
    ratio_gain_from_water,
    site_water_effects,
    water_ticket_allows,
)
from overslab.handbook.working import Working, show
from overslab.order.records import AllowedWater, Demand, MixAsked, SiteWater


def site_water(
    mix: MixAsked, demands: tuple[Demand, ...], *, truck_m3: float, units: Units
) -> tuple[SiteWater, tuple[Working, ...]]:
    """Water still allowed by the ratio asked and by every edition's, strictest first."""
    added = to_si(5.0, "L/m3") if units.system == "metric" else to_si(1.0, "gal/yd3")
    effects = site_water_effects(added_m3_per_m3=added)
    cement, water = mix.plant.cement_kg_per_m3, mix.plant.water_kg_per_m3
    if cement is None or water is None:
        return SiteWater((), added, effects, SITE_WATER_ADVICE), ()
    ratios: dict[str, float] = {}
    if mix.water_cement_ratio is not None:
        ratios["the ratio asked"] = mix.water_cement_ratio
    for one in demands:
        if one.water_cement_ratio is not None:
            ratios[f"{one.edition}, exposure {one.exposure} ({one.known})"] = one.water_cement_ratio
    allowed = []
    workings = []
    for by, ratio in sorted(ratios.items(), key=lambda pair: pair[1]):
        left, opened = show(
            water_ticket_allows,
            about=f"water that may still be added, by {by}",
            most_ratio=ratio,
            cementitious_kg_per_m3=cement,
            batched_water_kg_per_m3=water,
        )
        allowed.append(AllowedWater(by, ratio, left, left * truck_m3))
        workings.append(opened)
    _, gain = show(
        ratio_gain_from_water,
        about="what a little water does to the ratio",
        added_m3_per_m3=added,
        cementitious_kg_per_m3=cement,
    )
    return SiteWater(tuple(allowed), added, effects, SITE_WATER_ADVICE), (*workings, gain)
