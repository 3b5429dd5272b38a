"""Pictures as files under the name of their own fingerprint, beside the database."""

from __future__ import annotations

import hashlib
import os
import re
import time
from collections.abc import Iterator
from pathlib import Path

from overslab.ground.faults import Faulty
from overslab.job.store import faults
from overslab.job.store.engines import disk_said

MOST_BYTES = 25_000_000
UNNAMED_DAYS = 7  # a picture no entry names is kept so long: its phone may be without signal
_HASH = re.compile(r"[0-9a-f]{64}")
_HEIF_BRANDS = (b"heic", b"heix", b"hevc", b"mif1", b"msf1", b"heim", b"heis")


def ending_of(data: bytes) -> str:
    """jpg, png, webp or heic, told by the first bytes; ``Faulty`` for anything else."""
    if data.startswith(b"\xff\xd8\xff"):
        return "jpg"
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        return "png"
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return "webp"
    if data[4:8] == b"ftyp" and data[8:12] in _HEIF_BRANDS:
        return "heic"
    raise Faulty(faults.PHOTO_KIND.met(value=f"{len(data):,} bytes beginning {data[:8]!r}"))


class Photos:
    """The folder of pictures."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def put(self, data: bytes) -> str:
        """Keep a picture; gives its fingerprint once it lies safely on the disk."""
        if len(data) > MOST_BYTES:
            raise Faulty(
                faults.PHOTO_TOO_BIG.met(value=f"{len(data):,} bytes", most=f"{MOST_BYTES:,}")
            )
        ending = ending_of(data)
        name = hashlib.sha256(data).hexdigest()
        path = self.folder / name[:2] / f"{name}.{ending}"
        try:
            if not (path.exists() and path.read_bytes() == data):
                path.parent.mkdir(parents=True, exist_ok=True)
                write_safely(path, data)
        except OSError as trouble:
            raise disk_said(trouble) from trouble
        return name

    def find(self, sha256: str) -> Path | None:
        if not _HASH.fullmatch(sha256):
            return None
        return next((self.folder / sha256[:2]).glob(f"{sha256}.*"), None)

    def all(self) -> Iterator[Path]:
        return (path for path in self.folder.glob("??/*.*") if _HASH.fullmatch(path.stem))

    def sweep(self, named: frozenset[str]) -> int:
        """Take away pictures that no entry names and that have lain a week, and torn leftovers."""
        gone = 0
        for path in list(self.folder.glob("??/*")):
            whole = _HASH.fullmatch(path.stem) is not None
            age_s = time.time() - path.stat().st_mtime
            if (not whole and age_s > 3600) or (
                whole and path.stem not in named and age_s > UNNAMED_DAYS * 86400
            ):
                path.unlink(missing_ok=True)
                gone += 1
        return gone


def write_safely(path: Path, data: bytes) -> None:
    """Whole or not at all: beside it, onto the disk, then under its name."""
    beside = path.with_name(f".{path.name}.{os.getpid()}.{time.monotonic_ns()}")
    try:
        with beside.open("xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
        sync_folder(path.parent)
    finally:
        beside.unlink(missing_ok=True)


def sync_file(path: Path) -> None:
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def sync_folder(folder: Path) -> None:
    """That the name, too, lies on the disk. Windows has no such call and needs none."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
