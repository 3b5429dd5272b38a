"""The plan is for office and crew, drawing on it for the office; no price is in any of it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi import FastAPI
from plan_site import PRICES, plan_app
from plan_site import TEXTS as BAY
from web_site import as_role, open_door

from overslab.faces.web.roles import Role, guarded_routes
from overslab.job.store import Store

QUERIES = {
    "at.json": "?x_m=1&y_m=1",
    "section.svg": "?ax_m=1&ay_m=1&bx_m=3&by_m=2",
    "drawing.svg": "?show=pads,falls,thickness,hollow,breaks,shots,water,contours&chosen=1",
    "plan": "?x=4+ft&y=4+ft&ax=1+ft&ay=1+ft&bx=9+ft&by=9+ft",
}


@pytest.fixture
def bay_job(store: Store) -> str:
    return store.begin("Small bay", who="office", texts=BAY)


@pytest.fixture
def site(store: Store, bay_job: str, tmp_path: Path) -> Iterator[FastAPI]:
    assert bay_job
    app = plan_app(store, tmp_path, tries_a_minute=1000)
    with pytest.MonkeyPatch.context() as patch:
        open_door(app, patch)
        yield app
    app.state.site.doors.close()


def plan_routes(app: FastAPI) -> list[tuple[str, str]]:
    return [
        (route.path, method)
        for route in guarded_routes(app.router.routes)
        if "/plan" in route.path
        for method in sorted(route.methods or ())
    ]


def test_every_route_as_every_role(site: FastAPI, bay_job: str) -> None:
    routes = plan_routes(site)
    assert len(routes) == 8
    for role in Role:
        visitor = as_role(site, role)
        for path, method in routes:
            asked = path.replace("{job}", bay_job) + QUERIES.get(path.rpartition("/")[2], "")
            if method == "GET":
                answer = visitor.get(asked)
            else:
                answer = visitor.post(asked, json={}, headers={"Accept": "application/json"})
            for_office = "/edit" in path
            allowed = role == Role.OFFICE or (role == Role.CREW and not for_office)
            if not allowed:
                assert answer.status_code == 403, (role, path)
            elif method == "GET":
                assert answer.status_code == 200, (role, path)
            if role == Role.CREW:
                body = answer.content.decode()
                assert not any(price in body for price in PRICES)
                assert not any(price[:4] in body for price in PRICES if "svg" not in path)


def test_the_crew_is_not_led_to_where_it_may_not_go(site: FastAPI, bay_job: str) -> None:
    assert "/plan/edit" in as_role(site, Role.OFFICE).get(f"/jobs/{bay_job}/plan").text
    assert "/plan/edit" not in as_role(site, Role.CREW).get(f"/jobs/{bay_job}/plan").text


def test_the_crew_hears_of_faults_by_number_alone(
    site: FastAPI, bay_job: str, store: Store
) -> None:
    body = {"path": ["door", "front door", "move_cost"], "value": "seeded 3307.83 dollars"}
    store.change(bay_job, based_on=1, kind="fact-set", body=body, who="office")
    site.state.site.walks.walk = None
    assert "3307.83" in as_role(site, Role.OFFICE).get(f"/jobs/{bay_job}/plan").text
    page = as_role(site, Role.CREW).get(f"/jobs/{bay_job}/plan").text
    assert "3307" not in page
    assert "1 thing to put right" in page
