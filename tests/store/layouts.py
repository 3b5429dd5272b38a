"""A change of layout killed again and again: the old layout or the new one, never between."""

from __future__ import annotations

import hashlib
import shutil
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from killing import Keeper
from made_events import shot
from sqlalchemy import inspect

from overslab.job import sample_folder
from overslab.job.store import Store
from overslab.job.store.backups import stamps, trouble_in
from overslab.job.store.engines import Engines

LATER = Path(__file__).parent / "later_layout"
OLD, NEW = "0001", "9001"


@dataclass
class Changes:
    """What a run came to."""

    kills: int = 0
    old: int = 0
    new: int = 0
    between: list[str] = field(default_factory=list)
    changed_data: int = 0
    bad_backups: int = 0


def filled(url: str, data: Path, *, events: int) -> str:
    """A store of the old layout with many rows; gives what they say."""
    with Store.open(url, data=data, backup=False) as store:
        job = store.import_folder(sample_folder("cannot-all"), who="office")
        batch = [shot(job, f"X{n}", seq=n) for n in range(1, events + 1)]
        store.keep(batch)
    return said(url)


def said(url: str) -> str:
    """The fingerprint of all events, in the columns that both layouts have."""
    engines = Engines(url, read_only=True)
    with engines.reading() as connection:
        rows = connection.exec_driver_sql(
            "SELECT job, arrival, id, device, seq, kind, body, made_at, who, received_at, content"
            " FROM events ORDER BY job, arrival"
        ).all()
    engines.close()
    return hashlib.sha256(repr([tuple(row) for row in rows]).encode()).hexdigest()


def layout(url: str) -> str:
    """0001, 9001, or in words what lies between."""
    engines = Engines(url, read_only=True)
    try:
        with engines.reading() as connection:
            version = connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalar()
            look = inspect(connection)
            tables = set(look.get_table_names())
            columns = {column["name"] for column in look.get_columns("events")}
            indexes = {index["name"] for index in look.get_indexes("events")}
            new = "weather" in tables, "length" in columns, "ix_events_length" in indexes
            left_over = {name for name in tables if "tmp" in name}
    finally:
        engines.close()
    expected = version == NEW
    if new == (expected,) * 3 and not left_over:
        return str(version)
    return f"{version} with {new} {left_over}"


def kill_changes(
    keeper: Keeper,
    *,
    url: str,
    data: Path,
    kills: int,
    again: Callable[[], None],
    chance: Callable[[], float],
) -> Changes:
    """Kill the change ``kills`` times; ``again`` puts the filled old store back in its place."""
    wanted = said(url)
    command = {"url": url, "data": str(data), "more": [str(LATER)], "backup": True, "once": True}
    began = time.perf_counter()
    keeper.start(**command)
    while "gone" not in keeper.next(60):
        pass
    whole_s = time.perf_counter() - began
    found = Changes()
    assert layout(url) == NEW, "left alone, the change goes through"
    for _ in range(kills):
        again()
        pid = keeper.start(**command)
        time.sleep(chance() * whole_s)
        keeper.kill(pid)
        found.kills += 1
        now = layout(url)
        found.old += now == OLD
        found.new += now == NEW
        if now not in (OLD, NEW):
            found.between.append(now)
        found.changed_data += said(url) != wanted
        found.bad_backups += sum(
            trouble_in(one.path) is not None for one in stamps(data / "backups")
        )
        shutil.rmtree(data / "backups", ignore_errors=True)
    return found
