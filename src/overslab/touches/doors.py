"""Overhead doors, and the drive or apron outside any door."""

from __future__ import annotations

from dataclasses import replace

from overslab.handbook import building, clearances
from overslab.handbook.building_checks import BEVEL, level_change_check, ramp_run
from overslab.handbook.checks import Check
from overslab.touches.gathering import HAIR_M, Gathered, Site
from overslab.touches.records import Outside, OverheadDoor, Point, Remedy, Size
from overslab.touches.rules import owners

SPRINGS = (
    "Springs and cables of an overhead door hold force that maims: nobody but a door technician "
    "loosens, moves or cuts them. Block the door and unplug the opener while others work there."
)
_BOOKED = (
    "the door technician has looked at {name} and said in writing how it meets the new floor, and "
    "when"
)


def overhead_door(site: Site, door: OverheadDoor) -> Gathered:
    """The seal, the room above the tracks, the opening that is left, and water over the sill."""
    met = site.floor.along(door.a, door.b)
    moved, line = door.name in site.moved, (door.a, door.b)
    seen = Gathered(door.name, "overhead door", met, moved=moved, line=line)
    high, low = met.highest, met.lowest
    up_m = high.after_m - door.sill_m
    seal = owners(clearances.SEAL, door.seal_takes_m)
    closes = seen.check(seal, found=up_m, place=high)
    level = seen.check(
        replace(seal, name="out of level along the door, taken up by its seal"),
        found=high.after_m - low.after_m,
        place=low,
    )
    if not closes.passes or (seen.moved and up_m > 0):
        _raised(seen, door, up_m=up_m)
    elif up_m > HAIR_M:
        seen.remedy(
            Remedy(
                "Set the seal and the stop of the opener to the new floor, which is higher by",
                up_m,
                "door technician",
                "after the pour",
            )
        )
    if not level.passes:
        seen.remedy(
            Remedy(
                "Cut the seal to a taper along the door, out of level by",
                high.after_m - low.after_m,
                "door technician",
                "after the pour",
            )
        )
    _opening(seen, door)
    if door.name in site.outlets:
        _water_out(seen, door)
    if seen.remedies:
        seen.warn(SPRINGS)
    return seen


def _raised(seen: Gathered, door: OverheadDoor, *, up_m: float) -> None:
    seen.remedy(
        Remedy(
            "Raise the tracks, the opener and its stop by",
            up_m,
            "door technician",
            "after the pour",
            cost=door.move_cost,
            ready=_BOOKED.format(name=door.name),
        )
    )
    if door.headroom_left_m is None:
        seen.not_written(["how far its tracks can go up"])
        return
    room = seen.compare(
        Check(
            name="room above the tracks",
            quantity="headroom_m",
            found=door.headroom_left_m,
            comparison="at least",
            allowed=up_m,
            source="the new floor above the sill (derived)",
            slack=HAIR_M,
            where=door.name,
            at=seen.met.highest.at,
        )
    )
    if not room.passes:
        seen.remedy(
            Remedy(
                "Shorten the door, or give it tracks for low headroom, for the rest of",
                up_m - door.headroom_left_m,
                "door technician",
                "after the pour",
                ready=_BOOKED.format(name=door.name),
            )
        )


def _opening(seen: Gathered, door: OverheadDoor) -> None:
    missing = []
    if door.head_m is None:
        missing.append("the height of its head")
    if door.clear_least_m is None:
        missing.append("the least opening you can use")
    seen.not_written(missing)
    if door.head_m is None or door.clear_least_m is None:
        return
    high = seen.met.highest
    left = seen.check(
        owners(clearances.OPENING, door.clear_least_m),
        found=door.head_m - max(high.after_m, door.sill_m),
        place=high,
    )
    if not left.passes:
        seen.remedy(
            Remedy(
                "Raise the head of the opening, or live with an opening lower by",
                -left.margin,
                "carpenter",
                "before the pour",
                ready=f"the head of {door.name} is raised, or its lower opening is agreed",
            )
        )
        seen.warn(
            f"{door.name}: a head carries what stands on it; whether and how it is raised is for a "
            "licensed engineer."
        )


def _water_out(seen: Gathered, door: OverheadDoor) -> None:
    if seen.moved:
        seen.note(f"{door.name}: its sill is set to the new floor, so that water runs out over it.")
        return
    if door.lets_water_out:
        seen.note(
            f"{door.name}: water leaves past the sill today; keep that way open, no higher than "
            "the new floor."
        )
        return
    low = seen.met.lowest
    out = seen.check(clearances.WATER_OUT, found=low.after_m - door.sill_m, place=low)
    if not out.passes:
        seen.remedy(
            Remedy(
                "Cut the sill down, or saw slots through it, by",
                -out.margin,
                "crew",
                "before the pour",
                ready=f"the sill of {door.name} is cut",
            )
        )


def outside(
    site: Site, ground: Outside, *, a: Point, b: Point, sill_m: float, moved: bool
) -> Gathered:
    """The step at the drive, and whether water can come in: ``sill_m`` is that of its door."""
    met = site.floor.along(a, b)
    seen = Gathered(ground.name, "outside", met, moved=moved, line=(a, b))
    high, low = met.highest, met.lowest
    dry = seen.check(clearances.WATER_KEPT_OUT, found=low.after_m - ground.height_m, place=low)
    if not dry.passes:
        seen.remedy(
            Remedy(
                "Cut the drive down before the door, or set a channel drain there, lower by",
                -dry.margin,
                "crew",
                "before the pour",
                ready=f"{ground.name} is cut down or drained",
            )
        )
    before_m = max(sill_m, met.highest_before_m) - ground.height_m
    step_m = max(sill_m, high.after_m) - ground.height_m
    if step_m > max(before_m, 0.0) + HAIR_M:
        upright = level_change_check(step_m=step_m, bevel_slope=None, where=ground.name)
        step = seen.compare(replace(upright, at=high.at, slack=HAIR_M))
        if not step.passes:
            _stepped(seen, ground, step_m=step_m)
    elif step_m > HAIR_M:
        seen.note(f"{ground.name}: the step up from outside stays as it is today.")
    if ground.falls_away == "no":
        seen.warn(
            f"{ground.name} falls toward {ground.door}: rain runs to the door. It needs a channel "
            "drain with a place to go, or another fall outside."
        )
    elif ground.falls_away == "not known":
        seen.not_written(["whether it falls away from the door"])
    return seen


def _stepped(seen: Gathered, ground: Outside, *, step_m: float) -> None:
    """A bevel for a small step, a ramp for a greater one."""
    if level_change_check(step_m=step_m, bevel_slope=BEVEL).margin >= -HAIR_M:
        says, slope = "Bevel the new edge outside {door}, a step of", BEVEL
    else:
        says, slope = "Ramp up to the new edge outside {door}, a step of", building.RAMP_SLOPE.value
    seen.note(
        f"{ground.name}: the limit for a step is that of an accessible way; wheels and feet feel a "
        "greater one anywhere."
    )
    length_m = seen.show(ramp_run, "bevel or ramp", rise_m=step_m, slope=slope)
    seen.remedy(
        Remedy(
            says.format(door=ground.door),
            step_m,
            "crew",
            "after the pour",
            sizes=(Size("its length", "length_m", length_m),),
        )
    )
