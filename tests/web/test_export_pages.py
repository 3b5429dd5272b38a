"""Files for other programs over the web: who may have which."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

import icalendar
import pytest
import trimesh
from fastapi import FastAPI
from rooms_site import BAY, known_job, rooms_app, sample_walk
from web_site import Browser, as_role, browser, open_door

from overslab.faces.exports import FILES, files_for
from overslab.faces.web.roles import Role
from overslab.job.store import Store

NAMES = [one.name for one in FILES]


@dataclass
class House:
    app: FastAPI
    office: Browser
    crew: Browser
    nobody: Browser
    jobs: dict[str, str]


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """A job with all there is, one without a top, one that was never walked."""
    folder = tmp_path_factory.mktemp("exports")
    with Store.open(f"sqlite:///{folder / 'overslab.db'}", data=folder, backup=False) as store:
        app = rooms_app(store, folder)
        walks = {"whole": sample_walk("farm-shop"), "no-top": sample_walk("cannot-all")}
        jobs = {name: known_job(app, name, BAY, walk) for name, walk in walks.items()}
        jobs["unpriced"] = known_job(app, "unpriced", BAY, replace(walks["whole"], price=None))
        jobs["new"] = known_job(app, "new", BAY, None)
        with pytest.MonkeyPatch.context() as patch:
            open_door(app, patch)
            desk, phone, other = (
                browser(app), as_role(app, Role.CREW), as_role(app, Role.NOBODY),
            )  # fmt: skip
            with desk.client, phone.client:
                yield House(app, desk, phone, other, jobs)


def listed(page: str) -> list[str]:
    return re.findall(r'href="/jobs/[0-9a-f-]+/exports/([^"]+)" download', page)


def test_each_file_stands_on_the_page_by_one_tap(house: House) -> None:
    page = house.office.get(f"/jobs/{house.jobs['whole']}/exports")
    assert page.status_code == 200
    assert listed(page.text) == NAMES
    for one in FILES:
        assert one.says in page.text


def test_the_crew_is_not_shown_what_holds_money(house: House) -> None:
    page = house.crew.get(f"/jobs/{house.jobs['whole']}/exports")
    assert listed(page.text) == [one.name for one in files_for(office=False)]
    assert "bid" not in page.text


@pytest.mark.parametrize("file", NAMES)
def test_a_file_comes_with_its_type_and_name(house: House, file: str) -> None:
    kind = next(one for one in FILES if one.name == file)
    answer = house.office.get(f"/jobs/{house.jobs['whole']}/exports/{file}")
    assert answer.status_code == 200
    assert answer.headers["content-type"] == kind.media_type
    assert answer.headers["content-disposition"] == f'attachment; filename="{file}"'
    assert answer.headers["cache-control"] == "no-store"
    assert answer.content == kind.make(sample_walk("farm-shop"), True)


@pytest.mark.parametrize("file", NAMES)
def test_the_crew_has_all_but_the_bid(house: House, file: str) -> None:
    priced = next(one for one in FILES if one.name == file).priced
    for job in ("whole", "unpriced", "no-top", "new"):
        answer = house.crew.get(f"/jobs/{house.jobs[job]}/exports/{file}")
        assert (answer.status_code == 403) == priced
    answer = house.nobody.get(f"/jobs/{house.jobs['whole']}/exports/{file}")
    assert answer.status_code == 403


def test_what_comes_can_be_read(house: House) -> None:
    path = f"/jobs/{house.jobs['whole']}/exports"
    calendar = icalendar.Calendar.from_ical(house.crew.get(f"{path}/calendar.ics").content)
    assert len(calendar.walk("VTODO")) > 5
    model = house.crew.get(f"{path}/surfaces.glb").content
    scene = trimesh.load(io.BytesIO(model), file_type="glb", process=False)
    assert set(scene.geometry) == {"Old floor", "New top"}


def test_without_a_top_only_the_calendar_is_offered_and_the_rest_told(house: House) -> None:
    path = f"/jobs/{house.jobs['no-top']}/exports"
    page = house.office.get(path)
    assert listed(page.text) == ["calendar.ics"]
    assert "No top meets the wishes" in page.text
    answer = house.office.get(f"{path}/surfaces.dxf")
    assert answer.status_code in (400, 409, 422)
    assert "export-no-top" in answer.text or "no kind of top" in answer.text


def test_without_a_bid_none_is_offered(house: House) -> None:
    page = house.office.get(f"/jobs/{house.jobs['unpriced']}/exports")
    assert "bid.csv" not in listed(page.text)


def test_before_the_first_walk_there_is_nothing_yet(house: House) -> None:
    path = f"/jobs/{house.jobs['new']}/exports"
    assert "before the job was worked out once" in house.office.get(path).text
    answer = house.office.get(f"{path}/pads.csv")
    assert 400 <= answer.status_code < 500


@pytest.mark.parametrize("file", ["nothing.txt", "..%2fjob.toml", "BID.CSV", "bid.csv%00"])
def test_other_names_are_no_page(house: House, file: str) -> None:
    answer = house.crew.get(f"/jobs/{house.jobs['whole']}/exports/{file}")
    assert answer.status_code in (400, 404)


def test_the_page_stands_on_the_way_through_the_job(house: House) -> None:
    for who in (house.office, house.crew):
        page = who.get(f"/jobs/{house.jobs['whole']}/paper").text
        assert f'href="/jobs/{house.jobs["whole"]}/exports"' in page
