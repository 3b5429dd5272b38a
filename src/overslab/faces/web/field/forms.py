"""A shot, a note or a ticket typed into a plain form: the way without scripts."""

from __future__ import annotations

import datetime
import hashlib
import re
from collections.abc import Mapping
from typing import Protocol, get_args

from overslab.faces.web.field import faults
from overslab.faces.web.field.crewdata import CELLS, TICKET_CELLS
from overslab.faces.web.field.floor import Floor
from overslab.ground.faults import Fault, Faulty
from overslab.ground.units import read_rod_m
from overslab.job.shotsfile import GRID_KINDS, MOST_CELL, PLACED_KINDS, place_length_m
from overslab.job.store import CREW_KINDS, Event, Kept, Store
from overslab.job.typed import LABEL
from overslab.shots.records import Kind

KINDS: tuple[str, ...] = get_args(Kind)
_HEX32 = re.compile(r"[0-9a-f]{32}")

Found = dict[str, list[Fault]]  # faults by the field they stand beside


class Say(Protocol):
    def __call__(self, field: str, *met: Fault) -> None: ...


def shot_cells(form: Mapping[str, str]) -> dict[str, str]:
    """The cells of a shot as typed, and nothing else of the form."""
    return {name: str(form.get(name, "")).strip()[:500] for name in CELLS}


def shot_faults(cells: dict[str, str], *, floor: Floor) -> Found:
    """What keeps these cells from being a shot of this survey."""
    found: Found = {}

    def say(field: str, *met: Fault) -> None:
        found.setdefault(field, []).extend(met)

    if not cells["point"] or len(cells["point"]) > MOST_CELL["point"]:
        say("point", faults.POINT_EMPTY.met(value=cells["point"][:60] or "nothing"))
    if not cells["setup"] or len(cells["setup"]) > MOST_CELL["setup"]:
        say("setup", faults.SETUP_EMPTY.met(value=cells["setup"][:60] or "nothing"))
    if cells["kind"] not in KINDS:
        known = ", ".join(KINDS)
        say("kind", faults.KIND_UNKNOWN.met(value=cells["kind"][:60] or "nothing", known=known))
    try:
        read_rod_m(cells["reading"], system=floor.rod)
    except Faulty as trouble:
        say("reading", *trouble.faults)
    for axis in ("x", "y"):
        if cells[axis]:
            try:
                place_length_m(cells[axis], system=floor.system)
            except Faulty as trouble:
                say(axis, *trouble.faults)
    _place_faults(cells, floor=floor, say=say)
    return found


def _place_faults(cells: dict[str, str], *, floor: Floor, say: Say) -> None:
    given = [axis for axis in ("x", "y") if cells[axis]]
    if len(given) == 1:
        say("xy"[given == ["x"]], faults.PLACE_HALF.met(value=f"{given[0]} {cells[given[0]]}"))
        return
    tape = floor.plotter.tape if floor.plotter else None
    by_name = cells["kind"] in GRID_KINDS and LABEL.fullmatch(cells["point"])
    label = cells["grid"] or (cells["point"] if by_name and not given else "")
    if label and tape is not None:
        try:
            tape.find(label)
        except Faulty as trouble:
            say("point", *trouble.faults)
    elif not given and cells["kind"] in PLACED_KINDS:
        say("x", faults.PLACE_HALF.met(value="neither x nor y, and no label of the taped grid"))


def ticket_cells(form: Mapping[str, str]) -> dict[str, str]:
    cells = {name: str(form.get(name, "")).strip()[:500] for name in TICKET_CELLS}
    return {name: text for name, text in cells.items() if text}


def keep_typed(
    store: Store, *, job: str, kind: str, body: dict[str, object], entry: str, device: str, who: str
) -> Kept:
    """One event made from a form. The same form sent twice is one event: ``entry`` is its id."""
    # A row of numbers of its own: the office's edits count under the device of the session.
    device = hashlib.sha256(f"form {device}".encode()).hexdigest()[:32]
    own = [kept.event for kept in store.events(job) if kept.event.device == device]
    now = datetime.datetime.now(datetime.UTC).isoformat(timespec="seconds")
    if any(event.id == entry for event in own):
        return Kept(have=(entry,), tray=(), now=now)
    event = Event(
        id=entry if _HEX32.fullmatch(entry) else hashlib.sha256(now.encode()).hexdigest()[:32],
        job=job,
        device=device,
        seq=max((event.seq for event in own), default=0) + 1,
        kind=kind,
        body=body,
        made_at=now,
        who=who,
    )
    return store.keep([event], allowed=CREW_KINDS)
