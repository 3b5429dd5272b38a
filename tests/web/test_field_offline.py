"""Nothing that was called kept is lost: no signal, no laptop, a killed browser, a store wiped."""

from __future__ import annotations

import contextlib
import json
import os
import random
import signal
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from field_site import (
    CHROMIUM,
    FLAGS,
    PATIENCE,
    Laptop,
    Thumb,
    bay_texts,
    browser,
    kept_words,
    laptop,
    losing,
    open_shots,
    phone,
    player,
    said,
    shown,
    until,
)
from playwright.sync_api import Browser, Error, Page, Playwright

SEED = 20260418
BEFORE_NEXT = 15.0  # seconds: less than the rounds in which a phone asks again in any case
KEPT = """async () => {
  const { keeper } = await import("/static/field/keeper.js");
  await keeper.open();
  return keeper.ofJob().map((e) => [e.id, e.seq, e.device, e.body.point, e.body.reading]);
}"""
IN_LOG = """async () => {
  const folder = await navigator.storage.getDirectory();
  let text = "";
  for await (const [, file] of folder.entries()) text += await (await file.getFile()).text();
  return text.split("\\n").filter(Boolean).map((line) => JSON.parse(line).id);
}"""
IN_BOX = """async () => {
  const { allEvents } = await import("/static/field/box.js");
  return (await allEvents()).map((e) => e.id);
}"""


@pytest.fixture(scope="module")
def play() -> Iterator[Playwright]:
    with player() as made:
        yield made


@pytest.fixture(scope="module")
def chromium(play: Playwright) -> Iterator[Browser]:
    with browser(play) as opened:
        yield opened


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Laptop]:
    with laptop(tmp_path) as made:
        yield made


@pytest.fixture
def job(desk: Laptop) -> str:
    return desk.store.begin("Invented bay", who="office", texts=bay_texts())


@pytest.fixture
def page(desk: Laptop, job: str, chromium: Browser) -> Iterator[Page]:
    context = phone(chromium)
    yield open_shots(context, f"{desk.address}/field/{job}")
    context.close()


def shell_is_kept(page: Page) -> None:
    shown(page, "navigator.serviceWorker.controller !== null")
    shown(
        page,
        "async () => { const names = await caches.keys();"
        " return names.includes('field-data') && (await (await caches.open('field-data')).keys())"
        ".some((r) => r.url.endsWith('data.json')); }",
    )


def counts(page: Page) -> dict[str, int]:
    return {
        name: int(page.inner_text(f'[data-count="{name}"] b'))
        for name in ("phone", "laptop", "problem")
    }


def with_worker(page: Page) -> None:
    """A second look, through the worker: it then has the data of the job as well."""
    shown(page, "navigator.serviceWorker.controller !== null")
    page.reload()
    page.wait_for_selector("body[data-ready]")
    shell_is_kept(page)


def test_opens_and_takes_shots_with_the_laptop_off_and_sends_them_later(
    desk: Laptop, job: str, page: Page
) -> None:
    with_worker(page)
    desk.stop()
    page.reload()
    page.wait_for_selector("body[data-ready]")
    thumb = Thumb(page)
    typed = [(thumb.shot(4, 2, n), said(4, 2, n)) for n in range(12)]
    kept_words(page, typed[-1][0])
    assert counts(page) == {"phone": 12, "laptop": 0, "problem": 0}
    page.goto(f"{desk.address}/field/{job}/readings")
    shown(page, "document.querySelectorAll('#readings tbody tr').length === 12")
    assert page.locator("#readings td", has_text="on this phone").count() == 12
    page.goto(f"{desk.address}/field/state")
    page.wait_for_selector("#unsent-list li")
    assert page.locator("#unsent-list li").count() == 12
    assert "12 entries wait, safe in two stores" in page.inner_text("#answer")
    desk.start()
    page.click("#send-now")
    until(lambda: desk.readings(job) == typed)
    shown(page, "document.querySelector('[data-count=phone] b').textContent === '0'")
    assert "at the laptop" in page.inner_text("#answer")


def test_lost_answers_make_no_twins_and_no_gaps(tmp_path: Path, chromium: Browser) -> None:
    with laptop(tmp_path, lost=losing(0.3, seed=SEED)) as desk:
        job = desk.store.begin("Invented bay", who="office", texts=bay_texts())
        context = phone(chromium)
        page = open_shots(context, f"{desk.address}/field/{job}")
        thumb = Thumb(page)
        typed = [(thumb.shot(4, 2, n % 16), said(4, 2, n % 16)) for n in range(20)]
        kept_words(page, typed[-1][0])
        for _ in range(40):
            page.evaluate("async () => (await import('/static/field/send.js')).send()")
            if counts(page)["phone"] == 0:
                break
        assert counts(page)["phone"] == 0
        assert desk.readings(job) == typed
        ids = [one.event.id for one in desk.store.events(job)]
        assert len(ids) == len(set(ids)) == 1 + len(typed)
        (line,) = [one for one in desk.store.devices(job) if one.last_seq == len(typed)]
        assert line.missing == ()
        context.close()


@contextlib.contextmanager
def own_chromium(play: Playwright, folder: Path) -> Iterator[tuple[Page, subprocess.Popen[bytes]]]:
    """A Chromium of our own process group, with a profile on the disk, so that it can be killed."""
    told = folder / "DevToolsActivePort"
    told.unlink(missing_ok=True)
    process = subprocess.Popen(
        [
            CHROMIUM, "--headless=new", "--remote-debugging-port=0", f"--user-data-dir={folder}",
            "--no-first-run", "--disable-gpu", *FLAGS, "about:blank",
        ],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )  # fmt: skip
    try:
        until(lambda: told.exists() and "\n" in told.read_text())
        port = told.read_text().split()[0]
        connected = play.chromium.connect_over_cdp(f"http://127.0.0.1:{port}")
        context = connected.contexts[0]
        context.set_default_timeout(PATIENCE * 1000)
        yield context.new_page(), process
    finally:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
        process.wait(timeout=PATIENCE)


TYPE_ON = """(job) => {
  window.told = [];
  (async () => {
    const { keeper } = await import("/static/field/keeper.js");
    for (let n = 0; ; n += 1) {
      const kept = await keeper.keep(job, "shot-kept",
        { point: `K${n}`, setup: "1", reading: `4' ${n % 12}"`, kind: "turn" });
      if (kept.whole) console.log("KEPT " + kept.event.id);
    }
  })();
}"""


def test_a_killed_browser_loses_nothing_that_was_called_kept(
    desk: Laptop, job: str, tmp_path: Path, play: Playwright
) -> None:
    """A few rounds here; the same test runs hundreds of times where there is more time."""
    dice = random.Random(SEED)
    rounds = int(os.environ.get("OVERSLAB_BROWSER_KILLS", "3"))
    told: set[str] = set()
    folder = tmp_path / "profile"
    for _ in range(rounds):
        with own_chromium(play, folder) as (page, process):
            page.on(
                "console",
                lambda said: told.add(said.text[5:]) if said.text.startswith("KEPT ") else None,
            )
            page.goto(f"{desk.address}/field/{job}")
            page.wait_for_selector("body[data-ready]")
            # Nothing may be sent: what is found later is what the phone itself has kept.
            page.route("**/sync", lambda route: route.abort())
            before = len(told)
            page.evaluate(TYPE_ON, job)
            with contextlib.suppress(Error):
                page.wait_for_timeout(dice.uniform(80, 400))
            os.killpg(process.pid, signal.SIGKILL)
            with contextlib.suppress(Error):
                page.wait_for_timeout(50)
        assert len(told) > before, "it was killed before anything was called kept"
    with own_chromium(play, folder) as (page, _):
        page.goto(f"{desk.address}/field/state")
        shown(page, "document.querySelectorAll('#facts dt').length > 0")
        here = {one[0] for one in page.evaluate(KEPT)}
        assert told - here == set()
        until(lambda: {one.event.id for one in desk.store.events(job)} >= told)
    ids = [one.event.id for one in desk.store.events(job)]
    assert len(ids) == len(set(ids))


def test_a_wiped_database_is_put_back_from_the_log(page: Page) -> None:
    page.route("**/sync", lambda route: route.abort())
    thumb = Thumb(page)
    typed = [thumb.shot(4, 2, n) for n in range(6)]
    kept_words(page, typed[-1])
    before = page.evaluate(KEPT)
    page.evaluate("indexedDB.deleteDatabase('overslab-field')")
    # While the page lives on: the next shot finds the store gone, makes it anew and fills it.
    thumb.shot(4, 2, 7)
    shown(page, f"async () => (await ({IN_BOX})()).length === 7")
    page.evaluate("indexedDB.deleteDatabase('overslab-field')")
    page.reload()
    page.wait_for_selector("body[data-ready]")
    after = page.evaluate(KEPT)
    assert [one[0] for one in after][:6] == [one[0] for one in before]
    assert [one[1] for one in after] == list(range(1, 8)), "the row of numbers has no gap"
    assert {one[2] for one in after} == {before[0][2]}, "it is still the same phone"
    assert sorted(page.evaluate(IN_BOX)) == sorted(one[0] for one in after)


def test_a_wiped_log_is_put_back_from_the_database(page: Page) -> None:
    page.route("**/sync", lambda route: route.abort())
    wipe = """async () => {
      const folder = await navigator.storage.getDirectory();
      for await (const [name] of folder.entries()) await folder.removeEntry(name);
    }"""
    thumb = Thumb(page)
    typed = [thumb.shot(4, 2, n) for n in range(6)]
    kept_words(page, typed[-1])
    page.evaluate(wipe)
    kept_words(page, thumb.shot(4, 2, 7))
    assert len(set(page.evaluate(IN_LOG))) == 7
    page.evaluate(wipe)
    page.reload()
    page.wait_for_selector("body[data-ready]")
    assert len(page.evaluate(KEPT)) == 7
    assert len(set(page.evaluate(IN_LOG))) == 7


def test_one_store_that_fails_is_named_and_the_other_keeps(page: Page) -> None:
    page.evaluate("() => { IDBObjectStore.prototype.put = () => { throw new Error('no room'); }; }")
    thumb = Thumb(page)
    thumb.shot(4, 2, 5)
    shown(
        page,
        "document.getElementById('last-words').textContent.includes('first of two stores only')",
    )
    assert "second store of this phone fails" in page.inner_text("#banner-words")
    page.reload()
    page.wait_for_selector("body[data-ready]")
    assert len(page.evaluate(KEPT)) == 1, "it was in the log, and the database has it again"
    assert len(page.evaluate(IN_BOX)) == 1


def test_two_tabs_make_two_records(desk: Laptop, job: str, page: Page) -> None:
    other = open_shots(page.context, page.url)
    both = [Thumb(page), Thumb(other)]
    for one in both:
        one.reading(4, 2, 5)
    for one in both:
        one.page.bring_to_front()
        one.tap("#keep")
    until(lambda: len(desk.readings(job)) == 2)
    events = [one.event for one in desk.store.events(job)][1:]
    assert len({one.id for one in events}) == 2
    assert sorted(one.seq for one in events) == [1, 2]
    assert len({one.device for one in events}) == 1
    for one in both:
        shown(one.page, "document.querySelector('[data-count=laptop] b').textContent === '2'")


def test_one_bad_entry_lies_in_the_tray_and_the_others_go_through(
    desk: Laptop, job: str, page: Page
) -> None:
    page.route("**/sync", lambda route: route.abort())
    points = [f"{letter}{number}" for letter in "ABCDEF" for number in range(1, 11)][:59]
    # The thirtieth is what a phone of an older make might send: another convention.
    page.evaluate(
        """async ([job, points]) => {
          const { keeper } = await import("/static/field/keeper.js");
          const keep = (body) =>
            keeper.keep(job, "shot-kept", { setup: "1", kind: "floor", ...body });
          for (const [n, point] of points.entries()) {
            if (n === 29) await keep({ point: "X1", x: "3 ft", y: "3 ft", reading: "1.405 m" });
            await keep({ point, reading: `4' 2 ${1 + (n % 15)}/16"` });
          }
        }""",
        [job, points],
    )
    page.unroute("**/sync")
    page.evaluate("async () => (await import('/static/field/send.js')).send()")
    until(lambda: [point for point, _ in desk.readings(job)] == points)
    shown(page, "document.querySelector('[data-count=problem] b').textContent === '1'")
    assert counts(page) == {"phone": 0, "laptop": 59, "problem": 1}
    (lying,) = desk.store.tray(job)
    assert lying.event.body["point"] == "X1"
    page.goto(f"{desk.address}/field/state")
    page.wait_for_selector("#problem-list li")
    assert "X1" in page.inner_text("#problem-list")
    page.get_by_role("button", name="Seen").tap()
    until(lambda: counts(page) == {"phone": 0, "laptop": 59, "problem": 0})
    assert len(desk.store.tray(job)) == 1, "the office still has it to look at"


def test_handed_over_by_file_any_number_of_times(
    desk: Laptop, job: str, page: Page, tmp_path: Path
) -> None:
    with_worker(page)
    desk.stop()
    thumb = Thumb(page)
    typed = [(thumb.shot(4, 2, n), said(4, 2, n)) for n in range(9)]
    kept_words(page, typed[-1][0])
    page.goto(f"{desk.address}/field/state")
    page.wait_for_selector("#unsent-list li")
    with page.expect_download() as download:
        page.click("#hand-over")
    file = tmp_path / download.value.suggested_filename
    download.value.save_as(file)
    assert file.suffix == ".jsonl"
    assert len([json.loads(line) for line in file.read_text().splitlines()]) == 9
    desk.start()
    at_the_desk = page.context.browser
    assert at_the_desk
    office = at_the_desk.new_page()
    for _ in range(2):
        office.goto(f"{desk.address}/field/state")
        office.set_input_files("#h-file", file)
        office.get_by_role("button", name="Take it in").click()
        assert "9 of 9 entries are at the laptop." in office.inner_text(".answer")
        assert desk.readings(job) == typed
    office.close()


def test_plain_http_keeps_in_one_store_and_says_so(
    desk: Laptop, job: str, chromium: Browser
) -> None:
    context = phone(chromium)
    context.add_cookies([desk.crew_cookie()])  # type: ignore[list-item]
    page = open_shots(context, f"http://slab.test:{desk.port}/field/{job}")
    assert page.evaluate("isSecureContext") is False
    assert "Keep this tab open; pair this phone for work without signal." in page.inner_text(
        "#plain-http"
    )
    thumb = Thumb(page)
    kept_words(page, thumb.shot(4, 2, 5))
    until(lambda: len(desk.readings(job)) == 1)
    desk.stop()
    typed = [thumb.shot(4, 2, n) for n in range(3)]
    kept_words(page, typed[-1])
    assert counts(page)["phone"] == 3
    desk.start()
    page.evaluate("async () => (await import('/static/field/send.js')).send()")
    until(lambda: len(desk.readings(job)) == 4)
    assert {one.event.who for one in desk.store.events(job)} == {"office", "Phone 1"}
    context.close()


def test_the_state_words_follow_the_line_at_once(page: Page) -> None:
    """Long before the next round of twenty seconds, by which they would follow in any case."""
    shown(page, "document.body.dataset.line === 'reached'")
    page.context.set_offline(True)
    words = "document.getElementById('line-words').textContent"
    shown(page, f"{words}.includes('out of reach')", seconds=BEFORE_NEXT)
    page.context.set_offline(False)
    shown(page, f"{words}.includes('is in reach')", seconds=BEFORE_NEXT)
    assert page.get_attribute("#line-words", "role") == "status"


def test_a_new_version_of_the_pages_waits_for_what_is_half_typed(
    desk: Laptop, job: str, page: Page, monkeypatch: pytest.MonkeyPatch
) -> None:
    with_worker(page)
    desk.stop()
    thumb = Thumb(page)
    kept_words(page, thumb.shot(4, 2, 5))
    thumb.tap('[data-part="2"][data-value="3"]')  # half typed
    monkeypatch.setattr("overslab.faces.web.field.shell.version", lambda: "another")
    desk.start()
    page.evaluate("async () => (await navigator.serviceWorker.getRegistration('/field/')).update()")
    shown(
        page,
        "async () => Boolean((await navigator.serviceWorker.getRegistration('/field/')).waiting)",
    )
    assert len(page.evaluate("caches.keys()")) == 3, "both versions lie beside each other"
    thumb.tap("#keep")
    until(lambda: len(desk.readings(job)) == 2)
    address = page.url

    def opened_again() -> bool:
        # A browser that is driven from outside keeps the old worker awake while a page is open, so
        # the new one may have to wait until the page is opened once more.
        page.goto("about:blank")
        page.goto(address)
        page.wait_for_selector("body[data-ready]")
        return len(page.evaluate("caches.keys()")) == 2

    until(opened_again)
    assert "field-shell-another" in page.evaluate("caches.keys()")
    assert len(page.evaluate(KEPT)) == 2


def test_a_clock_that_is_off_changes_nothing_and_is_told(
    desk: Laptop, job: str, chromium: Browser
) -> None:
    context = phone(chromium)
    page = context.new_page()
    page.add_init_script("{ const now = Date.now; Date.now = () => now() + 26 * 3600000; }")
    page.goto(f"{desk.address}/field/{job}")
    page.wait_for_selector("body[data-ready]")
    thumb = Thumb(page)
    typed = [(thumb.shot(4, 2, n), said(4, 2, n)) for n in range(3)]
    until(lambda: desk.readings(job) == typed)
    shown(page, "document.getElementById('banner-words').textContent.includes('clock is off')")
    context.close()
