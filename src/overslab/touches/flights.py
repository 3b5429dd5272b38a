"""Stairs that stand on the floor or lead down from it: riser heights, their evenness, headroom."""

from __future__ import annotations

from math import inf

from overslab.handbook import building
from overslab.handbook.building_checks import even_riser, riser_count, risers_after
from overslab.touches.gathering import HAIR_M, Gathered, Site
from overslab.touches.places import Met, Place
from overslab.touches.records import Remedy, Size, Stair, Trade

# The riser at the floor as taped and as it follows from the shot of its tread: beyond this, ask.
_AGREE_M = 0.010


def stair(site: Site, flight: Stair) -> Gathered:
    """The riser at the floor before and after, held against its flight."""
    met = site.floor.along(flight.a, flight.b)
    moved, line = flight.name in site.moved, (flight.a, flight.b)
    seen = Gathered(flight.name, "stair", met, moved=moved, line=line)
    if flight.headroom_m is not None:
        most = met.risen_most
        over_m = flight.headroom_m + most.before_m
        room = seen.clearance(building.STAIR_HEADROOM, height_m=over_m, place=most)
        if not room.passes:
            seen.remedy(
                Remedy(
                    "Win back headroom over the foot (trim what hangs there, or shift the foot):",
                    -room.margin,
                    "carpenter",
                    "before the pour",
                    ready=f"headroom at {flight.name} is won back",
                )
            )
    if flight.tread_m is None and not flight.risers_m:
        seen.not_written(["the height of its lowest tread, or its risers"])
        return seen
    others = flight.risers_m[1:]
    if not flight.risers_m:
        others = (flight.riser_wanted_m,) if flight.riser_wanted_m is not None else ()
        seen.not_written(["its risers, each measured; the wanted one stands for the others"])
    _agreement(seen, flight)
    _judge(seen, flight, others)
    if flight.headroom_m is None and flight.goes == "up":
        seen.not_written(["headroom at its foot"])
    if flight.goes == "up":
        _feet(seen, flight)
    return seen


def _feet(seen: Gathered, flight: Stair) -> None:
    """What stands on the old floor would be cast into the new one."""
    rise_m = seen.met.risen_most.rise_m
    if rise_m <= HAIR_M:
        return
    seen.remedy(
        Remedy(
            "Where its feet are wood, cut them off or keep them clear of the concrete, over",
            rise_m,
            "carpenter",
            "before the pour",
            ready=f"the feet of {flight.name} are clear of the new floor",
        )
    )
    seen.warn(
        f"{flight.name}: wood cast into concrete rots. Hold the flight up until its feet stand on "
        "the new floor, and let nobody use it meanwhile."
    )


def _first_m(flight: Stair, place: Place) -> float:
    """The riser at the floor on the new top at one place of the foot line."""
    up = 1.0 if flight.goes == "up" else -1.0
    if flight.tread_m is not None:
        return up * (flight.tread_m - place.after_m)
    first = flight.risers_m[:1]
    return risers_after(risers_m=first, foot_raised_m=up * place.rise_m)[0]


def _firsts(flight: Stair, met: Met) -> list[tuple[float, Place]]:
    """The smallest and the greatest riser at the floor along the foot line, with their places."""
    by_shot = flight.tread_m is not None
    ends = (met.highest, met.lowest) if by_shot else (met.risen_most, met.risen_least)
    return [(_first_m(flight, place), place) for place in ends]


def _agreement(seen: Gathered, flight: Stair) -> None:
    """The first riser as taped, against the tread's shot less the old floor."""
    if flight.tread_m is None or not flight.risers_m:
        return
    up = 1.0 if flight.goes == "up" else -1.0
    shot_m = up * (flight.tread_m - float(seen.met.before_m.mean()))
    if abs(shot_m - flight.risers_m[0]) > _AGREE_M:
        seen.ask(
            f"{flight.name}: the riser at the floor as taped and the tread as shot do not agree; "
            "measure both again."
        )


def _judge(seen: Gathered, flight: Stair, others: tuple[float, ...]) -> None:
    firsts = _firsts(flight, seen.met)

    def unevenness(first_m: float) -> float:
        return max(first_m, *others) - min(first_m, *others)

    greatest_m, place = max(firsts, key=lambda pair: pair[0])
    checks = [
        seen.check(building.RISER_MOST, found=max(greatest_m, *others, -inf), place=place),
    ]
    worst_m = greatest_m
    if others:
        worst_m, place = max(firsts, key=lambda pair: unevenness(pair[0]))
        checks.append(seen.check(building.RISER_DIFFERENCE, found=unevenness(worst_m), place=place))
    if seen.moved or not all(check.passes for check in checks):
        _evened(seen, flight, first_m=worst_m, others=others)


def _evened(seen: Gathered, flight: Stair, *, first_m: float, others: tuple[float, ...]) -> None:
    """All risers alike, in as many as come nearest to those it has; or its one tread reset."""
    trade: Trade = "carpenter" if flight.goes == "up" else "crew"
    most_m = building.RISER_MOST.value
    if not flight.risers_m[1:]:
        wanted = min(flight.riser_wanted_m or most_m, most_m)
        seen.remedy(
            Remedy(
                "Reset the tread at the floor, so that its riser comes out as wanted, by",
                abs(first_m - wanted),
                trade,
                "before the pour",
                cost=flight.move_cost,
                ready=f"the tread of {flight.name} at the floor is reset",
                sizes=(Size("riser left without that", "length_m", first_m),),
            )
        )
        return
    rise_m = first_m + sum(others)
    if rise_m <= HAIR_M:
        seen.stands_open = True
        seen.warn(f"{flight.name}: the new floor comes up to its top or over it.")
        return
    now = len(others) + 1
    fewest = riser_count(rise_m=rise_m, riser_m=most_m)
    usual_m = sorted(others)[len(others) // 2]
    # The count whose risers are nearest to those people's feet know moves the treads least.
    count = min(range(fewest, max(fewest, now) + 1), key=lambda many: abs(rise_m / many - usual_m))
    riser_m = seen.show(even_riser, "each riser", rise_m=rise_m, risers=count)
    sizes = [Size("risers", "risers_count", float(count))]
    if count <= now:
        treads_m = [first_m + sum(others[:above]) for above in range(now)][now - count :]
        moves_m = [abs(place * riser_m - at) for place, at in enumerate(treads_m, start=1)]
        sizes.append(Size("tread moved most, by", "length_m", max(moves_m)))
    seen.remedy(
        Remedy(
            "Even the risers of the whole flight: each",
            riser_m,
            trade,
            "after the pour",
            cost=flight.move_cost,
            sizes=tuple(sizes),
            ready=f"how the risers of {flight.name} are evened is settled, and the day for it",
        )
    )
