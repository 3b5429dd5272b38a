"""The first screen, the list of jobs, a new job, a job brought in, a job in one page."""

from __future__ import annotations

import datetime

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import Response

from overslab.faces.web.access_pages import typed
from overslab.faces.web.answers import see_other
from overslab.faces.web.forms import form_of
from overslab.faces.web.made_pages import made_once, walk_stamp
from overslab.faces.web.pages import TITLES, render
from overslab.faces.web.roles import AT_WORK, OFFICE, Role, RoleRouter, viewer_of
from overslab.faces.web.rooms.beginning import begun_texts, blank_form, read_upload
from overslab.faces.web.rooms.desk import OFFICE_ROOMS, ROOM_VIEWS, Desk, desk_of
from overslab.faces.web.rooms.missing import missing_of
from overslab.faces.web.rooms.settling import open_questions
from overslab.faces.web.rooms.views import JobRow
from overslab.faces.web.site import site_of
from overslab.faces.web.work_pages import sheets_for
from overslab.ground.faults import Fault, Faulty
from overslab.job import sample_folder, sample_names
from overslab.job.files import parse_toml
from overslab.job.store import JobLine

router = RoleRouter()
_A_PAGE = 50


@router.page("/", roles=AT_WORK)
async def jobs(request: Request) -> Response:
    """What to do first, and every job, the latest changed first."""
    store = site_of(request).store
    return await made_once(request, stamp=lambda: str(store.changes), make=lambda: _jobs(request))


def _jobs(request: Request) -> Response:
    store = site_of(request).store
    asked = request.query_params
    containing, away = asked.get("find", "")[:100], asked.get("away") == "1"
    skip = asked.get("from", "0")
    offset = int(skip) if skip.isdecimal() and len(skip) < 8 else 0
    found = store.jobs(
        limit=_A_PAGE + 1,
        offset=offset,
        containing=containing,
        state="put-away" if away else "open",
    )
    return render(
        request,
        "rooms/jobs.html",
        rows=[_row(one) for one in found[:_A_PAGE]],
        samples=[one for one in found if one.sample],
        own=[one for one in found if not one.sample],
        sample_names=sample_names(),
        containing=containing,
        away=away,
        following=offset + _A_PAGE if len(found) > _A_PAGE else None,
    )


def _row(line: JobLine) -> JobRow:
    return JobRow(
        line.id, line.name, line.shots, line.updated_at[:16].replace("T", " "), line.sample
    )


@router.page("/jobs/new", roles=OFFICE)
def new_job(request: Request) -> Response:
    today = datetime.date.today().isoformat()
    return _new(request, blank_form(today=today), {})


@router.action("/jobs/new", roles=OFFICE)
async def begin_job(request: Request) -> Response:
    form = await form_of(request)
    given = {key: str(form.get(key, ""))[:200] for key in blank_form(today="")}
    try:
        texts = await run_in_threadpool(begun_texts, given)
    except Faulty as trouble:
        beside: dict[str, list[Fault]] = {}
        for fault in trouble.faults:
            beside.setdefault(fault.place, []).append(fault)
        return _new(request, given, beside)
    store, who = site_of(request).store, viewer_of(request).who
    job = await run_in_threadpool(lambda: store.begin(given["name"].strip(), who=who, texts=texts))
    return see_other(f"/jobs/{job}")


def _new(request: Request, given: dict[str, str], found: dict[str, list[Fault]]) -> Response:
    return render(
        request,
        "rooms/new_job.html",
        status=400 if found else 200,
        given=given,
        found=found,
    )


@router.action("/jobs/import", roles=OFFICE)
async def bring_in(request: Request) -> Response:
    """The three files of a job folder, as they lie in it."""
    sent = (await form_of(request)).getlist("files")
    files = {
        (one.filename or "").replace("\\", "/").rpartition("/")[2]: await one.read()
        for one in sent
        if isinstance(one, UploadFile)
    }
    texts = read_upload(files)
    named = parse_toml(texts.job_toml, file="job.toml").get("job")
    name = str(named.get("name", "")) if isinstance(named, dict) else ""
    store, who = site_of(request).store, viewer_of(request).who
    job = await run_in_threadpool(
        lambda: store.begin(name.strip()[:200] or "Brought in", who=who, texts=texts)
    )
    return see_other(f"/jobs/{job}")


@router.action("/jobs/sample", roles=OFFICE)
async def sample_in(request: Request) -> Response:
    """Put a made-up sample into the list."""
    folder = sample_folder(await typed(request, "name"))
    store, who = site_of(request).store, viewer_of(request).who
    job = await run_in_threadpool(lambda: store.import_folder(folder, who=who, sample=True))
    return see_other(f"/jobs/{job}")


@router.action("/jobs/{job}/remove-sample", roles=OFFICE)
def sample_out(request: Request, job: str) -> Response:
    site = site_of(request)
    site.store.remove_sample(job)
    # Out of a folder with its history the same job may come again, at a version known already.
    site.walks.forget(job)
    site.made_pages.clear()
    return see_other("/")


@router.action("/jobs/{job}/put-away", roles=OFFICE)
def put_away(request: Request, job: str) -> Response:
    """Out of the list; its history brings it back."""
    store, viewer = site_of(request).store, viewer_of(request)
    store.change(
        job,
        based_on=store.version(job),
        kind="job-put-away",
        body={},
        who=viewer.who,
        device=viewer.device,
    )
    return see_other("/")


@router.page("/jobs/{job}", roles=AT_WORK)
async def job_page(request: Request, job: str) -> Response:
    """The whole job on one page: each room's answer in a sentence, and what to do next."""
    return await made_once(
        request, stamp=lambda: walk_stamp(request, job), make=lambda: _job_page(request, job)
    )


def _job_page(request: Request, job: str) -> Response:
    desk = desk_of(request, job)
    role = viewer_of(request).role
    office = role == Role.OFFICE
    store = site_of(request).store
    first = "new-top" if desk.walk is not None and desk.walk.newtop.top else "old-floor"
    return render(
        request,
        "rooms/job.html",
        job=desk.line,
        walk_state=desk.seen,
        missing=missing_of(store, desk) if office else (),
        in_the_way=len(desk.seen.faults),
        answers=_answers(desk, office=office),
        picture=desk.picture(first),
        shown=desk.shown,
        to_settle=len(open_questions(store, desk)) if office else 0,
        sheets=len(sheets_for(role)) if desk.walk is not None else 0,
        blank=desk.line.shots == 0,
    )


def _answers(desk: Desk, *, office: bool) -> tuple[tuple[str, str, str, str], ...]:
    """Room, title, answer and, for the office, what it says of money."""
    told = []
    for room in ROOM_VIEWS:
        view = desk.room(room) if office or room not in OFFICE_ROOMS else None
        if view is not None:
            bill = desk.bill(room) if office else None
            told.append((room, TITLES[room], view.answer, bill.answer if bill else ""))
    return tuple(told)
