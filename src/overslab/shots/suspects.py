"""Readings that do not fit: found, given their likeliest slip, put to a person, never removed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from overslab.ground.notes import Remark
from overslab.handbook.adjustment import baarda_critical
from overslab.shots.adjustment import Adjustment, Outlier, adjust, snoop
from overslab.shots.book import Book
from overslab.shots.bumps import Moved, split_at
from overslab.shots.neighbours import find_odd, lay_out, set_aside
from overslab.shots.records import Suspect
from overslab.shots.slips import Slip, likely_slips
from overslab.shots.wording import Wording, listed

Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]

# Readings shot twice: Baarda's usual test. Floor shots are tested together, so that a clean floor
# raises a false alarm about once in a hundred surveys, whatever the number of shots.
REPEAT_SIGNIFICANCE = 0.001
FLOOR_SIGNIFICANCE = 0.01
_MOST = 50  # a book with more suspects than this is told so and no longer searched
_MOST_SHARE = 0.2
_SURFACES = ("floor", "drive", "asbuilt")
_AGREES = baarda_critical(significance=0.01)


@dataclass(frozen=True, slots=True)
class Search:
    suspects: tuple[Suspect, ...]
    remarks: tuple[Remark, ...]
    cleaned: Adjustment  # without the repeats that do not fit, each bump a new set-up


@dataclass(frozen=True, slots=True)
class _Doubt:
    reading: int
    misfit_m: float  # reading less the reading that would fit
    deviation_m: float
    how: str


def find_suspects(book: Book, bumps: tuple[Moved, ...]) -> Search:
    """Gross errors by repeats, check shots and neighbours; the largest score first."""
    parted = split_at(book, bumps)

    def fit(use: Bools) -> Adjustment:
        return adjust(
            setup_of=parted.setup_of,
            point_of=parted.point_of,
            reading_m=parted.reading_m,
            deviation_m=parted.deviation_m,
            known_m=parted.known_m,
            setups=len(parted.setups),
            use=use,
        )

    outliers, use = snoop(
        fit=fit,
        deviation_m=parted.deviation_m,
        critical=baarda_critical(significance=REPEAT_SIGNIFICANCE),
        most=_MOST,
    )
    cleaned = fit(use)
    doubts: list[_Doubt] = []
    remarks: list[Remark] = []
    for moved in bumps:
        doubts += _misread_check(parted, cleaned, moved)
    odd, settled, crowded = _odd_on_surfaces(parted, cleaned, outliers, use, bumps)
    for place, outlier in enumerate(outliers):
        chosen = settled.get(place, range(len(outlier.readings)))
        doubts += [
            _Doubt(
                outlier.readings[one],
                outlier.misfit_m[one],
                outlier.deviation_m[one],
                "check shot" if _is_check(book, outlier.readings[one]) else "repeat",
            )
            for one in chosen
        ]
        if len(list(chosen)) > 1:
            lines = listed(sorted(book.readings[i].line for i in outlier.readings))
            remarks.append(
                Remark("ask", f"Lines {lines} do not agree, and the book cannot tell which is off.")
            )
    doubts += odd
    if len(outliers) == _MOST or crowded:
        remarks.append(
            Remark(
                "warn",
                "So many readings do not fit that the search was ended. Is the rod's convention"
                " right, are the places right, or is this more than one floor?",
            )
        )
    doubts.sort(key=lambda doubt: -abs(doubt.misfit_m / doubt.deviation_m))
    put = [_put(parted, cleaned, doubt) for doubt in doubts]
    suspects = tuple(suspect for suspect, _ in put)
    return Search(suspects, (*remarks, *(question for _, question in put)), cleaned)


def _is_check(book: Book, reading: int) -> bool:
    spot = book.spots[book.point_of[reading]]
    return spot.kind in ("benchmark", "check") or book.readings[reading].kind == "check"


def _slips(book: Book, cleaned: Adjustment, doubt: _Doubt) -> tuple[Slip, ...]:
    reading = book.readings[doubt.reading]
    own = cleaned.instrument_m[book.setup_of[doubt.reading]]
    return likely_slips(
        reading_m=reading.reading_m,
        typed=reading.typed,
        convention=book.survey.convention,
        fits_m=reading.reading_m - doubt.misfit_m,
        deviation_m=doubt.deviation_m,
        shift_to_setup_m={
            name: float(own - cleaned.instrument_m[place])
            for place, name in enumerate(book.setups)
            if name != reading.setup
        },
    )


def _misread_check(book: Book, cleaned: Adjustment, moved: Moved) -> Iterator[_Doubt]:
    """A lone check shot that a known slip explains may be misread, and the laser never moved."""
    for lone in moved.lone:
        shift = moved.bump.shift_m if lone >= moved.first_after else -moved.bump.shift_m
        doubt = _Doubt(lone, shift, moved.deviation_m, "check shot")
        if _slips(book, cleaned, doubt):
            yield doubt


def _odd_on_surfaces(
    book: Book,
    cleaned: Adjustment,
    outliers: tuple[Outlier, ...],
    use: Bools,
    bumps: tuple[Moved, ...],
) -> tuple[list[_Doubt], dict[int, list[int]], bool]:
    """Shots that stand off their neighbours; which of unlike repeats is off; whether too many."""
    points = len(book.spots)
    weight = np.bincount(
        book.point_of, np.where(use, book.deviation_m**-2.0, 0.0), minlength=points
    )
    times = np.bincount(book.point_of, use, minlength=points)
    unsure = {
        int(book.point_of[outlier.readings[0]]): place
        for place, outlier in enumerate(outliers)
        if len(outlier.readings) > 1 and len(set(book.point_of[list(outlier.readings)])) == 1
    }
    doubts: list[_Doubt] = []
    settled: dict[int, list[int]] = {}
    crowded = False
    for mine in _surfaces(book):
        floor = lay_out(
            xy_m=np.array(
                [(book.spots[i].x_m, book.spots[i].y_m) for i in mine], dtype=np.float64
            ).reshape(-1, 2),
            height_m=cleaned.height_m[mine],
            deviation_m=np.asarray(weight[mine] ** -0.5, dtype=np.float64),
        )
        if floor is None:
            continue
        middle = float(np.median(cleaned.height_m[mine]))
        trusted = times[mine] > 1
        for shot, point in enumerate(mine):
            if int(point) in unsure:
                trusted[shot] = True
                level, deviation = set_aside(floor, shot)
                place = unsure[int(point)]
                off = _off_the_floor(book, cleaned, outliers[place], level + middle, deviation)
                if off:
                    settled[place] = off
        most = min(_MOST, max(1, int(_MOST_SHARE * mine.size)))
        found, ended = find_odd(floor, significance=FLOOR_SIGNIFICANCE, most=most, trusted=trusted)
        crowded |= ended
        for odd in found:
            reading = int(np.flatnonzero((book.point_of == mine[odd.shot]) & use)[0])
            # A shot that is too high was read too short.
            doubt = _Doubt(reading, -odd.misfit_m, odd.deviation_m, "neighbours")
            if not _came_after(doubt, bumps):
                doubts.append(doubt)
    return doubts, settled, crowded


def _surfaces(book: Book) -> Iterator[Ints]:
    """Points that lie on one surface: those of one kind, each ring shot for itself apart."""
    for kind in _SURFACES:
        mine = np.array([i for i, s in enumerate(book.spots) if s.kind == kind], dtype=np.int64)
        xy_m = np.array([(book.spots[i].x_m, book.spots[i].y_m) for i in mine], dtype=np.float64)
        for ring in book.survey.apart if mine.size else ():
            within = shapely.intersects_xy(shapely.Polygon(ring), *xy_m.T)
            yield mine[within]
            mine, xy_m = mine[~within], xy_m[~within]
        yield mine


def _off_the_floor(
    book: Book, cleaned: Adjustment, outlier: Outlier, level_m: float, deviation_m: float
) -> list[int]:
    """Which of a point's unlike readings the floor round it speaks against; none if it cannot."""
    off = []
    for reading in outlier.readings:
        height = cleaned.instrument_m[book.setup_of[reading]] - book.reading_m[reading]
        noise = float(np.hypot(deviation_m, book.deviation_m[reading]))
        off.append(abs(float(height) - level_m) / noise)
    against = [one for one, score in enumerate(off) if score > _AGREES]
    return against if len(against) < len(off) and min(off) < _AGREES / 2 else []


def _came_after(doubt: _Doubt, bumps: tuple[Moved, ...]) -> bool:
    """Shot between the last good check and the first bad one, and off by just the move."""
    return any(
        doubt.reading in moved.between
        and abs(doubt.misfit_m - moved.bump.shift_m)
        <= _AGREES * np.hypot(doubt.deviation_m, moved.deviation_m)
        for moved in bumps
    )


def _put(book: Book, cleaned: Adjustment, doubt: _Doubt) -> tuple[Suspect, Remark]:
    """The suspect, and the question it puts to a person."""
    words = Wording(book.survey.convention)
    reading = book.readings[doubt.reading]
    slips = _slips(book, cleaned, doubt)
    fits_m = reading.reading_m - doubt.misfit_m
    suspect = Suspect(
        line=reading.line,
        point=reading.point,
        setup=reading.setup,
        reading_m=reading.reading_m,
        misfit_m=doubt.misfit_m,
        score=doubt.misfit_m / doubt.deviation_m,
        slip=slips[0].says if slips else "",
        fits_m=fits_m,
        suggested_m=slips[0].reading_m if slips else None,
        how=doubt.how,
    )
    others = "the floor round it" if doubt.how == "neighbours" else "the other shots on it"
    told = (
        f"Line {reading.line}, point {reading.point}: "
        f"{reading.typed or words.reading(reading.reading_m)} is {words.misfit(doubt.misfit_m)} "
        f"{'more' if doubt.misfit_m > 0 else 'less'} than {others} would have it "
        f"({words.reading(fits_m)})."
    )
    for start, slip in zip((" Likeliest slip", " Or"), slips, strict=False):
        told += f"{start}: {slip.says}; {words.reading(slip.reading_m)} would fit."
    return suspect, Remark("ask", f"{told} Is it right? It was left in.")
