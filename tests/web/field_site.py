"""A laptop that really listens and phones that really tap, for the tests of the field pages."""

from __future__ import annotations

import contextlib
import random
import shutil
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import uvicorn
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, sync_playwright
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from overslab.faces.web.app import create_app
from overslab.faces.web.letting_in import Addresses
from overslab.faces.web.roles import Role
from overslab.faces.web.sessions import OPEN_COOKIE
from overslab.faces.web.site import Settings, Site
from overslab.job import FolderTexts, sample_folder
from overslab.job.store import Store

CHROMIUM = next(
    (found for name in ("chromium", "chromium-browser") if (found := shutil.which(name))), ""
)
NO_BROWSER = "no Chromium here: apt-get install -y chromium runs these"
FLAGS = ["--no-sandbox", "--host-resolver-rules=MAP slab.test 127.0.0.1"]
PHONE: dict[str, Any] = {
    "viewport": {"width": 390, "height": 844},
    "has_touch": True,
    "is_mobile": True,
}
# Seconds; what is waited for comes in milliseconds where nothing else is at work.
PATIENCE = 60.0
HEAD = "point,x,y,setup,reading,kind,note\n"
# Seeded so that a price can be told from everything else, wherever it turns up.
PRICES = ("7919.13", "640.77")


def bay_toml(*, rod: str = "feet-inches", resolution: str = "1/16 in") -> str:
    """An invented bay of 6 by 10 grid points, 4 ft apart; in it a price that no phone may get."""
    lines = (sample_folder("farm-shop") / "job.toml").read_text(encoding="utf-8")
    wishes = lines[lines.index("[wishes]") :].replace('"east door"', "").replace(", ]", "]")
    datum = '"100 ft"' if rod != "metric" else '"30 m"'
    return f"""[job]
name = "Invented bay"
place = "Invented place"
date = 2026-04-18
units = "{rod}"
made_up = true
[survey]
rod = "{rod}"
resolution = "{resolution}"
[[survey.benchmark]]
name = "BM1"
height = {datum}
where = "Cross cut by the door"
[floor]
outline = [["0 ft", "0 ft"], ["21 ft", "0 ft"], ["21 ft", "37 ft"], ["0 ft", "37 ft"]]
[taped_grid]
origin = ["6 in", "6 in"]
letter_spacing = "4 ft"
number_spacing = "4 ft"
[[door]]
name = "west door"
kind = "overhead"
edge = 1
offset = "4 ft"
width = "10 ft"
sill = "shots S1, S2"
may_rise = "1/4 in"
may_drop = "1/4 in"
lets_water_out_today = true
move_cost = "${PRICES[1]}"
move_up = "2 in"
{wishes}"""


def bay_texts(**more: str) -> FolderTexts:
    rates = (sample_folder("farm-shop") / "rates.toml").read_text(encoding="utf-8")
    priced = rates + f"\n# the plant asked ${PRICES[0]} last year\n"
    return FolderTexts(job_toml=bay_toml(**more), shots_csv=HEAD, rates_toml=priced)


class Unreliable:
    """Takes a request in, answers inside, and then loses a share of the answers on the way."""

    def __init__(self, app: ASGIApp, lost: Callable[[], bool]) -> None:
        self._app, self._lost = app, lost
        self.asked = 0

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http" or scope["path"] != "/sync":
            await self._app(scope, receive, send)
            return
        self.asked += 1
        lost = self._lost()

        async def answer(message: Message) -> None:
            if not lost:
                await send(message)

        await self._app(scope, receive, answer)
        if lost:
            raise ConnectionAbortedError("the answer was lost on the way")


class Laptop:
    """The whole service on a port of its own; can be stopped and started again."""

    def __init__(self, data: Path, *, lost: Callable[[], bool] = lambda: False) -> None:
        self.data = data
        self.port = 0
        self._lost = lost
        self.store = Store.open(f"sqlite:///{data / 'jobs.db'}", data=data, backup=False)
        settings = Settings(data=data, names=("slab.test",), requests_a_minute=100_000)
        self._app = create_app(self.store, settings=settings, groups=("field",))
        self.way = Unreliable(self._app, self._lost)
        self.start()
        # As if the owner had let phones in: the name is then one that the laptop answers to.
        line = f"http://slab.test:{self.port}"
        self.site.entrance.now_at = Addresses("slab.test", "slab.test", line, line)

    @property
    def site(self) -> Site:
        site: Site = self._app.state.site
        return site

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        config = uvicorn.Config(
            self.way,
            host="127.0.0.1",
            port=self.port,
            log_config=None,
            lifespan="off",
            ws="none",
            timeout_graceful_shutdown=1,
            timeout_keep_alive=1,
        )
        self._server = uvicorn.Server(config)
        self._thread = threading.Thread(target=self._server.run, daemon=True)
        self._thread.start()
        until(lambda: self._server.started)
        self.port = self._server.servers[0].sockets[0].getsockname()[1]

    def stop(self) -> None:
        self._server.should_exit = True
        self._thread.join(timeout=PATIENCE)
        assert not self._thread.is_alive()

    def close(self) -> None:
        self.stop()
        self.site.walks.close()
        self.site.doors.close()
        self.store.close()

    def readings(self, job: str) -> list[tuple[str, str]]:
        """Point and reading of every shot that stands."""
        shots = self.store.job(job).shots
        return [(one.body["point"], one.body["reading"]) for one in shots if not one.struck]

    def crew_cookie(self) -> dict[str, Any]:
        token, _ = self.site.sessions.begin(Role.CREW, who="Phone 1", secure=False, agent="test")
        return {"name": OPEN_COOKIE, "value": token, "url": f"http://slab.test:{self.port}"}


@contextlib.contextmanager
def laptop(data: Path, **more: Any) -> Iterator[Laptop]:
    made = Laptop(data, **more)
    try:
        yield made
    finally:
        made.close()


@contextlib.contextmanager
def browser(play: Playwright) -> Iterator[Browser]:
    opened = play.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
    yield opened
    opened.close()


@contextlib.contextmanager
def player() -> Iterator[Playwright]:
    """Debian's Chromium; the test is skipped where there is none."""
    if not CHROMIUM:
        pytest.skip(NO_BROWSER)
    with sync_playwright() as play:
        yield play


def until(true: Callable[[], bool], *, seconds: float = PATIENCE) -> None:
    """Waits for something that is about to be so."""
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end, "it did not come about"
        time.sleep(0.01)


COUNT_TAPS = """
addEventListener("click", (e) => {
  if (e.isTrusted && e.target.closest("button")) window.taps = (window.taps ?? 0) + 1;
}, true);
"""


def phone(opened: Browser, **more: Any) -> BrowserContext:
    context = opened.new_context(**{**PHONE, **more})
    context.set_default_timeout(PATIENCE * 1000)
    context.add_init_script(COUNT_TAPS)
    return context


def open_shots(context: BrowserContext, address: str) -> Page:
    page = context.new_page()
    page.goto(address)
    page.wait_for_selector("body[data-ready]")
    return page


def shown(page: Page, true: str, *, seconds: float = PATIENCE, arg: object = None) -> None:
    """Waits for a condition on the page; asked from here, for our pages evaluate no text."""
    question = true if "=>" in true else f"() => {true}"
    until(lambda: bool(page.evaluate(question, arg)), seconds=seconds)


def kept_words(page: Page, point: str) -> None:
    """Waits until the page says of this point that it is kept."""
    shown(
        page,
        "p => { const words = document.getElementById('last-words').textContent;"
        " return words.startsWith(p + ' ') && words.endsWith('kept on this phone'); }",
        arg=point,
    )


class Thumb:
    """Types readings on the keys as a person would who spares every tap that can be spared."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.places: dict[str, tuple[float, float]] = {}
        self.carried: tuple[int, int] | None = None

    def tap(self, selector: str) -> None:
        """A touch where the key lay when it was first looked for: a thumb does not look twice."""
        if selector not in self.places:
            x, y = self.page.eval_on_selector(
                selector,
                "e => { const b = e.getBoundingClientRect();"
                " return [b.x + b.width / 2, b.y + b.height / 2]; }",
            )
            self.places[selector] = x, y
        self.page.touchscreen.tap(*self.places[selector])

    def reading(self, feet: int, inches: int, sixteenths: int) -> None:
        if self.carried is None or feet != self.carried[0]:
            self.tap(f'[data-part="0"][data-value="{feet}"]')
        if self.carried != (feet, inches):
            self.tap(f'[data-part="1"][data-value="{inches}"]')
        self.tap(f'[data-part="2"][data-value="{sixteenths}"]')
        self.carried = (feet, inches)

    def shot(self, feet: int, inches: int, sixteenths: int) -> str:
        """One shot at whatever point is proposed; gives the point."""
        self.reading(feet, inches, sixteenths)
        point = self.page.inner_text("#target-point")
        self.tap("#keep")
        return point


def said(feet: int, inches: int, sixteenths: int) -> str:
    """A reading as people write it; worked out here by its own route."""
    top, bottom = sixteenths, 16
    while top and top % 2 == 0:
        top, bottom = top // 2, bottom // 2
    part = f" {top}/{bottom}" if top else ""
    return f"{feet}' {inches}{part}\""


def losing(share: float, *, seed: int) -> Callable[[], bool]:
    dice = random.Random(seed)
    return lambda: dice.random() < share
