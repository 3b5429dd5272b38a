"""A job into a folder and out of one, nothing lost on either way.

Beside the three files and the pictures the folder gets ``history.jsonl``: every event with its
arrival, and what lies in the tray. The files are what a person reads and edits; the history is what
makes the folder the same job again. A folder without it is a new job that begins with its files.
"""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

from overslab.ground.faults import Fault, Faulty
from overslab.job import faults as job_faults
from overslab.job.files import plain_text, text_of
from overslab.job.folders import FILES, starter_folder
from overslab.job.records import FolderTexts
from overslab.job.store import editing, facts, faults, rows
from overslab.job.store.fold import told
from overslab.job.store.keeper import Keeper
from overslab.job.store.kinds import as_text, fault_of
from overslab.job.store.photos import MOST_BYTES, ending_of, sync_folder, write_safely
from overslab.job.store.records import Event, KeptEvent, TrayEntry

HISTORY, PHOTOS = "history.jsonl", "photos"
MOST_HISTORY = 256 * 1024 * 1024
_FORMAT = {"overslab-history": 1}
# A name that is one on every system and leads nowhere else.
_SAFE_NAME = re.compile(
    r"""[^\x00-\x1f\x7f/\\:*?"<>|.\s][^\x00-\x1f\x7f/\\:*?"<>|]{0,100}\.(?:jpe?g|png|webp|heic)""",
    re.IGNORECASE,
)
_OF_WINDOWS = re.compile(r"(?:con|prn|aux|nul|com\d|lpt\d)\.", re.IGNORECASE)
_OF_THE_SYSTEM = {"thumbs.db", "desktop.ini"}


def texts_in(folder: Path) -> FolderTexts:
    """The three files of a folder as they were saved; ``Faulty`` with every fault found."""
    if not folder.is_dir():
        raise Faulty(job_faults.FOLDER_MISSING.met(value=folder, place=folder.name))
    found: list[Fault] = []
    texts: list[str] = []
    for file in FILES:
        try:
            text = text_of(folder / file)
            plain_text(text, file=file)
            texts.append(text)
        except Faulty as trouble:
            found += trouble.faults
    if found:
        raise Faulty(found)
    job_toml, shots_csv, rates_toml = texts
    return FolderTexts(job_toml=job_toml, shots_csv=shots_csv, rates_toml=rates_toml)


def starter_texts(name: str) -> FolderTexts:
    """The texts of the commented starter job under another name."""
    texts = texts_in(starter_folder())
    job_toml = facts.with_value(texts.job_toml, ["job", "name"], name)
    return replace(texts, job_toml=job_toml)


class Carrier:
    """Carries jobs between a store and folders."""

    def __init__(self, store: Keeper) -> None:
        self.store = store

    def bring_in(self, folder: Path, *, who: str, sample: bool) -> str:
        """See ``Store.import_folder``."""
        texts = texts_in(folder)
        pictures = _pictures(folder / PHOTOS)
        history = folder / HISTORY
        if not history.exists():
            return self._begun(folder, texts, pictures, who=who, sample=sample)
        kept, tray = _read_history(history)
        for data in pictures.values():
            self.store.put_photo(data)
        job = kept[0].event.job
        with self.store.batch(allowed=None) as batch:
            if batch.fold(job) is None:
                batch.take_whole(kept)
            else:
                batch.take([one.event for one in kept])
            for entry in tray:
                rows.put_in_tray(batch.connection, **entry)
        self._edited(job, kept, texts, who=who)
        self._more_pictures(job, pictures, who=who)
        return job

    def _begun(
        self,
        folder: Path,
        texts: FolderTexts,
        pictures: dict[str, bytes],
        *,
        who: str,
        sample: bool,
    ) -> str:
        name = facts.value_at(texts.job_toml, ["job", "name"])
        named = isinstance(name, str) and name.strip()
        called = str(name).strip() if named else folder.resolve().name
        job = self.store.begin(called[:200], who=who, texts=texts, sample=sample)
        self._more_pictures(job, pictures, who=who)
        return job

    def _edited(self, job: str, kept: Sequence[KeptEvent], texts: FolderTexts, *, who: str) -> None:
        """What a person changed in the files since they were written, as edits onto that state."""
        was = asdict(told(job, kept).texts())
        for key, text in asdict(texts).items():
            if text == was[key]:
                continue
            editing.change(
                self.store,
                job,
                based_on=0,
                kind="text-set",
                body={"file": key.replace("_", "."), "text": text},
                who=who,
                device=None,
                seen=frozenset(one.event.id for one in kept),
            )

    def _more_pictures(self, job: str, pictures: dict[str, bytes], *, who: str) -> None:
        """Pictures of the folder that no event names yet."""
        named = {
            one.event.body["sha256"]
            for one in self.store.events(job, kinds=frozenset({"photo-added"}))
        }
        for name, data in pictures.items():
            if self.store.put_photo(data) not in named:
                self.store.add_photo(job, data, who=who, about=name, name=name)

    def take_out(self, job_id: str, folder: Path) -> tuple[Path, ...]:
        """See ``Store.export_folder``."""
        job = self.store.job(job_id)
        kept = self.store.events(job_id)
        texts = job.folder_texts
        tray = self.store.tray(job_id, settled=True)
        files: dict[str, bytes | Path] = {
            "job.toml": texts.job_toml.encode(),
            "shots.csv": texts.shots_csv.encode(),
            "rates.toml": texts.rates_toml.encode(),
            HISTORY: _history(kept, tray).encode(),
        }
        pictures = self._named_pictures(kept)
        files |= {f"{PHOTOS}/{name}": path for name, path in pictures.items()}
        there = [name for name in files if (folder / name).exists()]
        if there or (folder.exists() and not folder.is_dir()):
            given = ", ".join(there[:5]) or folder
            raise Faulty(job_faults.WOULD_OVERWRITE.met(value=given, place=str(folder)))
        written: list[Path] = []
        try:
            folder.mkdir(parents=True, exist_ok=True)
            if pictures:
                (folder / PHOTOS).mkdir(exist_ok=True)
            for name, source in files.items():
                written.append(folder / name)
                data = source if isinstance(source, bytes) else source.read_bytes()
                write_safely(folder / name, data)
            sync_folder(folder)
        except OSError as trouble:
            for path in written:
                path.unlink(missing_ok=True)
            why = trouble.strerror or "unknown"
            raise Faulty(
                job_faults.CANNOT_WRITE.met(value=folder, place=str(folder), why=why)
            ) from None
        return tuple(written)

    def _named_pictures(self, kept: Sequence[KeptEvent]) -> dict[str, Path]:
        """Every picture of the history, under its own name where that is a safe one."""
        found: dict[str, Path] = {}
        taken: set[str] = set()
        done: set[str] = set()
        for one in kept:
            if one.event.kind != "photo-added" or one.event.body["sha256"] in done:
                continue
            sha256, name = one.event.body["sha256"], str(one.event.body.get("name", ""))
            path = self.store.photo(sha256)
            safe = _SAFE_NAME.fullmatch(name) and not _OF_WINDOWS.match(name)
            if not safe or name.casefold() in taken:
                name = f"{sha256[:16]}{path.suffix}"
            done.add(sha256)
            taken.add(name.casefold())
            found[name] = path
        return found


def _pictures(folder: Path) -> dict[str, bytes]:
    """The pictures of a folder by name; ``Faulty`` for whatever is no picture."""
    found: dict[str, bytes] = {}
    wrong: list[Fault] = []
    for path in sorted(folder.iterdir()) if folder.is_dir() else ():
        if path.name.startswith(".") or path.name.casefold() in _OF_THE_SYSTEM:
            continue
        place = f"{PHOTOS}/{path.name}"
        try:
            if not path.is_file():
                raise Faulty(faults.PHOTO_KIND.met(value=path.name))
            size = path.stat().st_size
            if size > MOST_BYTES:
                given, most = f"{size:,} bytes", f"{MOST_BYTES:,}"
                raise Faulty(faults.PHOTO_TOO_BIG.met(value=given, most=most))
            data = path.read_bytes()
            ending_of(data)
            found[path.name] = data
        except Faulty as trouble:
            wrong += [replace(fault, place=place) for fault in trouble.faults]
        except OSError as trouble:
            why = trouble.strerror
            wrong.append(job_faults.FILE_UNREADABLE.met(value=why, place=place, file=place))
    if wrong:
        raise Faulty(wrong)
    return found


def _history(kept: Sequence[KeptEvent], tray: Sequence[TrayEntry]) -> str:
    lines: list[dict[str, Any]] = [_FORMAT, *(asdict(one) for one in kept)]
    for entry in tray:
        told_of = asdict(entry)
        del told_of["number"]
        lines.append({"tray": told_of})
    return "".join(as_text(line) + "\n" for line in lines)


def _read_history(path: Path) -> tuple[list[KeptEvent], list[dict[str, Any]]]:
    """Events and what lay in the tray; ``Faulty`` unless every line is as it was written."""
    kept: list[KeptEvent] = []
    tray: list[dict[str, Any]] = []
    try:
        if path.stat().st_size > MOST_HISTORY:
            raise ValueError(f"it is bigger than {MOST_HISTORY:,} bytes")
        lines = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
        if not lines or lines[0] != _FORMAT:
            raise ValueError("its first line is not ours")
        for line in lines[1:]:
            inner = line.get("tray")
            if inner is not None:
                event = Event(**inner.pop("event"))
                words = {key: str(inner[key]) for key in ("code", "why", "received_at")}
                tray.append({"event": event, "settled": inner["settled"] is True, **words})
            else:
                kept.append(KeptEvent(**{**line, "event": Event(**line["event"])}))
    except OSError as trouble:
        raise Faulty(
            job_faults.FILE_UNREADABLE.met(value=trouble.strerror, place=HISTORY, file=HISTORY)
        ) from None
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError) as trouble:
        raise Faulty(
            faults.HISTORY_BROKEN.met(value=path, place=HISTORY, why=str(trouble)[:200])
        ) from None
    why = _unfit(kept)
    if why is not None:
        raise Faulty(faults.HISTORY_BROKEN.met(value=path, place=HISTORY, why=why))
    return kept, tray


def _unfit(kept: Sequence[KeptEvent]) -> str | None:
    if not kept or kept[0].event.kind != "job-begun":
        return "it does not start with the beginning of the job"
    if [one.arrival for one in kept] != list(range(1, len(kept) + 1)):
        return "entries are missing from it"
    for one in kept:
        fault = fault_of(one.event)
        if fault is not None:
            return fault.what
        if not isinstance(one.received_at, str) or not isinstance(one.by_office, bool):
            return "an entry does not say when it arrived"
    if {one.event.job for one in kept} != {kept[0].event.job}:
        return "it speaks of more than one job"
    return None
