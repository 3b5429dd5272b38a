"""Drawing on the plan for the office: outline, breaks, doors, hollow spots, with typed lengths."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import urlencode

import anyio.to_thread
from markupsafe import Markup
from pydantic import BaseModel, ConfigDict, Field
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from overslab.faces.documents.floor_lines import draw_floor_lines
from overslab.faces.web.answers import as_plain, see_other
from overslab.faces.web.field.crewdata import floor_of
from overslab.faces.web.forms import form_of
from overslab.faces.web.pages import render
from overslab.faces.web.plan import faults
from overslab.faces.web.plan.checking import (
    Told,
    beside,
    door_ends,
    lines_in,
    name_faults,
    new_faults,
    spots_of,
)
from overslab.faces.web.plan.places import EXAMPLES, MARKS_M
from overslab.faces.web.plan.things import (
    BY_CODE,
    MOST_ROWS,
    SORTS,
    Change,
    Draft,
    Sort,
    blank,
    changes,
    drafts_in,
    entries_of,
    facts_in,
    find,
    moved,
)
from overslab.faces.web.refusals import Refused
from overslab.faces.web.roles import OFFICE, RoleRouter, viewer_of
from overslab.faces.web.site import site_of
from overslab.faces.web.telling import Plain
from overslab.ground.faults import Fault, Faulty
from overslab.job.store import Stale, StoredJob

router = RoleRouter()
PREFIX = "floor-"
_MOST_TYPED = 200


@dataclass(slots=True)
class _View:
    """One state of the page: a draft with what is wrong with it, or the list alone."""

    draft: Draft | None = None
    told: Told = field(default_factory=lambda: Told({}, {}, []))
    stale: Stale | None = None
    status: int = 200
    may_keep: bool = False  # offered: keep it although it brings faults into the job


@router.page("/jobs/{job}/plan/edit", roles=OFFICE)
async def edit_page(request: Request, job: str, thing: str = "", name: str = "") -> Response:
    """The list of things, and with ``thing`` the one of that name, or a new one."""
    stored = site_of(request).store.job(job)
    view = _View()
    if thing:
        sort = _sort(thing)
        drafts = drafts_in(facts_in(stored.folder_texts.job_toml))
        is_new = not name and sort.code != "outline"
        view.draft = blank(sort) if is_new else find(drafts, sort=sort, name=name or "outline")
        if view.draft is None:
            raise Refused(faults.THING_UNKNOWN.met(value=name[:80]), status=404)
        if sort.code == "outline" and not view.draft.rows:
            view.draft = blank(sort)
    return await _page(request, stored, view)


@router.action("/jobs/{job}/plan/edit", roles=OFFICE)
async def edit(request: Request, job: str) -> Response:
    """A button of the form: one of a row, ``save``, ``keep`` (faults and all) or ``remove``."""
    form = await form_of(request)
    stored = site_of(request).store.job(job)
    draft = _draft_in(form)
    order = _text(form, "do") or "save"
    if ":" in order:
        return await _page(request, stored, _View(moved(draft, order)), based_on=_based_on(form))
    return await anyio.to_thread.run_sync(
        lambda: _save(request, stored, draft, order, _based_on(form))
    )


class Look(BaseModel):
    """What a script asks while a person draws."""

    model_config = ConfigDict(extra="forbid")
    thing: str = Field(max_length=20)
    was: str | None = Field(default=None, max_length=_MOST_TYPED)
    name: str = Field(default="", max_length=_MOST_TYPED)
    rows: list[tuple[str, str]] = Field(max_length=MOST_ROWS)
    fields: dict[str, str] = Field(default={}, max_length=20)


@router.action("/jobs/{job}/plan/edit/look", roles=OFFICE)
async def look(request: Request, job: str, asked: Look) -> Response:
    """Where the typed corners lie, and what would be wrong; keeps nothing."""
    stored = site_of(request).store.job(job)
    sort = _sort(asked.thing)
    draft = Draft(sort, asked.was, asked.name.strip(), _cut(asked.rows), asked.fields)

    def answer() -> dict[str, Any]:
        told = beside(draft, _found(stored, draft, _changes(stored, draft)))
        spots = spots_of(draft, floor=floor_of(stored.folder_texts.job_toml))
        return {
            "spots": spots,
            "rows": {str(row): _plain(found) for row, found in told.rows.items()},
            "fields": {key: _plain(found) for key, found in told.fields.items()},
            "whole": _plain(told.whole),
        }

    return Plain(await anyio.to_thread.run_sync(answer))


def _plain(found: Sequence[Fault]) -> list[dict[str, str]]:
    return [as_plain(fault) for fault in found]


def _sort(code: str) -> Sort:
    sort = BY_CODE.get(code)
    if sort is None:
        raise Refused(faults.THING_UNKNOWN.met(value=code[:80]), status=404)
    return sort


def _text(form: FormData, name: str) -> str:
    value = form.get(name)
    return value.strip()[:_MOST_TYPED] if isinstance(value, str) else ""


def _based_on(form: FormData) -> int:
    text = _text(form, "based_on")
    return int(text) if text.isdecimal() and len(text) < 10 else 0


def _draft_in(form: FormData) -> Draft:
    sort = _sort(_text(form, "thing"))
    columns = [[str(value) for value in form.getlist(axis)] for axis in ("x", "y")]
    rows = _cut(zip(*columns, strict=False))
    fields = {
        entry.key: _text(form, f"entry-{entry.key}")
        for entry in sort.entries
        if f"entry-{entry.key}" in form
    }
    was = _text(form, "was") or None
    name = was or "" if sort.code == "outline" else _text(form, "name")
    return Draft(sort, was, name, rows, fields)


def _cut(rows: Any) -> tuple[tuple[str, str], ...]:
    cut = [(x.strip()[:_MOST_TYPED], y.strip()[:_MOST_TYPED]) for x, y in rows]
    return tuple(cut[:MOST_ROWS])


def _changes(stored: StoredJob, draft: Draft) -> tuple[Change, ...]:
    drafts = drafts_in(facts_in(stored.folder_texts.job_toml))
    was = find(drafts, sort=draft.sort, name=draft.was) if draft.was is not None else None
    if was is None and draft.was is not None and draft.sort.code != "outline":
        return changes(draft, Draft(draft.sort, draft.was, draft.was, ()))
    return changes(draft, was)


def _found(stored: StoredJob, draft: Draft, wanted: Sequence[Change]) -> list[Fault]:
    texts = stored.folder_texts
    found = name_faults(draft, drafts_in(facts_in(texts.job_toml)))
    return found + new_faults(texts, wanted, known=stored.trouble)


def _save(request: Request, stored: StoredJob, draft: Draft, order: str, based_on: int) -> Response:
    wanted = _changes(stored, draft)
    if order == "remove" and draft.was is not None and draft.sort.code != "outline":
        wanted = (Change("fact-removed", (draft.sort.section, draft.was)),)
    elif order in ("save", "keep"):
        found = _found(stored, draft, wanted)
        told = beside(draft, found)
        # A corner that cannot be read, or no name, would leave nothing to draw or speak of.
        never = bool(told.rows) or any(one.code.startswith("plan-name-") for one in found)
        if never or (found and order != "keep"):
            view = _View(draft, told, status=400, may_keep=not never)
            return _shown(request, stored, view, based_on=based_on)
    viewer, store = viewer_of(request), site_of(request).store
    try:
        for change in wanted:
            store.change(
                stored.id,
                based_on=based_on,
                kind=change.kind,
                body=change.body,
                who=viewer.who,
                device=viewer.device or None,
            )
    except Stale as stale:
        # What was typed stays in the form, on top of the newest version; theirs is shown beside it.
        view = _View(draft, stale=stale, status=409)
        return _shown(request, store.job(stored.id), view)
    except Faulty as trouble:
        view = _View(draft, beside(draft, trouble.faults), status=400)
        return _shown(request, store.job(stored.id), view, based_on=based_on)
    kept = "removed" if order == "remove" else "kept" if wanted else "same"
    return see_other(f"/jobs/{stored.id}/plan/edit?{urlencode({'done': kept, 'what': draft.name})}")


async def _page(
    request: Request, stored: StoredJob, view: _View, *, based_on: int | None = None
) -> Response:
    return await anyio.to_thread.run_sync(lambda: _shown(request, stored, view, based_on=based_on))


_DONE = {
    "kept": "Kept: {what}. The job is being worked out again.",
    "removed": "Taken out: {what}. It can be brought back on the page History.",
    "same": "Nothing was changed: {what} says that already.",
}


def _shown(
    request: Request, stored: StoredJob, view: _View, *, based_on: int | None = None
) -> Response:
    draft, job_toml = view.draft, stored.folder_texts.job_toml
    floor = floor_of(job_toml)
    spots = [spot for spot in spots_of(draft, floor=floor) if spot] if draft else []
    if draft is not None and draft.by_edge:
        spots = list(door_ends(draft, floor=floor))
    lines = tuple(lines_in(job_toml, but=draft))
    closed = draft is not None and draft.sort.closed
    title = f"Floor of {stored.name}"
    svg = draw_floor_lines(lines, title=title, edited=spots, closed=closed).svg(prefix=PREFIX)
    told = _DONE.get(request.query_params.get("done", ""), "")
    outline = next((line.points for line in lines if line.kind == "outline"), ())
    return render(
        request,
        "plan/edit.html",
        status=view.status,
        job=stored,
        stop="plan",
        sorts=SORTS,
        drafts=drafts_in(facts_in(job_toml)),
        draft=draft,
        entries=entries_of(draft) if draft else (),
        told=view.told,
        stale=view.stale,
        may_keep=view.may_keep,
        done=told.format(what=request.query_params.get("what", "")[:80]) if told else "",
        trouble=stored.trouble if draft is None else (),
        based_on=stored.version if based_on is None else based_on,
        svg=Markup(svg),  # our own drawing; names in it are escaped
        example=EXAMPLES[floor.system],
        drawing={
            "thing": draft.sort.code if draft else "",
            "closed": closed,
            "by_edge": bool(draft and draft.by_edge),
            "most": draft.sort.most_rows if draft else 0,
            "system": floor.system,
            "mark_m": MARKS_M[floor.system],
            "outline": outline,
        },
    )
