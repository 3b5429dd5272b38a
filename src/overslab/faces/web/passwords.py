"""The one office password, for the office away from the laptop; kept as its argon2id hash."""

from __future__ import annotations

import anyio
import anyio.to_thread
from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from overslab.faces.web import faults
from overslab.faces.web.doors import Doors
from overslab.ground.faults import Fault, Faulty

LEAST_SIGNS, MOST_SIGNS = 15, 200
_NAME = "office-password"
# Each hash takes 64 MB and a good part of a second on purpose: never more than two at a time.
_AT_ONCE = 2


class Passwords:
    """Set, check and take away the office password, off the event loop."""

    def __init__(self, doors: Doors) -> None:
        self._doors = doors
        self._hasher = PasswordHasher()
        self._room = anyio.CapacityLimiter(_AT_ONCE)

    @property
    def is_set(self) -> bool:
        return bool(self._doors.said(_NAME))

    async def set(self, password: str, *, again: str) -> None:
        """Keep a new password. Raises ``Faulty`` when it is too short, too long or mistyped."""
        found: list[Fault] = []
        if not LEAST_SIGNS <= len(password) <= MOST_SIGNS:
            found.append(
                faults.PASSWORD_SHORT.met(
                    value=f"{len(password)} signs", least=LEAST_SIGNS, most=MOST_SIGNS
                )
            )
        if password != again:
            found.append(faults.PASSWORD_TWICE.met(value="two that differ"))
        if found:
            raise Faulty(found)
        made = await anyio.to_thread.run_sync(self._hasher.hash, password, limiter=self._room)
        self._doors.say(_NAME, made)

    def remove(self) -> None:
        """Without a password the laptop itself is the office, and nobody else can be."""
        self._doors.say(_NAME, "")

    async def is_right(self, password: str) -> bool:
        """Whether this is it; takes as long when no password is set as when it is wrong."""
        kept = self._doors.said(_NAME)
        if len(password) > MOST_SIGNS:
            return False
        if not kept:
            await anyio.to_thread.run_sync(self._hasher.hash, password, limiter=self._room)
            return False
        try:
            await anyio.to_thread.run_sync(self._hasher.verify, kept, password, limiter=self._room)
        except (VerificationError, InvalidHashError):
            return False
        return True
