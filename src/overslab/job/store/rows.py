"""Between the tables and the records."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Sequence
from dataclasses import asdict
from typing import Any

from sqlalchemy import Connection, Row, Select, delete, func, insert, select, update

from overslab.job.store import tables
from overslab.job.store.fold import Fold, skipped_of
from overslab.job.store.kinds import as_text
from overslab.job.store.records import Event, JobLine, KeptEvent, State, Thing, TrayEntry

MOST_IN_TRAY = 256 * 1024  # characters of one entry; what is longer is cut and says so
_AT_ONCE = 500  # values in one question; SQLite of old takes at most 999


def plain(text: str) -> Any:
    """What a body says."""
    return json.loads(text)


def content_of(event: Event) -> str:
    """The fingerprint of all that its maker gave."""
    return hashlib.sha256(_whole(event, ordered=True).encode()).hexdigest()


def _whole(event: Event, *, ordered: bool = False) -> str:
    try:
        return as_text(asdict(event), ordered=ordered)
    except (TypeError, ValueError, RecursionError):  # no JSON: the tray still shows what came
        head = {"id": event.id, "kind": event.kind, "who": event.who}
        plain_head = {key: str(value)[:200] for key, value in head.items()}
        return as_text({**plain_head, "body": {"as sent": _as_sent(event.body)}})


def _as_sent(body: object) -> str:
    try:
        return ascii(body)[:MOST_IN_TRAY]
    except (ValueError, RecursionError):  # numbers of thousands of digits have no text
        return "what was sent has no text"


def events_of(
    connection: Connection, job: str, *, since: int = 0, kinds: Iterable[str] | None = None
) -> list[KeptEvent]:
    """Events of a job behind an arrival number, in order of arrival."""
    t = tables.events.c
    question = select(tables.events).where(t.job == job, t.arrival > since).order_by(t.arrival)
    if kinds is not None:
        question = question.where(t.kind.in_(sorted(kinds)))
    return [kept_of(row) for row in connection.execute(question)]


def kept_of(row: Row[Any]) -> KeptEvent:
    return KeptEvent(
        event=Event(
            id=row.id,
            job=row.job,
            device=row.device,
            seq=row.seq,
            kind=row.kind,
            body=json.loads(row.body),
            made_at=row.made_at,
            who=row.who,
        ),
        arrival=row.arrival,
        received_at=row.received_at,
        by_office=row.by_office,
    )


def known(connection: Connection, ids: Sequence[str]) -> dict[str, str]:
    """Which of these events are here, with the fingerprint of each."""
    t = tables.events.c
    found: dict[str, str] = {}
    for start in range(0, len(ids), _AT_ONCE):
        part = ids[start : start + _AT_ONCE]
        rows = connection.execute(select(t.id, t.content).where(t.id.in_(part)))
        found |= {row.id: row.content for row in rows}
    return found


def put_events(connection: Connection, kept: Sequence[KeptEvent]) -> None:
    if not kept:
        return
    connection.execute(
        insert(tables.events),
        [
            {
                "job": one.event.job,
                "arrival": one.arrival,
                "id": one.event.id,
                "device": one.event.device,
                "seq": one.event.seq,
                "kind": one.event.kind,
                "body": as_text(one.event.body),
                "made_at": one.event.made_at,
                "who": one.event.who,
                "received_at": one.received_at,
                "by_office": one.by_office,
                "content": content_of(one.event),
            }
            for one in kept
        ],
    )


def put_summary(connection: Connection, fold: Fold, *, new: bool) -> None:
    """Write the summary of a job: all of it when it was told anew, else what has changed."""
    t = tables.jobs
    row = summary_row(fold, in_tray=in_tray(connection, fold.id))
    if new:
        connection.execute(insert(t), [row])
    else:
        connection.execute(update(t).where(t.c.id == fold.id).values(**row))
    mine = tables.things.c.job == fold.id
    if fold.rewritten:
        connection.execute(delete(tables.things).where(mine))
        fresh = list(fold.things)
    else:
        fresh = [key for key in fold.things if key in fold.changed]
        for start in range(0, len(fresh), _AT_ONCE):
            part = fresh[start : start + _AT_ONCE]
            old = tables.things.c.id.in_(part)
            connection.execute(delete(tables.things).where(mine, old))
    rows = thing_rows(fold, only=set(fresh))
    if rows:
        connection.execute(insert(tables.things), rows)


def summary_row(fold: Fold, *, in_tray: int) -> dict[str, Any]:
    shots = sum(1 for thing in fold.things.values() if thing.kind == "shot" and not thing.struck)
    return {
        "id": fold.id,
        "name": fold.name,
        "version": fold.version,
        "updated_at": fold.updated_at,
        "sample": fold.sample,
        "state": fold.state,
        "shots": shots,
        "in_tray": in_tray,
        "job_toml": fold.job_toml,
        "rates_toml": fold.rates_toml,
        "shots_base": fold.shots_base,
        "skipped": as_text([[one.event, one.why] for one in skipped_of(fold)]),
        "memory": as_text(
            {
                "alias": fold.alias,
                "last_seq": fold.last_seq,
                "waiting": {
                    of: [kept.event.id for kept in waiting] for of, waiting in fold.waiting.items()
                },
            },
            ordered=True,
        ),
    }


def thing_rows(fold: Fold, *, only: set[str] | None = None) -> list[dict[str, Any]]:
    return [
        {
            "job": fold.id,
            "id": thing.id,
            "place": place,
            "kind": thing.kind,
            "event": thing.event,
            "body": as_text(thing.body),
            "was": as_text(thing.was),
            "struck": thing.struck,
            "line": fold.lines.get(thing.id),
            "who": thing.who,
            "made_at": thing.made_at,
        }
        for place, thing in enumerate(fold.things.values())
        if only is None or thing.id in only
    ]


def things_of(connection: Connection, job: str) -> list[tuple[Thing, int | None]]:
    """Every thing of a job in order, with its line in the file it came with."""
    t = tables.things
    question = select(t).where(t.c.job == job).order_by(t.c.place)
    return [
        (
            Thing(
                id=row.id,
                kind=row.kind,
                event=row.event,
                body=json.loads(row.body),
                struck=row.struck,
                who=row.who,
                made_at=row.made_at,
                was=tuple(json.loads(row.was)),
            ),
            row.line,
        )
        for row in connection.execute(question)
    ]


def fold_of(connection: Connection, job: str) -> Fold:
    """A job ready for its next event, from its summary alone."""
    row = connection.execute(select(tables.jobs).where(tables.jobs.c.id == job)).one()
    pairs = things_of(connection, job)
    memory = json.loads(row.memory)
    waiting = {of: _by_id(connection, ids) for of, ids in memory["waiting"].items()}
    return Fold(
        id=row.id,
        name=row.name,
        sample=row.sample,
        state=job_line(row).state,
        version=row.version,
        updated_at=row.updated_at,
        job_toml=row.job_toml,
        rates_toml=row.rates_toml,
        shots_base=row.shots_base,
        things={thing.id: thing for thing, _ in pairs},
        lines={thing.id: line for thing, line in pairs if line is not None},
        skipped=dict(json.loads(row.skipped)),
        waiting=waiting,
        alias=memory["alias"],
        last_seq=memory["last_seq"],
    )


def _by_id(connection: Connection, ids: Sequence[str]) -> list[KeptEvent]:
    t = tables.events
    found = {}
    for start in range(0, len(ids), _AT_ONCE):
        part = ids[start : start + _AT_ONCE]
        for row in connection.execute(select(t).where(t.c.id.in_(part))):
            found[row.id] = kept_of(row)
    return [found[one] for one in ids]


def job_lines() -> Select[Any]:
    """The question for lines of the list: without the texts, which are a thousand times as long."""
    t = tables.jobs.c
    return select(t.id, t.name, t.version, t.shots, t.updated_at, t.sample, t.state, t.in_tray)


def job_line(row: Row[Any]) -> JobLine:
    state: State = "put-away" if row.state == "put-away" else "open"
    return JobLine(
        id=row.id,
        name=row.name,
        version=row.version,
        shots=row.shots,
        updated_at=row.updated_at,
        sample=row.sample,
        state=state,
        in_tray=row.in_tray,
    )


def version_of(connection: Connection, job: str) -> int | None:
    t = tables.jobs.c
    return connection.execute(select(t.version).where(t.id == job)).scalar()


def count_tray(connection: Connection, job: str) -> None:
    """Put the number of open entries in the tray into the job's summary."""
    t = tables.jobs
    count = in_tray(connection, job)
    connection.execute(update(t).where(t.c.id == job).values(in_tray=count))


def in_tray(connection: Connection, job: str) -> int:
    t = tables.tray.c
    question = select(func.count()).where(t.job == job, t.settled.is_(False))
    return int(connection.execute(question).scalar_one())


def put_in_tray(
    connection: Connection,
    event: Event,
    *,
    code: str,
    why: str,
    received_at: str,
    settled: bool = False,
) -> int:
    """Keep an event beside; the same one twice is one entry. Gives its number."""
    t = tables.tray
    content = content_of(event)
    own = str(event.id)[:64] if isinstance(event.id, str) else ascii(event.id)[:64]
    own = own.encode("ascii", "backslashreplace").decode().replace("\0", "")
    there = connection.execute(
        select(t.c.number).where(t.c.id == own, t.c.content == content)
    ).scalar()
    if there is not None:
        values = {"code": code, "why": why, "settled": settled}
        connection.execute(update(t).where(t.c.number == there).values(**values))
        return int(there)
    number = (
        int(connection.execute(select(func.coalesce(func.max(t.c.number), 0))).scalar_one()) + 1
    )
    whole = _whole(event)
    if len(whole) > MOST_IN_TRAY:
        head = {"id": own, "kind": str(event.kind)[:40], "who": str(event.who)[:200]}
        whole = as_text({**head, "body": {"cut": whole[: MOST_IN_TRAY // 2]}})
    job = event.job if isinstance(event.job, str) and len(event.job) == 32 else ""
    connection.execute(
        insert(t),
        [
            {
                "number": number,
                "id": own,
                "job": job.encode("ascii", "backslashreplace").decode().replace("\0", ""),
                "whole": whole,
                "received_at": received_at,
                "code": code,
                "why": why.encode("utf-8", "backslashreplace").decode().replace("\0", ""),
                "content": content,
                "settled": settled,
            }
        ],
    )
    return number


def settle_in_tray(connection: Connection, *, content: str = "", id: str = "") -> None:
    """Note that an entry was looked at, or that the event of this id has come in after all."""
    t = tables.tray
    which = t.c.content == content if content else t.c.id == id
    connection.execute(update(t).where(which).values(settled=True))


def content_in_tray(connection: Connection, number: int) -> str:
    t = tables.tray.c
    return str(connection.execute(select(t.content).where(t.number == number)).scalar_one())


def tray_entry(row: Row[Any]) -> TrayEntry:
    whole = json.loads(row.whole)
    return TrayEntry(
        number=row.number,
        event=Event(
            id=str(whole.get("id", "")),
            job=str(whole.get("job", row.job)),
            device=str(whole.get("device", "")),
            seq=whole["seq"] if isinstance(whole.get("seq"), int) else 0,
            kind=str(whole.get("kind", "")),
            body=whole["body"] if isinstance(whole.get("body"), dict) else {},
            made_at=str(whole.get("made_at", "")),
            who=str(whole.get("who", "")),
        ),
        received_at=row.received_at,
        code=row.code,
        why=row.why,
        settled=row.settled,
    )
