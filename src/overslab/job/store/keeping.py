"""Taking events in: each is judged alone, all that hold go in by one transaction."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import replace

from sqlalchemy import Connection

from overslab.ground.faults import Fault, Faulty
from overslab.job.store import faults, rows
from overslab.job.store.fold import Fold, told
from overslab.job.store.kinds import as_text, fault_of
from overslab.job.store.records import Event, KeptEvent, Tray
from overslab.job.store.rowcheck import judge_of

MOST_JOBS_IN_MIND = 64


def plain(event: Event) -> Event:
    """The event with its body as it will be read again; as it is when it has no such form."""
    try:
        return replace(event, body=json.loads(as_text(event.body)))
    except (TypeError, ValueError, RecursionError):
        return event


class Folds:
    """Jobs that were lately written to, so that not every batch reads its job anew.

    A fold is only believed at the version that the database has; it is thrown away whenever a
    transaction did not end well.
    """

    def __init__(self) -> None:
        self._known: dict[str, Fold] = {}

    def take(self, connection: Connection, job: str, *, version: int) -> Fold:
        fold = self._known.pop(job, None)
        if fold is None or fold.version != version:
            fold = rows.fold_of(connection, job)
        fold.changed, fold.rewritten = set(), False
        return fold

    def keep(self, fold: Fold) -> None:
        self._known[fold.id] = fold
        while len(self._known) > MOST_JOBS_IN_MIND:
            del self._known[next(iter(self._known))]

    def forget(self, job: str | None = None) -> None:
        if job is None:
            self._known.clear()
        else:
            self._known.pop(job, None)


class Batch:
    """One transaction's worth of events."""

    def __init__(
        self,
        connection: Connection,
        *,
        folds: Folds,
        now: str,
        allowed: frozenset[str] | None,
        photo_there: Callable[[str], bool],
    ) -> None:
        self.connection, self.folds, self.now = connection, folds, now
        self.allowed, self.photo_there = allowed, photo_there
        self.have: list[str] = []
        self.tray: list[Tray] = []
        self.fresh: dict[str, list[KeptEvent]] = {}
        self._folds: dict[str, Fold] = {}
        self._new: set[str] = set()
        self._trayed_jobs: set[str] = set()
        self._taken: dict[str, str] = {}

    def take(self, events: Sequence[Event]) -> None:
        """Take each event into its job or into the tray."""
        alone = [(plain(event), fault_of(event)) for event in events]
        ids = [event.id for event, fault in alone if fault is None]
        self._taken = rows.known(self.connection, ids)
        for event, fault in alone:
            if fault is None and event.id in self._taken:
                if self._taken[event.id] == rows.content_of(event):
                    self.have.append(event.id)
                    continue
                fault = faults.ENTRY_ID_TWICE.met(value=event.id)
            if fault is None:
                fault = self.into_job(event)
            if fault is None:
                self._taken[event.id] = rows.content_of(event)
                self.have.append(event.id)
                rows.settle_in_tray(self.connection, id=event.id)
            else:
                self.put_beside(event, fault)

    def take_whole(self, kept: Sequence[KeptEvent]) -> None:
        """Take a job that is not here with all its events, arrivals and all; ``Faulty`` if it
        cannot be the same job here."""
        job = kept[0].event.job
        ids = [one.event.id for one in kept]
        twice = rows.known(self.connection, ids)
        if twice or len(set(ids)) < len(ids):
            raise Faulty(faults.ENTRY_ID_TWICE.met(value=next(iter(twice), job)))
        for one in kept:
            sha256 = str(one.event.body.get("sha256", ""))
            if one.event.kind == "photo-added" and not self.photo_there(sha256):
                raise Faulty(faults.PHOTO_NOT_THERE.met(value=sha256[:12]))
        self._folds[job] = told(job, kept)
        self._new.add(job)
        self.fresh[job] = list(kept)

    def put_beside(self, event: Event, fault: Fault) -> int:
        number = rows.put_in_tray(
            self.connection, event, code=fault.code, why=fault.what, received_at=self.now
        )
        self.tray.append(Tray(id=event.id, code=fault.code, why=fault.what))
        if isinstance(event.job, str):
            self._trayed_jobs.add(event.job)
        return number

    def fold(self, job: str) -> Fold | None:
        """The job as it stands now; None when it is not here."""
        if job not in self._folds:
            version = rows.version_of(self.connection, job)
            if version is None:
                return None
            self._folds[job] = self.folds.take(self.connection, job, version=version)
        return self._folds[job]

    def into_job(self, event: Event) -> Fault | None:
        """Take one event that was looked at alone; gives what keeps it out."""
        fold = self.fold(event.job)
        if self.allowed is not None and event.kind not in self.allowed:
            return faults.ENTRY_NOT_ALLOWED.met(value=event.kind, kind=event.kind)
        if event.kind == "job-begun":
            if fold is not None:
                return faults.JOB_TWICE.met(value=event.job)
            fold = Fold(id=event.job, rewritten=True)
            self._new.add(event.job)
        elif fold is None:
            return faults.JOB_UNKNOWN.met(value=event.job)
        return self._onto(fold, event)

    def _onto(self, fold: Fold, event: Event) -> Fault | None:
        if event.kind == "photo-added" and not self.photo_there(event.body["sha256"]):
            return faults.PHOTO_NOT_THERE.met(value=event.body["sha256"][:12])
        if event.kind in ("shot-kept", "shot-replaced"):
            wrong = judge_of(fold.job_toml)(event.body)
            if wrong is not None:
                return wrong
        kept = KeptEvent(
            event=event,
            arrival=fold.version + 1,
            received_at=self.now,
            by_office=self.allowed is None,
        )
        if fold.needs_retelling(kept):
            fold_or_fault = self._told_again(fold, kept)
            if isinstance(fold_or_fault, Fault):
                return fold_or_fault
            fold = fold_or_fault
        else:
            why = fold.apply(kept)
            if why is not None:
                return faults.ENTRY_WITHOUT_PLACE.met(value=event.kind, why=why)
        if event.kind == "tray-settled":
            rows.settle_in_tray(self.connection, content=event.body["content"])
        self._folds[fold.id] = fold
        self.fresh.setdefault(fold.id, []).append(kept)
        return None

    def _told_again(self, fold: Fold, kept: KeptEvent) -> Fold | Fault:
        again = told(fold.id, [*self.events(fold.id), kept])
        why = again.skipped.get(kept.event.id)
        if kept.event.kind == "undone" and why is not None:
            if "another phone" in why:
                return faults.ENTRY_OF_OTHERS.met(value=kept.event.body["of"])
            return faults.ENTRY_WITHOUT_PLACE.met(value="undo", why=why)
        return again

    def events(self, job: str) -> list[KeptEvent]:
        """All events of a job, those of this batch too."""
        return [*rows.events_of(self.connection, job), *self.fresh.get(job, [])]

    def write(self) -> None:
        """Events and their summary, into the open transaction."""
        for job in self._trayed_jobs - set(self.fresh):
            rows.count_tray(self.connection, job)
        for job, kept in self.fresh.items():
            # The row of the job comes first: its events point to it.
            rows.put_summary(self.connection, self._folds[job], new=job in self._new)
            rows.put_events(self.connection, kept)

    def done(self) -> None:
        """After the commit: these folds are what the database has."""
        for fold in self._folds.values():
            self.folds.keep(fold)
