"""What changed between two versions of a job. ``before`` and ``after`` are always in that order."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from overslab.ground.estimate import Estimate
from overslab.ground.lattice import Lattice
from overslab.handbook.checks import Check

Point = tuple[float, float]
File = Literal["job.toml", "shots.csv", "rates.toml"]
Now = Literal["fails", "passes", "as before"]


@dataclass(frozen=True, slots=True)
class FactChange:
    """One thing that a person typed otherwise; None: it was not there, or is not there any more."""

    file: File
    key: str  # as it is found: [[door]] west door, sill
    before: str | None
    after: str | None


@dataclass(frozen=True, slots=True)
class NumberChange:
    """One figure of the job; None where a version has none. ``quantity`` ends in its unit."""

    name: str
    quantity: str
    before: float | None
    after: float | None

    @property
    def more(self) -> float | None:
        """How much is added; None where a version has no figure."""
        if self.before is None or self.after is None:
            return None
        return self.after - self.before


@dataclass(frozen=True, slots=True)
class ThinSpot:
    """A place thinner than the least thickness of that version or the other, whichever is more."""

    at: Point
    thickness_m: float  # at its thinnest
    area_m2: float


@dataclass(frozen=True, slots=True, eq=False)
class Map:
    """How much thicker the new slab gets, cell by cell; NaN outside."""

    lattice: Lattice = field(metadata={"json": False})
    more_m: NDArray[np.float64] = field(metadata={"json": False})  # (ny, nx)
    least_m: float
    least_at: Point
    most_m: float
    most_at: Point


@dataclass(frozen=True, slots=True)
class VolumeChange:
    """Concrete in place, before and after, and the difference with a plus-or-minus of its own.

    ``by_top_m3`` is what the other top takes and ``by_floor_m3`` what a better knowledge of the old
    floor corrects; None where the outline itself has changed.
    """

    before_m3: Estimate
    after_m3: Estimate
    difference_m3: Estimate
    by_top_m3: float | None
    by_floor_m3: float | None
    why: str


@dataclass(frozen=True, slots=True)
class CheckChange:
    """One rule, found and allowed in both versions; None where a version does not ask it."""

    room: str
    name: str
    where: str
    before: Check | None
    after: Check | None
    now: Now


@dataclass(frozen=True, slots=True)
class TouchChange:
    """Something the floor meets: heights of the new floor there, and its rules."""

    name: str
    kind: str
    before_m: float | None
    after_m: float | None
    checks: tuple[CheckChange, ...]
    moved_before: bool = False
    moved_after: bool = False


@dataclass(frozen=True, slots=True)
class LineChange:
    """A line of the bid; an amount of 0 where a version does not have it."""

    code: str
    what: str
    before: Decimal
    after: Decimal

    @property
    def more(self) -> Decimal:
        return self.after - self.before


@dataclass(frozen=True, slots=True)
class PriceChange:
    """For the office: the price asked, and the lines that differ."""

    currency: str
    before: Decimal
    after: Decimal
    lines: tuple[LineChange, ...]
    between: Decimal  # overhead, profit, tax and rounding together

    @property
    def more(self) -> Decimal:
        return self.after - self.before


@dataclass(frozen=True, slots=True)
class Wording:
    """A thing told in words, such as the ruling or the kind of top."""

    name: str
    before: str
    after: str


@dataclass(frozen=True, slots=True, eq=False)
class Revision:
    """The difference between two versions of a job; both stay as they are."""

    name: str
    facts: tuple[FactChange, ...]
    words: tuple[Wording, ...]
    numbers: tuple[NumberChange, ...]  # thickness, order, loads, strips, hours
    thickness: Map | None
    thin_new: tuple[ThinSpot, ...]
    thin_gone: tuple[ThinSpot, ...]
    volume: VolumeChange | None
    touches: tuple[TouchChange, ...]
    checks: tuple[CheckChange, ...]  # those that newly fail or newly pass
    price: PriceChange | None
    ready_new: tuple[str, ...]  # what holds the pour date now and did not before
    ready_gone: tuple[str, ...]
    remarks: tuple[str, ...]

    @property
    def is_nothing(self) -> bool:
        """Whether the two versions say the same everywhere."""
        return not (
            self.facts
            or self.words
            or self.numbers
            or self.touches
            or self.checks
            or self.thin_new
            or self.thin_gone
            or (self.price and (self.price.more or self.price.lines))
        )
