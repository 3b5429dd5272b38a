"""Every page of the rooms for every sample, for an empty job and for a faulty one."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from xml.etree import ElementTree

import pytest
from fastapi import FastAPI
from rooms_site import KnownWalks, known_job, rooms_app, sample_walk
from web_site import Browser, as_role, browser, open_door

from overslab.faces.documents.screen import screen_codes
from overslab.faces.documents.workings import all_workings, filled, known_words, typeset
from overslab.faces.web.roles import Role
from overslab.faces.web.rooms.desk import OFFICE_ROOMS, ROOM_VIEWS
from overslab.faces.web.rooms.numbers import CREW_ROOMS
from overslab.ground.units import write_money, write_volume
from overslab.job import FolderTexts, sample_folder, sample_names
from overslab.job.steps import STEPS
from overslab.job.store import Store

CREW_VIEW = tuple(room for room in ROOM_VIEWS if room not in OFFICE_ROOMS)
PAGES = ("", *(f"/{room}" for room in CREW_VIEW), "/workings", "/paper", "/photos")
OFFICE_PAGES = ("/facts", "/tops", "/settle", "/history", *(f"/{room}" for room in OFFICE_ROOMS))
QUESTIONS = {step.room: step.question for step in STEPS}


@dataclass
class House:
    app: FastAPI
    office: Browser
    crew: Browser
    jobs: dict[str, str]


def texts_of(name: str) -> FolderTexts:
    folder = sample_folder(name)
    return FolderTexts(
        job_toml=(folder / "job.toml").read_text(encoding="utf-8"),
        shots_csv=(folder / "shots.csv").read_text(encoding="utf-8"),
        rates_toml=(folder / "rates.toml").read_text(encoding="utf-8"),
    )


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """Every sample with its walk, an empty job, a faulty one; the office and a phone."""
    folder = tmp_path_factory.mktemp("house")
    with Store.open(f"sqlite:///{folder / 'overslab.db'}", data=folder, backup=False) as store:
        app = rooms_app(store, folder)
        jobs = {
            name: known_job(app, name, texts_of(name), sample_walk(name)) for name in sample_names()
        }
        head = ",".join(("point", "x", "y", "setup", "reading", "kind", "note"))
        blank = FolderTexts(
            "[job]\nname = 'Blank'\n", f"{head}\n", '# nothing yet\ncurrency = "$"\n'
        )
        jobs["blank"] = known_job(app, "Blank", blank, None)
        broken = texts_of("thin-patio")
        jobs["faulty"] = known_job(
            app,
            "Faulty",
            FolderTexts(
                broken.job_toml.replace("least_fall", "leest_fall"),
                broken.shots_csv,
                broken.rates_toml.replace('order_step = "', 'order_step = "minus '),
            ),
            None,
        )
        with pytest.MonkeyPatch.context() as patch:
            open_door(app, patch)
            desk, phone = browser(app), as_role(app, Role.CREW)
            with desk.client, phone.client:
                yield House(app, desk, phone, jobs)


def text_in(page: str) -> str:
    """The words of a page on one line, as a person reads them."""
    bare = re.sub(r"<(script|style)\b.*?</\1>|<[^>]+>", " ", page, flags=re.DOTALL)
    return " ".join(html.unescape(bare).replace("\N{NO-BREAK SPACE}", " ").split())


@pytest.mark.parametrize("name", [*sample_names(), "blank", "faulty"])
@pytest.mark.parametrize("page", PAGES)
def test_a_page_renders_for_office_and_crew(house: House, name: str, page: str) -> None:
    for who in (house.office, house.crew):
        answer = who.get(f"/jobs/{house.jobs[name]}{page}")
        assert answer.status_code == 200, page
        assert answer.text.count("<h1>") == 1
        lead = re.search(r'<p class="lead">(.+?)</p>', answer.text, flags=re.DOTALL)
        assert lead is not None
        assert len(lead[1].strip()) > 20
        assert QUESTIONS.get(page[1:], "") in text_in(lead[1])
        assert "Traceback" not in answer.text


@pytest.mark.parametrize("name", [*sample_names(), "blank", "faulty"])
@pytest.mark.parametrize("page", OFFICE_PAGES)
def test_pages_of_the_office_are_not_for_the_crew(house: House, name: str, page: str) -> None:
    path = f"/jobs/{house.jobs[name]}{page}"
    assert house.office.get(path).status_code == 200
    assert house.crew.get(path).status_code == 403


def test_the_answer_comes_first_then_the_drawing_then_the_numbers(house: House) -> None:
    for room in ROOM_VIEWS:
        page = house.office.get(f"/jobs/{house.jobs['farm-shop']}/{room}").text
        places = [
            page.index(mark)
            for mark in (QUESTIONS[room], 'class="answer"', "<picture>", 'class="number"')
        ]
        assert places == sorted(places), room


def test_the_pages_say_what_the_records_say(house: House) -> None:
    walked = sample_walk("farm-shop")
    assert walked.takeoff is not None
    assert walked.order is not None
    units, job = walked.job.units, house.jobs["farm-shop"]
    told = {room: text_in(house.office.get(f"/jobs/{job}/{room}").text) for room in ROOM_VIEWS}
    volume = walked.takeoff.total.volume_m3
    assert write_volume(volume.mean, units) in told["takeoff"]
    assert write_volume(volume.plus_or_minus, units) in told["takeoff"]
    assert write_volume(walked.order.amount_m3, units) in told["order"]
    top = walked.newtop.top
    assert top is not None
    assert write_money(top.cost, currency="$") in told["newtop"]
    assert all(pad.name in told["newtop"] for pad in top.pads)
    assert all(touch.name in told["touches"] for touch in walked.touches.touches)  # type: ignore[union-attr]
    assert all(finding.says in told["verdict"] for finding in walked.verdict.findings)
    assert all(f" {point.point} {point.kind} " in told["shots"] for point in walked.shots.points)


def test_the_crew_reads_the_same_answers_and_no_money(house: House) -> None:
    job = house.jobs["farm-shop"]
    for room in CREW_VIEW:
        office, crew = (
            text_in(who.get(f"/jobs/{job}/{room}").text) for who in (house.office, house.crew)
        )
        answer = re.search(
            r'<p class="answer">(.*?)</p>', house.crew.get(f"/jobs/{job}/{room}").text
        )
        assert answer is not None
        assert text_in(answer[1]) in office
        assert "$" not in crew
        assert "Money" not in crew


@pytest.mark.parametrize("name", sample_names())
def test_every_working_stands_on_its_page_and_computes_again(house: House, name: str) -> None:
    walked, job = sample_walk(name), house.jobs[name]
    page = text_in(house.office.get(f"/jobs/{job}/workings").text)
    for_crew = text_in(house.crew.get(f"/jobs/{job}/workings").text)
    count = 0
    for _, room, workings in all_workings(walked):
        crew = for_crew if room in CREW_ROOMS else ""
        for working in workings:
            count += 1
            told = " ".join(filled(walked.job, working).split())
            assert told.replace("\N{NO-BREAK SPACE}", " ") in page
            assert " ".join(typeset(working.equation).split()) in page
            assert f"{' '.join(working.source.split())} ({known_words(working)})" in page
            if crew:
                assert told.replace("\N{NO-BREAK SPACE}", " ") in crew
            again = working.recompute()
            if isinstance(again, float):
                assert again == pytest.approx(working.result.value, rel=1e-12, abs=1e-15)
    shown = house.office.get(f"/jobs/{job}/workings").text.count('<article class="card" id="w')
    assert shown == count > 10


def test_every_number_opens(house: House) -> None:
    for room in ROOM_VIEWS:
        page = house.office.get(f"/jobs/{house.jobs['farm-shop']}/{room}").text
        opened = re.findall(r'<details class="number">.*?</details>', page, flags=re.DOTALL)
        assert opened, room
        for one in opened:
            inner = one.partition('<div class="working">')[2]
            assert len(text_in(inner)) > 20, text_in(one)


@pytest.mark.parametrize("name", sample_names())
def test_the_drawings(house: House, name: str) -> None:
    job, walked = house.jobs[name], sample_walk(name)
    asked = walked.job.build
    unasked = {"steel"} if asked.wire is None and asked.bars is None else set()
    unasked |= {"joints"} if asked.joints is None else set()
    unasked |= set() if asked.isolation or asked.breaker or asked.forms else {"laying"}
    for code in screen_codes():
        for size in ("wide", "narrow"):
            path = f"/jobs/{job}/drawings/{code}-{size}.svg"
            answer = house.crew.get(path)
            if code in ("shots", "old-floor", "verdict-map") or (
                walked.newtop.top and code not in unasked
            ):
                assert answer.status_code == 200, code
                assert answer.headers["content-type"] == "image/svg+xml"
                root = ElementTree.fromstring(answer.content)
                assert root.tag.endswith("svg")
                again = house.crew.get(path, headers={"If-None-Match": answer.headers["etag"]})
                assert again.status_code == 304
            else:
                assert answer.status_code == 404
    assert house.crew.get(f"/jobs/{job}/drawings/new-top-huge.svg").status_code == 404
    assert house.crew.get(f"/jobs/{job}/drawings/secret-wide.svg").status_code == 404


def test_what_the_job_may_leave_is_drawn_for_the_office_alone(house: House) -> None:
    for name in sample_names():
        walked, job = sample_walk(name), house.jobs[name]
        tried = walked.price is not None and walked.price.outcome is not None
        assert ("/price/profit-wide.svg" in house.office.get(f"/jobs/{job}/price").text) == tried
        for size in ("wide", "narrow"):
            path = f"/jobs/{job}/price/profit-{size}.svg"
            assert house.crew.get(path).status_code == 403
            answer = house.office.get(path)
            assert answer.status_code == (200 if tried else 404)
            if tried:
                assert ElementTree.fromstring(answer.content).tag.endswith("svg")
                assert answer.headers["cache-control"] == "no-store"
        assert house.office.get(f"/jobs/{job}/price/profit-huge.svg").status_code == 404


def test_the_figures_of_the_price_are_those_of_the_bid(house: House) -> None:
    bid = sample_walk("farm-shop").price
    assert bid is not None
    assert bid.outcome is not None
    page = house.office.get(f"/jobs/{house.jobs['farm-shop']}/price").text
    figures = text_in(page.partition('class="figures"')[2].partition("</section>")[0])
    for value in (bid.price, bid.before_tax, bid.cost, bid.outcome.expected_profit):
        assert write_money(value, currency=bid.currency) in figures
    assert bid.outcome.why in figures


def test_the_tops_side_by_side(house: House) -> None:
    walked, job = sample_walk("farm-shop"), house.jobs["farm-shop"]
    page = house.office.get(f"/jobs/{job}/tops").text
    for option in walked.newtop.options:
        card = page.partition(f'id="top-{option.kind}"')[2].partition("</section>")[0]
        told = text_in(card)
        assert option.title in told
        if not option.feasible:
            assert option.fight is not None
            assert option.fight.says in told
            continue
        assert write_money(option.cost, currency="$") in told
        assert write_volume(option.volume_m3, walked.job.units) in told
        assert all(one.check.name in told for one in option.rules if one.binds)
        drawing = house.office.get(f"/jobs/{job}/tops/{option.kind}.svg")
        assert ElementTree.fromstring(drawing.content).tag.endswith("svg")
        assert house.crew.get(f"/jobs/{job}/tops/{option.kind}.svg").status_code == 403
        assert ("Choose this one" in card) == option.passes


def test_fighting_wishes_are_named_with_the_smallest_change(house: House) -> None:
    walked, job = sample_walk("cannot-all"), house.jobs["cannot-all"]
    told = text_in(house.office.get(f"/jobs/{job}/newtop").text)
    fights = [one.fight for one in walked.newtop.options if one.fight]
    assert fights
    assert all(fight.says in told for fight in fights)
    assert all(change.says in told for fight in fights for change in fight.changes)


@pytest.mark.parametrize("name", ["blank", "faulty"])
def test_what_is_missing_leads_to_the_form_that_mends_it(house: House, name: str) -> None:
    job = house.jobs[name]
    page = house.office.get(f"/jobs/{job}").text
    links = re.findall(
        r'class="to-mend">.*?<a class="button" href="([^"]+)"', page, flags=re.DOTALL
    )
    assert len(links) == page.count('class="fault-what"') >= 2
    for link in links:
        assert house.office.get(link).status_code in (200, 307), link
    assert f"/jobs/{job}/facts/rates" in "\n".join(links)
    crew = house.crew.get(f"/jobs/{job}").text
    assert "The office has" in crew
    assert "fault-what" not in crew


def test_what_went_stale_says_so(house: House) -> None:
    app, job = house.app, house.jobs["thin-patio"]
    walks = app.state.site.walks
    assert isinstance(walks, KnownWalks)
    version, walked = walks.known[job]
    walks.known[job] = (version - 1, walked)
    try:
        page = house.office.get(f"/jobs/{job}/newtop").text
    finally:
        walks.known[job] = (version, walked)
    assert 'class="state state-stale" id="walk-state" role="status"' in page
    assert 'class="answer"' in page
    assert "<noscript>" in page
    assert "state-fresh" in house.office.get(f"/jobs/{job}/newtop").text


def test_the_first_screen_says_what_to_do_first(tmp_path: Path, store: Store) -> None:
    app = rooms_app(store, tmp_path)
    sample = store.import_folder(sample_folder("thin-patio"), who="office", sample=True)
    desk = browser(app)
    page = desk.get("/").text
    assert "What to do first" in page
    assert f'<a class="button main" href="/jobs/{sample}">' in page
    named = texts_of("thin-patio").job_toml.replace("Thin patio", "<script>alert(1)</script>")
    own = known_job(app, "own", replace(texts_of("thin-patio"), job_toml=named), None)
    page = desk.get("/").text
    assert "What to do first" not in page
    assert f"/jobs/{own}" in page
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in page
    assert "<script>alert" not in page
    assert desk.post(f"/jobs/{sample}/remove-sample").status_code == 303
    assert desk.post(f"/jobs/{own}/remove-sample").status_code == 400
    assert [one.id for one in store.jobs()] == [own]
    app.state.site.doors.close()


def test_many_jobs_are_shown_in_parts_and_found_by_name(tmp_path: Path, store: Store) -> None:
    app = rooms_app(store, tmp_path)
    for number in range(55):
        texts = FolderTexts(f"[job]\nname = 'Job {number:02d} 100%_'\n", "point\n", "a = 1\n")
        store.begin("job", who="office", texts=texts)
    desk = browser(app)
    first = desk.get("/").text
    assert first.count("<li><a href=") == 50
    assert desk.get("/?from=50").text.count("<li><a href=") == 5
    assert desk.get("/?find=Job+07").text.count("<li><a href=") == 1
    assert desk.get("/?find=100%25_").text.count("<li><a href=") == 50
    assert desk.get("/?find=%27+OR+1%3D1--").text.count("<li><a href=") == 0
    app.state.site.doors.close()
