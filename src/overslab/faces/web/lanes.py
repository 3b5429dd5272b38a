"""One process that works for us, and the thread that minds it: progress, limits, crashes."""

from __future__ import annotations

import multiprocessing
import threading
import time
from collections.abc import Callable
from concurrent.futures import Future
from multiprocessing.connection import Connection
from multiprocessing.context import SpawnProcess
from typing import NamedTuple

from overslab.faces.web import faults
from overslab.faces.web.walker import DROP, PaperTask, Progress, Result, RevisionTask, WalkTask, run

Task = WalkTask | PaperTask | RevisionTask
_START = 60.0  # seconds for the process to come up and load its libraries, beside the task's own


class Crashed(Exception):
    """The process went away, or was sent away, before it answered."""

    def __init__(self, result: Result) -> None:
        self.result = result
        super().__init__(str(result.faults[0]))


class _NeverBegun(Crashed):
    """The process was gone before it said anything of the task."""


class _Order(NamedTuple):
    task: Task
    tell: Callable[[str], None]
    answer: Future[Result]


class Lane:
    """Does one task after the other, the latest asked first; the oldest of too many is let go."""

    def __init__(self, name: str, *, seconds: float, most_waiting: int = 30) -> None:
        self._name = name
        self._seconds = seconds
        self._most = most_waiting
        self._wanted = threading.Condition()
        self._sending = threading.Lock()
        self._orders: list[_Order] = []
        self._ended = False
        self._process: SpawnProcess | None = None
        self._pipe: Connection | None = None
        self._thread: threading.Thread | None = None

    @property
    def process_id(self) -> int | None:
        process = self._process
        return process.pid if process is not None and process.is_alive() else None

    def ask(self, task: Task, *, tell: Callable[[str], None] = lambda _: None) -> Future[Result]:
        """The answer to come. Its exception is ``Crashed``; cancelled when it was let go."""
        order = _Order(task, tell, Future())
        with self._wanted:
            if self._ended:
                order.answer.cancel()
                return order.answer
            self._orders.append(order)
            while len(self._orders) > self._most:
                self._orders.pop(0).answer.cancel()
            if self._thread is None:
                self._thread = threading.Thread(target=self._mind, name=self._name, daemon=True)
                self._thread.start()
            self._wanted.notify()
        return order.answer

    def drop_current(self) -> None:
        """Ask the process to stop between two rooms; what it was at is asked for anew later."""
        pipe = self._pipe
        if pipe is not None:
            try:
                with self._sending:
                    pipe.send(DROP)
            except OSError:
                return

    def close(self) -> None:
        """End the thread and the process."""
        with self._wanted:
            self._ended = True
            for order in self._orders:
                order.answer.cancel()
            self._orders.clear()
            self._wanted.notify()
            process = self._process
        if process is not None:
            # The thread hears of it at its end of the pipe, which is its own to close: a pipe that
            # is closed under one who waits at it never wakes him.
            process.kill()
        if self._thread is not None:
            self._thread.join(timeout=10)

    def _mind(self) -> None:
        while True:
            with self._wanted:
                while not self._orders and not self._ended:
                    self._wanted.wait()
                if self._ended:
                    break
                order = self._orders.pop()
            if not order.answer.set_running_or_notify_cancel():
                continue
            try:
                order.answer.set_result(self._done(order))
            except Exception as trouble:
                # Whatever it was, this thread goes on minding the next order.
                order.answer.set_exception(trouble)
        self._send_away()

    def _done(self, order: _Order) -> Result:
        try:
            return self._tried(order)
        except _NeverBegun as trouble:
            if self._ended:
                raise Crashed(trouble.result) from None
            # It had gone while there was nothing to do; that is nobody's fault. Once more.
            try:
                return self._tried(order)
            except _NeverBegun as trouble:
                raise Crashed(trouble.result) from None

    def _tried(self, order: _Order) -> Result:
        end = time.monotonic() + self._seconds
        if self.process_id is None:
            self._begin()
            end += _START
        pipe = self._pipe
        assert pipe is not None
        begun = False
        try:
            with self._sending:
                pipe.send(order.task)
            while pipe.poll(max(0.0, end - time.monotonic())):
                message = pipe.recv()
                begun = True
                if isinstance(message, Result):
                    return message
                if isinstance(message, Progress):
                    order.tell(message.says)
        except (EOFError, OSError):
            self._send_away()
            value = "the process that works things out ended by itself"
            result = Result(faults=(faults.WALK_CRASHED.met(value=value),), broken=True)
            raise (Crashed if begun else _NeverBegun)(result) from None
        self._send_away()
        slow = faults.WALK_SLOW.met(value="no answer", seconds=f"{self._seconds:g}")
        raise Crashed(Result(faults=(slow,), broken=True))

    def _begin(self) -> None:
        # Spawned, never forked: a fork would carry locks of our threads and of the solver along.
        context = multiprocessing.get_context("spawn")
        ours, theirs = context.Pipe()
        process = context.Process(target=run, args=(theirs,), name=self._name, daemon=True)
        process.start()
        theirs.close()
        with self._wanted:
            self._process, self._pipe = process, ours
            if self._ended:
                process.kill()

    def _send_away(self) -> None:
        process, pipe, self._process, self._pipe = self._process, self._pipe, None, None
        if pipe is not None:
            pipe.close()
        if process is not None:
            process.kill()
            process.join(timeout=10)
