"""Where the floor is cut for the sections.

The long way through the thinnest place, across through the thickest, then square through a door
that has no cut yet.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from overslab.faces.documents.drawing import INK, Text
from overslab.faces.documents.labels import Box
from overslab.faces.documents.plan_sheet import LARGE, PlanSheet
from overslab.job.records import Walk
from overslab.newtop.records import TopOption

Point = tuple[float, float]
MOST_CUTS = 3
SHORTEST_M = 0.05  # of a piece of a cut that is worth drawing


@dataclass(frozen=True, slots=True)
class Cut:
    """A straight cut; ``parts`` are its pieces on the floor, in order along it."""

    letter: str
    through: str
    a: Point
    b: Point
    parts: tuple[tuple[Point, Point], ...]


def cuts_of(walk: Walk, top: TopOption) -> tuple[Cut, ...]:
    """The cuts, lettered in order."""
    floor = walk.job.plan.polygon()
    west, south, east, north = floor.bounds
    lengthwise = (1.0, 0.0) if east - west >= north - south else (0.0, 1.0)
    crosswise = (lengthwise[1], lengthwise[0])
    cuts: list[Cut] = []
    for through, at, way in (
        ("the thinnest place", top.thinnest_at, lengthwise),
        ("the thickest place", top.thickest_at, crosswise),
        *_through_doors(walk),
    ):
        # A door that is already cut needs no cut of its own.
        seen = any(_runs_through(cut, through, walk) for cut in cuts)
        if len(cuts) == MOST_CUTS or seen:
            continue
        letter = chr(ord("A") + len(cuts))
        cut = _cut(floor, through=through, at=at, way=way, letter=letter)
        if cut is not None:
            cuts.append(cut)
    return tuple(cuts)


def _through_doors(walk: Walk) -> list[tuple[str, Point, Point]]:
    """Name, middle and square direction of each door."""
    found = []
    for edge in walk.newtop.wishes.edges:
        way = np.array(edge.b) - np.array(edge.a)
        length = float(np.hypot(*way))
        if edge.kind == "door" and length > 0:
            middle = (np.array(edge.a) + np.array(edge.b)) / 2
            square = (float(-way[1] / length), float(way[0] / length))
            found.append((edge.name, (float(middle[0]), float(middle[1])), square))
    return found


def _runs_through(cut: Cut, through: str, walk: Walk) -> bool:
    """Whether a cut already passes through a door."""
    line = shapely.LineString([cut.a, cut.b])
    return any(
        edge.name == through and line.distance(shapely.LineString([edge.a, edge.b])) < 0.05
        for edge in walk.newtop.wishes.edges
    )


def _cut(floor: shapely.Polygon, *, through: str, at: Point, way: Point, letter: str) -> Cut | None:
    west, south, east, north = floor.bounds
    reach = 2 * float(np.hypot(east - west, north - south))
    spot, step = np.array(at), np.array(way)
    if step[0] < -1e-9 or (abs(step[0]) <= 1e-9 and step[1] < 0):
        step = -step
    # A place on the very edge is cut just inside, where there is floor to show.
    inward = np.array(floor.centroid.coords[0]) - spot
    across = np.array([-step[1], step[0]])
    for nudge in (0.0, 0.02, 0.1):
        moved = spot + across * nudge * (1 if inward @ across >= 0 else -1)
        line = shapely.LineString([moved - step * reach, moved + step * reach])
        pieces = [
            part
            for part in shapely.get_parts(shapely.intersection(line, floor))
            if part.geom_type == "LineString" and part.length > SHORTEST_M
        ]
        if pieces:
            break
    else:
        return None
    pieces.sort(key=lambda part: float(np.array(part.coords[0]) @ step))
    parts = tuple(
        tuple(
            sorted(((float(x), float(y)) for x, y in part.coords), key=lambda p: np.array(p) @ step)
        )
        for part in pieces
    )
    ends = tuple((part[0], part[-1]) for part in parts)
    return Cut(letter, through, ends[0][0], ends[-1][1], ends)


def cut_between(
    floor: shapely.Polygon, *, a: Point, b: Point, letter: str, through: str
) -> Cut | None:
    """The cut along a line between two places, as far as it lies on the floor; None off it."""
    start, way = np.array(a), np.array(b) - np.array(a)
    met = shapely.intersection(shapely.LineString([a, b]), floor)
    ends = [
        tuple(
            sorted(((float(x), float(y)) for x, y in part.coords), key=lambda p: (p - start) @ way)
        )
        for part in shapely.get_parts(met)
        if part.geom_type == "LineString" and part.length > SHORTEST_M
    ]
    parts = sorted(((one[0], one[-1]) for one in ends), key=lambda one: (one[0] - start) @ way)
    return Cut(letter, through, parts[0][0], parts[-1][1], tuple(parts)) if parts else None


def draw_cut_marks(sheet: PlanSheet, cuts: tuple[Cut, ...]) -> None:
    """The ends of each cut outside the outline, with its letter."""
    for cut in cuts:
        a, b = np.array(sheet.view.spot(cut.a)), np.array(sheet.view.spot(cut.b))
        along = (b - a) / (float(np.hypot(*(b - a))) or 1.0)
        for end, way in ((a, -along), (b, along)):
            foot, head = end + way * 1.5, end + way * 5.0
            spots = [(float(p[0]), float(p[1])) for p in (foot, head)]
            sheet.drawing.line("marks", spots, pen="cut", kind="cut", name=cut.letter)
            middle = head + way * 2.4
            letter = Text(
                cut.letter,
                (float(middle[0]), float(middle[1]) + LARGE * 0.33),
                LARGE,
                anchor="middle",
                bold=True,
                tone=INK,
                kind="cut-letter",
            )
            sheet.drawing.put("labels", letter)
            sheet.placer.block(Box((float(middle[0]), float(middle[1])), 3.4, 3.4))
            centre = (foot + head) / 2
            sheet.placer.block(Box((float(centre[0]), float(centre[1])), 3.2, 3.2))
    if cuts:
        sheet.key_line("cut, drawn on the sections sheet", "cut")
