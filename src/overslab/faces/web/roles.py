"""Who may see what: every route names its roles, and a route that names none cannot be made."""

from __future__ import annotations

from collections.abc import Callable, Coroutine, Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, TypeVar

from fastapi import APIRouter
from fastapi.exceptions import RequestValidationError
from fastapi.routing import APIRoute
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from overslab.faces.web import faults
from overslab.faces.web.refusals import Refused
from overslab.ground.faults import Faulty

Endpoint = TypeVar("Endpoint", bound=Callable[..., Any])


class Role(StrEnum):
    """``NOBODY`` is whoever has not been let in yet."""

    OFFICE = "office"
    CREW = "crew"
    CUSTOMER = "customer"
    NOBODY = "nobody"


OFFICE = frozenset({Role.OFFICE})
AT_WORK = frozenset({Role.OFFICE, Role.CREW})
CUSTOMER = frozenset({Role.CUSTOMER})
ANYONE = frozenset(Role)

_ROLES, _SHARED = "x-roles", "x-shared"


@dataclass(frozen=True, slots=True)
class Viewer:
    """Who asks. ``key`` is what the form token is bound to; ``session`` is shown, not secret.

    ``device`` (32 hex digits) goes into events. ``document`` is the one link a customer holds.
    """

    role: Role
    key: str = ""
    who: str = ""
    device: str = ""
    session: str = ""
    document: str = ""
    on_laptop: bool = False
    secure: bool = False
    signed_in: bool = False


def viewer_of(request: Request) -> Viewer:
    """The viewer that the gate found; nobody when a request came round it."""
    found = request.scope.get("state", {}).get("viewer")
    return found if isinstance(found, Viewer) else Viewer(Role.NOBODY)


class GuardedRoute(APIRoute):
    """Asks for the role before anything of the body is read, then for the form's token."""

    def __init__(self, path: str, endpoint: Callable[..., Any], **more: Any) -> None:
        if not (more.get("openapi_extra") or {}).get(_ROLES):
            raise TypeError(f"{path} does not say who may see it: use page(..., roles=...)")
        super().__init__(path, endpoint, **more)
        self.roles = frozenset(Role(name) for name in (self.openapi_extra or {})[_ROLES])
        self.shared = bool((self.openapi_extra or {})[_SHARED])

    def get_route_handler(self) -> Callable[[Request], Coroutine[Any, Any, Response]]:
        inner = super().get_route_handler()

        async def guarded(request: Request) -> Response:
            # These know this module; when a route runs, all of them are loaded.
            from overslab.faces.web.answers import stumbled
            from overslab.faces.web.forms import check_form

            if viewer_of(request).role not in self.roles:
                raise Refused(faults.NOT_YOURS.met(value=request.url.path), status=403)
            request.scope["state"]["shared"] = self.shared
            try:
                if request.method not in ("GET", "HEAD"):
                    await check_form(request)
                return await inner(request)
            except (Refused, Faulty, HTTPException, RequestValidationError):
                raise
            except Exception as trouble:
                return stumbled(request, trouble)
            finally:
                # Files that came with a form are ours to close.
                await request.close()

        return guarded


class RoleRouter(APIRouter):
    """Routes with their roles. ``page`` answers GET and writes nothing; ``action`` answers POST.

    ``shared`` marks a page that holds the same bytes for office and crew and no price: only such
    a page may be kept by a browser, under the caching headers it sets itself.
    """

    def __init__(self) -> None:
        super().__init__(route_class=GuardedRoute)

    def page(
        self, path: str, *, roles: Iterable[Role], shared: bool = False, **more: Any
    ) -> Callable[[Endpoint], Endpoint]:
        return self._routed(path, "GET", roles, shared, more)

    def action(
        self, path: str, *, roles: Iterable[Role], shared: bool = False, **more: Any
    ) -> Callable[[Endpoint], Endpoint]:
        return self._routed(path, "POST", roles, shared, more)

    def _routed(
        self, path: str, method: str, roles: Iterable[Role], shared: bool, more: dict[str, Any]
    ) -> Callable[[Endpoint], Endpoint]:
        named = sorted(Role(role).value for role in roles)

        def add(endpoint: Endpoint) -> Endpoint:
            self.add_api_route(
                path,
                endpoint,
                methods=[method],
                response_model=None,
                openapi_extra={_ROLES: named, _SHARED: shared},
                **more,
            )
            return endpoint

        return add


def guarded_routes(routes: Iterable[object]) -> Iterator[GuardedRoute]:
    """Every route of an application; raises ``TypeError`` at one that names no roles."""
    for route in routes:
        if not isinstance(route, GuardedRoute):
            raise TypeError(f"{getattr(route, 'path', route)} is not guarded")
        yield route
