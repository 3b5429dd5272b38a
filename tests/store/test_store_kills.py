"""Killed at any moment, nothing answered is lost and nothing is there twice. ``soak`` runs longer.

What this does not show: a power cut. SIGKILL leaves what the system holds in memory, so it cannot
tell a flushed write from one that was only handed over; see docs/storage.md.
"""

from __future__ import annotations

import os
import random
import shutil
import sqlite3
import threading
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from killing import PATIENCE_S, Keeper, Run, ask, keeper
from layouts import filled, kill_changes
from made_events import PNG, event, shot
from private_postgres import SETTING, PrivateServer, drop_database, make_database
from sqlalchemy import make_url, text

from conftest import Place
from overslab.job import sample_folder
from overslab.job.store import NotKept, Store
from overslab.job.store.backups import stamps, trouble_in


@pytest.fixture(scope="module")
def forking() -> Iterator[Keeper]:
    with keeper() as made:
        yield made


def test_k1_killed_while_phones_type(place: Place, forking: Keeper) -> None:
    run = Run(forking, url=place.url, data=place.data, phones=3, seed=1)
    run.rounds(15, longest_s=0.06, check_every=5)
    run.last_words()
    figures = run.count()
    assert figures.clean, figures
    assert figures.answered == figures.events > 50


def test_k2_answers_that_never_come(place: Place, forking: Keeper) -> None:
    run = Run(forking, url=place.url, data=place.data, phones=3, seed=2, drop=0.3)
    run.rounds(4, longest_s=0.3)
    while not run.figures.unanswered_whole and run.figures.kills < 60:
        run.rounds(2, longest_s=0.5)  # a machine with much else to do has answered little yet
    run.last_words()
    figures = run.count()
    assert figures.clean, figures
    assert figures.unanswered_whole > 0, "no answer was lost, so nothing was tried"
    assert figures.answered == figures.events


def test_k10_the_server_of_the_database_is_stopped_dead(
    place: Place, forking: Keeper, server: PrivateServer | None
) -> None:
    if server is None or place.url.startswith("sqlite"):
        pytest.skip("only for a PostgreSQL server of our own")
    run = Run(forking, url=place.url, data=place.data, phones=3, seed=3)

    def stop_dead(number: int) -> None:
        if number % 3 == 0:
            server.stop(mode="immediate")
            server.start()

    run.between = stop_dead
    run.rounds(6, longest_s=0.06)
    run.last_words()
    figures = run.count()
    assert figures.clean, figures


def test_the_count_catches_a_server_that_answers_before_it_keeps(
    file_place: Place, forking: Keeper
) -> None:
    run = Run(forking, url=file_place.url, data=file_place.data, phones=3, seed=4)
    run.careless = True
    run.rounds(8, longest_s=0.06)
    run.careless = False
    run.last_words(seconds=1.0)
    figures = run.count()
    assert figures.lost > 0
    assert not figures.clean


def test_k5_backups_while_phones_type(place: Place, forking: Keeper, tmp_path: Path) -> None:
    run = Run(forking, url=place.url, data=place.data, phones=2, seed=5)
    pid = forking.start(url=place.url, data=str(place.data))
    port = int(forking.next(PATIENCE_S)["ready"])
    run.let_go(port)
    made = []
    for _ in range(4):
        answered = {key for phone in run.phones for key in list(phone.kept)}
        made.append((answered, ask(port, do="backup", to=str(tmp_path / "stick"))))
    forking.kill(pid)
    run.stand_still()
    run.last_words()
    assert run.count().clean
    for number, (answered, told) in enumerate(made):
        backup = Path(told["path"])
        assert trouble_in(backup) is None
        fresh = tmp_path / f"fresh{number}"
        Store.restore(backup, url=f"sqlite:///{fresh}/o.db", data=fresh)
        with Store.open(f"sqlite:///{fresh}/o.db", data=fresh, backup=False) as store:
            there = {one.event.id for line in store.jobs() for one in store.events(line.id)}
            assert store.differing() == ()
        # What had been answered before it began is in it.
        assert answered <= there
    assert any(answered for answered, _ in made)


def test_k5_a_backup_killed_in_the_middle_leaves_no_bad_one(
    file_place: Place, forking: Keeper
) -> None:
    filled(file_place.url, file_place.data, events=400)
    path = Path(file_place.url.removeprefix("sqlite:///"))
    chance = random.Random(7)
    for _ in range(6):
        shutil.rmtree(file_place.data / "backups", ignore_errors=True)
        pid = forking.start(url=file_place.url, data=str(file_place.data), backup=True, once=True)
        threading.Event().wait(chance.uniform(0.01, 0.08))
        forking.kill(pid)
        assert [one for one in stamps(file_place.data / "backups") if trouble_in(one.path)] == []
        assert path.exists()


def test_k6_a_change_of_layout_is_whole_or_not_at_all(
    place: Place, forking: Keeper, server: PrivateServer | None
) -> None:
    filled(place.url, place.data, events=300)
    if place.url.startswith("sqlite"):
        path = Path(place.url.removeprefix("sqlite:///"))
        kept = path.with_name("kept")
        shutil.copyfile(path, kept)  # nobody has it open

        def again() -> None:
            for part in ("-wal", "-shm"):
                path.with_name(path.name + part).unlink(missing_ok=True)
            shutil.copyfile(kept, path)
    else:
        name = make_url(place.url).database or ""
        home = os.environ.get(SETTING) or (server.url("postgres") if server else "")
        make_database(home, f"{name}_kept", like=name)

        def again() -> None:
            drop_database(home, name)
            make_database(home, name, like=f"{name}_kept")

    found = kill_changes(
        forking,
        url=place.url,
        data=place.data,
        kills=6 if place.url.startswith("sqlite") else 3,
        again=again,
        chance=random.Random(6).random,
    )
    if not place.url.startswith("sqlite"):
        drop_database(home, f"{name}_kept")
    assert (found.between, found.changed_data, found.bad_backups) == ([], 0, 0)
    assert found.old + found.new == found.kills
    assert found.old > 0, "every kill came too late to try anything"


def test_k9_four_write_while_others_read(place: Place) -> None:
    with place.open() as store:
        job = store.import_folder(sample_folder("cannot-all"), who="office")
        refused: list[BaseException] = []
        over = threading.Event()

        def write(device: str) -> None:
            try:
                for n in range(1, 21):
                    answer = store.keep([shot(job, f"X{device}{n}", seq=n, device=device * 32)])
                    assert len(answer.have) == 1
            except BaseException as trouble:
                refused.append(trouble)

        def read() -> None:
            last = 0
            try:
                while not over.wait(0.01):
                    seen = store.job(job)
                    # One moment, whatever is being written: as many shots as the version says.
                    assert len(seen.shots) - before == seen.version - 1
                    assert seen.version >= last
                    last = seen.version
            except BaseException as trouble:
                refused.append(trouble)

        before = len(store.job(job).shots)
        readers = [threading.Thread(target=read) for _ in range(2)]
        writers = [threading.Thread(target=write, args=(device,)) for device in "abcd"]
        for thread in (*readers, *writers):
            thread.start()
        for thread in writers:
            thread.join()
        over.set()
        for thread in readers:
            thread.join()
        assert refused == []
        assert store.version(job) == 81
        assert store.differing() == ()


def fill(store: Store, job: str) -> int:
    """Keep notes until the disk takes no more; gives how many were answered."""
    seq = 0
    refused: NotKept | None = None
    while refused is None:
        seq += 1
        note = event(job, "note-kept", {"text": "x" * 4_000}, seq=seq)
        try:
            assert store.keep([note]).have == (note.id,)
        except NotKept as trouble:
            refused = trouble
    assert refused.full
    assert "disk is full" in refused.faults[0].what
    assert seq > 10
    return seq - 1


def test_k4_a_full_disk_is_told_and_what_was_answered_is_there(file_place: Place) -> None:
    """The database may not grow further: what a full disk is to it."""
    with file_place.open() as store:
        job = store.import_folder(sample_folder("cannot-all"), who="office")
        engines = store._engines
        with engines.writer.connect() as connection:
            pages = connection.execute(text("PRAGMA page_count")).scalar_one()
            connection.execute(text(f"PRAGMA max_page_count = {pages + 60}"))
        kept = fill(store, job)
        assert store.version(job) == kept + 1
        assert len(store.job(job).things) > kept
        with pytest.raises(NotKept):
            store.change(
                job, based_on=kept + 1, kind="text-set", who="office",
                body={"file": "rates.toml", "text": "x" * 100_000},
            )  # fmt: skip
        assert store.differing() == ()
        with engines.writer.connect() as connection:
            connection.execute(text("PRAGMA max_page_count = 1000000"))
        assert store.keep([event(job, "note-kept", {"text": "room"}, seq=kept + 1)]).tray == ()
        assert store.version(job) == kept + 2
        assert store.differing() == ()


def test_k4_on_a_disk_that_is_really_full(tmp_path: Path, small_disk: Path) -> None:
    place = Place(url=f"sqlite:///{small_disk}/o.db", data=small_disk / "data")
    ballast = small_disk / "ballast"
    with place.open() as store:
        job = store.import_folder(sample_folder("cannot-all"), who="office")
        kept = fill(store, job)
        assert store.version(job) == kept + 1
        assert len(store.job(job).things) > kept
        with pytest.raises(NotKept) as caught:
            store.add_photo(job, PNG + bytes(1_000_000), who="office")
        assert caught.value.full
        with pytest.raises(NotKept) as caught:
            store.backup()
        assert caught.value.full
        assert list((place.data / "backups").glob("overslab-*")) == []
        ballast.unlink()
        assert store.keep([event(job, "note-kept", {"text": "room"}, seq=kept + 1)]).tray == ()
        assert store.differing() == ()
    with place.open(backup=True) as store:
        assert store.version(job) == kept + 2
        assert store.health().last_backup_fault == ""
    with closing(sqlite3.connect(small_disk / "o.db")) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    assert tmp_path.exists()
