"""Man-doors and thresholds: water, the drop, the leaf over the new floor, landing and ramp."""

from __future__ import annotations

import math
from dataclasses import replace

from overslab.handbook import building, clearances
from overslab.handbook.building_checks import door_drop_check, even_riser, ramp_run, riser_count
from overslab.handbook.checks import Check
from overslab.touches.gathering import HAIR_M, Gathered, Site
from overslab.touches.places import Place
from overslab.touches.records import Remedy, SideDoor, Size, Stair

# A flight belongs to a door when it ends at its threshold this nearly, and stands this near.
_MEETS_M = 0.03
_NEAR_M = 1.5


def side_door(site: Site, door: SideDoor, *, stairs: tuple[Stair, ...]) -> Gathered:
    """A doorway whose threshold stands over the new floor."""
    met = site.floor.along(door.a, door.b)
    moved, line = door.name in site.moved, (door.a, door.b)
    seen = Gathered(door.name, "side door", met, moved=moved, line=line)
    high = met.highest
    sill_m = door.threshold_m
    over = seen.clearance(clearances.THRESHOLD, height_m=sill_m, place=high)
    if not over.passes or seen.moved:
        by_m = high.after_m - sill_m
        seen.remedy(
            Remedy(
                "Raise the threshold and its frame by" if by_m > 0 else "Lower the threshold by",
                abs(by_m),
                "carpenter",
                "before the pour",
                cost=door.move_cost,
                ready=f"the threshold of {door.name} is reset",
            )
        )
        sill_m = high.after_m
    flight = _stair_to(site, door, stairs)
    if flight is not None:
        seen.note(f"{door.name}: its drop is taken by {flight.name}.")
    else:
        _drop(site, seen, door, sill_m=sill_m)
    _leaf(site, seen, door)
    return seen


def _stair_to(site: Site, door: SideDoor, stairs: tuple[Stair, ...]) -> Stair | None:
    """A flight in the facts that leads from the floor to this threshold."""
    for flight in stairs:
        if flight.goes == "down" or not flight.risers_m:
            continue
        foot = site.floor.along(flight.a, flight.b)
        ends = [math.dist(p, q) for p in (flight.a, flight.b) for q in (door.a, door.b)]
        top_m = float(foot.before_m.mean()) + sum(flight.risers_m)
        if min(ends) <= _NEAR_M and abs(top_m - door.threshold_m) <= _MEETS_M:
            return flight
    return None


def _drop(site: Site, seen: Gathered, door: SideDoor, *, sill_m: float) -> None:
    low = seen.met.lowest
    drop_m = sill_m - low.after_m
    found = door_drop_check(
        drop_m=drop_m,
        required_exit=door.egress,
        outside=door.floor_is_outside == "yes",
        swings_over=door.swings != "away",
        where=door.name,
    )
    step = seen.compare(replace(found, at=low.at, slack=HAIR_M))
    if not step.passes:
        _landing(site, seen, door, rise_m=drop_m - step.allowed, place=low)


def _landing(site: Site, seen: Gathered, door: SideDoor, *, rise_m: float, place: Place) -> None:
    """A landing below the threshold, and the ramp down from it if the floor is long enough."""
    deep_m = building.LANDING_LENGTH.value
    ramp_m = seen.show(ramp_run, "ramp", rise_m=rise_m, slope=building.RAMP_SLOPE.value)
    run = seen.compare(
        Check(
            name="floor before the door for a landing and a ramp",
            quantity="length_m",
            found=site.floor.run_before(door.a, door.b),
            comparison="at least",
            allowed=deep_m + ramp_m,
            source=f"{building.LANDING_LENGTH.cited}; {building.RAMP_SLOPE.cited}",
            slack=HAIR_M,
            where=door.name,
            at=place.at,
        )
    )
    landing = (
        Size("landing deep", "length_m", deep_m),
        Size("and as wide as the door,", "length_m", math.dist(door.a, door.b)),
    )
    if run.passes:
        seen.remedy(
            Remedy(
                "Build a landing and a ramp down from it; the landing stands over the new floor by",
                rise_m,
                "crew",
                "after the pour",
                sizes=(*landing, Size("ramp, long", "length_m", ramp_m)),
            )
        )
        return
    count = riser_count(rise_m=rise_m, riser_m=building.RISER_MOST.value)
    riser_m = seen.show(even_riser, "each riser", rise_m=rise_m, risers=count)
    seen.remedy(
        Remedy(
            "A ramp does not fit: build a landing with steps down; it stands over the new floor by",
            rise_m,
            "carpenter",
            "after the pour",
            sizes=(
                *landing,
                Size("risers", "risers_count", float(count)),
                Size("each riser", "length_m", riser_m),
                Size("treads, deep", "length_m", building.TREAD_LEAST.value),
            ),
        )
    )


def _leaf(site: Site, seen: Gathered, door: SideDoor) -> None:
    if door.swings == "away":
        return
    if door.swings == "not known":
        seen.not_written(["which way its leaf swings"])
        return
    if door.gap_under_m is None:
        seen.not_written(["the gap between its leaf and today's floor"])
        return
    under = site.floor.swing(door.a, door.b)
    high = under.highest
    leaf_m = under.highest_before_m + door.gap_under_m
    swings = seen.check(clearances.LEAF, found=leaf_m - high.after_m, place=high)
    if not swings.passes:
        seen.remedy(
            Remedy(
                "Cut the leaf, or hang it higher, by",
                -swings.margin,
                "carpenter",
                "before the pour",
                ready=f"the leaf of {door.name} is cut or hung higher",
            )
        )
