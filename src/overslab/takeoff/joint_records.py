"""What the layout of the contraction joints gives. Places are metres on the sheet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from overslab.ground.notes import Assumption, Remark
from overslab.handbook.checks import Check
from overslab.handbook.limits import Limit
from overslab.handbook.working import Working
from overslab.takeoff.items import Item

Point = tuple[float, float]
JointKind = Literal["sawn", "early-entry", "tooled"]


@dataclass(frozen=True, slots=True)
class JointLine:
    """One joint from wall to wall; ``parts`` are what is cut, without the posts it runs through."""

    name: str
    path: tuple[Point, ...]
    parts: tuple[tuple[Point, ...], ...]
    over: str  # the old crack or joint it lies over; empty where it is our own
    why: tuple[str, ...]  # what asked for a joint here beside the length of panels
    length_m: float
    thinnest_m: float  # of the new top along it
    thickest_m: float
    depth_m: float
    from_wall_m: float | None  # square to it, from the wall or joint it is taped from
    taped_from: Point | None  # the foot of that tape


@dataclass(frozen=True, slots=True)
class JointPanel:
    """One panel between joints, measured on the finished layout."""

    name: str
    corners: tuple[Point, ...]
    at: Point
    length_m: float
    width_m: float
    area_m2: float
    thinnest_m: float
    allowed_m: float  # the longest side at that thickness


@dataclass(frozen=True, slots=True)
class DepthClass:
    """Joints cut with the blade set once."""

    depth_m: float
    length_m: float
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PlainGrid:
    """Equal panels no longer than the floor's thinnest place allows, heedless of all else."""

    lines: tuple[tuple[Point, ...], ...]
    length_m: float
    panels: int
    checks: tuple[Check, ...]


@dataclass(frozen=True, slots=True)
class JointProof:
    """What the solver proved. No layout of the lines considered has less to cut than ``bound_m``.

    ``sought_m`` is what the lines of our choice come to; joints over old ones are fixed and lie
    outside it. ``fewest`` is lines and crossings together, and ``fewest_bound`` what they cannot
    fall below at that length; ``reserve`` is the greatest side over what is allowed, and no choice
    with that length and those lines has one less by more than ``reserve_step``.
    """

    sought_m: float
    bound_m: float
    lines_considered: int
    rules: int
    fewest: int
    fewest_bound: int
    reserve: float
    reserve_step: float
    given_up: tuple[str, ...] = ()  # wishes that no layout could meet
    aspect: float = 1.5  # what shape was asked of panels in the end
    stopped: bool = False  # the search ended, by count, before everything was proven

    @property
    def gap(self) -> float:
        """What is not proven, as a share of the length."""
        return max(0.0, self.sought_m - self.bound_m) / self.sought_m if self.sought_m else 0.0


@dataclass(frozen=True, slots=True)
class JointLayout:
    """Contraction joints over the new top, the plain grid beside them, and what was proven."""

    kind: JointKind  # as it will be made: heating pipes make sawn joints tooled ones
    lines: tuple[JointLine, ...]
    panels: tuple[JointPanel, ...]
    length_m: float
    crossings: int
    depths: tuple[DepthClass, ...]
    isolation: tuple[tuple[Point, ...], ...]  # walls and posts the top is kept apart from
    on_strips_m: float  # length that lies on edges of pour strips
    plain: PlainGrid
    proof: JointProof
    published: tuple[Limit, ...]  # what every source allows at the thinnest place
    angle_rad: float  # counter-clockwise from the sheet to the joints
    items: tuple[Item, ...] = ()
    checks: tuple[Check, ...] = ()
    remarks: tuple[Remark, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    workings: tuple[Working, ...] = ()
