"""Every sheet and the packet by one tap; the photos of the job; the job folder to take along."""

from __future__ import annotations

import io
import tempfile
import zipfile
from pathlib import Path

from starlette.requests import Request
from starlette.responses import Response

from overslab.faces.documents import SHEETS
from overslab.faces.web.pages import render
from overslab.faces.web.roles import AT_WORK, OFFICE, RoleRouter, viewer_of
from overslab.faces.web.rooms.desk import desk_of
from overslab.faces.web.rooms.views import PhotoRow, SheetRow
from overslab.faces.web.site import site_of
from overslab.faces.web.work_pages import sheets_for
from overslab.job.steps import STEPS

router = RoleRouter()
_HOLDS = {"job": "What holds for the whole job."} | {step.room: step.question for step in STEPS}


@router.page("/jobs/{job}/paper", roles=AT_WORK)
def paper(request: Request, job: str) -> Response:
    desk = desk_of(request, job)
    walk, allowed = desk.walk, sheets_for(viewer_of(request).role)
    no_top = walk is not None and walk.newtop.top is None
    rows = [
        SheetRow(kind.code, kind.title, number, kind.drawn, _HOLDS.get(kind.room, ""))
        for number, kind in enumerate(SHEETS, start=1)
        if walk is not None and kind.code in allowed and kind.stands(walk)
    ]
    return render(
        request,
        "rooms/paper.html",
        job=desk.line,
        stop="paper",
        walk_state=desk.seen,
        rows=rows,
        left_out=no_top,
    )


@router.page("/jobs/{job}/photos", roles=AT_WORK)
def photos(request: Request, job: str) -> Response:
    site = site_of(request)
    stored = site.store.job(job)
    rows = [
        PhotoRow(
            str(one.body.get("sha256", "")),
            str(one.body.get("about", "")) or "no words to it",
            one.who,
            one.made_at[:16].replace("T", " "),
        )
        for one in stored.things
        if one.kind == "photo" and not one.struck
    ]
    return render(
        request, "rooms/photos.html", job=stored, stop="photos", rows=list(reversed(rows))
    )


@router.page("/jobs/{job}/folder.zip", roles=OFFICE)
def folder(request: Request, job: str) -> Response:
    """The job as the folder it is, with its history and pictures."""
    store = site_of(request).store
    with tempfile.TemporaryDirectory() as place:
        to = Path(place) / "job"
        written = store.export_folder(job, to)
        packed = io.BytesIO()
        with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
            for path in written:
                archive.write(path, path.relative_to(to).as_posix())
    headers = {"Content-Disposition": f'attachment; filename="job-{job[:8]}.zip"'}
    return Response(packed.getvalue(), media_type="application/zip", headers=headers)
