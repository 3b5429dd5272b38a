"""Everything a page may ask for: the store, the walks, who is let in, the settings."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from starlette.requests import Request

if TYPE_CHECKING:
    from overslab.faces.web.doors import Doors
    from overslab.faces.web.letting_in import Entrance
    from overslab.faces.web.limits import Rate
    from overslab.faces.web.links import Links
    from overslab.faces.web.page_shelf import MadePages
    from overslab.faces.web.pairing import Pairing
    from overslab.faces.web.passwords import Passwords
    from overslab.faces.web.roles import Role
    from overslab.faces.web.sessions import Sessions
    from overslab.faces.web.walks import Walks
    from overslab.job.store import Store


def _now() -> datetime.datetime:
    return datetime.datetime.now(datetime.UTC)


@dataclass(frozen=True, slots=True)
class Settings:
    """What the owner may set. ``names``: further host names this laptop answers to."""

    data: Path
    names: tuple[str, ...] = ()
    port: int = 8700
    secure_port: int = 8743
    walk_seconds: float = 180.0
    requests_a_minute: int = 300
    tries_a_minute: int = 5
    tries_in_all_a_minute: int = 30
    body_bytes: int = 2 * 1024 * 1024
    photo_bytes: int = 25 * 1024 * 1024
    photo_points: int = 40_000_000
    photos_a_job_bytes: int = 2 * 1024 * 1024 * 1024
    body_seconds: float = 60.0
    office_idle: datetime.timedelta = datetime.timedelta(hours=12)
    crew_idle: datetime.timedelta = datetime.timedelta(days=90)
    now: Callable[[], datetime.datetime] = field(default=_now)


@dataclass(slots=True)
class Site:
    """One laptop's service, as ``app.state.site``.

    ``desk_device`` stands in events typed on the laptop; ``tries`` and ``many_tries`` count guesses
    at passwords and codes, from one place and in all; ``stops`` says which roles each page of a job
    is open to.
    """

    store: Store
    settings: Settings
    doors: Doors
    sessions: Sessions
    pairing: Pairing
    links: Links
    passwords: Passwords
    entrance: Entrance
    walks: Walks
    made_pages: MadePages
    tries: Rate
    many_tries: Rate
    secret: bytes
    desk_device: str
    stops: dict[str, frozenset[Role]] = field(default_factory=dict)


def site_of(request: Request) -> Site:
    site: Site = request.app.state.site
    return site
