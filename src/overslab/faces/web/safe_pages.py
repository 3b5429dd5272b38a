"""Whether everything is safe: the state of the store, backups, and what happened at the door."""

from __future__ import annotations

import sqlite3

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from overslab import __version__
from overslab.faces.web.answers import see_other
from overslab.faces.web.pages import render
from overslab.faces.web.roles import OFFICE, RoleRouter
from overslab.faces.web.security import came_from
from overslab.faces.web.site import site_of

router = RoleRouter()
_BACKUPS_SHOWN, _LINES_SHOWN = 15, 40


@router.page("/safe", roles=OFFICE)
async def safe(request: Request) -> Response:
    site = site_of(request)
    backups = await run_in_threadpool(site.store.backups, site.settings.data)
    return render(
        request,
        "safe.html",
        health=await run_in_threadpool(site.store.health),
        backups=[path.name for path in backups[:_BACKUPS_SHOWN]],
        folder=str(site.settings.data),
        lines=site.doors.lines(_LINES_SHOWN),
        version=__version__,
        sqlite=sqlite3.sqlite_version,
    )


@router.action("/safe/backup", roles=OFFICE)
async def backup(request: Request) -> Response:
    site = site_of(request)
    await run_in_threadpool(site.store.backup)
    site.doors.note("backup by hand", came_from=came_from(request))
    return see_other("/safe")
