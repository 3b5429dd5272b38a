"""Lift or fill: every panel of the old slab jacked up, stiff as it is, to one plane.

Lifting only raises. The plane is the lowest one that no panel must be pressed down to; it has the
fall of the drawn plane where there is one, else the plane that takes least filling. What the panels
have of humps and dishes in themselves stays, so the water is run over the lifted floor again.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.optimize import linprog

from overslab.ground.notes import Assumption
from overslab.ground.units import write_length, write_thickness, write_water
from overslab.handbook.other_ways import HOLE_EDGE, HOLE_SPACING, LIFT_WAIT
from overslab.newtop.records import NewTop
from overslab.oldslab import Water, run_water
from overslab.oldslab.records import OldSlab
from overslab.price.ledger import Ledger, WorkAsked
from overslab.price.records import Alternative, Measured
from overslab.price.ways import Case, ponded_m3

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Point = tuple[float, float]

# A panel this near to the plane all over is left as it is: what a rod tells.
_LIFTED_M = 0.003


@dataclass(frozen=True, slots=True)
class TooHigh:
    """A line that the lifted floor would stand above."""

    name: str
    over_m: float


@dataclass(frozen=True, slots=True, eq=False)
class Lift:
    """What lifting takes. ``volume_m3`` is what goes under the panels that rise."""

    volume_m3: float
    lifted_m2: float
    most_m: float  # greatest rise at any corner
    panels: tuple[str, ...]  # those that rise
    holes: tuple[Point, ...]
    fall: float  # of the plane
    drains: bool  # the plane falls the way the drawn one does
    too_high: tuple[TooHigh, ...]
    water: Water  # over the lifted floor


def take_off_lift(oldslab: OldSlab, newtop: NewTop) -> Lift:
    """What it takes to jack the panels to one plane."""
    lattice, floor = oldslab.lattice, oldslab.plan.polygon()
    at_m, old_m = lattice.points_m, oldslab.heights_m[lattice.inside]
    cell_m2 = floor.area / len(at_m)
    panels = [panel for panel in oldslab.panels if panel.kind == "panel"]
    belongs = _panel_of(at_m, [panel.polygon for panel in panels])
    lies = [_plane_through(at_m[belongs == n], old_m[belongs == n]) for n in range(len(panels))]
    # A stiff panel touches the plane at one of its corners first.
    corners = [np.asarray(shapely.get_coordinates(panel.polygon)) for panel in panels]
    held = np.vstack(corners)
    held_m = np.concatenate([_on(plane, xy) for plane, xy in zip(lies, corners, strict=True)])
    slope = _drawn_slope(newtop)
    drains = slope is not None
    if slope is None:
        slope = _least_slope(held, held_m, weight=at_m.mean(axis=0))
    base_m = float(np.max(held_m - held @ slope))
    plane = np.array([base_m, *slope])
    lifted_m = old_m.copy()
    volume_m3, most_m, area_m2 = 0.0, 0.0, 0.0
    names: list[str] = []
    holes: list[Point] = []
    for n, panel in enumerate(panels):
        here = belongs == n
        rise_m = _on(plane - lies[n], at_m[here])
        at_corners_m = _on(plane - lies[n], corners[n])
        if not here.any() or float(at_corners_m.max()) < _LIFTED_M:
            continue
        lifted_m[here] += rise_m
        volume_m3 += float(rise_m.sum() * cell_m2)
        area_m2 += float(panel.polygon.area)
        most_m = max(most_m, float(at_corners_m.max()))
        names.append(panel.name)
        holes += stagger_holes(panel.polygon)
    water = run_water(oldslab.plan, lattice, lattice.spread(lifted_m))
    return Lift(
        volume_m3=volume_m3,
        lifted_m2=area_m2,
        most_m=most_m,
        panels=tuple(names),
        holes=tuple(holes),
        fall=float(np.hypot(*slope)),
        drains=drains,
        too_high=_too_high(newtop, plane),
        water=water,
    )


def stagger_holes(
    panel: shapely.Polygon,
    *,
    spacing_m: float = HOLE_SPACING.value,
    edge_m: float = HOLE_EDGE.value,
) -> list[Point]:
    """Rows ``spacing_m`` apart, every other one shifted by half, ``edge_m`` from the edge.

    A panel too narrow for that gets one hole in its middle.
    """
    within = panel.buffer(-edge_m)
    if within.is_empty:
        middle = panel.representative_point()
        return [(float(middle.x), float(middle.y))]
    west, south, east, north = within.bounds
    rows = int((north - south) // spacing_m) + 1
    low = (south + north) / 2 - (rows - 1) * spacing_m / 2
    places: list[Point] = []
    for row in range(rows):
        shift = spacing_m / 2 if row % 2 else 0.0
        count = int((east - west - shift) // spacing_m) + 1
        left = (west + east - shift) / 2 - (count - 1) * spacing_m / 2 + shift / 2
        places += [(left + n * spacing_m, low + row * spacing_m) for n in range(count)]
    kept = [place for place in places if within.covers(shapely.Point(place))]
    if not kept:
        middle = within.representative_point()
        kept = [(float(middle.x), float(middle.y))]
    return kept


def _panel_of(at_m: Floats, polygons: list[shapely.Polygon]) -> NDArray[np.intp]:
    """The panel of each place; -1 for a pit, a trench or a pad."""
    belongs = np.full(len(at_m), -1, dtype=np.intp)
    for n, polygon in enumerate(polygons):
        inside = shapely.contains_xy(polygon, at_m[:, 0], at_m[:, 1])
        belongs[inside & (belongs < 0)] = n
    return belongs


def _plane_through(at_m: Floats, heights_m: Floats) -> Floats:
    """Height at the origin and both slopes, by least squares; level where a panel is too small."""
    if len(at_m) < 3:
        return np.array([float(heights_m.mean()) if len(heights_m) else 0.0, 0.0, 0.0])
    middle = at_m.mean(axis=0)
    found, *_ = np.linalg.lstsq(
        np.column_stack([np.ones(len(at_m)), at_m - middle]), heights_m, rcond=None
    )
    return np.array([found[0] - found[1:] @ middle, *found[1:]])


def _on(plane: Floats, at_m: Floats) -> Floats:
    return np.asarray(plane[0] + at_m @ plane[1:])


def _drawn_slope(newtop: NewTop) -> Floats | None:
    """Rise along x and y of the drawn plane that drains; None where no plane does."""
    for option in newtop.options:
        if option.kind == "plane" and option.passes and option.surface is not None:
            places = newtop.lattice.points_m[:1]
            return np.asarray(option.surface.gradient(places)[0], dtype=np.float64)
    return None


def _least_slope(held: Floats, held_m: Floats, *, weight: Floats) -> Floats:
    """Slopes of the plane over all held places that is lowest in the middle of the floor."""
    answer = linprog(
        np.array([1.0, *weight]),
        A_ub=-np.column_stack([np.ones(len(held)), held]),
        b_ub=-held_m,
        bounds=[(None, None)] * 3,
        method="highs",
    )
    return np.asarray(answer.x[1:]) if answer.success else np.zeros(2)


def _too_high(newtop: NewTop, plane: Floats) -> tuple[TooHigh, ...]:
    """Doors and other lines that the lifted floor would rise above."""
    found = []
    for edge in newtop.wishes.edges:
        if edge.highest_m is None:
            continue
        over_m = float(_on(plane, np.array([edge.a, edge.b])).max()) - edge.highest_m
        if over_m > _LIFTED_M:
            found.append(TooHigh(edge.name, over_m))
    return tuple(found)


def lift_up(case: Case) -> Alternative:
    title = "Lift the old slab from below"
    lift, units = take_off_lift(case.oldslab, case.newtop), case.units
    stops = [f"Nobody drills here: {reason}" for reason in case.verdict.no_drilling]
    stops += [
        f"{one.name} would stand {write_length(one.over_m, units)} too low for the lifted floor."
        for one in lift.too_high
    ]
    if not lift.panels:
        stops.append("The floor lies in one plane: there is nothing to lift.")
    possible = not stops
    solves, leaves = _lifted(case, lift)
    ledger = case.ledger()
    hours = _lift_lines(ledger, lift) if possible else 0.0
    if possible:
        ledger.charges("lift", hours=hours, days=ledger.days(hours), loads=0, pours=0)
    wait = max(one.value for one in LIFT_WAIT)
    return Alternative(
        code="lift",
        title=title,
        possible=possible,
        price=case.priced(ledger) if possible else None,
        lines=tuple(ledger.lines),
        days_out_of_use=ledger.days(hours) + wait if possible and not ledger.missing else None,
        solves=solves if possible else (),
        leaves=leaves,
        why=" ".join(stops)
        if stops
        else f"{len(lift.panels)} of {len(case.oldslab.panels)} panels rise, the most by "
        f"{write_thickness(lift.most_m, units)}. Voids that nobody measured take more.",
        missing=tuple(ledger.missing),
        measured=(
            Measured("volume to fill below", "volume_m3", lift.volume_m3),
            Measured("area lifted", "area_m2", lift.lifted_m2),
            Measured("greatest lift", "thickness_m", lift.most_m),
            Measured("holes", "holes_count", len(lift.holes)),
            Measured("water that still stands", "volume_m3", ponded_m3(lift.water.low_spots)),
        ),
        assumptions=(
            Assumption(
                "distance between holes", write_length(HOLE_SPACING.value, units), HOLE_SPACING.note
            ),
            Assumption("before cars", f"{wait:g} days", LIFT_WAIT[-1].source),
        ),
    )


def _lift_lines(ledger: Ledger, lift: Lift) -> float:
    holes = float(len(lift.holes))
    for asked in (
        WorkAsked("drill-holes", "drill holes", "count", holes, "staggered rows"),
        WorkAsked("pump-lift", "pump and lift", "volume_m3", lift.volume_m3,
                  "between the panels as they lie and the plane"),
        WorkAsked("plug-holes", "plug the holes", "count", holes, "each one"),
    ):  # fmt: skip
        ledger.work(asked)
    ledger.stuff("lift-fill", "lifting grout or foam, set", "material",
                 volume_m3=lift.volume_m3, why="below the lifted panels")  # fmt: skip
    return ledger.hours


def _lifted(case: Case, lift: Lift) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What lifting solves and what it leaves."""
    units, today = case.units, case.problems.water_m3
    left = ponded_m3(lift.water.low_spots)
    solves = ["Settled panels come back to one plane; steps between them go."]
    leaves = ["The old surface stays; fine cracks may open."]
    if any(line.kind == "crack" for line in case.oldslab.plan.breaks):
        leaves.insert(0, "Cracks stay.")
    if left < 0.05 * today:
        solves.append("Water no longer stands.")
    elif today > 0.0:
        deepest = max((spot.depth_m for spot in lift.water.low_spots), default=0.0)
        leaves.append(
            f"Water still stands, for panels keep their dishes: {write_water(left, units)}, up to "
            f"{write_thickness(deepest, units)} deep; today {write_water(today, units)}."
        )
    if any(panel.kind != "panel" for panel in case.oldslab.panels):
        leaves.append("Pits, trenches and pads are not lifted: the floor rises round them.")
    if not lift.drains:
        leaves.append("The lifted plane has not the fall that was wished for.")
    return tuple(solves), (*leaves, *case.problems.deep)
