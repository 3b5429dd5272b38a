"""Backups: each is one SQLite file, whatever the database, with the pictures beside it."""

from __future__ import annotations

import datetime
import os
import re
import shutil
import sqlite3
from collections.abc import Container, Iterable, Sequence
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Connection, MetaData, Table, create_engine, func, insert, inspect, select

from overslab.ground.faults import Faulty
from overslab.job.store import faults
from overslab.job.store.engines import Engines, disk_said, read_connection, sqlite_said
from overslab.job.store.photos import Photos, sync_file, sync_folder
from overslab.job.store.tables import ALL, metadata

DAILY, WEEKLY, BEFORE, LATEST = 7, 8, 3, 5
_NAME = re.compile(r"overslab-(\d{8}T\d{6}Z)(?:-\d+)?-([a-z0-9-]+)\.db")
_PAGES_OF_ROWS = 2_000


@dataclass(frozen=True, slots=True)
class Stamp:
    """A backup by its name: when and why it was made."""

    path: Path
    at: datetime.datetime
    why: str


def stamp_of(path: Path) -> Stamp | None:
    named = _NAME.fullmatch(path.name)
    if named is None:
        return None
    at = datetime.datetime.strptime(named[1] + "+0000", "%Y%m%dT%H%M%SZ%z")
    return Stamp(path, at, named[2])


def stamps(folder: Path) -> list[Stamp]:
    """Backups in a folder, newest first."""
    found = [stamp for path in folder.glob("overslab-*.db") if (stamp := stamp_of(path))]
    return sorted(found, key=lambda stamp: (stamp.at, stamp.path.name), reverse=True)


def to_keep(found: Sequence[Stamp]) -> set[Path]:
    """The newest of each of the last 7 days and of the last 8 weeks that have one, the newest 5 of
    all, and the last 3 made before a change of layout or a bringing back."""
    newest = sorted(found, key=lambda stamp: (stamp.at, stamp.path.name), reverse=True)
    keep = {stamp.path for stamp in newest[:LATEST]}
    for count, key in ((DAILY, "%Y-%m-%d"), (WEEKLY, "%G-%V")):
        by_span: dict[str, Path] = {}
        for stamp in newest:
            by_span.setdefault(stamp.at.strftime(key), stamp.path)
        keep |= set(list(by_span.values())[:count])
    before = [stamp.path for stamp in newest if stamp.why.startswith("before")]
    return keep | set(before[:BEFORE])


def prune(folder: Path) -> list[Path]:
    found = stamps(folder)
    keep = to_keep(found)
    gone = [stamp.path for stamp in found if stamp.path not in keep]
    for path in gone:
        path.unlink(missing_ok=True)
    return gone


def trouble_in(path: Path) -> str | None:
    """What is wrong with a backup, in words; None when it is good."""
    try:
        with closing(_opened(path)) as connection:
            told = [str(row[0]) for row in connection.execute("PRAGMA integrity_check(5)")]
            if told != ["ok"]:
                return "; ".join(told)[:300]
            names = {str(row[0]) for row in connection.execute("SELECT name FROM sqlite_schema")}
    except (sqlite3.Error, OSError) as trouble:
        return str(trouble)
    missing = {"alembic_version", "events", "jobs"} - names
    return f"it holds no {', '.join(sorted(missing))}" if missing else None


def _opened(path: Path) -> sqlite3.Connection:
    if not path.is_file():
        raise FileNotFoundError("there is no such file")
    return read_connection(path)


def newest_good(folder: Path) -> Path | None:
    return next((one.path for one in stamps(folder) if trouble_in(one.path) is None), None)


def make(engines: Engines, photos: Photos, *, folder: Path, why: str) -> Path:
    """One backup, made while others go on writing; gives its file once it was checked.

    Raises ``NotKept`` when the disk does not take it; what was there is untouched.
    """
    beside: Path | None = None
    try:
        folder.mkdir(parents=True, exist_ok=True)
        target = _free_name(folder, why)
        beside = target.with_name(f".{target.name}.part")
        beside.unlink(missing_ok=True)
        if engines.path is not None:
            _copy_sqlite(engines.path, beside)
        else:
            _copy_rows(engines, beside)
        wrong = trouble_in(beside)
        if wrong is not None:
            raise Faulty(faults.BACKUP_BAD.met(value=target.name, why=wrong))
        copy_photos(photos.all(), folder / "photos")
        sync_file(beside)
        beside.replace(target)
        sync_folder(folder)
    except sqlite3.Error as trouble:
        raise sqlite_said(trouble) from trouble
    except OSError as trouble:
        raise disk_said(trouble) from trouble
    finally:
        if beside is not None:
            beside.unlink(missing_ok=True)
    return target


def _free_name(folder: Path, why: str) -> Path:
    now = datetime.datetime.now(datetime.UTC).strftime("%Y%m%dT%H%M%SZ")
    target, count = folder / f"overslab-{now}-{why}.db", 1
    while target.exists():
        count += 1
        target = folder / f"overslab-{now}-{count:03d}-{why}.db"
    return target


def _copy_sqlite(source: Path, target: Path) -> None:
    with closing(read_connection(source)) as live, closing(sqlite3.connect(target)) as copy:
        live.backup(copy)
        copy.execute("PRAGMA journal_mode=DELETE")  # one file, no log beside it


def _copy_rows(engines: Engines, target: Path) -> None:
    """The rows of a server's database as they stood at one moment, in one file."""
    copy = create_engine(f"sqlite+pysqlite:///{target}")
    try:
        with engines.reading() as source, copy.begin() as into:
            layout = MetaData()
            has = set(inspect(source).get_table_names())
            layout.reflect(source, only=[name for name in ("alembic_version", *ALL) if name in has])
            layout.create_all(into)
            for table in layout.sorted_tables:
                rows = source.execution_options(yield_per=_PAGES_OF_ROWS).execute(select(table))
                for part in rows.mappings().partitions():
                    into.execute(insert(table), [dict(row) for row in part])
    finally:
        copy.dispose()


def copy_photos(pictures: Iterable[Path], into: Path) -> None:
    for path in pictures:
        target = into / path.parent.name / path.name
        if target.exists() and target.stat().st_size == path.stat().st_size:
            continue
        target.parent.mkdir(parents=True, exist_ok=True)
        target.unlink(missing_ok=True)
        beside = target.with_name(f".{target.name}.part")
        beside.unlink(missing_ok=True)
        try:
            os.link(path, beside)  # the same file under two names, where the disk can
        except OSError:
            shutil.copyfile(path, beside)
            sync_file(beside)
        beside.replace(target)


def counts(connection: Connection, *, only: Container[str] | None = None) -> dict[str, int]:
    """How many rows each of our tables has."""
    return {
        table.name: int(connection.execute(select(func.count()).select_from(table)).scalar_one())
        for table in metadata.sorted_tables
        if only is None or table.name in only
    }


def table_rows(path: Path) -> dict[str, int]:
    """How many rows each table of a backup holds."""
    source = create_engine("sqlite+pysqlite://", creator=lambda: _opened(path))
    try:
        with source.connect() as connection:
            has = set(inspect(connection).get_table_names())
            return counts(connection, only=has)
    finally:
        source.dispose()


def restored_tables(path: Path) -> list[Table]:
    """The tables of a backup with their layout, parents first."""
    source = create_engine("sqlite+pysqlite://", creator=lambda: _opened(path))
    try:
        layout = MetaData()
        layout.reflect(source)
        return list(layout.sorted_tables)
    finally:
        source.dispose()
