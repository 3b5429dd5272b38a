"""What a person typed otherwise: the texts of two versions, key by key."""

from __future__ import annotations

import csv
import io
import tomllib
from collections.abc import Iterator
from typing import Any

from overslab.job.records import FolderTexts
from overslab.job.revising.records import FactChange, File


def changed_facts(before: FolderTexts, after: FolderTexts) -> tuple[FactChange, ...]:
    """Every key whose typed text differs; remarks and the order of sections do not count.

    A file that cannot be read as what it is counts as one fact, its whole text.
    """
    return (
        *_of_toml("job.toml", before.job_toml, after.job_toml),
        *_of_shots(before.shots_csv, after.shots_csv),
        *_of_toml("rates.toml", before.rates_toml, after.rates_toml),
    )


def _of_toml(file: File, before: str, after: str) -> list[FactChange]:
    try:
        was, now = (dict(_leaves(tomllib.loads(_plain(text)), ())) for text in (before, after))
    except tomllib.TOMLDecodeError:
        return [FactChange(file, "the whole file", before, after)] if before != after else []
    return _compared(file, was, now)


def _compared(file: File, was: dict[str, str], now: dict[str, str]) -> list[FactChange]:
    keys = list(dict.fromkeys([*was, *now]))
    return [
        FactChange(file, key, was.get(key), now.get(key))
        for key in keys
        if was.get(key) != now.get(key)
    ]


def _leaves(value: Any, path: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from _leaves(inner, (*path, str(key)))
    elif isinstance(value, list) and value and all(isinstance(one, dict) for one in value):
        names = [one.get("name", one.get("code")) for one in value]
        for number, one in enumerate(value):
            name = names[number]
            own = isinstance(name, str) and names.count(name) == 1
            inner = {key: part for key, part in one.items() if not (own and part == name)}
            label = str(name) if own else f"number {number + 1}"
            yield (_key((*path, label)), "there")
            yield from _leaves(inner, (*path, label))
    else:
        yield _key(path), _text(value)


def _key(path: tuple[str, ...]) -> str:
    return " > ".join(path)


def _text(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        return f"[{', '.join(_text(one) for one in value)}]"
    return str(value)


def _of_shots(before: str, after: str) -> list[FactChange]:
    was, now = (_shots(text) for text in (before, after))
    return _compared("shots.csv", was, now)


def _shots(text: str) -> dict[str, str]:
    """Each shot by its point and set-up, and by how often that pair has come already."""
    lines = [line for line in _plain(text).split("\n") if line.strip() and line.lstrip()[0] != "#"]
    rows = list(csv.reader(io.StringIO("\n".join(lines))))
    if not rows:
        return {}
    head = [cell.strip().lower() for cell in rows[0]]
    found: dict[str, str] = {}
    for row in rows[1:]:
        cells = dict(zip(head, (cell.strip() for cell in row), strict=False))
        point, setup = cells.pop("point", ""), cells.pop("setup", "")
        key = f"shot {point} of set-up {setup}"
        again = 1
        while key in found:
            again += 1
            key = f"shot {point} of set-up {setup}, {again}"
        found[key] = ", ".join(f"{name} {cell}" for name, cell in cells.items() if cell)
    return found


def _plain(text: str) -> str:
    return text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
