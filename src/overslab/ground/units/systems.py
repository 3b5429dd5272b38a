"""Which units a job speaks, and how fine its marks are."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

System = Literal["feet-inches", "tenths", "metric"]


@dataclass(frozen=True, slots=True)
class Units:
    """``mark_m`` is the smallest length written: 1/16 or 1/8 in, 0.01 ft, 1 mm."""

    system: System
    mark_m: float
