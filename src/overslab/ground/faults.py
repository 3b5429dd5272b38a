"""A fault has four parts: what is wrong, the value given, the limit and its source, the remedy.

The same words stand in the terminal, on the page and on the sheet. A room declares its faults
once, as ``FaultKind`` values at module level; the docs hold a heading for each code and a test
keeps it so.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

_kinds: dict[str, FaultKind] = {}


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is wrong with what was given, told in the trade's words."""

    code: str
    what: str
    value: str
    limit: str
    remedy: str
    place: str = ""

    def __str__(self) -> str:
        head = f"{self.place}: {self.what}" if self.place else self.what
        return f"{head}\n  given: {self.value}\n  limit: {self.limit}\n  do next: {self.remedy}"


@dataclass(frozen=True, slots=True)
class FaultKind:
    """The words of one sort of fault; ``{names}`` in them are filled when it is met."""

    code: str
    what: str
    limit: str
    remedy: str

    def __post_init__(self) -> None:
        twin = _kinds.get(self.code)
        if twin is not None and twin != self:
            raise ValueError(f"two faults share the code {self.code!r}")
        _kinds[self.code] = self

    def met(self, *, value: object, place: str = "", **facts: object) -> Fault:
        """The fault as met: ``value`` as it was given, ``place`` such as ``shots.csv line 7``."""
        return Fault(
            code=self.code,
            what=self.what.format(**facts),
            value=str(value),
            limit=self.limit.format(**facts),
            remedy=self.remedy.format(**facts),
            place=place,
        )


class Faulty(Exception):
    """Raised with every fault found, never only the first."""

    def __init__(self, faults: Fault | Iterable[Fault]) -> None:
        self.faults: tuple[Fault, ...] = (faults,) if isinstance(faults, Fault) else tuple(faults)
        if not self.faults:
            raise ValueError("Faulty needs at least one fault")
        super().__init__("\n".join(str(fault) for fault in self.faults))


def known_kinds() -> Iterator[FaultKind]:
    """Every sort of fault declared by the modules imported so far."""
    return iter(_kinds.values())
