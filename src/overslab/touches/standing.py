"""Walls, posts, burners and drains: what stands in the floor or beside it, and is kept clear."""

from __future__ import annotations

from dataclasses import replace

from overslab.handbook import building, clearances
from overslab.touches.gathering import HAIR_M, Gathered, Site
from overslab.touches.records import Burner, FloorDrain, Post, Remedy, Wall
from overslab.touches.rules import owners


def wall(site: Site, stretch: Wall) -> Gathered:
    """Siding, curb and outlet boxes over the new floor along a stretch of wall."""
    met = site.floor.along(stretch.a, stretch.b)
    seen = Gathered(stretch.name, "wall", met, line=(stretch.a, stretch.b))
    high = met.highest
    if stretch.siding_m is not None:
        clear = seen.clearance(building.SIDING_TO_CONCRETE, height_m=stretch.siding_m, place=high)
        if not clear.passes:
            seen.remedy(
                Remedy(
                    "Trim the siding or framing by",
                    -clear.margin,
                    "carpenter",
                    "before the pour",
                    ready=f"siding or framing at {stretch.name} is trimmed",
                )
            )
        if clear.found < -HAIR_M:
            seen.warn(
                f"{stretch.name}: the new floor would stand against siding or framing. Wood below "
                "the floor line rots, and what it carries is for a licensed engineer."
            )
    if stretch.curb_m is not None:
        limit = owners(clearances.CURB, stretch.curb_least_m)
        left = seen.clearance(limit, height_m=stretch.curb_m, place=high)
        if stretch.curb_least_m is None:
            seen.not_written(["how much curb the local code wants above the floor"])
        if not left.passes:
            seen.remedy(
                Remedy(
                    "Build the curb up by",
                    -left.margin,
                    "crew",
                    "before the pour",
                    ready=f"the curb of {stretch.name} is built up",
                )
            )
    if stretch.receptacle_m is not None:
        _receptacle(seen, stretch.receptacle_m)
    if not seen.checks:
        seen.not_written(["what must stay clear of the floor: siding, curb or outlet box"])
    return seen


def _receptacle(seen: Gathered, box_m: float) -> None:
    high, low = seen.met.highest, seen.met.lowest
    clear = seen.clearance(clearances.OUTLET_BOX, height_m=box_m, place=high)
    seen.clearance(building.RECEPTACLE, height_m=box_m, place=low)
    if not clear.passes:
        seen.remedy(
            Remedy(
                "Move the outlet box up by",
                -clear.margin,
                "electrician",
                "before the pour",
                ready=f"the outlet box of {seen.name} is moved",
            )
        )
    seen.ask(
        f"{seen.name}: ask the electrician how high the local code wants an outlet box over this "
        "floor, and whether conduit runs in or under the old one."
    )


def post(site: Site, one: Post) -> Gathered:
    """A post: wood stays out of the concrete, and the floor stays clear of the post."""
    met = site.floor.round(one.at, reach_m=max(0.1, 0.75 * one.size_m))
    seen = Gathered(one.name, "post", met, line=(one.at,))
    high, most = met.highest, met.risen_most
    if one.base == "wood":
        if one.base_top_m is None:
            seen.stands_open = True
            seen.not_written(["the height at which its wood ends"])
        else:
            clear = seen.clearance(clearances.WOOD, height_m=one.base_top_m, place=high)
            if not clear.passes:
                seen.remedy(
                    Remedy(
                        "Set the post on a pedestal or a stand-off, its wood ended higher by",
                        -clear.margin,
                        "carpenter",
                        "before the pour",
                        ready=f"the wood of {one.name} stands clear of the new floor",
                    )
                )
                seen.warn(
                    f"{one.name}: a post that carries anything is shored and cut only on the word "
                    "of a licensed engineer."
                )
    elif one.base == "steel":
        seen.note(
            f"{one.name}: its plate goes under the new floor: clean, coat and wrap it, or it rusts "
            "where nobody sees it."
        )
    elif one.base == "not known":
        seen.not_written(["what its foot is made of"])
    seen.remedy(
        Remedy(
            "Set an isolation strip round it, its top flush with the new floor, high",
            most.rise_m,
            "crew",
            "before the pour",
            ready=f"{one.name} is wrapped with its strip",
            item="isolation-strip",
        )
    )
    return seen


def burner(site: Site, heater: Burner) -> Gathered:
    """The flame over the new floor; one that stands on the floor is lifted with it."""
    met = site.floor.round(heater.at)
    seen = Gathered(heater.name, "burner", met, line=(heater.at,))
    high = met.highest
    feet = met.place(0)
    lift_m = feet.rise_m if heater.stands_on_floor else 0.0
    flame = seen.clearance(building.IGNITION, height_m=heater.flame_m + lift_m, place=high)
    if heater.stands_on_floor:
        moved = Remedy(
            "Disconnect it, its vent and its gas or oil, and take it out; the floor comes up by",
            feet.rise_m,
            "heating fitter",
            "before the pour",
            ready=f"{heater.name} is disconnected and out, and its day to come back is set",
        )
        seen.remedy(moved)
        seen.remedy(
            replace(
                moved,
                says="Set it again on the new floor, vent and pipes made to fit and tested, up by",
                when="after the pour",
                ready="",
            )
        )
    if not flame.passes:
        seen.remedy(
            Remedy(
                "Raise its flame, on a stand or its hangers, by",
                -flame.margin,
                "heating fitter",
                "after the pour" if heater.stands_on_floor else "before the pour",
                ready="" if heater.stands_on_floor else f"the flame of {heater.name} is raised",
            )
        )
    seen.warn(
        f"{heater.name}: gas, oil and vents are for a licensed fitter, who also says whether it "
        "may run while the floor is poured and cured. Where vehicles pass it needs guarding."
    )
    return seen


def drain(site: Site, one: FloorDrain) -> Gathered:
    """A drain kept, raised or buried."""
    met = site.floor.round(one.at, reach_m=0.02)
    seen = Gathered(one.name, "drain", met, moved=one.name in site.moved, line=(one.at,))
    at = met.place(0)
    over_m = at.after_m - one.rim_m
    if one.sump:
        _sump(seen, one, thick_m=at.rise_m)
    if one.plan == "bury":
        _buried(seen, one, over_m=over_m)
    else:
        seen.check(clearances.RIM, found=over_m, place=at)
        up_m = over_m - one.drop_m
        if one.plan == "raise" and up_m > HAIR_M:
            seen.remedy(
                Remedy(
                    "Raise the rim, with a ring or a longer body, by",
                    up_m,
                    "plumber",
                    "before the pour",
                    cost=one.move_cost,
                    ready=f"the rim of {one.name} is raised",
                )
            )
        elif one.plan == "keep" and up_m > site.mark_m:
            seen.remedy(
                Remedy(
                    "Its rim is kept and would lie deep in the new floor: bring it up by",
                    up_m,
                    "plumber",
                    "before the pour",
                    cost=one.move_cost,
                    ready=f"the rim of {one.name} is raised",
                )
            )
        seen.ask(
            f"{one.name}: prove that the pipe is open before the pour (water test), and plug it "
            "against concrete."
        )
    return seen


def _sump(seen: Gathered, one: FloorDrain, *, thick_m: float) -> None:
    if one.plan != "bury":
        seen.remedy(
            Remedy(
                "Form the sides of the pit and set a strip round its ring, high",
                thick_m,
                "crew",
                "before the pour",
                ready=f"the sides of {one.name} are formed and its ring is wrapped",
            )
        )
        seen.remedy(
            Remedy(
                "Keep its pump powered and running through the week of the pour, its hose clear",
                None,
                "electrician",
                "before the pour",
                ready=f"the pump of {one.name} has power for the week of the pour",
            )
        )
    seen.ask(
        f"{one.name}: where does its pump send the water, and at what height does its lid lie?"
    )
    seen.warn(
        f"{one.name}: keep the pit covered and guarded; test the air before anyone goes into it."
    )


def _buried(seen: Gathered, one: FloorDrain, *, over_m: float) -> None:
    seen.remedy(
        Remedy(
            "Cap the pipe and fill the well; concrete over its rim",
            over_m,
            "plumber",
            "before the pour",
            cost=one.move_cost,
            ready=f"{one.name} is capped and filled",
        )
    )
    if one.may_be_abandoned == "no":
        seen.stands_open = True
        seen.warn(
            f"{one.name} may not be given up, so it may not be buried: keep it or raise it, and "
            "let the new top run to it."
        )
    elif one.may_be_abandoned == "not known":
        seen.stands_open = True
        seen.ask(
            f"{one.name}: nobody has said in writing that it may be given up. The local office "
            "says; a roof gutter or a neighbour may use it too."
        )
    if one.takes_water:
        seen.ask(f"{one.name} takes water today: where does that water go once it is buried?")
    seen.note(f"{one.name}: mark its place on the as-built sheet for ever.")
