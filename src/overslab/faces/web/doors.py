"""The small book of who is let in: sessions, links, the office password, what was refused.

It is a file of its own beside the jobs, so that neither a backup nor an export of jobs ever
carries a way in. One connection, one lock; every write is on the disk before it is answered.
"""

from __future__ import annotations

import datetime
import hashlib
import secrets
import sqlite3
import threading
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

FILE = "doors.sqlite"
_MOST_LINES = 5000
_SCHEMA = """
create table if not exists said (name text primary key, value text not null);
create table if not exists session (
  id text primary key, token_hash blob not null unique, role text not null, who text not null,
  device text not null, document text not null, secure integer not null, agent text not null,
  begun_at text not null, seen_at text not null, ended_at text not null default '');
create table if not exists link (
  id text primary key, token_hash blob not null unique, job text not null, document text not null,
  made_out_to text not null, made_at text not null, ends_at text not null,
  revoked_at text not null default '', views integer not null default 0);
create table if not exists line (
  number integer primary key autoincrement, at text not null, what text not null,
  who text not null, came_from text not null);
"""

Value = str | int | bytes


class Line(NamedTuple):
    """One line of the book: what happened at the door; no token and no price."""

    at: str
    what: str
    who: str
    came_from: str


def hashed(token: str) -> bytes:
    """What is kept of a token. Plain SHA-256 will do: the token is 256 random bits."""
    return hashlib.sha256(token.encode()).digest()


def new_token() -> str:
    """256 random bits as 43 signs that may stand in an address."""
    return secrets.token_urlsafe(32)


def new_id() -> str:
    """128 random bits as 32 hex digits."""
    return secrets.token_hex(16)


class Doors:
    """The book, opened. Safe to use from several threads."""

    def __init__(self, folder: Path) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        path = folder / FILE
        path.touch(mode=0o600, exist_ok=True)
        path.chmod(0o600)
        self._lock = threading.Lock()
        self._book = sqlite3.connect(path, isolation_level=None, check_same_thread=False)
        self._book.execute("pragma journal_mode = delete")
        self._book.execute("pragma synchronous = full")
        self._book.execute("pragma trusted_schema = off")
        self._book.executescript(_SCHEMA)

    def close(self) -> None:
        with self._lock:
            self._book.close()

    def read(self, question: str, values: Sequence[Value] = ()) -> list[tuple[Value, ...]]:
        with self._lock:
            return self._book.execute(question, tuple(values)).fetchall()

    def write(self, order: str, values: Sequence[Value] = ()) -> int:
        """Rows changed; on the disk when this returns."""
        with self._lock:
            return self._book.execute(order, tuple(values)).rowcount

    def said(self, name: str) -> str:
        """A setting kept in the book; empty when it was never made."""
        found = self.read("select value from said where name = ?", (name,))
        return str(found[0][0]) if found else ""

    def say(self, name: str, value: str) -> None:
        self.write(
            "insert into said values (?, ?)"
            " on conflict (name) do update set value = excluded.value",
            (name, value),
        )

    def secret(self) -> bytes:
        """What form tokens are made with; made once."""
        if not self.said("secret"):
            self.say("secret", secrets.token_hex(32))
        return bytes.fromhex(self.said("secret"))

    def note(self, what: str, *, who: str = "", came_from: str = "") -> None:
        """Write a line and let the oldest go."""
        now = datetime.datetime.now(datetime.UTC).isoformat(timespec="seconds")
        self.write(
            "insert into line (at, what, who, came_from) values (?, ?, ?, ?)",
            (now, what, who, came_from),
        )
        self.write(
            "delete from line where number <= (select max(number) from line) - ?", (_MOST_LINES,)
        )

    def lines(self, most: int = 50) -> tuple[Line, ...]:
        """The latest lines, newest first."""
        found = self.read(
            "select at, what, who, came_from from line order by number desc limit ?", (most,)
        )
        return tuple(Line(*(str(value) for value in row)) for row in found)
