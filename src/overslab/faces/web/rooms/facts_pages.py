"""What the owner wrote down, section by section, as forms. For the office."""

from __future__ import annotations

from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from overslab.faces.web.access_pages import typed
from overslab.faces.web.answers import see_other
from overslab.faces.web.forms import form_of
from overslab.faces.web.pages import render
from overslab.faces.web.refusals import Refused
from overslab.faces.web.roles import OFFICE, RoleRouter, viewer_of
from overslab.faces.web.rooms import faults
from overslab.faces.web.rooms.desk import desk_of
from overslab.faces.web.rooms.fact_fields import (
    GROUPS,
    NEW,
    RATES,
    Inner,
    Section,
    inner_sections,
    section_at,
    title_of,
)
from overslab.faces.web.rooms.fact_saving import Outcome, data_of, save, shown
from overslab.faces.web.rooms.missing import missing_of
from overslab.faces.web.site import site_of
from overslab.job.jobfile import JobFile
from overslab.job.records import FolderTexts

router = RoleRouter()


@router.page("/jobs/{job}/facts", roles=OFFICE)
def facts(request: Request, job: str) -> Response:
    """Every section, what stands in it, and what is missing."""
    desk = desk_of(request, job)
    store = site_of(request).store
    texts = store.job(job).folder_texts
    known = {one.key: one for one in inner_sections(JobFile)}
    groups = [
        (title, [_entry(texts, known.get(key), key) for key in keys]) for title, keys in GROUPS
    ]
    return render(
        request,
        "rooms/facts.html",
        job=desk.line,
        stop="facts",
        walk_state=desk.seen,
        groups=groups,
        missing=missing_of(store, desk),
    )


def _entry(texts: FolderTexts, inner: Inner | None, key: str) -> dict[str, Any]:
    """A section in the list: its title, what it is for, its parts by name."""
    if inner is None:  # rates.toml, which is a file of its own
        rates = data_of(texts, "rates.toml")
        said = f"Prices of {rates['price_date']}." if "price_date" in rates else "Not given yet."
        return {"address": RATES, "title": title_of(RATES), "hint": said, "many": False}
    inside: Any = data_of(texts, "job.toml").get(key)
    entry: dict[str, Any] = {
        "address": key,
        "title": title_of(key),
        "hint": inner.hint,
        "many": inner.many,
    }
    if inner.many:
        parts = inside if isinstance(inside, list) else []
        entry["parts"] = [(f"{key}/{n}", _name(part, n)) for n, part in enumerate(parts)]
        entry["new"] = f"{key}/{NEW}"
    else:
        entry["given"] = isinstance(inside, dict)
    return entry


def _name(part: Any, number: int) -> str:
    """What a part of a list is called: its name, else what tells it apart."""
    if isinstance(part, dict):
        for key in ("name", "setup", "date"):
            if part.get(key) is not None:
                return str(part[key])
    return f"number {number + 1}"


@router.page("/jobs/{job}/facts/{where:path}", roles=OFFICE)
def section_page(request: Request, job: str, where: str) -> Response:
    section = _section(where)
    stored = site_of(request).store.job(job)
    kept = request.query_params.get("kept", "")
    return _form(
        request,
        job,
        section,
        Outcome(shown(stored.folder_texts, section, stored.trouble), stored.version),
        kept=int(kept) if kept.isdecimal() and len(kept) < 4 else None,
    )


@router.action("/jobs/{job}/facts/{where:path}", roles=OFFICE)
async def keep_section(request: Request, job: str, where: str) -> Response:
    section = _section(where)
    store, viewer = site_of(request).store, viewer_of(request)
    form = await form_of(request)
    based = str(form.get("based_on", ""))
    based_on = int(based) if based.isdecimal() and len(based) < 10 else 0
    if await typed(request, "remove"):
        await run_in_threadpool(
            lambda: store.change(
                job,
                based_on=based_on,
                kind="rates-set" if section.file == "rates.toml" else "fact-removed",
                body={"path": list(section.path)}
                | ({"value": None} if section.file == "rates.toml" else {}),
                who=viewer.who,
                device=viewer.device,
            )
        )
        return see_other(f"/jobs/{job}/facts")
    given: dict[str, str] = {}
    for key in form:
        given[key] = ", ".join(str(one) for one in form.getlist(key) if str(one))
    outcome = await run_in_threadpool(
        save,
        store,
        job,
        section,
        given,
        based_on=based_on,
        who=viewer.who,
        device=viewer.device,
    )
    if outcome.refused or not outcome.kept:
        return await run_in_threadpool(_form, request, job, section, outcome)
    if section.is_new:
        return see_other(f"/jobs/{job}/facts")
    return see_other(f"/jobs/{job}/facts/{section.address}?kept={outcome.kept}")


def _section(where: str) -> Section:
    section = section_at(where)
    if section is None:
        raise Refused(faults.SECTION_UNKNOWN.met(value=where[:80]), status=404)
    return section


def _form(
    request: Request, job: str, section: Section, outcome: Outcome, *, kept: int | None = None
) -> Response:
    """The section as a form; what was typed stands in it, faults beside their fields."""
    desk = desk_of(request, job)
    texts = site_of(request).store.job(job).folder_texts
    inside = section.data(data_of(texts, section.file))
    parts: list[tuple[Inner, list[tuple[str, str]], str]] = []
    for inner in inner_sections(section.model) if not section.is_new else ():
        stands = inside.get(inner.key)
        address = f"{section.address}/{inner.key}"
        if inner.many:
            listed = stands if isinstance(stands, list) else []
            names = [(f"{address}/{n}", _name(part, n)) for n, part in enumerate(listed)]
            parts.append((inner, names, f"{address}/{NEW}"))
        else:
            parts.append((inner, [(address, "given" if stands else "not given")], ""))
    stale = any(state.theirs is not None for state in outcome.fields)
    head = section.address.split("/")[0]
    name = str(inside.get("name", "")) if section.in_list else ""
    return render(
        request,
        "rooms/section.html",
        status=409 if stale else 400 if outcome.refused else 200,
        job=desk.line,
        stop="facts",
        walk_state=desk.seen,
        title=name or (f"{title_of(head)}: new" if section.is_new else title_of(head)),
        says=" ".join((section.model.__doc__ or "").partition(": ")[2].split()),
        section=section,
        given=bool(inside),
        outcome=outcome,
        inners=parts,
        kept=kept,
        missing=missing_of(site_of(request).store, desk) if kept is not None else (),
    )
