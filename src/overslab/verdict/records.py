"""What the room of the verdict takes and gives."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from overslab.ground.notes import Assumption, Remark
from overslab.handbook.checks import Check
from overslab.handbook.limits import Advice, Limit
from overslab.handbook.working import Working

Point = tuple[float, float]
Said = Literal["yes", "no", "not known"]
System = Literal["unbonded", "bonded"]
Topic = Literal[
    "thickness", "structure", "ground", "cracks", "soundness", "water", "surface", "in the floor",
    "loads", "weight", "mix",
]  # fmt: skip
Ruling = Literal[
    "over it, unbonded",
    "over it, bonded",
    "put these right first",
    "do not pour over this",
]


@dataclass(frozen=True, slots=True)
class Hollow:
    """A place that sounds hollow, outlined on the plan."""

    name: str
    corners: tuple[Point, ...]
    found_by: str = ""  # hammer, chain


@dataclass(frozen=True, slots=True)
class CrackReading:
    """One dated look at a crack."""

    date: str  # ISO
    width_m: float
    step_m: float | None = None


@dataclass(frozen=True, slots=True)
class CrackFinding:
    """What was seen of a break; ``break_name`` is its name on the plan."""

    break_name: str
    readings: tuple[CrackReading, ...] = ()
    moves_under_wheel: Said = "not known"


@dataclass(frozen=True, slots=True)
class LoadOnTop:
    """A wheel, a post or an axle that will stand on the new floor.

    An axle bears half at either end, and ``contact_m2`` is what one end presses on.
    """

    name: str
    kind: Literal["wheel", "post", "axle"]
    load_n: float
    contact_m2: float


@dataclass(frozen=True, slots=True)
class Findings:
    """What was found at the old slab. ``not known`` and None are never taken as good."""

    hollows: tuple[Hollow, ...] = ()
    sounded: Said = "not known"  # was the whole floor sounded
    cracks: tuple[CrackFinding, ...] = ()
    stands_on: Literal["ground", "suspended", "not known"] = "not known"
    cause: str = ""  # why it settled, as the owner believes
    cause_cured: Said = "not known"
    still_moving: Said = "not known"
    undermined: Said = "not known"
    frost_heave: Said = "not known"
    freezes: Said = "not known"  # the finished floor, wet, meets frost
    deicers: Said = "not known"  # salted water, also dripping from cars
    water_from: tuple[
        Literal["rain", "vehicles", "wash-down", "ground", "plumbing", "not known"], ...
    ] = ("not known",)
    sheet_test: Literal["dry", "damp", "not done"] = "not done"  # plastic sheet left 48 h
    hose_test: Literal["stays away", "comes in", "not done"] = "not done"
    drained: Said = "not known"  # ground water has a drain and a place to go
    surface: tuple[Literal["clean", "oil", "paint", "adhesive", "scaled", "not known"], ...] = (
        "not known",
    )
    profile_csp: int | None = None  # roughness grade after preparation, 1 to 10
    pull_off_pa: float | None = None
    thickness_m: float | None = None
    strength_pa: float | None = None
    heating_pipes: Said = "not known"
    tendons: Said = "not known"
    lift_posts: Said = "not known"
    lift_on_own_pads: Said = "not known"  # its feet stand on pads that are no part of the top
    heating_pipe_depth_m: float | None = None  # cover over the pipes, as proven
    subgrade_pa_per_m: float | None = None
    loads: tuple[LoadOnTop, ...] = ()


@dataclass(frozen=True, slots=True)
class Practice:
    """The owner's own limits, dated and kept with the job. Lengths in metres."""

    date: str
    unbonded_least_m: float
    bonded_least_m: float
    crack_step_most_m: float  # across a crack, before it is put right
    crack_growth_most_m: float  # between dated readings: more is moving
    hollow_share_most: float
    hollow_each_most_m2: float
    profile_least_csp: int
    pull_off_least_pa: float
    note: str = ""
    taken: tuple[Assumption, ...] = ()  # what the owner left to common practice


@dataclass(frozen=True, slots=True)
class HeightLimit:
    """A line on the plan that the new top must stay under: what decides how thick it can be.

    ``a`` and ``b`` may be one place, such as a drain. With ``corners`` it is that whole area.
    """

    name: str
    a: Point
    b: Point
    highest_m: float
    can_move_up_m: float = 0.0
    corners: tuple[Point, ...] = ()


@dataclass(frozen=True, slots=True)
class Finding:
    """One judged matter: what was found beside what is allowed, and what it means."""

    topic: Topic
    says: str
    weighs: Literal["good", "put right", "stop", "not known"]
    remedy: str = ""
    if_bad: str = ""  # what becomes of the ruling if what is not known turns out bad
    check: Check | None = None
    published: tuple[Limit, ...] = ()  # what published sources say beside the owner's practice
    for_systems: tuple[System, ...] = ("unbonded", "bonded")
    decisive_for: tuple[System, ...] = ()  # holds the ruling back while it is not good
    engineer: bool = False  # for a licensed engineer; a stop that an engineer may lift
    advice: tuple[Advice, ...] = ()  # what sources say in words where they give no number


@dataclass(frozen=True, slots=True)
class SystemRoom:
    """Whether one system may be used, and what it needs."""

    system: System
    allowed: bool
    least_thickness_m: float
    thinnest_possible_m: float | None  # least room under the height limits; None without limits
    tightest_at: str
    reasons: tuple[str, ...]
    needs_moved: tuple[str, ...] = ()  # has room only when these are moved
    if_less: str = ""  # what a smaller least thickness than the one wished would allow


@dataclass(frozen=True, slots=True, eq=False)
class Verdict:
    """May we pour over it, bonded or unbonded, and why."""

    ruling: Ruling
    system: System | None  # the one that newtop designs for
    least_thickness_m: float
    systems: tuple[SystemRoom, ...]
    findings: tuple[Finding, ...]
    not_known: tuple[str, ...]  # what nobody looked at; each weakens the ruling
    put_right: tuple[str, ...]
    engineer: tuple[str, ...]  # matters for a licensed engineer, in words
    would_change: tuple[str, ...]  # what would change the ruling
    joints_to_match: tuple[str, ...]  # names of breaks that a bonded top must joint over
    hollow_m2: float
    added_weight_kg_per_m2: float | None
    loads: tuple[Check, ...]
    practice: Practice
    hollows: tuple[Hollow, ...]
    provided: tuple[str, ...] = ()  # what the ruling leans on and nobody has looked at yet
    no_drilling: tuple[str, ...] = ()  # why nobody drills, saws or cuts into the old slab
    dry_floor: bool = False  # whether a dry floor may be promised
    old_thickness_m: float | None = None  # of the old slab, as found; None: not known
    # (ny, nx) on the old slab's lattice: room under a level through the lowest height limit; maps.
    room_m: NDArray[np.float64] | None = field(default=None, metadata={"json": False})
    assumptions: tuple[Assumption, ...] = ()
    remarks: tuple[Remark, ...] = ()
    workings: tuple[Working, ...] = ()
