"""The rules of joints as rows over chords, and what a choice of chords leaves.

A run of cells longer than its thinnest place allows must be crossed by a chord: that is the whole
rule of length, because any panel too long holds such a run. Two parallel sides too near for the run
between them ask for a crossing chord: the rule of shape.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from overslab.takeoff.joint_field import SAME_M, Chord, Field

Floats = NDArray[np.float64]

_MOST_DOMINATED = 600


@dataclass(frozen=True, slots=True)
class Row:
    """``sum(plus) - sum(minus) >= 1 - len(minus)`` over chords."""

    plus: frozenset[int]
    minus: frozenset[int] = frozenset()


def length_rows(field: Field, *, limit_m: Floats) -> list[Row]:
    """A chord across every run of cells that is longer than its thinnest cell allows."""
    found: set[frozenset[int]] = set()
    for lines, sides, inside, limit in (
        (field.u_m, field.upright, field.inside, limit_m),
        (field.v_m, field.across.T, field.inside.T, limit_m.T),
    ):
        place, number = lines.tolist(), sides.tolist()
        for row in range(len(inside)):
            allowed, within, here = limit[row].tolist(), inside[row].tolist(), number[row]
            for start in range(len(allowed)):
                least = math.inf
                for last in range(start, len(allowed)):
                    if not within[last]:
                        break
                    least = min(least, allowed[last])
                    if place[last + 1] - place[start] > least + SAME_M:
                        cuts = frozenset(here[start + 1 : last + 1]) - {-1}
                        if cuts:
                            found.add(cuts)
                        break
    return [Row(cuts) for cuts in _least(found)]


def _least(sets: set[frozenset[int]]) -> list[frozenset[int]]:
    """Without those that hold another one: they ask for less."""
    ordered = sorted(sets, key=lambda one: (len(one), sorted(one)))
    if len(ordered) > _MOST_DOMINATED:
        return ordered
    kept: list[frozenset[int]] = []
    for one in ordered:
        if not any(other <= one for other in kept):
            kept.append(one)
    return kept


def shape_rows(field: Field, *, aspect: float, longest_m: float) -> list[Row]:
    """A crossing chord for every pair of parallel sides too near for the run between them."""
    if not math.isfinite(aspect):
        return []
    found: dict[Row, None] = {}
    for lines, other, sides, walls, cuts, inside in (
        (field.u_m, field.v_m, field.across, field.wall_across, field.upright, field.inside),
        (
            field.v_m,
            field.u_m,
            field.upright.T,
            field.wall_upright.T,
            field.across.T,
            field.inside.T,
        ),
    ):
        place = lines.tolist()
        # A side no chord can run along and that is no wall bounds no panel: -2.
        side = np.where(walls, -1, np.where(sides >= 0, sides, -2)).tolist()
        for low in range(len(other) - 1):
            for high in range(low + 1, len(other)):
                near = aspect * float(other[high] - other[low])
                if near >= longest_m:
                    break
                whole: list[bool] = np.asarray(inside[low:high].all(axis=0)).tolist()
                here = cuts[low].tolist()
                below, above = side[low], side[high]
                for start in range(len(whole)):
                    for last in range(start, len(whole)):
                        if not whole[last] or below[last] == -2 or above[last] == -2:
                            break
                        if place[last + 1] - place[start] > near + SAME_M:
                            row = Row(
                                frozenset(here[start + 1 : last + 1]) - {-1},
                                frozenset(below[start : last + 1])
                                .union(above[start : last + 1])
                                .difference((-1,)),
                            )
                            found[row] = None
                            break
    return list(found)


def strip_rows(field: Field, *, least_strip_m: float) -> list[Row]:
    """Of two chords nearer than the least strip only one."""
    rows = []
    for one, chord in enumerate(field.chords):
        for two in range(one + 1, len(field.chords)):
            other = field.chords[two]
            if (
                chord.axis == other.axis
                and SAME_M < abs(chord.place - other.place) < least_strip_m - SAME_M
                and min(chord.high, other.high) - max(chord.low, other.low) > SAME_M
            ):
                rows.append(Row(frozenset(), frozenset((one, two))))
    return rows


def as_rows(
    sets: Sequence[tuple[set[int] | frozenset[int], frozenset[int]]], *, columns: int
) -> tuple[sparse.csr_array, Floats]:
    """Rows of plus and minus ones, and their lower limits ``1 - len(minus)``."""
    indices: list[int] = []
    data: list[float] = []
    starts = [0]
    for plus, minus in sets:
        both = sorted(plus | minus)
        indices += both
        data += [float(place in plus) - float(place in minus) for place in both]
        starts.append(len(indices))
    matrix = sparse.csr_array((data, indices, starts), shape=(len(sets), columns), dtype=np.float64)
    return matrix, np.array([1.0 - len(minus) for _, minus in sets])


def needed_cuts(field: Field, chord: Chord, *, limit_m: Floats) -> int:
    """Least number of cuts across an upright chord that the cells to either side ask for."""
    column = int(np.abs(field.u_m - chord.place).argmin())
    middle = (field.v_m[:-1] + field.v_m[1:]) / 2
    rows = np.flatnonzero((middle > chord.low) & (middle < chord.high))
    most = 0
    if not len(rows):
        return most
    for side in (column - 1, column):
        cuts, start, least = 0, int(rows[0]), math.inf
        for row in rows.tolist():
            if not field.inside[row, side]:
                start, least = row + 1, math.inf
                continue
            least = min(least, float(limit_m[row, side]))
            if field.v_m[row + 1] - field.v_m[start] > least + SAME_M and row > start:
                cuts, start, least = cuts + 1, row, float(limit_m[row, side])
        most = max(most, cuts)
    return most


def reserve_of(field: Field, picked: Sequence[int], *, limit_m: Floats) -> float:
    """Greatest run between cuts over what its thinnest cell allows, over all rows of cells."""
    cut = np.zeros(len(field.chords) + 1, dtype=bool)
    cut[list(picked)] = True
    worst = 0.0
    for lines, sides, inside, limit in (
        (field.u_m, field.upright, field.inside, limit_m),
        (field.v_m, field.across.T, field.inside.T, limit_m.T),
    ):
        ends = cut[sides]
        for row in range(len(inside)):
            start, least = -1, math.inf
            for column in range(inside.shape[1]):
                if not inside[row, column]:
                    start = -1
                    continue
                if start < 0 or ends[row, column]:
                    start, least = column, math.inf
                least = min(least, float(limit[row, column]))
                worst = max(worst, float(lines[column + 1] - lines[start]) / least)
    return worst
