"""A store, a site over it, and a clock that can be turned."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi import FastAPI
from web_site import TEXTS, Clock, open_door

from overslab.faces.web.app import create_app
from overslab.faces.web.site import Settings
from overslab.job.store import Store


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(f"sqlite:///{tmp_path / 'overslab.db'}", data=tmp_path, backup=False) as made:
        yield made


@pytest.fixture
def job(store: Store) -> str:
    return store.begin("Small bay", who="office", texts=TEXTS)


@pytest.fixture
def app(store: Store, tmp_path: Path, clock: Clock) -> Iterator[FastAPI]:
    """The site with its door open at 192.168.7.2; nothing really listens."""
    made = create_app(store, settings=Settings(data=tmp_path, now=clock))
    with pytest.MonkeyPatch.context() as patch:
        open_door(made, patch)
        yield made
    made.state.site.walks.close()
    made.state.site.doors.close()
