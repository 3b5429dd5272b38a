"""What every check of the finished top needs: places to look at, the worst of them, its name."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from overslab.ground.lattice import lattice_over
from overslab.handbook.checks import Check, Comparison
from overslab.newtop.records import Point, TopSurface, Wishes
from overslab.oldslab.records import OldSlab

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

SOURCE = "the owner's wishes, looked at again on the marked top"
CLEAR_M = 0.01  # how far off walls, breaks and pit edges the floor is looked at
_MOST_PLACES = 4_000
_NEAR_M = 0.6  # a place this near to a door or a drain is told by its name
_STEP_M = 0.001  # half of what a slope is taken over


class Look:
    """The finished top, the old floor and the wishes, and the places where they are compared."""

    def __init__(self, surface: TopSurface, *, oldslab: OldSlab, wishes: Wishes) -> None:
        self.surface, self.oldslab, self.wishes = surface, oldslab, wishes
        self.polygon = oldslab.plan.polygon()
        self.zones = tuple((zone, shapely.Polygon(zone.corners)) for zone in wishes.zones)
        # What rounding to marks can do to a height, and to a slope over a straightedge.
        self.height_slack_m = wishes.mark_m / 2
        self.slope_slack = wishes.mark_m / wishes.straightedge_m
        self.places_m = _places(oldslab, tuple(zone.corners for zone in wishes.zones))

    def within(self, shape: shapely.Geometry, places_m: Floats) -> Bools:
        return _within(shape, places_m)

    def onto_floor(self, places_m: Floats) -> Floats:
        """Places drawn a little off the floor, put on its edge."""
        lines = shapely.shortest_line(shapely.points(places_m), self.polygon)
        return shapely.get_coordinates(lines)[1::2]

    def rise(self, places_m: Floats) -> Floats:
        """(n, 2) rise per metre, from heights two millimetres apart."""
        # Asked for all at once: what a surface has to get ready, it gets ready once.
        steps = _STEP_M * np.array([[1, 0], [-1, 0], [0, 1], [0, -1]])
        round_about = (steps[:, None, :] + places_m[None, :, :]).reshape(-1, 2)
        ahead, behind, left, right = self.surface.height_m(round_about).reshape(4, -1)
        return np.column_stack([ahead - behind, left - right]) / (2 * _STEP_M)

    def worst(
        self,
        name: str,
        *,
        quantity: str,
        found: Floats,
        comparison: Comparison,
        allowed: Floats | float,
        at_m: Floats,
        among: Bools | None = None,
    ) -> list[Check]:
        """The check at the place with the least margin; empty when there is no place to look at."""
        limit = np.broadcast_to(np.asarray(allowed, dtype=np.float64), found.shape)
        margin = found - limit if comparison == "at least" else limit - found
        if among is not None:
            margin = np.where(among, margin, np.inf)
        if not np.isfinite(margin).any():
            return []
        worst = int(np.nanargmin(margin))
        place = float(at_m[worst, 0]), float(at_m[worst, 1])
        return [
            Check(
                name=name,
                quantity=quantity,
                found=float(found[worst]) + 0.0,  # no minus sign before a zero
                comparison=comparison,
                allowed=float(limit[worst]),
                source=SOURCE,
                slack=self.height_slack_m if quantity.endswith("_m") else self.slope_slack,
                where=self.place_name(place),
                at=place,
            )
        ]

    def place_name(self, place: tuple[float, float]) -> str:
        """The nearest door or drain when one is near, else the zone or panel it lies in."""
        point = shapely.Point(place)
        near = [
            (shapely.LineString([edge.a, edge.b]).distance(point), edge.name)
            for edge in self.wishes.edges
        ]
        near += [
            (shapely.Point(drain.at).distance(point), drain.name) for drain in self.wishes.drains
        ]
        gap, name = min(near, default=(np.inf, ""))
        if gap <= _NEAR_M:
            return f"at {name}"
        for zone, shape in self.zones:
            if shape.distance(point) == 0.0:
                return f"in {zone.name}"
        if not self.oldslab.panels:
            return ""
        panel = min(self.oldslab.panels, key=lambda each: float(each.polygon.distance(point)))
        return f"in panel {panel.name}" if panel.kind == "panel" else f"in {panel.name}"


@lru_cache(maxsize=2)
def _places(oldslab: OldSlab, zones: tuple[tuple[Point, ...], ...]) -> Floats:
    """An even lattice, every shot, and both sides of every wall, break, pit edge and zone."""
    polygon = oldslab.plan.polygon()
    spacing = float(np.sqrt(polygon.area / _MOST_PLACES))
    found = [lattice_over(polygon, step_m=spacing).points_m, oldslab.shots_xy_m]
    shapes: list[BaseGeometry] = [panel.polygon for panel in oldslab.panels]
    shapes += [shapely.Polygon(corners).intersection(polygon) for corners in zones]
    for shape in shapes:
        inner = shape.buffer(-CLEAR_M, join_style="mitre")
        found.append(shapely.get_coordinates(shapely.segmentize(inner.boundary, 0.25)))
        found.append(shapely.get_coordinates(shape.point_on_surface()))
    places = np.concatenate([np.asarray(some).reshape(-1, 2) for some in found])
    places = places[_within(polygon.buffer(1e-6), places)]
    places.setflags(write=False)
    return places


def _within(shape: shapely.Geometry, places_m: Floats) -> Bools:
    shapely.prepare(shape)
    return np.asarray(shapely.intersects_xy(shape, places_m[:, 0], places_m[:, 1]), dtype=np.bool_)
