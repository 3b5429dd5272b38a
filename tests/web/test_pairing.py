"""Letting a phone in: once, within five minutes, after the office said so."""

from __future__ import annotations

import asyncio
import re

import pytest
from fastapi import FastAPI
from web_site import HOME, OPEN, SECURE, STRANGER, Clock, browser, open_door, paired

from overslab.faces.web.pairing import Pairing
from overslab.faces.web.roles import Role
from overslab.faces.web.site import Site
from overslab.ground.faults import Faulty


def show(pairing: Pairing, *, token: str = "", code: str = "", name: str = "Sam") -> str:
    ticket, _ = pairing.show(
        token=token, code=code, name=name, agent="", came_from="192.168.7.23", secure=True
    )
    return ticket


def test_a_code_is_good_once_by_scanning_or_by_typing(clock: Clock) -> None:
    pairing = Pairing(now=clock)
    offer = pairing.offer()
    show(pairing, token=offer.token)
    for given in ({"token": offer.token}, {"code": offer.code}):
        with pytest.raises(Faulty, match="does not let a phone in"):
            show(pairing, **given)
    offer = pairing.offer()
    show(pairing, code=offer.code.lower().replace("-", " "))
    with pytest.raises(Faulty):
        show(pairing, token=offer.token)


def test_a_code_is_good_for_five_minutes(clock: Clock) -> None:
    pairing = Pairing(now=clock)
    offer = pairing.offer()
    clock.forward(minutes=5)
    with pytest.raises(Faulty, match="5 minutes"):
        show(pairing, token=offer.token)


def test_a_new_code_takes_the_place_of_the_one_before(clock: Clock) -> None:
    pairing = Pairing(now=clock)
    old, new = pairing.offer(), pairing.offer()
    with pytest.raises(Faulty):
        show(pairing, token=old.token)
    show(pairing, token=new.token)


@pytest.mark.parametrize("given", [{}, {"token": ""}, {"code": "----"}, {"token": "x" * 43}])
def test_what_is_no_code_lets_nobody_in(clock: Clock, given: dict[str, str]) -> None:
    pairing = Pairing(now=clock)
    pairing.offer()
    with pytest.raises(Faulty):
        show(pairing, **given)


@pytest.mark.parametrize("name", ["", "  ", "x" * 41, "a\x00b", "\u202ename"])
def test_a_phone_has_a_name_that_can_be_shown(clock: Clock, name: str) -> None:
    pairing = Pairing(now=clock)
    offer = pairing.offer()
    with pytest.raises(Faulty, match="no name"):
        show(pairing, token=offer.token, name=name)
    show(pairing, token=offer.token)  # a bad name does not use the code up


def test_a_good_code_alone_is_not_enough(clock: Clock) -> None:
    pairing = Pairing(now=clock)
    ticket = show(pairing, token=pairing.offer().token)
    assert pairing.enter(ticket) is None
    waiting = pairing.queue()[0]
    assert re.fullmatch(r"[1-9]\d", waiting.number)
    pairing.decide(waiting.id, let_in=True)
    assert pairing.enter("another ticket") is None
    assert pairing.enter(ticket) is not None
    assert pairing.enter(ticket) is None


def test_a_phone_that_was_sent_away_or_waits_too_long_is_gone(clock: Clock) -> None:
    pairing = Pairing(now=clock)
    ticket = show(pairing, token=pairing.offer().token)
    pairing.decide(pairing.queue()[0].id, let_in=False)
    assert pairing.seen(ticket) is None
    ticket = show(pairing, token=pairing.offer().token)
    waiting = pairing.queue()[0]
    pairing.decide(waiting.id, let_in=True)
    clock.forward(minutes=6)
    assert pairing.enter(ticket) is None
    with pytest.raises(Faulty, match="no such phone"):
        pairing.decide(waiting.id, let_in=True)


def test_codes_have_the_bits_they_should(clock: Clock) -> None:
    """128 bits at least for what is scanned (43 signs of 6 bits), 20 for what is typed."""
    pairing = Pairing(now=clock)
    offers = [pairing.offer() for _ in range(200)]
    assert all(re.fullmatch(r"[A-Za-z0-9_-]{43}", offer.token) for offer in offers)
    typed = [offer.code.replace("-", "") for offer in offers]
    assert {len(code) for code in typed} == {8}
    assert len(set(typed)) == 200
    signs = set("".join(typed))
    assert len(signs) == 31
    assert not signs & set("01OIL")


def test_the_whole_way_of_a_phone(app: FastAPI, job: str) -> None:
    for at in (OPEN, SECURE):
        phone = browser(app, at=at)
        assert phone.get(f"/jobs/{job}/state").status_code == 403
        phone = paired(app, at=at, name="Sam's phone")
        assert phone.get(f"/jobs/{job}/state").status_code == 200
        assert phone.get("/phones").status_code == 403
    site: Site = app.state.site
    crew = site.sessions.listed(Role.CREW)
    assert [one.who for one in crew] == ["Sam's phone"] * 2
    assert len({one.device for one in crew}) == 2
    assert all(re.fullmatch(r"[0-9a-f]{32}", one.device) for one in crew)


def test_the_code_stands_behind_the_sign_that_is_never_sent(app: FastAPI) -> None:
    page = browser(app).post("/phones/code").text
    assert f"{SECURE}/pair" in page
    assert f"{OPEN}/pair" in page
    assert page.count("data:image/svg+xml") == 3
    assert not re.search(r"/pair[?/#][A-Za-z0-9_-]{20}", page), "never as an address in the page"


def test_another_phone_cannot_take_the_place_of_one_that_waits(app: FastAPI) -> None:
    desk, phone = browser(app), browser(app, at=SECURE)
    code = re.search(r"([A-Z0-9]{4}-[A-Z0-9]{4})<", desk.post("/phones/code").text)
    assert code is not None
    assert phone.post("/pair", {"name": "Sam", "code": code[1]}).status_code == 303
    thief = browser(app, at=SECURE, of=STRANGER)
    assert thief.post("/pair", {"name": "Sam", "code": code[1]}).status_code == 403
    queue = desk.get("/phones/waiting").json()["waiting"]
    assert len(queue) == 1
    desk.post("/phones/let-in", {"phone": queue[0][0], "answer": "let in"})
    assert thief.post("/pair/enter").status_code == 403
    open_line = browser(app, at=OPEN)
    ticket = phone.client.cookies["waiting"]
    carried = {"Cookie": f"waiting={ticket}"}
    assert open_line.post("/pair/enter", headers=carried).status_code == 403


def test_a_thousand_guesses_are_refused_limited_and_written_down(app: FastAPI) -> None:
    browser(app).post("/phones/code")
    phone = browser(app, at=OPEN)
    token = phone.token()
    answers = []
    for n in range(40):
        guess = {"name": "Sam", "code": f"{n:08d}", "form_token": token}
        answers.append(phone.post("/pair", guess, token=False).status_code)
    assert answers[:5] == [403] * 5
    assert 429 in answers[5:]
    assert answers.count(403) < 15
    site: Site = app.state.site
    told = [line for line in site.doors.lines() if line.what.startswith("phone not paired")]
    assert told[0].came_from == "192.168.7.23"


def test_guesses_from_many_places_are_limited_too(app: FastAPI) -> None:
    browser(app).post("/phones/code")
    answers = []
    for n in range(45):
        phone = browser(app, at=OPEN, of=(f"192.168.7.{n + 30}", 1))
        answers.append(phone.post("/pair", {"name": "Sam", "code": f"{n:08d}"}).status_code)
    assert answers.count(403) < 45
    assert 429 in answers


def test_the_door_is_shut_until_the_owner_opens_it(
    app: FastAPI, monkeypatch: pytest.MonkeyPatch
) -> None:
    site: Site = app.state.site
    desk = browser(app)
    assert desk.post("/phones/close").status_code == 303
    assert not site.entrance.is_open
    assert site.entrance.names() == frozenset()
    for at in (OPEN, SECURE):
        assert browser(app, at=at).get("/pair").status_code == 421
    assert "Only this laptop itself" in desk.get("/phones").text
    listeners = open_door(app, monkeypatch)
    assert listeners.address == "192.168.7.2"
    assert browser(app, at=OPEN).get("/pair").status_code == 200


def test_only_the_office_opens_the_door(app: FastAPI) -> None:
    phone = paired(app)
    for path in ("/phones/open", "/phones/close", "/phones/code", "/phones/let-in", "/phones/end"):
        assert phone.post(path).status_code == 403
        assert browser(app, at=OPEN).post(path).status_code == 403


def test_a_new_address_is_said_and_the_old_one_remembered(
    app: FastAPI, monkeypatch: pytest.MonkeyPatch
) -> None:
    site: Site = app.state.site
    monkeypatch.setattr("overslab.faces.web.letting_in.addresses_here", lambda: ["10.1.2.3"])
    desk = browser(app, at=HOME)
    assert asyncio.run(site.entrance.follow_network())
    assert site.entrance.now_at is not None
    assert site.entrance.now_at.secure_line == "https://10.1.2.3:8743"
    assert site.entrance.earlier() == ("192.168.7.2",)
    assert "192.168.7.2" in desk.get("/phones").text
    assert browser(app, at=OPEN).get("/pair").status_code == 421
    assert browser(app, at="http://10.1.2.3:8700").get("/pair").status_code == 200
    assert not asyncio.run(site.entrance.follow_network())
