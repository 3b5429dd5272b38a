"""What the field pages give and take over the wire; the phone's reader beside the laptop's."""

from __future__ import annotations

import dataclasses
import hashlib
import io
import json
import math
import secrets
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from fastapi import FastAPI
from field_site import CHROMIUM, NO_BROWSER, PRICES, bay_texts, bay_toml, player
from PIL import Image
from sqlalchemy import text as sql
from starlette.testclient import TestClient

from overslab.faces.web.app import create_app
from overslab.faces.web.field.crewdata import crew_job
from overslab.faces.web.field.floor import grid_of, letters, read_floor, wanted_of
from overslab.faces.web.field.photos import MOST_BYTES
from overslab.faces.web.site import Settings
from overslab.ground.faults import Faulty
from overslab.ground.units import System, read_length_m, read_rod_m
from overslab.job import FolderTexts, sample_folder
from overslab.job.store import Store

AT_HOME = {"Sec-Fetch-Site": "same-origin", "Accept": "application/json"}


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(f"sqlite:///{tmp_path / 'jobs.db'}", data=tmp_path, backup=False) as made:
        yield made


@pytest.fixture
def app(store: Store, tmp_path: Path) -> Iterator[FastAPI]:
    made = create_app(store, settings=Settings(data=tmp_path), groups=("field",))
    yield made
    made.state.site.walks.close()
    made.state.site.doors.close()


@pytest.fixture
def client(app: FastAPI) -> TestClient:
    return TestClient(
        app, base_url="http://localhost", headers=AT_HOME, client=("127.0.0.1", 50001)
    )


@pytest.fixture
def job(store: Store) -> str:
    return store.begin("Invented bay", who="office", texts=bay_texts())


def entry(job: str, seq: int, **more: Any) -> dict[str, Any]:
    body = {"point": f"A{seq}", "setup": "1", "reading": "4' 7 3/8\"", "kind": "floor"}
    made: dict[str, Any] = {
        "id": secrets.token_hex(16),
        "job": job,
        "device": "d" * 32,
        "seq": seq,
        "kind": "shot-kept",
        "body": body,
        "made_at": "2026-04-18T09:30:00.000-05:00",
        "who": "Phone 1",
    }
    return made | more


def sync(client: TestClient, entries: list[Any]) -> Any:
    answer = client.post("/sync", json={"events": entries})
    assert answer.status_code == 200, answer.text
    return answer.json()


def test_the_grid_is_the_points_on_the_floor_and_no_other() -> None:
    grid = {one["label"]: one for one in grid_of(read_floor(bay_toml()))}
    assert len(grid) == 60
    # 6 in and five times 4 ft; 6 in and nine times 4 ft.
    assert grid["F10"]["x_m"] == pytest.approx(20.5 * 0.3048)
    assert grid["F10"]["y_m"] == pytest.approx(36.5 * 0.3048)
    shop = grid_of(read_floor((sample_folder("farm-shop") / "job.toml").read_text("utf-8")))
    labels = {one["label"] for one in shop}
    # The notch of the L holds no floor: F begins at 24 ft 9 in and ends at 19 ft 9 in... 20 ft.
    assert {"E7", "F4", "I4"} <= labels
    assert labels & {"F6", "F7", "G6", "I7"} == set()
    assert [letters(n) for n in (0, 25, 26, 27, 51, 52)] == ["A", "Z", "AA", "AB", "AZ", "BA"]


def test_points_that_heights_lean_on_are_wanted() -> None:
    wanted = {one["point"]: one for one in wanted_of(read_floor(bay_toml()))}
    assert wanted == {
        name: {"point": name, "kind": "sill", "about": "west door"} for name in ("S1", "S2")
    }


@pytest.mark.parametrize("text", ["", "[job", bay_toml().replace("[wishes]", "[wishing]")])
def test_a_job_file_with_faults_still_gives_a_phone_its_rod(text: str) -> None:
    floor = read_floor(text)
    assert floor.faults > 0
    assert floor.plotter is None
    assert grid_of(floor) == []
    assert floor.rod == "feet-inches"


def test_the_job_of_a_phone_holds_no_price_and_nothing_unnamed(store: Store, job: str) -> None:
    store.change(
        job, based_on=1, kind="note-kept", body={"text": f"agreed on ${PRICES[0]}"}, who="office"
    )
    texts = store.job(job).folder_texts
    assert all(price in texts.job_toml + texts.rates_toml for price in PRICES)
    office = frozenset(one.event.id for one in store.events(job) if one.by_office)
    told = crew_job(store.job(job), store.devices(job), hidden=office)
    assert set(told) == {
        "id", "name", "sample", "version", "updated_at", "rod", "units", "step_m", "benchmarks",
        "floor", "grid", "wanted", "faults", "shots", "notes", "tickets", "devices",
    }  # fmt: skip
    assert set(told["floor"]) == {"outline", "holes", "breaks", "apart", "doors"}
    assert all(set(one) == {"name", "line"} for one in told["floor"]["doors"])
    assert not any(price in json.dumps(told) for price in PRICES)


def test_what_the_office_notes_stays_at_the_office(
    client: TestClient, store: Store, job: str
) -> None:
    store.change(
        job, based_on=1, kind="note-kept", body={"text": f"agreed on ${PRICES[0]}"}, who="office"
    )
    sync(client, [entry(job, 1, kind="note-kept", body={"text": "wet by the door"})])
    told = client.get(f"/field/{job}/data.json").json()
    assert [one["text"] for one in told["notes"]] == ["wet by the door"]
    for path in (f"/field/{job}/notes", f"/field/{job}/data.json"):
        assert PRICES[0] not in client.get(path).text


def test_data_is_told_once_per_version(client: TestClient, job: str) -> None:
    first = client.get(f"/field/{job}/data.json")
    tag = first.headers["etag"]
    again = client.get(f"/field/{job}/data.json", headers={"If-None-Match": tag})
    assert (again.status_code, again.content) == (304, b"")
    sync(client, [entry(job, 1)])
    later = client.get(f"/field/{job}/data.json", headers={"If-None-Match": tag})
    assert later.status_code == 200
    (shot,) = later.json()["shots"]
    assert shot["reading_m"] == pytest.approx(55.375 * 0.0254, abs=1e-6)
    assert (shot["x_m"], shot["y_m"]) == pytest.approx((0.1524, 0.1524))
    assert later.json()["devices"]["d" * 32] == {"last": 1, "missing": []}


def test_the_same_entries_any_number_of_times_in_any_order(
    client: TestClient, store: Store, job: str
) -> None:
    entries = [entry(job, seq) for seq in range(1, 7)]
    for batch in (entries[3:], entries, list(reversed(entries)), entries[:2]):
        told = sync(client, batch)
        assert sorted(told["have"]) == sorted(one["id"] for one in batch)
        assert told["tray"] == []
    assert [one.body["point"] for one in store.job(job).shots] == [f"A{n}" for n in range(1, 7)]


def test_every_id_of_a_batch_comes_back(client: TestClient, store: Store, job: str) -> None:
    good = [entry(job, seq) for seq in (1, 2, 3)]
    bad: list[Any] = [
        entry("0" * 32, 4),
        entry(job, 5, kind="rates-set", body={"path": ["concrete"], "value": "1"}),
        entry(job, 6, body={"point": "X", "reading": "1.405 m", "setup": "1", "kind": "floor"}),
        entry(job, 7) | {"seq": "7"},
        entry(job, 8, made_at="yesterday"),
        entry(job, 9, more="than there is"),
        {name: value for name, value in entry(job, 10).items() if name != "body"},
        entry(job, 11, body={"point": "A" * 70_000}),
    ]
    told = sync(client, [bad[0], good[0], *bad[1:4], good[1], *bad[4:], good[2], "no entry", 7])
    assert sorted(told["have"]) == sorted(one["id"] for one in good)
    assert {one["id"] for one in told["tray"]} == {one["id"] for one in bad} | {""}
    assert all(one["code"] and one["why"] for one in told["tray"])
    assert len(store.job(job).shots) == 3


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"[]",
        b'{"events": {}}',
        b'{"events": [], "events": []}',
        b'{"events": [{"seq": NaN}]}',
        b'{"events": [Infinity]}',
        b"[" * 100_000,
        b'{"events": [' + b"9" * 5_000 + b"]}",
        b"\xff\xfe\x00",
    ],
)
def test_a_broken_request_is_told_in_words(client: TestClient, job: str, body: bytes) -> None:
    answer = client.post("/sync", content=body, headers={"Content-Type": "application/json"})
    assert answer.status_code == 400
    (fault,) = answer.json()["faults"]
    assert fault["code"] == "sync-shape"
    assert client.get(f"/field/{job}/data.json").status_code == 200


def test_too_much_at_once_is_sent_back_for_less(client: TestClient, job: str) -> None:
    answer = client.post("/sync", json={"events": [entry(job, n) for n in range(1, 300)]})
    assert answer.status_code == 413


def test_a_full_disk_is_told_and_what_was_called_kept_is_there(
    client: TestClient, store: Store, job: str
) -> None:
    """K4 through the pages: no answer without a record, reading goes on, and so does the work."""
    engines = store._engines
    with engines.writer.connect() as connection:
        pages = connection.execute(sql("PRAGMA page_count")).scalar_one()
        connection.execute(sql(f"PRAGMA max_page_count = {pages + 30}"))
    kept: list[str] = []
    refused: list[str] = []
    for n in range(1, 200):
        sent = entry(job, n, kind="note-kept", body={"text": "x" * 1500})
        answer = client.post("/sync", json={"events": [sent]})
        if answer.status_code == 507:
            assert "full" in answer.json()["faults"][0]["what"]
            assert answer.json()["faults"][0]["remedy"]
            refused.append(sent["id"])
            if len(refused) == 3:
                break
            continue
        kept += answer.json()["have"]
    assert len(refused) == 3
    assert kept
    there = {one.event.id for one in store.events(job)}
    assert set(kept) <= there
    assert not there & set(refused)
    assert client.get(f"/field/{job}/data.json").status_code == 200
    assert client.get(f"/field/{job}").status_code == 200
    with engines.writer.connect() as connection:
        connection.execute(sql("PRAGMA max_page_count = 1000000"))
    again = client.post("/sync", json={"events": [sent]})
    assert again.json()["have"] == [sent["id"]]
    assert store.differing() == ()


def token_of(client: TestClient) -> str:
    token: str = client.get("/field/me.json").json()["token"]
    return token


def hand_in(client: TestClient, text: str) -> Any:
    return client.post(
        "/field/handover",
        data={"form_token": token_of(client)},
        files={"file": ("field.jsonl", text.encode())},
        headers={"Accept": "text/html"},
    )


def test_a_file_that_was_cut_off_gives_what_is_whole(
    client: TestClient, store: Store, job: str
) -> None:
    lines = [json.dumps(entry(job, seq)) for seq in range(1, 6)]
    answer = hand_in(client, "\n".join(lines)[:-40])
    assert "4 of 4 entries are at the laptop." in answer.text
    assert "1 line was cut off" in answer.text
    assert len(store.job(job).shots) == 4
    for nothing in ("", "hello", "<script>alert(1)</script>\n" * 5, '{"no": "id"}'):
        answer = hand_in(client, nothing)
        assert answer.status_code == 422
        assert "not a phone&#39;s file" in answer.text


def test_a_photo_in_pieces_goes_on_where_it_was_cut_off(
    client: TestClient, store: Store, job: str
) -> None:
    out = io.BytesIO()
    Image.effect_noise((900, 700), 90).convert("RGB").save(out, "JPEG", quality=90)
    data = out.getvalue()
    name = hashlib.sha256(data).hexdigest()
    address = f"/field/{job}/photos/{name}"
    head = {"X-Form-Token": token_of(client), "Content-Type": "image/jpeg"}

    def send(start: int, stop: int) -> Any:
        piece = data[start:stop]
        where = f"{address}?from={start}&of={len(data)}"
        return client.post(where, content=piece, headers=head).json()

    assert client.get(address).json() == {"have": 0}
    assert send(0, 50_000) == {"have": 50_000}
    assert send(0, 50_000) == {"have": 50_000}, "said again"
    assert send(90_000, 100_000) == {"have": 50_000}, "out of order"
    assert client.get(address).json() == {"have": 50_000}
    last = send(50_000, len(data))
    assert last["have"] == len(data)
    kept = store.photo(last["kept"])
    with Image.open(kept) as picture:
        assert picture.size == (900, 700)
    told = sync(client, [entry(job, 1, kind="photo-added", body={"sha256": last["kept"]})])
    assert told["tray"] == []


@pytest.mark.parametrize(
    ("name", "asked", "piece"),
    [
        ("0" * 64, "from=0&of=100", b"GIF89a" + b"0" * 94),
        ("0" * 64, f"from=0&of={MOST_BYTES + 1}", b"\xff\xd8\xff" + b"0" * 50),
        ("0" * 64, "from=0&of=10", b"\xff\xd8\xff" + b"0" * 50),
        ("0" * 64, "from=0&of=53", b"\xff\xd8\xff" + b"0" * 50),
        ("..%2f..%2fetc", "from=0&of=53", b"\xff\xd8\xff" + b"0" * 50),
    ],
)
def test_a_piece_that_is_no_photo_is_refused(
    client: TestClient, job: str, tmp_path: Path, name: str, asked: str, piece: bytes
) -> None:
    before = {path for path in tmp_path.rglob("*") if path.is_file()}
    head = {"X-Form-Token": token_of(client), "Content-Type": "image/jpeg"}
    answer = client.post(f"/field/{job}/photos/{name}?{asked}", content=piece, headers=head)
    assert answer.status_code in (400, 404)
    after = {path for path in tmp_path.rglob("*") if path.is_file()}
    assert {path for path in after - before if "jobs.db" not in path.name} == set()


def test_the_laptop_looks_again_with_its_own_method(client: TestClient, store: Store) -> None:
    folder = sample_folder("farm-shop")
    texts = FolderTexts(
        *((folder / name).read_text("utf-8") for name in ("job.toml", "shots.csv", "rates.toml"))
    )
    # D3 misread by a foot.
    wrong = dataclasses.replace(
        texts, shots_csv=texts.shots_csv.replace("D3,,,1,4' 7 9/16\"", "D3,,,1,5' 7 9/16\"")
    )
    assert wrong != texts
    job = store.begin("Invented shop", who="office", texts=wrong)
    told = client.get(f"/field/{job}/suspects.json").json()
    assert told["looked"] is True
    (one,) = told["suspects"]
    assert (one["point"], one["instead_m"]) == ("D3", pytest.approx(55.5625 * 0.0254, abs=1e-6))
    (shot,) = [thing for thing in store.job(job).shots if thing.body["point"] == "D3"]
    assert one["ids"] == [shot.id]
    broken = store.begin("Broken", who="office", texts=dataclasses.replace(wrong, rates_toml="x"))
    told = client.get(f"/field/{broken}/suspects.json").json()
    assert told["looked"] is False
    assert told["in_the_way"] >= 1
    assert told["suspects"] == []


def test_the_way_to_the_pages_of_the_slab(client: TestClient, job: str) -> None:
    answer = client.get(f"/jobs/{job}/field", follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (307, f"/field/{job}")
    assert client.get("/field", follow_redirects=False).headers["location"] == "/field/"
    assert client.get(f"/field/{'0' * 32}").status_code == 404
    assert client.get("/field/shell/other").status_code == 404
    worker = client.get("/field/sw.js")
    assert worker.headers["cache-control"] == "no-cache"
    listed = json.loads(worker.text.partition("const SHELL = ")[2].partition(";\n")[0])
    for address in [*listed["pages"].values(), *listed["files"]]:
        assert client.get(address).status_code == 200, address


HOSTILE = '<script>alert(1)</script>{{7*7}}"><img src=x onerror=alert(1)>'


def test_names_are_shown_as_typed(client: TestClient, store: Store) -> None:
    texts = bay_texts()
    name = json.dumps(HOSTILE)
    named = dataclasses.replace(
        texts, job_toml=texts.job_toml.replace('name = "Invented bay"', f"name = {name}")
    )
    job = store.begin("x", who="office", texts=named)
    sync(client, [entry(job, 1, kind="note-kept", body={"text": HOSTILE})])
    for path in ("/field/", f"/field/{job}", f"/field/{job}/readings", f"/field/{job}/notes"):
        text = client.get(path).text
        assert "<script>alert" not in text
        assert "<img src=x" not in text
        assert "<b>49" not in text
        assert "{{7*7}}" in text
        assert "&lt;script&gt;alert(1)" in text


READ = """async (all) => {
  const { readRod, readLength } = await import("/static/field/rod.js");
  const known = (value) => Number.isFinite(value) ? value : null;
  return all.map(([system, text]) => [known(readRod(system, text)), known(readLength(text))]);
}"""
WRITE = """async (all) => {
  const { write, partsOf, splitUp, metres } = await import("/static/field/rod.js");
  return all.map(([system, value, step]) => {
    const parts = partsOf(system, step);
    const values = splitUp(parts, value);
    const keyed = parts.every((part, i) => part.values.includes(values[i]));
    return [write(system, value, step), metres(parts, values), keyed];
  });
}"""
STEPS: dict[System, tuple[float, ...]] = {
    "feet-inches": tuple(0.0254 / n for n in (1, 2, 4, 8, 16, 32, 64)),
    "tenths": tuple(0.3048 * n for n in (0.1, 0.05, 0.02, 0.01, 0.005, 0.001)),
    "metric": (0.01, 0.005, 0.002, 0.001, 0.0005, 0.0001),
}


def typed_texts() -> list[tuple[System, str]]:
    plain = [
        "4' 7 3/8\"", "4' 7\"", "4'", "4-7", "4-7-3/8", "4' 7 3/8", "4 ft 7 3/8 in", "7 3/8\"",
        "3/8\"", "3/8 in", "55 3/8 in", "55 3/8\"", "0", "4' 0 3/8\"", "4' 3/8\"", "4’ 7 3/8”",
        "4′ 7 3/8″", "4' 13\"", "4' 7 3/7\"", "4' 7 9/8\"", "31' 2\"", "30' 0\"", "4.61",
        "4.61 ft",
        "4.61'", "4,61", "1.405", "1.405 m", "1405", "1405 mm", "140.5 cm", "-1.2", "+4.2",
        "1e3",
        "", " ", "abc", "4' 7 3/8\" x", "٤", "½", "4' 7½\"", "NaN", "Infinity", "0x10", "4 7 3/8",
        "4'7\"", "4' -7\"", "--5", "3/0", "12' 6\"", "12 ft 6 in", "12' 6 1/2\"", "3.8 m",
        "3800 mm",
        "-4' 0\"", "-4 ft", "6\"", "6 in", "0 ft", "12.5 ft", "4' 7.5\"", "59", "5", "64-3/8",
    ]  # fmt: skip
    return [(system, text) for system in STEPS for text in plain]


def laptops(read: Callable[[], float]) -> float:
    """What the laptop reads; not a number where it refuses."""
    try:
        return read()
    except Faulty:
        return math.nan


@pytest.mark.skipif(not CHROMIUM, reason=NO_BROWSER)
def test_what_a_phone_reads_and_writes_the_laptop_reads_alike(client: TestClient) -> None:
    """The phone may read less than the laptop, and never otherwise; what it writes is read back."""
    address = "http://localhost/static/field/rod.js"
    files = {address: client.get(address).text}
    texts = typed_texts()
    marks = [
        (system, round(count * step, 9), step)
        for system, steps in STEPS.items()
        for step in steps
        for count in (0, 1, 2, 3, 5, 7, 8, 11, 12, 13, 16, 17, 31, 48, 64, 96, 97, 100, 191, 192)
        if count * step < 4.99
    ]
    with player() as play:
        opened = play.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        page = opened.new_page()
        page.route(
            "**/*",
            lambda route: route.fulfill(
                body=files.get(route.request.url, "<!doctype html>"),
                content_type="text/javascript" if route.request.url in files else "text/html",
            ),
        )
        page.goto("http://localhost/")
        read = page.evaluate(READ, texts)
        written = page.evaluate(WRITE, marks)
        opened.close()
    agreed = 0
    unlike = []
    for (system, text), (rod, length) in zip(texts, read, strict=True):
        laptop_rod = laptops(lambda text=text, system=system: read_rod_m(text, system=system))
        laptop_length = laptops(lambda text=text, system=system: read_length_m(text, system=system))
        for mine, theirs in ((rod, laptop_rod), (length, laptop_length)):
            agreed += mine is not None
            if mine is not None and mine != pytest.approx(theirs, abs=1e-9):
                unlike.append((system, text, mine, theirs))
    assert unlike == []
    assert agreed > 60
    for (system, value, step), (text, again, keyed) in zip(marks, written, strict=True):
        assert read_rod_m(text, system=system) == pytest.approx(value, abs=1e-9), (text, step)
        assert again == pytest.approx(value, abs=1e-9), (value, step)
        assert keyed, f"no key for {text} with steps of {step}"


def test_the_compared_strings_hold_some_that_the_laptop_refuses() -> None:
    found = [
        laptops(lambda text=text, system=system: read_rod_m(text, system=system))
        for system, text in typed_texts()
    ]
    assert sum(math.isnan(value) for value in found) > 60
