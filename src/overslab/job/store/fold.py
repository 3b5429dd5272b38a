"""The job as its events say: the one place where an event is given its meaning.

Events are taken in the order in which they arrived, except that those of one device stay in the
order in which they were typed. The clock of a phone orders nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from overslab.job.records import FolderTexts
from overslab.job.store import facts
from overslab.job.store.book import CELLS, ShotLine, line_id, rows_of, written
from overslab.job.store.facts import CannotApply
from overslab.job.store.kinds import NEVER_UNDONE
from overslab.job.store.records import Body, KeptEvent, Skipped, State, Thing, ThingKind

WAITS = "what it speaks of has not arrived"
_THINGS: dict[str, ThingKind] = {
    "photo-added": "photo",
    "finding-kept": "finding",
    "ticket-kept": "ticket",
    "note-kept": "note",
}


@dataclass(slots=True)
class Fold:
    """A job while its events are told over; ``changed`` names the things touched since it was
    emptied. ``apply`` either takes an event whole or leaves everything as it was.
    """

    id: str
    name: str = ""
    sample: bool = False
    state: State = "open"
    version: int = 0
    updated_at: str = ""
    job_toml: str = ""
    rates_toml: str = ""
    shots_base: str = ""
    things: dict[str, Thing] = field(default_factory=dict)
    lines: dict[str, int] = field(default_factory=dict)  # shots that came as a line of the file
    skipped: dict[str, str] = field(default_factory=dict)
    waiting: dict[str, list[KeptEvent]] = field(default_factory=dict)
    alias: dict[str, str] = field(default_factory=dict)  # a correction's event: its shot
    last_seq: dict[str, int] = field(default_factory=dict)
    changed: set[str] = field(default_factory=set)
    rewritten: bool = False  # things were taken out or came into another order

    def needs_retelling(self, kept: KeptEvent) -> bool:
        """Whether this event changes what came before it, so that all is to be told over again."""
        event = kept.event
        return event.kind == "undone" or event.seq <= self.last_seq.get(event.device, 0)

    def apply(self, kept: KeptEvent) -> str | None:
        """Take the next event; gives why it could not be taken, or None."""
        try:
            self._act(kept)
        except CannotApply as trouble:
            return str(trouble)
        self.note(kept)
        return None

    def note(self, kept: KeptEvent) -> None:
        """That an event has arrived, whatever it does."""
        event = kept.event
        self.version = max(self.version, kept.arrival)
        self.updated_at = max(self.updated_at, kept.received_at)
        self.last_seq[event.device] = max(event.seq, self.last_seq.get(event.device, 0))

    def _act(self, kept: KeptEvent) -> None:
        event, body = kept.event, kept.event.body
        match event.kind:
            case "job-begun":
                self._begin(kept)
            case "fact-set":
                self.job_toml = facts.with_value(self.job_toml, body["path"], body["value"])
            case "fact-removed":
                self.job_toml = facts.without(self.job_toml, body["path"])
            case "rates-set":
                self._rates(body)
            case "text-set":
                self._text(kept)
            case "shot-kept":
                self._add(kept, "shot", {cell: body.get(cell, "") for cell in CELLS})
            case "shot-replaced" | "shot-struck":
                self._amend(kept)
            case "tray-settled":
                pass  # it speaks of the tray, not of the job
            case "job-put-away":
                self.state = "put-away"
            case _:
                if event.kind == "finding-kept" and body.get("path"):
                    self.job_toml = facts.with_value(self.job_toml, body["path"], body.get("value"))
                self._add(kept, _THINGS[event.kind], body)
        whole_file = event.kind == "text-set" and body["file"] == "job.toml"
        if whole_file or (event.kind in ("fact-set", "fact-removed") and body["path"][0] == "job"):
            self._rename()

    def _begin(self, kept: KeptEvent) -> None:
        body = kept.event.body
        self.name, self.sample = body["name"], body.get("sample", False)
        texts = body["texts"]
        self.job_toml, self.rates_toml = texts["job_toml"], texts["rates_toml"]
        self._base(kept, texts["shots_csv"])
        self._rename()

    def _rename(self) -> None:
        name = facts.value_at(self.job_toml, ["job", "name"])
        if isinstance(name, str) and name.strip():
            self.name = name.strip()[:200]

    def _rates(self, body: Body) -> None:
        if body.get("value") is None:
            self.rates_toml = facts.without(self.rates_toml, body["path"])
        else:
            self.rates_toml = facts.with_value(self.rates_toml, body["path"], body["value"])

    def _text(self, kept: KeptEvent) -> None:
        text = kept.event.body["text"]
        match kept.event.body["file"]:
            case "job.toml":
                self.job_toml = text
            case "rates.toml":
                self.rates_toml = text
            case _:
                self._base(kept, text)

    def _base(self, kept: KeptEvent, text: str) -> None:
        """A whole field book; a line that says what a shot here says stays that shot."""
        here: dict[tuple[str, ...], list[Thing]] = {}
        for thing in self.things.values():
            if thing.kind == "shot" and not thing.struck:
                here.setdefault(_said(thing.body), []).append(thing)
        others = {key: one for key, one in self.things.items() if one.kind != "shot"}
        event = kept.event
        shots: dict[str, Thing] = {}
        lines: dict[str, int] = {}
        for line, cells in rows_of(text):
            known = here.get(_said(cells))
            if known:
                thing = replace(known.pop(0), was=())
            else:
                thing = Thing(
                    id=line_id(event.id, line),
                    kind="shot",
                    event=event.id,
                    body=dict(cells),
                    struck=False,
                    who=event.who,
                    made_at=event.made_at,
                )
            shots[thing.id] = thing
            lines[thing.id] = line
        self.shots_base, self.lines = text, lines
        self.things = {**shots, **others}
        self.rewritten = True
        for thing_id in shots:
            self._wake(thing_id)

    def _add(self, kept: KeptEvent, kind: ThingKind, body: Body) -> None:
        event = kept.event
        self.things[event.id] = Thing(
            id=event.id,
            kind=kind,
            event=event.id,
            body=body,
            struck=False,
            who=event.who,
            made_at=event.made_at,
        )
        self.changed.add(event.id)
        self._wake(event.id)

    def _amend(self, kept: KeptEvent) -> None:
        event = kept.event
        of = str(event.body["of"])
        root = self.alias.get(of, of)
        thing = self.things.get(root)
        if thing is None:
            self.waiting.setdefault(of, []).append(kept)
            self.skipped[event.id] = WAITS
            return
        if thing.kind != "shot":
            raise CannotApply("it speaks of something that is no shot")
        if event.kind == "shot-struck":
            self.things[root] = replace(thing, struck=True)
        else:
            cells = {cell: event.body.get(cell, "") for cell in CELLS}
            self.alias[event.id] = root
            self.things[root] = replace(
                thing,
                event=event.id,
                body=cells,
                who=event.who,
                made_at=event.made_at,
                was=(*thing.was, thing.body),
            )
        self.skipped.pop(event.id, None)
        self.changed.add(root)
        self._wake(event.id)

    def _wake(self, arrived: str) -> None:
        for kept in self.waiting.pop(arrived, []):
            try:
                self._amend(kept)
            except CannotApply as trouble:
                self.skipped[kept.event.id] = str(trouble)

    def shots_csv(self) -> str:
        shots = [
            (thing, self.lines.get(key))
            for key, thing in self.things.items()
            if thing.kind == "shot"
        ]
        return shots_text(self.shots_base, shots)

    def texts(self) -> FolderTexts:
        return FolderTexts(
            job_toml=self.job_toml, shots_csv=self.shots_csv(), rates_toml=self.rates_toml
        )


def shots_text(base: str, shots: Iterable[tuple[Thing, int | None]]) -> str:
    """shots.csv from the file it began as and its shots with their lines in it."""
    return written(
        base,
        [
            ShotLine(
                cells=thing.body,
                line=line,
                struck=thing.struck,
                touched=bool(thing.was),
                was=thing.was,
            )
            for thing, line in shots
        ],
    )


def _said(cells: Body) -> tuple[str, ...]:
    return tuple(str(cells.get(cell, "")).strip() for cell in CELLS)


def told(job: str, events: Sequence[KeptEvent]) -> Fold:
    """A job from all its events."""
    cancelled = undone_among(events)
    fold = Fold(id=job, rewritten=True)
    for kept in in_order(events):
        event = kept.event
        if event.kind == "undone":
            if event.id in cancelled.void:
                fold.skipped[event.id] = cancelled.void[event.id]
        elif event.id not in cancelled.ids:
            why = fold.apply(kept)
            if why is not None:
                fold.skipped[event.id] = why
        fold.note(kept)
    return fold


def in_order(events: Sequence[KeptEvent]) -> list[KeptEvent]:
    """Arrival order, with the places that one device holds filled in the order it typed."""
    ordered = sorted(events, key=lambda kept: kept.arrival)
    places: dict[str, list[int]] = {}
    for place, kept in enumerate(ordered):
        if kept.event.kind != "job-begun":
            places.setdefault(kept.event.device, []).append(place)
    result = list(ordered)
    for held in places.values():
        typed = sorted((ordered[place] for place in held), key=lambda kept: kept.event.seq)
        for place, kept in zip(held, typed, strict=True):
            result[place] = kept
    return result


@dataclass(frozen=True, slots=True)
class Cancelled:
    """``ids`` of events that count as not made; ``void``: undos that undo nothing, and why."""

    ids: frozenset[str]
    void: dict[str, str]


def undone_among(events: Sequence[KeptEvent]) -> Cancelled:
    by_id = {kept.event.id: kept for kept in events}
    ids: set[str] = set()
    void: dict[str, str] = {}
    # From the last back, so that an undo that was itself undone does nothing.
    for kept in reversed(in_order(events)):
        if kept.event.kind != "undone" or kept.event.id in ids:
            continue
        of = by_id.get(kept.event.body["of"])
        if of is None:
            void[kept.event.id] = WAITS
        elif of.event.kind in NEVER_UNDONE - {"undone"}:
            void[kept.event.id] = f"an entry of the kind {of.event.kind} stays"
        elif not kept.by_office and of.event.device != kept.event.device:
            void[kept.event.id] = "it is another phone's entry"
        else:
            ids.add(of.event.id)
    return Cancelled(frozenset(ids), void)


def skipped_of(fold: Fold) -> tuple[Skipped, ...]:
    return tuple(Skipped(event, why) for event, why in fold.skipped.items())
