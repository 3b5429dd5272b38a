"""What the room of shots takes and gives. Metres; a bigger rod reading is a lower point."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from overslab.ground.notes import Assumption, Remark
from overslab.handbook.checks import Check
from overslab.handbook.working import Working

Kind = Literal["benchmark", "floor", "sill", "step", "drive", "check", "turn", "asbuilt"]
# Kinds that lie on the old floor and shape its surface.
FLOOR_KINDS: frozenset[str] = frozenset({"floor"})


@dataclass(frozen=True, slots=True)
class Reading:
    """One line of the field book."""

    line: int  # line number in shots.csv, for faults
    point: str
    setup: str
    reading_m: float
    kind: Kind
    x_m: float | None  # None for benchmarks and turns without a place on the plan
    y_m: float | None
    note: str
    typed: str  # the reading as it was typed


@dataclass(frozen=True, slots=True)
class Stand:
    """Where the laser stood for one set-up, when it was written down."""

    setup: str
    x_m: float
    y_m: float


@dataclass(frozen=True, slots=True)
class Benchmark:
    name: str  # the point name used in shots.csv
    height_m: float
    where: str  # what and where it is, as described by the person


@dataclass(frozen=True, slots=True)
class TwoStandCheck:
    """Two marks read from the middle and from near one of them; readings in metres."""

    middle_a_m: float
    middle_b_m: float
    near_a_m: float
    near_b_m: float
    distance_to_a_m: float  # from the second stand
    distance_to_b_m: float


@dataclass(frozen=True, slots=True)
class Survey:
    """Everything that was read, with the rod's convention locked for the whole survey."""

    readings: tuple[Reading, ...]
    benchmarks: tuple[Benchmark, ...]
    convention: str  # "feet-inches", "tenths" or "metric"
    resolution_m: float  # smallest step read on the rod
    rod_deviation_m: float  # plumb, foot, surface texture: standard deviation of one reading
    laser_slope: float  # standard deviation of the beam's tilt, metres per metre
    stands: tuple[Stand, ...] = ()
    two_stand: TwoStandCheck | None = None
    # Rings of corners that are shot for themselves: a pit's shots are no neighbours of the floor's.
    apart: tuple[tuple[tuple[float, float], ...], ...] = ()
    # The owner's own limits; None takes the stated default of the room.
    allowed_per_setup_m: float | None = None  # misclosure of one set-up
    allowed_beam_slope: float | None = None  # tilt in the two-stand check, metres per metre


@dataclass(frozen=True, slots=True)
class PointHeight:
    """One point after the adjustment."""

    point: str
    kind: Kind
    x_m: float | None
    y_m: float | None
    height_m: float
    standard_error_m: float
    readings: int
    setups: tuple[str, ...]
    lines: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class SetupHeight:
    """Height of instrument of one set-up after the adjustment."""

    setup: str
    instrument_m: float
    standard_error_m: float
    benchmark_reading_m: float | None  # mean reading on the first benchmark seen from this set-up


@dataclass(frozen=True, slots=True)
class Suspect:
    """A reading that does not fit; it is never removed, a person is asked."""

    line: int
    point: str
    setup: str
    reading_m: float
    misfit_m: float  # reading minus the reading that would fit
    score: float  # misfit over its standard deviation
    slip: str  # the likeliest slip in words, or "" when none explains it
    fits_m: float  # the reading that would fit
    suggested_m: float | None  # the reading after undoing the slip
    how: str  # "repeat", "check shot" or "neighbours"


@dataclass(frozen=True, slots=True)
class Bump:
    """A laser that moved: the first line after which its readings stand apart."""

    setup: str
    last_good_line: int
    lines_after: tuple[int, ...]
    shift_m: float  # readings after minus before
    benchmarks: tuple[str, ...]  # those that show it
    may_shift: bool  # two benchmarks agree, so a height-only shift may be offered
    says: str


@dataclass(frozen=True, slots=True, eq=False)
class Heights:
    """Adjusted heights with their full covariance (order of ``points``)."""

    points: tuple[PointHeight, ...]
    covariance_m2: NDArray[np.float64] = field(metadata={"json": False})
    setups: tuple[SetupHeight, ...]
    misclosures: tuple[Check, ...]
    variance_factor: float | None  # a posteriori; None when nothing is redundant
    redundancy: int
    suspects: tuple[Suspect, ...]
    bumps: tuple[Bump, ...]
    collimation: Check | None  # two-stand check
    convention: str
    assumptions: tuple[Assumption, ...]
    remarks: tuple[Remark, ...]
    workings: tuple[Working, ...]

    def of_kind(self, *kinds: str) -> list[int]:
        """Places in ``points`` of the given kinds that have x and y."""
        return [
            place
            for place, point in enumerate(self.points)
            if point.kind in kinds and point.x_m is not None and point.y_m is not None
        ]
