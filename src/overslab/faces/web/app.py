"""The application: every router, the gate round them, faults in words."""

from __future__ import annotations

import contextlib
from collections.abc import AsyncIterator, Sequence
from importlib import import_module
from importlib.util import find_spec

from fastapi import FastAPI

from overslab.faces.web import (
    access_pages,
    customer_pages,
    export_pages,
    phone_pages,
    photo_pages,
    proposal_pages,
    safe_pages,
    statics,
    trust_pages,
    work_pages,
)
from overslab.faces.web.answers import add_handlers
from overslab.faces.web.certificates import Certificates
from overslab.faces.web.doors import Doors
from overslab.faces.web.letting_in import Entrance
from overslab.faces.web.limits import Rate
from overslab.faces.web.links import Links
from overslab.faces.web.page_shelf import MadePages
from overslab.faces.web.pages import stops
from overslab.faces.web.pairing import Pairing
from overslab.faces.web.passwords import Passwords
from overslab.faces.web.roles import AT_WORK, GuardedRoute, Role, RoleRouter, guarded_routes
from overslab.faces.web.security import Gate
from overslab.faces.web.sessions import Sessions
from overslab.faces.web.site import Settings, Site
from overslab.faces.web.walks import Walks
from overslab.job.store import Store

# Groups of pages that lie in folders of their own; each gives a ``router``.
GROUPS = ("rooms", "field", "plan")
_OWN = (
    statics,
    access_pages,
    phone_pages,
    trust_pages,
    customer_pages,
    work_pages,
    export_pages,
    photo_pages,
    proposal_pages,
    safe_pages,
)


def create_app(store: Store, *, settings: Settings, groups: Sequence[str] = GROUPS) -> FastAPI:
    """The whole service over one store. Raises ``TypeError`` when a route names no roles."""
    site = make_site(store, settings)

    @contextlib.asynccontextmanager
    async def life(_: FastAPI) -> AsyncIterator[None]:
        yield
        site.walks.close()
        site.doors.close()

    app = FastAPI(
        title="overslab",
        docs_url=None,
        redoc_url=None,
        openapi_url=None,
        redirect_slashes=False,
        lifespan=life,
    )
    app.state.site = site
    for router in routers(groups):
        # Taken over one by one and not nested: one flat list is matched faster and read easier.
        app.router.routes.extend(router.routes)
    site.stops = _stops(list(guarded_routes(app.router.routes)))
    add_handlers(app)
    app.add_middleware(Gate, site=site)
    return app


def make_site(store: Store, settings: Settings) -> Site:
    """Everything a page may ask for, before there is any page."""
    doors = Doors(settings.data)
    now = settings.now
    return Site(
        store=store,
        settings=settings,
        doors=doors,
        sessions=Sessions(
            doors, idle={Role.OFFICE: settings.office_idle, Role.CREW: settings.crew_idle}, now=now
        ),
        pairing=Pairing(now=now),
        links=Links(doors, now=now),
        passwords=Passwords(doors),
        entrance=Entrance(
            doors,
            Certificates(settings.data / "keys", now=now),
            names=settings.names,
            port=settings.port,
            secure_port=settings.secure_port,
        ),
        walks=Walks(store, seconds=settings.walk_seconds),
        made_pages=MadePages(),
        tries=Rate(settings.tries_a_minute),
        many_tries=Rate(settings.tries_in_all_a_minute),
        secret=doors.secret(),
        desk_device=store.office,
    )


def routers(groups: Sequence[str] = GROUPS) -> tuple[RoleRouter, ...]:
    """Our own routers and those of the groups."""
    found = [module.router for module in _OWN]
    for name in groups:
        full = f"overslab.faces.web.{name}"
        router = getattr(import_module(full), "router", None) if find_spec(full) else None
        if isinstance(router, RoleRouter):
            found.append(router)
    return tuple(found)


def _stops(routes: list[GuardedRoute]) -> dict[str, frozenset[Role]]:
    """Which pages of a job there are, and for whom of those at work."""
    found = {}
    for name in stops():
        for route in routes:
            if route.path == f"/jobs/{{job}}/{name}" and "GET" in (route.methods or ()):
                found[name] = route.roles & AT_WORK
    return found
