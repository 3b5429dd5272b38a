"""Layers and sections of the live plan are those of the sheets."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from plan_site import TEXTS as BAY
from plan_site import OneWalk, bay, plan_app
from web_site import Browser, browser

from overslab.faces.documents.cuts import cut_between, cuts_of
from overslab.faces.documents.live_plan import SECTION_WIDE, SUBJECTS
from overslab.faces.documents.sections import draw_sections
from overslab.faces.documents.svg import write_svg
from overslab.ground.units import Units, write_length, write_thickness
from overslab.job.store import Store

FT = 0.3048
UNITS = Units(system="feet-inches", mark_m=0.0254 / 16)
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def bay_job(store: Store) -> str:
    return store.begin("Small bay", who="office", texts=BAY)


@pytest.fixture
def desk(store: Store, bay_job: str, tmp_path: Path) -> Iterator[Browser]:
    assert bay_job
    app = plan_app(store, tmp_path)
    yield browser(app)
    app.state.site.doors.close()


def drawn(desk: Browser, job: str, show: str) -> ElementTree.Element:
    answer = desk.get(f"/jobs/{job}/plan/drawing.svg", params={"chosen": "1", "show": show})
    return ElementTree.fromstring(answer.text)


def subjects_in(svg: ElementTree.Element) -> set[str]:
    codes = {one.code for one in SUBJECTS}
    return {
        word for group in svg.iter(f"{SVG}g") for word in group.get("id", "").split("-")[-1:]
    } & codes


@pytest.mark.parametrize("code", [one.code for one in SUBJECTS])
def test_a_layer_is_drawn_when_asked_and_only_then(desk: Browser, bay_job: str, code: str) -> None:
    alone = drawn(desk, bay_job, code)
    assert subjects_in(alone) == {code}
    others = ",".join(one.code for one in SUBJECTS if one.code != code)
    assert subjects_in(drawn(desk, bay_job, others)) == {one.code for one in SUBJECTS} - {code}


def test_nothing_chosen_shows_the_outline_alone(desk: Browser, bay_job: str) -> None:
    bare = drawn(desk, bay_job, "")
    assert subjects_in(bare) == set()
    assert bare.find(f".//{SVG}path[@id='plan-outline-floor']") is not None
    assert subjects_in(drawn(desk, bay_job, "no-such-layer")) == set()


def test_sheet_millimetres_lead_back_to_the_floor(desk: Browser, bay_job: str) -> None:
    svg = drawn(desk, bay_job, "shots")
    data = {name: float(svg.get(f"data-{name}", "")) for name in ("west", "north", "left", "top")}
    per_m = float(svg.get("data-per-m", ""))
    # G3 of the taped grid lies six letters of 3 ft and two numbers of 4 ft from 1 ft, 1 ft.
    mark = svg.find(f".//{SVG}path[@id='plan-shot-g3']")
    assert mark is not None
    ends = [
        tuple(float(part) for part in pair.split())
        for pair in re.split("[ML]", mark.get("d", ""))[1:]
    ]
    x = sum(end[0] for end in ends) / 2
    y = sum(end[1] for end in ends) / 2
    assert data["west"] + (x - data["left"]) / per_m == pytest.approx(19 * FT, abs=0.001)
    assert data["north"] - (y - data["top"]) / per_m == pytest.approx(9 * FT, abs=0.001)


def test_names_are_letters_and_never_tags(desk: Browser, bay_job: str) -> None:
    page = desk.get(f"/jobs/{bay_job}/plan").text
    assert "drum &lt;b&gt;spot&lt;/b&gt;" in page
    assert "<b>spot" not in page


def section(desk: Browser, job: str, a: tuple[float, float], b: tuple[float, float]) -> str:
    query = {"ax_m": a[0], "ay_m": a[1], "bx_m": b[0], "by_m": b[1]}
    return desk.get(f"/jobs/{job}/plan/section.svg", params=query).text


def test_the_section_along_a_sheets_own_cut_is_that_sheets_section(
    desk: Browser, bay_job: str
) -> None:
    walk = bay()
    top = walk.newtop.top
    assert top is not None
    for cut in cuts_of(walk, top):
        wanted, _ = draw_sections(
            walk, top, SECTION_WIDE, cuts=(replace(cut, letter="X", through="the line drawn"),)
        )
        assert section(desk, bay_job, cut.a, cut.b) == write_svg(wanted, prefix="section-")


def test_a_slanting_section_tells_its_length_and_true_thickness(
    desk: Browser, bay_job: str
) -> None:
    walk = bay()
    top = walk.newtop.top
    assert top is not None
    assert top.surface is not None
    a, b = (0.7, 0.4), (2.9, 2.6)
    svg = ElementTree.fromstring(section(desk, bay_job, a, b))
    words = {text.get("class"): text.text or "" for text in svg.iter(f"{SVG}text")}
    assert words["dimension-text"].replace("\xa0", " ") == write_length(math.dist(a, b), UNITS)
    told = {
        (text.text or "").replace("\xa0", " ")
        for text in svg.iter(f"{SVG}text")
        if text.get("class") == "thickness-label"
    }
    line = np.array(a) + np.linspace(0, 1, 2001)[:, None] * (np.array(b) - np.array(a))
    thick = top.surface.height_m(line) - walk.oldslab.surface.height_m(line)
    assert len(told) > 2
    assert told <= {write_thickness(float(one), UNITS) for one in thick}


def test_a_line_that_leaves_the_floor_is_cut_at_its_edge() -> None:
    floor = bay().job.plan.polygon()
    cut = cut_between(floor, a=(-5.0, 1.0), b=(3.0, 1.0), letter="X", through="it")
    assert cut is not None
    assert cut.a == pytest.approx((0.0, 1.0))
    assert cut.b == pytest.approx((3.0, 1.0))
    back = cut_between(floor, a=(3.0, 1.0), b=(-5.0, 1.0), letter="X", through="it")
    assert back is not None
    assert (back.a, back.b) == (cut.b, cut.a)


def test_a_section_off_the_floor_or_without_a_top_says_why(
    desk: Browser, bay_job: str, store: Store
) -> None:
    wanted = {"Accept": "application/json"}
    path = f"/jobs/{bay_job}/plan/section.svg?ax_m=-4&ay_m=1&bx_m=-3&by_m=1"
    assert desk.get(path, headers=wanted).json()["faults"][0]["code"] == "plan-line-off-floor"
    query = {"ax": "-4 ft", "ay": "1 ft", "bx": "2", "by": "1 ft"}
    page = desk.get(f"/jobs/{bay_job}/plan", params=query).text
    part = page[page.index('id="line-faults"') :]
    assert "to, x" in part
    assert 'value="-4 ft"' in part
    walks = OneWalk(store)
    assert walks.walk is not None
    walks.walk = replace(walks.walk, newtop=replace(walks.walk.newtop, chosen=None))
    desk.client.app.state.site.walks = walks  # type: ignore[attr-defined]
    assert desk.get(path, headers=wanted).json()["faults"][0]["code"] == "plan-no-top"
    assert "no kind of top meets all the wishes" in desk.get(f"/jobs/{bay_job}/plan").text
    known = desk.get(f"/jobs/{bay_job}/plan/at.json?x_m=1&y_m=1").json()
    assert known["new"] == "not known"
    assert known["old"] != "not known"
