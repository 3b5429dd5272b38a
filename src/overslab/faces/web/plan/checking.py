"""What a change on the plan would bring: new faults, told beside what they are about."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from overslab.faces.documents.floor_lines import FloorLine
from overslab.faces.web.field.crewdata import floor_of
from overslab.faces.web.field.floor import Floor
from overslab.faces.web.plan import faults
from overslab.faces.web.plan.places import Point, read_place
from overslab.faces.web.plan.things import Change, Draft, drafts_in, entries_of, facts_in
from overslab.ground.faults import Fault, Faulty
from overslab.job import read_texts
from overslab.job.records import FolderTexts
from overslab.job.store.facts import CannotApply, with_value, without

_PENS = {"outline": "outline", "break": "break", "door": "opening", "hollow": "zone"}


@dataclass(frozen=True, slots=True)
class Told:
    """Faults by where they belong: to a row, to a field, or to the thing as a whole."""

    rows: dict[int, list[Fault]]
    fields: dict[str, list[Fault]]
    whole: list[Fault]

    @property
    def any(self) -> bool:
        return bool(self.rows or self.fields or self.whole)

    def all(self) -> list[Fault]:
        beside = [one for found in (*self.rows.values(), *self.fields.values()) for one in found]
        return [*beside, *self.whole]


def changed_texts(texts: FolderTexts, changes: Sequence[Change]) -> FolderTexts:
    """The texts as they would be. Raises ``CannotApply`` when a path leads nowhere any more."""
    job_toml = texts.job_toml
    for change in changes:
        if change.kind == "fact-set":
            job_toml = with_value(job_toml, change.path, change.value)
        else:
            job_toml = without(job_toml, change.path)
    return replace(texts, job_toml=job_toml)


def new_faults(
    texts: FolderTexts, changes: Sequence[Change], *, known: Sequence[Fault]
) -> list[Fault]:
    """Faults that these changes would bring into the job; those it has already are left out."""
    try:
        after = changed_texts(texts, changes)
        read_texts(after)
    except CannotApply as trouble:
        return [faults.THING_UNKNOWN.met(value=str(trouble))]
    except Faulty as trouble:
        # The line of the file may have moved; the words and the value have not.
        old = {(fault.code, fault.what, fault.value) for fault in known}
        return [one for one in trouble.faults if (one.code, one.what, one.value) not in old]
    return []


def beside(draft: Draft, found: Sequence[Fault]) -> Told:
    """Each fault with the row or field it is about."""
    told = Told({}, {}, [])
    row_of = re.compile(rf"\b{draft.sort.corners} (\d+)(?: [12])?$")
    for fault in found:
        row = row_of.search(fault.place)
        number = int(row[1]) - 1 if row else -1
        key = next((e.key for e in entries_of(draft) if fault.place.endswith(f" {e.key}")), None)
        if key is None and fault.code in (faults.NAME_TAKEN.code, faults.NAME_MISSING.code):
            key = "name"
        if 0 <= number < len(draft.rows):
            told.rows.setdefault(number, []).append(fault)
        elif key is not None:
            told.fields.setdefault(key, []).append(fault)
        else:
            told.whole.append(fault)
    return told


def name_faults(draft: Draft, others: Sequence[Draft]) -> list[Fault]:
    """A thing is spoken of by its name, so it has one of its own."""
    if draft.sort.code == "outline":
        return []
    if not draft.name:
        return [faults.NAME_MISSING.met(value="nothing", kind=draft.sort.one)]
    taken = any(one.sort == draft.sort and one.was == draft.name for one in others)
    if taken and draft.name != draft.was:
        return [faults.NAME_TAKEN.met(value=draft.name, kind=draft.sort.one)]
    return []


def spots_of(draft: Draft, *, floor: Floor) -> list[Point | None]:
    """The corners in plan metres; None for those that cannot be read."""
    found: list[Point | None] = []
    for number, (x, y) in enumerate(draft.rows, 1):
        try:
            found.append(read_place(x, y, floor=floor, about=f"corner {number}"))
        except Faulty:
            found.append(None)
    return found


def lines_in(job_toml: str, *, but: Draft | None = None) -> list[FloorLine]:
    """All that is drawn of the floor as typed, but for the thing being edited."""
    floor = floor_of(job_toml)
    found = []
    for draft in drafts_in(facts_in(job_toml)):
        if but is not None and (draft.sort, draft.was) == (but.sort, but.was):
            continue
        points = [spot for spot in spots_of(draft, floor=floor) if spot is not None]
        if draft.by_edge:
            points = list(door_ends(draft, floor=floor))
        if len(points) > 1:
            sort = draft.sort
            found.append(
                FloorLine(sort.code, draft.name, tuple(points), sort.closed, _PENS[sort.code])
            )
    return found + _others(floor)


def door_ends(draft: Draft, *, floor: Floor) -> tuple[Point, ...]:
    """The two ends of a door given along an edge, as far as they can be read."""
    plotter = floor.plotter
    if plotter is None or floor.facts is None:
        return ()
    before = len(plotter.found)
    for at, door in enumerate(floor.facts.doors):
        if door.name == draft.was:
            ends = plotter.door(door, at)
            del plotter.found[before:]  # the floor is kept; looking must not add to its faults
            return ends or ()
    return ()


def _others(floor: Floor) -> list[FloorLine]:
    """Holes, pits, trenches and pads: seen here, edited elsewhere."""
    if floor.plotter is None:
        return []
    before = len(floor.plotter.found)
    plan = floor.plotter.plan(openings=(), drains=())
    del floor.plotter.found[before:]
    lines = [FloorLine("hole", one.name, one.corners, True, "hole") for one in plan.holes]
    lines += [FloorLine(one.kind, one.name, one.corners, True, "feature") for one in plan.features]
    return [line for line in lines if len(line.points) > 1]
