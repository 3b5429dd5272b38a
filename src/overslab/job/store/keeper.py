"""What the desk and the carrier of folders need of a store, so that they need not know it."""

from __future__ import annotations

from contextlib import AbstractContextManager
from pathlib import Path
from typing import Any, Protocol

from overslab.job.records import FolderTexts
from overslab.job.store.keeping import Batch
from overslab.job.store.records import Body, Event, KeptEvent, StoredJob, TrayEntry


class Keeper(Protocol):
    """A store; each method says what it does where the store has it."""

    office: str

    def batch(self, *, allowed: frozenset[str] | None) -> AbstractContextManager[Batch]: ...

    def made(
        self, job: str, kind: str, body: Body, *, who: str, seq: int, device: str | None = None
    ) -> Event: ...

    def begin(
        self, name: str, *, who: str, texts: FolderTexts | None = None, sample: bool = False
    ) -> str: ...

    def job(self, job_id: str) -> StoredJob: ...

    def events(
        self, job_id: str, *, since: int = 0, kinds: frozenset[str] | None = None
    ) -> tuple[KeptEvent, ...]: ...

    def tray(
        self, job_id: str | None = None, *, settled: bool = False
    ) -> tuple[TrayEntry, ...]: ...
    def photo(self, sha256: str) -> Path: ...

    def put_photo(self, data: bytes) -> str: ...

    def add_photo(
        self,
        job_id: str,
        data: bytes,
        *,
        who: str,
        about: str = "",
        at: Any = None,
        name: str = "",
        device: str | None = None,
    ) -> str: ...
