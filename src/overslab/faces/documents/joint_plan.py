"""The sheet of the joints: old cracks in grey, planned joints in black, the plain grid beside."""

from __future__ import annotations

import shapely

from overslab.faces.documents.blocks import (
    Block,
    Bullets,
    Column,
    Facts,
    Figure,
    Heading,
    Para,
    Table,
)
from overslab.faces.documents.contours import straight_places
from overslab.faces.documents.drawing import GREY, PAPER, Drawing, Text
from overslab.faces.documents.labels import Box, Label, Place
from overslab.faces.documents.lettering import CAP_HEIGHT, width_mm
from overslab.faces.documents.paper import Layout, drawn
from overslab.faces.documents.plan_sheet import BODY, SMALL, PlanSheet, Room
from overslab.faces.documents.plan_start import bare_sheet, plan_sheet
from overslab.faces.documents.words import SAWING, assumption_line, counted
from overslab.ground.units import (
    write_area,
    write_by_suffix,
    write_length,
    write_share,
    write_thickness,
)
from overslab.handbook.checks import Check
from overslab.job.records import Walk
from overslab.takeoff import JointLayout, JointLine, JointPanel

_OLD = "contour-main"  # grey, and thinner than what is planned
_PLANNED = "ring"
_ISOLATION = "feature"
_ASIDE_MM = 1.1  # of the isolation strip inside the wall
_SMALL_ROOM = Room(120.0, 75.0)
_MADE = {
    "sawn": "sawn",
    "early-entry": "cut with an early-entry saw",
    "tooled": "tooled into the wet top",
}


def joint_plan(walk: Walk) -> Layout | None:
    """The joints as drawn, what each takes, and what was proven; None when none are asked for."""
    joints = None if walk.takeoff is None else walk.takeoff.joints
    if joints is None:
        return None
    warned = tuple(remark.text for remark in joints.remarks if remark.weight != "note")
    first = drawn(
        walk,
        lambda room: draw_joints(walk, joints, room),
        above=[Para(_told(walk, joints), "strong")],
        below=[Para(f"Mind: {text}", "mind") for text in warned],
        elsewhere="; every joint and panel is in the lists that follow",
    )
    blocks: list[Block] = [
        *first.blocks,
        Heading("Each joint", fresh_page=True),
        _lines(walk, joints),
        _depths(walk, joints),
        Heading("Proven, and the plain grid"),
        *_proof(walk, joints),
        Figure(draw_plain(walk, joints, _SMALL_ROOM)),
        Heading("Each panel"),
        _panels(walk, joints),
        Heading("Found and allowed, measured again on the drawing"),
        _checks(walk, joints.checks),
        Para("What the sources allow at the thinnest place", "strong"),
        Bullets(
            tuple(
                f"{limit.name}: {limit.bound} {write_length(limit.value, walk.job.units)} "
                f"({limit.source})"
                for limit in joints.published
            )
        ),
        Bullets(tuple(remark.text for remark in joints.remarks if remark.weight == "note")),
        Para(f"Mind: {SAWING}", "mind"),
        Para(assumption_line(walk, room="takeoff"), "small"),
    ]
    kept = tuple(block for block in blocks if not isinstance(block, Para) or block.text)
    return Layout(kept, first.landscape, first.drawing)


def _told(walk: Walk, joints: JointLayout) -> str:
    units = walk.job.units
    return (
        f"{counted(len(joints.lines), 'joint', 'joints')}, "
        f"{write_length(joints.length_m, units)} in all, {_MADE[joints.kind]}; "
        f"{counted(len(joints.panels), 'panel', 'panels')}. A plain grid takes "
        f"{write_length(joints.plain.length_m, units)} and {_breaks(joints)}."
    )


def _breaks(joints: JointLayout) -> str:
    broken = [check.name for check in joints.plain.checks if not check.passes]
    if not broken:
        return "keeps every rule as well"
    return f"breaks {counted(len(broken), 'rule', 'rules')}"


def draw_joints(walk: Walk, joints: JointLayout, room: Room) -> tuple[Drawing, list[Label]]:
    """Old cracks in grey, planned joints in black with their distance from the wall."""
    sheet = plan_sheet(
        walk,
        room,
        title=f"Joints, {walk.job.name}",
        told=f"Plan of the joints of the new top. {_told(walk, joints)}",
    )
    _old(sheet)
    _isolation(sheet, joints)
    for line in joints.lines:
        for part in line.parts:
            sheet.line("marks", part, pen=_PLANNED, kind="joint", name=line.name)
    for line in joints.lines:
        _tape(sheet, line)
        _line_label(sheet, line)
    for panel in joints.panels:
        _panel_number(sheet, panel)
    if joints.lines:
        sheet.key_line("planned joint, with its distance from the wall it is taped from", _PLANNED)
    if joints.isolation:
        sheet.key_line("soft strip, full depth: the new top stays apart", _ISOLATION)
    sheet.key("number of the panel", _panel_sample)
    return sheet.finish(), sheet.placer.left_out


def _old(sheet: PlanSheet) -> None:
    for line in sheet.walk.job.plan.breaks:
        sheet.line("contours", line.line, pen=_OLD, kind=f"old-{line.kind}", name=line.name)
        spots = sheet.view.spots(line.line)
        length = width_mm(line.name, size_mm=SMALL) + 2
        places = straight_places(spots, length=length, drop=-0.8)
        middle = shapely.LineString(spots).interpolate(0.5, normalized=True)
        sheet.placer.ask(
            Label(
                (line.name,),
                SMALL,
                places,
                "labels",
                8,
                "break-label",
                line.name,
                tone=GREY,
                target=(middle.x, middle.y),
            )
        )
    if sheet.walk.job.plan.breaks:
        sheet.key_line("old crack or joint: it may show again", _OLD)


def _isolation(sheet: PlanSheet, joints: JointLayout) -> None:
    floor = sheet.view.shape(sheet.floor)
    inner = floor.buffer(-_ASIDE_MM, join_style="mitre")
    for path in joints.isolation:
        # What lies just inside these walls, round posts just outside them.
        near = shapely.LineString(sheet.view.spots(path)).buffer(_ASIDE_MM * 1.5, cap_style="flat")
        for part in shapely.get_parts(shapely.line_merge(inner.boundary.intersection(near))):
            spots = [(float(x), float(y)) for x, y in shapely.get_coordinates(part)]
            sheet.drawing.line("floor", spots, pen=_ISOLATION, kind="isolation")


def _tape(sheet: PlanSheet, line: JointLine) -> None:
    """The tape from its wall; joints taped from one wall lie on one running dimension."""
    if line.taped_from is None or line.from_wall_m is None:
        return
    path = shapely.LineString(line.path)
    foot = shapely.Point(line.taped_from)
    met = path.interpolate(path.project(foot))
    a, b = sheet.view.spot(line.taped_from), sheet.view.spot((met.x, met.y))
    sheet.drawing.line("dimensions", [a, b], pen="dimension", kind="tape", name=line.name)
    long = max(1e-9, ((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5)
    along = ((b[0] - a[0]) / long, (b[1] - a[1]) / long)
    slant = ((along[0] - along[1]) * 0.85, (along[1] + along[0]) * 0.85)
    for x, y in (a, b):
        tick = [(x - slant[0], y - slant[1]), (x + slant[0], y + slant[1])]
        sheet.drawing.line("dimensions", tick, pen="tick", kind="tape")


def _line_label(sheet: PlanSheet, line: JointLine) -> None:
    spots = sheet.view.spots(line.path)
    words = _short(sheet.walk, line)
    length = width_mm(words, size_mm=BODY, bold=True) + 2
    places: tuple[Place, ...] = ()
    for drop in (-1.1, 1.1 + BODY * CAP_HEIGHT):
        places += straight_places(spots, length=length, drop=drop, most=12)
    middle = shapely.LineString(spots).interpolate(0.5, normalized=True)
    sheet.placer.ask(
        Label(
            (words,),
            BODY,
            places,
            "labels",
            2,
            "joint-label",
            line.name,
            bold=True,
            must=True,
            target=(middle.x, middle.y),
        )
    )


def _short(walk: Walk, line: JointLine) -> str:
    units = walk.job.units
    if line.over:
        return f"{line.name} over {line.over}, full depth"
    deep = f"{write_thickness(line.depth_m, units)} deep"
    if line.from_wall_m is None:
        return f"{line.name}, {deep}"
    return f"{line.name} at {write_length(line.from_wall_m, units)}, {deep}"


def _panel_number(sheet: PlanSheet, panel: JointPanel) -> None:
    spot = sheet.view.spot(panel.at)
    radius = 2.4
    sheet.drawing.circle("marks", spot, radius=radius, pen="dimension", fill=PAPER, kind="panel")
    sheet.placer.block(Box(spot, 2 * radius, 2 * radius))
    at = (spot[0], spot[1] + BODY * CAP_HEIGHT / 2)
    number = Text(panel.name, at, BODY, anchor="middle", halo=False, kind="panel-number")
    sheet.drawing.put("labels", number)


def _panel_sample(drawing: Drawing, x: float, y: float) -> None:
    drawing.circle("key", (x + 5, y), radius=2.0, pen="dimension", fill=PAPER)


def draw_plain(walk: Walk, joints: JointLayout, room: Room) -> Drawing:
    """The plain grid, small: equal panels, heedless of corners, posts, doors and old joints."""
    told = (
        f"A plain grid of {counted(joints.plain.panels, 'panel', 'panels')}, "
        f"{write_length(joints.plain.length_m, walk.job.units)} of joints."
    )
    sheet = bare_sheet(walk, room, title=f"Plain grid, {walk.job.name}", told=told)
    for line in walk.job.plan.breaks:
        sheet.line("contours", line.line, pen=_OLD, kind=f"old-{line.kind}", name=line.name)
    for path in joints.plain.lines:
        sheet.line("marks", path, pen="mark", kind="plain-joint")
    return sheet.finish()


def _lines(walk: Walk, joints: JointLayout) -> Table:
    units = walk.job.units
    return Table(
        (
            Column("", bold=True),
            Column("from the wall", "right"),
            Column("length", "right"),
            Column("top along it", "right"),
            Column("depth", "right"),
            Column("why here", share=1),
        ),
        tuple(
            (
                line.name,
                "" if line.from_wall_m is None else write_length(line.from_wall_m, units),
                write_length(line.length_m, units),
                f"{write_thickness(line.thinnest_m, units)} to "
                f"{write_thickness(line.thickest_m, units)}",
                write_thickness(line.depth_m, units),
                f"over {line.over}" if line.over else ", ".join(line.why) or "length of panels",
            )
            for line in joints.lines
        ),
        name="Taped square from the wall (or old joint) to the left of it or below it",
    )


def _depths(walk: Walk, joints: JointLayout) -> Facts:
    units = walk.job.units
    return Facts(
        tuple(
            (
                f"{write_thickness(one.depth_m, units)} deep",
                f"{write_length(one.length_m, units)} ({', '.join(one.lines)})",
            )
            for one in joints.depths
        ),
        size=9.0,
    )


def _proof(walk: Walk, joints: JointLayout) -> list[Block]:
    units, proof, plain = walk.job.units, joints.proof, joints.plain
    told = (
        f"Of {counted(proof.lines_considered, 'line', 'lines')} that could be cut, no choice that "
        f"keeps the {counted(proof.rules, 'rule', 'rules')} of length, shape, corners, posts and "
        f"doors takes less than {write_length(proof.bound_m, units)} beside what lies over old "
        f"joints; this one takes {write_length(proof.sought_m, units)}, "
        f"{write_share(proof.gap)} more. Lines and crossings together are {proof.fewest}, and "
        f"at this length no fewer than {proof.fewest_bound}."
    )
    broken = [check.name for check in plain.checks if not check.passes]
    grid = (
        f"The plain grid below has {counted(plain.panels, 'panel', 'panels')} and "
        f"{write_length(plain.length_m, units)} of joints. "
        + (f"Not met: {', '.join(broken)}." if broken else "It keeps every rule as well.")
    )
    return [Para(told), Para(grid)]


def _panels(walk: Walk, joints: JointLayout) -> Table:
    units = walk.job.units
    return Table(
        (
            Column("panel", "right", bold=True),
            Column("length", "right"),
            Column("width", "right"),
            Column("area", "right"),
            Column("thinnest", "right"),
            Column("longest side allowed", "right"),
        ),
        tuple(
            (
                panel.name,
                write_length(panel.length_m, units),
                write_length(panel.width_m, units),
                write_area(panel.area_m2, units),
                write_thickness(panel.thinnest_m, units),
                write_length(panel.allowed_m, units),
            )
            for panel in joints.panels
        ),
        size=8.0,
    )


def _checks(walk: Walk, checks: tuple[Check, ...]) -> Table:
    return Table(
        (
            Column("rule", share=1),
            Column("where", share=0.6),
            Column("found", "right"),
            Column("allowed", "right"),
            Column("holds"),
        ),
        tuple(
            (
                check.name,
                check.where,
                _figure(walk, check, check.found),
                f"{check.comparison} {_figure(walk, check, check.allowed)}",
                "yes" if check.passes else "NO",
            )
            for check in checks
        ),
        size=8.0,
        strong=tuple(row for row, check in enumerate(checks) if not check.passes),
    )


def _figure(walk: Walk, check: Check, value: float) -> str:
    if check.quantity == "aspect":
        return f"{value:.2f}"
    return write_by_suffix(check.quantity, value, walk.job.units)
