"""Slopes: ``1/4 in/ft``, ``1/8" per ft``, ``2%``, ``1:60``, ``10 mm/m``, ``0.02``."""

from __future__ import annotations

import re
from fractions import Fraction

from overslab.ground.faults import Faulty
from overslab.ground.units.factors import INCH_WORDS, LENGTHS
from overslab.ground.units.faults import NO_UNIT, OUT_OF_RANGE, TWO_MEANINGS, ZERO_BELOW
from overslab.ground.units.reading import reading
from overslab.ground.units.tokens import (
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

SLOPE_FORMS = ("1/4 in/ft", "2%", "1:60", "10 mm/m", "0.02")
# A bare number above this is as likely inches per foot or per cent; 1:20 is the steepest walk that
# is not a ramp (2010 ADA Standards 403.3), so floors lie below it.
MOST_BARE = Fraction(5, 100)
BARE_SLOPE_RULE = "a slope without a unit is metres per metre, up to 0.05"
STEEPEST = 1

_NUMBER = r"(?:[ND]|F|N-?F)"
_PERCENT = re.compile(rf"(?P<rise>{_NUMBER})%")
_RATIO = re.compile(rf"(?P<rise>{_NUMBER}):(?P<run>{_NUMBER})")
_RISE_OVER_RUN = re.compile(rf"(?P<rise>{_NUMBER})U[/P](?P<run>{_NUMBER}?)U")


def read_slope(text: str | float) -> float:
    """A slope in metres per metre; steeper than 1 is refused. Raises ``Faulty``."""
    return reading(text, parse=_slope, a_thing="a slope", forms=SLOPE_FORMS)


def _slope(text: str) -> Fraction:
    plain = clean(text)
    # What `write_slope` puts in brackets repeats the slope in another form.
    first, bracket, again = plain.partition(" (")
    value = _one_slope(first, typed=text)
    if bracket:
        if not again.endswith(")"):
            raise UnreadError
        repeated = _one_slope(again[:-1], typed=text)
        # Half of the last place written, 0.01 in/ft or 1:n in whole numbers, and a little more.
        if abs(repeated - value) > max(abs(value) / 20, Fraction(5, 10_000)):
            raise Faulty(
                TWO_MEANINGS.met(
                    value=shown(text),
                    a_thing="a slope",
                    meanings=f"{first}, and {again[:-1]}",
                    rule="the two ways of saying one slope agree",
                    ways=f"`{first}` or `{again[:-1]}`",
                )
            )
    if abs(value) > STEEPEST:
        raise Faulty(
            OUT_OF_RANGE.met(
                value=shown(text),
                a_thing="a slope",
                found=f"{float(value):.4g} up for each 1 along",
                allowed="a floor's slope is at most 1 up for each 1 along (100 %)",
                meant="",
            )
        )
    return value


def _one_slope(plain: str, *, typed: str) -> Fraction:
    sign, rest = sign_of(plain)
    tokens = [_with_kind(token) for token in tokens_of(rest)]
    # `1" in 10'`: the second "in" is "per".
    for place in range(1, len(tokens)):
        if tokens[place].text in ("in", "to") and tokens[place - 1].kind == "U":
            tokens[place] = Token("P", "per")
    shape = shape_of(tokens)
    if any(token.comma for token in tokens):
        raise UnreadError
    if match := _PERCENT.fullmatch(shape):
        return sign * mixed(tokens[: match.end("rise")]) / 100
    if match := _RATIO.fullmatch(shape):
        rise, run = mixed(tokens[: match.end("rise")]), mixed(tokens[match.start("run") :])
        return sign * _over(rise, run, typed=typed)
    if match := _RISE_OVER_RUN.fullmatch(shape):
        rise_tokens = tokens[: match.end("rise")]
        run_tokens = tokens[match.start("run") : match.end("run")]
        rise_unit, run_unit = tokens[match.end("rise")].text, tokens[-1].text
        if rise_unit in INCH_WORDS:
            check_inch_fraction(rise_tokens, typed=typed)
        rise = mixed(rise_tokens) * LENGTHS[rise_unit]
        run = (mixed(run_tokens) if run_tokens else Fraction(1)) * LENGTHS[run_unit]
        return sign * _over(rise, run, typed=typed)
    _ask_unit(tokens, shape=shape, typed=typed)
    return sign * tokens[0].value


def _with_kind(token: Token) -> Token:
    if token.kind in ("'", '"') or (token.kind == "W" and token.text in LENGTHS):
        return Token("U", token.text)
    if token.kind == "W" and token.text in ("per", "percent", "pct", "over"):
        return Token("P" if token.text in ("per", "over") else "%", token.text)
    if token.kind == "W":
        raise UnreadError
    return token


def _over(rise: Fraction, run: Fraction, *, typed: str) -> Fraction:
    if run == 0:
        raise Faulty(ZERO_BELOW.met(value=shown(typed), meant="`1:60` or `2%`"))
    return rise / run


def _ask_unit(tokens: list[Token], *, shape: str, typed: str) -> None:
    """Raise unless the bare number can only be metres per metre."""
    texts = " ".join(token.text for token in tokens)
    if shape == "NUN" and tokens[1].text == "in":
        rise, run = tokens[0].text, tokens[2].text
        ways = f"`{rise}:{run}` or `{rise} in per {run} ft`"
    elif shape == "NUNU" and tokens[1].text == "in":
        rise, run, unit = tokens[0].text, tokens[2].text, tokens[3].text
        ways = f"`{rise} in per {run} {unit}` or `{rise}:{run}`"
    elif shape in ("F", "NF", "N-F"):
        ways = f"`{texts} in/ft`" + (f" or `{texts.replace('/', ':')}`" if shape == "F" else "")
    elif shape == "N" and tokens[0].value == 0:
        return
    elif shape in ("N", "D"):
        if shape == "D" and tokens[0].value <= MOST_BARE:
            return
        ways = f"`{texts} in/ft` or `{texts}%`"
        if shape == "D" and tokens[0].value < 1:
            ways += f" or `{float(tokens[0].value * 100):g}%`"
        if shape == "N":
            ways += f" or `1:{texts}`"
    else:
        raise UnreadError
    raise Faulty(
        NO_UNIT.met(value=shown(typed), a_thing="a slope", rule=BARE_SLOPE_RULE, ways=ways)
    )
