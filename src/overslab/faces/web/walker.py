"""The process that walks jobs and draws paper. A solver that dies takes this process with it and
nothing else.

It is started anew (never forked), takes tasks over a pipe and answers each with progress and one
result. What a room gave is kept by what went in, so a changed wish does not shape the old floor
again.
"""

from __future__ import annotations

import hashlib
import json
import os
import pickle
import signal
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from typing import Any, Literal, TypeVar, cast

from overslab.faces.web import faults
from overslab.ground.faults import Fault, Faulty

Record = TypeVar("Record")
Form = Literal["pdf", "svg", "json"]
_ROOMS_KEPT = 40
_WALKS_KEPT = 4


@dataclass(frozen=True, slots=True)
class WalkTask:
    """Walk a job as its three texts say. ``texts`` is a ``FolderTexts``."""

    job: str
    texts: object


@dataclass(frozen=True, slots=True)
class PaperTask:
    """Draw sheets of a finished walk: one as SVG, some or all as one PDF; or the proposal.

    The proposal alone has a form ``json``: its page and its drawings as plain data.
    """

    key: str
    walk: bytes
    sheets: tuple[str, ...]  # empty: all
    form: Form


@dataclass(frozen=True, slots=True)
class RevisionTask:
    """Walk two versions of a job and set them side by side.

    Both are a ``FolderTexts``. ``json`` gives the blocks of the letter and of the office's page as
    plain data, ``pdf`` the letter alone, which holds no price.
    """

    before: object
    after: object
    form: Form


@dataclass(frozen=True, slots=True)
class Progress:
    """The room that is at work, as its question."""

    says: str


@dataclass(frozen=True, slots=True)
class Result:
    """``content`` is a pickled walk or the bytes of a sheet; None when there were faults.

    ``worked`` names the rooms that were really worked out. ``dropped``: asked to stop in between.
    ``broken``: the faults are the program's, not the job's.
    """

    content: bytes | None = None
    faults: tuple[Fault, ...] = ()
    worked: tuple[str, ...] = ()
    dropped: bool = False
    broken: bool = False


DROP = "drop"


class _Dropped(Exception):
    """The job was changed while it was being walked."""


@dataclass(slots=True)
class Kept:
    """Rooms by the hash of what went in, the longest unused forgotten first."""

    rooms: OrderedDict[bytes, Any] = field(default_factory=OrderedDict)
    worked: list[str] = field(default_factory=list)

    def recall(self, room: str, inputs: tuple[object, ...], make: Callable[[], Record]) -> Record:
        key = hashlib.sha256(pickle.dumps((room, inputs), 5)).digest()
        if key in self.rooms:
            self.rooms.move_to_end(key)
            return cast(Record, self.rooms[key])
        made = make()
        self.worked.append(room)
        self.rooms[key] = made
        while len(self.rooms) > _ROOMS_KEPT:
            self.rooms.popitem(last=False)
        return made


def run(pipe: Connection) -> None:
    """The whole life of the process: tasks until the other end is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is the server's to answer
    os.environ["OPENBLAS_NUM_THREADS"] = "1"
    kept, walks = Kept(), OrderedDict[str, Any]()
    try:
        while True:
            task = pipe.recv()
            if isinstance(task, WalkTask):
                pipe.send(_walked(task, pipe, kept))
            elif isinstance(task, RevisionTask):
                pipe.send(_revised(task, pipe, kept))
            elif isinstance(task, PaperTask):
                pipe.send(Progress("On paper."))
                pipe.send(_drawn(task, walks))
    except (EOFError, OSError):
        return


def _walked(task: WalkTask, pipe: Connection, kept: Kept) -> Result:
    from overslab.job import FolderTexts, read_texts, walk

    def tell(says: str) -> None:
        if pipe.poll() and pipe.recv() == DROP:
            raise _Dropped
        pipe.send(Progress(says.partition(": ")[2]))

    kept.worked.clear()
    assert isinstance(task.texts, FolderTexts)
    try:
        walked = walk(read_texts(task.texts), tell=tell, recall=kept.recall)
    except _Dropped:
        return Result(dropped=True, worked=tuple(kept.worked))
    except Faulty as trouble:
        return Result(faults=trouble.faults, worked=tuple(kept.worked))
    except (EOFError, OSError):
        raise
    except Exception as trouble:
        return _broken(trouble)
    return Result(content=pickle.dumps(walked, 5), worked=tuple(kept.worked))


def _revised(task: RevisionTask, pipe: Connection, kept: Kept) -> Result:
    from overslab.faces.documents.packet import print_pdf
    from overslab.faces.documents.paper import page_of
    from overslab.faces.documents.revision_sheet import revision_letter, revision_money
    from overslab.faces.documents.withdrawing import sheet_changes
    from overslab.job import FolderTexts, read_texts, walk
    from overslab.job.revising import differences

    def tell(says: str) -> None:
        pipe.send(Progress(says.partition(": ")[2]))

    assert isinstance(task.before, FolderTexts)
    assert isinstance(task.after, FolderTexts)
    try:
        before, after = (
            walk(read_texts(texts), tell=tell, recall=kept.recall)
            for texts in (task.before, task.after)
        )
        revision = differences(before, after, texts=(task.before, task.after))
        sheets = sheet_changes(before, after)
        letter = revision_letter(revision, sheets, after)
        if task.form == "pdf":
            return Result(content=print_pdf(after, (letter,), page_of(after)))
        money = revision_money(revision, sheets)
        pages = [one.data() for one in (letter, money) if one is not None]
        return Result(content=json.dumps(pages, ensure_ascii=False).encode())
    except Faulty as trouble:
        return Result(faults=trouble.faults)
    except (EOFError, OSError):
        raise
    except Exception as trouble:
        return _broken(trouble)


def _drawn(task: PaperTask, walks: OrderedDict[str, Any]) -> Result:
    from overslab.faces.documents import draw_sheet
    from overslab.faces.documents.packet import print_pdf
    from overslab.faces.documents.paper import page_of
    from overslab.faces.documents.proposal import CODE, page_data, print_proposal
    from overslab.faces.documents.sheets import lay_sheet, lay_sheets

    if task.key not in walks:
        walks[task.key] = pickle.loads(task.walk)  # from our own walker, over our own pipe
        while len(walks) > _WALKS_KEPT:
            walks.popitem(last=False)
    walk = walks[task.key]
    try:
        if task.sheets == (CODE,):
            if task.form == "json":
                return Result(content=json.dumps(page_data(walk), ensure_ascii=False).encode())
            return Result(content=print_proposal(walk))
        if task.form == "svg":
            return Result(content=draw_sheet(walk, task.sheets[0]).encode())
        if task.sheets:
            laid = [lay_sheet(walk, code) for code in task.sheets]
            sheets = tuple(sheet for sheet in laid if sheet is not None)
        else:
            sheets = lay_sheets(walk)
        return Result(content=print_pdf(walk, sheets, page_of(walk)) if sheets else None)
    except Faulty as trouble:
        return Result(faults=trouble.faults)
    except Exception as trouble:
        return _broken(trouble)


def _broken(trouble: Exception) -> Result:
    """Something the rooms should have foreseen, told without a traceback."""
    told = f"{type(trouble).__name__}: {(str(trouble).splitlines() or [''])[0][:200]}"
    return Result(faults=(faults.WALK_CRASHED.met(value=told),), broken=True)
