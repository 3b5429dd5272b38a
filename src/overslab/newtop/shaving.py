"""Marks brought down one step at a time while every row still holds.

Rounding with an allowance leaves room under some marks. Single marks, pad lines and level edges are
lowered by one mark as long as no rule minds; the result is never dearer and never breaks a row that
held before. It is a descent and no proof: the proven bound is the solver's.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from overslab.newtop.model import Margins, Model

Floats = NDArray[np.float64]
Places = NDArray[np.intp]

# Tops with more marks than this are left as rounded (our choice; a crew sets some hundreds).
MOST_MARKS = 2000
_MOST_ROUNDS = 40
_EXACT = 1e-9


def shave(model: Model, heights_m: Floats, moved: tuple[str, ...], margins: Margins) -> Floats:
    """Heights at the pads above base, lowered by whole marks where every row allows it.

    Only strips are shaved: a plane with one mark lowered is no plane.
    """
    if model.shape is not None or len(heights_m) > MOST_MARKS:
        return heights_m
    heights = heights_m.copy()
    step = model.site.wishes.mark_m
    low, high = model.allowed(margins)
    found = model.found(heights, moved)
    # A row that is missed already may be missed by as much, not by more.
    low, high = np.minimum(low, found) - _EXACT, np.maximum(high, found) + _EXACT
    for _ in range(_MOST_ROUNDS):
        lowered = False
        for group, rows, change in _drops(model):
            after = found[rows] - step * change
            if (after >= low[rows]).all() and (after <= high[rows]).all():
                found[rows] = after
                heights[group] -= step
                lowered = True
        if not lowered:
            break
    return heights


def _groups(model: Model) -> list[Places]:
    """Marks that are lowered together: all, each pad line, each level edge, each by itself."""
    at_m, rules = model.pads.at_m, model.rules
    groups = [np.arange(len(at_m))]
    for axis in (0, 1):
        lines = np.round(at_m[:, axis], 6)
        groups += [np.flatnonzero(lines == line) for line in np.unique(lines)]
    for place, name in enumerate(rules.names):
        rows = np.flatnonzero(rules.low_rule == place)
        if name.endswith(" level") and len(rows):
            groups.append(np.unique(rules.heights[rows].indices).astype(np.intp))
    groups += [np.array([pad]) for pad in range(len(at_m))]
    return groups


@lru_cache(maxsize=1)
def _drops(model: Model) -> list[tuple[Places, Places, Floats]]:
    """Groups, the worthiest first, with the rows that notice when one comes down, and by how much.

    The same for every try at marking one model, so kept for the next.
    """
    columns = sparse.csc_array(model.rules.heights)
    groups = _groups(model)
    worth = [float(model.pads.integral_m2[group].sum()) for group in groups]
    drops = []
    for place in np.argsort(worth)[::-1]:
        if worth[place] > 0:
            together = np.asarray(columns[:, groups[place]].sum(axis=1)).ravel()
            rows = np.flatnonzero(np.abs(together) > _EXACT)
            drops.append((groups[place], rows, together[rows]))
    return drops
