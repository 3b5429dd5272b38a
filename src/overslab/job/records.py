"""A job as facts, and a job walked."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

from overslab.ground.notes import Assumption
from overslab.ground.units import Units
from overslab.newtop.records import Move, NewTop, Point, Wishes, Zone
from overslab.oldslab.records import FloorPlan, OldSlab
from overslab.order.records import MixAsked, Order, Plant
from overslab.price import ProposalTexts
from overslab.price.records import Bid, Rates
from overslab.shots.records import Heights, Survey
from overslab.takeoff import BuildUp
from overslab.takeoff.records import Takeoff
from overslab.touches.records import Touches, TouchFacts
from overslab.verdict import common_practice
from overslab.verdict.records import Findings, Practice, System, Verdict


@dataclass(frozen=True, slots=True)
class HeightAsked:
    """A height as the owner wrote it: fixed, or the mean of some shots plus ``offset_m``.

    What leans on shots is known only after the room of shots has run; see ``wishes_for``.
    """

    typed: str
    height_m: float | None
    shots: tuple[str, ...] = ()
    offset_m: float = 0.0


@dataclass(frozen=True, slots=True)
class EdgeAsked:
    """A line the top must meet: from ``meets - down_m`` to ``meets + up_m``; None is no limit."""

    name: str
    kind: Literal["door", "threshold", "stair", "apron", "line"]
    a: Point
    b: Point
    meets: HeightAsked
    up_m: float | None
    down_m: float | None
    level: bool
    move: Move | None
    firm: bool


@dataclass(frozen=True, slots=True)
class DrainAsked:
    """A drain whose rim may have been shot."""

    name: str
    at: Point
    rim: HeightAsked
    plan: Literal["keep", "raise", "bury"]
    drop_m: float
    move: Move | None
    size_m: float = 0.0


@dataclass(frozen=True, slots=True)
class ZoneAsked:
    """A zone whose highest level may lean on a shot."""

    zone: Zone
    highest: HeightAsked | None


@dataclass(frozen=True, slots=True)
class Asked:
    """The wishes as written down: all that is known before the shots are reduced.

    ``settled`` holds every wish that needs no shot; edges, drains, zones and the highest level are
    put into it by ``wishes_for``.
    """

    settled: Wishes
    edges: tuple[EdgeAsked, ...] = ()
    drains: tuple[DrainAsked, ...] = ()
    zones: tuple[ZoneAsked, ...] = ()
    highest: HeightAsked | None = None
    system: System | None = None  # the owner's choice; None leaves it to the verdict
    least_thickness_m: float | None = None  # None: what the verdict's system asks


@dataclass(frozen=True, slots=True)
class HeightToFill:
    """Where a height belongs: ``TouchFacts.section[place].name``."""

    section: str
    place: int
    name: str
    asked: HeightAsked


@dataclass(frozen=True, slots=True)
class TouchAsked:
    """What the floor meets, as written down; ``heights`` go into ``facts`` once shots are reduced.

    Until then those heights are not a number; see ``touch_facts_for``.
    """

    facts: TouchFacts = field(default_factory=TouchFacts)
    heights: tuple[HeightToFill, ...] = ()


@dataclass(frozen=True, slots=True)
class FolderTexts:
    """The three files of a job folder as text; see ``read_texts``."""

    job_toml: str
    shots_csv: str
    rates_toml: str


@dataclass(frozen=True, slots=True, eq=False)
class Job:
    """Everything the owner wrote down, in SI, ready for the rooms."""

    name: str
    place: str
    date: str  # ISO date of the survey
    made_up: bool  # a sample of our own invention; every sheet says so
    units: Units
    survey: Survey
    plan: FloorPlan
    asked: Asked
    plant: Plant
    mix: MixAsked
    folder: Path | None = field(default=None, metadata={"json": False})
    assumptions: tuple[Assumption, ...] = ()
    touches: TouchAsked = TouchAsked()
    findings: Findings = field(default_factory=Findings)
    practice: Practice = field(default_factory=lambda: common_practice("undated"))
    build: BuildUp = field(default_factory=BuildUp)  # what lies beside the concrete
    rates: Rates | None = None  # None: rates.toml says nothing of wages and profit
    pour_date: str | None = None  # ISO date, not before the survey; None: not set yet
    proposal: ProposalTexts = field(default_factory=ProposalTexts)


@dataclass(frozen=True, slots=True, eq=False)
class Walk:
    """One record a room. Touches, takeoff and order are None when no top can meet the wishes.

    The price is None then too, and where the rates for it are not written down.
    """

    job: Job
    shots: Heights
    oldslab: OldSlab
    verdict: Verdict
    newtop: NewTop
    touches: Touches | None
    takeoff: Takeoff | None
    order: Order | None
    price: Bid | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Rooms:
    """What the rooms gave on the way to one of them; None where the walk has not come or could not.

    ``job`` holds also what had to be assumed once the shots were reduced.
    """

    job: Job
    shots: Heights | None = None
    oldslab: OldSlab | None = None
    verdict: Verdict | None = None
    newtop: NewTop | None = None
    touches: Touches | None = None
    takeoff: Takeoff | None = None
    order: Order | None = None
    price: Bid | None = None
