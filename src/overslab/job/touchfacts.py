"""What the raised floor may upset, out of ``job.toml``: doors, stairs, walls, drains."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from math import nan
from statistics import fmean
from typing import Any

from overslab.ground.faults import Faulty
from overslab.ground.notes import Assumption
from overslab.job import faults
from overslab.job.floorthings import DoorFacts, Leaf, ThresholdFacts
from overslab.job.records import EdgeAsked, HeightAsked, HeightToFill, Job, TouchAsked
from overslab.job.touches import Touches, or_none
from overslab.job.typed import Level
from overslab.job.wishing import Lookup
from overslab.oldslab.records import FloorPlan
from overslab.shots.records import Heights
from overslab.touches.records import (
    Burner,
    FloorDrain,
    Outside,
    OverheadDoor,
    Post,
    Said,
    SideDoor,
    Stair,
    TouchFacts,
    Wall,
)

_NOT_YET = nan  # stands where a height leans on shots, until ``touch_facts_for`` fills it in


@dataclass(slots=True)
class _Facts:
    """What was found so far, by the list of ``TouchFacts`` it belongs to."""

    touches: Touches
    things: dict[str, list[Any]] = field(default_factory=dict)
    heights: list[HeightToFill] = field(default_factory=list)
    taken: list[Assumption] = field(default_factory=list)

    def add(self, section: str, thing: Any, **heights: HeightAsked | None) -> None:
        things = self.things.setdefault(section, [])
        for name, asked in heights.items():
            if asked is not None:
                self.heights.append(HeightToFill(section, len(things), name, asked))
        things.append(thing)

    def height(self, level: Level | None, *path: str | int) -> HeightAsked | None:
        return None if level is None else self.touches.height(level, *path)


def touches_asked(touches: Touches, *, plan: FloorPlan) -> TouchAsked:
    """Everything the floor meets, before the shots are reduced; faults go to the plotter.

    Lines of doors, stairs and thresholds are those of the wishes; what was told faulty there is
    left out here.
    """
    found = _Facts(touches)
    edges = {edge.name: edge for edge in touches.edges}
    _doors(found, edges)
    _stairs(found, edges)
    _walls(found)
    _burners(found)
    _drains(found)
    _outside(found)
    _posts(found, plan)
    lists: dict[str, Any] = {name: tuple(things) for name, things in found.things.items()}
    return TouchAsked(TouchFacts(**lists, taken=tuple(found.taken)), tuple(found.heights))


def touch_facts_for(job: Job, heights: Heights) -> tuple[TouchFacts, tuple[Assumption, ...]]:
    """The facts with every height that leans on a shot put in, and what was assumed for it.

    Raises ``Faulty`` when a shot that a height leans on has none.
    """
    lookup = Lookup(job, heights)
    facts = job.touches.facts
    lists: dict[str, list[Any]] = {}
    for one in job.touches.heights:
        things = lists.setdefault(one.section, list(getattr(facts, one.section)))
        thing = things[one.place]
        value_m = lookup.height(one.asked, about=thing.name, so="their mean is taken")
        things[one.place] = replace(thing, **{one.name: value_m})
    if lookup.found:
        raise Faulty(lookup.found)
    filled: dict[str, Any] = {name: tuple(things) for name, things in lists.items()}
    known = {one.about for one in job.assumptions}
    assumed = tuple(one for one in lookup.assumed if one.about not in known)
    return replace(facts, **filled), assumed


def _doors(found: _Facts, edges: dict[str, EdgeAsked]) -> None:
    facts = found.touches.facts
    for n, door in enumerate(facts.doors):
        head = found.height(door.head, "door", n, "head")
        edge = edges.get(door.name)
        if edge is None:
            continue
        if door.kind == "side":
            _side_door(found, door, edge)
            continue
        if door.kind is None:
            found.taken.append(
                Assumption(
                    about=f"kind of {door.name}",
                    taken="an overhead door on tracks",
                    because='kind = "overhead" or "side" is not given in job.toml',
                )
            )
        found.add(
            "overhead_doors",
            OverheadDoor(
                name=door.name,
                a=edge.a,
                b=edge.b,
                sill_m=_NOT_YET,
                headroom_left_m=or_none(door.headroom_above_tracks),
                seal_takes_m=or_none(door.seal_takes),
                clear_least_m=or_none(door.clear_least),
                lets_water_out=door.lets_water_out_today,
                move_cost=or_none(door.move_cost),
            ),
            sill_m=edge.meets,
            head_m=head,
        )
    for sill in facts.thresholds:
        if sill.name in edges:
            _side_door(found, sill, edges[sill.name])


def _side_door(found: _Facts, facts: DoorFacts | ThresholdFacts, edge: EdgeAsked) -> None:
    leaf: Leaf = facts
    found.add(
        "side_doors",
        SideDoor(
            name=facts.name,
            a=edge.a,
            b=edge.b,
            threshold_m=_NOT_YET,
            swings=leaf.swings or "not known",
            gap_under_m=or_none(leaf.gap_under),
            egress=leaf.egress,
            floor_is_outside=_said(leaf.floor_outdoors),
            move_cost=or_none(facts.move_cost),
        ),
        threshold_m=edge.meets,
    )


def _stairs(found: _Facts, edges: dict[str, EdgeAsked]) -> None:
    for n, stair in enumerate(found.touches.facts.stairs):
        edge = edges.get(stair.name)
        if edge is None:
            continue
        found.add(
            "stairs",
            Stair(
                name=stair.name,
                a=edge.a,
                b=edge.b,
                risers_m=tuple(riser.value for riser in stair.risers or ()),
                riser_wanted_m=stair.riser.value,
                headroom_m=or_none(stair.headroom),
                goes=stair.goes,
                move_cost=or_none(stair.move_cost),
            ),
            tread_m=found.height(stair.tread, "stair", n, "tread"),
        )


def _walls(found: _Facts) -> None:
    for n, wall in enumerate(found.touches.facts.walls):
        path = ("wall", n)
        line = found.touches.line_on_floor(wall.ends, *path, name=wall.name)
        heights = {
            f"{key}_m": found.height(getattr(wall, key), *path, key)
            for key in ("siding", "curb", "receptacle")
        }
        if line is not None:
            found.add(
                "walls",
                Wall(wall.name, *line, curb_least_m=or_none(wall.curb_least)),
                **heights,
            )


def _burners(found: _Facts) -> None:
    plotter = found.touches.plotter
    for n, burner in enumerate(found.touches.facts.burners):
        path = ("burner", n)
        at = plotter.spot(burner.at, *path, "at")
        flame = found.height(burner.flame, *path, "flame")
        if at is not None:
            place = plotter.source.place(*path, "at")
            plotter.on_floor([at], name=burner.name, place=place)
            found.add(
                "burners",
                Burner(burner.name, at, _NOT_YET, burner.stands_on_floor),
                flame_m=flame,
            )


def _drains(found: _Facts) -> None:
    placed = {drain.name: drain for drain in found.touches.drains}
    for facts in found.touches.facts.drains:
        drain = placed.get(facts.name)
        if drain is not None:
            found.add(
                "drains",
                FloorDrain(
                    name=drain.name,
                    at=drain.at,
                    rim_m=_NOT_YET,
                    plan=drain.plan,
                    drop_m=drain.drop_m,
                    may_be_abandoned=facts.may_be_abandoned or "not known",
                    takes_water=facts.takes_water_today,
                    sump=facts.sump,
                    move_cost=or_none(facts.move_cost),
                ),
                rim_m=drain.rim,
            )


def _outside(found: _Facts) -> None:
    facts, plotter = found.touches.facts, found.touches.plotter
    doors = [*(door.name for door in facts.doors), *(sill.name for sill in facts.thresholds)]
    for n, outside in enumerate(facts.outside):
        path = ("outside", n)
        height = found.height(outside.height, *path, "height")
        if outside.door not in doors:
            plotter.found.append(
                faults.DOOR_UNKNOWN.met(
                    value=outside.door,
                    place=plotter.source.place(*path, "door"),
                    name=outside.name,
                    door=outside.door,
                    known=", ".join(doors) or "none",
                )
            )
            continue
        found.add(
            "outside",
            Outside(outside.name, outside.door, _NOT_YET, _said(outside.falls_away)),
            height_m=height,
        )


def _posts(found: _Facts, plan: FloorPlan) -> None:
    placed = {hole.name: hole.corners for hole in plan.holes}
    for n, post in enumerate(found.touches.facts.posts):
        base_top = found.height(post.base_top, "post", n, "base_top")
        corners = placed.get(post.name)
        if corners is not None:
            found.add(
                "posts",
                Post(
                    name=post.name,
                    at=_middle(corners),
                    base=post.base or "not known",
                    size_m=post.size.value,
                ),
                base_top_m=base_top,
            )


def _said(answer: bool | None) -> Said:
    return "not known" if answer is None else "yes" if answer else "no"


def _middle(corners: Iterable[tuple[float, float]]) -> tuple[float, float]:
    points = list(corners)
    return fmean(x for x, _ in points), fmean(y for _, y in points)
