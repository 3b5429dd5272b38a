"""How this room tells lengths: in the units the survey was read in, as fine as they matter here."""

from __future__ import annotations

from collections.abc import Sequence

from overslab.ground.units import SYSTEMS, System, Units, write_length, write_slope, write_thickness

_MARK_M = {"feet-inches": 0.0254 / 16, "tenths": 0.003048, "metric": 0.001}
_FINE_M = {"feet-inches": 0.0254 / 32, "tenths": 0.0003048, "metric": 0.0001}


class Words:
    """Writers for one survey's convention."""

    def __init__(self, convention: str) -> None:
        system: System = next((known for known in SYSTEMS if known == convention), "metric")
        self._coarse = Units(system=system, mark_m=_MARK_M[system])
        self._fine = Units(system=system, mark_m=_FINE_M[system])

    def length(self, value_m: float) -> str:
        return write_length(value_m, self._coarse)

    def height(self, value_m: float) -> str:
        """A small height or a plus-or-minus; never rounded to nothing."""
        least = self._fine.mark_m
        if 0 < abs(value_m) < least:
            return f"less than {write_thickness(least, self._fine)}"
        return write_thickness(value_m, self._fine)

    def slope(self, value: float) -> str:
        return write_slope(value, self._coarse)

    def place(self, point: Sequence[float]) -> str:
        return f"x {self.length(float(point[0]))}, y {self.length(float(point[1]))}"


def listed(names: Sequence[str], *, most: int = 12) -> str:
    """Names in a row, the rest counted."""
    shown = ", ".join(names[:most])
    return shown if len(names) <= most else f"{shown} and {len(names) - most} more"
