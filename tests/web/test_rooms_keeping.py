"""History and undo, questions answered, folders in and out, samples, jobs put away."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi import FastAPI
from rooms_site import BAY, based_on, known_job, office, rooms_app, sample_walk
from web_site import Browser

from overslab.faces.web.rooms.history_words import words_of
from overslab.faces.web.rooms.settling import key_of, questions
from overslab.job import FolderTexts, as_json, read_job, read_texts, sample_folder
from overslab.job.store import KINDS, Event, Store


@pytest.fixture
def app(store: Store, tmp_path: Path) -> Iterator[FastAPI]:
    made = rooms_app(store, tmp_path)
    yield made
    made.state.site.doors.close()


@pytest.fixture
def desk(app: FastAPI) -> Iterator[Browser]:
    with office(app) as made:
        yield made


def rows(page: str) -> list[tuple[str, bool]]:
    """What the history says, the newest first, and whether it was undone."""
    entry = r'<li( class="undone")?><span class="when">.*?<span class="what">(.*?)</span>'
    found = re.findall(entry, page)
    return [(words, bool(undone)) for undone, words in found]


def test_each_change_stands_in_the_history_and_can_be_undone(
    desk: Browser, app: FastAPI, store: Store
) -> None:
    job = known_job(app, "Bay", BAY, None)
    for number, thick in enumerate(("2 1/4 in", "2 1/2 in", "2 3/4 in"), start=1):
        fields = {"least_thickness": thick, "based_on": str(number)}
        assert desk.post(f"/jobs/{job}/facts/wishes", fields).status_code == 303
    told = rows(desk.get(f"/jobs/{job}/history").text)
    assert told[0] == ("wishes least thickness: 2 3/4 in", False)
    assert told[-1] == ("job begun: Bay", False)
    for _ in range(3):
        assert desk.post(f"/jobs/{job}/undo").status_code == 303
    assert store.job(job).folder_texts == BAY
    told = rows(desk.get(f"/jobs/{job}/history").text)
    assert sum(undone for _, undone in told) == 3
    assert desk.post(f"/jobs/{job}/redo").status_code == 303
    assert '"2 1/4 in"' in store.job(job).folder_texts.job_toml
    told = rows(desk.get(f"/jobs/{job}/history").text)
    assert told[0][0] == "done again: wishes least thickness: 2 1/4 in"
    assert sum(undone for _, undone in told) == 3, "two changes, and the undo that was taken back"


def test_one_entry_in_the_middle_is_undone_alone(desk: Browser, app: FastAPI, store: Store) -> None:
    job = known_job(app, "Bay", BAY, None)
    for number, (key, text) in enumerate((("set_to", "1/4 in"), ("straightedge", "10 ft")), 1):
        fields = {key: text, "based_on": str(number)}
        assert desk.post(f"/jobs/{job}/facts/wishes", fields).status_code == 303
    page = desk.get(f"/jobs/{job}/history").text
    of = re.findall(r'name="of" value="([0-9a-f]{32})"', page)
    assert len(of) == 2, "what began the job is not undone"
    assert desk.post(f"/jobs/{job}/undo", {"of": of[1]}).status_code == 303
    text = store.job(job).folder_texts.job_toml
    assert 'set_to = "1/8 in"' in text
    assert 'straightedge = "10 ft"' in text


def test_nothing_to_undo_is_told(desk: Browser, app: FastAPI) -> None:
    job = known_job(app, "Bay", BAY, None)
    answer = desk.post(f"/jobs/{job}/undo")
    assert answer.status_code == 400
    assert "nothing here to undo" in answer.text


def test_what_lies_in_the_tray_is_looked_at(desk: Browser, app: FastAPI, store: Store) -> None:
    job = known_job(app, "Bay", BAY, None)
    for text in ("1/4 in", "1/16 in"):
        desk.post(f"/jobs/{job}/facts/wishes", {"set_to": text, "based_on": "1"})
    (entry,) = store.tray(job)
    page = desk.get(f"/jobs/{job}/history").text
    assert "In the tray" in page
    assert "wishes set to: 1/16 in" in page
    assert desk.post(f"/jobs/{job}/tray", {"number": str(entry.number)}).status_code == 303
    assert "In the tray" not in desk.get(f"/jobs/{job}/history").text


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_every_kind_of_event_has_words(kind: str) -> None:
    body = {"path": ["door", 0, "sill"], "value": "x", "of": "0" * 32, "point": "C4"}
    event = Event("0" * 32, "1" * 32, "2" * 32, 1, kind, body, "2026-01-05T10:00:00Z", "Sam")
    shot = Event("0" * 32, "", "", 1, "shot-kept", {"reading": "5' 4\""}, "", "")
    told = words_of(event, known={shot.id: shot})
    assert told != kind.replace("-", " ") or kind == "job-put-away"
    assert told[0].islower()


def test_questions_are_answered_with_name_and_day(
    desk: Browser, app: FastAPI, store: Store
) -> None:
    walked = sample_walk("thin-patio")
    folder = sample_folder("thin-patio")
    texts = FolderTexts(*(folder.joinpath(name).read_text() for name in FILES))
    job = known_job(app, "Patio", texts, walked)
    page = desk.get(f"/jobs/{job}/settle").text
    asked = [one for one in questions(walked, ()) if one.weight == "ask"]
    assert asked
    assert page.count('<textarea id="a-') == len(asked)
    assert f"{len(asked)} to settle" in desk.get(f"/jobs/{job}").text
    key = key_of(asked[0].text)
    empty = desk.post(f"/jobs/{job}/settle", {"key": key, "text": "  "})
    assert empty.status_code == 400
    assert "nothing was written" in empty.text
    fields = {"key": key, "text": "Looked <b>twice</b>: none."}
    assert desk.post(f"/jobs/{job}/settle", fields).status_code == 303
    knows = app.state.site.walks.known
    knows[job] = (store.version(job), walked)
    page = desk.get(f"/jobs/{job}/settle").text
    card = page.partition(f'id="q-{key}"')[2].partition("</article>")[0]
    assert "Looked &lt;b&gt;twice&lt;/b&gt;: none." in card
    assert "office" in card
    assert f"{len(asked) - 1} to settle" in desk.get(f"/jobs/{job}").text or len(asked) == 1


def test_an_assumption_leads_to_where_it_is_given(desk: Browser, app: FastAPI) -> None:
    walked = sample_walk("thin-patio")
    about = [one.about for one in walked.job.assumptions if " in [" in one.about]
    folder = sample_folder("thin-patio")
    texts = FolderTexts(*(folder.joinpath(name).read_text() for name in FILES))
    job = known_job(app, "Patio", texts, walked)
    page = desk.get(f"/jobs/{job}/settle").text
    for one in about:
        section = one.partition("[")[2].rstrip("]")
        assert f'href="/jobs/{job}/facts/{section}"' in page
    assert all(one.about in page for one in walked.shots.assumptions)


FILES = ("job.toml", "shots.csv", "rates.toml")


def test_a_job_goes_out_as_a_folder_and_comes_in_again(
    desk: Browser, app: FastAPI, tmp_path: Path
) -> None:
    job = known_job(app, "Bay", BAY, None)
    answer = desk.get(f"/jobs/{job}/folder.zip")
    assert answer.headers["content-type"] == "application/zip"
    with zipfile.ZipFile(io.BytesIO(answer.content)) as packed:
        assert set(FILES) <= set(packed.namelist())
        packed.extractall(tmp_path / "out")
    whole = read_job(tmp_path / "out")
    assert as_json(whole) == as_json(read_texts(BAY))
    sent = [("files", (name, (tmp_path / "out" / name).read_bytes())) for name in FILES]
    answer = desk.post("/jobs/import", files=sent)
    assert answer.status_code == 303
    again = answer.headers["location"].removeprefix("/jobs/")
    assert again != job
    assert app.state.site.store.job(again).folder_texts == BAY
    assert app.state.site.store.job_line(again).name == "Small bay"


@pytest.mark.parametrize(
    "files",
    [
        [],
        [("job.toml", b"[job]\n")],
        [(name, b"\xff\xfe\x00") for name in FILES],
        [("../../job.toml", b"a = 1"), ("shots.csv", b"point"), ("x/../rates.toml", b"\x00")],
    ],
    ids=["none", "one", "no text", "strange names"],
)
def test_files_that_are_no_job(
    desk: Browser, store: Store, files: list[tuple[str, bytes]], tmp_path: Path
) -> None:
    before = {path for path in tmp_path.rglob("*") if path.is_file()}
    sent = [("files", one) for one in files] or [("other", ("x.txt", b"x"))]
    answer = desk.post("/jobs/import", files=sent)
    assert answer.status_code == 400
    assert "do next" in answer.text
    assert store.jobs() == ()
    assert {path for path in tmp_path.rglob("*") if path.is_file()} == before


def test_samples_go_in_and_out_whole(desk: Browser, store: Store) -> None:
    assert desk.post("/jobs/sample", {"name": "../starter"}).status_code == 400
    answer = desk.post("/jobs/sample", {"name": "cannot-all"})
    job = answer.headers["location"].removeprefix("/jobs/")
    assert store.job_line(job).sample
    assert desk.post(f"/jobs/{job}/remove-sample").status_code == 303
    assert store.jobs() == ()
    assert desk.get(f"/jobs/{job}").status_code == 404


def test_a_job_put_away_can_be_brought_back(desk: Browser, app: FastAPI, store: Store) -> None:
    job = known_job(app, "Bay", BAY, None)
    assert desk.post(f"/jobs/{job}/put-away").status_code == 303
    assert f"/jobs/{job}" not in desk.get("/").text
    assert f"/jobs/{job}" in desk.get("/?away=1").text
    assert desk.post(f"/jobs/{job}/undo").status_code == 303
    assert f"/jobs/{job}" in desk.get("/").text
    assert store.job_line(job).state == "open"


def test_the_wish_form_of_another_job_changes_nothing_here(desk: Browser, app: FastAPI) -> None:
    first, second = (known_job(app, name, BAY, None) for name in ("one", "two"))
    page = desk.get(f"/jobs/{first}/facts/wishes").text
    fields = {"set_to": "1/4 in", "based_on": based_on(page)}
    assert desk.post(f"/jobs/{first}/facts/wishes", fields).status_code == 303
    assert app.state.site.store.job(second).folder_texts == BAY
    assert desk.get(f"/jobs/{'0' * 32}/facts").status_code == 404
    assert desk.post(f"/jobs/{'0' * 32}/facts/wishes", fields).status_code == 404
