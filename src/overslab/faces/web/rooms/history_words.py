"""What an event did, in a sentence."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from overslab.job.store import Event

_LONGEST = 120


def words_of(event: Event, *, known: Mapping[str, Event] | None = None) -> str:
    """What was done; ``known`` are the events of the job by their ids, for what it refers to."""
    known = known or {}
    of = known.get(str(event.body.get("of", "")))
    if event.kind == "undone":
        if of is None:
            return "undone: an earlier entry"
        if of.kind == "undone":  # to undo an undo does the thing again
            again = known.get(str(of.body.get("of", "")))
            return f"done again: {words_of(again, known=known) if again else 'an earlier entry'}"
        return f"undone: {words_of(of, known=known)}"
    if event.kind == "shot-struck":
        why = f": {_value(event.body['why'])}" if event.body.get("why") else ""
        return f"struck {_shot(of.body) if of else 'a shot'}{why}"
    if event.kind == "shot-replaced":
        before = f", before {of.body.get('reading')}" if of and of.body.get("reading") else ""
        return f"{_shot(event.body)} (corrected{before})"
    said = _SAY.get(event.kind)
    return said(event.body) if said else event.kind.replace("-", " ")


def _value(value: Any) -> str:
    if isinstance(value, bool):
        text = "yes" if value else "no"
    elif isinstance(value, Mapping):
        text = ", ".join(f"{key} {_value(one)}" for key, one in value.items())
    elif isinstance(value, list | tuple):
        text = "; ".join(_value(one) for one in value)
    else:
        text = str(value)
    return text if len(text) <= _LONGEST else text[: _LONGEST - 3] + "..."


def _path(path: Sequence[Any]) -> str:
    words = []
    for part in path:
        if part == "+":
            words.append("new")
        elif isinstance(part, int):
            words.append(str(part + 1))
        else:
            words.append(str(part).replace("_", " "))
    return " ".join(words)


def _fact(body: Mapping[str, Any]) -> str:
    return f"{_path(body.get('path', ()))}: {_value(body.get('value'))}"


def _gone(body: Mapping[str, Any]) -> str:
    return f"{_path(body.get('path', ()))} taken out"


def _rates(body: Mapping[str, Any]) -> str:
    return f"rates, {_gone(body) if body.get('value') is None else _fact(body)}"


def _shot(body: Mapping[str, Any]) -> str:
    where, read = body.get("point") or "no name", body.get("reading") or "nothing"
    return f"shot {where}, set-up {body.get('setup') or 'none'}: {read}"


def _about(word: str, key: str) -> Callable[[Mapping[str, Any]], str]:
    return lambda body: f"{word}: {_value(body.get(key) or body.get('about') or 'no words')}"


_SAY: dict[str, Callable[[Mapping[str, Any]], str]] = {
    "job-begun": lambda body: f"job begun: {_value(body.get('name', ''))}",
    "fact-set": _fact,
    "fact-removed": _gone,
    "rates-set": _rates,
    "text-set": lambda body: f"the whole of {body.get('file')} written anew",
    "shot-kept": _shot,
    "photo-added": _about("photo", "about"),
    "finding-kept": _about("finding", "words"),
    "note-kept": _about("note", "text"),
    "ticket-kept": lambda body: f"ticket: {_value(body)}",
    "tray-settled": lambda body: f"tray entry {body.get('tray')} looked at",
    "job-put-away": lambda _: "job put away",
}
