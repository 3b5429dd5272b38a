"""Letting a phone in: a code shown once, a phone that shows it, a person who presses "let in".

Offers and waiting phones live in memory only and die with the program: five minutes are not worth
a disk. Of a code and of a waiting phone's ticket only the hash is held.
"""

from __future__ import annotations

import datetime
import secrets
import threading
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import NamedTuple

from overslab.faces.web import faults
from overslab.faces.web.doors import hashed, new_id, new_token
from overslab.ground.faults import Faulty

LIFE = datetime.timedelta(minutes=5)
LONGEST_NAME = 40
# Without 0 O 1 I L, which are read for one another: 31 signs, 8 of them are 39 bits.
_SIGNS = "ABCDEFGHJKMNPQRSTUVWXYZ23456789"
_CODE_SIGNS = 8
_MOST_WAITING = 50


class Offer(NamedTuple):
    """Shown to the office once; only its hashes are held."""

    token: str
    code: str
    ends_at: datetime.datetime


@dataclass(frozen=True, slots=True)
class Waiting:
    """A phone that showed a good code. ``number`` stands on both screens."""

    id: str
    name: str
    agent: str
    came_from: str
    secure: bool
    number: str
    since: datetime.datetime
    let_in: bool = False


class Pairing:
    """Offers made and phones waiting."""

    def __init__(self, *, now: Callable[[], datetime.datetime]) -> None:
        self._now = now
        self._lock = threading.Lock()
        self._offers: list[tuple[bytes, bytes, datetime.datetime]] = []
        self._waiting: dict[bytes, Waiting] = {}

    def offer(self) -> Offer:
        """A new code for one phone; one that was not used yet ends with it."""
        code = "".join(secrets.choice(_SIGNS) for _ in range(_CODE_SIGNS))
        made = Offer(new_token(), f"{code[:4]}-{code[4:]}", self._now() + LIFE)
        with self._lock:
            self._offers = [(hashed(made.token), hashed(code), made.ends_at)]
        return made

    def show(
        self, *, token: str, code: str, name: str, agent: str, came_from: str, secure: bool
    ) -> tuple[str, Waiting]:
        """A phone shows what it scanned or typed; gives its ticket and its place in the queue.

        The offer is used up by this. Raises ``Faulty`` when the offer is unknown, used or old.
        """
        shown = " ".join(name.split())
        if not 1 <= len(shown) <= LONGEST_NAME or not shown.isprintable():
            raise Faulty(faults.PAIRING_NAME.met(value=name[:80] or "nothing", most=LONGEST_NAME))
        typed = "".join(sign for sign in code.upper() if sign in _SIGNS)
        keys = {hashed(token) if token else b"", hashed(typed) if typed else b""} - {b""}
        now = self._now()
        with self._lock:
            self._offers = [offer for offer in self._offers if offer[2] > now]
            held = [offer for offer in self._offers if {offer[0], offer[1]} & keys]
            if not held or len(self._waiting) >= _MOST_WAITING:
                raise Faulty(
                    faults.PAIRING_WRONG.met(
                        value=code or "a scanned code", minutes=LIFE.seconds // 60
                    )
                )
            self._offers.remove(held[0])
            ticket = new_token()
            waiting = Waiting(
                id=new_id()[:16],
                name=shown,
                agent=agent[:200],
                came_from=came_from,
                secure=secure,
                number=f"{secrets.randbelow(90) + 10}",
                since=now,
            )
            self._waiting[hashed(ticket)] = waiting
        return ticket, waiting

    def queue(self) -> tuple[Waiting, ...]:
        """Phones that wait for the office, the first come first."""
        with self._lock:
            self._forget_old()
            return tuple(one for one in self._waiting.values() if not one.let_in)

    def decide(self, waiting_id: str, *, let_in: bool) -> Waiting:
        """The office lets a phone in or sends it away. Raises ``Faulty`` when it is gone."""
        with self._lock:
            self._forget_old()
            for key, one in self._waiting.items():
                if one.id == waiting_id:
                    if let_in:
                        self._waiting[key] = replace(one, let_in=True)
                    else:
                        del self._waiting[key]
                    return one
        raise Faulty(faults.PHONE_UNKNOWN.met(value=waiting_id[:40]))

    def seen(self, ticket: str) -> Waiting | None:
        """How it stands with a phone that waits."""
        with self._lock:
            self._forget_old()
            return self._waiting.get(hashed(ticket))

    def enter(self, ticket: str) -> Waiting | None:
        """Once: the phone that was let in takes its place; None when it was not."""
        with self._lock:
            self._forget_old()
            found = self._waiting.get(hashed(ticket))
            if found is None or not found.let_in:
                return None
            return self._waiting.pop(hashed(ticket))

    def _forget_old(self) -> None:
        oldest = self._now() - LIFE
        self._waiting = {key: one for key, one in self._waiting.items() if one.since > oldest}
