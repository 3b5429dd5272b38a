"""The soft strip between the new slab and what stands still: walls, posts, steps, pits."""

from __future__ import annotations

from collections import defaultdict

import shapely

from overslab.ground.notes import Remark
from overslab.ground.units import Units, write_thickness
from overslab.takeoff.asked import RolledAsked
from overslab.takeoff.cutting import cut_off, pick_height
from overslab.takeoff.items import Item, work
from overslab.takeoff.place import Place, Point
from overslab.takeoff.records import IsolationLayout, IsolationRun


def lay_isolation(place: Place, asked: RolledAsked, *, units: Units) -> IsolationLayout:
    """Runs along every wall, round every post and pit, and at the feet of stairs on the floor."""
    heights_m = asked.heights_m or (asked.roll_width_m,)
    lines: list[tuple[str, tuple[Point, ...]]] = [
        (one.name, (one.a, one.b)) for one in place.walls(with_doors=asked.at_doors)
    ]
    lines += [(one.name, (one.a, one.b)) for one in place.steps()]
    for name, shape in place.standing():
        ring = shape.exterior.intersection(place.oldslab.plan.polygon().buffer(1e-6))
        for part in shapely.get_parts(shapely.line_merge(ring)):
            lines.append((name, tuple((x, y) for x, y in part.coords)))
    runs = []
    stacked: list[str] = []
    by_height: dict[float, list[float]] = defaultdict(list)
    net_by_height: dict[float, float] = defaultdict(float)
    for name, points in lines:
        line = shapely.LineString(points)
        height_m = place.greatest_m(line)
        strip_m, courses = pick_height(height_m, heights_m)
        runs.append(IsolationRun(name, points, line.length, height_m, strip_m))
        by_height[strip_m] += [line.length] * courses
        net_by_height[strip_m] += line.length * courses
        if courses > 1:
            stacked.append(f"{name} ({write_thickness(height_m, units)})")
    items = []
    for strip_m in sorted(by_height):
        cut = cut_off(by_height[strip_m], stock_m=asked.roll_length_m, lap_m=asked.lap_m)
        items.append(
            Item(
                code="isolation-strip",
                what=asked.what or "isolation strip",
                kind="material",
                quantity="length_m",
                net=net_by_height[strip_m],
                gross=cut.used_m,
                order_unit="roll",
                ordered=float(cut.rolls),
                why="Running length of walls, posts, steps and pits without doors and open edges, "
                "where this height is the lowest that reaches the top; ends go on to the next run.",
                unit_holds=asked.roll_length_m,
                size_m=strip_m,
            )
        )
    if items:
        items.append(
            work(
                "set-isolation",
                "set the isolation strip",
                "length_m",
                sum(net_by_height.values()),
                "All runs of the strip.",
            )
        )
    remarks: tuple[Remark, ...] = ()
    if stacked:
        told = ", ".join(dict.fromkeys(stacked))
        remarks = (
            Remark(
                "warn",
                f"No height of strip reaches the top at {told}: two are counted there, one over "
                "the other. Ask for a higher strip.",
            ),
        )
    return IsolationLayout(items=tuple(items), remarks=remarks, runs=tuple(runs))
