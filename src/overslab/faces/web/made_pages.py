"""Pages that were made before and would come out the same, given again as they are.

Most pages are asked for far more often than anything on them changes. A page is kept under all that
it is made from: its address, who looks, the look, and a stamp that changes with the rest. Two who
look never share one, because each carries the token of its own forms.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response

from overslab.faces.web.pages import look_of
from overslab.faces.web.roles import viewer_of
from overslab.faces.web.site import site_of

# Stands in a page for the number of what its form will make: another one each time it is given.
A_NUMBER = secrets.token_hex(16)
_A_NUMBER = A_NUMBER.encode()


async def made_once(
    request: Request, *, stamp: Callable[[], str], make: Callable[[], Response]
) -> Response:
    """The page of ``make``, or the same one from before.

    ``stamp`` changes with everything the page shows that is neither in its address nor the viewer's
    own; empty when the page cannot be kept now. A page is kept only when the stamp is the same
    before and after it was made: what changed meanwhile might stand on it.
    """
    before = "" if request.scope["query_string"] else stamp()
    pages = site_of(request).made_pages
    key = (request.scope["path"], viewer_of(request), look_of(request), before)
    content = pages.find(key) if before else None
    if content is None:
        made = await run_in_threadpool(make)
        content = bytes(made.body)
        if made.status_code != 200:
            return made
        if before and stamp() == before:
            pages.keep(key, content)
    return HTMLResponse(content.replace(_A_NUMBER, secrets.token_hex(16).encode()))


def walk_stamp(request: Request, job: str) -> str:
    """The stamp of a page that shows one job and its walk; empty while that is worked out."""
    seen = site_of(request).walks.glance(job)
    return seen.tag if seen is not None and seen.state == "fresh" else ""
