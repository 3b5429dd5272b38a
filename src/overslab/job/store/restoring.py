"""A backup brought back: the database that is there is set aside, never thrown away.

A kill at any moment leaves a mark, and a store with that mark is not opened until the same backup
was brought back whole.
"""

from __future__ import annotations

import datetime
import json
import sqlite3
from contextlib import closing
from pathlib import Path

from sqlalchemy import Connection, MetaData, create_engine, insert, inspect, select, text

from overslab.ground.faults import Faulty
from overslab.job.store import backups, faults
from overslab.job.store.engines import Engines, WriterLock, disk_said, parsed, read_connection
from overslab.job.store.photos import Photos, sync_file, sync_folder, write_safely
from overslab.job.store.schema import Schema
from overslab.job.store.tables import metadata

_PARTS = ("-wal", "-shm", "-journal")


def refuse_half(path: Path) -> None:
    """``Faulty`` when bringing back was begun here and not finished."""
    mark = _mark(path)
    if mark.exists():
        told = _read_mark(mark)
        raise Faulty(faults.RESTORE_HALF.met(value=path, backup=told.get("backup", "any good one")))


def restore(backup: Path, *, url: str, data: Path) -> Path | None:
    """Put a backup in the place of the database; gives where the old one lies now, if any.

    ``Faulty`` when the backup is not good or somebody has the store open; then nothing was changed.
    """
    backup = Path(backup)
    wrong = backups.trouble_in(backup)
    if wrong is not None:
        raise Faulty(faults.BACKUP_BAD.met(value=backup, why=wrong))
    _known_layout(backup)
    address = parsed(url)
    try:
        if address.get_backend_name() == "sqlite":
            aside = _into_file(backup, Path(address.database or ""))
        else:
            aside = _into_server(backup, url, data=Path(data))
        pictures = Photos(backup.parent / "photos").all()
        backups.copy_photos(pictures, Path(data) / "photos")
    except OSError as trouble:
        raise disk_said(trouble) from trouble
    return aside


def _known_layout(backup: Path) -> str:
    """The layout of a backup; ``Faulty`` when a newer program made it."""
    with closing(read_connection(backup)) as connection:
        row = connection.execute("SELECT version_num FROM alembic_version").fetchone()
    has = str(row[0]) if row else "none"
    known = Schema().known
    if has not in known:
        raise Faulty(faults.STORE_NEWER.met(value=has, known=known[-1], has=has))
    return has


def _mark(path: Path) -> Path:
    return path.with_name(f"{path.name}.restoring")


def _read_mark(mark: Path) -> dict[str, str]:
    try:
        told = json.loads(mark.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return told if isinstance(told, dict) else {}


def _into_file(backup: Path, path: Path) -> Path | None:
    path.parent.mkdir(parents=True, exist_ok=True)
    lock = WriterLock(path.with_name(f"{path.name}.lock"))
    try:
        fresh = path.with_name(f".{path.name}.fresh")
        fresh.unlink(missing_ok=True)
        with closing(read_connection(backup)) as source, closing(sqlite3.connect(fresh)) as copy:
            source.backup(copy)
        sync_file(fresh)
        mark = _mark(path)
        stamp = datetime.datetime.now(datetime.UTC).strftime("%Y%m%dT%H%M%SZ")
        told = {"backup": str(backup.resolve()), "aside": f"{path.name}.set-aside-{stamp}"}
        told |= _read_mark(mark)  # an earlier attempt has set aside under its own name
        told["backup"] = str(backup.resolve())
        write_safely(mark, json.dumps(told).encode())
        aside = path.with_name(Path(told["aside"]).name)
        _set_aside(path, aside)
        fresh.replace(path)
        sync_folder(path.parent)
        mark.unlink()
        sync_folder(path.parent)
    finally:
        lock.release()
    return aside if aside.exists() else None


def _set_aside(path: Path, aside: Path) -> None:
    """Move the database with its log. The log goes first: without it the file is only old, but a
    log beside a file that is not its own would be read into it."""
    if aside.exists():  # an earlier attempt came further; what is here now is no person's work
        path.unlink(missing_ok=True)
    for part in _PARTS:
        beside = path.with_name(path.name + part)
        if beside.exists():
            beside.replace(aside.with_name(aside.name + part))
    if path.exists():
        path.replace(aside)
    sync_folder(path.parent)


def _into_server(backup: Path, url: str, *, data: Path) -> Path | None:
    engines = Engines(url)
    source = create_engine("sqlite+pysqlite://", creator=lambda: read_connection(backup))
    aside = None
    try:
        with engines.reading() as connection:
            Schema().of(connection)  # a newer program's tables are not taken apart by this one
            occupied = bool(set(inspect(connection).get_table_names()) & set(metadata.tables))
        if occupied:
            photos = Photos(data / "photos")
            folder = data / "backups"
            aside = backups.make(engines, photos, folder=folder, why="before-restore")
        with engines.writing() as connection, source.connect() as old:
            _drop(connection)
            Schema().bring(connection, to=_known_layout(backup))
            _fill(old, connection)
    finally:
        source.dispose()
        engines.close()
    return aside


def _drop(connection: Connection) -> None:
    there = MetaData()
    names = {*metadata.tables, "alembic_version"} & set(inspect(connection).get_table_names())
    there.reflect(connection, only=sorted(names))
    there.drop_all(connection)


def _fill(old: Connection, connection: Connection) -> None:
    layout = MetaData()
    layout.reflect(connection, only=[*metadata.tables])
    for table in layout.sorted_tables:
        rows = old.execution_options(yield_per=2_000).execute(select(table))
        for part in rows.mappings().partitions():
            connection.execute(insert(table), [dict(row) for row in part])
    connection.execute(text("SET CONSTRAINTS ALL IMMEDIATE"))
