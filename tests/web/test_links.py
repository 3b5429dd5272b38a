"""Private links: one document as it was sent, with an end, taken back at once."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from fastapi import FastAPI
from web_site import HOME, OPEN, SECURE, Browser, Clock, browser, paired

from overslab.faces.web.doors import FILE
from overslab.faces.web.roles import Role
from overslab.faces.web.site import Site
from overslab.job.store import Store

SENT = {"document.pdf": b"%PDF-as-sent", "new-top.svg": b"<svg/>", "sections.svg": b"<svg/>"}


@pytest.fixture
def paper(app: FastAPI, monkeypatch: pytest.MonkeyPatch) -> dict[str, int]:
    """Stands for the drawing of sheets; counts how often it was asked."""
    asked = {"times": 0}
    site: Site = app.state.site

    async def draw(_job: str, *, sheets: tuple[str, ...] = (), form: str) -> bytes:
        asked["times"] += 1
        return SENT["document.pdf" if form == "pdf" else f"{sheets[0]}.svg"]

    monkeypatch.setattr(site.walks, "paper", draw)
    return asked


def send(app: FastAPI, job: str, **more: str) -> str:
    """Make a link as the office; gives what stands behind its # sign."""
    fields = {"job": job, "document": "new-floor", "made_out_to": "Mr Example", "days": "30"}
    page = browser(app).post("/links", {**fields, **more}).text
    found = re.search(r"/see#([A-Za-z0-9_-]{43})", page)
    assert found is not None
    return found[1]


def visit(app: FastAPI, token: str) -> Browser:
    customer = browser(app, at=SECURE)
    assert customer.post("/see", {"token": token}).status_code == 303
    return customer


@pytest.mark.usefixtures("paper")
def test_the_customer_sees_that_document_and_nothing_else(app: FastAPI, job: str) -> None:
    customer = visit(app, send(app, job))
    page = customer.get("/see/document")
    assert page.status_code == 200
    assert page.headers["cache-control"] == "no-store"
    assert "noindex" in page.headers["x-robots-tag"]
    for name, content in SENT.items():
        answer = customer.get(f"/see/document/{name}")
        assert answer.content == content
        assert answer.headers["cache-control"] == "no-store"
    for path in (
        "/phones",
        "/links",
        "/safe",
        f"/jobs/{job}/state",
        f"/jobs/{job}/paper/packet.pdf",
        f"/jobs/{job}/paper/order.pdf",
    ):
        assert customer.get(path).status_code == 403
    for name in ("order.svg", "..%2f..%2foverslab.db", "document.pdf%00", "new-top.pdf"):
        assert customer.get(f"/see/document/{name}").status_code == 404


@pytest.mark.usefixtures("paper")
def test_a_link_ends_on_its_day(app: FastAPI, job: str, clock: Clock) -> None:
    token = send(app, job, days="3")
    customer = visit(app, token)
    clock.forward(days=3, seconds=-1)
    customer = visit(app, token)
    assert customer.get("/see/document").status_code == 200
    clock.forward(seconds=1)
    assert customer.get("/see/document").status_code == 403
    assert browser(app, at=SECURE).post("/see", {"token": token}).status_code == 403


@pytest.mark.usefixtures("paper")
def test_a_link_that_is_taken_back_is_dead_at_once(app: FastAPI, job: str, tmp_path: Path) -> None:
    token, kept = send(app, job), send(app, job)
    customer, other = visit(app, token), visit(app, kept)
    site: Site = app.state.site
    link = site.links.open(token)
    assert (tmp_path / "sent" / link.id).is_dir()
    assert browser(app).post("/links/revoke", {"link": link.id}).status_code == 303
    assert customer.get("/see/document").status_code == 403
    assert customer.get("/see/document/document.pdf").status_code == 403
    assert not (tmp_path / "sent" / link.id).exists()
    assert browser(app, at=SECURE).post("/see", {"token": token}).status_code == 403
    assert other.get("/see/document/document.pdf").status_code == 200
    assert browser(app).post("/links/revoke", {"link": link.id}).status_code == 400


def test_a_document_stays_as_it_was_sent(
    app: FastAPI, job: str, paper: dict[str, int], store: Store
) -> None:
    token = send(app, job)
    drawn = paper["times"]
    body = {"path": ["job", "name"], "value": "Another name"}
    store.change(job, based_on=1, kind="fact-set", body=body, who="office")
    customer = visit(app, token)
    customer.get("/see/document")
    assert customer.get("/see/document/document.pdf").content == SENT["document.pdf"]
    assert paper["times"] == drawn


@pytest.mark.usefixtures("paper")
def test_looks_are_counted_and_the_address_is_kept_nowhere(
    app: FastAPI, job: str, tmp_path: Path
) -> None:
    token = send(app, job)
    customer = visit(app, token)
    customer.get("/see/document")
    customer.get("/see/document")
    site: Site = app.state.site
    (link,) = site.links.listed()
    assert link.views == 2
    assert token.encode() not in (tmp_path / FILE).read_bytes()
    assert token not in browser(app).get("/links").text
    assert not any(token in "".join(line) for line in site.doors.lines())


@pytest.mark.usefixtures("paper")
@pytest.mark.parametrize(
    "wrong",
    [{"days": "0"}, {"days": "366"}, {"days": "many"}, {"days": "²"}, {"document": "order"}],
)
def test_a_link_that_cannot_be_made_keeps_what_was_typed(
    app: FastAPI, job: str, wrong: dict[str, str]
) -> None:
    fields = {"job": job, "document": "new-floor", "made_out_to": "Mr Example", "days": "30"}
    answer = browser(app).post("/links", {**fields, **wrong})
    assert answer.status_code == 400
    assert "do next" in answer.text
    assert 'value="Mr Example"' in answer.text
    assert "/see#" not in answer.text


@pytest.mark.usefixtures("paper")
def test_no_link_opens_over_the_open_line(app: FastAPI, job: str) -> None:
    answer = browser(app, at=OPEN).post("/see", {"token": send(app, job)})
    assert answer.status_code == 403
    assert "set-cookie" not in answer.headers


@pytest.mark.usefixtures("paper")
@pytest.mark.parametrize("token", ["", "x" * 43, "é", "a" * 10_000, "' or 1=1 --"])
def test_links_are_not_guessed(app: FastAPI, job: str, token: str) -> None:
    send(app, job)
    answer = browser(app, at=SECURE).post("/see", {"token": token})
    assert answer.status_code == 403
    assert "set-cookie" not in answer.headers


@pytest.mark.usefixtures("paper")
def test_who_works_here_does_not_turn_into_a_customer(app: FastAPI, job: str) -> None:
    token = send(app, job)
    desk = browser(app, at=HOME)
    answer = desk.post("/see", {"token": token})
    assert answer.headers["location"].endswith("/document.pdf")
    assert desk.get(answer.headers["location"]).content == SENT["document.pdf"]
    assert desk.get("/phones").status_code == 200
    phone = paired(app, at=SECURE)
    before = phone.client.cookies["__Host-s"]
    assert phone.post("/see", {"token": token}).status_code == 403
    assert phone.client.cookies["__Host-s"] == before
    site: Site = app.state.site
    assert site.sessions.listed(Role.CUSTOMER) == ()
