"""Shots: what did we measure, and how well?"""

from overslab.shots.records import (
    FLOOR_KINDS,
    Benchmark,
    Bump,
    Heights,
    Kind,
    PointHeight,
    Reading,
    SetupHeight,
    Stand,
    Survey,
    Suspect,
    TwoStandCheck,
)
from overslab.shots.reduction import reduce

__all__ = [
    "FLOOR_KINDS",
    "Benchmark",
    "Bump",
    "Heights",
    "Kind",
    "PointHeight",
    "Reading",
    "SetupHeight",
    "Stand",
    "Survey",
    "Suspect",
    "TwoStandCheck",
    "reduce",
]
