"""What the rooms of the old floor answer: shots, old slab, verdict; no money stands in it."""

from __future__ import annotations

from overslab.faces.documents.verdict_sheet import ruling_words, written
from overslab.faces.documents.words import counted
from overslab.faces.web.rooms.numbers import (
    Book,
    check_lines,
    half_width,
    place,
    remarks,
    spread,
    table,
    taken,
)
from overslab.faces.web.rooms.views import CheckLine, Figure, Listed, RoomView, Rows
from overslab.ground.units import (
    write_angle,
    write_area,
    write_by_suffix,
    write_height,
    write_length,
    write_reading,
    write_share,
    write_slope,
    write_thickness,
    write_volume,
    write_water,
)
from overslab.job.records import Walk
from overslab.job.steps import STEPS
from overslab.verdict.records import Finding

_RODS = {
    "feet-inches": "feet, inches and fractions",
    "tenths": "feet, tenths and hundredths",
    "metric": "metres",
}


def question_of(room: str) -> str:
    return next(step.question for step in STEPS if step.room == room)


def shots_view(walk: Walk, book: Book) -> RoomView:
    """What did we measure, and how well?"""
    shots, units = walk.shots, walk.job.units
    readings = len(walk.job.survey.readings)
    worst = max((point.standard_error_m for point in shots.points), default=0.0)
    known = spread(half_width(worst), units)
    answer = (
        f"{counted(readings, 'reading', 'readings')} from "
        f"{counted(len(shots.setups), 'set-up', 'set-ups')} give "
        f"{counted(len(shots.points), 'point', 'points')}; the least sure height is known to "
        f"{known} either way."
    )
    doubted = len(shots.suspects)
    if doubted:
        answer += f" {counted(doubted, 'reading does', 'readings do')} not fit: ask."
    elif shots.bumps:
        answer += " The laser has moved: see below."
    else:
        answer += " Every reading fits."
    checks = [*shots.misclosures, *([shots.collimation] if shots.collimation else [])]
    figures = [
        book.figure(
            "One reading at the longest sight",
            spread(half_width(_deviation(book)), units),
            by=("shots", "reading_deviation", ""),
            how="Rounding of the rod, the rod itself and the laser, taken together.",
        ),
        book.figure(
            "Least sure height",
            known,
            by=("shots", "unit_weight_deviation", ""),
            how="The largest 95 in 100 interval of any height after all readings were adjusted "
            "together.",
        ),
    ]
    figures += [
        book.figure(
            f"Beam of set-up {one.setup}",
            write_height(one.instrument_m, units),
            give_or_take=spread(half_width(one.standard_error_m), units),
            by=("shots", "height_of_instrument", f"set-up {one.setup} "),
            how="Height of the benchmark and the reading on it, all readings adjusted together by "
            "least squares.",
        )
        for one in shots.setups
    ]
    return RoomView(
        room="shots",
        question=question_of("shots"),
        answer=answer,
        figures=tuple(figures),
        lists=tuple(Listed("The laser moved", (bump.says,), True) for bump in shots.bumps),
        tables=(*_suspects(walk), _heights(walk)),
        checks=check_lines(checks, units),
        remarks=remarks(shots.remarks),
        taken=taken(shots.assumptions),
    )


def _deviation(book: Book) -> float:
    found = [w.result.value for room, w in book.entries if w.formula == "reading_deviation"]
    return float(found[0]) if found else 0.0


def _suspects(walk: Walk) -> tuple[Rows, ...]:
    units = walk.job.units
    rows = [
        (
            one.point,
            one.setup,
            write_reading(one.reading_m, units),
            write_reading(one.fits_m, units),
            one.slip or "none explains it",
            "" if one.suggested_m is None else write_reading(one.suggested_m, units),
        )
        for one in walk.shots.suspects
    ]
    if not rows:
        return ()
    return (
        table(
            "Readings to ask about: none was changed or left out, a person decides",
            "point | set-up | #read | #would fit | likeliest slip | #after undoing it",
            rows,
            strong=tuple(range(len(rows))),
        ),
    )


def _heights(walk: Walk) -> Rows:
    units = walk.job.units
    rows = [
        (
            point.point,
            point.kind,
            write_height(point.height_m, units),
            spread(half_width(point.standard_error_m), units),
            str(point.readings),
            ", ".join(point.setups),
        )
        for point in walk.shots.points
    ]
    rod = _RODS[walk.shots.convention]
    return table(
        f"Every point after the adjustment; rod read in {rod}",
        "point | kind | #height | #give or take | #times read | set-ups",
        rows,
        folded=True,
    )


def oldslab_view(walk: Walk, book: Book) -> RoomView:
    """What lies there now, and where does water go?"""
    old, units = walk.oldslab, walk.job.units
    out_of_level = write_thickness(old.highest_m - old.lowest_m, units)
    answer = f"{write_area(old.area_m2, units)} of floor, {out_of_level} from high to low; "
    if old.low_spots:
        deepest = max(old.low_spots, key=lambda spot: spot.depth_m)
        answer += (
            f"water stands in {counted(len(old.low_spots), 'place', 'places')}, "
            f"{write_thickness(deepest.depth_m, units)} at the deepest."
        )
    else:
        answer += "no water stands on it."
    mean = old.mean_height_m
    figures: list[Figure] = [
        book.figure(
            "Mean height",
            write_height(mean.mean, units),
            give_or_take=spread(mean.plus_or_minus, units),
            by=("oldslab", "plus_or_minus", "mean height"),
            how="The mean of the surface through the shots, over the whole floor.",
        ),
        book.figure(
            "Highest",
            f"{write_height(old.highest_m, units)} at {place(old.highest_at, units)}",
            how="The highest place of the surface through the shots, looked for over the floor.",
        ),
        book.figure(
            "Lowest",
            f"{write_height(old.lowest_m, units)} at {place(old.lowest_at, units)}",
            how="The lowest place of the surface through the shots, looked for over the floor.",
        ),
    ]
    figures += [
        book.figure(
            f"Panel {panel.name} falls",
            write_slope(panel.fall, units),
            by=("oldslab", "resultant_fall", f"panel {panel.name}"),
            how="The steepest slope of the plane that fits the panel best.",
        )
        for panel in old.panels
    ]
    if old.next_shot is not None:
        shrinks = 1 - old.next_shot.deviation_then_m3 / old.next_shot.deviation_now_m3
        now = write_volume(half_width(old.next_shot.deviation_now_m3), units)
        figures.append(
            book.figure(
                "Best next shot",
                f"{place(old.next_shot.at, units)}: takes {write_share(shrinks)} off the "
                f"volume's give or take of {now}",
                by=("oldslab", "deviation_after_shot", ""),
                how="Of all places, the one whose height would tell most about the volume.",
            )
        )
    return RoomView(
        room="oldslab",
        question=question_of("oldslab"),
        answer=answer,
        figures=tuple(figures),
        tables=(*_water(walk), _panels(walk), *_steps(walk)),
        checks=check_lines([old.agreement], units),
        remarks=remarks(old.remarks),
        taken=taken(old.assumptions),
    )


def _water(walk: Walk) -> tuple[Rows, ...]:
    units = walk.job.units
    rows = [
        (
            place(spot.deepest, units),
            write_length(spot.depth_m, units),
            write_area(spot.area_m2, units),
            write_water(spot.volume_m3, units),
        )
        for spot in walk.oldslab.low_spots
    ]
    heads = "deepest at | #how deep | #area | #water"
    return (table("Where water stands", heads, rows),) if rows else ()


def _panels(walk: Walk) -> Rows:
    units = walk.job.units
    rows = [
        (
            panel.name,
            panel.kind,
            write_area(panel.area_m2, units),
            str(panel.shots),
            write_slope(panel.fall, units),
            write_angle(panel.falls_toward_deg, units),
        )
        for panel in walk.oldslab.panels
    ]
    heads = "panel | kind | #area | #shots | #falls | #toward"
    return table("Panels between breaks; toward: 0 is up the sheet, clockwise", heads, rows)


def _steps(walk: Walk) -> tuple[Rows, ...]:
    units = walk.job.units
    rows = [
        (
            step.break_name,
            place(step.at, units),
            write_length(step.step_m.mean, units),
            spread(step.step_m.plus_or_minus, units),
            "" if step.typed_m is None else write_length(step.typed_m, units),
        )
        for step in walk.oldslab.steps
    ]
    heads = "break | at | #step | #give or take | #by hand"
    return (table("Steps across breaks", heads, rows, folded=True),) if rows else ()


def verdict_view(walk: Walk, book: Book) -> RoomView:
    """May we pour over it, bonded or unbonded, and why?"""
    verdict, units = walk.verdict, walk.job.units
    thin = write_thickness(verdict.least_thickness_m, units)
    ruling = ruling_words(verdict)
    answer = f"{ruling[:1].upper()}{ruling[1:]}; at least {thin} everywhere."
    figures = [
        book.figure(
            "Least thickness",
            thin,
            how=f"What the owner's practice of {verdict.practice.date} asks of "
            f"{verdict.system or 'the thinner system'}, or what the owner wished.",
            source="the owner's practice, see Facts",
        )
    ]
    if verdict.added_weight_kg_per_m2 is not None:
        figures.append(
            book.figure(
                "Weight added where it is thinnest",
                write_by_suffix("added_kg_per_m2", verdict.added_weight_kg_per_m2, units),
                by=("verdict", "added_weight", ""),
                how="Thickness times the weight of concrete.",
            )
        )
    if verdict.hollows:
        figures.append(
            book.figure(
                "Sounds hollow",
                write_area(verdict.hollow_m2, units),
                how="The area of the outlines that were drawn on the plan, together.",
            )
        )
    lists = [
        Listed("For a licensed engineer", verdict.engineer),
        Listed("No drilling, sawing or chipping into the old slab", verdict.no_drilling),
        Listed("Put these right", verdict.put_right, True),
        Listed("The ruling leans on these turning out good", verdict.provided, True),
        Listed("Not known", () if verdict.provided else verdict.not_known, True),
        Listed("What would change the ruling", verdict.would_change),
    ]
    systems = [
        (room.system, "can be had" if room.allowed else "cannot be had", "; ".join(room.reasons))
        for room in verdict.systems
    ]
    return RoomView(
        room="verdict",
        question=question_of("verdict"),
        answer=answer,
        figures=tuple(figures),
        lists=tuple(one for one in lists if one.items),
        tables=(
            table("Bonded or unbonded", "system | | why", systems),
            _findings(walk),
        ),
        checks=_verdict_checks(walk),
        remarks=remarks(verdict.remarks),
        taken=taken(verdict.assumptions),
    )


def _findings(walk: Walk) -> Rows:
    found = walk.verdict.findings
    rows = [(_topic(one), one.says, one.weighs, one.remedy) for one in found]
    strong = tuple(place for place, one in enumerate(found) if one.weighs != "good")
    heads = "matter | what was found | weighs | what to do"
    return table("What was found", heads, rows, strong=strong)


def _topic(one: Finding) -> str:
    return one.topic if len(one.for_systems) > 1 else f"{one.topic} ({one.for_systems[0]})"


def _verdict_checks(walk: Walk) -> tuple[CheckLine, ...]:
    """Each number of a finding beside what the owner's practice allows."""
    lines = []
    for one in walk.verdict.findings:
        check = one.check
        if check is None:
            continue
        lines.append(
            CheckLine(
                name=f"{check.name}, {check.where}" if check.where else check.name,
                found=written(walk, check.quantity, check.found),
                allowed=f"{check.comparison} {written(walk, check.quantity, check.allowed)}",
                holds="holds" if check.passes else "does not hold",
                good=check.passes,
                source=check.source,
            )
        )
    return tuple(lines)
