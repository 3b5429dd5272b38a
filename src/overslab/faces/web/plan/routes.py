"""The page of the plan, and what its script asks for: values, one place, a drawing, a section."""

from __future__ import annotations

import gzip
import json
from collections.abc import Callable
from functools import lru_cache, partial
from typing import Annotated, Any, TypeVar

import anyio.to_thread
from fastapi import Query
from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from overslab.faces.documents.live_plan import (
    SECTION_TALL,
    SECTION_WIDE,
    TALL,
    WIDE,
    draw_live_plan,
    draw_section_between,
    subjects_of,
    top_of,
)
from overslab.faces.documents.svg import write_svg
from overslab.faces.web.field.crewdata import floor_of
from overslab.faces.web.pages import render
from overslab.faces.web.plan import edit_pages, faults
from overslab.faces.web.plan.asking import Asked, asked_in, shown_in
from overslab.faces.web.plan.places import EXAMPLES, FARTHEST_M, Point
from overslab.faces.web.plan.values import known_at, lattice_of, said, setting_words
from overslab.faces.web.roles import AT_WORK, Role, RoleRouter, viewer_of
from overslab.faces.web.site import site_of
from overslab.faces.web.walks import Seen
from overslab.ground.faults import Fault, Faulty
from overslab.job.records import Walk

router = RoleRouter()
router.routes.extend(edit_pages.router.routes)
Made = TypeVar("Made")

PREFIX, SECTION_PREFIX = "plan-", "section-"
_WORDS = (
    ("old", "old floor"),
    ("new", "new top"),
    ("thickness", "thickness"),
    ("give_or_take", "give or take"),
    ("rod_new", "rod on the new top"),
    ("rod_old", "rod on the old floor"),
)
Metres = Annotated[float, Query(ge=-FARTHEST_M, le=FARTHEST_M, allow_inf_nan=False)]


@router.page("/jobs/{job}/plan", roles=AT_WORK)
async def plan_page(request: Request, job: str) -> Response:
    site = site_of(request)
    stored = site.store.job(job)
    seen = await site.walks.wait(job)
    floor = floor_of(stored.folder_texts.job_toml)
    asked = asked_in(request.query_params, floor=floor)
    drawn: dict[str, Any] = {}
    walk = seen.walk
    if walk is not None:
        drawn = await _in_thread(partial(_drawn, walk, asked))
    office = viewer_of(request).role == Role.OFFICE
    return render(
        request,
        "plan/plan.html",
        job=stored,
        stop="plan",
        walk_state=seen,
        drawn=drawn,
        asked=asked,
        words=_WORDS,
        example=EXAMPLES[floor.system],
        faults=seen.faults if office else (),
        in_the_way=len(seen.faults),
        version=seen.walk_version,
    )


def _drawn(walk: Walk, asked: Asked) -> dict[str, Any]:
    """Everything of the page that leans on the walk; what cannot be shown becomes a fault."""
    known = None
    if asked.at is not None:
        try:
            known = said(walk, known_at(walk, asked.at))
        except Faulty as trouble:
            asked.place_faults.extend(trouble.faults)
    section = None
    if asked.line is not None:
        try:
            section = _section(walk, *asked.line, narrow=False)
        except Faulty as trouble:
            asked.line_faults.extend(trouble.faults)
    at = asked.at if known else None
    line = asked.line if section else None
    if at is None and line is None:
        svg = _plan_svg(walk, asked.show, False)
    else:
        live = draw_live_plan(walk, show=asked.show, room=WIDE, asked=at, line=line)
        svg = live.svg(prefix=PREFIX)
    return {
        "svg": Markup(svg),  # our own drawing; names in it are escaped
        "subjects": [(one.code, one.title, one.code in asked.show) for one in subjects_of(walk)],
        "known": known,
        "section": Markup(section) if section else None,
        "setting": setting_words(walk),
        "has_top": top_of(walk) is not None,
    }


def _section(walk: Walk, a: Point, b: Point, *, narrow: bool) -> str:
    if top_of(walk) is None:
        raise Faulty(faults.NO_TOP.met(value="no new top"))
    drawing = draw_section_between(walk, a=a, b=b, room=SECTION_TALL if narrow else SECTION_WIDE)
    if drawing is None:
        raise Faulty(faults.LINE_OFF_FLOOR.met(value="the line drawn"))
    return write_svg(drawing, prefix=SECTION_PREFIX)


@router.page("/jobs/{job}/plan/values.json", roles=AT_WORK, shared=True)
async def values(request: Request, job: str) -> Response:
    seen = await _walked(request, job)
    packed = await _in_thread(lambda: _packed(_of(seen)))
    headers = _lasting(request, seen) | {"Vary": "Accept-Encoding"}
    if "gzip" not in request.headers.get("accept-encoding", ""):
        return Response(gzip.decompress(packed), media_type="application/json", headers=headers)
    headers["Content-Encoding"] = "gzip"
    return Response(packed, media_type="application/json", headers=headers)


@lru_cache(maxsize=8)
def _packed(walk: Walk) -> bytes:
    return gzip.compress(json.dumps(lattice_of(walk), separators=(",", ":")).encode(), 6, mtime=0)


@router.page("/jobs/{job}/plan/at.json", roles=AT_WORK)
async def at(request: Request, job: str, x_m: Metres, y_m: Metres) -> Response:
    """The exact values at one place, in words."""
    seen = await _walked(request, job)
    walk = _of(seen)
    known = await _in_thread(lambda: known_at(walk, (x_m, y_m)))
    told = {**said(walk, known), "version": seen.walk_version}
    return JSONResponse(told, headers=_lasting(request, seen))


@router.page("/jobs/{job}/plan/drawing.svg", roles=AT_WORK, shared=True)
async def drawing(request: Request, job: str, size: str = "wide") -> Response:
    seen = await _walked(request, job)
    show = shown_in(request.query_params)
    svg = await _in_thread(lambda: _plan_svg(_of(seen), show, size == "narrow"))
    return Response(svg, media_type="image/svg+xml", headers=_lasting(request, seen))


@lru_cache(maxsize=32)
def _plan_svg(walk: Walk, show: tuple[str, ...], narrow: bool) -> str:
    return draw_live_plan(walk, show=show, room=TALL if narrow else WIDE).svg(prefix=PREFIX)


@router.page("/jobs/{job}/plan/section.svg", roles=AT_WORK, shared=True)
async def section(
    request: Request,
    job: str,
    ax_m: Metres,
    ay_m: Metres,
    bx_m: Metres,
    by_m: Metres,
    size: str = "wide",
) -> Response:
    seen = await _walked(request, job)
    narrow = size == "narrow"
    svg = await _in_thread(lambda: _section(_of(seen), (ax_m, ay_m), (bx_m, by_m), narrow=narrow))
    return Response(svg, media_type="image/svg+xml", headers=_lasting(request, seen))


async def _walked(request: Request, job: str) -> Seen:
    """What can be shown now; raises ``Faulty`` when the job was never worked out."""
    seen = await site_of(request).walks.wait(job, seconds=0)
    if seen.walk is None:
        raise Faulty(_why_not(seen))
    return seen


def _why_not(seen: Seen) -> Fault:
    return faults.NO_WALK.met(value=seen.state)


def _of(seen: Seen) -> Walk:
    assert seen.walk is not None
    return seen.walk


def _lasting(request: Request, seen: Seen) -> dict[str, str]:
    """An address that names the walk it was made of may be kept by the browser."""
    named = request.query_params.get("v", "") == str(seen.walk_version)
    return {"Cache-Control": "private, max-age=86400" if named else "no-store"}


async def _in_thread(make: Callable[[], Made]) -> Made:
    """Drawing takes a tenth of a second: not in the way of the phones."""
    return await anyio.to_thread.run_sync(make)
