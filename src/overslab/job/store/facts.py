"""One value in a TOML text set or taken out, the owner's remarks left where they stand.

A path is a list of keys. Inside a list of sections a part is the number of the section from 0, or
its name; ``"+"`` at the end puts a new one behind the last.
"""

from __future__ import annotations

import contextlib
import copy
import datetime
import itertools
import json
import tomllib
from collections.abc import Callable, Sequence
from functools import lru_cache
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT

Path = Sequence[str | int]
APPEND = "+"


class CannotApply(ValueError):
    """The path leads nowhere, or the text would no longer say what it should."""


def with_value(text: str, path: Path, value: Any) -> str:
    """The text with ``value`` (text, number, true or false, list, table) at the path."""
    if path[-1] == APPEND and not isinstance(value, dict):
        raise CannotApply("only a section can be put behind the last one")
    return _with(text, tuple(path), json.dumps(value))


def without(text: str, path: Path) -> str:
    """The text without what stands at the path."""
    return _without(text, tuple(path))


# An undo tells the job over again: the same edits to the same texts, some ten milliseconds each.
@lru_cache(maxsize=1_024)
def _with(text: str, path: tuple[str | int, ...], as_json: str) -> str:
    value = json.loads(as_json)
    return _edited(text, path, lambda holder, last, kit: _put(holder, last, value, kit=kit))


@lru_cache(maxsize=256)
def _without(text: str, path: tuple[str | int, ...]) -> str:
    return _edited(text, path, lambda holder, last, _: _take(holder, last), make=False)


def value_at(text: str, path: Path) -> Any:
    """What stands at the path, as plain data; None when nothing does."""
    try:
        inside: Any = tomllib.loads(_plain(text)[0])
        for part in path:
            inside = inside[_key(inside, part)]
    except (tomllib.TOMLDecodeError, CannotApply, LookupError, TypeError):
        return None
    return inside


def by_name(text: str, path: Path) -> list[str | int]:
    """The same path with the numbers of sections turned into their names where they have one.

    A name still leads to the same section when one before it is taken out.
    """
    named: list[str | int] = []
    try:
        inside: Any = tomllib.loads(_plain(text)[0])
    except tomllib.TOMLDecodeError:
        return list(path)
    for part in path:
        known = part
        if isinstance(inside, list) and isinstance(part, int) and 0 <= part < len(inside):
            name = inside[part].get("name") if isinstance(inside[part], dict) else None
            names = [one.get("name") for one in inside if isinstance(one, dict)]
            if isinstance(name, str) and name != APPEND and names.count(name) == 1:
                known = name
        named.append(known)
        try:
            inside = inside[_key(inside, part)]
        except (CannotApply, LookupError, TypeError):
            inside = None
    return named


Act = Callable[[Any, Any, bool], None]


def _edited(text: str, path: Path, act: Act, *, make: bool = True) -> str:
    bare, dress = _plain(text)
    try:
        wanted = tomllib.loads(bare)
        document = tomlkit.parse(bare)
    except (tomllib.TOMLDecodeError, TOMLKitError, RecursionError, ValueError):
        raise CannotApply("the file itself is broken and must be mended first") from None
    try:
        for inside, kit in ((wanted, False), (document, True)):
            holder: Any = inside
            for place, (part, following) in enumerate(itertools.pairwise(path), start=2):
                # Only the section right above the key is made: further up a part may be the name
                # of a section in a list, and a list that is not there has none.
                holder = _into(holder, part, following, make=make and place == len(path), kit=kit)
            act(holder, path[-1], kit)
        changed = tomlkit.dumps(document)
        came_out = tomllib.loads(changed)
    except CannotApply:
        raise
    except (TOMLKitError, tomllib.TOMLDecodeError, LookupError, TypeError, ValueError) as trouble:
        raise CannotApply(f"it cannot be written into the file ({trouble})") from None
    if came_out != wanted:
        # The writer of TOML moved something else: rather no change than a silent one.
        raise CannotApply("it cannot be written without moving other lines of the file")
    return dress(changed)


def _plain(text: str) -> tuple[str, Callable[[str], str]]:
    """The text with plain line ends, and what puts its own line ends and mark back."""
    mark = "\ufeff" if text.startswith("\ufeff") else ""
    bare = text.removeprefix("\ufeff")
    crlf = "\r\n" in bare and bare.count("\n") == bare.count("\r\n")
    bare = bare.replace("\r\n", "\n").replace("\r", "\n")
    return bare, lambda done: mark + (done.replace("\n", "\r\n") if crlf else done)


def _key(inside: Any, part: str | int) -> str | int:
    """The part as a key of what it is to be looked up in."""
    if isinstance(inside, list):
        if isinstance(part, int):
            if 0 <= part < len(inside):
                return part
            raise CannotApply(f"there is no number {part + 1} in a list of {len(inside)}")
        fitting = [
            number
            for number, one in enumerate(inside)
            if isinstance(one, dict) and one.get("name") == part
        ]
        if len(fitting) == 1:
            return fitting[0]
        raise CannotApply(f"there are {len(fitting)} of the name {part!r}")
    if isinstance(inside, dict) and isinstance(part, str):
        return part
    raise CannotApply(f"nothing can stand under {part!r} here")


def _into(holder: Any, part: str | int, following: str | int, *, make: bool, kit: bool) -> Any:
    key = _key(holder, part)
    if isinstance(holder, dict) and key not in holder:
        if not make:
            raise CannotApply(f"there is no {part!r}")
        if following == APPEND:
            holder[key] = tomlkit.aot() if kit else []
        elif isinstance(following, str):
            holder[key] = tomlkit.table() if kit else {}
        else:
            raise CannotApply(f"there is no {part!r}")
    return holder[key]


def _put(holder: Any, last: str | int, value: Any, *, kit: bool) -> None:
    if last == APPEND:
        if not isinstance(holder, list):
            raise CannotApply("there is no list of sections to put it behind")
        if not kit:
            holder.append(copy.deepcopy(value))
        elif isinstance(holder, AoT):
            section = tomlkit.item(value)
            section.add(tomlkit.nl())  # as it stands between the others
            holder.append(section)
        else:
            inline = tomlkit.inline_table()
            inline.update(value)
            holder.append(inline)
        return
    key = _key(holder, last)
    there = _there(holder, key)
    if isinstance(there, datetime.date) and isinstance(value, str):
        with contextlib.suppress(ValueError):  # a day stays a day
            value = datetime.date.fromisoformat(value)
    holder[key] = value if kit else copy.deepcopy(value)


def _there(holder: Any, key: str | int) -> Any:
    try:
        return holder[key]
    except LookupError:
        return None


def _take(holder: Any, last: str | int) -> None:
    key = _key(holder, last)
    if isinstance(holder, dict) and key not in holder:
        raise CannotApply(f"there is no {last!r}")
    del holder[key]
