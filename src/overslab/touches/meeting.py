"""Meets everything the new floor touches: before and after, rules, remedies, trades."""

from __future__ import annotations

from collections.abc import Iterator

from overslab.ground.faults import Faulty
from overslab.ground.notes import Assumption, Remark
from overslab.newtop.records import Edge, NewTop
from overslab.oldslab.records import OldSlab
from overslab.touches import faults
from overslab.touches.doors import outside, overhead_door
from overslab.touches.flights import stair
from overslab.touches.gathering import Gathered, Site
from overslab.touches.places import Floor
from overslab.touches.readiness import readiness, trades_in
from overslab.touches.records import OverheadDoor, Remedy, SideDoor, Touches, TouchFacts
from overslab.touches.side_doors import side_door
from overslab.touches.standing import burner, drain, post, wall

LOCAL = Remark(
    "warn",
    "Local codes govern and win over every limit printed here, which come from model codes of the "
    "edition named and from practice. The local office says which of them hold.",
)
TRADES_ONLY = Remark(
    "warn",
    "Gas, oil and vents are for a licensed fitter, wiring for an electrician, springs and cables "
    "of overhead doors for a door technician, what carries a load for a licensed engineer.",
)
ON_THE_MARKS = Assumption(
    about="heights at doors, stairs and walls",
    taken="those of the new top as marked",
    because="the old floor is its most likely surface between the shots; both are looked at every "
    "hand's breadth and the worst place counts",
)


def meet(
    oldslab: OldSlab, newtop: NewTop, facts: TouchFacts, *, put_right: tuple[str, ...] = ()
) -> Touches:
    """Everything the chosen top touches, from what was written down.

    ``put_right`` is what the verdict wants done to the old slab; it holds the pour date too.

    Doors and lines that the wishes hold but ``facts`` do not are met as far as the wishes go; what
    was not written down is asked for. What the new top moves instead of meeting is taken from it,
    beside ``facts.moved``. Raises ``Faulty`` when there is no top, or when a thing outside names a
    door that is not there.
    """
    top = newtop.top
    if top is None or top.surface is None:
        raise Faulty(faults.NO_TOP.met(value="no kind of top chosen"))
    lines = _doors(facts)
    lost = [ground for ground in facts.outside if ground.door not in lines]
    if lost:
        raise Faulty(
            faults.DOOR_LOST.met(
                value=ground.door, name=ground.name, known=", ".join(lines) or "none"
            )
            for ground in lost
        )
    site = Site(
        floor=Floor(oldslab, top.surface),
        moved=frozenset((*top.moved, *facts.moved)),
        outlets=frozenset(outlet.name for outlet in newtop.wishes.outlets),
        mark_m=newtop.wishes.mark_m,
    )
    seen = [*_seen(site, facts, lines=lines, edges=newtop.wishes.edges)]
    touches = tuple(one.touch() for one in seen)
    return Touches(
        touches=touches,
        trades=trades_in(touches),
        readiness=readiness(touches, drains=facts.drains, put_right=put_right),
        assumptions=(*facts.taken, *((ON_THE_MARKS,) if touches else ())),
        remarks=tuple(dict.fromkeys(_remarks(seen, facts))),
        workings=tuple(working for one in seen for working in one.workings),
        currency=newtop.wishes.currency,
    )


_Lines = dict[str, OverheadDoor | SideDoor]


def _doors(facts: TouchFacts) -> _Lines:
    overhead: _Lines = {door.name: door for door in facts.overhead_doors}
    return overhead | {door.name: door for door in facts.side_doors}


def _seen(
    site: Site, facts: TouchFacts, *, lines: _Lines, edges: tuple[Edge, ...]
) -> Iterator[Gathered]:
    yield from (overhead_door(site, door) for door in facts.overhead_doors)
    yield from (side_door(site, door, stairs=facts.stairs) for door in facts.side_doors)
    for ground in facts.outside:
        door = lines[ground.door]
        sill_m = door.sill_m if isinstance(door, OverheadDoor) else door.threshold_m
        moved = door.name in site.moved
        yield outside(site, ground, a=door.a, b=door.b, sill_m=sill_m, moved=moved)
    yield from (stair(site, flight) for flight in facts.stairs)
    yield from (wall(site, stretch) for stretch in facts.walls)
    yield from (burner(site, heater) for heater in facts.burners)
    yield from (drain(site, one) for one in facts.drains)
    yield from (post(site, one) for one in facts.posts)
    known = {*lines, *(flight.name for flight in facts.stairs)}
    yield from (_other_edge(site, edge) for edge in edges if edge.name not in known)


def _other_edge(site: Site, edge: Edge) -> Gathered:
    """A line of the wishes of which nothing more was written down; its heights were kept there."""
    met = site.floor.along(edge.a, edge.b)
    seen = Gathered(edge.name, "line", met, moved=edge.name in site.moved, line=(edge.a, edge.b))
    if edge.kind in ("door", "threshold", "stair"):
        seen.not_written([f"all of this {edge.kind} but its height"])
    if seen.moved and edge.move is not None:
        seen.remedy(
            Remedy(
                "Move it to meet the new floor, which there comes up by",
                met.risen_most.rise_m,
                "crew",
                "before the pour",
                cost=edge.move.cost,
                ready=f"{edge.name} is moved",
            )
        )
    return seen


def _remarks(seen: list[Gathered], facts: TouchFacts) -> Iterator[Remark]:
    if seen:
        yield LOCAL
        yield TRADES_ONLY
    else:
        yield Remark(
            "ask",
            "Nothing that the floor meets is written down: doors, stairs, walls, heaters, drains, "
            "posts. Look again before a price is given.",
        )
    if seen and not facts.walls:
        yield Remark(
            "ask",
            "No wall is written down: is there siding, framing, a curb or an outlet box near it?",
        )
    if seen and not facts.burners:
        yield Remark(
            "ask", "No burner is written down: does a heater or water heater stand on this floor?"
        )
    for one in seen:
        yield from one.remarks
