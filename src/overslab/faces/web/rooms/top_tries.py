"""Change a wish and see the new top: the wishes at hand, and the top before beside the one now."""

from __future__ import annotations

import threading
from collections import OrderedDict
from typing import cast

from starlette.requests import Request

from overslab.faces.web.rooms.desk import Desk
from overslab.faces.web.rooms.fact_fields import section_at
from overslab.faces.web.rooms.fact_saving import FieldState, shown
from overslab.faces.web.rooms.money import top_line
from overslab.faces.web.rooms.views import TopLine
from overslab.job.store import StoredJob

# The wishes that move a top most, in the order in which a person tries them.
TRIED = ("least_thickness", "least_fall", "greatest_fall", "highest", "system", "set_to")
_TOPS_KEPT = 400


class TopsSeen:
    """The tops that were shown, in a line each, so that a later one can be held against them."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._lines: OrderedDict[tuple[str, int], TopLine] = OrderedDict()

    def put(self, job: str, line: TopLine) -> None:
        with self._lock:
            self._lines[job, line.version] = line
            while len(self._lines) > _TOPS_KEPT:
                self._lines.popitem(last=False)

    def before(self, job: str, version: int) -> TopLine | None:
        """The latest top that was shown of the job at or before a version."""
        with self._lock:
            known = [v for one, v in self._lines if one == job and v <= version]
            return self._lines[job, max(known)] if known else None


def tops_seen(request: Request) -> TopsSeen:
    state = request.app.state
    if not hasattr(state, "rooms_tops"):
        state.rooms_tops = TopsSeen()
    return cast(TopsSeen, state.rooms_tops)


def tries_of(stored: StoredJob) -> list[FieldState]:
    """The wishes that can be tried on the page of the new top."""
    section = section_at("wishes")
    assert section is not None
    found = {state.of.key: state for state in shown(stored.folder_texts, section, stored.trouble)}
    return [found[key] for key in TRIED]


def compared(request: Request, desk: Desk, *, since: str) -> tuple[TopLine, TopLine] | None:
    """The top as it was at version ``since`` and as it is now; keeps the one now for later."""
    walk, version = desk.walk, desk.seen.walk_version
    if walk is None or version is None:
        return None
    now = top_line(walk, version=version)
    seen = tops_seen(request)
    seen.put(desk.line.id, now)
    if not (since.isdecimal() and len(since) < 10) or desk.seen.state != "fresh":
        return None
    before = seen.before(desk.line.id, int(since))
    return (before, now) if before is not None and before.version != version else None
