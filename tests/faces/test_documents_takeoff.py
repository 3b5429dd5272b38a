"""The takeoff's lines on paper and in the terminal: whole units, waste, no money, both systems."""

from __future__ import annotations

import io
import re
from dataclasses import replace

import pypdf
import pytest
from fake_walk import fake_walk

from overslab.faces.cli.items import item_lines
from overslab.faces.documents.item_words import ItemWords, item_words
from overslab.faces.documents.packet import print_pdf
from overslab.faces.documents.paper import page_of
from overslab.faces.documents.sheets import CREW_SHEETS, lay_sheet
from overslab.ground.units import Units
from overslab.takeoff.items import Item, work

FEET, METRIC = Units("feet-inches", 0.0254 / 16), Units("metric", 0.001)
FOOT = 0.3048
# 90 ft of strip, 8 in high, in lengths of 10 ft: ten of them hold 100 ft, a ninth more than 90.
STRIP = Item(
    "isolation-strip", "fibre strip", "material", "length_m", 90 * FOOT, 90 * FOOT, "roll", 10.0,
    "Walls.", 10 * FOOT, 8 * 0.0254,
)  # fmt: skip
FIBRE = Item(
    "fibre", "micro fibre", "material", "mass_kg", 4.5359237, 4.5359237, "as measured", 4.5359237,
    "Dose.",
)  # fmt: skip
STAKES = Item("stake", "stake", "material", "count", 11.0, 11.0, "stake", 11.0, "Along.", 1.0)
SHEET_UP = work("set-isolation", "set the strip", "length_m", 90 * FOOT, "All runs.")


def test_lines_in_feet() -> None:
    assert item_words(STRIP, FEET) == ItemWords(
        'fibre strip, 8" high', "90' 0\"", "11.1 %", "10 × roll", "Walls."
    )
    assert item_words(FIBRE, FEET) == ItemWords("micro fibre", "10 lb", "0.0 %", "10 lb", "Dose.")
    assert item_words(STAKES, FEET).order == "11"
    assert item_words(SHEET_UP, FEET).waste == "–"


def test_lines_in_metres() -> None:
    metric = item_words(replace(STRIP, size_m=0.2), METRIC)
    assert metric.what == "fibre strip, 200 mm high"
    assert metric.net == "27432 mm"
    assert item_words(FIBRE, METRIC).net.endswith("kg")


def test_the_terminal_parts_buying_from_doing() -> None:
    lines = "\n".join(item_lines([SHEET_UP, STRIP, FIBRE], FEET))
    buy, _, do = lines.partition("To do:")
    assert "10 × roll" in buy
    assert "set the strip" in do
    assert "set the strip" not in buy
    assert item_lines([], FEET) == []


@pytest.mark.parametrize("items", [(), (STRIP, FIBRE, STAKES, SHEET_UP)])
def test_the_sheet_holds_every_line_and_no_money(items: tuple[Item, ...]) -> None:
    walk = fake_walk()
    walk = replace(walk, takeoff=replace(walk.takeoff, items=items))
    sheet = lay_sheet(walk, "takeoff")
    assert sheet is not None
    pdf = pypdf.PdfReader(io.BytesIO(print_pdf(walk, (sheet,), page_of(walk))))
    text = re.sub(r"\s+", "", "".join(page.extract_text() for page in pdf.pages))
    for item in items:
        words = item_words(item, walk.job.units)
        for part in (words.what, words.net, words.why):
            assert re.sub(r"\s+", "", part) in text
    assert ("Whattobuy" in text) == bool(items)
    assert "takeoff" in CREW_SHEETS
    assert "$" not in text
