"""The program as it runs: where it listens, how it starts and ends, and slow lines.

These start the real command and talk to it over real sockets.
"""

from __future__ import annotations

import asyncio
import contextlib
import datetime
import http.client
import json
import os
import random
import re
import secrets
import signal
import socket
import ssl
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from fastapi import FastAPI

from overslab.faces.cli.serving import back_up, bring_back, serve_jobs
from overslab.faces.web import listening
from overslab.faces.web.letting_in import addresses_here
from overslab.faces.web.listening import Listening, bound
from overslab.faces.web.serve import bring_sample, seconds_until
from overslab.faces.web.site import Site
from overslab.ground.faults import Faulty
from overslab.job.store import Store

NETWORK = addresses_here()
LONGEST = 60.0


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@dataclass
class Running:
    """The command at work. ``said`` is what its terminal shows."""

    process: subprocess.Popen[str]
    data: Path
    port: int
    secure_port: int
    said: str

    def ask(
        self, method: str, path: str, *, at: str = "localhost", secure: bool = False, **more: str
    ) -> tuple[int, dict[str, str], str]:
        """One request; the body as text."""
        line: http.client.HTTPConnection
        if secure:
            trust = ssl.create_default_context(cafile=str(self.data / "keys" / "root.pem"))
            line = http.client.HTTPSConnection(at, self.secure_port, context=trust, timeout=LONGEST)
        else:
            line = http.client.HTTPConnection(at, self.port, timeout=LONGEST)
        headers = {"Sec-Fetch-Site": "same-origin", **more}
        body = headers.pop("body", None)
        with contextlib.closing(line):
            line.request(method, path, body=body, headers=headers)
            answer = line.getresponse()
            heads = {name.lower(): value for name, value in answer.getheaders()}
            return answer.status, heads, answer.read().decode()

    def post(self, path: str, body: str = "") -> int:
        token = re.search(r'name="form-token" content="(\w+)"', self.ask("GET", "/pair")[2])
        assert token is not None
        kind = {"Content-Type": "application/x-www-form-urlencoded"}
        return self.ask("POST", path, body=f"form_token={token[1]}&{body}", **kind)[0]


@contextlib.contextmanager
def running(data: Path, *more: str) -> Iterator[Running]:
    port, secure_port = free_port(), free_port()
    command = [sys.executable, "-m", "overslab", "serve", "--data", str(data), *more]
    command += ["--port", str(port), "--secure-port", str(secure_port), "--no-browser"]
    environment = {**os.environ, "PYTHONUNBUFFERED": "1", "PYTHONWARNINGS": "error"}
    process = subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, env=environment
    )
    assert process.stdout is not None
    said = []
    for line in process.stdout:
        said.append(line)
        if line.startswith("Ctrl-C"):
            break
    try:
        yield Running(process, data, port, secure_port, "".join(said))
    finally:
        if process.poll() is None:
            process.kill()
        process.stdout.close()
        process.wait()


def test_k1_killed_while_phones_send(tmp_path: Path) -> None:
    """The service itself killed under the hands of four phones; ``make soak`` does it at length."""
    data, chance = tmp_path / "jobs", random.Random(11)
    data.mkdir()
    with Store.open(f"sqlite:///{data / 'overslab.db'}", data=data, backup=False) as store:
        job = store.begin("Under fire", who="office")
    phones = [_Sender(job, f"{n:032x}") for n in range(1, 5)]
    for _ in range(2):
        with running(data, "--laptop-only") as laptop:
            threads = [threading.Thread(target=one.send_to, args=(laptop,)) for one in phones]
            for thread in threads:
                thread.start()
            end = time.monotonic() + LONGEST
            wanted = sum(len(one.kept) for one in phones) + chance.randint(10, 60)
            while sum(len(one.kept) for one in phones) < wanted:
                assert time.monotonic() < end
                time.sleep(0.001)
            laptop.process.kill()
            for thread in threads:
                thread.join(LONGEST)
                assert not thread.is_alive()
    assert all(one.trouble == [] for one in phones)
    with Store.open(f"sqlite:///{data / 'overslab.db'}", data=data, backup=False) as store:
        arrived = [one.event for one in store.events(job)]
        assert store.differing() == ()
    ids = [one.id for one in arrived]
    assert len(set(ids)) == len(ids)
    assert {one for phone in phones for one in phone.kept} <= set(ids)
    texts = {one.id: one.body.get("text") for one in arrived}
    for phone in phones:
        assert {key: texts[key] for key in phone.kept} == phone.kept


@dataclass
class _Sender:
    """A phone that sends note after note, and anew what was not answered."""

    job: str
    device: str
    kept: dict[str, str] = field(default_factory=dict)
    waiting: dict[str, dict[str, object]] = field(default_factory=dict)
    trouble: list[str] = field(default_factory=list)
    seq: int = 0

    def send_to(self, laptop: Running) -> None:
        kind = {"Content-Type": "application/json", "Accept": "application/json"}
        while True:
            for _ in range(5):
                self.seq += 1
                key = secrets.token_hex(16)
                self.waiting[key] = {
                    "id": key, "job": self.job, "device": self.device, "seq": self.seq,
                    "kind": "note-kept", "body": {"text": f"note {self.seq} of {self.device}"},
                    "made_at": "2026-01-05T08:00:00+00:00", "who": "Sam",
                }  # fmt: skip
            body = json.dumps({"events": list(self.waiting.values())[:100]})
            try:
                status, _, told = laptop.ask("POST", "/sync", body=body, **kind)
            except (OSError, http.client.HTTPException):
                return  # the laptop is gone
            if status != 200:
                self.trouble.append(told)
                return
            answer = json.loads(told)
            self.trouble += [one["why"] for one in answer["tray"]]
            for key in answer["have"]:
                sent = self.waiting.pop(key)
                self.kept[key] = sent["body"]["text"]  # type: ignore[index]


def reaches(address: str, port: int) -> bool:
    try:
        socket.create_connection((address, port), timeout=5).close()
    except OSError:
        return False
    return True


def test_from_the_first_start_to_the_end(tmp_path: Path) -> None:
    with running(tmp_path / "jobs") as laptop:
        assert f"http://localhost:{laptop.port}" in laptop.said
        assert "First: look at the sample job" in laptop.said
        status, heads, page = laptop.ask("GET", "/")
        assert status == 200
        assert "sample" in page.lower()
        assert heads["cache-control"] == "no-store"
        assert laptop.ask("GET", "/", Host="evil.example")[0] == 421
        for address in [*NETWORK, "127.0.0.2"]:
            assert not reaches(address, laptop.port)
            assert not reaches(address, laptop.secure_port)
        for address in NETWORK[:1]:
            _let_in_and_shut_out(laptop, address)
        for process in children(laptop.process.pid):
            os.kill(process, signal.SIGKILL)
        assert laptop.ask("GET", "/")[0] == 200, "a dead solver is not a dead server"
        held = http.client.HTTPConnection("localhost", laptop.port, timeout=LONGEST)
        held.request("GET", "/pair")
        held.getresponse().read()
        laptop.process.send_signal(signal.SIGINT)
        assert laptop.process.wait(timeout=LONGEST) == 0
        assert laptop.process.stdout is not None
        assert "Traceback" not in laptop.process.stdout.read()
        held.close()


def _let_in_and_shut_out(laptop: Running, address: str) -> None:
    """Where this machine has a private address, phones come in by it, and only while they may."""
    shown = f"[{address}]" if ":" in address else address
    assert f"http://{shown}:{laptop.port}/pair" in laptop.said
    assert "▀" in laptop.said, "the code to scan"
    assert laptop.post("/phones/open", f"address={address}") == 303
    assert laptop.ask("GET", "/pair", at=address)[0] == 200
    assert laptop.ask("GET", "/phones", at=address)[0] == 403
    assert laptop.ask("GET", "/pair", at=address, secure=True)[0] == 200
    assert laptop.post("/phones/close") == 303
    assert not reaches(address, laptop.port)
    assert not reaches(address, laptop.secure_port)
    assert laptop.ask("GET", "/phones")[0] == 200


def children(parent: int) -> list[int]:
    """Processes that this one started, as Linux lists them."""
    listed = Path(f"/proc/{parent}/task/{parent}/children")
    return [int(one) for one in listed.read_text().split()] if listed.exists() else []


def test_a_port_that_is_taken_is_told_in_words(tmp_path: Path) -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        with pytest.raises(Faulty, match="another program already listens there"):
            serve_jobs(
                data=tmp_path / "jobs",
                database=None,
                port=other.getsockname()[1],
                secure_port=free_port(),
                phones=None,
                address=None,
                names=[],
                browser=False,
            )
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


def test_a_backup_is_made_beside_the_service_and_brought_back(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    data = tmp_path / "jobs"
    address = f"sqlite:///{_made(data) / 'overslab.db'}"
    with Store.open(address, data=data) as store:
        job = store.begin("Kept", who="office")
        back_up(tmp_path / "stick", data=data, database=None, as_json=True)
        backup = Path(json.loads(capsys.readouterr().out)["backup"])
        store.begin("Later", who="office")
    assert backup.parent == tmp_path / "stick"
    bring_back(backup, data=data, database=address, as_json=False)
    assert "nothing was thrown away" in capsys.readouterr().out
    with Store.open(address, data=data) as store:
        assert [one.id for one in store.jobs()] == [job]


def _made(folder: Path) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def test_small_answers_are_not_kept_back() -> None:
    """Accepted lines inherit what makes the event loop switch the waiting off."""
    with bound("127.0.0.1", 0) as listener:
        listener.listen()
        with socket.create_connection(listener.getsockname()):
            line, _ = listener.accept()
            with line:
                assert line.proto == socket.IPPROTO_TCP


def test_the_sample_is_brought_once_and_stays_away(app: FastAPI, store: Store) -> None:
    site: Site = app.state.site
    bring_sample(store, site)
    (line,) = store.jobs()
    assert line.sample
    store.remove_sample(line.id)
    bring_sample(store, site)
    assert store.jobs() == ()


@pytest.mark.parametrize(
    ("now", "seconds"),
    [("2026-01-05T02:29:00+00:00", 60), ("2026-01-05T02:30:00+00:00", 86400)],
)
def test_the_night_comes_once_a_day(now: str, seconds: float) -> None:
    at = datetime.datetime.fromisoformat(now)
    assert seconds_until(datetime.time(2, 30), at) == seconds


def test_a_line_on_which_nothing_comes_is_closed_and_harms_nobody(
    app: FastAPI, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two hundred lines that send half a head: others are served, and then they are closed."""
    monkeypatch.setattr(listening, "HEAD_SECONDS", 0.6)
    site: Site = app.state.site
    port = free_port()

    async def ask() -> bytes:
        reader, writer = await asyncio.open_connection("127.0.0.1", port)
        host = f"localhost:{port}"
        writer.write(f"GET /pair HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n".encode())
        answer = await reader.read()
        writer.close()
        return answer

    async def play() -> tuple[list[bytes], list[bytes], bytes]:
        here = Listening(
            app, port=port, secure_port=free_port(), certificates=site.entrance.certificates
        )
        await here.listen_here()
        with pytest.raises(Faulty, match="already listens"):
            await here.listen_here()
        slow = [await asyncio.open_connection("127.0.0.1", port) for _ in range(200)]
        for place, (_, writer) in enumerate(slow):
            writer.write(b"GET /pair HTTP/1.1\r\nHo"[: place % 20])
        meanwhile = [await ask() for _ in range(5)]
        ends = [await asyncio.wait_for(reader.read(), LONGEST) for reader, _ in slow]
        # A line that was used and kept is judged anew by its next request.
        reader, writer = await asyncio.open_connection("127.0.0.1", port)
        writer.write(f"GET /pair HTTP/1.1\r\nHost: localhost:{port}\r\n\r\n".encode())
        await reader.readuntil(b"</html>")
        writer.write(b"GET /pa")
        kept = await asyncio.wait_for(reader.read(), LONGEST)
        for _, one in [*slow, (reader, writer)]:
            one.close()
        await here.end()
        return meanwhile, ends, kept

    meanwhile, ends, kept = asyncio.run(play())
    assert all(answer.startswith(b"HTTP/1.1 200") for answer in meanwhile)
    assert set(ends) == {b""}
    assert b"HTTP/1.1" not in kept
