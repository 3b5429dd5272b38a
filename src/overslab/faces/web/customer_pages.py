"""What a customer gets: one document by a private link, as it was when it was sent."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import NamedTuple

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from overslab.faces.documents.proposal import CODE as PROPOSAL
from overslab.faces.web import faults
from overslab.faces.web.access_pages import sign_in, typed
from overslab.faces.web.answers import see_other
from overslab.faces.web.codes import picture_of
from overslab.faces.web.links import LEAST_DAYS, MOST_DAYS, USUAL_DAYS, Link
from overslab.faces.web.pages import render
from overslab.faces.web.proposal_pages import DRAWINGS, PAGE, proposal_files
from overslab.faces.web.refusals import Refused
from overslab.faces.web.roles import ANYONE, CUSTOMER, OFFICE, Role, RoleRouter, viewer_of
from overslab.faces.web.security import came_from
from overslab.faces.web.site import Site, site_of
from overslab.ground.faults import Fault, Faulty

router = RoleRouter()


class Document(NamedTuple):
    """``sheets`` go into the PDF in order; those that are drawings are shown on the page too."""

    title: str
    sheets: tuple[str, ...]
    shown: tuple[str, ...]


DOCUMENTS = {
    "new-floor": Document(
        "The new floor: drawing, sections, cautions",
        ("new-top", "sections", "cautions"),
        ("new-top", "sections"),
    ),
    PROPOSAL: Document("The proposal: drawings, heights, price", (PROPOSAL,), ()),
}


@router.page("/links", roles=OFFICE)
async def links(request: Request) -> Response:
    return await _links(request)


@router.action("/links", roles=OFFICE)
async def make_link(request: Request) -> Response:
    site = site_of(request)
    job, document = await typed(request, "job"), await typed(request, "document")
    given = {
        "made_out_to": await typed(request, "made_out_to"),
        "days": await typed(request, "days"),
        "job": job,
        "document": document,
    }
    try:
        kind = DOCUMENTS.get(document)
        if kind is None:
            known = ", ".join(DOCUMENTS)
            raise Faulty(faults.LINK_DOCUMENT.met(value=document[:80], known=known))
        days = given["days"].strip()
        content = await _content(site, job, document, kind)
        token, link = await run_in_threadpool(
            site.links.make,
            job=job,
            document=document,
            made_out_to=given["made_out_to"],
            days=int(days) if days.isascii() and days.isdecimal() and len(days) < 6 else 0,
        )
        await run_in_threadpool(_put_down, _folder(site, link.id), content)
    except Faulty as trouble:
        return await _links(request, found=trouble.faults, given=given)
    site.doors.note(f"link {link.id} made for {document}", came_from=came_from(request))
    return await _links(request, made=(link, token))


@router.action("/links/revoke", roles=OFFICE)
async def revoke(request: Request) -> Response:
    site, link_id = site_of(request), await typed(request, "link")
    if not await run_in_threadpool(site.links.revoke, link_id):
        raise Faulty(faults.LINK_DEAD.met(value=link_id[:40]))
    await run_in_threadpool(site.sessions.end_all, Role.CUSTOMER, document=link_id)
    await run_in_threadpool(shutil.rmtree, _folder(site, link_id), ignore_errors=True)
    site.doors.note(f"link {link_id} taken back", came_from=came_from(request))
    return see_other("/links")


@router.page("/links/{link_id}/document.pdf", roles=OFFICE)
async def sent_document(request: Request, link_id: str) -> Response:
    """For the office: what was sent, as it was sent."""
    try:
        link = await run_in_threadpool(site_of(request).links.alive, link_id)
    except Faulty as trouble:
        raise Refused(trouble.faults[0], status=404) from None
    return await _file(site_of(request), link, "document.pdf", "application/pdf")


@router.page("/see", roles=ANYONE)
async def see(request: Request) -> Response:
    return render(request, "see.html", faults=())


@router.action("/see", roles=ANYONE)
async def open_link(request: Request) -> Response:
    site, viewer = site_of(request), viewer_of(request)
    site.many_tries.take(f"link {came_from(request)}")
    if not (viewer.secure or viewer.on_laptop):
        refused = faults.ADDRESS_PLAIN.met(value=request.url.netloc)
        return render(request, "see.html", status=403, faults=[refused])
    try:
        link = await run_in_threadpool(site.links.open, (await typed(request, "token")).strip())
    except Faulty as trouble:
        site.doors.note("dead link tried", came_from=came_from(request))
        return render(request, "see.html", status=403, faults=trouble.faults)
    if viewer.role == Role.OFFICE:
        # The office looks at what it sent without turning into the customer.
        return see_other(f"/links/{link.id}/document.pdf")
    if viewer.role == Role.CREW:
        # A phone of the crew stays one; what is in a document may be for the customer alone.
        raise Refused(faults.NOT_YOURS.met(value=request.url.path), status=403)
    response = see_other("/see/document")
    await sign_in(request, response, Role.CUSTOMER, who=link.made_out_to, document=link.id)
    return response


@router.page("/see/document", roles=CUSTOMER)
async def document_page(request: Request) -> Response:
    link = await _link_of(request)
    await run_in_threadpool(site_of(request).links.count, link.id)
    if link.document == PROPOSAL:
        sent = await _sent(site_of(request), link, PAGE)
        return render(request, "proposal.html", link=link, page=json.loads(sent))
    return render(request, "document.html", link=link, kind=DOCUMENTS[link.document])


@router.page("/see/document/{name}", roles=CUSTOMER)
async def document_file(request: Request, name: str) -> Response:
    link = await _link_of(request)
    kind = DOCUMENTS[link.document]
    known = {"document.pdf": "application/pdf"}
    drawings = DRAWINGS if link.document == PROPOSAL else tuple(f"{s}.svg" for s in kind.shown)
    known |= dict.fromkeys(drawings, "image/svg+xml")
    if name not in known:
        raise Refused(faults.PAGE_UNKNOWN.met(value=request.url.path[:200]), status=404)
    return await _file(site_of(request), link, name, known[name])


async def _content(site: Site, job: str, document: str, kind: Document) -> dict[str, bytes]:
    """What is kept as it is sent, by file name."""
    if document == PROPOSAL:
        return await proposal_files(site, job)
    content = {"document.pdf": await site.walks.paper(job, sheets=kind.sheets, form="pdf")}
    for sheet in kind.shown:
        content[f"{sheet}.svg"] = await site.walks.paper(job, sheets=(sheet,), form="svg")
    return content


async def _sent(site: Site, link: Link, name: str) -> bytes:
    try:
        return await run_in_threadpool((_folder(site, link.id) / name).read_bytes)
    except OSError:
        raise Refused(faults.LINK_DEAD.met(value="this link"), status=404) from None


async def _file(site: Site, link: Link, name: str, kind: str) -> Response:
    content = await _sent(site, link, name)
    headers = {"Content-Disposition": f'inline; filename="{name}"'}
    return Response(content, media_type=kind, headers=headers)


async def _link_of(request: Request) -> Link:
    try:
        return await run_in_threadpool(site_of(request).links.alive, viewer_of(request).document)
    except Faulty as trouble:
        raise Refused(trouble.faults[0], status=403) from None


async def _links(
    request: Request,
    *,
    found: tuple[Fault, ...] = (),
    given: dict[str, str] | None = None,
    made: tuple[Link, str] | None = None,
) -> Response:
    site = site_of(request)
    jobs = await run_in_threadpool(site.store.jobs)
    door = site.entrance.now_at
    begin = door.secure_line if door else str(request.base_url).rstrip("/")
    address = f"{begin}/see#{made[1]}" if made else ""
    names = {one.id: one.name for one in jobs}
    return render(
        request,
        "links.html",
        status=400 if found else 200,
        faults=found,
        given=given or {"made_out_to": "", "days": str(USUAL_DAYS), "job": "", "document": ""},
        jobs=[one for one in jobs if one.state == "open"],
        documents=DOCUMENTS,
        links=await run_in_threadpool(site.links.listed),
        job_names=names,
        made=made[0] if made else None,
        address=address,
        code=picture_of(address) if made else "",
        least=LEAST_DAYS,
        most=MOST_DAYS,
        now=site.settings.now(),
    )


def _folder(site: Site, link_id: str) -> Path:
    """Where a sent document lies. The id is from our own table, never from an address."""
    if not link_id.isalnum():
        raise Faulty(faults.LINK_DEAD.met(value=link_id[:40]))
    return site.settings.data / "sent" / link_id


def _put_down(folder: Path, content: dict[str, bytes]) -> None:
    folder.mkdir(parents=True)
    for name, data in content.items():
        (folder / name).write_bytes(data)
