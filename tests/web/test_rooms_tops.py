"""A wish changed, a top chosen: really walked in the other process, shown beside the one before."""

from __future__ import annotations

import time
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass

import pytest
from fastapi import FastAPI
from rooms_site import TWO_TOPS, based_on, field_part, office, rooms_app
from web_site import Browser

from overslab.ground.units import write_money
from overslab.job import Walk
from overslab.job.store import Store


@dataclass
class Bench:
    app: FastAPI
    store: Store
    desk: Browser
    job: str

    def settled(self) -> str:
        """The page of the new top once it is worked out."""
        end = time.monotonic() + 60
        while self.app.state.site.walks.look(self.job).state in ("computing", "stale"):
            assert time.monotonic() < end
            time.sleep(0.05)
        return self.desk.get(f"/jobs/{self.job}/newtop").text

    def walk(self) -> Walk:
        self.settled()
        walked = self.app.state.site.walks.look(self.job).walk
        assert isinstance(walked, Walk)
        return walked

    def wishes(self) -> dict[str, object]:
        found: dict[str, object] = tomllib.loads(self.store.job(self.job).folder_texts.job_toml)[
            "wishes"
        ]
        return found


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Bench]:
    folder = tmp_path_factory.mktemp("bench")
    with Store.open(f"sqlite:///{folder / 'overslab.db'}", data=folder, backup=False) as store:
        app = rooms_app(store, folder, really_walk=True)
        job = store.begin("Bay", who="office", texts=TWO_TOPS)
        with office(app) as desk:
            yield Bench(app, store, desk, job)


def dollars(walked: Walk) -> str:
    top = walked.newtop.top
    assert top is not None
    return write_money(top.cost, currency="$")


def test_a_wish_changes_the_top_and_can_be_put_back(bench: Bench) -> None:
    page = bench.settled()
    before = bench.walk()
    assert "What the change did" not in page
    answer = bench.desk.post(
        f"/jobs/{bench.job}/newtop", {"based_on": based_on(page), "least_thickness": "3 in"}
    )
    assert answer.status_code == 303
    after = bench.walk()
    assert dollars(after) != dollars(before)
    shown = bench.desk.get(answer.headers["location"]).text
    told = shown.partition("What the change did")[2].partition("</table>")[0]
    assert told.index(dollars(before)) < told.index(dollars(after))
    top = after.newtop.top
    assert top is not None
    binding = [one.check.name for one in top.rules if one.binds]
    assert binding
    assert all(name in told.partition("What binds")[2] for name in binding)
    back = bench.desk.post(f"/jobs/{bench.job}/undo", {"back": "newtop"})
    assert back.headers["location"] == f"/jobs/{bench.job}/newtop"
    assert dollars(bench.walk()) == dollars(before)
    assert bench.wishes()["least_thickness"] == "2 in"


def test_a_wish_that_cannot_be_read_comes_back_with_its_fault(bench: Bench) -> None:
    page = bench.settled()
    version = bench.store.version(bench.job)
    answer = bench.desk.post(
        f"/jobs/{bench.job}/newtop", {"based_on": based_on(page), "least_fall": "a bit"}
    )
    assert answer.status_code == 400
    part = field_part(answer.text, "least_fall")
    assert 'value="a bit"' in part
    assert "fault-what" in part
    assert bench.store.version(bench.job) == version


def test_a_top_is_chosen_and_given_back_to_the_program(bench: Bench) -> None:
    bench.settled()
    page = bench.desk.get(f"/jobs/{bench.job}/tops").text
    cheapest = bench.walk().newtop.chosen
    others = [
        one.kind for one in bench.walk().newtop.options if one.passes and one.kind != cheapest
    ]
    kind = others[0]
    fields = {"based_on": based_on(page), "kind": kind}
    assert bench.desk.post(f"/jobs/{bench.job}/tops/choose", fields).status_code == 303
    assert bench.wishes()["choose"] == kind
    assert bench.walk().newtop.chosen == kind
    page = bench.desk.get(f"/jobs/{bench.job}/tops").text
    assert "You chose this one." in page
    fields = {"based_on": based_on(page), "kind": "cheapest"}
    assert bench.desk.post(f"/jobs/{bench.job}/tops/choose", fields).status_code == 303
    assert "choose" not in bench.wishes()
    assert bench.walk().newtop.chosen == cheapest


@pytest.mark.parametrize("kind", ["", "dome", "plane; drop table"])
def test_a_top_that_there_is_not(bench: Bench, kind: str) -> None:
    fields = {"based_on": "1", "kind": kind}
    answer = bench.desk.post(f"/jobs/{bench.job}/tops/choose", fields)
    assert answer.status_code == 400
    assert "do next" in answer.text


def test_a_stale_wish_shows_both(bench: Bench) -> None:
    page = bench.settled()
    old = based_on(page)
    path = f"/jobs/{bench.job}/newtop"
    assert bench.desk.post(path, {"based_on": old, "set_to": "1/4 in"}).status_code == 303
    answer = bench.desk.post(path, {"based_on": old, "set_to": "1/16 in"})
    assert answer.status_code == 409
    part = field_part(answer.text, "set_to")
    assert "There now:</strong> 1/4 in" in part
    assert 'value="1/16 in"' in part
    assert bench.wishes()["set_to"] == "1/4 in"
