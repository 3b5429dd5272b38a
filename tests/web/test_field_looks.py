"""What a hand in a glove and an eye in the sun meet: sizes, contrast, words, names, no script."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from field_site import (
    PRICES,
    Laptop,
    Thumb,
    bay_texts,
    browser,
    kept_words,
    laptop,
    open_shots,
    phone,
    player,
    shown,
    until,
)
from playwright.sync_api import Browser, BrowserContext, Page, Playwright

# Every element that can be pressed or filled in, with its box, and which of them are keys.
TARGETS = """() => [...document.querySelectorAll("a, button, input, select, textarea, summary")]
  .filter((e) => e.checkVisibility({ visibilityProperty: true }) && e.type !== "hidden"
    && !e.classList.contains("skip"))
  .map((e) => { const b = e.getBoundingClientRect();
    return [e.id || e.textContent.trim() || e.name, b.width, b.height,
      e.classList.contains("key") || Boolean(e.closest(".ask-keys"))]; })"""
# Contrast by WCAG 2.2, worked out from what the browser has computed for every piece of text.
CONTRAST = """() => {
  const linear = (v) => (v /= 255) <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
  const light = ([r, g, b]) => 0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b);
  const parse = (text) => text.match(/[\\d.]+/g).map(Number);
  const ground = (e) => {
    for (; e; e = e.parentElement) {
      const c = parse(getComputedStyle(e).backgroundColor);
      if (c.length === 3 || c[3] === 1) return c;
      if (c[3] !== 0) return null;
    }
    return [255, 255, 255];
  };
  const found = [];
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walk.nextNode(); node; node = walk.nextNode()) {
    const e = node.parentElement;
    if (!node.data.trim() || !e.checkVisibility()) continue;
    if (e.closest("script, .unseen, .skip, svg, option")) continue;
    const [a, b] = [light(parse(getComputedStyle(e).color)), light(ground(e))];
    found.push([node.data.trim().slice(0, 40), (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05)]);
  }
  return found;
}"""
UNNAMED = """() => [...document.querySelectorAll("a, button, input, select, textarea, [role=img]")]
  .filter((e) => e.checkVisibility() && e.type !== "hidden")
  .filter((e) => !(e.labels?.length || e.getAttribute("aria-label") || e.textContent.trim()
    || document.getElementById(e.getAttribute("aria-labelledby"))?.textContent.trim()))
  .map((e) => e.outerHTML.slice(0, 90))"""


@pytest.fixture(scope="module")
def play() -> Iterator[Playwright]:
    with player() as made:
        yield made


@pytest.fixture(scope="module")
def chromium(play: Playwright) -> Iterator[Browser]:
    with browser(play) as opened:
        yield opened


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Laptop]:
    with laptop(tmp_path_factory.mktemp("laptop")) as made:
        yield made


@pytest.fixture(scope="module")
def job(desk: Laptop) -> str:
    return desk.store.begin("Invented bay", who="office", texts=bay_texts())


def pages_of(job: str) -> dict[str, str]:
    return {
        "jobs": "/field/",
        "shots": f"/field/{job}",
        "readings": f"/field/{job}/readings",
        "notes": f"/field/{job}/notes",
        "state": "/field/state",
    }


def every_state(context: BrowserContext, desk: Laptop, job: str) -> Iterator[tuple[str, Page]]:
    """Each page, empty and in use, as a phone shows it."""
    page = open_shots(context, f"{desk.address}/field/{job}")
    yield "shots, at the start", page
    thumb = Thumb(page)
    # A job of several tests: the kind of the first shot does not matter here.
    thumb.shot(4, 2, 3)
    kept_words(page, page.inner_text("#last-words").split(" ")[0])
    thumb.reading(4, 3, 5)
    yield "shots, a reading made", page
    page.tap("#map-key")
    yield "the map", page
    page.tap("#map-back")
    page.tap("#target")
    page.evaluate("document.getElementById('choose-form').requestSubmit()")
    yield "the choice", page
    page.goto(f"{desk.address}/field/{job}/readings")
    page.tap("#readings .pick >> nth=0")
    yield "readings, one opened", page
    for name in ("notes", "state", "jobs"):
        page.goto(desk.address + pages_of(job)[name])
        shown(page, "document.body.dataset.line === 'reached'")
        yield name, page


@pytest.mark.parametrize(("look", "least"), [("sun", 15.0), ("night", 7.0)])
def test_targets_contrast_names_and_width(
    desk: Laptop, job: str, chromium: Browser, look: str, least: float
) -> None:
    context = phone(chromium)
    context.add_init_script(f"localStorage.setItem('field-look', '{look}')")
    states = 0
    for name, page in every_state(context, desk, job):
        states += 1
        small = [
            one
            for one in page.evaluate(TARGETS)
            if min(one[1], one[2]) < (64 if one[3] else 44) - 0.01
        ]
        assert small == [], name
        contrast = page.evaluate(CONTRAST)
        assert len(contrast) > 3
        assert [one for one in contrast if one[1] < least] == [], name
        assert page.evaluate(UNNAMED) == [], name
        over = page.evaluate("document.documentElement.scrollWidth - innerWidth")
        assert over <= 0, f"{name} is wider than the screen"
    assert states == 8
    context.close()


def test_keys_lie_eight_pixels_apart_and_all_on_the_screen(
    desk: Laptop, job: str, chromium: Browser
) -> None:
    context = phone(chromium)
    page = open_shots(context, f"{desk.address}/field/{job}")
    boxes = page.eval_on_selector_all(
        "#pad .key",
        "es => es.map(e => { const b = e.getBoundingClientRect();"
        " return [b.left, b.top, b.right, b.bottom]; })",
    )
    assert len(boxes) == 8 + 1 + 12 + 16 + 2
    for n, one in enumerate(boxes):
        for other in boxes[n + 1 :]:
            across = max(other[0] - one[2], one[0] - other[2])
            along = max(other[1] - one[3], one[1] - other[3])
            assert max(across, along) >= 8 - 0.01
    assert max(one[3] for one in boxes) <= 844
    assert min(one[1] for one in boxes) > page.eval_on_selector(
        "#reading", "e => e.getBoundingClientRect().bottom"
    )
    context.close()


@pytest.mark.parametrize("size", [(390, 664), (360, 640), (320, 700)])
def test_a_short_screen_still_shows_target_reading_last_and_every_key(
    desk: Laptop, job: str, chromium: Browser, size: tuple[int, int]
) -> None:
    wide, high = size
    context = phone(chromium, viewport={"width": wide, "height": high})
    page = open_shots(context, f"{desk.address}/field/{job}")
    for selector in ("#target", "#reading", "#last", "#undo", "#keep", '[data-part="2"]'):
        for box in page.eval_on_selector_all(
            selector,
            "es => es.map(e => { const b = e.getBoundingClientRect();"
            " return [b.left, b.top, b.right, b.bottom]; })",
        ):
            assert box[0] >= -0.5, selector
            assert box[1] >= -0.5, selector
            assert box[2] <= wide + 0.5, selector
            assert box[3] <= high + 0.5, selector
    sizes = page.eval_on_selector_all(
        "#pad .key", "es => es.map(e => [e.offsetWidth, e.offsetHeight])"
    )
    assert min(min(one) for one in sizes) >= 64
    context.close()


def test_each_page_says_what_it_answers_and_announces_what_changes(
    desk: Laptop, job: str, chromium: Browser
) -> None:
    context = phone(chromium)
    page = context.new_page()
    for name, path in pages_of(job).items():
        page.goto(desk.address + path)
        lead = page.inner_text(".lead")
        assert lead.endswith((".", "?")), name
        assert page.locator("h1").count() == 1, name
        assert page.locator("[role=status]").count() >= 2, name
        assert page.title(), name
    context.close()


def test_nothing_is_asked_of_anybody_else_and_no_script_stumbles(
    desk: Laptop, job: str, chromium: Browser
) -> None:
    context = phone(chromium)
    page = context.new_page()
    asked: set[str] = set()
    wrong: list[str] = []
    page.on("request", lambda request: asked.add(request.url))
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on("console", lambda said: wrong.append(said.text) if said.type == "error" else None)
    for path in pages_of(job).values():
        page.goto(desk.address + path)
        shown(page, "document.body.dataset.line === 'reached'")
    assert {url for url in asked if not url.startswith(desk.address)} == set()
    assert wrong == []
    context.close()


def test_first_visit_is_light(desk: Laptop, job: str, chromium: Browser) -> None:
    """At most 150 KB on the wire for the page that takes shots, and 15 KB again."""
    context = phone(chromium)
    page = context.new_page()
    line = context.new_cdp_session(page)
    line.send("Network.enable")
    got: list[float] = []
    line.on("Network.loadingFinished", lambda told: got.append(told["encodedDataLength"]))
    page.goto(f"{desk.address}/field/{job}")
    page.wait_for_selector("body[data-ready]")
    assert 10_000 < sum(got) <= 150_000
    shown(page, "navigator.serviceWorker.controller !== null")
    page.wait_for_load_state("networkidle")
    page.reload()
    page.wait_for_selector("body[data-ready]")
    page.wait_for_load_state("networkidle")
    got.clear()
    page.reload()
    page.wait_for_selector("body[data-ready]")
    assert sum(got) <= 15_000
    context.close()


def test_no_price_in_anything_a_phone_holds(desk: Laptop, job: str, chromium: Browser) -> None:
    context = phone(chromium)
    context.add_cookies([desk.crew_cookie()])  # type: ignore[list-item]
    page = context.new_page()
    bodies: list[str] = []
    page.on("response", lambda answer: bodies.append(answer.text()) if answer.ok else None)
    open_line = f"http://slab.test:{desk.port}"
    for path in (
        f"{open_line}/field/{job}",
        *(desk.address + one for one in pages_of(job).values()),
    ):
        page.goto(path)
        shown(page, "document.body.dataset.line === 'reached'")
    page.goto(f"{desk.address}/field/{job}")
    page.wait_for_selector("body[data-ready]")
    held = page.evaluate(
        """async () => {
          let all = JSON.stringify(localStorage);
          for (const name of await caches.keys()) {
            const cache = await caches.open(name);
            for (const one of await cache.keys()) all += await (await cache.match(one)).text();
          }
          const { keeper } = await import("/static/field/keeper.js");
          return all + JSON.stringify(keeper.ofJob());
        }"""
    )
    everything = held + "".join(bodies)
    assert "BM1" in held, "the job's data is among what was looked through"
    for price in PRICES:
        assert price not in everything
        assert price.replace(".", "") not in everything
    assert not re.search(r"move_cost|price", held)
    context.close()


def test_a_plain_form_where_no_script_runs(desk: Laptop, chromium: Browser) -> None:
    job = desk.store.begin("Invented bay", who="office", texts=bay_texts())
    context = phone(chromium, java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{desk.address}/field/{job}")
    assert page.is_hidden("#pad")
    page.fill("#f-point", "A1")
    page.fill("#f-reading", "4.61 ft")
    page.get_by_role("button", name="Keep this shot").click()
    fault = page.inner_text("#w-reading")
    assert "given" in fault
    assert "limit" in fault
    assert page.input_value("#f-reading") == "4.61 ft", "what was typed stays"
    assert page.input_value("#f-point") == "A1"
    assert desk.readings(job) == []
    page.fill("#f-reading", "4' 7 3/8\"")
    page.get_by_role("button", name="Keep this shot").click()
    assert "A1: 4' 7 3/8\" is kept" in page.inner_text(".told")
    assert desk.readings(job) == [("A1", "4' 7 3/8\"")]
    page.reload()  # the browser sends the form once more
    assert desk.readings(job) == [("A1", "4' 7 3/8\"")]
    page.goto(f"{desk.address}/field/{job}/readings")
    assert "A1" in page.inner_text("#readings")
    page.goto(f"{desk.address}/field/{job}/notes")
    page.fill("#n-text", "Water stands by the west door.")
    page.get_by_role("button", name="Keep this note").click()
    assert "Water stands by the west door." in page.inner_text("#kept")
    context.close()


def test_notes_tickets_and_a_photo_reach_the_laptop(
    desk: Laptop, chromium: Browser, tmp_path: Path
) -> None:
    job = desk.store.begin("Invented bay", who="office", texts=bay_texts())
    context = phone(chromium)
    page = context.new_page()
    page.goto(f"{desk.address}/field/{job}/notes")
    shown(page, "document.body.dataset.line === 'reached'")
    page.fill("#n-text", "Water stands by the west door.")
    page.get_by_role("button", name="Keep this note").click()
    page.fill("#t-water_added", "5 gal")
    page.fill("#t-slump", "5 in")
    page.get_by_role("button", name="Keep this ticket").click()
    # A picture larger than what is sent, made by the browser itself.
    made = page.evaluate(
        """async () => {
          const canvas = new OffscreenCanvas(3000, 1500);
          const pen = canvas.getContext("2d");
          for (let i = 0; i < 4000; i += 1) {
            pen.fillStyle = `hsl(${(i * 37) % 360} 60% ${30 + (i % 50)}%)`;
            pen.fillRect((i * 7919) % 3000, (i * 6113) % 1500, 60, 60);
          }
          const bytes = new Uint8Array(await (await canvas.convertToBlob()).arrayBuffer());
          return Array.from(bytes);
        }"""
    )
    picture = tmp_path / "crack.png"
    picture.write_bytes(bytes(made))
    page.fill("#p-about", "crack K")
    page.set_input_files("#p-file", picture)
    until(
        lambda: (
            sorted(one.kind for one in desk.store.job(job).things) == ["note", "photo", "ticket"]
        ),
    )
    things = {one.kind: one.body for one in desk.store.job(job).things}
    assert things["ticket"] == {"water_added": "5 gal", "slump": "5 in"}
    assert things["photo"]["about"] == "crack K"
    kept = desk.store.photo(things["photo"]["sha256"]).read_bytes()
    assert kept.startswith(b"\xff\xd8\xff")
    assert page.evaluate(
        "async () => (await (await import('/static/field/box.js')).allPhotos()).length"
    ) in (0, 1)
    context.close()
