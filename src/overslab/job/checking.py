"""A TOML text held against its model: every fault at once, in the words of the trade."""

from __future__ import annotations

import difflib
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from overslab.ground.faults import Fault, Faulty
from overslab.ground.units import System
from overslab.job import faults
from overslab.job.files import KeyPath, key_lines, parse_toml, place_of, read_text
from overslab.job.typed import Speech, told

Model = TypeVar("Model", bound=BaseModel)
SYSTEMS: tuple[System, ...] = ("feet-inches", "tenths", "metric")


class Checked:
    """A file that was read, with the places of its keys for faults that are found later."""

    def __init__(self, path: Path) -> None:
        self.file = path.name
        self.text = read_text(path)
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
        carried = error.get("ctx", {}).get("fault")
        if isinstance(carried, Fault):
            return told(carried, place=place)
        key = next((str(part) for part in reversed(path) if isinstance(part, str)), self.file)
        holder, meaning = _meaning(model, path)
        if error["type"] == "missing":
            return faults.KEY_MISSING.met(
                value="nothing", place=place, key=key, meaning=meaning or "this section."
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
            meaning=meaning or "See the page of the job folder.",
        )


def _why(error: Any) -> str:
    words = str(error["msg"]).rstrip(".")
    if error["type"].endswith(("_type", "_parsing", "_error")) or error["type"] == "too_short":
        words = words.replace("Input should be", "it should be").replace("List", "a list")
        words = words.replace("a valid list", "a list [ ]").replace(
            "a valid dictionary", "a section"
        )
    return words.replace(" or instance of", "").replace("dictionary", "section")


def _short(value: Any) -> str:
    text = str(value)
    return text if len(text) <= 80 else text[:77] + "..."


def _keys(model: type[BaseModel]) -> list[str]:
    return [field.alias or name for name, field in model.model_fields.items()]


def _meaning(model: type[BaseModel], path: KeyPath) -> tuple[type[BaseModel], str]:
    """The section a key stands in, and what the key means by its description."""
    holder, meaning = model, ""
    for part in path:
        if isinstance(part, int):
            continue
        field = next(
            (field for name, field in holder.model_fields.items() if part in (field.alias, name)),
            None,
        )
        if field is None:
            return holder, meaning
        meaning = field.description or ""
        inner = _section_in(field.annotation)
        if inner is None:
            return holder, meaning
        if part is not path[-1]:
            holder = inner
    return holder, meaning


def _section_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for part in getattr(annotation, "__args__", ()):
        inner = _section_in(part)
        if inner is not None:
            return inner
    return None
