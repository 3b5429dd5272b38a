"""Assumptions, and questions to answer. For the office."""

from __future__ import annotations

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from overslab.faces.documents.words import rests_on
from overslab.faces.web.access_pages import typed
from overslab.faces.web.answers import see_other
from overslab.faces.web.pages import render
from overslab.faces.web.roles import OFFICE, RoleRouter, viewer_of
from overslab.faces.web.rooms import faults
from overslab.faces.web.rooms.desk import desk_of
from overslab.faces.web.rooms.settling import ABOUT, given_at, questions
from overslab.faces.web.rooms.views import Taken
from overslab.faces.web.site import site_of
from overslab.ground.faults import Fault
from overslab.job.steps import STEPS

router = RoleRouter()


@router.page("/jobs/{job}/settle", roles=OFFICE)
def settle(request: Request, job: str) -> Response:
    return _page(request, job)


@router.action("/jobs/{job}/settle", roles=OFFICE)
async def answer(request: Request, job: str) -> Response:
    """An answer to a question, kept as a note with the words of who gave it."""
    key, text = (await typed(request, "key")).strip(), (await typed(request, "text")).strip()
    if not text or not key.isalnum() or len(key) != 16:
        fault = faults.NOTHING_WRITTEN.met(value=text[:80] or "nothing")
        return await run_in_threadpool(_page, request, job, key, fault)
    store, viewer = site_of(request).store, viewer_of(request)
    await run_in_threadpool(
        lambda: store.change(
            job,
            based_on=store.version(job),
            kind="note-kept",
            body={"text": text[:4000], "about": f"{ABOUT}{key}"},
            who=viewer.who,
            device=viewer.device,
        )
    )
    return see_other(f"/jobs/{job}/settle#q-{key}")


def _page(request: Request, job: str, key: str = "", fault: Fault | None = None) -> Response:
    desk = desk_of(request, job)
    walk = desk.walk
    notes = site_of(request).store.job(job).things
    taken = rests_on(walk, room=STEPS[-1].room) if walk is not None else ()
    return render(
        request,
        "rooms/settle.html",
        status=400 if fault else 200,
        job=desk.line,
        stop="settle",
        walk_state=desk.seen,
        questions=questions(walk, notes) if walk is not None else (),
        taken=[(Taken(one.about, one.taken, one.because), given_at(one)) for one in taken],
        wrong_key=key,
        fault=fault,
    )
