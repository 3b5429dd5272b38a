"""What every page of a job begins with: its line in the list and its last walk, made ready."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any, TypeVar, cast

from starlette.requests import Request

from overslab.faces.documents.screen import (
    ScreenDrawing,
    Size,
    draw_profit,
    draw_screen,
    draw_small,
    room_for,
)
from overslab.faces.documents.svg import printable
from overslab.faces.web.rooms.floor_answers import oldslab_view, shots_view, verdict_view
from overslab.faces.web.rooms.money import bill_of, price_view, top_cards
from overslab.faces.web.rooms.numbers import Book
from overslab.faces.web.rooms.top_answers import newtop_view, order_view, takeoff_view, touches_view
from overslab.faces.web.rooms.views import Bill, Picture, RoomView, TopCard
from overslab.faces.web.site import site_of
from overslab.faces.web.walks import Seen
from overslab.job.records import Walk
from overslab.job.store import JobLine

Made = TypeVar("Made")
_JOBS_KEPT = 40

ROOM_VIEWS: dict[str, Callable[[Walk, Book], RoomView]] = {
    "shots": shots_view,
    "oldslab": oldslab_view,
    "verdict": verdict_view,
    "newtop": newtop_view,
    "touches": touches_view,
    "takeoff": takeoff_view,
    "order": order_view,
    "price": price_view,
}
# Rooms that the crew does not see at all: all they say is money.
OFFICE_ROOMS = frozenset({"price"})
# Drawings of each room, the first one large.
PICTURES: dict[str, tuple[str, ...]] = {
    "shots": ("shots",),
    "oldslab": ("old-floor",),
    "verdict": ("verdict-map",),
    "newtop": ("new-top", "thickness", "sections"),
    "touches": ("touches",),
    "takeoff": ("thickness", "laying", "joints", "steel"),
    "order": ("loads",),
    "price": (),
}


@dataclass(slots=True)
class _Kept:
    """What was made of one walk; forgotten as soon as there is another one."""

    walk: Walk
    made: dict[tuple[str, ...], Any] = field(default_factory=dict)


class Shelf:
    """Views and drawings of the walks that are shown, each made once."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._jobs: OrderedDict[str, _Kept] = OrderedDict()

    def take(self, job: str, walk: Walk, key: tuple[str, ...], make: Callable[[], Made]) -> Made:
        """What was made of this very walk under the key, or else made now."""
        with self._lock:
            kept = self._jobs.get(job)
            if kept is None or kept.walk is not walk:
                kept = self._jobs[job] = _Kept(walk)
            self._jobs.move_to_end(job)
            while len(self._jobs) > _JOBS_KEPT:
                self._jobs.popitem(last=False)
            if key in kept.made:
                return cast(Made, kept.made[key])
        made = make()
        with self._lock:
            kept.made[key] = made
        return made


@dataclass(frozen=True, slots=True)
class Desk:
    """A job as a page shows it."""

    line: JobLine
    seen: Seen
    shelf: Shelf

    @property
    def walk(self) -> Walk | None:
        return self.seen.walk

    @property
    def shown(self) -> str:
        """Changes with every walk; part of the address of a drawing."""
        return str(self.seen.walk_version)

    def _made(self, key: tuple[str, ...], make: Callable[[Walk], Made]) -> Made | None:
        walk = self.seen.walk
        if walk is None:
            return None
        return self.shelf.take(self.line.id, walk, key, lambda: make(walk))

    def book(self) -> Book | None:
        return self._made(("book",), Book)

    def room(self, room: str) -> RoomView | None:
        """The room's answer without money, with its drawings; None before the first walk."""
        return self._made(("room", room), lambda walk: self._room(room, walk))

    def _room(self, room: str, walk: Walk) -> RoomView:
        book = self.book()
        assert book is not None
        view = ROOM_VIEWS[room](walk, book)
        pictures = [self.picture(code) for code in PICTURES[room]]
        if not any(pictures) and PICTURES[room]:
            pictures = [self.picture("old-floor")]  # no top to draw yet
        found = tuple(one for one in pictures if one is not None)
        return replace(view, answer=printable(view.answer), pictures=found)

    def picture(self, code: str) -> Picture | None:
        """A drawing with its words; None when the job has no such drawing."""
        drawing = self.drawing(code, size="wide")
        if drawing is None or self.walk is None:
            return None
        phone = room_for(self.walk, "narrow")
        return Picture(
            code,
            drawing.title,
            drawing.told,
            (round(drawing.wide), round(drawing.high)),
            (round(phone.wide), round(phone.high)),
        )

    def bill(self, room: str) -> Bill | None:
        """The room's part in money: for the office alone."""
        book = self.book()
        if book is None:
            return None
        return self._made(("bill", room), lambda walk: bill_of(room, walk, book))

    def tops(self) -> tuple[TopCard, ...]:
        """Every kind of top: for the office alone."""
        return self._made(("tops",), top_cards) or ()

    def drawing(self, code: str, *, size: Size) -> ScreenDrawing | None:
        """A drawing of the walk; raises ``KeyError`` for a code that is none."""
        return self._made(("drawing", code, size), lambda walk: draw_screen(walk, code, size=size))

    def profit(self, *, size: Size) -> ScreenDrawing | None:
        """What the job may leave: for the office alone."""
        return self._made(("profit", size), lambda walk: draw_profit(walk, size=size))

    def small_top(self, kind: str) -> ScreenDrawing | None:
        return self._made(("small", kind), lambda walk: draw_small(walk, kind))


def shelf_of(request: Request) -> Shelf:
    """The one shelf of the application."""
    state = request.app.state
    if not hasattr(state, "rooms_shelf"):
        state.rooms_shelf = Shelf()
    return cast(Shelf, state.rooms_shelf)


def desk_of(request: Request, job: str) -> Desk:
    """The job with its last walk. Raises ``Faulty`` when there is no such job."""
    site = site_of(request)
    return Desk(site.store.job_line(job), site.walks.look(job), shelf_of(request))
