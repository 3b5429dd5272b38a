"""What the room of the new top takes and gives."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal, Protocol

import numpy as np
from numpy.typing import NDArray

from overslab.ground.lattice import Lattice
from overslab.ground.notes import Assumption, Remark
from overslab.handbook.checks import Check
from overslab.handbook.working import Working

Floats = NDArray[np.float64]
Point = tuple[float, float]
TopKind = Literal["plane", "planes", "strips", "level", "follow"]


@dataclass(frozen=True, slots=True)
class Move:
    """What it costs to move a touch instead of meeting it, and how far it can go."""

    cost: float
    up_m: float
    down_m: float = 0.0


@dataclass(frozen=True, slots=True)
class Edge:
    """A line the new top must meet: a door, a threshold, the foot of a stair, an apron."""

    name: str
    kind: Literal["door", "threshold", "stair", "apron", "line"]
    a: Point
    b: Point
    lowest_m: float | None  # the top along the line stays between these two
    highest_m: float | None
    level: bool = True  # straight and level along the line
    move: Move | None = None
    firm: bool = True  # a firm wish is not offered up when wishes fight


@dataclass(frozen=True, slots=True)
class Drain:
    """A drain in the old floor. A buried drain puts no rule on the top."""

    name: str
    at: Point
    rim_m: float
    plan: Literal["keep", "raise", "bury"]
    drop_m: float = 0.0  # the top meets the rim this far above it
    move: Move | None = None
    size_m: float = 0.0  # side of its pit: no concrete goes there; 0 for a drain without one


@dataclass(frozen=True, slots=True)
class Outlet:
    """Where water shall go. ``line`` has one point (a drain) or two (a door or an open edge).

    ``gather`` is how water may come to a door narrower than its wall: ``wall`` lets it run along
    the wall to the mouth, ``mouth`` asks for fall straight to the opening.
    """

    name: str
    line: tuple[Point, ...]
    gather: Literal["wall", "mouth"] = "wall"


@dataclass(frozen=True, slots=True)
class Zone:
    """Part of the floor with wishes of its own."""

    name: str
    corners: tuple[Point, ...]
    least_fall: float | None = None
    greatest_fall: float | None = None  # resultant, any direction
    least_thickness_m: float | None = None
    highest_m: float | None = None
    firm: bool = False


@dataclass(frozen=True, slots=True)
class Wishes:
    """What the owner asks of the new top. Slopes are m/m."""

    least_thickness_m: float
    least_fall: float
    greatest_fall: float
    cross_fall: float  # greatest fall across the path of the water
    bend: float  # greatest change of slope at a pad line that a straightedge can strike
    straightedge_m: float
    mark_m: float  # settable mark: pads are set to whole marks
    concrete_cost_per_m3: float
    currency: str
    outlets: tuple[Outlet, ...]
    edges: tuple[Edge, ...] = ()
    drains: tuple[Drain, ...] = ()
    zones: tuple[Zone, ...] = ()
    highest_m: float | None = None
    greatest_thickness_m: float | None = None
    surety: float = 1.645  # standard deviations of the old surface kept above the least thickness
    finish_deviation_m: float = 0.0016  # the crew's finishing error, standard deviation
    finish_length_m: float = 0.9  # how far such an error reaches
    birdbath_m: float = 0.0016  # depth that counts as a birdbath
    kinds: tuple[TopKind, ...] = ("plane", "planes", "strips", "level", "follow")
    choose: TopKind | None = None  # the owner's choice; None takes the cheapest that passes
    seed: int = 1
    firm: tuple[str, ...] = ()  # names of rules that must not be given up


class TopSurface(Protocol):
    """The new top: straight along every straightedge."""

    def height_m(self, xy_m: Floats) -> Floats: ...

    def gradient(self, xy_m: Floats) -> Floats:
        """(n, 2) rise per metre along x and y."""
        ...


@dataclass(frozen=True, slots=True)
class Pad:
    """A place where a person sets a height: a screed pad, a wall mark, the end of a break line."""

    name: str
    at: Point
    height_m: float  # rounded to the settable mark
    exact_m: float
    thickness_m: float


@dataclass(frozen=True, slots=True)
class RuleResult:
    """One named rule on the marked top, and what it costs."""

    check: Check
    binds: bool
    cost_per_step: float | None  # money saved when the rule gives way by ``step``; None: no price
    step: float  # 1/8 in or 3 mm for heights, as a slope for falls
    step_unit: str  # "m" or "slope"


@dataclass(frozen=True, slots=True)
class Change:
    """One wish changed so that the rest can live."""

    rule: str
    from_value: float
    to_value: float
    quantity: str  # unit-suffixed, such as "height_m"
    says: str


@dataclass(frozen=True, slots=True)
class Fight:
    """Wishes that cannot all be met: the smallest set that fights, and the smallest change."""

    rules: tuple[str, ...]
    changes: tuple[Change, ...]
    says: str


@dataclass(frozen=True, slots=True)
class Drainage:
    """Where water goes on the marked top, found without the solver's model."""

    least_fall: float  # least true fall along the flow, away from the outlet
    least_fall_at: Point
    ponded_area_m2: float
    ponded_volume_m3: float
    deepest_m: float
    deepest_at: Point | None
    paths: tuple[tuple[Point, ...], ...]
    reaches_outlet: float  # share of the floor whose water reaches an outlet
    birdbath_chance: float | None  # chance of a birdbath deeper than asked, from finishing error
    birdbath_area_m2: float | None  # mean wet area in such tries
    tries: int


@dataclass(frozen=True, slots=True, eq=False)
class TopOption:
    """One kind of top, solved, marked and checked again."""

    kind: TopKind
    title: str
    feasible: bool
    fight: Fight | None  # when not feasible
    surface: TopSurface | None = field(metadata={"json": False})  # the marked (rounded) top
    pads: tuple[Pad, ...] = ()
    facets: tuple[tuple[Point, ...], ...] = ()  # outlines of planes or pad-grid cells
    folds: tuple[tuple[Point, Point], ...] = ()  # ridges and valleys
    volume_m3: float = 0.0
    concrete_cost: float = 0.0
    moving_cost: float = 0.0
    cost: float = 0.0
    optimum_cost: float = 0.0  # the solver's optimum before marking
    bound_cost: float = 0.0  # proven: no top of this kind costs less
    moved: tuple[str, ...] = ()  # touches that are moved
    left: tuple[str, ...] = ()  # movable touches that are left
    thinnest_m: float = 0.0
    thinnest_at: Point = (0.0, 0.0)
    thickest_m: float = 0.0
    thickest_at: Point = (0.0, 0.0)
    mean_thickness_m: float = 0.0
    rules: tuple[RuleResult, ...] = ()
    drainage: Drainage | None = None
    passes: bool = False  # every rule holds on the marked top and water leaves
    remarks: tuple[Remark, ...] = ()


@dataclass(frozen=True, slots=True)
class Strip:
    """A pour strip no wider than the straightedge spans."""

    name: str
    corners: tuple[Point, ...]
    holes: tuple[tuple[Point, ...], ...] = ()  # posts that stand in it


@dataclass(frozen=True, slots=True, eq=False)
class NewTop:
    """Every kind of top side by side, and the one that is drawn."""

    options: tuple[TopOption, ...]
    chosen: TopKind | None  # None when no kind of top can meet the wishes
    lattice: Lattice = field(metadata={"json": False})
    top_m: Floats = field(metadata={"json": False})  # (ny, nx) heights of the chosen marked top
    thickness_m: Floats = field(metadata={"json": False})  # (ny, nx)
    strips: tuple[Strip, ...]  # in the order of the pour
    wishes: Wishes
    assumptions: tuple[Assumption, ...]
    remarks: tuple[Remark, ...]
    workings: tuple[Working, ...]

    @property
    def top(self) -> TopOption | None:
        """The chosen option."""
        return next((option for option in self.options if option.kind == self.chosen), None)
