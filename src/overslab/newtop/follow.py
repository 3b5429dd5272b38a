"""The baseline: a top that repeats the old floor one thickness higher."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from overslab.oldslab.records import OldSlab

Floats = NDArray[np.float64]

# Slopes of the old surface are taken over this much to either side.
_HALF_STEP_M = 0.02
# Between lattice points the old floor is straight enough unless it steps by more than this slope.
_NO_STEP = 0.02


@dataclass(frozen=True, slots=True, eq=False)
class FollowingSurface:
    """Old mean surface plus one thickness, on the sheet, heights above datum.

    Read between the lattice points of the old slab where the floor is smooth; at cracks, pit edges
    and walls the old surface itself is asked.
    """

    old: OldSlab
    thickness_m: float

    def height_m(self, xy_m: Floats) -> Floats:
        xy_m = np.asarray(xy_m, dtype=np.float64)
        between, smooth = self._between(xy_m)
        heights = between
        if not smooth.all():
            heights[~smooth] = self.old.surface.height_m(xy_m[~smooth])
        return heights + self.thickness_m

    def gradient(self, xy_m: Floats) -> Floats:
        """(n, 2) rise per metre along x and y, by differences."""
        rises = []
        for axis in (0, 1):
            aside = np.zeros(2)
            aside[axis] = _HALF_STEP_M
            rise = self.height_m(xy_m + aside) - self.height_m(xy_m - aside)
            rises.append(rise / (2 * _HALF_STEP_M))
        return np.column_stack(rises)

    def _between(self, xy_m: Floats) -> tuple[Floats, NDArray[np.bool_]]:
        """Bilinear between four lattice points, and whether they lie on one smooth piece."""
        lattice, known = self.old.lattice, self.old.heights_m
        rows, columns = known.shape
        if rows < 2 or columns < 2:
            return np.zeros(len(xy_m)), np.zeros(len(xy_m), dtype=bool)
        across = (xy_m[:, 0] - lattice.x_m[0]) / lattice.step_m
        up = (xy_m[:, 1] - lattice.y_m[0]) / lattice.step_m
        column = np.clip(across.astype(np.intp), 0, columns - 2)
        row = np.clip(up.astype(np.intp), 0, rows - 2)
        a, b = across - column, up - row
        corners = np.stack(
            [known[row + i, column + j] for i, j in ((0, 0), (0, 1), (1, 0), (1, 1))]
        )
        inside = (a >= 0) & (a <= 1) & (b >= 0) & (b <= 1) & np.isfinite(corners).all(axis=0)
        # Unknown corners are outside the floor and leave the place to the surface itself.
        corners = np.where(inside, corners, 0.0)
        smooth = inside & (np.ptp(corners, axis=0) <= _NO_STEP * lattice.step_m)
        shares = np.stack([(1 - a) * (1 - b), a * (1 - b), (1 - a) * b, a * b])
        return (shares * corners).sum(axis=0), smooth
