"""The same tests on both databases: a file of its own, and a server of its own."""

from __future__ import annotations

import os
import secrets
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from places_for_stores import Place
from private_postgres import (
    SETTING,
    SKIP,
    PrivateServer,
    binaries,
    drop_database,
    make_database,
)

from overslab.job import sample_folder
from overslab.job.store import Store


@pytest.fixture(scope="session")
def server() -> Iterator[PrivateServer | None]:
    """A server of our own; None when another one is named, or none is installed."""
    here = binaries()
    if os.environ.get(SETTING) or here is None:
        yield None
        return
    private = PrivateServer(here)
    yield private
    private.remove()


@pytest.fixture
def new_url(server: PrivateServer | None, tmp_path: Path) -> Iterator[Callable[[str], str]]:
    """Gives the address of a database that nobody has used, by the kind that is wanted."""
    made: list[tuple[str, str]] = []

    def new(kind: str) -> str:
        name = f"overslab_{secrets.token_hex(6)}"
        if kind == "sqlite":
            return f"sqlite:///{tmp_path}/{name}/overslab.db"
        home = os.environ.get(SETTING) or (server.url("postgres") if server else None)
        if home is None:
            pytest.skip(SKIP)
        make_database(home, name)
        made.append((home, name))
        return server.url(name) if server else home.replace("/postgres", f"/{name}", 1)

    yield new
    for home, name in made:
        drop_database(home, name)


@pytest.fixture(params=["sqlite", "postgresql"])
def place(request: pytest.FixtureRequest, new_url: Callable[[str], str], tmp_path: Path) -> Place:
    """A place for a store, on each database in turn."""
    return Place(url=new_url(request.param), data=tmp_path / "data")


@pytest.fixture
def file_place(new_url: Callable[[str], str], tmp_path: Path) -> Place:
    """A place for what only a database in a file has."""
    return Place(url=new_url("sqlite"), data=tmp_path / "data")


@pytest.fixture
def store(place: Place) -> Iterator[Store]:
    with place.open() as opened:
        yield opened


@pytest.fixture
def job(store: Store) -> str:
    """The farm shop, brought in."""
    return store.import_folder(sample_folder("farm-shop"), who="office")


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of 8 MB with a file on it that can be taken away to make room again."""
    disk = tmp_path / "disk"
    disk.mkdir()
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=8m", "none", str(disk)],
        capture_output=True,
        check=False,
    )
    if mounted.returncode:
        pytest.skip("a small disk can only be made where mount is allowed")
    (disk / "ballast").write_bytes(bytes(3_000_000))
    yield disk
    subprocess.run(["umount", str(disk)], capture_output=True, check=True)
