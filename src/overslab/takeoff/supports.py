"""Bolsters in lines or single chairs under the steel: no part of it far from one."""

from __future__ import annotations

from math import ceil
from typing import Protocol

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from overslab.ground.faults import Fault, Faulty
from overslab.ground.notes import Remark
from overslab.handbook import wire as book
from overslab.handbook.checks import Check
from overslab.handbook.working import Working, show
from overslab.takeoff import steel_faults
from overslab.takeoff.asked import BarsAsked, SupportsAsked, WireAsked
from overslab.takeoff.cover import cover_on_supports, stack_m
from overslab.takeoff.items import Item
from overslab.takeoff.steel_floor import along_longest, steel_of_rings
from overslab.takeoff.steel_records import SupportLayout

_SAME_M = 1e-6
_BARE_M2 = 1e-4
_MOST_FILLED_IN = 400
_SHORTEST_M = 0.05  # of a line of bolsters: the pitch of its legs
Floats = NDArray[np.float64]
Point = tuple[float, float]


class Steel(Protocol):
    """What supports need to know of a layout of wire or of bars."""

    @property
    def asked(self) -> WireAsked | BarsAsked: ...
    @property
    def inner(self) -> tuple[tuple[Point, ...], ...]: ...
    @property
    def thinnest_m(self) -> float | None: ...


def set_supports(layout: Steel, asked: SupportsAsked) -> SupportLayout:
    """Supports so that no steel is farther than half the spacing from one. Raises ``Faulty``.

    From a line of bolsters the distance is counted straight to it, from a chair along the wires,
    each way.
    """
    _hold(asked)
    inner = steel_of_rings(layout.inner)
    outline = max(shapely.get_parts(inner), key=lambda part: part.area)
    turn = along_longest(outline)
    level = turn.there(inner)
    if asked.kind == "bolster":
        lines, far_m2 = _lines(level, asked.spacing_m)
        chairs: list[Point] = []
    else:
        lines = []
        chairs, far_m2 = _chairs(level, asked.spacing_m)
    long_m = sum(east - west for west, east, _ in lines)
    count = len(chairs)
    if asked.kind == "bolster" and asked.stock_length_m:
        # Bolsters butt and any rest begins the next line, so only the length in all counts.
        count = ceil(long_m / asked.stock_length_m - _SAME_M)
    boxes = ceil(count / asked.box_of)
    checks, workings = _by_the_book(layout, asked, count=count, area_m2=float(inner.area))
    return SupportLayout(
        asked=asked,
        lines=tuple(
            (ends[0], ends[1])
            for west, east, y in lines
            for ends in [turn.points_back(np.array([(west, y), (east, y)]))]
        ),
        chairs=turn.points_back(np.array(chairs)) if chairs else (),
        count=count,
        boxes=boxes,
        items=_items(asked, count=count, boxes=boxes, long_m=long_m),
        checks=(
            *cover_on_supports(
                thinnest_m=layout.thinnest_m,
                stack_m=stack_m(layout.asked),
                height_m=asked.height_m,
                cover_top_m=layout.asked.cover_top_m,
                cover_bottom_m=layout.asked.cover_bottom_m,
            ),
            Check(
                name="steel farther than half the spacing from a support",
                quantity="area_m2",
                found=far_m2,
                comparison="at most",
                allowed=0.0,
                source="asked for",
                slack=_BARE_M2,
            ),
            *checks,
        ),
        remarks=(_others_say(),) if isinstance(layout.asked, WireAsked) else (),
        workings=workings,
        assumptions=(),
    )


def _hold(asked: SupportsAsked) -> None:
    values: dict[str, float | None] = {
        "spacing": asked.spacing_m,
        "height": asked.height_m,
        "number in a box": float(asked.box_of),
    }
    if asked.kind == "bolster":
        values["stock length"] = asked.stock_length_m
    faults: list[Fault] = [
        steel_faults.SUPPORTS_NOT_POSITIVE.met(
            value="not given" if value is None else value, what=name
        )
        for name, value in values.items()
        if value is None or not np.isfinite(value) or value <= 0
    ]
    if faults:
        raise Faulty(faults)


def _lines(level: BaseGeometry, spacing_m: float) -> tuple[list[tuple[float, float, float]], float]:
    """Lines along x as west, east, y; and the area too far from all of them."""
    west, south, east, north = level.bounds
    half = spacing_m / 2
    rows = max(1, ceil((north - south) / spacing_m - _SAME_M))
    lines: list[tuple[float, float, float]] = []

    def put(y: float, left: float, right: float) -> None:
        cut = shapely.LineString([(left, y), (right, y)]).intersection(level)
        for part in shapely.get_parts(cut):
            if part.geom_type == "LineString" and part.length >= _SHORTEST_M:
                a, _, b, _ = part.bounds
                lines.append((a, b, y))

    for row in range(rows):
        put(south + (row + 0.5) * (north - south) / rows, west - 1, east + 1)
    for _ in range(_MOST_FILLED_IN):
        near = [shapely.LineString([(a, y), (b, y)]).buffer(half + _SAME_M) for a, b, y in lines]
        far = level.difference(shapely.union_all(near))
        parts = [part for part in shapely.get_parts(far) if part.area > _BARE_M2]
        if not parts:
            return lines, 0.0
        left, low, right, high = max(parts, key=lambda part: part.area).bounds
        before = len(lines)
        put((low + high) / 2, left - _SHORTEST_M, right + _SHORTEST_M)
        if len(lines) == before:
            break
    return lines, float(far.area)


def _chairs(level: BaseGeometry, spacing_m: float) -> tuple[list[Point], float]:
    """Chairs in rows both ways; and the area too far from all of them."""
    west, south, east, north = level.bounds
    half = spacing_m / 2
    across = max(1, ceil((east - west) / spacing_m - _SAME_M))
    up = max(1, ceil((north - south) / spacing_m - _SAME_M))
    x, y = np.meshgrid(
        west + (np.arange(across) + 0.5) * (east - west) / across,
        south + (np.arange(up) + 0.5) * (north - south) / up,
    )
    inside = shapely.intersects_xy(level, x.ravel(), y.ravel())
    spots = [
        (float(a), float(b)) for a, b in zip(x.ravel()[inside], y.ravel()[inside], strict=True)
    ]
    far: BaseGeometry = level
    for _ in range(_MOST_FILLED_IN):
        xy = np.array(spots).reshape(-1, 2)
        reach = half + _SAME_M
        near = shapely.box(xy[:, 0] - reach, xy[:, 1] - reach, xy[:, 0] + reach, xy[:, 1] + reach)
        far = level.difference(shapely.union_all(near))
        parts = [part for part in shapely.get_parts(far) if part.area > _BARE_M2]
        if not parts:
            return spots, 0.0
        # Every bare part gets its chair before looking again, and parts larger than one more.
        for part in parts:
            spot = part.centroid
            spot = spot if level.intersects(spot) else part.representative_point()
            spots.append((float(spot.x), float(spot.y)))
    return spots, float(far.area)


def _by_the_book(
    layout: Steel, asked: SupportsAsked, *, count: int, area_m2: float
) -> tuple[tuple[Check, ...], tuple[Working, ...]]:
    if not isinstance(layout.asked, WireAsked):
        return (), ()
    stiff = next(limit for limit in book.SUPPORT_SPACING if "stiff" in limit.name)
    checks = [stiff.check(found=asked.spacing_m)]
    if asked.kind == "bolster":
        return tuple(checks), ()
    each = book.AREA_PER_SUPPORT
    checks.append(each.check(found=area_m2 / count))
    _, working = show(
        book.supports_by_floor,
        about="chairs, by the floor that one holds",
        floor_m2=area_m2,
        each_m2=each.value,
    )
    return tuple(checks), (working,)


def _others_say() -> Remark:
    """The published spacings disagree; all are told."""
    told = "; ".join(
        f"{limit.name}: at most {limit.printed} ({limit.cited})" for limit in book.SUPPORT_SPACING
    )
    return Remark("note", f"What is published on supports of wire disagrees. {told}.")


def _items(asked: SupportsAsked, *, count: int, boxes: int, long_m: float) -> tuple[Item, ...]:
    bolster = asked.kind == "bolster"
    boxed = asked.box_of > 1
    each = (asked.stock_length_m or 0.0) if bolster else 1.0
    why = (
        "length of all lines on the drawn layout; rests begin the next line"
        if bolster
        else "counted on the drawn layout"
    )
    return (
        Item(
            code=asked.kind,
            what="slab bolsters under the steel" if bolster else "chairs under the steel",
            kind="material",
            quantity="length_m" if bolster else "count",
            net=long_m if bolster else float(count),
            gross=count * each,
            order_unit="box" if boxed else asked.kind,
            ordered=float(boxes),
            why=why,
            unit_holds=each * asked.box_of,
        ),
        Item(
            code="set-supports",
            what="set supports under the steel",
            kind="work",
            quantity="count",
            net=float(count),
            gross=float(count),
            order_unit="as measured",
            ordered=float(count),
            why="bolsters or chairs to set",
        ),
    )
