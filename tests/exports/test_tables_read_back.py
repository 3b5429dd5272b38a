"""The tables, read by the standard library's CSV reader."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from dataclasses import fields, replace
from decimal import Decimal

import pytest
from export_jobs import FOOT_M, YARD3_M3, walked

from overslab.faces.exports import FILES, files_for
from overslab.ground.csvcells import plain_cell
from overslab.ground.faults import Faulty
from overslab.job import Walk
from overslab.price.records import Bid
from overslab.takeoff.items import Item

INCH_M, POUND_KG = 0.0254, 0.45359237  # exact since 1959
TABLES = tuple(one.name for one in FILES if one.form == "csv")
HOSTILE = '=HYPERLINK("http://example.invalid","x")'


def raw(walk: Walk, file: str) -> bytes:
    return next(one for one in FILES if one.name == file).make(walk, True)


def rows(walk: Walk, file: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(raw(walk, file).decode("utf-8-sig"), newline="")))


@pytest.mark.parametrize("file", TABLES)
def test_a_table_keeps_to_rfc_4180_with_a_mark_in_front(file: str) -> None:
    held = raw(walked("farm-shop"), file)
    assert held.startswith(b"\xef\xbb\xbf")
    assert held.endswith(b"\r\n")
    assert held.count(b"\n") == held.count(b"\r\n")
    lines = list(csv.reader(io.StringIO(held.decode("utf-8-sig"), newline=""), strict=True))
    assert len(lines) > 1
    assert {len(line) for line in lines} == {len(lines[0])}
    assert len(set(lines[0])) == len(lines[0])


def test_concrete_in_both_units() -> None:
    walk = walked("farm-shop")
    assert walk.takeoff is not None
    found = rows(walk, "concrete.csv")
    parts = [walk.takeoff.total, *walk.takeoff.panels, *walk.takeoff.strips]
    assert [row["name"] for row in found] == [part.name for part in parts]
    assert [row["of"] for row in found].count("whole") == 1
    for row, part in zip(found, parts, strict=True):
        figure = {name: float(told) for name, told in row.items() if name not in ("of", "name")}
        assert figure["volume_m3"] == pytest.approx(part.volume_m3.mean, abs=1e-6)
        assert figure["volume_yd3"] * YARD3_M3 == pytest.approx(part.volume_m3.mean, abs=1e-6)
        assert figure["area_ft2"] * FOOT_M**2 == pytest.approx(part.area_m2, abs=1e-6)
        assert figure["thinnest_in"] * INCH_M == pytest.approx(part.thinnest_m, abs=1e-6)
        assert figure["plus_or_minus_yd3"] * YARD3_M3 == pytest.approx(
            1.96 * part.volume_m3.deviation, rel=1e-3, abs=1e-6
        )


def test_a_metric_job_has_no_feet() -> None:
    for file in ("concrete.csv", "pads.csv"):
        names = rows(walked("metric-wash-bay"), file)[0]
        assert not [name for name in names if name.endswith(("_ft", "_in", "_ft2", "_yd3"))]


def test_every_pad_with_its_place_and_reading() -> None:
    """Reading and height add up to the height of the beam, the same at every pad."""
    walk = walked("farm-shop")
    top = walk.newtop.top
    assert top is not None
    found = rows(walk, "pads.csv")
    assert [row["pad"] for row in found] == [pad.name for pad in top.pads]
    beams = []
    for row, pad in zip(found, top.pads, strict=True):
        assert float(row["x_ft"]) * FOOT_M == pytest.approx(pad.at[0], abs=1e-6)
        assert float(row["y_m"]) == pytest.approx(pad.at[1], abs=1e-6)
        assert float(row["thickness_in"]) * INCH_M == pytest.approx(pad.thickness_m, abs=1e-6)
        beams.append(float(row["height_m"]) + float(row["rod_reading_m"]))
    assert max(beams) - min(beams) < 3e-6


def things(what: str) -> tuple[Item, ...]:
    return (
        Item("wire-sheet", what, "material", "area_m2", 92.903040, 100.0, "sheet", 20.0, what, 5.0),
        Item("bar", "bars", "material", "mass_kg", 45.359237, 45.359237, "lb", 100.0, "by weight"),
        Item("chair", "chairs", "material", "count", 40.0, 44.0, "piece", 44.0, "by count", 1.0),
        Item("place", "place", "work", "volume_m3", YARD3_M3, YARD3_M3, "as measured", 1.0, "-"),
    )


def with_items(walk: Walk, items: tuple[Item, ...]) -> Walk:
    assert walk.takeoff is not None
    return replace(walk, takeoff=replace(walk.takeoff, items=items))


def test_items_have_their_units_beside_them() -> None:
    """By hand: 92.903040 m2 is 1000 ft2; 45.359237 kg is 100 lb; 0.9144 cubed m3 is 1 yd3;
    20 sheets of 5 m2 for 92.90304 m2 waste 7.639 %."""
    found = rows(with_items(walked("farm-shop"), things("wire")), "takeoff.csv")
    told = [(row["net_in_job_unit"], row["job_unit"], row["unit"]) for row in found]
    assert [(float(net), job, si) for net, job, si in told] == [
        (1000.0, "ft2", "m2"),
        (100.0, "lb", "kg"),
        (40.0, "count", "count"),
        (1.0, "yd3", "m3"),
    ]
    assert float(found[0]["waste_share"]) == pytest.approx(0.07639, abs=1e-5)
    metric = rows(with_items(walked("metric-wash-bay"), things("wire")), "takeoff.csv")
    assert [row["job_unit"] for row in metric] == ["m2", "kg", "count", "m3"]
    assert float(metric[0]["net_in_job_unit"]) == pytest.approx(92.90304)


def hostile_takeoff(walk: Walk) -> Walk:
    return with_items(walk, things(HOSTILE))


def hostile_concrete(walk: Walk) -> Walk:
    assert walk.takeoff is not None
    panels = tuple(replace(one, name=HOSTILE) for one in walk.takeoff.panels)
    return replace(walk, takeoff=replace(walk.takeoff, panels=panels))


def hostile_pads(walk: Walk) -> Walk:
    top = walk.newtop.top
    assert top is not None
    pads = tuple(replace(one, name=HOSTILE) for one in top.pads)
    options = tuple(replace(one, pads=pads) if one is top else one for one in walk.newtop.options)
    return replace(walk, newtop=replace(walk.newtop, options=options))


def hostile_bid(walk: Walk) -> Walk:
    assert walk.price is not None
    lines = tuple(replace(one, what=HOSTILE, why=HOSTILE) for one in walk.price.lines)
    return replace(walk, price=replace(walk.price, lines=lines, currency=HOSTILE))


@pytest.mark.parametrize(
    ("file", "spoil"),
    [
        ("takeoff.csv", hostile_takeoff),
        ("concrete.csv", hostile_concrete),
        ("pads.csv", hostile_pads),
        ("bid.csv", hostile_bid),
    ],
)
def test_no_cell_is_run_as_a_formula(file: str, spoil: Callable[[Walk], Walk]) -> None:
    """OWASP, CSV Injection: a cell that begins with = + - @ tab or line end is run, unless it is
    a plain number."""
    text = raw(spoil(walked("farm-shop")), file).decode("utf-8-sig")
    cells = [cell for line in csv.reader(io.StringIO(text, newline="")) for cell in line]
    assert HOSTILE in {plain_cell(cell) for cell in cells}
    for cell in cells:
        if cell.startswith(tuple("=+-@\t\r\n＝＋－＠")):
            float(cell)


def test_the_bid_is_there_line_by_line_and_adds_up() -> None:
    walk = walked("farm-shop")
    bid = walk.price
    assert isinstance(bid, Bid)
    found = rows(walk, "bid.csv")
    lines = [row for row in found if row["row"] == "line"]
    assert [row["code"] for row in lines] == [line.code for line in bid.lines]
    sums = {row["code"]: Decimal(row["amount"]) for row in found if row["row"] == "sum"}
    assert sum(Decimal(row["amount"]) for row in lines) == sums["direct-cost"]
    assert sums["direct-cost"] + sums["overhead"] == sums["cost"]
    assert sums["cost"] + sums["profit"] == sums["before-tax"]
    assert sums["price"] == bid.price
    assert {row["currency"] for row in found} == {"$"}


def test_without_a_bid_there_is_no_table_of_it() -> None:
    walk = replace(walked("farm-shop"), price=None)
    (kind,) = (one for one in FILES if one.priced)
    assert not kind.there_is(walk)
    with pytest.raises(Faulty) as told:
        kind.make(walk, True)
    assert [one.code for one in told.value.faults] == ["export-no-price"]


def test_what_the_crew_may_have_holds_no_money() -> None:
    """Not the words for it, and not one amount of the bid of four figures or more."""
    walk = walked("farm-shop")
    bid = walk.price
    assert isinstance(bid, Bid)
    amounts = [line.amount for line in bid.lines]
    amounts += [getattr(bid, one.name) for one in fields(bid) if one.type == "Decimal"]
    big = {str(one) for one in amounts if one >= 1000} | {
        f"{one:,.2f}" for one in amounts if one >= 1000
    }
    assert len(big) >= 6
    theirs = files_for(office=False)
    assert {one.name for one in FILES} - {one.name for one in theirs} == {"bid.csv"}
    for kind in theirs:
        if kind.form not in ("csv", "ics"):
            continue
        text = kind.make(walk, False).decode("utf-8-sig")
        assert not [one for one in big if one in text]
        if kind.form == "csv":
            head = text.partition("\r\n")[0]
            assert not [word for word in ("price", "cost", "amount", "currency") if word in head]
