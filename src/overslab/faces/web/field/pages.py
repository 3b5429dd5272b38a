"""The pages of a phone on the slab, and the data they live on. No price is in reach of them."""

from __future__ import annotations

import hashlib
import json
import secrets
from functools import lru_cache
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response

from overslab.faces.web.field.crewdata import crew_job, crew_line, floor_of
from overslab.faces.web.field.forms import KINDS
from overslab.faces.web.field.looking import second_look
from overslab.faces.web.field.shell import LOG, PAGES, modules_of, worker_script
from overslab.faces.web.forms import form_token
from overslab.faces.web.made_pages import A_NUMBER, made_once
from overslab.faces.web.pages import render
from overslab.faces.web.roles import AT_WORK, RoleRouter, viewer_of
from overslab.faces.web.site import site_of
from overslab.faces.web.statics import static_response
from overslab.ground.units import ROD_RULES
from overslab.job.store import JobLine, Store, StoredJob

# A browser asks each time and is told "you have it" when nothing changed.
ASK_FIRST = "private, no-cache"
MOST_JOBS = 200
TICKET_FIELDS = (
    ("ticket", "Ticket number", ""),
    ("truck", "Truck", ""),
    ("amount", "Amount", "8 yd3"),
    ("batched", "Batched at", "7:40"),
    ("arrived", "Arrived at", "8:05"),
    ("started", "Unloading from", "8:10"),
    ("finished", "Unloading to", "8:35"),
    ("water_added", "Water added here", "5 gal"),
    ("slump", "Slump", "4 in"),
    ("air", "Air", "6%"),
    ("temperature", "Concrete temperature", "72F"),
    ("note", "Note", ""),
)
NOTHING_TYPED = {
    **dict.fromkeys(("point", "x", "y", "grid", "reading", "note"), ""),
    "setup": "1",
    "kind": "floor",
}
router = RoleRouter()


def page_of(request: Request, page: str, *, status: int = 200, **context: Any) -> Response:
    """A field page with everything its template may ask for."""
    whole: dict[str, Any] = {
        "job": None,
        "modules": modules_of(page),
        "lines": (),
        "rows": (),
        "kept": (),
        "told": "",
        "faults": {},
        "typed": NOTHING_TYPED,
        "forms": "",
        "kinds": KINDS,
        "ticket_fields": TICKET_FIELDS,
        "entry": secrets.token_hex(16),
        "entry_2": secrets.token_hex(16),
        **context,
    }
    job = whole.pop("job")
    return render(request, f"field/{page}.html", status=status, job=job, page=page, **whole)


@router.page("/field/sw.js", roles=AT_WORK, shared=True)
def worker(_: Request) -> Response:
    return Response(
        worker_script(), media_type="text/javascript", headers={"Cache-Control": "no-cache"}
    )


@router.page(LOG, roles=AT_WORK, shared=True)
def log_worker(request: Request) -> Response:
    return static_response(request, "field/log.js", headers={"Cache-Control": "no-cache"})


@router.page("/field/shell/{page}", roles=AT_WORK)
def shell(request: Request, page: str) -> Response:
    """A page without any job in it, for the phone to keep."""
    if page not in PAGES:
        return Response(status_code=404)
    return page_of(request, page)


@router.page("/field/me.json", roles=AT_WORK)
def me(request: Request) -> Response:
    viewer = viewer_of(request)
    return JSONResponse({"who": viewer.who, "token": form_token(request)})


@router.page("/field/jobs.json", roles=AT_WORK, shared=True)
def jobs_data(request: Request) -> Response:
    lines = [crew_line(line) for line in _open_jobs(request)]
    return JSONResponse({"jobs": lines}, headers={"Cache-Control": ASK_FIRST})


@router.page("/field/", roles=AT_WORK)
def jobs(request: Request) -> Response:
    return page_of(request, "jobs", lines=_open_jobs(request))


def _open_jobs(request: Request) -> tuple[JobLine, ...]:
    """The jobs changed last; a crew stands on one of them."""
    return site_of(request).store.jobs(limit=MOST_JOBS, state="open")


@router.page("/field", roles=AT_WORK)
def jobs_without_slash(_: Request) -> Response:
    return RedirectResponse("/field/", status_code=307)


@router.page("/jobs/{job}/field", roles=AT_WORK)
def from_the_job(_: Request, job: str) -> Response:
    """The stop on the way through the job; the pages themselves lie where the worker's reach is."""
    return RedirectResponse(f"/field/{job}", status_code=307)


@router.page("/field/state", roles=AT_WORK)
def state(request: Request) -> Response:
    return page_of(request, "state")


@router.page("/field/{job_id}", roles=AT_WORK)
async def shots(request: Request, job_id: str) -> Response:
    store = site_of(request).store
    return await made_once(
        request,
        stamp=lambda: str(store.version(job_id)),
        make=lambda: shots_page(request, store.job(job_id), entry=A_NUMBER),
    )


@router.page("/field/{job_id}/readings", roles=AT_WORK)
def readings(request: Request, job_id: str) -> Response:
    stored = stored_job(request, job_id)
    rows = [{**thing.body, "struck": thing.struck} for thing in stored.shots]
    return page_of(request, "readings", job=stored, rows=rows)


@router.page("/field/{job_id}/notes", roles=AT_WORK)
def notes(request: Request, job_id: str) -> Response:
    return notes_page(request, stored_job(request, job_id))


@router.page("/field/{job_id}/data.json", roles=AT_WORK, shared=True)
def job_data(request: Request, job_id: str) -> Response:
    store = site_of(request).store
    # The version first: what comes in between makes the tag older, never younger, than the data.
    version = store.version(job_id)
    tag = f'"{hashlib.sha256(f"{job_id} {version}".encode()).hexdigest()[:24]}"'
    headers = {"Cache-Control": ASK_FIRST, "ETag": tag}
    if request.headers.get("if-none-match") == tag:
        return Response(status_code=304, headers=headers)
    content = _job_json(store, job_id, version)
    return Response(content, media_type="application/json", headers=headers)


@lru_cache(maxsize=64)
def _job_json(store: Store, job_id: str, version: int) -> bytes:
    """Made once for all the phones of a crew; ``version`` is what makes it old."""
    del version
    data = crew_job(store.job(job_id), store.devices(job_id), hidden=office_things(store, job_id))
    return json.dumps(data, ensure_ascii=False, separators=(",", ":")).encode()


@router.page("/field/{job_id}/suspects.json", roles=AT_WORK, shared=True)
def suspects(request: Request, job_id: str) -> Response:
    return JSONResponse(
        second_look(stored_job(request, job_id)), headers={"Cache-Control": ASK_FIRST}
    )


def stored_job(request: Request, job_id: str) -> StoredJob:
    return site_of(request).store.job(job_id)


def office_things(store: Store, job_id: str) -> frozenset[str]:
    """Notes and tickets that the office wrote: they may speak of money, so no phone gets them."""
    wanted = frozenset({"note-kept", "ticket-kept"})
    kept = store.events(job_id, kinds=wanted)
    return frozenset(one.event.id for one in kept if one.by_office)


def shots_page(
    request: Request,
    stored: StoredJob,
    *,
    typed: dict[str, str] | None = None,
    faults: dict[str, Any] | None = None,
    told: str = "",
    entry: str = "",
) -> Response:
    rod = floor_of(stored.folder_texts.job_toml).rod
    return page_of(
        request,
        "shots",
        status=422 if faults else 200,
        job=stored,
        typed=typed or NOTHING_TYPED,
        faults=faults or {},
        told=told,
        forms=ROD_RULES[rod],
        entry=entry or secrets.token_hex(16),
    )


def notes_page(
    request: Request, stored: StoredJob, *, faults: dict[str, Any] | None = None, told: str = ""
) -> Response:
    office = office_things(site_of(request).store, stored.id)
    kept = []
    for thing in stored.things:
        if thing.id in office or thing.struck:
            continue
        if thing.kind == "note":
            kept.append(str(thing.body.get("text", "")))
        elif thing.kind == "ticket":
            words = [str(thing.body[name]) for name, *_ in TICKET_FIELDS if thing.body.get(name)]
            kept.append("Ticket: " + ", ".join(words))
    status = 422 if faults else 200
    return page_of(
        request, "notes", status=status, job=stored, kept=kept, faults=faults or {}, told=told
    )
