"""The gate in front of every page: to what name, how often, how much, from where, who, and then
what the answer must carry so that a browser keeps to it."""

from __future__ import annotations

import ipaddress
from collections.abc import Mapping

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import Request, cookie_parser
from starlette.responses import Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from overslab.faces.web import faults
from overslab.faces.web.limits import Rate, measured, too_large
from overslab.faces.web.refusals import Refused
from overslab.faces.web.roles import Role, Viewer
from overslab.faces.web.sessions import DESK_COOKIE, OPEN_COOKIE, SECURE_COOKIE
from overslab.faces.web.site import Site

POLICY = "; ".join(
    (
        "default-src 'self'",
        "img-src 'self' data: blob:",
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
    )
)
# "same-origin" and not "no-referrer": the latter makes browsers send "Origin: null" with every
# form, and over plain http the origin is all there is to tell our own forms from forged ones.
ALWAYS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "X-Robots-Tag": "noindex, nofollow",
    "Permissions-Policy": "geolocation=(), microphone=(), payment=()",
}
_LOOPBACK_NAMES = frozenset({"localhost", "127.0.0.1", "[::1]"})
_FORWARDED = ("forwarded", "x-forwarded-for", "x-forwarded-host", "via")
_READING, _WRITING = frozenset({"GET", "HEAD"}), frozenset({"POST"})


class Gate:
    """ASGI middleware round the whole application."""

    def __init__(self, app: ASGIApp, *, site: Site) -> None:
        self._app = app
        self._site = site
        self._rate = Rate(site.settings.requests_a_minute)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":
            # No page of ours opens any other kind of line.
            await receive()
            await send({"type": "websocket.close", "code": 1008})
            return
        headers = Headers(scope=scope)
        state = scope.setdefault("state", {})
        state["viewer"] = Viewer(Role.NOBODY)
        answer = _Answer(scope, send)
        try:
            receive = self._admit(scope, headers, receive)
        except Refused as refused:
            # Words without the page round them: who asks here is not to learn what we look like.
            response = Response(
                f"{refused.fault}\n", refused.status, refused.headers, "text/plain; charset=utf-8"
            )
            await response(scope, receive, answer)
            return
        await self._app(scope, receive, answer)

    def _admit(self, scope: Scope, headers: Headers, receive: Receive) -> Receive:
        settings = self._site.settings
        on_laptop = is_on_laptop(scope, headers)
        self._check_host(headers, on_laptop=on_laptop, known=self._site.entrance.names())
        viewer = self._viewer(scope, headers, on_laptop=on_laptop)
        scope["state"]["viewer"] = viewer
        if not on_laptop:
            client = scope.get("client") or ("unknown", 0)
            self._rate.take(viewer.session or f"at {client[0]}")
        method = scope["method"]
        if method in _READING:
            return receive
        if method not in _WRITING:
            raise Refused(
                faults.METHOD_WRONG.met(value=method[:20]),
                status=405,
                headers={"Allow": "GET, POST"},
            )
        check_origin(headers, scheme=scope["scheme"])
        if headers.get("content-encoding", "identity").lower() != "identity":
            raise Refused(faults.BODY_KIND.met(value="a packed body"), status=415)
        picture = scope["path"].endswith("/photos")
        most = settings.photo_bytes if picture else settings.body_bytes
        declared = headers.get("content-length", "0")
        if not declared.isdecimal() or int(declared[:18]) > most:
            raise too_large(int(declared[:18]) if declared.isdecimal() else 0, most=most)
        seconds = settings.body_seconds * (5 if picture else 1)
        return measured(receive, most=most, seconds=seconds)

    def _check_host(self, headers: Headers, *, on_laptop: bool, known: frozenset[str]) -> None:
        allowed = known | (_LOOPBACK_NAMES if on_laptop else frozenset())
        asked = host_name(headers.get("host", ""))
        if asked not in allowed or len(headers.getlist("host")) != 1:
            told = ", ".join(sorted(known)) or "localhost, from this laptop only"
            raise Refused(
                faults.HOST_WRONG.met(value=asked[:80] or "no name", known=told), status=421
            )

    def _viewer(self, scope: Scope, headers: Headers, *, on_laptop: bool) -> Viewer:
        site, secure = self._site, scope["scheme"] == "https"
        cookies = cookie_parser(headers.get("cookie", ""))
        session = None
        name = SECURE_COOKIE if secure else DESK_COOKIE if on_laptop else OPEN_COOKIE
        if token := cookies.get(name):
            session = site.sessions.find(token, secure=secure)
        if session is not None and not secure and not on_laptop and session.role != Role.CREW:
            session = None
        if session is not None:
            return Viewer(
                role=session.role,
                key=session.id,
                who=session.who,
                device=session.device,
                session=session.id,
                document=session.document,
                on_laptop=on_laptop,
                secure=secure,
                signed_in=True,
            )
        if on_laptop and not site.passwords.is_set:
            return Viewer(
                role=Role.OFFICE,
                key="desk",
                who="office",
                device=site.desk_device,
                on_laptop=True,
                secure=secure,
            )
        return Viewer(Role.NOBODY, on_laptop=on_laptop, secure=secure)


class _Answer:
    """Sends an answer with the headers every answer carries."""

    def __init__(self, scope: Scope, send: Send) -> None:
        self._scope = scope
        self._send = send

    async def __call__(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in ALWAYS.items():
                headers.setdefault(name, value)
            state = self._scope["state"]
            viewer: Viewer = state["viewer"]
            if viewer.secure or viewer.on_laptop:
                headers["Cross-Origin-Opener-Policy"] = "same-origin"
            priced = viewer.role in (Role.OFFICE, Role.CUSTOMER) and not state.get("shared")
            good = message["status"] in (200, 206, 304)
            if priced or not good or "cache-control" not in headers:
                headers["Cache-Control"] = "no-store"
        await self._send(message)


def host_name(host: str) -> str:
    """The name in a Host header without its port, in small letters."""
    name = host.strip().lower()
    if name.startswith("["):
        return name.partition("]")[0] + "]"
    return name.partition(":")[0].rstrip(".")


def is_on_laptop(scope: Scope, headers: Mapping[str, str]) -> bool:
    """Whether the laptop itself asks: over loopback, by a loopback name, handed on by nobody.

    A program that hands requests on would make every stranger look like the laptop.
    """
    client = scope.get("client")
    if client is None or any(name in headers for name in _FORWARDED):
        return False
    try:
        near = ipaddress.ip_address(client[0]).is_loopback
    except ValueError:
        return False
    return near and host_name(headers.get("host", "")) in _LOOPBACK_NAMES


def check_origin(headers: Mapping[str, str], *, scheme: str) -> None:
    """Refuses a write that another site started.

    Browsers say so themselves in ``Sec-Fetch-Site``; where they do not (plain http, old ones), the
    origin must be the very address asked. Neither given is refused too.
    """
    site = headers.get("sec-fetch-site")
    if site is not None:
        if site in ("same-origin", "none"):
            return
        raise Refused(faults.FROM_ELSEWHERE.met(value=site[:40]), status=403)
    origin = headers.get("origin", "")
    if origin.lower() != f"{scheme}://{headers.get('host', '')}".lower():
        raise Refused(faults.FROM_ELSEWHERE.met(value=origin[:80] or "no origin"), status=403)


def came_from(request: Request) -> str:
    """The address a request came from, for the book of the doors."""
    return request.client.host if request.client else ""
