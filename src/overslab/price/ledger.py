"""Lines of another way with the old slab, priced by the owner's rates; what has none is named."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Literal

from overslab.ground.faults import Faulty
from overslab.ground.units import Units, read_volume_m3, write_by_suffix
from overslab.price.chain import CENT, to_cents
from overslab.price.concreting import number_of, rate_of
from overslab.price.costing import hours_of
from overslab.price.records import BidLine, Group, Rates

Way = Literal["overlay", "tear-out", "lift", "grind-patch"]

_SIZED = re.compile(r"^\s*(?P<count>[\d./]+)\s")
_NO_UNIT = 1e-9  # less of a unit is a sum's last digit


@dataclass(frozen=True, slots=True)
class WorkAsked:
    """A piece of work by its code; ``quantity`` ends in its unit, ``value`` is in that."""

    code: str
    what: str
    quantity: str
    value: float
    why: str


@dataclass(slots=True)
class Ledger:
    """Collects lines for one way; ``missing`` names every rate that would be needed."""

    rates: Rates
    units: Units
    lines: list[BidLine] = field(default_factory=list)
    missing: list[str] = field(default_factory=list)

    def work(self, asked: WorkAsked) -> float:
        """Put hours of work down; gives the hours, 0 where the rate is missing."""
        if asked.value <= 0.0:
            return 0.0
        rate = rate_of(asked.code, self.rates)
        if rate is None or rate.quantity != asked.quantity:
            by = asked.quantity.rsplit("_", 1)[0]
            self.missing.append(f'[[work]] "{asked.code}", hours by {by}: {asked.what}')
            return 0.0
        hours = hours_of(asked.value, rate)
        amount = write_by_suffix(asked.quantity, asked.value, self.units)
        self._put(asked.code, asked.what, "labour", hours, "hour", self.rates.wage_per_hour,
                  f"{amount}: {asked.why}")  # fmt: skip
        return float(hours)

    def stuff(self, code: str, what: str, group: Group, *, volume_m3: float, why: str) -> None:
        """Put something down that is sold by volume; ``10 yd3`` as its unit means whole tens."""
        if volume_m3 <= 0.0:
            return
        rate = next((one for one in self.rates.materials if one.code == code), None)
        holds_m3 = None if rate is None else _volume_of(rate.unit, self.units)
        if rate is None or holds_m3 is None:
            self.missing.append(f'[[material]] "{code}", sold by volume: {what}')
            return
        exact = volume_m3 / holds_m3
        whole = _SIZED.match(rate.unit) is not None
        number = Decimal(math.ceil(exact - _NO_UNIT)) if whole else number_of(exact)
        self._put(code, what, group, number, rate.unit, rate.price, why)

    def charges(self, way: Way, *, hours: float, days: int, loads: int, pours: int) -> None:
        """Put down what the owner charges for this way, or for any, beside work and materials."""
        crew_hours = Decimal(repr(hours / self.rates.hands)).quantize(CENT)
        often = {
            "job": Decimal(1),
            "day": Decimal(days),
            "hour": crew_hours,
            "load": Decimal(loads),
            "pour": Decimal(pours),
        }
        for flat in self.rates.flat:
            if flat.only_for in ("any", way) and often[flat.per]:
                self._put(flat.code, flat.what, flat.group, often[flat.per], flat.per, flat.price,
                          f"by the {flat.per}, as you charge it")  # fmt: skip

    def keep(self, lines: Sequence[BidLine]) -> None:
        """Take over lines that are the same in this way."""
        self.lines += lines

    @property
    def hours(self) -> float:
        """Hours of all hands together."""
        return float(sum((line.number for line in self.lines if _is_work(line)), Decimal(0)))

    def hours_of(self, codes: frozenset[str]) -> float:
        lines = (line for line in self.lines if _is_work(line) and line.code in codes)
        return float(sum((line.number for line in lines), Decimal(0)))

    def days(self, hours: float) -> int:
        """Whole days that so many hours keep the crew."""
        return math.ceil(hours / (self.rates.hands * self.rates.hours_per_day) - _NO_UNIT)

    def _put(
        self, code: str, what: str, group: Group, number: Decimal, unit: str, each: Decimal,
        why: str,
    ) -> None:  # fmt: skip
        amount = to_cents(number * each)
        self.lines.append(BidLine(code, what, group, number, unit, each, amount, why))


def _is_work(line: BidLine) -> bool:
    return line.group == "labour" and line.unit == "hour"


def _volume_of(unit: str, units: Units) -> float | None:
    """What one unit of sale holds; None for a unit that is no volume."""
    text = unit if _SIZED.match(unit) else f"1 {unit}"
    try:
        held = read_volume_m3(text, system=units.system)
    except Faulty:
        return None
    return held if held > 0.0 else None
