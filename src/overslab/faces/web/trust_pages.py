"""Trusting the laptop: the root to install, and the steps for each kind of phone."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

from overslab.faces.web import faults
from overslab.faces.web.pages import render
from overslab.faces.web.refusals import Refused
from overslab.faces.web.roles import ANYONE, RoleRouter
from overslab.faces.web.site import site_of

router = RoleRouter()


@router.page("/trust", roles=ANYONE)
async def trust(request: Request) -> Response:
    entrance = site_of(request).entrance
    made = entrance.certificates.made
    return render(
        request,
        "trust.html",
        door=entrance.now_at,
        fingerprint=entrance.certificates.fingerprint() if made else "",
        name=entrance.certificates.name() if made else "",
    )


@router.page("/trust/overslab.crt", roles=ANYONE)
async def root(request: Request) -> Response:
    """The root as every kind of phone takes it; there is nothing secret in it."""
    certificates = site_of(request).entrance.certificates
    if not certificates.made:
        raise Refused(faults.PAGE_UNKNOWN.met(value=request.url.path), status=404)
    return Response(
        certificates.root_der(),
        media_type="application/x-x509-ca-cert",
        headers={"Content-Disposition": 'attachment; filename="overslab.crt"'},
    )
