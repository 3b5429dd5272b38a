"""Items of the takeoff in words, the same on paper, on the page and in the terminal."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from overslab.ground.units import Units, write_by_suffix, write_length, write_share
from overslab.takeoff import Item

NOTHING = "–"


@dataclass(frozen=True, slots=True)
class ItemWords:
    """One line: what it is, what lies in the floor, what is cut off, what to order, and why."""

    what: str
    net: str
    waste: str
    order: str
    why: str


def item_words(item: Item, units: Units) -> ItemWords:
    """Whole units are told with what one is called; the waste is that of the whole units."""
    what = item.what
    if item.size_m is not None:
        what = f"{what}, {write_length(item.size_m, units)} high"
    if item.unit_holds is None:
        order = write_by_suffix(item.quantity, item.ordered, units)
    elif item.order_unit == what:
        order = f"{item.ordered:g}"
    else:
        order = f"{item.ordered:g} × {item.order_unit}"
    return ItemWords(
        what=what,
        net=write_by_suffix(item.quantity, item.net, units),
        waste=write_share(item.waste) if item.kind == "material" else NOTHING,
        order=order,
        why=item.why,
    )


def to_buy(items: Iterable[Item]) -> tuple[Item, ...]:
    """Materials, in the order of the work."""
    return tuple(item for item in items if item.kind == "material")


def to_do(items: Iterable[Item]) -> tuple[Item, ...]:
    """Works, in the order of the work."""
    return tuple(item for item in items if item.kind == "work")
