"""A laptop with one small job and seeded prices, and browsers that look at it from anywhere."""

from __future__ import annotations

import datetime
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from fastapi import FastAPI
from httpx2 import Response
from starlette.testclient import TestClient

from overslab.faces.web import letting_in
from overslab.faces.web.roles import Role
from overslab.faces.web.site import Site
from overslab.job import FolderTexts

# No other number of the job looks like one of these; found anywhere, they are a price.
PRICES = ("7919.13", "6113.57", "5471.29", "1847.91", "3307.83")
SEEDED = re.compile(
    "|".join(
        rf"(?<![\w.]){price[0]},?{price[1:4]}(?:\.{price[5:]})?(?![\w])|{price[0]},?{price[1:]}"
        for price in PRICES
    )
)

HOME, OPEN, SECURE = "http://localhost:8700", "http://192.168.7.2:8700", "https://192.168.7.2:8743"
LAPTOP, PHONE, STRANGER = ("127.0.0.1", 50001), ("192.168.7.23", 50002), ("192.168.7.66", 50003)
ADDRESS = "192.168.7.2"

JOB = f"""\
[job]
name = "Small bay"
place = "Nowhere"
date = 2026-01-05
units = "feet-inches"
made_up = true

[survey]
rod = "feet-inches"
resolution = "1/16 in"

[[survey.benchmark]]
name = "BM1"
height = "100 ft"
where = "Nail"

[floor]
outline = [["0 ft", "0 ft"], ["20 ft", "0 ft"], ["20 ft", "10 ft"], ["0 ft", "10 ft"]]

[[door]]
name = "door"
ends = [["5 ft", "0 ft"], ["15 ft", "0 ft"]]
sill = "shot S1"
may_rise = "1/4 in"
may_drop = "1/2 in"
move_cost = "${PRICES[4]}"
move_up = "1/2 in"
move_down = "0 in"
lets_water_out_today = true

[wishes]
water_to = ["door"]
least_thickness = "3 in"
least_fall = "1/8 in/ft"
greatest_fall = "1/2 in/ft"
straightedge = "12 ft"
set_to = "1/8 in"
kinds = ["plane"]
"""

SHOTS = """\
point,x,y,setup,reading,kind,note
BM1,,,1,4' 0",benchmark,
S1,10 ft,0 ft,1,4' 0",sill,
F1,1 ft,1 ft,1,4' 4",floor,
F2,19 ft,1 ft,1,4' 4 1/4",floor,
F3,1 ft,9 ft,1,4' 4 1/2",floor,
F4,19 ft,9 ft,1,4' 4 3/4",floor,
"""

RATES = f"""\
currency = "$"
price_date = 2026-01-05

[concrete]
price_per_yd3 = "${PRICES[0]}"

[truck]
full_load = "10 yd3"
least_load = "4 yd3"
short_load_charge = "${PRICES[1]}"
order_step = "0.5 yd3"

[risk]
running_short = "${PRICES[2]}"
leftover_per_yd3 = "${PRICES[3]}"
"""
TEXTS = FolderTexts(job_toml=JOB, shots_csv=SHOTS, rates_toml=RATES)


class Listeners:
    """Stands for what listens; remembers where."""

    def __init__(self) -> None:
        self.address = ""

    async def listen(self, address: str) -> None:
        self.address = address

    async def leave(self) -> None:
        self.address = ""


@dataclass
class Clock:
    """A clock that tests turn."""

    at: datetime.datetime = datetime.datetime(2026, 3, 1, 12, tzinfo=datetime.UTC)

    def __call__(self) -> datetime.datetime:
        return self.at

    def forward(self, **more: float) -> None:
        self.at += datetime.timedelta(**more)


@dataclass
class Browser:
    """A browser at one address: keeps cookies, sends what browsers send with a form."""

    client: TestClient
    seen: list[Response] = field(default_factory=list)

    @property
    def origin(self) -> str:
        return str(self.client.base_url).rstrip("/")

    def get(self, path: str, **more: Any) -> Response:
        answer = self.client.get(path, follow_redirects=False, **more)
        self.seen.append(answer)
        return answer

    def token(self) -> str:
        page = self.get("/pair").text
        found = re.search(r'name="form-token" content="([0-9a-f]+)"', page)
        assert found is not None
        return found[1]

    def post(
        self, path: str, fields: Mapping[str, str] | None = None, *, token: bool = True, **more: Any
    ) -> Response:
        headers = {"Origin": self.origin, **more.pop("headers", {})}
        if self.origin.startswith(("https", HOME)):
            headers.setdefault("Sec-Fetch-Site", "same-origin")
        data = {**({"form_token": self.token()} if token else {}), **(fields or {})}
        if "json" not in more and "content" not in more:
            more["data"] = data
        answer = self.client.post(path, headers=headers, follow_redirects=False, **more)
        self.seen.append(answer)
        return answer


def browser(app: FastAPI, *, at: str = HOME, of: tuple[str, int] | None = None) -> Browser:
    """A browser that was never here before."""
    where = of or (LAPTOP if at == HOME else PHONE)
    return Browser(TestClient(app, base_url=at, client=where, raise_server_exceptions=True))


def open_door(app: FastAPI, monkeypatch: Any) -> Listeners:
    """Let phones in, as the owner does, on a network of our own making."""
    monkeypatch.setattr(letting_in, "addresses_here", lambda: [ADDRESS])
    site: Site = app.state.site
    listeners = Listeners()
    site.entrance.attach(listeners)
    answer = browser(app).post("/phones/open", {"address": ""})
    assert answer.status_code == 303
    return listeners


def paired(app: FastAPI, *, at: str = OPEN, name: str = "Sam") -> Browser:
    """A phone that was let in, by the way every phone takes."""
    desk, phone = browser(app), browser(app, at=at)
    code = re.search(r'class="code">([A-Z0-9]{4}-[A-Z0-9]{4})<', desk.post("/phones/code").text)
    assert code is not None
    assert phone.post("/pair", {"name": name, "code": code[1]}).status_code == 303
    waiting = desk.get("/phones/waiting").json()["waiting"]
    answer = desk.post("/phones/let-in", {"phone": waiting[-1][0], "answer": "let in"})
    assert answer.status_code == 303
    assert phone.post("/pair/enter").status_code == 303
    return phone


def as_role(app: FastAPI, role: Role) -> Browser:
    """A browser of each role: the office at home, the crew over https, a stranger over https.

    A customer is made by hand: its link is another test's business.
    """
    if role == Role.OFFICE:
        return browser(app)
    if role == Role.CREW:
        return paired(app, at=SECURE)
    visitor = browser(app, at=SECURE)
    if role == Role.CUSTOMER:
        site: Site = app.state.site
        token, _ = site.sessions.begin(
            Role.CUSTOMER, who="customer", secure=True, agent="", document="none"
        )
        visitor.client.cookies.set("__Host-s", token, domain=ADDRESS, path="/")
    return visitor
