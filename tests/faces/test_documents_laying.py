"""The plan of what is laid before the pour: every run drawn once and listed; left out unasked."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from typing import Any

import pypdf
from fake_walk import fake_walk

from overslab.faces.documents.packet import print_pdf
from overslab.faces.documents.paper import page_of
from overslab.faces.documents.sheets import SHEETS, lay_sheet
from overslab.ground.units import write_length
from overslab.takeoff.records import (
    Course,
    FormLayout,
    FormRun,
    IsolationLayout,
    IsolationRun,
    SheetLayout,
)


def walked() -> Any:
    """Strip along edge 1 and round a post, two courses that lap a foot, a board, a bulkhead."""
    walk = fake_walk()
    west, south, east, north = walk.job.plan.polygon().bounds
    middle = (south + north) / 2
    post = (
        (west + 1, south + 1),
        (west + 2, south + 1),
        (west + 2, south + 2),
        (west + 1, south + 1),
    )
    low = ((west, south), (east, south), (east, middle + 0.3), (west, middle + 0.3))
    high = ((west, middle), (east, middle), (east, north), (west, north))
    long = east - west
    takeoff = replace(
        walk.takeoff,
        isolation=IsolationLayout(
            runs=(
                IsolationRun("edge 1", ((west, south), (east, south)), long, 0.09, 0.1),
                IsolationRun("post 9", post, 3.4, 0.12, 0.15),
            )
        ),
        sheet=SheetLayout(courses=(Course(low, long), Course(high, long)), laps_m=long),
        forms=FormLayout(
            runs=(
                FormRun("edge 3", "edge", ((west, north), (east, north)), long, 0.09),
                FormRun("after S1", "bulkhead", ((west, middle), (east, middle)), long, 0.11),
            )
        ),
    )
    return replace(walk, takeoff=takeoff)


def test_every_run_is_drawn_once_and_listed() -> None:
    walk = walked()
    sheet = lay_sheet(walk, "laying")
    assert sheet is not None
    assert sheet.drawing is not None
    kinds = [
        (path.kind, path.name)
        for layer in sheet.drawing.layers.values()
        for path in layer
        if path.kind in ("isolation", "edge", "bulkhead")
    ]
    assert sorted(kinds) == [
        ("bulkhead", "after S1"),
        ("edge", "edge 3"),
        ("isolation", "edge 1"),
        ("isolation", "post 9"),
    ]
    pdf = pypdf.PdfReader(io.BytesIO(print_pdf(walk, (sheet,), page_of(walk))))
    text = re.sub(r"\s+", "", "".join(page.extract_text() for page in pdf.pages))
    for words in ("post 9", "after S1", "course 2", write_length(0.15, walk.job.units)):
        assert re.sub(r"\s+", "", words) in text
    assert "$" not in text


def test_a_board_lies_outside_its_edge_and_the_strip_inside() -> None:
    walk = walked()
    sheet = lay_sheet(walk, "laying")
    assert sheet is not None
    assert sheet.drawing is not None
    drawn = {
        path.name: path.rings[0]
        for path in sheet.drawing.layers["marks"]
        if path.kind in ("isolation", "edge", "bulkhead")
    }
    # Up the sheet is a smaller y: north edge, bulkhead in the middle, strip in the south.
    top, between, low = (drawn[name][0][1] for name in ("edge 3", "after S1", "edge 1"))
    outline = next(p for p in sheet.drawing.layers["floor"] if p.kind == "outline")
    spots = outline.rings[0]
    highest, lowest = min(y for _, y in spots), max(y for _, y in spots)
    assert top < highest < between < low < lowest


def test_unasked_there_is_no_such_sheet() -> None:
    walk = fake_walk()
    assert lay_sheet(walk, "laying") is None
    kind = next(one for one in SHEETS if one.code == "laying")
    assert not kind.stands(walk)
    assert kind.stands(walked())
