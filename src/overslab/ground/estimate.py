"""A figure with its plus-or-minus."""

from __future__ import annotations

from dataclasses import dataclass

# Two-sided 95 % point of the normal distribution, NIST/SEMATECH e-Handbook section 1.3.6.7.1.
NORMAL_95 = 1.959963984540054


@dataclass(frozen=True, slots=True)
class Estimate:
    """A mean and a standard deviation, both in the unit that the holder's field name states."""

    mean: float
    deviation: float

    @property
    def plus_or_minus(self) -> float:
        """Half the width of the 95 % interval."""
        return NORMAL_95 * self.deviation

    @property
    def low(self) -> float:
        return self.mean - self.plus_or_minus

    @property
    def high(self) -> float:
        return self.mean + self.plus_or_minus
