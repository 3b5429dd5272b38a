"""Pages a second against a bare page of the same framework; page times as jobs and phones grow;
how soon the page of shots can be typed on over a phone's slow line.

Server and asker are two processes on this machine, over loopback. Every job shows the same finished
walk, so that pages are measured and not the rooms. The bare page is one route of the same framework
on the same server that answers a few words. "Made anew" asks in a way that no kept page answers.
Both sides of each comparison are warm: every page was asked for once.
"""

from __future__ import annotations

import asyncio
import contextlib
import multiprocessing
import random
import secrets
import shutil
import statistics
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from multiprocessing.connection import Connection
from pathlib import Path

import uvicorn
from fastapi import FastAPI
from playwright.sync_api import BrowserContext, sync_playwright
from starlette.responses import HTMLResponse

from overslab.faces.web.app import create_app
from overslab.faces.web.listening import Impatient, bound
from overslab.faces.web.roles import Role
from overslab.faces.web.serve import spare_memory
from overslab.faces.web.site import Settings
from overslab.faces.web.walks import Seen
from overslab.job import read_job, sample_folder, walk
from overslab.job.records import Walk
from overslab.job.store import Store, editing
from overslab.job.store.carrying import texts_in

MANY_JOBS, MANY_PHONES = 10_000, 30
SAMPLE = "thin-patio"
TURNS, TURN = 5, 0.8  # how often both sides of a row are asked, and for how many seconds
LINES = 8  # kept open at once for pages a second
PAUSE = 2.0  # seconds a person looks at a page before asking for the next
LOOKING = 10.0  # seconds that the phones go on, each turn
VISITS = 5
# As a phone has it at the edge of a network; rounds of 150 ms, 1.6 Mbit/s down, 0.75 up.
SLOW_LINE = {
    "offline": False,
    "latency": 150,
    "downloadThroughput": 1_600_000 / 8,
    "uploadThroughput": 750_000 / 8,
}
LINE_WORDS, SLOWER = "150 ms, 1.6 Mbit/s", 4
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
GOAL_SHARE, GOAL_GROWTH = 1 / 3, 2.0


@dataclass(frozen=True, slots=True)
class Ready:
    """Stands for the walks: every job is worked out. Asks the store for its version, as they do."""

    store: Store
    walked: Walk

    def look(self, job_id: str) -> Seen:
        version = self.store.version(job_id)
        return Seen("fresh", version, self.walked, 1, (), (), "Worked out.", tag_of(version))

    glance = look

    async def wait(self, job_id: str, *, seconds: float = 0.0) -> Seen:
        del seconds
        return self.look(job_id)

    def close(self) -> None:
        """Nothing runs."""


def tag_of(version: int) -> str:
    return f"{version}-fresh-1-0"


def fill(store: Store, jobs: int) -> list[str]:
    """That many jobs of the sample's texts, each under a name of its own."""
    texts = texts_in(sample_folder(SAMPLE))
    plain = {name: getattr(texts, name) for name in ("job_toml", "shots_csv", "rates_toml")}
    made = [secrets.token_hex(16) for _ in range(jobs)]
    for begin in range(0, jobs, 500):
        with store.batch(allowed=None) as batch:
            for place, job in enumerate(made[begin : begin + 500], begin):
                body = {"name": f"Floor {place}", "texts": plain, "sample": False}
                event = store.made(job, "job-begun", body, who="bench", seq=1)
                editing.admit(batch, event)
    return made


async def bare_page() -> HTMLResponse:
    return HTMLResponse("<!doctype html><title>bare</title>bare")


def serve(answer: Connection, jobs: int) -> None:
    """The service over so many jobs; tells its port, ids of jobs, a token for each phone."""
    if jobs == 0:
        app = FastAPI()
        app.add_api_route("/", bare_page)
        run(app, answer, ([], []))
        return
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        with Store.open(f"sqlite:///{folder / 'bench.db'}", data=folder, backup=False) as store:
            ids = fill(store, jobs)
            settings = Settings(data=folder, requests_a_minute=10**9)
            app = create_app(store, settings=settings)
            site = app.state.site
            site.walks.close()
            site.walks = Ready(store, walk(read_job(sample_folder(SAMPLE))))
            tokens = [
                site.sessions.begin(Role.CREW, who=f"phone {n}", secure=False, agent="")[0]
                for n in range(MANY_PHONES)
            ]
            run(app, answer, (ids, tokens))


def run(app: FastAPI, answer: Connection, told: tuple[list[str], list[str]]) -> None:
    config = uvicorn.Config(
        app, http=Impatient, ws="none", lifespan="off", log_config=None, access_log=False
    )
    listener = bound("127.0.0.1", 0)
    listener.listen()
    spare_memory()
    answer.send((listener.getsockname()[1], *told))
    asyncio.run(uvicorn.Server(config).serve(sockets=[listener]))


@dataclass
class Line:
    """One kept line to the service."""

    port: int
    cookie: str
    reader: asyncio.StreamReader
    writer: asyncio.StreamWriter

    @classmethod
    async def open(cls, port: int, *, cookie: str = "") -> Line:
        return cls(port, cookie, *await asyncio.open_connection("127.0.0.1", port))

    async def ask(self, path: str, *, tag: str = "") -> tuple[int, int]:
        """Status and length of the answer."""
        heads = f"GET {path} HTTP/1.1\r\nHost: localhost:{self.port}\r\n"
        heads += f"Cookie: desk={self.cookie}\r\n" if self.cookie else ""
        heads += f'If-None-Match: "{tag}"\r\n' if tag else ""
        self.writer.write(f"{heads}\r\n".encode())
        head = (await self.reader.readuntil(b"\r\n\r\n")).decode("latin-1").lower()
        status = int(head[9:12])
        length = int(head.partition("content-length: ")[2].partition("\r\n")[0] or 0)
        if status != 304 and length:
            await self.reader.readexactly(length)
        return status, length

    def close(self) -> None:
        self.writer.close()


async def shares(
    port: int, paths: list[str], bare: int, *, cookie: str = "", tag: str = ""
) -> tuple[float, float]:
    """Answers a second over a few lines that never rest, and their share of the bare page's.

    Both are asked by turns, so that what else the machine does meanwhile weighs on both.
    """
    there = [await Line.open(port, cookie=cookie) for _ in range(LINES)]
    beside = [await Line.open(bare) for _ in range(LINES)]
    for path in paths:
        await there[0].ask(path)
    found, rates = [], []
    for _ in range(TURNS):
        plain = await _rate(beside, ["/"])
        rates.append(await _rate(there, paths, tag=tag))
        found.append(rates[-1] / plain)
    for line in (*there, *beside):
        line.close()
    return statistics.median(rates), statistics.median(found)


async def _rate(lines: list[Line], paths: list[str], *, tag: str = "") -> float:
    wanted = 304 if tag else 200
    begun = time.perf_counter()
    until = begun + TURN

    async def keep_asking(line: Line) -> int:
        times = 0
        while time.perf_counter() < until:
            status, _ = await line.ask(random.choice(paths), tag=tag)
            if status != wanted:
                raise RuntimeError(f"status {status} instead of {wanted} for one of {paths[:3]}")
            times += 1
        return times

    counts = await asyncio.gather(*(keep_asking(line) for line in lines))
    return sum(counts) / (time.perf_counter() - begun)


async def page_times(port: int, phones: dict[str, list[str]]) -> list[float]:
    """Seconds each page took while so many phones look at their pages and pause in between.

    Together they ask about as often as one phone alone does, so that what is compared is how many
    there are and not how busy they keep the laptop.
    """
    times: list[float] = []
    pause = PAUSE * len(phones) / MANY_PHONES

    async def look(line: Line, paths: list[str]) -> None:
        for path in paths:
            await line.ask(path)
        await asyncio.sleep(random.uniform(0, pause))
        end = time.perf_counter() + LOOKING
        while time.perf_counter() < end:
            begun = time.perf_counter()
            status, _ = await line.ask(random.choice(paths))
            assert status == 200
            times.append(time.perf_counter() - begun)
            await asyncio.sleep(random.uniform(0, 2 * pause))

    lines = [await Line.open(port, cookie=cookie) for cookie in phones]
    pairs = zip(lines, phones.values(), strict=True)
    await asyncio.gather(*(look(line, paths) for line, paths in pairs))
    for line in lines:
        line.close()
    return times


READY = """new MutationObserver((_, watch) => {
  if (!document.body?.dataset.ready) return;
  window.readyAt = performance.now();
  watch.disconnect();
}).observe(document, { subtree: true, childList: true, attributes: true });
addEventListener("load", () => { window.loadedAt = performance.now(); });"""


def soon(bare: int, port: int, job: str, cookie: str) -> None:
    """How long until the page of shots takes a tap, over a slow line and with a slow processor."""
    here = f"http://localhost:{port}"
    with sync_playwright() as play:
        opened = play.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])

        def timed(context: BrowserContext, address: str, mark: str) -> float:
            page = context.new_page()
            line = context.new_cdp_session(page)
            line.send("Network.enable")
            line.send("Network.emulateNetworkConditions", SLOW_LINE)
            line.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
            page.add_init_script(READY)
            page.goto(address)
            took = 0.0
            while not took:  # asked from here: our pages evaluate no text
                took = float(page.evaluate(f"() => window.{mark} || 0"))
                time.sleep(0.02)
            page.wait_for_load_state("networkidle")
            page.close()
            return took

        rows: dict[str, list[float]] = {"bare page": [], "first visit": [], "visit again": []}
        for _ in range(VISITS):
            context = opened.new_context(viewport={"width": 390, "height": 844})
            context.add_cookies([{"name": "desk", "value": cookie, "url": here}])
            rows["bare page"].append(timed(context, f"http://localhost:{bare}/", "loadedAt"))
            for name in ("first visit", "visit again"):
                rows[name].append(timed(context, f"{here}/field/{job}", "readyAt"))
            context.close()
        opened.close()
    print(
        f"\npage of shots until it takes a tap; line {LINE_WORDS}, processor {SLOWER} times slower"
    )
    plain = statistics.median(rows["bare page"])
    for name, times in rows.items():
        middle = statistics.median(times)
        print(f"{name:<44}{middle:>7.0f} ms{middle / plain:>9.2f}")


@contextlib.contextmanager
def service(jobs: int) -> Iterator[tuple[int, list[str], list[str]]]:
    """A bare page (no jobs) or the service over so many: its port, ids of jobs, tokens."""
    context = multiprocessing.get_context("spawn")
    ours, theirs = context.Pipe()
    process = context.Process(target=serve, args=(theirs, jobs), daemon=True)
    process.start()
    try:
        if not ours.poll(600):
            sys.exit("the service did not come up")
        yield ours.recv()
    finally:
        process.kill()
        process.join()


def rates(bare: int, port: int, ids: list[str], token: str, *, jobs: int) -> None:
    """One row each: pages a second and their share of the bare page."""
    shots = [f"/jobs/{job}/shots" for job in ids]
    floors = [f"/jobs/{job}/oldslab" for job in ids]
    rows: list[tuple[str, list[str], str, str]] = [
        ("list of jobs, office", ["/"], "", ""),
        ("page of shots, crew", shots, token, ""),
        ("page of the old floor, office", floors, "", ""),
        ("page to type shots on, crew", [f"/field/{job}" for job in ids], token, ""),
        ("state, unchanged", [f"/jobs/{ids[0]}/state"], "", tag_of(1)),
        ("list of jobs, made anew", ["/?anew"], "", ""),
        ("page of shots, made anew", [f"{path}?anew" for path in shots], token, ""),
    ]
    for name, paths, cookie, tag in rows:
        rate, share = asyncio.run(shares(port, paths, bare, cookie=cookie, tag=tag))
        told = f"{name}, {jobs} job{'s' if jobs > 1 else ''}"
        print(f"{told:<44}{rate:>10.0f}{share:>9.2f}", flush=True)


async def growth(
    few: tuple[int, dict[str, list[str]]], many: tuple[int, dict[str, list[str]]]
) -> tuple[list[float], list[float]]:
    """Page times of both, by turns."""
    found: tuple[list[float], list[float]] = ([], [])
    for _ in range(TURNS):
        for (port, phones), times in zip((few, many), found, strict=True):
            times += await page_times(port, phones)
    return found


def at_share(times: list[float], share: float) -> float:
    """The time that this share of them does not exceed."""
    return sorted(times)[min(len(times) - 1, int(share * len(times)))]


def main() -> None:
    with service(0) as (bare, _, _), service(1) as one, service(MANY_JOBS) as many:
        print(f"{'pages a second':<44}{'a second':>10}{'of bare':>9}")
        for jobs, (port, ids, tokens) in ((1, one), (MANY_JOBS, many)):
            rates(bare, port, ids[:MANY_PHONES], tokens[0], jobs=jobs)
        soon(bare, one[0], one[1][0], one[2][0])
        phones = [
            {
                token: ["/", f"/field/{job}", f"/jobs/{job}/shots", f"/jobs/{job}/oldslab"]
                for token, job in zip(tokens[:number], ids, strict=False)
            }
            for (_, ids, tokens), number in ((one, 1), (many, MANY_PHONES))
        ]
        few_s, many_s = asyncio.run(growth((one[0], phones[0]), (many[0], phones[1])))
    print(f"\npage times of {MANY_JOBS} jobs and {MANY_PHONES} phones against 1 and 1")
    for name, share in (("median", 0.5), ("19 in 20", 0.95), ("worst", 1.0)):
        before, after = (at_share(times, share) for times in (few_s, many_s))
        print(f"  {name:<9}{before * 1000:.1f} ms -> {after * 1000:.1f} ms: {after / before:.2f}")
    print(f"  of {len(few_s)} and {len(many_s)} pages")
    print(f"goals: at least {GOAL_SHARE:.2f} of the bare page; under {GOAL_GROWTH:g} times")


if __name__ == "__main__":
    main()
