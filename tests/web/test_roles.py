"""Every route as every role: who is refused, and that no price is in any byte for the crew."""

from __future__ import annotations

import dataclasses
import io
import re
import time
from collections.abc import Iterator
from decimal import Decimal
from functools import cache

import pytest
from fastapi import APIRouter, FastAPI
from httpx2 import Response
from pypdf import PdfReader
from web_site import PRICES, SEEDED, TEXTS, Browser, as_role, open_door

from overslab.faces.documents import sheet_names
from overslab.faces.documents.sheets import CREW_SHEETS
from overslab.faces.exports import FILES
from overslab.faces.web.app import create_app, routers
from overslab.faces.web.roles import GuardedRoute, Role, RoleRouter, guarded_routes
from overslab.faces.web.site import Settings, Site
from overslab.job.store import Store

# Rates for a bid as well, so that all of its amounts are looked for.
PRICED = dataclasses.replace(
    TEXTS,
    rates_toml=f"""{TEXTS.rates_toml}
[crew]
wage = "${PRICES[0]}"
hands = 2
hours_per_day = 8.0

[money]
overhead = "10%"
margin = "20%"
tax = "5%"
taxed = "all"
round_to = "$0.01"

[[charge]]
code = "pump"
what = "pump"
group = "equipment"
price = "${PRICES[1]}"
per = "job"
""",
)
ROUTES = sorted(
    guarded_routes(route for router in routers() for route in router.routes),
    key=lambda route: (route.path, sorted(route.methods or ())),
)
NAMES = [f"{next(iter(route.methods or ()))} {route.path}" for route in ROUTES]
MONEY = re.compile(r"cost|price|charge|money|saving")


@dataclasses.dataclass
class Laptop:
    app: FastAPI
    store: Store
    job: str
    link: str
    roles: dict[Role, Browser]
    prices: re.Pattern[str]


@pytest.fixture(scope="module")
def laptop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Laptop]:
    """One job walked to the end, one browser of each role, a document sent to a customer."""
    folder = tmp_path_factory.mktemp("roles")
    with Store.open(f"sqlite:///{folder / 'overslab.db'}", data=folder, backup=False) as store:
        job = store.begin("Small bay", who="office", texts=PRICED)
        settings = Settings(data=folder, requests_a_minute=10**6, tries_a_minute=10**6)
        settings = dataclasses.replace(settings, tries_in_all_a_minute=10**6)
        app = create_app(store, settings=settings)
        site: Site = app.state.site
        with pytest.MonkeyPatch.context() as patch:
            open_door(app, patch)
            browsers = {role: as_role(app, role) for role in Role if role != Role.CUSTOMER}
            with browsers[Role.OFFICE].client, browsers[Role.CREW].client:
                wait_for(browsers[Role.OFFICE], job)
                browsers[Role.CUSTOMER] = customer(app, browsers[Role.OFFICE], job)
                (link,) = site.links.listed()
                yield Laptop(app, store, job, link.id, browsers, prices_of(site, job))


def wait_for(desk: Browser, job: str) -> None:
    end = time.monotonic() + 60
    while not (told := desk.get(f"/jobs/{job}/state").json())["settled"]:
        assert time.monotonic() < end, told
        time.sleep(0.05)
    assert told["state"] == "fresh", told


def customer(app: FastAPI, desk: Browser, job: str) -> Browser:
    fields = {"job": job, "document": "new-floor", "made_out_to": "Mr Example", "days": "30"}
    token = re.search(r"/see#([A-Za-z0-9_-]{43})", desk.post("/links", fields).text)
    assert token is not None
    made = as_role(app, Role.NOBODY)
    assert made.post("/see", {"token": token[1]}).status_code == 303
    return made


def addresses(route: GuardedRoute, laptop: Laptop) -> list[str]:
    """Every address that a route is tried at: each choice of each part of it."""
    parts = {name: PARTS[name] for name in re.findall(r"\{(\w+)", route.path)}
    known = {"job": laptop.job, "job_id": laptop.job, "link_id": laptop.link}
    found = [re.sub(r":\w+\}", "}", route.path)]
    for name, choices in parts.items():
        chosen = choices or (known[name],)
        found = [one.replace(f"{{{name}}}", choice) for one in found for choice in chosen]
    return found


# What stands in the braces of an address; empty: something of the job itself.
PARTS: dict[str, tuple[str, ...]] = {
    "job": (),
    "job_id": (),
    "link_id": (),
    "path": ("base.css",),
    "name": ("document.pdf", f"{'0' * 64}.jpg"),
    "sheet": sheet_names(),
    "form": ("pdf", "svg"),
    # Not the surfaces: their corners are counted, and a count looks like a price.
    "file": tuple(one.name for one in FILES if not one.name.startswith("surfaces.")),
    "code": sheet_names(),
    "size": ("a4", "letter", "wide", "tall"),
    "kind": ("plane", "level"),
    "where": ("wishes", "rates", "job"),
    "page": ("shots", "home"),
    "sha256": ("0" * 64,),
}


def ask(route: GuardedRoute, who: Browser, address: str) -> Response:
    return who.post(address) if "POST" in (route.methods or ()) else who.get(address)


def words(answer: Response) -> str:
    """All of an answer that can be read: heads, text, and the text and notes of a PDF."""
    heads = [one for one in answer.headers.items() if one[0] != "content-length"]
    told = "\n".join(f"{name}: {value}" for name, value in heads)
    return told + in_content(answer.content)


@cache
def in_content(content: bytes) -> str:
    if not content.startswith(b"%PDF"):
        return content.decode("utf-8", "replace")
    reader = PdfReader(io.BytesIO(content))
    return "\n".join(page.extract_text() for page in reader.pages) + str(reader.metadata)


def amounts(record: object, name: str = "") -> Iterator[float]:
    """Every number of a walk that is money, by the name of its field."""
    if dataclasses.is_dataclass(record) and not isinstance(record, type):
        for one in dataclasses.fields(record):
            yield from amounts(getattr(record, one.name), one.name)
    elif isinstance(record, tuple | list):
        for each in record:
            yield from amounts(each, name)
    elif isinstance(record, Decimal) or (isinstance(record, int | float) and MONEY.search(name)):
        yield float(record)


def as_written(value: float) -> set[str]:
    """As a person would write it and as a program would."""
    people = {f"{int(value):,}", f"{round(value):,}", f"{value:.2f}"}
    return people | ({repr(value)[:8]} if len(repr(value)) > 8 else set())


def prices_of(site: Site, job: str) -> re.Pattern[str]:
    """What was seeded and what the rooms made of it, wherever it has four figures or more."""
    walk = site.walks.look(job).walk
    assert walk is not None
    found = {text for value in amounts(walk) if abs(value) >= 1000 for text in as_written(value)}
    assert len(found) >= 8
    made = "|".join(map(re.escape, sorted(found)))
    return re.compile(rf"(?<![\w.])(?:{made})|{SEEDED.pattern}")


@pytest.mark.parametrize("role", Role)
@pytest.mark.parametrize("route", ROUTES, ids=NAMES)
def test_who_is_refused(laptop: Laptop, route: GuardedRoute, role: Role) -> None:
    if role in route.roles and "POST" in (route.methods or ()):
        return  # what an action does for those who may is another test's business
    before = laptop.store.version(laptop.job)
    for address in addresses(route, laptop):
        answer = ask(route, laptop.roles[role], address)
        if role not in route.roles:
            assert answer.status_code == 403, address
            assert "set-cookie" not in answer.headers
        else:
            assert answer.status_code < 500, answer.text
    assert laptop.store.version(laptop.job) == before


@pytest.mark.parametrize("role", [Role.CREW, Role.CUSTOMER, Role.NOBODY])
@pytest.mark.parametrize("route", ROUTES, ids=NAMES)
def test_no_price_in_any_byte(laptop: Laptop, route: GuardedRoute, role: Role) -> None:
    who = laptop.roles[role]
    if route.path in ENDING and "POST" in (route.methods or ()):
        who = as_role(laptop.app, role)  # it is not the same afterwards
    for address in addresses(route, laptop):
        for query in ("", "?fields=price&role=office&as=office"):
            answer = ask(route, who, address + query)
            assert not laptop.prices.search(words(answer)), address


ENDING = frozenset({"/sign-out", "/sign-in", "/pair/enter", "/see"})


def test_everybody_is_still_who_they_were(laptop: Laptop) -> None:
    """The walk above would find nothing if a role had been lost on the way."""
    for role, path in (
        (Role.OFFICE, "/phones"),
        (Role.CREW, f"/jobs/{laptop.job}/state"),
        (Role.CUSTOMER, "/see/document"),
    ):
        assert laptop.roles[role].get(path).status_code == 200, role
    assert laptop.roles[Role.NOBODY].get("/").status_code == 403


def test_the_search_for_prices_bites(laptop: Laptop) -> None:
    desk, prices = laptop.roles[Role.OFFICE], laptop.prices
    packet = desk.get(f"/jobs/{laptop.job}/paper/packet.pdf")
    assert packet.status_code == 200
    assert prices.search(words(packet))
    for price in PRICES:
        assert prices.search(f"costs ${float(price):,.2f}.")
        assert prices.search(f'"cost": {price}')
        assert SEEDED.search(f"{int(float(price)):,}")
        assert not SEEDED.search(f"0.{price[:4]}")
    sheets = {code for code in SHEETS if prices.search(words(desk.get(sheet(laptop, code))))}
    assert sheets, "some sheet of the office shows money"
    assert not sheets & set(CREW_SHEETS)


SHEETS = ("summary", "order", "bid", "rules", "workings", *CREW_SHEETS)


def test_the_crew_finds_no_way_to_the_price(laptop: Laptop) -> None:
    """The office has it on its way through the work; no page of the crew so much as links it."""
    desk, crew = laptop.roles[Role.OFFICE], laptop.roles[Role.CREW]
    page = f"/jobs/{laptop.job}/price"
    assert crew.get(page).status_code == 403
    told = desk.get(page)
    assert told.status_code == 200
    assert laptop.prices.search(words(told))
    assert page in desk.get(f"/jobs/{laptop.job}/order").text
    for stop in ("", "/order", "/takeoff", "/newtop", "/workings", "/paper"):
        answer = crew.get(f"/jobs/{laptop.job}{stop}")
        assert answer.status_code == 200
        assert page not in answer.text
    assert crew.get(sheet(laptop, "bid")).status_code == 403


def sheet(laptop: Laptop, code: str) -> str:
    return f"/jobs/{laptop.job}/paper/{code}.pdf"


def test_a_page_kept_from_before_is_not_shown_to_the_next_role(laptop: Laptop) -> None:
    """Nothing of the office may lie in a browser's cache when another role sits down."""
    for route in ROUTES:
        if "GET" not in (route.methods or ()) or Role.OFFICE not in route.roles or route.shared:
            continue
        for address in addresses(route, laptop):
            answer = laptop.roles[Role.OFFICE].get(address)
            assert answer.headers["cache-control"] == "no-store", address


def test_the_same_bytes_for_all_where_a_browser_may_keep_them(laptop: Laptop) -> None:
    for route in ROUTES:
        if not route.shared or "GET" not in (route.methods or ()):
            continue
        for address in addresses(route, laptop):
            answers = [laptop.roles[role].get(address) for role in route.roles & SHARING]
            good = {answer.content for answer in answers if answer.status_code == 200}
            assert len(good) <= 1, address
            for answer in answers:
                assert answer.status_code == 200 or answer.headers["cache-control"] == "no-store"


SHARING = frozenset({Role.OFFICE, Role.CREW})


def test_a_route_says_its_roles_or_is_not_made() -> None:
    router = RoleRouter()
    with pytest.raises(TypeError, match="does not say who may see it"):
        router.get("/open")(lambda: None)
    with pytest.raises(TypeError, match="does not say who may see it"):
        router.page("/empty", roles=())(lambda: None)
    with pytest.raises(ValueError, match="guest"):
        router.page("/guest", roles=["guest"])  # type: ignore[list-item]
    plain = APIRouter()
    plain.get("/plain")(lambda: None)
    with pytest.raises(TypeError, match="not guarded"):
        list(guarded_routes(plain.routes))


def test_no_two_routes_answer_to_the_same_address() -> None:
    assert len(set(NAMES)) == len(NAMES)


def test_what_strangers_may_open_is_written_here() -> None:
    """A new page for everybody has to be put on this list by a person."""
    known = {
        "GET /static/{path:path}",
        "GET /favicon.ico",
        "GET /sign-in",
        "POST /sign-in",
        "POST /sign-out",
        "POST /look",
        "GET /pair",
        "POST /pair",
        "GET /pair/wait",
        "POST /pair/enter",
        "GET /trust",
        "GET /trust/overslab.crt",
        "GET /see",
        "POST /see",
    }
    found = {name for name, route in zip(NAMES, ROUTES, strict=True) if Role.NOBODY in route.roles}
    assert found - OF_THE_FIELD == known


OF_THE_FIELD = frozenset({"GET /sw.js", "GET /field/manifest.webmanifest"})
