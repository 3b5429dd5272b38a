"""A formula that can show its working: symbols, numbers filled in, source.

``@formula`` leaves the function a plain keyword-only function. ``show(function, **inputs)`` runs it
and returns the result with a ``Working`` that can be printed, stored, and computed again.
"""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal, TypeVar

Known = Literal["read", "memory", "common practice", "derived"]
_formulas: dict[str, Formula] = {}
F = TypeVar("F", bound=Callable[..., Any])


@dataclass(frozen=True, slots=True)
class Formula:
    """What the handbook knows about one function."""

    name: str
    chapter: str
    says: str
    equation: str
    symbols: Mapping[str, str]  # parameter -> symbol in the equation
    result: tuple[str, str]  # unit-suffixed name of the result, its symbol
    source: str
    known: Known
    valid: str
    example: Mapping[str, Any]
    example_result: Any
    function: Callable[..., Any]


@dataclass(frozen=True, slots=True)
class Term:
    """One number of a working, SI, with its unit in ``name``."""

    name: str
    symbol: str
    value: Any


@dataclass(frozen=True, slots=True)
class Working:
    """A result opened: equation in symbols, every input, result, source. Values are SI."""

    formula: str
    says: str
    equation: str
    inputs: tuple[Term, ...]
    result: Term
    source: str
    known: Known
    about: str = ""  # what this number is on the sheet, such as "volume, panel A"

    def filled(self, write: Callable[[str, Any], str]) -> str:
        """The equation with numbers for symbols; ``write(name, value)`` puts them in units."""
        put = {term.symbol: write(term.name, term.value) for term in self.inputs}
        put[self.result.symbol] = write(self.result.name, self.result.value)
        if not put:
            return self.equation
        longest_first = sorted(put, key=len, reverse=True)
        # A raised 2 or 3 counts as a word character, yet it ends a symbol: u² is u, squared.
        pattern = "|".join(
            rf"(?<![\w.]){re.escape(symbol)}(?![^\W²³]|\.)" for symbol in longest_first
        )
        return re.sub(pattern, lambda match: put[match.group(0)], self.equation)

    def recompute(self) -> Any:
        """The result computed again from the inputs shown."""
        return _formulas[self.formula].function(**{term.name: term.value for term in self.inputs})


def formula(
    *,
    equation: str,
    symbols: Mapping[str, str],
    result: tuple[str, str],
    source: str,
    known: Known,
    valid: str,
    example: Mapping[str, Any],
    example_result: Any,
) -> Callable[[F], F]:
    """Register a keyword-only function as a handbook formula; the tests run its worked number."""

    def register(function: F) -> F:
        name = function.__name__
        parameters = inspect.signature(function).parameters
        if any(p.kind is not inspect.Parameter.KEYWORD_ONLY for p in parameters.values()):
            raise TypeError(f"{name}: handbook formulas take keyword-only arguments")
        if set(symbols) != set(parameters):
            raise TypeError(f"{name}: symbols and parameters differ")
        if name in _formulas:
            raise TypeError(f"{name}: two formulas share the name")
        _formulas[name] = Formula(
            name=name,
            chapter=function.__module__.rsplit(".", 1)[-1],
            says=(inspect.getdoc(function) or "").split("\n", 1)[0],
            equation=equation,
            symbols=dict(symbols),
            result=result,
            source=source,
            known=known,
            valid=valid,
            example=dict(example),
            example_result=example_result,
            function=function,
        )
        return function

    return register


def show(function: Callable[..., Any], *, about: str = "", **inputs: Any) -> tuple[Any, Working]:
    """Run a handbook formula and keep its working."""
    entry = _formulas[function.__name__]
    value = function(**inputs)
    given = {
        name: inputs.get(name, parameter.default)
        for name, parameter in inspect.signature(function).parameters.items()
    }
    return value, Working(
        formula=entry.name,
        says=entry.says,
        equation=entry.equation,
        inputs=tuple(Term(name, entry.symbols[name], given[name]) for name in given),
        result=Term(entry.result[0], entry.result[1], value),
        source=entry.source,
        known=entry.known,
        about=about,
    )


def known_formulas() -> Iterator[Formula]:
    """Every formula of the chapters imported so far, in order of name."""
    return iter(sorted(_formulas.values(), key=lambda entry: entry.name))
