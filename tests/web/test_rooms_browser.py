"""The pages of the rooms in a real browser: the whole walk by finger and by keyboard alone, and
every page looked at for what people with other eyes and hands need."""

from __future__ import annotations

import io
import re
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from fastapi import FastAPI
from plan_site import browser, listening
from playwright.sync_api import Browser, Locator, Page
from pypdf import PdfReader
from rooms_site import BAY, known_job, rooms_app, sample_walk
from test_rooms_pages import texts_of

from overslab.faces.web.rooms.desk import ROOM_VIEWS
from overslab.job import FolderTexts
from overslab.job.store import Store

LAPTOP: dict[str, Any] = {"viewport": {"width": 1366, "height": 850}}
PHONE: dict[str, Any] = {
    "viewport": {"width": 390, "height": 844},
    "has_touch": True,
    "is_mobile": True,
}
FRESH = "#walk-state.state-fresh"
# What the browser's own viewer of PDF asks of the browser.
OWN = ("data:", "blob:", "chrome-extension:", "chrome:")
# The levels A and AA; in the dark only the colours are others.
LEVELS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
RULES: dict[str, Any] = {
    "light": {"runOnly": {"type": "tag", "values": LEVELS}, "resultTypes": ["violations"]},
    "dark": {
        "runOnly": {"type": "rule", "values": ["color-contrast"]},
        "resultTypes": ["violations"],
    },
}


@dataclass
class Shown:
    """A site that listens, a browser, and what went wrong on its pages."""

    app: FastAPI
    address: str
    opened: Browser
    jobs: dict[str, str] = field(default_factory=dict)
    troubles: list[str] = field(default_factory=list)

    def page(self, size: dict[str, Any]) -> Page:
        page = self.opened.new_context(**size).new_page()
        page.set_default_timeout(60_000)
        page.on("pageerror", lambda trouble: self.troubles.append(str(trouble)))
        page.on("console", lambda said: self._said(said.type, said.text))
        page.on("request", lambda asked: self._asked(asked.url))
        return page

    def _said(self, kind: str, text: str) -> None:
        if kind == "error":
            self.troubles.append(text)

    def _asked(self, url: str) -> None:
        if not url.startswith((self.address, *OWN)):
            self.troubles.append(f"asked outside: {url}")


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with browser() as opened:
        yield opened


@pytest.fixture(scope="module")
def gallery(tmp_path_factory: pytest.TempPathFactory, chromium: Browser) -> Iterator[Shown]:
    """Jobs of every sort, with walks that are known."""
    folder = tmp_path_factory.mktemp("gallery")
    with Store.open(f"sqlite:///{folder / 'overslab.db'}", data=folder, backup=False) as store:
        app = rooms_app(store, folder)
        jobs = {
            name: known_job(app, name, texts_of(name), sample_walk(name))
            for name in ("farm-shop", "cannot-all")
        }
        broken = BAY.job_toml.replace("least_fall", "leest_fall")
        faulty = FolderTexts(broken, BAY.shots_csv, BAY.rates_toml)
        jobs["faulty"] = known_job(app, "Faulty", faulty, None)
        with listening(app) as address:
            yield Shown(app, address, chromium, jobs)
        app.state.site.doors.close()


@pytest.fixture
def live(store: Store, tmp_path: Path, chromium: Browser) -> Iterator[Shown]:
    """An empty list of jobs; what is begun is really walked."""
    app = rooms_app(store, tmp_path, really_walk=True)
    with listening(app) as address:
        made = Shown(app, address, chromium)
        yield made
        for context in chromium.contexts:
            context.close()
    app.state.site.walks.close()
    app.state.site.doors.close()
    assert made.troubles == []


# The whole walk.


def by_finger(target: Locator) -> None:
    target.tap()


def by_keyboard(target: Locator) -> None:
    """Tab until it has the focus, seen; then Enter."""
    page = target.page
    for _ in range(400):
        if target.evaluate("(it) => it === document.activeElement"):
            break
        page.keyboard.press("Tab")
    else:
        raise AssertionError(f"the keyboard does not reach {target}")
    outline = target.evaluate("(it) => getComputedStyle(it).outlineStyle")
    assert outline != "none", "the focus is not seen"
    page.keyboard.press("Enter")


def fill(target: Locator, text: str, *, keys: bool) -> None:
    if not keys:
        target.fill(text)
        return
    for _ in range(400):
        if target.evaluate("(it) => it === document.activeElement"):
            break
        target.page.keyboard.press("Tab")
    else:
        raise AssertionError(f"the keyboard does not reach {target}")
    target.page.keyboard.press("Control+a")
    target.page.keyboard.type(text)


@pytest.mark.parametrize(
    ("size", "press"), [(PHONE, by_finger), (LAPTOP, by_keyboard)], ids=["phone", "keyboard"]
)
def test_the_whole_walk(
    live: Shown, size: dict[str, Any], press: Callable[[Locator], None]
) -> None:
    keys = press is by_keyboard
    page = live.page(size)
    page.goto(live.address)
    assert page.get_by_text("What to do first").is_visible()
    press(page.get_by_role("link", name="Begin your own job"))
    page.wait_for_url("**/jobs/new")
    fill(page.get_by_label("Name", exact=True), "Two bays", keys=keys)
    fill(page.get_by_label("Place", exact=True), "Invented yard", keys=keys)
    choice = page.get_by_label("Begin with")
    if keys:
        while not choice.evaluate("(it) => it === document.activeElement"):
            page.keyboard.press("Tab")
        page.keyboard.press("ArrowDown")
    else:
        choice.select_option("starter")
    press(page.get_by_role("button", name="Begin"))
    page.wait_for_url(re.compile(r"/jobs/[0-9a-f]{32}$"))
    assert page.get_by_role("heading", level=1).inner_text() == "Two bays"
    # The wishes, set before the first answer is there: two kinds of top, a thicker slab.
    press(page.get_by_role("link", name="Facts"))
    press(page.get_by_role("link", name="Wishes", exact=True))
    fill(page.get_by_label("least thickness"), "3 1/2 in", keys=keys)
    for kind in ("plane", "strips"):
        box = page.get_by_role("checkbox", name=kind, exact=True)
        if keys:
            while not box.evaluate("(it) => it === document.activeElement"):
                page.keyboard.press("Tab")
            page.keyboard.press("Space")
        else:
            box.check()
    press(page.get_by_role("button", name="Keep"))
    page.wait_for_url("**/facts/wishes?kept=2")
    press(page.get_by_role("link", name="New top"))
    page.wait_for_selector(FRESH, state="attached")  # it comes by itself
    page.wait_for_selector("p.answer:has-text('of new concrete')")
    assert page.get_by_text("It costs $").is_visible()
    press(page.get_by_role("link", name="Every kind of top, side by side"))
    page.wait_for_url("**/tops")
    other = page.locator("section.kind:not(.chosen)").first
    title = other.get_by_role("heading").inner_text()
    press(other.get_by_role("button", name=re.compile("^Choose this one")))
    page.wait_for_url("**/newtop?since=*")
    page.wait_for_selector(FRESH, state="attached")
    page.wait_for_selector(f"p.answer:has-text('{title[:1].upper()}{title[1:]}')")
    press(page.get_by_role("link", name="Sheets"))
    page.wait_for_url("**/paper")
    packet = page.get_by_role("link", name="The whole packet as PDF")
    with page.expect_response("**/paper/packet.pdf") as coming:
        press(packet)
    assert coming.value.headers["content-type"] == "application/pdf"
    # The browser shows it in a viewer of its own and keeps its bytes to itself: ask once more.
    content = page.context.request.get(coming.value.url).body()
    pages = PdfReader(io.BytesIO(content)).pages
    told = "".join(one.extract_text() for one in pages)
    assert len(pages) > 8
    assert "Two bays" in told
    assert title in told.replace("\n", " ")


def test_what_is_changed_elsewhere_is_shown_when_it_is_there(gallery: Shown) -> None:
    """A page that was opened while the job was worked out shows the answer by itself."""
    job, walks = gallery.jobs["farm-shop"], gallery.app.state.site.walks
    version, walked = walks.known[job]
    walks.known[job] = (version - 1, walked)
    page = gallery.page(LAPTOP)
    try:
        page.goto(f"{gallery.address}/jobs/{job}/takeoff")
        state = page.locator("#walk-state")
        assert "stale" in state.inner_text()
    finally:
        walks.known[job] = (version, walked)
    page.wait_for_selector(FRESH, state="attached", timeout=60_000)
    assert page.locator("p.answer").first.inner_text()
    page.context.close()


def test_what_was_typed_is_not_taken_away_by_a_new_answer(gallery: Shown) -> None:
    job, walks = gallery.jobs["farm-shop"], gallery.app.state.site.walks
    version, walked = walks.known[job]
    walks.known[job] = (version - 1, walked)
    page = gallery.page(LAPTOP)
    try:
        page.goto(f"{gallery.address}/jobs/{job}/newtop")
        page.get_by_label("least thickness").fill("4 in")
    finally:
        walks.known[job] = (version, walked)
    page.get_by_role("button", name="Show the new answer").wait_for(timeout=60_000)
    assert page.get_by_label("least thickness").input_value() == "4 in"
    page.context.close()


# Every page, as everyone has to be able to use it.


def paths(jobs: dict[str, str]) -> dict[str, str]:
    farm = f"/jobs/{jobs['farm-shop']}"
    found = {"jobs": "/", "put away": "/?away=1", "new": "/jobs/new", "job": farm}
    found |= {room: f"{farm}/{room}" for room in ROOM_VIEWS}
    found |= {one: f"{farm}/{one}" for one in ("tops", "settle", "paper", "photos")}
    found |= {"history": f"{farm}/history", "facts": f"{farm}/facts"}
    for one in ("wishes", "door/0", "door/new", "survey", "findings", "rates"):
        found[one] = f"{farm}/facts/{one}"
    found["fights"] = f"/jobs/{jobs['cannot-all']}/newtop"
    found["workings"] = f"/jobs/{jobs['cannot-all']}/workings"
    found["faulty"] = f"/jobs/{jobs['faulty']}"
    found["faulty wishes"] = f"/jobs/{jobs['faulty']}/facts/wishes"
    return found


NAMES = tuple(paths({"farm-shop": "", "cannot-all": "", "faulty": ""}))


# Open what is folded, but for tables whose rows are all of one make.
OPEN = """for (const one of document.querySelectorAll('details')) {
  if (one.querySelectorAll('tr').length < 12) one.open = true;
}"""


@pytest.fixture(scope="module")
def looked(gallery: Shown) -> Iterator[Page]:
    page = gallery.page(LAPTOP)
    yield page
    page.context.close()


@pytest.mark.parametrize("name", NAMES)
def test_everyone_can_use_it(gallery: Shown, looked: Page, name: str) -> None:
    looked.set_viewport_size({"width": 1366, "height": 850})
    looked.goto(gallery.address + paths(gallery.jobs)[name])
    looked.evaluate(OPEN)
    looked.evaluate(Axe().axe_script)
    for size in (LAPTOP, PHONE):
        looked.set_viewport_size(size["viewport"])
        wide = looked.evaluate(
            "document.documentElement.scrollWidth - document.documentElement.clientWidth"
        )
        assert wide <= 0, f"{wide} px sideways"
        for scheme in ("light", "dark"):
            looked.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
            found = looked.evaluate("(rules) => axe.run(document, rules)", RULES[scheme])
            told = [
                (one["id"], [node["html"][:160] for node in one["nodes"][:3]])
                for one in found["violations"]
            ]
            assert told == [], f"{size['viewport']['width']} px, {scheme}"
    assert small_targets(looked) == []
    assert gallery.troubles == []


def small_targets(page: Page) -> list[str]:
    """What a finger has to hit on a phone and is less than 44 px high; links in running text may
    be as high as their line."""
    found: list[str] = page.evaluate(
        """() => [...document.querySelectorAll(
             'main :is(a, button, input:not([type=hidden]), select, textarea, summary)')]
          .filter((it) => !it.closest('p, figure, dd, [type=checkbox]') || it.matches('.button'))
          .filter((it) => !it.matches('[type=checkbox]'))
          .map((it) => [it, it.getBoundingClientRect()])
          .filter(([it, box]) => box.height > 0 && box.height < 43.9)
          .map(([it, box]) => `${box.height} ${it.outerHTML.slice(0, 120)}`)"""
    )
    return found


def test_the_pages_print_without_what_only_a_screen_needs(gallery: Shown, looked: Page) -> None:
    looked.set_viewport_size({"width": 1366, "height": 850})
    looked.goto(gallery.address + paths(gallery.jobs)["takeoff"])
    looked.emulate_media(media="print", color_scheme="light")
    assert not looked.locator("nav.way").is_visible()
    assert not looked.get_by_role("link", name="All workings").is_visible()
    assert looked.locator("p.answer").first.is_visible()
    looked.emulate_media(media="screen")


def test_a_page_is_there_soon_and_does_not_jump(gallery: Shown) -> None:
    """The drawing has its room before it is there."""
    page = gallery.page(PHONE)
    page.add_init_script(
        """window.moved = 0;
           new PerformanceObserver((list) => {
             const own = list.getEntries().filter((one) => !one.hadRecentInput);
             for (const one of own) window.moved += one.value;
           }).observe({ type: "layout-shift", buffered: true });"""
    )
    page.goto(gallery.address + paths(gallery.jobs)["newtop"])
    page.wait_for_load_state("networkidle")
    time.sleep(0.2)
    assert page.evaluate("window.moved") <= 0.05
    page.context.close()
