"""``overslab serve``: the program as a service on a laptop, from start to Ctrl-C."""

from __future__ import annotations

import asyncio
import contextlib
import datetime
import gc
import logging
import logging.handlers
import signal
import webbrowser
from collections.abc import Callable, Iterator
from pathlib import Path

from overslab.faces.web.app import create_app
from overslab.faces.web.codes import lines_of
from overslab.faces.web.letting_in import addresses_here, bracketed
from overslab.faces.web.listening import Listening
from overslab.faces.web.site import Settings, Site
from overslab.ground.faults import Faulty
from overslab.job import sample_folder
from overslab.job.store import Store

SAMPLE = "farm-shop"
_NETWORK_EVERY = 15.0
_NIGHT = datetime.time(2, 30)
_SAMPLE_SHOWN = "sample"
log = logging.getLogger("overslab.web")

Say = Callable[[str], None]


def serve(
    store: Store,
    *,
    settings: Settings,
    phones: bool | None = None,
    address: str = "",
    browser: bool = False,
    say: Say,
) -> None:
    """Serve until Ctrl-C or a request to end.

    ``phones`` True lets phones in, False shuts them out, None leaves it as the owner left it.
    Raises ``Faulty`` when the port is taken.
    """
    with _log_file(settings.data / "log"):
        asyncio.run(_serve(store, settings, phones, address, browser, say))


def spare_memory() -> None:
    """What was loaded at the start stays for good and is not searched for what can go: each such
    search takes a tenth of a second, in which nobody is answered."""
    gc.collect()
    gc.freeze()


def bring_sample(store: Store, site: Site) -> None:
    """At the very first start: the sample job, so that there is something to look at."""
    if site.doors.said(_SAMPLE_SHOWN):
        return
    if not store.jobs(limit=1):
        store.import_folder(sample_folder(SAMPLE), who="overslab", sample=True)
    site.doors.say(_SAMPLE_SHOWN, "brought")


async def _serve(
    store: Store,
    settings: Settings,
    phones: bool | None,
    address: str,
    browser: bool,
    say: Say,
) -> None:
    app = create_app(store, settings=settings)
    site: Site = app.state.site
    listening = Listening(
        app,
        port=settings.port,
        secure_port=settings.secure_port,
        certificates=site.entrance.certificates,
    )
    async with app.router.lifespan_context(app):
        try:
            await asyncio.to_thread(bring_sample, store, site)
            await listening.listen_here()
            site.entrance.attach(listening)
            if phones is False:
                await site.entrance.close()
            elif phones or site.entrance.was_open:
                await site.entrance.open(address)
            for line in await asyncio.to_thread(store.jobs, limit=1, state="open"):
                # The first one looked at is ready by the time somebody looks.
                await asyncio.to_thread(site.walks.look, line.id)
            spare_memory()
            here = f"http://localhost:{settings.port}"
            say(welcome(site, here))
            if browser:
                await asyncio.to_thread(webbrowser.open, here)
            chores = [
                asyncio.create_task(_follow_network(site)),
                asyncio.create_task(_nightly(store, site)),
            ]
            with _end_on_signal() as ended:
                await ended.wait()
            for chore in chores:
                chore.cancel()
            await asyncio.gather(*chores, return_exceptions=True)
        finally:
            await listening.end()


def welcome(site: Site, here: str) -> str:
    """What the terminal says at the start: the address, the code, what to do first."""
    lines = [
        f"Open on this laptop: {here}",
        "First: look at the sample job there, then begin one of your own.",
        "",
    ]
    door = site.entrance.now_at
    if door is not None:
        lines += [
            f"Phones are let in at {door.open_line} (open line) and {door.secure_line} (https).",
            lines_of(f"{door.open_line}/pair"),
            'Scan, then press "let in" under Phones and links.',
        ]
    else:
        found = addresses_here()
        lines.append("Only this laptop can open it. For phones: press Let phones in, or --phones.")
        if found:
            future = f"http://{bracketed(found[0])}:{site.settings.port}/pair"
            lines += [f"Then a phone scans this ({future}):", lines_of(future)]
    lines.append("Ctrl-C ends it; everything kept is on the disk.")
    return "\n".join(lines)


def seconds_until(time: datetime.time, now: datetime.datetime) -> float:
    """Seconds from ``now`` to the next time the clock shows ``time``."""
    then = datetime.datetime.combine(now.date(), time, now.tzinfo)
    if then <= now:
        then += datetime.timedelta(days=1)
    return (then - now).total_seconds()


async def _follow_network(site: Site) -> None:
    while True:
        await asyncio.sleep(_NETWORK_EVERY)
        try:
            if await site.entrance.follow_network() and site.entrance.now_at is not None:
                site.doors.note(f"the laptop's address is now {site.entrance.now_at.address}")
        except (Faulty, OSError) as trouble:
            log.warning("the new address could not be used: %s", trouble)


async def _nightly(store: Store, site: Site) -> None:
    while True:
        await asyncio.sleep(seconds_until(_NIGHT, datetime.datetime.now().astimezone()))
        try:
            await asyncio.to_thread(store.nightly)
            site.doors.note("nightly backup")
        except Exception as trouble:
            # Told on the page of backups too; the next night tries again.
            log.exception("the nightly backup failed")
            site.doors.note(f"nightly backup failed: {type(trouble).__name__}")


@contextlib.contextmanager
def _end_on_signal() -> Iterator[asyncio.Event]:
    """Set by Ctrl-C or a request to end; afterwards signals mean what they meant before."""
    ended, loop = asyncio.Event(), asyncio.get_running_loop()

    def end(*_: object) -> None:
        loop.call_soon_threadsafe(ended.set)

    names = [name for name in ("SIGINT", "SIGTERM", "SIGBREAK") if hasattr(signal, name)]
    before = {name: signal.signal(getattr(signal, name), end) for name in names}
    try:
        yield ended
    finally:
        for name, handler in before.items():
            signal.signal(getattr(signal, name), handler)


@contextlib.contextmanager
def _log_file(folder: Path) -> Iterator[None]:
    """Faults of the program go into a file, with their tracebacks; never into a page."""
    folder.mkdir(parents=True, exist_ok=True)
    handler = logging.handlers.RotatingFileHandler(
        folder / "server.log", maxBytes=1_000_000, backupCount=4, encoding="utf-8"
    )
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(name)s: %(message)s"))
    names = [logging.getLogger(name) for name in ("overslab.web", "uvicorn.error")]
    for one in names:
        one.addHandler(handler)
        one.propagate = False
        one.setLevel(logging.WARNING)
    try:
        yield
    finally:
        for one in names:
            one.removeHandler(handler)
        handler.close()
