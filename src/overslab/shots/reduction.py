"""Readings to heights: what did we measure, and how well?"""

from __future__ import annotations

from math import sqrt

import numpy as np

from overslab.ground.notes import Remark
from overslab.handbook.adjustment import baarda_critical, unit_weight_deviation, unit_weight_limit
from overslab.handbook.instrument import reading_deviation, rounding_deviation
from overslab.handbook.levelling import height_from_reading, height_of_instrument
from overslab.handbook.working import Working, show
from overslab.shots.adjustment import Adjustment, adjust
from overslab.shots.book import Book, open_book
from overslab.shots.bumps import find_bumps
from overslab.shots.closure import check_beam, close
from overslab.shots.records import (
    FLOOR_KINDS,
    Heights,
    PointHeight,
    SetupHeight,
    Survey,
)
from overslab.shots.suspects import REPEAT_SIGNIFICANCE, find_suspects
from overslab.shots.wording import Wording, listed

_DISAGREEMENT = 0.995  # readings that scatter more than this share of sound surveys would


def reduce(survey: Survey) -> Heights:
    """Adjust a whole survey together and say how good it is.

    Every given benchmark height is held; all other heights and one height of instrument per set-up
    are found by weighted least squares. Suspect readings and bumps are told and never acted on.

    Raises ``Faulty`` with every fault of the book. Source: P. Wolf and C. Ghilani, Adjustment
    Computations, 4th ed. 2006, chapter 12; each formula is in the handbook's chapter on levelling.
    """
    book = open_book(survey)
    fit = adjust(
        setup_of=book.setup_of,
        point_of=book.point_of,
        reading_m=book.reading_m,
        deviation_m=book.deviation_m,
        known_m=book.known_m,
        setups=len(book.setups),
    )
    bumps = find_bumps(book)
    search = find_suspects(book, bumps)
    closures = close(book)
    rounding_m = rounding_deviation(step_m=survey.resolution_m)
    beam = check_beam(book, reading_deviation_m=sqrt(rounding_m**2 + survey.rod_deviation_m**2))
    workings = [*_workings(book, fit), *closures.workings]
    remarks = [
        *(Remark("ask", moved.bump.says) for moved in bumps),
        *search.remarks,
        *closures.remarks,
        *_scatter(search.cleaned),
        *_unused(book),
    ]
    if beam is not None:
        workings.append(beam[1])
        if not beam[0].passes:
            remarks.append(_tilted(book, beam[0].found))
    return Heights(
        points=_points(book, fit),
        covariance_m2=fit.covariance(),
        setups=_setups(book, fit),
        misclosures=closures.checks,
        variance_factor=fit.weighted_squares / fit.redundancy if fit.redundancy else None,
        redundancy=fit.redundancy,
        suspects=search.suspects,
        bumps=tuple(moved.bump for moved in bumps),
        collimation=None if beam is None else beam[0],
        convention=survey.convention,
        assumptions=(*book.assumptions, *closures.assumptions),
        remarks=tuple(remarks),
        workings=tuple(workings),
    )


def _points(book: Book, fit: Adjustment) -> tuple[PointHeight, ...]:
    shot: list[list[int]] = [[] for _ in book.spots]
    for reading, point in enumerate(book.point_of):
        shot[point].append(reading)
    return tuple(
        PointHeight(
            point=spot.name,
            kind=spot.kind,
            x_m=spot.x_m,
            y_m=spot.y_m,
            height_m=float(fit.height_m[place]),
            standard_error_m=float(np.sqrt(fit.variance_m2[place])),
            readings=len(shot[place]),
            setups=tuple(dict.fromkeys(book.readings[i].setup for i in shot[place])),
            lines=tuple(book.readings[i].line for i in shot[place]),
        )
        for place, spot in enumerate(book.spots)
    )


def _setups(book: Book, fit: Adjustment) -> tuple[SetupHeight, ...]:
    rank = {mark.name: place for place, mark in enumerate(book.survey.benchmarks)}
    on_marks: list[dict[str, list[float]]] = [{} for _ in book.setups]
    for reading, setup in zip(book.readings, book.setup_of, strict=True):
        if reading.point in rank:
            on_marks[setup].setdefault(reading.point, []).append(reading.reading_m)
    made = []
    for place, name in enumerate(book.setups):
        seen = on_marks[place]
        first = min(seen, key=lambda mark: rank[mark], default=None)
        made.append(
            SetupHeight(
                setup=name,
                instrument_m=float(fit.instrument_m[place]),
                standard_error_m=float(np.sqrt(fit.instrument_variance_m2[place])),
                benchmark_reading_m=None if first is None else float(np.mean(seen[first])),
            )
        )
    return tuple(made)


def _scatter(cleaned: Adjustment) -> list[Remark]:
    """The global test, once the suspects are left out."""
    if cleaned.redundancy < 1:
        return []
    found = sqrt(cleaned.weighted_squares / cleaned.redundancy)
    limit = unit_weight_limit(probability=_DISAGREEMENT, redundancy=cleaned.redundancy)
    if found <= limit:
        return []
    return [
        Remark(
            "warn",
            f"Points shot again differ {found:.1f} times as much as the rod and the laser should"
            f" let them ({limit:.1f} times would pass). The plus-or-minus of every height is"
            " too small by about as much: put down a bigger deviation of a rod reading.",
        )
    ]


def _unused(book: Book) -> list[Remark]:
    read = {reading.point for reading in book.readings}
    marks = [mark.name for mark in book.survey.benchmarks if mark.name not in read]
    stands = [stand.setup for stand in book.survey.stands if stand.setup not in book.setups]
    remarks = []
    if marks:
        remarks.append(Remark("note", f"Benchmark {listed(marks)} was never read."))
    if stands:
        remarks.append(Remark("note", f"A stand is given for set-up {listed(stands)}, never used."))
    return remarks


def _tilted(book: Book, slope: float) -> Remark:
    words = Wording(book.survey.convention)
    return Remark(
        "warn",
        f"The two-stand check fails: at the longest sight, {words.misfit(book.longest_sight_m)},"
        f" the beam may be off by {words.misfit(slope * book.longest_sight_m)}. A tilted beam makes"
        " a level floor look sloped. Have the laser set right, and shoot again.",
    )


def _workings(book: Book, fit: Adjustment) -> list[Working]:
    """The sums of one height, from rod to plus-or-minus, and of the tests."""
    survey = book.survey
    sights = [i for i, point in enumerate(book.point_of) if np.isfinite(book.known_m[point])]
    on_mark = sights[0]
    rounding_m, rounding = show(
        rounding_deviation, about="rounding of one rod reading", step_m=survey.resolution_m
    )
    _, longest = show(
        reading_deviation,
        about="one reading at the longest sight",
        rounding_m=rounding_m,
        rod_deviation_m=survey.rod_deviation_m,
        laser_slope=survey.laser_slope,
        distance_m=book.longest_sight_m,
    )
    _, instrument = show(
        height_of_instrument,
        about=f"set-up {book.readings[on_mark].setup} from line {book.readings[on_mark].line}, "
        "before all readings were adjusted together",
        benchmark_height_m=float(book.known_m[book.point_of[on_mark]]),
        backsight_m=book.readings[on_mark].reading_m,
    )
    shot = next(i for i, reading in enumerate(book.readings) if reading.kind in FLOOR_KINDS)
    _, height = show(
        height_from_reading,
        about=f"point {book.readings[shot].point} from line {book.readings[shot].line}, "
        "adjusted height of instrument",
        instrument_m=float(fit.instrument_m[book.setup_of[shot]]),
        foresight_m=book.readings[shot].reading_m,
    )
    _, critical = show(
        baarda_critical, about="limit for readings shot twice", significance=REPEAT_SIGNIFICANCE
    )
    workings = [rounding, longest, instrument, height, critical]
    if fit.redundancy:
        _, scatter = show(
            unit_weight_deviation,
            about="scatter of all readings, 1 as expected",
            weighted_squares=fit.weighted_squares,
            readings=book.reading_m.size,
            unknowns=book.reading_m.size - fit.redundancy,
        )
        workings.append(scatter)
    return workings
