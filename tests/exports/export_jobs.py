"""Walked jobs for the tests of the exports, each walked once."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from overslab.job import Walk, read_job, sample_folder, walk
from overslab.newtop.records import TopOption

Floats = NDArray[np.float64]
JOBS = Path(__file__).parents[1] / "jobs"
FOOT_M, YARD3_M3 = 0.3048, 0.9144**3  # exact since 1959


@cache
def walked(name: str) -> Walk:
    """A sample by its name, or a job of ``tests/jobs``."""
    folder = JOBS / name
    return walk(read_job(folder if folder.is_dir() else sample_folder(name)))


class Formula:
    """A surface whose height is known by a formula of x and y."""

    def __init__(self, height: Any) -> None:
        self._height = height

    def height_m(self, xy_m: Floats) -> Floats:
        return np.asarray(self._height(xy_m[:, 0], xy_m[:, 1]), dtype=np.float64)


def with_surfaces(walk: Walk, *, old: Any, new: Any) -> Walk:
    """The same floor with an old floor and a top known by formulas of x and y."""
    top = walk.newtop.top
    assert top is not None
    options: tuple[TopOption, ...] = tuple(
        replace(one, surface=Formula(new)) if one is top else one for one in walk.newtop.options
    )
    return replace(
        walk,
        oldslab=replace(walk.oldslab, surface=Formula(old)),
        newtop=replace(walk.newtop, options=options),
    )


def prisms(places: Floats, old: Floats, new: Floats, faces: NDArray[np.intp]) -> float:
    """Volume between two heights over the same triangles: area times the mean of three depths.

    The area is Heron's, from the sides, so that nothing is shared with the code under test.
    """
    a, b, c = (places[faces[:, k]] for k in range(3))
    one, two, three = (np.hypot(*(p - q).T) for p, q in ((a, b), (b, c), (c, a)))
    half = (one + two + three) / 2
    area = np.sqrt(np.maximum(half * (half - one) * (half - two) * (half - three), 0.0))
    depth = (new - old)[faces].sum(axis=1) / 3
    return float((area * depth).sum())
