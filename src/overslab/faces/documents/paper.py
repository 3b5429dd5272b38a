"""The page: its size, what stands above and below a drawing, and so the room a drawing has."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from overslab.faces.documents.blocks import Block, Figure, Para
from overslab.faces.documents.drawing import Drawing
from overslab.faces.documents.labels import Label
from overslab.faces.documents.lettering import CAP_HEIGHT, MM_PER_PT, wrap
from overslab.faces.documents.plan_sheet import Room, scale_for
from overslab.faces.documents.words import MADE_UP, convention, datum
from overslab.ground.units import System
from overslab.job.records import Walk

# North American letter and ISO 216 A4, millimetres upright.
_PAGES: dict[System, tuple[str, float, float]] = {
    "feet-inches": ("us-letter", 215.9, 279.4),
    "tenths": ("us-letter", 215.9, 279.4),
    "metric": ("a4", 210.0, 297.0),
}
MARGIN = 12.0
TITLE_HIGH = 11.0
BETWEEN = 2.5
LINE = 1.26  # from baseline to baseline, of the size
_SIZES = {"plain": 10.0, "strong": 10.0, "small": 7.5, "mind": 9.0}
_FOOT_SIZE = 7.5
_FOOT_SIDE = 59.0  # kept at the right of the foot for sheet and page numbers
_SLACK = 4.0


@dataclass(frozen=True, slots=True)
class Page:
    """Paper and the lines at its foot, the same on every sheet of a job."""

    paper: str
    short: float
    long: float
    foot: tuple[str, ...]

    def wide(self, *, landscape: bool) -> float:
        return (self.long if landscape else self.short) - 2 * MARGIN

    def foot_high(self, *, landscape: bool) -> float:
        """Room the foot takes; long lines are broken in the foot and counted here."""
        width = self.wide(landscape=landscape) - _FOOT_SIDE
        size = _FOOT_SIZE * MM_PER_PT
        lines = sum(len(wrap(line, width=width, size_mm=size, bold=True)) for line in self.foot)
        return MARGIN / 2 + 4 + lines * LINE * size

    def room(self, paras: Sequence[Para], *, landscape: bool) -> Room:
        """What is left for a drawing on a page that also carries ``paras``."""
        high = (self.short if landscape else self.long) - MARGIN - TITLE_HIGH
        high -= self.foot_high(landscape=landscape) + _SLACK
        wide = self.wide(landscape=landscape)
        for para in paras:
            size = _SIZES[para.style] * MM_PER_PT
            bold = para.style == "strong"
            lines = len(wrap(para.text, width=wide - 1, size_mm=size, bold=bold))
            lines += lines // 6  # the typesetter may break a long paragraph a little earlier
            high -= (CAP_HEIGHT + (lines - 1) * LINE) * size + BETWEEN
        return Room(wide, high)


def page_of(walk: Walk) -> Page:
    job = walk.job
    paper, short, long = _PAGES[job.units.system]
    head = " · ".join(part for part in (job.name, job.place, f"survey of {job.date}") if part)
    foot = (head, *((MADE_UP,) if job.made_up else ()), convention(walk), datum(walk))
    return Page(paper, short, long, foot)


@dataclass(frozen=True, slots=True)
class Layout:
    """The body of one sheet."""

    blocks: tuple[Block, ...]
    landscape: bool = False
    drawing: Drawing | None = None


def drawn(
    walk: Walk,
    draw: Callable[[Room], tuple[Drawing, list[Label]]],
    *,
    above: Sequence[Para] = (),
    below: Sequence[Para] = (),
    landscape: bool | None = None,
    elsewhere: str = "",
) -> Layout:
    """A sheet that is one drawing between a few lines; turned the way that gives the larger scale.

    ``draw`` gives the drawing and the labels that found no room, which the sheet then says, with
    ``elsewhere`` telling where to look.
    """
    page = page_of(walk)
    above, below = [p for p in above if p.text], [p for p in below if p.text]
    kept = Para("labels that found no room", "small")  # room for that line, whether needed or not
    rooms = {way: page.room([*above, *below, kept], landscape=way) for way in (True, False)}
    if landscape is None:
        ratio = {way: scale_for(walk, room).ratio for way, room in rooms.items()}
        landscape = ratio[True] <= ratio[False]
    drawing, left_out = draw(rooms[landscape])
    note = [Para(told, "small")] if (told := _left_out(left_out, elsewhere)) else []
    return Layout((*above, Figure(drawing), *note, *below), landscape, drawing)


def _left_out(labels: Sequence[Label], elsewhere: str) -> str:
    """What found no room: small labels by number, labels that ought to stand by name."""
    missed = [" ".join(label.lines) for label in labels if label.must]
    small = len(labels) - len(missed)
    told = f"{small} of the small labels found no room{elsewhere}. " if small else ""
    if missed:
        told += f"No room on the drawing for: {'; '.join(missed)}."
    return told.strip()
