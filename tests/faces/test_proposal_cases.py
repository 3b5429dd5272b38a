"""Surprise cases on the proposal: a root that lives, a drain to bury, a lift that stands."""

from __future__ import annotations

import io
import re
import sys
from dataclasses import replace
from pathlib import Path

import pypdf
from made_up_proposal import secret_bid

from overslab.faces.documents.proposal import lay_proposal, print_proposal

sys.path.insert(0, str(Path(__file__).parents[1] / "cases"))
from case_jobs import read_case, walked


def proposed(number: int):
    """The case as a customer would get it; the price is made up."""
    return replace(walked(number), price=secret_bid())


def words_of(number: int, code: str) -> str:
    (found,) = [one for one in lay_proposal(proposed(number)).parts if one.code == code]
    return " ".join(str(block.data()) for block in found.blocks if hasattr(block, "data"))


def test_case_15_the_proposal_warns_before_anything_else():
    notice = " ".join(lay_proposal(proposed(15)).notice)
    assert read_case(15).findings.still_moving == "yes"
    assert "we do not pour over it" in notice
    assert "the root of the maple" in notice
    assert "still at work" in notice
    assert "no thickness of concrete prevents that" in notice


def test_case_15_the_warning_stands_on_the_first_page():
    reader = pypdf.PdfReader(io.BytesIO(print_proposal(proposed(15))))
    first = re.sub(r"\s+", " ", reader.pages[0].extract_text())
    assert first.index("still at work") < first.index("What is wrong today")


def test_case_5_the_well_of_the_drain_is_no_part_of_the_volume():
    assert "fills the well of drain" in words_of(5, "not-included")
    assert "the local office has said in writing that drain may be given up" in words_of(5, "who")
    assert not any("still at work" in one for one in lay_proposal(proposed(5)).notice)


def test_case_13_the_lift_is_not_promised_anything():
    told = words_of(13, "not-included")
    assert "Pads and anchors for a vehicle lift" in told
    assert "the maker of the lift and an engineer say so in writing" in told
    assert any("has to be put right" in one for one in lay_proposal(proposed(13)).notice)
    # No lift, no word of one.
    assert "lift" not in words_of(15, "not-included").lower().replace("lifting", "")
