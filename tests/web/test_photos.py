"""Pictures: judged by content, drawn anew without notes, served as pictures and nothing else."""

from __future__ import annotations

import hashlib
import io
import struct
import zlib
from pathlib import Path

import pytest
from fastapi import FastAPI
from PIL import Image
from web_site import SECURE, Browser, browser, paired

from overslab.faces.web.photo_pages import redrawn
from overslab.faces.web.site import Site
from overslab.ground.faults import Faulty
from overslab.job.store import Store


def picture(kind: str = "JPEG", size: tuple[int, int] = (64, 32), **more: object) -> bytes:
    made = Image.new("RGB", size, (10, 200, 30))
    made.putpixel((0, 0), (250, 0, 0))
    out = io.BytesIO()
    made.save(out, kind, **more)
    return out.getvalue()


def with_place() -> bytes:
    """A JPEG that says where and with what it was taken, and that it lies on its side."""
    notes = Image.Exif()
    notes[0x0110] = "Camera of somebody"
    notes[0x0112] = 6
    place = notes.get_ifd(0x8825)
    place[1], place[2] = "N", (47.0, 30.0, 0.0)
    return picture("JPEG", exif=notes)


def claimed(wide: int, high: int) -> bytes:
    """A PNG of a few bytes that claims to be enormous."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
        )

    head = chunk(b"IHDR", struct.pack(">IIBBBBB", wide, high, 8, 2, 0, 0, 0))
    return (
        b"\x89PNG\r\n\x1a\n"
        + head
        + chunk(b"IDAT", zlib.compress(b"\0" * 10_000))
        + chunk(b"IEND", b"")
    )


def send(who: Browser, job: str, data: bytes, name: str = "a.jpg", **fields: str):  # type: ignore[no-untyped-def]
    return who.post(f"/jobs/{job}/photos", fields, files={"photo": (name, data, "image/jpeg")})


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_each_kind_comes_out_as_a_plain_jpeg(kind: str) -> None:
    with Image.open(io.BytesIO(redrawn(picture(kind), most_points=10**6))) as seen:
        assert seen.format == "JPEG"
        assert seen.size == (64, 32)


def test_place_and_camera_are_gone_and_the_picture_stands_upright() -> None:
    data = with_place()
    assert b"Camera of somebody" in data
    made = redrawn(data, most_points=10**6)
    assert b"Camera" not in made
    assert b"Exif" not in made
    with Image.open(io.BytesIO(made)) as seen:
        assert seen.size == (32, 64)
        assert not seen.getexif()


def test_what_was_hidden_behind_the_picture_is_gone() -> None:
    hidden = b"<html><script>alert(1)</script></html>"
    assert hidden not in redrawn(picture() + hidden, most_points=10**6)


def test_a_large_picture_is_made_smaller_and_keeps_its_shape() -> None:
    with Image.open(io.BytesIO(redrawn(picture(size=(4000, 2000)), most_points=10**7))) as seen:
        assert seen.size == (2048, 1024)


def test_seeing_through_becomes_white() -> None:
    out = io.BytesIO()
    Image.new("RGBA", (16, 16), (0, 0, 0, 0)).save(out, "PNG")
    with Image.open(io.BytesIO(redrawn(out.getvalue(), most_points=10**6))) as seen:
        assert seen.getpixel((8, 8)) == (255, 255, 255)


@pytest.mark.parametrize(
    ("data", "word"),
    [
        (b"", "not a picture"),
        (
            b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>",
            "not a picture",
        ),
        (b"%PDF-1.7", "not a picture"),
        (b"<html></html>", "not a picture"),
        (picture("GIF"), "not a picture"),
        (picture("TIFF"), "not a picture"),
        (picture("BMP"), "not a picture"),
        (picture()[:-200], "cannot be opened"),
        (b"\xff\xd8\xff\xe0" + b"\0" * 40, "(?s)."),
        (claimed(30_000, 30_000), "too many points"),
        (claimed(7_000, 7_000), "too many points"),
        (claimed(2**31 - 1, 2**31 - 1), "too many points"),
        (claimed(100, 100), "cannot be opened"),
    ],
)
def test_what_is_not_taken_is_told_in_words(data: bytes, word: str) -> None:
    with pytest.raises(Faulty, match=word):
        redrawn(data, most_points=40_000_000)


@pytest.mark.parametrize(
    "name",
    ["../../etc/passwd", "..%2f..%2f", "C:\\x", "CON.jpg", "x" * 300, "a.jpg.php", "a\x00.jpg"],
)
def test_a_name_never_becomes_a_path(
    app: FastAPI, store: Store, job: str, tmp_path: Path, name: str
) -> None:
    before = {path for path in tmp_path.parent.rglob("*") if "photos" not in path.parts}
    assert send(browser(app), job, picture(), name).status_code == 303
    (thing,) = [one for one in store.job(job).things if one.kind == "photo"]
    kept = store.photo(thing.body["sha256"])
    assert kept.is_relative_to(tmp_path / "photos")
    assert hashlib.sha256(kept.read_bytes()).hexdigest() == thing.body["sha256"]
    after = {path for path in tmp_path.parent.rglob("*") if "photos" not in path.parts}
    assert after == before


def test_a_phone_sends_a_picture_and_gets_it_back_as_a_picture(
    app: FastAPI, store: Store, job: str
) -> None:
    phone = paired(app, at=SECURE)
    assert send(phone, job, with_place(), about="crack at the north door").status_code == 303
    (thing,) = [one for one in store.job(job).things if one.kind == "photo"]
    assert thing.body["about"] == "crack at the north door"
    assert thing.who == "Sam"
    address = f"/jobs/{job}/photos/{thing.body['sha256']}.jpg"
    seen = phone.get(address)
    assert seen.headers["content-type"] == "image/jpeg"
    assert seen.headers["x-content-type-options"] == "nosniff"
    assert "sandbox" in seen.headers["content-security-policy"]
    assert b"Camera" not in seen.content
    assert browser(app, at=SECURE).get(address).status_code == 403


def test_a_picture_of_another_job_is_not_found(app: FastAPI, store: Store, job: str) -> None:
    other = store.begin("Another", who="office")
    sha256 = store.add_photo(other, picture(), who="office")
    desk = browser(app)
    assert desk.get(f"/jobs/{other}/photos/{sha256}.jpg").status_code == 200
    assert desk.get(f"/jobs/{job}/photos/{sha256}.jpg").status_code == 404
    for path in (f"{sha256}.png", f"..%2f{sha256}.jpg", "....//x.jpg", "%2e%2e%2f%2e%2e%2fx.jpg"):
        assert desk.get(f"/jobs/{other}/photos/{path}").status_code == 404


def test_bytes_alone_need_the_token_as_a_header(app: FastAPI, store: Store, job: str) -> None:
    desk = browser(app)
    path, headers = f"/jobs/{job}/photos?only=file", {"Content-Type": "image/jpeg"}
    assert desk.post(path, content=picture(), headers=headers).status_code == 403
    headers["X-Form-Token"] = desk.token()
    answer = desk.post(path, content=picture(), headers=headers)
    assert answer.status_code == 200
    assert store.photo(answer.json()["sha256"]).is_file()
    assert not [one for one in store.job(job).things if one.kind == "photo"]
    wrong = desk.post(path, content=b"no picture", headers=headers)
    assert wrong.status_code == 400
    assert "JPEG" in wrong.text


def test_there_is_an_end_to_the_room_for_pictures(app: FastAPI, store: Store, job: str) -> None:
    site: Site = app.state.site
    object.__setattr__(site.settings, "photos_a_job_bytes", 100)
    assert send(browser(app), job, picture()).status_code == 303
    answer = send(browser(app), job, picture(size=(50, 50)))
    assert answer.status_code == 400
    assert "no room for more pictures" in answer.text
    assert len([one for one in store.job(job).things if one.kind == "photo"]) == 1


def test_no_job_no_picture(app: FastAPI, tmp_path: Path) -> None:
    assert send(browser(app), "0" * 32, picture()).status_code == 404
    assert not list((tmp_path / "photos").rglob("*.jpg"))
