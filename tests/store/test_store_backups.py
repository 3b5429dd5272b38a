"""Backups are good, old ones are thinned, and one brings everything back; on both databases."""

from __future__ import annotations

import datetime
import os
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from made_events import PNG, shot
from places_for_stores import Place
from sqlalchemy import text

from overslab.ground.faults import Faulty
from overslab.job import sample_folder
from overslab.job.store import NotKept, Store, places
from overslab.job.store.backups import Stamp, to_keep, trouble_in
from overslab.job.store.engines import Engines
from overslab.job.store.schema import Schema


def sound(path: Path) -> bool:
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]


def code(caught: pytest.ExceptionInfo[Faulty]) -> str:
    return caught.value.faults[0].code


def test_a_backup_brings_everything_back(place: Place) -> None:
    with place.open() as store:
        job = store.import_folder(sample_folder("farm-shop"), who="office")
        store.keep([shot(job, "X1", seq=1), shot(job, "X2", seq=2, reading="?")])
        sha256 = store.add_photo(job, PNG, who="office")
        seen, tray, office = store.job(job), store.tray(), store.office
        backup = store.backup()
        store.keep([shot(job, "X3", seq=3)])
    assert sound(backup)
    shutil.rmtree(place.data / "photos")
    aside = Store.restore(backup, url=place.url, data=place.data)
    assert aside is not None
    assert aside.exists()
    with place.open() as store:
        assert store.job(job) == seen
        assert store.tray() == tray
        assert store.office == office
        assert store.photo(sha256).read_bytes() == PNG
        assert store.differing() == ()
        # What came after the backup comes again from the phone that still has it.
        assert store.keep([shot(job, "X3", seq=3)]).tray == ()


def test_a_backup_goes_from_one_database_into_the_other(
    place: Place, new_url: Callable[[str], str], tmp_path: Path
) -> None:
    with place.open() as store:
        job = store.import_folder(sample_folder("farm-shop"), who="office")
        store.add_photo(job, PNG, who="office")
        seen, backup = store.job(job), store.backup()
    other = "postgresql" if place.url.startswith("sqlite") else "sqlite"
    there = Place(url=new_url(other), data=tmp_path / "there")
    assert Store.restore(backup, url=there.url, data=there.data) is None
    with there.open() as store:
        assert store.job(job) == seen
        store.keep([shot(job, "X1", seq=1)])
        assert store.differing() == ()


def test_what_was_set_aside_can_be_looked_at(file_place: Place) -> None:
    with file_place.open() as store:
        job = store.import_folder(sample_folder("cannot-all"), who="office")
        backup = store.backup()
        store.keep([shot(job, "X1", seq=1)])
    aside = Store.restore(backup, url=file_place.url, data=file_place.data)
    assert aside is not None
    with Store.open(f"sqlite:///{aside}", data=file_place.data, read_only=True) as old:
        assert old.version(job) == 2


def test_a_start_backs_up_what_is_new_and_only_that(place: Place) -> None:
    with place.open(backup=True) as store:
        assert Store.backups(place.data) == ()
        job = store.import_folder(sample_folder("cannot-all"), who="office")
    for expected in (1, 1):
        with place.open(backup=True) as store:
            assert len(Store.backups(place.data)) == expected
            assert store.health().newest_backup == Store.backups(place.data)[0]
    with place.open() as store:
        store.keep([shot(job, "X1", seq=1)])
    with place.open(backup=True):
        assert len(Store.backups(place.data)) == 2


def test_the_night_backs_up_and_sweeps(place: Place) -> None:
    with place.open() as store:
        job = store.import_folder(sample_folder("cannot-all"), who="office")
        named = store.add_photo(job, PNG, who="office")
        loose = store.put_photo(PNG + b"loose")
        path = store.photo(loose)
        made = store.nightly()
        assert made is not None
        assert sound(made)
        assert path.exists()  # its entry may still be on its way
        eight_days_ago = datetime.datetime.now().timestamp() - 8 * 86_400
        for one in (path, store.photo(named)):
            os.utime(one, (eight_days_ago, eight_days_ago))
        store.nightly()
        assert not path.exists()
        assert store.photo(named).exists()


def test_a_backup_goes_to_a_second_place(file_place: Place, tmp_path: Path) -> None:
    with file_place.open() as store:
        job = store.import_folder(sample_folder("cannot-all"), who="office")
        sha256 = store.add_photo(job, PNG, who="office")
        backup = store.backup(tmp_path / "stick")
        assert backup.parent == tmp_path / "stick"
    shutil.rmtree(file_place.data)
    shutil.rmtree(Path(file_place.url.removeprefix("sqlite:///")).parent)
    Store.restore(backup, url=file_place.url, data=file_place.data)
    with file_place.open() as store:
        assert store.photo(sha256).read_bytes() == PNG


NIGHTS = st.lists(st.datetimes(datetime.datetime(2026, 1, 1), datetime.datetime(2026, 12, 31)))


@given(NIGHTS, st.lists(st.sampled_from(["night", "start", "before-0002"]), min_size=1))
def test_seven_days_and_eight_weeks_are_kept(
    nights: list[datetime.datetime], whys: list[str]
) -> None:
    made = [
        Stamp(Path(f"{n}"), at.replace(tzinfo=datetime.UTC), whys[n % len(whys)])
        for n, at in enumerate(nights)
    ]
    kept = to_keep(made)
    assert kept <= {one.path for one in made}
    days = sorted({one.at.date() for one in made}, reverse=True)
    weeks = sorted({one.at.isocalendar()[:2] for one in made}, reverse=True)
    here = [one for one in made if one.path in kept]
    assert {one.at.date() for one in here} >= set(days[:7])
    assert {one.at.isocalendar()[:2] for one in here} >= set(weeks[:8])
    assert len(kept) <= 7 + 8 + 3 + 5
    newest = sorted(made, key=lambda one: (one.at, one.path.name))[-5:]
    assert {one.path for one in newest} <= kept
    changes = sum(one.why.startswith("before") for one in made)
    assert sum(one.why.startswith("before") for one in here) >= min(3, changes)


def test_a_bad_backup_is_never_brought_back(file_place: Place, tmp_path: Path) -> None:
    with file_place.open() as store:
        job = store.import_folder(sample_folder("farm-shop"), who="office")
        good = store.backup()
    whole = good.read_bytes()
    torn = {
        "half": whole[: len(whole) // 2],
        "nothing": b"",
        "text": b"no database at all " * 400,
        "hole": whole[:8192] + bytes(4096) + whole[12_288:],
    }
    for name, data in torn.items():
        bad = tmp_path / f"{name}.db"
        bad.write_bytes(data)
        assert trouble_in(bad) is not None
        with pytest.raises(Faulty) as caught:
            Store.restore(bad, url=file_place.url, data=file_place.data)
        assert code(caught) == "backup-bad"
    with pytest.raises(Faulty):
        Store.restore(tmp_path / "nowhere.db", url=file_place.url, data=file_place.data)
    with file_place.open() as store:
        assert store.version(job) == 1


def test_nothing_is_brought_back_under_a_running_store(file_place: Place) -> None:
    with file_place.open() as store:
        store.begin("Barn", who="office")
        backup = store.backup()
        with pytest.raises(Faulty) as caught:
            Store.restore(backup, url=file_place.url, data=file_place.data)
        assert code(caught) == "store-already-open"


def test_a_restore_that_was_cut_short_is_finished_before_anything_opens(
    file_place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    with file_place.open() as store:
        job = store.import_folder(sample_folder("cannot-all"), who="office")
        backup = store.backup()
        store.keep([shot(job, "X1", seq=1)])
    moves: list[Path] = []
    replace = Path.replace
    for stop_after in range(1, 12):

        def cut(path: Path, target: Path, *, most: int = stop_after) -> Path:
            if len(moves) >= most:
                raise KeyboardInterrupt
            moves.append(path)
            return replace(path, target)

        moves.clear()
        with monkeypatch.context() as patched:
            patched.setattr(Path, "replace", cut)
            try:
                Store.restore(backup, url=file_place.url, data=file_place.data)
            except KeyboardInterrupt:
                pass
            else:
                break
        mark = Path(file_place.url.removeprefix("sqlite:///") + ".restoring")
        if mark.exists():
            with pytest.raises(Faulty) as caught:
                file_place.open()
            assert code(caught) == "restore-unfinished"
            assert str(backup) in caught.value.faults[0].remedy
    assert stop_after > 2, "nothing was cut short"
    Store.restore(backup, url=file_place.url, data=file_place.data)
    with file_place.open() as store:
        assert store.version(job) == 1


def test_a_damaged_database_is_opened_for_looking_and_the_backup_is_offered(
    file_place: Place,
) -> None:
    path = Path(file_place.url.removeprefix("sqlite:///"))
    with file_place.open() as store:
        job = store.import_folder(sample_folder("farm-shop"), who="office")
        for n in range(30):
            store.begin(f"Barn {n}", who="office")
        backup = store.backup()
    # The index of a table spoiled in the middle: the rows can still be read, the check fails.
    with closing(sqlite3.connect(path)) as connection:
        page = connection.execute(
            "SELECT rootpage FROM sqlite_schema WHERE name = 'ix_jobs_state_updated_at_id'"
        ).fetchone()[0]
        size = connection.execute("PRAGMA page_size").fetchone()[0]
    with path.open("r+b") as file:
        file.seek((page - 1) * size + size - 300)
        file.write(b"\x01" * 200)
    with file_place.open(backup=True) as store:
        health = store.health()
        assert "damaged" in health.read_only
        assert str(backup) in health.read_only
        assert store.job(job).name == "Farm shop floor"
        with pytest.raises(NotKept) as caught:
            store.keep([shot(job, "X1", seq=1)])
        assert code(caught) == "store-read-only"
        with pytest.raises(NotKept):
            store.put_photo(PNG)
    Store.restore(backup, url=file_place.url, data=file_place.data)
    with file_place.open() as store:
        assert store.health().read_only == ""
        assert len(store.jobs()) == 31


def test_what_is_no_database_names_the_backup(file_place: Place) -> None:
    with file_place.open() as store:
        store.begin("Barn", who="office")
        backup = store.backup()
    path = Path(file_place.url.removeprefix("sqlite:///"))
    path.write_bytes(b"no database at all " * 400)
    with pytest.raises(Faulty) as caught:
        file_place.open()
    assert code(caught) == "store-damaged"
    assert str(backup) in caught.value.faults[0].remedy


@pytest.mark.parametrize("empty", [True, False], ids=["emptied", "gone"])
def test_a_lost_database_is_never_begun_anew_in_silence(file_place: Place, empty: bool) -> None:
    with file_place.open() as store:
        store.begin("Barn", who="office")
        backup = store.backup()
    path = Path(file_place.url.removeprefix("sqlite:///"))
    path.unlink()
    if empty:
        path.touch()
    with pytest.raises(Faulty) as caught:
        file_place.open()
    assert code(caught) == "store-missing"
    assert str(backup) in caught.value.faults[0].remedy


def test_one_at_a_time_writes_and_others_may_look(file_place: Place) -> None:
    with file_place.open() as store:
        job = store.begin("Barn", who="office")
        with pytest.raises(Faulty) as caught:
            file_place.open()
        assert code(caught) == "store-already-open"
        with file_place.open(read_only=True) as looker:
            assert looker.job(job).name == "Barn"
            store.begin("Shop", who="office")
            assert len(looker.jobs()) == 2
            with pytest.raises(NotKept):
                looker.begin("Patio", who="office")
            assert looker.backup(file_place.data / "elsewhere").exists()


def test_a_newer_store_is_left_alone(place: Place) -> None:
    with place.open() as store, store._engines.writing() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    with pytest.raises(Faulty) as caught:
        place.open()
    assert code(caught) == "store-newer"


def test_tables_of_another_program_are_left_alone(place: Place) -> None:
    if place.url.startswith("sqlite"):
        Path(place.url.removeprefix("sqlite:///")).parent.mkdir(parents=True)
    engines = Engines(place.url)
    with engines.writing() as connection:
        connection.execute(text("CREATE TABLE theirs (x integer)"))
    engines.close()
    with pytest.raises(Faulty) as caught:
        place.open()
    assert code(caught) == "store-of-others"


def test_the_page_of_health_says_how_it_is_kept(place: Place) -> None:
    with place.open() as store:
        health = store.health()
    assert health.schema == Schema().newest
    if health.engine == "sqlite":
        assert (health.journal, health.synchronous) == ("wal", "full")
        assert "One connection writes and writes the log back" in health.checkpoints
        assert sqlite3.sqlite_version in health.checkpoints
    else:
        assert health.synchronous == "on"
        assert health.notes == ()


def test_every_connection_is_told_the_same(file_place: Place) -> None:
    """Asked of the connections themselves, for none of it is remembered by the file."""
    wanted = {
        "synchronous": 2, "foreign_keys": 1, "mmap_size": 0, "trusted_schema": 0,
        "busy_timeout": 10_000, "journal_mode": "wal",
    }  # fmt: skip
    with file_place.open() as store:
        store.begin("Barn", who="office")
        engines = store._engines
        for engine, checkpoint, closed in ((engines.writer, 1000, 0), (engines.reader, 0, 1)):
            with engine.connect() as connection:
                asked = {**wanted, "wal_autocheckpoint": checkpoint, "query_only": closed}
                told = {
                    name: connection.exec_driver_sql(f"PRAGMA {name}").scalar() for name in asked
                }
            assert told == asked


@pytest.mark.parametrize(
    "url",
    ["", "nothing", "sqlite://", "sqlite:///:memory:", "mysql://x/y", "sqlite:///a.db?mode=ro",
     "postgresql+asyncpg://x/y", "postgresql+psycopg2://secret:word@x/y"],
)  # fmt: skip
def test_an_address_that_is_none_is_told_without_its_password(url: str, tmp_path: Path) -> None:
    with pytest.raises(Faulty) as caught:
        Store.open(url, data=tmp_path)
    assert code(caught) == "store-address"
    assert "word" not in str(caught.value).replace("password", "")


def test_a_server_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(NotKept) as caught:
        Store.open("postgresql+psycopg://me@127.0.0.1:1/none", data=tmp_path)
    assert code(caught) == "store-unreachable"


@pytest.mark.parametrize(
    "inner",
    ["Dropbox/jobs", "OneDrive - Some Firm/jobs", "Google Drive/x", "iCloud Drive", "a/Nextcloud"],
)
def test_a_folder_that_is_copied_by_others_is_refused(tmp_path: Path, inner: str) -> None:
    folder = tmp_path / inner
    with pytest.raises(Faulty) as caught:
        Store.open(f"sqlite:///{folder}/overslab.db", data=tmp_path / "data")
    assert code(caught) == "store-in-synced-folder"
    assert not folder.exists()
    link = tmp_path / "plain"
    folder.mkdir(parents=True)
    link.symlink_to(folder)
    with pytest.raises(Faulty):
        Store.open(f"sqlite:///{link}/overslab.db", data=tmp_path / "data")


def test_a_marked_folder_is_refused_and_a_plain_one_is_not(tmp_path: Path) -> None:
    assert places.unfit(tmp_path / "Boxwood Lane 4") is None
    (tmp_path / ".stfolder").mkdir()
    assert places.unfit(tmp_path / "jobs" / "deep") is not None


MOUNTS = r"""
22 1 8:1 / / rw,relatime shared:1 - ext4 /dev/sda1 rw
31 22 0:40 / /mnt/office\040share rw - cifs //office/share rw
32 22 0:41 / /mnt/office rw shared:3 master:1 - nfs4 office:/x rw
33 32 8:2 / /mnt/office/stick rw - vfat /dev/sdb1 rw
"""


@pytest.mark.parametrize(
    ("path", "far"),
    [("/jobs", False), ("/mnt/office share/a", True), ("/mnt/office/a", True),
     ("/mnt/office/stick/a", False), ("/mnt/officer", False)],
)  # fmt: skip
def test_a_disk_of_another_machine_is_known_by_its_kind(
    path: str, far: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(places.sys, "platform", "linux")
    monkeypatch.setattr(Path, "read_text", lambda *_, **__: MOUNTS)
    assert (places.unfit(Path(path)) is not None) is far
