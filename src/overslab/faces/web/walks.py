"""The latest walk of each job: what pages show, how old it is, what is being worked out."""

from __future__ import annotations

import asyncio
import pickle
import threading
import time
from collections import OrderedDict
from collections.abc import Sequence
from concurrent.futures import Future
from dataclasses import dataclass
from typing import Literal, Protocol

import anyio

from overslab.faces.web import faults
from overslab.faces.web.lanes import Crashed, Lane
from overslab.faces.web.walker import Form, PaperTask, Result, RevisionTask, WalkTask
from overslab.ground.faults import Fault, Faulty
from overslab.job.records import FolderTexts, Walk

State = Literal["fresh", "computing", "stale", "faulty", "crashed"]
_JOBS_KEPT = 40
_SHEETS_KEPT = 60
_PAPER_SECONDS = 20.0
_LOOK_AGAIN = 0.03


class Texts(Protocol):
    """What is needed of a stored job."""

    @property
    def version(self) -> int: ...
    @property
    def folder_texts(self) -> FolderTexts: ...
    @property
    def trouble(self) -> Sequence[Fault]: ...


class Shelf(Protocol):
    """What is needed of the store."""

    def version(self, job_id: str, /) -> int: ...
    def job(self, job_id: str, /) -> Texts: ...


@dataclass(frozen=True, slots=True)
class Seen:
    """A job as it can be shown now.

    ``walk`` is the last one that came to an end; it is of ``version`` only when the state is
    ``fresh``. ``computing`` has nothing older to show, ``stale`` has. ``says`` is the sentence for
    the top of the page, ``tag`` changes with everything a page would show.
    """

    state: State
    version: int
    walk: Walk | None
    walk_version: int | None
    faults: tuple[Fault, ...]
    worked: tuple[str, ...]
    says: str
    tag: str

    @property
    def settled(self) -> bool:
        return self.state not in ("computing", "stale")


@dataclass(slots=True)
class _Known:
    """What is held of one job, under the lock of ``Walks``."""

    asked: int = -1  # the version that is being worked out or was last
    answered: int = -1  # the version that ``faults`` or the walk belong to
    walk: Walk | None = None
    pickled: bytes = b""
    walk_version: int | None = None
    texts: FolderTexts | None = None
    faults: tuple[Fault, ...] = ()
    crashed: bool = False
    worked: tuple[str, ...] = ()
    question: str = ""
    step: int = 0
    busy: bool = False
    answer: Future[Result] | None = None


class Walks:
    """Walks jobs in another process and remembers the last walk of each."""

    def __init__(self, store: Shelf, *, seconds: float) -> None:
        self._store = store
        self._walker = Lane("walker", seconds=seconds)
        self._drawer = Lane("drawer", seconds=_PAPER_SECONDS)
        self._lock = threading.RLock()
        self._known: OrderedDict[str, _Known] = OrderedDict()
        self._sheets: OrderedDict[tuple[str, int, tuple[str, ...], Form], bytes] = OrderedDict()
        self._at_work = ""

    @property
    def processes(self) -> tuple[int | None, int | None]:
        """Ids of the processes that walk and that draw, where they are running."""
        return self._walker.process_id, self._drawer.process_id

    def close(self) -> None:
        self._walker.close()
        self._drawer.close()

    def glance(self, job_id: str) -> Seen | None:
        """What can be shown when nothing has to be worked out for it; None when something has.

        Asks the store for one number, so it may be called where nothing may wait. Raises ``Faulty``
        when there is no such job.
        """
        version = self._store.version(job_id)
        with self._lock:
            known = self._known.get(job_id)
            if known is None or known.answered != version:
                return None
            self._known.move_to_end(job_id)
            return _seen(known, version)

    def forget(self, job_id: str) -> None:
        """A job that was taken out: should it come in again, nothing is known of it."""
        with self._lock:
            known = self._known.pop(job_id, None)
            if known is not None and known.answer is not None:
                known.answer.cancel()

    def look(self, job_id: str) -> Seen:
        """What can be shown now; has the job walked when it changed. Does not wait for that.

        Raises ``Faulty`` when there is no such job.
        """
        version = self._store.version(job_id)
        with self._lock:
            known = self._known.setdefault(job_id, _Known())
            self._known.move_to_end(job_id)
            while len(self._known) > _JOBS_KEPT:
                self._known.popitem(last=False)
            if known.answered != version and (not known.busy or known.asked != version):
                self._start(job_id, known, version)
            return _seen(known, version)

    def again(self, job_id: str) -> None:
        """Work a job out once more although nothing changed: after a crash."""
        with self._lock:
            known = self._known.get(job_id)
            if known is not None and not known.busy:
                known.answered = -1
                known.texts = None
        self.look(job_id)

    async def wait(self, job_id: str, *, seconds: float = 1.5) -> Seen:
        """What can be shown as soon as it is settled, or after ``seconds``."""
        end = time.monotonic() + seconds
        while True:
            seen = self.look(job_id)
            if seen.settled or time.monotonic() >= end:
                return seen
            await anyio.sleep(_LOOK_AGAIN)

    async def paper(self, job_id: str, *, sheets: tuple[str, ...] = (), form: Form) -> bytes:
        """Sheets of the last walk that came to an end; all of them when none is named.

        Raises ``Faulty`` when there is none, no such sheet, or it could not be drawn.
        """
        self.look(job_id)
        with self._lock:
            known = self._known[job_id]
            pickled, version = known.pickled, known.walk_version
        if version is None:
            raise Faulty(faults.NO_PAPER.met(value=", ".join(sheets) or "the packet"))
        key = (job_id, version, sheets, form)
        with self._lock:
            if key in self._sheets:
                return self._sheets[key]
        task = PaperTask(f"{job_id} {version}", pickled, sheets, form)
        try:
            result = await asyncio.wrap_future(self._drawer.ask(task))
        except Crashed as crash:
            raise Faulty(crash.result.faults) from None
        if result.content is None:
            missing = faults.NO_PAPER.met(value=", ".join(sheets) or "the packet")
            raise Faulty(result.faults or missing)
        with self._lock:
            self._sheets[key] = result.content
            while len(self._sheets) > _SHEETS_KEPT:
                self._sheets.popitem(last=False)
        return result.content

    async def revise(self, before: FolderTexts, after: FolderTexts, *, form: Form) -> bytes:
        """Two versions side by side, see ``RevisionTask``; ``Faulty`` when one cannot be walked."""
        try:
            task = RevisionTask(before, after, form)
            result = await asyncio.wrap_future(self._walker.ask(task))
        except Crashed as crash:
            raise Faulty(crash.result.faults) from None
        if result.content is None:
            raise Faulty(result.faults)
        return result.content

    def _start(self, job_id: str, known: _Known, version: int) -> None:
        stored = self._store.job(job_id)
        version = stored.version
        if stored.folder_texts == known.texts and not known.crashed:
            # What was added (a note, a picture) is not read by any room.
            known.asked = known.answered = version
            if known.walk_version is not None and not known.faults:
                known.walk_version = version
            return
        if stored.trouble:
            known.asked = known.answered = version
            known.texts, known.faults = stored.folder_texts, tuple(stored.trouble)
            known.crashed = False
            return
        if known.answer is not None and not known.answer.cancel() and self._at_work == job_id:
            self._walker.drop_current()
        known.asked, known.busy, known.question, known.step = version, True, "", 0
        texts = stored.folder_texts

        def tell(question: str) -> None:
            with self._lock:
                self._at_work = job_id
                if known.asked == version:
                    known.question = question
                    known.step += 1

        def take(answer: Future[Result]) -> None:
            self._take(known, version, texts, answer)

        known.answer = self._walker.ask(WalkTask(job_id, texts), tell=tell)
        known.answer.add_done_callback(take)

    def _take(
        self, known: _Known, version: int, texts: FolderTexts, answer: Future[Result]
    ) -> None:
        with self._lock:
            if known.asked == version:
                known.busy = False
            if answer.cancelled():
                return
            trouble = answer.exception()
            if isinstance(trouble, Crashed):
                result = trouble.result
            elif trouble is not None:
                told = faults.WALK_CRASHED.met(value=type(trouble).__name__)
                result = Result(faults=(told,), broken=True)
            else:
                result = answer.result()
            if result.dropped or version < known.answered:
                return
            known.answered = version
            known.texts, known.faults, known.worked = texts, result.faults, result.worked
            known.crashed = result.broken
            if result.content is not None:
                known.pickled = result.content
                known.walk = pickle.loads(result.content)  # from our own walker, over our own pipe
                known.walk_version = version


def _seen(known: _Known, version: int) -> Seen:
    if known.answered == version:
        state: State = "crashed" if known.crashed else "faulty" if known.faults else "fresh"
    else:
        state = "computing" if known.walk is None else "stale"
    says = {
        "fresh": "Worked out from everything that was kept.",
        "computing": "Being worked out for the first time.",
        "stale": "Changed since: shown is how it was before. Being worked out again.",
        "faulty": "Something in the job has to be put right before it can be worked out.",
        "crashed": "Working it out stopped without an answer.",
    }[state]
    if state in ("computing", "stale") and known.question:
        says += f" Now: {known.question}"
    if state in ("faulty", "crashed") and known.walk is not None:
        says += " Shown is how it was before."
    return Seen(
        state=state,
        version=version,
        walk=known.walk,
        walk_version=known.walk_version,
        faults=known.faults if known.answered == version else (),
        worked=known.worked,
        says=says,
        tag=f"{version}-{state}-{known.walk_version}-{known.step}",
    )
