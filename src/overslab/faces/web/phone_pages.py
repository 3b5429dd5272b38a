"""Phones: letting them in, the list of those that are in, the lost one."""

from __future__ import annotations

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from overslab.faces.web import faults
from overslab.faces.web.access_pages import sign_in, typed
from overslab.faces.web.answers import see_other
from overslab.faces.web.codes import picture_of
from overslab.faces.web.letting_in import addresses_here
from overslab.faces.web.pages import render
from overslab.faces.web.pairing import LIFE, Offer
from overslab.faces.web.refusals import Refused
from overslab.faces.web.roles import ANYONE, OFFICE, Role, RoleRouter, viewer_of
from overslab.faces.web.security import came_from
from overslab.faces.web.site import Site, site_of
from overslab.ground.faults import Faulty

router = RoleRouter()
TICKET_COOKIE = "waiting"


@router.page("/phones", roles=OFFICE)
async def phones(request: Request) -> Response:
    return await _phones(request)


@router.action("/phones/open", roles=OFFICE)
async def open_door(request: Request) -> Response:
    site = site_of(request)
    found = await site.entrance.open(await typed(request, "address"))
    site.doors.note("phones let in" if found else "no network to let phones in by")
    return see_other("/phones")


@router.action("/phones/close", roles=OFFICE)
async def close_door(request: Request) -> Response:
    site = site_of(request)
    site.doors.note("door shut: the laptop only")
    await site.entrance.close()
    return see_other("/phones")


@router.action("/phones/code", roles=OFFICE)
async def new_code(request: Request) -> Response:
    return await _phones(request, offer=site_of(request).pairing.offer())


@router.page("/phones/waiting", roles=OFFICE)
async def waiting(request: Request) -> Response:
    """For the script that looks whether a phone has come."""
    queue = site_of(request).pairing.queue()
    return JSONResponse({"waiting": [[one.id, one.name, one.number] for one in queue]})


@router.action("/phones/let-in", roles=OFFICE)
async def let_in(request: Request) -> Response:
    site = site_of(request)
    let = await typed(request, "answer") == "let in"
    phone = site.pairing.decide(await typed(request, "phone"), let_in=let)
    site.doors.note("phone let in" if let else "phone sent away", who=phone.name)
    return see_other("/phones")


@router.action("/phones/end", roles=OFFICE)
async def end_phone(request: Request) -> Response:
    """The lost phone: its session is over before this answers."""
    site = site_of(request)
    session = await typed(request, "phone")
    if not await run_in_threadpool(site.sessions.end, session):
        raise Faulty(faults.PHONE_UNKNOWN.met(value=session[:40]))
    site.doors.note(f"session {session} ended by the office")
    return see_other("/phones")


@router.page("/pair", roles=ANYONE)
async def pair_page(request: Request) -> Response:
    return render(request, "pair.html", faults=(), name="")


@router.action("/pair", roles=ANYONE)
async def pair(request: Request) -> Response:
    site, name = site_of(request), await typed(request, "name")
    site.tries.take(f"code {came_from(request)}")
    site.many_tries.take("code")
    try:
        ticket, _ = site.pairing.show(
            token=await typed(request, "token"),
            code=await typed(request, "code"),
            name=name,
            agent=request.headers.get("user-agent", ""),
            came_from=came_from(request),
            secure=viewer_of(request).secure,
        )
    except Faulty as trouble:
        told = ", ".join(fault.code for fault in trouble.faults)
        site.doors.note(f"phone not paired: {told}", came_from=came_from(request))
        return render(request, "pair.html", status=403, faults=trouble.faults, name=name[:80])
    response = see_other("/pair/wait")
    response.set_cookie(
        TICKET_COOKIE,
        ticket,
        max_age=LIFE.seconds,
        secure=viewer_of(request).secure,
        httponly=True,
        samesite="lax",
        path="/pair",
    )
    return response


@router.page("/pair/wait", roles=ANYONE)
async def wait_page(request: Request) -> Response:
    phone = site_of(request).pairing.seen(request.cookies.get(TICKET_COOKIE, ""))
    # Without a script the page looks again by itself.
    headers = {"Refresh": "3"} if phone is not None and not phone.let_in else None
    return render(request, "pair_wait.html", phone=phone, headers=headers)


@router.action("/pair/enter", roles=ANYONE)
async def enter(request: Request) -> Response:
    site, viewer = site_of(request), viewer_of(request)
    phone = site.pairing.enter(request.cookies.get(TICKET_COOKIE, ""))
    if phone is None or phone.secure != viewer.secure:
        minutes = LIFE.seconds // 60
        raise Refused(faults.PAIRING_WRONG.met(value="a ticket", minutes=minutes), status=403)
    response = see_other("/")
    await sign_in(request, response, Role.CREW, who=phone.name, device=viewer.device)
    response.delete_cookie(TICKET_COOKIE, path="/pair")
    return response


async def _phones(request: Request, *, offer: Offer | None = None) -> Response:
    site = site_of(request)
    door = site.entrance.now_at
    codes = []
    if offer is not None and door is not None:
        codes = [
            ("A phone that trusts this laptop (works without signal)", door.secure_line),
            ("Any phone, open line (only while the tab stays open)", door.open_line),
        ]
    return render(
        request,
        "phones.html",
        door=door,
        can_open=site.entrance.can_open,
        wanted=site.entrance.was_open,
        earlier=site.entrance.earlier(),
        addresses=await run_in_threadpool(addresses_here),
        offer=offer,
        minutes=LIFE.seconds // 60,
        codes=[
            (title, f"{line}/pair", picture_of(f"{line}/pair#{offer.token}"))
            for title, line in codes
            if offer is not None
        ],
        trust=None if door is None else (door.open_line, picture_of(f"{door.open_line}/trust")),
        fingerprint=_fingerprint(site),
        queue=site.pairing.queue(),
        crew=site.sessions.listed(Role.CREW),
        office=site.sessions.listed(Role.OFFICE),
        password_set=site.passwords.is_set,
    )


def _fingerprint(site: Site) -> str:
    certificates = site.entrance.certificates
    return certificates.fingerprint() if certificates.made else ""
