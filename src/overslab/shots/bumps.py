"""Did the laser move while it stood? Points shot again from the same set-up tell.

Within one set-up every reading on a point is the same but for reading error. A laser that was
knocked adds one shift to all later readings; a misread check shot stands alone. Both are fitted to
the points that were shot more than once, each point with its own level, and the better one is told.
The test is the likelihood ratio for a step at an unknown place; the limit is Baarda's.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from overslab.handbook.adjustment import baarda_critical
from overslab.shots.book import Book
from overslab.shots.records import Bump
from overslab.shots.wording import Wording, lines_in_words, listed

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

SIGNIFICANCE = 0.001
# Two points agree on a shift when each shows it and none stands off it, at 1 in 100 each.
AGREEMENT = 0.01
# A point that stays on the floor or the wall to be shot again.
_MARKS = frozenset({"benchmark", "check", "turn"})


@dataclass(frozen=True, slots=True)
class Moved:
    """A bump with what the search for slips needs besides its record."""

    bump: Bump
    first_after: int  # reading: the first that surely came after
    between: tuple[int, ...]  # readings between the last good one and that: on either side
    lone: tuple[int, ...]  # check shots that alone show it, and may as well be misread
    deviation_m: float


@dataclass(frozen=True, slots=True)
class _Step:
    at: int  # the first reading of the repeated ones that came after, as a place among them
    shift_m: float
    deviation_m: float
    gain: float


def find_bumps(book: Book) -> tuple[Moved, ...]:
    """Every move of the laser within a set-up that the points shot again can show."""
    found: list[Moved] = []
    for setup in range(len(book.setups)):
        mine = np.flatnonzero(book.setup_of == setup)
        found.extend(_in_setup(book, mine))
    return tuple(found)


def split_at(book: Book, bumps: tuple[Moved, ...]) -> Book:
    """The book as if each moved laser had been a new set-up from the first reading surely after."""
    setup_of = book.setup_of.copy()
    setups = list(book.setups)
    for moved in sorted(bumps, key=lambda moved: moved.first_after):
        home = book.setup_of[moved.first_after]
        later = (book.setup_of == home) & (np.arange(setup_of.size) >= moved.first_after)
        setup_of[later] = len(setups)
        setups.append(book.setups[home])
    return book.resplit(setup_of, tuple(setups))


def _in_setup(book: Book, mine: Ints) -> list[Moved]:
    cuts, spoiled = _cuts(book, mine)
    found: list[Moved] = []
    for place, cut in enumerate(cuts):
        # A move is measured between its neighbours, so that one does not blur another.
        start = cuts[place - 1] if place else mine[0]
        end = cuts[place + 1] if place + 1 < len(cuts) else mine[-1] + 1
        for segment in (mine[(mine >= start) & (mine < end)], mine):
            again = _shot_again(book, segment, spoiled)
            at = int(np.searchsorted(again, cut))
            moved = None
            if 0 < at < again.size:
                moved = _describe(book, mine, segment, again, _best_step(book, again, only=at))
            if moved is not None:
                found.append(moved)
                break
    return found


def _cuts(book: Book, mine: Ints) -> tuple[list[int], set[int]]:
    """First readings after each move, and readings that stand alone between others that agree."""
    critical = baarda_critical(significance=SIGNIFICANCE)
    segments = [mine]
    cuts: list[int] = []
    spoiled: set[int] = set()
    while segments:
        segment = segments.pop()
        again = _shot_again(book, segment, spoiled)
        step = _best_step(book, again)
        spike, spike_gain = _best_spike(book, again)
        if max(step.gain, spike_gain) <= critical**2:
            continue
        # A lone shot at either end fits both tales equally: it is told as a move, with a doubt.
        if spike_gain > step.gain * (1.0 + 1e-9):
            spoiled.add(spike)
            segments.append(segment)
            continue
        cut = int(again[step.at])
        showing, _, _ = _witnesses(book, again, cut, step)
        if not _enough(book, showing):
            off = np.isin(book.point_of[again], showing) if showing else again == again[step.at]
            spoiled.update(int(reading) for reading in again[off])
            segments.append(segment)
            continue
        cuts.append(cut)
        segments += [segment[segment < cut], segment[segment >= cut]]
    return sorted(cuts), spoiled


def _shot_again(book: Book, segment: Ints, spoiled: set[int]) -> Ints:
    """Readings of the segment on points that it holds more than once, in the order of the book."""
    kept = np.array([i for i in segment if int(i) not in spoiled], dtype=np.int64)
    times = np.bincount(book.point_of[kept], minlength=len(book.spots))
    return kept[times[book.point_of[kept]] > 1]


def _best_step(book: Book, again: Ints, *, only: int | None = None) -> _Step:
    """The step that explains most of the spread of these readings, or the one at a given place."""
    best = _Step(at=0, shift_m=0.0, deviation_m=np.inf, gain=0.0)
    if again.size < 2:
        return best
    points, owner = np.unique(book.point_of[again], return_inverse=True)
    weight = book.deviation_m[again] ** -2.0
    # Levels are counted from each point's own mean, so that sums keep their digits.
    level = book.reading_m[again]
    level = level - (np.bincount(owner, level) / np.bincount(owner))[owner]
    total, pull = np.bincount(owner, weight), np.bincount(owner, weight * level)
    before, pull_before = np.zeros(points.size), np.zeros(points.size)
    # Sums over the points, kept up to date as one reading after another goes to the near side.
    share, lift = np.zeros(points.size), np.zeros(points.size)
    for place in range(1, again.size):
        one = owner[place - 1]
        before[one] += weight[place - 1]
        pull_before[one] += weight[place - 1] * level[place - 1]
        after = total[one] - before[one]
        if after > total[one] * 1e-12:
            share[one] = before[one] * after / total[one]
            lift[one] = share[one] * (
                (pull[one] - pull_before[one]) / after - pull_before[one] / before[one]
            )
        else:
            share[one] = lift[one] = 0.0
        information = share.sum()
        if information <= 0 or only not in (None, place):
            continue
        if place == only or lift.sum() ** 2 / information > best.gain:
            best = _Step(
                at=place,
                shift_m=float(lift.sum() / information),
                deviation_m=float(information**-0.5),
                gain=float(lift.sum() ** 2 / information),
            )
    return best


def _best_spike(book: Book, again: Ints) -> tuple[int, float]:
    """The one reading that stands farthest from the others on its point, and what that explains."""
    if again.size < 2:
        return -1, 0.0
    _, owner = np.unique(book.point_of[again], return_inverse=True)
    weight = book.deviation_m[again] ** -2.0
    level = book.reading_m[again]
    level = level - (np.bincount(owner, level) / np.bincount(owner))[owner]
    others = np.bincount(owner, weight)[owner] - weight
    pull = np.bincount(owner, weight * level)[owner] - weight * level
    gain = (level - pull / others) ** 2 / (1.0 / weight + 1.0 / others)
    worst = int(np.argmax(gain))
    return int(again[worst]), float(gain[worst])


def _witnesses(
    book: Book, again: Ints, first_after: int, step: _Step
) -> tuple[list[int], bool, tuple[int, ...]]:
    """Points that show the step, whether any speaks against it, and readings that alone show it."""
    agreement = baarda_critical(significance=AGREEMENT)
    showing: list[int] = []
    against = False
    lone: tuple[int, ...] = ()
    for point in np.unique(book.point_of[again]):
        near = again[(book.point_of[again] == point) & (again < first_after)]
        far = again[(book.point_of[again] == point) & (again >= first_after)]
        if not (near.size and far.size):
            continue
        shift, variance = _between(book, near, far, 0.0)
        if abs(shift - step.shift_m) > agreement * np.sqrt(variance + step.deviation_m**2):
            against = True
        if abs(shift) > agreement * np.sqrt(variance):
            showing.append(int(point))
            lone = tuple(int(side[0]) for side in (far, near) if side.size == 1)
    return showing, against, lone if len(showing) == 1 else ()


def _enough(book: Book, showing: list[int]) -> bool:
    """One floor point shot twice says nothing about the laser: it is a repeat."""
    return len(showing) > 1 or any(book.spots[point].kind in _MARKS for point in showing)


def _describe(book: Book, mine: Ints, segment: Ints, again: Ints, step: _Step) -> Moved | None:
    first_after, last_good = int(again[step.at]), int(again[step.at - 1])
    showing, against, lone = _witnesses(book, again, first_after, step)
    if not _enough(book, showing):
        return None
    agreement = baarda_critical(significance=AGREEMENT)
    known = np.isfinite(book.known_m[book.point_of])
    for point in np.unique(book.point_of[segment]):
        far = segment[book.point_of[segment] == point]
        if not np.isfinite(book.known_m[point]) or far.min() < first_after:
            continue
        # A second benchmark shot only afterwards: what it says with its given height.
        near = segment[known[segment] & (segment < first_after)]
        if near.size:
            shift, variance = _between_known(book, near, far)
            if abs(shift - step.shift_m) > agreement * np.sqrt(variance + step.deviation_m**2):
                against = True
            if abs(shift) > agreement * np.sqrt(variance):
                showing.append(int(point))
    between = mine[(mine > last_good) & (mine < first_after)]
    if len(showing) > 1:
        lone = ()
    may_shift = len(showing) > 1 and not against
    after = mine[mine > last_good]
    bump = Bump(
        setup=book.setups[book.setup_of[first_after]],
        last_good_line=book.readings[last_good].line,
        lines_after=tuple(book.readings[i].line for i in after),
        shift_m=step.shift_m,
        benchmarks=tuple(book.spots[point].name for point in showing),
        may_shift=may_shift,
        says=_words(book, step, last_good, first_after, between, showing, against, lone),
    )
    return Moved(
        bump=bump,
        first_after=first_after,
        between=tuple(int(i) for i in between),
        lone=lone,
        deviation_m=step.deviation_m,
    )


def _between(book: Book, near: Ints, far: Ints, lift: Floats | float) -> tuple[float, float]:
    """Weighted mean of the far readings less that of the near ones, with its variance."""
    level = book.reading_m + lift
    a, b = book.deviation_m[near] ** -2.0, book.deviation_m[far] ** -2.0
    shift = np.average(level[far], weights=b) - np.average(level[near], weights=a)
    return float(shift), float(1.0 / a.sum() + 1.0 / b.sum())


def _between_known(book: Book, near: Ints, far: Ints) -> tuple[float, float]:
    """The same over different benchmarks: heights of instrument are compared, not readings."""
    origin = book.known_m[np.isfinite(book.known_m)][0]
    return _between(book, near, far, np.nan_to_num(book.known_m[book.point_of] - origin))


def _words(
    book: Book,
    step: _Step,
    last_good: int,
    first_after: int,
    between: Ints,
    showing: list[int],
    against: bool,
    lone: tuple[int, ...],
) -> str:
    words = Wording(book.survey.convention)
    line = [reading.line for reading in book.readings]
    setup = book.setups[book.setup_of[first_after]]
    way = "more" if step.shift_m > 0 else "less"
    reads = "reads" if len(showing) == 1 else "read"
    names = listed([book.spots[point].name for point in showing])
    told = (
        f"Set-up {setup}: the laser seems to have moved between line {line[last_good]} and line "
        f"{line[first_after]}; {names} then {reads} {words.misfit(step.shift_m)} {way}."
    )
    if between.size:
        told += (
            f" Shot in between, before or after the move: "
            f"{lines_in_words([line[int(i)] for i in between])}."
        )
    if lone:
        alone = " or ".join(str(line[i]) for i in sorted(lone))
        told += f" One reading alone shows it: line {alone} may itself be misread."
    if against:
        told += " The points do not agree on one shift, so the beam may be tilted: shoot again."
    elif len(showing) > 1:
        told += (
            f" {len(showing)} points agree on the shift, so a change of height alone may be taken"
            " off the later shots, if you say so."
        )
    else:
        told += (
            f" Shoot again what came after line {line[last_good]}; a shift may be taken off only"
            " when two benchmarks agree on it."
        )
    return told
