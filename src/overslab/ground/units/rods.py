"""Rod readings, with the convention locked for the whole survey."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import NoReturn

from overslab.ground.faults import Fault, Faulty
from overslab.ground.units.factors import FOOT_M, INCH_M
from overslab.ground.units.faults import OUT_OF_RANGE, TWO_MEANINGS, WRONG_CONVENTION
from overslab.ground.units.lengths import (
    bare,
    check_bare_comma,
    check_comma,
    length,
    length_tokens,
    meanings_of,
    spelt,
    with_unit,
)
from overslab.ground.units.reading import reading
from overslab.ground.units.systems import System
from overslab.ground.units.tokens import Token, clean, shape_of, shown, sign_of

ROD_RULES: dict[System, str] = {
    "feet-inches": "readings are feet-inches like 4-11 or 4' 11 1/2\", or bare inches from 12 to "
    "144 like 59 1/2; no decimal of a foot",
    "tenths": "readings are feet and decimals like 4.11; no inches",
    "metric": "readings are metres like 1.635 or whole millimetres like 1635; no feet or inches",
}
# The longest levelling rods extend to about 25 to 30 ft; common practice.
LONGEST_ROD_M = 30 * FOOT_M
MOST_BARE_ROD_INCHES = 144
# What each convention can be; the letters are those of `tokens.shape_of`, M a metric unit.
_SHAPES: dict[System, re.Pattern[str]] = {
    "feet-inches": re.compile(
        r"""N'|N'-?(?:[ND]|F|N-?F)"?|(?:[ND]|F|N-?F)"|N|N?F|N-F|N-[ND]|N-N-?[FN]"""
    ),
    "tenths": re.compile("[ND]'?"),
    "metric": re.compile("[ND]M?"),
}
ROD_FORMS: dict[System, tuple[str, ...]] = {
    "feet-inches": ("4' 11 1/2\"", "4-11-1/2", "59 1/2 in"),
    "tenths": ("4.11 ft", "4.11"),
    "metric": ("1.635 m", "1635 mm", "1.635"),
}


def read_rod_m(text: str | float, *, system: System) -> float:
    """A rod reading in metres, in the survey's locked convention only. Raises ``Faulty``.

    ``4.11`` (feet) and ``4-11`` (feet-inches) are never taken for each other: in a survey of the
    other convention each is a fault that shows both meanings. See ``ROD_RULES``.
    """
    return reading(
        text,
        parse=lambda plain: _rod(plain, system=system),
        a_thing="a rod reading",
        forms=ROD_FORMS[system],
    )


def _rod(text: str, *, system: System) -> Fraction:
    sign, rest = sign_of(clean(text))
    tokens = length_tokens(rest)
    if sign < 0 and rest != "0":
        raise Faulty(_off_the_rod(None, text=text, system=system))
    value = _rod_value(tokens, shape=shape_of(tokens), typed=text, system=system)
    if value > LONGEST_ROD_M:
        raise Faulty(_off_the_rod(value, text=text, system=system))
    return value


def _rod_value(tokens: list[Token], *, shape: str, typed: str, system: System) -> Fraction:
    if shape == "N" and tokens[0].value == 0:
        return Fraction(0)
    check_comma(tokens, typed=typed)
    if not any(kind in shape for kind in "'\"M"):
        check_bare_comma(tokens, typed=typed, system=system)
    if not _SHAPES[system].fullmatch(shape):
        _wrong(typed, tokens, system=system)
    if system == "tenths" and shape in ("N", "D"):
        return tokens[0].value * FOOT_M
    if system == "metric" and shape == "D":
        return tokens[0].value
    if system == "feet-inches" and shape in ("N", "N-F"):
        _check_bare_rod_inches(tokens, typed=typed)
    if any(kind in shape for kind in "'\"M"):
        return with_unit(tokens, typed=typed)
    return bare(tokens, typed=typed, system=system)


def _check_bare_rod_inches(tokens: list[Token], *, typed: str) -> None:
    """Refuse bare inches that are as likely feet: ``5``, ``5-3/8``, ``411``."""
    number = tokens[0].text
    part = f" {tokens[-1].text}" if len(tokens) > 1 else ""
    if 12 <= tokens[0].value <= MOST_BARE_ROD_INCHES:
        return
    feet, inches = (number[:-2], int(number[-2:])) if len(number) > 2 else (number, 0)
    meanings = f"{number}{part} in or {feet} ft {inches}{part} in"
    ways = f"`{number}{part} in` or `{feet}' {inches}{part}\"`"
    if inches > 11:
        meanings = f"{number}{part} in, or feet and inches without their dash"
        ways = f"`{number}{part} in`, or feet and inches like `4-11`"
    raise Faulty(
        TWO_MEANINGS.met(
            value=shown(typed),
            a_thing="a rod reading",
            meanings=meanings,
            rule=ROD_RULES["feet-inches"],
            ways=ways,
        )
    )


def _wrong(typed: str, tokens: list[Token], *, system: System) -> NoReturn:
    """Raise: the reading belongs to another convention, or may."""
    meanings = _meanings_here(typed, tokens)
    here: dict[System, str] = {
        "feet-inches": "write feet and inches, like `4-11` or `4' 11\"`",
        "tenths": "write feet and decimals, like `4.11`",
        "metric": "write metres or millimetres, like `1.635` or `1635`",
    }
    ways = here[system]
    if meanings:
        ways = f"{ways}; if you mean {' and if you mean '.join(_told(meanings, system))}"
    raise Faulty(
        WRONG_CONVENTION.met(
            value=shown(typed),
            system=system,
            meanings=" or ".join(meaning for meaning, _ in meanings) or "it has no known form",
            rule=ROD_RULES[system],
            ways=ways,
        )
    )


def _meanings_here(typed: str, tokens: list[Token]) -> list[tuple[str, str]]:
    """What the reading may stand for, leaving out what no rod is long enough for."""
    shape = shape_of(tokens)
    without_marks = [token for token in tokens if token.kind not in "'\"M"]
    if shape in ("D'", "N'N", "N'N\"") or len(without_marks) == len(tokens):
        # 4.11' and 4' 11" are slips for each other, as 4.11 and 4-11 are.
        meanings = meanings_of(without_marks, typed=typed)
    else:
        with_unit(tokens, typed=typed)
        meanings = [(typed.strip(), f"`{typed.strip()}`")]
    on_a_rod = [
        (meaning, way)
        for meaning, way in meanings
        if 0 <= length(way.strip("`"), system="metric") <= LONGEST_ROD_M
    ]
    return on_a_rod or meanings


def _told(meanings: list[tuple[str, str]], system: System) -> list[str]:
    """Each meaning with how this survey writes it."""
    told = []
    for meaning, way in meanings:
        metres = length(way.strip("`"), system="metric")
        told.append(f"{meaning}, write `{_in_convention(metres, system)}`")
    return told


def _in_convention(metres: Fraction, system: System) -> str:
    if system == "metric":
        return f"{float(metres):.3f} m"
    if system == "tenths":
        return f"{float(metres / FOOT_M):.3f} ft"
    feet, rest = divmod(round(metres / INCH_M * 16), 192)
    inches = f'{spelt(Fraction(rest, 16))}"'
    return f"{feet}' {inches}" if feet else inches


def _off_the_rod(value: Fraction | None, *, text: str, system: System) -> Fault:
    """Below zero (``value`` None) or beyond the longest rod."""
    digits = text.strip()
    meant = ""
    if value is None:
        meant = f"; did you mean `{clean(text).lstrip('-+ ')}`?"
    elif system == "tenths" and re.fullmatch(r"[0-9]{3}", digits):
        meant = f"; did you mean `{digits[0]}.{digits[1:]}`?"
    elif system == "metric" and re.fullmatch(r"[0-9]{4}\.[0-9]+", digits):
        meant = f"; did you mean `{digits} mm`?"
    return OUT_OF_RANGE.met(
        value=shown(text),
        a_thing="a rod reading",
        found="below zero" if value is None else _in_convention(value, system),
        allowed="a rod reads from 0 up to 30 ft (9.144 m), the longest rods; common practice",
        meant=meant,
    )
