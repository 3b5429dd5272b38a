"""Fields of the forms for facts, made from the models that read the job's files.

What a person typed goes into the file as typed; the models say what it means. A field knows its
key, what it wants in words, and how its text turns into what stands in the file and back.
"""

from __future__ import annotations

import datetime
import re
import types
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from overslab.job.jobfile import JobFile
from overslab.job.ratesfile import RatesFile
from overslab.job.typed import MOST_TEXT, Spot

Kind = Literal[
    "text", "whole", "number", "yes-no", "choice", "choices", "place", "places", "lines", "words"
]
Key = str | int
RATES = "rates"  # what the address of a section of rates.toml begins with
NEW = "new"
_APART = re.compile(r"\s*;\s*|\s*,\s+")


@dataclass(frozen=True, slots=True)
class FactField:
    """One key of a section."""

    key: str
    kind: Kind
    hint: str
    required: bool
    options: tuple[str, ...] = ()
    whole: bool = False  # whether the items of a list are whole numbers

    @property
    def label(self) -> str:
        return self.key.replace("_", " ")


@dataclass(frozen=True, slots=True)
class Inner:
    """A section inside a section: one, or a list of them."""

    key: str
    hint: str
    many: bool
    model: type[BaseModel]
    optional: bool  # it may be left out as a whole


@dataclass(frozen=True, slots=True)
class Section:
    """A section of a file and where it stands: ``path`` ends in a number or ``new`` in a list."""

    file: str
    path: tuple[Key, ...]
    model: type[BaseModel]
    in_list: bool
    optional: bool = False  # it may be taken out as a whole

    @property
    def is_new(self) -> bool:
        return bool(self.path) and self.path[-1] == NEW

    @property
    def address(self) -> str:
        head = (RATES,) if self.file == "rates.toml" else ()
        return "/".join(str(part) for part in (*head, *self.path))

    def data(self, whole: Mapping[str, Any]) -> dict[str, Any]:
        """What stands in it now; nothing when it is not there."""
        inside: Any = whole
        for part in self.path:
            try:
                inside = inside[part]
            except (KeyError, IndexError, TypeError):
                return {}
        return dict(inside) if isinstance(inside, dict) else {}


def section_at(address: str) -> Section | None:
    """The section of an address such as ``door/0`` or ``rates/concrete``; None for no such one."""
    parts = [part for part in address.split("/") if part]
    rates = parts[:1] == [RATES]
    model: type[BaseModel] = RatesFile if rates else JobFile
    file = "rates.toml" if rates else "job.toml"
    path: list[Key] = []
    in_list = optional = False
    for part in parts[1:] if rates else parts:
        if in_list and path and isinstance(path[-1], str) and path[-1] != NEW:
            if part != NEW and not (part.isascii() and part.isdecimal() and len(part) < 5):
                return None
            path.append(NEW if part == NEW else int(part))
            continue
        inner = next((one for one in inner_sections(model) if one.key == part), None)
        if inner is None or (path and path[-1] == NEW):
            return None
        model, in_list, optional = inner.model, inner.many, inner.optional
        path.append(part)
    if not path and not rates:
        return None
    if in_list and isinstance(path[-1], str) and path[-1] != NEW:
        return None  # a list as a whole is shown on the page of all facts
    return Section(file, tuple(path), model, in_list, optional and not rates)


def inner_sections(model: type[BaseModel]) -> tuple[Inner, ...]:
    """The sections that stand inside one."""
    found = []
    for name, field in model.model_fields.items():
        inner = _section_in(field.annotation)
        if inner is not None:
            many = get_origin(_bare(field.annotation)) is list
            optional = not many and field.default is None
            found.append(Inner(field.alias or name, field.description or "", many, inner, optional))
    return tuple(found)


def fields_of(model: type[BaseModel]) -> tuple[FactField, ...]:
    """The keys of a section that a person fills: what is wanted first, then as in the file."""
    found = [
        _field(field.alias or name, field)
        for name, field in model.model_fields.items()
        if _section_in(field.annotation) is None
    ]
    return tuple(sorted(found, key=lambda one: not one.required))


def _field(key: str, field: FieldInfo) -> FactField:
    annotation = _bare(field.annotation)
    hint, required = _on_a_page(field.description or ""), field.is_required()
    if annotation is bool:
        hint = re.sub(r"\btrue\b", "yes", re.sub(r"\bfalse\b", "no", hint))
        return FactField(key, "yes-no", hint, required, ("yes", "no"))
    if get_origin(annotation) is Literal:
        return FactField(key, "choice", hint, required, get_args(annotation))
    if annotation is int:
        return FactField(key, "whole", hint, required)
    if annotation is float:
        return FactField(key, "number", hint, required)
    if annotation is Spot:
        return FactField(key, "place", hint, required)
    if get_origin(annotation) is list:
        (item,) = get_args(annotation)
        item = _bare(item)
        if get_origin(item) is Literal:
            return FactField(key, "choices", hint, required, get_args(item))
        if item is Spot:
            return FactField(key, "places", hint, required)
        return FactField(key, "lines", hint, required, whole=item is int)
    long = annotation is str and (
        key in ("notes", "cause", "note", "where") or _most(field) > MOST_TEXT
    )
    return FactField(key, "words" if long else "text", hint, required)


def _most(field: FieldInfo) -> int:
    """How many signs a text may have; 0 where nothing is said."""
    return max((getattr(one, "max_length", None) or 0 for one in field.metadata), default=0)


def _on_a_page(description: str) -> str:
    """The description without the brackets of the file, which a form needs none of."""
    bare = re.sub(r":\s*\[\[.*\]", "", description)
    return re.sub(r"\[([^\[\]]*)\]", lambda met: met[1].replace('"', ""), bare)


def text_of(field: FactField, value: Any) -> str:
    """What stands in the file, as it is shown in the form; ``choices`` are parted by commas."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime.date):
        return value.isoformat()
    if field.kind == "place":
        return _place_text(value)
    if field.kind == "places" and isinstance(value, list):
        return "\n".join(_place_text(one) for one in value)
    if isinstance(value, list):
        parted = ", " if field.kind == "choices" else "\n"
        return parted.join(str(one) for one in value)
    return str(value)


def value_of(field: FactField, text: str) -> Any:
    """What goes into the file for a text of the form; None takes the key out.

    What cannot be understood goes in as typed, and the model that reads the file says so.
    """
    text = text.strip().replace("\r\n", "\n")
    if not text:
        return None
    if field.kind == "yes-no":
        return {"yes": True, "no": False}.get(text.lower(), text)
    if field.kind == "whole":
        return _whole(text)
    if field.kind == "number":
        return _number(text)
    if field.kind == "place":
        return _place(text)
    lines = [line.strip() for line in text.split("\n") if line.strip()]
    if field.kind == "places":
        return [_place(line) for line in lines]
    if field.kind == "choices":
        return [word.strip() for word in text.split(",") if word.strip()]
    if field.kind == "lines":
        items = [one for line in lines for one in (line.split(",") if field.whole else [line])]
        return [_whole(one.strip()) if field.whole else one for one in items if one.strip()]
    return text


def _whole(text: str) -> Any:
    digits = text.removeprefix("-")
    return int(text) if digits.isascii() and digits.isdecimal() and len(digits) < 16 else text


def _number(text: str) -> Any:
    return float(text) if re.fullmatch(r"[-+]?\d{1,15}(\.\d{0,15})?", text, re.ASCII) else text


def _place(text: str) -> Any:
    parts = [part for part in _APART.split(text) if part]
    return text if len(parts) == 1 else parts


def _place_text(value: Any) -> str:
    return ", ".join(str(part) for part in value) if isinstance(value, list) else str(value)


def _bare(annotation: Any) -> Any:
    """The type behind ``Annotated`` and ``| None``."""
    while True:
        if get_origin(annotation) is Annotated:
            annotation = get_args(annotation)[0]
            continue
        if get_origin(annotation) in (Union, types.UnionType):
            inner = [one for one in get_args(annotation) if one is not type(None)]
            if len(inner) == 1:
                annotation = inner[0]
                continue
        return annotation


def _section_in(annotation: Any) -> type[BaseModel] | None:
    annotation = _bare(annotation)
    if get_origin(annotation) is list:
        annotation = _bare(get_args(annotation)[0])
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return None


# The order in which a person is asked, and what each group is called.
GROUPS: tuple[tuple[str, Sequence[str]], ...] = (
    ("The job and the survey", ("job", "survey", "taped_grid")),
    ("The floor", ("floor", "break", "pit", "trench", "pad", "post", "hole")),
    (
        "What the new top meets",
        ("door", "outside", "threshold", "stair", "line", "drain", "wall", "burner"),
    ),
    ("What was found", ("findings", "hollow", "load", "practice")),
    ("Wishes", ("wishes", "zone")),
    (
        "What lies in, under and on the new slab",
        (
            *("steel", "joints", "isolation", "breaker", "bonding", "patch", "cure", "cure_cover"),
            *("sealer", "forms"),
        ),
    ),
    ("The mix and the plant", ("mix", "rates")),
    ("What the customer reads", ("proposal",)),
)
TITLES = {
    "job": "The job",
    "survey": "The survey",
    "taped_grid": "The taped grid",
    "floor": "Outline of the floor",
    "break": "Cracks and joints",
    "pit": "Pits",
    "trench": "Trenches",
    "pad": "Pads",
    "post": "Posts",
    "hole": "Holes",
    "door": "Doors",
    "outside": "Outside the doors",
    "threshold": "Thresholds",
    "stair": "Stairs",
    "line": "Lines to meet",
    "drain": "Drains",
    "wall": "Walls",
    "burner": "Burners",
    "findings": "Findings",
    "hollow": "Hollow places",
    "load": "Wheels and posts on top",
    "practice": "Your practice",
    "wishes": "Wishes",
    "zone": "Zones",
    "steel": "Wire and bars",
    "joints": "Joints",
    "isolation": "Strip at walls and posts",
    "breaker": "Sheet under the top",
    "bonding": "Bonding agent",
    "patch": "Filling of pits and hollow places",
    "cure": "Curing compound",
    "cure_cover": "Curing cover",
    "sealer": "Sealer",
    "forms": "Forms and bulkheads",
    "mix": "The mix",
    "rates": "Prices and risks",
    "proposal": "Words of the proposal",
}


def title_of(key: str) -> str:
    return TITLES.get(key, key.replace("_", " ").capitalize())
