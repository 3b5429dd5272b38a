"""Runs a handbook formula with the digits of the page, for tests against print."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from overslab.ground.units import to_customary, to_si
from overslab.handbook.working import Formula, known_formulas


def entry_of(function: Callable[..., Any]) -> Formula:
    return next(entry for entry in known_formulas() if entry.function is function)


def answer(function: Callable[..., Any], **printed: Any) -> Any:
    """The result in the unit of print, from inputs in the units of print."""
    entry = entry_of(function)
    given = {
        name: to_si(value, entry.printed_in[name]) if name in entry.printed_in else value
        for name, value in printed.items()
    }
    result = function(**given)
    unit = entry.printed_in.get(entry.result[0])
    return result if unit is None else to_customary(result, unit)
