"""The sheet of the steel: every piece by its number, what it is cut from, found beside allowed."""

from __future__ import annotations

import io
import re
from dataclasses import replace

import pypdf
import pytest
from fake_walk import HOSTILE, fake_walk

from overslab.faces.documents.drawing import Path, Text
from overslab.faces.documents.packet import print_pdf
from overslab.faces.documents.paper import page_of
from overslab.faces.documents.sheets import lay_sheet
from overslab.job.records import Walk
from overslab.takeoff import lay_bars, lay_wire, set_supports
from overslab.takeoff.asked import BarsAsked, SupportsAsked, WireAsked

FOOT, INCH = 0.3048, 0.0254
WIRE = WireAsked(
    style="6x6 W2.9",
    sheet_length_m=10 * FOOT,
    sheet_width_m=5 * FOOT,
    spacing_m=6 * INCH,
    wire_diameter_m=0.192 * INCH,
    lap_m=8 * INCH,
    edge_m=2 * INCH,
    cover_top_m=1 * INCH,
    cover_bottom_m=0.75 * INCH,
)
BARS = BarsAsked("#4", 0.5 * INCH, 18 * INCH, 20 * FOOT, 2 * FOOT, 2 * INCH, 1 * INCH, 0.75 * INCH)
CHAIRS = SupportsAsked("chair", 3 * FOOT, 0.75 * INCH, box_of=50)
BOLSTERS = SupportsAsked("bolster", 3 * FOOT, 0.75 * INCH, stock_length_m=5 * FOOT, box_of=20)


def with_steel(
    system: str = "feet-inches",
    *,
    wire: bool = True,
    bars: bool = False,
    supports: SupportsAsked = CHAIRS,
    style: str = WIRE.style,
) -> Walk:
    walk = fake_walk(system=system)
    assert walk.takeoff is not None
    floor = walk.job.plan.polygon()
    laid = lay_wire(floor, replace(WIRE, style=style), thinnest_m=3 * INCH)
    rows = lay_bars(floor, BARS, thinnest_m=3 * INCH)
    takeoff = replace(
        walk.takeoff,
        wire=laid if wire else None,
        bars=rows if bars else None,
        supports=set_supports(laid if wire else rows, supports),
    )
    return replace(walk, takeoff=takeoff)


def told(walk: Walk) -> str:
    sheet = lay_sheet(walk, "steel")
    assert sheet is not None
    pdf = pypdf.PdfReader(io.BytesIO(print_pdf(walk, (sheet,), page_of(walk))))
    return re.sub(r"\s+", "", " ".join(page.extract_text() for page in pdf.pages))


@pytest.fixture(scope="module")
def walk() -> Walk:
    return with_steel()


def test_every_piece_is_drawn_and_numbered(walk):
    sheet = lay_sheet(walk, "steel")
    assert sheet is not None
    assert sheet.drawing is not None
    wire = walk.takeoff.wire
    things = [thing for layer in sheet.drawing.layers.values() for thing in layer]
    drawn = {t.name for t in things if isinstance(t, Path) and t.kind == "wire"}
    numbers = {t.text for t in things if isinstance(t, Text) and t.kind == "wire-number"}
    assert drawn == numbers == {piece.label for piece in wire.pieces}


def test_the_sheet_tells_sheets_bound_plain_grid_and_cuts(walk):
    text, wire = told(walk), walk.takeoff.wire
    for words in (
        f"{wire.sheets} sheets of wire 6x6 W2.9",
        f"A plain grid from a corner takes {wire.plain.sheets}.",
        "Cutting list",
        "50" if walk.takeoff.supports.count > 50 else "chairs in all",
        "lap of plain wire, between outermost wires",
        "(memory)",
        "cover over the steel in the thinnest place",
    ):
        assert re.sub(r"\s+", "", words) in text, words
    for _, pieces in wire.cut_list():
        for piece in pieces:
            assert f"{piece.label}:" in text


def test_bars_and_bolsters_stand_on_the_sheet_too():
    walk = with_steel("metric", bars=True, supports=BOLSTERS)
    text = told(walk)
    bars = walk.takeoff.bars
    for words in (
        f"{bars.bars} bars #4 in {bars.rows} rows",
        f"boxes of 20{walk.takeoff.supports.boxes}",
        "line of bolsters",
        "stock length6096 mm",
    ):
        assert re.sub(r"\s+", "", words) in text, words


def test_bars_alone_make_a_sheet():
    walk = with_steel(wire=False, bars=True)
    assert "sheetsofwire" not in told(walk)


def test_no_steel_no_sheet():
    assert lay_sheet(fake_walk(), "steel") is None


def test_what_was_typed_is_lettering_and_no_markup():
    assert re.sub(r"\s+", "", HOSTILE) in told(with_steel(style=HOSTILE))


def test_no_money_is_on_the_sheet(walk):
    assert "$" not in told(walk)
