"""Sections: old floor and new top on one line, new concrete hatched, heights exaggerated."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from overslab.faces.documents.blocks import Para
from overslab.faces.documents.contours import levels_m, step_m
from overslab.faces.documents.cuts import Cut, cuts_of
from overslab.faces.documents.drawing import Drawing, Spot, Text
from overslab.faces.documents.hatching import hatch
from overslab.faces.documents.labels import Box, Label, Place, Placer
from overslab.faces.documents.lettering import CAP_HEIGHT, width_mm
from overslab.faces.documents.paper import Layout, drawn
from overslab.faces.documents.plan_sheet import BODY, LARGE, SMALL, Room
from overslab.faces.documents.scales import Scale, fitting_scale
from overslab.faces.documents.words import STRUCTURE, assumption_line
from overslab.ground.units import write_height, write_length, write_thickness
from overslab.job.records import Walk
from overslab.newtop.records import TopOption

Floats = NDArray[np.float64]
_EXAGGERATIONS = (20, 15, 10, 8, 6, 5, 4, 3, 2, 1)
_LEFT, _RIGHT = 24.0, 8.0  # room for heights and for the letter at the end
_HEAD, _FEET, _KEY = 13.0, 14.5, 7.0  # above the new line, below the old line, at the very foot
_COARSE = Scale(100, "")
_SAMPLE_MM = 0.4  # between the points of a line on the sheet
_TICKS_MM = 20.0


@dataclass(frozen=True, slots=True)
class _Profile:
    """One piece of a cut: distance from the cut's first end, old and new heights."""

    along_m: Floats
    old_m: Floats
    new_m: Floats


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where one section stands on the sheet."""

    left: float
    base_m: float
    base_y: float
    per_m: float
    rise_per_m: float

    def spot(self, along_m: float, height_m: float) -> Spot:
        return (
            self.left + along_m * self.per_m,
            self.base_y - (height_m - self.base_m) * self.rise_per_m,
        )


def sections(walk: Walk, top: TopOption) -> Layout:
    """The sheet of the sections."""
    return drawn(
        walk,
        lambda room: draw_sections(walk, top, room),
        above=[
            Para(
                "Old floor and new top cut through and laid over each other. Heights are drawn "
                "larger "
                "than lengths, so slopes look steeper than they are; the figures are true."
            )
        ],
        below=[
            Para(f"Mind: {STRUCTURE}", "mind"),
            Para(assumption_line(walk, room="newtop"), "small"),
        ],
        landscape=True,
    )


def draw_sections(
    walk: Walk, top: TopOption, room: Room, *, cuts: tuple[Cut, ...] = ()
) -> tuple[Drawing, list[Label]]:
    """Old floor and new top on one line, for each cut; none given: those of ``cuts_of``."""
    cuts = cuts or cuts_of(walk, top)
    longest = max(_length(cut) for cut in cuts)
    free = room.high - len(cuts) * (_HEAD + _FEET) - _KEY
    spans = [_span(_profiles(walk, top, cut, _COARSE)) for cut in cuts]
    total = sum(high - low for low, high in spans)
    scale = fitting_scale(
        longest,
        total,
        room_wide=room.wide - _LEFT - _RIGHT,
        room_high=free,
        system=walk.job.units.system,
        ruled=room.ruled,
    )
    profiles = [_profiles(walk, top, cut, scale) for cut in cuts]
    natural = total * 1000 / scale.ratio
    times = next((k for k in _EXAGGERATIONS if k * natural <= free), 1)
    told = "; ".join(f"section {cut.letter} through {cut.through}" for cut in cuts)
    drawing = Drawing(
        room.wide,
        room.high,
        f"Sections, {walk.job.name}",
        f"{told}. New top over old floor, heights drawn {times} times larger than lengths. "
        f"Thickness from {write_thickness(top.thinnest_m, walk.job.units)} to "
        f"{write_thickness(top.thickest_m, walk.job.units)}.",
    )
    for layer in ("hatching", "lines", "marks", "labels"):
        drawing.layers[layer] = []
    placer = Placer(Box((room.wide / 2, room.high / 2), room.wide, room.high))
    spare = max(0.0, free - times * natural) / len(cuts)
    y = 0.0
    for cut, pieces, (low, high) in zip(cuts, profiles, spans, strict=True):
        rise = times * 1000 / scale.ratio
        base = y + _HEAD + (high - low) * rise + spare / 2
        frame = _Frame(_LEFT, low, base, 1000 / scale.ratio, rise)
        _section(walk, drawing, placer, frame, cut, pieces, (low, high), scale, times)
        y += _HEAD + _FEET + (high - low) * rise + spare
    placer.settle(drawing)
    _key(drawing)
    return drawing, placer.left_out


def _key(drawing: Drawing) -> None:
    y, x = drawing.height - 2.5, 0.0
    new = shapely.box(x, y - 2.2, x + 10, y + 0.6)
    hatch(drawing, "labels", new, spacing=1.5, angle=45)
    drawing.line("labels", [(x, y - 2.2), (x + 10, y - 2.2)], pen="new")
    drawing.put("labels", Text("new concrete", (x + 12, y), BODY))
    x += 42
    hatch(
        drawing,
        "labels",
        shapely.box(x, y - 1, x + 10, y + 1.6),
        spacing=2.2,
        angle=-45,
        pen="old-hatch",
    )
    drawing.line("labels", [(x, y - 1), (x + 10, y - 1)], pen="old")
    drawing.put("labels", Text("old slab, drawn without its own thickness", (x + 12, y), BODY))


def _length(cut: Cut) -> float:
    return float(np.hypot(cut.b[0] - cut.a[0], cut.b[1] - cut.a[1]))


def _profiles(walk: Walk, top: TopOption, cut: Cut, scale: Scale) -> list[_Profile]:
    if top.surface is None:
        return []
    found = []
    start = np.array(cut.a)
    for first, last in cut.parts:
        a, b = np.array(first), np.array(last)
        length = float(np.hypot(*(b - a)))
        count = max(2, int(length * 1000 / scale.ratio / _SAMPLE_MM))
        # Stay a hair inside the ends so that every point lies on the floor.
        share = np.linspace(1e-4, 1 - 1e-4, count)[:, None]
        points = a + share * (b - a)
        along = np.hypot(*(points - start).T)
        found.append(
            _Profile(
                along,
                np.asarray(walk.oldslab.surface.height_m(points), dtype=float),
                np.asarray(top.surface.height_m(points), dtype=float),
            )
        )
    return found


def _span(pieces: list[_Profile]) -> tuple[float, float]:
    heights = np.concatenate([h for piece in pieces for h in (piece.old_m, piece.new_m)])
    return float(heights.min()), float(heights.max())


def _section(
    walk: Walk,
    drawing: Drawing,
    placer: Placer,
    frame: _Frame,
    cut: Cut,
    pieces: list[_Profile],
    span: tuple[float, float],
    scale: Scale,
    times: int,
) -> None:
    title = f"Section {cut.letter}–{cut.letter}, through {cut.through}"
    top_y = frame.spot(0, span[1])[1] - 10.5
    drawing.put("labels", Text(title, (0.0, top_y), LARGE, bold=True, kind="section-title"))
    said = _scale_words(scale, times)
    both = width_mm(title, size_mm=LARGE, bold=True) + width_mm(said, size_mm=BODY) + 4
    if both <= drawing.width:
        side = Text(said, (drawing.width, top_y), BODY, anchor="end", kind="exaggeration")
    else:
        side = Text(said, (0.0, top_y + 3.6), BODY, kind="exaggeration")
    drawing.put("labels", side)
    for piece in pieces:
        old = [frame.spot(s, z) for s, z in zip(piece.along_m, piece.old_m, strict=True)]
        new = [frame.spot(s, z) for s, z in zip(piece.along_m, piece.new_m, strict=True)]
        body = shapely.make_valid(shapely.Polygon([*new, *reversed(old)]))
        hatch(drawing, "hatching", body, spacing=1.5, angle=45, kind="new-concrete")
        under = shapely.make_valid(
            shapely.Polygon([*old, *((x, y + 2.6) for x, y in reversed(old))])
        )
        hatch(drawing, "hatching", under, spacing=2.2, angle=-45, pen="old-hatch", kind="old-slab")
        drawing.line("lines", _lean(old), pen="old", kind="old-floor")
        drawing.line("lines", _lean(new), pen="new", kind="new-top")
        for end in (0, -1):
            drawing.line("lines", [old[end], new[end]], pen="old")
        _thickness_ticks(walk, drawing, placer, frame, piece)
    _heights(walk, drawing, frame, span)
    _ends(walk, drawing, placer, frame, cut, pieces)
    _crossings(walk, drawing, placer, frame, cut, pieces)


def _scale_words(scale: Scale, times: int) -> str:
    if not scale.ruled:
        return f"heights {times} × larger than lengths" if times > 1 else "heights as lengths"
    return f"lengths {scale}; heights {times} × larger" if times > 1 else f"scale {scale}"


def _lean(points: list[Spot]) -> list[Spot]:
    line = shapely.simplify(shapely.LineString(points), 0.02)
    return [(float(x), float(y)) for x, y in line.coords]


def _thickness_ticks(
    walk: Walk, drawing: Drawing, placer: Placer, frame: _Frame, piece: _Profile
) -> None:
    wide = (piece.along_m[-1] - piece.along_m[0]) * frame.per_m
    count = max(2, int(wide / _TICKS_MM) + 1)
    inset = min(4.0, wide / 4) / frame.per_m
    for along in np.linspace(piece.along_m[0] + inset, piece.along_m[-1] - inset, count):
        old = float(np.interp(along, piece.along_m, piece.old_m))
        new = float(np.interp(along, piece.along_m, piece.new_m))
        foot, head = frame.spot(along, old), frame.spot(along, new)
        drawing.line("marks", [foot, head], pen="mark", kind="thickness")
        words = write_thickness(new - old, walk.job.units)
        place = Place((head[0], head[1] - 1.4), "middle")
        higher = Place((head[0], head[1] - 4.0), "middle")
        placer.ask(
            Label((words,), BODY, (place, higher), "labels", 2, "thickness-label", target=head)
        )


def _heights(walk: Walk, drawing: Drawing, frame: _Frame, span: tuple[float, float]) -> None:
    units = walk.job.units
    x = frame.left - 4
    low, high = frame.spot(0, span[0])[1], frame.spot(0, span[1])[1]
    drawing.line("marks", [(x, low + 1), (x, high - 1)], pen="dimension", kind="height-axis")
    most = max(1, int((low - high) / 2.8))
    step = step_m(np.array(span), most=most, system=units.system)
    for level in levels_m(np.array(span), step=step):
        y = frame.spot(0, level)[1]
        drawing.line("marks", [(x - 1.2, y), (x, y)], pen="mark")
        words = write_height(level, units)
        at = (x - 2, y + SMALL * CAP_HEIGHT / 2)
        drawing.put("labels", Text(words, at, SMALL, anchor="end", kind="height-label"))


def _ends(
    walk: Walk,
    drawing: Drawing,
    placer: Placer,
    frame: _Frame,
    cut: Cut,
    pieces: list[_Profile],
) -> None:
    """Letters, the length between the ends, and the name of a door at an end."""
    low = min(float(piece.old_m.min()) for piece in pieces)
    y = frame.spot(0, low)[1] + 9.5
    total = _length(cut)
    left, right = frame.spot(0, low)[0], frame.spot(total, low)[0]
    drawing.line("marks", [(left, y), (right, y)], pen="dimension", kind="dimension")
    for x in (left, right):
        drawing.line("marks", [(x - 0.9, y + 0.9), (x + 0.9, y - 0.9)], pen="tick")
        drawing.line("marks", [(x, y - 2), (x, y + 1)], pen="dimension")
    words = write_length(total, walk.job.units)
    spot = ((left + right) / 2, y + 3.2)
    drawing.put("labels", Text(words, spot, BODY, anchor="middle", kind="dimension-text"))
    placer.block(Box((spot[0], y + 2), 30, 4))
    for place, x in ((cut.a, left), (cut.b, right)):
        drawing.put("labels", Text(cut.letter, (x, y + 4.4), LARGE, anchor="middle", bold=True))
        placer.block(Box((x, y + 3.2), 4, 4))
        name = _door_at(walk, place)
        if name:
            near = pieces[0].old_m[0] if place == cut.a else pieces[-1].old_m[-1]
            foot = frame.spot(0, float(near))[1] + 6.6
            side = "start" if place == cut.a else "end"
            at = Place((x, foot), "start" if side == "start" else "end")
            lower = Place((x + (4 if place == cut.a else -4), y + 4), at.anchor)
            placer.ask(
                Label((name,), BODY, (at, lower), "labels", 1, "door-label", name, bold=True)
            )


def _door_at(walk: Walk, place: tuple[float, float]) -> str:
    for edge in walk.newtop.wishes.edges:
        if shapely.LineString([edge.a, edge.b]).distance(shapely.Point(place)) < 0.05:
            return edge.name
    return ""


def _crossings(
    walk: Walk,
    drawing: Drawing,
    placer: Placer,
    frame: _Frame,
    cut: Cut,
    pieces: list[_Profile],
) -> None:
    """Where a crack or joint is cut: its name under the old floor."""
    line = shapely.LineString([cut.a, cut.b])
    for broken in walk.job.plan.breaks:
        met = shapely.intersection(line, shapely.LineString(broken.line))
        for point in shapely.get_parts(met):
            if point.geom_type != "Point":
                continue
            along = float(np.hypot(point.x - cut.a[0], point.y - cut.a[1]))
            piece = next((p for p in pieces if p.along_m[0] <= along <= p.along_m[-1]), None)
            if piece is None:
                continue
            old = float(np.interp(along, piece.along_m, piece.old_m))
            x, y = frame.spot(along, old)
            drawing.line("marks", [(x, y), (x, y + 3.6)], pen="break", kind="break")
            near = Place((x, y + 6.2), "middle")
            places = (near, Place((x + 1, y + 6.2), "start"), Place((x - 1, y + 6.2), "end"))
            placer.ask(
                Label((broken.name,), SMALL, places, "labels", 3, "break-label", target=(x, y))
            )
