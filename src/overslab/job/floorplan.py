"""The floor plan out of ``job.toml``: places looked up, doors put on their edges, lines checked."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import shapely

from overslab.ground import units
from overslab.ground.faults import Fault, Faulty
from overslab.ground.plan import SNAP_M, check_plan
from overslab.ground.units import Units
from overslab.job import faults
from overslab.job.checking import Checked
from overslab.job.floorthings import DoorFacts
from overslab.job.jobfile import JobFile
from overslab.job.taped import Tape
from overslab.job.typed import Spot, told
from overslab.oldslab.records import Break, Feature, FloorPlan, Hole

Point = tuple[float, float]
SHORTEST_M = 0.05  # a door, stair or line shorter than a hand's breadth is a slip


class Plotter:
    """Puts what was typed onto the plan and keeps the faults met on the way."""

    def __init__(self, facts: JobFile, *, source: Checked, spoken: Units) -> None:
        self.facts, self.source, self.units = facts, source, spoken
        self.found: list[Fault] = []
        self.tape = self._tape()
        self.outline = self.spots(facts.floor.outline, "floor", "outline")

    def _tape(self) -> Tape | None:
        grid = self.facts.taped_grid
        if grid is None:
            return None
        one = True
        for pair in (("letter_spacing", "letters_at"), ("number_spacing", "numbers_at")):
            one = self.exactly_one(grid, pair, "taped_grid") and one
        if grid.origin.xy_m is None:
            self.found.append(
                faults.GRID_LABEL.met(
                    value=grid.origin.text,
                    place=self.source.place("taped_grid", "origin"),
                    label=grid.origin.text,
                    limit="The origin of the grid is given by two lengths.",
                )
            )
            return None
        return Tape(grid, origin_m=grid.origin.xy_m) if one else None

    def exactly_one(self, section: object, keys: Sequence[str], *path: str | int) -> bool:
        given = [key for key in keys if getattr(section, key) is not None]
        if len(given) == 1:
            return True
        self.found.append(
            faults.GIVE_ONE.met(
                value=", ".join(given) or "nothing",
                place=self.source.place(*path, *given[:1]),
                given="None" if not given else f"{len(given)}",
                keys=" and ".join(keys),
            )
        )
        return False

    def spot(self, spot: Spot, *path: str | int) -> Point | None:
        """x and y; None (and a fault) when the label is not on the taped grid."""
        if spot.xy_m is not None:
            return spot.xy_m
        place = self.source.place(*path)
        label = spot.label or spot.text
        if self.tape is None:
            if self.facts.taped_grid is None:
                fault = faults.GRID_MISSING.met(value=label, place=place, label=label)
                self.found.append(fault)
            return None
        try:
            return self.tape.find(label)
        except Faulty as trouble:
            self.found.extend(told(fault, place=place) for fault in trouble.faults)
            return None

    def spots(self, spots: Iterable[Spot], *path: str | int) -> tuple[Point, ...]:
        points = [self.spot(one, *path, n) for n, one in enumerate(spots)]
        return tuple(point for point in points if point is not None)

    def ends(
        self, spots: Sequence[Spot], *path: str | int, name: str
    ) -> tuple[Point, Point] | None:
        """Two ends of a line that is long enough to be one."""
        points = self.spots(spots, *path, "ends")
        if len(points) != 2:
            return None
        if math.dist(*points) < SHORTEST_M:
            self.found.append(
                faults.TOO_SHORT.met(
                    value=" to ".join(spot.text for spot in spots),
                    place=self.source.place(*path, "ends"),
                    name=name,
                    least=self.write(SHORTEST_M),
                )
            )
            return None
        return points[0], points[1]

    def edge(self, number: int, *path: str | int) -> tuple[Point, Point] | None:
        """The ends of an edge of the outline; edge 1 runs from corner 1 to corner 2."""
        corners = self.outline
        if number > len(self.facts.floor.outline):
            self.found.append(
                faults.EDGE_UNKNOWN.met(
                    value=number,
                    place=self.source.place(*path),
                    edge=number,
                    edges=len(self.facts.floor.outline),
                )
            )
            return None
        if len(corners) != len(self.facts.floor.outline):
            return None  # a corner is bad, and was told
        return corners[number - 1], corners[number % len(corners)]

    def door(self, door: DoorFacts, at: int) -> tuple[Point, Point] | None:
        """The two ends of a door, checked to lie on the outline."""
        path = ("door", at)
        if not self.exactly_one(door, ("ends", "edge"), *path):
            return None
        if door.ends is not None:
            line = self.ends(door.ends, *path, name=door.name)
        else:
            line = self._along_edge(door, *path)
        if line is None:
            return None
        self.on_outline(line, name=door.name, place=self.source.place(*path))
        return line

    def _along_edge(self, door: DoorFacts, *path: str | int) -> tuple[Point, Point] | None:
        missing = [key for key in ("offset", "width") if getattr(door, key) is None]
        for key in missing:
            self.found.append(
                faults.KEY_MISSING.met(
                    value="nothing",
                    place=self.source.place(*path),
                    key=key,
                    meaning="with edge, a door also has offset and width.",
                    how=f"Write {key} = ... beside edge.",
                )
            )
        edge = self.edge(door.edge or 1, *path, "edge")
        if edge is None or door.offset is None or door.width is None:
            return None
        (x0, y0), (x1, y1) = edge
        long = math.dist(*edge)
        if long < SHORTEST_M:
            return None
        east, north = (x1 - x0) / long, (y1 - y0) / long
        near, far = door.offset.value, door.offset.value + door.width.value
        return (x0 + east * near, y0 + north * near), (x0 + east * far, y0 + north * far)

    def on_outline(self, line: tuple[Point, Point], *, name: str, place: str) -> None:
        """The line lies along the outline."""
        if len(self.outline) < 3:
            return
        ring = shapely.LinearRing(self.outline)
        off_m = max(ring.distance(shapely.Point(end)) for end in line)
        middle = shapely.Point((line[0][0] + line[1][0]) / 2, (line[0][1] + line[1][1]) / 2)
        off_m = max(off_m, ring.distance(middle))
        if off_m > SNAP_M:
            self.found.append(
                faults.OFF_OUTLINE.met(
                    value=" to ".join(self.at(end) for end in line),
                    place=place,
                    name=name,
                    distance=self.write(off_m),
                    reach=self.write(SNAP_M),
                )
            )

    def on_floor(self, points: Sequence[Point], *, name: str, place: str) -> None:
        """Every place lies on the floor or on its outline."""
        if len(self.outline) < 3:
            return
        floor = shapely.Polygon(self.outline)
        if not floor.is_valid:
            return  # told by the check of the plan
        outside = [point for point in points if floor.distance(shapely.Point(point)) > SNAP_M]
        if outside:
            self.found.append(
                faults.TOUCH_OUTSIDE.met(value=self.at(outside[0]), place=place, name=name)
            )

    def write(self, value_m: float) -> str:
        return units.write_length(value_m, self.units)

    def at(self, point: Point) -> str:
        return f"x {self.write(point[0])}, y {self.write(point[1])}"

    def plan(
        self,
        *,
        openings: tuple[tuple[Point, Point], ...],
        drains: tuple[Point, ...],
    ) -> FloorPlan:
        """The plan; what is wrong with its lines goes to ``found``."""
        plan = FloorPlan(
            outline=self.outline,
            holes=self._holes(),
            breaks=self._breaks(),
            features=self._features(),
            openings=openings,
            drains=drains,
            up_is=self.facts.floor.up_is,
        )
        self.found.extend(
            check_plan(
                outline=plan.outline,
                holes={hole.name: hole.corners for hole in plan.holes},
                features={one.name: one.corners for one in plan.features},
                breaks={line.name: line.line for line in plan.breaks},
                place=self.source.file,
                write=self.write,
            )
        )
        return plan

    def _holes(self) -> tuple[Hole, ...]:
        holes = [
            Hole(hole.name, self.spots(hole.corners, "hole", n, "corners"))
            for n, hole in enumerate(self.facts.holes)
        ]
        for n, post in enumerate(self.facts.posts):
            middle = self.spot(post.at, "post", n, "at")
            if middle is not None:
                (x, y), half = middle, post.size.value / 2
                west, east, south, north = x - half, x + half, y - half, y + half
                corners = ((west, south), (east, south), (east, north), (west, north))
                holes.append(Hole(post.name, corners))
        return tuple(holes)

    def _breaks(self) -> tuple[Break, ...]:
        return tuple(
            Break(
                name=one.name,
                line=self.spots(one.line, "break", n, "line"),
                kind=one.kind,
                step_m=one.step.value if one.step else None,
            )
            for n, one in enumerate(self.facts.breaks)
        )

    def _features(self) -> tuple[Feature, ...]:
        features = [
            Feature(pit.name, "pit", self.spots(pit.corners, "pit", n, "corners"))
            for n, pit in enumerate(self.facts.pits)
        ]
        features += [
            Feature(pad.name, "pad", self.spots(pad.corners, "pad", n, "corners"))
            for n, pad in enumerate(self.facts.pads)
        ]
        for n, trench in enumerate(self.facts.trenches):
            line = self.spots(trench.line, "trench", n, "line")
            if len(line) < 2:
                continue
            strip = shapely.LineString(line).buffer(
                trench.width.value / 2, cap_style="flat", join_style="mitre"
            )
            if strip.geom_type != "Polygon" or strip.interiors or strip.is_empty:
                self.found.append(
                    faults.TOO_SHORT.met(
                        value=" to ".join(spot.text for spot in trench.line),
                        place=self.source.place("trench", n, "line"),
                        name=trench.name,
                        least=self.write(SHORTEST_M),
                    )
                )
                continue
            corners = tuple((x, y) for x, y in strip.exterior.coords[:-1])
            features.append(Feature(trench.name, "trench", corners))
        return tuple(features)
