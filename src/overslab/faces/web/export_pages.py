"""The job as files for other programs, each by one tap; the bid for the office alone."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

from overslab.faces.exports import FILES, files_for
from overslab.faces.exports.faults import NOT_YET
from overslab.faces.web import faults
from overslab.faces.web.pages import render
from overslab.faces.web.refusals import Refused
from overslab.faces.web.roles import AT_WORK, Role, RoleRouter, viewer_of
from overslab.faces.web.rooms.desk import desk_of
from overslab.ground.faults import Faulty

router = RoleRouter()


@router.page("/jobs/{job}/exports", roles=AT_WORK)
def exports(request: Request, job: str) -> Response:
    desk = desk_of(request, job)
    walk, office = desk.walk, viewer_of(request).role == Role.OFFICE
    rows = [] if walk is None else [one for one in files_for(office=office) if one.there_is(walk)]
    return render(
        request,
        "exports.html",
        job=desk.line,
        stop="exports",
        walk_state=desk.seen,
        rows=rows,
        left_out=walk is not None and walk.newtop.top is None,
    )


@router.page("/jobs/{job}/exports/{file}", roles=AT_WORK)
def one_file(request: Request, job: str, file: str) -> Response:
    """A file of the last walk that came to an end."""
    kind = next((one for one in FILES if one.name == file), None)
    if kind is None:
        raise Refused(faults.PAGE_UNKNOWN.met(value=request.url.path[:200]), status=404)
    office = viewer_of(request).role == Role.OFFICE
    if kind not in files_for(office=office):
        raise Refused(faults.NOT_YOURS.met(value=request.url.path), status=403)
    walk = desk_of(request, job).walk
    if walk is None:
        raise Faulty(NOT_YET.met(value=kind.name))
    return Response(
        kind.make(walk, office),
        headers={
            # Said here and not by media_type, which would add a charset to every text.
            "Content-Type": kind.media_type,
            "Content-Disposition": f'attachment; filename="{kind.name}"',
        },
    )
