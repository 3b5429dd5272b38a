"""What each page of the rooms is given: records of words only, each field with its help.

A crew page is given a view out of ``CREW_VIEWS`` and nothing else. No such view has a place for
money: what may be shown is listed here, not what may not. ``OFFICE_VIEWS`` are for the office.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from overslab.ground.faults import Fault


@dataclass(frozen=True, slots=True)
class Opened:
    """A number opened: how it came about."""

    number: Annotated[
        int | None, "Its place in the list of workings; None for what has no formula."
    ]
    about: Annotated[str, "What the number is."]
    says: Annotated[str, "What the formula or the rule says, in one sentence."]
    equation: Annotated[str, "The equation in symbols; empty when there is none."]
    filled: Annotated[str, "The equation with this job's numbers in its own units."]
    inputs: Annotated[tuple[tuple[str, str, str], ...], "Symbol, name and value of every input."]
    result: Annotated[tuple[str, str, str] | None, "Symbol, name and value of the result."]
    source: Annotated[str, "Where the formula or the value comes from."]
    known: Annotated[str, "How it is known: read in print, from memory, common practice, derived."]


@dataclass(frozen=True, slots=True)
class Figure:
    """A number with its name."""

    name: Annotated[str, "What it is, in the trade's words."]
    value: Annotated[str, "The number in the job's units."]
    opened: Annotated[Opened, "How it came about."]
    give_or_take: Annotated[
        str, "Half the width of its 95 in 100 interval; empty when not known."
    ] = ""


@dataclass(frozen=True, slots=True)
class Head:
    """The head of one column."""

    text: Annotated[str, "The word over the column."]
    figure: Annotated[bool, "Whether numbers stand in it, which are set from the right."] = False


@dataclass(frozen=True, slots=True)
class Rows:
    """A table."""

    caption: Annotated[str, "What the table shows."]
    heads: Annotated[tuple[Head, ...], "Its columns."]
    rows: Annotated[tuple[tuple[str, ...], ...], "Its rows of words."]
    strong: Annotated[tuple[int, ...], "Rows that count most."] = ()
    folded: Annotated[bool, "Whether it is shown only when opened, being long."] = False
    stacked: Annotated[bool, "Whether its cells stand one below the other on a phone."] = False


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing of the walk that is shown."""

    code: Annotated[str, "Its code in the address."]
    title: Annotated[str, "What it is called."]
    told: Annotated[str, "What it shows, in words, for a reader who cannot see it."]
    wide: Annotated[tuple[int, int], "Width and height on a large screen, in proportion."]
    narrow: Annotated[tuple[int, int], "Width and height on a phone, in proportion."]


@dataclass(frozen=True, slots=True)
class CheckLine:
    """Found beside allowed."""

    name: Annotated[str, "The rule, and where it was looked at."]
    found: Annotated[str, "What was found, in the job's units."]
    allowed: Annotated[str, "What is allowed."]
    holds: Annotated[str, "Whether it holds, in words."]
    good: Annotated[bool, "Whether it holds."]
    source: Annotated[str, "Where the limit comes from."]


@dataclass(frozen=True, slots=True)
class Told:
    """A remark to the reader."""

    weight: Annotated[str, "note, ask or warn."]
    text: Annotated[str, "The remark."]


@dataclass(frozen=True, slots=True)
class Taken:
    """An assumption."""

    about: Annotated[str, "What was not given."]
    taken: Annotated[str, "What was taken instead."]
    because: Annotated[str, "Why that was taken and nothing else."]


@dataclass(frozen=True, slots=True)
class Listed:
    """A list under a heading."""

    title: Annotated[str, "The heading."]
    items: Annotated[tuple[str, ...], "The items."]
    boxes: Annotated[bool, "Whether each waits for a tick."] = False


@dataclass(frozen=True, slots=True)
class RoomView:
    """A room's answer, without money: for the crew and the office alike."""

    room: Annotated[str, "The room, as in the order of work."]
    question: Annotated[str, "The room's question."]
    answer: Annotated[str, "The answer in one sentence, with the numbers."]
    pictures: Annotated[tuple[Picture, ...], "Its drawings, the first one large."] = ()
    figures: Annotated[tuple[Figure, ...], "Its numbers."] = ()
    lists: Annotated[tuple[Listed, ...], "Lists of words."] = ()
    tables: Annotated[tuple[Rows, ...], "Its tables."] = ()
    checks: Annotated[tuple[CheckLine, ...], "Found beside allowed."] = ()
    remarks: Annotated[tuple[Told, ...], "Remarks to the reader."] = ()
    taken: Annotated[tuple[Taken, ...], "Assumptions the answer leans on."] = ()


@dataclass(frozen=True, slots=True)
class JobRow:
    """A job in the list."""

    id: Annotated[str, "Its number."]
    name: Annotated[str, "What it is called."]
    shots: Annotated[int, "How many shots were kept."]
    changed: Annotated[str, "When it was last changed."]
    sample: Annotated[bool, "Whether it is a made-up sample."]


@dataclass(frozen=True, slots=True)
class SheetRow:
    """A sheet of the packet."""

    code: Annotated[str, "Its code in the address."]
    title: Annotated[str, "Its title."]
    number: Annotated[int, "Its number, the same in every job."]
    drawn: Annotated[bool, "Whether it is a drawing."]
    holds: Annotated[str, "What it answers."]


@dataclass(frozen=True, slots=True)
class PhotoRow:
    """A photo of the job."""

    sha256: Annotated[str, "Its fingerprint, which is its address."]
    about: Annotated[str, "What it shows, as written."]
    who: Annotated[str, "Who took it."]
    when: Annotated[str, "When it was taken."]


@dataclass(frozen=True, slots=True)
class Bill:
    """What a room's answer has to do with money: for the office alone."""

    answer: Annotated[str, "The money in one sentence."]
    figures: Annotated[tuple[Figure, ...], "Amounts of money, each opened."] = ()
    tables: Annotated[tuple[Rows, ...], "Tables with money in them."] = ()
    remarks: Annotated[tuple[Told, ...], "Remarks that speak of money."] = ()
    pictures: Annotated[tuple[Picture, ...], "Drawings with money in them."] = ()


@dataclass(frozen=True, slots=True)
class TopCard:
    """One kind of top beside the others."""

    kind: Annotated[str, "The kind, as it is written in job.toml."]
    title: Annotated[str, "The kind in words."]
    chosen: Annotated[bool, "Whether this one is drawn."]
    asked: Annotated[bool, "Whether the owner chose it, and not the program."]
    built: Annotated[bool, "Whether it can be built at all."]
    passes: Annotated[bool, "Whether every rule holds on it."]
    picture: Annotated[Picture | None, "It, in small."]
    cost: Annotated[str, "What it costs: concrete and moving."]
    bound: Annotated[str, "What no top of the kind can cost less than."]
    figures: Annotated[tuple[tuple[str, str], ...], "Names and values, the same for each kind."]
    binds: Annotated[tuple[str, ...], "Rules that hold it where it is, and what each costs."]
    why_not: Annotated[str, "Why it cannot be built, or which rule fails."]
    changes: Annotated[tuple[str, ...], "The smallest changes that would let it live."]


@dataclass(frozen=True, slots=True)
class TopLine:
    """A top in one line, to be held against another one."""

    version: Annotated[int, "The version of the job it belongs to."]
    title: Annotated[str, "The kind in words; empty when no top meets the wishes."]
    cost: Annotated[str, "What it costs."]
    volume: Annotated[str, "Concrete in place."]
    thickness: Annotated[str, "From the thinnest to the thickest place."]
    fall: Annotated[str, "Least true fall."]
    binds: Annotated[str, "What holds it where it is."]


@dataclass(frozen=True, slots=True)
class HistoryRow:
    """One thing somebody did."""

    id: Annotated[str, "The event."]
    arrival: Annotated[int, "Its place in the job."]
    when: Annotated[str, "When it was made, by the clock of the one who made it."]
    who: Annotated[str, "Who did it."]
    what: Annotated[str, "What was done, in words."]
    undone: Annotated[bool, "Whether it was undone since."]
    can_undo: Annotated[bool, "Whether it can be undone."]


@dataclass(frozen=True, slots=True)
class TrayRow:
    """Something that was sent and did not go into the job."""

    number: Annotated[int, "Its number in the tray."]
    when: Annotated[str, "When it came."]
    who: Annotated[str, "Who sent it."]
    what: Annotated[str, "What it says."]
    why: Annotated[str, "Why it did not go in."]


@dataclass(frozen=True, slots=True)
class Question:
    """Something a person has to answer or to look at."""

    key: Annotated[str, "Its mark, made from its words."]
    weight: Annotated[str, "ask or warn."]
    text: Annotated[str, "The question."]
    room: Annotated[str, "The room that asks."]
    answers: Annotated[tuple[tuple[str, str, str], ...], "Answers so far: who, when, words."]


@dataclass(frozen=True, slots=True)
class Missing:
    """A fault of the job, and the form where it is put right."""

    fault: Annotated[Fault, "The fault in its four parts."]
    href: Annotated[str, "The form where it is put right; empty when there is none."]
    title: Annotated[str, "What the form is called."]


CREW_VIEWS: tuple[type, ...] = (
    Opened, Figure, Head, Rows, Picture, CheckLine, Told, Taken, Listed, RoomView, JobRow, SheetRow,
    PhotoRow,
)  # fmt: skip
OFFICE_VIEWS: tuple[type, ...] = (
    Bill, TopCard, TopLine, HistoryRow, TrayRow, Question, Missing,
)  # fmt: skip
