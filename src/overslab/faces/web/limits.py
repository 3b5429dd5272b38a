"""How often one phone may ask, and how much it may send."""

from __future__ import annotations

import asyncio
import math
import time
from collections import OrderedDict
from collections.abc import Callable

from starlette.types import Message, Receive

from overslab.faces.web import faults
from overslab.faces.web.refusals import Refused

_MOST_KEYS = 10_000


class Rate:
    """So many a minute for each key, saved up to one minute's worth for a burst."""

    def __init__(self, a_minute: int, *, clock: Callable[[], float] = time.monotonic) -> None:
        self._most = float(a_minute)
        self._clock = clock
        self._left: OrderedDict[str, tuple[float, float]] = OrderedDict()

    def take(self, key: str) -> None:
        """Count one; raises ``Refused`` with how long to wait when there are none left."""
        now = self._clock()
        left, last = self._left.pop(key, (self._most, now))
        left = min(self._most, left + (now - last) * self._most / 60)
        self._left[key] = (left - 1 if left >= 1 else left, now)
        while len(self._left) > _MOST_KEYS:
            self._left.popitem(last=False)
        if left < 1:
            wait = math.ceil((1 - left) * 60 / self._most)
            raise Refused(
                faults.TOO_MANY.met(value="one more", most=int(self._most), wait=wait),
                status=429,
                headers={"Retry-After": str(wait)},
            )


def size_in_words(count: int) -> str:
    return f"{count / 1024 / 1024:g} MB"


def measured(receive: Receive, *, most: int, seconds: float) -> Receive:
    """A body that is refused once it is larger or slower than allowed."""
    got = 0
    loop = asyncio.get_running_loop()
    end = loop.time() + seconds
    whole = False

    async def counted() -> Message:
        nonlocal got, whole
        if whole:
            # After the body only the other side's going away is waited for, however long.
            return await receive()
        try:
            message = await asyncio.wait_for(receive(), max(0.0, end - loop.time()))
        except TimeoutError:
            raise Refused(
                faults.BODY_SLOW.met(value=f"{got} bytes", seconds=f"{seconds:g}"), status=408
            ) from None
        if message["type"] == "http.request":
            got += len(message.get("body", b""))
            whole = not message.get("more_body", False)
            if got > most:
                raise too_large(got, most=most)
        return message

    return counted


def too_large(size: int, *, most: int) -> Refused:
    return Refused(
        faults.BODY_LARGE.met(value=f"{size} bytes", most=size_in_words(most)),
        status=413,
        headers={"Connection": "close"},
    )
