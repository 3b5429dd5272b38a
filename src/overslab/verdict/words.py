"""How this room says lengths, areas and shares: in the units of the job, cracks to a finer mark."""

from __future__ import annotations

from collections.abc import Sequence

from overslab.ground.units import (
    System,
    Units,
    write_area,
    write_by_suffix,
    write_length,
    write_thickness,
)
from overslab.handbook.checks import Check

# A crack comparator is read finer than a rod.
_FINE_M: dict[System, float] = {
    "feet-inches": 0.0254 / 64,
    "tenths": 0.0003048,
    "metric": 0.0001,
}


class Words:
    """Writers for one job's units."""

    def __init__(self, units: Units) -> None:
        self.units = units
        self.fine_units = Units(system=units.system, mark_m=_FINE_M[units.system])

    def thickness(self, value_m: float) -> str:
        return write_thickness(value_m, self.units)

    def fine(self, value_m: float) -> str:
        """The width of a crack, a step, a growth: never rounded to nothing."""
        least_m = self.fine_units.mark_m
        if 0 < abs(value_m) < least_m / 2:
            return f"less than {write_thickness(least_m, self.fine_units)}"
        return write_thickness(value_m, self.fine_units)

    def area(self, value_m2: float) -> str:
        return write_area(value_m2, self.units)

    def mass(self, value_kg_per_m2: float) -> str:
        return write_by_suffix("added_kg_per_m2", value_kg_per_m2, self.units)

    def place(self, point: Sequence[float]) -> str:
        return ", ".join(
            f"{axis} {write_length(float(value_m), self.units)}"
            for axis, value_m in zip("xy", point, strict=True)
        )

    def found(self, check: Check) -> str:
        return self._written(check, check.found)

    def allowed(self, check: Check) -> str:
        return self._written(check, check.allowed)

    def _written(self, check: Check, value: float) -> str:
        if check.quantity.endswith(("width_m", "step_m", "growth_m")):
            return self.fine(value)
        return write_by_suffix(check.quantity, value, self.units)


def capital(text: str) -> str:
    """The text with its first letter great: names of cracks and hollow places begin sentences."""
    return text[:1].upper() + text[1:]


def listed(names: Sequence[str], *, joined: str = "and") -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} {joined} {names[-1]}"
