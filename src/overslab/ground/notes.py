"""What a record carries beside its figures: stated assumptions and remarks to the reader."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Assumption:
    """A missing input filled by a stated default; printed on every sheet that leans on it."""

    about: str
    taken: str
    because: str


@dataclass(frozen=True, slots=True)
class Remark:
    """What the reader must know: ``weight`` is ``note``, ``ask`` (answer it) or ``warn``."""

    weight: str
    text: str
