"""A job as facts, and a job walked."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from overslab.ground.notes import Assumption
from overslab.ground.units import Units
from overslab.newtop.records import NewTop, Wishes
from overslab.oldslab.records import FloorPlan, OldSlab
from overslab.order.records import MixAsked, Order, Plant
from overslab.shots.records import Heights, Survey
from overslab.takeoff.records import Takeoff


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
    wishes: Wishes
    plant: Plant
    mix: MixAsked
    folder: Path | None = field(default=None, metadata={"json": False})
    assumptions: tuple[Assumption, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Walk:
    """One record a room. Takeoff and order are None when no top can meet the wishes."""

    job: Job
    shots: Heights
    oldslab: OldSlab
    newtop: NewTop
    takeoff: Takeoff | None
    order: Order | None
