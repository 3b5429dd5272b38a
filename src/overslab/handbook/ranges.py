"""Range checks of the handbook: every value is held against its range, and all that fail are told.

``hold(within("slab_thickness_m", h, above=0, most=0.6, unit="in"), source=...)`` raises ``Faulty``
with one fault for each value outside; bounds are SI like the values, ``unit`` is for the words.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, isfinite

from overslab.ground.faults import Faulty
from overslab.ground.units import write_customary
from overslab.handbook.faults import NOT_A_NUMBER, NOT_IN_TABLE, OUT_OF_RANGE

# Endings of names that are units; they are left out where the quantity is said in words.
_UNITS = frozenset(
    {"m", "m2", "m3", "m4", "c", "pa", "n", "kg", "s", "deg", "count", "share"}
    | {"hours", "days", "minutes", "per", "microstrain"}
)

_NOISE = 1e-9


@dataclass(frozen=True, slots=True)
class Within:
    """One value beside its range, SI. ``unit`` is the unit of print that the fault speaks in."""

    name: str
    value: float
    least: float
    most: float
    above: bool  # the least value itself is outside
    below: bool  # the greatest value itself is outside
    unit: str

    @property
    def holds(self) -> bool:
        if not isfinite(self.value):
            return False
        # A limit typed as it is printed may miss its SI value by the last binary digit.
        low = self.value > self.least if self.above else self.value >= _below(self.least)
        high = self.value < self.most if self.below else self.value <= -_below(-self.most)
        return low and high

    def written(self, value: float) -> str:
        return write_customary(value, self.unit) if self.unit else f"{value:.6g}"

    def in_words(self) -> str:
        parts = []
        if isfinite(self.least):
            parts.append(f"{'above' if self.above else 'at least'} {self.written(self.least)}")
        if isfinite(self.most):
            parts.append(f"{'below' if self.below else 'at most'} {self.written(self.most)}")
        return f"is {' and '.join(parts)}" if parts else "is any finite number"


def _below(limit: float) -> float:
    return limit - abs(limit) * _NOISE if isfinite(limit) else limit


def within(
    name: str,
    value: float,
    *,
    least: float | None = None,
    above: float | None = None,
    most: float | None = None,
    below: float | None = None,
    unit: str = "",
) -> Within:
    """A value and its range: ``least`` and ``most`` may be met, ``above`` and ``below`` may not."""
    low = above if above is not None else (least if least is not None else -inf)
    high = below if below is not None else (most if most is not None else inf)
    return Within(name, value, low, high, above is not None, below is not None, unit)


def said(name: str) -> str:
    """``old_thickness_m`` as words: ``old thickness``; a name that is only a unit stays."""
    words = name.split("_")
    while len(words) > 1 and words[-1] in _UNITS:
        words.pop()
    return " ".join(words)


def hold(*values: Within, source: str) -> None:
    """Raise ``Faulty`` with every value that lies outside its range."""
    found = [
        (OUT_OF_RANGE if isfinite(one.value) else NOT_A_NUMBER).met(
            value=one.written(one.value),
            place=one.name,
            quantity=said(one.name),
            range=one.in_words(),
            source=source,
        )
        for one in values
        if not one.holds
    ]
    if found:
        raise Faulty(found)


def not_in_table(name: str, value: object, *, rows: str, source: str) -> Faulty:
    """The fault of a look-up that finds no row; ``rows`` says what the table holds."""
    return Faulty(
        NOT_IN_TABLE.met(value=value, place=name, quantity=said(name), rows=rows, source=source)
    )
