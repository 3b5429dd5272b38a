"""The live plan in a real browser: fingers, wheel, keys and forms, on a phone and on a laptop."""

from __future__ import annotations

import json
import random
import tomllib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any
from urllib.request import urlopen

import pytest
from axe_playwright_python.sync_playwright import Axe
from plan_site import TEXTS as BAY
from plan_site import bay, browser, listening, open_page, plan_app
from playwright.sync_api import Browser, Page

from overslab.ground.units import System, Units, write_height, write_length, write_thickness
from overslab.job.store import Store

FT = 0.3048
LAPTOP: dict[str, Any] = {"viewport": {"width": 1366, "height": 850}}
PHONE: dict[str, Any] = {
    "viewport": {"width": 390, "height": 844},
    "has_touch": True,
    "is_mobile": True,
}
SIZES = pytest.mark.parametrize("size", [LAPTOP, PHONE], ids=["laptop", "phone"])
# Where a place of the floor lies in the window now, in pixels.
PIXELS = """([x, y]) => {
  const svg = document.querySelector("#view svg"), d = svg.dataset, m = svg.getScreenCTM();
  const sx = Number(d.left) + (x - Number(d.west)) * Number(d.perM);
  const sy = Number(d.top) + (Number(d.north) - y) * Number(d.perM);
  return [m.a * sx + m.e, m.d * sy + m.f];
}"""


class Desk:
    """A laptop that listens, its store, and pages opened on it."""

    def __init__(self, store: Store, address: str, opened: Browser) -> None:
        self.store, self.address, self.opened = store, address, opened
        self.job = store.begin("Small bay", who="office", texts=BAY)
        self.troubles: list[str] = []

    def page(self, size: dict[str, Any], path: str = "") -> Page:
        page = self.opened.new_context(**size).new_page()
        page.on("pageerror", lambda trouble: self.troubles.append(str(trouble)))
        page.on("request", lambda asked: self.outside(asked.url))
        open_page(page, f"{self.address}/jobs/{self.job}/plan{path}")
        return page

    def outside(self, url: str) -> None:
        if not url.startswith(self.address):
            self.troubles.append(f"asked outside: {url}")

    def exact(self, x_m: float, y_m: float) -> dict[str, str]:
        path = f"/jobs/{self.job}/plan/at.json?x_m={x_m:.5f}&y_m={y_m:.5f}"
        with urlopen(self.address + path) as answer:
            told: dict[str, str] = json.load(answer)
        return told


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with browser() as opened:
        yield opened


@pytest.fixture
def desk(store: Store, tmp_path: Path, chromium: Browser) -> Iterator[Desk]:
    app = plan_app(store, tmp_path)
    with listening(app) as address:
        made = Desk(store, address, chromium)
        yield made
        for context in chromium.contexts:
            context.close()
    app.state.site.doors.close()
    assert made.troubles == []


def said(page: Page, key: str) -> str:
    return page.inner_text(f'[data-value="{key}"]')


def waits(page: Page, true: str, arg: Any = None) -> None:
    page.wait_for_function(true, arg=arg)


def read_exactly(page: Page) -> None:
    waits(page, "() => !document.getElementById('hint').textContent.includes('lattice')")


@SIZES
def test_a_tap_tells_what_the_walk_knows_there(desk: Desk, size: dict[str, Any]) -> None:
    page = desk.page(size)
    page.locator("#view").scroll_into_view_if_needed()
    for place in ((2.0, 1.0), (4.5, 2.2)):
        x, y = page.evaluate(PIXELS, place)
        if size is PHONE:
            page.touchscreen.tap(x, y)
        else:
            page.mouse.click(x, y)
        read_exactly(page)
        waits(page, "() => document.querySelector('.mark-ring') !== null")
        told = desk.exact(*place)
        # A pixel is some centimetres of floor: the place told is compared by its own typed words.
        at = [page.input_value("#x"), page.input_value("#y")]
        here = page.evaluate(
            """async (at) => {
              const f = await import("/static/plan/figures.js");
              return at.map((t) => f.read(t, "feet-inches"));
            }""",
            at,
        )
        assert here == pytest.approx(place, abs=0.03)
        exact = desk.exact(*here)
        for key in ("old", "new", "rod_old", "rod_new"):
            assert abs(inches(said(page, key)) - inches(exact[key])) <= 1 / 8, key
        assert abs(inches(said(page, "thickness")) - inches(told["thickness"])) < 0.6


def inches(words: str) -> float:
    """Feet, inches and sixteenths as inches; by a route of its own."""
    feet, _, rest = words.rpartition("'")
    parts = rest.replace('"', "").replace("in", "").split()
    total = 12.0 * float(feet or 0)
    for part in parts:
        top, _, bottom = part.partition("/")
        total += float(top) / float(bottom or 1)
    return total


def test_the_lattice_in_the_browser_agrees_with_the_walk(desk: Desk) -> None:
    page = desk.page(LAPTOP)
    dice = random.Random(11)
    # Away from the crack and the edge, where the lattice goes straight from point to point.
    places = [(dice.uniform(0.2, 2.9), dice.uniform(0.2, 2.8)) for _ in range(200)]
    quick = page.evaluate(
        """async ([job, places]) => {
          const { Lattice } = await import("/static/plan/lattice.js");
          const told = await (await fetch(`/jobs/${job}/plan/values.json`)).json();
          const lattice = new Lattice(told);
          return places.map(([x, y]) => lattice.at(x, y));
        }""",
        [desk.job, places],
    )
    walk = bay()
    old = walk.oldslab.surface.height_m(places)
    top = walk.newtop.top
    assert top is not None
    assert top.surface is not None
    new = top.surface.height_m(places)
    assert max(abs(q["old_m"] - z) for q, z in zip(quick, old, strict=True)) < 0.0004
    assert max(abs(q["new_m"] - z) for q, z in zip(quick, new, strict=True)) < 0.0001
    assert quick[0]["rod_new_m"] == pytest.approx(104 * FT - quick[0]["new_m"])
    assert (
        page.evaluate(
            """async (job) => {
          const { Lattice } = await import("/static/plan/lattice.js");
          return new Lattice(await (await fetch(`/jobs/${job}/plan/values.json`)).json()).at(-3, 1);
        }""",
            desk.job,
        )
        is None
    )


MARKS: tuple[tuple[System, float], ...] = (
    ("feet-inches", 0.0254 / 16),
    ("feet-inches", 0.0254 / 8),
    ("tenths", 0.003048),
    ("metric", 0.001),
)


def test_the_browser_writes_numbers_as_the_laptop_does(desk: Desk) -> None:
    page = desk.page(LAPTOP)
    dice = random.Random(5)
    values = [dice.choice((0.01, 1, 40)) * dice.uniform(-1, 1) for _ in range(300)]
    values += [0.0, 0.3048, 0.0254, 0.3302, 0.30480001, 30.48, -0.3048, 0.31115, 1.0]
    writers: tuple[Callable[[float, Units], str], ...] = (
        write_length,
        write_height,
        write_thickness,
    )
    for system, mark_m in MARKS:
        written = page.evaluate(
            """async ([values, units]) => {
              const f = await import("/static/plan/figures.js");
              const kinds = ["length", "height", "thickness"];
              return values.map((v) => kinds.map((kind) => f.write(kind, v, units)));
            }""",
            [values, {"system": system, "mark_m": mark_m}],
        )
        units = Units(system=system, mark_m=mark_m)
        assert written == [[write(value, units) for write in writers] for value in values]


@SIZES
def test_layers_come_and_go(desk: Desk, size: dict[str, Any]) -> None:
    page = desk.page(size)
    seen = "s => document.querySelectorAll(`#view g[id$='-${s}']`).length > 0"
    gone = "s => document.querySelectorAll(`#view g[id$='-${s}']`).length === 0"
    waits(page, seen, "shots")
    page.uncheck("input[value=shots]")
    waits(page, gone, "shots")
    page.check("input[value=thickness]")
    page.check("input[value=pads]")
    waits(page, seen, "pads")
    waits(page, seen, "thickness")
    assert page.locator("#view .live").count() == 1


def shown(page: Page) -> list[float]:
    box = page.get_attribute("#view svg", "viewBox") or ""
    return [float(part) for part in box.split()]


def test_wheel_drag_and_pinch_move_the_plan(desk: Desk) -> None:
    page = desk.page(LAPTOP)
    before = shown(page)
    x, y = page.evaluate(PIXELS, [3.0, 1.5])
    page.mouse.move(x, y)
    page.mouse.wheel(0, -400)
    waits(
        page,
        "w => Number(document.querySelector('#view svg').viewBox.baseVal.width) < w",
        before[2],
    )
    # What lay under the pointer stays under it.
    assert page.evaluate(PIXELS, [3.0, 1.5]) == pytest.approx([x, y], abs=1.5)
    page.mouse.down()
    page.mouse.move(x + 60, y + 30, steps=4)
    page.mouse.up()
    assert page.evaluate(PIXELS, [3.0, 1.5]) == pytest.approx([x + 60, y + 30], abs=1.5)
    assert page.inner_text("#strip") == ""  # a drag reads nothing
    phone = desk.page(PHONE)
    box = phone.locator("#view").bounding_box()
    assert box is not None
    middle = (box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    wide = shown(phone)[2]
    tell = phone.context.new_cdp_session(phone)
    for kind, apart in (("touchStart", 30), ("touchMove", 60), ("touchMove", 90)):
        ends = [{"x": middle[0] + side * apart, "y": middle[1], "id": side} for side in (-1, 1)]
        for number, end in enumerate(ends):
            end["id"] = number
        tell.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": ends})
    tell.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    assert shown(phone)[2] == pytest.approx(wide / 3, rel=0.1)


@SIZES
def test_a_dragged_line_shows_its_section(desk: Desk, size: dict[str, Any]) -> None:
    page = desk.page(size)
    page.click("#cut")
    a, b = page.evaluate(PIXELS, [1.0, 0.6]), page.evaluate(PIXELS, [4.6, 2.4])
    page.mouse.move(*a)
    page.mouse.down()
    page.mouse.move(*b, steps=4)
    page.mouse.up()
    page.wait_for_selector("#section svg")
    assert "New top over old floor" in (page.text_content("#section desc") or "")
    assert page.get_attribute("#cut", "aria-pressed") == "false"
    # One end is taken and moved on: the section follows.
    before = page.inner_html("#section")
    end = page.evaluate(PIXELS, [4.6, 2.4])
    page.mouse.move(*end)
    page.mouse.down()
    page.mouse.move(end[0] - 40, end[1] + 10, steps=4)
    page.mouse.up()
    waits(page, "old => document.getElementById('section').innerHTML !== old", before)


def test_all_of_it_by_keyboard_alone(desk: Desk) -> None:
    page = desk.page(LAPTOP)
    for _ in range(40):
        page.keyboard.press("Tab")
        if page.evaluate("() => document.activeElement.id") == "view":
            break
    assert page.evaluate("() => document.activeElement.id") == "view"
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("Shift+ArrowUp")
    read_exactly(page)
    assert [page.input_value("#x"), page.input_value("#y")] == ["8' 0\"", "5' 1\""]
    assert said(page, "old") == desk.exact(8 * FT, 5 * FT + 0.0254)["old"]
    page.keyboard.press("a")
    for _ in range(3):
        page.keyboard.press("ArrowRight")
    page.keyboard.press("b")
    page.wait_for_selector("#section svg")
    assert [page.input_value("#ax"), page.input_value("#bx")] == ["8' 0\"", "11' 0\""]
    wide = shown(page)[2]
    page.keyboard.press("+")
    assert shown(page)[2] < wide
    west = shown(page)[0]
    page.keyboard.press("Alt+ArrowRight")
    assert shown(page)[0] > west
    page.keyboard.press("0")
    assert shown(page)[2] == pytest.approx(wide)
    page.focus("#x")
    page.keyboard.press("Control+a")
    page.keyboard.type("6 ft 6 in")
    page.keyboard.press("Enter")
    waits(page, "() => document.getElementById('hint').textContent.startsWith(\"At x 6' 6\")")


def test_typed_places_go_to_the_laptop_when_the_script_cannot_read_them(desk: Desk) -> None:
    page = desk.page(LAPTOP)
    page.fill("#x", "C2")
    page.press("#x", "Enter")
    page.wait_for_url("**x=C2**")
    assert said(page, "old") == desk.exact(7 * FT, 5 * FT)["old"]


def corners(desk: Desk) -> list[list[str]]:
    held = tomllib.loads(desk.store.job(desk.job).folder_texts.job_toml)["hollow"][0]["corners"]
    assert isinstance(held, list)
    return held


HOLLOW = "/edit?thing=hollow&name=drum+%3Cb%3Espot%3C%2Fb%3E"


@SIZES
def test_a_corner_is_dragged_and_kept(desk: Desk, size: dict[str, Any]) -> None:
    page = desk.page(size, HOLLOW)
    a, b = page.evaluate(PIXELS, [3 * FT, 6 * FT]), page.evaluate(PIXELS, [2 * FT, 5 * FT])
    page.mouse.move(*a)
    page.mouse.down()
    page.mouse.move(*b, steps=4)
    page.mouse.up()
    typed = [page.locator('[name="x"]').first.input_value()]
    assert inches(typed[0]) == pytest.approx(24, abs=3)
    with page.expect_navigation():
        page.click("button.main")
    assert "Kept" in page.inner_text("[role=status].told")
    assert [inches(part) for part in corners(desk)[0]] == pytest.approx([24, 60], abs=3)
    assert corners(desk)[1:] == [["5 ft", "6 ft"], ["5 ft", "8 ft"], ["3 ft", "8 ft"]]


def test_corners_by_keyboard_alone(desk: Desk) -> None:
    page = desk.page(LAPTOP, HOLLOW)
    page.focus(".plan-row:nth-child(2) .plan-move")
    page.keyboard.press("Shift+ArrowRight")
    page.keyboard.press("ArrowDown")
    fields = page.locator(".plan-row:nth-child(2) input")
    assert [fields.nth(n).input_value() for n in (0, 1)] == ["6' 0\"", "5' 11\""]
    page.focus('.plan-row:nth-child(4) [value^="add"]')
    page.keyboard.press("Enter")
    page.keyboard.type("4 ft 6 in")
    page.keyboard.press("Tab")
    page.keyboard.type("9 ft")
    page.focus('.plan-row:nth-child(1) [value^="down"]')
    page.keyboard.press("Enter")
    page.focus('.plan-row:nth-child(3) [value^="drop"]')
    page.keyboard.press("Enter")
    page.focus("button.main")
    with page.expect_navigation():
        page.keyboard.press("Enter")
    assert corners(desk) == [
        ["6' 0\"", "5' 11\""],
        ["3 ft", "6 ft"],
        ["3 ft", "8 ft"],
        ["4 ft 6 in", "9 ft"],
    ]


def test_faults_come_while_one_draws_and_go_again(desk: Desk) -> None:
    page = desk.page(LAPTOP, HOLLOW)
    first = page.locator('[name="x"]').first
    first.fill("3 feets")
    page.wait_for_selector(".plan-row:nth-child(1) .fault")
    assert page.locator(".fault").count() == 1
    assert "do next" in page.inner_text(".plan-row:nth-child(1) .fault")
    first.fill("3 ft")
    page.wait_for_selector(".fault", state="detached")


def test_a_new_break_is_tapped_onto_the_floor(desk: Desk) -> None:
    page = desk.page(PHONE, "/edit?thing=break")
    page.fill("#name", "crack L")
    page.locator("#view").scroll_into_view_if_needed()
    for place in ((4 * FT, 0.0), (4 * FT, 10 * FT)):
        page.touchscreen.tap(*page.evaluate(PIXELS, place))
    # Typed exactly where a finger is too coarse.
    rows = page.locator(".plan-row input")
    for number, text in enumerate(("4 ft", "0 ft", "4 ft", "10 ft")):
        assert inches(rows.nth(number).input_value()) == pytest.approx(float(text[:2]) * 12, abs=5)
        rows.nth(number).fill(text)
    with page.expect_navigation():
        page.click("button.main")
    held = tomllib.loads(desk.store.job(desk.job).folder_texts.job_toml)["break"][1]
    assert held == {
        "name": "crack L",
        "kind": "crack",
        "line": [["4 ft", "0 ft"], ["4 ft", "10 ft"]],
    }


@SIZES
@pytest.mark.parametrize(
    "path", ["?x=7+ft&y=5+ft&ax=1+ft&ay=1+ft&bx=9+ft&by=9+ft", "?x=7", "/edit", HOLLOW]
)
def test_anyone_can_use_it(desk: Desk, size: dict[str, Any], path: str) -> None:
    page = desk.page(size, path)
    rules = {
        "runOnly": {
            "type": "tag",
            "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"],
        }
    }
    found = Axe().run(page, options=rules).response["violations"]
    assert [(one["id"], [node["html"][:120] for node in one["nodes"]]) for one in found] == []
    small = page.evaluate(
        """() => [...document.querySelectorAll("#main button, #main a, #main input, #main select")]
          .filter((e) => e.offsetParent && e.type !== "hidden" && !e.closest(".unseen"))
          .map((e) => [e, (e.closest("label.choice") ?? e).getBoundingClientRect()])
          .filter(([, box]) => box.height < 43.9 || box.width < 43.9)
          .map(([e]) => e.outerHTML.slice(0, 90))"""
    )
    assert [html for html in small if "Back to the plan" not in html] == []
    wide = page.evaluate("() => document.documentElement.scrollWidth - innerWidth")
    assert wide <= 0
