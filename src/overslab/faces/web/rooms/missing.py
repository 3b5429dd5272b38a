"""From a fault of the job to the form where it is put right."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from overslab.faces.web.rooms.desk import Desk
from overslab.faces.web.rooms.fact_fields import RATES, section_at, title_of
from overslab.faces.web.rooms.fact_saving import data_of
from overslab.faces.web.rooms.views import Missing
from overslab.ground.faults import Fault
from overslab.job.records import FolderTexts
from overslab.job.store import Store

_PLACE = re.compile(r"(?P<file>job\.toml|rates\.toml|shots\.csv)(?: line \d+)?(?:, (?P<words>.*))?")
_WORD = re.compile(r"'(?P<name>[^']*)'(?:\s|$)|(?P<word>\S+)")


def missing_of(store: Store, desk: Desk) -> tuple[Missing, ...]:
    """Every fault that keeps the job from being worked out, with the form that mends it."""
    if not desk.seen.faults:
        return ()
    texts = store.job(desk.line.id).folder_texts
    return tuple(_missing(fault, texts, desk.line.id) for fault in desk.seen.faults)


def _missing(fault: Fault, texts: FolderTexts, job: str) -> Missing:
    met = _PLACE.match(fault.place)
    if met is None:
        return Missing(fault, f"/jobs/{job}/facts", "Facts")
    if met["file"] == "shots.csv":
        return Missing(fault, f"/field/{job}/readings", "Readings")
    address = _address(met["file"], met["words"] or "", texts)
    section = section_at(address)
    if section is None:
        return Missing(fault, f"/jobs/{job}/facts", "Facts")
    head = address.split("/")[0]
    return Missing(fault, f"/jobs/{job}/facts/{address}", title_of(head))


def _address(file: str, words: str, texts: FolderTexts) -> str:
    """The deepest section on the way to a place such as ``door 'north door' sill``."""
    inside: Any = data_of(texts, file)
    best = RATES if file == "rates.toml" else ""
    path: list[str] = [RATES] if best else []
    for found in _WORD.finditer(words):
        if isinstance(inside, list):
            number = _number_of(found, inside)
            if number is None:
                break
            path.append(str(number))
            inside = inside[number]
        else:
            key = found["word"]
            if key is None:
                break
            path.append(key)
            inside = inside.get(key) if isinstance(inside, dict) else None
        if section_at("/".join(path)) is not None:
            best = "/".join(path)
    return best


def _number_of(found: re.Match[str], inside: Sequence[Any]) -> int | None:
    name, word = found["name"], found["word"]
    if name is not None:
        for number, one in enumerate(inside):
            if isinstance(one, dict) and one.get("name") == name:
                return number
        return None
    number = int(word) - 1 if word and word.isdecimal() and len(word) < 6 else -1
    return number if 0 <= number < len(inside) else None
