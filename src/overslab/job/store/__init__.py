"""The store: every action of a person as one event, and the job as its events say."""

from overslab.job.store.kinds import CREW_KINDS, KINDS
from overslab.job.store.records import (
    DeviceLine,
    Event,
    Health,
    JobLine,
    Kept,
    KeptEvent,
    NotKept,
    Skipped,
    Stale,
    StoredJob,
    Thing,
    Tray,
    TrayEntry,
)
from overslab.job.store.store import Store

__all__ = [
    "CREW_KINDS",
    "KINDS",
    "DeviceLine",
    "Event",
    "Health",
    "JobLine",
    "Kept",
    "KeptEvent",
    "NotKept",
    "Skipped",
    "Stale",
    "Store",
    "StoredJob",
    "Thing",
    "Tray",
    "TrayEntry",
]
