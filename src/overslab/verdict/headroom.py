"""How much room there is over the old floor under every height that the new top may not pass."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from overslab.oldslab.records import OldSlab
from overslab.verdict.practice import SLACK_M, least_of
from overslab.verdict.records import HeightLimit, Point, Practice, System, SystemRoom
from overslab.verdict.words import Words

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

_EVERY_M = 0.15  # along a line the old floor is looked at this close
# Where an area has room for no system over more than this share, pouring over it is no answer.
MOST_SHORT = 0.5


@dataclass(frozen=True, slots=True)
class Headroom:
    """Room under one limit at its tightest place. ``sure_m`` is less ``surety`` deviations."""

    limit: HeightLimit
    sure_m: float
    mean_m: float
    at: Point
    rooms_m: Floats  # sure room at every place looked at

    @property
    def moved_m(self) -> float:
        """Sure room once the thing has gone up as far as it can."""
        return self.sure_m + self.limit.can_move_up_m

    def short_share(self, least_m: float) -> float:
        """Share of the places that have less room than ``least_m`` even when it is moved."""
        short = self.rooms_m + self.limit.can_move_up_m < least_m - SLACK_M
        return float(np.mean(short))


def headrooms(
    oldslab: OldSlab, limits: Sequence[HeightLimit], *, surety: float
) -> tuple[Headroom, ...]:
    """The room under each limit; an area without a lattice point is looked at in its corners."""
    lines = [_places(oldslab, limit) for limit in limits]
    # One look at the surface for all lines: each look costs the same however few the places.
    sizes = [len(at_m) for at_m, _ in lines]
    asked = np.vstack([at_m for at_m, cells in lines if cells is None] or [np.empty((0, 2))])
    mean_m, deviation_m = (
        (oldslab.surface.height_m(asked), oldslab.surface.deviation_m(asked))
        if len(asked)
        else (np.empty(0), np.empty(0))
    )
    found, first = [], 0
    for limit, (at_m, cells), size in zip(limits, lines, sizes, strict=True):
        if cells is None:
            mine = slice(first, first + size)
            first += size
            under_m, spread_m = mean_m[mine], deviation_m[mine]
        else:
            under_m, spread_m = oldslab.heights_m[cells], oldslab.deviations_m[cells]
        rooms_m = limit.highest_m - (under_m + surety * spread_m)
        worst = int(np.argmin(rooms_m))
        found.append(
            Headroom(
                limit=limit,
                sure_m=float(rooms_m[worst]),
                mean_m=float(limit.highest_m - under_m[worst]),
                at=(float(at_m[worst, 0]), float(at_m[worst, 1])),
                rooms_m=rooms_m,
            )
        )
    return tuple(found)


def _places(oldslab: OldSlab, limit: HeightLimit) -> tuple[Floats, Bools | None]:
    """Places (n, 2) under a limit; of an area the lattice cells (ny, nx) they are."""
    if limit.corners:
        lattice = oldslab.lattice
        across, up = np.meshgrid(lattice.x_m, lattice.y_m)
        area = shapely.Polygon(limit.corners)
        inside = lattice.inside & shapely.contains_xy(area, across, up)
        if inside.any():
            return np.column_stack([across[inside], up[inside]]), inside
        return np.asarray(limit.corners, dtype=float), None
    a, b = np.asarray(limit.a, dtype=float), np.asarray(limit.b, dtype=float)
    count = int(np.ceil(np.hypot(*(b - a)) / _EVERY_M))
    along = np.linspace(0.0, 1.0, count + 1)[:, None] if count else np.zeros((1, 1))
    return a + along * (b - a), None


def system_room(
    system: System,
    rooms: Sequence[Headroom],
    practice: Practice,
    *,
    least_thickness_m: float | None,
    words: Words,
) -> SystemRoom:
    """Whether the heights that are fixed leave room for a system, and where it is tightest."""
    by_practice_m = least_of(system, practice)
    least_m = max(by_practice_m, least_thickness_m or 0.0)
    reasons = [f"at least {words.thickness(by_practice_m)} everywhere"]
    if least_m > by_practice_m + SLACK_M:
        reasons.append(f"you ask for at least {words.thickness(least_m)}")
    tightest = min(rooms, key=lambda room: room.sure_m, default=None)
    moved, blocked = [], []
    for room in rooms:
        if room.sure_m >= least_m - SLACK_M:
            continue
        there = (
            f"{room.limit.name} leaves {_room_said(room.sure_m, words)} at {words.place(room.at)}"
        )
        short = words.thickness(least_m - room.sure_m)
        if room.moved_m >= least_m - SLACK_M:
            moved.append(room.limit.name)
            reasons.append(f"{there}: only if it is moved up by {short} or more")
        else:
            blocked.append(room.limit.name)
            reasons.append(f"{there}: {short} short")
    if not rooms:
        reasons.append("no height limit was given, so the top may lie as high as it must")
    elif not moved and not blocked and tightest is not None:
        reasons.append(
            f"tightest under {tightest.limit.name}: {_room_said(tightest.sure_m, words)} at "
            f"{words.place(tightest.at)}"
        )
    return SystemRoom(
        system=system,
        allowed=not blocked,
        least_thickness_m=least_m,
        thinnest_possible_m=None if tightest is None else tightest.sure_m,
        tightest_at="" if tightest is None else tightest.limit.name,
        reasons=tuple(reasons),
        needs_moved=tuple(moved),
        if_less=_if_less(system, rooms, by_practice_m, words) if blocked else "",
    )


def _if_less(system: System, rooms: Sequence[Headroom], by_practice_m: float, words: Words) -> str:
    """Room for the system as the owner's practice has it, though not for the least wished."""
    if min(room.moved_m for room in rooms) < by_practice_m - SLACK_M:
        return ""
    least = words.thickness(by_practice_m)
    return f"There is room for it {system} if you ask for no more than {least} at the thinnest."


def _room_said(room_m: float, words: Words) -> str:
    return "no room at all" if room_m <= 0 else f"{words.thickness(room_m)} of sure room"


def room_map(oldslab: OldSlab, rooms: Sequence[Headroom], *, surety: float) -> Floats | None:
    """(ny, nx) sure room under a level through the lowest limit; None without limits."""
    if not rooms:
        return None
    lowest_m = min(room.limit.highest_m for room in rooms)
    return lowest_m - (oldslab.heights_m + surety * oldslab.deviations_m)
