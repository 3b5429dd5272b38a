"""Bars and supports as they lie: what their layouts give."""

from __future__ import annotations

from dataclasses import dataclass

from overslab.ground.notes import Assumption, Remark
from overslab.handbook.checks import Check
from overslab.handbook.working import Working
from overslab.takeoff.asked import BarsAsked, SupportsAsked
from overslab.takeoff.items import Item

Point = tuple[float, float]
Corners = tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class BarPiece:
    """One piece of bar: where it lies, and from where to where of which stock bar, in metres."""

    label: str  # "7b": the second piece of bar 7
    bar: int
    ends: tuple[Point, Point]
    cut_from: tuple[float, float]
    whole: bool


@dataclass(frozen=True, slots=True)
class BarLayout:
    """Where every bar lies. ``bound``: no splicing takes fewer stock bars at these laps.

    ``cutting_bound``: these pieces cannot be cut from fewer. ``plain_bars``: every row by itself,
    no offcut used again.
    """

    asked: BarsAsked
    pieces: tuple[BarPiece, ...]
    bars: int
    bound: int
    cutting_bound: int
    plain_bars: int
    rows: int
    length_m: float  # of all rows, laps not counted
    area_m2: float
    thinnest_m: float | None
    inner: tuple[Corners, ...]
    items: tuple[Item, ...]
    checks: tuple[Check, ...]
    remarks: tuple[Remark, ...]
    workings: tuple[Working, ...]
    assumptions: tuple[Assumption, ...]

    @property
    def gap(self) -> float:
        """How far above the proven bound, as a share of it."""
        return self.bars / self.bound - 1.0

    def cut_list(self) -> tuple[tuple[int, tuple[BarPiece, ...]], ...]:
        """Every bar that is cut, with its pieces."""
        by_bar: dict[int, list[BarPiece]] = {}
        for piece in self.pieces:
            if not piece.whole:
                by_bar.setdefault(piece.bar, []).append(piece)
        return tuple((bar, tuple(by_bar[bar])) for bar in sorted(by_bar))


@dataclass(frozen=True, slots=True)
class SupportLayout:
    """What holds the steel up: lines of bolsters, or single chairs, on the sheet."""

    asked: SupportsAsked
    lines: tuple[tuple[Point, Point], ...]
    chairs: tuple[Point, ...]
    count: int  # bolsters of stock length, or chairs
    boxes: int
    items: tuple[Item, ...]
    checks: tuple[Check, ...]
    remarks: tuple[Remark, ...]
    workings: tuple[Working, ...]
    assumptions: tuple[Assumption, ...]
