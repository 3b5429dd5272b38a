"""Limits, rules of thumb and tables: each value with its source, its edition and how it is known.

Where sources disagree every one of them stands in the list, none is averaged; the owner's practice
picks, and ``practice`` marks the value that is taken until the owner says otherwise. Chapters call
``declare`` at their top; ``limits_for`` finds by topic, by quantity or by a word of the name.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Literal, NamedTuple, TypeVar

from overslab.ground.units import known_customary, to_customary, to_si, write_customary
from overslab.handbook.checks import Check
from overslab.handbook.working import Known

Bound = Literal["at least", "at most", "is"]
# Part of a limit that sums of inches in metres may miss it by; no rule is that fine.
NOISE = 1e-9


def with_edition(source: str, edition: str) -> str:
    """The source and its edition, said once."""
    return source if not edition or edition in source else f"{source}, {edition}"


@dataclass(frozen=True, slots=True)
class Limit:
    """One number that a source gives. ``value`` is SI, in the unit that ``quantity`` ends in.

    ``bound`` says whether the found value shall be at least or at most ``value``, or whether the
    source simply gives it (``is``). ``practice`` is the default of the owner for its topic.
    """

    name: str
    quantity: str
    value: float
    source: str
    edition: str
    known: Known
    note: str = ""
    topic: str = ""
    bound: Bound = "at least"
    practice: bool = False
    unit: str = ""  # the unit of print, where it is not that of ``quantity``

    def check(
        self,
        *,
        found: float,
        where: str = "",
        at: tuple[float, float] | None = None,
        slack: float = 0.0,
    ) -> Check:
        """``found`` (SI) beside this limit; a value that only ``is`` limits nothing.

        A value that meets the limit but for the noise of floating-point sums passes.
        """
        if self.bound == "is":
            raise ValueError(f"{self.name}: a given value is no limit")
        return Check(
            name=self.name,
            quantity=self.quantity,
            found=found,
            comparison=self.bound,
            allowed=self.value,
            source=self.cited,
            slack=max(slack, NOISE * abs(self.value)),
            where=where,
            at=at,
        )

    @property
    def cited(self) -> str:
        """Source, edition and how the value is known, in one line."""
        return f"{with_edition(self.source, self.edition)} ({self.known})"

    @property
    def printed(self) -> str:
        """The value as printed, such as ``1.95 mm``; empty where the print has no unit of its own.

        A job's units would round it to the job's mark, and two sources could look the same.
        """
        return write_customary(self.value, self.unit) if self.unit else ""


@dataclass(frozen=True, slots=True)
class Advice:
    """What a source says in words, where it gives no number."""

    topic: str
    says: str
    source: str
    edition: str
    known: Known


@dataclass(frozen=True, slots=True)
class Table:
    """A printed table. Columns are unit-suffixed names; ``printed_in`` gives a column's print unit.

    ``rows`` hold the digits of the page; ``si_rows`` gives the same in SI.
    """

    name: str
    topic: str
    columns: tuple[str, ...]
    rows: tuple[tuple[float | str, ...], ...]
    source: str
    edition: str
    known: Known
    printed_in: Mapping[str, str] = field(default_factory=dict)
    note: str = ""

    def __post_init__(self) -> None:
        if any(len(row) != len(self.columns) for row in self.rows):
            raise TypeError(f"{self.name}: a row is not as long as the head of the table")
        if not set(self.printed_in) <= set(self.columns):
            raise TypeError(f"{self.name}: printed_in names a column that is not there")
        if not set(self.printed_in.values()) <= known_customary():
            raise TypeError(f"{self.name}: printed_in has a unit that ground.units does not know")

    @property
    def si_rows(self) -> tuple[dict[str, float | str], ...]:
        return tuple(
            {
                column: to_si(value, self.printed_in[column])
                if column in self.printed_in and not isinstance(value, str)
                else value
                for column, value in zip(self.columns, row, strict=True)
            }
            for row in self.rows
        )

    def as_printed(self, column: str, value: float) -> float:
        """An SI value in the unit that the column is printed in."""
        return to_customary(value, self.printed_in[column]) if column in self.printed_in else value


class Row(NamedTuple):
    """One limit of a list in which topic, quantity and unit are common; ``value`` as printed."""

    name: str
    value: float
    source: str
    edition: str
    known: Known
    note: str = ""


T = TypeVar("T", Limit, Advice, Table)
_declared: dict[tuple[str, ...], Limit | Advice | Table] = {}


def declare(*items: T) -> tuple[T, ...]:
    """Put limits, advice or tables of a chapter where they are found; gives them back."""
    for item in items:
        if isinstance(item, Limit):
            key: tuple[str, ...] = (item.topic, item.name, item.bound, item.source, item.edition)
        elif isinstance(item, Advice):
            key = (item.topic, item.says)
        else:
            key = (item.name, item.source)
        if _declared.get(key, item) != item:
            raise TypeError(f"{key}: declared twice with different values")
        _declared[key] = item
    return items


def declare_rows(
    *rows: Row, topic: str, quantity: str, unit: str = "", bound: Bound = "at least"
) -> tuple[Limit, ...]:
    """Declare limits of one topic whose values are printed in ``unit`` (a plain number: none)."""
    return declare(
        *(
            Limit(
                name=row.name,
                quantity=quantity,
                value=to_si(row.value, unit) if unit else row.value,
                source=row.source,
                edition=row.edition,
                known=row.known,
                note=row.note,
                topic=topic,
                bound=bound,
                unit=unit,
            )
            for row in rows
        )
    )


def declare_practice(
    name: str,
    value: float,
    *,
    topic: str,
    quantity: str,
    unit: str = "",
    bound: Bound = "at least",
    known: Known = "common practice",
    source: str = "common practice of the trade, the owner's default",
    edition: str = "",
    note: str = "",
) -> Limit:
    """Declare the value of a topic that is taken until the owner says otherwise."""
    return declare(
        Limit(
            name=name,
            quantity=quantity,
            value=to_si(value, unit) if unit else value,
            source=source,
            edition=edition,
            known=known,
            note=note,
            topic=topic,
            bound=bound,
            practice=True,
            unit=unit,
        )
    )[0]


def load_chapters() -> None:
    """Import every chapter, so that all it declares can be found."""
    package = importlib.import_module("overslab.handbook")
    for found in pkgutil.iter_modules(package.__path__):
        importlib.import_module(f"overslab.handbook.{found.name}")


def limits_for(about: str) -> tuple[Limit, ...]:
    """Every limit whose topic or quantity is ``about``, else those with it in their name."""
    load_chapters()
    wanted = about.strip().lower()
    every = tuple(known_limits())
    exact = tuple(one for one in every if wanted in (one.topic.lower(), one.quantity))
    return exact or tuple(one for one in every if wanted and wanted in one.name.lower())


def practice_for(topic: str) -> Limit:
    """The value of a topic that is taken until the owner says otherwise.

    Raises ``KeyError`` when the topic has none: then the owner must choose among the sources.
    """
    for one in limits_for(topic):
        if one.practice and one.topic == topic:
            return one
    raise KeyError(topic)


def advice_for(topic: str) -> tuple[Advice, ...]:
    """What the sources say in words about a topic."""
    load_chapters()
    return tuple(one for one in known_advice() if one.topic == topic)


def known_limits() -> Iterator[Limit]:
    """Every limit declared by the chapters imported so far."""
    return (item for item in tuple(_declared.values()) if isinstance(item, Limit))


def known_advice() -> Iterator[Advice]:
    """Every piece of advice declared by the chapters imported so far."""
    return (item for item in tuple(_declared.values()) if isinstance(item, Advice))


def known_tables() -> Iterator[Table]:
    """Every table declared by the chapters imported so far."""
    return (item for item in tuple(_declared.values()) if isinstance(item, Table))
