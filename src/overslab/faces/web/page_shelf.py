"""Pages that were made before, kept in memory up to a size."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Hashable

_MOST_BYTES = 32 * 1024 * 1024


class MadePages:
    """Pages by what they were made from; those that nobody asked for longest are let go."""

    def __init__(self, *, most_bytes: int = _MOST_BYTES) -> None:
        self._most = most_bytes
        self._lock = threading.Lock()
        self._pages: OrderedDict[Hashable, bytes] = OrderedDict()
        self._size = 0

    def find(self, key: Hashable) -> bytes | None:
        with self._lock:
            found = self._pages.get(key)
            if found is not None:
                self._pages.move_to_end(key)
            return found

    def clear(self) -> None:
        with self._lock:
            self._pages.clear()
            self._size = 0

    def keep(self, key: Hashable, content: bytes) -> None:
        with self._lock:
            self._size += len(content) - len(self._pages.pop(key, b""))
            self._pages[key] = content
            while self._size > self._most:
                _, gone = self._pages.popitem(last=False)
                self._size -= len(gone)
