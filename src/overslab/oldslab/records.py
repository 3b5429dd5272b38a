"""What the room of the old slab takes and gives."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal, Protocol

import numpy as np
import shapely
from numpy.typing import NDArray

from overslab.ground.estimate import Estimate
from overslab.ground.lattice import Lattice
from overslab.ground.notes import Assumption, Remark
from overslab.handbook.checks import Check
from overslab.handbook.working import Working

Floats = NDArray[np.float64]
Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Hole:
    """A post, a wall stub, anything the new concrete goes round."""

    name: str
    corners: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Break:
    """A crack or joint that crosses the floor; the surface may step across it."""

    name: str
    line: tuple[Point, ...]
    kind: Literal["crack", "joint"]
    step_m: float | None = None  # as measured by hand, if it was


@dataclass(frozen=True, slots=True)
class Feature:
    """A pit, a sunk trench, a pad: a place with its own level, shot for itself."""

    name: str
    kind: Literal["pit", "trench", "pad"]
    corners: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class FloorPlan:
    """The floor seen from above, metres, x to the right and y up the sheet."""

    outline: tuple[Point, ...]
    holes: tuple[Hole, ...] = ()
    breaks: tuple[Break, ...] = ()
    features: tuple[Feature, ...] = ()
    openings: tuple[tuple[Point, Point], ...] = ()  # where no wall holds water: doors, open edges
    drains: tuple[Point, ...] = ()  # drains that take water today
    up_is: str = "north"  # what the top of the sheet is, in words

    def polygon(self) -> shapely.Polygon:
        return shapely.Polygon(self.outline, [hole.corners for hole in self.holes])


class Surface(Protocol):
    """The old floor as a random surface."""

    def height_m(self, xy_m: Floats) -> Floats:
        """Mean height at (n, 2) places."""
        ...

    def deviation_m(self, xy_m: Floats) -> Floats:
        """Standard deviation of the height at (n, 2) places."""
        ...

    def weigh(self, xy_m: Floats, weights: Floats) -> tuple[Floats, Floats]:
        """Means (k,) and covariance (k, k) of k weighted sums of heights; weights (k, n).

        With cell areas as weights a sum is an integral. The covariance is the full one: nearby
        places err together.
        """
        ...


@dataclass(frozen=True, slots=True, eq=False)
class Panel:
    """A piece of floor between breaks, or a feature; no covariance leaves it."""

    name: str
    polygon: shapely.Polygon = field(metadata={"json": False})
    area_m2: float
    shots: int
    kind: Literal["panel", "pit", "trench", "pad"]
    mean_height_m: Estimate
    fall: float  # steepest slope of the fitted plane, m/m
    falls_toward_deg: float  # bearing on the sheet, 0 = up the sheet, clockwise


@dataclass(frozen=True, slots=True)
class Step:
    """Height across a break at one place: ``right`` of the line minus ``left``."""

    break_name: str
    at: Point
    step_m: Estimate
    typed_m: float | None


@dataclass(frozen=True, slots=True)
class LowSpot:
    """Where water stands on the old floor."""

    deepest: Point
    depth_m: float
    area_m2: float
    volume_m3: float


@dataclass(frozen=True, slots=True)
class FlowPath:
    """Where a drop of water runs, from its start to where it leaves or stops."""

    path: tuple[Point, ...]
    leaves: bool


@dataclass(frozen=True, slots=True)
class NextShot:
    """The place whose height would shrink the plus-or-minus of the volume most."""

    at: Point
    deviation_now_m3: float
    deviation_then_m3: float


@dataclass(frozen=True, slots=True)
class SurfaceFit:
    """The numbers the surface was fitted with."""

    length_m: float
    roughness_m: float  # standard deviation of the departure from the panel planes
    texture_m: float  # standard deviation added to each shot for the floor's own texture
    on_bound: tuple[str, ...]  # parameters that sit on the edge of what was allowed


@dataclass(frozen=True, slots=True, eq=False)
class OldSlab:
    """The old floor: a height and a plus-or-minus anywhere, panels, steps, water."""

    plan: FloorPlan
    surface: Surface = field(metadata={"json": False})
    lattice: Lattice = field(metadata={"json": False})  # what the sheets and the water use
    heights_m: Floats = field(metadata={"json": False})  # (ny, nx), NaN outside
    deviations_m: Floats = field(metadata={"json": False})  # (ny, nx), NaN outside
    area_m2: float
    mean_height_m: Estimate
    lowest_m: float
    lowest_at: Point
    highest_m: float
    highest_at: Point
    panels: tuple[Panel, ...]
    steps: tuple[Step, ...]
    low_spots: tuple[LowSpot, ...]
    pond_depth_m: Floats = field(metadata={"json": False})  # (ny, nx), 0 where dry, NaN outside
    flow: tuple[FlowPath, ...]
    triangulated_mean_m: float  # the independent second answer for the mean height
    agreement: Check  # the two mean heights, difference against the plus-or-minus
    next_shot: NextShot | None
    fit: SurfaceFit
    shots_xy_m: Floats = field(metadata={"json": False})  # (n, 2) places of the floor shots
    shots_m: Floats = field(metadata={"json": False})  # (n,) their adjusted heights
    shot_names: tuple[str, ...]
    assumptions: tuple[Assumption, ...]
    remarks: tuple[Remark, ...]
    workings: tuple[Working, ...]
