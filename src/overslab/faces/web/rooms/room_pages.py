"""A page a room, in the order of work; its drawings; the workings."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from overslab.faces.documents.screen import screen_codes
from overslab.faces.web import faults as web_faults
from overslab.faces.web.made_pages import made_once, walk_stamp
from overslab.faces.web.pages import TITLES, render
from overslab.faces.web.refusals import Refused
from overslab.faces.web.roles import AT_WORK, OFFICE, Role, RoleRouter, viewer_of
from overslab.faces.web.rooms.desk import OFFICE_ROOMS, ROOM_VIEWS, Desk, desk_of
from overslab.faces.web.rooms.missing import missing_of
from overslab.faces.web.rooms.numbers import CREW_ROOMS, Book
from overslab.faces.web.rooms.top_tries import compared, tries_of
from overslab.faces.web.rooms.views import Opened
from overslab.faces.web.site import site_of
from overslab.job.steps import STEPS

router = RoleRouter()
_SIZES = ("wide", "narrow")


def room_page(request: Request, job: str, room: str) -> Response:
    """The room's answer; for the office with its part in money."""
    desk = desk_of(request, job)
    office = viewer_of(request).role == Role.OFFICE
    view = desk.room(room)
    asked = next(step.question for step in STEPS if step.room == room)
    more: dict[str, Any] = _newtop(request, desk) if room == "newtop" and office else {}
    return render(
        request,
        "rooms/newtop.html" if more else "rooms/room.html",
        job=desk.line,
        stop=room,
        walk_state=desk.seen,
        title=TITLES[room],
        question=asked,
        view=view,
        bill=desk.bill(room) if office else None,
        shown=desk.shown,
        missing=missing_of(site_of(request).store, desk) if office else (),
        in_the_way=len(desk.seen.faults),
        **more,
    )


def _newtop(request: Request, desk: Desk) -> dict[str, Any]:
    """What the office sees beside the new top: wishes to try, and how it was before."""
    stored = site_of(request).store.job(desk.line.id)
    since = request.query_params.get("since", "")
    return {
        "tries": tries_of(stored),
        "version": stored.version,
        "tops": desk.tops(),
        "compared": compared(request, desk, since=since),
        "outcome": None,
    }


def _page_of(room: str) -> Callable[[Request, str], Awaitable[Response]]:
    async def page(request: Request, job: str) -> Response:
        if room == "newtop":
            # It remembers the tops that were shown, to hold the next one against them.
            return await run_in_threadpool(room_page, request, job, room)
        return await made_once(
            request,
            stamp=lambda: walk_stamp(request, job),
            make=lambda: room_page(request, job, room),
        )

    page.__name__ = f"{room}_page"
    return page


for _room in ROOM_VIEWS:
    _roles = OFFICE if _room in OFFICE_ROOMS else AT_WORK
    router.page(f"/jobs/{{job}}/{_room}", roles=_roles)(_page_of(_room))


@router.page("/jobs/{job}/drawings/{code}-{size}.svg", roles=AT_WORK, shared=True)
def drawing(request: Request, job: str, code: str, size: str) -> Response:
    """A drawing as a page shows it: no price stands on any, so a browser may keep it."""
    desk = desk_of(request, job)
    if size not in _SIZES or code not in screen_codes():
        raise Refused(web_faults.PAGE_UNKNOWN.met(value=request.url.path[:200]), status=404)
    made = desk.drawing(code, size="wide" if size == "wide" else "narrow")
    return _svg(request, desk, made.svg if made else None)


@router.page("/jobs/{job}/price/profit-{size}.svg", roles=OFFICE)
def profit_drawing(request: Request, job: str, size: str) -> Response:
    """What the job may leave, in money."""
    desk = desk_of(request, job)
    made = desk.profit(size="wide" if size == "wide" else "narrow") if size in _SIZES else None
    return _svg(request, desk, made.svg if made else None)


@router.page("/jobs/{job}/tops/{kind}.svg", roles=OFFICE)
def top_drawing(request: Request, job: str, kind: str) -> Response:
    """A kind of top in small."""
    desk = desk_of(request, job)
    made = desk.small_top(kind[:20])
    return _svg(request, desk, made.svg if made else None)


def _svg(request: Request, desk: Desk, svg: str | None) -> Response:
    if svg is None:
        raise Refused(web_faults.PAGE_UNKNOWN.met(value=request.url.path[:200]), status=404)
    tag = f'"{desk.line.id[:8]}-{desk.shown}"'
    lasting = request.query_params.get("v") == desk.shown
    headers = {
        "ETag": tag,
        "Cache-Control": "private, max-age=86400" if lasting else "private, no-cache",
    }
    if request.headers.get("if-none-match") == tag:
        return Response(status_code=304, headers=headers)
    return Response(svg, media_type="image/svg+xml", headers=headers)


@router.page("/jobs/{job}/workings", roles=AT_WORK)
def workings(request: Request, job: str) -> Response:
    """Every number opened: the equation, the numbers in it, the source."""
    desk = desk_of(request, job)
    office = viewer_of(request).role == Role.OFFICE
    book = desk.book()
    return render(
        request,
        "rooms/workings.html",
        job=desk.line,
        walk_state=desk.seen,
        groups=_groups(book, office=office) if book else (),
    )


def _groups(book: Book, *, office: bool) -> tuple[tuple[str, tuple[Opened, ...]], ...]:
    rooms = dict.fromkeys(room for room, _ in book.entries)
    return tuple(
        (TITLES.get(room, "Pad marks"), book.of_room(room))
        for room in rooms
        if office or room in CREW_ROOMS
    )
