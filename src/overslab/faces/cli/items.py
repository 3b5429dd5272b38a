"""What to buy and what to do beside the concrete, as lines of the terminal."""

from __future__ import annotations

from collections.abc import Sequence

from overslab.faces.cli.tables import table
from overslab.faces.documents.item_words import item_words, to_buy, to_do
from overslab.ground.units import Units
from overslab.takeoff import Item


def item_lines(items: Sequence[Item], units: Units) -> list[str]:
    """One table to buy, one to do; why each is so many stands on the sheet."""
    lines: list[str] = []
    bought = [item_words(item, units) for item in to_buy(items)]
    done = [item_words(item, units) for item in to_do(items)]
    if bought:
        rows = [(one.what, one.net, one.waste, one.order) for one in bought]
        lines += ["To buy beside the concrete:"]
        lines += [table(("", "in the floor", "waste", "order"), rows), ""]
    if done:
        amounts = [(one.what, one.net) for one in done]
        lines += ["To do:", table(("", "amount"), amounts)]
    return lines
