"""A form of facts held against the job before it is kept, and kept key by key.

A change that its own field cannot mean is not kept: the form comes back with what was typed and
the fault beside it. What a change does to other parts of the job is told there, and does not hold
it up: a door is renamed before the wish that names it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from overslab.faces.web.rooms import faults
from overslab.faces.web.rooms.fact_fields import FactField, Section, fields_of, text_of, value_of
from overslab.ground.faults import Fault, Faulty
from overslab.job import FolderTexts, read_texts
from overslab.job.checking import Checked
from overslab.job.files import parse_toml, plain_text
from overslab.job.store import Stale, Store
from overslab.job.store.facts import CannotApply, with_value, without


@dataclass(slots=True)
class FieldState:
    """A field as the form shows it."""

    of: FactField
    typed: str
    faults: list[Fault] = field(default_factory=list)
    theirs: str | None = None  # what somebody else wrote meanwhile


@dataclass(slots=True)
class Outcome:
    """``kept``: how many keys were changed. Faults of the whole form stand in ``above``."""

    fields: list[FieldState]
    version: int
    kept: int = 0
    refused: bool = False
    above: tuple[Fault, ...] = ()


def text_of_file(texts: FolderTexts, file: str) -> str:
    return texts.rates_toml if file == "rates.toml" else texts.job_toml


def data_of(texts: FolderTexts, file: str) -> dict[str, Any]:
    """The file as plain data; nothing when it cannot be read at all."""
    try:
        return parse_toml(plain_text(text_of_file(texts, file), file=file), file=file)
    except Faulty:
        return {}


def shown(texts: FolderTexts, section: Section, found: tuple[Fault, ...] = ()) -> list[FieldState]:
    """The fields of a section with what stands there; ``found`` are the faults of the job."""
    data = section.data(data_of(texts, section.file))
    states = [FieldState(one, text_of(one, data.get(one.key))) for one in fields_of(section.model)]
    if not section.is_new:
        _put_beside(states, texts, section, found)
    return states


def save(
    store: Store,
    job_id: str,
    section: Section,
    typed: Mapping[str, str],
    *,
    based_on: int,
    who: str,
    device: str,
) -> Outcome:
    """Keep what was changed of a section. Raises ``NotKept`` when the store cannot take it."""
    stored = store.job(job_id)
    states = shown(stored.folder_texts, section)
    changed: dict[str, Any] = {}
    for state in states:
        given = typed.get(state.of.key)
        if given is None:
            continue
        before, state.typed = state.typed, given
        if given.strip().replace("\r\n", "\n") != before.strip():
            changed[state.of.key] = value_of(state.of, given)
        state.faults = []
    outcome = Outcome(states, stored.version)
    if not changed:
        _put_beside(states, stored.folder_texts, section, stored.trouble)
        return outcome
    try:
        after = applied(stored.folder_texts, section, changed)
    except CannotApply as trouble:
        outcome.refused = True
        outcome.above = (faults.CANNOT_PLACE.met(value=section.address, why=str(trouble)),)
        return outcome
    _put_beside(states, after, _place_of_new(after, section), _faults(after))
    known = {_told(one) for one in stored.trouble}
    if any(_told(one) not in known for state in states for one in state.faults):
        outcome.refused = True
        return outcome
    _keep(store, job_id, section, changed, outcome, based_on=based_on, who=who, device=device)
    return outcome


def applied(texts: FolderTexts, section: Section, changed: Mapping[str, Any]) -> FolderTexts:
    """The texts as they would be. Raises ``CannotApply``."""
    text = text_of_file(texts, section.file)
    if section.is_new:
        given = {key: value for key, value in changed.items() if value is not None}
        text = with_value(text, (*section.path[:-1], "+"), given)
    else:
        for key, value in changed.items():
            path = (*section.path, key)
            if value is not None:
                text = with_value(text, path, value)
            elif key in section.data(data_of(texts, section.file)):
                text = without(text, path)
    if section.file == "rates.toml":
        return replace(texts, rates_toml=text)
    return replace(texts, job_toml=text)


def _place_of_new(texts: FolderTexts, section: Section) -> Section:
    """Where a new section of a list stands once it was put there."""
    if not section.is_new:
        return section
    inside: Any = data_of(texts, section.file)
    for part in section.path[:-1]:
        inside = inside[part]
    return replace(section, path=(*section.path[:-1], len(inside) - 1))


def _put_beside(
    states: list[FieldState], texts: FolderTexts, section: Section, found: tuple[Fault, ...]
) -> None:
    """Each fault beside the field at whose key it stands, or inside whose value."""
    own = [one for one in found if one.place.startswith(section.file)]
    if not own:
        return
    try:
        text = plain_text(text_of_file(texts, section.file), file=section.file)
        checked = Checked(text, file=section.file)
    except Faulty:
        return
    for state in states:
        words = checked.place(*section.path, state.of.key).partition(", ")[2]
        state.faults = [
            one for one in own if _where(one) == words or _where(one).startswith(f"{words} ")
        ]


def _told(fault: Fault) -> tuple[str, str, str]:
    """What makes a fault the same one after lines have moved."""
    return (fault.code, fault.value, _where(fault))


def _where(fault: Fault) -> str:
    """The place without the number of the line, which moves."""
    return fault.place.partition(", ")[2]


def _faults(texts: FolderTexts) -> tuple[Fault, ...]:
    try:
        read_texts(texts)
    except Faulty as trouble:
        return trouble.faults
    return ()


def _keep(
    store: Store,
    job_id: str,
    section: Section,
    changed: Mapping[str, Any],
    outcome: Outcome,
    *,
    based_on: int,
    who: str,
    device: str,
) -> None:
    """One event a key; a new section of a list is one event."""
    rates = section.file == "rates.toml"
    if section.is_new:
        given = {key: value for key, value in changed.items() if value is not None}
        edits = [("", (*section.path[:-1], "+"), given)]
    else:
        edits = [(key, (*section.path, key), value) for key, value in changed.items()]
    for key, path, value in edits:
        kind = "rates-set" if rates else "fact-removed" if value is None else "fact-set"
        body: dict[str, Any] = {"path": list(path)}
        if kind != "fact-removed":
            body["value"] = value
        try:
            outcome.version = store.change(
                job_id, based_on=based_on, kind=kind, body=body, who=who, device=device
            )
            outcome.kept += 1
        except Stale as stale:
            outcome.refused = True
            state = next((one for one in outcome.fields if one.of.key == key), None)
            if state is None:
                outcome.above = stale.faults
                continue
            state.faults = list(stale.faults)
            state.theirs = _theirs(store, job_id, section, state.of)
            outcome.version = stale.version


def _theirs(store: Store, job_id: str, section: Section, field_: FactField) -> str:
    """What stands at a key now."""
    data = section.data(data_of(store.job(job_id).folder_texts, section.file))
    return text_of(field_, data.get(field_.key)) or "nothing"
