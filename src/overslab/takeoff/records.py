"""What the takeoff gives."""

from __future__ import annotations

from dataclasses import dataclass

from overslab.ground.estimate import Estimate
from overslab.ground.notes import Assumption, Remark
from overslab.handbook.working import Working


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
