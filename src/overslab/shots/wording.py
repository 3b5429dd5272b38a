"""Lengths in the words of the survey's own rod."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import cast

from overslab.ground.units import System, Units, write_length, write_reading
from overslab.ground.units.factors import FOOT_M, INCH_M, MILLIMETRE_M

# Misfits are told finer than a rod is read.
_FINE_MARKS: dict[str, float] = {
    "feet-inches": float(INCH_M / 32),
    "tenths": float(FOOT_M / 1000),
    "metric": float(MILLIMETRE_M / 2),
}
_ROD_MARKS: dict[str, float] = {
    "feet-inches": float(INCH_M / 16),
    "tenths": float(FOOT_M / 100),
    "metric": float(MILLIMETRE_M),
}


@dataclass(frozen=True, slots=True)
class Wording:
    """Writes lengths in the convention that is locked for the survey."""

    convention: str

    @property
    def system(self) -> System:
        return cast(System, self.convention)

    def reading(self, value_m: float) -> str:
        return write_reading(value_m, Units(self.system, _ROD_MARKS[self.convention]))

    def misfit(self, value_m: float) -> str:
        """A length without its sign."""
        return write_length(abs(value_m), Units(self.system, _FINE_MARKS[self.convention]))

    def place(self, x_m: float, y_m: float) -> str:
        units = Units(self.system, _ROD_MARKS[self.convention])
        return f"x {write_length(x_m, units)}, y {write_length(y_m, units)}"


def listed(names: Sequence[object], *, most: int = 12) -> str:
    """``A, B and C``; a long list is cut and says how many were left out."""
    words = [str(name) for name in names]
    if len(words) > most:
        return f"{', '.join(words[:most])} and {len(words) - most} more"
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def lines_in_words(lines: Sequence[int], *, most: int = 8) -> str:
    """``lines 4 to 9, 12 and 15``: runs are drawn together."""
    runs: list[list[int]] = []
    for line in sorted(set(lines)):
        if runs and line == runs[-1][1] + 1:
            runs[-1][1] = line
        else:
            runs.append([line, line])
    told = [str(a) if a == b else f"{a} to {b}" for a, b in runs]
    plural = "line" if len(runs) == 1 and runs[0][0] == runs[0][1] else "lines"
    return f"{plural} {listed(told, most=most)}"
