"""Edits by the office: each goes onto what its writer saw; each can be undone."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from overslab.ground.faults import Faulty
from overslab.job.store import facts, faults, rows
from overslab.job.store.fold import Cancelled, Fold, undone_among
from overslab.job.store.keeper import Keeper
from overslab.job.store.keeping import Batch, plain
from overslab.job.store.kinds import NEVER_UNDONE, fault_of
from overslab.job.store.records import Body, Event, KeptEvent, Stale

_JOB_KINDS = frozenset({"fact-set", "fact-removed"})
_FILES = {"job.toml": "job", "rates.toml": "rates", "shots.csv": "shots"}
_SHOWN = 2_000  # characters of a text that are told in a fault; the whole lies in the tray

# What an event speaks of: the file, then the path in it or the shot; () alone is everything.
Subject = tuple[str | int, ...]


def admit(batch: Batch, event: Event) -> KeptEvent:
    """Take an event of our own in; what keeps it out is told at once and nothing is kept."""
    event = plain(event)
    fault = fault_of(event) or batch.into_job(event)
    if fault is not None:
        raise Faulty(fault)
    return batch.fresh[event.job][-1]


def _fold(batch: Batch, job: str) -> Fold:
    fold = batch.fold(job)
    if fold is None:
        raise Faulty(faults.JOB_UNKNOWN.met(value=job[:40]))
    return fold


def add(
    store: Keeper, job: str, *, kind: str, body: Body, who: str, device: str | None = None
) -> int:
    """An entry that replaces nothing and so cannot be stale; gives the new version."""
    with store.batch(allowed=None) as batch:
        event = _next(store, _fold(batch, job), kind, body, who=who, device=device)
        return admit(batch, event).arrival


def _next(
    store: Keeper, fold: Fold, kind: str, body: Body, *, who: str, device: str | None
) -> Event:
    seq = fold.last_seq.get(device or store.office, 0) + 1
    return store.made(fold.id, kind, body, who=who, seq=seq, device=device)


def change(
    store: Keeper,
    job: str,
    *,
    based_on: int,
    kind: str,
    body: Body,
    who: str,
    device: str | None,
    seen: frozenset[str] | None = None,
) -> int:
    """See ``Store.change``. ``seen`` names the events its writer saw, where a version cannot."""
    stale: Stale | None = None
    with store.batch(allowed=None) as batch:
        fold = _fold(batch, job)
        event = _next(store, fold, kind, _named(fold, kind, body), who=who, device=device)
        fault = fault_of(event)
        if fault is not None:
            raise Faulty(fault)
        if not 0 <= based_on <= fold.version:
            why = f"it was made on version {based_on}, and the job is at {fold.version}"
            raise Faulty(faults.ENTRY_SHAPE.met(value=kind, why=why))
        if _says_nothing_new(fold, event):
            return fold.version
        if _overtaken(batch, event, based_on=based_on, seen=seen):
            stale = _kept_beside(batch, fold, event)
        else:
            return admit(batch, event).arrival
    raise stale


def _named(fold: Fold, kind: str, body: Body) -> Body:
    """The body with sections called by their names, which stay true when others are taken out."""
    path = body.get("path")
    if not isinstance(path, list) or not all(isinstance(part, str | int) for part in path):
        return body
    text = fold.rates_toml if kind == "rates-set" else fold.job_toml
    return {**body, "path": facts.by_name(text, path)}


def _says_nothing_new(fold: Fold, event: Event) -> bool:
    there, wanted = _here_and_wanted(fold, event)
    return there is not None and there == wanted


def _here_and_wanted(fold: Fold, event: Event) -> tuple[Any, Any]:
    """What stands where the event would write, and what it would write."""
    body = event.body
    match event.kind:
        case "fact-set":
            return facts.value_at(fold.job_toml, body["path"]), body["value"]
        case "fact-removed":
            return facts.value_at(fold.job_toml, body["path"]), None
        case "rates-set":
            return facts.value_at(fold.rates_toml, body["path"]), body.get("value")
        case "text-set":
            texts = fold.texts()
            here = {
                "job.toml": texts.job_toml,
                "shots.csv": texts.shots_csv,
                "rates.toml": texts.rates_toml,
            }
            return here[body["file"]], body["text"]
        case "shot-replaced" | "shot-struck":
            of = str(body["of"])
            thing = fold.things.get(fold.alias.get(of, of))
            wanted = {key: text for key, text in body.items() if key != "of"}
            if thing is None or thing.struck:
                return "struck" if thing else None, wanted
            return thing.body, wanted
        case _:
            return None, body


def _overtaken(batch: Batch, event: Event, *, based_on: int, seen: frozenset[str] | None) -> bool:
    """Whether what the event speaks of was changed by what its writer had not seen."""
    if seen is None and based_on == _fold(batch, event.job).version:
        return False
    events = batch.events(event.job)
    by_id = {kept.event.id: kept.event for kept in events}
    mine = subject(event, by_id)
    if not mine:
        return False
    since = (
        kept.event
        for kept in events
        if (kept.arrival > based_on if seen is None else kept.event.id not in seen)
    )
    return any(_touch(mine, subject(one, by_id)) for one in since)


def subject(event: Event, by_id: dict[str, Event]) -> Subject:
    """What an event changes; empty for what changes nothing that was there."""
    body = event.body
    if event.kind in _JOB_KINDS or (event.kind == "finding-kept" and body.get("path")):
        return _path("job", body["path"])
    match event.kind:
        case "rates-set":
            return _path("rates", body["path"])
        case "text-set":
            return (_FILES[body["file"]],)
        case "shot-replaced" | "shot-struck":
            return ("shots", _root(body["of"], by_id))
        case "undone":
            of = by_id.get(body["of"])
            return subject(of, by_id) if of is not None else ()
        case "shot-kept":
            return ("shots", event.id)
        case _:
            return ()


def _path(file: str, path: list[str | int]) -> Subject:
    # A new section behind the last touches no other.
    return () if path[-1] == facts.APPEND else (file, *path)


def _root(of: str, by_id: dict[str, Event]) -> str:
    seen: set[str] = set()
    while of in by_id and by_id[of].kind == "shot-replaced" and of not in seen:
        seen.add(of)
        of = by_id[of].body["of"]
    return of


def _touch(one: Subject, other: Subject) -> bool:
    """Whether one holds the other or is the same."""
    return bool(one and other) and all(a == b for a, b in zip(one, other, strict=False))


def _kept_beside(batch: Batch, fold: Fold, event: Event) -> Stale:
    there, wanted = _here_and_wanted(fold, event)
    theirs, yours = _told(there), _told(wanted)
    fault = faults.EDIT_STALE.met(value=yours, theirs=theirs)
    number = batch.put_beside(event, fault)
    return Stale(fault, yours=yours, theirs=theirs, tray=number, version=fold.version)


def _told(value: Any) -> str:
    if value is None:
        return "nothing"
    text = value if isinstance(value, str) else json.dumps(value, ensure_ascii=False, default=str)
    return text if len(text) <= _SHOWN else text[:_SHOWN] + " ..."


def undo(store: Keeper, job: str, *, who: str, of: str | None, device: str | None) -> KeptEvent:
    """See ``Store.undo``."""
    with store.batch(allowed=None) as batch:
        fold = _fold(batch, job)
        events = batch.events(job)
        cancelled = undone_among(events)
        if of is None:
            of = _last_standing(events, cancelled, device=device or store.office)
        elif not any(kept.event.id == of for kept in _standing(events, cancelled)):
            of = None
        if of is None:
            raise Faulty(faults.NOTHING_TO_UNDO.met(value=fold.name, verb="undo"))
        return _turned(store, batch, fold, of, who=who, device=device)


def redo(store: Keeper, job: str, *, who: str, device: str | None) -> KeptEvent:
    """See ``Store.redo``."""
    with store.batch(allowed=None) as batch:
        fold = _fold(batch, job)
        events = batch.events(job)
        cancelled = undone_among(events)
        kind_of = {kept.event.id: kept.event.kind for kept in events}
        mine = [kept.event for kept in events if kept.event.device == (device or store.office)]
        for event in reversed(mine):
            if event.kind in ("tray-settled",) or event.id in cancelled.ids:
                continue
            if event.kind != "undone":
                break  # something new was done since: there is nothing to go forward to
            if event.id in cancelled.void or kind_of.get(event.body["of"]) == "undone":
                continue
            return _turned(store, batch, fold, event.id, who=who, device=device)
        raise Faulty(faults.NOTHING_TO_UNDO.met(value=fold.name, verb="do again"))


def _standing(events: Iterable[KeptEvent], cancelled: Cancelled) -> list[KeptEvent]:
    return [
        kept
        for kept in events
        if kept.event.kind not in NEVER_UNDONE and kept.event.id not in cancelled.ids
    ]


def _last_standing(events: Iterable[KeptEvent], cancelled: Cancelled, *, device: str) -> str | None:
    mine = [kept for kept in _standing(events, cancelled) if kept.event.device == device]
    return max(mine, key=lambda kept: kept.event.seq).event.id if mine else None


def _turned(
    store: Keeper, batch: Batch, fold: Fold, of: str, *, who: str, device: str | None
) -> KeptEvent:
    before = set(fold.skipped)
    kept = admit(batch, _next(store, fold, "undone", {"of": of}, who=who, device=device))
    after = _fold(batch, fold.id)
    lost = set(after.skipped) - before
    if lost:
        kinds = {one.event.id: one.event.kind for one in batch.events(fold.id)}
        later = ", ".join(sorted({kinds.get(one, one) for one in lost}))
        raise Faulty(faults.UNDO_BLOCKED.met(value=kinds.get(of, of), later=later))
    return kept


def settle(store: Keeper, number: int, *, who: str) -> None:
    """See ``Store.settle``."""
    entry = next((one for one in store.tray(settled=True) if one.number == number), None)
    if entry is None:
        raise Faulty(faults.ENTRY_WITHOUT_PLACE.met(value=number, why="it is not in the tray"))
    if entry.settled:
        return
    with store.batch(allowed=None) as batch:
        fold = batch.fold(entry.event.job)
        content = rows.content_in_tray(batch.connection, number)
        if fold is None:  # sent to a job that is not here: there is no list to write it into
            rows.settle_in_tray(batch.connection, content=content)
            return
        event = _next(store, fold, "tray-settled", {"content": content}, who=who, device=None)
        admit(batch, event)
