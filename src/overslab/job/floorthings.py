"""The keys of ``job.toml`` for what lies on the floor and what the new top meets."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from overslab.job.findingkeys import Looked
from overslab.job.sections import Corners, EdgeNumber, Line, Named, Section
from overslab.job.typed import HeightAt, Margin, Money, Place, Size, Slope, Words


class HoleFacts(Named):
    """[[hole]]: a wall stub, a machine base: the new concrete goes round it."""

    corners: Corners = Field(description='Its corners in order, places: [["9 ft", "4 ft"], ...].')


class PostFacts(Named):
    """[[post]]: a post the new concrete goes round."""

    at: Place = Field(description='The middle of the post, a place: ["20 ft", "14 ft"].')
    size: Size = Field(description='Its side, or its diameter when round, a length: "6 in".')
    base: Literal["wood", "steel", "concrete"] | None = Field(
        default=None, description='What stands at its foot: "wood", "steel" or "concrete".'
    )
    base_top: HeightAt | None = Field(
        default=None,
        description=(
            "Height of its plate, or of the end of the wood on its pedestal: "
            '"shot Q1 + 2 in" or a height.'
        ),
    )


class BreakFacts(Looked, Named):
    """[[break]]: a crack or joint that crosses the floor; the floor may step across it."""

    kind: Literal["crack", "joint"] = Field(description='"crack" or "joint".')
    line: Line = Field(
        description=(
            "Its line, two or more places from edge to edge: "
            '[["0 ft", "9 ft"], ["24 ft", "11 ft"]].'
        )
    )
    step: Margin | None = Field(
        default=None,
        description='The step across it as measured by hand, without a sign, a length: "3/8 in".',
    )


class PatchFacts(Named):
    """[[pit]] and [[pad]]: a place with its own level, shot for itself."""

    corners: Corners = Field(description='Its corners in order, places: [["9 ft", "4 ft"], ...].')


class TrenchFacts(Named):
    """[[trench]]: a narrow sunk strip, shot for itself."""

    line: Line = Field(description="Its middle line, two or more places.")
    width: Size = Field(description='How wide it is, a length: "2 ft".')


class Movable(Section):
    """A touch that may be moved at a cost instead of being met."""

    move_cost: Money | None = Field(
        default=None,
        description='What moving it costs in all, money: "$450". Left out: it cannot be moved.',
    )
    move_up: Margin | None = Field(
        default=None, description='How far it can go up when it is moved, a length: "3 in".'
    )
    move_down: Margin | None = Field(
        default=None, description='How far it can go down when it is moved, a length: "1 in".'
    )
    firm: bool = Field(
        default=True,
        strict=True,
        description="false: this wish may be offered up when wishes cannot all be met.",
    )


class Leaf(Section):
    """What a man door has: a leaf that swings over a floor."""

    swings: Literal["over", "away"] | None = Field(
        default=None,
        description='Of a man door: "over" when its leaf swings over the new floor, else "away".',
    )
    gap_under: Margin | None = Field(
        default=None,
        description=(
            "Of a leaf that swings over the new floor: its least gap to today's floor "
            'anywhere under its swing, a length: "5/8 in".'
        ),
    )
    egress: bool = Field(
        default=False,
        strict=True,
        description="true when the local code counts this door as the required way out.",
    )
    floor_outdoors: bool | None = Field(
        default=None,
        strict=True,
        description="true when the new floor is the one outdoors, such as a patio before a house.",
    )


class DoorFacts(Movable, Leaf, Named):
    """[[door]]: an overhead door or man door on the outline; the top meets its sill."""

    kind: Literal["overhead", "side"] | None = Field(
        default=None,
        description='"overhead" for a door on tracks, "side" for a man door with a leaf.',
    )
    head: HeightAt | None = Field(
        default=None,
        description='Of an overhead door: underside of the head, "shot S2 + 9 ft" or a height.',
    )
    headroom_above_tracks: Margin | None = Field(
        default=None,
        description='Of an overhead door: how far its tracks can go up, a length: "4 in".',
    )
    seal_takes: Margin | None = Field(
        default=None,
        description=(
            'Of an overhead door: what its rubber seal takes up, a length: "1/2 in". '
            "Left out: the handbook's value."
        ),
    )
    clear_least: Size | None = Field(
        default=None,
        description='Of an overhead door: the least opening you can use, a length: "8 ft 6 in".',
    )
    ends: Line | None = Field(
        default=None,
        max_length=2,
        description='Its two ends on the outline, places: [["6 ft", "30 ft"], ["16 ft", "30 ft"]].',
    )
    edge: EdgeNumber | None = Field(
        default=None,
        description="Instead of ends: the number of the edge it is in, with offset and width.",
    )
    offset: Margin | None = Field(
        default=None,
        description='From the first corner of that edge to the near side, a length: "6 ft".',
    )
    width: Size | None = Field(default=None, description='Width of the opening, a length: "10 ft".')
    sill: HeightAt = Field(
        description='Height of the sill the door closes on: "shot S1", "shots S1, S2" or a height.'
    )
    may_rise: Margin = Field(
        description='How far the new top may end above the sill, a length: "1/4 in"; "0" for none.'
    )
    may_drop: Margin = Field(
        description='How far the new top may end below the sill, a length: "1/2 in"; "0" for none.'
    )
    level: bool = Field(
        default=True, strict=True, description="false: the top need not be level along the door."
    )
    lets_water_out_today: bool = Field(
        strict=True,
        description="true when water leaves the old floor here; false when the sill holds it.",
    )
    gather: Literal["wall", "mouth"] = Field(
        default="wall",
        description=(
            'How water may come to it: "wall" lets it run along the wall to the opening, '
            '"mouth" asks for fall straight to the opening.'
        ),
    )


class StairFacts(Movable, Named):
    """[[stair]]: the foot of a stair; the bottom riser has to come out right."""

    ends: Line = Field(max_length=2, description="The two ends of its foot line, places.")
    tread: HeightAt = Field(description='Height of the lowest tread: "shot T1" or a height.')
    riser: Size = Field(
        description='What the bottom riser shall be, tread to new top, a length: "7 in".'
    )
    riser_slack: Margin = Field(
        description=(
            'How far the bottom riser may differ from that, a length: "3/16 in". '
            "Local code governs how much risers may vary."
        )
    )
    goes: Literal["up", "down"] = Field(
        default="up",
        description=(
            'Where one steps to from the floor: "up", or "down" for steps from a patio to the '
            "lawn; the tread is then the first one below the floor."
        ),
    )
    risers: list[Size] | None = Field(
        default=None,
        min_length=1,
        max_length=60,
        description=(
            "Every riser as measured today, from the floor on, lengths: "
            '["9 in", "7 1/2 in", "7 1/2 in"].'
        ),
    )
    headroom: Size | None = Field(
        default=None,
        description=(
            "Least headroom over today's floor where one comes to the stair, a length: "
            '"7 ft 2 in".'
        ),
    )


class ThresholdFacts(Movable, Leaf, Named):
    """[[threshold]]: a doorway whose sill must stay above the new top."""

    ends: Line = Field(max_length=2, description="Its two ends, places.")
    sill: HeightAt = Field(description='Height of the threshold: "shot OD1" or a height.')
    at_least_below: Margin = Field(
        description='The new top stays at least this far below it, a length: "1 in".'
    )
    at_most_below: Margin | None = Field(
        default=None, description='The new top stays at most this far below it, a length: "7 in".'
    )
    level: bool = Field(
        default=False, strict=True, description="true: the top is level along the threshold."
    )


class LineFacts(Movable, Named):
    """[[line]]: any other line the new top must meet: an apron, the neighbour's floor."""

    ends: Line = Field(max_length=2, description="Its two ends, places.")
    kind: Literal["apron", "line"] = Field(default="line", description='"apron" or "line".')
    meets: HeightAt = Field(description='The height to meet: "shot A1" or a height.')
    may_rise: Margin = Field(description='How far the top may end above it, a length: "1/4 in".')
    may_drop: Margin = Field(description='How far the top may end below it, a length: "0".')
    level: bool = Field(
        default=True, strict=True, description="false: the top need not be level along the line."
    )
    lets_water_out_today: bool = Field(
        default=False,
        strict=True,
        description="true when the line lies on the outline and water leaves the old floor there.",
    )


class DrainFacts(Movable, Named):
    """[[drain]]: a drain in the old floor."""

    at: Place = Field(description='The middle of the drain, a place: ["12 ft", "10 ft"].')
    rim: HeightAt = Field(description='Height of its rim: "shot D1" or a height.')
    plan: Literal["keep", "raise", "bury"] = Field(
        description='"keep" its rim where it is, "raise" it to the new top, or "bury" it.'
    )
    meet_above: Margin | None = Field(
        default=None,
        description='How far the new top ends above the rim, a length: "1/2 in". Left out: flush.',
    )
    takes_water_today: bool = Field(
        strict=True, description="true when it takes water today (pour a bucket and see)."
    )
    sump: bool = Field(
        default=False, strict=True, description="true when it is a pit with a pump in it."
    )
    size: Size | None = Field(
        default=None,
        description='Side of its pit, or its diameter when round, a length: "18 in"; no concrete '
        "goes there. Left out: too small to count.",
    )
    may_be_abandoned: Literal["yes", "no"] | None = Field(
        default=None,
        description=(
            'Of a drain to bury: "yes" when the local office has said in writing that it may be '
            'given up, "no" when it has refused. Left out: not known, and to be asked.'
        ),
    )


class ZoneFacts(Named):
    """[[zone]]: a part of the floor with wishes of its own."""

    corners: Corners = Field(description='Its corners in order, places: [["0 ft", "0 ft"], ...].')
    least_fall: Slope | None = Field(
        default=None, description='Least fall in it, a slope: "1/4 in/ft".'
    )
    greatest_fall: Slope | None = Field(
        default=None, description='Greatest fall in it any way, a slope: "1/8 in/ft".'
    )
    least_thickness: Size | None = Field(
        default=None, description='Least thickness in it, a length: "4 in".'
    )
    highest: HeightAt | None = Field(
        default=None, description='The top stays below this in it, a height: "shot S1 + 3 in".'
    )
    firm: bool = Field(
        default=False,
        strict=True,
        description="true: these wishes are not offered up when wishes cannot all be met.",
    )


class WallFacts(Named):
    """[[wall]]: a stretch of wall with something that must stay clear of the floor."""

    ends: Line = Field(max_length=2, description="The two ends of the stretch, places.")
    siding: HeightAt | None = Field(
        default=None,
        description='Underside of its siding or framing, a height: "shot V1" or "shot A7 + 6 in".',
    )
    curb: HeightAt | None = Field(
        default=None, description='Top of its stem wall or curb, a height: "shot C1".'
    )
    curb_least: Size | None = Field(
        default=None,
        description='How much curb the local code wants above the floor, a length: "4 in".',
    )
    receptacle: HeightAt | None = Field(
        default=None,
        description='Underside of its lowest outlet box, a height: "shot A4 + 16 in".',
    )


class BurnerFacts(Named):
    """[[burner]]: a heater or water heater with a flame or a spark."""

    at: Place = Field(description='Its place, a place: ["2 ft", "28 ft"].')
    flame: HeightAt = Field(
        description='Height of its flame or spark today: "shot A7 + 19 in" or a height.'
    )
    stands_on_floor: bool = Field(
        strict=True,
        description="true when it stands on the old floor and is set again on the new one.",
    )


class OutsideFacts(Named):
    """[[outside]]: the drive, apron or ground outside a door."""

    door: Words = Field(description='Name of the door or threshold it lies before: "north door".')
    height: HeightAt = Field(description='Its height at the opening: "shots AP1, AP2" or a height.')
    falls_away: bool | None = Field(
        default=None,
        strict=True,
        description="true when it falls away from the door, false when it falls toward it.",
    )
