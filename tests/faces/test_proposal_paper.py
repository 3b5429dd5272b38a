"""The proposal on paper: the owner's words as written, sale prices, and no cost in any byte."""

from __future__ import annotations

import io
import json
import math
import re
from dataclasses import astuple, replace
from functools import cache

import pypdf
import pytest
from fake_walk import DATUM, HOSTILE, NewSurface, OldSurface, fake_walk
from made_up_proposal import (
    COSTS,
    LAW,
    SECRET,
    made_up_texts,
    secret_bid,
    secret_plant,
    secrets_in,
)

from overslab.faces.documents.proposal import (
    lay_proposal,
    page_data,
    print_proposal,
    write_proposal,
)
from overslab.faces.documents.proposal_drawings import door_cuts, plate
from overslab.faces.documents.words import MADE_UP
from overslab.ground.faults import Faulty
from overslab.ground.units import write_height, write_thickness
from overslab.price.promises import ProposalTexts

LEGAL = re.compile(r"deposit|cancel|\blicen[cs]e\b|insur|warrant|\blien\b|lawyer", re.IGNORECASE)


def priced(*, texts: ProposalTexts | None = None, bid=None, system="feet-inches", **of_job):
    """A walk made by hand, with a price and the words of a proposal."""
    walk = fake_walk(system=system)
    bid = bid or secret_bid()
    job = replace(
        walk.job,
        proposal=made_up_texts() if texts is None else texts,
        plant=secret_plant(walk.job.plant),
        rates=bid.rates,
        **of_job,
    )
    return replace(walk, job=job, price=bid)


@cache
def usual() -> tuple[str, str]:
    """Words of the PDF and of the page."""
    walk = priced()
    return told(print_proposal(walk)), json.dumps(page_data(walk), ensure_ascii=False)


def told(content: bytes) -> str:
    reader = pypdf.PdfReader(io.BytesIO(content))
    pages = [page.extract_text() for page in reader.pages]
    return re.sub(r"\s+", " ", "\n".join(pages) + str(reader.metadata)).replace("\xa0", " ")


def part(walk, code: str) -> str:
    """All words of one part."""
    (found,) = [one for one in lay_proposal(walk).parts if one.code == code]
    blocks = [block.data() for block in found.blocks if hasattr(block, "data")]
    return re.sub(r"\s+", " ", json.dumps(blocks, ensure_ascii=False)).replace("\xa0", " ")


def test_every_part_stands_in_order():
    assert [one.code for one in lay_proposal(priced()).parts] == [
        "problem", "new-floor", "scope", "not-included", "who", "heights", "price", "instead",
        "changes", "normal", "schedule", "use", "cautions", "signatures",
    ]  # fmt: skip


def test_the_owners_words_stand_as_written():
    words, page = usual()
    texts = made_up_texts()
    said = (
        texts.firm, texts.contact, texts.customer, texts.date, texts.valid_until,
        "First paragraph.", "Second paragraph.", *texts.scope, *texts.not_in_scope,
        *texts.may_change, texts.cracks,
        texts.puddles, texts.local_rule, texts.schedule, texts.weather, *texts.care, texts.payment,
        texts.agreement, MADE_UP,
    )  # fmt: skip
    for one in said:
        assert one in words, one
        assert one in page, one


def test_prices_that_are_sold():
    words, _ = usual()
    for amount in ("$11,500.00", "$28,750.00", "$460.00", "$285.00", "$240.00"):
        assert amount in words
    assert "not possible here" in words
    assert "not priced" in words
    assert "cubic yard" in words


def test_no_cost_in_any_byte():
    """Lines, wages, rates, margin, overhead, profit, what the plant asks: none of it is there."""
    words, page = usual()
    for told_of in (words, page):
        assert SECRET not in told_of
        assert secrets_in(told_of) == set()
        for word in ("overhead", "margin", "markup", "wage", "profit"):
            assert not re.search(rf"\b{word}\b", told_of.lower().replace("overhead door", "")), word
    # The search bites where a bid is spoken out.
    assert secrets_in(str(secret_bid())) >= COSTS.keys() - {"truck", "plant"}
    assert secrets_in("labour $7,913.17, profit 17.7 % and 4.3 %") == {"line", "margin", "loss"}


def test_tax_is_told_in_money_only_where_it_falls_on_the_whole_price():
    """Tax on materials alone would tell what the materials cost."""
    assert "158.28" not in usual()[0]
    assert "with tax" in usual()[0]
    bid = secret_bid()
    whole = replace(bid, rates=replace(bid.rates, taxed="all"))
    assert "$158.28 of it" in part(priced(bid=whole), "price")
    assert "with tax" not in part(priced(bid=secret_bid(tax=bid.tax * 0)), "price")


def test_nothing_is_said_for_a_text_of_the_law_that_is_not_given():
    assert not LEGAL.search(usual()[0])
    assert LEGAL.search(" ".join(astuple(LAW)))
    not_given = {one["what"] for one in page_data(priced())["not_given"] if one["law"]}
    assert not_given == {
        "deposit", "the customer's right to cancel", "licence or registration", "insurance",
        "warranty",
    }  # fmt: skip


def test_texts_of_the_law_stand_as_written():
    walk = priced(texts=made_up_texts(law=LAW))
    words = told(print_proposal(walk))
    for text in astuple(LAW):
        assert text in words
    assert not any(one["law"] for one in page_data(walk)["not_given"])


def test_an_owner_who_wrote_nothing_gets_a_bare_proposal():
    walk = priced(texts=ProposalTexts())
    words = told(print_proposal(walk))
    assert not LEGAL.search(words)
    for word in ("Invented", "Hairlines", "Weather"):
        assert word not in words
    assert "$11,500.00" in words
    assert {one["what"] for one in page_data(walk)["not_given"]} >= {"what you will do", "deposit"}
    assert "Schedule and weather" not in words


def test_heights_that_change_and_a_place_to_agree_each():
    walk = priced()
    (found,) = [one for one in lay_proposal(walk).parts if one.code == "heights"]
    (table,) = [one for one in found.blocks if hasattr(one, "rows")]
    heads = [column.head for column in table.columns]
    assert heads[-1] == "agreed, initials"
    units, inch = walk.job.units, 0.0254
    # By hand: the invented door rises by 4 in, the wall and the stair by 3 in.
    by_name = {row[0]: row for row in table.rows}
    for name, rise in (("big door", 4), ("back wall", 3), ("stair", 3)):
        row = by_name[name]
        assert row[1] == write_height(DATUM, units) == "100' 0\""
        assert row[2] == write_height(DATUM + rise * inch, units) == f"100' {rise}\""
        assert row[3] == write_thickness(rise * inch, units) == f"{rise} in"
        assert row[-1] == ""


def test_who_does_what_and_by_when():
    words = part(priced(), "who")
    assert words.index("Trim the boards by") < words.index("Raise the tracks by")
    assert "before the pour" in words
    assert "after the pour" in words
    assert "640" not in words  # what the door technician costs us
    for ready in fake_walk().touches.readiness:
        assert ready.what in words


def test_the_cut_through_the_door_tells_the_thickness_in_inches():
    """Against the invented floors themselves, which are formulas."""
    walk = priced()
    cuts = door_cuts(walk)
    assert cuts[0].through == "big door"
    assert cuts[0].a == pytest.approx((3.3, 0.0))  # the middle of a door from 1.5 to 5.1 m
    made = plate(walk, "door-1", wide=180.0)
    labels = [
        thing.text
        for things in made.drawing.layers.values()
        for thing in things
        if getattr(thing, "kind", "") == "thickness-label"
    ]
    assert len(labels) > 4
    old, new = OldSurface(), NewSurface()
    ys = [0.001 * k for k in range(9001)]
    line = [(3.3, y) for y in ys]
    true = {
        write_thickness(float(thick), walk.job.units)
        for thick in new.height_m(line) - old.height_m(line)
    }
    assert set(labels) <= true
    for label in labels:
        assert re.fullmatch(r"\d+( \d+/\d+)? in", label.replace("\xa0", " "))


def test_the_map_of_standing_water_has_every_low_spot():
    walk = priced()
    made = plate(walk, "water", wide=180.0)
    depths = [
        thing.text
        for things in made.drawing.layers.values()
        for thing in things
        if getattr(thing, "kind", "") == "depth-label"
    ]
    wanted = [
        f"{write_thickness(spot.depth_m, walk.job.units)} deep" for spot in walk.oldslab.low_spots
    ]
    assert sorted(depths) == sorted(wanted)


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (0.0, "less than 1 floor in 100"),
        (0.12, "about 12 floors in 100"),
        (0.9999, "more than 99 floors in 100"),
    ],
)
def test_the_chance_of_a_puddle(share, words):
    walk = priced()
    options = tuple(
        replace(one, drainage=replace(one.drainage, birdbath_chance=share)) if one.drainage else one
        for one in walk.newtop.options
    )
    assert words in part(replace(walk, newtop=replace(walk.newtop, options=options)), "normal")


def test_days_of_use_are_dates_once_the_pour_is_set():
    assert "7 days after the pour" in part(priced(), "use")
    words = part(priced(pour_date="2026-02-27"), "use")
    # 2026 is no leap year: by the calendar.
    for day in ("2026-02-28", "2026-03-06", "2026-03-27"):
        assert day in words


def test_a_floor_that_may_go_on_moving_is_warned_of_first():
    walk = priced()
    moving = replace(walk.job.findings, still_moving="yes", cause="the root of the maple")
    warned = lay_proposal(replace(walk, job=replace(walk.job, findings=moving))).notice
    assert any("still at work" in one and "the root of the maple" in one for one in warned)
    rest = replace(walk.job.findings, still_moving="no", cause_cured="yes")
    quiet = replace(walk, job=replace(walk.job, findings=rest))
    assert not any("moves with" in one for one in lay_proposal(quiet).notice)


def test_what_was_typed_never_becomes_markup():
    walk = priced(texts=made_up_texts(word=HOSTILE))
    words = told(print_proposal(walk))
    assert words.count(re.sub(r"\s+", " ", HOSTILE).strip()) >= 3


@pytest.mark.parametrize("system", ["feet-inches", "tenths", "metric"])
def test_in_every_unit(system):
    bid = secret_bid(extra_concrete_unit="m3" if system == "metric" else "yd3")
    words = told(print_proposal(priced(system=system, bid=bid)))
    if system == "metric":
        assert "cubic metre" in words
        assert not re.search(r"(?<!m)\d (?:ft|in|yd3|yards?|sq ft|psi|F)\b(?! \d)", words)
    else:
        assert "cubic yard" in words


def test_the_same_job_gives_the_same_bytes(tmp_path):
    walk = priced()
    first = write_proposal(walk, tmp_path / "proposal").read_bytes()
    assert first == print_proposal(walk)
    reader = pypdf.PdfReader(io.BytesIO(first))
    assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"]
    assert len(reader.pages) >= 4


def test_it_is_refused_without_a_price_or_a_top():
    walk = priced()
    with pytest.raises(Faulty, match="no price"):
        lay_proposal(replace(walk, price=None))
    with pytest.raises(Faulty, match="nothing to propose"):
        lay_proposal(replace(priced(), newtop=fake_walk(fits=False).newtop))


def test_thing_without_a_rate_is_named_as_not_in_the_price():
    assert "sealer" in part(priced(), "not-included")
    assert "[[material]]" not in usual()[0]


def test_the_finish_the_chance_leans_on_is_stated():
    walk = priced()
    deviation = write_thickness(walk.newtop.wishes.finish_deviation_m, walk.job.units)
    assert deviation == "1/16 in"
    assert math.isclose(walk.newtop.wishes.finish_deviation_m, 0.0016)
    assert f"off by {deviation} two times out of three" in part(walk, "normal")
