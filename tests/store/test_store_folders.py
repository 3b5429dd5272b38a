"""A job into a folder and out of one: nothing is lost on either way; on both databases."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from made_events import OTHER_PHONE, PNG, cells, event, shot
from places_for_stores import Place

from overslab.ground.faults import Faulty
from overslab.job import FolderTexts, read_job, read_texts, sample_folder, sample_names
from overslab.job.store import CREW_KINDS, Stale, Store

FILES = ("job.toml", "shots.csv", "rates.toml")


def saved(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


@pytest.mark.parametrize("name", sample_names())
def test_a_folder_comes_out_as_it_went_in(store: Store, name: str, tmp_path: Path) -> None:
    source = tmp_path / "in"
    shutil.copytree(sample_folder(name), source)
    (source / "photos").mkdir()
    (source / "photos" / "Blick zur Tür.png").write_bytes(PNG)
    job = store.import_folder(source, who="office")
    assert store.job(job).trouble == ()
    store.export_folder(job, tmp_path / "out")
    out = saved(tmp_path / "out")
    assert out.pop("history.jsonl").count(b"\n") == 3  # its own line, the beginning, the picture
    assert out == saved(source)


line_ends = st.sampled_from(["\n", "\r\n", "\r"])
remarks = st.text(st.characters(exclude_categories=["Cs", "Cc", "Zl", "Zp"]), max_size=30)


@given(st.sampled_from(sample_names()), line_ends, remarks, st.booleans(), st.booleans())
@settings(max_examples=20, deadline=None)
def test_any_text_comes_out_to_the_last_byte(
    name: str, end: str, remark: str, marked: bool, closed: bool
) -> None:
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        (place / "in").mkdir()
        for file in FILES:
            text = (sample_folder(name) / file).read_text(encoding="utf-8")
            text = f"# {remark}\n{text if closed else text.rstrip()}".replace("\n", end)
            data = (b"\xef\xbb\xbf" if marked else b"") + text.encode()
            (place / "in" / file).write_bytes(data)
        with Store.open(f"sqlite:///{place}/db/o.db", data=place / "db", backup=False) as store:
            job = store.import_folder(place / "in", who="office")
            store.export_folder(job, place / "out")
        out = saved(place / "out")
        del out["history.jsonl"]
        assert out == saved(place / "in")


@given(
    st.lists(
        st.sampled_from(["shot", "better", "struck", "undone", "wish", "price", "note", "bad"]),
        max_size=8,
    )
)
@settings(max_examples=15, deadline=None)
def test_a_job_comes_in_as_it_went_out(actions: list[str]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        one = Store.open(f"sqlite:///{place}/1/o.db", data=place / "1", backup=False)
        other = Store.open(f"sqlite:///{place}/2/o.db", data=place / "2", backup=False)
        with one, other:
            job = one.import_folder(sample_folder("thin-patio"), who="office")
            for seq, what in enumerate(actions, start=1):
                do(one, job, what, seq=seq)
            one.add_photo(job, PNG, who="office", about="door", name="door.png")
            one.export_folder(job, place / "out")
            assert other.import_folder(place / "out", who="office") == job
            assert other.job(job) == one.job(job)
            assert other.events(job) == one.events(job)
            assert other.job_line(job) == one.job_line(job)
            trays = [
                [replace(entry, number=0) for entry in store.tray(job, settled=True)]
                for store in (one, other)
            ]
            assert trays[0] == trays[1]
            assert other.differing() == ()
            # The same folder again changes nothing, in either store.
            for store in (one, other):
                version = store.version(job)
                store.import_folder(place / "out", who="office")
                assert store.version(job) == version
            other.export_folder(job, place / "again")
            assert saved(place / "again") == saved(place / "out")
            # And by the command line it is the same job.
            from_files = read_job(place / "out")
            assert from_files.name == read_texts(one.job(job).folder_texts).name
            assert from_files.survey == read_texts(one.job(job).folder_texts).survey


def do(store: Store, job: str, what: str, *, seq: int) -> None:
    first = next(thing.id for thing in store.job(job).shots if thing.body["kind"] == "floor")
    match what:
        case "shot":
            made = shot(job, f"X{seq}", seq=seq, reading="4.52")
        case "better":
            body = {"of": first, **cells("X", reading="4.61")}
            made = event(job, "shot-replaced", body, seq=seq)
        case "struck":
            made = event(job, "shot-struck", {"of": first}, seq=seq)
        case "undone":
            mine = [one.event for one in store.events(job) if one.event.device[0] == "a"]
            body = {"of": mine[-1].id if mine else "0" * 32}
            made = event(job, "undone", body, seq=seq)
        case "note":
            made = event(job, "note-kept", {"text": "ä\n\"'"}, seq=seq)
        case "bad":
            made = shot(job, "X", seq=seq, reading="?")
        case _:
            wish = ["wishes", "least_thickness"], "fact-set"
            price = ["concrete", "price_per_yd3"], "rates-set"
            path, kind = wish if what == "wish" else price
            value = f"2.{seq} in" if what == "wish" else f"${seq}"
            body = {"path": path, "value": value}
            store.change(job, based_on=store.version(job), kind=kind, body=body, who="office")
            return
    store.keep([made], allowed=CREW_KINDS)


def test_from_one_database_to_the_other(new_url: Callable[[str], str], tmp_path: Path) -> None:
    with Store.open(new_url("sqlite"), data=tmp_path / "1") as one:
        job = one.import_folder(sample_folder("farm-shop"), who="office")
        one.keep([shot(job, "X1", seq=1), shot(job, "X2", seq=2, reading="?")])
        one.add_photo(job, PNG, who="office")
        one.export_folder(job, tmp_path / "out")
        with Store.open(new_url("postgresql"), data=tmp_path / "2") as other:
            other.import_folder(tmp_path / "out", who="office")
            assert other.job(job) == one.job(job)
            assert other.events(job) == one.events(job)
            other.export_folder(job, tmp_path / "back")
    assert saved(tmp_path / "back") == saved(tmp_path / "out")


def test_a_file_edited_by_hand_comes_in_as_an_edit(store: Store, job: str, tmp_path: Path) -> None:
    store.export_folder(job, tmp_path / "out")
    store.keep([shot(job, "X1", seq=1, device=OTHER_PHONE)])
    file = tmp_path / "out" / "job.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace('least_thickness = "3 in"', 'least_thickness = "4 in"'), "utf-8")
    assert store.import_folder(tmp_path / "out", who="office") == job
    seen = store.job(job)
    assert 'least_thickness = "4 in"' in seen.folder_texts.job_toml
    assert seen.shots[-1].body["point"] == "X1"
    store.undo(job, who="office")
    assert store.job(job).folder_texts.job_toml == text


def test_an_older_folder_does_not_write_over_newer_shots(
    store: Store, job: str, tmp_path: Path
) -> None:
    store.export_folder(job, tmp_path / "out")
    store.keep([shot(job, "X1", seq=1)])
    file = tmp_path / "out" / "shots.csv"
    edited = file.read_text(encoding="utf-8") + "Y1,1',1',1,4' 6\",floor,by hand\n"
    file.write_text(edited, encoding="utf-8")
    with pytest.raises(Stale):
        store.import_folder(tmp_path / "out", who="office")
    assert store.job(job).shots[-1].body["point"] == "X1"
    assert store.tray(job)[0].event.body["text"] == edited


def test_nothing_that_is_there_is_written_over(store: Store, job: str, tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "shots.csv").write_text("mine", encoding="utf-8")
    with pytest.raises(Faulty) as caught:
        store.export_folder(job, tmp_path / "out")
    assert caught.value.faults[0].code == "would-overwrite"
    assert saved(tmp_path / "out") == {"shots.csv": b"mine"}


def test_names_of_pictures_lead_nowhere(store: Store, job: str, tmp_path: Path) -> None:
    names = ["../../x.png", "CON.png", "a.png.php", "/x.png", "a.png", "A.PNG"]
    for place, name in enumerate(names):
        data = PNG + bytes([place])
        store.add_photo(job, data, who="office", name=name)
    store.export_folder(job, tmp_path / "deep" / "out")
    written = [name for name in saved(tmp_path / "deep") if not name.startswith("out/job")]
    pictures = [name for name in written if name.startswith("out/photos/")]
    assert len(pictures) == len(names)
    assert len(written) == len(names) + 3
    assert "out/photos/a.png" in pictures
    assert sum(len(Path(name).stem) == 16 for name in pictures) == 5


BROKEN = {
    "no line of ours": lambda text: text.split("\n", 1)[1],
    "a line lost": lambda text: "\n".join(text.split("\n")[:2] + text.split("\n")[3:]),
    "half a line": lambda text: text[: len(text) // 2],
    "another job": lambda text: text[:-200].replace('"job":"', '"job":"z', 1) + text[-200:],
    "no JSON": lambda _: "{",
    "empty": lambda _: "",
}


@pytest.mark.parametrize("spoil", BROKEN.values(), ids=BROKEN.keys())
def test_a_history_that_was_touched_is_refused(
    file_place: Place, spoil: Callable[[str], str], tmp_path: Path
) -> None:
    with file_place.open() as store:
        job = store.import_folder(sample_folder("cannot-all"), who="office")
        store.keep([shot(job, "X1", seq=1), shot(job, "X2", seq=2), shot(job, "X3", seq=3)])
        store.export_folder(job, tmp_path / "out")
        path = tmp_path / "out" / "history.jsonl"
        path.write_text(spoil(path.read_text(encoding="utf-8")), encoding="utf-8")
        before = store.version(job)
        with pytest.raises(Faulty) as caught:
            store.import_folder(tmp_path / "out", who="office")
        assert [fault.code for fault in caught.value.faults] == ["history-broken"]
        assert store.version(job) == before


def test_every_fault_of_a_folder_is_told(file_place: Place, tmp_path: Path) -> None:
    folder = tmp_path / "in"
    (folder / "photos").mkdir(parents=True)
    (folder / "job.toml").write_bytes(b"\xff\xfej")
    (folder / "shots.csv").write_text("", encoding="utf-8")
    with file_place.open() as store:
        with pytest.raises(Faulty) as caught:
            store.import_folder(folder, who="office")
        codes = {fault.code for fault in caught.value.faults}
        assert codes == {"job-file-encoding", "job-file-empty", "job-file-missing"}
        shutil.copytree(sample_folder("cannot-all"), folder, dirs_exist_ok=True)
        (folder / "photos" / "notes.txt").write_text("no picture", encoding="utf-8")
        with pytest.raises(Faulty) as caught:
            store.import_folder(folder, who="office")
        assert [fault.code for fault in caught.value.faults] == ["photo-kind"]
        assert store.jobs() == ()


@pytest.mark.parametrize("name", sample_names())
def test_texts_are_read_as_their_folder_is(name: str) -> None:
    folder = sample_folder(name)
    texts = FolderTexts(*((folder / file).read_text(encoding="utf-8") for file in FILES))
    by_texts, by_folder = read_texts(texts), read_job(folder)
    assert by_texts.folder is None
    for field in ("name", "units", "survey", "asked", "plant", "mix", "assumptions", "practice"):
        assert getattr(by_texts, field) == getattr(by_folder, field)


def test_texts_have_the_same_faults_as_their_folder(tmp_path: Path) -> None:
    texts = FolderTexts(job_toml="[job]\nname = 4\n", shots_csv="\x00", rates_toml="= 1")
    for file, text in zip(FILES, (texts.job_toml, texts.shots_csv, texts.rates_toml), strict=True):
        (tmp_path / file).write_text(text, encoding="utf-8")
    told = []
    for read in (lambda: read_texts(texts), lambda: read_job(tmp_path)):
        with pytest.raises(Faulty) as caught:
            read()
        told.append(caught.value.faults)
    assert told[0] == told[1]
    assert {"job-file-not-text", "toml-broken", "key-missing"} <= {one.code for one in told[0]}
