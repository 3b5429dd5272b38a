"""The kinds of events, and what the body of each must hold."""

from __future__ import annotations

import json
import math
import re
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field, StrictInt, StrictStr, ValidationError

from overslab.ground.faults import Fault
from overslab.job.store import faults
from overslab.job.store.records import Event

MOST_BODY = 64 * 1024  # bytes of one body as JSON
MOST_TEXTS = 8 * 1024 * 1024  # the same for the kinds that carry whole files
MOST_DEEP = 12
MOST_SEQ = 2**31 - 1

_HEX32 = re.compile(r"[0-9a-f]{32}")
_MADE_AT = re.compile(
    r"\d{4}-\d\d-\d\d[T ]\d\d:\d\d(:\d\d(\.\d{1,9})?)?\s?(Z|[+-]\d\d(:?\d\d)?)", re.IGNORECASE
)
# A text may hold line ends and tabs, and no other control character; half characters are none.
_NO_TEXT = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff]")

Id = Annotated[str, Field(strict=True, pattern=r"^[0-9a-f]{32}$")]
Hash = Annotated[str, Field(strict=True, pattern=r"^[0-9a-f]{64}$")]
Line = Annotated[str, Field(strict=True, max_length=500, pattern=r"^[^\r\n]*$")]
Words = Annotated[str, Field(strict=True, max_length=8_000)]
Step = StrictInt | Annotated[StrictStr, Field(min_length=1, max_length=200)]
KeyPath = Annotated[list[Step], Field(min_length=1, max_length=8)]


class _Body(BaseModel):
    model_config = ConfigDict(extra="forbid", hide_input_in_errors=True)


class Texts(_Body):
    job_toml: StrictStr
    shots_csv: StrictStr
    rates_toml: StrictStr


class JobBegun(_Body):
    name: Annotated[StrictStr, Field(max_length=200)]
    texts: Texts
    sample: bool = False


class FactSet(_Body):
    path: KeyPath
    value: Any


class FactRemoved(_Body):
    path: KeyPath


class RatesSet(_Body):
    path: KeyPath
    value: Any = None  # None takes the key out


class TextSet(_Body):
    file: Annotated[StrictStr, Field(pattern=r"^(job\.toml|shots\.csv|rates\.toml)$")]
    text: StrictStr


class ShotKept(_Body):
    point: Line = ""
    x: Line = ""
    y: Line = ""
    grid: Line = ""
    setup: Line = ""
    reading: Line = ""
    kind: Line = ""
    note: Line = ""


class ShotReplaced(ShotKept):
    of: Id


class ShotStruck(_Body):
    of: Id
    why: Line = ""


class PhotoAdded(_Body):
    sha256: Hash
    about: Words = ""
    at: Any = None
    name: Line = ""


class FindingKept(_Body):
    """Words from the floor; with ``path`` and ``value`` they go into job.toml as well."""

    about: Words = ""
    words: Words = ""
    at: Any = None
    photos: list[Hash] = []
    path: KeyPath | None = None
    value: Any = None


class NoteKept(_Body):
    text: Words
    about: Words = ""
    at: Any = None


class TicketKept(BaseModel):
    """Whatever the crew writes down from a truck's ticket: water, slump, times."""

    model_config = ConfigDict(extra="allow", hide_input_in_errors=True)


class Undone(_Body):
    of: Id


class TraySettled(_Body):
    content: Hash  # the fingerprint of what lies in the tray


class JobPutAway(_Body):
    """The job leaves the list; undoing this brings it back."""


_BODIES: dict[str, type[BaseModel]] = {
    "job-begun": JobBegun,
    "fact-set": FactSet,
    "fact-removed": FactRemoved,
    "rates-set": RatesSet,
    "text-set": TextSet,
    "shot-kept": ShotKept,
    "shot-replaced": ShotReplaced,
    "shot-struck": ShotStruck,
    "photo-added": PhotoAdded,
    "finding-kept": FindingKept,
    "ticket-kept": TicketKept,
    "note-kept": NoteKept,
    "undone": Undone,
    "tray-settled": TraySettled,
    "job-put-away": JobPutAway,
}
KINDS: frozenset[str] = frozenset(_BODIES)
# What a phone of the crew may send: nothing of it can carry a price into the job.
CREW_KINDS: frozenset[str] = frozenset(
    {
        "shot-kept",
        "shot-replaced",
        "shot-struck",
        "photo-added",
        "finding-kept",
        "ticket-kept",
        "note-kept",
        "undone",
    }
)
# Parts of job.toml that a finding may write into; none of them holds money or a wish.
FINDING_PARTS = frozenset({"findings", "hollow", "break"})
NEVER_UNDONE = frozenset({"job-begun", "undone", "tray-settled"})


def as_text(body: object, *, ordered: bool = False) -> str:
    """The one way in which a body is written: ASCII, no blanks, keys in the order they came in;
    ``ordered`` for fingerprints, where that order says nothing."""
    return json.dumps(
        body, sort_keys=ordered, ensure_ascii=True, allow_nan=False, separators=(",", ":")
    )


def fault_of(event: Event) -> Fault | None:
    """What keeps an event, looked at alone, out of any job; None when nothing does."""
    why = _head(event)
    if why is None:
        why = _unfit(event.body, deep=0)
    if why is not None:
        return faults.ENTRY_SHAPE.met(value=_short(event), why=why)
    most = MOST_TEXTS if event.kind in ("job-begun", "text-set") else MOST_BODY
    if len(as_text(event.body)) > most:
        return faults.ENTRY_TOO_BIG.met(value=_short(event), most=f"{most:,}")
    try:
        _BODIES[event.kind].model_validate(event.body)
    except ValidationError as trouble:
        error = trouble.errors(include_url=False)[0]
        where = ".".join(str(part) for part in error["loc"]) or "it"
        why = f"{where}: {error['msg'][:1].lower()}{error['msg'][1:]}"
        return faults.ENTRY_SHAPE.met(value=_short(event), why=why)
    return _misplaced(event)


def _head(event: Event) -> str | None:
    for name in ("id", "job", "device"):
        value = getattr(event, name)
        if not isinstance(value, str) or not _HEX32.fullmatch(value):
            return f"its {name} is not 32 hexadecimal digits"
    if not isinstance(event.seq, int) or isinstance(event.seq, bool):
        return "its place in the row is no whole number"
    if not 1 <= event.seq <= MOST_SEQ:
        return "its place in the row does not count from 1"
    if event.kind not in _BODIES:
        return f"the kind {str(event.kind)[:40]!r} is not known"
    if not isinstance(event.made_at, str) or not _MADE_AT.fullmatch(event.made_at):
        return "its time is not written as day, time and zone"
    if not isinstance(event.who, str) or len(event.who) > 200 or _NO_TEXT.search(event.who):
        return "the name of who made it is no short text"
    if not isinstance(event.body, dict):
        return "what it holds is no object"
    return None


def _unfit(value: Any, *, deep: int) -> str | None:
    """What in a body no text and no number can be; the body is plain JSON otherwise."""
    if deep > MOST_DEEP:
        return "brackets stand too deep in one another"
    if isinstance(value, str):
        return "a text holds characters that no text has" if _NO_TEXT.search(value) else None
    if isinstance(value, float):
        return None if math.isfinite(value) else "a number is not finite"
    if isinstance(value, int) and not isinstance(value, bool):
        return None if abs(value) < 2**63 else "a number is too long"
    if isinstance(value, list | tuple):
        return next((why for one in value if (why := _unfit(one, deep=deep + 1))), None)
    if isinstance(value, dict):
        if not all(isinstance(key, str) for key in value):
            return "a key is no text"
        both = [*value, *value.values()]
        return next((why for one in both if (why := _unfit(one, deep=deep + 1))), None)
    return None if value is None or isinstance(value, bool) else "a value is no JSON"


def _misplaced(event: Event) -> Fault | None:
    path = event.body.get("path")
    if event.kind == "finding-kept" and path and path[0] not in FINDING_PARTS:
        why = f"a finding does not write into {path[0]!r}"
        return faults.ENTRY_SHAPE.met(value=_short(event), why=why)
    return None


def _short(event: Event) -> str:
    try:
        text = f"{event.kind} {event.body}"
    except ValueError:  # numbers of thousands of digits have no text
        text = str(event.kind)
    return text if len(text) <= 120 else text[:117] + "..."
