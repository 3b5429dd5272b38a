"""The kinds of top side by side, the choice of one, and a wish tried. For the office alone."""

from __future__ import annotations

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from overslab.faces.web.access_pages import typed
from overslab.faces.web.answers import see_other
from overslab.faces.web.forms import form_of
from overslab.faces.web.pages import render
from overslab.faces.web.roles import OFFICE, RoleRouter, viewer_of
from overslab.faces.web.rooms import faults
from overslab.faces.web.rooms.desk import desk_of
from overslab.faces.web.rooms.fact_fields import section_at
from overslab.faces.web.rooms.fact_saving import Outcome, save
from overslab.faces.web.rooms.top_tries import TRIED
from overslab.faces.web.site import site_of
from overslab.ground.faults import Faulty

router = RoleRouter()
KINDS = ("plane", "planes", "strips", "level", "follow")
_WAIT = 3.0


@router.page("/jobs/{job}/tops", roles=OFFICE)
def side_by_side(request: Request, job: str) -> Response:
    """Every kind of top: drawn in small, what it costs, what binds."""
    desk = desk_of(request, job)
    return render(
        request,
        "rooms/tops.html",
        job=desk.line,
        stop="newtop",
        walk_state=desk.seen,
        cards=desk.tops(),
        shown=desk.shown,
        version=desk.seen.version,
    )


@router.action("/jobs/{job}/tops/choose", roles=OFFICE)
async def choose(request: Request, job: str) -> Response:
    """Draw one kind of top; ``cheapest`` leaves the choice to the program."""
    kind = await typed(request, "kind")
    if kind not in (*KINDS, "cheapest"):
        raise Faulty(faults.TOP_UNKNOWN.met(value=kind[:40], known=", ".join(KINDS)))
    outcome = await _kept(request, job, {"choose": "" if kind == "cheapest" else kind})
    return await _back(request, job, outcome)


@router.action("/jobs/{job}/newtop", roles=OFFICE)
async def try_wish(request: Request, job: str) -> Response:
    """Change a wish; the page then shows the new top beside the one before."""
    form = await form_of(request)
    given = {key: str(form[key]) for key in TRIED if isinstance(form.get(key), str)}
    outcome = await _kept(request, job, given)
    return await _back(request, job, outcome)


async def _kept(request: Request, job: str, given: dict[str, str]) -> Outcome:
    section = section_at("wishes")
    assert section is not None
    site, viewer = site_of(request), viewer_of(request)
    based_on = await typed(request, "based_on")
    return await run_in_threadpool(
        save,
        site.store,
        job,
        section,
        given,
        based_on=int(based_on) if based_on.isdecimal() and len(based_on) < 10 else 0,
        who=viewer.who,
        device=viewer.device,
    )


async def _back(request: Request, job: str, outcome: Outcome) -> Response:
    """To the new top; or the form again, with what was typed and the faults beside it."""
    site = site_of(request)
    if outcome.refused:
        desk = await run_in_threadpool(desk_of, request, job)
        tried = [state for state in outcome.fields if state.of.key in TRIED]
        return render(
            request,
            "rooms/wish_refused.html",
            status=409 if any(state.theirs is not None for state in tried) else 400,
            job=desk.line,
            stop="newtop",
            tries=tried,
            version=outcome.version,
            above=outcome.above,
        )
    await site.walks.wait(job, seconds=_WAIT)
    return see_other(f"/jobs/{job}/newtop?since={outcome.version - outcome.kept}")
