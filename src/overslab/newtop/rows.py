"""Rows of rules over pad heights, and the book they are written in block by block."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from overslab.newtop.pads import Stencil

Floats = NDArray[np.float64]
Places = NDArray[np.intp]

NO_RULE = -1


@dataclass(frozen=True, slots=True, eq=False)
class RuleRows:
    """m rows ``low <= heights_row + moves_row <= high`` with the rule on each side.

    ``low_rule`` and ``high_rule`` index ``names`` (-1: no rule on that side). ``margin`` is what
    rounding every mark by half a step can take from the row. ``ease`` is how much of a rule's
    relaxation reaches the row. ``moves`` has one column a movable touch.
    """

    names: tuple[str, ...]
    heights: sparse.csr_array  # (m, pads)
    moves: sparse.csr_array  # (m, movable touches)
    low: Floats
    high: Floats
    low_rule: Places
    high_rule: Places
    margin: Floats
    ease: Floats
    movable: tuple[tuple[str, float], ...]  # name of the touch, cost of moving it


@dataclass
class Book:
    """Rows as they are written, block by block."""

    names: list[str]
    half_mark_m: float
    index: list[Places] = field(default_factory=list)
    value: list[Floats] = field(default_factory=list)
    width: list[Places] = field(default_factory=list)
    low: list[Floats] = field(default_factory=list)
    high: list[Floats] = field(default_factory=list)
    low_rule: list[Places] = field(default_factory=list)
    high_rule: list[Places] = field(default_factory=list)
    margin: list[Floats] = field(default_factory=list)
    ease: list[Floats] = field(default_factory=list)
    moves: list[tuple[Places, int, float]] = field(default_factory=list)
    movable: list[tuple[str, float]] = field(default_factory=list)
    rows: int = 0

    def place(self, name: str) -> int:
        return self.names.index(name)

    def add(
        self,
        stencil: Stencil,
        *,
        low: Floats | float = -np.inf,
        high: Floats | float = np.inf,
        low_rule: Places | str | None = None,
        high_rule: Places | str | None = None,
        margin: float = 1.0,
        most_margin: float = np.inf,
        ease: float = 1.0,
        move: tuple[int, float] | None = None,
    ) -> None:
        count, width = stencil.index.shape
        if not count:
            return
        self.index.append(stencil.index.ravel())
        self.value.append(stencil.value.ravel())
        self.width.append(np.full(count, width))
        self.low.append(np.broadcast_to(np.asarray(low, dtype=np.float64), count))
        self.high.append(np.broadcast_to(np.asarray(high, dtype=np.float64), count))
        for rules, rule in ((self.low_rule, low_rule), (self.high_rule, high_rule)):
            if rule is None or isinstance(rule, str):
                rule = np.full(count, NO_RULE if rule is None else self.place(rule))
            rules.append(np.asarray(rule, dtype=np.intp))
        lost = self.half_mark_m * np.abs(stencil.value).sum(axis=1)
        self.margin.append(np.minimum(margin * lost, most_margin))
        self.ease.append(np.full(count, ease))
        if move is not None:
            self.moves.append((np.arange(self.rows, self.rows + count), *move))
        self.rows += count

    def written(self, pads: int) -> RuleRows:
        def joined(parts: list[NDArray[np.float64]]) -> Floats:
            return np.concatenate(parts) if parts else np.empty(0)

        def numbered(parts: list[Places]) -> Places:
            return np.concatenate(parts) if parts else np.empty(0, dtype=np.intp)

        starts = np.concatenate([[0], np.cumsum(numbered(self.width))])
        heights = sparse.csr_array(
            (joined(self.value), numbered(self.index).astype(np.int32), starts.astype(np.int32)),
            shape=(self.rows, pads),
        )
        heights.sum_duplicates()
        moves = sparse.csr_array((self.rows, len(self.movable)))
        if self.moves:
            at = np.concatenate([rows for rows, _, _ in self.moves])
            columns = np.concatenate([np.full(len(rows), column) for rows, column, _ in self.moves])
            amounts = np.concatenate([np.full(len(rows), amount) for rows, _, amount in self.moves])
            moves = sparse.csr_array((amounts, (at, columns)), shape=moves.shape)
        return RuleRows(
            names=tuple(self.names),
            heights=heights,
            moves=moves,
            low=joined(self.low),
            high=joined(self.high),
            low_rule=numbered(self.low_rule),
            high_rule=numbered(self.high_rule),
            margin=joined(self.margin),
            ease=joined(self.ease),
            movable=tuple(self.movable),
        )
