"""What is sent to the laptop from the slab: entries in bulk, a file of them, forms, photos."""

from __future__ import annotations

from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from overslab.faces.web.faults import BODY_SHAPE, PICTURE_QUOTA
from overslab.faces.web.field import faults
from overslab.faces.web.field.crewdata import floor_of
from overslab.faces.web.field.forms import keep_typed, shot_cells, shot_faults, ticket_cells
from overslab.faces.web.field.pages import notes_page, page_of, shots_page, stored_job
from overslab.faces.web.field.photos import Pieces
from overslab.faces.web.field.sync import MOST_EVENTS, read_batch, read_lines, take
from overslab.faces.web.forms import form_of
from overslab.faces.web.limits import size_in_words
from overslab.faces.web.photo_pages import redrawn
from overslab.faces.web.refusals import Refused
from overslab.faces.web.roles import AT_WORK, RoleRouter, viewer_of
from overslab.faces.web.site import Site, site_of
from overslab.faces.web.telling import Plain
from overslab.ground.faults import Faulty
from overslab.job.store import Kept, NotKept, StoredJob

router = RoleRouter()


@router.action("/sync", roles=AT_WORK)
async def sync(request: Request) -> Response:
    """Entries of a phone; every id comes back as had or as lying in the tray."""
    try:
        entries = read_batch(await request.body())
    except Faulty as trouble:
        raise Refused(trouble.faults[0], status=400) from None
    if len(entries) > MOST_EVENTS:
        fault = faults.BATCH_LARGE.met(value=f"{len(entries)} entries", most=MOST_EVENTS)
        raise Refused(fault, status=413)
    kept = await _kept(request, entries)
    return Plain(
        {
            "have": kept.have,
            "tray": [{"id": one.id, "code": one.code, "why": one.why} for one in kept.tray],
            "now": kept.now,
        }
    )


async def _kept(request: Request, entries: list[Any]) -> Kept:
    try:
        return await run_in_threadpool(take, site_of(request).store, entries)
    except NotKept as trouble:
        raise Refused(trouble.faults[0], status=507 if trouble.full else 503) from None


@router.action("/field/handover", roles=AT_WORK)
async def handover(request: Request) -> Response:
    """A phone's file taken in; any number of times gives the same."""
    form = await form_of(request)
    file = form.get("file")
    if not isinstance(file, UploadFile):
        raise Refused(BODY_SHAPE.met(value="no file", wanted="a file"), status=400)
    text = (await file.read()).decode("utf-8", errors="replace")
    try:
        entries, torn = read_lines(text)
    except Faulty as trouble:
        return page_of(
            request, "handover", status=422, all_faults=trouble.faults, have=0, tray=(), torn=0
        )
    kept = await _kept(request, entries)
    return page_of(
        request, "handover", all_faults=(), have=len(kept.have), tray=kept.tray, torn=torn
    )


@router.action("/field/{job_id}", roles=AT_WORK)
async def keep_shot(request: Request, job_id: str) -> Response:
    """One shot from the plain form; what was typed stays on the page when it is faulty."""
    form = _texts(await form_of(request))
    cells = shot_cells(form)
    return await run_in_threadpool(_keep_shot, request, job_id, cells, form.get("entry", ""))


def _keep_shot(request: Request, job_id: str, cells: dict[str, str], entry: str) -> Response:
    stored = stored_job(request, job_id)
    found = shot_faults(cells, floor=floor_of(stored.folder_texts.job_toml))
    if found:
        return shots_page(request, stored, typed=cells, faults=found, entry=entry)
    body: dict[str, object] = {name: text for name, text in cells.items() if text}
    why = _keep_one(request, job_id, kind="shot-kept", body=body, entry=entry)
    told = why or f"{cells['point']}: {cells['reading']} is kept at the laptop."
    following = {**cells, "point": "", "x": "", "y": "", "grid": "", "reading": "", "note": ""}
    return shots_page(request, stored_job(request, job_id), typed=following, told=told)


@router.action("/field/{job_id}/notes", roles=AT_WORK)
async def keep_note(request: Request, job_id: str) -> Response:
    """A note or a ticket from its plain form."""
    form = _texts(await form_of(request))
    return await run_in_threadpool(_keep_note, request, job_id, form)


def _keep_note(request: Request, job_id: str, form: dict[str, str]) -> Response:
    stored = stored_job(request, job_id)
    body: dict[str, object]
    if form.get("what") == "ticket":
        kind, body = "ticket-kept", dict(ticket_cells(form))
        empty = not body
    else:
        about = form.get("about", "").strip()[:80]
        body = {"text": form.get("text", "").strip()[:4000], **({"about": about} if about else {})}
        kind, empty = "note-kept", not body["text"]
    if empty:
        fault = faults.NOTE_EMPTY.met(value="nothing")
        return notes_page(request, stored, faults={"": [fault]})
    why = _keep_one(request, job_id, kind=kind, body=body, entry=form.get("entry", ""))
    return notes_page(request, stored_job(request, job_id), told=why or "Kept at the laptop.")


def _keep_one(
    request: Request, job_id: str, *, kind: str, body: dict[str, object], entry: str
) -> str:
    """Empty when it is in the job, else why it lies in the tray."""
    viewer = viewer_of(request)
    try:
        kept = keep_typed(
            site_of(request).store,
            job=job_id,
            kind=kind,
            body=body,
            entry=entry,
            device=viewer.device,
            who=viewer.who,
        )
    except NotKept as trouble:
        raise Refused(trouble.faults[0], status=507 if trouble.full else 503) from None
    return f"It lies in the office's tray: {kept.tray[0].why}" if kept.tray else ""


def _texts(form: FormData) -> dict[str, str]:
    return {name: value for name, value in form.items() if isinstance(value, str)}


@router.page("/field/{job_id}/photos/{sha256}", roles=AT_WORK)
def photo_so_far(request: Request, job_id: str, sha256: str) -> Response:
    stored_job(request, job_id)
    return JSONResponse({"have": Pieces(site_of(request).settings.data).have(sha256)})


@router.action("/field/{job_id}/photos/{sha256}", roles=AT_WORK)
async def photo_piece(request: Request, job_id: str, sha256: str) -> Response:
    """The next piece of a photo; says how much of it is here."""
    piece = await request.body()
    asked = request.query_params
    site = site_of(request)

    def add() -> dict[str, Any]:
        stored = stored_job(request, job_id)
        came = Pieces(site.settings.data).add(
            sha256=sha256,
            offset=_number(asked.get("from", "")),
            piece=piece,
            whole=_number(asked.get("of", "")),
        )
        if isinstance(came, int):
            return {"have": came}
        check_quota(site, stored)
        made = redrawn(came, most_points=site.settings.photo_points)
        return {"have": len(came), "kept": site.store.put_photo(made)}

    try:
        return JSONResponse(await run_in_threadpool(add))
    except NotKept as trouble:
        raise Refused(trouble.faults[0], status=507 if trouble.full else 503) from None


def check_quota(site: Site, stored: StoredJob) -> None:
    """Refuses one more picture when the job's own fill their share of the disk."""
    most = site.settings.photos_a_job_bytes
    named = {str(one.body.get("sha256")) for one in stored.things if one.kind == "photo"}
    kept = sum(site.store.photo(sha256).stat().st_size for sha256 in named)
    if kept > most:
        raise Faulty(PICTURE_QUOTA.met(value=size_in_words(kept), most=most // 1024 // 1024))


def _number(text: str) -> int:
    return int(text) if text.isdecimal() and len(text) < 12 else 0
