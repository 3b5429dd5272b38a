"""Connections: one that writes, others that read, and what each is told when it opens.

SQLite 3.7.0 to 3.51.2 can damage a log-mode database when one connection commits while another
writes the log back. So one connection alone writes and writes back, whatever the version; the
others are opened for reading only and never write back. ``reliability`` in docs/storage.md.
"""

from __future__ import annotations

import errno
import sqlite3
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, cast
from urllib.parse import quote

from sqlalchemy import Connection, Engine, create_engine, event, text
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import ArgumentError, DBAPIError, NoSuchModuleError
from sqlalchemy.pool import QueuePool

from overslab.ground.faults import Faulty
from overslab.job.store import faults
from overslab.job.store.records import NotKept

RACE_FREE = (3, 51, 3)  # the first SQLite without the race in writing back
BUSY_MS = 10_000
_WRITE_LOCK = 0x6F766572736C6162  # any number of our own, for PostgreSQL's advisory lock


class Engines:
    """The two ways into a database."""

    def __init__(self, url: str, *, read_only: bool = False) -> None:
        self.url = parsed(url)
        self.sqlite = self.url.get_backend_name() == "sqlite"
        self.path = Path(self.url.database) if self.sqlite and self.url.database else None
        self.read_only = read_only
        self.lock = threading.RLock()
        if self.path is not None:
            self.reader = _sqlite_reader(self.path)
            self.writer = self.reader if read_only else _sqlite_writer(self.path)
        else:
            self.reader = self.writer = _postgres(self.url)

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """One transaction, alone; committed at the end, ``NotKept`` when that did not succeed."""
        with self.lock:
            try:
                with self.writer.begin() as connection:
                    if not self.sqlite:
                        lock = text("SELECT pg_advisory_xact_lock(:lock)")
                        connection.execute(lock, {"lock": _WRITE_LOCK})
                    yield connection
            except DBAPIError as trouble:
                raise not_kept(trouble) from trouble

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """One moment of the database, however many questions are asked of it."""
        try:
            with self.reader.connect() as connection:
                if not self.sqlite:
                    connection = connection.execution_options(
                        isolation_level="REPEATABLE READ", postgresql_readonly=True
                    )
                yield connection
        except DBAPIError as trouble:
            raise not_kept(trouble) from trouble

    def glance(self, words: str, *values: str) -> tuple[Any, ...] | None:
        """The first row of one question alone. It needs no transaction, and so a tenth of the time:
        every page asks one. ``?`` stands for each value."""
        if not self.sqlite:
            with self.reading() as connection:
                row = connection.exec_driver_sql(words.replace("?", "%s"), values).first()
            return tuple(row) if row is not None else None
        try:
            raw = self.reader.raw_connection()
            try:
                cursor = raw.cursor()
                cursor.execute(words, values)
                return cast("tuple[Any, ...] | None", cursor.fetchone())
            finally:
                raw.close()
        except sqlite3.Error as trouble:
            raise sqlite_said(trouble) from trouble

    @contextmanager
    def relaying(self) -> Iterator[Connection]:
        """A transaction that may lay tables anew: on SQLite a table is moved aside for that, and
        what points to it must not be followed meanwhile."""
        if not self.sqlite:
            with self.writing() as connection:
                yield connection
            return
        self._point(followed=False)
        try:
            with self.writing() as connection:
                yield connection
        finally:
            self._point(followed=True)

    def _point(self, *, followed: bool) -> None:
        with self.lock:
            raw = self.writer.raw_connection()
            try:
                # Outside of any transaction, or it is not heard.
                words = "PRAGMA foreign_keys=ON" if followed else "PRAGMA foreign_keys=OFF"
                raw.cursor().execute(words)
            finally:
                raw.close()

    def close(self) -> None:
        # Readers first: the writer is the last one out and writes the log back.
        self.reader.dispose()
        self.writer.dispose()


def parsed(url: str) -> URL:
    try:
        address = make_url(url)
    except (ArgumentError, ValueError):
        raise Faulty(faults.STORE_ADDRESS.met(value="not an address")) from None
    known = {"sqlite": ("sqlite", "sqlite+pysqlite"), "postgresql": ("postgresql+psycopg",)}
    drivers = known.get(address.get_backend_name(), ())
    file_missing = address.get_backend_name() == "sqlite" and (
        not address.database or ":memory:" in address.database or address.query
    )
    if address.drivername not in drivers or file_missing:
        raise Faulty(faults.STORE_ADDRESS.met(value=address.render_as_string(hide_password=True)))
    return address


# What every connection is told; none of this is remembered by the file.
_TUNING = (
    "PRAGMA busy_timeout=10000",
    "PRAGMA foreign_keys=ON",
    "PRAGMA synchronous=FULL",
    "PRAGMA mmap_size=0",
    "PRAGMA trusted_schema=OFF",
)
# Plain fsync does not reach the disk on macOS.
_OF_MACOS = ("PRAGMA fullfsync=ON", "PRAGMA checkpoint_fullfsync=ON")


def _tuned(connection: sqlite3.Connection) -> None:
    for words in (*_TUNING, *(_OF_MACOS if sys.platform == "darwin" else ())):
        connection.execute(words)


def _sqlite_writer(path: Path) -> Engine:
    def connect() -> sqlite3.Connection:
        connection = sqlite3.connect(
            path, timeout=BUSY_MS / 1000, isolation_level=None, check_same_thread=False
        )
        _tuned(connection)
        connection.execute("PRAGMA journal_mode=WAL")
        connection.execute("PRAGMA journal_size_limit=67108864")
        return connection

    engine = create_engine(
        "sqlite+pysqlite://", creator=connect, poolclass=QueuePool, pool_size=1, max_overflow=0
    )
    event.listen(engine, "begin", lambda connection: _say(connection, "BEGIN IMMEDIATE"))
    return engine


def read_connection(path: Path) -> sqlite3.Connection:
    """A connection that looks and changes nothing, not even the log."""
    connection = sqlite3.connect(
        f"file:{quote(str(path))}?mode=ro",
        uri=True,
        timeout=BUSY_MS / 1000,
        isolation_level=None,
        check_same_thread=False,
    )
    _tuned(connection)
    connection.execute("PRAGMA wal_autocheckpoint=0")
    connection.execute("PRAGMA query_only=ON")
    return connection


def _sqlite_reader(path: Path) -> Engine:
    engine = create_engine(
        "sqlite+pysqlite://",
        creator=lambda: read_connection(path),
        poolclass=QueuePool,
        pool_size=8,
        max_overflow=32,
    )
    event.listen(engine, "begin", lambda connection: _say(connection, "BEGIN"))
    return engine


def _say(connection: Connection, words: str) -> None:
    connection.exec_driver_sql(words)


def _postgres(url: URL) -> Engine:
    try:
        return create_engine(
            url,
            pool_size=8,
            max_overflow=16,
            pool_pre_ping=True,
            connect_args={
                "connect_timeout": 10,
                "options": f"-c synchronous_commit=on -c lock_timeout={BUSY_MS}",
            },
        )
    except (ImportError, NoSuchModuleError):
        shown = url.render_as_string(hide_password=True)
        raise Faulty(faults.STORE_DRIVER.met(value=shown)) from None


def not_kept(trouble: DBAPIError) -> NotKept:
    """What the database said, in the words of the trade."""
    inner: Any = trouble.orig
    value = type(inner).__name__
    if isinstance(inner, sqlite3.Error):
        return sqlite_said(inner)
    state = str(getattr(inner, "sqlstate", None) or "")
    if state == "53100":
        return NotKept(faults.DISK_FULL.met(value=value), full=True)
    if state in ("55P03", "40001", "40P01"):
        return NotKept(faults.STORE_BUSY.met(value=value))
    if trouble.connection_invalidated or state[:2] in ("", "08", "28", "57", "3D", "53"):
        return NotKept(faults.STORE_UNREACHABLE.met(value=value, why=state or "no connection"))
    return NotKept(faults.NOT_WRITABLE.met(value=value, why=state))


def sqlite_said(trouble: sqlite3.Error) -> NotKept:
    """The same for what SQLite itself raised."""
    value = type(trouble).__name__
    # The lower byte of the number is the kind, the rest says where.
    code = getattr(trouble, "sqlite_errorcode", 0) & 0xFF
    if code == sqlite3.SQLITE_FULL:
        return NotKept(faults.DISK_FULL.met(value=value), full=True)
    if code in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return NotKept(faults.STORE_BUSY.met(value=value))
    words = str(getattr(trouble, "sqlite_errorname", "") or trouble)
    return NotKept(faults.NOT_WRITABLE.met(value=value, why=words))


def disk_said(trouble: OSError) -> NotKept:
    """The same for a file that could not be written."""
    value = trouble.strerror or "unknown"
    if trouble.errno in (errno.ENOSPC, errno.EDQUOT):
        return NotKept(faults.DISK_FULL.met(value=value), full=True)
    return NotKept(faults.NOT_WRITABLE.met(value=value, why=value))


class WriterLock:
    """Held by the one program that writes. It is SQLite's own lock on an empty file of its own, so
    it works alike on every system and is gone when the holder is killed."""

    def __init__(self, path: Path) -> None:
        self._held = sqlite3.connect(path, timeout=0, isolation_level=None, check_same_thread=False)
        try:
            self._held.execute("PRAGMA locking_mode=NORMAL")
            self._held.execute("BEGIN EXCLUSIVE")
        except sqlite3.OperationalError:
            self._held.close()
            raise Faulty(faults.STORE_OPEN.met(value=path.name)) from None

    def release(self) -> None:
        self._held.close()
