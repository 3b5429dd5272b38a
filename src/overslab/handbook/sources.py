"""Sources: what the handbook takes from each publication, and how each value is known."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from overslab.handbook.limits import (
    Advice,
    Limit,
    Table,
    known_advice,
    known_limits,
    known_tables,
    load_chapters,
)
from overslab.handbook.publications import PUBLICATIONS
from overslab.handbook.working import Formula, known_formulas

DERIVED = "Derived here: arithmetic, geometry, closed forms"
COMMON = "Common practice of the trade, without a citable source"
_LONGEST_FIRST = sorted(PUBLICATIONS, key=len, reverse=True)


@dataclass(slots=True)
class Source:
    """One publication and everything the handbook takes from it."""

    title: str
    formulas: list[Formula] = field(default_factory=list)
    limits: list[Limit] = field(default_factory=list)
    tables: list[Table] = field(default_factory=list)
    advice: list[Advice] = field(default_factory=list)

    def __len__(self) -> int:
        return len(self.formulas) + len(self.limits) + len(self.tables) + len(self.advice)


def publication_of(source: str, known: str) -> str:
    """The heading that a source belongs under: its publication, else the source up to its detail.

    What is derived or common practice without a publication has a heading of its own.
    """
    for title in _LONGEST_FIRST:
        if source.startswith(title):
            return title
    if known == "derived":
        return DERIVED
    if known == "common practice":
        return COMMON
    for end in (": ", "; "):
        source = source.split(end)[0]
    return source.strip()


def sources(*, only: Iterable[Formula] | None = None) -> tuple[Source, ...]:
    """Every source with its formulas, limits, tables and advice, by title.

    ``only`` narrows the formulas, for callers whose process holds others beside the handbook's.
    """
    load_chapters()
    found: dict[str, Source] = {}

    def at(source: str, known: str) -> Source:
        title = publication_of(source, known)
        return found.setdefault(title, Source(title))

    for entry in known_formulas() if only is None else only:
        at(entry.source, entry.known).formulas.append(entry)
    for limit in known_limits():
        at(limit.source, limit.known).limits.append(limit)
    for table in known_tables():
        at(table.source, table.known).tables.append(table)
    for advice in known_advice():
        at(advice.source, advice.known).advice.append(advice)
    return tuple(found[title] for title in sorted(found, key=str.lower))


def topics() -> tuple[tuple[str, tuple[Limit, ...]], ...]:
    """Every topic with its limits: the owner's default first, then the sources by value."""
    load_chapters()
    found: dict[str, list[Limit]] = {}
    for limit in known_limits():
        found.setdefault(limit.topic, []).append(limit)
    return tuple(
        (
            topic,
            tuple(
                sorted(found[topic], key=lambda one: (not one.practice, one.quantity, one.value))
            ),
        )
        for topic in sorted(found)
    )
