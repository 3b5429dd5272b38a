"""The baseline: a top that repeats the old floor one thickness higher."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from overslab.oldslab.records import Surface

Floats = NDArray[np.float64]

# Slopes of the old surface are taken over this much to either side.
_HALF_STEP_M = 0.02


@dataclass(frozen=True, slots=True, eq=False)
class FollowingSurface:
    """Old mean surface plus one thickness, on the sheet, heights above datum."""

    old: Surface
    thickness_m: float

    def height_m(self, xy_m: Floats) -> Floats:
        return self.old.height_m(xy_m) + self.thickness_m

    def gradient(self, xy_m: Floats) -> Floats:
        """(n, 2) rise per metre along x and y, by differences."""
        rises = []
        for axis in (0, 1):
            aside = np.zeros(2)
            aside[axis] = _HALF_STEP_M
            rise = self.old.height_m(xy_m + aside) - self.old.height_m(xy_m - aside)
            rises.append(rise / (2 * _HALF_STEP_M))
        return np.column_stack(rises)
