"""The proposal by a private link: a page anyone can read, frozen, sale prices only; no crew."""

from __future__ import annotations

import io
import json
import pickle
import re
import sys
from collections import OrderedDict
from dataclasses import replace
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from fastapi import FastAPI
from pypdf import PdfReader
from web_site import SECURE, Browser, Clock, browser, paired

from overslab.faces.documents.proposal import page_data, print_proposal
from overslab.faces.documents.sheets import CREW_SHEETS
from overslab.faces.web import walker
from overslab.faces.web.proposal_pages import DRAWINGS
from overslab.faces.web.site import Site
from overslab.ground.faults import Faulty
from overslab.job import Walk
from overslab.job.store import Store

sys.path.insert(0, str(Path(__file__).parents[1] / "faces"))
from fake_walk import HOSTILE, fake_walk
from made_up_proposal import SECRET, made_up_texts, secret_bid, secrets_in


def walk_of(word: str = "") -> Walk:
    walk = fake_walk()
    bid = secret_bid()
    job = replace(walk.job, proposal=made_up_texts(word=word), rates=bid.rates)
    return replace(walk, job=job, price=bid)


@pytest.fixture(scope="module")
def sent() -> dict[str, bytes]:
    """What the drawer would give, made once."""
    walk = walk_of(HOSTILE)
    return {"json": json.dumps(page_data(walk)).encode(), "pdf": print_proposal(walk)}


@pytest.fixture
def drawer(app: FastAPI, monkeypatch: pytest.MonkeyPatch, sent: dict[str, bytes]) -> dict[str, Any]:
    """Stands for the process that draws; counts how often it was asked."""
    asked: dict[str, Any] = {"times": 0, "gives": dict(sent)}
    site: Site = app.state.site

    async def draw(_job: str, *, sheets: tuple[str, ...] = (), form: str) -> bytes:
        asked["times"] += 1
        assert sheets == ("proposal",)
        return asked["gives"][form]

    monkeypatch.setattr(site.walks, "paper", draw)
    return asked


def customer(app: FastAPI, job: str) -> Browser:
    fields = {"job": job, "document": "proposal", "made_out_to": "Mr Example", "days": "30"}
    found = re.search(r"/see#([A-Za-z0-9_-]{43})", browser(app).post("/links", fields).text)
    assert found is not None
    made = browser(app, at=SECURE)
    assert made.post("/see", {"token": found[1]}).status_code == 303
    return made


def everything(who: Browser) -> dict[str, bytes]:
    """All that the link opens."""
    page = who.get("/see/document")
    files = {"page": page.content, "pdf": who.get("/see/document/document.pdf").content}
    for name in sorted(set(re.findall(r"/see/document/([\w-]+\.svg)", page.text))):
        answer = who.get(f"/see/document/{name}")
        assert answer.status_code == 200, name
        assert answer.headers["content-type"] == "image/svg+xml"
        files[name] = answer.content
    return files


@pytest.mark.usefixtures("drawer")
def test_the_customer_reads_the_whole_proposal(app: FastAPI, job: str) -> None:
    files = everything(customer(app, job))
    page = files["page"].decode()
    texts = made_up_texts()
    for words in (
        *texts.scope[1:],
        texts.cracks,
        texts.weather,
        "$11,500.00",
        "$460.00",
        "$285.00",
    ):
        assert words in page
    assert files["pdf"].startswith(b"%PDF")
    assert {name for name in files if name.endswith(".svg")} <= set(DRAWINGS)
    assert {"water.svg", "top-wide.svg", "door-1-narrow.svg"} <= files.keys()


@pytest.mark.usefixtures("drawer")
def test_no_cost_in_any_byte(app: FastAPI, job: str) -> None:
    for name, content in everything(customer(app, job)).items():
        words = content.decode("utf-8", "replace")
        if name == "pdf":
            pages = PdfReader(io.BytesIO(content)).pages
            words = "\n".join(page.extract_text() for page in pages)
        assert SECRET not in words, name
        assert secrets_in(words) == set(), name


class Reader(HTMLParser):
    """What a screen reader would go by."""

    def __init__(self) -> None:
        super().__init__()
        self.heads: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if re.fullmatch(r"h[1-6]", tag):
            self.heads.append(tag)


@pytest.mark.usefixtures("drawer")
def test_the_page_can_be_read_by_ear(app: FastAPI, job: str) -> None:
    reader = Reader()
    page = customer(app, job).get("/see/document")
    reader.feed(page.text)
    levels = [int(head[1]) for head in reader.heads]
    assert levels.count(1) == 1
    assert all(later - earlier <= 1 for earlier, later in pairwise(levels))
    ids = [attrs["id"] for _, attrs in reader.tags if attrs.get("id")]
    assert len(ids) == len(set(ids))
    pictures = [attrs for tag, attrs in reader.tags if tag == "img"]
    assert len(pictures) >= 3
    assert all(len(attrs.get("alt") or "") > 20 for attrs in pictures)
    cells = [attrs for tag, attrs in reader.tags if tag == "th"]
    assert cells
    assert all(attrs.get("scope") in ("col", "row") for attrs in cells)
    assert not any("style" in attrs for _, attrs in reader.tags)
    for target in re.findall(r'href="#([\w-]+)"', page.text):
        assert target in ids
    assert "noindex" in page.headers["x-robots-tag"]
    assert page.headers["cache-control"] == "no-store"


@pytest.mark.usefixtures("drawer")
def test_what_was_typed_is_shown_and_never_run(app: FastAPI, job: str) -> None:
    page = customer(app, job).get("/see/document").text
    assert "&lt;script&gt;" in page
    assert "#read(&#34;x&#34;)" in page
    assert HOSTILE not in page


def test_it_stays_as_it_was_sent(
    app: FastAPI, job: str, drawer: dict[str, Any], store: Store
) -> None:
    who = customer(app, job)
    drawn, before = drawer["times"], everything(who)
    drawer["gives"] = {"json": b'{"page": {}, "drawings": {}, "not_given": []}', "pdf": b"later"}
    body = {"path": ["job", "name"], "value": "Another name"}
    store.change(job, based_on=1, kind="fact-set", body=body, who="office")
    tokens = re.compile(rb"[0-9a-f]{64}")
    after = everything(who)
    assert {name: tokens.sub(b"", one) for name, one in after.items()} == {
        name: tokens.sub(b"", one) for name, one in before.items()
    }
    assert drawer["times"] == drawn


@pytest.mark.usefixtures("drawer")
def test_taken_back_or_over_it_is_gone(app: FastAPI, job: str, clock: Clock) -> None:
    first, second = customer(app, job), customer(app, job)
    site: Site = app.state.site
    newest = site.links.listed()[0]
    folders = list((site.settings.data / "sent").iterdir())
    assert len(folders) == 2
    assert browser(app).post("/links/revoke", {"link": newest.id}).status_code == 303
    assert len(list((site.settings.data / "sent").iterdir())) == 1
    states = {who.get("/see/document").status_code for who in (first, second)}
    assert states == {200, 403}
    clock.forward(days=31)
    for who in (first, second):
        assert who.get("/see/document/document.pdf").status_code == 403
        assert who.get("/see/document/water.svg").status_code == 403


@pytest.mark.usefixtures("drawer")
def test_the_crew_and_strangers_see_none_of_it(app: FastAPI, job: str) -> None:
    who, phone, stranger = customer(app, job), paired(app, at=SECURE), browser(app, at=SECURE)
    assert "proposal" not in CREW_SHEETS
    for path in ("", ".pdf", "/drawings/water.svg"):
        address = f"/jobs/{job}/proposal{path}"
        for other in (who, phone, stranger):
            answer = other.get(address)
            assert answer.status_code == 403, address
            assert "11,500" not in answer.text
    for path in ("/see/document", "/see/document/document.pdf"):
        assert phone.get(path).status_code == 403
        assert stranger.get(path).status_code == 403
    for name in ("proposal.json", "..%2fproposal.json", "other.svg", "water-wide.svg%00"):
        assert who.get(f"/see/document/{name}").status_code == 404


@pytest.mark.usefixtures("drawer")
def test_the_office_sees_which_words_are_not_given(app: FastAPI, job: str) -> None:
    desk = browser(app)
    page = desk.get(f"/jobs/{job}/proposal").text
    assert "Ask your local authority or a lawyer" in page
    for text in ("deposit", "right to cancel", "insurance", "warranty"):
        assert text in page
    assert "$11,500.00" in page
    assert desk.get(f"/jobs/{job}/proposal.pdf").content.startswith(b"%PDF")
    assert desk.get(f"/jobs/{job}/proposal/drawings/top-narrow.svg").status_code == 200
    assert desk.get(f"/jobs/{job}/proposal/drawings/order.svg").status_code == 404
    who = customer(app, job).get("/see/document").text
    assert "lawyer" not in who
    assert "rates.toml" not in who


def drawn_here(walk: Walk, *, sheets: tuple[str, ...], form: str) -> walker.Result:
    """As the drawing process does it, in this one."""
    task = walker.PaperTask("here", pickle.dumps(walk, 5), sheets, form)  # type: ignore[arg-type]
    return walker._drawn(task, OrderedDict())


def test_what_the_drawing_process_gives() -> None:
    walk = walk_of()
    page = drawn_here(walk, sheets=("proposal",), form="json")
    assert page.content is not None
    assert json.loads(page.content) == json.loads(json.dumps(page_data(walk)))
    paper = drawn_here(walk, sheets=("proposal",), form="pdf")
    assert paper.content == print_proposal(walk)


def test_without_a_price_the_office_is_told_and_nothing_is_sent(
    app: FastAPI, job: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    site: Site = app.state.site

    async def draw(_job: str, *, sheets: tuple[str, ...] = (), form: str) -> bytes:
        result = drawn_here(replace(walk_of(), price=None), sheets=sheets, form=form)
        assert result.content is None
        raise Faulty(result.faults)

    monkeypatch.setattr(site.walks, "paper", draw)
    desk = browser(app)
    assert "There is no price to propose" in desk.get(f"/jobs/{job}/proposal").text
    fields = {"job": job, "document": "proposal", "made_out_to": "x", "days": "30"}
    answer = desk.post("/links", fields)
    assert answer.status_code == 400
    assert "There is no price to propose" in answer.text
    assert site.links.listed() == ()
