"""Pictures are told by their content, lie under their fingerprint, and are whole or not there."""

from __future__ import annotations

import errno
import hashlib
import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from made_events import PNG, event

from conftest import Place
from overslab.ground.faults import Faulty
from overslab.job import sample_folder
from overslab.job.store import CREW_KINDS, NotKept, Store

PICTURES = {
    "jpg": b"\xff\xd8\xff\xe0\x00\x10JFIF",
    "png": PNG,
    "webp": b"RIFF\x24\x00\x00\x00WEBPVP8 ",
    "heic": b"\x00\x00\x00\x18ftypheic\x00\x00\x00\x00",
}
NO_PICTURES = {
    "nothing": b"",
    "svg": b"<svg xmlns='http://www.w3.org/2000/svg'><script/></svg>",
    "html": b"<!doctype html><script>1</script>",
    "gif": b"GIF89a",
    "program": b"MZ\x90\x00",
    "pdf": b"%PDF-1.7",
    "film": b"\x00\x00\x00\x18ftypisom\x00\x00\x00\x00",
    "picture further on": b" " + PNG,
}


@pytest.fixture
def photo_store(file_place: Place) -> Iterator[Store]:
    with file_place.open() as store:
        yield store


@pytest.mark.parametrize(("ending", "data"), PICTURES.items(), ids=PICTURES.keys())
def test_a_picture_lies_under_its_fingerprint(photo_store: Store, ending: str, data: bytes) -> None:
    sha256 = photo_store.put_photo(data)
    assert sha256 == hashlib.sha256(data).hexdigest()
    path = photo_store.photo(sha256)
    assert path.name == f"{sha256}.{ending}"
    assert path.read_bytes() == data
    assert photo_store.put_photo(data) == sha256
    assert photo_store.health().photos == 1


@pytest.mark.parametrize("data", NO_PICTURES.values(), ids=NO_PICTURES.keys())
def test_what_is_no_picture_is_refused(photo_store: Store, data: bytes) -> None:
    with pytest.raises(Faulty) as caught:
        photo_store.put_photo(data)
    assert caught.value.faults[0].code == "photo-kind"


def test_a_picture_too_big_is_refused(photo_store: Store) -> None:
    with pytest.raises(Faulty) as caught:
        photo_store.put_photo(PNG + bytes(25_000_000))
    assert caught.value.faults[0].code == "photo-too-big"


@pytest.mark.parametrize(
    "name", ["", "../../etc/passwd", "*", "0" * 63, "0" * 64, "A" * 64, "0" * 64 + "/..", "\0"]
)
def test_no_other_file_is_a_picture(photo_store: Store, name: str) -> None:
    photo_store.put_photo(PNG)
    with pytest.raises(Faulty) as caught:
        photo_store.photo(name)
    assert caught.value.faults[0].code == "photo-unknown"


def test_a_spoiled_picture_is_made_good_when_it_comes_again(photo_store: Store) -> None:
    path = photo_store.photo(photo_store.put_photo(PNG))
    path.write_bytes(PNG[:20])
    photo_store.put_photo(PNG)
    assert path.read_bytes() == PNG


def test_no_entry_names_a_picture_that_is_not_there(photo_store: Store) -> None:
    job = photo_store.import_folder(sample_folder("cannot-all"), who="office")
    body = {"sha256": hashlib.sha256(PNG).hexdigest(), "about": "door", "at": ["1 ft", "2 ft"]}
    entry = event(job, "photo-added", body, seq=1)
    assert [one.code for one in photo_store.keep([entry]).tray] == ["photo-not-there"]
    photo_store.put_photo(PNG)
    assert photo_store.keep([entry], allowed=CREW_KINDS).have == (entry.id,)
    (thing,) = (one for one in photo_store.job(job).things if one.kind == "photo")
    assert thing.body == {**body}
    assert photo_store.tray(job) == ()


@pytest.mark.parametrize(("number", "full"), [(errno.ENOSPC, True), (errno.EIO, False)])
def test_a_disk_that_does_not_take_it_leaves_nothing_behind(
    photo_store: Store, monkeypatch: pytest.MonkeyPatch, number: int, full: bool
) -> None:
    def refuse(_: int) -> None:
        raise OSError(number, os.strerror(number))

    with monkeypatch.context() as patched:
        patched.setattr(os, "fsync", refuse)
        with pytest.raises(NotKept) as caught:
            photo_store.put_photo(PNG)
    assert caught.value.full is full
    left = [path for path in Path(photo_store.data).rglob("*") if path.is_file()]
    assert left == []
    photo_store.put_photo(PNG)


def test_a_picture_of_a_job_that_is_not_here_is_not_kept(photo_store: Store) -> None:
    with pytest.raises(Faulty) as caught:
        photo_store.add_photo("0" * 32, PNG, who="office")
    assert caught.value.faults[0].code == "job-unknown"
    assert photo_store.health().photos == 0
