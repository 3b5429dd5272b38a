"""The sheet of touches: a page a trade, the list that holds the date, prices for the office."""

from __future__ import annotations

import io
import re
from dataclasses import replace

import pypdf
import pytest
from fake_walk import HOSTILE, fake_walk

from overslab.faces.documents.packet import print_pdf
from overslab.faces.documents.paper import page_of
from overslab.faces.documents.sheets import lay_sheet


def squeezed(text: str) -> str:
    return re.sub(r"\s+", "", text)


def pages(walk) -> list[str]:
    sheet = lay_sheet(walk, "touches")
    assert sheet is not None
    pdf = pypdf.PdfReader(io.BytesIO(print_pdf(walk, (sheet,), page_of(walk))))
    return [squeezed(page.extract_text()) for page in pdf.pages]


@pytest.fixture(scope="module")
def sheet_pages() -> list[str]:
    return pages(fake_walk())


def test_the_first_page_tells_before_and_after_and_what_holds_the_date(sheet_pages):
    first = sheet_pages[0]
    for words in (
        "2 things of 3",
        "not met: above the sill",
        "moved;",
        "no pour date until every line is ticked",
        "the heights are signed",
        "the boards of back wall are trimmed",
        "How high is the head?",
        "Local codes govern.",
    ):
        assert squeezed(words) in first, words


def test_each_trade_has_a_page_of_its_own_with_its_sizes(sheet_pages):
    assert len(sheet_pages) == 4
    carpenter, technician = sheet_pages[1:3]
    assert squeezed("For the carpenter") in carpenter
    assert squeezed('Trim the boards by 1/4"') in carpenter
    assert squeezed("before the pour") in carpenter
    assert squeezed("Raise the tracks") not in carpenter
    assert squeezed("For the door technician") in technician
    assert squeezed('Raise the tracks by 2"; its ramp 2\' 0"') in technician
    assert squeezed("Springs maim.") in technician
    assert squeezed("Springs maim.") not in sheet_pages[0] + carpenter


def test_prices_stand_on_the_page_for_the_office_only(sheet_pages):
    assert [("$640.00" in page) for page in sheet_pages] == [False, False, False, True]
    assert squeezed("an invented code, 2001 (memory): boards above the floor") in sheet_pages[3]


def test_a_floor_that_meets_nothing_and_a_list_that_is_empty():
    walk = fake_walk()
    assert walk.touches is not None
    nothing = replace(walk.touches, touches=(), trades=(), readiness=(), remarks=())
    (only,) = pages(replace(walk, touches=nothing))
    assert squeezed("Every rule that could be looked at holds") in only
    assert squeezed("Ready list") not in only
    assert lay_sheet(replace(walk, touches=None), "touches") is None


def test_what_a_person_wrote_is_set_as_letters():
    told = "".join(pages(fake_walk(hostile=True)))
    assert squeezed(f"big door{HOSTILE}") in told
    assert squeezed(f"Springs maim.{HOSTILE}") in told
