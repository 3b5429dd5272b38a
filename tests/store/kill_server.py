"""A process that serves one store and is there to be killed; run by ``killing``, never by hand.

It loads everything once and then forks a server a round, so that a thousand starts cost a minute.
Commands and answers are JSON lines on the standard streams; phones talk to the forked server over a
socket, one JSON line a batch, as they would over http.
"""

from __future__ import annotations

import json
import os
import random
import socketserver
import sys
import threading
import traceback
from dataclasses import asdict
from pathlib import Path
from typing import Any

import alembic.command
import psycopg
import sqlalchemy.dialects.postgresql.psycopg
import sqlalchemy.dialects.sqlite.pysqlite

from overslab.ground.faults import Faulty
from overslab.job.store import CREW_KINDS, Event, Store
from overslab.job.store.schema import Schema

LOADED = (alembic.command, psycopg, sqlalchemy)  # before the fork, or every round pays for it


def say(**words: Any) -> None:
    os.write(1, (json.dumps(words) + "\n").encode())


class Answering(socketserver.StreamRequestHandler):
    """One phone's connection."""

    server: Server

    def handle(self) -> None:
        for line in self.rfile:
            answer = self.server.answer(json.loads(line))
            if answer is None:
                return  # the answer is lost on the way, after the commit
            self.wfile.write((json.dumps(answer) + "\n").encode())


class Server(socketserver.ThreadingTCPServer):
    daemon_threads = True
    request_queue_size = 64

    def __init__(self, store: Store, *, drop: float, careless: bool) -> None:
        super().__init__(("127.0.0.1", 0), Answering)
        self.store, self.drop = store, drop
        self.careless = careless  # answers before it keeps: what the count must catch

    def answer(self, asked: dict[str, Any]) -> dict[str, Any] | None:
        try:
            match asked["do"]:
                case "keep":
                    events = [Event(**one) for one in asked["events"]]
                    allowed = CREW_KINDS if asked["crew"] else None
                    if self.careless:
                        late = threading.Timer(0.02, self.store.keep, [events])
                        late.start()
                        return {"have": [one.id for one in events], "tray": []}
                    told = asdict(self.store.keep(events, allowed=allowed))
                case "backup":
                    told = {"path": str(self.store.backup(Path(asked["to"])))}
                case _:
                    told = {"jobs": len(self.store.jobs())}
        except Faulty as trouble:
            return {"fault": trouble.faults[0].code, "words": str(trouble)}
        return None if random.random() < self.drop else told


def serve(command: dict[str, Any]) -> None:
    more = [Path(path) for path in command.get("more", [])]
    store = Store.open(
        command["url"],
        data=Path(command["data"]),
        backup=command.get("backup", False),
        schema=Schema(*more) if more else None,
    )
    server = Server(store, drop=command.get("drop", 0.0), careless=command.get("careless", False))
    say(ready=server.server_address[1])
    if command.get("once"):
        store.close()
        return
    threading.Thread(target=server.serve_forever, daemon=True).start()
    threading.Event().wait()


def main() -> None:
    say(loaded=len(LOADED))
    for line in sys.stdin:
        pid = os.fork()
        if pid == 0:
            code = 0
            try:
                serve(json.loads(line))
            except BaseException:
                say(trouble=traceback.format_exc())
                code = 1
            os._exit(code)
        say(pid=pid)
        os.waitpid(pid, 0)
        say(gone=pid)


if __name__ == "__main__":
    main()
