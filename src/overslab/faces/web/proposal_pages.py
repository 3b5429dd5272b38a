"""The proposal at the office: how the customer would see it now, and which words are not given."""

from __future__ import annotations

import json
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from overslab.faces.documents.proposal import CODE
from overslab.faces.documents.proposal_drawings import plate_codes
from overslab.faces.web import faults
from overslab.faces.web.pages import render
from overslab.faces.web.refusals import Refused
from overslab.faces.web.roles import OFFICE, RoleRouter
from overslab.faces.web.site import Site, site_of
from overslab.ground.faults import Fault, Faulty

router = RoleRouter()

DRAWINGS = tuple(f"{code}{size}.svg" for code in plate_codes() for size in ("", "-wide", "-narrow"))
PAGE = "proposal.json"


async def proposal_files(site: Site, job: str) -> dict[str, bytes]:
    """Everything that is sent: the PDF, the page as data, its drawings. Raises ``Faulty``."""
    made = await _made(site, job)
    files = {
        "document.pdf": await site.walks.paper(job, sheets=(CODE,), form="pdf"),
        PAGE: json.dumps(made["page"], ensure_ascii=False).encode(),
    }
    return files | {name: str(svg).encode() for name, svg in made["drawings"].items()}


async def _made(site: Site, job: str) -> dict[str, Any]:
    data: dict[str, Any] = json.loads(await site.walks.paper(job, sheets=(CODE,), form="json"))
    return data


@router.page("/jobs/{job}/proposal", roles=OFFICE)
async def proposal(request: Request, job: str) -> Response:
    site = site_of(request)
    seen = await site.walks.wait(job)
    found: tuple[Fault, ...] = ()
    made: dict[str, Any] = {"page": None, "not_given": []}
    try:
        made = await _made(site, job)
    except Faulty as trouble:
        found = trouble.faults
    return render(
        request,
        "proposal_office.html",
        job=site.store.job(job),
        stop="proposal",
        walk_state=seen,
        faults=found,
        page=made["page"],
        not_given=made["not_given"],
    )


@router.page("/jobs/{job}/proposal.pdf", roles=OFFICE)
async def paper(request: Request, job: str) -> Response:
    content = await site_of(request).walks.paper(job, sheets=(CODE,), form="pdf")
    headers = {"Content-Disposition": 'inline; filename="proposal.pdf"'}
    return Response(content, media_type="application/pdf", headers=headers)


@router.page("/jobs/{job}/proposal/drawings/{name}", roles=OFFICE)
async def drawing(request: Request, job: str, name: str) -> Response:
    made = await _made(site_of(request), job) if name in DRAWINGS else {"drawings": {}}
    svg = made["drawings"].get(name)
    if svg is None:
        raise Refused(faults.PAGE_UNKNOWN.met(value=request.url.path[:200]), status=404)
    return Response(svg, media_type="image/svg+xml")
