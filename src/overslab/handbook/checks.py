"""A verdict is a record: what was found, what is allowed, how they compare; never a bare True."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Comparison = Literal["at least", "at most"]


@dataclass(frozen=True, slots=True)
class Check:
    """Found beside allowed. ``quantity`` ends in the unit suffix, such as ``thickness_m``.

    ``slack`` is how far the found value may miss and still count (the settable mark, the rounding
    of the print); it is shown, never hidden.
    """

    name: str
    quantity: str
    found: float
    comparison: Comparison
    allowed: float
    source: str
    slack: float = 0.0
    where: str = ""
    at: tuple[float, float] | None = None  # the worst place, metres on the sheet

    @property
    def margin(self) -> float:
        """How far the found value stands on the good side of the limit; negative when it fails."""
        gap = self.found - self.allowed
        return gap if self.comparison == "at least" else -gap

    @property
    def passes(self) -> bool:
        return self.margin >= -self.slack

    @property
    def ratio(self) -> float:
        """Found over allowed; infinite when nothing is allowed."""
        return self.found / self.allowed if self.allowed else float("inf")
