"""Any formula of the handbook from the command line, with its working.

The key of a value states its unit, so a bare number is in that unit, SI; a value with a unit of its
own is converted. There is no job here whose units could be meant.
"""

from __future__ import annotations

import difflib
import importlib
import inspect
import math
import pkgutil
import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Any, Literal, get_args, get_origin, get_type_hints

import overslab.handbook
from overslab.faces.cli import faults
from overslab.faces.cli.outcome import print_json, say
from overslab.faces.cli.tables import facts, table
from overslab.ground.faults import Fault, Faulty
from overslab.ground.units import (
    Units,
    read_by_suffix,
    read_length_m,
    read_number,
    si_unit_of,
    suffix_of,
)
from overslab.ground.units import write_by_suffix as in_units
from overslab.handbook.working import Formula, Working, known_formulas, show

_BARE = re.compile(r"\s*[-+]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][-+]?[0-9]+)?\s*")
# Beside the SI value the result is said in feet and inches, for those who think in them.
_FEET = Units("feet-inches", 0.0254 / 16)
_SIGNIFICANT = 6


def formulas(name: str = "") -> dict[str, Formula]:
    """Every formula by name: of every chapter, or of the one chapter that holds ``name``."""
    chapters = [found.name for found in pkgutil.iter_modules(overslab.handbook.__path__)]
    # All the chapters take longer to load than one formula takes to work out.
    holding = [chapter for chapter in chapters if name and _holds(chapter, name)]
    for chapter in holding or chapters:
        importlib.import_module(f"overslab.handbook.{chapter}")
    return {
        entry.name: entry
        for entry in known_formulas()
        if entry.function.__module__.startswith("overslab.handbook.")
    }


def _holds(chapter: str, name: str) -> bool:
    source = pkgutil.get_data("overslab.handbook", f"{chapter}.py")
    return source is not None and f"\ndef {name}(".encode() in source


def list_formulas(*, as_json: bool) -> None:
    """Every formula by chapter with the values it takes."""
    entries = sorted(formulas().values(), key=lambda entry: (entry.chapter, entry.name))
    if as_json:
        print_json(
            {
                "calc": [
                    {
                        "formula": entry.name,
                        "chapter": entry.chapter,
                        "says": entry.says,
                        "equation": entry.equation,
                        "takes": list(entry.symbols),
                        "gives": entry.result[0],
                    }
                    for entry in entries
                ]
            }
        )
        return
    for chapter in dict.fromkeys(entry.chapter for entry in entries):
        say(f"{chapter}")
        for entry in entries:
            if entry.chapter == chapter:
                say(f"  {entry.name}\n      {entry.says}\n      takes {', '.join(entry.symbols)}")
        say()
    say("overslab calc NAME key=value ... works one out.")


def calculate(name: str, values: Sequence[str], *, as_json: bool) -> None:
    """Work out one formula and print its working."""
    known = formulas(name)
    if name not in known:
        known = formulas()
        near = difflib.get_close_matches(name, known, n=3, cutoff=0.5)
        raise Faulty(
            faults.FORMULA_UNKNOWN.met(
                value=name, count=len(known), meant=_did_you_mean(near, "list them: overslab calc")
            )
        )
    entry = known[name]
    working = _worked(entry, _inputs(entry, values), typed=", ".join(values))
    if as_json:
        print_json({"calc": _as_data(entry, working)})
    else:
        say(_as_text(entry, working))


def _did_you_mean(near: Sequence[str], otherwise: str) -> str:
    return f"did you mean {' or '.join(near)}?" if near else otherwise


def _inputs(entry: Formula, values: Sequence[str]) -> dict[str, Any]:
    """The values by key, in SI. Raises ``Faulty`` with everything that is wrong."""
    parameters = inspect.signature(entry.function).parameters
    takes, such = ", ".join(entry.symbols), _such(entry, next(iter(entry.symbols)))
    choices = _choices(entry)
    found: list[Fault] = []
    given: dict[str, Any] = {}
    named: set[str] = set()
    for text in values:
        key, equals, value = text.partition("=")
        key = key.strip()
        if not equals or not key:
            found.append(faults.VALUE_SHAPE.met(value=text, such=such))
        elif key not in parameters:
            near = difflib.get_close_matches(key, parameters, n=2, cutoff=0.5)
            meant = _did_you_mean(near, f"use one of {takes}")
            found.append(
                faults.VALUE_UNKNOWN.met(value=text, formula=entry.name, takes=takes, meant=meant)
            )
        elif key in named:
            found.append(faults.VALUE_TWICE.met(value=text, key=key))
        else:
            named.add(key)
            try:
                given[key] = (
                    _chosen(value, choices[key])
                    if key in choices
                    else _values(key, value, parameters[key])
                )
            except Faulty as faulty:
                found += [replace(fault, place=key) for fault in faulty.faults]
    found += [
        faults.VALUE_MISSING.met(
            value="nothing",
            key=key,
            symbol=entry.symbols[key],
            equation=entry.equation,
            formula=entry.name,
            takes=takes,
            such=_such(entry, key),
        )
        for key, parameter in parameters.items()
        if key not in named and parameter.default is inspect.Parameter.empty
    ]
    if found:
        raise Faulty(found)
    return given


def _choices(entry: Formula) -> dict[str, dict[str, Any]]:
    """What may be written for each value that is a word and not a number."""
    try:
        hints = get_type_hints(entry.function)
    except NameError:  # arrays, whose type is loaded late; such a formula takes no words
        return {}
    words = {key: get_args(hint) for key, hint in hints.items() if get_origin(hint) is Literal}
    yes_or_no = {key: {"yes": True, "no": False} for key, hint in hints.items() if hint is bool}
    return {key: {str(word): word for word in of_key} for key, of_key in words.items()} | yes_or_no


def _chosen(text: str, choices: dict[str, Any]) -> Any:
    """The choice that is written, capitals aside. Raises ``Faulty``."""
    plain = {word.casefold(): value for word, value in choices.items()}
    typed = " ".join(text.split()).casefold()
    if typed in plain:
        return plain[typed]
    near = difflib.get_close_matches(typed, plain, n=1, cutoff=0.4)
    meant = next(word for word in choices if word.casefold() == (near or list(plain))[0])
    raise Faulty(faults.VALUE_CHOICE.met(value=text, choices=", ".join(choices), meant=meant))


def _such(entry: Formula, key: str) -> str:
    value = entry.example.get(key, "...")
    if isinstance(value, bool):
        value = "yes" if value else "no"
    if key in entry.printed_in:
        return f'{key}="{value} {entry.printed_in[key]}"'
    if isinstance(value, str) and " " in value:
        return f'{key}="{value}"'
    several = isinstance(value, list | tuple)
    return f'{key}="{"; ".join(map(str, value))}"' if several else f"{key}={value}"


def _values(key: str, text: str, parameter: inspect.Parameter) -> Any:
    """One value, or several between semicolons where the formula takes several."""
    takes = str(parameter.annotation)
    if takes.startswith(("Sequence", "tuple", "list", "Iterable")):
        several = [part for part in text.split(";") if part.strip()]
        return tuple(_value(key, part, whole=False) for part in several)
    return _value(key, text, whole=parameter.annotation in (int, "int"))


def _value(key: str, text: str, *, whole: bool) -> float:
    if whole:
        return read_by_suffix("count", text, system="metric")
    if _BARE.fullmatch(text):
        return read_number(text)
    if suffix_of(key) is suffix_of("reading_m"):
        # A rod's convention belongs to a survey; here the value carries its own unit.
        return read_length_m(text, system="metric")
    return read_by_suffix(key, text, system="metric")


def _worked(entry: Formula, given: dict[str, Any], *, typed: str) -> Working:
    try:
        _, working = show(entry.function, **given)
        result = replace(working.result, value=_single(working.result.value))
        if math.isfinite(result.value):
            return replace(working, result=result)
    except (ArithmeticError, ValueError):
        # The words of the arithmetic ("math domain error") help nobody; the limits below do.
        pass
    raise Faulty(
        faults.VALUES_REFUSED.met(
            value=typed, formula=entry.name, valid=entry.valid, source=entry.source
        )
    )


def _single(value: Any) -> Any:
    """A formula that also takes arrays gives back an array of one."""
    value = value.tolist() if hasattr(value, "tolist") else value
    while isinstance(value, list) and len(value) == 1:
        value = value[0]
    return value


def _in_si(name: str, value: Any) -> str:
    if isinstance(value, list | tuple):
        return f"({'; '.join(_in_si(name, one) for one in value)})"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if value is None:
        return "none"
    number = f"{value:.{_SIGNIFICANT}g}" if isinstance(value, float) else str(value)
    unit = si_unit_of(name)
    return f"{number} {unit}".strip() if not unit.startswith("/") else f"{number}{unit}"


def _also(name: str, value: Any) -> str:
    """The value as the trade says it, where that differs from the SI value."""
    row = suffix_of(name)
    if value is None or isinstance(value, bool | str):
        return ""
    if row is suffix_of("plain") or row.says in ("time", "angle", "count", "money"):
        return ""
    return in_units(name, value, _FEET)


def _as_text(entry: Formula, working: Working) -> str:
    terms = [working.result, *working.inputs]
    rows = [
        (term.name, term.symbol, _in_si(term.name, term.value), _also(term.name, term.value))
        for term in terms
    ]
    return "\n".join(
        [
            f"{entry.name}: {entry.says}",
            "",
            f"  {entry.equation}",
            f"  {working.filled(_in_si)}",
            "",
            table(("", "symbol", "SI", "feet and inches"), rows),
            "",
            facts(
                [
                    ("result", _in_si(working.result.name, working.result.value)),
                    ("valid", entry.valid),
                    ("source", entry.source),
                    ("known by", entry.known),
                ]
            ),
        ]
    )


def _as_data(entry: Formula, working: Working) -> dict[str, Any]:
    return {
        "formula": entry.name,
        "says": entry.says,
        "equation": entry.equation,
        "filled": working.filled(_in_si),
        "inputs": {term.name: term.value for term in working.inputs},
        "result": {working.result.name: working.result.value},
        "valid": entry.valid,
        "source": entry.source,
        "known": entry.known,
    }
