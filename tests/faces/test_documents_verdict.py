"""The sheets of the verdict, its map, and cautions chosen by what the job contains."""

from __future__ import annotations

import io
import re
from dataclasses import replace

import numpy as np
import pypdf
import pytest
from fake_walk import fake_walk

from overslab.faces.documents.cautions import CAUTIONS, cautions
from overslab.faces.documents.packet import draw_sheet, print_pdf
from overslab.faces.documents.paper import page_of
from overslab.faces.documents.sheets import lay_sheet
from overslab.job import Walk
from overslab.touches.records import TouchFacts
from overslab.verdict import CrackFinding, CrackReading, Findings

NOTHING_THERE = Findings(
    stands_on="ground",
    undermined="no",
    tendons="no",
    heating_pipes="no",
    lift_posts="no",
)


def said(walk: Walk, code: str) -> str:
    sheet = lay_sheet(walk, code)
    assert sheet is not None
    pages = pypdf.PdfReader(io.BytesIO(print_pdf(walk, (sheet,), page_of(walk)))).pages
    return re.sub(r"\s+", "", " ".join(page.extract_text() for page in pages))


def test_the_sheet_says_ruling_findings_print_and_practice() -> None:
    told = said(fake_walk(), "verdict")
    for words in (
        "over it, unbonded, with 1 thing to put right first, provided that 1 matter not looked at "
        "turns out good",
        "For a licensed engineer",
        "Fill the low side of crack K.",
        "No drilling, sawing or chipping into the old slab",
        "there may be heating pipes in the old slab",
        'at most 1/4"',
        "an invented guide, 2001 (memory)",
        "an invented page (read)",
        "Owner's practice of 2026-01-02",
        "Whether the old slab and the ground carry the new weight is for a licensed engineer",
    ):
        assert re.sub(r"\s+", "", words) in told, words


def test_the_summary_begins_with_the_ruling() -> None:
    told = said(fake_walk(), "summary")
    assert told.index("verdictontheoldslab") < told.index("Whatisasked")


def test_the_map_shows_hollow_places_and_cracks() -> None:
    walk = fake_walk()
    readings = (CrackReading("2026-05-04", 0.003175),)
    findings = replace(NOTHING_THERE, cracks=(CrackFinding("crack K", readings),))
    walk = replace(walk, job=replace(walk.job, findings=findings))
    drawn = draw_sheet(walk, "verdict-map").replace("\N{NO-BREAK SPACE}", " ")
    assert "hollow 1" in drawn
    # 1 m by 0.6 m is 6.46 sq ft; 0.003175 m is 1/8 in.
    assert "sounds hollow, 6 sq ft" in drawn
    assert "1/8 in wide, not proven still" in drawn
    assert "bonded only" in drawn


@pytest.mark.parametrize(
    ("thickness_in", "systems"), [(1.0, ("system",)), (2.0, ("system",)), (4.0, ())]
)
def test_hatching_says_where_it_is_too_thin(thickness_in: float, systems: tuple[str, ...]) -> None:
    walk = fake_walk()
    thickness = np.where(walk.newtop.lattice.inside, thickness_in * 0.0254, np.nan)
    walk = replace(walk, newtop=replace(walk.newtop, thickness_m=thickness))
    sheet = lay_sheet(walk, "verdict-map")
    assert sheet is not None
    assert sheet.drawing is not None
    bands = [mark for mark in sheet.drawing.layers["contours"] if mark.kind == "system"]
    assert bool(bands) is bool(systems)


def test_without_a_top_the_map_goes_by_the_room_under_the_lowest_height() -> None:
    assert "room under a level" in draw_sheet(fake_walk(fits=False), "verdict-map")


def printed(walk: Walk) -> set[str]:
    texts: set[str] = set()
    for block in cautions(walk).blocks:
        texts |= set(getattr(block, "items", ()))
    return texts


ALL = {one.says for _, items in CAUTIONS for one in items}


def test_what_is_not_known_is_warned_of() -> None:
    walk = fake_walk()
    assert printed(walk) == ALL


def test_what_is_known_not_to_be_there_is_left_out() -> None:
    walk = fake_walk()
    edges = tuple(replace(edge, kind="line") for edge in walk.newtop.wishes.edges)
    wishes = replace(walk.newtop.wishes, edges=edges)
    touches = replace(walk.job.touches, facts=TouchFacts())
    quiet = replace(
        walk,
        job=replace(walk.job, findings=NOTHING_THERE, touches=touches),
        newtop=replace(walk.newtop, wishes=wishes),
        verdict=replace(walk.verdict, hollows=()),
    )
    gone = ALL - printed(quiet)
    assert len(gone) == 6
    for words in (
        "tendons",
        "Heating pipes",
        "vehicle lift",
        "hang over",
        "nothing under",
        "Springs",
    ):
        assert any(words in text for text in gone), words
    assert "Anyone may stop the pour." in printed(quiet)


@pytest.mark.parametrize(
    ("spoilt", "words"),
    [
        ({"tendons": "yes"}, "tendons"),
        ({"tendons": "not known"}, "tendons"),
        ({"heating_pipes": "not known"}, "Heating pipes"),
        ({"stands_on": "not known"}, "hang over"),
        ({"undermined": "not known"}, "nothing under"),
        ({"lift_posts": "yes"}, "vehicle lift"),
    ],
)
def test_each_caution_comes_back_with_its_cause(spoilt: dict[str, str], words: str) -> None:
    walk = fake_walk()
    findings = replace(NOTHING_THERE, **spoilt)  # type: ignore[arg-type]
    walk = replace(
        walk,
        job=replace(walk.job, findings=findings),
        verdict=replace(walk.verdict, hollows=()),
    )
    assert any(words in text for text in printed(walk))
