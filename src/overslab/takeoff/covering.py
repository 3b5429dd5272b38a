"""What lies under the new slab or is spread on it: sheet, bonding agent, cure, sealer."""

from __future__ import annotations

from math import ceil

import shapely

from overslab.ground.notes import Assumption, Remark
from overslab.ground.units import Units, write_area
from overslab.handbook.ordering import area_covered_m2
from overslab.handbook.working import show
from overslab.takeoff.asked import RolledAsked, SpreadAsked
from overslab.takeoff.courses import Laid, lay_courses
from overslab.takeoff.cutting import cut_off
from overslab.takeoff.items import Item, work
from overslab.takeoff.place import Place
from overslab.takeoff.records import Part, Portion, SheetLayout, Trucks


def lay_sheet(place: Place, asked: RolledAsked) -> SheetLayout:
    """The bond breaker in courses over the whole floor, posts cut round, turned up at walls."""
    floor = shapely.Polygon(place.floor.exterior)
    shape, upturn_m2 = floor, 0.0
    if asked.upturn_m > 0.0:
        # Flat ends: at a corner of two walls the sheet is folded, at an open side it ends.
        walls = [wall.line.buffer(asked.upturn_m, cap_style="flat") for wall in place.walls()]
        shape = _whole(shapely.union_all([floor, *walls]))
        upturn_m2 = sum(wall.length_m for wall in place.walls()) * asked.upturn_m
    laid = lay_courses(shape, asked)
    net_m2 = (place.floor.area + upturn_m2) * asked.layers
    items = [
        _sheet_item("breaker", asked, laid, net_m2=net_m2, why="Courses laid over the drawn "
                    "outline with their laps and upturns; posts are cut round and save nothing."),
    ]  # fmt: skip
    if asked.tape_length_m is not None:
        seams_m = laid.laps_m * asked.layers
        tape = cut_off([seams_m] if seams_m > 0.0 else [], stock_m=asked.tape_length_m)
        items.append(
            Item(
                code="breaker-tape",
                what="tape for the laps",
                kind="material",
                quantity="length_m",
                net=seams_m,
                gross=tape.used_m,
                order_unit="roll",
                ordered=float(tape.rolls),
                why="Length of the seams between courses and within them.",
                unit_holds=asked.tape_length_m,
            )
        )
    items.append(
        work(
            "lay-breaker",
            "lay the sheet",
            "area_m2",
            place.floor.area * asked.layers,
            "The floor, once a layer.",
        )
    )
    return SheetLayout(
        items=tuple(items), courses=laid.courses, laps_m=laid.laps_m, upturn_m2=upturn_m2
    )


def _whole(shape: shapely.Geometry) -> shapely.Polygon:
    """The greatest piece, without holes."""
    parts = [part for part in shapely.get_parts(shape) if isinstance(part, shapely.Polygon)]
    return shapely.Polygon(max(parts, key=lambda part: part.area).exterior)


def _sheet_item(code: str, asked: RolledAsked, laid: Laid, *, net_m2: float, why: str) -> Item:
    lengths = [course.length_m for course in laid.courses] * asked.layers
    cut = cut_off(lengths, stock_m=asked.roll_length_m, lap_m=asked.lap_m)
    return Item(
        code=code,
        what=asked.what or "sheet",
        kind="material",
        quantity="area_m2",
        net=net_m2,
        gross=cut.used_m * asked.roll_width_m,
        order_unit="roll",
        ordered=float(cut.rolls),
        why=why,
        unit_holds=asked.roll_length_m * asked.roll_width_m,
    )


def spread_item(code: str, asked: SpreadAsked, *, area_m2: float, why: str) -> Item:
    """What is spread by area: whole units for all coats together."""
    holds_m2 = asked.covers_m2_per_unit / asked.coats
    return Item(
        code=code,
        what=asked.what or code.replace("-", " "),
        kind="material",
        quantity="area_m2",
        net=area_m2,
        gross=area_m2,
        order_unit=asked.unit,
        ordered=float(ceil(area_m2 / holds_m2 - 1e-9)),
        why=why,
        unit_holds=holds_m2,
    )


def bond(
    place: Place,
    asked: SpreadAsked,
    *,
    total: Portion,
    strips: tuple[Portion, ...],
    trucks: Trucks | None,
    units: Units,
) -> Part:
    """Bonding agent by area; how much of it may lie open ahead of the concrete."""
    area_m2 = place.floor.area
    items = (
        spread_item(
            "bonding-agent",
            asked,
            area_m2=area_m2,
            why="The floor, once a coat, by the coverage you gave; a rough face takes more.",
        ),
        work(
            "prepare-surface",
            "prepare the face of the old slab",
            "area_m2",
            area_m2,
            "A bonded top needs a clean, rough face everywhere.",
        ),
        work("bond", "put on the bonding agent", "area_m2", area_m2, "The floor."),
    )
    if asked.open_minutes is None:
        ask = Remark(
            "ask",
            "Within how many minutes must concrete lie on the bonding agent? Ask its maker; dried "
            "up it keeps the two apart.",
        )
        return Part(items=items, remarks=(ask,))
    if trucks is None or total.mean_thickness_m <= 0.0:
        return Part(items=items)
    poured_m3 = trucks.hold_m3 * asked.open_minutes / trucks.every_minutes
    ahead_m2, working = show(
        area_covered_m2,
        about="floor that may be coated ahead of the concrete",
        volume_m3=poured_m3,
        thickness_m=total.mean_thickness_m,
    )
    least = f"At most {write_area(ahead_m2, units)} may be coated ahead of the concrete"
    wide = [strip.name for strip in strips if strip.area_m2 > ahead_m2]
    told = f" Coat {', '.join(wide)} in parts." if wide else ""
    return Part(
        items=items,
        remarks=(
            Remark(
                "warn" if wide else "note",
                f"{least}, at the pace of the trucks; a late truck or a slower crew leaves it "
                f"less.{told}",
            ),
        ),
        workings=(working,),
        assumptions=(
            Assumption(
                about="pace of the pour",
                taken="full trucks, placed as fast as they come",
                because="the slowest the concrete comes is one truck after the other; what dries "
                "waits for the last of them",
            ),
        ),
    )


def cure(place: Place, compound: SpreadAsked | None, cover: RolledAsked | None) -> tuple[Item, ...]:
    """Compound by coats, cover by courses; the work is the same floor once."""
    items = []
    if compound is not None:
        items.append(
            spread_item(
                "cure-compound",
                compound,
                area_m2=place.floor.area,
                why="The floor in all its coats, by the coverage you gave.",
            )
        )
    if cover is not None:
        laid = lay_courses(shapely.Polygon(place.floor.exterior), cover)
        items.append(
            _sheet_item(
                "cure-cover",
                cover,
                laid,
                net_m2=place.floor.area,
                why="Courses laid over the drawn outline with their laps.",
            )
        )
    if items:
        items.append(work("cure", "cure", "area_m2", place.floor.area, "The floor."))
    return tuple(items)


def seal(place: Place, asked: SpreadAsked) -> tuple[Item, ...]:
    """Sealer by coats."""
    area_m2 = place.floor.area
    return (
        spread_item(
            "sealer",
            asked,
            area_m2=area_m2,
            why="The floor in all its coats, by the coverage you gave.",
        ),
        work("seal", "seal", "area_m2", area_m2, "The floor, when the concrete is old enough."),
    )
