"""Tables for a spreadsheet: takeoff, concrete, pads, and for the office the lines of the bid.

RFC 4180 (2005) in UTF-8 with a byte order mark, by which spreadsheets know that it is UTF-8. The
unit stands in the name of a column: SI first, then the job's own; where rows differ in unit, it has
a column of its own.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from overslab.faces.documents.words import laser_as_shot
from overslab.faces.exports import faults
from overslab.faces.exports.frame import plain
from overslab.faces.exports.meshes import top_of
from overslab.ground.csvcells import Value, csv_text
from overslab.ground.faults import Faulty
from overslab.ground.units import (
    to_customary,
    write_height,
    write_reading,
    write_thickness,
)
from overslab.handbook.marking import grade_rod
from overslab.job.records import Walk
from overslab.takeoff.records import Portion, Takeoff

_DIGITS = 6
# SI unit at the end of a name, and what stands for it in a job in feet.
_CUSTOMARY = {"m2": "ft2", "m3": "yd3", "m": "ft", "kg": "lb"}
Row = Sequence[Value]
_Column = tuple[str, str, Callable[[Portion], float]]  # SI name, unit in feet, value


def takeoff_csv(walk: Walk) -> bytes:
    """Everything to buy and to do, without a price."""
    takeoff = _takeoff(walk)
    metric = walk.job.units.system == "metric"
    rows: list[Row] = [
        (
            "code",
            "what",
            "kind",
            "net",
            "gross",
            "unit",
            "net_in_job_unit",
            "gross_in_job_unit",
            "job_unit",
            "ordered",
            "order_unit",
            "order_unit_holds",
            "waste_share",
            "size_m",
            "why",
        )
    ]
    for item in takeoff.items:
        unit = item.quantity.rpartition("_")[2]
        job_unit = unit if metric else _CUSTOMARY.get(unit, unit)
        theirs = [
            _figure(value) if job_unit == unit else _in(value, job_unit)
            for value in (item.net, item.gross)
        ]
        rows.append(
            (
                item.code,
                plain(item.what),
                item.kind,
                _figure(item.net),
                _figure(item.gross),
                unit,
                *theirs,
                job_unit,
                _figure(item.ordered),
                item.order_unit,
                _figure(item.unit_holds),
                _figure(item.waste),
                _figure(item.size_m),
                plain(item.why),
            )
        )
    return _file(rows)


def concrete_csv(walk: Walk) -> bytes:
    """Concrete in place: in all, by panel, by strip. Nothing is added for losses."""
    takeoff = _takeoff(walk)
    metric = walk.job.units.system == "metric"
    columns: tuple[_Column, ...] = (
        ("area_m2", "ft2", lambda one: one.area_m2),
        ("volume_m3", "yd3", lambda one: one.volume_m3.mean),
        ("plus_or_minus_m3", "yd3", lambda one: one.volume_m3.plus_or_minus),
        ("mean_thickness_m", "in", lambda one: one.mean_thickness_m),
        ("thinnest_m", "in", lambda one: one.thinnest_m),
        ("thickest_m", "in", lambda one: one.thickest_m),
    )
    names = [name for name, _, _ in columns]
    if not metric:
        names += [f"{name.rpartition('_')[0]}_{unit}" for name, unit, _ in columns]
    rows: list[Row] = [("of", "name", *names)]
    parts = [("whole", takeoff.total)]
    parts += [("panel", one) for one in takeoff.panels]
    parts += [("strip", one) for one in takeoff.strips]
    for kind, part in parts:
        figures = [_figure(value(part)) for _, _, value in columns]
        if not metric:
            figures += [_in(value(part), unit) for _, unit, value in columns]
        rows.append((kind, plain(part.name), *figures))
    return _file(rows)


def pads_csv(walk: Walk) -> bytes:
    """Every pad: place, height, and what the rod reads on it as the laser stood at the survey."""
    top, units, laser = top_of(walk), walk.job.units, laser_as_shot(walk)
    metric = units.system == "metric"
    names = ["x_m", "y_m", "height_m", "thickness_m", "rod_reading_m"]
    theirs = [] if metric else ["ft", "ft", "ft", "in", "ft"]
    names += [
        f"{name.rpartition('_')[0]}_{unit}" for name, unit in zip(names, theirs, strict=False)
    ]
    rows: list[Row] = [("pad", *names, "height_as_written", "thickness_as_written", "rod_reads")]
    for pad in top.pads:
        reading = None
        if laser is not None:
            reading = grade_rod(instrument_m=laser.beam_m, finished_height_m=pad.height_m)
        figures = (*pad.at, pad.height_m, pad.thickness_m, reading)
        rows.append(
            (
                plain(pad.name),
                *(_figure(value) for value in figures),
                *(_in(value, unit) for value, unit in zip(figures, theirs, strict=False)),
                write_height(pad.height_m, units),
                write_thickness(pad.thickness_m, units),
                None if reading is None else write_reading(reading, units),
            )
        )
    return _file(rows)


def bid_csv(walk: Walk) -> bytes:
    """Lines of the bid and what they come to: for the office alone."""
    bid = walk.price
    if bid is None:
        raise Faulty(faults.NO_PRICE.met(value=walk.job.name))
    money = (plain(bid.currency), bid.price_date)
    rows: list[Row] = [
        (
            "row",
            "code",
            "what",
            "group",
            "number",
            "unit",
            "each",
            "amount",
            "currency",
            "price_date",
            "why",
        )
    ]
    for line in bid.lines:
        told = (line.code, plain(line.what), line.group, line.number, plain(line.unit), line.each)
        rows.append(("line", *told, line.amount, *money, plain(line.why)))
    sums = (
        ("direct-cost", "all lines", bid.direct_cost),
        ("overhead", "overhead", bid.overhead),
        ("cost", "direct cost and overhead", bid.cost),
        ("profit", "profit", bid.profit),
        ("before-tax", "price before tax", bid.before_tax),
        ("tax", "tax", bid.tax),
        ("rounding", "what the rounding adds", bid.rounding),
        ("price", "price asked", bid.price),
    )
    for code, what, amount in sums:
        rows.append(("sum", code, what, None, None, None, None, amount, *money, None))
    return _file(rows)


def _takeoff(walk: Walk) -> Takeoff:
    if walk.takeoff is None:
        raise Faulty(faults.NO_TOP.met(value=walk.job.name))
    return walk.takeoff


def _figure(value: float | None) -> float | None:
    return None if value is None else round(value, _DIGITS) + 0.0


def _in(value: float | None, unit: str) -> float | None:
    """An SI figure in another unit."""
    return None if value is None else _figure(to_customary(value, unit))


def _file(rows: list[Row]) -> bytes:
    return csv_text(rows).encode("utf-8-sig")
