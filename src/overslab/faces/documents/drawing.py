"""The drawing: paths, lettering and layers on a sheet in millimetres, with ids and classes.

Sheet coordinates run right and down from the top left corner. A drawing knows nothing of floors; it
is written as SVG by ``svg.py``, for the page and for the paper alike.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from math import cos, pi, sin
from typing import Literal

Spot = tuple[float, float]
Anchor = Literal["start", "middle", "end"]
_ROUND = tuple((cos(k * pi / 12), sin(k * pi / 12)) for k in range(24))

INK = "#000000"
# The one accent, for water. It prints as a dark grey, and water is also told by dashes or hatching.
WATER = "#1b4b72"
GREY = "#6b6b6b"
PAPER = "#ffffff"


@dataclass(frozen=True, slots=True)
class Pen:
    """A line weight in millimetres, a dash pattern, a tone."""

    width: float
    dash: tuple[float, ...] = ()
    tone: str = INK


# Line weights step by about the square root of two (0.13, 0.18, 0.25, 0.35, 0.5, 0.7 mm), the
# series of technical drawing (ISO 128-2:2022, as remembered): the heavier, the nearer to what is
# built.
PENS: dict[str, Pen] = {
    "outline": Pen(0.7),
    "hole": Pen(0.5),
    "opening": Pen(0.25),
    "break": Pen(0.5, (5, 1.2, 0.8, 1.2)),
    "feature": Pen(0.35, (3, 1)),
    "zone": Pen(0.25, (2, 1, 0.5, 1, 0.5, 1)),
    "fold": Pen(0.35, (6, 1.2, 1.2, 1.2)),
    "facet": Pen(0.13, (1.5, 1)),
    "strip": Pen(0.25, (4, 1.5)),
    "contour": Pen(0.18, (), GREY),
    "contour-main": Pen(0.3, (), GREY),
    "hatch": Pen(0.13),
    "hatch-water": Pen(0.13, (), WATER),
    "shore": Pen(0.25, (1.2, 0.8), WATER),
    "flow": Pen(0.25, (2.4, 1), WATER),
    "flow-head": Pen(0.25, (), WATER),
    "fall": Pen(0.35),
    "mark": Pen(0.25),
    "ring": Pen(0.5),
    "leader": Pen(0.13),
    "dimension": Pen(0.13),
    "tick": Pen(0.35),
    "frame": Pen(0.18),
    "new": Pen(0.6),
    "old": Pen(0.35),
    "old-hatch": Pen(0.13, (), GREY),
    "cut": Pen(0.5, (8, 1.5, 1.5, 1.5)),
}


@dataclass(frozen=True, slots=True)
class Path:
    """A line or a closed ring; several rings make a shape with holes (even-odd)."""

    rings: tuple[tuple[Spot, ...], ...]
    pen: str | None
    closed: bool = False
    fill: str | None = None
    kind: str = ""
    name: str = ""  # what it stands for, such as a point's name; becomes an id and is kept as data


@dataclass(frozen=True, slots=True)
class Text:
    """One line of lettering; ``at`` is on the baseline. ``halo`` keeps lines out of the letters."""

    text: str
    at: Spot
    size: float
    anchor: Anchor = "start"
    bold: bool = False
    angle: float = 0.0  # degrees, clockwise on the sheet
    halo: bool = True
    tone: str = INK
    kind: str = ""
    name: str = ""


@dataclass(slots=True)
class Drawing:
    """Layers in the order they are laid down, on a sheet ``width`` by ``height`` millimetres."""

    width: float
    height: float
    title: str
    told: str  # the drawing in words, for a reader who cannot see it
    layers: dict[str, list[Path | Text]] = field(default_factory=dict)

    def put(self, layer: str, *things: Path | Text) -> None:
        self.layers.setdefault(layer, []).extend(things)

    def line(
        self, layer: str, points: Iterable[Spot], *, pen: str, kind: str = "", name: str = ""
    ) -> None:
        self.put(layer, Path((tuple(points),), pen, kind=kind, name=name))

    def ring(
        self,
        layer: str,
        points: Iterable[Spot],
        *,
        pen: str | None,
        fill: str | None = None,
        kind: str = "",
        name: str = "",
    ) -> None:
        self.put(layer, Path((tuple(points),), pen, closed=True, fill=fill, kind=kind, name=name))

    def circle(
        self,
        layer: str,
        centre: Spot,
        *,
        radius: float,
        pen: str | None,
        fill: str | None = None,
        kind: str = "",
        name: str = "",
    ) -> None:
        """A circle as a ring of 24 chords: finer than a pen at the sizes used here."""
        x, y = centre
        self.ring(
            layer,
            ((x + radius * c, y + radius * s) for c, s in _ROUND),
            pen=pen,
            fill=fill,
            kind=kind,
            name=name,
        )


def slug(*words: str) -> str:
    """Letters, digits and hyphens only: fit for an id and for a class."""
    return "-".join(
        part for part in (re.sub(r"[^A-Za-z0-9]+", "-", word).strip("-") for word in words) if part
    ).lower()
