"""A TOML text held against its model: every fault at once, in the words of the trade."""

from __future__ import annotations

import difflib
import json
from dataclasses import replace
from typing import Any, TypeVar, get_origin

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo

from overslab.ground.faults import Fault, Faulty
from overslab.ground.units import System
from overslab.job import faults
from overslab.job.files import KeyPath, key_lines, parse_toml, place_of
from overslab.job.typed import Speech, told

Model = TypeVar("Model", bound=BaseModel)
SYSTEMS: tuple[System, ...] = ("feet-inches", "tenths", "metric")


class Checked:
    """A file that was read, with the places of its keys for faults that are found later."""

    def __init__(self, text: str, *, file: str) -> None:
        self.file = file
        self.text = text
        self.data: dict[str, Any] = parse_toml(self.text, file=self.file)
        self.lines = key_lines(self.text)

    def place(self, *path: str | int) -> str:
        return place_of(path, lines=self.lines, file=self.file, data=self.data)

    def system_at(self, table: str, key: str) -> System:
        """The unit system typed at a key; when it is wrong the model says so, not this."""
        inside = self.data.get(table)
        value = inside.get(key) if isinstance(inside, dict) else None
        return next((system for system in SYSTEMS if system == value), "feet-inches")

    def validate(self, model: type[Model], *, speech: Speech) -> Model:
        """The file as its model; ``Faulty`` with every fault of the file."""
        try:
            return model.model_validate(self.data, context=speech)
        except ValidationError as trouble:
            found = [self._told(error, model=model) for error in trouble.errors(include_url=False)]
        raise Faulty(faults.capped(found, file=self.file))

    def _told(self, error: Any, *, model: type[BaseModel]) -> Fault:
        path: KeyPath = tuple(error["loc"])
        place = self.place(*path)
        key = next((str(part) for part in reversed(path) if isinstance(part, str)), self.file)
        holder, field = _field_at(model, path)
        meaning = (field.description if field else None) or "See the page of the job folder."
        carried = error.get("ctx", {}).get("fault")
        if isinstance(carried, Fault):
            if carried.code in (faults.LENGTH_SIGN.code, faults.PRICE_SHAPE.code):
                carried = replace(carried, limit=f"{carried.limit} {meaning}")
            return told(carried, place=place)
        if error["type"] == "missing":
            how = _how_to_write(path, field)
            return faults.KEY_MISSING.met(
                value="nothing", place=place, key=key, meaning=meaning, how=how
            )
        if error["type"] == "extra_forbidden":
            known = _keys(holder)
            near = difflib.get_close_matches(key, known, n=1, cutoff=0.6)
            return faults.KEY_UNKNOWN.met(
                value=key[:80],
                place=place,
                key=key[:80],
                known=", ".join(known),
                hint=f"Did you mean {near[0]}?" if near else "Correct the name or take it out.",
            )
        return faults.KEY_WRONG.met(
            value=_short(error["input"]),
            place=place,
            key=key,
            why=_why(error),
            meaning=meaning,
        )


# What pydantic says, said in plain words; what is not here carries our own words already.
_WHY = {
    "string_type": "text in quotes is wanted",
    "bool_type": "true or false is wanted, without quotes",
    "float_type": "a plain number is wanted, without quotes",
    "int_type": "a whole number is wanted, without quotes",
    "list_type": "a list is wanted, or sections in double brackets, [[...]]",
    "model_type": "a section is wanted, in single brackets, [...]",
    "literal_error": "one of {expected} is wanted",
    "too_short": "at least {min_length} are wanted, and {actual_length} are given",
    "too_long": "at most {max_length} are wanted, and {actual_length} are given",
    "string_too_short": "nothing stands between the quotes",
    "string_too_long": "at most {max_length} characters are wanted",
    "greater_than_equal": "at least {ge} is wanted",
    "less_than_equal": "at most {le} is wanted",
}


def _why(error: Any) -> str:
    words = _WHY.get(error["type"])
    if words is None:
        return str(error["msg"]).rstrip(".")
    return words.format(**error.get("ctx", {}))


def _short(value: Any) -> str:
    if isinstance(value, dict):
        return "a section with " + ", ".join(str(key) for key in value)[:60]
    text = json.dumps(value, ensure_ascii=False, default=str) if isinstance(value, list) else value
    return str(text) if len(str(text)) <= 80 else str(text)[:77] + "..."


def _how_to_write(path: KeyPath, field: FieldInfo | None) -> str:
    if field is None or _section_in(field.annotation) is None:
        return f"Write {path[-1]} = ... in its place."
    name = ".".join(part for part in path if isinstance(part, str))
    many = get_origin(field.annotation) is list
    return f"Add the section {f'[[{name}]]' if many else f'[{name}]'}."


def _keys(model: type[BaseModel]) -> list[str]:
    return [field.alias or name for name, field in model.model_fields.items()]


def _field_at(model: type[BaseModel], path: KeyPath) -> tuple[type[BaseModel], FieldInfo | None]:
    """The section that a key stands in, and the key as its model knows it."""
    holder, field = model, None
    names = [part for part in path if isinstance(part, str)]
    for place, part in enumerate(names):
        field = next(
            (field for name, field in holder.model_fields.items() if part in (field.alias, name)),
            None,
        )
        inner = _section_in(field.annotation) if field else None
        if inner is None or place == len(names) - 1:
            break
        holder = inner
    return holder, field


def _section_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for part in getattr(annotation, "__args__", ()):
        inner = _section_in(part)
        if inner is not None:
            return inner
    return None
