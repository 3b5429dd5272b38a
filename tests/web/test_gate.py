"""The gate: names, origins, methods, sizes, rates, and what every answer carries."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest
from fastapi import FastAPI
from web_site import HOME, OPEN, PHONE, SECURE, STRANGER, browser, open_door, paired

from overslab.faces.web.app import create_app
from overslab.faces.web.limits import Rate, measured
from overslab.faces.web.refusals import Refused
from overslab.faces.web.security import host_name, is_on_laptop
from overslab.faces.web.site import Settings
from overslab.job.store import Store


@pytest.mark.parametrize("at", ["http://evil.example:8700", "http://192.168.7.3:8700"])
@pytest.mark.parametrize("of", [PHONE, ("127.0.0.1", 1)])
def test_it_answers_to_its_own_names_only(app: FastAPI, at: str, of: tuple[str, int]) -> None:
    answer = browser(app, at=at, of=of).get("/pair")
    assert answer.status_code == 421
    assert "do next" in answer.text


def test_loopback_names_are_for_the_laptop_alone(app: FastAPI) -> None:
    assert browser(app, at=HOME, of=PHONE).get("/pair").status_code == 421
    assert (
        browser(app, at="http://127.0.0.1:8700", of=("127.0.0.1", 9)).get("/phones").status_code
        == 200
    )


@pytest.mark.parametrize("header", ["Forwarded", "X-Forwarded-For", "Via"])
def test_what_was_handed_on_is_not_the_laptop(app: FastAPI, header: str) -> None:
    assert browser(app).get("/phones", headers={header: "for=10.0.0.9"}).status_code == 421


@pytest.mark.parametrize(
    ("host", "name"),
    [
        ("192.168.7.2:8700", "192.168.7.2"),
        ("[::1]:8700", "[::1]"),
        ("LocalHost.", "localhost"),
        ("", ""),
        ("localhost:8700@evil.example", "localhost"),
    ],
)
def test_the_name_in_a_host_header(host: str, name: str) -> None:
    assert host_name(host) == name


def test_the_laptop_is_known_by_line_and_name_together() -> None:
    scope = {"client": ("127.0.0.1", 1)}
    assert is_on_laptop(scope, {"host": "localhost:8700"})
    assert not is_on_laptop(scope, {"host": "evil.example"})
    assert not is_on_laptop({"client": None}, {"host": "localhost"})
    assert not is_on_laptop({"client": ("testclient", 1)}, {"host": "localhost"})
    assert not is_on_laptop({"client": ("192.168.7.9", 1)}, {"host": "localhost"})


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({"Sec-Fetch-Site": "same-origin"}, 303),
        ({"Sec-Fetch-Site": "none"}, 303),
        ({"Sec-Fetch-Site": "same-site"}, 403),
        ({"Sec-Fetch-Site": "cross-site"}, 403),
        ({"Sec-Fetch-Site": "cross-site", "Origin": HOME}, 403),
        ({"Origin": HOME}, 303),
        ({"Origin": "http://localhost:9999"}, 403),
        ({"Origin": "https://localhost:8700"}, 403),
        ({"Origin": "null"}, 403),
        ({"Origin": "http://evil.example"}, 403),
        ({}, 403),
    ],
)
def test_a_write_comes_from_our_own_pages(
    app: FastAPI, headers: dict[str, str], status: int
) -> None:
    desk = browser(app)
    data = {"form_token": desk.token(), "look": "sun", "back": "/phones"}
    answer = desk.client.post("/look", data=data, headers=headers, follow_redirects=False)
    assert answer.status_code == status
    assert ("set-cookie" in answer.headers) == (status == 303)


def test_over_the_open_line_the_origin_alone_tells(app: FastAPI) -> None:
    """Browsers send no Sec-Fetch-Site there, and our referrer policy lets the origin through."""
    phone = browser(app, at=OPEN)
    assert phone.get("/pair").headers["referrer-policy"] == "same-origin"
    assert phone.post("/look", {"look": "sun"}).status_code == 303
    assert phone.post("/look", {"look": "sun"}, headers={"Origin": SECURE}).status_code == 403


@pytest.mark.parametrize("token", ["", "0" * 32, "é"])
def test_a_form_without_its_token_changes_nothing(app: FastAPI, token: str) -> None:
    answer = browser(app).post("/look", {"look": "sun", "form_token": token}, token=False)
    assert answer.status_code == 403
    assert "set-cookie" not in answer.headers


def test_the_token_is_of_one_sign_in(app: FastAPI) -> None:
    one, other = paired(app, name="One"), paired(app, name="Other")
    assert one.token() != other.token()
    borrowed = {"look": "sun", "form_token": other.token()}
    assert one.post("/look", borrowed, token=False).status_code == 403
    assert one.post("/look", {"look": "sun", "form_token": one.token()}).status_code == 303


def test_a_token_may_come_as_a_header(app: FastAPI) -> None:
    desk = browser(app)
    headers = {"X-Form-Token": desk.token()}
    assert desk.post("/phones/code", headers=headers, content=b"").status_code == 200
    assert desk.post("/phones/code", headers={"X-Form-Token": "no"}, content=b"").status_code == 403


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "BREW"])
def test_two_ways_of_asking_and_no_more(app: FastAPI, method: str) -> None:
    assert browser(app).client.request(method, "/look").status_code == 405


@pytest.mark.parametrize("path", ["/look", "/sign-out", "/phones/code", "/phones/end"])
def test_looking_at_an_action_does_not_do_it(app: FastAPI, path: str) -> None:
    assert browser(app).get(path).status_code == 405


def test_every_answer_carries_what_keeps_a_browser_to_it(app: FastAPI) -> None:
    for seen in (
        browser(app).get("/phones"),
        browser(app, at=OPEN).get("/none"),
        browser(app).get("/look"),
    ):
        policy = seen.headers["content-security-policy"]
        assert "default-src 'self'" in policy
        assert "unsafe" not in policy
        assert "frame-ancestors 'none'" in policy
        assert seen.headers["x-content-type-options"] == "nosniff"
        assert "noindex" in seen.headers["x-robots-tag"]
        assert seen.headers["cache-control"] == "no-store"
        assert "server" not in seen.headers


def test_our_own_files_may_be_kept_and_pages_may_not(app: FastAPI) -> None:
    page = browser(app).get("/phones")
    sheet = page.text.split('rel="stylesheet" href="')[1].split('"')[0]
    kept = browser(app).get(sheet)
    assert "immutable" in kept.headers["cache-control"]
    assert kept.headers["content-type"].startswith("text/css")
    again = browser(app).get(sheet, headers={"If-None-Match": kept.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")
    assert browser(app).get("/static/base.css").headers["cache-control"] == "no-cache"


def test_no_page_holds_a_script_or_a_style_of_its_own(app: FastAPI) -> None:
    desk = browser(app)
    for path in ("/phones", "/pair", "/trust", "/links", "/see", "/sign-in", "/password", "/safe"):
        text = desk.get(path).text
        assert "<script>" not in text
        assert " style=" not in text
        assert " on" not in "".join(part.split(">")[0] for part in text.split("<button")[1:])


def test_a_packed_body_is_not_unpacked(app: FastAPI) -> None:
    headers = {"Content-Encoding": "gzip", "Content-Type": "application/json"}
    assert browser(app).post("/look", content=b"\x1f\x8b", headers=headers).status_code == 415


def test_a_body_that_says_it_is_too_large(app: FastAPI) -> None:
    headers = {"Content-Length": str(10**30)}
    assert browser(app).post("/look", content=b"x", headers=headers).status_code == 413


def test_a_body_that_is_too_large_without_saying(app: FastAPI) -> None:
    def endless():  # type: ignore[no-untyped-def]
        for _ in range(64):
            yield b"a" * 65536

    headers = {"Content-Type": "application/x-www-form-urlencoded"}
    assert browser(app).post("/look", content=endless(), headers=headers).status_code == 413


def test_a_body_that_never_comes() -> None:
    async def never() -> dict[str, object]:
        await asyncio.sleep(60)
        return {}

    async def ask() -> None:
        await measured(never, most=10, seconds=0.02)()

    with pytest.raises(Refused) as refused:
        asyncio.run(ask())
    assert refused.value.status == 408


def test_so_many_a_minute_and_then_a_wait() -> None:
    now = 100.0
    rate = Rate(30, clock=lambda: now)
    for _ in range(30):
        rate.take("phone")
    with pytest.raises(Refused) as refused:
        rate.take("phone")
    assert refused.value.status == 429
    assert refused.value.headers["Retry-After"] == "2"
    rate.take("another")
    now += 2.0
    rate.take("phone")
    with pytest.raises(Refused):
        rate.take("phone")
    now += 3600
    for _ in range(30):
        rate.take("phone")
    with pytest.raises(Refused):
        rate.take("phone")


def test_a_phone_is_counted_by_its_address_and_the_laptop_is_not(
    store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings = Settings(data=tmp_path, requests_a_minute=10)
    app = create_app(store, settings=settings, groups=())
    open_door(app, monkeypatch)
    stranger = browser(app, at=OPEN, of=STRANGER)
    answers = [stranger.get("/static/mark.svg").status_code for _ in range(30)]
    assert answers[:10] == [200] * 10
    assert 429 in answers[10:]
    assert browser(app, at=OPEN, of=PHONE).get("/static/mark.svg").status_code == 200
    desk = browser(app)
    assert {desk.get("/static/mark.svg").status_code for _ in range(30)} == {200}
