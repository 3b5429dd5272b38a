"""The sheet of what is laid before the pour: strip at walls and posts, sheet, forms, bulkheads."""

from __future__ import annotations

import shapely

from overslab.faces.documents.blocks import Block, Bullets, Column, Heading, Para, Table
from overslab.faces.documents.contours import straight_places
from overslab.faces.documents.drawing import GREY, Drawing, Spot
from overslab.faces.documents.labels import Label, Place
from overslab.faces.documents.lettering import CAP_HEIGHT, width_mm
from overslab.faces.documents.paper import Layout, drawn
from overslab.faces.documents.plan_sheet import BODY, SMALL, PlanSheet, Room
from overslab.faces.documents.plan_start import plan_sheet
from overslab.faces.documents.words import assumption_line, counted
from overslab.ground.units import write_area, write_length, write_thickness
from overslab.job.records import Walk
from overslab.takeoff.records import FormRun, IsolationRun, SheetLayout, Takeoff

_STRIP, _SHEET, _BOARD, _BULKHEAD = "feature", "contour-main", "new", "cut"
_ASIDE_MM = 1.2  # strip inside its wall, board outside its edge
_NAMES = {"edge": "form board", "bulkhead": "bulkhead", "held ready": "bulkhead, held ready"}


def has_laying(walk: Walk) -> bool:
    """Whether anything on this sheet was asked for."""
    takeoff = walk.takeoff
    if takeoff is None:
        return False
    return not (takeoff.isolation is None and takeoff.sheet is None and takeoff.forms is None)


def laying_plan(walk: Walk) -> Layout | None:
    """The plan with its lists; None when none of it is asked for."""
    takeoff = walk.takeoff
    if takeoff is None or not has_laying(walk):
        return None
    first = drawn(
        walk,
        lambda room: draw_laying(walk, takeoff, room),
        above=[Para(_told(walk, takeoff), "strong")],
        elsewhere="; every run is in the lists that follow",
    )
    blocks: list[Block] = [*first.blocks]
    if takeoff.isolation is not None:
        blocks += [Heading("Strip", fresh_page=True), _strip_table(walk, takeoff.isolation.runs)]
    if takeoff.sheet is not None:
        blocks += [Heading("Courses of sheet"), *_courses(walk, takeoff.sheet)]
    if takeoff.forms is not None and takeoff.forms.runs:
        blocks += [Heading("Boards and bulkheads"), _form_table(walk, takeoff.forms.runs)]
    parts = (takeoff.isolation, takeoff.sheet, takeoff.forms)
    told = tuple(remark.text for part in parts if part is not None for remark in part.remarks)
    blocks += [Bullets(told)] if told else []
    blocks.append(Para(assumption_line(walk, room="takeoff"), "small"))
    kept = tuple(block for block in blocks if not isinstance(block, Para) or block.text)
    return Layout(kept, first.landscape, first.drawing)


def _told(walk: Walk, takeoff: Takeoff) -> str:
    units, said = walk.job.units, []
    if takeoff.isolation is not None:
        along_m = sum(run.length_m for run in takeoff.isolation.runs)
        said.append(f"{write_length(along_m, units)} of strip")
    if takeoff.sheet is not None:
        courses = counted(len(takeoff.sheet.courses), "course", "courses")
        said.append(f"sheet in {courses}, {write_length(takeoff.sheet.laps_m, units)} of laps")
    if takeoff.forms is not None:
        for kind, name in _NAMES.items():
            long_m = sum(run.length_m for run in takeoff.forms.runs if run.kind == kind)
            said += [f"{write_length(long_m, units)} of {name}"] if long_m else []
    return f"{'; '.join(said) or 'Nothing is laid'}."


def draw_laying(walk: Walk, takeoff: Takeoff, room: Room) -> tuple[Drawing, list[Label]]:
    """Strip with its height, courses by number, boards and bulkheads."""
    told = f"Plan of what is laid before the pour. {_told(walk, takeoff)}"
    sheet = plan_sheet(walk, room, title=f"Before the pour, {walk.job.name}", told=told)
    for number, course in enumerate(takeoff.sheet.courses if takeoff.sheet else (), start=1):
        _course(sheet, str(number), shapely.Polygon(course.corners))
    for run in takeoff.isolation.runs if takeoff.isolation else ():
        _strip(sheet, run)
    for form in takeoff.forms.runs if takeoff.forms else ():
        _form(sheet, form)
    return sheet.finish(), sheet.placer.left_out


def _course(sheet: PlanSheet, number: str, course: shapely.Polygon) -> None:
    """The edges of a course where it lies on the floor; two lines side by side are a lap."""
    floor = shapely.Polygon(sheet.walk.job.plan.outline)
    edges = course.exterior.intersection(floor.buffer(-0.01))
    for part in shapely.get_parts(shapely.line_merge(edges)):
        if part.length > 0.0:
            sheet.line("contours", part.coords, pen=_SHEET, kind="course", name=number)
    middle = sheet.view.shape(course.intersection(floor)).representative_point()
    places = tuple(
        Place((middle.x + off, middle.y + BODY * CAP_HEIGHT / 2)) for off in (0.0, 9.0, -9.0, 20.0)
    )
    name = f"course {number}"
    sheet.placer.ask(Label((name,), BODY, places, "labels", 9, "course-label", number, tone=GREY))
    sheet.key_line("edge of a course of sheet; two side by side are a lap", _SHEET)


def _strip(sheet: PlanSheet, run: IsolationRun) -> None:
    spots = _aside(sheet, run.line, inside=True)
    sheet.drawing.line("marks", spots, pen=_STRIP, kind="isolation", name=run.name)
    words = f"{write_length(run.strip_m, sheet.units)} strip"
    _label(sheet, spots, words, name=run.name, rank=6)
    sheet.key_line("soft strip, full depth, with its height", _STRIP)


def _form(sheet: PlanSheet, run: FormRun) -> None:
    edge = run.kind == "edge"
    spots = _aside(sheet, run.line, inside=False) if edge else sheet.view.spots(run.line)
    pen = _BOARD if edge else _BULKHEAD
    sheet.drawing.line("marks", spots, pen=pen, kind=run.kind.replace(" ", "-"), name=run.name)
    words = f"{write_thickness(run.height_m, sheet.units)} {_NAMES[run.kind]}"
    _label(sheet, spots, words, name=run.name, rank=4)
    sheet.key_line("form board, as high as told" if edge else "bulkhead, as high as told", pen)


def _aside(sheet: PlanSheet, line: tuple[Spot, ...], *, inside: bool) -> list[Spot]:
    """The line drawn a little beside where it lies, so that both are seen."""
    path = shapely.LineString(sheet.view.spots(line))
    if path.is_closed:
        round_it = shapely.Polygon(path).buffer(_ASIDE_MM, join_style="mitre").exterior
        return [(float(x), float(y)) for x, y in round_it.coords]
    floor = sheet.view.shape(sheet.floor)
    for off in (_ASIDE_MM, -_ASIDE_MM):
        beside = path.offset_curve(off)
        if floor.contains(beside.interpolate(0.5, normalized=True)) == inside:
            return [(float(x), float(y)) for x, y in beside.coords]
    return [(float(x), float(y)) for x, y in path.coords]


def _label(sheet: PlanSheet, spots: list[Spot], words: str, *, name: str, rank: int) -> None:
    places: tuple[Place, ...] = ()
    for drop in (-1.0, 1.0 + SMALL * CAP_HEIGHT):
        places += straight_places(spots, length=width_mm(words, size_mm=SMALL) + 2, drop=drop)
    middle = shapely.LineString(spots).interpolate(0.5, normalized=True)
    at = (float(middle.x), float(middle.y))
    sheet.placer.ask(Label((words,), SMALL, places, "labels", rank, "run-label", name, target=at))


def _strip_table(walk: Walk, runs: tuple[IsolationRun, ...]) -> Table:
    units = walk.job.units
    return Table(
        (
            Column("along", share=1),
            Column("length", "right"),
            Column("new slab there, at most", "right"),
            Column("strip", "right", bold=True),
        ),
        tuple(
            (
                run.name,
                write_length(run.length_m, units),
                write_thickness(run.height_m, units),
                write_length(run.strip_m, units),
            )
            for run in runs
        ),
    )


def _courses(walk: Walk, sheet: SheetLayout) -> list[Block]:
    units = walk.job.units
    rows = tuple(
        (str(number), write_length(course.length_m, units))
        for number, course in enumerate(sheet.courses, start=1)
    )
    turned_up = (
        f" {write_area(sheet.upturn_m2, units)} of it is turned up at the walls."
        if sheet.upturn_m2
        else ""
    )
    return [
        Table((Column("course", "right"), Column("cut off the roll", "right", bold=True)), rows),
        Para(f"Lengths of one layer, end laps not in them.{turned_up}", "small"),
    ]


def _form_table(walk: Walk, runs: tuple[FormRun, ...]) -> Table:
    units = walk.job.units
    return Table(
        (
            Column("where", share=1),
            Column("what", share=1),
            Column("length", "right"),
            Column("new slab there, at most", "right", bold=True),
        ),
        tuple(
            (
                run.name,
                _NAMES[run.kind],
                write_length(run.length_m, units),
                write_thickness(run.height_m, units),
            )
            for run in runs
        ),
    )
