"""Steps across breaks: the surface of either side at the same place, one minus the other."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from overslab.ground.estimate import NORMAL_95, Estimate
from overslab.ground.notes import Remark
from overslab.oldslab.panels import Piece, distances
from overslab.oldslab.records import Break, FloorPlan, Step
from overslab.oldslab.sums import Sums
from overslab.oldslab.surface import MixedSurface
from overslab.oldslab.words import Words

Floats = NDArray[np.float64]

_APART_M = 1.5  # about so far apart the step is told
_FEWEST, _MOST = 3, 9
_ASIDE_M = 0.002  # how far off the line its two sides are looked for
# A step measured by hand with a straightedge and a rule: deviation of one such reading
# (common practice, half of 1/16 in).
_BY_HAND_M = 0.0254 / 32


def steps_across(
    plan: FloorPlan, pieces: Sequence[Piece], surface: MixedSurface, *, words: Words
) -> tuple[tuple[Step, ...], tuple[Remark, ...]]:
    """Steps at several places of every break, and a word where they and the hand disagree.

    A step is the height right of the line minus left of it, looking from its first point to its
    last. A break that leaves one panel on both of its sides has no step that could be told.
    """
    steps: list[Step] = []
    remarks: list[Remark] = []
    for crack in plan.breaks:
        places, left, right = _sides(crack, pieces)
        if not len(places):
            remarks.append(
                Remark(
                    "warn",
                    f"The break {crack.name} does not cut the floor in two; the surface is taken "
                    "as one across it and no step is told.",
                )
            )
            continue
        found = _told(places, left, right, surface)
        steps += [
            Step(break_name=crack.name, at=at, step_m=step, typed_m=crack.step_m)
            for at, step in zip(map(_point, places), found, strict=True)
        ]
        if crack.step_m is not None:
            remarks += _disagreement(crack, found, words)
    return tuple(steps), tuple(remarks)


def _sides(crack: Break, pieces: Sequence[Piece]) -> tuple[Floats, list[int], list[int]]:
    """Places on the break with a different panel on either side, and those panels."""
    line = shapely.LineString(crack.line)
    count = int(np.clip(round(line.length / _APART_M), _FEWEST, _MOST))
    # A hole or an overshoot may eat some of them, so more are looked at than are kept.
    along = (np.arange(4 * count) + 0.5) / (4 * count) * line.length
    at = shapely.get_coordinates(shapely.line_interpolate_point(line, along))
    ahead = shapely.get_coordinates(
        shapely.line_interpolate_point(line, np.minimum(along + 1e-3, line.length))
    )
    way = ahead - at
    way /= np.linalg.norm(way, axis=1, keepdims=True)
    off = _ASIDE_M * np.column_stack([way[:, 1], -way[:, 0]])
    to_right, to_left = distances(pieces, at + off), distances(pieces, at - off)
    right, left = to_right.argmin(axis=1), to_left.argmin(axis=1)
    good = (to_right.min(axis=1) == 0) & (to_left.min(axis=1) == 0) & (right != left)
    floor = np.array([piece.kind == "panel" for piece in pieces])
    good &= floor[left] & floor[right]
    kept = np.flatnonzero(good)
    if kept.size > count:
        kept = kept[np.round((np.arange(count) + 0.5) / count * kept.size - 0.5).astype(int)]
    return at[kept], [int(n) for n in left[kept]], [int(n) for n in right[kept]]


def _told(
    places: Floats, left: list[int], right: list[int], surface: MixedSurface
) -> list[Estimate]:
    count = len(places)
    weights = np.hstack([np.eye(count), -np.eye(count)])
    panel = np.array([*right, *left], dtype=np.intp)
    mean, covariance = surface.sums(
        Sums(xy_m=np.vstack([places, places]), panel=panel, weights=weights)
    )
    return [
        Estimate(float(m), float(np.sqrt(max(v, 0.0))))
        for m, v in zip(mean, np.diag(covariance), strict=True)
    ]


def _disagreement(crack: Break, found: Sequence[Estimate], words: Words) -> list[Remark]:
    """A word when the hand's size of the step fits none of the places, whichever way it goes."""
    assert crack.step_m is not None
    size = abs(crack.step_m)
    for step in found:
        allowed = NORMAL_95 * float(np.hypot(step.deviation, _BY_HAND_M))
        if abs(abs(step.mean) - size) <= allowed:
            return []
    near = min(found, key=lambda step: abs(abs(step.mean) - size))
    return [
        Remark(
            "ask",
            f"The step at the break {crack.name} was measured by hand as {words.height(size)}; the "
            f"shots say {words.height(abs(near.mean))}, give or take "
            f"{words.height(near.plus_or_minus)}, where they come nearest to it. Measure it again "
            "and look at the shots on both sides.",
        )
    ]


def _point(place: Floats) -> tuple[float, float]:
    return float(place[0]), float(place[1])
