"""Grind and patch: heaved panels and steps cut down, ponds filled to where they would spill.

A panel is heaved when it lies, on the whole, above the plane of all the rest by more than the step
that the owner lets stand. A step across a crack that is left is ground to a ramp. What holds water
after that is filled level. The falls of the floor stay as they are.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from overslab.ground.notes import Assumption
from overslab.ground.units import write_area, write_thickness
from overslab.handbook.other_ways import (
    GRIND_LEFT,
    GRIND_PASS,
    PATCH_WAIT,
    grinding_passes,
    wedge_volume,
)
from overslab.newtop.records import TopSurface
from overslab.oldslab import BIRDBATH_M, Water, run_water
from overslab.oldslab.records import OldSlab, Point
from overslab.price.ledger import Ledger, WorkAsked
from overslab.price.records import Alternative, Measured
from overslab.price.ways import NO_THICKNESS, Case

Floats = NDArray[np.float64]

# A panel that is more of the floor than this is the floor: what lies off is the rest.
_MOST_OF_FLOOR = 1 / 3
RAMP = 1 / 12  # common practice: the slope of a ramp that wheels and feet take


@dataclass(frozen=True, slots=True)
class Cut:
    """Concrete above a surface."""

    area_m2: float
    deepest_m: float
    deepest_at: Point | None
    volume_m3: float


@dataclass(frozen=True, slots=True)
class Ramp:
    """A step ground out."""

    break_name: str
    step_m: float
    length_m: float
    area_m2: float
    volume_m3: float


@dataclass(frozen=True, slots=True, eq=False)
class Grinding:
    """What grinding and patching take; cuts of heaved panels by name."""

    heaved: tuple[tuple[str, Cut], ...]
    ramps: tuple[Ramp, ...]
    area_m2: float
    deepest_m: float
    volume_m3: float
    water: Water  # after grinding; what is patched
    patch_m3: float
    patch_m2: float


def cut_down_to(oldslab: OldSlab, target: TopSurface, *, below_m: float = 0.0) -> Cut:
    """What stands above a surface lowered by ``below_m``: area, depth and volume to cut.

    With the new top and its least thickness it says where the old floor leaves no room for it.
    """
    lattice = oldslab.lattice
    at_m = lattice.points_m
    over_m = oldslab.heights_m[lattice.inside] - (target.height_m(at_m) - below_m)
    return _cut(over_m, at_m, cell_m2=oldslab.plan.polygon().area / len(at_m))


def take_off_grinding(oldslab: OldSlab, *, step_most_m: float) -> Grinding:
    """What it takes to cut down what is heaved and to fill what holds water."""
    lattice = oldslab.lattice
    at_m, floor = lattice.points_m, oldslab.plan.polygon()
    cell_m2 = floor.area / len(at_m)
    after_m = oldslab.heights_m[lattice.inside].copy()
    heaved: list[tuple[str, Cut]] = []
    gone = np.zeros(len(at_m), dtype=bool)
    for panel in sorted(oldslab.panels, key=lambda one: one.area_m2):
        if panel.kind != "panel" or panel.area_m2 > _MOST_OF_FLOOR * floor.area:
            continue
        here = np.asarray(shapely.contains_xy(panel.polygon, at_m[:, 0], at_m[:, 1]))
        rest = ~here & ~gone
        if not here.any() or rest.sum() < 3:
            continue
        over_m = after_m - _plane(at_m[rest], after_m[rest], at_m)
        if float(over_m[here].mean()) <= step_most_m:
            continue
        gone |= here
        cut = _cut(np.where(here, over_m, 0.0), at_m, cell_m2=cell_m2)
        heaved.append((panel.name, cut))
        after_m[here] -= np.maximum(over_m[here], 0.0)
    ramps = _ramps(oldslab, _round_of(oldslab, [name for name, _ in heaved]), step_most_m)
    water = run_water(oldslab.plan, lattice, lattice.spread(after_m))
    cuts = [cut for _, cut in heaved]
    return Grinding(
        heaved=tuple(heaved),
        ramps=ramps,
        area_m2=sum(cut.area_m2 for cut in cuts) + sum(ramp.area_m2 for ramp in ramps),
        deepest_m=max([cut.deepest_m for cut in cuts] + [ramp.step_m for ramp in ramps], default=0),
        volume_m3=sum(cut.volume_m3 for cut in cuts) + sum(ramp.volume_m3 for ramp in ramps),
        water=water,
        patch_m3=sum(spot.volume_m3 for spot in water.low_spots),
        # A film on the level floor beside a pond is no place to patch.
        patch_m2=float((water.depth_m[lattice.inside] > BIRDBATH_M).sum() * cell_m2),
    )


def _cut(over_m: Floats, at_m: Floats, *, cell_m2: float) -> Cut:
    above = over_m > 1e-6  # of nothing but the last digits of sums, nothing is cut
    if not above.any():
        return Cut(0.0, 0.0, None, 0.0)
    top = int(np.argmax(over_m))
    return Cut(
        area_m2=float(above.sum() * cell_m2),
        deepest_m=float(over_m[top]),
        deepest_at=(float(at_m[top, 0]), float(at_m[top, 1])),
        volume_m3=float(over_m[above].sum() * cell_m2),
    )


def _plane(from_m: Floats, heights_m: Floats, to_m: Floats) -> Floats:
    """The plane of least squares through some places, at others."""
    middle = from_m.mean(axis=0)
    fitted, *_ = np.linalg.lstsq(
        np.column_stack([np.ones(len(from_m)), from_m - middle]), heights_m, rcond=None
    )
    return np.asarray(fitted[0] + (to_m - middle) @ fitted[1:])


def _round_of(oldslab: OldSlab, names: list[str]) -> list[shapely.Polygon]:
    """The heaved panels, a hand wider, so that their own breaks are found."""
    return [panel.polygon.buffer(0.05) for panel in oldslab.panels if panel.name in names]


def _ramps(oldslab: OldSlab, heaved: list[shapely.Polygon], step_most_m: float) -> tuple[Ramp, ...]:
    """A ramp at each break whose greatest step is over the limit, but not where a panel is cut."""
    found = []
    for line in oldslab.plan.breaks:
        steps = [abs(one.step_m.mean) for one in oldslab.steps if one.break_name == line.name]
        if not steps or max(steps) <= step_most_m:
            continue
        course = shapely.LineString(line.line).intersection(oldslab.plan.polygon())
        if any(polygon.covers(course) for polygon in heaved):
            continue
        step_m, length_m = max(steps), float(course.length)
        found.append(
            Ramp(
                break_name=line.name,
                step_m=step_m,
                length_m=length_m,
                area_m2=length_m * step_m / RAMP,
                volume_m3=wedge_volume(length_m=length_m, step_m=step_m, ramp=RAMP),
            )
        )
    return tuple(found)


def grind_and_patch(case: Case) -> Alternative:
    title = "Grind high places, patch low ones"
    units, known_m = case.units, case.verdict.old_thickness_m
    cut = take_off_grinding(case.oldslab, step_most_m=case.verdict.practice.crack_step_most_m)
    stops, missing = [], []
    if cut.deepest_m > 0.0 and known_m is None:
        missing.append(NO_THICKNESS)
    elif known_m is not None and 0.0 < cut.deepest_m > known_m - GRIND_LEFT.value + 1e-9:
        stops.append(
            f"It takes {write_thickness(cut.deepest_m, units)} off a slab that is "
            f"{write_thickness(known_m, units)} thick; "
            f"{write_thickness(GRIND_LEFT.value, units)} must stay (common practice)."
        )
    if cut.area_m2 == 0.0 and cut.patch_m3 == 0.0:
        stops.append("There is nothing to grind and no water to fill.")
    possible = not stops
    ledger = case.ledger()
    ledger.missing += missing
    hours = _grind_lines(ledger, cut) if possible else 0.0
    if possible:
        ledger.charges("grind-patch", hours=hours, days=ledger.days(hours), loads=0, pours=0)
    wait = PATCH_WAIT.value if cut.patch_m3 > 0.0 else 0.0
    solves = ["Steps that catch feet and wheels are ground off."] if cut.area_m2 else []
    if cut.patch_m3:
        solves.append("Puddles are filled to where they spill; those places then lie level.")
    return Alternative(
        code="grind-patch",
        title=title,
        possible=possible,
        price=case.priced(ledger) if possible else None,
        lines=tuple(ledger.lines),
        days_out_of_use=ledger.days(hours) + wait if possible and not ledger.missing else None,
        solves=tuple(solves) if possible else (),
        leaves=(
            "No fall is made; thin patches wear and come off first at their edges.",
            *case.problems.in_slab,
            *case.problems.deep,
        ),
        why=" ".join(stops)
        if stops
        else _what_is_done(cut, case),
        missing=tuple(ledger.missing),
        measured=(
            Measured("area to grind", "area_m2", cut.area_m2),
            Measured("deepest cut", "thickness_m", cut.deepest_m),
            Measured("concrete ground off", "volume_m3", cut.volume_m3),
            Measured("passes at the deepest", "passes_count", grinding_passes(
                depth_m=cut.deepest_m, pass_m=GRIND_PASS.value)),
            Measured("patch", "volume_m3", cut.patch_m3),
            Measured("area to patch", "area_m2", cut.patch_m2),
        ),
        assumptions=(Assumption("before cars", f"{wait:g} days", PATCH_WAIT.cited),),
    )  # fmt: skip


def _what_is_done(cut: Grinding, case: Case) -> str:
    parts = []
    if cut.area_m2:
        parts.append(
            f"{write_area(cut.area_m2, case.units)} to grind, up to "
            f"{write_thickness(cut.deepest_m, case.units)} deep"
        )
    if cut.patch_m2:
        parts.append(f"{write_area(cut.patch_m2, case.units)} to patch")
    return f"{'; '.join(parts)}."


def _grind_lines(ledger: Ledger, cut: Grinding) -> float:
    for asked in (
        WorkAsked("grind", "grind down", "volume_m3", cut.volume_m3, "heaved panels and steps"),
        WorkAsked("patch-ponds", "clean, prime and fill low places", "area_m2", cut.patch_m2,
                  "where water stands after grinding"),
    ):  # fmt: skip
        ledger.work(asked)
    ledger.stuff("patch-mortar", "patching mortar", "material",
                 volume_m3=cut.patch_m3, why="to where each puddle would spill")  # fmt: skip
    return ledger.hours
