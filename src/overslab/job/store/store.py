"""The store of jobs: what people do goes in as events, what they see comes out of the summary."""

from __future__ import annotations

import datetime
import secrets
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import Any

from sqlalchemy import Connection, select

from overslab.ground.faults import Faulty
from overslab.job.records import FolderTexts
from overslab.job.store import backups, editing, faults, opening, restoring, rows, tables, upkeep
from overslab.job.store.carrying import Carrier, starter_texts
from overslab.job.store.keeping import Batch, Folds
from overslab.job.store.looking import Looking
from overslab.job.store.records import (
    Body,
    Event,
    Health,
    Kept,
    KeptEvent,
    NotKept,
)
from overslab.job.store.schema import Schema


def now() -> str:
    """The server's clock, in UTC to the millisecond."""
    return datetime.datetime.now(datetime.UTC).isoformat(timespec="milliseconds")


class Store(Looking):
    """One database of jobs. May be used from any number of threads; one process writes.

    Whatever changes a job raises ``NotKept`` when nothing was kept: full disk (``.full``),
    read-only store, server out of reach. What returns was committed and, on SQLite, flushed.
    """

    def __init__(self, opened: opening.Opened, *, data: Path, schema: Schema) -> None:
        self.data = data
        self.office = opened.office  # the number of the office as a device
        self.changes = 0  # counts what was committed since this program opened the store
        self._opened = opened
        super().__init__(opened.engines)
        self._photos = opened.photos
        self._schema = schema
        self._folds = Folds()
        self._backup_fault = opened.backup_fault
        self._carrier = Carrier(self)

    @classmethod
    def open(
        cls,
        url: str,
        *,
        data: Path,
        read_only: bool = False,
        backup: bool = True,
        schema: Schema | None = None,
    ) -> Store:
        """Open or begin a store.

        ``url`` is ``sqlite:////folder/overslab.db`` or ``postgresql+psycopg://...``; ``data`` the
        folder of pictures and backups. Backs up what is new, and always before a change of layout.
        A damaged database is opened for looking only, see ``health``. ``Faulty`` when it lies in a
        synced or far folder, is open elsewhere, is gone though backups are there, or is newer.
        """
        schema = schema or Schema()
        data = Path(data)
        opened = opening.open_store(
            url, data=data, read_only=read_only, backup=backup, schema=schema, now=now()
        )
        return cls(opened, data=data, schema=schema)

    def close(self) -> None:
        self._engines.close()
        if self._opened.lock is not None:
            self._opened.lock.release()

    def __enter__(self) -> Store:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        trouble: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    # Taking in

    @contextmanager
    def batch(self, *, allowed: frozenset[str] | None) -> Iterator[Batch]:
        """One transaction of events and their summary, alone; committed when the block ends."""
        if self._opened.read_only:
            why = self._opened.read_only
            raise NotKept(faults.STORE_READ_ONLY.met(value="read-only", why=why))
        with self._engines.lock:
            with self._engines.writing() as connection:
                batch = Batch(
                    connection,
                    folds=self._folds,
                    now=now(),
                    allowed=allowed,
                    photo_there=lambda sha256: self._photos.find(sha256) is not None,
                )
                yield batch
                batch.write()
            self.changes += 1
            batch.done()

    def keep(self, events: Sequence[Event], *, allowed: frozenset[str] | None = None) -> Kept:
        """Keep a batch, each event judged alone; ``allowed`` are the kinds its sender may send.

        The same event again is answered as kept. An event that does not hold is kept in the tray.
        """
        with self.batch(allowed=allowed) as batch:
            batch.take(events)
        return Kept(have=tuple(batch.have), tray=tuple(batch.tray), now=batch.now)

    # The office

    def begin(
        self, name: str, *, who: str, texts: FolderTexts | None = None, sample: bool = False
    ) -> str:
        """A new job, from the starter or from these texts; gives its id."""
        texts = texts or starter_texts(name)
        job = secrets.token_hex(16)
        body = {
            "name": name,
            "texts": {
                "job_toml": texts.job_toml,
                "shots_csv": texts.shots_csv,
                "rates_toml": texts.rates_toml,
            },
            "sample": sample,
        }
        with self.batch(allowed=None) as batch:
            editing.admit(batch, self.made(job, "job-begun", body, who=who, seq=1))
        return job

    def change(
        self,
        job_id: str,
        *,
        based_on: int,
        kind: str,
        body: Body,
        who: str,
        device: str | None = None,
    ) -> int:
        """One edit by the office; gives the new version of the job.

        ``Stale`` when the same thing (the same path, shot or file) was changed after version
        ``based_on``: both texts are kept, this one in the tray. ``Faulty`` when it cannot be done.
        """
        return editing.change(
            self, job_id, based_on=based_on, kind=kind, body=body, who=who, device=device
        )

    def undo(
        self, job_id: str, *, who: str, of: str | None = None, device: str | None = None
    ) -> KeptEvent:
        """Undo one event: the last that this device (the office) made and that still counts."""
        return editing.undo(self, job_id, who=who, of=of, device=device)

    def redo(self, job_id: str, *, who: str, device: str | None = None) -> KeptEvent:
        """Take the last undo of this device back."""
        return editing.redo(self, job_id, who=who, device=device)

    def settle(self, number: int, *, who: str) -> None:
        """Note that an entry in the tray was looked at; it stays readable."""
        editing.settle(self, number, who=who)

    def made(
        self, job: str, kind: str, body: Body, *, who: str, seq: int, device: str | None = None
    ) -> Event:
        """An event made here and now."""
        return Event(
            id=secrets.token_hex(16),
            job=job,
            device=device or self.office,
            seq=seq,
            kind=kind,
            body=body,
            made_at=now(),
            who=who,
        )

    def remove_sample(self, job_id: str) -> None:
        """Take a sample out, for good and whole; ``Faulty`` for a real job."""
        line = self.job_line(job_id)
        if not line.sample:
            raise Faulty(faults.SAMPLE_ONLY.met(value=line.name))
        with self.batch(allowed=None) as batch:
            upkeep.take_out(batch.connection, job_id)
            self._folds.forget(job_id)

    # Folders and pictures

    def import_folder(self, folder: Path, *, who: str, sample: bool = False) -> str:
        """Bring a job folder in; gives the job's id. A folder written by ``export_folder`` is the
        same job again: what is new in it is added, hand-made changes of its files become edits."""
        return self._carrier.bring_in(Path(folder), who=who, sample=sample)

    def export_folder(self, job_id: str, folder: Path) -> tuple[Path, ...]:
        """Write a job as a folder, with its history and its pictures; writes over nothing."""
        return self._carrier.take_out(job_id, Path(folder))

    def put_photo(self, data: bytes) -> str:
        """Keep a picture that an event will name; gives its SHA-256."""
        if self._opened.read_only:
            why = self._opened.read_only
            raise NotKept(faults.STORE_READ_ONLY.met(value="read-only", why=why))
        return self._photos.put(data)

    def add_photo(
        self,
        job_id: str,
        data: bytes,
        *,
        who: str,
        about: str = "",
        at: Any = None,
        name: str = "",
        device: str | None = None,
    ) -> str:
        """Keep a picture and the event that puts it into the job; gives its SHA-256."""
        self.job_line(job_id)
        sha256 = self.put_photo(data)
        body = {"sha256": sha256, "about": about, "at": at, "name": name}
        editing.add(self, job_id, kind="photo-added", body=body, who=who, device=device)
        return sha256

    def photo(self, sha256: str) -> Path:
        """The file of a picture; ``Faulty`` when there is none."""
        path = self._photos.find(sha256)
        if path is None:
            raise Faulty(faults.PHOTO_UNKNOWN.met(value=ascii(sha256)[:20]))
        return path

    # Upkeep

    def backup(self, to: Path | None = None, *, why: str = "asked") -> Path:
        """One backup, checked before it gets its name; old ones in the usual folder are thinned."""
        folder = Path(to) if to is not None else self._opened.backups
        path = backups.make(self._engines, self._photos, folder=folder, why=why)
        if to is None:
            backups.prune(folder)
        self._backup_fault = ""
        return path

    def nightly(self) -> Path | None:
        """What is done once a night: backup, whole check on Sundays, pictures nobody names.

        Never raises: what went wrong stands in ``health``.
        """
        try:
            path = self.backup(why="night")
            self._photos.sweep(self._named_photos())
            if datetime.datetime.now(datetime.UTC).isoweekday() == 7:
                self._backup_fault = upkeep.whole_check(self._engines)
        except Faulty as trouble:
            self._backup_fault = trouble.faults[0].what
            return None
        return path

    def _named_photos(self) -> frozenset[str]:
        t = tables.events.c
        question = select(t.body).where(t.kind == "photo-added")
        with self._engines.reading() as connection:
            bodies = connection.execute(question).scalars()
            return frozenset(rows.plain(body)["sha256"] for body in bodies)

    @staticmethod
    def backups(data: Path) -> tuple[Path, ...]:
        """The backups of a store, newest first."""
        return tuple(one.path for one in backups.stamps(opening.backups_folder(data)))

    @staticmethod
    def restore(backup: Path, *, url: str, data: Path) -> Path | None:
        """Bring a backup back into a store that is closed; gives where the old database lies."""
        return restoring.restore(Path(backup), url=url, data=Path(data))

    def rebuild(self, job_id: str) -> None:
        """Write the summary of a job anew from its events."""
        with self.batch(allowed=None) as batch:
            upkeep.rebuild(batch.connection, job_id)
            self._folds.forget(job_id)

    def health(self) -> Health:
        """What a page about the store says."""
        opened = self._opened
        with self._engines.reading() as connection:
            schema = self._schema.of(connection) or "none"
            spoken = _spoken(connection, sqlite=self._engines.sqlite)
            counts = backups.counts(connection)
        return Health(
            **spoken,
            schema=schema,
            read_only=opened.read_only,
            newest_backup=next(iter(self.backups(self.data)), None),
            last_backup_fault=self._backup_fault,
            jobs=counts["jobs"],
            events=counts["events"],
            in_tray=len(self.tray()),
            photos=sum(1 for _ in self._photos.all()),
        )


def _spoken(connection: Connection, *, sqlite: bool) -> dict[str, Any]:
    return upkeep.sqlite_words(connection) if sqlite else upkeep.server_words(connection)
