"""An invented bay with everything that a plan can show, walked once; a laptop that serves it."""

from __future__ import annotations

import contextlib
import shutil
import threading
import time
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

import pytest
import uvicorn
from fastapi import FastAPI
from playwright.sync_api import Browser, Page, sync_playwright

from overslab.faces.web.app import create_app
from overslab.faces.web.site import Settings, Site
from overslab.faces.web.walks import Seen
from overslab.job import FolderTexts, Walk, read_texts, walk
from overslab.job.store import Store

CHROMIUM = next(
    (found for name in ("chromium", "chromium-browser") if (found := shutil.which(name))), ""
)
NO_BROWSER = "no Chromium here: apt-get install -y chromium runs these"
PRICES = ("7919.13", "6113.57", "5471.29", "1847.91", "3307.83")

JOB = f"""\
# An invented bay of no real place.
[job]
name = "Small bay"
place = "Nowhere"
date = 2026-01-05
units = "feet-inches"
mark = "1/16 in"
made_up = true

[survey]
rod = "feet-inches"
resolution = "1/16 in"

[[survey.benchmark]]
name = "BM1"
height = "100 ft"
where = "Nail in the west post"

[floor]
# measured twice
outline = [["0 ft", "0 ft"], ["20 ft", "0 ft"], ["20 ft", "10 ft"], ["0 ft", "10 ft"]]

[taped_grid]
origin = ["1 ft", "1 ft"]
letter_spacing = "3 ft"
number_spacing = "4 ft"

[[break]]
name = "crack K"
kind = "crack"
line = [["12 ft", "0 ft"], ["11 ft", "10 ft"]]

[[hollow]]
name = "drum <b>spot</b>"
corners = [["3 ft", "6 ft"], ["5 ft", "6 ft"], ["5 ft", "8 ft"], ["3 ft", "8 ft"]]
found_by = "hammer"

[[door]]
name = "front door"
ends = [["5 ft", "0 ft"], ["15 ft", "0 ft"]]
sill = "shot S1"
may_rise = "1/4 in"
may_drop = "1/2 in"
move_cost = "${PRICES[4]}"
move_up = "2 in"
lets_water_out_today = true

[[door]]
name = "back door"
edge = 3
offset = "2 ft"
width = "3 ft"
sill = "99 ft 11 in"
may_rise = "4 in"
may_drop = "4 in"
lets_water_out_today = false

[wishes]
water_to = ["front door"]
least_thickness = "2 in"
least_fall = "1/8 in/ft"
greatest_fall = "1/2 in/ft"
straightedge = "12 ft"
set_to = "1/8 in"
kinds = ["plane"]
"""
_DROPS = (  # sixteenths of an inch below the benchmark's reading, letter by letter, 1 to 3
    (64, 68, 70), (70, 76, 74), (74, 84, 78), (70, 76, 76),
    (52, 54, 56), (50, 51, 55), (48, 50, 52),
)  # fmt: skip


def _shots() -> str:
    lines = [
        "point,x,y,setup,reading,kind,note",
        "BM1,,,1,4' 0\",benchmark,",
        "S1,10 ft,0 ft,1,4' 0\",sill,",
    ]
    for letter, drops in zip("ABCDEFG", _DROPS, strict=True):
        for number, drop in enumerate(drops, 1):
            inches, rest = divmod(drop, 16)
            lines.append(f"{letter}{number},,,1,4' {inches} {rest}/16\",floor,")
    return "\n".join(lines) + "\n"


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
TEXTS = FolderTexts(job_toml=JOB, shots_csv=_shots(), rates_toml=RATES)


@lru_cache(maxsize=1)
def bay() -> Walk:
    """The walk of the bay; done once, because it takes seconds."""
    return walk(read_texts(TEXTS))


class OneWalk:
    """Stands for the walks: knows the one walk, stale when the job was changed since."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self.walk: Walk | None = bay()

    def look(self, job_id: str) -> Seen:
        version = self._store.version(job_id)
        fresh = version == 1
        return Seen(
            state="faulty" if self.walk is None else "fresh" if fresh else "stale",
            version=version,
            walk=self.walk,
            walk_version=None if self.walk is None else 1,
            faults=self._store.job(job_id).trouble,
            worked=(),
            says="as it is",
            tag=f"{version}",
        )

    def glance(self, job_id: str) -> Seen | None:
        seen = self.look(job_id)
        return seen if seen.settled else None

    async def wait(self, job_id: str, *, seconds: float = 0.0) -> Seen:
        assert seconds >= 0
        return self.look(job_id)

    def close(self) -> None:
        return None


def plan_app(store: Store, data: Path, **more: object) -> FastAPI:
    """The site with the pages of the plan alone."""
    settings = Settings(data=data, requests_a_minute=100_000, **more)  # type: ignore[arg-type]
    app = create_app(store, settings=settings, groups=("plan",))
    site: Site = app.state.site
    site.walks.close()
    site.walks = OneWalk(store)  # type: ignore[assignment]
    return app


@contextlib.contextmanager
def listening(app: FastAPI) -> Iterator[str]:
    """The site on a port of its own; gives its address."""
    config = uvicorn.Config(
        app, host="127.0.0.1", port=0, log_config=None, lifespan="off", ws="none"
    )
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    end = time.monotonic() + 60
    while not server.started:
        assert time.monotonic() < end
        time.sleep(0.01)
    yield f"http://localhost:{server.servers[0].sockets[0].getsockname()[1]}"
    server.should_exit = True
    thread.join(timeout=60)


@contextlib.contextmanager
def browser() -> Iterator[Browser]:
    """Debian's Chromium; the test is skipped where there is none."""
    if not CHROMIUM:
        pytest.skip(NO_BROWSER)
    with sync_playwright() as play:
        opened = play.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield opened
        opened.close()


def open_page(page: Page, address: str) -> None:
    """Opens a page and waits until its script stands ready."""
    page.set_default_timeout(60_000)
    page.goto(address)
    page.wait_for_selector("html[data-plan=ready]")
