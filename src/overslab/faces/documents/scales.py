"""From the floor to the sheet: the scale, chosen from the trade's own list, and the scale bar."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from overslab.faces.documents.drawing import Spot
from overslab.ground.units import System, read_length_m

Point = tuple[float, float]

# Scales a rule carries, as (how many times smaller than life, how it is said): the architect's, the
# engineer's, the metric rule (ISO 5455:1979, as remembered). Common practice.
_RULES: dict[System, tuple[tuple[int, str], ...]] = {
    "feet-inches": (
        (8, "1 1/2 in = 1 ft"),
        (12, "1 in = 1 ft"),
        (16, "3/4 in = 1 ft"),
        (24, "1/2 in = 1 ft"),
        (32, "3/8 in = 1 ft"),
        (48, "1/4 in = 1 ft"),
        (64, "3/16 in = 1 ft"),
        (96, "1/8 in = 1 ft"),
        (128, "3/32 in = 1 ft"),
        (192, "1/16 in = 1 ft"),
        (384, "1/32 in = 1 ft"),
    ),
    "tenths": tuple(
        (12 * feet, f"1 in = {feet} ft") for feet in (1, 2, 3, 4, 5, 6, 8, 10, 20, 30, 40, 50)
    ),
    "metric": tuple((ratio, "") for ratio in (10, 20, 25, 50, 75, 100, 150, 200, 250, 500, 1000)),
}
_BARS: dict[System, tuple[str, ...]] = {
    "feet-inches": ("1 ft", "2 ft", "4 ft", "8 ft", "12 ft", "20 ft", "40 ft", "80 ft", "200 ft"),
    "tenths": ("1 ft", "2 ft", "4 ft", "8 ft", "12 ft", "20 ft", "40 ft", "80 ft", "200 ft"),
    "metric": ("0.4 m", "1 m", "2 m", "4 m", "8 m", "12 m", "20 m", "40 m", "80 m"),
}


@dataclass(frozen=True, slots=True)
class Scale:
    """``ruled``: of a rule's own scales, and true on paper; a screen knows no such scale."""

    ratio: int
    said: str
    ruled: bool = True

    def __str__(self) -> str:
        return f"{self.said} (1:{self.ratio})" if self.said else f"1:{self.ratio}"


def fitting_scale(
    wide_m: float,
    high_m: float,
    *,
    room_wide: float,
    room_high: float,
    system: System,
    ruled: bool = True,
) -> Scale:
    """The largest scale of the rule at which a floor fits in ``room`` millimetres.

    Where it need not be of the rule, the largest that fits.
    """
    if not ruled:
        needed = max(wide_m * 1000 / room_wide, high_m * 1000 / room_high)
        return Scale(max(1, int(np.ceil(needed))), "", ruled=False)
    for ratio, said in _RULES[system]:
        if wide_m * 1000 / ratio <= room_wide and high_m * 1000 / ratio <= room_high:
            return Scale(ratio, said)
    needed = max(wide_m * 1000 / room_wide, high_m * 1000 / room_high)
    return Scale(int(np.ceil(needed / 1000) * 1000), "")


def bar_length_m(scale: Scale, *, system: System) -> float:
    """A round length that is drawn between about 25 and 60 mm long."""
    lengths = [read_length_m(text, system=system) for text in _BARS[system]]
    drawn = [length for length in lengths if length * 1000 / scale.ratio <= 60.0]
    return max(drawn, default=lengths[0])


@dataclass(frozen=True, slots=True)
class View:
    """Plan metres (y up) to sheet millimetres (y down)."""

    scale: Scale
    west_m: float
    north_m: float
    left: float
    top: float

    def spot(self, point: Point) -> Spot:
        k = 1000 / self.scale.ratio
        return (
            self.left + (float(point[0]) - self.west_m) * k,
            self.top + (self.north_m - float(point[1])) * k,
        )

    def spots(self, points: object) -> list[Spot]:
        return [self.spot((x, y)) for x, y in np.asarray(points, dtype=float)]

    def mm(self, length_m: float) -> float:
        return length_m * 1000 / self.scale.ratio

    def metres(self, length_mm: float) -> float:
        return length_mm * self.scale.ratio / 1000

    def shape(self, geometry: BaseGeometry) -> BaseGeometry:
        """A plan shape laid on the sheet."""

        def lay(points: NDArray[np.float64]) -> NDArray[np.float64]:
            k = 1000 / self.scale.ratio
            return np.column_stack(
                [
                    self.left + (points[:, 0] - self.west_m) * k,
                    self.top + (self.north_m - points[:, 1]) * k,
                ]
            )

        return shapely.transform(geometry, lay)
