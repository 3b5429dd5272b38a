"""Who is signed in: kept on this side, known by a random token, ended at once when asked."""

from __future__ import annotations

import datetime
import threading
from collections.abc import Callable
from dataclasses import dataclass, replace

from overslab.faces.web.doors import Doors, hashed, new_id, new_token
from overslab.faces.web.roles import Role

# A cookie of one name is never taken for another: what travelled in the open stays in the open.
SECURE_COOKIE = "__Host-s"  # https: the browser itself keeps it to this host, path / and https
OPEN_COOKIE = "crew-open"  # plain http from a phone: crew only
DESK_COOKIE = "desk"  # plain http on the laptop itself
_CUSTOMER_IDLE = datetime.timedelta(hours=12)
_TOUCH = datetime.timedelta(minutes=1)


@dataclass(frozen=True, slots=True)
class Session:
    """``id`` may be shown; the token is known to the browser alone."""

    id: str
    role: Role
    who: str
    device: str
    document: str
    secure: bool
    agent: str
    begun_at: datetime.datetime
    seen_at: datetime.datetime


class Sessions:
    """All sessions that have not ended, held in memory and in the book."""

    def __init__(
        self,
        doors: Doors,
        *,
        idle: dict[Role, datetime.timedelta],
        now: Callable[[], datetime.datetime],
    ) -> None:
        self._doors = doors
        self._idle = {Role.CUSTOMER: _CUSTOMER_IDLE, **idle}
        self._now = now
        self._lock = threading.Lock()
        self._open: dict[bytes, Session] = {}
        for row in doors.read(
            "select token_hash, id, role, who, device, document, secure, agent, begun_at, seen_at"
            " from session where ended_at = ''"
        ):
            token_hash, *rest = row
            assert isinstance(token_hash, bytes)
            self._open[token_hash] = _session(*rest)

    def begin(
        self,
        role: Role,
        *,
        who: str,
        secure: bool,
        agent: str,
        device: str = "",
        document: str = "",
    ) -> tuple[str, Session]:
        """A new session under a new token; gives the token, which is kept nowhere."""
        token, now = new_token(), self._now()
        made = Session(
            id=new_id()[:16],
            role=role,
            who=who,
            device=device or new_id(),
            document=document,
            secure=secure,
            agent=agent[:200],
            begun_at=now,
            seen_at=now,
        )
        self._doors.write(
            "insert into session (id, token_hash, role, who, device, document, secure, agent,"
            " begun_at, seen_at) values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            (
                made.id,
                hashed(token),
                made.role.value,
                made.who,
                made.device,
                made.document,
                int(made.secure),
                made.agent,
                now.isoformat(),
                now.isoformat(),
            ),
        )
        with self._lock:
            self._open[hashed(token)] = made
        return token, made

    def find(self, token: str, *, secure: bool) -> Session | None:
        """The session of a token, unless it has been idle too long or came over the wrong line."""
        key, now = hashed(token), self._now()
        with self._lock:
            found = self._open.get(key)
        if found is None or found.secure != secure:
            return None
        if now - found.seen_at > self._idle[found.role]:
            self.end(found.id)
            return None
        if now - found.seen_at > _TOUCH:
            found = replace(found, seen_at=now)
            with self._lock:
                # It may have been ended while we looked; ended stays ended.
                if key not in self._open:
                    return None
                self._open[key] = found
            self._doors.write(
                "update session set seen_at = ? where id = ?", (now.isoformat(), found.id)
            )
        return found

    def end(self, session_id: str) -> bool:
        """End one session, at once; False when there is none."""
        with self._lock:
            keys = [key for key, one in self._open.items() if one.id == session_id]
            for key in keys:
                del self._open[key]
        self._doors.write(
            "update session set ended_at = ? where id = ? and ended_at = ''",
            (self._now().isoformat(), session_id),
        )
        return bool(keys)

    def end_all(self, role: Role, *, but: str = "", document: str | None = None) -> int:
        """End every session of a role (of one document); gives how many."""
        with self._lock:
            ids = [
                one.id
                for one in self._open.values()
                if one.role == role and one.id != but and document in (None, one.document)
            ]
        return sum(self.end(one) for one in ids)

    def listed(self, role: Role) -> tuple[Session, ...]:
        """Sessions of a role that may still be used, the latest seen first."""
        now = self._now()
        with self._lock:
            found = [
                one
                for one in self._open.values()
                if one.role == role and now - one.seen_at <= self._idle[role]
            ]
        return tuple(sorted(found, key=lambda one: one.seen_at, reverse=True))


def _session(*row: object) -> Session:
    session_id, role, who, device, document, secure, agent, begun_at, seen_at = row
    return Session(
        id=str(session_id),
        role=Role(str(role)),
        who=str(who),
        device=str(device),
        document=str(document),
        secure=bool(secure),
        agent=str(agent),
        begun_at=datetime.datetime.fromisoformat(str(begun_at)),
        seen_at=datetime.datetime.fromisoformat(str(seen_at)),
    )
