"""Sessions: random, hashed, of one line, over when idle, ended at once; the office password."""

from __future__ import annotations

import asyncio
import re
import sqlite3
from pathlib import Path

import pytest
from fastapi import FastAPI
from web_site import ADDRESS, HOME, OPEN, PHONE, SECURE, Clock, browser, paired

from overslab.faces.web.doors import FILE, Doors, hashed
from overslab.faces.web.passwords import Passwords
from overslab.faces.web.roles import Role
from overslab.faces.web.sessions import Sessions
from overslab.faces.web.site import Site
from overslab.ground.faults import Faulty

PASSWORD = "four unlike words here"


def test_a_token_is_256_random_bits_and_kept_only_as_its_hash(app: FastAPI, tmp_path: Path) -> None:
    phones = [paired(app, name=f"Phone {n}") for n in range(3)]
    tokens = [phone.client.cookies["crew-open"] for phone in phones]
    assert len(set(tokens)) == 3
    assert all(re.fullmatch(r"[A-Za-z0-9_-]{43}", token) for token in tokens)
    raw = (tmp_path / FILE).read_bytes()
    assert not any(token.encode() in raw for token in tokens)
    assert all(hashed(token) in raw for token in tokens)
    assert (tmp_path / FILE).stat().st_mode & 0o077 == 0


def test_the_cookie_over_https_cannot_be_had_any_other_way(app: FastAPI) -> None:
    phone = paired(app, at=SECURE)
    given = [one for seen in phone.seen for one in seen.headers.get_list("set-cookie")]
    cookie = next(one for one in given if one.startswith("__Host-s="))
    sent = {part.strip().lower() for part in cookie.split(";")}
    assert {"secure", "httponly", "path=/", "samesite=lax"} <= sent
    assert not any(part.startswith("domain") for part in sent)


def test_a_cookie_of_the_open_line_is_worth_nothing_over_https(app: FastAPI) -> None:
    token = paired(app, at=OPEN).client.cookies["crew-open"]
    for name in ("crew-open", "__Host-s", "desk"):
        thief = browser(app, at=SECURE)
        thief.client.cookies.set(name, token, domain=ADDRESS, path="/")
        assert thief.get("/jobs/x/state").status_code == 403


@pytest.mark.parametrize("spoil", ["", "x" * 43, "é", "a" * 5000])
def test_a_token_nobody_was_given_opens_nothing(app: FastAPI, spoil: str) -> None:
    phone = browser(app, at=SECURE)
    headers = {"Cookie": f"__Host-s={spoil}".encode()}
    assert phone.get("/jobs/x/state", headers=headers).status_code == 403


def test_a_token_planted_beforehand_is_not_the_one_that_is_given(app: FastAPI) -> None:
    planted = "A" * 43
    desk, phone = browser(app), browser(app, at=SECURE)
    phone.client.cookies.set("__Host-s", planted, domain=ADDRESS, path="/")
    code = re.search(r"([A-Z0-9]{4}-[A-Z0-9]{4})<", desk.post("/phones/code").text)
    assert code is not None
    phone.post("/pair", {"name": "Sam", "code": code[1]})
    waiting = desk.get("/phones/waiting").json()["waiting"][0][0]
    desk.post("/phones/let-in", {"phone": waiting, "answer": "let in"})
    answer = phone.post("/pair/enter")
    assert planted not in answer.headers["set-cookie"]
    site: Site = app.state.site
    assert site.sessions.find(planted, secure=True) is None


def test_signing_in_again_ends_the_session_before(app: FastAPI) -> None:
    site: Site = app.state.site
    phone = paired(app, at=SECURE)
    first = phone.client.cookies["__Host-s"]
    assert site.sessions.find(first, secure=True) is not None
    asyncio.run(site.passwords.set(PASSWORD, again=PASSWORD))
    assert phone.post("/sign-in", {"password": PASSWORD}).status_code == 303
    assert site.sessions.find(first, secure=True) is None
    assert phone.client.cookies["__Host-s"] != first


@pytest.mark.parametrize(
    ("role", "idle"), [(Role.OFFICE, {"hours": 12}), (Role.CREW, {"days": 90})]
)
def test_a_session_ends_when_nobody_comes(
    app: FastAPI, clock: Clock, role: Role, idle: dict[str, int]
) -> None:
    sessions: Sessions = app.state.site.sessions
    token, _ = sessions.begin(role, who="x", secure=True, agent="")
    clock.forward(**idle)
    assert sessions.find(token, secure=True) is not None
    clock.forward(**idle)
    clock.forward(seconds=1)
    assert sessions.find(token, secure=True) is None
    clock.forward(days=-400)
    assert sessions.find(token, secure=True) is None


def test_sessions_are_still_there_after_the_program_was_started_again(
    app: FastAPI, tmp_path: Path, clock: Clock
) -> None:
    token = paired(app).client.cookies["crew-open"]
    gone = paired(app).client.cookies["crew-open"]
    site: Site = app.state.site
    found = site.sessions.find(gone, secure=False)
    assert found is not None
    site.sessions.end(found.id)
    doors = Doors(tmp_path)
    again = Sessions(doors, idle={Role.CREW: site.settings.crew_idle}, now=clock)
    kept = again.find(token, secure=False)
    assert kept == site.sessions.find(token, secure=False)
    assert again.find(gone, secure=False) is None
    doors.close()


def test_the_lost_phone_is_out_at_the_next_request(app: FastAPI, job: str) -> None:
    phone, other = paired(app, name="Lost one"), paired(app, name="Other")
    assert phone.get(f"/jobs/{job}/state").status_code == 200
    page = browser(app).get("/phones").text
    row = page[page.index("Lost one") :]
    session = re.search(r'name="phone" value="([0-9a-f]+)"', row)
    assert session is not None
    assert browser(app).post("/phones/end", {"phone": session[1]}).status_code == 303
    assert phone.get(f"/jobs/{job}/state").status_code == 403
    assert other.get(f"/jobs/{job}/state").status_code == 200
    assert browser(app).post("/phones/end", {"phone": session[1]}).status_code == 404


def test_signing_out_is_over_on_both_sides(app: FastAPI, job: str) -> None:
    phone = paired(app, at=SECURE)
    token = phone.client.cookies["__Host-s"]
    answer = phone.post("/sign-out")
    assert answer.status_code == 200
    assert "__Host-s" not in phone.client.cookies
    phone.client.cookies.set("__Host-s", token, domain=ADDRESS, path="/")
    assert phone.get(f"/jobs/{job}/state").status_code == 403


def test_the_laptop_is_the_office_until_there_is_a_password(app: FastAPI) -> None:
    desk = browser(app)
    assert desk.get("/phones").status_code == 200
    short = desk.post("/password", {"password": "short", "again": "shorter"})
    assert short.status_code == 400
    assert "password-short" not in short.text
    assert "15 to 200 signs" in short.text
    assert "not the same" in short.text
    assert desk.post("/password", {"password": PASSWORD, "again": PASSWORD}).status_code == 303
    assert desk.get("/phones").status_code == 200, "who set it stays in"
    other = browser(app)
    assert other.get("/phones").status_code == 403
    assert other.post("/sign-in", {"password": "not the right one"}).status_code == 403
    assert other.post("/sign-in", {"password": PASSWORD}).status_code == 303
    assert other.get("/phones").status_code == 200
    assert other.post("/password", {"remove": "yes"}).status_code == 303
    assert browser(app).get("/phones").status_code == 200


def test_the_office_does_not_sign_in_over_the_open_line(app: FastAPI) -> None:
    site: Site = app.state.site
    asyncio.run(site.passwords.set(PASSWORD, again=PASSWORD))
    phone = browser(app, at=OPEN)
    answer = phone.post("/sign-in", {"password": PASSWORD})
    assert answer.status_code == 403
    assert "open line" in answer.text
    assert "set-cookie" not in answer.headers
    assert browser(app, at=SECURE).post("/sign-in", {"password": PASSWORD}).status_code == 303


@pytest.mark.parametrize("at", [OPEN, HOME])
def test_an_office_session_is_refused_where_it_was_not_made(app: FastAPI, at: str) -> None:
    """Even a session of the office that says it was made on the open line."""
    site: Site = app.state.site
    asyncio.run(site.passwords.set(PASSWORD, again=PASSWORD))
    for secure in (True, False):
        token, _ = site.sessions.begin(Role.OFFICE, who="office", secure=secure, agent="")
        phone = browser(app, at=at, of=PHONE if at == OPEN else ("127.0.0.1", 7))
        cookie = {"Cookie": f"crew-open={token}; __Host-s={token}"}
        assert phone.get("/phones", headers=cookie).status_code == 403


def test_a_new_password_ends_the_office_elsewhere(app: FastAPI) -> None:
    site: Site = app.state.site
    asyncio.run(site.passwords.set(PASSWORD, again=PASSWORD))
    away = browser(app, at=SECURE)
    away.post("/sign-in", {"password": PASSWORD})
    desk = browser(app)
    desk.post("/sign-in", {"password": PASSWORD})
    fresh = "another four words now"
    assert desk.post("/password", {"password": fresh, "again": fresh}).status_code == 303
    assert away.get("/phones").status_code == 403
    assert desk.get("/phones").status_code == 200


def test_guessing_the_password_is_slowed_down(app: FastAPI) -> None:
    site: Site = app.state.site
    asyncio.run(site.passwords.set(PASSWORD, again=PASSWORD))
    phone = browser(app, at=SECURE)
    answers = [phone.post("/sign-in", {"password": f"guess {n}"}).status_code for n in range(7)]
    assert answers[:5] == [403] * 5
    assert 429 in answers[5:]
    assert any("wrong office password" in line.what for line in site.doors.lines())


def test_a_password_is_kept_as_argon2id(tmp_path: Path) -> None:
    doors = Doors(tmp_path)
    passwords = Passwords(doors)
    assert not asyncio.run(passwords.is_right(PASSWORD))
    asyncio.run(passwords.set(PASSWORD, again=PASSWORD))
    kept = doors.said("office-password")
    assert kept.startswith("$argon2id$")
    assert PASSWORD not in kept
    assert asyncio.run(passwords.is_right(PASSWORD))
    assert not asyncio.run(passwords.is_right(PASSWORD + " "))
    assert not asyncio.run(passwords.is_right("x" * 10_000))
    with pytest.raises(Faulty, match="15 to 200"):
        asyncio.run(passwords.set("x" * 201, again="x" * 201))
    doors.close()


def test_the_book_of_the_doors_forgets_the_oldest_lines(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("overslab.faces.web.doors._MOST_LINES", 3)
    doors = Doors(tmp_path)
    for n in range(5):
        doors.note(f"line {n}")
    doors.close()
    with sqlite3.connect(tmp_path / FILE) as book:
        assert [row[0] for row in book.execute("select what from line")] == [
            "line 2",
            "line 3",
            "line 4",
        ]
    book.close()
