"""Which units a job speaks, and how fine its marks are."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import isclose, isfinite
from typing import Literal

from overslab.ground.faults import Faulty
from overslab.ground.units.factors import FOOT_M, INCH_M, MILLIMETRE_M
from overslab.ground.units.faults import MARK

System = Literal["feet-inches", "tenths", "metric"]
SYSTEMS: tuple[System, ...] = ("feet-inches", "tenths", "metric")

# The marks a rule, a tenths rod and a metric staff have; in words for the fault.
MARKS: dict[System, tuple[Fraction, ...]] = {
    "feet-inches": tuple(INCH_M / bottom for bottom in (1, 2, 4, 8, 16, 32, 64)),
    "tenths": tuple(
        FOOT_M * Fraction(s) for s in ("0.1", "0.05", "0.02", "0.01", "0.005", "0.001")
    ),
    "metric": tuple(MILLIMETRE_M * Fraction(s) for s in ("10", "5", "2", "1", "0.5", "0.1")),
}
MARK_WORDS: dict[System, str] = {
    "feet-inches": "1, 1/2, 1/4, 1/8, 1/16, 1/32 or 1/64 in",
    "tenths": "0.1, 0.05, 0.02, 0.01, 0.005 or 0.001 ft",
    "metric": "10, 5, 2, 1, 0.5 or 0.1 mm",
}


@dataclass(frozen=True, slots=True)
class Units:
    """``mark_m`` is the smallest length written: 1/16 or 1/8 in, 0.01 ft, 1 mm.

    Raises ``Faulty`` when no rule of the system carries such a mark.
    """

    system: System
    mark_m: float

    def __post_init__(self) -> None:
        exact_mark(self.system, self.mark_m)

    @property
    def mark(self) -> Fraction:
        """The mark in metres, exactly."""
        return exact_mark(self.system, self.mark_m)


def exact_mark(system: System, mark_m: float) -> Fraction:
    """The mark of ``system`` that ``mark_m`` stands for, in metres, exactly."""
    if isfinite(mark_m):
        for mark in MARKS[system]:
            if isclose(mark_m, float(mark), rel_tol=1e-6):
                return mark
    raise Faulty(MARK.met(value=f"{mark_m} m", system=system, marks=MARK_WORDS[system]))
