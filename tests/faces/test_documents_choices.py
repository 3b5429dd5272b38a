"""The choices side by side: asked prices only, for the office and the customer, never the crew."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from decimal import Decimal

import pypdf
import pytest
from fake_walk import fake_walk

from overslab.faces.documents.packet import print_pdf
from overslab.faces.documents.paper import page_of
from overslab.faces.documents.sheets import CREW_SHEETS, lay_sheet
from overslab.ground.notes import Assumption
from overslab.job import Walk
from overslab.price.records import Alternative, Bid, BidLine, Measured

LINE = BidLine(
    "break-out", "break it", "labour", Decimal("12.5"), "hour", Decimal("41.23"),
    Decimal("515.38"), "by hand",
)  # fmt: skip
WAYS = (
    Alternative("overlay", "New slab over the old one", True, Decimal(9810), (LINE,), 9.0,
                ("Water no longer stands on the floor.",), ("The floor rises.",), "over it"),
    Alternative("tear-out", "Tear out and pour anew", True, Decimal(13340), (LINE,), 12.0,
                ("Cracks go.",), ("Noise.",), "all of it goes",
                measured=(Measured("old slab in place", "volume_m3", 0.9144**3),),
                assumptions=(Assumption("new slab from grade", "4 in", "common practice"),)),
    Alternative("lift", "Lift the old slab from below", False, None, (), None, (),
                ("Cracks stay.",), "Nobody drills here: heating pipes"),
    Alternative("grind-patch", "Grind high places, patch low ones", True, None, (), None,
                ("Puddles are filled.",), ("No fall is made.",), "11 to grind",
                missing=('[[work]] "grind", hours by volume: grind down',)),
    Alternative("nothing", "Do nothing", True, Decimal(0), (), 0.0, (), ("Water stands.",),
                "costs nothing today"),
)  # fmt: skip


def bid() -> Bid:
    return Bid(
        currency="$",
        price_date="2026-04-01",
        made_up=True,
        lines=(LINE,),
        direct_cost=Decimal("515.38"),
        overhead=Decimal(0),
        cost=Decimal("515.38"),
        profit=Decimal(0),
        margin=Decimal(0),
        markup=Decimal(0),
        before_tax=Decimal("515.38"),
        tax=Decimal(0),
        price=Decimal(9810),
        rounding=Decimal(0),
        extra_concrete_price=None,
        extra_concrete_unit="yd3",
        outcome=None,
        alternatives=WAYS,
    )


def said(walk: Walk, code: str) -> tuple[str, int]:
    sheet = lay_sheet(walk, code)
    assert sheet is not None
    pages = pypdf.PdfReader(io.BytesIO(print_pdf(walk, (sheet,), page_of(walk)))).pages
    return re.sub(r"\s+", "", " ".join(page.extract_text() for page in pages)), len(pages)


@pytest.mark.parametrize("system", ["feet-inches", "metric"])
def test_every_way_stands_on_one_page_with_what_is_asked(system: str) -> None:
    told, pages = said(replace(fake_walk(system=system), price=bid()), "choices")
    assert pages == 1
    for words in (
        *(way.title for way in WAYS),
        "$9,810.00", "$13,340.00", "cannot be done", "not priced yet", "about 12 days",
        "Nobody drills here: heating pipes", "Cracks stay.", "Water stands.",
    ):  # fmt: skip
        assert re.sub(r"\s+", "", words) in told, words


def test_the_customers_page_tells_no_cost_of_ours() -> None:
    told, _ = said(replace(fake_walk(), price=bid()), "choices")
    for words in ("515.38", "41.23", "12.5", "hours by volume", "markup", "margin"):
        assert words.replace(" ", "") not in told, words


def test_the_offices_page_tells_lines_and_missing_rates() -> None:
    told, _ = said(replace(fake_walk(), price=bid()), "choice-lines")
    for words in ("$515.38", "$41.23", '"grind", hours by volume', "1.00 yd3", "For the office"):
        assert re.sub(r"\s+", "", words) in told, words
    told, _ = said(replace(fake_walk(system="metric"), price=bid()), "choice-lines")
    assert "0.76m3" in told


def test_the_crew_gets_neither() -> None:
    assert not {"choices", "choice-lines", "bid"} & set(CREW_SHEETS)


def test_without_a_price_there_is_no_sheet() -> None:
    walk = replace(fake_walk(), price=None)
    assert lay_sheet(walk, "choices") is None
    assert lay_sheet(walk, "choice-lines") is None
    assert lay_sheet(replace(walk, price=replace(bid(), alternatives=())), "choices") is None


def test_a_new_slab_that_is_not_priced_to_the_end_says_so() -> None:
    one = replace(bid(), missing=("carpenter, side door: cut the leaf",))
    told, pages = said(replace(fake_walk(), price=one), "choices")
    assert pages == 1
    assert "1thingisnotyetinthepriceofeithernewslab" in told
