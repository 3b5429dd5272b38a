"""A job as the crew's phones hold it: an allow list of fields, none of which can hold a price."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import Any

from overslab.faces.web.field.floor import (
    Floor,
    benchmarks_of,
    drawn,
    grid_of,
    place_m,
    read_floor,
    reading_m,
    wanted_of,
)
from overslab.job.store import DeviceLine, JobLine, StoredJob, Thing

CELLS = ("point", "x", "y", "grid", "setup", "reading", "kind", "note")


@lru_cache(maxsize=32)
def floor_of(job_toml: str) -> Floor:
    """The floor of a job file; kept, for it is asked for far more often than it changes."""
    return read_floor(job_toml)


@lru_cache(maxsize=32)
def _still(job_toml: str) -> dict[str, Any]:
    """What changes only with the job file."""
    floor = floor_of(job_toml)
    return {
        "rod": floor.rod,
        "units": floor.system,
        "step_m": floor.step_m,
        "benchmarks": benchmarks_of(floor),
        "floor": drawn(floor),
        "grid": grid_of(floor),
        "wanted": wanted_of(floor),
        "faults": floor.faults,
    }


def crew_job(
    stored: StoredJob, devices: Iterable[DeviceLine], *, hidden: frozenset[str] = frozenset()
) -> dict[str, Any]:
    """Everything the field pages show of a job; ``hidden`` are ids of notes kept from phones."""
    shown = [thing for thing in stored.things if thing.id not in hidden]
    floor = floor_of(stored.folder_texts.job_toml)
    return {
        "id": stored.id,
        "name": stored.name,
        "sample": stored.sample,
        "version": stored.version,
        "updated_at": stored.updated_at,
        **_still(stored.folder_texts.job_toml),
        "shots": [_shot(thing, floor) for thing in stored.shots],
        "notes": [_note(thing) for thing in shown if thing.kind == "note"],
        "tickets": [_ticket(thing) for thing in shown if thing.kind == "ticket"],
        "devices": {
            line.device: {"last": line.last_seq, "missing": list(line.missing)} for line in devices
        },
    }


def _shot(thing: Thing, floor: Floor) -> dict[str, Any]:
    cells = {name: str(thing.body.get(name) or "") for name in CELLS}
    at = place_m(cells, floor=floor)
    return {
        "id": thing.id,
        "event": thing.event,
        **cells,
        "reading_m": reading_m(cells["reading"], rod=floor.rod),
        "x_m": at[0] if at else None,
        "y_m": at[1] if at else None,
        "struck": thing.struck,
        "who": thing.who,
    }


def _note(thing: Thing) -> dict[str, Any]:
    return {
        "id": thing.id,
        "text": str(thing.body.get("text", "")),
        "about": str(thing.body.get("about", "")),
        "struck": thing.struck,
        "who": thing.who,
        "made_at": thing.made_at,
    }


# What a truck's ticket says and what was done on the slab. The plant's price is not among it.
TICKET_CELLS = (
    "ticket", "truck", "amount", "batched", "arrived", "started", "finished", "water_added",
    "slump", "air", "temperature", "note",
)  # fmt: skip


def _ticket(thing: Thing) -> dict[str, Any]:
    cells = {name: str(thing.body.get(name) or "") for name in TICKET_CELLS}
    return {"id": thing.id, **cells, "struck": thing.struck, "who": thing.who}


def crew_line(line: JobLine) -> dict[str, Any]:
    """A job in the list of the phone."""
    return {
        "id": line.id,
        "name": line.name,
        "sample": line.sample,
        "shots": line.shots,
        "version": line.version,
        "updated_at": line.updated_at,
    }
