"""A laptop with jobs whose walks are known beforehand, for the pages of the rooms."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import plan_site
from fastapi import FastAPI
from web_site import Browser, browser

from overslab.faces.web.app import create_app
from overslab.faces.web.site import Settings, Site
from overslab.faces.web.walks import Seen
from overslab.job import FolderTexts, Walk, read_job, sample_folder, walk
from overslab.job.store import Store

BAY = plan_site.TEXTS
WISHES = re.compile(r'kinds = \["plane"\]')
# The bay again, with two kinds of top and a price of every sort.
TWO_TOPS = replace(BAY, job_toml=WISHES.sub('kinds = ["plane", "strips"]', BAY.job_toml))


@cache
def sample_walk(name: str) -> Walk:
    """A sample job walked once for all tests, because it takes seconds."""
    return walk(read_job(sample_folder(name)))


class KnownWalks:
    """Stands for the walks: knows some of them, walks nothing."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self.known: dict[str, tuple[int, Walk]] = {}

    def look(self, job_id: str) -> Seen:
        stored = self._store.job(job_id)
        walked_at, walked = self.known.get(job_id, (None, None))
        if walked_at == stored.version:
            state = "fresh"
        elif stored.trouble:
            state = "faulty"
        else:
            state = "computing" if walked is None else "stale"
        return Seen(
            state=state,  # type: ignore[arg-type]
            version=stored.version,
            walk=walked,
            walk_version=walked_at,
            faults=stored.trouble if state == "faulty" else (),
            worked=(),
            says=f"The state is {state}.",
            tag=f"{stored.version}-{state}",
        )

    def glance(self, job_id: str) -> Seen | None:
        seen = self.look(job_id)
        return seen if seen.settled else None

    def forget(self, job_id: str) -> None:
        self.known.pop(job_id, None)

    async def wait(self, job_id: str, *, seconds: float = 0.0) -> Seen:
        assert seconds >= 0
        return self.look(job_id)

    def close(self) -> None:
        return None


def rooms_app(store: Store, data: Path, *, really_walk: bool = False) -> FastAPI:
    """The site with the pages of the rooms; the walks are known, or really worked out."""
    settings = Settings(data=data, requests_a_minute=10**6, tries_a_minute=10**6)
    app = create_app(store, settings=settings, groups=("rooms", "field"))
    site: Site = app.state.site
    if not really_walk:
        site.walks.close()
        site.walks = KnownWalks(store)  # type: ignore[assignment]
    return app


def known_job(app: FastAPI, name: str, texts: FolderTexts, walked: Walk | None) -> str:
    """A job with its walk, as if it had been worked out."""
    site: Site = app.state.site
    job = site.store.begin(name, who="office", texts=texts)
    if walked is not None:
        knows: Any = site.walks
        knows.known[job] = (site.store.version(job), walked)
    return job


@contextmanager
def office(app: FastAPI) -> Iterator[Browser]:
    """The owner at the laptop itself."""
    made = browser(app)
    with made.client:
        yield made


def based_on(page: str) -> str:
    """The version that a form of a page goes onto."""
    found = re.search(r'name="based_on" value="(\d+)"', page)
    assert found is not None
    return found[1]


def field_part(page: str, key: str) -> str:
    """The part of a page that holds one field of a form, with all that stands beside it."""
    start = page.index(f'id="f-{key}"')
    start = page.rindex('<div class="field', 0, start)
    depth = 0
    for met in re.finditer(r"<(/?)div\b", page[start:]):
        depth += -1 if met[1] else 1
        if depth == 0:
            return page[start : start + met.end()]
    raise AssertionError(f"the field {key} is not closed")
