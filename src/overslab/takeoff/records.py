"""What the takeoff gives."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from overslab.ground.estimate import Estimate
from overslab.ground.notes import Assumption, Remark
from overslab.handbook.checks import Check
from overslab.handbook.working import Working
from overslab.takeoff.items import Item
from overslab.takeoff.joint_records import JointLayout
from overslab.takeoff.steel_records import BarLayout, SupportLayout
from overslab.takeoff.wire_records import WireLayout

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Portion:
    """Concrete of one part of the floor."""

    name: str
    area_m2: float
    volume_m3: Estimate
    mean_thickness_m: float
    thinnest_m: float
    thickest_m: float


@dataclass(frozen=True, slots=True)
class NotebookAnswer:
    """What a hand method would have said from the same shots."""

    method: str
    volume_m3: float | None  # None when the shots do not allow the method
    difference_m3: float | None  # from the volume of record
    why: str


@dataclass(frozen=True, slots=True)
class Trucks:
    """How fast concrete comes: what a truck holds, and the time from truck to truck."""

    every_minutes: float
    hold_m3: float


@dataclass(frozen=True, slots=True)
class Part:
    """What one part of the takeoff adds to the whole."""

    items: tuple[Item, ...] = ()
    checks: tuple[Check, ...] = ()
    remarks: tuple[Remark, ...] = ()
    workings: tuple[Working, ...] = ()
    assumptions: tuple[Assumption, ...] = ()


@dataclass(frozen=True, slots=True)
class IsolationRun:
    """A stretch of strip along one thing that stands still."""

    name: str
    line: tuple[Point, ...]
    length_m: float
    height_m: float  # greatest thickness of the new slab along it
    strip_m: float  # height of the strip it takes


@dataclass(frozen=True, slots=True)
class IsolationLayout(Part):
    """Where the soft strip runs."""

    runs: tuple[IsolationRun, ...] = ()


@dataclass(frozen=True, slots=True)
class Course:
    """One piece of sheet off the roll; ``corners`` with its laps, before it is cut to the floor."""

    corners: tuple[Point, ...]
    length_m: float


@dataclass(frozen=True, slots=True)
class SheetLayout(Part):
    """The bond breaker in courses; ``laps_m`` is the length of all seams of one layer."""

    courses: tuple[Course, ...] = ()
    laps_m: float = 0.0
    upturn_m2: float = 0.0


@dataclass(frozen=True, slots=True)
class FormRun:
    """A board on an open edge, or a bulkhead."""

    name: str
    kind: Literal["edge", "bulkhead", "held ready"]
    line: tuple[Point, ...]
    length_m: float
    height_m: float  # greatest thickness of the new slab along it


@dataclass(frozen=True, slots=True)
class FormLayout(Part):
    """Boards and bulkheads."""

    runs: tuple[FormRun, ...] = ()


@dataclass(frozen=True, slots=True)
class Takeoff:
    """Concrete in place: in all, by panel, by strip. Strip and panel figures err together."""

    total: Portion
    panels: tuple[Portion, ...]
    strips: tuple[Portion, ...]
    triangulated_m3: float  # the independent second answer
    notebook: tuple[NotebookAnswer, ...]
    assumptions: tuple[Assumption, ...]
    remarks: tuple[Remark, ...]
    workings: tuple[Working, ...]
    items: tuple[Item, ...] = ()
    checks: tuple[Check, ...] = ()
    isolation: IsolationLayout | None = None
    sheet: SheetLayout | None = None  # the bond breaker
    forms: FormLayout | None = None
    wire: WireLayout | None = None
    bars: BarLayout | None = None
    supports: SupportLayout | None = None
    joints: JointLayout | None = None
    system: Literal["unbonded", "bonded"] | None = None  # how the top lies
