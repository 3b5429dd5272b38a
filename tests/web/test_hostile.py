"""Hostile inputs, one table: what is sent, and what must come of it.

The numbers are those of the table of hostile inputs that the service is held to. What another page
of tests holds is written in ``ELSEWHERE``.
"""

from __future__ import annotations

import ast
import html
import io
import json
import re
import socket
from dataclasses import replace
from pathlib import Path

import pytest
from fastapi import FastAPI
from pypdf import PdfReader
from web_site import SECURE, TEXTS, Browser, browser, paired

import overslab
import overslab.faces.web
from overslab.faces.documents.packet import lay_sheet, print_pdf
from overslab.faces.documents.paper import page_of
from overslab.job import read_texts, walk
from overslab.job.store import Store

# What another page of tests holds: the page and the name of one test there.
ELSEWHERE = {
    3: ("store/test_store_book.py", "test_no_table_program_runs_a_note"),
    4: ("web/test_photos.py", "test_a_name_never_becomes_a_path"),
    9: ("web/test_photos.py", "test_what_is_not_taken_is_told_in_words"),
    14: ("web/test_gate.py", "test_a_write_comes_from_our_own_pages"),
    15: ("web/test_roles.py", "test_no_price_in_any_byte"),
    16: ("web/test_pairing.py", "test_a_thousand_guesses_are_refused_limited_and_written_down"),
    17: ("web/test_gate.py", "test_it_answers_to_its_own_names_only"),
    19: ("web/test_listening.py", "test_a_line_on_which_nothing_comes_is_closed_and_harms_nobody"),
    20: ("web/test_sessions.py", "test_a_token_planted_beforehand_is_not_the_one_that_is_given"),
    22: ("ground/test_units_lengths.py", "test_nonsense_is_refused_and_never_zero"),
}
MARKUP = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "{{7*7}}",
    "${7*7}",
    "#{7*7}",
    "{% include 'safe.html' %}",
)
STRANGE = (
    "' OR 1=1--",
    "%",
    "_",
    "a\x00b",
    "x" * 10_000,
    "\u202egnp.exe",
    "\U0001f9f1",
    "e\u0301\u0302\u0303" * 20,
    "\ufffe",
    "a\r\nSet-Cookie: s=1",
)
DEEP = "[" * 100_000 + "]" * 100_000


def named(store: Store, name: str) -> str:
    """A job of this name, as a folder that somebody brought in would have it."""
    toml = TEXTS.job_toml.replace('name = "Small bay"', f"name = {json.dumps(name)}")
    return store.begin(name, who=name, texts=replace(TEXTS, job_toml=toml))


def pages(desk: Browser, job: str) -> list[str]:
    paths = ["/", "/links", f"/jobs/{job}", f"/jobs/{job}/shots", f"/jobs/{job}/history"]
    return [desk.get(path).text for path in [*paths, f"/jobs/{job}/facts", "/safe", "/phones"]]


@pytest.mark.parametrize("name", MARKUP)
def test_h1_names_are_shown_as_they_were_typed(app: FastAPI, store: Store, name: str) -> None:
    job = named(store, name)
    phone = paired(app, name=name[:40])
    phone.post("/sign-out")
    shown = pages(browser(app), job)
    assert sum(name in html.unescape(text) for text in shown) >= 3
    for text in shown:
        assert "<script>alert" not in text
        assert "<img src=x" not in text
        assert ">49<" not in text
        assert "$49" not in text


@pytest.mark.parametrize("text", STRANGE)
def test_h2_strange_letters_are_kept_or_refused_in_words(
    app: FastAPI, store: Store, job: str, text: str
) -> None:
    desk = browser(app)
    today = {"name": text, "place": text, "date": "2026-01-05", "units": "metric", "rod": "metric"}
    for path, fields in (
        ("/jobs/new", today),
        ("/links", {"job": text, "document": text, "made_out_to": text, "days": text}),
        ("/pair", {"name": text, "code": text, "token": text}),
        ("/see", {"token": text}),
        ("/sign-in", {"password": text}),
        ("/phones/end", {"phone": text}),
        ("/phones/let-in", {"phone": text, "answer": text}),
        ("/look", {"look": text, "back": text}),
        (f"/jobs/{job}/photos", {"about": text}),
    ):
        answer = desk.post(path, fields)
        assert answer.status_code < 500, path
        assert "set-cookie" not in answer.headers or path == "/jobs/new"
    for path in ("/", f"/jobs/{job}/history"):
        assert desk.get(path, params={"find": text, "from": text}).status_code == 200
    assert [one.id for one in store.jobs(containing="' OR 1=1--")] == [
        one.id for one in store.jobs() if "' OR 1=1--" in one.name
    ]


@pytest.mark.parametrize("raw", [b"name=%ED%A0%80", b"name=%FF%FE", b"%00=%00", b"&&==&" * 900])
def test_h2_bytes_that_are_no_text(app: FastAPI, raw: bytes) -> None:
    desk = browser(app)
    headers = {"Content-Type": "application/x-www-form-urlencoded", "X-Form-Token": desk.token()}
    assert desk.post("/pair", content=raw, headers=headers).status_code in (400, 403)


def test_h2_half_a_letter_from_a_phone(app: FastAPI, store: Store, job: str) -> None:
    """A lone surrogate can be written in JSON and in no file; it must not come back to hurt."""
    phone, desk = paired(app), browser(app)
    for seq, kind, body in (
        (1, "note-kept", {"text": "half \\ud800 a letter"}),
        (2, "shot-kept", {"point": "\\udfff", "reading": "4' 4\""}),
    ):
        event = {
            "id": f"{seq:032x}", "job": job, "device": "0" * 32, "seq": seq, "kind": kind,
            "body": body, "made_at": "2026-01-05T08:00:00+00:00", "who": "Sam",
        }  # fmt: skip
        sent = json.dumps({"events": [event]}).replace("\\\\ud", "\\ud")
        assert "\\ud" in sent
        headers = {"Content-Type": "application/json", "Accept": "application/json"}
        assert phone.post("/sync", content=sent, headers=headers).status_code < 500
    assert phone.get(f"/field/{job}/data.json").status_code == 200
    for path in ("/", f"/jobs/{job}", f"/jobs/{job}/history", f"/field/{job}/readings"):
        assert desk.get(path).status_code == 200, path
    assert store.differing() == ()


PATHS = (
    "/static/../app.py",
    "/static/%2e%2e/%2e%2e/app.py",
    "/static/....//....//etc/passwd",
    "/static//etc/passwd",
    "/static/%2fetc%2fpasswd",
    "/static/base.css%00.png",
    "/static/link/overslab.db",
    "/photos/../../overslab.db",
    "/see/document/..%2f..%2fdoors.sqlite",
    "/jobs/..%2f..%2f/state",
    "/jobs/%2e%2e/photos/doors.sqlite",
    "/%2e%2e%2fdoors.sqlite",
    "/keys/middle-key.pem",
    "/doors.sqlite",
    "/overslab.db",
)


@pytest.mark.parametrize("path", PATHS)
def test_h5_no_path_leads_out(app: FastAPI, tmp_path: Path, path: str) -> None:
    (tmp_path / "photos").mkdir(exist_ok=True)
    (tmp_path / "photos" / "link").symlink_to(tmp_path)
    for who in (browser(app), browser(app, at=SECURE)):
        answer = who.get(path)
        assert answer.status_code in (403, 404, 405)
        for secret in (b"PRIVATE KEY", b"SQLite format", b"root:", b'"""The application'):
            assert secret not in answer.content


def test_h7_a_packed_request_is_not_unpacked(app: FastAPI) -> None:
    headers = {"Content-Type": "application/json", "Content-Encoding": "gzip"}
    answer = paired(app).post("/sync", content=b"\x1f\x8b" * 100, headers=headers)
    assert answer.status_code == 415


JSONS: tuple[bytes, ...] = (
    DEEP.encode(),
    b'{"events":' + DEEP.encode() + b"}",
    b'{"events":[NaN]}',
    b'{"events":[{"seq":Infinity}]}',
    b'{"events":[{"seq":1e999}]}',
    b'{"events":[{"seq":' + b"9" * 5000 + b"}]}",
    b'{"events":[],"events":[]}',
    b'{"events":{}}',
    b"null",
    b"",
    b"\xff\xfe",
    b'"' + b"x" * 1_900_000 + b'"',
    b'{"events":[{"id":["a"],"body":7,"kind":{},"seq":"x"}]}',
    b'{"events":[{"id":"\\ud800"}]}',
)


@pytest.mark.parametrize("body", JSONS, ids=range(len(JSONS)))
def test_h11_json_of_no_sense(app: FastAPI, store: Store, job: str, body: bytes) -> None:
    phone = paired(app)
    headers = {"Content-Type": "application/json", "Accept": "application/json"}
    answer = phone.post("/sync", content=body, headers=headers)
    assert answer.status_code in (200, 400)
    if answer.status_code == 200:
        assert answer.json()["have"] == []
    else:
        assert answer.json()["faults"][0]["remedy"]
    assert store.version(job) == 1
    assert phone.get(f"/jobs/{job}/state").status_code == 200


@pytest.mark.parametrize(
    "shots",
    [
        b"point," + b"x," * 300_000 + b"\n",
        "point,x,y\nF1,1,é\n".encode("utf-16"),
        "\ufeffpoint,x,y,setup,reading,kind,note\n".encode(),
        b"point,x,y\rF1,1,2\r",
        b'point,x,y\n"never closed,1,2\n' + b"a" * 100_000,
        b"point;x;y\nF1;1,5;2,5\n",
        b"\x00" * 1000,
        b"a" * 1_500_000,
    ],
    ids=range(8),
)
def test_h12_a_field_book_that_is_none(app: FastAPI, store: Store, shots: bytes) -> None:
    desk = browser(app)
    files = [
        ("files", ("job.toml", TEXTS.job_toml.encode(), "text/plain")),
        ("files", ("shots.csv", shots, "text/csv")),
        ("files", ("rates.toml", TEXTS.rates_toml.encode(), "text/plain")),
    ]
    answer = desk.post("/jobs/import", files=files)
    assert answer.status_code in (303, 400)
    if answer.status_code == 303:
        kept = desk.get(answer.headers["location"])
        assert kept.status_code == 200
        (line,) = store.jobs()
        assert store.job(line.id).trouble or shots.startswith("\ufeff".encode())
    else:
        assert "do next" in answer.text
        assert store.jobs() == ()


UNPACKING = {
    "extractall", "extract", "iterparse", "fromstring", "XMLParser", "XMLPullParser", "parseString",
    "load_all", "safe_load", "open_memmap", "LasReader",
}  # fmt: skip
UNPACKERS = {
    "tarfile",
    "yaml",
    "expat",
    "xmlreader",
    "expatreader",
    "minidom",
    "defusedxml",
    "laspy",
    "py7zr",
    "lzma",
}


def test_h6_h8_h10_nothing_packed_nested_or_scanned_is_read_anywhere() -> None:
    """No archive, no XML, no scan comes in by any way; ours are only written. Whoever adds such a
    way finds here that its bombs (H6, H8, H10) have to be tried."""
    found = set()
    for path in Path(overslab.__path__[0]).rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            told = ""
            if isinstance(node, ast.Attribute) and node.attr in UNPACKING:
                told = node.attr
            elif isinstance(node, ast.Import | ast.ImportFrom):
                parts = {part for alias in node.names for part in alias.name.split(".")}
                parts |= set((getattr(node, "module", None) or "").split("."))
                told = ",".join(sorted(parts & (UNPACKERS | UNPACKING)))
            elif isinstance(node, ast.Call) and getattr(node.func, "attr", "") == "ZipFile":
                modes = [one.value for one in node.args[1:2] if isinstance(one, ast.Constant)]
                told = "" if modes == ["w"] else "ZipFile"
            if told:
                found.add(f"{path.name}: {told}")
    assert found == set()


TYPESET = (
    '#read("/etc/passwd")',
    '#eval("1+1")',
    '#import "@preview/x": *',
    "]",
    "\\",
    "$ x $",
    "#while true {}",
    "= heading",
    "*bold*",
)


def test_h13_words_on_paper_stay_words() -> None:
    name = " ".join(TYPESET)
    toml = TEXTS.job_toml.replace('name = "Small bay"', f"name = {json.dumps(name)}")
    walked = walk(read_texts(replace(TEXTS, job_toml=toml)))
    sheet = lay_sheet(walked, "summary")
    assert sheet is not None
    out = print_pdf(walked, (sheet,), page_of(walked))
    text = "".join(page.extract_text() for page in PdfReader(io.BytesIO(out)).pages)
    told = text.replace("\n", "").replace(" ", "").replace("\xa0", "").replace("\u200b", "")
    for word in TYPESET:
        assert word.replace(" ", "") in told
    assert "root:" not in text


def test_h18_nothing_here_can_ask_another_machine() -> None:
    """No module of the service imports a way to fetch anything."""
    fetching = {"urllib.request", "http.client", "httpx", "httpx2", "requests", "aiohttp", "ftplib"}
    found = {
        f"{path.name}: {name}"
        for path in Path(overslab.faces.web.__path__[0]).rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Import | ast.ImportFrom)
        for name in [
            *(alias.name for alias in node.names if isinstance(node, ast.Import)),
            *([node.module or ""] if isinstance(node, ast.ImportFrom) else []),
        ]
        if name in fetching
    }
    assert found == set()


@pytest.mark.parametrize(
    "address",
    ["http://169.254.169.254/", "file:///etc/passwd", "gopher://x", "http://2130706433/", "//x"],
)
def test_h18_an_address_that_was_typed_is_never_opened(
    app: FastAPI, monkeypatch: pytest.MonkeyPatch, address: str
) -> None:
    asked: list[object] = []
    desk = browser(app)
    token = desk.token()
    monkeypatch.setattr(socket.socket, "connect", lambda _, to: asked.append(to))
    monkeypatch.setattr(socket, "getaddrinfo", lambda *to, **_: asked.append(to) or [])
    fields = {"form_token": token, "look": "sun", "back": address}
    answer = desk.post("/look", fields, token=False)
    assert answer.headers["location"] == "/"
    desk.post("/see", {"form_token": token, "token": address}, token=False)
    assert asked == []


def test_h21_searching_is_no_pattern(app: FastAPI, store: Store) -> None:
    for name in ("Bay 100%", "Bay 100", "Bay_1", "Bay 1"):
        store.begin(name, who="office")
    desk = browser(app)
    assert desk.get("/", params={"find": "a" * 50_000 + "!"}).status_code == 200
    assert desk.get("/", params={"find": "(a+)+$" * 16}).status_code == 200
    assert [one.name for one in store.jobs(containing="0%")] == ["Bay 100%"]
    assert [one.name for one in store.jobs(containing="y_1")] == ["Bay_1"]


def test_every_number_of_the_table_is_here_or_elsewhere() -> None:
    here = {
        int(number)
        for name in functions_in(Path(__file__))
        if name.startswith("test_h")
        for number in re.findall(r"(?:_|^)h(\d+)(?=_)", name.removeprefix("test_"))
    }
    assert here | set(ELSEWHERE) == set(range(1, 23))
    assert not here & set(ELSEWHERE)
    for page, name in ELSEWHERE.values():
        assert name in functions_in(Path(__file__).parents[1] / page)


def functions_in(path: Path) -> set[str]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return {node.name for node in tree.body if isinstance(node, ast.FunctionDef)}
