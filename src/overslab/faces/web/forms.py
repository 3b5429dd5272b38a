"""The second belt against forged requests: a token in every form, JSON only as JSON."""

from __future__ import annotations

import hashlib
import hmac

from starlette.datastructures import FormData
from starlette.requests import Request

from overslab.faces.web import faults
from overslab.faces.web.refusals import Refused
from overslab.faces.web.roles import viewer_of

TOKEN_FIELD, TOKEN_HEADER = "form_token", "x-form-token"
FORMS = ("application/x-www-form-urlencoded", "multipart/form-data")
_MOST_FIELDS, _MOST_FILES, _PART = 4000, 20, 1024 * 1024


def form_token(request: Request) -> str:
    """The token of this viewer's forms; good for as long as the sign-in."""
    secret: bytes = request.app.state.site.secret
    return hmac.new(secret, viewer_of(request).key.encode(), hashlib.sha256).hexdigest()[:32]


async def form_of(request: Request) -> FormData:
    """The form, read within the limits of fields and files."""
    return await request.form(max_files=_MOST_FILES, max_fields=_MOST_FIELDS, max_part_size=_PART)


async def check_form(request: Request) -> None:
    """Refuses a write that a page of ours did not send.

    JSON cannot be sent across sites without asking first, so it needs no token; a form carries
    the token as a field, anything else as a header.
    """
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if kind == "application/json":
        return
    if kind == "text/plain":
        raise Refused(faults.BODY_KIND.met(value=kind), status=415)
    given: object = request.headers.get(TOKEN_HEADER)
    if kind in FORMS and given is None:
        given = (await form_of(request)).get(TOKEN_FIELD)
    wanted = form_token(request)
    if not isinstance(given, str) or not hmac.compare_digest(given.encode(), wanted.encode()):
        raise Refused(faults.FORM_STALE.met(value="no good form token"), status=403)
