"""A page is given again only to the one it was made for, and only while nothing on it changed."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import plan_site
import pytest
from fastapi import FastAPI
from jinja2 import Template
from rooms_site import BAY, known_job, rooms_app
from web_site import as_role, browser, open_door

from overslab.faces.web.page_shelf import MadePages
from overslab.faces.web.roles import Role
from overslab.faces.web.site import Site
from overslab.job.store import Store

ENTRY = re.compile(r'name="entry" value="([0-9a-f]{32})"')


@pytest.fixture
def rooms(tmp_path: Path) -> Iterator[FastAPI]:
    """The site with one job that is worked out."""
    with Store.open(f"sqlite:///{tmp_path / 'jobs.db'}", data=tmp_path, backup=False) as store:
        app = rooms_app(store, tmp_path)
        with pytest.MonkeyPatch.context() as patch:
            open_door(app, patch)
            yield app
        app.state.site.doors.close()


@pytest.fixture
def bay(rooms: FastAPI) -> str:
    return known_job(rooms, "Bay", BAY, plan_site.bay())


@pytest.fixture
def times_made(monkeypatch: pytest.MonkeyPatch) -> Callable[[], int]:
    """How many pages were made from a template since it was last asked."""
    count = 0
    really = Template.render

    def render(self: Template, *args: Any, **more: Any) -> str:
        nonlocal count
        count += 1
        return really(self, *args, **more)

    monkeypatch.setattr(Template, "render", render)

    def told() -> int:
        nonlocal count
        count, before = 0, count
        return before

    return told


def again_known(app: FastAPI, job: str) -> None:
    """As if the job had been worked out at the version it has now."""
    site: Site = app.state.site
    knows: Any = site.walks
    knows.known[job] = (site.store.version(job), plan_site.bay())


@pytest.mark.parametrize("page", ["/jobs/{}/shots", "/jobs/{}/oldslab", "/jobs/{}", "/"])
def test_a_page_is_made_once_for_one_viewer(
    rooms: FastAPI, bay: str, times_made: Callable[[], int], page: str
) -> None:
    path = page.format(bay)
    desk, phone = browser(rooms), as_role(rooms, Role.CREW)
    times_made()
    first = desk.get(path)
    assert times_made() == 1
    assert desk.get(path).text == first.text
    assert times_made() == 0
    assert desk.get(path).headers["cache-control"] == "no-store"
    theirs = phone.get(path)
    assert times_made() == 1, "a phone is never given what was made for the office"
    assert theirs.text != first.text
    another = as_role(rooms, Role.CREW)
    times_made()
    assert another.get(path).text != theirs.text, "each has the token of its own forms"
    assert times_made() == 1


def test_what_was_kept_meanwhile_is_on_the_next_page(
    rooms: FastAPI, bay: str, times_made: Callable[[], int]
) -> None:
    desk, store = browser(rooms), rooms.state.site.store
    desk.get(f"/jobs/{bay}/shots")
    desk.get("/")
    times_made()
    body = {"path": ["job", "name"], "value": '"Another bay"'}
    store.change(bay, based_on=1, kind="fact-set", body=body, who="office")
    assert "Another bay" in desk.get("/").text
    assert "The state is stale." in desk.get(f"/jobs/{bay}/shots").text
    assert times_made() == 2
    again_known(rooms, bay)
    assert "The state is stale." not in desk.get(f"/jobs/{bay}/shots").text
    assert times_made() == 1


def test_a_page_of_a_job_that_is_being_worked_out_is_not_kept(
    rooms: FastAPI, times_made: Callable[[], int]
) -> None:
    job = known_job(rooms, "Bay", BAY, None)
    desk = browser(rooms)
    for _ in range(2):
        times_made()
        assert desk.get(f"/jobs/{job}/shots").status_code == 200
        assert times_made() == 1


def test_what_changed_while_a_page_was_made_does_not_stay_on_it(
    rooms: FastAPI, monkeypatch: pytest.MonkeyPatch
) -> None:
    desk, store = browser(rooms), rooms.state.site.store
    really = Store.jobs

    def slow(self: Store, **more: Any) -> Any:
        found = really(self, **more)
        monkeypatch.setattr(Store, "jobs", really)
        store.begin("Came in between", who="office")
        return found

    monkeypatch.setattr(Store, "jobs", slow)
    assert "Came in between" not in desk.get("/").text
    assert "Came in between" in desk.get("/").text


def test_another_look_is_another_page(rooms: FastAPI, bay: str) -> None:
    desk = browser(rooms)
    assert 'data-look="auto"' in desk.get(f"/jobs/{bay}/shots").text
    desk.client.cookies.set("look", "sun")
    assert 'data-look="sun"' in desk.get(f"/jobs/{bay}/shots").text


def test_each_form_for_a_shot_makes_a_shot_of_its_own(
    rooms: FastAPI, bay: str, times_made: Callable[[], int]
) -> None:
    """Without scripts a form carries the number of its entry; twice the same would be one shot."""
    phone = as_role(rooms, Role.CREW)
    path = f"/field/{bay}"
    times_made()
    pages = [phone.get(path).text for _ in range(3)]
    assert times_made() == 1
    entries = {found[1] for page in pages if (found := ENTRY.search(page))}
    assert len(entries) == 3


def test_a_sample_that_comes_again_is_looked_at_anew(rooms: FastAPI) -> None:
    desk, site = browser(rooms), rooms.state.site
    job = site.store.begin("Sample", who="office", texts=BAY, sample=True)
    again_known(rooms, job)
    assert desk.get(f"/jobs/{job}/shots").status_code == 200
    assert desk.post(f"/jobs/{job}/remove-sample").status_code == 303
    assert desk.get(f"/jobs/{job}/shots").status_code == 404


def test_pages_that_nobody_asked_for_longest_are_let_go() -> None:
    pages = MadePages(most_bytes=30)
    for name in "abc":
        pages.keep(name, name.encode() * 10)
    assert pages.find("a") == b"a" * 10
    pages.keep("d", b"d" * 10)
    assert pages.find("b") is None
    assert pages.find("a") is not None
    pages.keep("e", b"e" * 31)
    assert [pages.find(name) for name in "acde"] == [None] * 4
    pages.keep("a", b"a" * 5)
    pages.keep("a", b"a" * 25)
    pages.keep("f", b"f" * 5)
    assert pages.find("a") == b"a" * 25
    pages.clear()
    pages.keep("g", b"g" * 30)
    assert pages.find("g") is not None
