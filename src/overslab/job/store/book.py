"""The lines of shots.csv: which line is which shot, and the file written again.

Lines nobody touched stay as they were typed. A shot that was struck or corrected stays readable as
a remark, as in a field book.
"""

from __future__ import annotations

import csv
import hashlib
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from overslab.job.shotsfile import COLUMNS

CELLS = ("point", "x", "y", "grid", "setup", "reading", "kind", "note")
_HEAD = ("point", "x", "y", "setup", "reading", "kind", "note")
_LINE_END = re.compile(r"\r\n|\r|\n")
_FORMULA = ("=", "+", "-", "@")
_MEASURED = ("x", "y", "reading")

Cells = dict[str, str]


@dataclass(slots=True)
class ShotLine:
    """A shot for the file: ``line`` is its line in the file it came with, None when it came later.

    ``was`` holds what stood there before, oldest first; ``touched`` that the line is to be written
    anew.
    """

    cells: Cells
    line: int | None
    struck: bool
    touched: bool
    was: Sequence[Cells]


def lines_of(text: str) -> list[str]:
    """The lines of a text whatever ends them; the last is empty when the text ends with a line."""
    return _LINE_END.split(text)


def rows_of(text: str) -> list[tuple[int, Cells]]:
    """The data lines of a field book, by the number of the line from 0; broken ones left out."""
    columns: list[str] | None = None
    found = []
    for number, line in enumerate(lines_of(text.removeprefix("\ufeff"))):
        cells = _cells(line)
        if cells is None:
            continue
        if columns is None:
            columns = _columns(cells)
        elif len(cells) >= len(columns):
            row = dict(zip(columns, cells, strict=False))
            found.append((number, {name: row.get(name, "") for name in CELLS}))
    return found


def line_id(event: str, line: int) -> str:
    """The number of a shot that came as a line of a file, the same every time it is asked for."""
    return hashlib.sha256(f"{event}:{line}".encode()).hexdigest()[:32]


def written(base: str, shots: Iterable[ShotLine]) -> str:
    """The whole of shots.csv: the file it began as, with what came since."""
    by_line: dict[int, ShotLine] = {}
    later: list[ShotLine] = []
    for shot in shots:
        if shot.line is None:
            later.append(shot)
        elif shot.touched or shot.struck:
            by_line[shot.line] = shot
    if not by_line and not later:
        return base
    mark = "\ufeff" if base.startswith("\ufeff") else ""
    lines = lines_of(base.removeprefix("\ufeff"))
    ends = _LINE_END.findall(base)
    end = ends[0] if ends else "\n"
    head = next((n for n, line in enumerate(lines) if _cells(line) is not None), None)
    if head is None:
        columns, added = list(_HEAD), _beyond(_HEAD, [*by_line.values(), *later])
    else:
        columns = _columns(_cells(lines[head]) or [])
        added = _beyond(columns, [*by_line.values(), *later])
    every = [*columns, *added]
    out: list[str] = []
    for number, line in enumerate(lines):
        here = by_line.get(number)
        if number == head and added:
            out.append(",".join(every))
        elif here is not None:
            out += _shot_lines(here, every, raw=line)
        elif added and head is not None and number > head and _cells(line) is not None:
            out.append(line + "," * len(added))
        else:
            out.append(line)
    closed = out[-1] == ""
    if closed:
        out.pop()
    if head is None:
        out.append(",".join(every))
    for shot in later:
        out += _shot_lines(shot, every, raw=None)
    if closed or later:
        out.append("")
    # Lines that stood there keep their own ends; a file of mixed ends gets one.
    return mark + (end if len(set(ends)) <= 1 else "\n").join(out)


def _shot_lines(shot: ShotLine, columns: Sequence[str], *, raw: str | None) -> list[str]:
    out = []
    for place, old in enumerate(shot.was):
        first_typed = raw is not None and place == 0
        out.append("# was: " + (raw if first_typed and raw is not None else row(old, columns)))
    typed = raw if raw is not None and not shot.touched else row(shot.cells, columns)
    out.append(f"# struck: {typed}" if shot.struck else typed)
    return out


def row(cells: Cells, columns: Sequence[str]) -> str:
    """One line of the file."""
    return ",".join(
        _cell(cells.get(name, "").strip(), name=name, first=place == 0)
        for place, name in enumerate(columns)
    )


def _cell(text: str, *, name: str, first: bool) -> str:
    if name not in _MEASURED and text.startswith(_FORMULA):
        # A table program would run it; behind a blank, which the reader drops, it is text.
        text = f" {text}"
    if "," in text or text.startswith(('"', " ")) or (first and text.startswith(("#", ";"))):
        return '"' + text.replace('"', '""') + '"'
    return text


def _cells(line: str) -> list[str] | None:
    """The cells of a line that counts; None for remarks, empty lines and broken quotes."""
    if not line.strip(" \t,;") or line.lstrip().startswith("#"):
        return None
    try:
        return [cell.strip() for cell in next(csv.reader([line], strict=True))]
    except (csv.Error, StopIteration):
        return None


def _columns(cells: Sequence[str]) -> list[str]:
    names = [cell.lower() for cell in cells]
    while names and not names[-1]:
        names.pop()
    return names


def _beyond(columns: Sequence[str], shots: Iterable[ShotLine]) -> list[str]:
    """Columns that the file lacks and these shots need."""
    needed = {
        name
        for shot in shots
        for cells in (shot.cells, *shot.was)
        for name, text in cells.items()
        if text.strip()
    }
    return [name for name in COLUMNS if name in needed and name not in columns]
