"""What phones send: each entry taken for itself, in one transaction, told back by its id."""

from __future__ import annotations

import json
from typing import Any

from overslab.faces.web.field import faults
from overslab.ground.faults import Faulty
from overslab.job.store import CREW_KINDS, Event, Kept, Store, Tray

MOST_EVENTS = 200  # the phone sends at most 100
MOST_IN_FILE = 20_000
_AT_ONCE = 500
_NAMES = ("id", "job", "device", "seq", "kind", "body", "made_at", "who")


class _NotJson(ValueError):
    pass


def _no_twins(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    read = dict(pairs)
    if len(read) < len(pairs):
        twice = next(name for n, (name, _) in enumerate(pairs) if name in dict(pairs[:n]))
        raise _NotJson(f"{twice[:40]!r} stands there twice")
    return read


def _no_constant(word: str) -> Any:
    raise _NotJson(f"{word} is no number")


def read_json(text: str | bytes) -> Any:
    """JSON with each name once and finite numbers; ``Faulty`` in plain words."""
    try:
        return json.loads(text, object_pairs_hook=_no_twins, parse_constant=_no_constant)
    except RecursionError:
        why = "brackets stand too deep in one another"
    except _NotJson as trouble:
        why = str(trouble)
    except UnicodeDecodeError:
        why = "it is no UTF-8 text"
    except json.JSONDecodeError as trouble:
        why = f"not JSON at line {trouble.lineno}, character {trouble.colno}"
    except ValueError:
        why = "a number is too long"
    raise Faulty(faults.BATCH_SHAPE.met(value="the request", why=why))


def read_batch(body: bytes) -> list[Any]:
    """The entries of a request; ``Faulty`` when there is no list of them."""
    sent = read_json(body)
    events = sent.get("events") if isinstance(sent, dict) else None
    if not isinstance(events, list):
        raise Faulty(faults.BATCH_SHAPE.met(value="the request", why="events is no list"))
    return events


def read_lines(text: str) -> tuple[list[Any], int]:
    """The entries of a phone's file, and how many lines could not be read.

    A file cut off on the way still gives every whole line. ``Faulty`` when no line is an entry.
    """
    found: list[Any] = []
    torn = 0
    lines = [line for line in text.lstrip("\ufeff").splitlines() if line.strip()]
    for line in lines[: MOST_IN_FILE + 1]:
        try:
            entry = read_json(line)
        except Faulty:
            torn += 1
            continue
        if isinstance(entry, dict) and "id" in entry:
            found.append(entry)
        else:
            torn += 1
    if not found or len(lines) > MOST_IN_FILE:
        raise Faulty(
            faults.HANDOVER_SHAPE.met(value=f"{len(lines)} lines", most=f"{MOST_IN_FILE:,}")
        )
    return found, torn


def take(store: Store, entries: list[Any]) -> Kept:
    """Keeps what can be kept. Raises ``NotKept`` when nothing was."""
    events: list[Event] = []
    tray: list[Tray] = []
    have: list[str] = []
    now = ""
    for entry in entries:
        if isinstance(entry, dict) and set(entry) == set(_NAMES):
            # The store looks at every part itself and says what is wrong with it.
            events.append(Event(**entry))
        else:
            id_ = str(entry.get("id", ""))[:64] if isinstance(entry, dict) else ""
            fault = faults.BATCH_SHAPE.met(value=id_, why="an entry lacks a part, or has one more")
            tray.append(Tray(id=id_, code=fault.code, why=fault.what))
    for start in range(0, max(1, len(events)), _AT_ONCE):
        kept = store.keep(events[start : start + _AT_ONCE], allowed=CREW_KINDS)
        have += kept.have
        tray += kept.tray
        now = kept.now
    return Kept(have=tuple(have), tray=tuple(tray), now=now)
