"""Boards on open edges, and bulkheads where a day of pouring ends or may have to."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from itertools import accumulate, pairwise
from math import ceil

import shapely
from shapely.geometry.base import BaseGeometry

from overslab.ground.notes import Remark
from overslab.ground.units import Units, write_thickness
from overslab.newtop.records import Strip
from overslab.takeoff.asked import FormsAsked
from overslab.takeoff.cutting import cut_off, pick_height
from overslab.takeoff.items import Item, work
from overslab.takeoff.place import Place
from overslab.takeoff.records import FormLayout, FormRun

_SHORTEST_M = 0.05
_SEAM_M = 1e-4  # strips drawn side by side share their line but for rounding


def set_forms(place: Place, asked: FormsAsked, *, units: Units) -> FormLayout:
    """Boards as high as the slab is thick along them; bulkheads at the seams of strips."""
    edges = [
        FormRun(one.name, "edge", (one.a, one.b), one.length_m, place.greatest_m(one.line))
        for one in place.open_edges()
    ]
    bulkheads, remarks = _bulkheads(place, asked)
    items: list[Item] = []
    stacked: list[str] = []
    groups = (("form-board", "form board", edges), ("bulkhead-board", "bulkhead board", bulkheads))
    for code, what, runs in groups:
        found, over = _boards(code, what, runs, asked)
        items += found
        stacked += (f"{run.name} ({write_thickness(run.height_m, units)})" for run in over)
    stakes = sum(ceil(run.length_m / asked.stake_spacing_m - 1e-9) + 1 for run in edges + bulkheads)
    if stakes:
        items.append(
            Item(
                code="stake",
                what="stake",
                kind="material",
                quantity="count",
                net=float(stakes),
                gross=float(stakes),
                order_unit="stake",
                ordered=float(stakes),
                why="Along every board and bulkhead at the spacing you gave, one more at its end.",
                unit_holds=1.0,
            )
        )
    edge_m = sum(run.length_m for run in edges)
    bulkhead_m = sum(run.length_m for run in bulkheads)
    if edge_m:
        items.append(work("set-forms", "set forms", "length_m", edge_m, "All open edges."))
    if bulkhead_m:
        why = "Where a day of pouring ends, and one held ready."
        items.append(work("set-bulkheads", "set bulkheads", "length_m", bulkhead_m, why))
    if edge_m + bulkhead_m:
        why = "Boards and bulkheads."
        items.append(work("strip-forms", "strip forms", "length_m", edge_m + bulkhead_m, why))
    if stacked:
        remarks.append(
            Remark(
                "warn",
                f"No board is as high as the slab is thick at {', '.join(stacked)}: two are "
                "counted there, one over the other. Ask for a higher one.",
            )
        )
    doors = [edge.name for edge in place.newtop.wishes.edges if edge.kind in ("door", "apron")]
    if doors:
        remarks.append(
            Remark(
                "note",
                f"At {', '.join(doors)} the new slab is taken as cast against the sill; where none "
                "stands as high as the slab, a board across the opening comes on top.",
            )
        )
    return FormLayout(items=tuple(items), remarks=tuple(remarks), runs=(*edges, *bulkheads))


def _boards(
    code: str, what: str, runs: Sequence[FormRun], asked: FormsAsked
) -> tuple[list[Item], list[FormRun]]:
    """Boards by height; without heights they are ripped to the thickness and one line."""
    by_height: dict[float | None, list[float]] = defaultdict(list)
    stacked = []
    for run in runs:
        height_m, courses = None, 1
        if asked.heights_m:
            height_m, courses = pick_height(run.height_m, asked.heights_m)
        by_height[height_m] += [run.length_m] * courses
        if courses > 1:
            stacked.append(run)
    items = []
    for height_m, lengths_m in sorted(by_height.items(), key=lambda one: one[0] or 0.0):
        cut = cut_off(lengths_m, stock_m=asked.board_length_m)
        items.append(
            Item(
                code=code,
                what=what,
                kind="material",
                quantity="length_m",
                net=sum(lengths_m),
                gross=cut.used_m,
                order_unit="board",
                ordered=float(cut.rolls),
                why="Length of the edges as drawn, as high as the slab is thick there; what is cut "
                "off goes on to the next."
                if code == "form-board"
                else "Length of the seams between strips where a day ends, and of the longest one "
                "to be held ready where the pour may have to stop.",
                unit_holds=asked.board_length_m,
                size_m=height_m,
            )
        )
    return items, stacked


def _bulkheads(place: Place, asked: FormsAsked) -> tuple[list[FormRun], list[Remark]]:
    """After the strips that end a day, and at the longest seam of all the others."""
    strips = place.newtop.strips
    known = {strip.name for strip in strips}
    unknown = [name for name in asked.day_ends if name not in known]
    remarks = []
    if unknown:
        remarks.append(
            Remark(
                "ask",
                f"[forms] ends a day after {', '.join(unknown)}, and there is no strip of that "
                f"name; the strips are {', '.join(strip.name for strip in strips) or 'none'}.",
            )
        )
    runs: list[FormRun] = []
    seams = _seams(strips)
    for strip, seam in zip(strips, seams, strict=False):
        if strip.name in asked.day_ends:
            name = f"after {strip.name}"
            runs += _runs(place, seam, name=name, kind="bulkhead")
    if asked.bulkheads:
        others = [
            (seam.length, strip.name, seam)
            for strip, seam in zip(strips, seams, strict=False)
            if strip.name not in asked.day_ends and seam.length > _SHORTEST_M
        ]
        if others:
            _, name, seam = max(others, key=lambda one: one[0])
            runs += _runs(place, seam, name=f"held ready, after {name}", kind="held ready")
    return runs, remarks


def _seams(strips: Sequence[Strip]) -> list[BaseGeometry]:
    """After each strip but the last: the line between what is poured and what is not."""
    shapes = [shapely.Polygon(strip.corners, strip.holes) for strip in strips]
    poured = list(accumulate(shapes, lambda one, other: one.union(other)))
    left = list(accumulate(reversed(shapes), lambda one, other: one.union(other)))[::-1]
    return [
        _longer(rest.boundary.intersection(done.buffer(_SEAM_M)))
        for done, rest in zip(poured, left[1:], strict=False)
    ]


def _longer(shape: BaseGeometry) -> BaseGeometry:
    """Without the stubs that rounding leaves at the ends of a seam."""
    sides = [
        shapely.LineString(ends)
        for part in shapely.get_parts(shape)
        for ends in pairwise(part.coords)
    ]
    kept = [side for side in sides if side.length > 2 * _SEAM_M]
    return shapely.line_merge(shapely.MultiLineString(kept))


def _runs(place: Place, seam: BaseGeometry, *, name: str, kind: str) -> list[FormRun]:
    return [
        FormRun(
            name,
            "bulkhead" if kind == "bulkhead" else "held ready",
            tuple((x, y) for x, y in part.coords),
            part.length,
            place.greatest_m(part),
        )
        for part in shapely.get_parts(seam)
        if part.length > _SHORTEST_M
    ]
