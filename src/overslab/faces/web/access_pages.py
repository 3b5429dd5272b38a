"""Signing in and out, and the look of the page."""

from __future__ import annotations

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from overslab.faces.web import faults
from overslab.faces.web.answers import see_other
from overslab.faces.web.forms import form_of
from overslab.faces.web.pages import LOOK_COOKIE, LOOKS, render
from overslab.faces.web.refusals import Refused
from overslab.faces.web.roles import ANYONE, OFFICE, Role, RoleRouter, viewer_of
from overslab.faces.web.security import came_from
from overslab.faces.web.sessions import DESK_COOKIE, OPEN_COOKIE, SECURE_COOKIE
from overslab.faces.web.site import site_of
from overslab.ground.faults import Fault, Faulty

router = RoleRouter()
_YEAR = 365 * 24 * 3600


async def typed(request: Request, name: str) -> str:
    """A field of the form as text; empty when it was not sent or was a file."""
    value = (await form_of(request)).get(name, "")
    return value if isinstance(value, str) else ""


def page_of_ours(path: str) -> str:
    """A path to go back to; the first page when it would lead elsewhere."""
    plain = path.startswith("/") and not path.startswith("//") and path.isprintable()
    return path if plain and "\\" not in path else "/"


async def sign_in(
    request: Request,
    response: Response,
    role: Role,
    *,
    who: str,
    device: str = "",
    document: str = "",
) -> None:
    """Begin a session under a new token and hand the browser its cookie.

    A session the browser came with is ended: nobody can fix a token beforehand.
    """
    site, viewer = site_of(request), viewer_of(request)
    if viewer.signed_in:
        await run_in_threadpool(site.sessions.end, viewer.session)
    token, session = await run_in_threadpool(
        site.sessions.begin,
        role,
        who=who,
        secure=viewer.secure,
        agent=request.headers.get("user-agent", ""),
        device=device,
        document=document,
    )
    name = SECURE_COOKIE if viewer.secure else DESK_COOKIE if viewer.on_laptop else OPEN_COOKIE
    response.set_cookie(
        name,
        token,
        max_age=_YEAR if role == Role.CREW else None,
        secure=viewer.secure,
        httponly=True,
        samesite="lax",
        path="/",
    )
    site.doors.note(
        f"{role} signed in, session {session.id}", who=who, came_from=came_from(request)
    )


@router.page("/sign-in", roles=ANYONE)
async def sign_in_page(request: Request) -> Response:
    return _sign_in_page(request)


@router.action("/sign-in", roles=ANYONE)
async def sign_in_office(request: Request) -> Response:
    site, viewer = site_of(request), viewer_of(request)
    if not (viewer.secure or viewer.on_laptop):
        return _sign_in_page(request, faults.ADDRESS_PLAIN.met(value=request.url.netloc))
    if not site.passwords.is_set:
        return _sign_in_page(request, faults.PASSWORD_NONE.met(value="no password"))
    site.tries.take(f"password {came_from(request)}")
    site.many_tries.take("password")
    if not await site.passwords.is_right(await typed(request, "password")):
        site.doors.note("wrong office password", came_from=came_from(request))
        most = site.settings.tries_a_minute
        return _sign_in_page(request, faults.PASSWORD_WRONG.met(value="another", most=most))
    response = see_other("/")
    await sign_in(request, response, Role.OFFICE, who="office", device=site.desk_device)
    return response


@router.action("/sign-out", roles=ANYONE)
async def sign_out(request: Request) -> Response:
    site, viewer = site_of(request), viewer_of(request)
    if viewer.signed_in:
        await run_in_threadpool(site.sessions.end, viewer.session)
        site.doors.note(f"{viewer.role} signed out", who=viewer.who, came_from=came_from(request))
    response = render(request, "signed_out.html")
    for name in (SECURE_COOKIE, DESK_COOKIE, OPEN_COOKIE):
        response.delete_cookie(name, path="/", secure=name == SECURE_COOKIE, httponly=True)
    # What this browser kept of pages goes; what it has not sent yet (its storage) stays.
    response.headers["Clear-Site-Data"] = '"cache"'
    return response


@router.action("/password", roles=OFFICE)
async def set_password(request: Request) -> Response:
    site, viewer = site_of(request), viewer_of(request)
    if await typed(request, "remove"):
        if not viewer.on_laptop:
            raise Refused(faults.NOT_YOURS.met(value="away from the laptop"), status=403)
        site.passwords.remove()
        site.doors.note("office password removed", came_from=came_from(request))
        return see_other("/phones")
    try:
        await site.passwords.set(
            await typed(request, "password"), again=await typed(request, "again")
        )
    except Faulty as trouble:
        return render(request, "password.html", status=400, faults=trouble.faults)
    # Whoever was signed in under the old password is not any more; this page stays.
    ended = await run_in_threadpool(site.sessions.end_all, Role.OFFICE, but=viewer.session)
    site.doors.note(f"office password set, {ended} sessions ended", came_from=came_from(request))
    response = see_other("/phones")
    if not viewer.signed_in:
        await sign_in(request, response, Role.OFFICE, who="office", device=site.desk_device)
    return response


@router.page("/password", roles=OFFICE)
async def password_page(request: Request) -> Response:
    return render(request, "password.html", faults=())


@router.action("/look", roles=ANYONE)
async def choose_look(request: Request) -> Response:
    response = see_other(page_of_ours(await typed(request, "back")))
    chosen = await typed(request, "look")
    if chosen in dict(LOOKS):
        secure = viewer_of(request).secure
        response.set_cookie(
            LOOK_COOKIE, chosen, max_age=_YEAR, samesite="lax", secure=secure, httponly=True
        )
    return response


def _sign_in_page(request: Request, *found: Fault) -> Response:
    return render(request, "sign_in.html", status=403 if found else 200, faults=found)
