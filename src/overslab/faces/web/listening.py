"""What really listens: loopback always, one address of the network while phones are let in."""

from __future__ import annotations

import asyncio
import contextlib
import os
import socket
from asyncio.events import TimerHandle
from collections.abc import Generator
from typing import Any

import uvicorn
from uvicorn.protocols.http.httptools_impl import HttpToolsProtocol

from overslab.faces.web import faults
from overslab.faces.web.certificates import Certificates
from overslab.ground.faults import Faulty

# An open event stream or a slow download may hold up the end for this long, and no longer.
GRACE_SECONDS = 3
HEAD_SECONDS = 15.0
_MOST_AT_ONCE = 2000


class Impatient(HttpToolsProtocol):
    """Closes a line on which the head of a request does not come to an end in time."""

    _late: TimerHandle | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        super().connection_made(transport)
        self._expect()

    def data_received(self, data: bytes) -> None:
        if self._late is None and (self.cycle is None or self.cycle.response_complete):
            self._expect()
        super().data_received(data)

    def on_headers_complete(self) -> None:
        self._came()
        super().on_headers_complete()

    def connection_lost(self, exc: Exception | None) -> None:
        self._came()
        super().connection_lost(exc)

    def _expect(self) -> None:
        self._late = self.loop.call_later(HEAD_SECONDS, self.transport.close)

    def _came(self) -> None:
        if self._late is not None:
            self._late.cancel()
            self._late = None


class _Server(uvicorn.Server):
    """One listener of several: signals are for the program as a whole."""

    @contextlib.contextmanager
    def capture_signals(self) -> Generator[None, None, None]:
        yield


class Listening:
    """Starts and ends listeners for one application within the running event loop."""

    def __init__(
        self, app: Any, *, port: int, secure_port: int, certificates: Certificates
    ) -> None:
        self._app = app
        self._port, self._secure_port = port, secure_port
        self._certificates = certificates
        self._desk: list[tuple[_Server, asyncio.Task[None]]] = []
        self._network: list[tuple[_Server, asyncio.Task[None]]] = []

    async def listen_here(self) -> None:
        """On loopback. Raises ``Faulty`` when the port is taken."""
        self._desk = [await self._start("127.0.0.1", self._port, secure=False)]

    async def listen(self, address: str) -> None:
        """On one address of the network, plain and secure, instead of the one before."""
        await self.leave()
        plain = await self._start(address, self._port, secure=False)
        self._network = [plain]
        self._network.append(await self._start(address, self._secure_port, secure=True))

    async def leave(self) -> None:
        """On loopback only."""
        ended, self._network = self._network, []
        await _end(ended)

    async def end(self) -> None:
        """Nowhere any more."""
        ended, self._desk, self._network = [*self._desk, *self._network], [], []
        await _end(ended)

    async def _start(
        self, address: str, port: int, *, secure: bool
    ) -> tuple[_Server, asyncio.Task[None]]:
        listener = bound(address, port)
        keys: dict[str, Any] = (
            {
                "ssl_certfile": self._certificates.chain_file,
                "ssl_keyfile": self._certificates.key_file,
            }
            if secure
            else {}
        )
        config = uvicorn.Config(
            self._app,
            http=Impatient,
            ws="none",
            lifespan="off",
            log_config=None,
            access_log=False,
            # Nobody stands in front of us; who says so in a header wants to look like the laptop.
            proxy_headers=False,
            server_header=False,
            limit_concurrency=_MOST_AT_ONCE,
            timeout_graceful_shutdown=GRACE_SECONDS,
            **keys,
        )
        server = _Server(config)
        task = asyncio.create_task(server.serve(sockets=[listener]))
        while not server.started and not task.done():
            await asyncio.sleep(0.01)
        if task.done():
            listener.close()
            await task
        return server, task


async def _end(listeners: list[tuple[_Server, asyncio.Task[None]]]) -> None:
    for server, _ in listeners:
        server.should_exit = True
    await asyncio.gather(*(task for _, task in listeners), return_exceptions=True)


def bound(address: str, port: int) -> socket.socket:
    """A socket on an address and port. Raises ``Faulty`` when the port is taken.

    It says that it speaks TCP: only then does the event loop send small answers at once instead
    of keeping each back for forty milliseconds until the other side has acknowledged its head.
    """
    family = socket.AF_INET6 if ":" in address else socket.AF_INET
    made = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    try:
        if os.name == "posix":
            # A port just left may be taken again at once; on Windows this would share it.
            made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        made.bind((address, port))
        made.set_inheritable(False)
    except OSError:
        made.close()
        raise Faulty(faults.PORT_TAKEN.met(value=f"{address}, port {port}")) from None
    return made
