"""Looking after the store: is the summary what the events say, is the file sound, what arrived."""

from __future__ import annotations

import datetime
import sqlite3
from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from sqlalchemy import Connection, delete, select, text

from overslab.ground.faults import Faulty
from overslab.job.store import faults, rows, tables
from overslab.job.store.engines import RACE_FREE, Engines
from overslab.job.store.fold import Fold, told
from overslab.job.store.records import DeviceLine, KeptEvent


def differs(connection: Connection, job: str) -> bool:
    """Whether the summary of a job is not what telling its events over gives."""
    fold = told(job, rows.events_of(connection, job))
    t = tables.jobs
    stored = dict(connection.execute(select(t).where(t.c.id == job)).mappings().one())
    if stored != rows.summary_row(fold, in_tray=stored["in_tray"]):
        return True
    if stored["in_tray"] != rows.in_tray(connection, job):
        return True
    u = tables.things
    question = select(u).where(u.c.job == job).order_by(u.c.place)
    things = [dict(row) for row in connection.execute(question).mappings()]
    return things != rows.thing_rows(fold)


def rebuild(connection: Connection, job: str) -> None:
    """The summary of a job written anew from its events; ``Faulty`` when there is no such job."""
    events = rows.events_of(connection, job)
    if not events:
        raise Faulty(faults.JOB_UNKNOWN.met(value=job[:40]))
    fold: Fold = replace(told(job, events), rewritten=True)
    rows.put_summary(connection, fold, new=False)


def whole_check(engines: Engines) -> str:
    """SQLite's long check; gives what it found, or nothing."""
    if not engines.sqlite:
        return ""
    with engines.reading() as connection:
        found = [str(row[0]) for row in connection.execute(text("PRAGMA integrity_check(5)"))]
    return "" if found == ["ok"] else f"The weekly check found: {'; '.join(found)[:300]}"


def devices_of(events: Iterable[KeptEvent]) -> tuple[DeviceLine, ...]:
    """For every device what has arrived and what is missing in between."""
    by_device: dict[str, list[KeptEvent]] = {}
    for one in events:
        by_device.setdefault(one.event.device, []).append(one)
    lines = []
    for device, kept in by_device.items():
        numbers = {one.event.seq for one in kept}
        last = max(numbers)
        missing = [n for n in range(1, min(last, 100_000)) if n not in numbers][:100]
        latest = max(kept, key=lambda one: one.arrival)
        lines.append(
            DeviceLine(
                device=device,
                who=latest.event.who,
                arrived=len(numbers),
                last_seq=last,
                missing=tuple(missing),
                skew_s=_skew_s(latest),
            )
        )
    return tuple(lines)


def _skew_s(kept: KeptEvent) -> float | None:
    try:
        typed = kept.event.made_at.upper().replace(" ", "T", 1).replace(" ", "")
        made = datetime.datetime.fromisoformat(typed)
        received = datetime.datetime.fromisoformat(kept.received_at)
    except ValueError:
        return None
    return (made - received).total_seconds() if made.tzinfo else None


def sqlite_words(connection: Connection) -> dict[str, Any]:
    """How SQLite is run here, and why so."""
    race_free = sqlite3.sqlite_version_info >= RACE_FREE
    known = ".".join(str(part) for part in RACE_FREE)
    why = f"SQLite here is {sqlite3.sqlite_version}; " + (
        f"from {known} on it has no race in writing back"
        if race_free
        else f"before {known} two connections that write back could damage the database"
    )
    journal = str(connection.execute(text("PRAGMA journal_mode")).scalar_one())
    levels = {0: "off", 1: "normal", 2: "full", 3: "extra"}
    level = int(connection.execute(text("PRAGMA synchronous")).scalar_one())
    return {
        "engine": "sqlite",
        "engine_version": sqlite3.sqlite_version,
        "journal": journal,
        "checkpoints": (
            "One connection writes and writes the log back; all others only read and never write "
            f"back. {why}."
            if journal == "wal"
            else "There is no log to write back: this disk takes the older journal only."
        ),
        "synchronous": levels.get(level, str(level)),
        "notes": () if journal == "wal" else ("Readers wait while an entry is written.",),
    }


def server_words(connection: Connection) -> dict[str, Any]:
    """How the PostgreSQL server is run, and what of it would lose an answered entry."""
    asked = ("server_version", "fsync", "full_page_writes", "synchronous_commit", "data_checksums")
    setting = text("SELECT current_setting(:name)")
    said = {name: str(connection.execute(setting, {"name": name}).scalar()) for name in asked}
    notes = [
        f"{name} is off on the server: an answered entry can be lost when its power goes."
        for name in ("fsync", "full_page_writes")
        if said[name] != "on"
    ]
    if said["data_checksums"] != "on":
        notes.append("The server does not check its pages: a damaged disk is noticed late.")
    return {
        "engine": "postgresql",
        "engine_version": said["server_version"],
        "journal": "write-ahead log of the server",
        "checkpoints": "The server writes its log back itself.",
        "synchronous": said["synchronous_commit"],
        "notes": tuple(notes),
    }


def take_out(connection: Connection, job: str) -> None:
    """Take everything of a job out; for samples only."""
    for table in (tables.things, tables.events, tables.tray):
        connection.execute(delete(table).where(table.c.job == job))
    connection.execute(delete(tables.jobs).where(tables.jobs.c.id == job))
