"""Photos in pieces: a phone at the end of the Wi-Fi sends on from where it was cut off.

A photo is known by the hash of what the phone sends until it is whole; then it is drawn anew like
every picture, and known by the hash of what is kept.
"""

from __future__ import annotations

import hashlib
import re
import time
from pathlib import Path

from overslab.faces.web.field import faults
from overslab.ground.faults import Faulty

MOST_BYTES = 8 * 1024 * 1024  # the phone makes a photo smaller before it is sent
MOST_PIECE = 1024 * 1024
_MOST_WAITING = 200 * 1024 * 1024
_FORGOTTEN_S = 7 * 24 * 3600.0
_HASH = re.compile(r"[0-9a-f]{64}")
_JPEG = b"\xff\xd8\xff"


class Pieces:
    """The photos that have begun to come in, each a file named by its hash."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder / "photos-coming"

    def have(self, sha256: str) -> int:
        """How many bytes of a photo are here already."""
        path = self._path(sha256)
        return path.stat().st_size if path.exists() else 0

    def add(self, *, sha256: str, offset: int, piece: bytes, whole: int) -> int | bytes:
        """Takes the next piece; gives how many bytes are here, or the photo after the last."""
        path = self._path(sha256)
        if not 0 < whole <= MOST_BYTES:
            raise self._unfit(f"{whole} bytes in all")
        here = self.have(sha256)
        if offset != here:
            return here  # said again or out of order: the phone goes on from what is here
        if not piece or len(piece) > MOST_PIECE or offset + len(piece) > whole:
            raise self._unfit("its length is not what was told")
        if offset == 0 and not piece.startswith(_JPEG):
            raise self._unfit("it is no JPEG")
        self._make_room()
        with path.open("ab") as file:
            file.write(piece)
        here += len(piece)
        if here < whole:
            return here
        data = path.read_bytes()
        path.unlink()
        if hashlib.sha256(data).hexdigest() != sha256:
            raise self._unfit("the whole is not what was told")
        return data

    def _path(self, sha256: str) -> Path:
        if not _HASH.fullmatch(sha256):
            raise self._unfit("its name is no hash")
        return self._folder / sha256

    def _make_room(self) -> None:
        self._folder.mkdir(parents=True, exist_ok=True)
        waiting = 0
        for path in self._folder.iterdir():
            said = path.stat()
            if time.time() - said.st_mtime > _FORGOTTEN_S:
                path.unlink(missing_ok=True)
            else:
                waiting += said.st_size
        if waiting > _MOST_WAITING:
            raise self._unfit("too many photos are half sent already")

    def _unfit(self, why: str) -> Faulty:
        return Faulty(faults.PHOTO_PIECE.met(value="a photo", why=why, most=f"{MOST_BYTES:,}"))
