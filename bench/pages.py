"""Pages a second against a bare page of the same framework, and page times as jobs and phones grow.

Server and asker are two processes on this machine, over loopback. Every job shows the same finished
walk, so that pages are measured and not the rooms. The bare page is one route of the same framework
on the same server that answers a few words.
"""

from __future__ import annotations

import asyncio
import multiprocessing
import random
import secrets
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
from starlette.responses import HTMLResponse

from overslab.faces.web.app import create_app
from overslab.faces.web.listening import Impatient, bound
from overslab.faces.web.roles import Role
from overslab.faces.web.site import Settings
from overslab.faces.web.walks import Seen
from overslab.job import read_job, sample_folder, walk
from overslab.job.records import Walk
from overslab.job.store import Store, editing
from overslab.job.store.carrying import texts_in

MANY_JOBS, MANY_PHONES = 10_000, 30
SAMPLE = "thin-patio"
SECONDS = 4.0  # of asking, for each row
LINES = 8  # kept open at once for pages a second
PAUSE = 2.0  # seconds a person looks at a page before asking for the next
GOAL_SHARE, GOAL_GROWTH = 1 / 3, 2.0


@dataclass(frozen=True, slots=True)
class Ready:
    """Stands for the walks: every job is worked out."""

    walked: Walk

    def look(self, job_id: str) -> Seen:
        return Seen("fresh", 1, self.walked, 1, (), (), "Worked out.", f"1-{job_id[:4]}")

    async def wait(self, job_id: str, *, seconds: float = 0.0) -> Seen:
        del seconds
        return self.look(job_id)

    def close(self) -> None:
        """Nothing runs."""


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
    """The service over so many jobs; tells its port, a job's ids, and the crew's token."""
    if jobs == 0:
        app = FastAPI()
        app.add_api_route("/", bare_page)
        run(app, answer, ([], ""))
        return
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        with Store.open(f"sqlite:///{folder / 'bench.db'}", data=folder, backup=False) as store:
            ids = fill(store, jobs)
            settings = Settings(data=folder, requests_a_minute=10**9)
            app = create_app(store, settings=settings)
            site = app.state.site
            site.walks.close()
            site.walks = Ready(walk(read_job(sample_folder(SAMPLE))))
            token, _ = site.sessions.begin(Role.CREW, who="phone", secure=False, agent="")
            run(app, answer, (ids, token))


def run(app: FastAPI, answer: Connection, told: tuple[list[str], str]) -> None:
    config = uvicorn.Config(
        app, http=Impatient, ws="none", lifespan="off", log_config=None, access_log=False
    )
    listener = bound("127.0.0.1", 0)
    listener.listen()
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


async def pages_a_second(port: int, paths: list[str], *, cookie: str = "", tag: str = "") -> float:
    """How many answers come in a second over a few lines that never rest."""
    lines = [await Line.open(port, cookie=cookie) for _ in range(LINES)]
    wanted = 304 if tag else 200

    async def keep_asking(line: Line, until: float) -> int:
        times = 0
        while time.perf_counter() < until:
            status, _ = await line.ask(random.choice(paths), tag=tag)
            if status != wanted:
                raise RuntimeError(f"status {status} instead of {wanted} for one of {paths[:3]}")
            times += 1
        return times

    for until in (time.perf_counter() + SECONDS / 4, time.perf_counter() + SECONDS * 5 / 4):
        begun = time.perf_counter()
        counts = await asyncio.gather(*(keep_asking(line, until) for line in lines))
        rate = sum(counts) / (time.perf_counter() - begun)
    for line in lines:
        line.close()
    return rate


async def page_times(port: int, paths: list[str], phones: int, cookie: str) -> list[float]:
    """Seconds each page took while so many people look at pages and pause in between."""
    times: list[float] = []

    async def look(line: Line) -> None:
        await asyncio.sleep(random.uniform(0, PAUSE))
        end = time.perf_counter() + SECONDS * 3
        while time.perf_counter() < end:
            begun = time.perf_counter()
            status, _ = await line.ask(random.choice(paths))
            assert status == 200
            times.append(time.perf_counter() - begun)
            await asyncio.sleep(random.uniform(0, 2 * PAUSE / max(1, 30 // phones)))

    lines = [await Line.open(port, cookie=cookie) for _ in range(phones)]
    await asyncio.gather(*(look(line) for line in lines))
    for line in lines:
        line.close()
    return times


def services() -> Iterator[tuple[int, int, list[str], str]]:
    """A bare page, one job, many jobs: the jobs, port, ids and token of each, one at a time."""
    context = multiprocessing.get_context("spawn")
    for jobs in (0, 1, MANY_JOBS):
        ours, theirs = context.Pipe()
        process = context.Process(target=serve, args=(theirs, jobs), daemon=True)
        process.start()
        try:
            if not ours.poll(600):
                sys.exit("the service did not come up")
            yield (jobs, *ours.recv())
        finally:
            process.kill()
            process.join()


def main() -> None:
    bare, grown = 0.0, {}
    print(f"{'pages a second':<44}{'a second':>10}{'of bare':>9}")
    for jobs, port, ids, token in services():
        if not jobs:
            bare = asyncio.run(pages_a_second(port, ["/"]))
            print(f"{'bare page of the framework':<44}{bare:>10.0f}{1:>9.2f}")
            continue
        rooms = [f"/jobs/{job}/{room}" for job in ids[:200] for room in ("shots", "oldslab")]
        rows: list[tuple[str, list[str], str, str]] = [
            ("list of jobs, office", ["/"], "", ""),
            ("page of shots, crew", [path for path in rooms if path.endswith("shots")], token, ""),
            ("page of the old floor, office", [p for p in rooms if p.endswith("oldslab")], "", ""),
            ("state, unchanged", [f"/jobs/{ids[0]}/state"], "", f"1-{ids[0][:4]}"),
        ]
        for name, paths, cookie, tag in rows:
            rate = asyncio.run(pages_a_second(port, paths, cookie=cookie, tag=tag))
            told = f"{name}, {jobs} job{'s' if jobs > 1 else ''}"
            print(f"{told:<44}{rate:>10.0f}{rate / bare:>9.2f}", flush=True)
        phones = 1 if jobs == 1 else MANY_PHONES
        seen = asyncio.run(page_times(port, ["/", *rooms], phones, token))
        grown[jobs] = (statistics.median(seen), max(seen), len(seen))
    few, many = grown[1], grown[MANY_JOBS]
    print(f"\npage times of {MANY_JOBS} jobs and {MANY_PHONES} phones against 1 and 1")
    print(
        f"  median {few[0] * 1000:.1f} ms -> {many[0] * 1000:.1f} ms: {many[0] / few[0]:.2f} times"
    )
    print(
        f"  worst  {few[1] * 1000:.1f} ms -> {many[1] * 1000:.1f} ms: {many[1] / few[1]:.2f} times"
    )
    print(f"  of {few[2]} and {many[2]} pages")
    print(f"goals: at least {GOAL_SHARE:.2f} of the bare page; under {GOAL_GROWTH:g} times")


if __name__ == "__main__":
    main()
