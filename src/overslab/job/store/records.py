"""What the store takes and gives: events as they were typed, jobs as people see them."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal

from overslab.ground.faults import Fault, Faulty
from overslab.job.records import FolderTexts

Body = dict[str, Any]
State = Literal["open", "put-away"]
ThingKind = Literal["shot", "photo", "finding", "ticket", "note"]


@dataclass(frozen=True, slots=True)
class Event:
    """One action of one person. Never changed after it was made."""

    id: str  # 32 lowercase hex digits, 128 random bits, made where and when "keep" was pressed
    job: str  # 32 hex digits
    device: str  # 32 hex digits
    seq: int  # gapless per device and job, from 1
    kind: str  # one of kinds.KINDS
    body: Body  # JSON
    made_at: str  # ISO 8601 with its zone, the device's own clock; never decides an order
    who: str  # name of the person or of the phone


@dataclass(frozen=True, slots=True)
class KeptEvent:
    """An event as it stands in the job: ``arrival`` counts 1, 2, 3 ... without a gap in its job."""

    event: Event
    arrival: int
    received_at: str  # the server's clock
    by_office: bool


@dataclass(frozen=True, slots=True)
class Tray:
    """An event that did not go into the job, and why; it is kept beside."""

    id: str
    code: str
    why: str


@dataclass(frozen=True, slots=True)
class Kept:
    """The answer to a batch: every id of it stands in ``have`` or in ``tray``.

    It exists only after the transaction was committed.
    """

    have: tuple[str, ...]
    tray: tuple[Tray, ...]
    now: str


@dataclass(frozen=True, slots=True)
class TrayEntry:
    """What lies in the tray, for a person of the office to look at."""

    number: int
    event: Event
    received_at: str
    code: str
    why: str
    settled: bool


@dataclass(frozen=True, slots=True)
class JobLine:
    """A job in the list, from its stored summary."""

    id: str
    name: str
    version: int
    shots: int
    updated_at: str
    sample: bool
    state: State
    in_tray: int


@dataclass(frozen=True, slots=True)
class Thing:
    """One thing on the job's list: a shot, a photo, a finding, a ticket, a note.

    ``id`` stays the same when a shot is corrected, ``event`` is the event that gave the content.
    A shot's ``body`` holds the cells as typed: point, x, y, grid, setup, reading, kind, note.
    """

    id: str
    kind: ThingKind
    event: str
    body: Body
    struck: bool
    who: str
    made_at: str
    was: tuple[Body, ...] = ()  # what stood there before it was corrected, oldest first


@dataclass(frozen=True, slots=True)
class DeviceLine:
    """How much of what a device typed has arrived: "57 of 58 arrived" when ``missing`` is (31,)."""

    device: str
    who: str
    arrived: int
    last_seq: int
    missing: tuple[int, ...]
    skew_s: float | None  # its clock less ours when the latest came in, plus the time on the way


@dataclass(frozen=True, slots=True)
class Skipped:
    """An event of the job that has nothing to act upon any more."""

    event: str
    why: str


@dataclass(frozen=True, slots=True)
class StoredJob:
    """A job as its events say."""

    id: str
    name: str
    version: int
    updated_at: str
    sample: bool
    state: State
    folder_texts: FolderTexts
    things: tuple[Thing, ...]
    skipped: tuple[Skipped, ...]
    trouble: tuple[Fault, ...]  # what keeps the texts from being read as a job

    @property
    def shots(self) -> tuple[Thing, ...]:
        """Every shot, struck ones too, in the order of the field book."""
        return tuple(thing for thing in self.things if thing.kind == "shot")


@dataclass(frozen=True, slots=True)
class Health:
    """What a page about the store says."""

    engine: Literal["sqlite", "postgresql"]
    engine_version: str
    schema: str
    journal: str  # "wal", "delete", or the server's own word
    checkpoints: str  # who writes the log back, and why, in words
    synchronous: str
    read_only: str  # empty, or why nothing can be kept now
    newest_backup: Path | None
    last_backup_fault: str
    jobs: int
    events: int
    in_tray: int
    photos: int
    notes: tuple[str, ...] = field(default=())


class NotKept(Faulty):
    """Nothing of this was kept: the disk is full, the store is read-only or out of reach.

    ``full`` tells a full disk from the rest. What was read before can still be read.
    """

    def __init__(self, fault: Fault, *, full: bool = False) -> None:
        super().__init__(fault)
        self.full = full


class Stale(Faulty):
    """Somebody changed the same thing in between. Both texts are kept: yours lies in the tray."""

    def __init__(self, fault: Fault, *, yours: str, theirs: str, tray: int, version: int) -> None:
        super().__init__(fault)
        self.yours = yours
        self.theirs = theirs
        self.tray = tray
        self.version = version
