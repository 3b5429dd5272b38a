"""The baseline: a top that repeats the old floor one thickness higher."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import scipy.ndimage
import shapely
from numpy.typing import NDArray

from overslab.oldslab.records import OldSlab

Floats = NDArray[np.float64]

# Slopes of the old surface are taken over this much to either side.
_HALF_STEP_M = 0.02
# Between lattice points of one panel the old floor is straight enough unless steeper than this.
_NO_STEP = 0.1


@dataclass(frozen=True, slots=True, eq=False)
class FollowingSurface:
    """Old mean surface plus one thickness, on the sheet, heights above datum.

    Read between the lattice points of the old slab where the floor is smooth; at cracks and pit
    edges the old surface itself is asked.
    """

    old: OldSlab
    thickness_m: float
    _known_m: Floats = field(init=False, repr=False)
    _panel: NDArray[np.intp] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        known_m, panel = _with_rim(self.old)
        object.__setattr__(self, "_known_m", known_m)
        object.__setattr__(self, "_panel", panel)

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
        lattice, known, panel = self.old.lattice, self._known_m, self._panel
        rows, columns = known.shape
        across = (xy_m[:, 0] - lattice.x_m[0]) / lattice.step_m + 1
        up = (xy_m[:, 1] - lattice.y_m[0]) / lattice.step_m + 1
        column = np.clip(across.astype(np.intp), 0, columns - 2)
        row = np.clip(up.astype(np.intp), 0, rows - 2)
        a, b = across - column, up - row
        four = [(row + i, column + j) for i, j in ((0, 0), (0, 1), (1, 0), (1, 1))]
        corners = np.stack([known[corner] for corner in four])
        one_panel = np.ptp(np.stack([panel[corner] for corner in four]), axis=0) == 0
        inside = (a >= 0) & (a <= 1) & (b >= 0) & (b <= 1) & np.isfinite(corners).all(axis=0)
        # Unknown corners are well off the floor and leave the place to the surface itself.
        corners = np.where(inside, corners, 0.0)
        smooth = inside & one_panel & (np.ptp(corners, axis=0) <= _NO_STEP * lattice.step_m)
        shares = np.stack([(1 - a) * (1 - b), a * (1 - b), (1 - a) * b, a * b])
        return (shares * corners).sum(axis=0), smooth


def _with_rim(old: OldSlab) -> tuple[Floats, NDArray[np.intp]]:
    """Heights (ny + 2, nx + 2) at the lattice points and at those next to them beyond the walls,
    and the number of the panel that each belongs to."""
    lattice = old.lattice
    inside = np.pad(lattice.inside, 1)
    known = np.pad(old.heights_m, 1, constant_values=np.nan)
    rim = scipy.ndimage.binary_dilation(inside, structure=np.ones((3, 3))) & ~inside
    rows, columns = np.nonzero(inside | rim)
    west, south = lattice.x_m[0] - lattice.step_m, lattice.y_m[0] - lattice.step_m
    at_m = np.column_stack([west + columns * lattice.step_m, south + rows * lattice.step_m])
    beyond = rim[rows, columns]
    known[rim] = old.surface.height_m(at_m[beyond])
    panel = np.zeros(known.shape, dtype=np.intp)
    if old.panels:
        tree = shapely.STRtree([each.polygon for each in old.panels])
        panel[rows, columns] = tree.nearest(shapely.points(at_m))
    return known, panel
