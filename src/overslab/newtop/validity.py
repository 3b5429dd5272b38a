"""Whether the wishes for a new top can be worked with at all; every fault at once."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator

import numpy as np
import shapely

from overslab.ground.faults import Fault, Faulty
from overslab.newtop import faults
from overslab.newtop.records import Edge, Outlet, Wishes, Zone
from overslab.newtop.words import known_rules

# Something drawn this near to the outline is meant to lie on it: about the width of a hand.
ON_OUTLINE_M = 0.05
_POSITIVE = ("mark_m", "straightedge_m", "finish_length_m")
_NOT_NEGATIVE = (
    "least_thickness_m",
    "least_fall",
    "greatest_fall",
    "cross_fall",
    "bend",
    "concrete_cost_per_m3",
    "surety",
    "finish_deviation_m",
    "birdbath_m",
)
_PLAIN = {
    "mark_m": "settable mark",
    "straightedge_m": "length of the straightedge",
    "finish_length_m": "length of a finishing error",
    "least_thickness_m": "least thickness",
    "least_fall": "least fall",
    "greatest_fall": "greatest fall",
    "cross_fall": "cross fall",
    "bend": "bend at a pad line",
    "concrete_cost_per_m3": "price of concrete",
    "surety": "surety",
    "finish_deviation_m": "finishing error",
    "birdbath_m": "depth of a birdbath",
    "highest_m": "highest level",
    "greatest_thickness_m": "greatest thickness",
}


def refuse_bad_wishes(wishes: Wishes, polygon: shapely.Polygon) -> None:
    """Raise ``Faulty`` with everything that is wrong; say nothing when all is well."""
    found = [
        *_numbers(wishes),
        *_outlets(wishes, polygon),
        *_edges(wishes, polygon),
        *_drains(wishes, polygon),
        *_zones(wishes, polygon),
        *_names(wishes),
    ]
    if found:
        raise Faulty(found)


def _finite(name: str, value: float | None) -> Iterator[Fault]:
    if value is not None and not math.isfinite(value):
        yield faults.NOT_A_NUMBER.met(value=value, name=name)


def _numbers(wishes: Wishes) -> Iterator[Fault]:
    for key in (*_POSITIVE, *_NOT_NEGATIVE):
        value = getattr(wishes, key)
        if not math.isfinite(value):
            yield faults.NOT_A_NUMBER.met(value=value, name=_PLAIN[key])
        elif value < 0 and key in _NOT_NEGATIVE:
            yield faults.NEGATIVE.met(value=value, name=_PLAIN[key])
        elif value <= 0 and key in _POSITIVE:
            yield faults.NOT_POSITIVE.met(value=value, name=_PLAIN[key])
    for key in ("highest_m", "greatest_thickness_m"):
        yield from _finite(_PLAIN[key], getattr(wishes, key))
    if wishes.least_fall > wishes.greatest_fall:
        yield faults.LEAST_OVER_GREATEST.met(
            value=f"{wishes.least_fall} over {wishes.greatest_fall}",
            quantity="fall",
            name="the floor",
        )
    greatest = wishes.greatest_thickness_m
    if greatest is not None and wishes.least_thickness_m > greatest:
        yield faults.LEAST_OVER_GREATEST.met(
            value=f"{wishes.least_thickness_m} m over {greatest} m",
            quantity="thickness",
            name="the floor",
        )


def _outlets(wishes: Wishes, polygon: shapely.Polygon) -> Iterator[Fault]:
    if not wishes.outlets:
        yield faults.NO_OUTLET.met(value="none")
    for outlet in wishes.outlets:
        yield from _outlet(outlet, polygon)


def _outlet(outlet: Outlet, polygon: shapely.Polygon) -> Iterator[Fault]:
    line = outlet.line
    if not all(math.isfinite(number) for point in line for number in point):
        yield faults.NOT_A_NUMBER.met(value=line, name=f"place of {outlet.name}")
    elif len(line) not in (1, 2) or (len(line) == 2 and math.dist(*line) < ON_OUTLINE_M):
        yield faults.OUTLET_SHAPE.met(value=line, name=outlet.name)
    elif any(polygon.distance(shapely.Point(point)) > ON_OUTLINE_M for point in line):
        yield faults.OUTLET_OFF_FLOOR.met(value=line, name=outlet.name, tolerance_m=ON_OUTLINE_M)


def _edges(wishes: Wishes, polygon: shapely.Polygon) -> Iterator[Fault]:
    for edge in wishes.edges:
        if not all(math.isfinite(number) for number in (*edge.a, *edge.b)):
            yield faults.NOT_A_NUMBER.met(value=(edge.a, edge.b), name=f"place of {edge.name}")
            continue
        if math.dist(edge.a, edge.b) < ON_OUTLINE_M:
            yield faults.EDGE_NO_LENGTH.met(value=(edge.a, edge.b), name=edge.name)
        elif not lies_on(edge, polygon):
            yield faults.EDGE_OFF_OUTLINE.met(
                value=(edge.a, edge.b), name=edge.name, tolerance_m=ON_OUTLINE_M
            )
        yield from _finite(f"lowest height of {edge.name}", edge.lowest_m)
        yield from _finite(f"highest height of {edge.name}", edge.highest_m)
        if (
            edge.lowest_m is not None
            and edge.highest_m is not None
            and edge.lowest_m > edge.highest_m
        ):
            yield faults.EDGE_UPSIDE_DOWN.met(
                value=f"{edge.lowest_m} m over {edge.highest_m} m", name=edge.name
            )
        if edge.move is not None:
            for part in ("cost", "up_m", "down_m"):
                amount = getattr(edge.move, part)
                if not (math.isfinite(amount) and amount >= 0):
                    yield faults.NEGATIVE.met(value=amount, name=f"{part} of moving {edge.name}")


def lies_on(edge: Edge, polygon: shapely.Polygon) -> bool:
    """Doors and the like lie on the outline; a stair or a free line may stand out in the floor."""
    line = shapely.LineString([edge.a, edge.b])
    where = polygon if edge.kind in ("line", "stair") else polygon.boundary
    return bool(where.buffer(ON_OUTLINE_M).covers(line))


def _drains(wishes: Wishes, polygon: shapely.Polygon) -> Iterator[Fault]:
    for drain in wishes.drains:
        numbers = (*drain.at, drain.rim_m, drain.drop_m)
        if not all(math.isfinite(number) for number in numbers):
            yield faults.NOT_A_NUMBER.met(value=numbers, name=f"place or rim of {drain.name}")
        elif polygon.distance(shapely.Point(drain.at)) > ON_OUTLINE_M:
            yield faults.DRAIN_OFF_FLOOR.met(value=drain.at, name=drain.name)
        if drain.move is not None and not (
            np.isfinite([drain.move.cost, drain.move.up_m]).all()
            and min(drain.move.cost, drain.move.up_m) >= 0
        ):
            yield faults.NEGATIVE.met(
                value=(drain.move.cost, drain.move.up_m), name=f"cost of raising {drain.name}"
            )


def _zones(wishes: Wishes, polygon: shapely.Polygon) -> Iterator[Fault]:
    for zone in wishes.zones:
        numbers = [number for corner in zone.corners for number in corner]
        shape = (
            shapely.Polygon(zone.corners)
            if len(zone.corners) >= 3 and np.isfinite(numbers).all()
            else None
        )
        if shape is None or not shape.is_valid or shape.intersection(polygon).area <= 1e-6:
            yield faults.ZONE_OFF_FLOOR.met(value=zone.corners, name=zone.name)
        yield from _zone_numbers(zone)


def _zone_numbers(zone: Zone) -> Iterator[Fault]:
    for key in ("least_fall", "greatest_fall", "least_thickness_m"):
        value = getattr(zone, key)
        if value is not None and not (math.isfinite(value) and value >= 0):
            yield faults.NEGATIVE.met(value=value, name=f"{key} of {zone.name}")
    yield from _finite(f"highest level of {zone.name}", zone.highest_m)
    least, greatest = zone.least_fall, zone.greatest_fall
    if least is not None and greatest is not None and least > greatest:
        yield faults.LEAST_OVER_GREATEST.met(
            value=f"{least} over {greatest}", quantity="fall", name=zone.name
        )


def _names(wishes: Wishes) -> Iterator[Fault]:
    for kinds, things in (
        ("outlets", wishes.outlets),
        ("edges", wishes.edges),
        ("drains", wishes.drains),
        ("zones", wishes.zones),
    ):
        for name, times in Counter(thing.name for thing in things).items():
            if times > 1:
                yield faults.TWIN_NAMES.met(value=name, kinds=kinds, name=name)
    known = known_rules(wishes)
    for name in wishes.firm:
        if name not in known:
            yield faults.UNKNOWN_RULE.met(value=name, known="; ".join(known))
    if not wishes.kinds:
        yield faults.NO_KIND.met(value="none")
    elif wishes.choose is not None and wishes.choose not in wishes.kinds:
        yield faults.CHOICE_NOT_ASKED.met(value=wishes.choose, known=", ".join(wishes.kinds))
