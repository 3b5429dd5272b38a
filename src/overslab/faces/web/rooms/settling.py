"""What a person still has to answer or to look at, and what was answered."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable

from overslab.faces.web.pages import TITLES
from overslab.faces.web.rooms.desk import Desk
from overslab.faces.web.rooms.fact_fields import section_at
from overslab.faces.web.rooms.views import Question
from overslab.ground.notes import Assumption, Remark
from overslab.job.records import Walk
from overslab.job.store import Store, Thing

ABOUT = "settle "
_KEY_AT = re.compile(r"(?P<key>\w+) in \[(?P<section>[\w.]+)\]")


def key_of(text: str) -> str:
    """A mark for a question, made from its words: other words are another question."""
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def questions(walk: Walk, notes: Iterable[Thing]) -> tuple[Question, ...]:
    """Everything asked of a person, each once, with what was answered."""
    answers: dict[str, list[tuple[str, str, str]]] = {}
    for note in notes:
        about = str(note.body.get("about", ""))
        if note.kind == "note" and not note.struck and about.startswith(ABOUT):
            said = (note.who, note.made_at[:16].replace("T", " "), str(note.body.get("text", "")))
            answers.setdefault(about.removeprefix(ABOUT), []).append(said)
    found: dict[str, Question] = {}
    for room, weight, text in _asked(walk):
        key = key_of(text)
        found.setdefault(
            key, Question(key, weight, text, TITLES.get(room, room), tuple(answers.get(key, ())))
        )
    return tuple(sorted(found.values(), key=lambda one: (one.weight != "ask", bool(one.answers))))


def open_questions(store: Store, desk: Desk) -> tuple[Question, ...]:
    """Those that nobody has answered yet; warnings are read and not answered."""
    if desk.walk is None:
        return ()
    things = store.job(desk.line.id).things
    return tuple(
        one for one in questions(desk.walk, things) if one.weight == "ask" and not one.answers
    )


def _asked(walk: Walk) -> Iterable[tuple[str, str, str]]:
    for suspect in walk.shots.suspects:
        slip = f": {suspect.slip}" if suspect.slip else ""
        text = f"Shot {suspect.point} from set-up {suspect.setup} does not fit{slip}. Which holds?"
        yield ("shots", "ask", text)
    for bump in walk.shots.bumps:
        yield ("shots", "ask", bump.says)
    for matter in walk.verdict.provided or walk.verdict.not_known:
        yield ("verdict", "ask", matter)
    for room, remarks in _remarks(walk):
        for remark in remarks:
            if remark.weight in ("ask", "warn"):
                yield (room, remark.weight, remark.text)
    if walk.order is not None:
        for text in walk.order.mix_check.asks:
            yield ("order", "ask", text)


def _remarks(walk: Walk) -> Iterable[tuple[str, Iterable[Remark]]]:
    yield ("shots", walk.shots.remarks)
    yield ("oldslab", walk.oldslab.remarks)
    yield ("verdict", walk.verdict.remarks)
    yield ("newtop", walk.newtop.remarks)
    if walk.newtop.top is not None:
        yield ("newtop", walk.newtop.top.remarks)
    if walk.touches is not None:
        yield ("touches", walk.touches.remarks)
        for touch in walk.touches.touches:
            yield ("touches", touch.remarks)
    if walk.takeoff is not None:
        yield ("takeoff", walk.takeoff.remarks)
    if walk.order is not None:
        yield ("order", walk.order.remarks)


def given_at(assumption: Assumption) -> str:
    """The address of the form where the missing value can be given; empty when there is none."""
    met = _KEY_AT.match(assumption.about)
    if met is None:
        return ""
    address = met["section"].replace(".", "/")
    return address if section_at(address) is not None else ""
