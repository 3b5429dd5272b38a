"""Places as a person types them: two lengths with their unit, or a label of the taped grid."""

from __future__ import annotations

from overslab.faces.web.field.floor import Floor
from overslab.faces.web.plan import faults
from overslab.ground.faults import Fault, Faulty
from overslab.ground.units import System
from overslab.job.typed import LABEL, MOST_TEXT, length_m, told

Point = tuple[float, float]
FARTHEST_M = 1000.0  # beyond this a unit has slipped; the same as for the lines of a floor plan
EXAMPLES: dict[System, tuple[str, str]] = {
    "feet-inches": ("12 ft 6 in", "8 ft"),
    "tenths": ("12.5 ft", "8 ft"),
    "metric": ("3.81 m", "2.44 m"),
}
# How finely a corner that was dragged is written.
MARKS_M: dict[System, float] = {"feet-inches": 0.0254 / 16, "tenths": 0.003048, "metric": 0.001}


def read_place(x: str, y: str, *, floor: Floor, about: str) -> Point:
    """The place in plan metres. Raises ``Faulty`` with a fault for each part that cannot be read.

    ``about`` names the place in the fault, such as "corner 3".
    """
    x, y = x.strip(), y.strip()
    if LABEL.fullmatch(x) and not y:
        return _by_label(x.upper(), floor=floor, about=about)
    found: list[Fault] = []
    parts = []
    for axis, text in (("x", x), ("y", y)):
        place = f"{about}, {axis}"
        try:
            if not text or len(text) > MOST_TEXT:
                raise Faulty(_shape(text[:40] or "nothing", floor=floor))
            value = length_m(text, system=floor.system)
            if abs(value) > FARTHEST_M:
                raise Faulty(_shape(text, floor=floor))
            parts.append(value)
        except Faulty as trouble:
            found += [told(fault, place=place) for fault in trouble.faults]
    if found:
        raise Faulty(tuple(found))
    return parts[0], parts[1]


def _by_label(label: str, *, floor: Floor, about: str) -> Point:
    tape = floor.plotter.tape if floor.plotter is not None else None
    if tape is None:
        raise Faulty(told(_shape(label, floor=floor), place=about))
    try:
        return tape.find(label)
    except Faulty as trouble:
        raise Faulty(tuple(told(fault, place=about) for fault in trouble.faults)) from None


def _shape(value: str, *, floor: Floor) -> Fault:
    return faults.PLACE_SHAPE.met(value=value, example=" and ".join(EXAMPLES[floor.system]))


def as_value(x: str, y: str) -> str | list[str]:
    """The place as it is written into job.toml, as typed."""
    x, y = x.strip(), y.strip()
    return x.upper() if LABEL.fullmatch(x) and not y else [x, y]
