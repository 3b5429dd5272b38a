"""What a sheet is made of: paragraphs, tables, figures, blanks to fill.

Data only; the template sets it. Every string here reaches the paper as data, never as markup.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Literal

from overslab.faces.documents.drawing import Drawing
from overslab.faces.documents.svg import printable, settable, write_svg

Align = Literal["left", "right"]
Style = Literal["plain", "strong", "small", "mind"]


@dataclass(frozen=True, slots=True)
class Para:
    text: str
    style: Style = "plain"

    def data(self) -> dict[str, Any]:
        return {"block": "para", "text": settable(self.text), "style": self.style}


@dataclass(frozen=True, slots=True)
class Heading:
    text: str
    fresh_page: bool = False

    def data(self) -> dict[str, Any]:
        return {"block": "heading", "text": settable(self.text), "fresh": self.fresh_page}


@dataclass(frozen=True, slots=True)
class Bullets:
    items: tuple[str, ...]
    boxes: bool = False  # squares to tick

    def data(self) -> dict[str, Any]:
        return {
            "block": "bullets",
            "items": [settable(item) for item in self.items],
            "boxes": self.boxes,
        }


@dataclass(frozen=True, slots=True)
class Facts:
    """Short names with what they stand at, one under the other."""

    pairs: tuple[tuple[str, str], ...]
    size: float = 10.0

    def data(self) -> dict[str, Any]:
        return {
            "block": "facts",
            "pairs": [[settable(name), settable(value)] for name, value in self.pairs],
            "size": self.size,
        }


@dataclass(frozen=True, slots=True)
class Asks:
    """Lines of a form. A line without a value is printed as a blank to fill."""

    lines: tuple[tuple[str, str | None], ...]

    def data(self) -> dict[str, Any]:
        return {
            "block": "asks",
            "lines": [
                [settable(name), None if value is None else settable(value)]
                for name, value in self.lines
            ],
        }


@dataclass(frozen=True, slots=True)
class Column:
    head: str
    align: Align = "left"
    share: float | None = None  # of the free width; None takes what it needs
    bold: bool = False
    size: float | None = None  # points, when not that of the table


@dataclass(frozen=True, slots=True)
class Table:
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    size: float = 9.0
    strong: tuple[int, ...] = ()  # rows in bold
    name: str = ""  # printed under the table
    split: int | None = None  # column before which an upright line stands
    tight: bool = False

    def data(self) -> dict[str, Any]:
        return {
            "block": "table",
            "heads": [settable(column.head) for column in self.columns],
            "aligns": [column.align for column in self.columns],
            "shares": [column.share for column in self.columns],
            "bolds": [column.bold for column in self.columns],
            "sizes": [column.size or self.size for column in self.columns],
            "rows": [[settable(cell) for cell in row] for row in self.rows],
            "strong": list(self.strong),
            "name": settable(self.name),
            "split": self.split,
            "tight": self.tight,
        }


@dataclass(frozen=True, slots=True)
class Figure:
    drawing: Drawing

    def data(self) -> dict[str, Any]:
        return {
            "block": "figure",
            "svg": write_svg(self.drawing),
            "alt": printable(self.drawing.told),
            "width": self.drawing.width,
            "height": self.drawing.height,
        }


Block = Para | Heading | Bullets | Facts | Asks | Table | Figure


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet, laid out and ready for the paper."""

    number: int
    code: str
    title: str
    blocks: tuple[Block, ...]
    landscape: bool = False
    drawing: Drawing | None = field(default=None)  # the main drawing, for the sheet alone as SVG

    def data(self) -> dict[str, Any]:
        return {
            "number": self.number,
            "code": self.code,
            "title": settable(self.title),
            "landscape": self.landscape,
            "blocks": [block.data() for block in self.blocks],
        }
