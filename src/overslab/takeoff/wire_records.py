"""Wire sheets as they lie: what the layout gives."""

from __future__ import annotations

from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from overslab.ground.notes import Assumption, Remark
from overslab.handbook.checks import Check
from overslab.handbook.working import Working
from overslab.takeoff.asked import WireAsked
from overslab.takeoff.items import Item
from overslab.takeoff.steel_floor import steel_of_rings

Point = tuple[float, float]
Corners = tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class WirePiece:
    """One piece of wire: where it lies and what it is cut from.

    ``cut_from`` is the part of the stock sheet: along from, across from, along to, across to, from
    one corner of it, metres. ``turned``: its length was the stock sheet's width.
    """

    label: str  # "9b": the second piece of sheet 9
    sheet: int
    corners: Corners  # of its rectangle on the floor
    cut_from: tuple[float, float, float, float]
    turned: bool
    whole: bool  # an uncut sheet
    posts: int = 0  # posts it is cut open for
    trimmed: bool = False  # reaches past the floor inside the edges and is cut off there

    def polygon(self) -> shapely.Polygon:
        return shapely.Polygon(self.corners)


@dataclass(frozen=True, slots=True)
class Offcut:
    """What is left of a sheet and is large enough to be of use elsewhere."""

    sheet: int
    cut_from: tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class PlainGrid:
    """Sheets laid from a corner, every cut piece a new sheet: what the layout is compared with."""

    sheets: int
    turned: bool  # sheets with their length along the shorter side
    corners: tuple[Corners, ...]


@dataclass(frozen=True, slots=True)
class WireLayout:
    """Where every sheet lies. ``bound``: no layout of any sort takes fewer sheets.

    ``cutting_bound``: these pieces cannot be cut from fewer sheets.
    """

    asked: WireAsked
    pieces: tuple[WirePiece, ...]
    sheets: int
    bound: int
    cutting_bound: int
    plain: PlainGrid
    offcuts: tuple[Offcut, ...]
    area_m2: float  # of floor inside the edges
    courses_tried: int
    thinnest_m: float | None
    inner: tuple[Corners, ...]  # rings of the floor inside the edges, outline before posts
    items: tuple[Item, ...]
    checks: tuple[Check, ...]
    remarks: tuple[Remark, ...]
    workings: tuple[Working, ...]
    assumptions: tuple[Assumption, ...]

    def inside(self) -> BaseGeometry:
        """The floor inside the edges, where wire lies."""
        return steel_of_rings(self.inner)

    @property
    def gap(self) -> float:
        """How far above the proven bound, as a share of it."""
        return self.sheets / self.bound - 1.0

    @property
    def reused(self) -> int:
        """Pieces cut from what another piece left."""
        return len(self.pieces) - self.sheets

    def cut_list(self) -> tuple[tuple[int, tuple[WirePiece, ...]], ...]:
        """Every sheet that is cut, with its pieces."""
        by_sheet: dict[int, list[WirePiece]] = {}
        for piece in self.pieces:
            if not piece.whole:
                by_sheet.setdefault(piece.sheet, []).append(piece)
        return tuple((sheet, tuple(by_sheet[sheet])) for sheet in sorted(by_sheet))
