"""Lengths and rod readings, in the words of each system.

A length with its unit is read in any system. A bare number follows the rule of the system
(``BARE_RULES``) and is refused where the rule leaves two meanings. A rod reading is stricter: the
survey's convention is locked, and what belongs to another convention is refused with its meanings.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import NoReturn

from overslab.ground.faults import Faulty
from overslab.ground.units.factors import (
    COMMA_UNITS,
    FEET_WORDS,
    FOOT_M,
    INCH_M,
    INCH_WORDS,
    METRIC_LENGTHS,
    MILLIMETRE_M,
)
from overslab.ground.units.faults import (
    INCHES_CARRY,
    NO_UNIT,
    OUT_OF_RANGE,
    TWO_MEANINGS,
)
from overslab.ground.units.reading import reading
from overslab.ground.units.systems import System
from overslab.ground.units.tokens import (
    RULE_BOTTOMS,
    Token,
    UnreadError,
    check_inch_fraction,
    clean,
    mixed,
    shape_of,
    shown,
    sign_of,
    tokens_of,
)

BARE_RULES: dict[System, str] = {
    "feet-inches": "in feet and inches a bare whole number or fraction is inches (64 3/8), dashes "
    "are feet-inches-fraction (5-4-3/8), and a bare decimal is refused",
    "tenths": "in tenths a bare number is feet (5.365), and a fraction or dash is refused",
    "metric": "in metric a bare decimal below 100 is metres (1.635), a bare whole number from 10 "
    "up is millimetres (1635), and 1 to 9 is refused",
}
# Above any ground, below any ground: an elevation beyond this is a slip of the unit.
FARTHEST_M = 10_000

_METRIC = re.compile(r"(?P<metric>[ND]|N?F)M")
_FEET = re.compile(r"(?P<feet>[ND]|N?F|N-F)'")
_INCHES = re.compile(r"(?P<inches>[ND]|F|N-?F)\"")
_FEET_INCHES = re.compile(r"(?P<feet>N)'-?(?P<inches>[ND]|F|N-?F)\"?")
_BARE_FEET_INCHES = re.compile(r"(?P<feet>N)-(?P<inches>[ND]|N-?F)")
_BARE_INCHES = re.compile(r"(?P<inches>N|F|N-?F)")

LENGTH_FORMS: dict[System, tuple[str, ...]] = {
    "feet-inches": ("5' 4 3/8\"", "5-4-3/8", "64 3/8 in", "5.365 ft", "1635 mm"),
    "tenths": ("5.365 ft", "5.365", "5' 4 3/8\"", "1635 mm"),
    "metric": ("1635 mm", "1.635 m", "163.5 cm", "5' 4 3/8\""),
}


def read_length_m(text: str | float, *, system: System) -> float:
    """A length in metres; a bare number follows ``BARE_RULES[system]``. Raises ``Faulty``."""
    return reading(
        text,
        parse=lambda plain: length(plain, system=system),
        a_thing="a length",
        forms=LENGTH_FORMS[system],
    )


def length_tokens(text: str) -> list[Token]:
    """Tokens with unit words as ``'``, ``"`` or M."""
    found = []
    for token in tokens_of(text):
        if token.kind != "W":
            found.append(token)
        elif token.text in FEET_WORDS:
            found.append(Token("'", token.text))
        elif token.text in INCH_WORDS:
            found.append(Token('"', token.text))
        elif token.text in METRIC_LENGTHS:
            found.append(Token("M", token.text))
        else:
            raise UnreadError
    if not found:
        raise UnreadError
    return found


def length(text: str, *, system: System) -> Fraction:
    sign, rest = sign_of(clean(text))
    tokens = length_tokens(rest)
    shape = shape_of(tokens)
    if any(kind in shape for kind in "'\"M"):
        value = with_unit(tokens, typed=text)
    else:
        value = bare(tokens, typed=text, system=system)
    if value > FARTHEST_M:
        raise Faulty(
            OUT_OF_RANGE.met(
                value=shown(text),
                a_thing="a length",
                found=f"{float(value):.6g} m",
                allowed=f"a length on a job is at most {FARTHEST_M} m",
                meant="",
            )
        )
    return sign * value


def with_unit(tokens: list[Token], *, typed: str) -> Fraction:
    shape = shape_of(tokens)
    check_comma(tokens, typed=typed)
    if match := _METRIC.fullmatch(shape):
        return mixed(tokens[: match.end("metric")]) * METRIC_LENGTHS[tokens[-1].text]
    if match := _FEET.fullmatch(shape):
        return mixed(tokens[: match.end("feet")]) * FOOT_M
    if match := _INCHES.fullmatch(shape):
        inches = tokens[: match.end("inches")]
        check_inch_fraction(inches, typed=typed)
        return mixed(inches) * INCH_M
    if match := _FEET_INCHES.fullmatch(shape):
        return _feet_inches(tokens, match, typed=typed)
    if match := re.fullmatch(r'N-?(?P<inches>[ND]|F|N-?F)"', shape):
        # `5 4"` and `5-4"`: feet without their mark, or a slip in one number.
        last = "".join(token.text for token in tokens[match.start("inches") : -1])
        _two_ways(
            typed,
            a_thing="a length",
            meanings=f"{tokens[0].text} ft {last} in, or inches with a stray gap or dash",
            rule="where inches carry their mark the feet carry theirs",
            ways=f"`{tokens[0].text}' {last}\"` or one number of inches",
        )
    if match := re.fullmatch(r"(?P<feet>D|N?F)'-?(?P<inches>[ND]|F|N-?F)\"?", shape):
        feet = " ".join(token.text for token in tokens[: match.end("feet")])
        inch_tokens = tokens[match.start("inches") : match.end("inches")]
        last = " ".join(token.text for token in inch_tokens)
        whole = int(mixed(tokens[: match.end("feet")]))
        _two_ways(
            typed,
            a_thing="a length",
            meanings=f"{feet} ft, or {whole} ft and {last} in",
            rule="where inches follow, the feet are a whole number",
            ways=f"`{feet} ft` or `{whole}' {last}\"`",
        )
    raise UnreadError


def _feet_inches(tokens: list[Token], match: re.Match[str], *, typed: str) -> Fraction:
    inch_tokens = tokens[match.start("inches") : match.end("inches")]
    check_inch_fraction(inch_tokens, typed=typed)
    inches = mixed(inch_tokens)
    feet = tokens[0].value
    if inches >= 12:
        meant = [f"`{feet + inches // 12}' {spelt(inches % 12)}\"`"]
        digits = inch_tokens[0].text
        if shape_of(inch_tokens) == "N" and len(digits) == 2:
            if int(digits[1]) in RULE_BOTTOMS and digits[0] < digits[1]:
                meant.append(f"`{feet}' {digits[0]}/{digits[1]}\"`")
            meant.append(f"`{feet}' {digits[1]}\"`")
        raise Faulty(INCHES_CARRY.met(value=shown(typed), meant=" or ".join(meant)))
    return feet * FOOT_M + inches * INCH_M


def bare(tokens: list[Token], *, typed: str, system: System) -> Fraction:
    """A number without a unit, by the rule of its system."""
    shape = shape_of(tokens)
    if shape in ("N", "D") and tokens[0].value == 0:
        return Fraction(0)
    check_bare_comma(tokens, typed=typed, system=system)
    if system == "tenths" and shape in ("N", "D"):
        return tokens[0].value * FOOT_M
    if system == "metric" and shape == "D" and tokens[0].value < 100:
        return tokens[0].value
    if system == "metric" and shape == "N" and tokens[0].value >= 10:
        return tokens[0].value * MILLIMETRE_M
    if system == "feet-inches":
        if match := _BARE_INCHES.fullmatch(shape):
            check_inch_fraction(tokens, typed=typed)
            return mixed(tokens) * INCH_M
        if match := _BARE_FEET_INCHES.fullmatch(shape):
            return _feet_inches(tokens, match, typed=typed)
    if system == "metric" and shape in ("N", "D"):
        ways = [f"{tokens[0].text} {unit}" for unit in ("m", "mm")]
        meanings = [(way, f"`{way}`") for way in ways]
    else:
        meanings = meanings_of(tokens, typed=typed)
    return _ask_which(meanings, typed=typed, rule=BARE_RULES[system])


def _ask_which(meanings: list[tuple[str, str]], *, typed: str, rule: str) -> NoReturn:
    ways = " or ".join(way for _, way in meanings)
    if not meanings:
        raise UnreadError
    if len(meanings) == 1:
        raise Faulty(NO_UNIT.met(value=shown(typed), a_thing="a length", rule=rule, ways=ways))
    told = " or ".join(meaning for meaning, _ in meanings)
    _two_ways(typed, a_thing="a length", meanings=told, rule=rule, ways=ways)


def meanings_of(tokens: list[Token], *, typed: str) -> list[tuple[str, str]]:
    """What a bare number can stand for: (in words, how to write it)."""
    shape = shape_of(tokens)
    texts = [token.text for token in tokens]
    if not texts:
        return []
    minus = "-" if clean(typed).startswith("-") else ""
    texts[0] = f"{minus}{texts[0]}"
    if shape == "D":
        found = [(f"{texts[0]} ft", f"`{texts[0]} ft`")]
        if inches := _as_feet_dash_inches(texts[0]):
            found.append((f"{inches[0]} ft {inches[1]} in", f"`{inches[0]}' {inches[1]}\"`"))
        else:
            found.append((f"{texts[0]} in", f"`{texts[0]} in`"))
        return found
    if shape.endswith("F"):
        check_inch_fraction(tokens, typed=typed)
    if shape == "F":
        feet = float(tokens[0].value) * (-1 if minus else 1)
        return [(f"{texts[0]} in", f"`{texts[0]} in`"), (f"{feet:.4g} ft", f"`{feet:.4g} ft`")]
    if shape in ("NF", "N-F"):
        inches_text = f"{texts[0]} {texts[-1]}"
        return [
            (f"{inches_text} in", f"`{inches_text} in`"),
            (f"{inches_text} ft", f"`{inches_text} ft`"),
        ]
    if shape in ("N-N", "NN") and len(texts[-1]) <= 2:
        decimal = f"{texts[0]}.{texts[-1]}"
        found = [(f"{decimal} ft", f"`{decimal} ft`")]
        if int(texts[-1]) < 12:
            spelt = (f"{texts[0]} ft {texts[-1]} in", f"`{texts[0]}' {texts[-1]}\"`")
            found = [spelt, *found] if shape == "NN" else [*found, spelt]
        return found
    if shape in ("N-NF", "N-N-F", "NNF"):
        way = f"{texts[0]}' {tokens[1 if shape == 'NNF' else 2].text} {texts[-1]}\""
        return [(way, f"`{way}`")]
    if shape == "N-N-N":
        # Feet-inches-eighths is a shorthand of small crews; sixteenths are written the same way.
        found = []
        for bottom in (8, 16):
            if int(tokens[4].value) < bottom:
                part = Fraction(int(tokens[4].value), bottom)
                way = f"{texts[0]}' {texts[2]}{f' {part}' if part else ''}\""
                found.append((f"{way} (last number in {bottom}ths)", f"`{way}`"))
        return found
    return []


def _as_feet_dash_inches(decimal: str) -> tuple[str, int] | None:
    """``4.11`` as 4 ft 11 in, when its decimals can be whole inches."""
    feet, _, after = decimal.partition(".")
    return (feet or "0", int(after)) if len(after) <= 2 and int(after) < 12 else None


def spelt(inches: Fraction) -> str:
    """``4 3/8`` for 35/8; a decimal where a rule has no such fraction."""
    whole, part = divmod(inches, 1)
    if part.denominator > 64:
        return f"{float(inches):g}"
    return f"{whole}" if not part else f"{whole} {part}" if whole else f"{part}"


def check_comma(tokens: list[Token], *, typed: str) -> None:
    """Refuse a comma that may be a decimal comma beside its unit."""
    unit = tokens[-1]
    for token in tokens:
        if token.comma and unit.kind in "'\"M" and unit.text not in COMMA_UNITS:
            comma_fault(token.text, typed=typed, units=(f" {unit.text}", f" {unit.text}"))


def check_bare_comma(tokens: list[Token], *, typed: str, system: System) -> None:
    """Refuse a comma in a bare number: ``1,250`` is 1250 mm or 1.250 m."""
    units = {"feet-inches": (" in", " in"), "tenths": (" ft", " ft"), "metric": (" m", " mm")}
    for token in tokens:
        if token.comma:
            comma_fault(token.text, typed=typed, units=units[system])


def comma_fault(number: str, *, typed: str, units: tuple[str, str]) -> NoReturn:
    """Raise with both meanings; ``units`` are those of the decimal and of the thousands."""
    point, none = number.replace(",", ".") + units[0], number.replace(",", "") + units[1]
    _two_ways(
        typed,
        a_thing="a length",
        meanings=f"{point} or {none}",
        rule="a comma is a thousands mark only where it cannot be a decimal comma, as in 1,250 mm",
        ways=f"`{point}` or `{none}`",
    )


def _two_ways(typed: str, **facts: str) -> NoReturn:
    raise Faulty(TWO_MEANINGS.met(value=shown(typed), **facts))
