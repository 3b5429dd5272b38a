"""What all ways with the old slab are judged and priced by."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from overslab.ground.notes import Assumption
from overslab.ground.units import Units
from overslab.newtop.records import NewTop
from overslab.oldslab.records import LowSpot, OldSlab
from overslab.order.records import Order
from overslab.price.ledger import Ledger
from overslab.price.problems import Problems
from overslab.price.records import BidLine, Rates
from overslab.verdict.records import Verdict

PriceOf = Callable[[Sequence[BidLine]], Decimal]
ConcreteOf = Callable[[float], Sequence[BidLine]]

# Work that goes on while the floor waits anyway.
AFTER_POUR = frozenset({"cure", "seal", "fill-joints", "strip-forms", "clean-up"})
NO_THICKNESS = "thickness of the old slab: [findings] thickness in job.toml, by a core or at a cut"


@dataclass(frozen=True, slots=True)
class Case:
    """The job, its rates, the overlay's own lines, and what is wrong with the old floor."""

    order: Order
    rates: Rates
    oldslab: OldSlab
    newtop: NewTop
    verdict: Verdict
    units: Units
    own_lines: tuple[BidLine, ...]
    own_m3: float  # concrete in place of the new slab over the old one
    problems: Problems
    price_of: PriceOf  # overhead, profit, tax and rounding on lines
    concrete_of: ConcreteOf  # the plant's bill for an amount to order
    park_days: float

    def ledger(self) -> Ledger:
        return Ledger(self.rates, self.units)

    def priced(self, ledger: Ledger) -> Decimal | None:
        """What is asked for the lines; None while a rate is missing."""
        return None if ledger.missing else self.price_of(tuple(ledger.lines))


def ponded_m3(spots: Sequence[LowSpot]) -> float:
    """Water that stands, in all."""
    return math.fsum(spot.volume_m3 for spot in spots)


def waiting(days: float) -> Assumption:
    """That the days out of use are the crew's working days and the wait after the pour."""
    return Assumption(
        about="out of use",
        taken=f"working days of the crew, then {days:g} days",
        because="from pour to cars, near 70 F; weekends and weather are not counted",
    )
