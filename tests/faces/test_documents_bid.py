"""The bid's sheet: for the office alone, its chart, its words, in feet and in metres."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ElementTree
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from fake_walk import fake_walk
from made_up_bid import made_up_bid

from overslab.faces.documents import write_packet
from overslab.faces.documents.bid_sheet import bid_sheet, profit_chart
from overslab.faces.documents.bid_words import chance_told
from overslab.faces.documents.blocks import Figure, Para, Table
from overslab.faces.documents.sheets import CREW_SHEETS, lay_sheet
from overslab.faces.documents.svg import write_svg
from overslab.faces.web.roles import Role
from overslab.faces.web.rooms.numbers import CREW_ROOMS
from overslab.faces.web.rooms.room_pages import router
from overslab.faces.web.work_pages import sheets_for
from overslab.price.records import Outcome


def test_the_crew_has_no_way_to_the_bid() -> None:
    """Neither its sheet, nor its page, nor its workings."""
    assert "bid" in sheets_for(Role.OFFICE)
    assert "bid" not in CREW_SHEETS
    assert "bid" not in sheets_for(Role.CREW)
    assert "price" not in CREW_ROOMS
    (page,) = [route for route in router.routes if route.path == "/jobs/{job}/price"]  # type: ignore[attr-defined]
    assert page.roles == {Role.OFFICE}  # type: ignore[attr-defined]
    others = [route for route in router.routes if route.path == "/jobs/{job}/order"]  # type: ignore[attr-defined]
    assert others[0].roles == {Role.OFFICE, Role.CREW}  # type: ignore[attr-defined]


@pytest.mark.parametrize("system", ["feet-inches", "metric"])
def test_what_stands_on_the_sheet(system: str) -> None:
    sheet = lay_sheet(fake_walk(system=system), "bid")
    assert sheet is not None
    words = repr([block.data() for block in sheet.blocks if not isinstance(block, Figure)])
    words = words.replace("\\xa0", " ")
    for told in (
        "We ask $1,880.00", "not for the crew", "made up", "$1,100.00", "$400.00",
        "20.0 % (as you wrote it)", "25.0 % (the same profit)", "$287.50", "$371.25",
        "chance of losing money 2.0 %", "the fall adds this much", "$312.00", "$4,800.00",
        "a rate is missing", "stake",
    ):  # fmt: skip
        assert told in words, told
    # 0.2 h a square metre are 1.86 h for 100 ft2 of 9.29 m2, and the owner's 0.15 are 1.39.
    learnt = ("1.86 h by 100 ft2", "1.39 h by 100 ft2")
    assert all(one in words for one in (learnt if system != "metric" else ("0.20 h by m2",)))


def test_group_totals_are_those_of_their_lines() -> None:
    sheet = lay_sheet(fake_walk(), "bid")
    assert sheet is not None
    table = next(block for block in sheet.blocks if isinstance(block, Table))
    cents = [int(re.sub(r"\D", "", row[4])) for row in table.rows]
    for n in table.strong:
        rest = [k for k in table.strong if k > n]
        assert cents[n] == sum(cents[n + 1 : rest[0] if rest else None])


def test_without_rates_the_sheet_says_which_are_missing() -> None:
    layout = bid_sheet(replace(fake_walk(), price=None))
    assert layout is not None
    (said,) = layout.blocks
    assert isinstance(said, Para)
    assert "[crew]" in said.text
    assert "[money]" in said.text
    assert bid_sheet(fake_walk(fits=False)) is None


def test_the_bars_of_the_chart_hold_every_try() -> None:
    """600 tries a dollar apart: bars of about the same height, one in thirty of them a loss."""
    outcome = made_up_bid().outcome
    assert outcome is not None
    drawing = profit_chart(outcome, "$", wide=180.0)
    bars = [thing for thing in drawing.layers["bars"] if thing.kind == "bar"]
    heights = []
    for bar in bars:
        ys = [y for _, y in bar.rings[0]]  # type: ignore[union-attr]
        heights.append(max(ys) - min(ys))
        assert all(0 <= x <= 180.0 for x, _ in bar.rings[0])  # type: ignore[union-attr]
    assert max(heights) <= 1.1 * min(heights)
    dark = [bar for bar in bars if bar.fill != bars[-1].fill]  # type: ignore[union-attr]
    assert len(dark) == 1 or len(dark) == 0
    text = write_svg(drawing)
    ElementTree.fromstring(text)
    assert "-$20" in text
    assert "$579" in text


def test_tries_that_are_all_alike_are_drawn_too() -> None:
    alike = Outcome(Decimal(5), Decimal(0), 0.0, (5.0,) * 50, "")
    ElementTree.fromstring(write_svg(profit_chart(alike, "$", wide=150.0)))
    assert chance_told(alike) == "none of 50 tries lost money"


def test_it_can_be_printed_with_anything_a_person_wrote(tmp_path: Path) -> None:
    files = write_packet(fake_walk(hostile=True), tmp_path / "packet")
    assert any("bid" in file.name for file in files)
