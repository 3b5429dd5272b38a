"""One thing to buy or to do: the line that a layout, a sheet, a price and an export share."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class Item:
    """Net is what lies in the floor; gross is with laps, cuts and waste.

    ``quantity`` names what net and gross are, with its unit: ``area_m2``, ``length_m``,
    ``volume_m3``, ``mass_kg``, ``count``. ``ordered`` is in ``order_unit``: whole units where
    ``unit_holds`` says how much one holds, else as measured.
    """

    code: str  # stable; a rate is found by it
    what: str  # in the trade's words, without figures
    kind: Literal["material", "work"]
    quantity: str
    net: float
    gross: float
    order_unit: str
    ordered: float
    why: str  # where the figure comes from, in a sentence
    unit_holds: float | None = None
    size_m: float | None = None  # height of a strip or board that comes in several

    @property
    def waste(self) -> float:
        """What is bought beyond what lies in the floor, as a share of it."""
        held = self.gross if self.unit_holds is None else self.ordered * self.unit_holds
        return held / self.net - 1.0 if self.net else 0.0


def work(code: str, what: str, quantity: str, amount: float, why: str) -> Item:
    """Something to do, by its whole amount."""
    return Item(code, what, "work", quantity, amount, amount, "as measured", amount, why)
