"""Everything that was done to a job, in words; undo and redo; the tray. For the office."""

from __future__ import annotations

import json
from collections.abc import Sequence

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from overslab.faces.web.access_pages import typed
from overslab.faces.web.answers import see_other
from overslab.faces.web.pages import render
from overslab.faces.web.roles import OFFICE, RoleRouter, viewer_of
from overslab.faces.web.rooms.desk import desk_of
from overslab.faces.web.rooms.history_words import words_of
from overslab.faces.web.rooms.views import HistoryRow, TrayRow
from overslab.faces.web.site import site_of
from overslab.faces.web.walker import Form
from overslab.job.store import KeptEvent
from overslab.job.store.kinds import NEVER_UNDONE

router = RoleRouter()
_A_PAGE = 100


@router.page("/jobs/{job}/history", roles=OFFICE)
def history(request: Request, job: str) -> Response:
    desk = desk_of(request, job)
    store = site_of(request).store
    events = store.events(job)
    asked = request.query_params.get("before", "")
    end = int(asked) if asked.isdecimal() and len(asked) < 10 else len(events) + 1
    rows = _rows(events)
    part = [row for row in rows if row.arrival < end][:_A_PAGE]
    tray = [
        TrayRow(one.number, _when(one.received_at), one.event.who, words_of(one.event), one.why)
        for one in store.tray(job)
    ]
    return render(
        request,
        "rooms/history.html",
        job=desk.line,
        stop="history",
        walk_state=desk.seen,
        rows=part,
        older=part[-1].arrival if part and part[-1].arrival > 1 else None,
        tray=tray,
    )


def _rows(events: Sequence[KeptEvent]) -> list[HistoryRow]:
    """The newest first. What undoes an undo does the thing again."""
    cancelled: set[str] = set()
    rows = []
    known = {one.event.id: one.event for one in events}
    for kept in reversed(events):
        event = kept.event
        counts = event.id not in cancelled
        if event.kind == "undone" and counts:
            cancelled.add(str(event.body.get("of", "")))
        what = words_of(event, known=known)
        can_undo = counts and event.kind not in NEVER_UNDONE
        rows.append(
            HistoryRow(
                event.id, kept.arrival, _when(event.made_at), event.who, what, not counts, can_undo
            )
        )
    return rows


def _when(moment: str) -> str:
    return moment[:16].replace("T", " ")


@router.page("/jobs/{job}/history/since", roles=OFFICE)
async def since(request: Request, job: str) -> Response:
    """What has changed since an entry of the history, for the office."""
    desk = await run_in_threadpool(desk_of, request, job)
    version = _number(request, "version")
    pages = json.loads(await _revised(request, job, version, form="json"))
    return render(
        request,
        "rooms/since.html",
        job=desk.line,
        stop="history",
        walk_state=desk.seen,
        pages=pages,
        version=version,
    )


@router.page("/jobs/{job}/history/since.pdf", roles=OFFICE)
async def since_letter(request: Request, job: str) -> Response:
    """The letter that takes sheets back; it holds no price."""
    content = await _revised(request, job, _number(request, "version"), form="pdf")
    headers = {"Content-Disposition": 'inline; filename="revision.pdf"'}
    return Response(content, media_type="application/pdf", headers=headers)


async def _revised(request: Request, job: str, version: int, *, form: Form) -> bytes:
    site = site_of(request)
    before = await run_in_threadpool(site.store.texts_at, job, version)
    now = await run_in_threadpool(site.store.job, job)
    return await site.walks.revise(before, now.folder_texts, form=form)


def _number(request: Request, name: str) -> int:
    """A number out of the address; 1, the beginning, where there is none."""
    typed_in = request.query_params.get(name, "")
    return int(typed_in) if typed_in.isdecimal() and len(typed_in) < 10 else 1


@router.action("/jobs/{job}/undo", roles=OFFICE)
async def undo(request: Request, job: str) -> Response:
    """Undo one entry, or the last one that the office made."""
    of = (await typed(request, "of")).strip()
    store, viewer = site_of(request).store, viewer_of(request)
    await run_in_threadpool(
        lambda: store.undo(job, who=viewer.who, of=of or None, device=viewer.device)
    )
    return see_other(await _back(request, job))


@router.action("/jobs/{job}/redo", roles=OFFICE)
async def redo(request: Request, job: str) -> Response:
    store, viewer = site_of(request).store, viewer_of(request)
    await run_in_threadpool(lambda: store.redo(job, who=viewer.who, device=viewer.device))
    return see_other(await _back(request, job))


async def _back(request: Request, job: str) -> str:
    """To the new top when the wish was undone there, else to the history."""
    back = await typed(request, "back")
    if back == "newtop":
        await site_of(request).walks.wait(job, seconds=3.0)
        return f"/jobs/{job}/newtop"
    return f"/jobs/{job}/history"


@router.action("/jobs/{job}/tray", roles=OFFICE)
async def settle_tray(request: Request, job: str) -> Response:
    """Note that an entry of the tray was looked at."""
    number = await typed(request, "number")
    store, who = site_of(request).store, viewer_of(request).who
    if number.isdecimal() and len(number) < 12:
        await run_in_threadpool(lambda: store.settle(int(number), who=who))
    return see_other(f"/jobs/{job}/history")
