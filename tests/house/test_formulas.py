"""Every formula of the handbook: its worked number, its words, its symbols."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Any

import numpy as np
import pytest

import overslab.handbook
from overslab.ground.units import Units, to_customary, write_by_suffix
from overslab.handbook.working import Formula, known_formulas, show

CHAPTERS = [
    importlib.import_module(f"overslab.handbook.{found.name}")
    for found in pkgutil.iter_modules(overslab.handbook.__path__)
]
FORMULAS = [
    entry
    for entry in known_formulas()
    if entry.function.__module__.startswith("overslab.handbook.")
]


def half_unit(printed: float) -> float:
    """Half a unit of the last digit written, the tolerance of a printed number."""
    exponent = Decimal(repr(printed)).as_tuple().exponent
    assert isinstance(exponent, int), printed
    return 0.5 * 10.0**exponent * 1.000001


def same_as_printed(got: Any, printed: Any) -> bool:
    if isinstance(printed, bool | str | int) or printed is None:
        return bool(got == printed)
    if isinstance(printed, float):
        return abs(float(got) - printed) <= half_unit(printed)
    if isinstance(printed, Mapping):
        return set(got) == set(printed) and all(
            same_as_printed(got[key], printed[key]) for key in printed
        )
    if isinstance(printed, np.ndarray):
        printed = printed.tolist()
    if isinstance(printed, Sequence):
        got = got.tolist() if isinstance(got, np.ndarray) else got
        return len(got) == len(printed) and all(
            same_as_printed(one, other) for one, other in zip(got, printed, strict=True)
        )
    raise TypeError(f"a printed number of kind {type(printed).__name__}")


def test_the_handbook_was_found() -> None:
    assert len(FORMULAS) >= 10
    assert {entry.chapter for entry in FORMULAS} <= {
        module.__name__.rsplit(".", 1)[-1] for module in CHAPTERS
    }


def test_the_comparison_can_fail() -> None:
    assert same_as_printed(0.08332, 0.0833)
    assert not same_as_printed(0.08336, 0.0833)
    assert not same_as_printed((1.0, 2.0), (1.0, 2.11))
    assert not same_as_printed(3, 4)


@pytest.mark.parametrize("entry", FORMULAS, ids=lambda entry: entry.name)
def test_the_worked_number_comes_out(entry: Formula) -> None:
    got = entry.function(**entry.example_si())
    unit = entry.printed_in.get(entry.result[0])
    got = got if unit is None else to_customary(got, unit)
    if entry.example_within:
        assert got == pytest.approx(entry.example_result, rel=entry.example_within)
    else:
        assert same_as_printed(got, entry.example_result), f"got {got!r}"


@pytest.mark.parametrize("entry", FORMULAS, ids=lambda entry: entry.name)
def test_it_says_what_it_is_where_it_is_from_and_how_far_it_holds(entry: Formula) -> None:
    assert entry.says.strip()
    assert entry.source.strip()
    assert entry.valid.strip()
    assert entry.result[0].isidentifier()
    required = {
        name
        for name, parameter in inspect.signature(entry.function).parameters.items()
        if parameter.default is inspect.Parameter.empty
    }
    assert required <= set(entry.example) <= set(entry.symbols)


@pytest.mark.parametrize("entry", FORMULAS, ids=lambda entry: entry.name)
def test_the_equation_names_every_symbol_and_can_be_filled(entry: Formula) -> None:
    symbols = [*entry.symbols.values(), entry.result[1]]
    assert len(set(symbols)) == len(symbols), "one symbol, two meanings"
    _, printed = show(entry.function, **entry.example_si())
    working = replace(
        printed,
        inputs=tuple(replace(term, printed_in="") for term in printed.inputs),
        result=replace(printed.result, printed_in=""),
    )
    # Every name is written as a sign of its own, so that a symbol not found leaves its sign out.
    sign = {name: f"<{place}>" for place, name in enumerate([*entry.symbols, "result"])}
    filled = working.filled(
        lambda name, _: sign["result"] if name == entry.result[0] else sign[name]
    )
    missing = [name for name in sign if sign[name] not in filled]
    assert missing == [], filled


@pytest.mark.parametrize(
    "units", [Units("feet-inches", 0.0254 / 16), Units("tenths", 0.003048), Units("metric", 0.001)]
)
@pytest.mark.parametrize("entry", FORMULAS, ids=lambda entry: entry.name)
def test_its_working_can_be_written_in_the_units_of_the_job(entry: Formula, units: Units) -> None:
    _, working = show(entry.function, **entry.example_si())
    filled = working.filled(lambda name, value: write_by_suffix(name, value, units))
    assert filled != working.equation


@pytest.mark.parametrize("entry", FORMULAS, ids=lambda entry: entry.name)
def test_its_working_can_be_computed_again(entry: Formula) -> None:
    value, working = show(entry.function, about="a test", **entry.example_si())
    again = working.recompute()
    if isinstance(value, np.ndarray):
        assert np.array_equal(again, value)
    else:
        assert again == value
    assert {term.name for term in working.inputs} == set(entry.symbols)
    assert working.result.value is value
