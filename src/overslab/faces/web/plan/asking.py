"""What a person asked of the plan, out of the address: layers, a place, a line."""

from __future__ import annotations

from dataclasses import dataclass, field

from starlette.datastructures import QueryParams

from overslab.faces.documents.live_plan import AT_FIRST, SUBJECTS
from overslab.faces.web.field.floor import Floor
from overslab.faces.web.plan.places import Point, read_place
from overslab.ground.faults import Fault, Faulty

CODES = frozenset(one.code for one in SUBJECTS)
_MOST_TYPED = 60


@dataclass(slots=True)
class Asked:
    """``typed`` keeps the texts; a place that cannot be read is None and its faults are kept."""

    show: tuple[str, ...]
    typed: dict[str, str]
    at: Point | None = None
    line: tuple[Point, Point] | None = None
    place_faults: list[Fault] = field(default_factory=list)
    line_faults: list[Fault] = field(default_factory=list)


def shown_in(query: QueryParams) -> tuple[str, ...]:
    """The layers asked for, each once; those of the first visit when nothing was chosen."""
    given = query.getlist("show")
    if not given and "chosen" not in query:
        return AT_FIRST
    wanted = {code for part in given for code in part.split(",")}
    return tuple(one.code for one in SUBJECTS if one.code in wanted)


def asked_in(query: QueryParams, *, floor: Floor) -> Asked:
    """Everything asked; never raises."""
    typed = {key: query.get(key, "")[:_MOST_TYPED] for key in ("x", "y", "ax", "ay", "bx", "by")}
    asked = Asked(show=shown_in(query), typed=typed)
    if typed["x"] or typed["y"]:
        asked.at = _place(typed["x"], typed["y"], floor, "the place", asked.place_faults)
    if any(typed[key] for key in ("ax", "ay", "bx", "by")):
        a = _place(typed["ax"], typed["ay"], floor, "from", asked.line_faults)
        b = _place(typed["bx"], typed["by"], floor, "to", asked.line_faults)
        if a is not None and b is not None:
            asked.line = (a, b)
    return asked


def _place(x: str, y: str, floor: Floor, about: str, found: list[Fault]) -> Point | None:
    try:
        return read_place(x, y, floor=floor, about=about)
    except Faulty as trouble:
        found.extend(trouble.faults)
        return None
