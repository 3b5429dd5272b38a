"""Faults as pages or as JSON: the same four parts, the same words as in the terminal."""

from __future__ import annotations

import datetime
import json
import logging
from collections.abc import Sequence
from typing import Any

from fastapi import FastAPI
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from overslab.faces.web import faults
from overslab.faces.web.pages import render
from overslab.faces.web.refusals import Refused
from overslab.faces.web.roles import Role, viewer_of
from overslab.faces.web.telling import Plain
from overslab.ground.faults import Fault, Faulty
from overslab.job.store import NotKept, Stale

log = logging.getLogger("overslab.web")
_NOT_FOUND = frozenset({"job-unknown", "photo-unknown", "phone-unknown"})


def as_plain(fault: Fault) -> dict[str, str]:
    """A fault for a script: code, what, value, limit, remedy, place."""
    return {
        name: getattr(fault, name) for name in ("code", "what", "value", "limit", "remedy", "place")
    }


def wants_json(request: Request) -> bool:
    """Whether a script asks, and not a person."""
    kind = request.headers.get("content-type", "").partition(";")[0].strip()
    wanted = request.headers.get("accept", "")
    return kind == "application/json" or ("application/json" in wanted and "html" not in wanted)


def told(
    request: Request,
    found: Sequence[Fault],
    *,
    status: int,
    headers: dict[str, str] | None = None,
    **more: Any,
) -> Response:
    """Faults as the one who asked can read them; ``more`` is for scripts."""
    if wants_json(request):
        content = {"faults": [as_plain(fault) for fault in found], **more}
        return Plain(content, status_code=status, headers=headers)
    return render(
        request, "faults.html", status=status, headers=headers, faults=found, status_code=status
    )


def see_other(path: str) -> RedirectResponse:
    """After a write: go and look at a page of ours."""
    return RedirectResponse(path, status_code=303)


def stumbled(request: Request, trouble: Exception) -> Response:
    """A fault of the program: written down with its traceback, told without."""
    when = datetime.datetime.now(datetime.UTC).isoformat(timespec="seconds")
    log.error("at %s %s", request.method, request.url.path, exc_info=trouble)
    fault = faults.PROGRAM.met(value=type(trouble).__name__, when=when)
    return told(request, [fault], status=500)


def add_handlers(app: FastAPI) -> None:
    """Make every refusal below the gate into words."""

    async def refused(request: Request, trouble: Exception) -> Response:
        assert isinstance(trouble, Refused)
        return _refused(request, trouble)

    async def faulty(request: Request, trouble: Exception) -> Response:
        assert isinstance(trouble, Faulty)
        if isinstance(trouble, Stale):
            return told(
                request,
                trouble.faults,
                status=409,
                yours=trouble.yours,
                theirs=trouble.theirs,
                version=trouble.version,
            )
        if isinstance(trouble, NotKept):
            return told(request, trouble.faults, status=507 if trouble.full else 503)
        missing = any(fault.code in _NOT_FOUND for fault in trouble.faults)
        return told(request, trouble.faults, status=404 if missing else 400)

    async def http(request: Request, trouble: Exception) -> Response:
        assert isinstance(trouble, HTTPException)
        if isinstance(trouble.__cause__, Refused):
            return _refused(request, trouble.__cause__)
        kinds = {404: faults.PAGE_UNKNOWN, 405: faults.METHOD_WRONG}
        kind = kinds.get(trouble.status_code)
        if kind is not None:
            value = request.url.path if trouble.status_code == 404 else request.method
            fault = kind.met(value=value[:200])
        else:
            fault = faults.BODY_SHAPE.met(value=str(trouble.detail)[:200], wanted="see the page")
        headers = dict(trouble.headers or {})
        return told(request, [fault], status=trouble.status_code, headers=headers)

    async def shape(request: Request, trouble: Exception) -> Response:
        assert isinstance(trouble, RequestValidationError)
        found = [
            faults.BODY_SHAPE.met(
                value=_short(error.get("input")),
                place=".".join(str(part) for part in error["loc"])[:200],
                wanted=str(error["msg"])[:200],
            )
            for error in trouble.errors()[:20]
        ]
        return told(request, found, status=400)

    app.add_exception_handler(Refused, refused)
    app.add_exception_handler(Faulty, faulty)
    app.add_exception_handler(HTTPException, http)
    app.add_exception_handler(RequestValidationError, shape)


def _refused(request: Request, trouble: Refused) -> Response:
    stranger = viewer_of(request).role == Role.NOBODY
    if trouble.fault.code == faults.NOT_YOURS.code and stranger and not wants_json(request):
        return render(request, "let_in.html", status=403)
    return told(request, [trouble.fault], status=trouble.status, headers=trouble.headers)


def _short(value: object) -> str:
    try:
        return json.dumps(value, ensure_ascii=True, default=lambda _: "...")[:80]
    except (ValueError, RecursionError):
        return "something that cannot be shown"
