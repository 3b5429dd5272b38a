"""What the room of touches takes and gives."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from overslab.ground.notes import Assumption, Remark
from overslab.handbook.checks import Check
from overslab.handbook.working import Working

Point = tuple[float, float]
Said = Literal["yes", "no", "not known"]
Trade = Literal[
    "owner", "plumber", "electrician", "heating fitter", "carpenter", "crew", "door technician"
]
When = Literal["before the pour", "during the pour", "after the pour"]
Kind = Literal[
    "overhead door", "side door", "stair", "wall", "burner", "drain", "post", "outside", "line"
]


@dataclass(frozen=True, slots=True)
class OverheadDoor:
    name: str
    a: Point
    b: Point
    sill_m: float  # height the closed door meets today
    head_m: float | None = None  # underside of the opening's head
    headroom_left_m: float | None = None  # above the tracks: how far they can go up
    seal_takes_m: float | None = None  # what the rubber takes up; None: the handbook's value
    clear_least_m: float | None = None  # the owner's least opening
    lets_water_out: bool = False  # water gets past the sill today: a slot, or no sill
    move_cost: float | None = None


@dataclass(frozen=True, slots=True)
class SideDoor:
    """A man-door; ``threshold_m`` is the top of its threshold."""

    name: str
    a: Point
    b: Point
    threshold_m: float
    swings: Literal["over", "away", "not known"] = "not known"  # over the new floor, or away
    gap_under_m: float | None = None  # least gap between the leaf and today's floor under its swing
    egress: bool = False  # a required way out
    floor_is_outside: Said = "not known"  # the new floor lies outside of it: a patio
    move_cost: float | None = None


@dataclass(frozen=True, slots=True)
class Stair:
    """A flight that stands on the floor; ``risers_m`` from the floor on, as measured today.

    ``goes`` is where one steps to from the floor: ``down`` for steps from a patio to the lawn.
    """

    name: str
    a: Point
    b: Point
    risers_m: tuple[float, ...] = ()
    tread_m: float | None = None  # height of the tread next to the floor, if it was shot
    riser_wanted_m: float | None = None  # taken for the other risers where none was measured
    headroom_m: float | None = None  # least headroom over today's floor at its foot
    goes: Literal["up", "down"] = "up"
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
    drop_m: float = 0.0  # the new top meets the rim this far above it
    may_be_abandoned: Said = "not known"
    takes_water: bool = False  # takes water today
    sump: bool = False  # a pit with a pump
    move_cost: float | None = None


@dataclass(frozen=True, slots=True)
class Outside:
    """The drive or apron outside an opening."""

    name: str
    door: str  # name of the door it lies before
    height_m: float  # at the opening
    falls_away: Said = "not known"


@dataclass(frozen=True, slots=True)
class Post:
    name: str
    at: Point
    base: Literal["wood", "steel", "concrete", "not known"] = "not known"
    base_top_m: float | None = None  # height of the plate or the end of the wood
    size_m: float = 0.0  # its side or diameter: the new floor is looked at round it


@dataclass(frozen=True, slots=True)
class TouchFacts:
    """Everything the floor meets, as written down. ``taken`` is what had to be assumed for it."""

    overhead_doors: tuple[OverheadDoor, ...] = ()
    side_doors: tuple[SideDoor, ...] = ()
    stairs: tuple[Stair, ...] = ()
    walls: tuple[Wall, ...] = ()
    burners: tuple[Burner, ...] = ()
    drains: tuple[FloorDrain, ...] = ()
    outside: tuple[Outside, ...] = ()
    posts: tuple[Post, ...] = ()
    moved: tuple[str, ...] = ()  # moved by the owner's word, beside those the new top moves
    taken: tuple[Assumption, ...] = ()


@dataclass(frozen=True, slots=True)
class Size:
    """One more size of a remedy; ``quantity`` ends in its unit, such as ``length_m``."""

    name: str
    quantity: str
    value: float


@dataclass(frozen=True, slots=True)
class Remedy:
    """What puts it right. ``says`` is followed by ``size_m``; ``sizes`` give the rest."""

    says: str
    size_m: float | None
    trade: Trade
    when: When
    cost: float | None = None  # None: not known
    sizes: tuple[Size, ...] = ()
    about: str = ""  # name of what is touched
    ready: str = ""  # what must be so before a pour date is set; empty: nothing
    item: str = ""  # the takeoff's line that buys what it takes; empty: none does

    def told(self, write: Callable[[str, float], str]) -> str:
        """The remedy with its sizes; ``write(quantity, value)`` puts them in units."""
        first = (
            self.says if self.size_m is None else f"{self.says} {write('length_m', self.size_m)}"
        )
        rest = (f"{size.name} {write(size.quantity, size.value)}" for size in self.sizes)
        return "; ".join([first, *rest])


@dataclass(frozen=True, slots=True)
class Touch:
    """One thing the floor meets; heights at the place where the floor rises most."""

    name: str
    kind: Kind
    at: Point
    before_m: float  # height of the old floor there
    after_m: float  # height of the new one
    rise_m: float
    checks: tuple[Check, ...]
    passes: bool
    remedies: tuple[Remedy, ...]
    remarks: tuple[Remark, ...] = ()
    moved: bool = False  # moved instead of met
    line: tuple[Point, ...] = ()  # its two ends, or the one place where it stands


@dataclass(frozen=True, slots=True)
class Ready:
    """A thing that must be done before the pour may be booked."""

    what: str
    trade: Trade
    waits_for: tuple[str, ...] = ()  # ``what`` of others on the list
    about: str = ""  # name of what is touched


@dataclass(frozen=True, slots=True)
class Touches:
    """What the raised floor upsets, and who puts it right."""

    touches: tuple[Touch, ...]
    trades: tuple[Trade, ...]  # those with something to do, in order of work
    readiness: tuple[
        Ready, ...
    ]  # holds the pour date until all are done; each after what it awaits
    assumptions: tuple[Assumption, ...] = ()
    remarks: tuple[Remark, ...] = ()
    workings: tuple[Working, ...] = ()
    currency: str = ""

    def work_of(self, trade: Trade) -> tuple[Remedy, ...]:
        """What one trade has to do, in the order in which the floor's touches are listed."""
        return tuple(
            remedy for touch in self.touches for remedy in touch.remedies if remedy.trade == trade
        )

    @property
    def failing(self) -> tuple[Touch, ...]:
        """Touches that run into a rule."""
        return tuple(touch for touch in self.touches if not touch.passes)
