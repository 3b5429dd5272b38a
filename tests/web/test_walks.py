"""Walks in a process of their own: stale shown, crash survived, what did not change not redone."""

from __future__ import annotations

import asyncio
import os
import signal
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace

import pytest
from web_site import TEXTS

from overslab.faces.web.lanes import Crashed, Lane
from overslab.faces.web.walker import Kept, WalkTask
from overslab.faces.web.walks import Seen, Walks
from overslab.ground.faults import Fault, Faulty
from overslab.job import FolderTexts, read_texts
from overslab.job import faults as job_faults

LONGEST = 60.0


@dataclass
class Stored:
    version: int
    folder_texts: FolderTexts
    trouble: tuple[Fault, ...] = ()


@dataclass
class Shelf:
    """Stands for the store: one job that tests change."""

    texts: FolderTexts = TEXTS
    at: int = 1
    trouble: tuple[Fault, ...] = field(default=())

    def version(self, job_id: str) -> int:
        if job_id != "bay":
            raise Faulty(job_faults.FOLDER_MISSING.met(value=job_id))
        return self.at

    def job(self, job_id: str) -> Stored:
        assert job_id == "bay"
        return Stored(self.at, self.texts, self.trouble)

    def change(self, old: str, new: str) -> None:
        assert old in self.texts.job_toml
        self.texts = replace(self.texts, job_toml=self.texts.job_toml.replace(old, new))
        self.at += 1


@pytest.fixture(scope="module")
def laptop() -> Iterator[tuple[Shelf, Walks]]:
    """One process for all tests of this page: starting it takes longest."""
    shelf = Shelf()
    walks = Walks(shelf, seconds=LONGEST)
    yield shelf, walks
    walks.close()


def until(walks: Walks, good: Callable[[Seen], bool]) -> Seen:
    end = time.monotonic() + LONGEST
    while time.monotonic() < end:
        seen = walks.look("bay")
        if good(seen):
            return seen
        time.sleep(0.02)
    raise AssertionError(walks.look("bay").says)


def settled(walks: Walks) -> Seen:
    return until(walks, lambda seen: seen.settled)


def test_the_first_look_does_not_wait(laptop: tuple[Shelf, Walks]) -> None:
    _, walks = laptop
    assert walks.glance("bay") is None
    first = walks.look("bay")
    assert (first.state, first.walk) == ("computing", None)
    seen = settled(walks)
    assert seen.state == "fresh"
    assert seen.walk is not None
    assert seen.walk.job.name == "Small bay"
    assert seen.walk_version == seen.version == 1
    assert {"shots", "oldslab", "newtop"} <= set(seen.worked)
    assert walks.look("bay").tag == seen.tag != first.tag
    assert walks.glance("bay") == seen


def test_a_changed_wish_shows_the_old_top_and_leaves_the_old_floor_alone(
    laptop: tuple[Shelf, Walks],
) -> None:
    shelf, walks = laptop
    before = settled(walks)
    shelf.change('least_thickness = "3 in"', 'least_thickness = "3 1/2 in"')
    seen = walks.look("bay")
    assert seen.state == "stale"
    assert seen.walk is before.walk
    assert "how it was before" in seen.says
    seen = settled(walks)
    assert seen.state == "fresh"
    assert seen.walk is not None
    assert seen.walk.newtop.wishes.least_thickness_m == pytest.approx(3.5 * 0.0254)
    assert "newtop" in seen.worked
    assert not {"shots", "oldslab"} & set(seen.worked)


def test_what_no_room_reads_is_not_worked_out_again(laptop: tuple[Shelf, Walks]) -> None:
    shelf, walks = laptop
    before = settled(walks)
    shelf.at += 1
    seen = walks.look("bay")
    assert seen.state == "fresh"
    assert seen.walk is before.walk
    assert seen.walk_version == shelf.at


def test_trouble_in_the_texts_is_told_and_the_last_walk_stays(
    laptop: tuple[Shelf, Walks],
) -> None:
    shelf, walks = laptop
    before, good = settled(walks), shelf.texts
    shelf.change('least_fall = "1/8 in/ft"', 'least_fall = "1/8 inch"')
    try:
        read_texts(shelf.texts)
    except Faulty as trouble:
        shelf.trouble = trouble.faults
    seen = walks.look("bay")
    assert seen.state == "faulty"
    assert seen.faults == shelf.trouble
    assert seen.walk is before.walk
    shelf.texts, shelf.trouble, shelf.at = good, (), shelf.at + 1
    assert settled(walks).state == "fresh"


def test_a_killed_solver_takes_nothing_with_it(laptop: tuple[Shelf, Walks]) -> None:
    shelf, walks = laptop
    before = settled(walks)
    first = walks.processes[0]
    assert first is not None
    shelf.change('kinds = ["plane"]', 'kinds = ["plane", "strips"]')
    assert until(walks, lambda seen: "Now:" in seen.says).state == "stale"
    os.kill(first, signal.SIGKILL)
    seen = settled(walks)
    assert seen.state == "crashed"
    assert seen.walk is before.walk
    assert "stopped without an answer" in seen.says
    assert [fault.code for fault in seen.faults] == ["walk-crashed"]
    assert walks.look("bay").state == "crashed", "it is not tried again by itself"
    walks.again("bay")
    seen = settled(walks)
    assert seen.state == "fresh"
    assert walks.processes[0] not in (None, first)


def test_a_process_killed_while_it_had_nothing_to_do_is_not_missed(
    laptop: tuple[Shelf, Walks],
) -> None:
    shelf, walks = laptop
    settled(walks)
    idle = walks.processes[0]
    assert idle is not None
    os.kill(idle, signal.SIGKILL)
    shelf.change('kinds = ["plane", "strips"]', 'kinds = ["level"]')
    assert settled(walks).state == "fresh"


def test_paper_is_drawn_in_another_process_and_kept(laptop: tuple[Shelf, Walks]) -> None:
    _, walks = laptop
    settled(walks)

    async def draw() -> list[bytes]:
        first = await walks.paper("bay", sheets=("old-floor",), form="svg")
        drawer = walks.processes[1]
        assert drawer not in (None, walks.processes[0], os.getpid())
        os.kill(drawer, signal.SIGKILL)
        kept = await walks.paper("bay", sheets=("old-floor",), form="svg")
        again = await walks.paper("bay", sheets=("cautions",), form="pdf")
        return [first, kept, again]

    first, kept, again = asyncio.run(draw())
    assert first.startswith(b"<svg")
    assert kept == first
    assert again.startswith(b"%PDF")


def test_a_sheet_that_cannot_be_drawn_is_told(laptop: tuple[Shelf, Walks]) -> None:
    _, walks = laptop
    settled(walks)
    with pytest.raises(Faulty, match="no sheet"):
        asyncio.run(walks.paper("bay", sheets=("nothing-of-the-kind",), form="svg"))


def test_no_paper_before_the_first_walk_and_none_for_no_job() -> None:
    shelf = Shelf(trouble=(job_faults.FOLDER_MISSING.met(value="x"),))
    walks = Walks(shelf, seconds=LONGEST)
    with pytest.raises(Faulty, match="no sheet to print yet"):
        asyncio.run(walks.paper("bay", form="pdf"))
    with pytest.raises(Faulty):
        walks.look("no such job")
    assert walks.processes == (None, None)
    walks.close()


def test_a_task_that_takes_too_long_is_stopped(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("overslab.faces.web.lanes._START", 0.0)
    lane = Lane("slow", seconds=0.05)
    answer = lane.ask(WalkTask("bay", TEXTS))
    with pytest.raises(Crashed, match="took too long"):
        answer.result(timeout=LONGEST)
    assert lane.process_id is None
    lane.close()


def test_closing_does_not_wait_for_what_is_being_worked_out() -> None:
    lane = Lane("held", seconds=LONGEST)
    answer = lane.ask(WalkTask("bay", TEXTS))
    end = time.monotonic() + LONGEST
    while lane.process_id is None:
        assert time.monotonic() < end
        time.sleep(0.01)
    process, thread = lane._process, lane._thread
    assert process is not None
    assert process.pid is not None
    assert thread is not None
    os.kill(process.pid, signal.SIGSTOP)  # it will never come to an end by itself
    lane.close()
    assert not thread.is_alive()
    assert lane.process_id is None
    assert isinstance(answer.exception(), Crashed)


def test_a_job_that_was_taken_out_is_forgotten() -> None:
    shelf = Shelf(trouble=(job_faults.FOLDER_MISSING.met(value="bay"),))
    walks = Walks(shelf, seconds=LONGEST)
    assert walks.look("bay").state == "faulty"
    assert walks.glance("bay") is not None
    walks.forget("bay")
    assert walks.glance("bay") is None
    walks.forget("never seen")
    walks.close()


def test_of_too_many_orders_the_oldest_are_let_go() -> None:
    lane = Lane("none", seconds=1, most_waiting=2)
    lane._thread = object()  # type: ignore[assignment]  # nobody works here
    answers = [lane.ask(WalkTask("bay", TEXTS)) for _ in range(4)]
    assert [answer.cancelled() for answer in answers] == [True, True, False, False]
    lane._thread = None
    lane.close()
    assert all(answer.cancelled() for answer in answers)
    assert lane.ask(WalkTask("bay", TEXTS)).cancelled()


def test_rooms_are_kept_by_all_that_went_in() -> None:
    kept, made = Kept(), []

    def make(value: int) -> Callable[[], int]:
        def give() -> int:
            made.append(value)
            return value

        return give

    assert kept.recall("shots", (1, "a"), make(1)) == 1
    assert kept.recall("shots", (1, "a"), make(2)) == 1
    assert kept.recall("shots", (1, "b"), make(3)) == 3
    assert kept.recall("oldslab", (1, "a"), make(4)) == 4
    assert made == [1, 3, 4]
    assert kept.worked == ["shots", "shots", "oldslab"]
    for n in range(100):
        kept.recall("takeoff", (n,), make(n))
    assert kept.recall("shots", (1, "a"), make(5)) == 5
