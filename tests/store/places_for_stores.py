"""Where the stores of the tests lie."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from overslab.job.store import Store


@dataclass(frozen=True)
class Place:
    """Where a store lies, and how it is opened there."""

    url: str
    data: Path

    def open(self, *, backup: bool = False, read_only: bool = False) -> Store:
        return Store.open(self.url, data=self.data, backup=backup, read_only=read_only)
