"""Values as a person types them into the TOML files: the text kept beside the SI value.

The types here are what the models of the two files are made of. Each reads its text through
``overslab.ground.units`` while pydantic checks the file, so every fault is found in one go. The
unit system of the job travels in the validation context (see ``Speech``).
"""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, PlainValidator, StringConstraints
from pydantic import ValidationInfo as Info
from pydantic_core import PydanticCustomError

from overslab.ground import units
from overslab.ground.faults import Fault, Faulty
from overslab.ground.units import System
from overslab.job import faults

MOST_TEXT = 200  # characters of one typed value; longer is a paste by mistake


@dataclass(frozen=True, slots=True)
class Typed:
    """What was typed and what it means in SI (metres, m/m, share, pascals, m3) or in money."""

    text: str
    value: float


@dataclass(frozen=True, slots=True)
class Spot:
    """A place on the plan: x and y in metres, or a label of the taped grid to be looked up."""

    text: str
    xy_m: tuple[float, float] | None
    label: str | None


@dataclass(frozen=True, slots=True)
class Level:
    """A height that is fixed, or that leans on shots: their mean plus ``offset_m``."""

    text: str
    height_m: float | None
    shots: tuple[str, ...]
    offset_m: float


@dataclass(frozen=True, slots=True)
class Speech:
    """The validation context: how lengths and rod readings are written in this job."""

    system: System
    rod: System


def as_error(fault: Fault) -> PydanticCustomError:
    """A fault dressed so that pydantic carries it; ``fault_of`` takes it out again."""
    return PydanticCustomError("overslab", "{words}", {"words": fault.what, "fault": fault})


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise PydanticCustomError("string_type", "text in quotes is wanted, not a bare value")
    text = value.strip()
    if not text:
        raise PydanticCustomError("blank", "nothing stands between the quotes")
    if len(text) > MOST_TEXT:
        raise PydanticCustomError(
            "long", "the text is longer than {most} characters", {"most": MOST_TEXT}
        )
    return text


def _key(info: Info) -> str:
    return info.field_name or "the value"


def _speech(info: Info) -> Speech:
    speech = info.context
    if not isinstance(speech, Speech):
        raise TypeError("the models of the job folder are validated with a Speech as context")
    return speech


def _carried(read: Callable[[], Any], *, text: str) -> Typed:
    """What ``read`` gives for the text, its faults dressed for pydantic."""
    try:
        return Typed(text, _finite(float(read()), text=text))
    except Faulty as trouble:
        raise as_error(trouble.faults[0]) from None


def _finite(value: float, *, text: str) -> float:
    if not math.isfinite(value):
        raise Faulty(
            faults.KEY_WRONG.met(
                value=text, key="the value", why="it is no number", meaning="A number is wanted."
            )
        )
    return value


BARE = re.compile(r"[-+]?[\d.,]+(\s+\d+/\d+|/\d+)?")  # a number with no unit behind it


def length_m(text: str, *, system: System) -> float:
    """A length in metres; a bare number other than 0 raises ``Faulty`` in every system."""
    if BARE.fullmatch(text):
        if not text.strip("0."):
            return 0.0
        raise Faulty(faults.LENGTH_UNIT.met(value=text))
    return _finite(units.read_length_m(text, system=system), text=text)


def length_of(text: str, *, system: System) -> Typed:
    """The same for pydantic."""
    return _carried(lambda: length_m(text, system=system), text=text)


def _length(value: Any, info: Info) -> Typed:
    if isinstance(value, int | float) and not isinstance(value, bool):
        if value == 0:
            return Typed("0", 0.0)
        raise as_error(faults.LENGTH_UNIT.met(value=value))
    return length_of(_text(value), system=_speech(info).system)


def _rod(value: Any, info: Info) -> Typed:
    text = _text(value)
    return _carried(lambda: units.read_rod_m(text, system=_speech(info).rod), text=text)


def _plain(read: Callable[[str], Any]) -> Callable[[Any], Typed]:
    def reading(value: Any) -> Typed:
        text = _text(value)
        return _carried(lambda: read(text), text=text)

    return reading


def _volume(value: Any, info: Info) -> Typed:
    text = _text(value)
    return _carried(lambda: units.read_volume_m3(text, system=_speech(info).system), text=text)


def _by_ending(name: str) -> Callable[[Any, Info], Typed]:
    """Reads what is measured in the unit that ``name`` ends in."""

    def reading(value: Any, info: Info) -> Typed:
        text, system = _text(value), _speech(info).system
        return _carried(lambda: units.read_by_suffix(name, text, system=system), text=text)

    return reading


def _money(value: Any) -> Typed:
    text = _text(value)
    return _carried(lambda: units.read_money(text), text=text)


def _tilt(value: Any, info: Info) -> Typed:
    """``1/16 in per 100 ft``: how far a level beam may be off at a distance, as m/m."""
    text = _text(value)
    off, per, distance = text.partition(" per ")
    if not per:
        raise PydanticCustomError(
            "tilt", 'write it as a height per distance, such as "1/16 in per 100 ft"'
        )
    system = _speech(info).system
    far = length_of(distance.strip(), system=system).value
    if far <= 0:
        raise PydanticCustomError("tilt", "the distance must be more than nothing")
    return Typed(text, length_of(off.strip(), system=system).value / far)


LABEL = re.compile(r"([A-Za-z]{1,2})[ -]?(\d{1,3})")


def _spot(value: Any, info: Info) -> Spot:
    if isinstance(value, str):
        text = _text(value)
        if not LABEL.fullmatch(text):
            raise PydanticCustomError(
                "spot", 'a place is ["10 ft", "4 ft 6 in"] or a grid label such as "C4"'
            )
        return Spot(text, None, text.upper())
    if not isinstance(value, list) or len(value) != 2:
        raise PydanticCustomError(
            "spot", 'a place is ["10 ft", "4 ft 6 in"] or a grid label such as "C4"'
        )
    x, y = (_length(part, info) for part in value)
    return Spot(f"{x.text}, {y.text}", (x.value, y.value), None)


_LEVEL = re.compile(r"shots?\s+(?P<names>.+?)(?:\s+(?P<sign>[-+])\s+(?P<by>.+))?", re.IGNORECASE)


def _level(value: Any, info: Info) -> Level:
    text = _text(value)
    system = _speech(info).system
    leaning = _LEVEL.fullmatch(text)
    if leaning is None:
        if text.lower().startswith("shot"):
            raise as_error(faults.HEIGHT_WORDS.met(value=text))
        return Level(text, length_of(text, system=system).value, (), 0.0)
    parts = (name.strip() for name in re.split(r",|\sand\s", leaning["names"]))
    names = tuple(name for name in parts if name)
    if not names:
        raise as_error(faults.HEIGHT_WORDS.met(value=text))
    by = length_of(leaning["by"].strip(), system=system).value if leaning["by"] else 0.0
    return Level(text, None, names, -by if leaning["sign"] == "-" else by)


def _day(value: Any) -> str:
    if isinstance(value, datetime.datetime):
        return value.date().isoformat()
    if isinstance(value, datetime.date):
        return value.isoformat()
    try:
        return datetime.date.fromisoformat(_text(value)).isoformat()
    except ValueError:
        raise PydanticCustomError(
            "day", "a date is written year-month-day, such as 2026-04-18"
        ) from None


def _wanting(words: str, holds: Callable[[float], bool]) -> AfterValidator:
    def check(typed: Typed, info: Info) -> Typed:
        if not holds(typed.value):
            raise as_error(
                faults.LENGTH_SIGN.met(
                    value=typed.text, key=_key(info), wanted=words, meaning=f"It must be {words}."
                )
            )
        return typed

    return AfterValidator(check)


def _no_money_below_zero(typed: Typed, info: Info) -> Typed:
    if typed.value < 0:
        raise as_error(
            faults.PRICE_SHAPE.met(value=typed.text, key=_key(info), meaning="Zero or more.")
        )
    return typed


above_zero = _wanting("more than zero", lambda value: value > 0)
_NOT_BELOW_ZERO = _wanting("zero or more", lambda value: value >= 0)

Length = Annotated[Typed, PlainValidator(_length, json_schema_input_type=str)]
Size = Annotated[Length, above_zero]
Margin = Annotated[Length, _NOT_BELOW_ZERO]
Rod = Annotated[Typed, PlainValidator(_rod, json_schema_input_type=str)]
Slope = Annotated[
    Typed, PlainValidator(_plain(units.read_slope), json_schema_input_type=str), _NOT_BELOW_ZERO
]
Tilt = Annotated[Typed, PlainValidator(_tilt, json_schema_input_type=str), _NOT_BELOW_ZERO]
Share = Annotated[
    Typed,
    PlainValidator(_plain(units.read_share), json_schema_input_type=str),
    _wanting("at least 0 and below 100 %", lambda value: 0 <= value < 1),
]
Surety = Annotated[Share, _wanting("from 50 % to 99.9 %", lambda value: 0.5 <= value <= 0.999)]
Pressure = Annotated[
    Typed, PlainValidator(_plain(units.read_pressure_pa), json_schema_input_type=str), above_zero
]
Area = Annotated[
    Typed, PlainValidator(_by_ending("area_m2"), json_schema_input_type=str), _NOT_BELOW_ZERO
]
Contact = Annotated[
    Typed, PlainValidator(_by_ending("contact_m2"), json_schema_input_type=str), above_zero
]
Force = Annotated[
    Typed, PlainValidator(_by_ending("load_n"), json_schema_input_type=str), above_zero
]
Stiffness = Annotated[
    Typed, PlainValidator(_by_ending("subgrade_pa_per_m"), json_schema_input_type=str), above_zero
]
Density = Annotated[
    Typed, PlainValidator(_by_ending("mass_kg_per_m3"), json_schema_input_type=str), above_zero
]
Volume = Annotated[Typed, PlainValidator(_volume, json_schema_input_type=str), _NOT_BELOW_ZERO]
Money = Annotated[
    Typed, PlainValidator(_money, json_schema_input_type=str), AfterValidator(_no_money_below_zero)
]
Place = Annotated[Spot, PlainValidator(_spot, json_schema_input_type=list[str] | str)]
HeightAt = Annotated[Level, PlainValidator(_level, json_schema_input_type=str)]
Day = Annotated[str, BeforeValidator(_day)]
Words = Annotated[
    str, StringConstraints(strict=True, strip_whitespace=True, min_length=1, max_length=MOST_TEXT)
]


def told(fault: Fault, *, place: str) -> Fault:
    """The same fault with the place where it was met, unless it already knows a nearer one."""
    return replace(fault, place=f"{place}, {fault.place}" if fault.place else place)
