"""Doors, stairs, thresholds, lines, drains and zones out of ``job.toml``, and the outlets."""

from __future__ import annotations

from collections.abc import Sequence

from overslab.job import faults
from overslab.job.floorplan import Plotter, Point
from overslab.job.floorthings import Movable
from overslab.job.records import DrainAsked, EdgeAsked, HeightAsked, ZoneAsked
from overslab.job.sections import Named
from overslab.job.typed import Level, Spot, Typed
from overslab.newtop.records import Move, Outlet, Zone

Segment = tuple[Point, Point]


class Touches:
    """What the new top meets, put onto the plan by a ``Plotter``; faults go to the plotter."""

    def __init__(self, plotter: Plotter, *, shot_names: frozenset[str]) -> None:
        self.plotter, self.facts, self.source = plotter, plotter.facts, plotter.source
        self.shot_names = shot_names
        self.openings: list[Segment] = []
        self.drains_today: list[Point] = []
        self.outlets: dict[str, Outlet] = {}  # everything that could take water, by name
        self._names()
        self.edges = (*self._doors(), *self._stairs(), *self._thresholds(), *self._lines())
        self.drains = self._drains()
        self.zones = self._zones()
        self._open_edges()

    def height(self, level: Level, *path: str | int) -> HeightAsked:
        """The height as a record; a shot that nobody took is a fault."""
        for shot in level.shots:
            if shot not in self.shot_names:
                self.plotter.found.append(
                    faults.SHOT_UNKNOWN.met(
                        value=level.text, place=self.source.place(*path), shot=shot
                    )
                )
        return HeightAsked(
            typed=level.text,
            height_m=level.height_m,
            shots=level.shots,
            offset_m=level.offset_m,
        )

    def asked_outlets(self) -> tuple[Outlet, ...]:
        """The outlets that ``water_to`` names."""
        place = self.source.place("wishes", "water_to")
        names = self.facts.wishes.water_to
        if not names:
            self.plotter.found.append(faults.OUTLET_MISSING.met(value="nothing", place=place))
        known = ", ".join(self.outlets) or "nothing that could take water"
        for name in names:
            if name not in self.outlets:
                self.plotter.found.append(
                    faults.OUTLET_UNKNOWN.met(
                        value=name,
                        place=place,
                        name=name,
                        known=known,
                        hint="Correct the name, or give the floor that door, drain or open edge.",
                    )
                )
        return tuple(self.outlets[name] for name in dict.fromkeys(names) if name in self.outlets)

    def in_order(self, section: object, low: str, high: str, *path: str | int) -> None:
        """The value of one key is not above that of another."""
        least, greatest = getattr(section, low), getattr(section, high)
        if least is not None and greatest is not None and least.value > greatest.value:
            self.plotter.found.append(
                faults.UPSIDE_DOWN.met(
                    value=f"{least.text} over {greatest.text}",
                    place=self.source.place(*path, low),
                    low=low,
                    high=high,
                )
            )

    def _names(self) -> None:
        facts = self.facts
        tables: dict[str, list[Named]] = {
            "hole": [*facts.holes],
            "post": [*facts.posts],
            "break": [*facts.breaks],
            "pit": [*facts.pits],
            "trench": [*facts.trenches],
            "pad": [*facts.pads],
            "door": [*facts.doors],
            "stair": [*facts.stairs],
            "threshold": [*facts.thresholds],
            "line": [*facts.lines],
            "drain": [*facts.drains],
            "zone": [*facts.zones],
            "hollow": [*facts.hollows],
            "load": [*facts.loads],
            "wall": [*facts.walls],
            "burner": [*facts.burners],
            "outside": [*facts.outside],
        }
        seen = {f"edge {n}" for n in facts.floor.open_edges}
        for table, things in tables.items():
            for n, thing in enumerate(things):
                if thing.name in seen:
                    self.plotter.found.append(
                        faults.NAME_TWICE.met(
                            value=thing.name,
                            place=self.source.place(table, n, "name"),
                            name=thing.name,
                        )
                    )
                seen.add(thing.name)

    def _move(self, thing: Movable, *path: str | int) -> Move | None:
        reach = thing.move_up or thing.move_down
        if (thing.move_cost is None) != (reach is None):
            self.plotter.found.append(
                faults.KEY_MISSING.met(
                    value="one without the other",
                    place=self.source.place(*path),
                    key="move_cost" if thing.move_cost is None else "move_up or move_down",
                    meaning="move_cost says what moving costs, move_up and move_down how far.",
                    how="Write both, or neither.",
                )
            )
        if thing.move_cost is None or reach is None:
            return None
        return Move(
            cost=thing.move_cost.value,
            up_m=or_none(thing.move_up) or 0.0,
            down_m=or_none(thing.move_down) or 0.0,
        )

    def _doors(self) -> list[EdgeAsked]:
        edges = []
        for n, door in enumerate(self.facts.doors):
            path = ("door", n)
            line = self.plotter.door(door, n)
            meets = self.height(door.sill, *path, "sill")
            move = self._move(door, *path)
            if line is None:
                self.outlets.setdefault(door.name, Outlet(door.name, ()))
                continue
            if door.lets_water_out_today:
                self.openings.append(line)
            self.outlets[door.name] = Outlet(door.name, line, door.gather)
            edges.append(
                EdgeAsked(
                    name=door.name,
                    kind="door",
                    a=line[0],
                    b=line[1],
                    meets=meets,
                    up_m=door.may_rise.value,
                    down_m=door.may_drop.value,
                    level=door.level,
                    move=move,
                    firm=door.firm,
                )
            )
        return edges

    def _stairs(self) -> list[EdgeAsked]:
        edges = []
        for n, stair in enumerate(self.facts.stairs):
            path = ("stair", n)
            line = self.line_on_floor(stair.ends, *path, name=stair.name)
            tread = self.height(stair.tread, *path, "tread")
            move = self._move(stair, *path)
            if line is None:
                continue
            below_m = stair.riser.value if stair.goes == "up" else -stair.riser.value
            sign = "less" if stair.goes == "up" else "plus"
            foot = HeightAsked(
                typed=f"{tread.typed}, {sign} a riser of {stair.riser.text}",
                height_m=None if tread.height_m is None else tread.height_m - below_m,
                shots=tread.shots,
                offset_m=tread.offset_m - below_m,
            )
            slack = stair.riser_slack.value
            edges.append(
                EdgeAsked(
                    name=stair.name,
                    kind="stair",
                    a=line[0],
                    b=line[1],
                    meets=foot,
                    up_m=slack,
                    down_m=slack,
                    level=False,
                    move=move,
                    firm=stair.firm,
                )
            )
        return edges

    def _thresholds(self) -> list[EdgeAsked]:
        edges = []
        for n, sill in enumerate(self.facts.thresholds):
            path = ("threshold", n)
            line = self.plotter.ends(sill.ends, *path, name=sill.name)
            meets = self.height(sill.sill, *path, "sill")
            move = self._move(sill, *path)
            lowest = or_none(sill.at_most_below)
            if line is not None:
                self.plotter.on_outline(line, name=sill.name, place=self.source.place(*path))
            self.in_order(sill, "at_least_below", "at_most_below", *path)
            if line is None:
                continue
            edges.append(
                EdgeAsked(
                    name=sill.name,
                    kind="threshold",
                    a=line[0],
                    b=line[1],
                    meets=meets,
                    up_m=-sill.at_least_below.value,
                    down_m=lowest,
                    level=sill.level,
                    move=move,
                    firm=sill.firm,
                )
            )
        return edges

    def _lines(self) -> list[EdgeAsked]:
        edges = []
        for n, facts in enumerate(self.facts.lines):
            path = ("line", n)
            line = self.line_on_floor(facts.ends, *path, name=facts.name)
            meets = self.height(facts.meets, *path, "meets")
            move = self._move(facts, *path)
            if line is None:
                self.outlets.setdefault(facts.name, Outlet(facts.name, ()))
                continue
            if facts.lets_water_out_today or facts.kind == "apron":
                self.plotter.on_outline(line, name=facts.name, place=self.source.place(*path))
            if facts.lets_water_out_today:
                self.openings.append(line)
            self.outlets[facts.name] = Outlet(facts.name, line)
            edges.append(
                EdgeAsked(
                    name=facts.name,
                    kind=facts.kind,
                    a=line[0],
                    b=line[1],
                    meets=meets,
                    up_m=facts.may_rise.value,
                    down_m=facts.may_drop.value,
                    level=facts.level,
                    move=move,
                    firm=facts.firm,
                )
            )
        return edges

    def _drains(self) -> tuple[DrainAsked, ...]:
        drains = []
        for n, drain in enumerate(self.facts.drains):
            path = ("drain", n)
            rim = self.height(drain.rim, *path, "rim")
            move = self._move(drain, *path)
            at = self.plotter.spot(drain.at, *path, "at")
            if at is None:
                self.outlets.setdefault(drain.name, Outlet(drain.name, ()))
                continue
            place = self.source.place(*path, "at")
            size_m = or_none(drain.size) or 0.0
            (x, y), half = at, size_m / 2
            # The middle, and the corners of its pit.
            spots = [(x, y), *((x + i * half, y + j * half) for i in (-1, 1) for j in (-1, 1))]
            self.plotter.on_floor(spots, name=drain.name, place=place)
            if drain.takes_water_today:
                self.drains_today.append(at)
            if drain.plan != "bury":
                self.outlets[drain.name] = Outlet(drain.name, (at,))
            drains.append(
                DrainAsked(
                    name=drain.name,
                    at=at,
                    rim=rim,
                    plan=drain.plan,
                    drop_m=or_none(drain.meet_above) or 0.0,
                    move=move,
                    size_m=size_m,
                )
            )
        return tuple(drains)

    def _zones(self) -> tuple[ZoneAsked, ...]:
        zones = []
        for n, facts in enumerate(self.facts.zones):
            path = ("zone", n)
            corners = self.plotter.spots(facts.corners, *path, "corners")
            self.in_order(facts, "least_fall", "greatest_fall", *path)
            place = self.source.place(*path, "corners")
            self.plotter.on_floor(corners, name=facts.name, place=place)
            zone = Zone(
                name=facts.name,
                corners=corners,
                least_fall=or_none(facts.least_fall),
                greatest_fall=or_none(facts.greatest_fall),
                least_thickness_m=or_none(facts.least_thickness),
                firm=facts.firm,
            )
            highest = self.height(facts.highest, *path, "highest") if facts.highest else None
            zones.append(ZoneAsked(zone, highest))
        return tuple(zones)

    def _open_edges(self) -> None:
        for n, number in enumerate(self.facts.floor.open_edges):
            line = self.plotter.edge(number, "floor", "open_edges", n)
            name = f"edge {number}"
            self.outlets.setdefault(name, Outlet(name, line or ()))
            if line is not None:
                self.openings.append(line)

    def line_on_floor(self, spots: Sequence[Spot], *path: str | int, name: str) -> Segment | None:
        """A line whose ends lie on the floor or on its outline."""
        line = self.plotter.ends(spots, *path, name=name)
        if line is not None:
            self.plotter.on_floor(line, name=name, place=self.source.place(*path, "ends"))
        return line


def or_none(typed: Typed | None) -> float | None:
    """The value of what was typed, if it was."""
    return typed.value if typed is not None else None
