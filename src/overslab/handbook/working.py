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

from overslab.ground.units import known_customary, to_si, write_customary

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
    printed_in: Mapping[str, str]  # parameter or result -> unit of the publication, where not SI
    example_within: float  # relative, the rounding of the print; 0: to half its last digit

    def example_si(self) -> dict[str, Any]:
        """The worked example's inputs in SI; what ``printed_in`` names is kept as printed."""
        return {
            name: to_si(value, self.printed_in[name]) if name in self.printed_in else value
            for name, value in self.example.items()
        }


@dataclass(frozen=True, slots=True)
class Term:
    """One number of a working, SI, with its unit in ``name``."""

    name: str
    symbol: str
    value: Any
    printed_in: str = ""  # the unit of the publication, where the formula holds only in that unit

    def written(self, write: Callable[[str, Any], str]) -> str:
        if self.printed_in and isinstance(self.value, int | float):
            return write_customary(float(self.value), self.printed_in)
        return write(self.name, self.value)


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
        put = {term.symbol: term.written(write) for term in (*self.inputs, self.result)}
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
    printed_in: Mapping[str, str] | None = None,
    example_within: float = 0.0,
) -> Callable[[F], F]:
    """Register a keyword-only function as a handbook formula; the tests run its worked number.

    ``printed_in`` names the parameters (and the result) whose unit of publication is not SI; the
    worked example gives those in the unit of print, so that its digits stay those of the page.
    """

    def register(function: F) -> F:
        name = function.__name__
        parameters = inspect.signature(function).parameters
        if any(p.kind is not inspect.Parameter.KEYWORD_ONLY for p in parameters.values()):
            raise TypeError(f"{name}: handbook formulas take keyword-only arguments")
        if set(symbols) != set(parameters):
            raise TypeError(f"{name}: symbols and parameters differ")
        units = dict(printed_in or {})
        if not set(units) <= {*parameters, result[0]}:
            raise TypeError(f"{name}: printed_in names what the formula does not have")
        if not set(units.values()) <= known_customary():
            raise TypeError(f"{name}: printed_in has a unit that ground.units does not know")
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
            printed_in=units,
            example_within=example_within,
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
        inputs=tuple(
            Term(name, entry.symbols[name], given[name], entry.printed_in.get(name, ""))
            for name in given
        ),
        result=Term(
            entry.result[0], entry.result[1], value, entry.printed_in.get(entry.result[0], "")
        ),
        source=entry.source,
        known=entry.known,
        about=about,
    )


def known_formulas() -> Iterator[Formula]:
    """Every formula of the chapters imported so far, in order of name."""
    return iter(sorted(_formulas.values(), key=lambda entry: entry.name))
