"""What can be seen of the store: everything here is read from the summary or the events."""

from __future__ import annotations

import threading

from sqlalchemy import select

from overslab.ground.faults import Fault, Faulty
from overslab.job.reading import read_texts
from overslab.job.records import FolderTexts
from overslab.job.store import faults, rows, tables, upkeep
from overslab.job.store.engines import Engines
from overslab.job.store.fold import shots_text, told
from overslab.job.store.records import (
    DeviceLine,
    JobLine,
    KeptEvent,
    Skipped,
    State,
    StoredJob,
    TrayEntry,
)

_TROUBLE_IN_MIND = 64


class Looking:
    """The half of the store that changes nothing."""

    def __init__(self, engines: Engines) -> None:
        self._engines = engines
        self._trouble: dict[FolderTexts, tuple[Fault, ...]] = {}
        self._trouble_lock = threading.Lock()

    def jobs(
        self,
        *,
        limit: int | None = None,
        offset: int = 0,
        containing: str = "",
        state: State | None = None,
    ) -> tuple[JobLine, ...]:
        """The list of jobs, latest changed first; of one state, or of all."""
        t = tables.jobs
        question = rows.job_lines().order_by(t.c.updated_at.desc(), t.c.id.desc())
        if containing:
            question = question.where(t.c.name.icontains(containing, autoescape=True))
        if state is not None:
            question = question.where(t.c.state == state)
        with self._engines.reading() as connection:
            found = connection.execute(question.limit(limit).offset(offset))
            return tuple(rows.job_line(row) for row in found)

    def job_line(self, job_id: str) -> JobLine:
        """One line of that list; ``Faulty`` when there is no such job."""
        question = rows.job_lines().where(tables.jobs.c.id == job_id)
        with self._engines.reading() as connection:
            row = connection.execute(question).first()
        if row is None:
            raise Faulty(faults.JOB_UNKNOWN.met(value=job_id[:40]))
        return rows.job_line(row)

    def version(self, job_id: str) -> int:
        """How many events the job has: changes with everything people see of it."""
        found = self._engines.glance("SELECT version FROM jobs WHERE id = ?", job_id)
        if found is None:
            raise Faulty(faults.JOB_UNKNOWN.met(value=job_id[:40]))
        return int(found[0])

    def job(self, job_id: str) -> StoredJob:
        """The job as people see it, from its summary; ``Faulty`` when there is no such job."""
        with self._engines.reading() as connection:
            row = connection.execute(select(tables.jobs).where(tables.jobs.c.id == job_id)).first()
            things = rows.things_of(connection, job_id) if row is not None else []
        if row is None:
            raise Faulty(faults.JOB_UNKNOWN.met(value=job_id[:40]))
        shots = [pair for pair in things if pair[0].kind == "shot"]
        texts = FolderTexts(
            job_toml=row.job_toml,
            shots_csv=shots_text(row.shots_base, shots),
            rates_toml=row.rates_toml,
        )
        state: State = rows.job_line(row).state
        return StoredJob(
            id=row.id,
            name=row.name,
            version=row.version,
            updated_at=row.updated_at,
            sample=row.sample,
            state=state,
            folder_texts=texts,
            things=tuple(thing for thing, _ in things),
            skipped=tuple(Skipped(*pair) for pair in rows.plain(row.skipped)),
            trouble=self._trouble_of(texts),
        )

    def _trouble_of(self, texts: FolderTexts) -> tuple[Fault, ...]:
        known = self._trouble.get(texts)
        if known is not None:
            return known
        try:
            read_texts(texts)
            found: tuple[Fault, ...] = ()
        except Faulty as trouble:
            found = trouble.faults
        with self._trouble_lock:
            self._trouble[texts] = found
            while len(self._trouble) > _TROUBLE_IN_MIND:
                del self._trouble[next(iter(self._trouble))]
        return found

    def events(
        self, job_id: str, *, since: int = 0, kinds: frozenset[str] | None = None
    ) -> tuple[KeptEvent, ...]:
        """The events of a job behind an arrival number, of some kinds or of all."""
        with self._engines.reading() as connection:
            return tuple(rows.events_of(connection, job_id, since=since, kinds=kinds))

    def texts_at(self, job_id: str, version: int) -> FolderTexts:
        """The three files as they were when the event of that arrival had come, and no later one.

        ``Faulty`` when there is no such job, or when it has no such version.
        """
        events = self.events(job_id)
        if not events:
            raise Faulty(faults.JOB_UNKNOWN.met(value=job_id[:40]))
        if not 1 <= version <= events[-1].arrival:
            most = events[-1].arrival
            raise Faulty(faults.VERSION_UNKNOWN.met(value=version, most=most))
        return told(job_id, [one for one in events if one.arrival <= version]).texts()

    def devices(self, job_id: str) -> tuple[DeviceLine, ...]:
        """What of each device has arrived."""
        return upkeep.devices_of(self.events(job_id))

    def tray(self, job_id: str | None = None, *, settled: bool = False) -> tuple[TrayEntry, ...]:
        """What waits in the tray, of one job or of all; ``settled``: what was looked at too."""
        t = tables.tray
        question = select(t).order_by(t.c.number)
        if job_id is not None:
            question = question.where(t.c.job == job_id)
        if not settled:
            question = question.where(t.c.settled.is_(False))
        with self._engines.reading() as connection:
            return tuple(rows.tray_entry(row) for row in connection.execute(question))

    def differing(self) -> tuple[str, ...]:
        """Jobs whose summary is not what their events say. There must be none."""
        with self._engines.reading() as connection:
            ids = connection.execute(select(tables.jobs.c.id)).scalars().all()
            return tuple(job for job in ids if upkeep.differs(connection, job))
