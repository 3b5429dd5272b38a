"""The commands of the service: serve, backup, restore."""

from __future__ import annotations

from pathlib import Path

from overslab.faces.cli.outcome import print_json, say
from overslab.faces.cli.progress import progress

STORE_FILE = "overslab.db"


def serve_jobs(
    *,
    data: Path | None,
    database: str | None,
    port: int,
    secure_port: int,
    phones: bool | None,
    address: str | None,
    names: list[str],
    browser: bool,
) -> None:
    """Open the store and serve it until Ctrl-C."""
    with progress() as tell:
        tell("getting ready")
        from overslab.faces.web.serve import serve
        from overslab.faces.web.site import Settings
        from overslab.job.store import Store

        folder, url = _place(data, database)
        store = Store.open(url, data=folder)
    settings = Settings(data=folder, names=tuple(names), port=port, secure_port=secure_port)
    try:
        serve(
            store,
            settings=settings,
            phones=phones,
            address=address or "",
            browser=browser,
            say=say,
        )
    finally:
        store.close()


def back_up(to: Path | None, *, data: Path | None, database: str | None, as_json: bool) -> None:
    """One backup more, while the service runs or not."""
    from overslab.job.store import Store

    folder, url = _place(data, database)
    with progress() as tell:
        tell("backing up")
        with Store.open(url, data=folder, read_only=True) as store:
            made = store.backup(to)
    if as_json:
        print_json({"backup": str(made)})
    else:
        say(f"The backup is {made}. It was checked; keys and passwords are not in it.")


def bring_back(backup: Path, *, data: Path | None, database: str | None, as_json: bool) -> None:
    """Put a backup in the place of the store; what was there is set aside."""
    from overslab.job.store import Store

    folder, url = _place(data, database)
    with progress() as tell:
        tell("bringing the backup back")
        aside = Store.restore(backup, url=url, data=folder)
    if as_json:
        print_json({"restored": str(backup), "aside": str(aside) if aside else None})
        return
    say(f"Brought back: {backup}")
    if aside is not None:
        say(f"What was there before lies in {aside}; nothing was thrown away.")


def _place(data: Path | None, database: str | None) -> tuple[Path, str]:
    """The data folder and the address of the store."""
    folder = (data if data is not None else Path.home() / "overslab").expanduser().resolve()
    return folder, database or f"sqlite:///{folder / STORE_FILE}"
