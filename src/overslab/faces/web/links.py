"""Private links for a customer: one document each, with an end, taken back by one press."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import dataclass

from overslab.faces.web import faults
from overslab.faces.web.doors import Doors, Value, hashed, new_id, new_token
from overslab.ground.faults import Faulty

USUAL_DAYS, LEAST_DAYS, MOST_DAYS = 30, 1, 365
_COLUMNS = "select id, job, document, made_out_to, made_at, ends_at, revoked_at, views from link"
_BY_TOKEN = _COLUMNS + " where token_hash = ?"
_BY_ID = _COLUMNS + " where id = ?"
_NEWEST_FIRST = _COLUMNS + " order by made_at desc"


@dataclass(frozen=True, slots=True)
class Link:
    """What the office sees of a link; the address itself is shown once."""

    id: str
    job: str
    document: str
    made_out_to: str
    made_at: datetime.datetime
    ends_at: datetime.datetime
    revoked_at: str
    views: int


class Links:
    """Every link that was made."""

    def __init__(self, doors: Doors, *, now: Callable[[], datetime.datetime]) -> None:
        self._doors = doors
        self._now = now

    def make(self, *, job: str, document: str, made_out_to: str, days: int) -> tuple[str, Link]:
        """A new link; gives its token, kept nowhere. Raises ``Faulty`` for a life out of bounds."""
        if not LEAST_DAYS <= days <= MOST_DAYS:
            raise Faulty(faults.LINK_DAYS.met(value=days, least=LEAST_DAYS, most=MOST_DAYS))
        token, now = new_token(), self._now()
        ends = now + datetime.timedelta(days=days)
        made = Link(new_id()[:16], job, document, made_out_to[:120], now, ends, "", 0)
        self._doors.write(
            "insert into link (id, token_hash, job, document, made_out_to, made_at, ends_at)"
            " values (?, ?, ?, ?, ?, ?, ?)",
            (
                made.id,
                hashed(token),
                job,
                document,
                made.made_out_to,
                now.isoformat(),
                ends.isoformat(),
            ),
        )
        return token, made

    def open(self, token: str) -> Link:
        """The link of a token. Raises ``Faulty`` when it ended, was taken back, or never was."""
        return self._alive(self._doors.read(_BY_TOKEN, (hashed(token),)))

    def alive(self, link_id: str) -> Link:
        """The link, if it may still be looked at; asked at every request."""
        return self._alive(self._doors.read(_BY_ID, (link_id,)))

    def count(self, link_id: str) -> None:
        """One more view."""
        self._doors.write("update link set views = views + 1 where id = ?", (link_id,))

    def revoke(self, link_id: str) -> bool:
        """Take a link back, at once; False when there is none to take back."""
        order = "update link set revoked_at = ? where id = ? and revoked_at = ''"
        return self._doors.write(order, (self._now().isoformat(), link_id)) == 1

    def listed(self) -> tuple[Link, ...]:
        """Every link, the newest first."""
        return tuple(_link(row) for row in self._doors.read(_NEWEST_FIRST))

    def _alive(self, rows: list[tuple[Value, ...]]) -> Link:
        found = _link(rows[0]) if rows else None
        if found is None or found.revoked_at or found.ends_at <= self._now():
            raise Faulty(faults.LINK_DEAD.met(value="this link"))
        return found


def _link(row: tuple[Value, ...]) -> Link:
    link_id, job, document, made_out_to, made_at, ends_at, revoked_at, views = row
    return Link(
        id=str(link_id),
        job=str(job),
        document=str(document),
        made_out_to=str(made_out_to),
        made_at=datetime.datetime.fromisoformat(str(made_at)),
        ends_at=datetime.datetime.fromisoformat(str(ends_at)),
        revoked_at=str(revoked_at),
        views=int(views),
    )
