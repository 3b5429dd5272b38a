"""A square lattice of points over a floor: what drawings sample and what water is run over."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Lattice:
    """Square cells; ``inside`` marks those whose centre lies on the floor. Row 0 has least y."""

    x_m: Floats  # (nx,) cell centres
    y_m: Floats  # (ny,) cell centres
    inside: Bools  # (ny, nx)
    step_m: float

    @property
    def points_m(self) -> Floats:
        """Centres of the inside cells, shape (inside.sum(), 2), row by row."""
        rows, columns = np.nonzero(self.inside)
        return np.column_stack([self.x_m[columns], self.y_m[rows]])

    def spread(self, values: Floats, *, outside: float = np.nan) -> Floats:
        """Values of the inside cells laid back on the (ny, nx) sheet."""
        sheet = np.full(self.inside.shape, outside)
        sheet[self.inside] = values
        return sheet


def lattice_over(polygon: shapely.Geometry, *, step_m: float) -> Lattice:
    """Cells of side ``step_m`` that cover the bounds of ``polygon``."""
    west, south, east, north = shapely.bounds(polygon).tolist()
    columns = max(1, int(np.ceil((east - west) / step_m - 1e-9)))
    rows = max(1, int(np.ceil((north - south) / step_m - 1e-9)))
    # Centre the lattice on the bounds so that a symmetric floor is sampled symmetrically.
    x_m = (west + east) / 2 + (np.arange(columns) - (columns - 1) / 2) * step_m
    y_m = (south + north) / 2 + (np.arange(rows) - (rows - 1) / 2) * step_m
    across, up = np.meshgrid(x_m, y_m)
    inside = np.asarray(shapely.contains_xy(polygon, across, up), dtype=bool)
    return Lattice(x_m=x_m, y_m=y_m, inside=inside, step_m=step_m)
