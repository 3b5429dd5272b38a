"""How the store is opened: looked at first, backed up, brought to the layout of this program."""

from __future__ import annotations

import contextlib
import secrets
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Connection, func, insert, select, text
from sqlalchemy.exc import DBAPIError

from overslab.ground.faults import Fault, Faulty
from overslab.job.store import backups, faults, places, restoring, tables
from overslab.job.store.engines import Engines, WriterLock, parsed
from overslab.job.store.photos import Photos
from overslab.job.store.schema import Schema, has_tables

OFFICE, MADE = "office-device", "made-at"


@dataclass(slots=True)
class Opened:
    """A store ready for work; ``read_only`` says why nothing can be kept, or is empty."""

    engines: Engines
    photos: Photos
    backups: Path
    lock: WriterLock | None
    office: str
    read_only: str
    backup_fault: str


def open_store(
    url: str, *, data: Path, read_only: bool, backup: bool, schema: Schema, now: str
) -> Opened:
    """Everything that is done before the first entry can be kept; see ``Store.open``."""
    address = parsed(url)
    path = Path(address.database or "") if address.get_backend_name() == "sqlite" else None
    folder = backups_folder(data)
    for place in {data, *([path.parent] if path else [])}:
        why = places.unfit(place)
        if why is not None:
            raise Faulty(faults.STORE_SYNCED.met(value=place, why=why))
    lock = None
    if path is not None:
        restoring.refuse_half(path)
        if not path.exists() or path.stat().st_size == 0:
            newest = backups.newest_good(folder)
            if newest is not None or read_only:
                raise Faulty(faults.STORE_MISSING.met(value=path, backup=newest or "none"))
        if not read_only:
            path.parent.mkdir(parents=True, exist_ok=True)
            lock = WriterLock(path.with_name(f"{path.name}.lock"))
    data.mkdir(parents=True, exist_ok=True)
    why_read_only = "it was opened for looking only." if read_only else ""
    engines = Engines(url, read_only=read_only)
    photos = Photos(data / "photos")
    backup_fault = ""
    try:
        damage = None if read_only else _damage(engines, folder)
        if damage is not None:
            engines.close()
            engines = Engines(url, read_only=True)
            why_read_only = f"{damage.what} {damage.remedy}"
            if not _readable(engines, schema):
                raise Faulty(damage)
        if not why_read_only:
            _lay_tables(engines, photos, folder, schema=schema)
            with engines.writing() as connection:
                _own(connection, now=now)
            if backup:
                backup_fault = _backup_at_start(engines, photos, folder)
        with engines.reading() as connection:
            schema.of(connection)
            office = connection.execute(
                select(tables.own.c.value).where(tables.own.c.name == OFFICE)
            ).scalar_one()
    except BaseException:
        engines.close()
        if lock is not None:
            lock.release()
        raise
    return Opened(engines, photos, folder, lock, office, why_read_only, backup_fault)


def backups_folder(data: Path) -> Path:
    return Path(data) / "backups"


def _damage(engines: Engines, folder: Path) -> Fault | None:
    """What SQLite's own check finds; a server looks after its own files."""
    if not engines.sqlite:
        return None
    try:
        with engines.writing() as connection:
            told = [str(row[0]) for row in connection.execute(text("PRAGMA quick_check(3)"))]
        why = "" if told == ["ok"] else "; ".join(told)[:300]
    except Faulty as trouble:
        cause = trouble.__cause__
        broken = {"SQLITE_CORRUPT", "SQLITE_NOTADB"}
        name = str(getattr(getattr(cause, "orig", None), "sqlite_errorname", ""))
        if not any(name.startswith(one) for one in broken):
            raise
        why = name
    if not why:
        return None
    best = backups.newest_good(folder)
    return faults.STORE_DAMAGED.met(
        value=engines.path.name if engines.path else "", why=why, backup=best or "none was found"
    )


def _readable(engines: Engines, schema: Schema) -> bool:
    with contextlib.suppress(Faulty, DBAPIError), engines.reading() as connection:
        connection.execute(select(func.count()).select_from(tables.jobs)).scalar_one()
        return schema.of(connection) == schema.newest
    return False


def _lay_tables(engines: Engines, photos: Photos, folder: Path, *, schema: Schema) -> None:
    with engines.reading() as connection:
        has = schema.of(connection)
        occupied = has_tables(connection)
    if has == schema.newest:
        return
    if has is None and occupied:
        raise Faulty(faults.STORE_FOREIGN.met(value=engines.url.render_as_string()))
    if has is not None:
        # Before, and not only if it goes wrong: an older program can be brought back with it.
        backups.make(engines, photos, folder=folder, why=f"before-{schema.newest}")
    with engines.relaying() as connection:
        schema.bring(connection)


def _own(connection: Connection, *, now: str) -> None:
    there = connection.execute(select(tables.own.c.name)).scalars().all()
    if OFFICE not in there:
        mine = [{"name": OFFICE, "value": secrets.token_hex(16)}, {"name": MADE, "value": now}]
        connection.execute(insert(tables.own), mine)


def _backup_at_start(engines: Engines, photos: Photos, folder: Path) -> str:
    """Back up what has come since the newest backup; gives what went wrong, or nothing.

    A start does not fail for want of a backup: the page of the store says so instead.
    """
    try:
        with engines.reading() as connection:
            rows = backups.counts(connection)
        if not rows["events"] and not rows["tray"]:
            return ""
        newest = next(iter(backups.stamps(folder)), None)
        if newest is not None and backups.trouble_in(newest.path) is None:
            kept = backups.table_rows(newest.path)
            if all(kept.get(name) == rows[name] for name in ("events", "tray", "jobs")):
                return ""
        backups.make(engines, photos, folder=folder, why="start")
        backups.prune(folder)
    except Faulty as trouble:
        return trouble.faults[0].what
    return ""
