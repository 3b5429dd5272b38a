"""How it stands with working a job out, and its sheets on paper by one tap."""

from __future__ import annotations

from typing import Literal

from fastapi import Path
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from overslab.faces.documents.sheets import CREW_SHEETS, SHEETS, sheet_names
from overslab.faces.web import faults
from overslab.faces.web.answers import see_other
from overslab.faces.web.refusals import Refused
from overslab.faces.web.roles import AT_WORK, OFFICE, Role, RoleRouter, viewer_of
from overslab.faces.web.site import site_of

router = RoleRouter()

_TYPES = {"pdf": "application/pdf", "svg": "image/svg+xml"}


def sheets_for(role: Role) -> tuple[str, ...]:
    """Codes of the sheets a role may see, in the order of the packet."""
    return sheet_names() if role == Role.OFFICE else CREW_SHEETS


@router.page("/jobs/{job}/state", roles=AT_WORK, shared=True)
async def state(request: Request, job: str) -> Response:
    """For the script at the top of a page; unchanged is told by the tag alone."""
    walks = site_of(request).walks
    seen = walks.glance(job)
    if seen is None:
        seen = await run_in_threadpool(walks.look, job)
    headers = {"ETag": f'"{seen.tag}"', "Cache-Control": "private, no-cache"}
    if request.headers.get("if-none-match") == headers["ETag"]:
        return Response(status_code=304, headers=headers)
    told = {
        "state": seen.state,
        "version": seen.version,
        "walk_version": seen.walk_version,
        "says": seen.says,
        "tag": seen.tag,
        "settled": seen.settled,
    }
    return JSONResponse(told, headers=headers)


@router.action("/jobs/{job}/again", roles=OFFICE)
async def again(request: Request, job: str) -> Response:
    site_of(request).walks.again(job)
    return see_other(f"/jobs/{job}/newtop")


@router.page("/jobs/{job}/paper/packet.pdf", roles=AT_WORK)
async def packet(request: Request, job: str) -> Response:
    role = viewer_of(request).role
    wanted = () if role == Role.OFFICE else CREW_SHEETS
    content = await site_of(request).walks.paper(job, sheets=wanted, form="pdf")
    return _paper(content, "pdf", "packet")


@router.page("/jobs/{job}/paper/{sheet}.{form}", roles=AT_WORK)
async def one_sheet(
    request: Request, job: str, sheet: str, form: Literal["pdf", "svg"] = Path()
) -> Response:
    if sheet not in sheet_names():
        raise Refused(faults.PAGE_UNKNOWN.met(value=request.url.path[:200]), status=404)
    if sheet not in sheets_for(viewer_of(request).role):
        raise Refused(faults.NOT_YOURS.met(value=request.url.path), status=403)
    if form == "svg" and not next(kind for kind in SHEETS if kind.code == sheet).drawn:
        raise Refused(faults.PAGE_UNKNOWN.met(value=request.url.path[:200]), status=404)
    content = await site_of(request).walks.paper(job, sheets=(sheet,), form=form)
    return _paper(content, form, sheet)


def _paper(content: bytes, form: str, name: str) -> Response:
    return Response(
        content,
        media_type=_TYPES[form],
        headers={"Content-Disposition": f'inline; filename="{name}.{form}"'},
    )
