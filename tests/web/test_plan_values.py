"""What the plan says at a place is what the walk itself says there."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from plan_site import TEXTS as BAY
from plan_site import OneWalk, bay, plan_app
from web_site import Browser, browser

from overslab.ground.units import Units, write_height, write_reading, write_thickness
from overslab.job.store import Store

FT = 0.3048
UNITS = Units(system="feet-inches", mark_m=0.0254 / 16)
BEAM_M = 104 * FT  # the benchmark at 100 ft read 4' 0"


@pytest.fixture
def bay_job(store: Store) -> str:
    return store.begin("Small bay", who="office", texts=BAY)


@pytest.fixture
def desk(store: Store, bay_job: str, tmp_path: Path) -> Iterator[Browser]:
    assert bay_job
    app = plan_app(store, tmp_path)
    yield browser(app)
    app.state.site.doors.close()


def random_places(count: int) -> list[tuple[float, float]]:
    dice = random.Random(20260301)
    return [(dice.uniform(0, 20 * FT), dice.uniform(0, 10 * FT)) for _ in range(count)]


def test_a_place_is_told_as_the_walk_has_it(desk: Browser, bay_job: str) -> None:
    walk = bay()
    top = walk.newtop.top
    assert top is not None
    assert top.surface is not None
    for x, y in random_places(25):
        x, y = round(x, 5), round(y, 5)
        told = desk.get(f"/jobs/{bay_job}/plan/at.json", params={"x_m": x, "y_m": y}).json()
        spot = np.array([[x, y]])
        old = walk.oldslab.surface.height_m(spot)[0]
        new = top.surface.height_m(spot)[0]
        spread = 1.959963984540054 * walk.oldslab.surface.deviation_m(spot)[0]
        assert told["old"] == write_height(old, UNITS)
        assert told["new"] == write_height(new, UNITS)
        assert told["thickness"] == write_thickness(new - old, UNITS)
        assert told["give_or_take"] == write_thickness(spread, UNITS)
        assert told["rod_new"] == write_reading(BEAM_M - new, UNITS)
        assert told["rod_old"] == write_reading(BEAM_M - old, UNITS)


def test_off_the_floor_nothing_is_made_up(desk: Browser, bay_job: str) -> None:
    answer = desk.get(f"/jobs/{bay_job}/plan/at.json", params={"x_m": -0.3, "y_m": 1})
    assert answer.status_code == 400
    wanted = {"Accept": "application/json"}
    answer = desk.get(
        f"/jobs/{bay_job}/plan/at.json", params={"x_m": -0.3, "y_m": 1}, headers=wanted
    )
    assert [one["code"] for one in answer.json()["faults"]] == ["plan-off-floor"]


def test_the_lattice_holds_the_walks_heights(desk: Browser, bay_job: str) -> None:
    walk = bay()
    answer = desk.get(f"/jobs/{bay_job}/plan/values.json", params={"v": "1"})
    told = answer.json()
    assert len(answer.content) < 300_000
    old = np.array([np.nan if v is None else v for v in told["old"]], dtype=float)
    sheet = told["base_m"] + old.reshape(told["rows"], told["columns"]) * 1e-5
    x_m = told["west_m"] + np.arange(told["columns"]) * told["step_m"]
    y_m = told["south_m"] + np.arange(told["rows"]) * told["step_m"]
    across, up = np.meshgrid(x_m, y_m)
    inside = np.isfinite(sheet)
    assert inside.sum() > 1000
    points = np.column_stack([across[inside], up[inside]])
    assert np.abs(sheet[inside] - walk.oldslab.surface.height_m(points)).max() < 2e-5
    top = walk.newtop.top
    assert top is not None
    assert top.surface is not None
    new = np.array([np.nan if v is None else v for v in told["new"]], dtype=float)
    heights = told["base_m"] + new.reshape(sheet.shape)[inside] * 1e-5
    assert np.abs(heights - top.surface.height_m(points)).max() < 2e-5
    # The crack runs from (12 ft, 0) to (11 ft, 10 ft): its two sides are two panels.
    panel = np.array([-1 if v is None else v for v in told["panel"]]).reshape(sheet.shape)[inside]
    west = points[:, 0] < (12 - points[:, 1] / (10 * FT)) * FT
    assert len(set(panel[west])) == 1
    assert len(set(panel[~west])) == 1
    assert set(panel[west]).isdisjoint(panel[~west])


def test_without_a_script_a_typed_place_is_answered_on_the_page(
    desk: Browser, bay_job: str
) -> None:
    page = desk.get(f"/jobs/{bay_job}/plan", params={"x": "7 ft", "y": "5 ft"}).text
    walk = bay()
    old = walk.oldslab.surface.height_m(np.array([[7 * FT, 5 * FT]]))[0]
    said = write_height(old, UNITS).replace("'", "&#39;").replace('"', "&#34;")
    assert f'data-value="old">{said}<' in page
    assert 'class="asked"' in page
    # C2 on the taped grid is two letters and one number from 1 ft, 1 ft.
    by_label = desk.get(f"/jobs/{bay_job}/plan", params={"x": "c2"}).text
    assert f'data-value="old">{said}<' in by_label


@pytest.mark.parametrize(
    ("x", "y", "words"),
    [
        ("7", "5 ft", "the place, x"),
        ("7 ft", "", "nothing"),
        ("<script>", "1 ft", "&lt;script&gt;"),
        ("Z9", "", "this place is not on the floor"),
        ("40 ft", "1 ft", "this place is not on the floor"),
        ("9999999 ft", "1 ft", "9999999 ft"),
    ],
)
def test_a_place_that_cannot_be_read_is_told_beside_its_field(
    desk: Browser, bay_job: str, x: str, y: str, words: str
) -> None:
    page = desk.get(f"/jobs/{bay_job}/plan", params={"x": x, "y": y}).text
    part = page[page.index('id="place-faults"') : page.index('id="values"')]
    assert words in part
    assert "do next" in part
    assert "<script>" not in page.replace('<script type="module"', "")


def test_numbers_that_are_none_are_refused(desk: Browser, bay_job: str) -> None:
    for bad in ("nan", "inf", "1e9", "here"):
        answer = desk.get(f"/jobs/{bay_job}/plan/at.json", params={"x_m": bad, "y_m": 1})
        assert answer.status_code == 400


def test_a_job_that_was_never_worked_out_says_so(desk: Browser, bay_job: str, store: Store) -> None:
    walks = OneWalk(store)
    walks.walk = None
    desk.client.app.state.site.walks = walks  # type: ignore[attr-defined]
    assert "as soon as the job has been worked out" in desk.get(f"/jobs/{bay_job}/plan").text
    wanted = {"Accept": "application/json"}
    for part in ("values.json", "at.json?x_m=1&y_m=1", "drawing.svg"):
        answer = desk.get(f"/jobs/{bay_job}/plan/{part}", headers=wanted)
        assert [one["code"] for one in answer.json()["faults"]] == ["plan-not-worked-out"]
    assert desk.get(f"/jobs/{bay_job}/plan/edit").status_code == 200
