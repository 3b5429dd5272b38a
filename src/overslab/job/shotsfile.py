"""``shots.csv``: the field book, one reading a line, read forgivingly and told strictly."""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Callable
from typing import get_args

from overslab.ground import units
from overslab.ground.faults import Fault, Faulty
from overslab.ground.units import System
from overslab.job import faults
from overslab.job.typed import LABEL, length_m, told
from overslab.shots.records import Kind, Reading

COLUMNS = ("point", "x", "y", "setup", "reading", "kind", "note", "grid")
NEEDED = ("point", "setup", "reading", "kind")
PLACED_KINDS = ("floor", "sill", "step", "drive", "asbuilt")  # kinds that lie on the plan
GRID_KINDS = ("floor", "asbuilt")  # kinds whose point may be named by its label on the taped grid
MOST_READINGS = 5_000
MOST_AT_ONE_PLACE = 200
MOST_CELL = {"point": 40, "setup": 20, "note": 500}
SAME_PLACE_M = 0.001  # two places closer than this are one place typed in two ways

Point = tuple[float, float]
Find = Callable[[str], Point]  # looks a grid label up; raises Faulty


def read_shots(
    text: str, *, file: str, system: System, rod: System, find: Find | None
) -> tuple[Reading, ...]:
    """Every reading of the text of ``shots.csv``. ``find`` is None when no grid was taped.

    Raises ``Faulty`` with all faults of the file, each with its line.
    """
    book = _Book(file=file, system=system, rod=rod, find=find)
    for number, line in enumerate(text.split("\n"), start=1):
        book.take(number=number, line=line)
    return book.close()


class _Book:
    """The field book while it is read: columns, readings so far, faults so far."""

    def __init__(self, *, file: str, system: System, rod: System, find: Find | None) -> None:
        self.file, self.system, self.rod, self.find = file, system, rod, find
        self.columns: list[str] | None = None
        self.readings: list[Reading] = []
        self.lines_with_text = 0
        self.found: list[Fault] = []
        self.first: dict[str, tuple[int, Point, str]] = {}

    def take(self, *, number: int, line: str) -> None:
        if not line.strip(" \t,;") or line.lstrip().startswith("#"):
            return
        place = f"{self.file} line {number}"
        try:
            cells = [cell.strip() for cell in next(csv.reader([line], strict=True))]
        except (csv.Error, StopIteration):
            self.found.append(faults.ROW_QUOTE.met(value=_short(line), place=place))
            if self.columns is None:
                raise Faulty(self.found) from None
            return
        if self.columns is None:
            self._head(cells, place=place)
            return
        self.lines_with_text += 1
        if self.lines_with_text > MOST_READINGS:
            return
        if len(cells) > len(self.columns) and not any(cells[len(self.columns) :]):
            del cells[len(self.columns) :]  # spreadsheets trail empty cells
        if len(cells) != len(self.columns):
            self.found.append(
                faults.ROW_CELLS.met(
                    value=_short(line), place=place, cells=len(cells), columns=len(self.columns)
                )
            )
            return
        self._row(dict(zip(self.columns, cells, strict=True)), number=number, place=place)

    def _head(self, cells: list[str], *, place: str) -> None:
        names = [cell.lower() for cell in cells]
        while names and not names[-1]:
            names.pop()
        counts = Counter(names)
        for name, count in counts.items():
            if name not in COLUMNS:
                given = _short(name) or "without a name"
                self.found.append(faults.COLUMN_UNKNOWN.met(value=given, place=place, column=given))
            elif count > 1:
                self.found.append(faults.COLUMN_TWICE.met(value=name, place=place, column=name))
        for name in NEEDED:
            if name not in counts:
                given = _short(", ".join(names))
                self.found.append(faults.COLUMN_MISSING.met(value=given, place=place, column=name))
        if self.found:  # without its columns no line can be read
            raise Faulty(faults.capped(self.found, file=self.file))
        self.columns = names

    def _row(self, row: dict[str, str], *, number: int, place: str) -> None:
        before = len(self.found)
        for column in NEEDED:
            if not row[column]:
                self.found.append(
                    faults.CELL_EMPTY.met(value="nothing", place=place, column=column)
                )
        for column, most in MOST_CELL.items():
            if len(row.get(column, "")) > most:
                self.found.append(
                    faults.CELL_LONG.met(
                        value=_short(row[column]), place=place, column=column, most=most
                    )
                )
        kind = row["kind"].lower()
        if kind and kind not in get_args(Kind):
            known = ", ".join(get_args(Kind))
            self.found.append(
                faults.KIND_UNKNOWN.met(
                    value=_short(kind), place=place, kind=_short(kind), known=known
                )
            )
        reading_m = self._reading(row["reading"], place=place) if row["reading"] else None
        at = self._at(row, kind=kind, place=place)
        if len(self.found) > before or reading_m is None:
            return
        if at is not None and not self._stays(row, at=at, number=number, place=place):
            return
        self.readings.append(
            Reading(
                line=number,
                point=row["point"],
                setup=row["setup"],
                reading_m=reading_m,
                kind=next(known for known in get_args(Kind) if known == kind),
                x_m=at[0] if at else None,
                y_m=at[1] if at else None,
                note=row.get("note", ""),
                typed=row["reading"],
            )
        )

    def _reading(self, text: str, *, place: str) -> float | None:
        try:
            return units.read_rod_m(text, system=self.rod)
        except Faulty as trouble:
            self.found.extend(told(fault, place=f"{place}, reading") for fault in trouble.faults)
            return None

    def _at(self, row: dict[str, str], *, kind: str, place: str) -> Point | None:
        x, y, label = row.get("x", ""), row.get("y", ""), row.get("grid", "")
        if (x or y) and label:
            given = f"{x}, {y} and {label}"
            self.found.append(faults.PLACE_TWICE.met(value=given, place=place))
            return None
        if x and y:
            east = self._length(x, place=f"{place}, x")
            north = self._length(y, place=f"{place}, y")
            return None if east is None or north is None else (east, north)
        if not (x or y) and not label and self.find and LABEL.fullmatch(row["point"]):
            # A point that is called by its label on the taped grid lies there.
            label = row["point"] if kind in GRID_KINDS else ""
        if label:
            return self._look_up(label, place=place)
        if x or y or kind in PLACED_KINDS:
            given = f"x {x or 'nothing'}, y {y or 'nothing'}"
            self.found.append(faults.PLACE_HALF.met(value=given, place=place))
        return None

    def _look_up(self, label: str, *, place: str) -> Point | None:
        if self.find is None:
            fault = faults.GRID_MISSING.met(value=_short(label), place=place, label=_short(label))
            self.found.append(fault)
            return None
        try:
            return self.find(label)
        except Faulty as trouble:
            self.found.extend(told(fault, place=place) for fault in trouble.faults)
            return None

    def _length(self, text: str, *, place: str) -> float | None:
        try:
            return place_length_m(text, system=self.system)
        except Faulty as trouble:
            self.found.extend(told(fault, place=place) for fault in trouble.faults)
            return None

    def _stays(self, row: dict[str, str], *, at: Point, number: int, place: str) -> bool:
        typed = ", ".join(row[cell] for cell in ("x", "y", "grid") if row.get(cell)) or row["point"]
        line, was, said = self.first.setdefault(row["point"], (number, at, typed))
        if abs(was[0] - at[0]) <= SAME_PLACE_M and abs(was[1] - at[1]) <= SAME_PLACE_M:
            return True
        self.found.append(
            faults.POINT_MOVED.met(
                value=typed, place=place, point=row["point"], line=line, first=said
            )
        )
        return False

    def close(self) -> tuple[Reading, ...]:
        if self.lines_with_text > MOST_READINGS:
            self.found.append(
                faults.SHOTS_TOO_MANY.met(
                    value=f"{self.lines_with_text} readings", place=self.file, most=MOST_READINGS
                )
            )
        if not self.lines_with_text:
            self.found.append(faults.SHOTS_NONE.met(value="no readings", place=self.file))
        places = Counter(
            (round(one.x_m, 3), round(one.y_m, 3))
            for one in self.readings
            if one.x_m is not None and one.y_m is not None
        )
        for (x_m, y_m), count in places.items():
            if count > MOST_AT_ONE_PLACE:
                self.found.append(
                    faults.SHOTS_AT_ONE_PLACE.met(
                        value=f"{count} readings",
                        place=self.file,
                        count=count,
                        point=f"x {x_m:.3f} m, y {y_m:.3f} m",
                        most=MOST_AT_ONE_PLACE,
                    )
                )
        if self.found:
            raise Faulty(faults.capped(self.found, file=self.file))
        return tuple(self.readings)


def place_length_m(text: str, *, system: System) -> float:
    """A cell x or y. In feet and inches a bare number could be either, so it needs its unit."""
    if system == "feet-inches":
        return length_m(text, system=system)
    return units.read_length_m(text, system=system)


def _short(text: str) -> str:
    return text if len(text) <= 60 else text[:57] + "..."
