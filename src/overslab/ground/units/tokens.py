"""From what a person typed to numbers, marks and words.

The lengths are recognised by their *shape*: one letter a token, so that ``5' 4 3/8"`` is ``N'NF"``.
Numbers are exact fractions from the first character on; no float takes part in reading.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from overslab.ground.faults import Faulty
from overslab.ground.units.faults import INCH_FRACTION, ZERO_BELOW

MOST_CHARACTERS = 60
RULE_BOTTOMS = frozenset({2, 4, 8, 16, 32, 64})

_VULGAR = {
    "½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅕": "1/5", "⅖": "2/5",
    "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
}  # fmt: skip
# No blanket Unicode folding: it turns `5½` into `51/2` and `5²` into `52`.
_SAME = str.maketrans(
    {
        **dict.fromkeys("−–—‒―‐‑﹣－⁻", "-"),
        **dict.fromkeys("′‘’‛´`ʹʼ＇", "'"),
        **dict.fromkeys("″“”‟〃ʺ＂", '"'),
        **dict.fromkeys("⁄∕／", "/"),
        **dict.fromkeys("∶：", ":"),
        **dict.fromkeys("\u00a0\u2007\u2009\u202f\u2002\u2003\u200a\t", " "),
        **dict(zip("⁺＋％．，º²³", "++%.,°23", strict=True)),
        "℃": "°C",
        "℉": "°F",
        **{chr(0xFF10 + digit): str(digit) for digit in range(10)},
    }
)
_TOKEN = re.compile(
    r"""(?P<number>[0-9][0-9,]*(?:\.[0-9]+)?(?![0-9]*\.[0-9])|\.[0-9]+(?!\.))"""
    r"""|(?P<word>[A-Za-z]+\.?)|(?P<mark>[-+/'":%°])"""
)


class UnreadError(Exception):
    """The text has no shape that is known; the reader that asked turns it into a fault."""


@dataclass(frozen=True, slots=True)
class Token:
    """``kind`` is N whole, D decimal, F fraction, W word, or the mark itself."""

    kind: str
    text: str
    value: Fraction = Fraction(0)
    comma: bool = False


def shown(text: object) -> str:
    """What was typed, short enough for a fault and without control characters."""
    plain = "".join(c if c.isprintable() else " " for c in str(text)[: MOST_CHARACTERS + 1])
    whole = len(str(text))
    return plain if whole <= MOST_CHARACTERS else f"{plain[:40]}… ({whole} characters)"


def clean(text: str) -> str:
    """Look-alike signs made one; vulgar fractions spelt out, apart from the whole number."""
    for superscript in ("²", "³"):
        # A power belongs to a unit: `m²`. After a digit it is not a digit of the number.
        if re.search(rf"[0-9]\s*{superscript}", text):
            raise UnreadError
    for sign, spelt in _VULGAR.items():
        text = text.replace(sign, f" {spelt} ")
    text = text.translate(_SAME).replace("''", '"')
    return re.sub(r" +", " ", text).strip()


def whole_or_decimal(text: str) -> Token:
    """A number, its thousands commas checked."""
    comma = "," in text
    if comma and not re.fullmatch(r"[1-9][0-9]{0,2}(,[0-9]{3})+(\.[0-9]+)?", text):
        raise UnreadError
    kind = "D" if "." in text else "N"
    # Two or more groups can only be thousands; one group may be a decimal comma.
    return Token(kind, text, Fraction(text.replace(",", "")), comma and text.count(",") == 1)


def tokens_of(text: str) -> list[Token]:
    """Tokens of cleaned text, fractions joined.

    Raises ``UnreadError``, or ``Faulty`` for ``3/0``.
    """
    found: list[Token] = []
    at = 0
    while at < len(text):
        if text[at] == " ":
            at += 1
            continue
        match = _TOKEN.match(text, at)
        if match is None:
            raise UnreadError
        at = match.end()
        if match["number"]:
            found.append(whole_or_decimal(match["number"]))
        elif match["word"]:
            found.append(Token("W", match["word"].lower().rstrip(".")))
        else:
            found.append(Token(match["mark"], match["mark"]))
    return _joined(found, whole=text)


def _joined(loose: list[Token], *, whole: str) -> list[Token]:
    joined: list[Token] = []
    at = 0
    while at < len(loose):
        three = loose[at : at + 3]
        if [token.kind for token in three] == ["N", "/", "N"]:
            top, bottom = three[0], three[2]
            if "," in top.text + bottom.text:
                raise UnreadError
            if bottom.value == 0:
                meant = f"{top.text}/8` or `{top.text}" if top.value < 8 else top.text
                raise Faulty(ZERO_BELOW.met(value=shown(whole), meant=f"`{meant}`"))
            joined.append(Token("F", f"{top.text}/{bottom.text}", top.value / bottom.value))
            at += 3
        else:
            joined.append(loose[at])
            at += 1
    return joined


def shape_of(tokens: list[Token]) -> str:
    return "".join(token.kind for token in tokens)


def sign_of(text: str) -> tuple[int, str]:
    """The one leading sign, and the rest; two signs are left for the fault."""
    if text[:1] in ("-", "+"):
        rest = text[1:].lstrip()
        if rest[:1] in ("-", "+"):
            raise UnreadError
        return (-1 if text[0] == "-" else 1), rest
    return 1, text


def mixed(tokens: list[Token]) -> Fraction:
    """A number of the shapes N, D, F, NF, N-F; a fraction after a whole number is below one."""
    shape = shape_of(tokens)
    if shape in ("N", "D", "F"):
        return tokens[0].value
    if shape in ("NF", "N-F"):
        if tokens[-1].value >= 1:
            raise UnreadError
        return tokens[0].value + tokens[-1].value
    raise UnreadError


def check_inch_fraction(tokens: list[Token], *, typed: str) -> None:
    """Refuse fractions of an inch that no rule carries: ``4 3/7``, ``17/16``."""
    for place, token in enumerate(tokens):
        if token.kind != "F":
            continue
        top, bottom = (int(part) for part in token.text.split("/"))
        if bottom in RULE_BOTTOMS and top < bottom:
            continue
        before = tokens[place - 1] if place else None
        whole = int(before.value) if before is not None and before.kind == "N" else 0
        lead = f"{whole} " if whole else ""
        if bottom in RULE_BOTTOMS:
            up = whole + top // bottom
            rest = Fraction(top % bottom, bottom)
            meant = [f"{up} {rest}" if rest else f"{up}"]
            if len(str(top)) == 2 and not whole and int(str(top)[1]) < bottom:
                meant.append(f"{str(top)[0]} {str(top)[1]}/{bottom}")
        else:
            near = Fraction(round(token.value * 16), 16)
            meant = [f"{lead}{near}"] if 0 < near < 1 else []
            meant += [f"{lead}{top}/1{bottom}"] if bottom == 6 and top < 16 else []
        raise Faulty(
            INCH_FRACTION.met(
                value=shown(typed),
                fraction=token.text,
                meant=" or ".join(f"`{text} in`" for text in meant)
                or "a number such as `4 3/8 in`",
            )
        )
