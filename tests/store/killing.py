"""The kill tests of the store: phones that type, a server that is killed, and a careful count.

Every phone keeps what was not answered and sends it again, as a real one does. What was answered as
kept must be there for ever, once, and as it was typed.
"""

from __future__ import annotations

import contextlib
import json
import os
import queue
import random
import secrets
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

from made_events import cells, event

from overslab.job import sample_folder
from overslab.job.store import Event, Store
from overslab.job.store.backups import trouble_in
from overslab.job.store.engines import Engines
from overslab.job.store.rows import content_of

EVENTS_A_JOB = 250  # then the crew goes on to the next job, so that no job grows past all sense
ANSWER_S = 20.0
PATIENCE_S = 120.0  # for a server that starts on a machine with much else to do


class Keeper:
    """The process that forks servers."""

    def __init__(self) -> None:
        here = Path(__file__).parent
        self.process = subprocess.Popen(
            [sys.executable, str(here / "kill_server.py")],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            env={**os.environ, "OPENBLAS_NUM_THREADS": "1"},
        )
        self._lines: queue.Queue[dict[str, Any]] = queue.Queue()
        threading.Thread(target=self._read, daemon=True).start()
        assert "loaded" in self.next(PATIENCE_S)

    def _read(self) -> None:
        assert self.process.stdout is not None
        for line in self.process.stdout:
            self._lines.put(json.loads(line))

    def start(self, **command: Any) -> int:
        """Fork a server; gives its process number at once, long before it is ready."""
        assert self.process.stdin is not None
        self.process.stdin.write(json.dumps(command) + "\n")
        self.process.stdin.flush()
        return int(self.next(PATIENCE_S)["pid"])

    def next(self, seconds: float) -> dict[str, Any]:
        """What it says next; raises ``queue.Empty`` when it says nothing."""
        said = self._lines.get(timeout=seconds)
        if "trouble" in said:
            raise AssertionError(said["trouble"])
        return said

    def kill(self, pid: int) -> dict[str, Any]:
        """SIGKILL; gives what it had said until then, once it is gone for certain."""
        with contextlib.suppress(ProcessLookupError):  # it had come to its end by itself
            os.kill(pid, signal.SIGKILL)
        said: dict[str, Any] = {}
        while "gone" not in said:
            said |= self.next(PATIENCE_S)
        return said

    def close(self) -> None:
        assert self.process.stdin is not None
        self.process.stdin.close()
        self.process.wait(timeout=PATIENCE_S)
        if self.process.stdout is not None:
            self.process.stdout.close()


@contextmanager
def keeper() -> Iterator[Keeper]:
    made = Keeper()
    try:
        yield made
    finally:
        made.close()


@dataclass
class Jobs:
    """Which job the crew is at; a new one is begun now and then, under fire as well."""

    lock: threading.Lock = field(default_factory=threading.Lock)
    here: list[str] = field(default_factory=list)
    typed: int = EVENTS_A_JOB

    def begun(self) -> Event | None:
        """The beginning of the next job when it is time for it."""
        with self.lock:
            self.typed += 1
            if self.typed < EVENTS_A_JOB:
                return None
            self.typed = 0
            job = secrets.token_hex(16)
            self.here.append(job)
        folder = sample_folder("cannot-all")
        texts = {
            name.replace(".", "_"): (folder / name).read_text(encoding="utf-8")
            for name in ("job.toml", "shots.csv", "rates.toml")
        }
        return event(job, "job-begun", {"name": "made up", "texts": texts}, seq=1)


class Phone(threading.Thread):
    """Types, sends, and sends again what was not answered. Outlives every server."""

    def __init__(self, jobs: Jobs, *, chance: random.Random) -> None:
        super().__init__(daemon=True)
        self.device, self.jobs, self.chance = secrets.token_hex(16), jobs, chance
        self.outbox: dict[str, Event] = {}
        self.kept: dict[str, Event] = {}
        self.seqs: dict[str, int] = {}
        self.own_shots: list[Event] = []
        self.flying: list[list[str]] = []  # batches without an answer
        self.arrived: set[str] = set()  # entries that are there though no answer came
        self.sent_again = 0
        self.trouble: list[str] = []
        self.answers = 0
        self.waits_s: list[float] = []
        self.port = 0
        self.stop = False
        self.go = threading.Event()
        self.idle = threading.Event()
        self.first_answer_at = 0.0

    def run(self) -> None:
        while not self.stop:
            self.idle.set()
            self.go.wait()
            self.go.clear()
            self.idle.clear()
            with contextlib.suppress(OSError, ValueError):
                self._talk(self.port)

    def _talk(self, port: int) -> None:
        address = ("127.0.0.1", port)
        with socket.create_connection(address, timeout=ANSWER_S) as line, line.makefile("rw") as io:
            while port == self.port and not self.stop:
                self.send(io, self._batch())

    def _batch(self) -> list[Event]:
        for _ in range(self.chance.randint(1, 8)):
            begun = self.jobs.begun()
            made = self._typed() if begun is None else begun
            self.outbox[made.id] = made
        waiting = list(self.outbox.values())[:60]
        again = self.chance.sample(sorted(self.kept), min(len(self.kept), 3))
        self.sent_again += len(again)
        return [*waiting, *(self.kept[one] for one in again)]

    def _typed(self) -> Event:
        job = self.jobs.here[-1]
        seq = self.seqs[job] = self.seqs.get(job, 0) + 1
        mine = [one for one in self.own_shots[-5:] if one.job == job]
        kind = self.chance.choice(["shot-kept"] * 6 + ["shot-replaced", "shot-struck", "undone"])
        if kind == "shot-kept" or not mine:
            name = f"X{self.device[:4]}{seq}"
            made = event(job, "shot-kept", cells(name), seq=seq, device=self.device)
            self.own_shots.append(made)
            return made
        of = {"of": self.chance.choice(mine).id}
        body = {**of, **cells("X", x="5 ft")} if kind == "shot-replaced" else of
        return event(job, kind, body, seq=seq, device=self.device)

    def send(self, io: Any, batch: list[Event]) -> None:
        crew = all(one.kind != "job-begun" for one in batch)
        self.flying.append([one.id for one in batch])
        began = time.perf_counter()
        asked = {"do": "keep", "crew": crew, "events": [asdict(one) for one in batch]}
        io.write(json.dumps(asked) + "\n")
        io.flush()
        answer = io.readline()
        if not answer:
            raise ConnectionError
        told = json.loads(answer)
        self.flying.pop()
        if "fault" in told:
            self.trouble.append(told["words"])
            return
        now = time.perf_counter()
        self.waits_s.append(now - began)
        self.first_answer_at = self.first_answer_at or now
        self.answers += 1
        # A job that another phone's lost batch was to begin is not there yet: the entry waits here.
        self.trouble += [one["why"] for one in told["tray"] if one["code"] != "job-unknown"]
        self.arrived.update(one["id"] for one in told["tray"])
        for one in told["have"]:
            if one in self.outbox:
                self.kept[one] = self.outbox.pop(one)


@dataclass
class Figures:
    """What a run came to."""

    kills: int = 0
    killed_while_opening: int = 0
    answered: int = 0
    sent_again: int = 0
    lost: int = 0
    doubled: int = 0
    half_batches: int = 0
    unanswered: int = 0  # batches whose answer never came,
    unanswered_whole: int = 0  # and of these those that are there all the same
    unsound: int = 0
    differing: int = 0
    trouble: list[str] = field(default_factory=list)
    events: int = 0
    backups: int = 0
    bad_backups: int = 0
    restart_p95_s: float = 0.0
    wait_p99_s: float = 0.0
    seconds: float = 0.0

    @property
    def clean(self) -> bool:
        return not (
            self.lost or self.doubled or self.half_batches or self.unsound or self.differing
            or self.trouble or self.bad_backups
        )  # fmt: skip


class Run:
    """One database under fire."""

    def __init__(
        self, keeper: Keeper, *, url: str, data: Path, phones: int, seed: int, drop: float = 0.0
    ) -> None:
        self.keeper, self.url, self.data, self.drop = keeper, url, data, drop
        self.chance = random.Random(seed)
        self.jobs = Jobs()
        self.phones = [
            Phone(self.jobs, chance=random.Random(seed * 1_000 + n)) for n in range(phones)
        ]
        for phone in self.phones:
            phone.start()
        self.careless = False
        self.figures = Figures()
        self.restarts_s: list[float] = []
        self.between: Callable[[int], None] = lambda _: None

    def rounds(
        self, kills: int, *, longest_s: float, check_every: int = 50, back_up_every: int = 0
    ) -> None:
        """Serve, kill at a random moment, look, again; back up under fire now and then."""
        for number in range(1, kills + 1):
            self._round(longest_s, back_up=bool(back_up_every) and number % back_up_every == 0)
            self.figures.kills += 1
            self._half_batches()
            if number % check_every == 0:
                self._sound()
            self.between(number)

    def start(self) -> int:
        return self.keeper.start(
            url=self.url, data=str(self.data), drop=self.drop, careless=self.careless
        )

    def _round(self, longest_s: float, *, back_up: bool) -> None:
        began = time.perf_counter()
        pid = self.start()
        if self.chance.random() < 0.1 and not back_up:
            # In the middle of opening, or of making good what the last kill left.
            time.sleep(self.chance.uniform(0, 0.06))
            said = self.keeper.kill(pid)
            self.figures.killed_while_opening += "ready" not in said
            return
        port = int(self.keeper.next(PATIENCE_S)["ready"])
        self.let_go(port)
        if back_up:
            self._back_up(port)
        time.sleep(self.chance.uniform(0, longest_s))
        self.keeper.kill(pid)
        self.stand_still()
        firsts = [phone.first_answer_at for phone in self.phones if phone.first_answer_at]
        if firsts:
            self.restarts_s.append(min(firsts) - began)

    def _back_up(self, port: int) -> None:
        """One backup under fire: sound, and with all that was answered before it began."""
        answered = {key for phone in self.phones for key in list(phone.kept)}
        told = ask(port, do="backup", to=str(self.data / "under-fire"))
        path = Path(told["path"])
        there = present(f"sqlite:///{path}", answered)
        self.figures.backups += 1
        self.figures.bad_backups += trouble_in(path) is not None or there != answered
        path.unlink()

    def let_go(self, port: int) -> None:
        for phone in self.phones:
            phone.first_answer_at = 0.0
            phone.port = port
            phone.go.set()

    def stand_still(self) -> None:
        for phone in self.phones:
            phone.port = 0
            assert phone.idle.wait(ANSWER_S)

    def last_words(self, *, seconds: float = ANSWER_S) -> None:
        """A server that nobody kills, until every phone has its answers."""
        pid = self.start()
        port = int(self.keeper.next(PATIENCE_S)["ready"])
        until = time.monotonic() + seconds
        for phone in self.phones:
            phone.jobs.typed = -(10**9)  # no further job
        while any(phone.outbox for phone in self.phones) and time.monotonic() < until:
            for phone in self.phones:
                with contextlib.suppress(OSError, ValueError):
                    self._empty(phone, port)
        self.keeper.kill(pid)
        self._half_batches()

    def _empty(self, phone: Phone, port: int) -> None:
        """Everything once more; an entry may wait for the job that another phone still has."""
        address = ("127.0.0.1", port)
        waiting = list(phone.outbox.values())
        with socket.create_connection(address, timeout=ANSWER_S) as line, line.makefile("rw") as io:
            for start in range(0, len(waiting), 60):
                phone.send(io, waiting[start : start + 60])

    def count(self) -> Figures:
        """Hold what was answered against what is there."""
        figures = self.figures
        answered: dict[str, Event] = {}
        for phone in self.phones:
            phone.stop = True
            phone.go.set()
            answered |= phone.kept
            figures.sent_again += phone.sent_again
            figures.trouble += phone.trouble[:3]
            if phone.outbox:
                figures.trouble.append(f"{len(phone.outbox)} never answered")
        with Store.open(self.url, data=self.data, backup=False) as store:
            there: dict[str, str] = {}
            for line in store.jobs():
                kept = store.events(line.id)
                assert [one.arrival for one in kept] == list(range(1, len(kept) + 1))
                for one in kept:
                    figures.doubled += one.event.id in there
                    there[one.event.id] = content_of(one.event)
            figures.differing = len(store.differing())
        figures.events = len(there)
        figures.answered = len(answered)
        figures.lost = sum(there.get(key) != content_of(one) for key, one in answered.items())
        figures.restart_p95_s = share_of(self.restarts_s, 0.95)
        waits = [wait for phone in self.phones for wait in phone.waits_s]
        figures.wait_p99_s = share_of(waits, 0.99)
        self._sound()
        return figures

    def _half_batches(self) -> None:
        """A batch without an answer is there whole or not at all."""
        flying = [batch for phone in self.phones for batch in phone.flying]
        if not flying:
            return
        known = present(self.url, {one for batch in flying for one in batch})
        for phone in self.phones:
            for batch in phone.flying:
                # What came by an earlier batch, or lies in the tray, says nothing of this one.
                fresh = [one for one in batch if one in phone.outbox and one not in phone.arrived]
                came = [one in known for one in fresh]
                self.figures.half_batches += len(set(came)) > 1
                self.figures.unanswered += bool(came)
                self.figures.unanswered_whole += bool(came) and all(came)
                phone.arrived.update(one for one in fresh if one in known)
            phone.flying.clear()

    def _sound(self) -> None:
        if not self.url.startswith("sqlite"):
            return
        engines = Engines(self.url, read_only=True)
        with engines.reading() as connection:
            told = connection.exec_driver_sql("PRAGMA quick_check").scalars().all()
        engines.close()
        self.figures.unsound += told != ["ok"]


def ask(port: int, **words: Any) -> dict[str, Any]:
    """One question to a server that runs."""
    address = ("127.0.0.1", port)
    with socket.create_connection(address, timeout=PATIENCE_S) as line, line.makefile("rw") as io:
        io.write(json.dumps(words) + "\n")
        io.flush()
        told: dict[str, Any] = json.loads(io.readline())
        return told


def present(url: str, ids: set[str]) -> set[str]:
    """Which of these events are in the database, in a job or in the tray, asked past the store."""
    engines = Engines(url, read_only=True)
    try:
        with engines.reading() as connection:
            rows = connection.exec_driver_sql("SELECT id FROM events UNION SELECT id FROM tray")
            return ids & set(rows.scalars())
    finally:
        engines.close()


def share_of(values: list[float], share: float) -> float:
    """The value that this share of them does not exceed."""
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))] if ordered else 0.0
