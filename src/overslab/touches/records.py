"""What the room of touches takes and gives."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from overslab.ground.notes import Assumption, Remark
from overslab.handbook.checks import Check
from overslab.handbook.working import Working

Point = tuple[float, float]
Trade = Literal[
    "crew", "door technician", "carpenter", "plumber", "electrician", "heating fitter", "owner"
]


@dataclass(frozen=True, slots=True)
class OverheadDoor:
    name: str
    a: Point
    b: Point
    sill_m: float  # height the closed door meets today
    head_m: float | None = None  # underside of the opening's head
    headroom_left_m: float | None = None  # above the tracks: how far they can go up
    seal_takes_m: float = 0.0127  # what the rubber takes up, 1/2 in; read, trade magazine
    clear_least_m: float | None = None  # the owner's least opening
    move_cost: float | None = None


@dataclass(frozen=True, slots=True)
class SideDoor:
    """A man-door; ``threshold_m`` is the top of its threshold."""

    name: str
    a: Point
    b: Point
    threshold_m: float
    swings: Literal["in", "out", "not known"] = "not known"
    gap_under_m: float | None = None  # between the leaf and today's floor, where it swings in
    egress: bool = False  # a required way out
    move_cost: float | None = None


@dataclass(frozen=True, slots=True)
class Stair:
    """A flight that stands on the floor; ``risers_m`` from the floor up, as measured today."""

    name: str
    a: Point
    b: Point
    risers_m: tuple[float, ...]
    headroom_m: float | None = None  # least, above the nosing line of the lowest tread or the floor
    move_cost: float | None = None


@dataclass(frozen=True, slots=True)
class Wall:
    """A stretch of wall; heights of what must stay clear of the floor."""

    name: str
    a: Point
    b: Point
    siding_m: float | None = None  # underside of siding or framing
    curb_m: float | None = None  # top of stem wall or curb
    curb_least_m: float | None = None  # how much curb must stay above the floor, local rule
    receptacle_m: float | None = None  # lowest outlet box


@dataclass(frozen=True, slots=True)
class Burner:
    """A heater or water heater with a flame or spark."""

    name: str
    at: Point
    flame_m: float  # height of the flame or spark
    stands_on_floor: bool  # lifted with the floor when reset on it


@dataclass(frozen=True, slots=True)
class FloorDrain:
    name: str
    at: Point
    rim_m: float
    plan: Literal["keep", "raise", "bury"]
    may_be_abandoned: Literal["yes", "no", "not known"] = "not known"
    move_cost: float | None = None


@dataclass(frozen=True, slots=True)
class Outside:
    """The drive or apron outside an opening."""

    name: str
    door: str  # name of the door it lies before
    height_m: float  # at the opening
    falls_away: Literal["yes", "no", "not known"] = "not known"


@dataclass(frozen=True, slots=True)
class Post:
    name: str
    at: Point
    base: Literal["wood", "steel", "concrete", "not known"] = "not known"
    base_top_m: float | None = None  # height of the plate or the end of the wood


@dataclass(frozen=True, slots=True)
class TouchFacts:
    """Everything the floor meets, as written down."""

    overhead_doors: tuple[OverheadDoor, ...] = ()
    side_doors: tuple[SideDoor, ...] = ()
    stairs: tuple[Stair, ...] = ()
    walls: tuple[Wall, ...] = ()
    burners: tuple[Burner, ...] = ()
    drains: tuple[FloorDrain, ...] = ()
    outside: tuple[Outside, ...] = ()
    posts: tuple[Post, ...] = ()
    moved: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Remedy:
    """What puts it right, with its size."""

    says: str
    size_m: float | None
    trade: Trade
    when: Literal["before the pour", "during the pour", "after the pour"]
    cost: float | None = None


@dataclass(frozen=True, slots=True)
class Touch:
    """One thing the floor meets."""

    name: str
    kind: str
    at: Point
    before_m: float  # height of the old floor there
    after_m: float  # height of the new one
    rise_m: float
    checks: tuple[Check, ...]
    passes: bool
    remedies: tuple[Remedy, ...]
    remarks: tuple[Remark, ...] = ()


@dataclass(frozen=True, slots=True)
class Ready:
    """A thing that must be done before the pour may be booked."""

    what: str
    trade: Trade
    waits_for: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Touches:
    """What the raised floor upsets, and who puts it right."""

    touches: tuple[Touch, ...]
    trades: tuple[Trade, ...]  # those with something to do, in order of work
    readiness: tuple[Ready, ...]  # holds the pour date until all are done
    assumptions: tuple[Assumption, ...] = ()
    remarks: tuple[Remark, ...] = ()
    workings: tuple[Working, ...] = ()
