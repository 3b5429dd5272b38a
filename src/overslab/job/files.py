"""Text of a job's files, and where in it a key stands."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from overslab.ground.faults import Faulty
from overslab.job import faults

MOST_BYTES = 2_000_000

_OTHER_BOMS = (
    (b"\xff\xfe", " (it looks like UTF-16)"),
    (b"\xfe\xff", " (it looks like UTF-16)"),
)
_NO_TEXT = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff]")

# What the reader of TOML says, said in plain words.
_WHY = {
    "Illegal character '\\n'": "a quote is opened and not closed",
    "Unterminated string": "a quote is opened and not closed",
    "Cannot overwrite a value": "this key stands there twice",
    "Cannot declare": "this section stands there twice",
    "Expected newline or end of document": "something is left over behind the value",
    "Expected '=' after a key": "there is no = behind the key",
    "Unclosed array": "a bracket is opened and not closed",
    "Invalid value": "there is no value that can be read; text stands in quotes",
    "Invalid date or datetime": "no calendar has such a day",
}

KeyPath = tuple[str | int, ...]


def read_text(path: Path) -> str:
    """The whole file as text with lines parted by ``\\n``; ``Faulty`` says what is in the way."""
    return plain_text(text_of(path), file=path.name)


def text_of(path: Path) -> str:
    """The file as it was saved, to the last mark; ``Faulty`` when it is not UTF-8 text."""
    file = path.name
    if not path.exists():
        raise Faulty(faults.FILE_MISSING.met(value=str(path), place=file, file=file))
    try:
        _no_bigger(path.stat().st_size, file=file)
        raw = path.read_bytes()
    except OSError as trouble:
        raise Faulty(
            faults.FILE_UNREADABLE.met(value=trouble.strerror, place=file, file=file)
        ) from None
    for mark, guess in _OTHER_BOMS:
        if raw.startswith(mark):
            raise Faulty(
                faults.FILE_ENCODING.met(value=raw[:2], place=file, file=file, guess=guess)
            )
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError as trouble:
        line = trouble.object[: trouble.start].count(b"\n") + 1
        raise Faulty(
            faults.FILE_ENCODING.met(
                value=f"byte {trouble.object[trouble.start]:#04x}",
                place=f"{file} line {line}",
                file=file,
                guess="",
            )
        ) from None


def plain_text(text: str, *, file: str) -> str:
    """The same text with lines parted by ``\\n``; ``Faulty`` when it is no text of a job's file."""
    size = len(text.encode("utf-8", "surrogatepass"))
    _no_bigger(size, file=file)
    text = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    bad = _NO_TEXT.search(text)
    if bad:
        line = text.count("\n", 0, bad.start()) + 1
        raise Faulty(
            faults.FILE_NOT_TEXT.met(
                value=f"character number {ord(bad[0])}", place=f"{file} line {line}", file=file
            )
        )
    if not any(_says_something(line) for line in text.split("\n")):
        raise Faulty(faults.FILE_EMPTY.met(value=f"{size} bytes", place=file, file=file))
    return text


def _no_bigger(size: int, *, file: str) -> None:
    if size > MOST_BYTES:
        raise Faulty(
            faults.FILE_TOO_BIG.met(
                value=f"{size:,} bytes", place=file, file=file, most=f"{MOST_BYTES:,}"
            )
        )


def _says_something(line: str) -> bool:
    bare = line.strip()
    return bool(bare) and not bare.startswith("#")


def parse_toml(text: str, *, file: str) -> dict[str, Any]:
    """The tables of a TOML text; a syntax error is told with its line."""
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as trouble:
        says, _, at = str(trouble).rpartition(" (at ")
        says = (says or str(trouble)).rstrip(".")
        line = re.search(r"line (\d+)", at)
        number = int(line[1]) if line else text.count("\n") + 1
        lines = text.split("\n")
        given = lines[number - 1].strip()[:80] if number <= len(lines) else ""
        raise Faulty(
            faults.TOML_BROKEN.met(
                value=given or "the end of the file",
                place=f"{file} line {number}",
                why=next((ours for theirs, ours in _WHY.items() if theirs in says), says.lower()),
            )
        ) from None
    except (RecursionError, ValueError) as trouble:
        # Brackets nested past all sense, and dates or numbers that no calendar holds.
        why = (
            "brackets stand too deep in one another"
            if isinstance(trouble, RecursionError)
            else str(trouble)
        )
        raise Faulty(faults.TOML_BROKEN.met(value=file, place=file, why=why)) from None


_TABLE = re.compile(r"\s*(\[\[?)\s*([^\[\]]+?)\s*\]\]?\s*(?:#.*)?")
_KEY = re.compile(r"""\s*([A-Za-z0-9_-]+|"[^"]*"|'[^']*')\s*=""")


def key_lines(text: str) -> dict[KeyPath, int]:
    """Line numbers of tables and keys, by path such as ``("door", 1, "sill")``.

    For places in faults only: a key that a reader of lines cannot see, such as one inside an inline
    table, has the line of what holds it.
    """
    lines: dict[KeyPath, int] = {}
    counts: dict[str, int] = {}
    here: KeyPath = ()
    depth = 0
    for number, line in enumerate(text.split("\n"), start=1):
        table = _TABLE.fullmatch(line) if depth == 0 else None
        if table:
            name = table[2]
            if table[1] == "[[":
                counts[name] = counts.get(name, -1) + 1
                here = (*_path(name), counts[name])
            else:
                here = _path(name)
            lines.setdefault(here, number)
            lines.setdefault(here[:1], number)
            continue
        key = _KEY.match(line) if depth == 0 else None
        if key:
            lines.setdefault((*here, key[1].strip("\"'")), number)
        bare = re.sub(r""""(?:[^"\\]|\\.)*"|'[^']*'|#.*""", "", line)
        depth = max(0, depth + bare.count("[") - bare.count("]"))
    return lines


def _path(name: str) -> KeyPath:
    return tuple(part.strip().strip("\"'") for part in name.split("."))


def place_of(path: KeyPath, *, lines: dict[KeyPath, int], file: str, data: Any) -> str:
    """``job.toml line 42, door 'north door' sill``: where a person finds the key."""
    number = next((lines[path[:n]] for n in range(len(path), 0, -1) if path[:n] in lines), None)
    words: list[str] = []
    inside = data
    for part in path:
        try:
            inside = inside[part]
        except (KeyError, IndexError, TypeError):
            inside = None
        if isinstance(part, int):
            name = inside.get("name") if isinstance(inside, dict) else None
            words.append(f"'{name}'" if isinstance(name, str) else str(part + 1))
        else:
            words.append(str(part))
    head = f"{file} line {number}" if number else file
    return f"{head}, {' '.join(words)}" if words else head
