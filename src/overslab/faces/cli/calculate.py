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
from typing import Any

import overslab.handbook
from overslab.faces.cli import faults
from overslab.faces.cli.outcome import print_json, say
from overslab.faces.cli.tables import facts, table
from overslab.ground.faults import Fault, Faulty
from overslab.ground.units import Units, read_by_suffix, read_length_m, read_number, suffix_of
from overslab.ground.units import write_by_suffix as in_units
from overslab.handbook.working import Formula, Working, known_formulas, show

_BARE = re.compile(r"\s*[-+]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][-+]?[0-9]+)?\s*")
# Beside the SI value the result is said in feet and inches, for those who think in them.
_FEET = Units("feet-inches", 0.0254 / 16)
_SIGNIFICANT = 6


def formulas() -> dict[str, Formula]:
    """Every formula of every chapter, by name."""
    for chapter in pkgutil.iter_modules(overslab.handbook.__path__):
        importlib.import_module(f"overslab.handbook.{chapter.name}")
    return {
        entry.name: entry
        for entry in known_formulas()
        if entry.function.__module__.startswith("overslab.handbook.")
    }


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
    known = formulas()
    if name not in known:
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
                given[key] = _values(key, value, parameters[key])
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


def _such(entry: Formula, key: str) -> str:
    value = entry.example.get(key, "...")
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


def _si_unit(name: str) -> str:
    """The unit at the end of a name, as it is written: ``kg/m3`` of ``density_kg_per_m3``."""
    per = re.search(r"_(?P<top>m|m2|m3|m4|kg|s|cost)_per_(?P<below>[a-z0-9]+)$", name)
    if per:
        top = "" if per["top"] == "cost" else per["top"]
        return f"{top}/{per['below']}"
    last = name.rpartition("_")[2]
    units = {"c": "C", "pa": "Pa", "deg": "deg", "arcsec": "arcsec", "minutes": "min"}
    units |= {unit: unit for unit in ("m", "m2", "m3", "m4", "m6", "kg", "s")}
    if suffix_of(name) is suffix_of("slope"):
        return "m/m"
    return units.get(last, "") if "_" in name else ""


def _in_si(name: str, value: Any) -> str:
    if isinstance(value, list | tuple):
        return f"({'; '.join(_in_si(name, one) for one in value)})"
    number = f"{value:.{_SIGNIFICANT}g}" if isinstance(value, float) else str(value)
    unit = _si_unit(name)
    return f"{number} {unit}".strip() if not unit.startswith("/") else f"{number}{unit}"


def _also(name: str, value: Any) -> str:
    """The value as the trade says it, where that differs from the SI value."""
    row = suffix_of(name)
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
