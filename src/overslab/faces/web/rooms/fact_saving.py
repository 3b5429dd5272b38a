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

    field: FactField
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


def shown(texts: FolderTexts, section: Section) -> list[FieldState]:
    """The fields of a section with what stands there, and what is wrong with it now."""
    data = section.data(data_of(texts, section.file))
    states = [FieldState(one, text_of(one, data.get(one.key))) for one in fields_of(section.model)]
    if not section.is_new:
        found = _faults(texts)
        for state in states:
            state.faults = _beside(texts, section, state.field.key, found)
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
        given = typed.get(state.field.key)
        if given is None:
            continue
        before, state.typed = state.typed, given
        if given.strip().replace("\r\n", "\n") != before.strip():
            changed[state.field.key] = value_of(state.field, given)
        state.faults = []
    outcome = Outcome(states, stored.version)
    if not changed:
        _show_faults(outcome, stored.folder_texts, section)
        return outcome
    try:
        after = applied(stored.folder_texts, section, changed)
    except CannotApply as trouble:
        outcome.refused = True
        outcome.above = (faults.CANNOT_PLACE.met(value=section.address, why=str(trouble)),)
        return outcome
    place = _place_of_new(after, section)
    if _show_faults(outcome, after, place, before=_faults(stored.folder_texts)):
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


def _show_faults(
    outcome: Outcome, texts: FolderTexts, section: Section, *, before: tuple[Fault, ...] = ()
) -> bool:
    """Put each fault beside its field; whether any is there that was not there before."""
    found = _faults(texts)
    known = {(one.code, one.value, _where(one)) for one in before}
    fresh = False
    for state in outcome.fields:
        state.faults = _beside(texts, section, state.field.key, found)
        fresh |= any((one.code, one.value, _where(one)) not in known for one in state.faults)
    return fresh


def _where(fault: Fault) -> str:
    """The place without the number of the line, which moves."""
    return fault.place.partition(", ")[2]


def _faults(texts: FolderTexts) -> tuple[Fault, ...]:
    try:
        read_texts(texts)
    except Faulty as trouble:
        return trouble.faults
    return ()


def _beside(
    texts: FolderTexts, section: Section, key: str, found: tuple[Fault, ...]
) -> list[Fault]:
    """The faults that stand at a key of the section, or inside its value."""
    try:
        text = plain_text(text_of_file(texts, section.file), file=section.file)
        words = Checked(text, file=section.file).place(*section.path, key).partition(", ")[2]
    except Faulty:
        return []
    return [
        one
        for one in found
        if one.place.startswith(section.file)
        and (_where(one) == words or _where(one).startswith(f"{words} "))
    ]


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
            state = next((one for one in outcome.fields if one.field.key == key), None)
            if state is None:
                outcome.above = stale.faults
                continue
            state.faults = list(stale.faults)
            state.theirs = _theirs(store, job_id, section, state.field)
            outcome.version = stale.version


def _theirs(store: Store, job_id: str, section: Section, field_: FactField) -> str:
    """What stands at a key now."""
    data = section.data(data_of(store.job(job_id).folder_texts, section.file))
    return text_of(field_, data.get(field_.key)) or "nothing"
