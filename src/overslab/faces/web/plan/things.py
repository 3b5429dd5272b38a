"""What can be drawn on the plan, as it stands in job.toml and as it is being typed."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Literal

from overslab.faces.web.plan.places import as_value

Row = tuple[str, str]  # x and y as typed; a grid label stands in x alone
FieldKind = Literal["text", "choice", "number"]
_NO_OR_YES = (("", "not said"), ("true", "yes"), ("false", "no"))
MOST_ROWS = 60


@dataclass(frozen=True, slots=True)
class Entry:
    """One further key of a thing."""

    key: str
    label: str
    hint: str = ""
    kind: FieldKind = "text"
    choices: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Sort:
    """A sort of thing: where it stands in job.toml and what a person types of it."""

    code: str
    title: str
    one: str
    section: str
    corners: str  # the key of its line or ring
    closed: bool
    first_rows: int
    entries: tuple[Entry, ...] = ()
    most_rows: int = MOST_ROWS


_DOOR = (
    Entry("edge", "number of the edge it is in", "edge 1 runs from corner 1 to corner 2", "number"),
    Entry("offset", "from the first corner of that edge"),
    Entry("width", "width of the opening"),
    Entry("kind", "kind", "", "choice", (("", "-"), ("overhead", "overhead"), ("side", "side"))),
    Entry("sill", "height of the sill", "shot S1, or shots S1, S2, or a height"),
    Entry("may_rise", "the new top may end above the sill by"),
    Entry("may_drop", "the new top may end below the sill by"),
    Entry("lets_water_out_today", "water leaves the old floor here", "", "choice", _NO_OR_YES),
)
SORTS: tuple[Sort, ...] = (
    Sort("outline", "Outline", "the outline", "floor", "outline", True, 4),
    Sort(
        "break",
        "Breaks",
        "break",
        "break",
        "line",
        False,
        2,
        (
            Entry("kind", "kind", "", "choice", (("crack", "crack"), ("joint", "joint"))),
            Entry("step", "step across it, measured by hand", "without a sign; may stay empty"),
        ),
    ),
    Sort("door", "Doors", "door", "door", "ends", False, 2, _DOOR, most_rows=2),
    Sort(
        "hollow",
        "Hollow spots",
        "hollow spot",
        "hollow",
        "corners",
        True,
        4,
        (Entry("found_by", "found by", "hammer, chain; may stay empty"),),
    ),
)
BY_CODE = {sort.code: sort for sort in SORTS}


@dataclass(frozen=True, slots=True)
class Draft:
    """A thing as typed. ``was`` is its name in job.toml; None for one that is not there yet."""

    sort: Sort
    was: str | None
    name: str
    rows: tuple[Row, ...]
    fields: Mapping[str, str] = field(default_factory=dict)

    @property
    def by_edge(self) -> bool:
        """A door given by its edge has no ends of its own."""
        return self.sort.code == "door" and not self.rows


@dataclass(frozen=True, slots=True)
class Change:
    """One entry for the store; ``body`` without a value takes the key out."""

    kind: Literal["fact-set", "fact-removed"]
    path: tuple[str, ...]
    value: Any = None

    @property
    def body(self) -> dict[str, Any]:
        body: dict[str, Any] = {"path": list(self.path)}
        return body if self.kind == "fact-removed" else {**body, "value": self.value}


def facts_in(job_toml: str) -> dict[str, Any]:
    """The file as plain data; empty when it is broken, which the page then says."""
    try:
        return tomllib.loads(job_toml.replace("\r\n", "\n").removeprefix("\ufeff"))
    except tomllib.TOMLDecodeError:
        return {}


def drafts_in(facts: Mapping[str, Any]) -> tuple[Draft, ...]:
    """Everything there is to edit; a section that is no section is left out."""
    found = []
    for sort in SORTS:
        held = facts.get(sort.section)
        if sort.code == "outline":
            held = held if isinstance(held, dict) else {}
            found.append(Draft(sort, "outline", "outline", _rows(held.get(sort.corners))))
            continue
        for one in held if isinstance(held, list) else []:
            if isinstance(one, dict):
                found.append(_draft(sort, one))
    return tuple(found)


def _draft(sort: Sort, held: Mapping[str, Any]) -> Draft:
    name = str(held.get("name", ""))
    fields = {entry.key: _said(held.get(entry.key)) for entry in sort.entries}
    return Draft(sort, name, name, _rows(held.get(sort.corners)), fields)


def _rows(held: Any) -> tuple[Row, ...]:
    rows: list[Row] = []
    for one in held if isinstance(held, list) else []:
        if isinstance(one, list) and len(one) == 2:
            rows.append((_said(one[0]), _said(one[1])))
        else:
            rows.append((_said(one), ""))
    return tuple(rows)


def _said(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    return str(value)


def blank(sort: Sort) -> Draft:
    """A thing that is not there yet."""
    fields = {entry.key: entry.choices[0][0] if entry.choices else "" for entry in sort.entries}
    was = "outline" if sort.code == "outline" else None
    return Draft(sort, was, was or "", (("", ""),) * sort.first_rows, fields)


def find(drafts: Sequence[Draft], *, sort: Sort, name: str) -> Draft | None:
    return next((one for one in drafts if one.sort == sort and one.was == name), None)


def entries_of(draft: Draft) -> tuple[Entry, ...]:
    """What the form asks: a door has either two ends or a place along an edge."""
    along = ("edge", "offset", "width")
    hidden = along if draft.sort.code == "door" and not draft.by_edge else ()
    return tuple(entry for entry in draft.sort.entries if entry.key not in hidden)


def moved(draft: Draft, order: str) -> Draft:
    """The draft after a button of a row: ``add:2`` (behind it), ``drop:2``, ``up:2``, ``down:2``.

    Rows count from 0; an order that does not fit changes nothing.
    """
    what, _, at = order.partition(":")
    rows = list(draft.rows)
    place = int(at) if at.isdecimal() and len(at) < 4 else -1
    last = max(0, len(rows) - 1)
    if what == "add" and 0 <= place <= last and len(rows) < draft.sort.most_rows:
        rows.insert(place + 1, ("", ""))
    elif what == "drop" and 0 <= place < len(rows):
        del rows[place]
    elif what == "up" and 0 < place < len(rows):
        rows[place - 1], rows[place] = rows[place], rows[place - 1]
    elif what == "down" and 0 <= place < len(rows) - 1:
        rows[place + 1], rows[place] = rows[place], rows[place + 1]
    return replace(draft, rows=tuple(rows))


def changes(draft: Draft, was: Draft | None) -> tuple[Change, ...]:
    """What the store is to be told so that job.toml says what was typed; empty: nothing new."""
    places = [as_value(x, y) for x, y in draft.rows]
    sort = draft.sort
    if was is None and sort.code != "outline":
        table: dict[str, Any] = {"name": draft.name}
        if places:
            table[sort.corners] = places
        for entry in entries_of(draft):
            value = _value(entry, draft.fields.get(entry.key, ""))
            if value is not None:
                table[entry.key] = value
        return (Change("fact-set", (sort.section, "+"), table),)
    at = (sort.section,) if sort.code == "outline" else (sort.section, draft.was or "")
    found = []
    old = was.rows if was is not None else ()
    if draft.rows != old and draft.rows:
        found.append(Change("fact-set", (*at, sort.corners), places))
    for entry in entries_of(draft):
        if entry.key not in draft.fields:
            continue
        typed = draft.fields[entry.key].strip()
        before = was.fields.get(entry.key, "") if was is not None else ""
        if typed == before:
            continue
        value = _value(entry, typed)
        path = (*at, entry.key)
        found.append(
            Change("fact-removed", path) if value is None else Change("fact-set", path, value)
        )
    if sort.code != "outline" and draft.name != draft.was:
        # Last, because the entries before it find the thing by its old name.
        found.append(Change("fact-set", (*at, "name"), draft.name))
    return tuple(found)


def _value(entry: Entry, typed: str) -> Any:
    """The typed text as job.toml holds it; None for nothing."""
    typed = typed.strip()
    if not typed:
        return None
    if entry.choices == _NO_OR_YES:
        return {"true": True, "false": False}.get(typed, typed)
    if entry.kind == "number" and typed.isdecimal() and len(typed) < 6:
        return int(typed)
    return typed
