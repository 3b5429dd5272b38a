"""What every reader does round its own grammar: empty and endless text, and "did you mean"."""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

from overslab.ground.faults import Faulty
from overslab.ground.units.faults import EMPTY, TOO_LONG, UNREADABLE
from overslab.ground.units.tokens import MOST_CHARACTERS, UnreadError, shown

MOST_SUGGESTED = 3


def reading(
    text: str | float,
    *,
    parse: Callable[[str], Fraction],
    a_thing: str,
    forms: tuple[str, ...],
) -> float:
    """``parse`` of the text as a float, with the faults every reader shares."""
    return float(exact(text, parse=parse, a_thing=a_thing, forms=forms))


def exact(
    text: str | float,
    *,
    parse: Callable[[str], Fraction],
    a_thing: str,
    forms: tuple[str, ...],
) -> Fraction:
    """As ``reading``, kept exact. Raises ``Faulty`` and nothing else."""
    typed = as_typed(text)
    facts = {"a_thing": a_thing, "forms": ", ".join(forms), "first_form": f"`{forms[0]}`"}
    if not typed.strip():
        raise Faulty(EMPTY.met(value=repr(typed) if typed else "nothing", **facts))
    if len(typed) > MOST_CHARACTERS:
        raise Faulty(TOO_LONG.met(value=shown(typed), most=MOST_CHARACTERS, **facts))
    try:
        return parse(typed)
    except UnreadError:
        meant = suggestions(typed, parse=parse) or (forms[0],)
        told = " or ".join(f"`{way}`" for way in meant)
        raise Faulty(UNREADABLE.met(value=shown(typed), meant=told, **facts)) from None


def as_typed(text: str | float) -> str:
    """A number out of a file as a person would type it: never with an exponent."""
    if isinstance(text, bool) or not isinstance(text, int | float):
        return str(text)
    return format(Decimal(repr(text)), "f") if text == text else "nan"


def suggestions(typed: str, *, parse: Callable[[str], Fraction]) -> tuple[str, ...]:
    """Small repairs of the text that can be read, the likeliest first."""
    found: list[str] = []
    for repaired in _repairs(typed):
        if repaired in found or repaired == typed or not repaired:
            continue
        try:
            parse(repaired)
        except (UnreadError, Faulty):
            continue
        found.append(repaired)
    return tuple(found[:MOST_SUGGESTED])


def _repairs(typed: str) -> list[str]:
    text = " ".join(typed.split())
    one_sign = re.sub(r"^[-+−–]\s*[-+−–]+\s*", "-", text)
    looks = str.maketrans({"O": "0", "o": "0", "l": "1", "I": "1", "|": "1", "S": "5", ";": ":"})
    tries = [
        one_sign,
        one_sign.lstrip("-"),
        _without_exponent(text),
        re.sub(r"\.\.+", ".", text),
        re.sub(r"\.(?=[0-9]{3},)|,(?=[0-9]{3}\.)", "", text).replace(",", "."),
        text.rstrip(".,;:-/ "),
        re.sub(r"(?<=[0-9]),(?=[0-9])", ".", text),
        text.replace(",", ""),
        re.sub(r"(?<=[0-9]) (?=[0-9])", "", text),
        text.translate(looks),
        re.sub(r"[^0-9A-Za-z./'\"%:,$ -]", "", text).strip(),
        re.sub(r"^(\S+) (\S+)$", r"\1' \2", text),
    ]
    number = re.fullmatch(r"(-?[0-9]+(?:\.[0-9]+)?)\s*(?![eE][-+]?[0-9])[^0-9.,-]*", text)
    if number:
        units = (" in", " ft", " F", " C", "%", " psi", " MPa", " yd3", " m3", " lb", " kg")
        tries += [f"{number[1]}{unit}" for unit in units] + [f"1:{number[1]}", number[1]]
    tries.append(f"{text.rstrip('. ')}/ft")
    return tries


def _without_exponent(text: str) -> str:
    match = re.fullmatch(r"([-+]?[0-9]+(?:\.[0-9]+)?)[eE]([-+]?[0-9]{1,2})(\D.*)?", text)
    if match is None or abs(int(match[2])) > 6:
        return ""
    return format(Decimal(f"{match[1]}e{match[2]}"), "f") + (match[3] or "")
